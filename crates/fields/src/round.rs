//! Bodies of revolution in batches: one or two cylindrical walls between two ends.
//!
//! A solid cylinder has one wall, a ring the outer less the inner, and a thin solenoid is a cylinder's
//! wall without the magnet in it. Near by, elliptic integrals by a fixed number of means; far away the
//! zonal series; what lies between, beside edges and on the axis goes by `cylinder`.

use std::f64::consts::{FRAC_1_PI, PI};

use crate::cylinder::{RoundTensor, near_tensor, radius, share_inside};
use crate::elliptic::five_means;
use crate::forms::{BLOCK, Form, Lane, Law, Room, add_law};
use crate::math::{fma, greater, lesser, sign};
use crate::zonal::{FAR, Zonal};
use crate::{Points, VectorsMut};

/// Where the near form may serve: the field there is mostly above this share of J, of which the form errs by
/// 5e-16 (`cross_forms_round`), four times what one wall does. Where B passes through zero, so it does.
pub(crate) const NEAR_FIELD: f64 = 1e-3;

/// Least squared complementary modulus that five means serve; nearer an edge there are more.
pub(crate) const LEAST_KC2: f64 = 2e-3;

/// Least distance from the axis, in radii, for the part across the axis.
const LEAST_RHO: f64 = 0.1;

/// What lies between two ends: `WALLS` radii, outermost first.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Round<const WALLS: usize> {
    /// Radii of the walls, m.
    pub radii: [f64; WALLS],
    /// Half of the length, m.
    pub half_length: f64,
    /// Polarization, T; for a sheet of current μ0 times its amperes a metre, along z.
    pub j: [f64; 3],
    /// Whether J is added inside: B of a magnet across its axis needs it, a sheet's does not.
    pub filled: bool,
}

/// The batch form of [`Round`]. `AXIAL`: the polarization has no other component.
struct RoundLaw<const WALLS: usize, const AXIAL: bool> {
    body: Round<WALLS>,
    zonal: Zonal,
    /// Squared distances up to which the near form serves and from which the series does, m².
    near: f64,
    far: f64,
}

impl<const WALLS: usize> Round<WALLS> {
    /// Adds B.
    pub fn add_b(self, at: Points<'_>, out: VectorsMut<'_>) {
        let zonal = self.zonal(at);
        let out = [out.x, out.y, out.z];
        if self.j[0] == 0.0 && self.j[1] == 0.0 {
            add_law(&self.law::<true>(zonal), at, out);
        } else {
            add_law(&self.law::<false>(zonal), at, out);
        }
    }

    /// The outer wall, or the inner one, which counts less than nothing.
    #[inline(always)]
    pub fn wall<const AXIAL: bool>(&self, wall: usize) -> Wall<AXIAL> {
        let factor = if wall == 0 { 1.0 } else { -1.0 };
        Wall { radius: self.radii[wall], half_length: self.half_length, factor }
    }

    /// The series for those of the points that are far away.
    pub fn zonal(&self, at: Points<'_>) -> Zonal {
        let (outer, h) = (self.radii[0], self.half_length);
        let inner = if WALLS == 2 { self.radii[1] } else { 0.0 };
        Zonal::if_far(outer.hypot(h), at, [inner, outer, h], || match WALLS {
            1 => Zonal::cylinder(outer, h),
            _ => Zonal::ring(inner, outer, h),
        })
    }

    fn law<const AXIAL: bool>(self, zonal: Zonal) -> RoundLaw<WALLS, AXIAL> {
        let far = (FAR * zonal.extent).powi(2);
        let outer2 = self.radii[0] * self.radii[0];
        let inner2 = if WALLS == 2 { self.radii[1] * self.radii[1] } else { 0.0 };
        let volume = 2.0 * PI * (outer2 - inner2) * self.half_length;
        let near = (volume / (4.0 * PI * NEAR_FIELD)).cbrt().powi(2);
        // Slight bodies have too small a field even close by.
        let near = if near > zonal.extent * zonal.extent { near.min(far) } else { 0.0 };
        RoundLaw { body: self, zonal, near, far }
    }
}

