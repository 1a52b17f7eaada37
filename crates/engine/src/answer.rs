//! What a check answers: the shapes a machine reads, the report prints and the terminal shows.
//!
//! Numbers here are in the unit their field or `unit` names, ready to be shown; nothing downstream
//! converts or computes.

mod choose;
mod construction;
mod door;
mod latch;
mod level;
mod life;
mod load;
mod magnets;
mod relay;
mod rotor;
mod spread;
mod steel;
mod target;
mod timing;

pub use choose::{
    Candidate, CandidateDemand, ChooseAnswer, ChosenValue, FreeAnswer, FrontPoint, Lost, LostKind,
    Obstacle,
};
pub use construction::{ConstructionAnswer, ConstructionRow, Sprung, Worth};
pub use door::{DoorAnswer, DoorContact, Outsider, OutsiderAtContact};
pub use latch::{LatchAnswer, LatchAtContact};
pub use level::{
    CalibrationAnswer, FaultAnswer, LevelAnswer, LiquidAnswer, ReadingAnswer, SloshAnswer,
    StageAnswer, StateAnswer, StrapAnswer, TankAnswer,
};
pub use life::{DangerousAnswer, LifeAnswer, LifeTestAnswer};
pub use load::{
    LoadAnswer, LoadRule, Moving, PartAnswer, ProtectionAnswer, Switching, Tried, TriedResult,
};
pub use magnets::{CurvePoint, MagnetAnswer, MagnetState, WorkingPoint};
pub use relay::{RelayAnswer, RelayRow, WindingAnswer};
pub use rotor::{DoubleAnswer, RotorAnswer, RotorRow};
pub use spread::{
    DemandSpread, Distribution, DriverShare, Evaluation, EventSpread, FigureSpread, HistogramAt,
    QuantileAt, SpreadAnswer, Tighter, UnitAt, WorstUnit,
};
pub use steel::{SteelAnswer, SteelBodyAnswer, SteelEvent};
pub use target::{TargetAnswer, TargetAtContact, TargetPlace, TargetRow};
pub use timing::{MotionSeries, MovingContact, SuppressionRow, TimingAnswer};

pub use reedmace_design::Model;
use schemars::JsonSchema;
use serde::Serialize;

/// The whole answer to `reedmace check`.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Answer {
    /// Version of this result format.
    pub format: u32,
    /// The design's title.
    pub title: String,
    /// The worst verdict over all demands; `None` when the design demands nothing.
    pub verdict: Option<Verdict>,
    /// What is swept, and from where to where.
    pub sweep: SweepAnswer,
    /// One entry per contact, in the design's order.
    pub contacts: Vec<ContactAnswer>,
    /// One entry per magnet of a grade, in the design's order.
    pub magnets: Vec<MagnetAnswer>,
    /// One entry per demand, in the design's order.
    pub demands: Vec<DemandAnswer>,
    /// Every figure that the nominal unit has, in the order of the design: what is told of a unit besides its
    /// events.
    pub figures: Vec<FigureAnswer>,
    /// What is told of a door; `None` for a design without one.
    pub door: Option<DoorAnswer>,
    /// What a level stem reads; `None` for another sweep.
    pub level: Option<LevelAnswer>,
    /// The wheel whose turning is counted; `None` for a design without one.
    pub rotor: Option<RotorAnswer>,
    /// The relay; `None` for a design that states none, or whose contacts do not all operate and release.
    pub relay: Option<RelayAnswer>,
    /// What holds contacts that remember; `None` for a design without such.
    pub latch: Option<LatchAnswer>,
    /// How the relay's contacts close and open, where their alloy is known.
    pub timing: Option<TimingAnswer>,
    /// Life of the contacts; `None` of a design that states nothing of it.
    pub life: Option<LifeAnswer>,
    /// One entry per contact that states its construction.
    pub construction: Vec<ConstructionAnswer>,
    /// One entry per load, in the design's order.
    pub loads: Vec<LoadAnswer>,
    /// Where a steel target is seen; `None` for a design without one.
    pub target: Option<TargetAnswer>,
    /// What the bodies of steel do; `None` for a design without any.
    pub steel: Option<SteelAnswer>,
    /// What the user should know before trusting or building this.
    pub warnings: Vec<Warning>,
    /// Every toleranced quantity of the design, with its limits and where it is from.
    pub quantities: Vec<QuantityAnswer>,
    /// Which models made the numbers and how good they are.
    pub models: Vec<ModelNote>,
    /// What made this answer, and from what.
    pub provenance: Provenance,
}

/// How a demand stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Every corner of the tolerances meets it.
    Met,
    /// The nominal unit meets it, some units within tolerance do not.
    AtRisk,
    /// The nominal unit does not meet it.
    Missed,
}

impl Verdict {
    /// The word shown beside the sign and colour.
    pub fn word(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::AtRisk => "at risk",
            Self::Missed => "missed",
        }
    }
}

