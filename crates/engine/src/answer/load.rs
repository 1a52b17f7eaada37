//! What is told of a load that a contact switches.

use super::{Band, Verdict};
use schemars::JsonSchema;
use serde::Serialize;

/// A load: the contact's ratings against it, and both followed over time.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LoadAnswer {
    /// Its name.
    pub name: String,
    /// The contact that switches it.
    pub contact: String,
    /// In words: `inductive load on 24 V ± 10 %, direct`.
    pub about: String,
    /// What must hold, over the tolerances of load and contact.
    pub rules: Vec<LoadRule>,
    /// What the contact goes through without protection.
    pub bare: Switching,
    /// What protects it, if anything that can be realised does.
    pub protection: Option<ProtectionAnswer>,
    /// Why the protection that is asked for cannot serve.
    pub refused: Option<String>,
    /// What each kind of protection would do.
    pub tried: Vec<Tried>,
    /// What follows, in sentences.
    pub findings: Vec<String>,
}

/// A rule, its two sides and how they stand.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LoadRule {
    /// `voltage ≤ switching voltage`.
    pub rule: String,
    /// The left side, over the tolerances.
    pub value: Band,
    /// The right side as stated or found.
    pub limit: String,
    /// Left over right, percent, over the tolerances of both.
    pub share: Band,
    /// Met by every unit, by the nominal one, or by neither.
    pub verdict: Verdict,
    /// What the rule rests on.
    pub source: String,
}

/// A contact that opens and closes, with every quantity of the load at its hardest.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Switching {
    /// Opening.
    pub opens: Moving,
    /// Closing.
    pub closes: Moving,
}

/// One movement of a contact, followed over time.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Moving {
    /// Greatest voltage across it, V.
    #[serde(rename = "peak_voltage_V")]
    pub peak_voltage: f64,
    /// Greatest current through it, A, behind the picoseconds in which it empties its own capacitance.
    #[serde(rename = "peak_current_A")]
    pub peak_current: f64,
    /// How long an arc burned, ms.
    #[serde(rename = "arc_ms")]
    pub arc: f64,
    /// Energy in the contact: of arcs, of its resistance until all has settled, mJ.
    #[serde(rename = "energy_mJ")]
    pub energy: f64,
    /// Times, ms.
    #[serde(rename = "time_ms")]
    pub time: Vec<f64>,
    /// Voltage across it then, V.
    #[serde(rename = "voltage_V")]
    pub voltage: Vec<f64>,
    /// Current through it then, A.
    #[serde(rename = "current_A")]
    pub current: Vec<f64>,
}

/// What protects a contact.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ProtectionAnswer {
    /// `rc`.
    pub kind: String,
    /// How its parts were sized.
    pub rule: String,
    /// What to buy.
    pub parts: Vec<PartAnswer>,
    /// What the contact goes through with it.
    pub with: Switching,
}

/// A part of a protection.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PartAnswer {
    /// `capacitor`.
    pub name: String,
    /// `0.33 µF`; empty of a part without a value.
    pub value: String,
    /// `voltage 400 V`.
    pub ratings: Vec<String>,
}

/// What one kind of protection would do, sized by its rule.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Tried {
    /// Its kind.
    pub kind: String,
    /// Its parts with their values; why it cannot serve, of one that does not.
    pub parts: String,
    /// What the contact goes through; `None` where it cannot serve.
    pub done: Option<TriedResult>,
}

/// What a contact goes through with a protection, in short.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TriedResult {
    /// Greatest voltage across it as it opens, V.
    #[serde(rename = "peak_voltage_V")]
    pub peak_voltage: f64,
    /// Greatest current as it closes, A.
    #[serde(rename = "peak_current_A")]
    pub peak_current: f64,
    /// How long an arc burned as it opened, ms.
    #[serde(rename = "arc_ms")]
    pub arc: f64,
    /// Energy in the contact as it opened, mJ.
    #[serde(rename = "energy_mJ")]
    pub energy: f64,
    /// Why it does not mend the load: an arc, a voltage or a current beyond what the contact may switch, where that
    /// is known. Empty where it does.
    pub fails: String,
}

impl TriedResult {
    /// No arc, and voltage and current within what the contact may switch.
    pub fn mends(&self) -> bool {
        self.fails.is_empty()
    }
}
