//! Uniformly polarized magnets.

use crate::cuboid::add_cuboid;
use crate::cuboid_gradient::add_cuboid_gradient;
use crate::cylinder::radius;
use crate::error::{finite, positive, tube};
use crate::gradient::{Gradient, GradientsMut};
use crate::round::Round;
use crate::sphere::{add_sphere, add_sphere_gradient};
use crate::{FieldError, Points, Source, VectorsMut};

/// The shape of a magnet, centred on its frame's origin, symmetry axis z. Metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MagnetShape {
    /// A rectangular block.
    Cuboid {
        /// Half of each edge length.
        half_size: [f64; 3],
    },
    /// A solid round cylinder.
    Cylinder {
        /// Radius.
        radius: f64,
        /// Half of the length.
        half_length: f64,
    },
    /// A cylinder with a concentric hole.
    Ring {
        /// Radius of the hole.
        inner_radius: f64,
        /// Radius of the outside.
        outer_radius: f64,
        /// Half of the length.
        half_length: f64,
    },
    /// A sphere.
    Sphere {
        /// Radius.
        radius: f64,
    },
}

/// A uniformly polarized magnet, any direction.
///
/// [`Source::add_b`] gives `B = μ0 H + J` inside. Exactly on a surface it gives the mean of both sides;
/// exactly on an edge, where the field grows like the logarithm of the distance, the finite value found
/// 1e-16 of the largest size away from it, averaged over directions. [`Magnet::try_b`] refuses edges.
///
/// Largest error over |B| against 50-digit closed forms (`cross_mpmath_*`: on axis, seams, face planes,
/// edge lines, 1e-9 sizes from faces, out to 5,000 sizes, plates and needles of 1:100):
///
/// | shape | anywhere | 1e-6 sizes from an edge |
/// |---|---|---|
/// | cuboid | 2e-13 | 5e-12 |
/// | cylinder | 4e-13 | 3e-15 |
/// | ring | 5e-13 | 4e-15 |
/// | ring with a wall below 5 % of its radius, or wall · half length below 0.005 · radius² | 3e-11 | 4e-15 |
/// | sphere | 1e-15 | has none |
///
/// At thousands of points more, discs flatter than 1:20 and flat rings reach 2e-12 (`cargo xtask magpylib`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Magnet {
    /// The shape.
    pub shape: MagnetShape,
    /// Polarization J in the body's frame, T.
    pub polarization: [f64; 3],
}

impl Magnet {
    /// A magnet of `shape` with `polarization` (T).
    ///
    /// # Errors
    /// A size that is not positive and finite, a hole not smaller than the outside, a polarization that is
    /// not finite.
    pub fn new(shape: MagnetShape, polarization: [f64; 3]) -> Result<Self, FieldError> {
        shape.check()?;
        for component in polarization {
            finite("polarization", component)?;
        }
        Ok(Self { shape, polarization })
    }

    /// Magnetic moment `J V / μ0`, A·m².
    pub fn moment(&self) -> [f64; 3] {
        let per_tesla = self.shape.volume() / crate::MU_0;
        self.polarization.map(|j| j * per_tesla)
    }

    /// B at a point (m) that must not lie on an edge.
    ///
    /// # Errors
    /// [`FieldError::OnEdge`] where the field has no finite value, [`FieldError::NotFinite`] for a point
    /// that is nowhere.
    pub fn try_b(&self, point: [f64; 3]) -> Result<[f64; 3], FieldError> {
        for c in point {
            finite("point", c)?;
        }
        if self.shape.on_edge(point) { Err(FieldError::OnEdge) } else { Ok(self.b(point)) }
    }
}

impl Source for Magnet {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        let j = self.polarization;
        match self.shape {
            MagnetShape::Cuboid { half_size } => add_cuboid(half_size, j, at, out),
            MagnetShape::Cylinder { radius, half_length } => {
                Round { radii: [radius], half_length, j, filled: true }.add_b(at, out);
            }
            MagnetShape::Ring { inner_radius, outer_radius, half_length } => {
                Round { radii: [outer_radius, inner_radius], half_length, j, filled: true }
                    .add_b(at, out);
            }
            MagnetShape::Sphere { radius } => add_sphere(radius, j, at, out),
        }
    }

    fn bounding_radius(&self) -> f64 {
        self.shape.bounding_radius()
    }

    fn clearance(&self, point: [f64; 3]) -> f64 {
        self.shape.clearance(point)
    }
}

