//! A contact, its load and what protects it, as a network.
//!
//! The contact stands between the load and ground, the supply feeds the load: the other order is the same
//! circuit.

use crate::network::{
    ArcLimits, Branch, Capacitor, Clamp, Contact, NODE_FARADS, Network, NetworkError, Node,
};
use crate::transient::Transient;

/// What the contact switches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// A resistor, or a lamp of that resistance: cold at closing, hot at opening.
    Resistive {
        /// Resistance, Ω.
        ohms: f64,
    },
    /// A coil.
    Inductive {
        /// Inductance, H.
        henries: f64,
        /// Resistance, Ω.
        ohms: f64,
    },
    /// A capacitor behind a resistance.
    Capacitive {
        /// Capacitance, F.
        farads: f64,
        /// Resistance in series, Ω.
        ohms: f64,
        /// Resistance that empties it while the contact is open, Ω.
        bleed: f64,
    },
    /// A resistor at the far end of a cable whose capacitance lies across the contact.
    Cable {
        /// Capacitance of the cable, F.
        farads: f64,
        /// Its wave impedance, Ω; the cable counts as its capacitance behind that.
        impedance: f64,
        /// The load, Ω.
        ohms: f64,
    },
}

/// What protects the contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Protection {
    /// Nothing.
    None,
    /// Resistor and capacitor in series across the contact.
    RcAcrossContact {
        /// Resistance, Ω.
        ohms: f64,
        /// Capacitance, F.
        farads: f64,
    },
    /// Resistor and capacitor in series across the load.
    RcAcrossLoad {
        /// Resistance, Ω.
        ohms: f64,
        /// Capacitance, F.
        farads: f64,
    },
    /// A diode across the load; with a Zener diode in series the breakdown voltage adds to the threshold.
    Diode {
        /// Voltage where it begins to conduct, V.
        threshold: f64,
        /// Resistance beyond, Ω.
        ohms: f64,
    },
    /// A varistor across the load, straightened: nothing below a voltage, a resistance beyond.
    Varistor {
        /// Voltage where it begins to conduct, either way, V.
        threshold: f64,
        /// Resistance beyond, Ω.
        ohms: f64,
    },
    /// A resistor across the load.
    ResistorAcrossLoad {
        /// Resistance, Ω.
        ohms: f64,
    },
    /// A resistor in series with the contact.
    SeriesResistor {
        /// Resistance, Ω.
        ohms: f64,
    },
    /// An inductor in series with the contact.
    SeriesInductor {
        /// Inductance, H.
        henries: f64,
        /// Its resistance, Ω.
        ohms: f64,
    },
}

/// A contact in its circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadCircuit {
    /// Supply, V: the peak of an alternating one.
    pub volts: f64,
    /// Its frequency, Hz; `None` of a direct voltage.
    pub hertz: Option<f64>,
    /// Resistance of supply and wires, Ω, above 0.
    pub source_ohms: f64,
    /// Inductance of the wires, H; about 1 µH a metre of two wires (from memory).
    pub source_henries: f64,
    /// The load.
    pub load: Load,
    /// Its protection.
    pub protection: Protection,
    /// Capacitance across the contact with its leads, F, above 0.
    pub contact_farads: f64,
    /// Resistance of the closed contact, Ω, above 0.
    pub contact_ohms: f64,
}

const SUPPLY: Node = 1;
const CONTACT: Node = 2;

