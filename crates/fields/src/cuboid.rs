//! The uniformly polarized cuboid.
//!
//! With V the Newtonian potential of the body, `4π μ0 H = (J·∇)∇V`. The six second derivatives of V
//! are sums over the eight corners of `ln(Z + r)` and `atan(XY/(Z r))` (`[yang1990]`, `[engelherbert2005]`).
//! As printed those sums lose `(distance/size)³`; here the logarithms and the angles are first combined
//! into one each, and every difference between corners is multiplied out (`r₂² − r₁²` is known exactly),
//! so nothing is lost however far away or however thin the body.

use std::f64::consts::PI;

use crate::cuboid_near::NearCuboid;
use crate::forms::{Form, Lane, Law, Room, add_law};
use crate::math::{atan2, ln_ratio, sign};
use crate::sphere::sphere_b;
use crate::{Points, VectorsMut};

/// Floor of a squared distance from an edge line, in units of the largest half size squared.
///
/// On an edge the field grows without limit like the logarithm of the distance; there the value at
/// 1e-16 sizes from the edge, averaged over directions, stands for it. Elsewhere it is below rounding.
pub(crate) const EDGE_FLOOR: f64 = 1e-32;

/// Beyond this many times the half diagonal all angles of a face pair are taken in one arctangent.
///
/// Nearer, that one angle would be known only up to a full turn; there the separate angles are not
/// small differences of large ones yet. `prop_seams` tests both sides.
const ONE_ANGLE: f64 = 1.25;

/// Beyond this many sizes the body is its dipole to 1e-18, and products of distances might overflow.
const DIPOLE: f64 = 1e9;

/// B of a cuboid of half sizes `half` (m) and polarization `j` (T) at `point` (m); inside, `μ0 H + J`.
///
/// On a face the mean of both sides; on an edge see [`crate::Magnet`].
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | a, b, c | `half` | m | > 0 |
/// | J | `j` | T | any |
/// | x, y, z | `point`, from the centre | m | any |
pub(crate) fn cuboid_b(half: [f64; 3], j: [f64; 3], point: [f64; 3]) -> [f64; 3] {
    let size = half[0].max(half[1]).max(half[2]);
    if point.iter().any(|c| c.abs() > DIPOLE * size) {
        // The sphere of the same volume has the same dipole moment and nothing else.
        return sphere_b((6.0 / PI * half[0] * half[1] * half[2]).cbrt(), j, point);
    }
    let v = Corners::new(half, point);
    let (xx, yy, zz) = (v.second(0, 1, 2), v.second(1, 2, 0), v.second(2, 0, 1));
    let (xy, yz, zx) = (v.mixed(0, 1, 2), v.mixed(1, 2, 0), v.mixed(2, 0, 1));
    let within = share_inside(half, point);
    [
        (xx * j[0] + xy * j[1] + zx * j[2]) / (4.0 * PI) + within * j[0],
        (xy * j[0] + yy * j[1] + yz * j[2]) / (4.0 * PI) + within * j[1],
        (zx * j[0] + yz * j[1] + zz * j[2]) / (4.0 * PI) + within * j[2],
    ]
}

/// 1 inside, 0 outside, ½ on a face, ¼ on an edge, ⅛ on a corner.
fn share_inside(half: [f64; 3], point: [f64; 3]) -> f64 {
    let mut share = 1.0;
    for i in 0..3 {
        let beyond = point[i].abs() - half[i];
        share *= if beyond < 0.0 {
            1.0
        } else if beyond == 0.0 {
            0.5
        } else {
            0.0
        };
    }
    share
}

/// Mean and half difference of a quantity over the two faces of one axis.
///
/// Products keep the half difference accurate when it is far smaller than the mean.
#[derive(Clone, Copy)]
struct Pair {
    mean: f64,
    half: f64,
}

impl Pair {
    /// From both values and their half difference, which the values themselves would not tell as well.
    #[inline(always)]
    fn of(at: [f64; 2], half: f64) -> Self {
        Self { mean: 0.5 * (at[0] + at[1]), half }
    }
    #[inline(always)]
    fn times(self, o: Self) -> Self {
        Self {
            mean: self.mean * o.mean + self.half * o.half,
            half: self.mean * o.half + self.half * o.mean,
        }
    }
    #[inline(always)]
    fn plus(self, o: Self) -> Self {
        Self { mean: self.mean + o.mean, half: self.half + o.half }
    }
    #[inline(always)]
    fn scaled(self, k: f64) -> Self {
        Self { mean: self.mean * k, half: self.half * k }
    }
    #[inline(always)]
    fn shifted(self, k: f64) -> Self {
        Self { mean: self.mean + k, half: self.half }
    }
}

