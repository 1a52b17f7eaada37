//! What a contact switches, of one unit.

use crate::quantity::Quantified;
use crate::realise::Pick;
use reedmace_applied::arcs::arcless_current;
use reedmace_applied::inrush::{LoadKind as Usual, swing};
use reedmace_applied::load_circuit::{Load, LoadCircuit, Protection};
use reedmace_applied::network::ArcLimits;
use reedmace_applied::protect::{Case, Stated, choose};
use reedmace_design::{Contact, Design, Draw, LoadFigure, LoadKind, Switched, Value};
use reedmace_units::Quantity;
use std::f64::consts::{SQRT_2, TAU};

/// A load at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LoadAt {
    told: Vec<LoadFigure>,
    kind: KindAt,
    /// Effective.
    volts: f64,
    pub hertz: Option<f64>,
    ohms: f64,
    /// Effective, steady.
    amperes: f64,
    inrush: Option<f64>,
    source_ohms: f64,
    stray: f64,
    rate: f64,
    contact_ohms: f64,
    ratings: RatingsAt,
    pub arc: Option<ArcLimits>,
    /// Voltage across the closed faces at which they melt.
    melting: Option<f64>,
    /// Parts that the design states.
    pub stated: Stated,
    /// What protects the contact.
    protection: Protection,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum KindAt {
    Resistive,
    Lamp,
    Motor(Option<f64>),
    Inductive(f64),
    Capacitive { farads: f64, series: f64 },
    Cable { farads: f64, impedance: f64 },
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct RatingsAt {
    power: Option<f64>,
    voltage: Option<f64>,
    current: Option<f64>,
    carry: Option<f64>,
    least_voltage: Option<f64>,
    least_current: Option<f64>,
}

/// Each quantity of a load at the limit that is hardest for the contact, all else nominal.
pub(crate) fn hardest(q: &dyn Quantified) -> f64 {
    let path = q.path();
    // Less resistance lets more flow, and a slower supply drives an inductance longer.
    let less = ["resistance", "impedance", "frequency"];
    let low = less.iter().any(|word| path.ends_with(word)) && !path.contains("protect_");
    match (path.starts_with("load["), low) {
        (false, _) => q.limits().nominal,
        (true, true) => q.limits().low,
        (true, false) => q.limits().high,
    }
}

/// Of an unrated contact: so many times the supply's voltage, or the steady current, is taken for what it may see.
const UNRATED: f64 = 3.0;

impl LoadAt {
    /// Every load of a design, with every quantity as `pick` has it.
    pub fn of(design: &Design, pick: &Pick) -> Vec<Self> {
        let of = |load: &Switched| {
            let contact = &design.contacts[load.contact];
            let at = Self::one(load, contact, pick);
            let Some(protect) = &load.protect else { return at };
            // Parts are bought once, for the hardest unit.
            let case = Self::one(load, contact, &hardest).case();
            let chosen = choose(protect.kind, &case, at.stated);
            Self { protection: chosen.map_or(Protection::None, |c| c.protection), ..at }
        };
        design.loads.iter().map(of).collect()
    }

    fn one(load: &Switched, contact: &Contact, pick: &Pick) -> Self {
        let volts = pick(&load.supply);
        let hertz = load.frequency.as_ref().map(|f| pick(f));
        let kind = match &load.kind {
            LoadKind::Resistive => KindAt::Resistive,
            LoadKind::Lamp => KindAt::Lamp,
            LoadKind::Motor(henries) => KindAt::Motor(henries.as_ref().map(|l| pick(l))),
            LoadKind::Inductive(henries) => KindAt::Inductive(pick(henries)),
            LoadKind::Capacitive { capacitance, series } => {
                KindAt::Capacitive { farads: pick(capacitance), series: pick(series) }
            }
            LoadKind::Cable { capacitance, impedance } => {
                KindAt::Cable { farads: pick(capacitance), impedance: pick(impedance) }
            }
        };
        let reactance = TAU * hertz.unwrap_or(0.0) * kind.henries().unwrap_or(0.0);
        let ohms = match &load.draw {
            Draw::Resistance(ohms) => pick(ohms),
            Draw::Current(amperes) => ((volts / pick(amperes)).powi(2) - reactance.powi(2)).sqrt(),
            Draw::Power(watts) => {
                let (watts, square) = (pick(watts), volts * volts);
                let root = (square * square - (2.0 * watts * reactance).powi(2)).sqrt();
                (square + root) / (2.0 * watts)
            }
        };
        let amperes = match kind {
            KindAt::Capacitive { farads, .. } => {
                volts * (1.0 / ohms).hypot(TAU * hertz.unwrap_or(0.0) * farads)
            }
            _ => volts / ohms.hypot(reactance),
        };
        let protect = load.protect.as_ref();
        let stated = Stated {
            ohms: protect.and_then(|p| some(&p.resistance, pick)),
            farads: protect.and_then(|p| some(&p.capacitance, pick)),
            volts: protect.and_then(|p| some(&p.voltage, pick)),
            henries: protect.and_then(|p| some(&p.inductance, pick)),
        };
        let rated = &contact.ratings;
        let metal = contact.construction.metal.as_ref();
        Self {
            told: load.told(contact),
            kind,
            volts,
            hertz,
            ohms,
            amperes,
            inrush: some(&load.inrush, pick),
            source_ohms: pick(&load.source_resistance),
            stray: pick(&load.stray),
            rate: pick(&load.rate),
            contact_ohms: pick(&contact.construction.resistance),
            ratings: RatingsAt {
                power: some(&rated.switching_power, pick),
                voltage: some(&rated.switching_voltage, pick),
                current: some(&rated.switching_current, pick),
                carry: some(&rated.carry_current, pick),
                least_voltage: some(&rated.least_voltage, pick),
                least_current: some(&rated.least_current, pick),
            },
            arc: contact.construction.arc_limits(),
            melting: metal.map(|metal| metal.melting_voltage.low.si()),
            stated,
            protection: Protection::None,
        }
    }

    /// Adds the figures of the load, in the order of the design.
    pub fn tell(&self, figures: &mut Vec<f64>) {
        figures.extend(self.told.iter().map(|figure| self.figure(*figure)));
    }

    fn figure(&self, figure: LoadFigure) -> f64 {
        let over = |value: f64, limit: Option<f64>| limit.map_or(f64::NAN, |limit| value / limit);
        let rated = &self.ratings;
        match figure {
            LoadFigure::Voltage => self.peak(),
            LoadFigure::Break => self.breaks(),
            LoadFigure::Make => self.makes(),
            LoadFigure::Power => self.peak() * self.breaks(),
            LoadFigure::Carried => self.amperes,
            LoadFigure::Surge => {
                let henries = self.kind.henries().unwrap_or(0.0);
                self.peak() + self.breaks() * (henries / self.stray).sqrt()
            }
            LoadFigure::OfVoltage => over(self.peak(), rated.voltage),
            LoadFigure::OfCurrent => over(self.breaks().max(self.makes()), rated.current),
            LoadFigure::OfPower => over(self.peak() * self.breaks(), rated.power),
            LoadFigure::OfCarry => over(self.amperes, rated.carry),
            LoadFigure::OfArc => {
                over(self.breaks(), self.arc.map(|arc| arcless_current(arc, self.peak())))
            }
            LoadFigure::OfMelting => over(self.makes() * self.contact_ohms, self.melting),
            LoadFigure::OfLeastVoltage => over(self.peak(), rated.least_voltage),
            LoadFigure::OfLeastCurrent => over(self.breaks(), rated.least_current),
        }
    }

    /// Peak of the supply.
    fn peak(&self) -> f64 {
        self.volts * self.crest()
    }

    fn crest(&self) -> f64 {
        if self.hertz.is_some() { SQRT_2 } else { 1.0 }
    }

    fn breaks(&self) -> f64 {
        self.amperes * self.crest()
    }

    /// Peak when it closes, with what protects the contact: the greatest there can be, as if what comes from the
    /// protection and what the load takes came at one moment, but for an inductance, which takes nothing at first.
    fn makes(&self) -> f64 {
        let (bare, peak) = (self.makes_bare(), self.peak());
        let wires = self.source_ohms + self.contact_ohms;
        let at_once = if matches!(self.kind, KindAt::Inductive(_)) { 0.0 } else { bare };
        match self.protection {
            Protection::None | Protection::Diode { .. } | Protection::Varistor { .. } => bare,
            Protection::RcAcrossContact { ohms, .. } => {
                bare.max(at_once + peak / (ohms + self.contact_ohms))
            }
            Protection::RcAcrossLoad { ohms, .. } => bare.max(at_once + peak / (ohms + wires)),
            Protection::ResistorAcrossLoad { ohms } => bare + peak / (ohms + wires),
            Protection::SeriesResistor { ohms } => match self.kind {
                KindAt::Cable { impedance, .. } => {
                    peak / (impedance + self.contact_ohms + ohms) + peak / (self.ohms + ohms)
                }
                _ => peak / (peak / bare + ohms),
            },
            Protection::SeriesInductor { henries, ohms } => match self.kind {
                KindAt::Capacitive { farads, series } => {
                    swing(peak, henries, series + wires + ohms, farads)
                }
                KindAt::Cable { farads, impedance } => {
                    swing(peak, henries, impedance + self.contact_ohms + ohms, farads)
                        + self.breaks()
                }
                _ => bare,
            },
        }
    }

    fn makes_bare(&self) -> f64 {
        let steady = self.breaks();
        let usual = |kind: Usual| steady * kind.usual_inrush()[1];
        let wires = self.source_ohms + self.contact_ohms;
        self.inrush.unwrap_or(match self.kind {
            KindAt::Resistive => steady,
            KindAt::Lamp => usual(Usual::Lamp),
            KindAt::Motor(_) => usual(Usual::Motor),
            // Closed at the worst moment the current begins a whole swing away from where it will swing about.
            KindAt::Inductive(_) if self.hertz.is_some() => 2.0 * steady,
            KindAt::Inductive(_) => steady,
            KindAt::Capacitive { series, .. } => self.peak() / (series + wires),
            KindAt::Cable { impedance, .. } => {
                self.peak() / (impedance + self.contact_ohms) + steady
            }
        })
    }

    /// The circuit without protection, as it is when the contact closes, or opens.
    pub fn circuit(&self, closing: bool) -> LoadCircuit {
        let wires = self.source_ohms + self.contact_ohms;
        // What lets just the inrush through.
        let cold = (self.peak() / self.makes_bare() - wires).max(1e-3);
        let load = match self.kind {
            KindAt::Lamp | KindAt::Motor(_) if closing => Load::Resistive { ohms: cold },
            KindAt::Resistive | KindAt::Lamp | KindAt::Motor(None) => {
                Load::Resistive { ohms: self.ohms }
            }
            KindAt::Inductive(henries) | KindAt::Motor(Some(henries)) => {
                Load::Inductive { henries, ohms: self.ohms }
            }
            KindAt::Capacitive { farads, .. } => {
                Load::Capacitive { farads, ohms: cold, bleed: self.ohms }
            }
            KindAt::Cable { farads, impedance } => {
                Load::Cable { farads, impedance, ohms: self.ohms }
            }
        };
        LoadCircuit {
            volts: self.peak(),
            hertz: self.hertz,
            source_ohms: self.source_ohms,
            source_henries: 0.0,
            load,
            protection: Protection::None,
            contact_farads: self.stray,
            contact_ohms: self.contact_ohms,
        }
    }

    /// What a protection is sized for.
    pub fn case(&self) -> Case {
        Case {
            bare: self.circuit(false),
            amperes: self.breaks(),
            most_volts: self.ratings.voltage.unwrap_or(UNRATED * self.peak()),
            most_amperes: self.ratings.current.unwrap_or(UNRATED * self.breaks()),
            rate: self.rate,
            arc: self.arc,
        }
    }
}

impl KindAt {
    fn henries(self) -> Option<f64> {
        match self {
            Self::Inductive(henries) => Some(henries),
            Self::Motor(henries) => henries,
            _ => None,
        }
    }
}

fn some<Q: Quantity>(value: &Option<Value<Q>>, pick: &Pick) -> Option<f64> {
    value.as_ref().map(|value| pick(value))
}