impl LoadCircuit {
    /// The circuit as a network.
    pub fn network(&self) -> Network {
        let mut net = Network {
            nodes: 2,
            capacitors: vec![
                Capacitor { between: [SUPPLY, 0], farads: NODE_FARADS },
                Capacitor { between: [CONTACT, 0], farads: self.contact_farads },
            ],
            branches: Vec::new(),
            clamps: Vec::new(),
            contact: CONTACT,
            contact_ohms: self.contact_ohms,
            hertz: self.hertz,
        };
        branch(&mut net, [0, SUPPLY], self.volts, self.source_ohms, self.source_henries);
        // The side of the load away from the supply: the contact, or what is in series with it.
        let low = match self.protection {
            Protection::SeriesResistor { ohms } => series(&mut net, ohms, 0.0),
            Protection::SeriesInductor { henries, ohms } => series(&mut net, ohms, henries),
            _ => CONTACT,
        };
        match self.load {
            Load::Resistive { ohms } => branch(&mut net, [SUPPLY, low], 0.0, ohms, 0.0),
            Load::Inductive { henries, ohms } => {
                branch(&mut net, [SUPPLY, low], 0.0, ohms, henries)
            }
            Load::Capacitive { farads, ohms, bleed } => {
                let inner = node(&mut net);
                branch(&mut net, [SUPPLY, inner], 0.0, ohms, 0.0);
                branch(&mut net, [inner, low], 0.0, bleed, 0.0);
                net.capacitors.push(Capacitor { between: [inner, low], farads });
            }
            Load::Cable { farads, impedance, ohms } => {
                branch(&mut net, [SUPPLY, low], 0.0, ohms, 0.0);
                rc(&mut net, low, 0, impedance, farads);
            }
        }
        match self.protection {
            Protection::RcAcrossContact { ohms, farads } => rc(&mut net, low, 0, ohms, farads),
            Protection::RcAcrossLoad { ohms, farads } => rc(&mut net, low, SUPPLY, ohms, farads),
            Protection::Diode { threshold, ohms } => {
                net.clamps.push(Clamp { between: [low, SUPPLY], threshold, ohms })
            }
            Protection::Varistor { threshold, ohms } => {
                for between in [[low, SUPPLY], [SUPPLY, low]] {
                    net.clamps.push(Clamp { between, threshold, ohms });
                }
            }
            Protection::ResistorAcrossLoad { ohms } => {
                branch(&mut net, [SUPPLY, low], 0.0, ohms, 0.0)
            }
            Protection::None
            | Protection::SeriesResistor { .. }
            | Protection::SeriesInductor { .. } => {}
        }
        net
    }

    /// What happens when the contact opens, with arcs where `arc` allows them.
    ///
    /// # Errors
    /// As [`Network::transient`].
    pub fn opens(&self, arc: Option<ArcLimits>) -> Result<Transient, NetworkError> {
        self.network().transient(Contact::Open, arc, self.settling(Contact::Open))
    }

    /// What happens when the contact closes, once, without bounce.
    ///
    /// # Errors
    /// As [`Network::transient`].
    pub fn closes(&self) -> Result<Transient, NetworkError> {
        self.network().transient(Contact::Closed, None, self.settling(Contact::Closed))
    }

    /// How long it is worth looking after the contact has moved to `to`, s: eight of the slowest times of its parts, at
    /// least a microsecond; on alternating voltage at least a period. A capacitor empties through its bleed once the
    /// contact is open, and the contact has all of the supply then.
    pub fn settling(&self, to: Contact) -> f64 {
        let (ohms, load) = match self.load {
            Load::Capacitive { farads, ohms, bleed } if to == Contact::Open => {
                (bleed, (bleed + ohms + self.source_ohms) * farads)
            }
            Load::Resistive { ohms } => (ohms, self.source_henries / ohms),
            Load::Inductive { henries, ohms } => (ohms, henries / ohms),
            Load::Capacitive { farads, ohms, .. } => (ohms, (ohms + self.source_ohms) * farads),
            Load::Cable { farads, impedance, ohms } => (ohms, (ohms + impedance) * farads),
        };
        let protection = match self.protection {
            Protection::RcAcrossContact { ohms: r, farads }
            | Protection::RcAcrossLoad { ohms: r, farads } => (ohms + r) * farads,
            Protection::SeriesInductor { henries, .. } => henries / ohms,
            _ => 0.0,
        };
        let parts = 8.0 * (load + protection).max(ohms * self.contact_farads).max(1.25e-7);
        parts.max(self.hertz.map_or(0.0, f64::recip))
    }
}

