//! Where everything is, in mm.

use reedmace_engine::drawing as engine;
use schemars::JsonSchema;
use serde::Serialize;

/// The arrangement at nominal values, mm.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Drawing {
    /// Contacts, in the design's order.
    pub contacts: Vec<Contact>,
    /// Magnets, in the design's order.
    pub magnets: Vec<Magnet>,
    /// Coils that carry current, in the design's order.
    pub coils: Vec<Coil>,
    /// Straight conductors, in the design's order.
    pub conductors: Vec<Conductor>,
    /// Motors near by, in the design's order.
    pub motors: Vec<Motor>,
    /// Bodies of steel, in the design's order.
    pub steel: Vec<Steel>,
    /// The float of a level sweep in its tank.
    pub level: Option<Level>,
    /// What an arc or a spin turns.
    pub turn: Option<Turn>,
    /// Path of what moves, its own middle, along the forward pass; empty if nothing moves.
    pub path: Vec<PathPoint>,
}

/// A frame in the world.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Pose {
    /// Its origin, mm.
    pub at: [f64; 3],
    /// Rotation matrix, row by row: world = rows · body + at.
    pub rows: [[f64; 3]; 3],
}

/// A point of the path.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct PathPoint {
    /// The sweep's coordinate, in the answer's unit.
    pub coordinate: f64,
    /// World position, mm.
    pub at: [f64; 3],
    /// Rows of the rotation that turns what moves from its attitude where the sweep starts to the one here;
    /// left out where the sweep turns nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turned: Option<[[f64; 3]; 3]>,
}

/// A contact: its frame has x along the axis, z along the gap normal, the origin in the gap.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Contact {
    /// Name in the design.
    pub name: String,
    /// Its frame where the sweep starts.
    pub pose: Pose,
    /// Lead diameter, mm.
    pub lead_diameter: f64,
    /// Lead tip to lead tip, mm.
    pub overall_length: f64,
    /// Round-to-flat transition to transition, mm.
    pub blade_span: f64,
    /// Blade width, mm.
    pub blade_width: f64,
    /// Blade thickness, mm.
    pub blade_thickness: f64,
    /// Overlap of the blades, mm.
    pub overlap: f64,
    /// Gap, mm.
    pub gap: f64,
    /// Glass length and diameter, mm, if known.
    pub glass: Option<[f64; 2]>,
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A magnet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Magnet {
    /// Name in the design.
    pub name: String,
    /// Its shape, in its frame.
    pub shape: Solid,
    /// Its frame where the sweep starts.
    pub pose: Pose,
    /// Its frame where the sweep ends.
    pub pose_end: Pose,
    /// Direction of polarization in its frame, unit vector.
    pub direction: [f64; 3],
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A coil: axis z of its frame.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Coil {
    /// Name in the design.
    pub name: String,
    /// Its frame where the sweep starts.
    pub pose: Pose,
    /// Length, mm.
    pub length: f64,
    /// Inner diameter, mm.
    pub inner_diameter: f64,
    /// Outer diameter, mm; equal to the inner one for a thin winding.
    pub outer_diameter: f64,
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A straight conductor along z of its frame.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Conductor {
    /// Name in the design.
    pub name: String,
    /// Its frame; a positive current runs along z.
    pub pose: Pose,
    /// Diameter, mm.
    pub diameter: f64,
    /// Length, mm; none for one far longer than all else.
    pub length: Option<f64>,
}

/// A motor or the like near by: a dipole along z of its frame.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Motor {
    /// Name in the design.
    pub name: String,
    /// Its frame.
    pub pose: Pose,
}

/// A float in its tank.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Level {
    /// Half the diameter of the float and half its height, mm.
    pub half: [f64; 2],
    /// True for a ball, or a cylinder seen along its axis.
    pub round: bool,
    /// Half the diameter of its bore, mm.
    pub bore: f64,
    /// Pivot of its arm, mm, if it has one.
    pub pivot: Option<[f64; 3]>,
    /// The tank from its lowest place up: level and half the width there, mm.
    pub tank: Vec<[f64; 2]>,
    /// Level, then x, y and z of the middle of the float there, mm, in the order of the sweep.
    pub middles: Vec<[f64; 4]>,
}

