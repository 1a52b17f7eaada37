//! The scalar potential of magnets: `μ0 H = −∇φ`.
//!
//! The surface charge J·n makes `φ = 1/4π ∮ J·n/R dS`. Flat faces and spheres have it in closed form. Walls
//! of round bodies are lines of charge, closed over the height, and ends are turned into integrals round their
//! rims by the divergence theorem:
//!
//! - `∫ dz/R = Δ arsinh(u/d)`,
//! - `∫ dS/R = ∮ m·s⃗/(D + |u|) dl`,
//!
//! d the distance in the plane, u the height over an end, `D² = d² + u²`, s⃗ from below the point to the rim
//! with outward normal m. Both are summed over the angle as in [`crate::arc`].

use std::f64::consts::{PI, TAU};

use crate::arc::{NODES, nearness, panels};
use crate::cylinder::radius;
use crate::{
    ChargedPolygon, Dipole, FieldError, MU_0, Magnet, MagnetShape, MeshMagnet, MultipoleRing,
    Placed, Points, RingSegment,
};

/// A source whose H is minus the slope of a potential everywhere.
pub trait Potential {
    /// Adds φ at each point to `out`, T·m: `μ0 H = −∇φ`, continuous, zero far away.
    ///
    /// Accuracy: 1e-14 of J times the size (`cross_potential`). Far away, where φ falls with the square of the
    /// distance, that is more of φ itself: 1e-11 at 100 sizes.
    ///
    /// # Errors
    /// [`FieldError::NotPolygon`] for a block whose faces are thinner than 1e-9 of their length.
    ///
    /// # Panics
    /// When the slices do not all have one length.
    fn add_potential(&self, at: Points<'_>, out: &mut [f64]) -> Result<(), FieldError>;
}

impl Potential for Magnet {
    fn add_potential(&self, at: Points<'_>, out: &mut [f64]) -> Result<(), FieldError> {
        let j = self.polarization;
        let round = |inner: f64, outer: f64, half_length: f64| Round {
            radii: [outer, inner],
            half_length,
            middle: None,
            span: TAU,
            polarization: j,
        };
        match self.shape {
            MagnetShape::Cuboid { half_size } => {
                for (axis, j) in j.into_iter().enumerate() {
                    for side in [-1.0, 1.0] {
                        if j != 0.0 {
                            let face = block_face(half_size, axis, side)?;
                            face.add_potential(at, side * j, out);
                        }
                    }
                }
            }
            MagnetShape::Cylinder { radius, half_length } => {
                round(0.0, radius, half_length).add(at, out);
            }
            MagnetShape::Ring { inner_radius, outer_radius, half_length } => {
                round(inner_radius, outer_radius, half_length).add(at, out);
            }
            MagnetShape::Sphere { radius } => add_each(at, out, |p| {
                // J·r/3 inside; the dipole outside.
                let r = p.map(|c| c / radius);
                let r2 = dot(r, r);
                radius * dot(j, r) / 3.0 / if r2 > 1.0 { r2 * r2.sqrt() } else { 1.0 }
            }),
        }
        Ok(())
    }
}

impl Potential for Dipole {
    /// `μ0 m·r/(4π r³)`; 0 at the dipole itself, where no value is right.
    fn add_potential(&self, at: Points<'_>, out: &mut [f64]) -> Result<(), FieldError> {
        add_each(at, out, |p| {
            let r = dot(p, p).sqrt();
            if r > 0.0 {
                MU_0 / (4.0 * PI) * dot(self.moment, p.map(|c| c / r)) / (r * r)
            } else {
                0.0
            }
        });
        Ok(())
    }
}

impl Potential for MeshMagnet {
    fn add_potential(&self, at: Points<'_>, out: &mut [f64]) -> Result<(), FieldError> {
        for face in self.mesh.faces() {
            face.add_potential(at, dot(face.normal(), self.polarization), out);
        }
        Ok(())
    }
}

impl Potential for RingSegment {
    fn add_potential(&self, at: Points<'_>, out: &mut [f64]) -> Result<(), FieldError> {
        for side in self.sides().into_iter().flatten() {
            side.add_potential(at, dot(side.normal(), self.polarization), out);
        }
        let round = Round {
            radii: [self.outer_radius, self.inner_radius],
            half_length: self.half_length,
            middle: Some(0.5 * (self.from_angle + self.to_angle)),
            span: self.to_angle - self.from_angle,
            polarization: self.polarization,
        };
        round.add(at, out);
        Ok(())
    }
}

impl Potential for MultipoleRing {
    fn add_potential(&self, at: Points<'_>, out: &mut [f64]) -> Result<(), FieldError> {
        self.segments().iter().try_for_each(|segment| segment.add_potential(at, out))
    }
}

impl<S: Potential> Potential for Placed<S> {
    fn add_potential(&self, at: Points<'_>, out: &mut [f64]) -> Result<(), FieldError> {
        let rows = (0..at.len()).map(|i| self.world_from_body.apply_inverse(at.get(i)));
        let there = crate::Vectors::from_rows(rows);
        self.source.add_potential(there.points(), out)
    }
}

fn add_each(at: Points<'_>, out: &mut [f64], potential: impl Fn([f64; 3]) -> f64) {
    assert!([at.y.len(), at.z.len(), out.len()] == [at.len(); 3]);
    for (i, out) in out.iter_mut().enumerate() {
        *out += potential(at.get(i));
    }
}

/// A face of a block, its order of corners of no account.
fn block_face(half: [f64; 3], axis: usize, side: f64) -> Result<ChargedPolygon, FieldError> {
    let corner = |first: f64, second: f64| {
        let mut c = [0.0; 3];
        c[axis] = side * half[axis];
        c[(axis + 1) % 3] = first * half[(axis + 1) % 3];
        c[(axis + 2) % 3] = second * half[(axis + 2) % 3];
        c
    };
    ChargedPolygon::new(&[
        corner(-1.0, -1.0),
        corner(1.0, -1.0),
        corner(1.0, 1.0),
        corner(-1.0, 1.0),
    ])
}

/// Floor of a distance, in units of the outer radius.
const FLOOR: f64 = 1e-16;

/// The walls and ends of a tube or of part of one.
struct Round {
    /// Outer, then inner, which may be 0.
    radii: [f64; 2],
    half_length: f64,
    /// Angle of the middle, none for a whole turn.
    middle: Option<f64>,
    span: f64,
    polarization: [f64; 3],
}

impl Round {
    fn add(&self, at: Points<'_>, out: &mut [f64]) {
        add_each(at, out, |p| self.potential(p) / (4.0 * PI));
    }

