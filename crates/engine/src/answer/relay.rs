//! What is told of a relay.

use super::Band;
use schemars::JsonSchema;
use serde::Serialize;

/// A coil, what it is wound of, and the voltages that it needs over temperature.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RelayAnswer {
    /// The coil.
    pub coil: String,
    /// What it is wound of, nominal, where that is known.
    pub winding: Option<WindingAnswer>,
    /// Voltage across the coil when it is on, V.
    pub supply: Band,
    /// Surroundings from the coldest to the hottest.
    pub rows: Vec<RelayRow>,
}

/// A coil as it is wound, nominal.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WindingAnswer {
    /// The wire as the design calls it.
    pub wire: String,
    /// `random`, `layered` or `orthocyclic`.
    pub lay: String,
    /// Turns.
    pub turns: f64,
    /// Turns of each layer from the inside; none of a random lay.
    pub layers: Vec<f64>,
    /// From the middle of a layer to that of the next, mm; 0 of a random lay.
    #[serde(rename = "layer_pitch_mm")]
    pub layer_pitch: f64,
    /// Diameter over the enamel, mm.
    #[serde(rename = "wire_overall_mm")]
    pub wire_overall: f64,
    /// Diameter that the first layer lies on, mm.
    #[serde(rename = "inner_diameter_mm")]
    pub inner_diameter: f64,
    /// Diameter over the last layer, mm.
    #[serde(rename = "outer_diameter_mm")]
    pub outer_diameter: f64,
    /// Length between the flanges, mm.
    #[serde(rename = "length_mm")]
    pub length: f64,
    /// Height of the window, mm.
    #[serde(rename = "window_mm")]
    pub window: f64,
    /// Share of the winding's section that is copper, percent.
    #[serde(rename = "copper_percent")]
    pub copper: f64,
    /// Inductance in air, mH; the contacts' iron raises it.
    #[serde(rename = "inductance_mH")]
    pub inductance: f64,
}

/// A relay in surroundings of one temperature.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RelayRow {
    /// Temperature of the surroundings, °C.
    #[serde(rename = "temperature_degC")]
    pub temperature: f64,
    /// Resistance of the nominal coil, its wire as warm as the surroundings, Ω.
    #[serde(rename = "resistance_ohm")]
    pub resistance: f64,
    /// Voltage at which the last contact closes, the coil off until then: nominal, and the least and greatest of
    /// any contact in any unit, V.
    pub operate: Band,
    /// The same with the nominal coil warmed through by the nominal supply, V.
    #[serde(rename = "operate_warmed_V")]
    pub operate_warmed: f64,
    /// Voltage at which the last contact opens, the coil off until then, in the same way, V.
    pub release: Band,
    /// Power of the warmed coil at the supply, nominal, mW.
    #[serde(rename = "power_mW")]
    pub power: f64,
    /// How much hotter than the surroundings it gets, nominal, K.
    #[serde(rename = "rise_K")]
    pub rise: f64,
}