/// A leaf on its hinge or a wheel on its shaft, where the sweep starts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Turn {
    /// A point on the axis, beside the middle of the first of what turns, mm.
    pub centre: [f64; 3],
    /// Unit vector along the axis.
    pub axis: [f64; 3],
    /// Unit vector from the axis towards the first of what turns.
    pub out: [f64; 3],
    /// From the axis to the opening edge of a door that states it, else to the furthest middle of what turns, mm.
    pub reach: f64,
    /// It spins right round.
    pub wheel: bool,
}

/// A body of steel.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Steel {
    /// Name in the design.
    pub name: String,
    /// The solids that together are its shape, in its frame; they may touch and overlap.
    pub parts: Vec<Solid>,
    /// Its frame where the sweep starts.
    pub pose: Pose,
    /// Its frame where the sweep ends.
    pub pose_end: Pose,
    /// True when the sweep moves it.
    pub moves: bool,
}

/// A solid, mm.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Solid {
    /// A box along the frame's axes.
    Box {
        /// Its middle.
        centre: [f64; 3],
        /// Its sides.
        size: [f64; 3],
    },
    /// A cylinder or a tube about the frame's z axis, centred.
    Round {
        /// Outer diameter.
        outer_diameter: f64,
        /// Diameter of the bore; zero for a solid cylinder.
        inner_diameter: f64,
        /// Length.
        length: f64,
    },
    /// A sphere, centred.
    Sphere {
        /// Diameter.
        diameter: f64,
    },
    /// A surface in triangles: nine numbers each.
    Mesh {
        /// x, y and z of each corner of each triangle.
        triangles: Vec<f64>,
    },
}

fn mm(metres: f64) -> f64 {
    metres * 1e3
}

impl From<&engine::Drawing> for Drawing {
    fn from(drawing: &engine::Drawing) -> Self {
        Self {
            contacts: drawing.contacts.iter().map(Contact::from).collect(),
            magnets: drawing.magnets.iter().map(Magnet::from).collect(),
            coils: drawing.coils.iter().map(Coil::from).collect(),
            conductors: drawing.conductors.iter().map(Conductor::from).collect(),
            motors: drawing.motors.iter().map(Motor::from).collect(),
            steel: drawing.steel.iter().map(Steel::from).collect(),
            level: drawing.level.as_ref().map(Level::from),
            turn: drawing.turn.as_ref().map(Turn::from),
            path: drawing
                .path
                .iter()
                .map(|p| PathPoint { coordinate: p.coordinate, at: p.at.map(mm), turned: p.turned })
                .collect(),
        }
    }
}

impl From<engine::Pose> for Pose {
    fn from(pose: engine::Pose) -> Self {
        Self { at: pose.origin.map(mm), rows: pose.rotation }
    }
}

impl From<&engine::ContactOutline> for Contact {
    fn from(contact: &engine::ContactOutline) -> Self {
        Self {
            name: contact.name.clone(),
            pose: contact.world_from_contact.into(),
            lead_diameter: mm(contact.lead_diameter),
            overall_length: mm(contact.overall_length),
            blade_span: mm(contact.blade_span),
            blade_width: mm(contact.blade_width),
            blade_thickness: mm(contact.blade_thickness),
            overlap: mm(contact.overlap),
            gap: mm(contact.gap),
            glass: contact.glass.map(|sizes| sizes.map(mm)),
            moves: contact.moves,
        }
    }
}

impl From<&engine::MagnetOutline> for Magnet {
    fn from(magnet: &engine::MagnetOutline) -> Self {
        Self {
            name: magnet.name.clone(),
            shape: magnet.shape.into(),
            pose: magnet.world_from_body.into(),
            pose_end: magnet.world_from_body_end.into(),
            direction: magnet.direction,
            moves: magnet.moves,
        }
    }
}

