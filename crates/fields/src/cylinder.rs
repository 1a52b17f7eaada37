//! Second derivatives of the Newtonian potential of a solid cylinder: all its fields in three numbers.
//!
//! A uniformly polarized body has `4π μ0 H = (J·∇)∇V`. For a cylinder of radius a, with u = z + h and
//! z − h the heights over its two ends, d² = a² + ρ² − 2aρ cos φ and D² = d² + u²,
//!
//! - `∂²V/∂z² + 4π[inside] = Δ u ∮ a(a − ρ cos φ)/(d² D) dφ` (`[derby2010]` in other words),
//! - `∂²V/∂z∂ρ = −Δ ∮ a cos φ / D dφ`,
//! - `∂V/∂ρ / ρ = −Δ u ∮ a² sin² φ/(d² D) dφ`,
//!
//! Δ being the value at the upper u minus the one at the lower, and Laplace gives the fourth. They hold for any
//! direction of polarization, compare `[caciagli2018]`.

use std::f64::consts::PI;

use crate::elliptic::complete_with_third;

/// The three independent second derivatives over 4π, at a point (ρ, z): pure numbers.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct RoundTensor {
    /// B_z per J_z (J included inside).
    pub axial: f64,
    /// B_ρ per J_z, and B_z per J_ρ.
    pub cross: f64,
    /// μ0 H_φ per J_φ; μ0 H_ρ per J_ρ is minus this and minus `axial`.
    pub transverse: f64,
    /// Part of `axial` that an endless cylinder would give, kept apart: it cancels exactly between ends
    /// and between the walls of a ring, and may be far greater than what remains.
    pub endless_axial: f64,
    /// The same of `transverse`.
    pub endless_transverse: f64,
}

impl RoundTensor {
    pub fn plus(self, o: Self, factor: f64) -> Self {
        Self {
            axial: self.axial + factor * o.axial,
            cross: self.cross + factor * o.cross,
            transverse: self.transverse + factor * o.transverse,
            endless_axial: self.endless_axial + factor * o.endless_axial,
            endless_transverse: self.endless_transverse + factor * o.endless_transverse,
        }
    }

    /// B for polarization `j`; `within` is the share of the point that lies inside the body.
    pub fn b(self, j: [f64; 3], point: [f64; 3], within: f64) -> [f64; 3] {
        let rho = radius(point);
        // On the axis every direction will do: `cross` vanishes and the transverse part is isotropic.
        let (c, s) = if rho > 0.0 { (point[0] / rho, point[1] / rho) } else { (1.0, 0.0) };
        let (j_rho, j_phi) = (j[0] * c + j[1] * s, j[1] * c - j[0] * s);
        let axial = self.endless_axial + self.axial;
        // What adds up to whole numbers comes first.
        let along = (within - self.endless_axial - self.endless_transverse)
            - (self.axial + self.transverse);
        let around = (within + self.endless_transverse) + self.transverse;
        let (b_rho, b_phi) = (j[2] * self.cross + j_rho * along, j_phi * around);
        [b_rho * c - b_phi * s, b_rho * s + b_phi * c, j[2] * axial + j_rho * self.cross]
    }
}

/// Distance from the z axis, m.
pub(crate) fn radius(point: [f64; 3]) -> f64 {
    // Scaled by the larger coordinate so that squares neither vanish nor overflow.
    let (x, y) = (point[0].abs(), point[1].abs());
    let (low, high) = (x.min(y), x.max(y));
    if high == 0.0 { 0.0 } else { high * (1.0 + (low / high).powi(2)).sqrt() }
}

/// 1 inside a solid cylinder, ½ on its surface, ¼ on its edges, 0 outside.
pub(crate) fn share_inside(radius: f64, half_length: f64, rho: f64, z: f64) -> f64 {
    let share = |size: f64, at: f64| {
        if at < size {
            1.0
        } else if at == size {
            0.5
        } else {
            0.0
        }
    };
    share(radius, rho) * share(half_length, z.abs())
}

/// Where `(a² + ρ² + u²)/(2aρ)` exceeds this the angle integral is summed: near the axis, far from it and
/// far from the end, elliptic integrals of nearly equal arguments would be subtracted.
///
/// The trapezoidal rule on a circle errs by `(x + √(x² − 1))^-16` = 1e-16 at x = 5.05.
const SUMMED: f64 = 5.05;

/// Cosines of the first four of 16 angles, at half steps: the rest mirror them.
const COSINES: [f64; 4] = [
    0.980_785_280_403_230_4,
    0.831_469_612_302_545_2,
    0.555_570_233_019_602_2,
    0.195_090_322_016_128_3,
];

/// Floor of the complementary modulus: on an edge the value at 1e-16 radii from it stands for the limit.
const EDGE_FLOOR: f64 = 1e-16;

/// Floor of |a − ρ|/(a + ρ): far below anything that shows, above what overflows.
const MANTLE_FLOOR: f64 = 1e-100;

