//! How the tables and keys of a design are described.
//!
//! One description feeds the reader, its messages, the JSON Schema and the documents; the tables
//! themselves are in [`keys`](crate::keys).

use reedmace_units::{
    Acceleration, AmpereTurns, Angle, Capacitance, Current, Density, Duration, FlowRate,
    FluxDensity, Frequency, Inductance, Length, Mass, Polarization, Power, Pressure, Quantity,
    Ratio, Resistance, Temperature, ThermalResistance, Toleranced, Unit, Voltage, Volume,
};

/// Which quantity a key holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// Flux density in space.
    FluxDensity,
    /// Polarization of a material.
    Polarization,
    /// Magnetomotive force.
    AmpereTurns,
    /// Electric current.
    Current,
    /// Voltage.
    Voltage,
    /// Power.
    Power,
    /// A temperature.
    Temperature,
    /// Mass per volume.
    Density,
    /// A volume.
    Volume,
    /// Volume per time.
    FlowRate,
    /// A span of time.
    Duration,
    /// A frequency.
    Frequency,
    /// A pressure.
    Pressure,
    /// An acceleration.
    Acceleration,
    /// Inductance.
    Inductance,
    /// Capacitance.
    Capacitance,
    /// Temperature rise per power.
    ThermalResistance,
    /// Resistance.
    Resistance,
    /// A mass.
    Mass,
    /// A pure number; may also be written bare.
    Number,
}

impl Measure {
    /// Its name in messages.
    pub fn name(self) -> &'static str {
        self.facts().0
    }

    /// Every unit it may be written in.
    pub fn units(self) -> &'static [Unit] {
        self.facts().1
    }

    fn facts(self) -> (&'static str, &'static [Unit]) {
        fn of<Q: Quantity>() -> (&'static str, &'static [Unit]) {
            (Q::NAME, Q::UNITS)
        }
        match self {
            Self::Length => of::<Length>(),
            Self::Angle => of::<Angle>(),
            Self::FluxDensity => of::<FluxDensity>(),
            Self::Polarization => of::<Polarization>(),
            Self::AmpereTurns => of::<AmpereTurns>(),
            Self::Current => of::<Current>(),
            Self::Voltage => of::<Voltage>(),
            Self::Power => of::<Power>(),
            Self::Temperature => of::<Temperature>(),
            Self::Density => of::<Density>(),
            Self::Volume => of::<Volume>(),
            Self::FlowRate => of::<FlowRate>(),
            Self::Duration => of::<Duration>(),
            Self::Frequency => of::<Frequency>(),
            Self::Pressure => of::<Pressure>(),
            Self::Acceleration => of::<Acceleration>(),
            Self::Inductance => of::<Inductance>(),
            Self::Capacitance => of::<Capacitance>(),
            Self::ThermalResistance => of::<ThermalResistance>(),
            Self::Resistance => of::<Resistance>(),
            Self::Mass => of::<Mass>(),
            Self::Number => of::<Ratio>(),
        }
    }
}

/// The least and the greatest value a quantity may have, ends included, as text with units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Least.
    pub low: &'static str,
    /// Greatest.
    pub high: &'static str,
}

impl Limits {
    /// Both ends as quantities.
    pub fn ends<Q: Quantity>(self) -> (Q, Q) {
        let end = |text: &str| {
            text.parse::<Toleranced<Q>>().expect("every limit is tested to parse").nominal
        };
        (end(self.low), end(self.high))
    }
}

/// A quantity and its limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Measured {
    /// Which quantity.
    pub measure: Measure,
    /// Between which ends.
    pub limits: Limits,
}

/// What a key may hold.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// Free text.
    Text,
    /// The name of a thing: text, not empty, without brackets and points.
    Name,
    /// A list of file names.
    Files,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A whole number between these, ends included.
    Count(u32, u32),
    /// One quantity.
    One(Measured),
    /// A quantity of one of two measures.
    Either(Measured, Measured),
    /// Three quantities, for x, y and z.
    Three(Measured),
    /// Three bare numbers, not all zero.
    Direction,
    /// A coil as a table of its dimensions, the name of a coil, or `"uniform"`.
    TestCoil,
    /// A name, or a list of names, of contacts, magnets, coils or bodies of steel.
    Names,
    /// A list of two or more paths of quantities, such as `contact[lid].operate`.
    Quantities,
    /// A list of bare numbers.
    Numbers,
    /// `"<= 8 mm"`, `">= 22 mm"` or `"3..8 mm"`, in the sweep's coordinate.
    Region,
    /// Rows of three lengths and, if wanted, three angles.
    Poses,
    /// Rows of a level and a volume.
    Strapping,
    /// Paths of the design, each with names or a range to choose from.
    Free,
    /// A table, `[name]`.
    Table(&'static Table),
    /// Any number of tables, `[[name]]`.
    Tables(&'static Table),
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It must.
    Required,
    /// It need not; this is taken instead. For a triple the text is that of each of the three, for a
    /// direction that of all three.
    Default(&'static str),
    /// It need not.
    Optional,
}

/// One key of a table.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// As written in the file.
    pub name: &'static str,
    /// What it may hold.
    pub kind: Kind,
    /// Whether it must be there.
    pub need: Need,
    /// The key belongs only where the first named key holds one of these words.
    pub only: Option<(&'static str, &'static [&'static str])>,
    /// What it means, one sentence.
    pub doc: &'static str,
    /// A value as it may stand in a file; empty for tables.
    pub example: &'static str,
}

impl Key {
    /// A key that must be there.
    pub const fn required(
        name: &'static str,
        kind: Kind,
        example: &'static str,
        doc: &'static str,
    ) -> Self {
        Self { name, kind, need: Need::Required, only: None, doc, example }
    }

    /// A key that need not be there.
    pub const fn optional(
        name: &'static str,
        kind: Kind,
        example: &'static str,
        doc: &'static str,
    ) -> Self {
        Self { name, kind, need: Need::Optional, only: None, doc, example }
    }

    /// Takes `text` when the key is absent.
    pub const fn or(mut self, text: &'static str) -> Self {
        self.need = Need::Default(text);
        self
    }

    /// Belongs only where `key` holds one of `words`.
    pub const fn only(mut self, key: &'static str, words: &'static [&'static str]) -> Self {
        self.only = Some((key, words));
        self
    }
}

/// One way of filling in keys that belong together.
#[derive(Debug)]
pub struct Alternative {
    /// Keys that must be there.
    pub with: &'static [&'static str],
    /// Keys that must not be there.
    pub without: &'static [&'static str],
}

/// Keys of which one alternative must hold.
#[derive(Debug)]
pub struct Choice {
    /// Only where this key holds this word.
    pub only: Option<(&'static str, &'static str)>,
    /// The alternatives.
    pub of: &'static [Alternative],
}

/// A table and its keys.
#[derive(Debug)]
pub struct Table {
    /// Its name in the file, without brackets.
    pub name: &'static str,
    /// What it describes, one sentence.
    pub doc: &'static str,
    /// A key naming a catalogue entry from which every other missing key may be taken.
    pub entry_key: Option<&'static str>,
    /// Keys of which one alternative must hold, beyond what each key says of itself.
    pub choices: &'static [Choice],
    /// Its keys, in groups shared between tables.
    pub keys: &'static [&'static [Key]],
}

impl Table {
    /// Every key.
    pub fn keys(&self) -> impl Iterator<Item = &'static Key> {
        self.keys.iter().flat_map(|group| group.iter())
    }

    /// The key of that name.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys().find(|key| key.name == name)
    }
}
