//! The cuboid near by: eight-corner sums with one logarithm and one arctangent for each derivative.
//!
//! The point is folded into the octant of positive coordinates. Each logarithm is of one quotient of
//! products over the corners; each angle is of one product of complex numbers over the corners, and which
//! turn it is in is told from the quadrants of its four factors. The error is absolute, about 1e-16 of J:
//! far from the body, where the field is small, `cuboid` has the form that keeps the digits.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

use crate::cuboid::EDGE_FLOOR;
use crate::forms::{BLOCK, Lane, Room};
use crate::math::{atan2, fma, ln_ratio, sign};

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

/// Numbers of a [`Seen`].
const SEEN: usize = 14;

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
        let rho2 = [0, 1, 2, 3].map(
            #[inline(always)]
            |n| {
                let (x, y) = (d[0][n & 1], d[1][n >> 1]);
                fma(x, x, fma(y, y, EDGE_FLOOR))
            },
        );
        let mut r = [0.0; 8];
        for n in 0..8 {
            let z = d[2][n >> 2];
            r[n] = fma(z, z, rho2[n & 3]).sqrt();
        }
        Seen { d, r }
    }

    /// The derivatives that B needs: across the axes xy, yz, zx, then along x, y, z, less than nothing.
    #[inline(always)]
    fn combined<const ALONG_Z: bool>(
        &self,
        point: [f64; 3],
        seen: &Seen,
        [xy, yz, zx]: [f64; 3],
        [xx, yy, zz]: [f64; 3],
    ) -> [f64; 3] {
        let [x, y, z] = point.map(sign);
        let [jx, jy, jz] = self.j.map(
            #[inline(always)]
            |j| j / (4.0 * PI),
        );
        let within = 4.0 * PI * seen.share_inside();
        let (yz, zx) = (y * z * yz, z * x * zx);
        if ALONG_Z {
            return [zx * jz, yz * jz, (zz + within) * jz];
        }
        let xy = x * y * xy;
        // The trace is −4π inside.
        let zz = -(xx + yy);
        [
            (xx + within) * jx + xy * jy + zx * jz,
            xy * jx + (yy + within) * jy + yz * jz,
            zx * jx + yz * jy + zz * jz,
        ]
    }

    /// B; `ALONG_Z`: the polarization has no other component.
    #[inline(always)]
    pub fn b<const ALONG_Z: bool>(&self, point: [f64; 3]) -> [f64; 3] {
        let seen = self.seen(point);
        let (yz, zx) = (seen.mixed::<1, 2, 0>(), seen.mixed::<2, 0, 1>());
        if ALONG_Z {
            let zz = seen.second::<2, 0, 1>();
            return self.combined::<true>(point, &seen, [0.0, yz, zx], [0.0, 0.0, zz]);
        }
        let xy = seen.mixed::<0, 1, 2>();
        let (xx, yy) = (seen.second::<0, 1, 2>(), seen.second::<1, 2, 0>());
        self.combined::<false>(point, &seen, [xy, yz, zx], [xx, yy, 0.0])
    }

    /// The same in a loop for each derivative: a processor then works on several points at once, while one
    /// long loop waits for its own logarithms.
    #[inline(always)]
    #[expect(clippy::needless_range_loop, reason = "one index runs through many lanes")]
    pub fn b_block<const ALONG_Z: bool>(
        &self,
        n: usize,
        at: &[Lane; 3],
        out: &mut [Lane; 3],
        room: &mut Room,
    ) {
        assert!(n <= BLOCK, "more than a block");
        let (room, rest) = room.split_at_mut(SEEN);
        let [xy, yz, zx, xx, yy, zz] = rest else { unreachable!("ROOM has these six beyond SEEN") };
        for k in 0..n {
            self.seen([at[0][k], at[1][k], at[2][k]]).put(room, k);
        }
        for k in 0..n {
            yz[k] = Seen::get(room, k).mixed::<1, 2, 0>();
        }
        for k in 0..n {
            zx[k] = Seen::get(room, k).mixed::<2, 0, 1>();
        }
        if ALONG_Z {
            for k in 0..n {
                zz[k] = Seen::get(room, k).second::<2, 0, 1>();
            }
        } else {
            for k in 0..n {
                xy[k] = Seen::get(room, k).mixed::<0, 1, 2>();
            }
            for k in 0..n {
                xx[k] = Seen::get(room, k).second::<0, 1, 2>();
            }
            for k in 0..n {
                yy[k] = Seen::get(room, k).second::<1, 2, 0>();
            }
        }
        for k in 0..n {
            let v = self.combined::<ALONG_Z>(
                [at[0][k], at[1][k], at[2][k]],
                &Seen::get(room, k),
                [xy[k], yz[k], zx[k]],
                [xx[k], yy[k], zz[k]],
            );
            for c in 0..3 {
                out[c][k] = v[c];
            }
        }
    }
}