impl<const WALLS: usize, const AXIAL: bool> RoundLaw<WALLS, AXIAL> {
    /// B from the sum over all walls.
    #[inline(always)]
    fn finished(&self, point: [f64; 3], rho: f64, sum: [f64; 3]) -> [f64; 3] {
        let Round { radii, half_length, j, filled } = self.body;
        let mut within = 0.0;
        if filled {
            within = share_of_wall(radii[0] - rho, half_length, point[2]);
            if WALLS == 2 {
                within -= share_of_wall(radii[WALLS - 1] - rho, half_length, point[2]);
            }
        }
        spread::<AXIAL>(j, point, rho, sum, within)
    }
}

/// 1 inside a wall, `gap` being its radius less ρ; ½ on it, ¼ on its edges.
#[inline(always)]
fn share_of_wall(gap: f64, half_length: f64, z: f64) -> f64 {
    0.25 * (1.0 + sign(gap)) * (1.0 + sign(half_length - z.abs()))
}

impl<const WALLS: usize, const AXIAL: bool> Law<3> for RoundLaw<WALLS, AXIAL> {
    #[inline(always)]
    fn form(&self, [x, y, z]: [f64; 3]) -> Form {
        let rho2 = x * x + y * y;
        let rho = rho2.sqrt();
        let r2 = rho2 + z * z;
        let u = z.abs() - self.body.half_length;
        let mut served = r2 < self.near;
        for a in self.body.radii {
            let (gap, sum) = (a - rho, a + rho);
            served &= gap * gap + u * u > LEAST_KC2 * (sum * sum + u * u);
            served &= AXIAL || rho > LEAST_RHO * a;
        }
        // The square guards what follows from overflow; out there the series has one term.
        if served {
            Form::Quick
        } else if r2 > self.far && r2 < 1e24 * self.far {
            Form::Far
        } else {
            Form::Careful
        }
    }

    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 3] {
        let rho = (point[0] * point[0] + point[1] * point[1]).sqrt();
        let mut sum = self.body.wall::<AXIAL>(0).plus_wall(rho, point[2], [0.0; 3]);
        // Not a loop: a body as long as this would not be unrolled, and so not be vector code.
        if WALLS == 2 {
            sum = self.body.wall::<AXIAL>(1).plus_wall(rho, point[2], sum);
        }
        self.finished(point, rho, sum)
    }

    #[inline(always)]
    fn quick_block(&self, n: usize, at: &[Lane; 3], out: &mut [Lane; 3], room: &mut Room) {
        assert!(n <= BLOCK, "more than a block");
        let [rho, rest @ ..] = room;
        for k in 0..n {
            rho[k] = (at[0][k] * at[0][k] + at[1][k] * at[1][k]).sqrt();
            for out in &mut *out {
                out[k] = 0.0;
            }
        }
        self.body.wall::<AXIAL>(0).add_block(n, rho, &at[2], out, rest);
        if WALLS == 2 {
            self.body.wall::<AXIAL>(1).add_block(n, rho, &at[2], out, rest);
        }
        for k in 0..n {
            let sum = [out[0][k], out[1][k], out[2][k]];
            let b = self.finished([at[0][k], at[1][k], at[2][k]], rho[k], sum);
            for c in 0..3 {
                out[c][k] = b[c];
            }
        }
    }

    #[inline(always)]
    fn far(&self, point: [f64; 3]) -> [f64; 3] {
        let [x, y, z] = point;
        let rho = (x * x + y * y).sqrt();
        spread::<AXIAL>(self.body.j, point, rho, self.zonal.terms(rho, z), 0.0)
    }

    fn careful(&self, point: [f64; 3]) -> [f64; 3] {
        let rho = radius(point);
        let Round { radii, half_length, j, filled } = self.body;
        if rho * rho + point[2] * point[2] > self.far {
            return self.zonal.tensor(rho, point[2]).b(j, point, 0.0);
        }
        let mut within = 0.0;
        let mut sum = RoundTensor::default();
        for (i, a) in radii.into_iter().enumerate() {
            let factor = if i == 0 { 1.0 } else { -1.0 };
            within += factor * share_inside(a, half_length, rho, point[2]);
            sum = sum.plus(near_tensor(a, half_length, rho, point[2]), factor);
        }
        sum.b(j, point, if filled { within } else { 0.0 })
    }
}