impl Gradient for Magnet {
    fn add_gradient(&self, at: Points<'_>, out: GradientsMut<'_>) {
        let j = self.polarization;
        match self.shape {
            MagnetShape::Cuboid { half_size } => add_cuboid_gradient(half_size, j, at, out),
            MagnetShape::Cylinder { radius, half_length } => {
                Round { radii: [radius], half_length, j, filled: true }.add_gradient(at, out);
            }
            MagnetShape::Ring { inner_radius, outer_radius, half_length } => {
                Round { radii: [outer_radius, inner_radius], half_length, j, filled: true }
                    .add_gradient(at, out);
            }
            MagnetShape::Sphere { radius } => add_sphere_gradient(radius, j, at, out),
        }
    }
}

impl MagnetShape {
    /// Refuses sizes that are not positive and finite, and a hole not smaller than the outside.
    ///
    /// # Errors
    /// See [`FieldError`].
    pub fn check(&self) -> Result<(), FieldError> {
        match *self {
            Self::Cuboid { half_size } => {
                half_size.into_iter().try_for_each(|half| positive("half size", half))
            }
            Self::Cylinder { radius, half_length } => {
                positive("radius", radius)?;
                positive("half length", half_length)
            }
            Self::Ring { inner_radius, outer_radius, half_length } => {
                tube(inner_radius, outer_radius, half_length)
            }
            Self::Sphere { radius } => positive("radius", radius),
        }
    }

    /// Volume, m³.
    pub fn volume(&self) -> f64 {
        use std::f64::consts::PI;
        match *self {
            Self::Cuboid { half_size: [a, b, c] } => 8.0 * a * b * c,
            Self::Cylinder { radius, half_length } => 2.0 * PI * radius * radius * half_length,
            Self::Ring { inner_radius, outer_radius, half_length } => {
                2.0 * PI
                    * (outer_radius - inner_radius)
                    * (outer_radius + inner_radius)
                    * half_length
            }
            Self::Sphere { radius } => 4.0 / 3.0 * PI * radius.powi(3),
        }
    }

    /// Radius of the sphere about the centre that holds the shape, m.
    pub fn bounding_radius(&self) -> f64 {
        match *self {
            Self::Cuboid { half_size: [a, b, c] } => a.hypot(b).hypot(c),
            Self::Cylinder { radius, half_length } => radius.hypot(half_length),
            Self::Ring { outer_radius, half_length, .. } => outer_radius.hypot(half_length),
            Self::Sphere { radius } => radius,
        }
    }

    /// Distance from `point` (m) to the surface, 0 inside.
    pub fn clearance(&self, point: [f64; 3]) -> f64 {
        let [x, y, z] = point;
        match *self {
            Self::Cuboid { half_size: [a, b, c] } => {
                let out = |at: f64, half: f64| (at.abs() - half).max(0.0);
                let away = [out(x, a), out(y, b), out(z, c)];
                // Lengths of everyday size: no need of the slow, overflow-proof `hypot`.
                away.iter().map(|c| c * c).sum::<f64>().sqrt()
            }
            Self::Cylinder { radius, half_length } => {
                tube_clearance(0.0, radius, half_length, point)
            }
            Self::Ring { inner_radius, outer_radius, half_length } => {
                tube_clearance(inner_radius, outer_radius, half_length, point)
            }
            Self::Sphere { radius } => (x.hypot(y).hypot(z) - radius).max(0.0),
        }
    }

    /// True inside and on the surface.
    pub fn inside(&self, point: [f64; 3]) -> bool {
        self.clearance(point) == 0.0
    }

    /// True exactly on an edge.
    fn on_edge(&self, point: [f64; 3]) -> bool {
        let [x, y, z] = point;
        match *self {
            Self::Cuboid { half_size: [a, b, c] } => {
                let on = [x.abs() == a, y.abs() == b, z.abs() == c];
                self.inside(point) && on.into_iter().filter(|&face| face).count() > 1
            }
            Self::Cylinder { radius: a, half_length } => {
                radius(point) == a && z.abs() == half_length
            }
            Self::Ring { inner_radius, outer_radius, half_length } => {
                let rho = radius(point);
                z.abs() == half_length && (rho == inner_radius || rho == outer_radius)
            }
            Self::Sphere { .. } => false,
        }
    }
}

/// Distance from a point to a tube about z, 0 inside its wall.
pub(crate) fn tube_clearance(inner: f64, outer: f64, half_length: f64, point: [f64; 3]) -> f64 {
    let rho = radius(point);
    let across = (rho - outer).max(inner - rho).max(0.0);
    let along = (point[2].abs() - half_length).max(0.0);
    (across * across + along * along).sqrt()
}