/// A nominal value and the lowest and highest any unit within tolerance shows.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// At nominal values of everything; `None` when the nominal unit does not have it.
    pub value: Option<f64>,
    /// Lowest over the tolerances.
    pub low: f64,
    /// Highest over the tolerances.
    pub high: f64,
    /// Unit of all three, e.g. `mm`, `deg`, `AT`, `mT`.
    pub unit: String,
}

/// What is swept.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SweepAnswer {
    /// `line`, `arc`, `spin`, `table`, `level`, `current` or `voltage`.
    pub kind: String,
    /// The coordinate in words: `z of slug`, `angle of leaf`.
    pub coordinate: String,
    /// Unit of the coordinate.
    pub unit: String,
    /// Coordinate where the forward pass starts.
    pub from: f64,
    /// Coordinate where the forward pass ends.
    pub to: f64,
    /// Names of what moves (empty for a current sweep).
    pub moves: Vec<String>,
}

/// One contact's answer.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ContactAnswer {
    /// Its name in the design.
    pub name: String,
    /// Catalogue family, if it was chosen from one.
    pub family: Option<String>,
    /// Its form: `A` makes, `B` breaks when it operates, `C` is the normally open side of a change-over contact
    /// and `C, normally closed` the other.
    pub form: String,
    /// The first of several equal contacts of one table, if it is another one of them.
    pub like: Option<String>,
    /// Drive at which it operates, mT of equivalent uniform field.
    #[serde(rename = "operate_mT")]
    pub operate: Band,
    /// Drive at which it releases, mT of equivalent uniform field.
    #[serde(rename = "release_mT")]
    pub release: Band,
    /// Operate and release in every unit the trade uses.
    pub conversions: Vec<Conversion>,
    /// Operate and release along the sweep, in the order they are met: forward, then back.
    pub events: Vec<Event>,
    /// Closed intervals of the forward and back pass, for the nominal unit.
    pub closed: Vec<ClosedInterval>,
    /// True when the contact is already closed where the forward pass starts.
    pub closed_at_start: bool,
    /// Drive along the sweep. A table sweep gives one row per pose.
    pub trace: Vec<TraceRow>,
    /// Where the drive is strongest, nominal unit, with the blades' saturation; `None` if the saturated
    /// circuit has no answer there, which a warning tells.
    pub strongest: Option<Strongest>,
}

impl ContactAnswer {
    /// True where it has operated already as the forward pass starts.
    pub fn operated_at_start(&self) -> bool {
        let [closes, _] = self.closes_and_opens();
        self.closed_at_start == (closes == EventKind::Operate)
    }

    /// At which events it closes, and at which it opens.
    pub fn closes_and_opens(&self) -> [EventKind; 2] {
        match self.form.as_str() {
            "A" | "C" => [EventKind::Operate, EventKind::Release],
            _ => [EventKind::Release, EventKind::Operate],
        }
    }
}

/// A contact where its drive is strongest along the sweep.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Strongest {
    /// The sweep's coordinate.
    pub at: f64,
    /// Unit of the coordinate.
    pub unit: String,
    /// Over-drive: drive of the open contact there over its operate value.
    pub overdrive: f64,
    /// Pull between the closed blades, mN.
    #[serde(rename = "force_mN")]
    pub force: f64,
    /// Highest flux density in blades and leads, closed, T.
    #[serde(rename = "blade_peak_T")]
    pub peak: f64,
    /// Where along the contact that is, from its middle, mm.
    #[serde(rename = "blade_peak_at_mm")]
    pub peak_at: f64,
    /// What saturation takes off the flux across the closed gap, percent.
    #[serde(rename = "taken_by_saturation_percent")]
    pub taken: f64,
}

/// The same sensitivity said in another way.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Conversion {
    /// In words: `coil 25 mm long, 9.25 mm mean diameter`.
    pub arrangement: String,
    /// Operate in that arrangement.
    pub operate: Band,
    /// Release in that arrangement.
    pub release: Band,
}

/// Operate or release.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum EventKind {
    /// The blades pull in: the contact closes, one of form B opens.
    Operate,
    /// The blades let go: the contact opens, one of form B closes.
    Release,
}

/// Which way the sweep runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// From `from` to `to`.
    Forward,
    /// From `to` back to `from`.
    Back,
}

/// An operate or a release at a value of the sweep.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Event {
    /// Operate or release.
    pub kind: EventKind,
    /// Forward or back.
    pub direction: Direction,
    /// Where, in the sweep's coordinate.
    pub at: Band,
    /// Which lobe of the drive it belongs to, counted from 1 along the forward pass.
    pub lobe: usize,
    /// True for the lobe with the highest drive, and any other within 1 % of it.
    pub main_lobe: bool,
    /// False when some units within tolerance do not have this event.
    pub in_every_unit: bool,
    /// True when the values tried bound this event: every quantity moves it one way only, or turns it
    /// round at a value tried, but for 1 % of its band.
    pub monotone: bool,
    /// What moves it most, largest first.
    pub drivers: Vec<Driver>,
}