/// The eight corner distances of a cuboid scaled to largest half size 1.
struct Corners {
    /// Half sizes.
    half: [f64; 3],
    /// The point.
    p: [f64; 3],
    /// Distances, index bits 0, 1, 2 set for the face on the positive side of x, y, z.
    r: [f64; 8],
    /// Far enough for one angle.
    far: bool,
}

impl Corners {
    #[inline(always)]
    fn new(half: [f64; 3], point: [f64; 3]) -> Self {
        let size = half[0].max(half[1]).max(half[2]);
        let half = [half[0] / size, half[1] / size, half[2] / size];
        let p = [point[0] / size, point[1] / size, point[2] / size];
        let square = |i: usize, side: usize| {
            let d = Self::offset(&half, &p, i, side);
            d * d
        };
        let d2 = [
            [square(0, 0), square(0, 1)],
            [square(1, 0), square(1, 1)],
            [square(2, 0), square(2, 1)],
        ];
        let mut r = [0.0; 8];
        for (n, r) in r.iter_mut().enumerate() {
            *r = (d2[0][n & 1] + d2[1][(n >> 1) & 1] + d2[2][(n >> 2) & 1] + EDGE_FLOOR).sqrt();
        }
        let far = p[0] * p[0] + p[1] * p[1] + p[2] * p[2]
            > ONE_ANGLE * ONE_ANGLE * (half[0] * half[0] + half[1] * half[1] + half[2] * half[2]);
        Self { half, p, r, far }
    }

    /// `x − x'` at an end of the integration over the body: `x − a` (side 0) or `x + a` (side 1).
    #[inline(always)]
    fn offset(half: &[f64; 3], p: &[f64; 3], i: usize, side: usize) -> f64 {
        if side == 0 { p[i] - half[i] } else { p[i] + half[i] }
    }

    #[inline(always)]
    fn d(&self, i: usize, side: usize) -> f64 {
        Self::offset(&self.half, &self.p, i, side)
    }

    /// `r₁ + r₂ − 2·half` for the two ends of an edge along `k`: never negative, no cancellation.
    #[inline(always)]
    fn excess(&self, k: usize, r: [f64; 2], rho2: f64) -> f64 {
        // Distances along the edge, positive when the end lies ahead of the point's foot on the line.
        let ahead = [self.half[k] - self.p[k], self.half[k] + self.p[k]];
        let sum = [r[0] + ahead[0].abs(), r[1] + ahead[1].abs()];
        (if ahead[0] > 0.0 { rho2 / sum[0] } else { sum[0] })
            + (if ahead[1] > 0.0 { rho2 / sum[1] } else { sum[1] })
    }

    /// Mean of the two distances to the ends of an edge along `k` minus `|p[k]|`, no cancellation.
    #[inline(always)]
    fn over_projection(&self, k: usize, r: [f64; 2], rho2: f64) -> f64 {
        let (c, z) = (self.half[k], self.p[k].abs());
        if z < c {
            0.5 * self.excess(k, r, rho2) + (c - z)
        } else {
            0.5 * rho2 * (1.0 / (r[0] + self.d(k, 0).abs()) + 1.0 / (r[1] + self.d(k, 1).abs()))
        }
    }

    /// Sum of the distances to the ends of the edge along `k` at sides `si`, `sj`; its excess over `2 half`.
    #[inline(always)]
    fn edge(&self, [i, j, k]: [usize; 3], si: usize, sj: usize) -> (f64, f64) {
        let (x, y) = (self.d(i, si), self.d(j, sj));
        let ends = [self.at([i, j, k], si, sj, 0), self.at([i, j, k], si, sj, 1)];
        (ends[0] + ends[1], self.excess(k, ends, x * x + y * y + EDGE_FLOOR))
    }

