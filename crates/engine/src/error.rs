//! What can go wrong when a checked design meets the physics.

use reedmace_contact::CircuitError;
use reedmace_fields::FieldError;
use reedmace_fields::steel::SteelError;

/// A design that cannot be computed, although it is well formed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EngineError {
    /// A contact's circuit cannot be set up within the tolerances.
    #[error("contact `{name}`: {why} (at some corner of its tolerances)")]
    Contact {
        /// The contact.
        name: String,
        /// Why.
        why: CircuitError,
    },
    /// A circuit cannot be set up.
    #[error(transparent)]
    Circuit(#[from] CircuitError),
    /// A magnet cannot exist within the tolerances.
    #[error("magnet `{name}`: {why} (at some corner of its tolerances)")]
    Magnet {
        /// The magnet.
        name: String,
        /// Why.
        why: FieldError,
    },
    /// Steel that cannot be computed within the tolerances.
    #[error("steel: {0}")]
    Steel(#[from] SteelError),
    /// A float that cannot swim within the tolerances.
    #[error(
        "float: it sinks where it weighs {grams} g and the liquid {density} kg/m³ (at some corner of its tolerances)"
    )]
    Sinks {
        /// Its mass, g.
        grams: String,
        /// Density of the liquid, kg/m³.
        density: String,
    },
    /// A liquid that is none within the tolerances.
    #[error("float: water is no liquid at {celsius} °C")]
    NotLiquid {
        /// Temperature, °C.
        celsius: String,
    },
    /// A map was asked of something that has none.
    #[error("{0}")]
    NoMap(String),
    /// Something cannot be put where it was wanted.
    #[error("{0}")]
    NoPlace(String),
    /// A conversion that cannot be made.
    #[error("{0}")]
    NoConversion(String),
    /// A choice that cannot be made.
    #[error("{0}")]
    NoChoice(String),
    /// A load whose circuit cannot be followed.
    #[error("the circuit of load \"{load}\" cannot be followed: {why}")]
    Load {
        /// Its name.
        load: String,
        /// What stands in the way.
        why: String,
    },
    /// Blades whose motion cannot be followed.
    #[error("contact `{name}`: {why}")]
    Motion {
        /// The contact.
        name: String,
        /// Why.
        why: reedmace_applied::motion::MotionError,
    },
    /// Work that nobody wants any more.
    #[error("given up before it was done")]
    GivenUp,
    /// A study of units whose design has no tolerance.
    #[error("no quantity of the design carries a tolerance, so every unit is the nominal one")]
    NothingVaries,
    /// A range of units that is none of the study's.
    #[error(
        "units {from}..{to} of {of}: a range lies in the study and begins and ends with blocks of 4096 units"
    )]
    Range {
        /// First unit.
        from: u64,
        /// One past the last.
        to: u64,
        /// Units of the study.
        of: u64,
    },
    /// Results that do not belong together.
    #[error("the results cannot be merged: {why}")]
    Unmergeable {
        /// Why.
        why: String,
    },
    /// Numbers of units or figures that statistics refuse.
    #[error(transparent)]
    Sampling(#[from] reedmace_sampling::SamplingError),
}

impl EngineError {
    /// The same fault, said of a contact.
    pub(crate) fn of(self, name: &str) -> Self {
        match self {
            Self::Circuit(why) => Self::Contact { name: name.to_owned(), why },
            other => other,
        }
    }
}
