//! Where a source is: a rotation and an origin.

use crate::{Points, Source, Vectors, VectorsMut};

/// `world = rotation · body + origin`; rows of `rotation` are world axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Rotation matrix, `rotation[row][column]`, orthonormal, determinant +1.
    pub rotation: [[f64; 3]; 3],
    /// The body frame's origin in the world, m.
    pub origin: [f64; 3],
}

impl Pose {
    /// Body frame and world are the same.
    pub const IDENTITY: Self =
        Self { rotation: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], origin: [0.0; 3] };
}

/// A source with a place in the world: itself a [`Source`], in world coordinates.
#[derive(Debug, Clone)]
pub struct Placed<S> {
    /// The source in its own frame.
    pub source: S,
    /// `world_from_body`.
    pub world_from_body: Pose,
}

impl<S: Source> Source for Placed<S> {
    fn add_b(&self, _at: Points<'_>, _out: VectorsMut<'_>) {
        let _ = Vectors::default();
        unimplemented!()
    }
    fn bounding_radius(&self) -> f64 {
        self.source.bounding_radius()
    }
    fn clearance(&self, _point: [f64; 3]) -> f64 {
        unimplemented!()
    }
}
