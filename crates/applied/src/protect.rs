//! What protects a contact: parts of each kind in preferred values, with the ratings to ask for.

use crate::arcs::arcless_current;
use crate::load_circuit::{Load, LoadCircuit, Protection};
use crate::network::ArcLimits;
use crate::preferred::Series;
use crate::suppressor::{RESERVE, Rc, WATTS, rating, rc_by_energy, rc_by_rule, rc_parts};
use crate::turn_off::{Clamp, Inductive};

/// A kind of protection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Resistor and capacitor in series across the contact.
    Rc,
    /// Resistor and capacitor in series across the load.
    RcAcrossLoad,
    /// A diode across the load.
    Diode,
    /// A diode and a Zener diode in series across the load.
    Zener,
    /// A varistor across the load.
    Varistor,
    /// A resistor: across a load with inductance, in series with any other.
    Resistor,
    /// An inductor in series.
    Inductor,
}

impl Kind {
    /// The words a design may use.
    pub const WORDS: [(&'static str, Self); 7] = [
        ("rc", Self::Rc),
        ("rc across load", Self::RcAcrossLoad),
        ("diode", Self::Diode),
        ("zener", Self::Zener),
        ("varistor", Self::Varistor),
        ("resistor", Self::Resistor),
        ("inductor", Self::Inductor),
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, kind)| *kind == self).map_or("", |(word, _)| word)
    }
}

/// What is to be protected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Case {
    /// The circuit without protection.
    pub bare: LoadCircuit,
    /// Current at the break, A: the peak of an alternating one.
    pub amperes: f64,
    /// Voltage that the contact may see, V.
    pub most_volts: f64,
    /// Current that it may close on, A.
    pub most_amperes: f64,
    /// Operations a second.
    pub rate: f64,
    /// Limits of an arc between its faces, if known.
    pub arc: Option<ArcLimits>,
}

/// Values that are stated, whatever the rules would give; each is taken where its kind has such a part.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stated {
    /// Resistance, Ω.
    pub ohms: Option<f64>,
    /// Capacitance, F.
    pub farads: Option<f64>,
    /// Breakdown voltage of a Zener diode, or where a varistor begins to conduct, V.
    pub volts: Option<f64>,
    /// Inductance, H.
    pub henries: Option<f64>,
}

/// A part to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// `capacitor`.
    pub name: &'static str,
    /// Its value and the unit of that, SI; none of a diode.
    pub value: Option<(f64, &'static str)>,
    /// What it must be rated for: words, number, SI unit.
    pub ratings: Vec<(&'static str, f64, &'static str)>,
}

/// A protection with its parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// In the circuit.
    pub protection: Protection,
    /// To buy.
    pub parts: Vec<Part>,
    /// How it was sized.
    pub rule: &'static str,
}

/// Of what the contact may see this much is used. Common practice, no source.
const USED: f64 = 0.8;
/// Forward voltage of a silicon diode, V, and its resistance beyond, Ω. From memory.
const FORWARD: [f64; 2] = [0.7, 0.1];
/// A varistor begins to conduct this much above the peak of the supply: its own tolerance and the supply's. Common
/// practice, no source.
const VARISTOR_ABOVE: f64 = 1.2;
/// How far a varistor's voltage has risen at the current of the break, as a share. From memory, for discs that are
/// not too small.
const VARISTOR_RISES: f64 = 0.3;
/// Resistance of a small inductor, Ω. From memory.
const INDUCTOR_OHMS: f64 = 0.5;
/// Reverse voltages and currents of diodes, powers of Zener diodes. Common practice, no source.
const DIODE_VOLTS: [f64; 6] = [50.0, 100.0, 200.0, 400.0, 600.0, 1000.0];
const DIODE_AMPERES: [f64; 4] = [0.2, 1.0, 3.0, 6.0];
const ZENER_WATTS: [f64; 4] = [0.5, 1.3, 3.0, 5.0];