    /// On side `sk` of `k`: one over each sum of two distances, across `i` (two sides of j), across `j`.
    #[inline(always)]
    fn differences(&self, axes: [usize; 3], sk: usize) -> [f64; 4] {
        let r = |si, sj| self.at(axes, si, sj, sk);
        [
            1.0 / (r(0, 0) + r(1, 0)),
            1.0 / (r(0, 1) + r(1, 1)),
            1.0 / (r(0, 0) + r(0, 1)),
            1.0 / (r(1, 0) + r(1, 1)),
        ]
    }

    /// `∂²V/∂i∂j`, the four edges along `k` in one logarithm.
    #[inline(always)]
    fn mixed(&self, i: usize, j: usize, k: usize) -> f64 {
        let axes = [i, j, k];
        let (x, y) = (self.p[i], self.p[j]);
        let (a, b, c) = (self.half[i], self.half[j], self.half[k]);
        // Sum of the distances to the ends of each edge, and its excess over the edge's length.
        let (q00, e00) = self.edge(axes, 0, 0);
        let (q01, e01) = self.edge(axes, 0, 1);
        let (q10, e10) = self.edge(axes, 1, 0);
        let (q11, e11) = self.edge(axes, 1, 1);
        // First differences of q across i and across j, second difference across both.
        let near = self.differences(axes, 0);
        let far = self.differences(axes, 1);
        let across_i = [4.0 * x * a * (near[0] + far[0]), 4.0 * x * a * (near[1] + far[1])];
        let across_j = [4.0 * y * b * (near[2] + far[2]), 4.0 * y * b * (near[3] + far[3])];
        let both = |t: [f64; 4]| t[0] * t[1] * (t[2] + t[3]);
        let across_both = -16.0 * x * a * y * b * (both(near) + both(far));
        // Each pair across i is 2 artanh(n/d); the two pairs across j are combined likewise.
        let n_mean = -c * (across_i[0] + across_i[1]);
        let n_half = -c * across_both;
        let (d_0, d_1) = (e00 * e10 + 2.0 * c * (e00 + e10), e01 * e11 + 2.0 * c * (e01 + e11));
        let d_mean = 0.5 * (d_0 + d_1);
        let d_half = 0.25 * (across_j[0] * (q10 + q11) + across_j[1] * (q00 + q01));
        let difference = 4.0 * (n_half * d_mean - n_mean * d_half);
        let above = (q11 + 2.0 * c) * (q00 + 2.0 * c) * e01 * e10;
        let below = (q01 + 2.0 * c) * (q10 + 2.0 * c) * e00 * e11;
        // ln(above/below), from the accurate difference of the two.
        ln_ratio(above, below, difference)
    }

    /// `∂²V/∂k²` outside and inside: minus the solid angles of the two faces across `k`.
    fn second(&self, k: usize, i: usize, j: usize) -> f64 {
        if self.far { -self.second_far(k, i, j) } else { -self.second_near(k, i, j) }
    }

    /// Mean distance over the two corners across `i`, and its excess over the half size `a`.
    #[inline(always)]
    fn mean_across(&self, i: usize, r: [f64; 2], rho2: f64) -> (f64, f64) {
        (0.5 * (r[0] + r[1]), 0.5 * self.excess(i, r, rho2))
    }

    fn second_near(&self, k: usize, i: usize, j: usize) -> f64 {
        let (x, a) = (self.p[i], self.half[i]);
        let mut angle = 0.0;
        for sk in 0..2 {
            let z = self.d(k, sk);
            for sj in 0..2 {
                let y = self.d(j, sj);
                let ends = [self.r[sj << j | sk << k], self.r[1 << i | sj << j | sk << k]];
                let (m, over) = self.mean_across(i, ends, y * y + z * z + EDGE_FLOOR);
                let denominator = z * z * (m * m + a * a) + (x - a) * (x + a) * over * (m + a);
                let turn = atan2(2.0 * a * (y * z).abs() * m, denominator);
                // The sign is taken out so that on a face or on an edge line the mean of both sides remains.
                let sign = sign(y) * sign(z);
                angle += if sj == sk { sign * turn } else { -sign * turn };
            }
        }
        angle
    }

    /// A corner's distance by its sides along `i`, `j`, `k`.
    #[inline(always)]
    fn at(&self, [i, j, k]: [usize; 3], si: usize, sj: usize, sk: usize) -> f64 {
        self.r[si << i | sj << j | sk << k]
    }