    fn potential(&self, p: [f64; 3]) -> f64 {
        let rho = radius(p);
        let (c, s) = if rho > 0.0 { (p[0] / rho, p[1] / rho) } else { (1.0, 0.0) };
        let j = self.polarization;
        let (j_rho, j_phi) = (j[0] * c + j[1] * s, j[1] * c - j[0] * s);
        let middle =
            self.middle.map_or(0.0, |middle| (middle - p[1].atan2(p[0]) + PI).rem_euclid(TAU) - PI);
        let (from, to) = (middle - 0.5 * self.span, middle + 0.5 * self.span);
        let u = [p[2] + self.half_length, p[2] - self.half_length];
        let floor = FLOOR * self.radii[0];
        let mut sum = 0.0;
        for (a, side) in [(self.radii[0], 1.0), (self.radii[1], -1.0)] {
            if a == 0.0 {
                continue;
            }
            let gap = rho - a;
            let height = if u[0] > 0.0 && u[1] < 0.0 { 0.0 } else { u[0].abs().min(u[1].abs()) };
            let eta = nearness(gap * gap + height * height, 4.0 * a * rho);
            panels(from, to, eta, |n| {
                for k in 0..NODES {
                    let half2 = n.half_sine[k] * n.half_sine[k];
                    let (cosine, sine) =
                        (1.0 - 2.0 * half2, 2.0 * n.half_sine[k] * n.half_cosine[k]);
                    let d2 = gap * gap + 4.0 * a * rho * half2;
                    let d = d2.sqrt().max(floor);
                    let line = (u[0] / d).asinh() - (u[1] / d).asinh();
                    // Outward normal times the way to the rim, with 1 − cos ψ kept apart.
                    let out = 2.0 * rho * half2 - gap;
                    let rim = |u: f64| out / ((d2 + u * u).sqrt().max(floor) + u.abs());
                    let ends = rim(u[1]) - rim(u[0]);
                    let charge = (j_rho * cosine + j_phi * sine) * line + j[2] * ends;
                    sum += side * a * n.weight[k] * charge;
                }
            });
        }
        if self.middle.is_some() && j[2] != 0.0 {
            for (angle, turn) in [(from, -1.0), (to, 1.0)] {
                let (sine, cosine) = angle.sin_cos();
                // The edge's line passes the point at this distance ahead, outward across the edge.
                let ahead = turn * rho * sine;
                let foot = rho * cosine;
                let edge = |u: f64| {
                    straight(ahead, u, self.radii[0] - foot, floor)
                        - straight(ahead, u, self.radii[1] - foot, floor)
                };
                sum += j[2] * (edge(u[1]) - edge(u[0]));
            }
        }
        sum
    }
}

/// `∫ d/(D + |u|) dl` along a straight edge at distance `d` ahead, up to `l` past the foot of the point.
fn straight(d: f64, u: f64, l: f64, floor: f64) -> f64 {
    let off = d.hypot(u).max(floor);
    let reach = off.hypot(l);
    let u = u.abs();
    d * (l / off).asinh() - u * (l * d * (reach - u)).atan2(d * d * reach + u * l * l)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
