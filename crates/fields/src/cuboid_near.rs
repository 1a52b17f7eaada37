//! The cuboid near by: eight-corner sums with one logarithm and one arctangent for each derivative.
//!
//! The point is folded into the octant of positive coordinates. Each logarithm is of one quotient of
//! products over the corners; each angle is of one product of complex numbers over the corners, and which
//! turn it is in is told from the quadrants of its four factors. The error is absolute, about 1e-16 of J:
//! far from the body, where the field is small, `cuboid` has the form that keeps the digits.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

use crate::cuboid::EDGE_FLOOR;
use crate::math::{atan2, ln_ratio, sign};

/// A cuboid and its polarization, scaled.
#[derive(Debug, Clone, Copy)]
pub(crate) struct NearCuboid {
    /// Half sizes, m.
    pub half: [f64; 3],
    /// One over the largest of them, 1/m.
    pub per_size: f64,
    /// Polarization, T.
    pub j: [f64; 3],
}

/// Corner distances seen from a folded point, and what the faces are away.
pub(crate) struct Seen {
    /// `p − half` and `p + half` of each axis, in sizes.
    pub d: [[f64; 2]; 3],
    /// Distances, index bits 0, 1, 2 set for the far face of x, y, z.
    pub r: [f64; 8],
}

impl NearCuboid {
    #[inline(always)]
    pub fn seen(&self, point: [f64; 3]) -> Seen {
        let d = [0, 1, 2].map(
            #[inline(always)]
            |i| {
                let p: f64 = point[i].abs();
                // Differences before scaling: near a face they are exact.
                [(p - self.half[i]) * self.per_size, (p + self.half[i]) * self.per_size]
            },
        );
        let s = d.map(
            #[inline(always)]
            |[near, far]| [near * near, far * far],
        );
        let mut r = [0.0; 8];
        for n in 0..8 {
            r[n] = (s[0][n & 1] + s[1][(n >> 1) & 1] + s[2][(n >> 2) & 1] + EDGE_FLOOR).sqrt();
        }
        Seen { d, r }
    }

    /// B for any polarization.
    #[inline(always)]
    pub fn b(&self, point: [f64; 3]) -> [f64; 3] {
        let seen = self.seen(point);
        let [x, y, z] = point.map(sign);
        let share = seen.share_inside();
        let (xx, yy) = (seen.second::<0, 1, 2>(), seen.second::<1, 2, 0>());
        // The trace is −4π inside.
        let zz = -(xx + yy);
        let xy = x * y * seen.mixed::<0, 1, 2>();
        let yz = y * z * seen.mixed::<1, 2, 0>();
        let zx = z * x * seen.mixed::<2, 0, 1>();
        let [jx, jy, jz] = self.j.map(
            #[inline(always)]
            |j| j / (4.0 * PI),
        );
        let within = 4.0 * PI * share;
        [
            (xx + within) * jx + xy * jy + zx * jz,
            xy * jx + (yy + within) * jy + yz * jz,
            zx * jx + yz * jy + zz * jz,
        ]
    }

    /// B for a polarization along z alone.
    #[inline(always)]
    pub fn b_along_z(&self, point: [f64; 3]) -> [f64; 3] {
        let seen = self.seen(point);
        let [x, y, z] = point.map(sign);
        let j = self.j[2] / (4.0 * PI);
        let zz = seen.second::<2, 0, 1>() + 4.0 * PI * seen.share_inside();
        [z * x * seen.mixed::<2, 0, 1>() * j, y * z * seen.mixed::<1, 2, 0>() * j, zz * j]
    }
}

impl Seen {
    /// 1 inside, 0 outside, ½ on a face, ¼ on an edge, ⅛ on a corner.
    #[inline(always)]
    fn share_inside(&self) -> f64 {
        let mut share = 1.0;
        for [beyond, _] in self.d {
            share *= 0.5 - 0.5 * sign(beyond);
        }
        share
    }

    /// `∂²V/∂i∂j` of the folded point: the four edges along `K` in one logarithm.
    #[inline(always)]
    fn mixed<const I: usize, const J: usize, const K: usize>(&self) -> f64 {
        // r + |distance along the edge| to both ends of an edge.
        let near = self.d[K][0].abs();
        let edge = |si: usize, sj: usize| {
            let n = si << I | sj << J;
            (self.r[n] + near, self.r[n | 1 << K] + self.d[K][1])
        };
        let between = self.d[K][0] < 0.0;
        let part = |si: usize, sj: usize| {
            let (w_near, w_far) = edge(si, sj);
            let (x, y) = (self.d[I][si], self.d[J][sj]);
            let rho2 = x * x + y * y + EDGE_FLOOR;
            // (r + z) of the near end is ρ²/(r + |z|) where the end lies behind the point.
            if between { (w_near * w_far, rho2) } else { (w_far, w_near) }
        };
        let (a, b, c, d) = (part(1, 1), part(0, 0), part(0, 1), part(1, 0));
        let above = (a.0 * b.0) * (c.1 * d.1);
        let below = (a.1 * b.1) * (c.0 * d.0);
        ln_ratio(above, below, above - below)
    }

    /// `∂²V/∂k²` of the folded point: the angles of the two faces across `K`, less than nothing.
    ///
    /// On a face the mean of both sides, without the part that jumps.
    #[inline(always)]
    fn second<const K: usize, const I: usize, const J: usize>(&self) -> f64 {
        let [x_near, x_far] = self.d[I];
        // Four turns between the two corners across I, as complex numbers, their quadrants summed up.
        let mut face = [(0.0, 0.0); 2];
        let mut middle = [0.0; 2];
        for (sk, (face, middle)) in face.iter_mut().zip(&mut middle).enumerate() {
            let z = self.d[K][sk].abs();
            let turn = |sj: usize| {
                let y = self.d[J][sj];
                let n = sj << J | sk << K;
                let (r_near, r_far) = (self.r[n], self.r[n | 1 << I]);
                let re = z * z * (r_near * r_far) + y * y * (x_near * x_far);
                let im = y * z * (x_far * r_near - x_near * r_far);
                let quadrant = if re < 0.0 { FRAC_PI_4 + FRAC_PI_2 } else { FRAC_PI_4 };
                (re, im, quadrant * sign(y))
            };
            let (far, near) = (turn(1), turn(0));
            // far times the conjugate of near.
            *face = (far.0 * near.0 + far.1 * near.1, far.1 * near.0 - far.0 * near.1);
            *middle = far.2 - near.2;
        }
        // Sides of the two faces: the far face is always behind the point, the near one may be either way.
        let side = sign(self.d[K][0]);
        let near = if side == 0.0 { (1.0, 0.0) } else { (face[0].0, face[0].1 * side) };
        let (re, im) =
            (face[1].0 * near.0 + face[1].1 * near.1, face[1].1 * near.0 - face[1].0 * near.1);
        let middle = middle[1] - side * middle[0];
        let angle = atan2(im, re);
        // The whole turns that bring it next to the middle of what the quadrants allow.
        const ROUND: f64 = 6_755_399_441_055_744.0;
        let turns = ((middle - angle) * (1.0 / TAU) + ROUND) - ROUND;
        -(angle + turns * TAU)
    }
}
