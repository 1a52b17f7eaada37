//! What a spread study answers.

use super::{Band, Direction, EventKind, FigureEnd, ModelNote, Provenance, Share, Verdict};
use schemars::JsonSchema;
use serde::Serialize;

/// The whole answer to `reedmace spread`.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SpreadAnswer {
    /// Version of this result format.
    pub format: u32,
    /// The design's title.
    pub title: String,
    /// Units evaluated.
    pub units: u64,
    /// Units of the whole study; more than `units` where it was cut short or is a part of one.
    pub of: u64,
    /// The coordinate in words: `z of slug`.
    pub coordinate: String,
    /// Its unit; empty for the number of a pose.
    pub unit: String,
    /// One entry per demand, in the design's order.
    pub demands: Vec<DemandSpread>,
    /// One entry per event that units have: those of the nominal unit in the order it meets them, then
    /// others.
    pub events: Vec<EventSpread>,
    /// One entry per figure that units have, in the order of the design.
    pub figures: Vec<FigureSpread>,
    /// What each tolerance would buy if it were tighter, most first; empty where every unit meets all
    /// demands already.
    pub tighter: Vec<Tighter>,
    /// Units that have an event which the search of the worst case did not meet; they count in the shares,
    /// and in no entry of `events`.
    pub units_with_other_events: u64,
    /// How the units were evaluated.
    pub evaluation: Evaluation,
    /// Which models made the numbers and how good they are.
    pub models: Vec<ModelNote>,
    /// What made this answer, and from what.
    pub provenance: Provenance,
}

/// How units were evaluated, and how that was proven.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Evaluation {
    /// True when every unit's events were found on its true drive, false when by the model.
    pub exact: bool,
    /// Units of a study by the model that were evaluated on their true drive: they came too near to a
    /// decision.
    pub exact_units: u64,
    /// Units on their true drive that had their whole sweep sampled.
    pub sampled_whole: u64,
    /// Units by the model that were compared with the same units on their true drive.
    pub proof_units: u64,
    /// Furthest that an event was off among them, in the coordinate's unit.
    pub largest_error: f64,
    /// Units among them that had other events, or met other demands; their blocks were evaluated exactly.
    pub disagreed: u64,
    /// The proof in a sentence.
    pub said: String,
}

/// One demand over the units.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DemandSpread {
    /// The contact or the figure it is about.
    pub contact: String,
    /// As the user wrote it.
    pub text: String,
    /// Line of the demand in the design file, from 1.
    pub line: usize,
    /// Over all corners of the tolerances, not only the units sampled.
    pub worst_case: Verdict,
    /// Share of units that meet it, with its 95 % interval.
    pub share: Share,
    /// What more units would tell, where these are few; `None` where they are enough to know the share of
    /// failures to within a tenth of itself, or below one in a million.
    pub too_few: Option<String>,
    /// Room left, in `unit`; negative where missed. `None` where no unit has an event to measure it to.
    pub room: Option<Distribution>,
    /// Unit of the room.
    pub unit: String,
    /// The unit that misses it by most, or meets it with the least room.
    pub worst_unit: Option<UnitAt>,
    /// Room in the worst corner of the tolerances.
    pub room_worst_case: Option<f64>,
    /// What its room comes from, most first.
    pub drivers: Vec<DriverShare>,
    /// What it comes from whether it is met: the same of the yes or no; empty where all units agree.
    pub drivers_of_meeting: Vec<DriverShare>,
}

/// One event over the units.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct EventSpread {
    /// The contact.
    pub contact: String,
    /// Operate or release.
    pub kind: EventKind,
    /// Forward or back.
    pub direction: Direction,
    /// Which lobe of the drive, from 1.
    pub lobe: usize,
    /// Nominal, and the worst case over all corners of the tolerances.
    pub worst_case: Band,
    /// Units that have it.
    pub units: u64,
    /// Units that do not.
    pub absent: u64,
    /// Where it lies; `None` where no unit has it.
    pub at: Option<Distribution>,
    /// What its place comes from, most first.
    pub drivers: Vec<DriverShare>,
}

/// One figure of the design over the units.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FigureSpread {
    /// What it is told among: `contact`, `level`.
    pub group: String,
    /// Its name, as a demand calls it.
    pub name: String,
    /// Nominal, and the worst case over all corners of the tolerances; `None` where the nominal unit has no
    /// such figure.
    pub worst_case: Option<Band>,
    /// Where what is looked at ends, if it does: a value there lies there or beyond.
    pub ends: Vec<FigureEnd>,
    /// Units that have it.
    pub units: u64,
    /// Units that do not.
    pub absent: u64,
    /// Its values, in `unit`; `None` where no unit has it.
    pub values: Option<Distribution>,
    /// Unit of the values.
    pub unit: String,
    /// What it comes from, most first.
    pub drivers: Vec<DriverShare>,
}

/// How a figure is spread over the units, in the unit that goes with it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Distribution {
    /// Mean.
    pub mean: f64,
    /// Standard deviation, in K of what is told in °C.
    pub deviation: f64,
    /// Least value, and its unit.
    pub least: UnitAt,
    /// Greatest value, and its unit.
    pub greatest: UnitAt,
    /// Quantiles, rising.
    pub quantiles: Vec<QuantileAt>,
    /// Counts in equal bins.
    pub histogram: HistogramAt,
}

/// A value and the number of the unit that has it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct UnitAt {
    /// The unit.
    pub unit: u64,
    /// Its value; `None` where it has no event to measure.
    pub value: Option<f64>,
}

/// A quantile.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct QuantileAt {
    /// Share of units that lie below, 0 to 1.
    pub share: f64,
    /// Value.
    pub value: f64,
    /// Width of the bin it was taken from: the value is no further off than this.
    pub within: f64,
}

/// Counts in equal bins.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct HistogramAt {
    /// Lower edge of the first bin.
    pub low: f64,
    /// Upper edge of the last.
    pub high: f64,
    /// Units below the first.
    pub below: u64,
    /// Units above the last.
    pub above: u64,
    /// Units in each.
    pub counts: Vec<u64>,
}

/// Sobol indices of one quantity.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DriverShare {
    /// Path of the quantity: `magnet[slug].size[1]`.
    pub path: String,
    /// Its line in the design file, from 1; 0 where the file does not state it.
    pub line: usize,
    /// First order: the share of the variance that would go if this quantity were known.
    pub first: f64,
    /// Standard error of that.
    pub first_error: f64,
    /// Total: the share that would stay if only this quantity were unknown.
    pub total: f64,
    /// Standard error of that.
    pub total_error: f64,
    /// What a doubtful estimate means; `None` where it stands out of its error.
    pub note: Option<String>,
}

/// The unit of a study that stands worst.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorstUnit {
    /// Its number.
    pub unit: u64,
    /// What is worst of it: `misses lid closed <= 8 mm`.
    pub why: String,
}

/// What a tighter tolerance would buy.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Tighter {
    /// Path of the quantity.
    pub path: String,
    /// Its line in the design file, from 1; 0 where the file does not state it.
    pub line: usize,
    /// As the user wrote it.
    pub text: String,
    /// How much tighter, 0 to 1: 0.1 takes a tenth off both limits.
    pub by: f64,
    /// Change of the share of units that meet every demand, −1 to 1.
    pub gain: f64,
    /// Standard error of the gain.
    pub gain_error: f64,
}