/// The parts of a kind for a case, or why that kind cannot serve.
///
/// Of what the contact may see and close on 80 % is used; parts are asked for with twice what they take. Rules are
/// those of [`crate::suppressor`] and common practice, no source: only the circuit over time shows what they do.
///
/// # Errors
/// Why the kind cannot serve, in a sentence.
pub fn choose(kind: Kind, case: &Case, stated: Stated) -> Result<Chosen, &'static str> {
    let Case { bare, amperes, .. } = *case;
    let volts = bare.volts;
    let room = USED * case.most_volts - volts;
    let close_on = USED * case.most_amperes;
    let coil = match bare.load {
        Load::Inductive { henries, ohms } => Some(Inductive { henries, ohms, amperes }),
        _ => None,
    };
    match kind {
        Kind::Rc | Kind::RcAcrossLoad => rc(kind, case, coil, stated),
        Kind::Diode | Kind::Zener if bare.hertz.is_some() => {
            Err("on alternating voltage it conducts in every other half wave")
        }
        Kind::Diode | Kind::Zener | Kind::Varistor if coil.is_none() => {
            Err("it takes over the current of an inductance, and this load has none")
        }
        Kind::Diode => Ok(Chosen {
            protection: Protection::Diode { threshold: FORWARD[0], ohms: FORWARD[1] },
            parts: vec![diode(volts, amperes)],
            rule: "reverse voltage and current with a factor of 2; the load lets go late",
        }),
        Kind::Zener => {
            let breakdown = match stated.volts {
                Some(stated) => stated,
                None if room < 3.0 => return Err("what the contact may see leaves it no voltage"),
                None => Series::E24.at_most(volts.min(room)),
            };
            let clamp = Clamp::Zener { forward: FORWARD[0], breakdown };
            let heat = coil.map_or(0.0, |coil| coil.clamp_energy(clamp)) * case.rate;
            let zener = Part {
                name: "Zener diode",
                value: Some((breakdown, "V")),
                ratings: vec![
                    ("power", rating(&ZENER_WATTS, RESERVE * heat), "W"),
                    ("peak current", amperes, "A"),
                ],
            };
            Ok(Chosen {
                protection: Protection::Diode {
                    threshold: FORWARD[0] + breakdown,
                    ohms: 2.0 * FORWARD[1],
                },
                parts: vec![diode(volts, amperes), zener],
                rule: "breakdown near the supply's voltage, so that the contact sees twice that, and no more \
                       than 80 % of what it may see",
            })
        }
        Kind::Varistor => {
            let threshold = stated.volts.unwrap_or(Series::E12.at_least(VARISTOR_ABOVE * volts));
            if stated.volts.is_none() && threshold * (1.0 + VARISTOR_RISES) > room {
                return Err("it conducts so far above the supply that the contact sees too much");
            }
            let energy = RESERVE * coil.map_or(0.0, Inductive::energy);
            Ok(Chosen {
                protection: Protection::Varistor {
                    threshold,
                    ohms: VARISTOR_RISES * threshold / amperes,
                },
                parts: vec![Part {
                    name: "varistor",
                    value: Some((threshold, "V")),
                    ratings: vec![
                        ("energy", energy, "J"),
                        ("power", energy * case.rate, "W"),
                        ("peak current", amperes, "A"),
                    ],
                }],
                rule: "begins to conduct 20 % above the peak of the supply; straightened: 30 % more at the \
                       current of the break",
            })
        }
        Kind::Resistor if coil.is_some() => {
            if room <= 0.0 && stated.ohms.is_none() {
                return Err("what the contact may see leaves it no voltage");
            }
            let ohms = stated.ohms.unwrap_or_else(|| Series::E12.at_most(room / amperes));
            let watts = volts * volts / ohms * if bare.hertz.is_some() { 0.5 } else { 1.0 };
            Ok(Chosen {
                protection: Protection::ResistorAcrossLoad { ohms },
                parts: vec![resistor(ohms, RESERVE * watts)],
                rule: "R = (0.8 V_most − V)/I across the load; it draws its own current all the time",
            })
        }
        Kind::Resistor => {
            let ohms = stated.ohms.unwrap_or_else(|| Series::E12.at_least(volts / close_on));
            Ok(Chosen {
                protection: Protection::SeriesResistor { ohms },
                parts: vec![resistor(ohms, RESERVE * amperes * amperes * ohms)],
                rule: "R = V/(0.8 I_most) in series; it takes voltage from the load",
            })
        }
        Kind::Inductor => {
            let farads = match bare.load {
                Load::Capacitive { farads, .. } | Load::Cable { farads, .. } => farads,
                Load::Resistive { .. } | Load::Inductive { .. } if stated.henries.is_none() => {
                    return Err(
                        "it holds down what flows into a capacitance, and this load has none",
                    );
                }
                _ => 0.0,
            };
            let held = farads * (volts / close_on).powi(2);
            let henries = stated.henries.unwrap_or_else(|| Series::E6.at_least(held));
            Ok(Chosen {
                protection: Protection::SeriesInductor { henries, ohms: INDUCTOR_OHMS },
                parts: vec![Part {
                    name: "inductor",
                    value: Some((henries, "H")),
                    ratings: vec![("current without saturation", close_on.max(amperes), "A")],
                }],
                rule: "L = C (V/(0.8 I_most))²: the first swing into the capacitance stays below that current",
            })
        }
    }
}