fn node(net: &mut Network) -> Node {
    net.nodes += 1;
    net.capacitors.push(Capacitor { between: [net.nodes, 0], farads: NODE_FARADS });
    net.nodes
}

fn branch(net: &mut Network, between: [Node; 2], volts: f64, ohms: f64, henries: f64) {
    net.branches.push(Branch { between, volts, ohms, henries });
}

fn series(net: &mut Network, ohms: f64, henries: f64) -> Node {
    let low = node(net);
    branch(net, [low, CONTACT], 0.0, ohms, henries);
    low
}

fn rc(net: &mut Network, from: Node, to: Node, ohms: f64, farads: f64) {
    let inner = node(net);
    branch(net, [from, inner], 0.0, ohms, 0.0);
    net.capacitors.push(Capacitor { between: [inner, to], farads });
}

#[cfg(test)]
mod tests {
    use super::*;

    const COIL: LoadCircuit = LoadCircuit {
        volts: 24.0,
        hertz: None,
        source_ohms: 0.05,
        source_henries: 0.0,
        load: Load::Inductive { henries: 0.1, ohms: 99.9 },
        protection: Protection::None,
        contact_farads: 100e-12,
        contact_ohms: 0.05,
    };
    const ARC: ArcLimits = ArcLimits { volts: 12.0, amperes: 0.4 };

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// The coil swings the contact's capacitance to `I √(L/C)`, less what `½ R √(C/L) π/2` damps of it.
    #[test]
    fn cross_unclamped_peak() {
        let run = COIL.opens(None).expect("a network");
        let damping = 0.5 * 99.95 * (100e-12f64 / 0.1).sqrt();
        let peak =
            24.0 + 0.24 * (0.1f64 / 100e-12).sqrt() * (1.0 - damping * std::f64::consts::FRAC_PI_2);
        close(run.peak_voltage(), peak, 1e-3);
    }

    /// The time to nothing through a diode is `τ ln(1 + I R/V)`: then the voltage across the contact falls back.
    #[test]
    fn cross_a_diode_clamps_as_long_as_its_formula_says() {
        let protection = Protection::Diode { threshold: 24.7, ohms: 1e-3 };
        let run = LoadCircuit { protection, ..COIL }.opens(None).expect("a network");
        close(run.peak_voltage(), 48.7, 1e-3);
        let last = run.samples.iter().rev().find(|sample| sample.voltage > 48.6).expect("clamped");
        let coil = crate::turn_off::Inductive { henries: 0.1, ohms: 99.9, amperes: 0.24 };
        let clamp = crate::turn_off::Clamp::Zener { forward: 0.0, breakdown: 24.7 };
        close(last.time, coil.decay(clamp, 0.0), 2e-3);
    }

    /// A resistor and a capacitor without inductance in the load: at once `V + I R` less the supply's part, then an
    /// exponential; closing empties the capacitor through its resistor.
    #[test]
    fn cross_rc_across_the_contact() {
        let protection = Protection::RcAcrossContact { ohms: 47.0, farads: 1e-6 };
        let circuit = LoadCircuit { load: Load::Resistive { ohms: 100.0 }, protection, ..COIL };
        let run = circuit.opens(None).expect("a network");
        let tau = (100.05 + 47.0) * 1e-6;
        for sample in run.samples.iter().filter(|sample| sample.time > 1e-6) {
            let law = 24.0 * (1.0 - 100.05 / 147.05 * (-sample.time / tau).exp());
            assert!((sample.voltage - law).abs() < 0.02, "{sample:?}");
        }
        let run = circuit.closes().expect("a network");
        let from = circuit.network().own_discharge();
        close(run.peak_current(from), 24.0 / 47.05 + 24.0 / 100.1, 2e-3);
        // What the capacitor held, in the share of the contact, ½ C V² of the contact's own capacitance, and the
        // square of both currents.
        let snubber = 0.5e-6 * 576.0 * 0.05 / 47.05;
        let own = 0.5 * 100e-12 * 576.0;
        let steady = (24.0f64 / 100.1).powi(2) * 0.05 * circuit.settling(Contact::Closed);
        let together = 2.0 * 24.0 / 100.1 * 24e-6 * 0.05;
        close(run.energy, own + snubber + steady + together, 5e-3);
    }

