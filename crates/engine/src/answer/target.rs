//! What is told of a steel target.

use schemars::JsonSchema;
use serde::Serialize;

/// Where a steel target is seen, and what its thickness, steel, size and direction change. Nominal units.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TargetAnswer {
    /// The steel.
    pub steel: String,
    /// Unit vector along its way as it comes.
    pub direction: [f64; 3],
    /// One entry per contact, in the design's order.
    pub contacts: Vec<TargetAtContact>,
    /// What the first contact sees of targets that differ in one thing from the design's: that one as the answer
    /// has it, the others by what they differ from it on coarser panels.
    pub study: Vec<TargetRow>,
    /// Panels that the differences are from, about.
    pub study_panels: usize,
}

/// Where a contact sees the target.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TargetAtContact {
    /// Its name.
    pub contact: String,
    /// Where distances are told from, m.
    pub from_m: [f64; 3],
    /// True when the target opens it: it draws the flux away. False when it closes it.
    pub opens: bool,
    /// Where the contact first changes as the target comes, if it does.
    pub seen: Option<TargetPlace>,
    /// Where it last changes as the target goes, if it does.
    pub gone: Option<TargetPlace>,
}

/// A place of the target on its way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct TargetPlace {
    /// From its leading face to where distances are told from, along its way; below zero past it.
    pub distance_mm: f64,
    /// How far it has come since the sweep started.
    pub moved_mm: f64,
}

/// A target that differs in one thing.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TargetRow {
    /// `thickness`, `permeability`, `size` or `approach`.
    pub what: String,
    /// That of this target: `0.75 mm`, `150`, `half as large`, `+x`.
    pub is: String,
    /// True of the design's own target.
    pub own: bool,
    /// Detection distance; `None` where the contact does not change.
    pub seen_mm: Option<f64>,
    /// Return distance.
    pub gone_mm: Option<f64>,
    /// Why one of them is none: the contact does not change, or the target cannot come that way.
    pub why: Option<String>,
}
