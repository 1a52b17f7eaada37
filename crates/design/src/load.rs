//! What a contact switches.

use crate::basis::{Basis, Model};
use crate::figures::Figure;
use crate::model::Contact;
use crate::schema::Measure;
use crate::value::Value;
use reedmace_applied::protect;
use reedmace_units::{
    Capacitance, Current, Duration, Frequency, Inductance, Power, Resistance, Voltage,
};
use std::ops::Range;

/// `[[load]]`: a load and what protects the contact that switches it.
#[derive(Debug, Clone, PartialEq)]
pub struct Switched {
    /// Its name.
    pub name: String,
    /// Index of the contact.
    pub contact: usize,
    /// What it is.
    pub kind: LoadKind,
    /// Voltage of the supply, effective.
    pub supply: Value<Voltage>,
    /// Its frequency; `None` of a direct voltage.
    pub frequency: Option<Value<Frequency>>,
    /// What it draws.
    pub draw: Draw,
    /// Measured inrush, if stated.
    pub inrush: Option<Value<Current>>,
    /// How long that lasts, if stated.
    pub inrush_time: Option<Value<Duration>>,
    /// Resistance of supply and wires.
    pub source_resistance: Value<Resistance>,
    /// Capacitance right across the contact.
    pub stray: Value<Capacitance>,
    /// How often it is switched.
    pub rate: Value<Frequency>,
    /// What protects the contact, if anything.
    pub protect: Option<Protect>,
    /// The user's note.
    pub note: Option<String>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// What a load is.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadKind {
    /// Takes the same from the start.
    Resistive,
    /// A filament.
    Lamp,
    /// A motor, with the inductance of its winding if known.
    Motor(Option<Value<Inductance>>),
    /// A coil.
    Inductive(Value<Inductance>),
    /// A capacitor or a supply with one at its door.
    Capacitive {
        /// Its capacitance.
        capacitance: Value<Capacitance>,
        /// Resistance in series with it.
        series: Value<Resistance>,
    },
    /// A resistive load at the far end of a cable.
    Cable {
        /// Capacitance of the whole cable.
        capacitance: Value<Capacitance>,
        /// Wave impedance.
        impedance: Value<Resistance>,
    },
}

/// What a load draws.
#[derive(Debug, Clone, PartialEq)]
pub enum Draw {
    /// Its resistance.
    Resistance(Value<Resistance>),
    /// Its steady current, effective.
    Current(Value<Current>),
    /// Its steady power.
    Power(Value<Power>),
}

/// What protects a contact, with the parts that are stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Protect {
    /// Which kind.
    pub kind: protect::Kind,
    /// Resistance, if stated.
    pub resistance: Option<Value<Resistance>>,
    /// Capacitance, if stated.
    pub capacitance: Option<Value<Capacitance>>,
    /// Breakdown or threshold, if stated.
    pub voltage: Option<Value<Voltage>>,
    /// Inductance, if stated.
    pub inductance: Option<Value<Inductance>>,
}

/// A figure of a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadFigure {
    /// Voltage that the contact switches.
    Voltage,
    /// Current that it breaks.
    Break,
    /// Current that it makes.
    Make,
    /// Product of both at the break.
    Power,
    /// Current that it carries.
    Carried,
    /// Voltage to which an inductance swings the open contact.
    Surge,
    /// Over the greatest voltage it may switch.
    OfVoltage,
    /// Over the greatest current it may switch.
    OfCurrent,
    /// Over the greatest power it may switch.
    OfPower,
    /// Over the greatest current it may carry.
    OfCarry,
    /// Over the greatest current that opens without an arc.
    OfArc,
    /// Voltage across the closing faces over that at which they melt.
    OfMelting,
    /// Over the least voltage that it switches well.
    OfLeastVoltage,
    /// Over the least current that it switches well.
    OfLeastCurrent,
}

