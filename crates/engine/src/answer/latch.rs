//! What is told of contacts that remember.

use schemars::JsonSchema;
use serde::Serialize;

/// What holds contacts while what changes is away. Nominal units.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LatchAnswer {
    /// The sweep's coordinate at which what changes is away.
    pub rest: f64,
    /// One entry per contact, in the design's order.
    pub contacts: Vec<LatchAtContact>,
}

/// What holds one contact. Places are in the sweep's coordinate.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LatchAtContact {
    /// Its name.
    pub contact: String,
    /// Drive of the open contact at rest, mT, signed.
    #[serde(rename = "bias_mT")]
    pub bias: f64,
    /// Drive of the closed contact at rest, mT, signed.
    #[serde(rename = "bias_closed_mT")]
    pub bias_closed: f64,
    /// Drive at which it operates, mT.
    #[serde(rename = "operate_mT")]
    pub operate: f64,
    /// Drive at which it releases, mT.
    #[serde(rename = "release_mT")]
    pub release: f64,
    /// True when it stays closed at rest, once closed.
    pub stays_set: bool,
    /// True when it stays open at rest, once open.
    pub stays_reset: bool,
    /// Where it last operates in the sense of its bias, if it does.
    pub set: Option<f64>,
    /// Where it last releases that its bias holds, if it does.
    pub reset: Option<f64>,
    /// Where what resets it operates it the other way round, if it does.
    pub overdriven: Option<f64>,
}
