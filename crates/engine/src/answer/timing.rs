//! What is told of the contacts of a relay as they move.

use schemars::JsonSchema;
use serde::Serialize;

/// How a relay's contacts close and open, nominal.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TimingAnswer {
    /// Inductance of the coil with all contacts open, mH.
    #[serde(rename = "open_inductance_mH")]
    pub open_inductance: f64,
    /// The same with all contacts closed, mH.
    #[serde(rename = "closed_inductance_mH")]
    pub closed_inductance: f64,
    /// Each contact whose alloy is known and that operates.
    pub contacts: Vec<MovingContact>,
    /// What the kinds of suppression cost, the stated one among them.
    pub suppressions: Vec<SuppressionRow>,
    /// What follows, in sentences.
    pub findings: Vec<String>,
}

/// A contact that closes and opens.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MovingContact {
    /// Its name.
    pub contact: String,
    /// From switching on to the first touch, ms.
    #[serde(rename = "operate_ms")]
    pub operate: f64,
    /// From the first touch to rest at the least, the nominal and the greatest restitution, ms.
    #[serde(rename = "bounce_ms")]
    pub bounce: [f64; 3],
    /// Speed of the first impact, one face against the other, m/s.
    #[serde(rename = "impact_m_per_s")]
    pub impact: f64,
    /// From switching off to parting, with the stated suppression, ms.
    #[serde(rename = "release_ms")]
    pub release: f64,
    /// Frequency of the free blades with the spring that the operate value asks for, Hz.
    #[serde(rename = "frequency_Hz")]
    pub frequency: f64,
    /// How long eddy currents hold flux back in a blade, `μ σ t²/π²`, ms: not in the motion.
    #[serde(rename = "eddy_ms")]
    pub eddy: f64,
    /// Closing, from the switching on.
    pub closing: MotionSeries,
    /// Opening with the stated suppression, from the switching off.
    pub opening: MotionSeries,
}

/// A motion over time.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MotionSeries {
    /// Since the switching, ms.
    #[serde(rename = "time_ms")]
    pub time: Vec<f64>,
    /// Gap between the irons, µm; that of the contact metals when closed.
    #[serde(rename = "gap_um")]
    pub gap: Vec<f64>,
    /// Current of the coil, mA.
    #[serde(rename = "current_mA")]
    pub current: Vec<f64>,
    /// Magnetic pull, mN.
    #[serde(rename = "force_mN")]
    pub force: Vec<f64>,
    /// When the faces touch or part, ms.
    #[serde(rename = "changes_ms")]
    pub changes: Vec<f64>,
}

/// What one kind of suppression does, nominal.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SuppressionRow {
    /// `none`, `diode`, `zener`, `resistor` or `rc`.
    pub kind: String,
    /// Its parts.
    pub parts: String,
    /// True of the one that the design has.
    pub stated: bool,
    /// When the last contact parts, ms.
    #[serde(rename = "release_ms")]
    pub release: f64,
    /// Greatest voltage across the switch, V; none where nothing bounds it.
    #[serde(rename = "peak_V")]
    pub peak: Option<f64>,
    /// Power that it takes while the coil is on, mW.
    #[serde(rename = "standing_mW")]
    pub standing: f64,
}