    /// 1 A breaks with an arc that lasts until the current is 0.4 A: `τ ln((I − I∞)/(0.4 − I∞))` with I∞ what the
    /// supply drives against the arc's voltage.
    #[test]
    fn cross_an_arc_lasts_until_its_least_current() {
        let circuit = LoadCircuit { load: Load::Inductive { henries: 0.01, ohms: 23.9 }, ..COIL };
        let run = circuit.opens(Some(ARC)).expect("a network");
        let (r, against) = (24.0f64, 12.0 / 24.0);
        // 12 V of 24 remain: 0.5 A flow for good, more than 0.4: it never goes out.
        assert!(run.arc_time > 0.98 * circuit.settling(Contact::Open) && against > ARC.amperes);
        let arc = ArcLimits { volts: 18.0, amperes: 0.4 };
        let run = circuit.opens(Some(arc)).expect("a network");
        let rest = 6.0 / r;
        let lasts = 0.01 / r * ((1.0 - rest) / (0.4 - rest)).ln();
        close(run.arc_time, lasts, 5e-3);
        // Energy: voltage times charge.
        let charge = rest * lasts + 0.01 / r * (1.0 - 0.4);
        close(run.energy, 18.0 * charge, 1e-2);
    }

    /// Behind an opened contact a capacitor empties through its bleed: `V − V b/(b + R) e^(−t/τ)`, up to the supply.
    #[test]
    fn cross_an_open_contact_comes_to_have_the_supply() {
        let load = Load::Capacitive { farads: 5e-6, ohms: 0.4, bleed: 900.0 };
        let run = LoadCircuit { load, ..COIL }.opens(None).expect("a network");
        let (held, tau) = (24.0 * 900.0 / 900.5, 900.0 * 5e-6);
        for sample in run.samples.iter().filter(|sample| sample.time > 1e-5) {
            let law = 24.0 - held * (-sample.time / tau).exp();
            assert!((sample.voltage - law).abs() < 2e-3, "{sample:?} for {law}");
        }
        assert!(run.peak_voltage() > 23.98 && run.peak_voltage() < 24.0);
    }

    /// A choke swings with the contact's capacitance to `I √(L/C)`, far above an arc's voltage and far below its current:
    /// it is followed to its end, and no arc is lit.
    #[test]
    fn cross_a_choke_swings_with_the_contact() {
        let load = Load::Capacitive { farads: 5e-6, ohms: 0.4, bleed: 900.0 };
        let protection = Protection::SeriesInductor { henries: 15e-3, ohms: 0.1 };
        let circuit = LoadCircuit { load, protection, ..COIL };
        let run = circuit.opens(Some(ARC)).expect("followed to its end");
        let last = run.samples.last().expect("samples");
        close(last.time, circuit.settling(Contact::Open), 1e-9);
        // On its way the capacitor has lost little: the swing is about some millivolts.
        close(run.peak_voltage(), 24.0 / 900.6 * (15e-3f64 / 100e-12).sqrt(), 2e-3);
        assert!(run.arc_time == 0.0 && run.peak_voltage() > 20.0 * ARC.volts);
    }

    /// The rule's resistor and capacitor keep the arc away from a small current in a resistive load; a diode does
    /// from a coil below the least current.
    #[test]
    fn prop_protection_takes_the_arc_away() {
        let arc = ArcLimits { volts: 12.0, amperes: 0.2 };
        let bare = COIL.opens(Some(arc)).expect("a network");
        assert!(bare.arc_time > 0.0 && bare.energy > 0.0);
        let protection = Protection::RcAcrossContact { ohms: 22.0, farads: 0.47e-6 };
        let with = LoadCircuit { protection, ..COIL }.opens(Some(arc)).expect("a network");
        assert_eq!((with.arc_time, with.energy), (0.0, 0.0));
        assert!(with.peak_voltage() < bare.peak_voltage());
    }

