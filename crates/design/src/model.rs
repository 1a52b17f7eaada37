//! A checked design.
//!
//! Whoever holds a [`Design`] need check nothing again: every quantity is in range, every name
//! resolved, every direction has length one, the contact's dimensions fit each other.

use crate::value::Value;
use reedmace_materials::Grade;
use reedmace_units::{
    AmpereTurns, Angle, Current, FluxDensity, Length, Polarization, Power, Ratio, Region,
    Temperature, Voltage,
};
use std::ops::Range;

/// A position in the world: x, y, z.
pub type Position = [Value<Length>; 3];
/// A tilt about the world's x, then y, then z axis.
pub type Tilt = [Value<Angle>; 3];

/// A checked design.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// Version of the file's format.
    pub format: u32,
    /// What it is.
    pub title: String,
    /// Its revision, if stated.
    pub revision: Option<String>,
    /// The user's note.
    pub note: Option<String>,
    /// The file's text; every span is in bytes of it.
    pub text: String,
    /// At least one.
    pub contacts: Vec<Contact>,
    /// The magnets.
    pub magnets: Vec<Magnet>,
    /// The coils.
    pub coils: Vec<Coil>,
    /// What changes.
    pub sweep: Sweep,
    /// What is demanded.
    pub demands: Vec<Demand>,
    /// What everything is in.
    pub surroundings: Surroundings,
}

/// A reed contact.
///
/// In its own frame the contact lies along `axis` with its overlap at the origin and its gap along
/// `normal`; the frame is tilted by `rotate`, then moved to `at`.
#[derive(Debug, Clone, PartialEq)]
pub struct Contact {
    /// Its name.
    pub name: String,
    /// Its family in the catalogue, if it has one.
    pub family: Option<String>,
    /// The user's note.
    pub note: Option<String>,
    /// Diameter of the round leads.
    pub lead_diameter: Value<Length>,
    /// From lead tip to lead tip as mounted.
    pub overall_length: Value<Length>,
    /// Between the two round-to-flat transitions.
    pub blade_span: Value<Length>,
    /// Width of the blades.
    pub blade_width: Value<Length>,
    /// Thickness of the blades.
    pub blade_thickness: Value<Length>,
    /// Length over which the blades face each other.
    pub overlap: Value<Length>,
    /// Distance between the open blades.
    pub gap: Value<Length>,
    /// Distance between the irons of the closed blades: total thickness of the contact metals.
    pub closed_gap: Value<Length>,
    /// Relative permeability of blades and leads.
    pub permeability: Value<Ratio>,
    /// Length of the glass, if stated.
    pub glass_length: Option<Value<Length>>,
    /// Outer diameter of the glass, if stated.
    pub glass_diameter: Option<Value<Length>>,
    /// From lead tip to lead tip when operate and release were measured.
    pub calibrated_length: Value<Length>,
    /// Where it closes.
    pub operate: Threshold,
    /// Where it opens; always the same kind of quantity as `operate`.
    pub release: Threshold,
    /// What both were measured in.
    pub coil: Calibration,
    /// What it may switch and carry.
    pub ratings: Ratings,
    /// Its centre, the middle of the overlap.
    pub at: Position,
    /// Unit vector along blades and leads, before `rotate`.
    pub axis: [f64; 3],
    /// Unit vector across the gap, square to `axis`, before `rotate`.
    pub normal: [f64; 3],
    /// Tilt through its centre.
    pub rotate: Tilt,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// Operate or release, as it was measured.
#[derive(Debug, Clone, PartialEq)]
pub enum Threshold {
    /// Ampere-turns in the test coil.
    AmpereTurns(Value<AmpereTurns>),
    /// Flux density at the empty test coil's centre, or of a uniform axial field.
    FluxDensity(Value<FluxDensity>),
}

/// What operate and release were measured in.
#[derive(Debug, Clone, PartialEq)]
pub enum Calibration {
    /// A coil of these dimensions, centred on the contact and along it.
    Coil(Winding),
    /// The dimensions of this coil of [`Design::coils`], centred on the contact and along it.
    Named(usize),
    /// A uniform axial field; the thresholds are flux densities.
    Uniform,
}

/// The dimensions of a winding.
#[derive(Debug, Clone, PartialEq)]
pub struct Winding {
    /// Length along the axis.
    pub length: Value<Length>,
    /// Its section.
    pub section: Section,
}

/// The section of a winding.
#[derive(Debug, Clone, PartialEq)]
pub enum Section {
    /// A thin winding of one diameter.
    Thin {
        /// Mean diameter.
        mean_diameter: Value<Length>,
    },
    /// A winding with depth; inner < outer.
    Thick {
        /// Inner diameter.
        inner_diameter: Value<Length>,
        /// Outer diameter.
        outer_diameter: Value<Length>,
    },
}

/// What a contact may switch and carry, as far as stated.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ratings {
    /// Greatest switched power.
    pub switching_power: Option<Value<Power>>,
    /// Greatest switched voltage.
    pub switching_voltage: Option<Value<Voltage>>,
    /// Greatest switched current.
    pub switching_current: Option<Value<Current>>,
    /// Greatest carried current.
    pub carry_current: Option<Value<Current>>,
}

