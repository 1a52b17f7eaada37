//! The uniformly polarized cuboid.
//!
//! With V the Newtonian potential of the body, `4π μ0 H = (J·∇)∇V`. The six second derivatives of V
//! are sums over the eight corners of `ln(Z + r)` and `atan(XY/(Z r))` (`[yang1990]`, `[engelherbert2005]`).
//! As printed those sums lose `(distance/size)³`; here the logarithms and the angles are first combined
//! into one each, and every difference between corners is multiplied out (`r₂² − r₁²` is known exactly),
//! so nothing is lost however far away or however thin the body.

use std::f64::consts::PI;

use crate::cuboid_near::NearCuboid;
use crate::forms::{Form, Law, add_law};
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
        let half = half.map(|h| h / size);
        let p = point.map(|c| c / size);
        let r = std::array::from_fn(|n| {
            let d: [f64; 3] = std::array::from_fn(|i| Self::offset(&half, &p, i, (n >> i) & 1));
            (d[0] * d[0] + d[1] * d[1] + d[2] * d[2] + EDGE_FLOOR).sqrt()
        });
        let squared = |v: [f64; 3]| v[0] * v[0] + v[1] * v[1] + v[2] * v[2];
        let far = squared(p) > ONE_ANGLE * ONE_ANGLE * squared(half);
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
        let one = |r: f64, a: f64| {
            let sum = r + a.abs();
            if a > 0.0 { rho2 / sum } else { sum }
        };
        one(r[0], ahead[0]) + one(r[1], ahead[1])
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

    /// `∂²V/∂i∂j`, the four edges along `k` in one logarithm.
    #[inline(always)]
    fn mixed(&self, i: usize, j: usize, k: usize) -> f64 {
        let r = |si: usize, sj: usize, sk: usize| self.r[si << i | sj << j | sk << k];
        let (x, y) = (self.p[i], self.p[j]);
        let (a, b, c) = (self.half[i], self.half[j], self.half[k]);
        let (mut q, mut e) = ([[0.0; 2]; 2], [[0.0; 2]; 2]);
        for si in 0..2 {
            for sj in 0..2 {
                let rho2 = self.d(i, si).powi(2) + self.d(j, sj).powi(2) + EDGE_FLOOR;
                let ends = [r(si, sj, 0), r(si, sj, 1)];
                q[si][sj] = ends[0] + ends[1];
                e[si][sj] = self.excess(k, ends, rho2);
            }
        }
        // First differences of q across i and across j, second difference across both.
        let (mut across_i, mut across_j, mut across_both) = ([0.0; 2], [0.0; 2], 0.0);
        for sk in 0..2 {
            let s = [r(0, 0, sk) + r(1, 0, sk), r(0, 1, sk) + r(1, 1, sk)];
            let t = [r(0, 0, sk) + r(0, 1, sk), r(1, 0, sk) + r(1, 1, sk)];
            for side in 0..2 {
                across_i[side] += 4.0 * x * a / s[side];
                across_j[side] += 4.0 * y * b / t[side];
            }
            let s_step = 4.0 * y * b * (1.0 / t[0] + 1.0 / t[1]);
            across_both -= 4.0 * x * a * s_step / (s[0] * s[1]);
        }
        // Each pair across i is 2 artanh(n/d); the two pairs across j are combined likewise.
        let n_mean = -c * (across_i[0] + across_i[1]);
        let n_half = -c * across_both;
        let d = |sj: usize| e[0][sj] * e[1][sj] + 2.0 * c * (e[0][sj] + e[1][sj]);
        let d_mean = 0.5 * (d(0) + d(1));
        let d_half = 0.25 * (across_j[0] * (q[1][0] + q[1][1]) + across_j[1] * (q[0][0] + q[0][1]));
        let difference = 4.0 * (n_half * d_mean - n_mean * d_half);
        let f = |si: usize, sj: usize| q[si][sj] + 2.0 * c;
        let above = f(1, 1) * f(0, 0) * e[0][1] * e[1][0];
        let below = f(0, 1) * f(1, 0) * e[0][0] * e[1][1];
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

    #[inline(always)]
    fn second_far(&self, k: usize, i: usize, j: usize) -> f64 {
        let r = |si: usize, sj: usize, sk: usize| self.r[si << i | sj << j | sk << k];
        let (x, y, z) = (self.p[i], self.p[j], self.p[k]);
        let (a, b, c) = (self.half[i], self.half[j], self.half[k]);
        let pair = |at: [f64; 2], half: f64| Pair { mean: 0.5 * (at[0] + at[1]), half };
        // Half differences of the corner distances across k.
        let step = |si: usize, sj: usize| 2.0 * z * c / (r(si, sj, 0) + r(si, sj, 1));
        let y_side = [self.d(j, 0), self.d(j, 1)];
        let zz = Pair { mean: z * z + c * c, half: 2.0 * z * c };
        let outside = (x - a) * (x + a);

        // Mean distance across i for each side of j, and the cosine part of each side's angle.
        let mut m = [Pair { mean: 0.0, half: 0.0 }; 2];
        let mut cosine = m;
        let mut over_at = [[0.0; 2]; 2];
        for sj in 0..2 {
            m[sj] = pair(
                [0.5 * (r(0, sj, 0) + r(1, sj, 0)), 0.5 * (r(0, sj, 1) + r(1, sj, 1))],
                0.5 * (step(0, sj) + step(1, sj)),
            );
            let mm = m[sj].times(m[sj]);
            over_at[sj] = [0, 1].map(|sk| {
                let rho2 = y_side[sj].powi(2) + self.d(k, sk).powi(2);
                let (m, over) = self.mean_across(i, [r(0, sj, sk), r(1, sj, sk)], rho2);
                over * (m + a)
            });
            cosine[sj] =
                zz.times(mm.shifted(a * a)).plus(pair(over_at[sj], mm.half).scaled(outside));
        }
        // b R̄ ∓ y η, with R̄ the mean of the four distances and η half their difference across j.
        let (mut less, mut more) = (Pair { mean: 0.0, half: 0.0 }, Pair { mean: 0.0, half: 0.0 });
        let (mut less_at, mut more_at) = ([0.0; 2], [0.0; 2]);
        for si in 0..2 {
            let mean = [0, 1].map(|sk| 0.5 * (r(si, 0, sk) + r(si, 1, sk)));
            let half = 0.5 * (step(si, 0) + step(si, 1));
            let minus = [0, 1].map(|sk| {
                let rho2 = self.d(i, si).powi(2) + self.d(k, sk).powi(2);
                let over = self.over_projection(j, [r(si, 0, sk), r(si, 1, sk)], rho2);
                over * (mean[sk] + y.abs()) / mean[sk]
            });
            let plus = mean.map(|m| (m * m + y * y) / m);
            for sk in 0..2 {
                less_at[sk] += 0.5 * b * minus[sk];
                more_at[sk] += 0.5 * b * plus[sk];
            }
            let bend = y * y / (mean[0] * mean[1]);
            less = less.plus(pair(minus, half * (1.0 + bend)).scaled(0.5 * b));
            more = more.plus(pair(plus, half * (1.0 - bend)).scaled(0.5 * b));
        }
        let side = |sk: usize| {
            let zed = self.d(k, sk);
            let z2 = zed * zed;
            let mean = [0, 1].map(|sj| 0.5 * (r(0, sj, sk) + r(1, sj, sk)));
            let turn = (z2 + outside) * mean[0] * mean[1] * less_at[sk]
                + a * a * (z2 - outside) * more_at[sk];
            let cosines = over_at.map(|over| over[sk]);
            let cosine =
                (0..2).map(|sj| z2 * (mean[sj] * mean[sj] + a * a) + outside * cosines[sj]);
            let cosine: f64 = cosine.product();
            (
                4.0 * a * zed * turn,
                cosine + 4.0 * a * a * z2 * y_side[0] * y_side[1] * mean[0] * mean[1],
            )
        };
        let product = m[0].times(m[1]);
        let a_term = zz.shifted(outside).times(product).times(less);
        let c_term = zz.shifted(-outside).scaled(a * a).times(more);
        let zed = Pair { mean: z, half: c };
        let sine = zed.times(a_term.plus(c_term)).scaled(4.0 * a);
        let cosine = cosine[0]
            .times(cosine[1])
            .plus(zz.times(product).scaled(4.0 * a * a * y_side[0] * y_side[1]));
        // Angle on side 1 minus angle on side 0 of k. Where one side's sine and cosine are far below the
        // other's, mean and half difference cannot tell it: take the form with less to round.
        let ((s0, c0), (s1, c1)) = (side(0), side(1));
        let by_sides = [s1 * c0, -s0 * c1];
        let by_means = [2.0 * sine.half * cosine.mean, -2.0 * sine.mean * cosine.half];
        let weight = |t: [f64; 2]| t[0].abs() + t[1].abs();
        // On an edge's line beyond its end one side has neither sine nor cosine: its angle is 0.
        let across = if weight(by_sides) < weight(by_means) { by_sides } else { by_means };
        let (across, along) = (across[0] + across[1], c0 * c1 + s0 * s1);
        let (null_0, null_1) = (s0 == 0.0 && c0 == 0.0, s1 == 0.0 && c1 == 0.0);
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
        if r2 < self.bounds[0] {
            Form::Quick
        } else if r2 > self.bounds[1] && r2 < self.bounds[2] {
            Form::Far
        } else {
            Form::Careful
        }
    }
    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 3] {
        if ALONG_Z { self.near.b_along_z(point) } else { self.near.b(point) }
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