    /// A series resistor holds the peak into a capacitor to the voltage over all resistances, an inductor below
    /// `V √(C/L)`.
    #[test]
    fn cross_peak_into_a_capacitor() {
        let load = Load::Capacitive { farads: 100e-6, ohms: 0.3, bleed: 10e3 };
        let peak = |protection| {
            let circuit = LoadCircuit { load, protection, ..COIL };
            let from = circuit.network().own_discharge();
            circuit.closes().expect("a network").peak_current(from)
        };
        close(peak(Protection::None), 24.0 / 0.4, 2e-3);
        close(peak(Protection::SeriesResistor { ohms: 10.0 }), 24.0 / 10.4, 2e-3);
        let held = peak(Protection::SeriesInductor { henries: 100e-6, ohms: 0.2 });
        assert!(held < 24.0 * (100e-6f64 / 100e-6).sqrt() && held > 10.0, "{held}");
    }

    /// The charge that a cable's contact takes over is the cable's, and what the load drives meanwhile.
    #[test]
    fn prop_a_cables_charge_passes_the_contact() {
        let load = Load::Cable { farads: 5e-9, impedance: 120.0, ohms: 10e3 };
        let circuit = LoadCircuit { load, ..COIL };
        let run = circuit.closes().expect("a network");
        let charge = (5e-9 + 100e-12) * 24.0 + 24.0 / 10e3 * circuit.settling(Contact::Closed);
        close(run.charge, charge, 1e-2);
    }

    /// On alternating voltage a coil breaks at its peak of current: through a varistor it is gone as on a direct
    /// voltage of what the supply then is, and an arc ends where the current would pass zero at the latest.
    #[test]
    fn cross_alternating_voltage() {
        let volts = 230.0 * 2f64.sqrt();
        let load = Load::Inductive { henries: 0.5, ohms: 200.0 };
        let protection = Protection::Varistor { threshold: 390.0, ohms: 1e-3 };
        let circuit = LoadCircuit { volts, hertz: Some(50.0), load, protection, ..COIL };
        let run = circuit.opens(None).expect("a network");
        let z = 200.1f64.hypot(std::f64::consts::TAU * 50.0 * 0.5);
        let closed = circuit.network().before(Contact::Closed, 0.0).expect("a network");
        close(closed[CONTACT - 1] / COIL.contact_ohms, volts / z, 1e-3);
        // The varistor stands across the load: what the contact sees is the supply on top.
        assert!(run.peak_voltage() > 390.0 && run.peak_voltage() < 390.0 + volts);
        let bare = LoadCircuit { protection: Protection::None, ..circuit };
        let arc = bare.opens(Some(ARC)).expect("a network");
        assert!(arc.arc_time > 1e-3 && arc.arc_time < 10e-3, "{}", arc.arc_time);
        let low = Protection::Varistor { threshold: 200.0, ohms: 1.0 };
        let conducts = LoadCircuit { protection: low, ..circuit }.opens(None);
        assert_eq!(conducts, Err(NetworkError::Conducts));
    }

    /// At rest a resistor's contact takes the sine of the supply, whatever the steps.
    #[test]
    fn cross_an_open_contact_swings_with_the_supply() {
        let load = Load::Resistive { ohms: 100.0 };
        let circuit = LoadCircuit { volts: 100.0, hertz: Some(50.0), load, ..COIL };
        let run = circuit.opens(None).expect("a network");
        for sample in run.samples.iter().filter(|sample| sample.time > 1e-6) {
            let law = 100.0 * (std::f64::consts::TAU * 50.0 * sample.time).cos();
            assert!((sample.voltage - law).abs() < 0.05, "{sample:?} for {law}");
        }
    }
}