/// A number told of every unit besides its events.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FigureAnswer {
    /// What it is told among: `contact`, `level`.
    pub group: String,
    /// Its name, as a demand calls it: `differential of lid`.
    pub name: String,
    /// What it is, in a sentence.
    pub about: String,
    /// The model that makes it, one of `models` by its name.
    pub model: String,
    /// Where its formula is from: keys into REFERENCES.md in square brackets; where there are none, what it is instead.
    pub source: String,
    /// Names of the contacts it follows from; none: from all of them, or from none.
    pub contacts: Vec<String>,
    /// Nominal, and the worst case over all corners of the tolerances.
    pub value: Band,
    /// Where what is looked at ends, if it does: a value there lies there or beyond.
    pub ends: Vec<FigureEnd>,
    /// False when some units within tolerance do not have it.
    pub in_every_unit: bool,
    /// True when the values tried bound it, as with an event.
    pub monotone: bool,
    /// What moves it most, largest first.
    pub drivers: Vec<Driver>,
}

/// Where what is looked at of a figure ends.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FigureEnd {
    /// The value there, in the unit of the figure.
    pub at: f64,
    /// True where nothing above is looked at, false where nothing below.
    pub upper: bool,
    /// What a value there says, up to it or down to it: `stays set at every temperature that the grade allows`.
    pub meaning: String,
}

/// How much one quantity moves an event or a figure.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Driver {
    /// Path of the quantity: `magnet[slug].size[1]`.
    pub path: String,
    /// Shift of it when the quantity goes to its low limit, all else nominal.
    pub at_low: f64,
    /// Shift of it when the quantity goes to its high limit, all else nominal.
    pub at_high: f64,
}

/// A stretch of the sweep over which the contact is closed.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ClosedInterval {
    /// Which pass.
    pub direction: Direction,
    /// Coordinate where it closes (or the pass starts closed).
    pub from: f64,
    /// Coordinate where it opens (or the pass ends closed).
    pub to: f64,
}

/// Drive at one value of the sweep.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TraceRow {
    /// The sweep's coordinate.
    pub coordinate: f64,
    /// Drive of the open contact, mT, signed.
    #[serde(rename = "drive_open_mT")]
    pub drive_open: f64,
    /// Drive of the closed contact, mT, signed.
    #[serde(rename = "drive_closed_mT")]
    pub drive_closed: f64,
    /// Lowest open drive over the tolerances, mT.
    #[serde(rename = "drive_open_low_mT")]
    pub drive_open_low: f64,
    /// Highest open drive over the tolerances, mT.
    #[serde(rename = "drive_open_high_mT")]
    pub drive_open_high: f64,
}

/// How one demand stands.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DemandAnswer {
    /// The contact or the figure it is about.
    pub contact: String,
    /// As the user wrote it: `closed <= 8 mm`, of a figure `<= 3 mm`.
    pub text: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Room left at nominal, in `unit`; negative when missed.
    pub margin_nominal: Option<f64>,
    /// Room left in the worst unit, in `unit`; negative when missed there.
    pub margin_worst: Option<f64>,
    /// Which way the true room at nominal lies where what is looked at of a figure ended, and the room is to that end.
    pub margin_nominal_bound: Option<Bound>,
    /// The same in the worst unit.
    pub margin_worst_bound: Option<Bound>,
    /// Unit of the margins.
    pub unit: String,
    /// Share of sampled units that meet it, with its 95 % confidence interval.
    pub share: Option<Share>,
    /// Why, in a sentence.
    pub reason: String,
    /// Line of the demand in the design file, from 1.
    pub line: usize,
}

/// Which way a number lies of one that is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Bound {
    /// There or above.
    AtLeast,
    /// There or below.
    AtMost,
}

/// A share of units with its confidence interval.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Share {
    /// Units that meet the demand.
    pub met: u64,
    /// Units sampled.
    pub of: u64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
}

/// Something the user should know.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Warning {
    /// Stable code, `W....`.
    pub code: String,
    /// What and where, one sentence.
    pub message: String,
    /// What to do about it.
    pub help: String,
}

/// A quantity of the design as the answer took it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct QuantityAnswer {
    /// Path in the design: `magnet[slug].size[1]`.
    pub path: String,
    /// As the user wrote it.
    pub text: String,
    /// Where it is from: `measured`, `supplier`, `standard`, `guess`, or not stated.
    pub source: Option<String>,
    /// The user's note.
    pub note: Option<String>,
    /// True when it carries a tolerance.
    pub toleranced: bool,
    /// Line in the design file, from 1; 0 for a value from the catalogue.
    pub line: usize,
}

/// A model and its accuracy.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ModelNote {
    /// What the numbers it makes call it: `Contact`, `Warm coils`.
    pub name: String,
    /// What it computes, and how.
    pub how: String,
    /// How good it is, and how that was measured.
    pub accuracy: String,
    /// Keys into REFERENCES.md.
    pub references: Vec<String>,
}

/// What made the answer.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Provenance {
    /// Version of Reedmace.
    pub version: String,
    /// Name of the design file.
    pub design: String,
    /// SHA-256 of the design text, hex.
    pub design_sha256: String,
    /// Seed of the sampled units.
    pub seed: u64,
    /// Keys of every reference used.
    pub references: Vec<String>,
    /// Scenes evaluated to find the bands.
    pub scenes: u64,
}