/// B of a tensor of axial, cross and transverse part, turned to where the point lies round the axis.
#[inline(always)]
pub(crate) fn spread<const AXIAL: bool>(
    j: [f64; 3],
    [x, y, _]: [f64; 3],
    rho: f64,
    [axial, cross, transverse]: [f64; 3],
    within: f64,
) -> [f64; 3] {
    // On the axis `cross` is zero and the rest the same all round: any direction will do.
    let per_rho = 1.0 / greater(rho, f64::MIN_POSITIVE);
    let (c, s) = (x * per_rho, y * per_rho);
    if AXIAL {
        return [j[2] * cross * c, j[2] * cross * s, j[2] * axial];
    }
    let (c, s) = if rho > 0.0 { (c, s) } else { (1.0, 0.0) };
    let (j_rho, j_phi) = (j[0] * c + j[1] * s, j[1] * c - j[0] * s);
    let b_rho = j[2] * cross + j_rho * (within - axial - transverse);
    let b_phi = j_phi * (within + transverse);
    [b_rho * c - b_phi * s, b_rho * s + b_phi * c, j[2] * axial + j_rho * cross]
}

/// What both ends of a wall share, in radii of the wall.
#[derive(Clone, Copy)]
struct Across {
    rho: f64,
    /// Radius less ρ.
    gap: f64,
    per_four_rho: f64,
    per_sum: f64,
}

impl Across {
    #[inline(always)]
    fn new(radius: f64, rho: f64) -> Self {
        let per_radius = 1.0 / radius;
        // The difference before scaling: near the wall it is exact.
        let (rho, gap) = (rho * per_radius, (radius - rho) * per_radius);
        let per_four_rho = 0.25 / greater(rho, 1e-300);
        Self { rho, gap, per_four_rho, per_sum: 1.0 / (1.0 + rho) }
    }
}

/// A cylindrical wall, counted `factor` times.
#[derive(Clone, Copy)]
pub(crate) struct Wall<const AXIAL: bool> {
    pub radius: f64,
    pub half_length: f64,
    pub factor: f64,
}

impl<const AXIAL: bool> Wall<AXIAL> {
    /// `sum` and the wall's axial, cross and transverse part.
    #[inline(always)]
    pub fn plus_wall(self, rho: f64, z: f64, sum: [f64; 3]) -> [f64; 3] {
        let across = Across::new(self.radius, rho);
        self.plus_end(across, z, -1.0, self.plus_end(across, z, 1.0, sum))
    }

    /// `sum` and the part of the upper (1) or lower (−1) end.
    #[inline(always)]
    fn plus_end(self, across: Across, z: f64, end: f64, sum: [f64; 3]) -> [f64; 3] {
        let u = (z + end * self.half_length) * (1.0 / self.radius);
        let part = near_end::<AXIAL>(across, u, five_means);
        [0, 1, 2].map(
            #[inline(always)]
            |c| fma(end * self.factor, part[c], sum[c]),
        )
    }

    /// [`Self::plus_wall`] for `n` points of a block in a loop for each end; needs four of `room`.
    #[inline(always)]
    pub fn add_block(self, n: usize, rho: &Lane, z: &Lane, sum: &mut [Lane; 3], room: &mut [Lane]) {
        let [radial, gap, per_four_rho, per_sum, ..] = room else {
            unreachable!("ROOM is more than four")
        };
        for k in 0..n {
            let across = Across::new(self.radius, rho[k]);
            (radial[k], gap[k]) = (across.rho, across.gap);
            (per_four_rho[k], per_sum[k]) = (across.per_four_rho, across.per_sum);
        }
        for end in [1.0, -1.0] {
            for k in 0..n {
                let across = Across {
                    rho: radial[k],
                    gap: gap[k],
                    per_four_rho: per_four_rho[k],
                    per_sum: per_sum[k],
                };
                let s = self.plus_end(across, z[k], end, [sum[0][k], sum[1][k], sum[2][k]]);
                for c in 0..3 {
                    sum[c][k] = s[c];
                }
            }
        }
    }
}