    /// Half difference of the corner distances across `k`.
    #[inline(always)]
    fn step(&self, [i, j, k]: [usize; 3], si: usize, sj: usize) -> f64 {
        let sum = self.at([i, j, k], si, sj, 0) + self.at([i, j, k], si, sj, 1);
        2.0 * self.p[k] * self.half[k] / sum
    }

    /// For one side of `j`: mean distance across `i`, its excess over the half size, both over the faces of
    /// `k`, and the cosine part of that side's angle.
    #[inline(always)]
    fn over_side(&self, [i, j, k]: [usize; 3], sj: usize) -> (Pair, [f64; 2], Pair) {
        let axes = [i, j, k];
        let (y, z, a, c) = (self.d(j, sj), self.p[k], self.half[i], self.half[k]);
        let outside = (self.p[i] - a) * (self.p[i] + a);
        let zz = Pair { mean: z * z + c * c, half: 2.0 * z * c };
        let ends = [
            [self.at(axes, 0, sj, 0), self.at(axes, 1, sj, 0)],
            [self.at(axes, 0, sj, 1), self.at(axes, 1, sj, 1)],
        ];
        let zed = [self.d(k, 0), self.d(k, 1)];
        let (m0, over0) = self.mean_across(i, ends[0], y * y + zed[0] * zed[0]);
        let (m1, over1) = self.mean_across(i, ends[1], y * y + zed[1] * zed[1]);
        let half = 0.5 * (self.step(axes, 0, sj) + self.step(axes, 1, sj));
        let m = Pair::of([m0, m1], half);
        let mm = m.times(m);
        let over = [over0 * (m0 + a), over1 * (m1 + a)];
        let cosine = zz.times(mm.shifted(a * a)).plus(Pair::of(over, mm.half).scaled(outside));
        (m, over, cosine)
    }

    /// For one side of `i`: `b R̄ ∓ y η` over the faces of `k`, with R̄ the mean of two distances and η half
    /// their difference across `j`; first as the two values, then as mean and half difference.
    #[inline(always)]
    fn along_side(&self, [i, j, k]: [usize; 3], si: usize) -> [([f64; 2], Pair); 2] {
        let axes = [i, j, k];
        let (y, b, x) = (self.p[j], self.half[j], self.d(i, si));
        let ends = [
            [self.at(axes, si, 0, 0), self.at(axes, si, 1, 0)],
            [self.at(axes, si, 0, 1), self.at(axes, si, 1, 1)],
        ];
        let (z0, z1) = (self.d(k, 0), self.d(k, 1));
        let over = [
            self.over_projection(j, ends[0], x * x + z0 * z0),
            self.over_projection(j, ends[1], x * x + z1 * z1),
        ];
        let mean = [0.5 * (ends[0][0] + ends[0][1]), 0.5 * (ends[1][0] + ends[1][1])];
        let per_mean = [1.0 / mean[0], 1.0 / mean[1]];
        let half = 0.5 * (self.step(axes, si, 0) + self.step(axes, si, 1));
        let minus = [
            over[0] * (mean[0] + y.abs()) * per_mean[0],
            over[1] * (mean[1] + y.abs()) * per_mean[1],
        ];
        let plus =
            [(mean[0] * mean[0] + y * y) * per_mean[0], (mean[1] * mean[1] + y * y) * per_mean[1]];
        let bend = y * y * per_mean[0] * per_mean[1];
        let (less, more) =
            (Pair::of(minus, half * (1.0 + bend)), Pair::of(plus, half * (1.0 - bend)));
        let b = 0.5 * b;
        [
            ([b * minus[0], b * minus[1]], less.scaled(b)),
            ([b * plus[0], b * plus[1]], more.scaled(b)),
        ]
    }

