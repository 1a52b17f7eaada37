//! The sweep of a checked design, and what is demanded along it.

use crate::model::{Position, Tilt};
use crate::schema::Measure;
use crate::value::Value;
use reedmace_units::{AmpereTurns, Angle, Current, Length, Voltage};
use std::ops::Range;

/// Something that can move.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Thing {
    /// Index into [`Design::contacts`](crate::Design::contacts).
    Contact(usize),
    /// Index into [`Design::magnets`](crate::Design::magnets).
    Magnet(usize),
    /// Index into [`Design::coils`](crate::Design::coils).
    Coil(usize),
    /// Index into [`Design::steel`](crate::Design::steel).
    Steel(usize),
}

/// What changes.
#[derive(Debug, Clone, PartialEq)]
pub enum Sweep {
    /// A straight path.
    Line(Line),
    /// Turning about an axis from one angle to another.
    Arc(Turn),
    /// Turning about an axis, as a wheel does; a whole turn unless stated.
    Spin(Turn),
    /// Poses one after another.
    Table(Poses),
    /// The level of a liquid that a float swims on.
    Level(LevelSweep),
    /// The current of a coil.
    Current(CurrentSweep),
    /// The voltage across a coil.
    Voltage(VoltageSweep),
}

/// A straight path of the first of `moves`; the others keep their place beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What moves; at least one.
    pub moves: Vec<Thing>,
    /// Position of the first of them at the start, in place of its own `at`.
    pub from: Position,
    /// Its position at the end.
    pub to: Position,
    /// Which coordinate events and demands are stated in.
    pub coordinate: Coordinate,
}

/// A coordinate of a straight path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coordinate {
    /// x of what moves.
    X,
    /// y of what moves.
    Y,
    /// z of what moves.
    Z,
    /// Distance from the start.
    Travel,
}

/// A rigid turn of everything in `moves`; their own `at` and directions are those at angle zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// What moves; at least one.
    pub moves: Vec<Thing>,
    /// A point on the axis.
    pub centre: Position,
    /// Unit vector of the axis; angles count right-handed about it.
    pub axis: [f64; 3],
    /// Angle at the start.
    pub from: Value<Angle>,
    /// Angle at the end.
    pub to: Value<Angle>,
}

/// Poses of the first of `moves`; the others keep their place beside it. The coordinate is the
/// number of the pose, from 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Poses {
    /// What moves; at least one.
    pub moves: Vec<Thing>,
    /// At least two.
    pub poses: Vec<Pose>,
}

/// One pose.
#[derive(Debug, Clone, PartialEq)]
pub struct Pose {
    /// Position of the first thing that moves, in place of its own `at`.
    pub at: Position,
    /// Turn of everything that moves about the world's x, then y, then z through `at`, after each
    /// thing's own `rotate`.
    pub rotate: Tilt,
}

/// The level of a liquid as the coordinate; [`Design::level`](crate::Design::level) says what floats.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelSweep {
    /// What moves with the float; at least one.
    pub moves: Vec<Thing>,
    /// Level at the start.
    pub from: Value<Length>,
    /// Level at the end.
    pub to: Value<Length>,
}

/// A coil's current as the coordinate.
#[derive(Debug, Clone, PartialEq)]
pub struct CurrentSweep {
    /// Index into [`Design::coils`](crate::Design::coils).
    pub coil: usize,
    /// From where to where.
    pub range: DriveRange,
}

/// Range of a current sweep.
#[derive(Debug, Clone, PartialEq)]
pub enum DriveRange {
    /// In ampere-turns.
    AmpereTurns {
        /// At the start.
        from: Value<AmpereTurns>,
        /// At the end.
        to: Value<AmpereTurns>,
    },
    /// In amperes; the coil's `turns` are stated.
    Current {
        /// At the start.
        from: Value<Current>,
        /// At the end.
        to: Value<Current>,
    },
}

/// The voltage across a coil as the coordinate; its turns and its resistance are known.
#[derive(Debug, Clone, PartialEq)]
pub struct VoltageSweep {
    /// Index into [`Design::coils`](crate::Design::coils).
    pub coil: usize,
    /// Voltage at the start.
    pub from: Value<Voltage>,
    /// Voltage at the end.
    pub to: Value<Voltage>,
    /// Voltage that warmed the coil through before the sweep.
    pub warmed_by: Value<Voltage>,
}

/// What the customer needs of the events.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Its name, if stated.
    pub name: Option<String>,
    /// Index into [`Design::contacts`](crate::Design::contacts); `None` where it is about a figure.
    pub contact: Option<usize>,
    /// What is demanded.
    pub kind: DemandKind,
    /// As the user wrote it: `closed <= 8 mm`; of a figure its region, `<= 3 mm`.
    pub text: String,
    /// The user's note.
    pub note: Option<String>,
    /// Bytes of what it demands.
    pub span: Range<usize>,
}

impl Demand {
    /// True when its room is a stretch of the sweep: it demands events, and not their count.
    pub fn is_along(&self) -> bool {
        matches!(self.kind, DemandKind::Closed(_) | DemandKind::Open(_))
    }
}

/// What is demanded.
#[derive(Debug, Clone, PartialEq)]
pub enum DemandKind {
    /// The contact is closed everywhere here, whichever way the sweep runs.
    Closed(Reach),
    /// The contact is open everywhere here, whichever way the sweep runs.
    Open(Reach),
    /// The contact operates this often in one forward pass.
    Closures(u32),
    /// This of the design's [figures](crate::Design::figures) lies here.
    Figure(usize, Reach),
}

/// A region of a coordinate or a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Which quantity it is of; a pose number is a pure number.
    pub measure: Measure,
    /// Its lower end, SI; minus infinity where it has none.
    pub low: f64,
    /// Its upper end, SI; infinity where it has none.
    pub high: f64,
}
