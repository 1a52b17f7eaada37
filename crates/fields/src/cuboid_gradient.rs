//! Gradient of a cuboid's field: third derivatives of the potential, which need neither logarithm nor angle.
//!
//! `∂³V/∂i∂i∂j` differentiates the logarithm of the four edges along k, `∂³V/∂x∂y∂z = Σ ± 1/r`, and
//! Laplace gives the rest. The error is absolute, about 1e-16 J a length; so far away the body is replaced
//! by 4 × 4 × 4 dipoles at Gauss points.

use std::f64::consts::PI;

use crate::Points;
use crate::cuboid::EDGE_FLOOR;
use crate::cuboid_near::{NearCuboid, Seen};
use crate::dipole::dipole_gradient;
use crate::forms::{Form, Law, add_law};
use crate::gradient::GradientsMut;
use crate::math::sign;

/// Distance, in largest half sizes, from which the dipoles serve: (1/20)⁸ = 4e-11 of the gradient.
const FAR: f64 = 20.0;

/// Gauss's four points on [−1, 1] and their weights over 2 (`[dlmf]` 3.5).
const GAUSS_4: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.173_927_422_568_726_93),
    (-0.339_981_043_584_856_26, 0.326_072_577_431_273_07),
    (0.339_981_043_584_856_26, 0.326_072_577_431_273_07),
    (0.861_136_311_594_052_6, 0.173_927_422_568_726_93),
];

struct GradientLaw {
    near: NearCuboid,
}

/// Adds the gradient of a cuboid of half sizes `half` (m) and polarization `j` (T).
pub(crate) fn add_cuboid_gradient(
    half: [f64; 3],
    j: [f64; 3],
    at: Points<'_>,
    out: GradientsMut<'_>,
) {
    let size = half[0].max(half[1]).max(half[2]);
    add_law(&GradientLaw { near: NearCuboid { half, per_size: 1.0 / size, j } }, at, out.slices());
}

impl Law<6> for GradientLaw {
    #[inline(always)]
    fn form(&self, [x, y, z]: [f64; 3]) -> Form {
        let far = x * x + y * y + z * z > (FAR / self.near.per_size).powi(2);
        if far { Form::Far } else { Form::Quick }
    }

    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 6] {
        let seen = self.near.seen(point);
        let [x, y, z] = [sign(point[0]), sign(point[1]), sign(point[2])];
        let (xxy, xyy) = seen.third::<0, 1, 2>();
        let (yyz, yzz) = seen.third::<1, 2, 0>();
        let (zzx, zxx) = seen.third::<2, 0, 1>();
        // Unfolded: odd in each coordinate that occurs an odd number of times.
        let (xxy, xyy) = (y * xxy, x * xyy);
        let (yyz, yzz) = (z * yyz, y * yzz);
        let (zzx, zxx) = (x * zzx, z * zxx);
        let xyz = x * y * z * seen.all_three();
        let (xxx, yyy, zzz) = (-(xyy + zzx), -(xxy + yzz), -(zxx + yyz));
        let per = self.near.per_size / (4.0 * PI);
        let [jx, jy, jz] = [self.near.j[0] * per, self.near.j[1] * per, self.near.j[2] * per];
        [
            xxx * jx + xxy * jy + zxx * jz,
            xyy * jx + yyy * jy + yyz * jz,
            zzx * jx + yzz * jy + zzz * jz,
            xxy * jx + xyy * jy + xyz * jz,
            xyz * jx + yyz * jy + yzz * jz,
            zxx * jx + xyz * jy + zzx * jz,
        ]
    }

    fn far(&self, point: [f64; 3]) -> [f64; 6] {
        let [a, b, c] = self.near.half;
        let strength = self.near.j.map(|j| j * (8.0 * a * b * c / (4.0 * PI)));
        let mut sum = [0.0; 6];
        for (x, wx) in GAUSS_4 {
            for (y, wy) in GAUSS_4 {
                for (z, wz) in GAUSS_4 {
                    let from = [point[0] - x * a, point[1] - y * b, point[2] - z * c];
                    let one = dipole_gradient(strength, from);
                    for (sum, one) in sum.iter_mut().zip(one) {
                        *sum += wx * wy * wz * one;
                    }
                }
            }
        }
        sum
    }
}

impl Seen {
    /// `∂³V/∂i∂i∂j` and `∂³V/∂i∂j∂j` of the folded point, from the four edges along `K`.
    #[inline(always)]
    fn third<const I: usize, const J: usize, const K: usize>(&self) -> (f64, f64) {
        let e11 = self.edge_slope::<I, J, K>(1, 1);
        let e00 = self.edge_slope::<I, J, K>(0, 0);
        let e01 = self.edge_slope::<I, J, K>(0, 1);
        let e10 = self.edge_slope::<I, J, K>(1, 0);
        let ([x0, x1], [y0, y1]) = (self.d[I], self.d[J]);
        (x1 * (e11 - e10) + x0 * (e00 - e01), y1 * (e11 - e01) + y0 * (e00 - e10))
    }

    /// Slope over distance of one edge's logarithm.
    #[inline(always)]
    fn edge_slope<const I: usize, const J: usize, const K: usize>(
        &self,
        si: usize,
        sj: usize,
    ) -> f64 {
        let n = si << I | sj << J;
        let (r0, r1) = (self.r[n], self.r[n | 1 << K]);
        let (x, y) = (self.d[I][si], self.d[J][sj]);
        let [z0, z1] = self.d[K];
        let (t0, t1) = (r0 * (r0 + z0.abs()), r1 * (r1 + z1));
        let between = z0 < 0.0;
        let sum = if between { t0 + t1 } else { t0 - t1 };
        // Beside an edge the last part is what counts; beyond its end it is absent.
        let beside = if between { 2.0 / (x * x + y * y + EDGE_FLOOR) } else { 0.0 };
        sum / (t0 * t1) - beside
    }

    /// `∂³V/∂x∂y∂z` of the folded point.
    #[inline(always)]
    fn all_three(&self) -> f64 {
        let r = self.r;
        (1.0 / r[7] - 1.0 / r[6] - (1.0 / r[5] - 1.0 / r[4]))
            - (1.0 / r[3] - 1.0 / r[2] - (1.0 / r[1] - 1.0 / r[0]))
    }
}