impl From<engine::MagnetShape> for Solid {
    fn from(shape: engine::MagnetShape) -> Self {
        use engine::MagnetShape;
        let double = |half: f64| mm(2.0 * half);
        let round = |outer: f64, inner: f64, half: f64| Self::Round {
            outer_diameter: double(outer),
            inner_diameter: double(inner),
            length: double(half),
        };
        match shape {
            MagnetShape::Cuboid { half_size } => {
                Self::Box { centre: [0.0; 3], size: half_size.map(double) }
            }
            MagnetShape::Cylinder { radius, half_length } => round(radius, 0.0, half_length),
            MagnetShape::Ring { inner_radius, outer_radius, half_length } => {
                round(outer_radius, inner_radius, half_length)
            }
            MagnetShape::Sphere { radius } => Self::Sphere { diameter: double(radius) },
        }
    }
}

impl From<&engine::CoilOutline> for Coil {
    fn from(coil: &engine::CoilOutline) -> Self {
        Self {
            name: coil.name.clone(),
            pose: coil.world_from_body.into(),
            length: mm(coil.length),
            inner_diameter: mm(coil.inner_diameter),
            outer_diameter: mm(coil.outer_diameter),
            moves: coil.moves,
        }
    }
}

impl From<&engine::ConductorOutline> for Conductor {
    fn from(conductor: &engine::ConductorOutline) -> Self {
        Self {
            name: conductor.name.clone(),
            pose: conductor.world_from_body.into(),
            diameter: mm(conductor.diameter),
            length: conductor.length.map(mm),
        }
    }
}

impl From<&engine::MotorOutline> for Motor {
    fn from(motor: &engine::MotorOutline) -> Self {
        Self { name: motor.name.clone(), pose: motor.world_from_body.into() }
    }
}

impl From<&engine::LevelOutline> for Level {
    fn from(level: &engine::LevelOutline) -> Self {
        let middle = |(at, [x, y, z]): &(f64, [f64; 3])| [*at, *x, *y, *z].map(mm);
        Self {
            half: level.half.map(mm),
            round: level.round,
            bore: mm(level.bore),
            pivot: level.pivot.map(|pivot| pivot.map(mm)),
            tank: level.tank.iter().map(|row| row.map(mm)).collect(),
            middles: level.middles.iter().map(middle).collect(),
        }
    }
}

impl From<&engine::TurnOutline> for Turn {
    fn from(turn: &engine::TurnOutline) -> Self {
        Self {
            centre: turn.centre.map(mm),
            axis: turn.axis,
            out: turn.out,
            reach: mm(turn.reach),
            wheel: turn.wheel,
        }
    }
}

impl From<&engine::SteelOutline> for Steel {
    fn from(steel: &engine::SteelOutline) -> Self {
        Self {
            name: steel.name.clone(),
            parts: steel.parts.iter().map(Solid::from).collect(),
            pose: steel.world_from_body.into(),
            pose_end: steel.world_from_body_end.into(),
            moves: steel.moves,
        }
    }
}

impl From<&engine::SteelPart> for Solid {
    fn from(part: &engine::SteelPart) -> Self {
        use engine::SteelPart;
        match part {
            SteelPart::Box { centre, half_size } => {
                Self::Box { centre: centre.map(mm), size: half_size.map(|half| mm(2.0 * half)) }
            }
            SteelPart::Round { outer_radius, inner_radius, half_length } => Self::Round {
                outer_diameter: mm(2.0 * outer_radius),
                inner_diameter: mm(2.0 * inner_radius),
                length: mm(2.0 * half_length),
            },
            SteelPart::Sphere { radius } => Self::Sphere { diameter: mm(2.0 * radius) },
            SteelPart::Mesh { triangles } => Self::Mesh {
                triangles: triangles.iter().flatten().flatten().map(|v| mm(*v)).collect(),
            },
        }
    }
}