/// The tensor of a solid cylinder at distance `rho` from the axis and height `z` (m), any point not far away.
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | a | `radius` | m | > 0 |
/// | h | `half_length` | m | > 0 |
/// | ρ | `rho` | m | ≥ 0 |
/// | z | `z`, from the centre | m | any |
pub(crate) fn near_tensor(radius: f64, half_length: f64, rho: f64, z: f64) -> RoundTensor {
    // Differences before scaling: near an edge they are exact.
    let (rho, gap) = (rho / radius, (radius - rho) / radius);
    let (up, down) = ((z + half_length) / radius, (z - half_length) / radius);
    end(rho, gap, up).plus(end(rho, gap, down), -1.0)
}

/// One end's part: radius 1, `gap` = 1 − ρ, at height `u` over the end.
fn end(rho: f64, gap: f64, u: f64) -> RoundTensor {
    let size2 = 1.0 + rho * rho;
    if size2 + u * u < 2.0 * SUMMED * rho {
        elliptic_end(rho, gap, u)
    } else if size2 >= 2.0 * SUMMED * rho && u * u < size2 {
        summed_low_end(rho, u)
    } else {
        summed_high_end(rho, gap, u)
    }
}

/// By elliptic integrals.
fn elliptic_end(rho: f64, gap: f64, u: f64) -> RoundTensor {
    let sum = 1.0 + rho;
    let beta = (sum * sum + u * u).sqrt();
    let alpha = (gap * gap + u * u).sqrt();
    let kc = (alpha / beta).max(EDGE_FLOOR);
    let k2 = 4.0 * rho / (beta * beta);
    let gamma = gap / sum;
    let root = gamma.abs().max(MANTLE_FLOOR);
    let e = complete_with_third(kc, k2, root);
    let over = u / (PI * beta);
    RoundTensor {
        axial: over / sum * (e.k + sign(gap) * (1.0 - gamma) * e.third),
        cross: -k2 * e.s * e.k / (PI * beta),
        transverse: -over / rho * (e.d(k2) - root * e.third),
        ..RoundTensor::default()
    }
}

/// −1, 0 or 1: 0 leaves the mean of both sides on a surface.
fn sign(x: f64) -> f64 {
    if x == 0.0 { 0.0 } else { x.signum() }
}

/// Each of four cosines stands for two pairs of points of 16 steps 2π/16, over 4π.
const STEP: f64 = 1.0 / 16.0;

/// By the trapezoidal rule, near the axis or far from it, at small heights.
///
/// The two rim points at ±cos φ, a near and a far one, are combined before anything is rounded.
fn summed_low_end(rho: f64, u: f64) -> RoundTensor {
    let (mut axial, mut cross, mut transverse) = (0.0, 0.0, 0.0);
    for cosine in COSINES {
        let rc = rho * cosine;
        let (d_near, d_far) = (1.0 + rho * rho - 2.0 * rc, 1.0 + rho * rho + 2.0 * rc);
        let (r_near, r_far) = ((d_near + u * u).sqrt(), (d_far + u * u).sqrt());
        let (w_near, w_far) = (1.0 / (d_near * r_near), 1.0 / (d_far * r_far));
        let sum = r_near + r_far;
        let slope = 0.5 * sum + 0.5 * (d_near + d_far) / sum;
        axial += (d_near * r_near + d_far * r_far - 4.0 * rc * rc * slope) * w_near * w_far;
        cross -= 4.0 * cosine * rc / (sum * r_near * r_far);
        transverse -= (1.0 - cosine * cosine) * (w_near + w_far);
    }
    RoundTensor {
        axial: axial * u * STEP,
        cross: cross * STEP,
        transverse: transverse * u * STEP,
        ..RoundTensor::default()
    }
}

/// By the trapezoidal rule at great heights: `u/D` is 1 less `d²/(D (D + |u|))`, and the 1 integrates to
/// what an endless cylinder gives. That part drops out exactly between two ends on the same side.
fn summed_high_end(rho: f64, gap: f64, u: f64) -> RoundTensor {
    let h = u.abs();
    let (mut axial, mut cross, mut transverse) = (0.0, 0.0, 0.0);
    for cosine in COSINES {
        let rc = rho * cosine;
        let near2 = 1.0 + rho * rho - 2.0 * rc + u * u;
        let far2 = 1.0 + rho * rho + 2.0 * rc + u * u;
        let (r_near, r_far) = (near2.sqrt(), far2.sqrt());
        let (w_near, w_far) = (1.0 / (near2 + h * r_near), 1.0 / (far2 + h * r_far));
        let sum = r_near + r_far;
        axial += w_near + w_far - 4.0 * rc * rc * (1.0 + h / sum) * w_near * w_far;
        cross -= 4.0 * cosine * rc / (sum * r_near * r_far);
        transverse -= (1.0 - cosine * cosine) * (w_near + w_far);
    }
    // Outside, an endless cylinder's transverse part falls as 1/ρ²; just outside, what is missing from 1 is
    // kept apart too, so that it survives beside the whole number.
    let (whole, rest) = if gap >= 0.0 {
        (1.0, 0.0)
    } else if rho < 2.0 {
        (1.0, gap * (1.0 + rho) / (rho * rho))
    } else {
        (1.0 / (rho * rho), 0.0)
    };
    let side = sign(u);
    RoundTensor {
        axial: -side * axial * STEP,
        cross: cross * STEP,
        transverse: -side * (0.25 * rest + transverse * STEP),
        endless_axial: side * 0.25 * (1.0 + sign(gap)),
        endless_transverse: -side * 0.25 * whole,
    }
}
