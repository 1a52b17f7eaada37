//! What a check answers about bodies of steel: what they move, and how well they are computed.

use super::{Direction, EventKind};
use schemars::JsonSchema;
use serde::Serialize;

/// What the steel does to the nominal unit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SteelAnswer {
    /// Every event with the steel and without it, contact by contact, in the order they are met.
    pub events: Vec<SteelEvent>,
    /// One entry per body, in the design's order.
    pub bodies: Vec<SteelBodyAnswer>,
    /// Panels the surfaces of all bodies are cut into.
    pub panels: usize,
    /// Largest change of any contact's drive along the sweep on half as many panels, in percent of the
    /// drive or of the operate level, whichever is greater: the cutting may still be wrong by about half
    /// of that.
    #[serde(rename = "discretisation_percent")]
    pub discretisation: f64,
}

/// An event with and without the steel, all else nominal.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SteelEvent {
    /// The contact's name in the design.
    pub contact: String,
    /// Operate or release.
    pub kind: EventKind,
    /// Forward or back.
    pub direction: Direction,
    /// Where, with the steel; `None` where only the arrangement without it has this event.
    pub with: Option<f64>,
    /// Where, without it; `None` where only the steel makes this event.
    pub without: Option<f64>,
    /// With less without; `None` where either is missing.
    pub shift: Option<f64>,
    /// Unit of all three: that of the sweep's coordinate.
    pub unit: String,
}

/// One body of steel.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SteelBodyAnswer {
    /// Its name in the design.
    pub name: String,
    /// Its alloy, if the design names one.
    pub alloy: Option<String>,
    /// Relative permeability it was computed with, nominal.
    pub permeability: f64,
    /// Panels its surface is cut into.
    pub panels: usize,
    /// Highest flux density inside it along the sweep, T.
    #[serde(rename = "peak_T")]
    pub peak: f64,
    /// The sweep's coordinate where that is reached.
    pub peak_at: f64,
    /// Saturation polarization, T; `None` if neither the design nor an alloy says it.
    #[serde(rename = "saturation_T")]
    pub saturation: Option<f64>,
    /// The highest flux density in percent of saturation.
    #[serde(rename = "saturated_percent")]
    pub saturated: Option<f64>,
}
