//! What a choice among many arrangements answers.

use super::{ModelNote, Provenance, Share, Verdict};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The whole answer to `reedmace choose`.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ChooseAnswer {
    /// Version of this result format.
    pub format: u32,
    /// The design's title.
    pub title: String,
    /// What is to be least: `price`, `mass` or `volume`.
    pub cost: String,
    /// Unit of every cost; empty for a price, which is in whatever money the catalogue is in.
    pub cost_unit: String,
    /// What the design costs as it stands; `None` where that is not known of all that may be chosen.
    pub own_cost: Option<f64>,
    /// Share of units that must meet every demand, 0 to 1; `None` if every unit within tolerance must.
    pub wanted: Option<f64>,
    /// Unit of every margin: that of the sweep's coordinate.
    pub margin_unit: String,
    /// What may be chosen, in the design's order.
    pub free: Vec<FreeAnswer>,
    /// Combinations of everything that is chosen from a list or in steps.
    pub combinations: u64,
    /// Combinations whose best place was looked for.
    pub tried: u64,
    /// Combinations that meet all that is demanded, as far as they were tried.
    pub found: u64,
    /// True when the search was stopped before its end.
    pub interrupted: bool,
    /// The best arrangements that meet all that is demanded, cheapest first.
    pub candidates: Vec<Candidate>,
    /// Where nothing meets all that is demanded: what stands in the way.
    pub obstacle: Option<Obstacle>,
    /// Cost against margin: arrangements tried of which none is both cheaper and better, by rising cost.
    pub front: Vec<FrontPoint>,
    /// Every other arrangement tried that has a margin.
    pub others: Vec<FrontPoint>,
    /// Why the others are not among the candidates, most first.
    pub lost: Vec<Lost>,
    /// Which models made the numbers and how good they are.
    pub models: Vec<ModelNote>,
    /// What made this answer, and from what.
    pub provenance: Provenance,
}

/// Something that may be chosen.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FreeAnswer {
    /// Its path in the design: `magnet[slug].size[0]`.
    pub path: String,
    /// Its line in `[choose]`, from 1.
    pub line: usize,
    /// How many it is chosen from; `None` for anything in a range.
    pub options: Option<usize>,
}

/// An arrangement that was chosen, checked as `reedmace check` does.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Candidate {
    /// What was chosen, in the order of `free`.
    pub values: Vec<ChosenValue>,
    /// What it costs.
    pub cost: f64,
    /// Least room of all demands in the worst unit or, where a yield is asked, in the worst of the share
    /// that must meet them. `None` where no demand has an event to measure it to.
    pub margin: Option<f64>,
    /// The worst verdict over all demands.
    pub verdict: Verdict,
    /// Share of units that meet every demand, where a yield is asked.
    pub share: Option<Share>,
    /// Each demand, in the design's order.
    pub demands: Vec<CandidateDemand>,
    /// Codes of the warnings that its check gives.
    pub warnings: Vec<String>,
}

/// A value that was chosen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ChosenValue {
    /// Its path in the design.
    pub path: String,
    /// As it stands in the design then, with its tolerance.
    pub text: String,
}

/// One demand of a candidate.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CandidateDemand {
    /// The contact it is about.
    pub contact: String,
    /// As the user wrote it.
    pub text: String,
    /// How it stands.
    pub verdict: Verdict,
    /// Room left at nominal; negative when missed.
    pub margin_nominal: Option<f64>,
    /// Room left in the worst unit; negative when missed there.
    pub margin_worst: Option<f64>,
    /// Unit of both.
    pub unit: String,
}

/// Why nothing meets all that is demanded.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Obstacle {
    /// The demand that the nearest arrangement misses by most, from 0; `None` where something else is in
    /// the way.
    pub demand: Option<usize>,
    /// In a sentence.
    pub said: String,
    /// The arrangement that comes nearest, checked.
    pub nearest: Option<Candidate>,
}

/// An arrangement in the plane of cost and margin.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FrontPoint {
    /// What it costs.
    pub cost: f64,
    /// Its margin; of one that does not meet all that is demanded the best found, negative.
    pub margin: f64,
    /// True when it meets all that is demanded.
    pub met: bool,
    /// Which of the candidates it is, from 0; `None` if none.
    pub candidate: Option<usize>,
    /// Why it is none.
    pub why: Option<String>,
    /// What was chosen.
    pub values: Vec<ChosenValue>,
}

/// Combinations that were lost for one reason.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Lost {
    /// Which kind of reason.
    pub kind: LostKind,
    /// The reason in words.
    pub reason: String,
    /// How many combinations.
    pub count: u64,
    /// The demand, from 0, where it is one.
    pub demand: Option<usize>,
    /// Examples: what was chosen in the cheapest of them.
    pub example: Vec<ChosenValue>,
}

/// Kinds of reasons.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LostKind {
    /// It meets everything, but enough others are cheaper or better.
    Worse,
    /// It is dearer than enough others that were found, and was not tried.
    Dearer,
    /// A bound shows that the field cannot make the contact operate anywhere in the ranges; it was not
    /// tried.
    OutOfReach,
    /// Its best place misses a demand in the nominal unit.
    Nominal,
    /// Its best place misses a demand in some unit within tolerance, or in too many.
    Tolerance,
    /// A magnet would reach into the contact.
    Collides,
    /// A part that was chosen has no price.
    NoPrice,
    /// The design would have a fault.
    Faulty,
}
