//! Soft-magnetic bodies: linear, homogeneous, by charge on their surface.
//!
//! A body of relative permeability μ in a field is magnetized without volume charge, so it acts as a
//! charge density σ on its surface (in A/m; a charge q makes `H = q r/(4π r³)`). Just inside and outside
//! the surface the normal field is h ∓ σ/2, h the field of everything else; μ times the one equals the
//! other. That is one equation per panel of the surface, the Fredholm equation of the second kind
//! `σ = 2λ h`, λ = (μ − 1)/(μ + 1) (`[lindholm1980]`). Panels are flat, their charge varies along them as
//! their neighbours' charges tell, their fields are closed forms, and the equation holds for the mean
//! over each panel, that is for its flux.

mod assemble;
mod boxes;
mod charged;
mod flux;
mod groups;
mod inside;
mod line;
mod mesh;
mod near;
mod nearest;
mod panel;
mod rectangles;
mod shape;
mod smooth;
mod system;

pub use charged::ChargedSteel;
pub use inside::SteelFlux;
pub use line::Segment;
pub use system::{Steel, SteelRule};

use crate::{FieldError, Pose};

/// The most panels that are taken on: their matrix fills 200 MB, twice.
pub const MOST_PANELS: usize = 5000;

/// A body of steel with its place in the world.
#[derive(Debug, Clone, PartialEq)]
pub struct SteelBody {
    /// The shape.
    pub shape: SteelShape,
    /// Relative permeability, at least one; may be infinite.
    pub permeability: f64,
    /// Where it is.
    pub world_from_body: Pose,
}

/// The shape of a body of steel; round ones about their frame's z axis, centred. Metres.
#[derive(Debug, Clone, PartialEq)]
pub enum SteelShape {
    /// A rectangular block or plate, centred.
    Cuboid {
        /// Half of each edge length.
        half_size: [f64; 3],
    },
    /// A solid cylinder or disc: a prism with the same area of cross-section.
    Cylinder {
        /// Radius.
        radius: f64,
        /// Half of the length.
        half_length: f64,
    },
    /// A tube: a prism with the same area of cross-section.
    Tube {
        /// Radius of the hole.
        inner_radius: f64,
        /// Radius of the outside.
        outer_radius: f64,
        /// Half of the length.
        half_length: f64,
    },
    /// A sphere: a polyhedron of the same volume.
    Sphere {
        /// Radius.
        radius: f64,
    },
    /// Boxes along the frame's axes; where they touch or overlap they are one piece.
    Boxes {
        /// The boxes.
        boxes: Vec<AxisBox>,
    },
    /// A closed surface of triangles.
    Mesh {
        /// Corners of each triangle, all in the same sense of turning.
        triangles: Vec<[[f64; 3]; 3]>,
    },
}

/// A box along the axes of its frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisBox {
    /// The corner with the lowest coordinates, m.
    pub low: [f64; 3],
    /// The corner with the highest coordinates, m.
    pub high: [f64; 3],
}

/// Why steel cannot be taken into account.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SteelError {
    /// A size is wrong.
    #[error(transparent)]
    Size(#[from] FieldError),
    /// A permeability below one, or not a number.
    #[error("the relative permeability of steel must be at least 1, not {value}")]
    Permeability {
        /// The value given.
        value: f64,
    },
    /// More panels than can be solved.
    #[error("{wanted} panels of steel are more than the {MOST_PANELS} that can be solved")]
    TooManyPanels {
        /// How many it would take.
        wanted: usize,
    },
    /// A body of no boxes or no triangles.
    #[error("a body of steel has no boxes or triangles")]
    Empty,
    /// A box whose corners are not low before high in every direction, or not finite.
    #[error("box {index} of a body of steel is flat or inside out")]
    FlatBox {
        /// Which box, from 0.
        index: usize,
    },
    /// A triangle without area.
    #[error("triangle {index} of a mesh has no area")]
    FlatTriangle {
        /// Which triangle, from 0.
        index: usize,
    },
    /// A triangle with an edge that has not exactly one other triangle on its other side, turning alike.
    #[error("the mesh is not closed at triangle {index}")]
    NotClosed {
        /// Which triangle, from 0.
        index: usize,
    },
    /// Two bodies share room or touch.
    #[error("bodies of steel {first} and {second} touch or overlap")]
    Overlap {
        /// One body, from 0.
        first: usize,
        /// The other.
        second: usize,
    },
    /// The equations have no finite solution.
    #[error("the panels of the steel have no finite solution; its dimensions are too extreme")]
    Singular,
}
