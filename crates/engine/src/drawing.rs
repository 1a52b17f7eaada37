//! Where everything is, for whoever draws it: world coordinates, metres, nominal values.

pub use crate::level::LevelOutline;
pub use reedmace_fields::{MagnetShape, Pose};
use std::sync::Arc;

/// The arrangement at nominal values.
#[derive(Debug, Clone)]
pub struct Drawing {
    /// Contacts, in the design's order.
    pub contacts: Vec<ContactOutline>,
    /// Magnets, in the design's order.
    pub magnets: Vec<MagnetOutline>,
    /// Coils that carry current, in the design's order.
    pub coils: Vec<CoilOutline>,
    /// The conductors.
    pub conductors: Vec<ConductorOutline>,
    /// The motors near by.
    pub motors: Vec<MotorOutline>,
    /// Bodies of steel, in the design's order.
    pub steel: Vec<SteelOutline>,
    /// Path of what moves (its own `at` point) along the forward pass; empty if nothing moves.
    pub path: Vec<PathPoint>,
    /// The float of a level sweep.
    pub level: Option<LevelOutline>,
    /// What an arc or a spin turns.
    pub turn: Option<TurnOutline>,
}

/// A leaf on its hinge or a wheel on its shaft, where the sweep starts; m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnOutline {
    /// A point on the axis, beside the middle of the first of what turns.
    pub centre: [f64; 3],
    /// Unit vector along the axis.
    pub axis: [f64; 3],
    /// Unit vector from the axis towards the first of what turns.
    pub out: [f64; 3],
    /// From the axis to the opening edge of a door that states it, else to the furthest middle of what turns.
    pub reach: f64,
    /// It spins right round.
    pub wheel: bool,
}

/// A point of the path.
#[derive(Debug, Clone, Copy)]
pub struct PathPoint {
    /// The sweep's coordinate, in the answer's unit.
    pub coordinate: f64,
    /// World position, m.
    pub at: [f64; 3],
    /// Turns what moves, about the world's axes, from its attitude where the sweep starts to the one here;
    /// `None` where the sweep turns nothing.
    pub turned: Option<[[f64; 3]; 3]>,
}

/// A contact to draw: its frame has x along the axis, z along the gap normal, the origin in the gap.
#[derive(Debug, Clone)]
pub struct ContactOutline {
    /// Name in the design.
    pub name: String,
    /// Its frame in the world, where the sweep starts.
    pub world_from_contact: Pose,
    /// Lead diameter, m.
    pub lead_diameter: f64,
    /// Lead tip to lead tip, m.
    pub overall_length: f64,
    /// Round-to-flat transition to transition, m.
    pub blade_span: f64,
    /// Blade width, m.
    pub blade_width: f64,
    /// Blade thickness, m.
    pub blade_thickness: f64,
    /// Overlap of the blades, m.
    pub overlap: f64,
    /// Gap, m.
    pub gap: f64,
    /// Glass length and diameter, m, if known.
    pub glass: Option<[f64; 2]>,
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A magnet to draw.
#[derive(Debug, Clone)]
pub struct MagnetOutline {
    /// Name in the design.
    pub name: String,
    /// Its shape, body frame, m.
    pub shape: MagnetShape,
    /// Body frame in the world where the sweep starts.
    pub world_from_body: Pose,
    /// Body frame in the world where the sweep ends.
    pub world_from_body_end: Pose,
    /// Direction of polarization in the body frame, unit vector.
    pub direction: [f64; 3],
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A coil to draw: axis z of its frame.
#[derive(Debug, Clone)]
pub struct CoilOutline {
    /// Name in the design.
    pub name: String,
    /// Its frame in the world where the sweep starts.
    pub world_from_body: Pose,
    /// Length, m.
    pub length: f64,
    /// Inner diameter, m.
    pub inner_diameter: f64,
    /// Outer diameter, m; equal to the inner one for a thin winding.
    pub outer_diameter: f64,
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A conductor to draw: along z of its frame.
#[derive(Debug, Clone)]
pub struct ConductorOutline {
    /// Name in the design.
    pub name: String,
    /// Its frame in the world; a positive current runs along z.
    pub world_from_body: Pose,
    /// Diameter, m.
    pub diameter: f64,
    /// Length, m; `None` for one far longer than all else.
    pub length: Option<f64>,
}

/// A motor to draw: a dipole along z of its frame, of no size of its own.
#[derive(Debug, Clone)]
pub struct MotorOutline {
    /// Name in the design.
    pub name: String,
    /// Its frame in the world.
    pub world_from_body: Pose,
}

/// A body of steel to draw.
#[derive(Debug, Clone)]
pub struct SteelOutline {
    /// Name in the design.
    pub name: String,
    /// The solids that together are its shape, body frame; they may touch and overlap.
    pub parts: Vec<SteelPart>,
    /// Body frame in the world where the sweep starts.
    pub world_from_body: Pose,
    /// Body frame in the world where the sweep ends.
    pub world_from_body_end: Pose,
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A solid of a body of steel, m.
#[derive(Debug, Clone)]
pub enum SteelPart {
    /// A box along the frame's axes.
    Box {
        /// Its middle.
        centre: [f64; 3],
        /// Half of its sides.
        half_size: [f64; 3],
    },
    /// A cylinder or a tube about the frame's z axis, centred.
    Round {
        /// Outer radius.
        outer_radius: f64,
        /// Radius of the bore; zero for a solid cylinder.
        inner_radius: f64,
        /// Half of its length.
        half_length: f64,
    },
    /// A sphere, centred.
    Sphere {
        /// Radius.
        radius: f64,
    },
    /// The surface in triangles.
    Mesh {
        /// Corners of each triangle.
        triangles: Arc<Vec<[[f64; 3]; 3]>>,
    },
}