    /// Sine and cosine, times a length⁸, of the angle of the face of `k` on side `sk`.
    #[inline(always)]
    fn one_face(
        &self,
        [i, j, k]: [usize; 3],
        sk: usize,
        over: [f64; 2],
        less: f64,
        more: f64,
    ) -> (f64, f64) {
        let axes = [i, j, k];
        let (a, zed) = (self.half[i], self.d(k, sk));
        let (z2, outside) = (zed * zed, (self.p[i] - a) * (self.p[i] + a));
        let mean = [
            0.5 * (self.at(axes, 0, 0, sk) + self.at(axes, 1, 0, sk)),
            0.5 * (self.at(axes, 0, 1, sk) + self.at(axes, 1, 1, sk)),
        ];
        let turn = (z2 + outside) * mean[0] * mean[1] * less + a * a * (z2 - outside) * more;
        let cosine = (z2 * (mean[0] * mean[0] + a * a) + outside * over[0])
            * (z2 * (mean[1] * mean[1] + a * a) + outside * over[1]);
        let sides = self.d(j, 0) * self.d(j, 1);
        (4.0 * a * zed * turn, cosine + 4.0 * a * a * z2 * sides * mean[0] * mean[1])
    }

    #[inline(always)]
    fn second_far(&self, k: usize, i: usize, j: usize) -> f64 {
        let axes = [i, j, k];
        let (x, z, a, c) = (self.p[i], self.p[k], self.half[i], self.half[k]);
        let zz = Pair { mean: z * z + c * c, half: 2.0 * z * c };
        let outside = (x - a) * (x + a);
        let (m_0, over_0, cosine_0) = self.over_side(axes, 0);
        let (m_1, over_1, cosine_1) = self.over_side(axes, 1);
        let ([less_0, more_0], [less_1, more_1]) =
            (self.along_side(axes, 0), self.along_side(axes, 1));
        let (less, more) = (less_0.1.plus(less_1.1), more_0.1.plus(more_1.1));
        let product = m_0.times(m_1);
        let a_term = zz.shifted(outside).times(product).times(less);
        let c_term = zz.shifted(-outside).scaled(a * a).times(more);
        let zed = Pair { mean: z, half: c };
        let sine = zed.times(a_term.plus(c_term)).scaled(4.0 * a);
        let sides = self.d(j, 0) * self.d(j, 1);
        let cosine = cosine_0.times(cosine_1).plus(zz.times(product).scaled(4.0 * a * a * sides));
        // Angle on side 1 minus angle on side 0 of k. Where one side's sine and cosine are far below the
        // other's, mean and half difference cannot tell it: take the form with less to round.
        let (s0, c0) = self.one_face(
            axes,
            0,
            [over_0[0], over_1[0]],
            less_0.0[0] + less_1.0[0],
            more_0.0[0] + more_1.0[0],
        );
        let (s1, c1) = self.one_face(
            axes,
            1,
            [over_0[1], over_1[1]],
            less_0.0[1] + less_1.0[1],
            more_0.0[1] + more_1.0[1],
        );
        let by_sides = [s1 * c0, -s0 * c1];
        let by_means = [2.0 * sine.half * cosine.mean, -2.0 * sine.mean * cosine.half];
        let sides_less =
            by_sides[0].abs() + by_sides[1].abs() < by_means[0].abs() + by_means[1].abs();
        let (by_sides, by_means) = (by_sides[0] + by_sides[1], by_means[0] + by_means[1]);
        let across = if sides_less { by_sides } else { by_means };
        let along = c0 * c1 + s0 * s1;
        // On an edge's line beyond its end one side has neither sine nor cosine: its angle is 0.
        let (null_0, null_1) = (s0.abs() + c0.abs() == 0.0, s1.abs() + c1.abs() == 0.0);
        let (across, along) = if null_0 { (s1, c1) } else { (across, along) };
        let (across, along) = if null_1 { (-s0, c0) } else { (across, along) };
        atan2(across, along)
    }
}

/// Where the near form may serve: the field there is at least this share of J.
///
/// Its error is 1e-16 of J; what is asked for is 1e-12 of the field.
const NEAR_FIELD: f64 = 2e-4;

/// A cuboid's field in its three forms. `ALONG_Z`: the polarization has no other component.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CuboidLaw<const ALONG_Z: bool> {
    near: NearCuboid,
    /// Squared distances up to which the near form serves, from which the far form does, and the dipole. m².
    bounds: [f64; 3],
}

impl<const ALONG_Z: bool> CuboidLaw<ALONG_Z> {
    fn new(half: [f64; 3], j: [f64; 3]) -> Self {
        let size = half[0].max(half[1]).max(half[2]);
        let diagonal2: f64 = half.iter().map(|h| h * h).sum();
        let volume = 8.0 * half[0] * half[1] * half[2];
        let near = (volume / (4.0 * PI * NEAR_FIELD)).cbrt().powi(2);
        // Slight bodies have too small a field even close by.
        let near = if near > diagonal2 { near } else { 0.0 };
        let far = ONE_ANGLE * ONE_ANGLE * diagonal2 * (1.0 + 1e-9);
        Self {
            near: NearCuboid { half, per_size: 1.0 / size, j },
            bounds: [near, far, (DIPOLE * size).powi(2)],
        }
    }
}