/// A permanent magnet.
#[derive(Debug, Clone, PartialEq)]
pub struct Magnet {
    /// Its name.
    pub name: String,
    /// Its entry in the catalogue, if it has one.
    pub catalogue: Option<String>,
    /// The user's note.
    pub note: Option<String>,
    /// Shape and dimensions.
    pub shape: Shape,
    /// What it is made of.
    pub material: Material,
    /// Unit vector of its polarization in the world, before `rotate`.
    pub direction: [f64; 3],
    /// Unit vector of the axis of a cylinder or ring in the world, before `rotate`.
    pub axis: [f64; 3],
    /// Its centre. Where the sweep states the position of what moves first, that stands instead.
    pub at: Position,
    /// Tilt through its centre.
    pub rotate: Tilt,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// Shape and dimensions of a magnet.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Sides along the world's x, y and z before `rotate`.
    Cuboid {
        /// The three sides.
        size: [Value<Length>; 3],
    },
    /// A solid cylinder along `axis`.
    Cylinder {
        /// Diameter.
        diameter: Value<Length>,
        /// Length.
        length: Value<Length>,
    },
    /// A tube along `axis`; inner < outer.
    Ring {
        /// Outer diameter.
        outer_diameter: Value<Length>,
        /// Inner diameter.
        inner_diameter: Value<Length>,
        /// Length.
        length: Value<Length>,
    },
    /// A sphere.
    Sphere {
        /// Diameter.
        diameter: Value<Length>,
    },
}

/// What a magnet is made of.
#[derive(Debug, Clone, PartialEq)]
pub enum Material {
    /// Ideally hard: recoil permeability one, no change with temperature.
    Hard {
        /// Remanence.
        remanence: Value<Polarization>,
    },
    /// A grade of the table of grades.
    Grade {
        /// The grade, at 20 °C.
        grade: Box<Grade>,
        /// Remanence at 20 °C: the design's own, else the grade's.
        remanence: Value<Polarization>,
    },
}

impl Material {
    /// Remanence at 20 °C.
    pub fn remanence(&self) -> &Value<Polarization> {
        match self {
            Self::Hard { remanence } | Self::Grade { remanence, .. } => remanence,
        }
    }
}

/// A coil.
#[derive(Debug, Clone, PartialEq)]
pub struct Coil {
    /// Its name.
    pub name: String,
    /// The user's note.
    pub note: Option<String>,
    /// Its dimensions.
    pub winding: Winding,
    /// Number of turns, if stated.
    pub turns: Option<Value<Ratio>>,
    /// What flows in it; `None` for a coil that only states a calibration, or whose current is the
    /// sweep's.
    pub drive: Option<CoilDrive>,
    /// Its centre.
    pub at: Position,
    /// Unit vector of its axis, before `rotate`; a positive drive makes field along it.
    pub axis: [f64; 3],
    /// Tilt through its centre.
    pub rotate: Tilt,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// What flows in a coil.
#[derive(Debug, Clone, PartialEq)]
pub enum CoilDrive {
    /// Turns times current.
    AmpereTurns(Value<AmpereTurns>),
    /// A current; the coil's `turns` are stated.
    Current(Value<Current>),
}

/// Something that can move.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Thing {
    /// Index into [`Design::contacts`].
    Contact(usize),
    /// Index into [`Design::magnets`].
    Magnet(usize),
    /// Index into [`Design::coils`].
    Coil(usize),
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
    /// The current of a coil.
    Current(CurrentSweep),
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

/// A coil's current as the coordinate.
#[derive(Debug, Clone, PartialEq)]
pub struct CurrentSweep {
    /// Index into [`Design::coils`].
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

/// What the customer needs of the events.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Its name, if stated.
    pub name: Option<String>,
    /// Index into [`Design::contacts`].
    pub contact: usize,
    /// What is demanded.
    pub kind: DemandKind,
    /// As the user wrote it: `closed <= 8 mm`.
    pub text: String,
    /// The user's note.
    pub note: Option<String>,
    /// Bytes of what it demands.
    pub span: Range<usize>,
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
}

/// A region in the sweep's coordinate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// Of a line.
    Length(Region<Length>),
    /// Of an arc or a spin.
    Angle(Region<Angle>),
    /// Of a current sweep in ampere-turns.
    AmpereTurns(Region<AmpereTurns>),
    /// Of a current sweep in amperes.
    Current(Region<Current>),
    /// Of a table: the number of the pose, from 1.
    Pose(Region<Ratio>),
}

/// What everything is in.
#[derive(Debug, Clone, PartialEq)]
pub struct Surroundings {
    /// Temperature of everything.
    pub temperature: Value<Temperature>,
    /// A uniform flux density from elsewhere.
    pub field: [Value<FluxDensity>; 3],
}
