//! The bodies of steel of a checked design.

use crate::model::{Position, Tilt};
use crate::value::Value;
use reedmace_units::{Length, Polarization, Ratio};
use std::ops::Range;
use std::sync::Arc;

/// A body of soft magnetic steel.
#[derive(Debug, Clone, PartialEq)]
pub struct Steel {
    /// Its name.
    pub name: String,
    /// The user's note.
    pub note: Option<String>,
    /// Shape and dimensions.
    pub shape: SteelShape,
    /// Its alloy in the table of alloys, if it names one.
    pub alloy: Option<String>,
    /// Relative permeability, at least one: the design's own, else the alloy's in weak fields.
    pub permeability: Value<Ratio>,
    /// Saturation polarization: the design's own, else the alloy's; `None` if neither says it.
    pub saturation: Option<Value<Polarization>>,
    /// Its centre; of boxes and meshes the origin of their own coordinates. Where the sweep states
    /// the position of what moves first, that stands instead.
    pub at: Position,
    /// Unit vector of the axis of a cylinder or tube in the world, before `rotate`.
    pub axis: [f64; 3],
    /// Tilt through `at`.
    pub rotate: Tilt,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// Shape and dimensions of a body of steel.
#[derive(Debug, Clone, PartialEq)]
pub enum SteelShape {
    /// Sides along the world's x, y and z before `rotate`.
    Cuboid {
        /// The three sides.
        size: [Value<Length>; 3],
    },
    /// A solid cylinder or disc along `axis`.
    Cylinder {
        /// Diameter.
        diameter: Value<Length>,
        /// Length.
        length: Value<Length>,
    },
    /// A tube along `axis`; inner < outer.
    Tube {
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
    /// Boxes along the world's x, y and z before `rotate`; at least one, and at nominal each touches
    /// or overlaps another, so that all hang together.
    Boxes {
        /// The boxes.
        boxes: Vec<SteelBox>,
    },
    /// Triangles of a file; not known to be closed.
    Mesh {
        /// The file's name in the design.
        file: String,
        /// The unit its numbers are in.
        unit: &'static str,
        /// Corners of each triangle before `rotate` and `at`, m, counterclockwise seen from outside
        /// as far as the file keeps to the rule.
        triangles: Arc<Vec<[[f64; 3]; 3]>>,
    },
}

/// One box of a body of boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct SteelBox {
    /// Its sides.
    pub size: [Value<Length>; 3],
    /// Its centre, from the body's `at` and before `rotate`.
    pub at: Position,
}
