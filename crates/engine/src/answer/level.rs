//! What a level stem answers, for the nominal unit.

use super::{Band, EventKind, Verdict};
use schemars::JsonSchema;
use serde::Serialize;

/// A level stem in its tank.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LevelAnswer {
    /// What the float swims in.
    pub liquid: String,
    /// Its density, kg/m³.
    #[serde(rename = "density_kg_m3")]
    pub density: f64,
    /// From the underside of the float up to the surface, mm.
    #[serde(rename = "draught_mm")]
    pub draught: f64,
    /// Force that brings the float back, N for each mm.
    #[serde(rename = "stiffness_N_per_mm")]
    pub stiffness: f64,
    /// Levels at which it leaves its lower stop and comes to its upper one, mm.
    #[serde(rename = "swims_mm")]
    pub swims: [f64; 2],
    /// How deep it swims in every liquid of the table that it floats on.
    pub liquids: Vec<LiquidAnswer>,
    /// Level and volume of the full tank, if the tank is stated.
    pub tank: Option<TankAnswer>,
    /// How the surface swings at the contacts' levels, if that is asked for.
    pub slosh: Vec<SloshAnswer>,
    /// Its contacts, in the design's order.
    pub stages: Vec<StageAnswer>,
    /// Levels at which a reading begins or ends, either way, lowest first, with what is read above each.
    pub calibration: Vec<CalibrationAnswer>,
    /// Unit of the ladder's output; empty without one.
    pub output_unit: String,
    /// The resistors, in order, Ω; those not stated are left out.
    #[serde(rename = "resistors_ohm")]
    pub resistors: Vec<f64>,
    /// What is read as the level rises.
    pub rising: Vec<ReadingAnswer>,
    /// What is read as it falls.
    pub falling: Vec<ReadingAnswer>,
    /// What a contact that stays closed or never closes shows at the output; none without a ladder.
    pub faults: Vec<FaultAnswer>,
}

/// A contact of the stem, in its main lobe; `None` where the nominal unit has no such level.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StageAnswer {
    /// The contact.
    pub contact: String,
    /// Level at which it closes as the level rises.
    pub closes_rising: Option<Band>,
    /// Level at which it opens as the level rises on.
    pub opens_rising: Option<Band>,
    /// Level at which it closes as the level falls.
    pub closes_falling: Option<Band>,
    /// Level at which it opens as the level falls on.
    pub opens_falling: Option<Band>,
    /// How far apart it operates and releases.
    pub differential: Option<Band>,
    /// The same as a ratio of distances.
    pub differential_ratio: Option<Band>,
    /// Stretch on which the next contact is closed as well, as the level rises and as it falls; below zero a
    /// gap.
    pub overlap: [Option<Band>; 2],
    /// The ladder's output with this contact closed alone.
    pub output: Option<f64>,
    /// The worst verdict of the demands on it; `None` where none is.
    pub verdict: Option<Verdict>,
}

/// A level at which the reading changes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CalibrationAnswer {
    /// The level, with its worst case; of an end of the sweep the level itself.
    pub level: Band,
    /// Volume below it, L; `None` without a tank.
    #[serde(rename = "volume_L")]
    pub volume: Option<f64>,
    /// The contact that changes there; `None` at an end of the sweep.
    pub contact: Option<String>,
    /// What it does.
    pub kind: Option<EventKind>,
    /// It does so as the level rises, else as it falls.
    pub rising: bool,
    /// What is read above this level and below the next, as the level rises.
    pub above_rising: StateAnswer,
    /// The same as it falls.
    pub above_falling: StateAnswer,
}

/// What a stem shows.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StateAnswer {
    /// Names of the contacts that are closed.
    pub closed: Vec<String>,
    /// The ladder's output; `None` without one and where its line is open.
    pub output: Option<f64>,
}

/// A float in a liquid.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiquidAnswer {
    /// The liquid.
    pub liquid: String,
    /// Its density at the temperature of the design, kg/m³.
    #[serde(rename = "density_kg_m3")]
    pub density: f64,
    /// Draught of the float, mm.
    #[serde(rename = "draught_mm")]
    pub draught: f64,
    /// By how much every switching level is higher than in the design's liquid, mm; of a float on an arm the
    /// same.
    #[serde(rename = "shift_mm")]
    pub shift: f64,
}

/// The tank.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TankAnswer {
    /// Level of its lowest place, mm.
    #[serde(rename = "bottom_mm")]
    pub bottom: f64,
    /// Level at which it is full, mm.
    #[serde(rename = "top_mm")]
    pub top: f64,
    /// Volume of all of it, L.
    #[serde(rename = "capacity_L")]
    pub capacity: f64,
    /// Volume by level, from the lowest place to the highest.
    pub strapping: Vec<StrapAnswer>,
}

/// A tank filled to a level.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StrapAnswer {
    /// The level, mm.
    #[serde(rename = "level_mm")]
    pub level: f64,
    /// Volume below it, L.
    #[serde(rename = "volume_L")]
    pub volume: f64,
    /// Half the width of the tank there, seen from its side, mm; `None` of a tank stated by its volumes.
    #[serde(rename = "half_width_mm")]
    pub half_width: Option<f64>,
}

/// The surface at one level.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SloshAnswer {
    /// The level at which the contact changes, its lowest or highest, whichever asks for the longer hold, mm.
    #[serde(rename = "level_mm")]
    pub level: f64,
    /// Frequencies of the first three waves that a sideways disturbance excites, Hz.
    #[serde(rename = "frequencies_Hz")]
    pub frequencies: [f64; 3],
    /// Up and down at the float, mm.
    #[serde(rename = "amplitude_mm")]
    pub amplitude: f64,
    /// How long a reading must last before it counts, s.
    #[serde(rename = "hold_s")]
    pub hold: f64,
}

/// What is read over a stretch of level.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadingAnswer {
    /// Level where it begins, in the order of the pass, mm.
    #[serde(rename = "from_mm")]
    pub from: f64,
    /// Level where it ends, mm.
    #[serde(rename = "to_mm")]
    pub to: f64,
    /// Volume below where it begins, L; `None` without a tank.
    #[serde(rename = "from_L")]
    pub from_volume: Option<f64>,
    /// Volume below where it ends, L.
    #[serde(rename = "to_L")]
    pub to_volume: Option<f64>,
    /// Names of the contacts that are closed.
    pub closed: Vec<String>,
    /// The ladder's output; `None` without one and where its line is open.
    pub output: Option<f64>,
}

impl LevelAnswer {
    /// Single faults that the output does not show anywhere.
    pub fn hidden_faults(&self) -> impl Iterator<Item = &FaultAnswer> {
        self.faults.iter().filter(|fault| fault.shows.is_none())
    }
}

/// One contact at fault.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FaultAnswer {
    /// The contact.
    pub contact: String,
    /// It stays closed, else it never closes.
    pub stays_closed: bool,
    /// Least and greatest output there are as the level rises; `None` where the line is open all the way.
    pub outputs: Option<[f64; 2]>,
    /// Levels between which the output is another than of a sound stem, mm; `None` where nothing shows.
    #[serde(rename = "shows_mm")]
    pub shows: Option<[f64; 2]>,
    /// Somewhere between them the line is open.
    pub open_line: bool,
}