impl<const ALONG_Z: bool> Law<3> for CuboidLaw<ALONG_Z> {
    #[inline(always)]
    fn form(&self, [x, y, z]: [f64; 3]) -> Form {
        let r2 = x * x + y * y + z * z;
        let [near, far, dipole] = self.bounds;
        if r2 < near {
            Form::Quick
        } else if (r2 > far) & (r2 < dipole) {
            Form::Far
        } else {
            Form::Careful
        }
    }
    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 3] {
        self.near.b::<ALONG_Z>(point)
    }
    #[inline(always)]
    fn quick_block(&self, n: usize, at: &[Lane; 3], out: &mut [Lane; 3], room: &mut Room) {
        self.near.b_block::<ALONG_Z>(n, at, out, room);
    }
    #[inline(always)]
    fn far(&self, point: [f64; 3]) -> [f64; 3] {
        let v = Corners::new(self.near.half, point);
        let j = self.near.j.map(
            #[inline(always)]
            |j| j / (4.0 * PI),
        );
        let (yz, zx, zz) = (v.mixed(1, 2, 0), v.mixed(2, 0, 1), -v.second_far(2, 0, 1));
        if ALONG_Z {
            return [zx * j[2], yz * j[2], zz * j[2]];
        }
        let (xx, yy, xy) = (-v.second_far(0, 1, 2), -v.second_far(1, 2, 0), v.mixed(0, 1, 2));
        [
            xx * j[0] + xy * j[1] + zx * j[2],
            xy * j[0] + yy * j[1] + yz * j[2],
            zx * j[0] + yz * j[1] + zz * j[2],
        ]
    }
    fn careful(&self, point: [f64; 3]) -> [f64; 3] {
        cuboid_b(self.near.half, self.near.j, point)
    }
}

/// Adds B of a cuboid of half sizes `half` (m) and polarization `j` (T).
pub(crate) fn add_cuboid(half: [f64; 3], j: [f64; 3], at: Points<'_>, out: VectorsMut<'_>) {
    let VectorsMut { x, y, z } = out;
    // Polarized along one axis, that axis is called z: three derivatives are enough then.
    match j.map(|c| c != 0.0) {
        [false, false, false] => {}
        [false, false, true] => add_law(&CuboidLaw::<true>::new(half, j), at, [x, y, z]),
        [true, false, false] => {
            let turned = |v: [f64; 3]| [v[1], v[2], v[0]];
            let at = Points { x: at.y, y: at.z, z: at.x };
            add_law(&CuboidLaw::<true>::new(turned(half), turned(j)), at, [y, z, x]);
        }
        [false, true, false] => {
            let turned = |v: [f64; 3]| [v[2], v[0], v[1]];
            let at = Points { x: at.z, y: at.x, z: at.y };
            add_law(&CuboidLaw::<true>::new(turned(half), turned(j)), at, [z, x, y]);
        }
        _ => add_law(&CuboidLaw::<false>::new(half, j), at, [x, y, z]),
    }
}

#[cfg(test)]
mod tests {
    use super::CuboidLaw;
    use crate::forms::tests::{check_forms, table};

    #[test]
    fn cross_forms_cuboid() {
        let mut table = table("fields_forms_cuboid", "cuboid");
        for half in [[1.0, 0.6, 0.4], [1.0, 0.9, 0.05], [0.1, 0.12, 1.0], [0.01, 1.0, 1.0]] {
            let oblique = CuboidLaw::<false>::new(half, [0.3, -0.5, 1.1]);
            let along = CuboidLaw::<true>::new(half, [0.0, 0.0, 1.1]);
            let name = format!("{} × {} × {}", half[0], half[1], half[2]);
            check_forms(&mut table, &format!("{name}, oblique"), &oblique, half, 1e-12);
            check_forms(&mut table, &format!("{name}, along z"), &along, half, 1e-12);
        }
        table.finish();
    }
}
