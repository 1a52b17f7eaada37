//! A coil of rectangular outline with rounded corners.

use crate::error::{finite, positive};
use crate::iron::rectangle_field;
use crate::quadrature::{GAUSS_10, moved};
use crate::{FieldError, MU_0, Points, Source, VectorsMut};

/// A thick coil wound round a rectangle with round corners, about z, centred on its frame's origin.
///
/// The winding is taken apart into current sheets. The straight parts of a sheet are closed forms, its
/// corners closed forms along z under a Gauss rule over the angle, and the sheets are added up by a Gauss
/// rule over the thickness, both finer the nearer the point is. Largest error over |B| outside the winding
/// (`cross_racetrack_is_a_round_coil`): 2e-6 from 5 % of its thickness on, 2e-3 nearer. Inside the winding
/// sheets are seen one by one and the error is up to 5 % of the field's jump across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Racetrack {
    half_straight: [f64; 2],
    inner_radius: f64,
    outer_radius: f64,
    half_length: f64,
    ampere_turns: f64,
}

impl Racetrack {
    /// Half lengths of the straight parts along x and y (m, may be 0), corner radii of the inside and the
    /// outside (m), half the length along z (m), and ampere-turns, positive about z.
    ///
    /// # Errors
    /// Lengths that are not positive, an inside not smaller than the outside, values that are not finite.
    pub fn new(
        half_straight: [f64; 2],
        inner_radius: f64,
        outer_radius: f64,
        half_length: f64,
        ampere_turns: f64,
    ) -> Result<Self, FieldError> {
        crate::error::tube(inner_radius, outer_radius, half_length)?;
        for half in half_straight {
            if half != 0.0 {
                positive("half of the straight part", half)?;
            }
        }
        finite("ampere-turns", ampere_turns)?;
        Ok(Self { half_straight, inner_radius, outer_radius, half_length, ampere_turns })
    }

    fn b_at(&self, point: [f64; 3]) -> [f64; 3] {
        let thickness = self.outer_radius - self.inner_radius;
        let clearance = self.clearance(point).max(0.02 * thickness);
        let layers = (0.5 * thickness / clearance).ceil().clamp(1.0, 20.0) as usize;
        let mut b = [0.0; 3];
        for layer in 0..layers {
            let from = self.inner_radius + thickness * layer as f64 / layers as f64;
            let to = self.inner_radius + thickness * (layer + 1) as f64 / layers as f64;
            for (x, w) in GAUSS_10 {
                let (radius, weight) = moved(from, to, x, w);
                let sheet = self.sheet(radius, clearance, point);
                for i in 0..3 {
                    b[i] += weight / thickness * sheet[i];
                }
            }
        }
        let scale =
            MU_0 / (4.0 * std::f64::consts::PI) * self.ampere_turns / (2.0 * self.half_length);
        b.map(|c| c * scale)
    }

    /// `∫∫ t × r/r³ dS` over the sheet with corners of `radius`, t along the current.
    fn sheet(&self, radius: f64, clearance: f64, p: [f64; 3]) -> [f64; 3] {
        let [a, b] = self.half_straight;
        let h = self.half_length;
        let mut sum = [0.0; 3];
        for side in [-1.0, 1.0] {
            if a > 0.0 {
                // Across y, edges along x and z, current along −side · x.
                let y = p[1] - side * (b + radius);
                let [along, up, across] = rectangle_field([a, h], [p[0], p[2], y]);
                add_cross(&mut sum, [-side, 0.0], [along, across, up], 1.0);
            }
            if b > 0.0 {
                let x = p[0] - side * (a + radius);
                let [along, up, across] = rectangle_field([b, h], [p[1], p[2], x]);
                add_cross(&mut sum, [0.0, side], [across, along, up], 1.0);
            }
        }
        for corner in 0..4 {
            let start = 0.5 * std::f64::consts::PI * corner as f64;
            let (sx, sy) = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)][corner];
            let q = [p[0] - sx * a, p[1] - sy * b, p[2]];
            // Panels about twice as long as the point is away.
            let pieces = (0.8 * radius / clearance).ceil().clamp(1.0, 40.0);
            for piece in 0..pieces as usize {
                let width = 0.5 * std::f64::consts::PI / pieces;
                let from = start + width * piece as f64;
                for (x, w) in GAUSS_10 {
                    let (angle, weight) = moved(from, from + width, x, w);
                    let (s, c) = angle.sin_cos();
                    let field = line_field(h, [q[0] - radius * c, q[1] - radius * s, q[2]]);
                    add_cross(&mut sum, [-s, c], field, weight * radius);
                }
            }
        }
        sum
    }
}

/// `∫ r/r³ dz` of the line |z| ≤ h at `point` from its middle.
fn line_field(h: f64, [x, y, z]: [f64; 3]) -> [f64; 3] {
    let rho2 = x * x + y * y;
    let (low, high) = (z - h, z + h);
    let (r_low, r_high) = ((rho2 + low * low).sqrt(), (rho2 + high * high).sqrt());
    // high/r_high − low/r_low over rho²; where both have one sign the difference is multiplied out.
    let across = if low * high > 0.0 {
        let product = r_low * r_high;
        (high * high - low * low) / (product * (high * r_low + low * r_high))
    } else {
        (high / r_high - low / r_low) / rho2
    };
    [x * across, y * across, 1.0 / r_low - 1.0 / r_high]
}

/// Adds `factor` · t × e for a direction t across z.
fn add_cross(sum: &mut [f64; 3], [tx, ty]: [f64; 2], e: [f64; 3], factor: f64) {
    sum[0] += factor * ty * e[2];
    sum[1] -= factor * tx * e[2];
    sum[2] += factor * (tx * e[1] - ty * e[0]);
}

impl Source for Racetrack {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        crate::batch::add_each(at, out, |point| self.b_at(point));
    }

    fn bounding_radius(&self) -> f64 {
        let [a, b] = self.half_straight;
        (a.hypot(b) + self.outer_radius).hypot(self.half_length)
    }

    fn clearance(&self, [x, y, z]: [f64; 3]) -> f64 {
        // Distance across z from the rectangle the corners are struck about; its inside is negative.
        let beyond = [x.abs() - self.half_straight[0], y.abs() - self.half_straight[1]];
        let outside = beyond[0].max(0.0).hypot(beyond[1].max(0.0));
        let radius = if outside > 0.0 { outside } else { beyond[0].max(beyond[1]) };
        let across = (radius - self.outer_radius).max(self.inner_radius - radius).max(0.0);
        across.hypot((z.abs() - self.half_length).max(0.0))
    }
}
