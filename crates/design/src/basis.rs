//! Which of the engine's models makes a number, and where its formula is from.

/// A model that makes numbers, by the name that it has in every answer; `engine` tells how good each is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Model {
    /// The contact's circuit.
    Contact,
    /// The same with iron that saturates.
    Saturation,
    /// Fields of magnets.
    Magnets,
    /// Strength of a grade.
    Grades,
    /// What a magnet loses for good.
    WorkingPoints,
    /// Fields of coils.
    Coils,
    /// Contacts that share the flux of a coil.
    Shared,
    /// Wire on a bobbin.
    Windings,
    /// Coils that are warm.
    WarmCoils,
    /// How a float swims.
    Float,
    /// Volume of a tank.
    Tank,
    /// Waves in it.
    Slosh,
    /// A chain of resistors.
    Ladder,
    /// Fields of straight conductors.
    Conductors,
    /// Fields of motors and the like.
    Motors,
    /// The earth's field.
    Earth,
    /// Pulses and flow of a wheel.
    Wheel,
    /// What a contact is made of.
    Construction,
    /// How it closes and opens.
    Times,
    /// What it switches.
    Loads,
    /// How long it lasts.
    Life,
    /// Steel that passes a contact.
    Target,
    /// A contact that remembers.
    Latch,
    /// Steel beside a contact.
    Steel,
    /// Magnets from outside.
    Outsiders,
    /// Where a contact operates and releases.
    Events,
    /// The corners of the tolerances.
    WorstCase,
    /// The share of few units in a check.
    Shares,
    /// The many units of a study.
    Units,
    /// The search for an arrangement.
    Choice,
}

impl Model {
    /// Its name in answers and reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::Contact => "Contact",
            Self::Saturation => "Saturation",
            Self::Magnets => "Magnets",
            Self::Grades => "Grades",
            Self::WorkingPoints => "Working points",
            Self::Coils => "Coils",
            Self::Shared => "Contacts in one coil",
            Self::Windings => "Windings",
            Self::WarmCoils => "Warm coils",
            Self::Float => "Float",
            Self::Tank => "Tank",
            Self::Slosh => "Slosh",
            Self::Ladder => "Ladder",
            Self::Conductors => "Conductors",
            Self::Motors => "Motors",
            Self::Earth => "Earth",
            Self::Wheel => "Wheel",
            Self::Construction => "Construction",
            Self::Times => "Times of a relay",
            Self::Loads => "Loads",
            Self::Life => "Life",
            Self::Target => "Steel target",
            Self::Latch => "Latch",
            Self::Steel => "Steel",
            Self::Outsiders => "Outside magnets",
            Self::Events => "Events",
            Self::WorstCase => "Worst case",
            Self::Shares => "Share of units",
            Self::Units => "Units",
            Self::Choice => "Choice",
        }
    }
}

/// What a number rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Basis {
    /// The model that makes it.
    pub model: Model,
    /// Where its formula is from: keys of REFERENCES.md in square brackets; where there are none, what it is instead.
    pub source: &'static str,
}

impl Basis {
    /// That of whatever follows from where contacts operate and release.
    pub const EVENTS: Self = Self::new(Model::Events, "[oliveira2020] [iec62246]");

    /// A model and its source.
    pub const fn new(model: Model, source: &'static str) -> Self {
        Self { model, source }
    }
}