impl LoadFigure {
    /// Name before ` of` the load, measure, unit, meaning.
    pub fn facts(self) -> (&'static str, Measure, &'static str, &'static str) {
        match self {
            Self::Voltage => (
                "switched voltage",
                Measure::Voltage,
                "V",
                "Across the open contact: the peak of an alternating supply.",
            ),
            Self::Break => (
                "current at break",
                Measure::Current,
                "A",
                "What the contact interrupts: the steady current, its peak on alternating voltage. Resistances \
                 of supply and contact are left out, which is the severe side.",
            ),
            Self::Make => (
                "current at make",
                Measure::Current,
                "A",
                "Peak of what flows when the contact closes: as measured, or from what the capacitance, the cable, \
                 the cold filament or the motor takes at first, with what protects the contact: a resistor in series \
                 holds it down, a capacitor across the contact gives back what it holds. Usual ratios of lamps and \
                 motors are from memory.",
            ),
            Self::Power => (
                "switched power",
                Measure::Power,
                "W",
                "Switched voltage times current at break: on alternating voltage the product of both peaks, twice \
                 what a meter of volt-amperes shows.",
            ),
            Self::Carried => (
                "carried current",
                Measure::Current,
                "A",
                "Steady current through the closed contact, effective.",
            ),
            Self::Surge => (
                "unprotected surge",
                Measure::Voltage,
                "V",
                "Voltage to which the load's inductance would swing the open contact without protection, V + I √(L/C): \
                 an upper bound, because an arc or a breakdown comes first.",
            ),
            Self::OfVoltage => {
                of_rating("share of switching voltage", "Switched voltage over its rating.")
            }
            Self::OfCurrent => of_rating(
                "share of switching current",
                "The greater of the currents at make and at break over the rating.",
            ),
            Self::OfPower => {
                of_rating("share of switching power", "Switched power over its rating.")
            }
            Self::OfCarry => {
                of_rating("share of carry current", "Carried current over its rating.")
            }
            Self::OfArc => of_rating(
                "share of arc limit",
                "Current at break over the greatest that opens without an arc at the switched voltage in a \
                 resistive load, by the metal's least arc voltage and current in air; 0 where the voltage is too \
                 low for any.",
            ),
            Self::OfMelting => of_rating(
                "share of melting voltage",
                "Current at make times the contact's resistance, over the least voltage at which its metal melts: \
                 near 100 % faces may weld. The leads' part of the resistance is counted as the faces', which is \
                 the severe side.",
            ),
            Self::OfLeastVoltage => of_rating(
                "share of least voltage",
                "Switched voltage over the least that the contact switches well: below 100 % films may not be \
                 broken through.",
            ),
            Self::OfLeastCurrent => of_rating(
                "share of least current",
                "Current at break over the least that the contact switches well.",
            ),
        }
    }
}

fn of_rating(
    name: &'static str,
    about: &'static str,
) -> (&'static str, Measure, &'static str, &'static str) {
    (name, Measure::Number, "%", about)
}

impl Switched {
    /// What is told of it, in order; `contact`: the one that switches it.
    pub fn told(&self, contact: &Contact) -> Vec<LoadFigure> {
        use LoadFigure::*;
        let (ratings, faces) = (&contact.ratings, &contact.construction);
        let coil = match &self.kind {
            LoadKind::Inductive(_) => true,
            LoadKind::Motor(inductance) => inductance.is_some(),
            _ => false,
        };
        let all = [
            (Voltage, true),
            (Break, true),
            (Make, true),
            (Power, true),
            (Carried, true),
            (Surge, coil),
            (OfVoltage, ratings.switching_voltage.is_some()),
            (OfCurrent, ratings.switching_current.is_some()),
            (OfPower, ratings.switching_power.is_some()),
            (OfCarry, ratings.carry_current.is_some()),
            (OfArc, faces.arc_limits().is_some()),
            (OfMelting, faces.metal.is_some()),
            (OfLeastVoltage, ratings.least_voltage.is_some()),
            (OfLeastCurrent, ratings.least_current.is_some()),
        ];
        all.into_iter().filter(|(_, told)| *told).map(|(figure, _)| figure).collect()
    }

    /// The name of a figure of this load: `current at break of pump`.
    pub fn figure_name(&self, figure: LoadFigure) -> String {
        format!("{} of {}", figure.facts().0, self.name)
    }

    /// Where a figure of it is from.
    fn source(&self, figure: LoadFigure) -> &'static str {
        match figure {
            LoadFigure::Make if self.inrush.is_some() => "the stated inrush",
            LoadFigure::Make if matches!(self.kind, LoadKind::Lamp | LoadKind::Motor(_)) => {
                "usual ratios, from memory"
            }
            LoadFigure::Surge => "energy of the inductance in the stray capacitance",
            LoadFigure::OfArc | LoadFigure::OfMelting => "[holm1967]; the metal's row",
            LoadFigure::Voltage | LoadFigure::Break | LoadFigure::Make | LoadFigure::Carried => {
                "Ohm's law"
            }
            _ => "arithmetic",
        }
    }

    /// What is told of it, in the order in which `engine` tells the values.
    pub(crate) fn figures(&self, contacts: &[Contact]) -> Vec<Figure> {
        let figure = |told: LoadFigure| {
            let (_, measure, unit, about) = told.facts();
            let basis = Basis::new(Model::Loads, self.source(told));
            Figure::new("load", self.figure_name(told), (measure, unit), about, basis)
                .from(&[self.contact])
        };
        self.told(&contacts[self.contact]).into_iter().map(figure).collect()
    }
}