fn rc(
    kind: Kind,
    case: &Case,
    coil: Option<Inductive>,
    stated: Stated,
) -> Result<Chosen, &'static str> {
    let volts = case.bare.volts;
    let (most_volts, close_on) = (USED * case.most_volts, USED * case.most_amperes);
    let by_energy =
        coil.map(|coil| rc_by_energy(coil.henries, case.amperes, volts, most_volts, close_on));
    let both = stated.ohms.zip(stated.farads).map(|(ohms, farads)| Rc { ohms, farads });
    let quiet = |arc: ArcLimits| case.amperes <= arcless_current(arc, volts);
    if coil.is_none() && both.is_none() && case.arc.is_some_and(quiet) {
        return Err("the contact opens this load without an arc as it is");
    }
    let wanted = match by_energy {
        Some(_) if most_volts <= volts => None,
        Some(rc) => rc,
        None => Some(rc_by_rule(volts, case.amperes)),
    };
    // Where an arc could burn the jump of the voltage stays below that of an arc, as far as closing allows.
    let arc = case.arc.filter(|arc| coil.is_some() && case.amperes >= arc.amperes);
    let wanted = wanted.map(|rc| match arc {
        Some(arc) => {
            let quiet = rc.ohms.min(USED * arc.volts / case.amperes);
            Rc { ohms: quiet.max(volts / close_on), ..rc }
        }
        None => rc,
    });
    // Across the load the supply's own resistance is in its way too, as the contact opens and as it closes.
    let source = if kind == Kind::RcAcrossLoad { case.bare.source_ohms } else { 0.0 };
    let wanted = wanted.map(|rc| Rc { ohms: (rc.ohms - source).max(0.1 * rc.ohms), ..rc });
    let wanted = both.or(wanted).ok_or(
        "the resistor that closing asks for lets the voltage jump beyond what the contact may see",
    )?;
    let peak = if coil.is_some() { most_volts } else { volts };
    let bought = rc_parts(wanted, volts, peak, case.rate);
    let ohms = stated.ohms.unwrap_or(bought.rc.ohms);
    let farads = stated.farads.unwrap_or(bought.rc.farads);
    let capacitor = Part {
        name: "capacitor",
        value: Some((farads, "F")),
        ratings: vec![("voltage", bought.capacitor_volts, "V")],
    };
    Ok(Chosen {
        protection: match kind {
            Kind::RcAcrossLoad => Protection::RcAcrossLoad { ohms, farads },
            _ => Protection::RcAcrossContact { ohms, farads },
        },
        parts: vec![resistor(ohms, bought.resistor_watts), capacitor],
        rule: match coil {
            Some(_) => {
                "C = L (I/(0.8 V_most − V))² holds what the coil holds; R = (0.8 V_most − V)/(2 I), where \
 an arc could burn no more than 0.8 V_arc/I, at least V/(0.8 I_most) for closing; across the load the \
 supply's resistance counts in R"
            }
            None => {
                "C = I²/10 µF, R = V/(10 I^(1 + 50/V)) Ω, an old rule without measurements behind it"
            }
        },
    })
}

fn resistor(ohms: f64, watts: f64) -> Part {
    let ratings = vec![("power", rating(&WATTS, watts), "W")];
    Part { name: "resistor", value: Some((ohms, "Ω")), ratings }
}