impl Seen {
    /// Leaves it for the point's next loop.
    #[inline(always)]
    fn put(self, room: &mut [Lane], k: usize) {
        for i in 0..3 {
            (room[2 * i][k], room[2 * i + 1][k]) = (self.d[i][0], self.d[i][1]);
        }
        for n in 0..8 {
            room[6 + n][k] = self.r[n];
        }
    }

    #[inline(always)]
    fn get(room: &[Lane], k: usize) -> Self {
        let at = |i: usize| room[i][k];
        Self {
            d: [[at(0), at(1)], [at(2), at(3)], [at(4), at(5)]],
            r: [at(6), at(7), at(8), at(9), at(10), at(11), at(12), at(13)],
        }
    }

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
        // r + |distance along the edge| to both ends of an edge, and its squared distance.
        let (near, far) = (self.d[K][0].abs(), self.d[K][1]);
        let edge = |si: usize, sj: usize| {
            let n = si << I | sj << J;
            let (x, y) = (self.d[I][si], self.d[J][sj]);
            (self.r[n] + near, self.r[n | 1 << K] + far, fma(x, x, fma(y, y, EDGE_FLOOR)))
        };
        // Edges whose logarithm counts, and those whose logarithm is taken off.
        let pair = |a: (f64, f64, f64), b: (f64, f64, f64)| (a.0 * b.0, a.1 * b.1, a.2 * b.2);
        let plus = pair(edge(1, 1), edge(0, 0));
        let less = pair(edge(0, 1), edge(1, 0));
        // (r + z) of the near end is ρ²/(r + |z|) where the end lies behind the point.
        let between = self.d[K][0] < 0.0;
        let above = plus.1 * if between { plus.0 * less.2 } else { less.0 };
        let below = less.1 * if between { less.0 * plus.2 } else { plus.0 };
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
                let re = fma(z * z, r_near * r_far, y * y * (x_near * x_far));
                let im = y * z * fma(x_far, r_near, -(x_near * r_far));
                let quadrant = if re < 0.0 { FRAC_PI_4 + FRAC_PI_2 } else { FRAC_PI_4 };
                (re, im, quadrant * sign(y))
            };
            let (far, near) = (turn(1), turn(0));
            // far times the conjugate of near.
            *face = quotient((far.0, far.1), (near.0, near.1));
            *middle = far.2 - near.2;
        }
        // Sides of the two faces: the far face is always behind the point, the near one may be either way.
        let side = sign(self.d[K][0]);
        let near = if side == 0.0 { (1.0, 0.0) } else { (face[0].0, face[0].1 * side) };
        let (re, im) = quotient(face[1], near);
        let middle = middle[1] - side * middle[0];
        let angle = atan2(im, re);
        // The whole turns that bring it next to the middle of what the quadrants allow.
        const ROUND: f64 = 6_755_399_441_055_744.0;
        let turns = ((middle - angle) * (1.0 / TAU) + ROUND) - ROUND;
        -(angle + turns * TAU)
    }
}

/// `a` times the conjugate of `b`, which has the angle of their quotient: real and imaginary part.
#[inline(always)]
fn quotient(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    (fma(a.0, b.0, a.1 * b.1), fma(a.1, b.0, -(a.0 * b.1)))
}
