//! What is told of a wheel whose turning is counted.

use schemars::JsonSchema;
use serde::Serialize;

/// One turn of a wheel, and its pulses at each speed that matters; nominal.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RotorAnswer {
    /// The contact that counts.
    pub contact: String,
    /// Stretches of a turn over which the contact is closed, from and to, degrees; the last may reach over
    /// the end of the turn.
    #[serde(rename = "closed_deg")]
    pub closed: Vec<[f64; 2]>,
    /// How often it operates in the turn.
    pub pulses: usize,
    /// Where a pulse too many is nearest; `None` where the drive has no top between pulses and no dip within
    /// one, so that none threatens.
    pub double: Option<DoubleAnswer>,
    /// Window of the filter, ms, if there is one.
    #[serde(rename = "filter_ms")]
    pub filter: Option<f64>,
    /// Speeds that matter, slowest first, and the fastest that is still counted.
    pub rows: Vec<RotorRow>,
}

/// Where the drive comes nearest to a pulse too many.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DoubleAnswer {
    /// A dip within a pulse, which would part it; else a top between two, which would add one.
    pub within: bool,
    /// Angle, degrees.
    #[serde(rename = "at_deg")]
    pub at: f64,
    /// How far the drive stays from the level there, over the level, percent.
    #[serde(rename = "room_percent")]
    pub room: f64,
}

/// Pulses at one speed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RotorRow {
    /// `least flow`, `usual flow`, `greatest flow` or `fastest wheel`.
    pub at: String,
    /// Flow, L/min, where the wheel tells one.
    #[serde(rename = "flow_L_per_min")]
    pub flow: Option<f64>,
    /// Turns per minute.
    #[serde(rename = "turns_rpm")]
    pub turns: f64,
    /// Pulses per second.
    #[serde(rename = "rate_Hz")]
    pub rate: f64,
    /// How long the drive holds the contact closed in the shortest pulse, ms.
    #[serde(rename = "pulse_ms")]
    pub pulse: f64,
    /// How long it leaves it open in the shortest pause, ms.
    #[serde(rename = "pause_ms")]
    pub pause: f64,
    /// What operate time, bounce and release time leave of the pulse, ms; none where negative.
    #[serde(rename = "steady_closed_ms")]
    pub steady_closed: f64,
    /// What they leave of the pause, ms; none where negative.
    #[serde(rename = "steady_open_ms")]
    pub steady_open: f64,
    /// One pulse more or less in the gate time, over those counted, percent.
    #[serde(rename = "count_error_percent")]
    pub count_error: f64,
}