fn diode(volts: f64, amperes: f64) -> Part {
    Part {
        name: "diode",
        value: None,
        ratings: vec![
            ("reverse voltage", rating(&DIODE_VOLTS, RESERVE * volts), "V"),
            ("current", rating(&DIODE_AMPERES, RESERVE * amperes), "A"),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COIL: Case = Case {
        bare: LoadCircuit {
            volts: 24.0,
            hertz: None,
            source_ohms: 0.05,
            source_henries: 0.0,
            load: Load::Inductive { henries: 0.1, ohms: 100.0 },
            protection: Protection::None,
            contact_farads: 50e-12,
            contact_ohms: 0.1,
        },
        amperes: 0.24,
        most_volts: 200.0,
        most_amperes: 0.5,
        rate: 0.1,
        arc: None,
    };

    /// Every kind that can serve a coil keeps the contact below what it may see when the circuit is followed.
    #[test]
    fn prop_what_is_chosen_holds_the_voltage() {
        let bare = COIL.bare.opens(None).expect("a network").peak_voltage();
        assert!(bare > COIL.most_volts);
        for (word, kind) in Kind::WORDS {
            let Ok(chosen) = choose(kind, &COIL, Stated::default()) else {
                assert_eq!(word, "inductor");
                continue;
            };
            let circuit = LoadCircuit { protection: chosen.protection, ..COIL.bare };
            let opens = circuit.opens(None).expect("a network");
            assert!(opens.peak_voltage() <= COIL.most_volts, "{word}: {}", opens.peak_voltage());
            let from = circuit.network().own_discharge();
            let closes = circuit.closes().expect("a network");
            assert!(closes.peak_current(from) <= COIL.most_amperes, "{word}");
            assert_eq!(kind.word(), word);
        }
    }

    /// Into a capacitor a resistor or an inductor keeps the peak below what the contact may close on.
    #[test]
    fn prop_what_is_chosen_holds_the_current() {
        let load = Load::Capacitive { farads: 100e-6, ohms: 0.5, bleed: 1e3 };
        let case = Case { bare: LoadCircuit { load, ..COIL.bare }, amperes: 0.024, ..COIL };
        for kind in [Kind::Resistor, Kind::Inductor] {
            let chosen = choose(kind, &case, Stated::default()).expect("can serve");
            let circuit = LoadCircuit { protection: chosen.protection, ..case.bare };
            let from = circuit.network().own_discharge();
            let peak = circuit.closes().expect("a network").peak_current(from);
            assert!(peak <= case.most_amperes, "{kind:?}: {peak}");
        }
        assert!(choose(Kind::Diode, &case, Stated::default()).is_err());
    }

    /// Where an arc could burn a resistor and a capacitor keep it away, and a diode does not: the arc comes first.
    #[test]
    fn prop_no_arc_beside_a_resistor_and_a_capacitor() {
        let load = Load::Inductive { henries: 0.08, ohms: 50.0 };
        let arc = Some(ArcLimits { volts: 14.0, amperes: 0.35 });
        let bare = LoadCircuit { load, ..COIL.bare };
        let case = Case { bare, amperes: 0.48, most_amperes: 1.0, arc, ..COIL };
        let arcs = |kind| {
            let chosen = choose(kind, &case, Stated::default()).expect("can serve");
            let circuit = LoadCircuit { protection: chosen.protection, ..bare };
            circuit.opens(arc).expect("a network").arc_time
        };
        assert_eq!(arcs(Kind::Rc), 0.0);
        assert!(arcs(Kind::Diode) > 1e-4);
    }

    /// Across the load the current leaves the supply's resistance too, whose voltage the contact then sees.
    #[test]
    fn prop_no_arc_beside_a_weak_supply() {
        let load = Load::Inductive { henries: 0.08, ohms: 7.0 };
        let arc = Some(ArcLimits { volts: 14.0, amperes: 0.35 });
        let bare = LoadCircuit { load, source_ohms: 5.0, ..COIL.bare };
        let case = Case { bare, amperes: 2.0, most_amperes: 10.0, arc, ..COIL };
        for kind in [Kind::Rc, Kind::RcAcrossLoad] {
            let chosen = choose(kind, &case, Stated::default()).expect("can serve");
            let circuit = LoadCircuit { protection: chosen.protection, ..bare };
            let opens = circuit.opens(arc).expect("a network");
            assert_eq!(opens.arc_time, 0.0, "{kind:?}");
            assert!(opens.peak_voltage() <= case.most_volts, "{kind:?}");
        }
    }

    /// What is stated stands; a diode has no place on alternating voltage.
    #[test]
    fn prop_stated_parts_stand() {
        let stated = Stated { ohms: Some(33.0), farads: Some(47e-9), ..Stated::default() };
        let chosen = choose(Kind::Rc, &COIL, stated).expect("can serve");
        assert_eq!(chosen.protection, Protection::RcAcrossContact { ohms: 33.0, farads: 47e-9 });
        let swinging = Case { bare: LoadCircuit { hertz: Some(50.0), ..COIL.bare }, ..COIL };
        for kind in [Kind::Diode, Kind::Zener] {
            assert!(choose(kind, &swinging, Stated::default()).is_err());
        }
    }
}