/// A wall's axial, cross and transverse part.
#[inline(always)]
pub(crate) fn near_wall<const AXIAL: bool>(
    radius: f64,
    half_length: f64,
    rho: f64,
    z: f64,
    means: impl Fn(f64, f64, f64, f64) -> [f64; 3] + Copy,
) -> [f64; 3] {
    let (per_radius, across) = (1.0 / radius, Across::new(radius, rho));
    let up = near_end::<AXIAL>(across, (z + half_length) * per_radius, means);
    let down = near_end::<AXIAL>(across, (z - half_length) * per_radius, means);
    [up[0] - down[0], up[1] - down[1], up[2] - down[2]]
}

/// One end's part of a wall of radius 1 as in `cylinder`: axial, cross, transverse; the end lies `u` below.
#[inline(always)]
fn near_end<const AXIAL: bool>(
    Across { rho, gap, per_four_rho, per_sum }: Across,
    u: f64,
    means: impl Fn(f64, f64, f64, f64) -> [f64; 3],
) -> [f64; 3] {
    let sum = 1.0 + rho;
    let u2 = u * u;
    let beta2 = fma(sum, sum, u2);
    let per_beta2 = 1.0 / beta2;
    let kc = lesser((fma(gap, gap, u2) * per_beta2).sqrt(), 1.0);
    let k2 = 4.0 * rho * per_beta2;
    let gamma = gap * per_sum;
    let root = greater(gamma.abs(), 1e-100);
    let [k, ks, third] = means(kc, k2, beta2 * per_four_rho, root);
    let per_beta = per_beta2 * beta2.sqrt() * FRAC_1_PI;
    let over = u * per_beta;
    let axial = over * per_sum * fma(sign(gap) * (1.0 - gamma), third, k);
    let cross = -k2 * ks * per_beta;
    let transverse = if AXIAL {
        0.0
    } else {
        -4.0 * over * per_four_rho * fma(-root, third, 0.5 * fma(k2, ks, k))
    };
    [axial, cross, transverse]
}

#[cfg(test)]
mod tests {
    use super::Round;
    use crate::forms::tests::{check_forms, table};
    use crate::zonal::Zonal;

    #[test]
    fn cross_forms_round() {
        let mut table = table("fields_forms_round", "round body");
        let directions = [
            ("oblique", [0.3, -0.5, 1.1]),
            ("axial", [0.0, 0.0, 1.2]),
            ("across", [1.0, 0.0, 0.0]),
        ];
        for half_length in [1.0, 0.5, 2.0, 0.05] {
            for (direction, j) in directions {
                let half = [1.0, 1.0, half_length];
                let [solid, hollow] = ["cylinder", "ring"]
                    .map(|body| format!("{body}, half length {half_length}, {direction}"));
                let cylinder = Round { radii: [1.0], half_length, j, filled: true };
                let ring = Round { radii: [1.0, 0.5], half_length, j, filled: true };
                let (of_cylinder, of_ring) =
                    (Zonal::cylinder(1.0, half_length), Zonal::ring(0.5, 1.0, half_length));
                if direction == "axial" {
                    let (cylinder, ring) =
                        (cylinder.law::<true>(of_cylinder), ring.law::<true>(of_ring));
                    check_forms(&mut table, &solid, &cylinder, half, 1e-12);
                    check_forms(&mut table, &hollow, &ring, half, 1e-12);
                } else {
                    let (cylinder, ring) =
                        (cylinder.law::<false>(of_cylinder), ring.law::<false>(of_ring));
                    check_forms(&mut table, &solid, &cylinder, half, 1e-12);
                    check_forms(&mut table, &hollow, &ring, half, 1e-12);
                }
            }
        }
        table.finish();
    }
}
