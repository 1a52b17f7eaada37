//! Second derivatives of the Newtonian potential of a solid cylinder: all its fields in three numbers.
//!
//! A uniformly polarized body has `4π μ0 H = (J·∇)∇V`. For a cylinder of radius a, with u = z + h and
//! z − h the heights over its two ends, d² = a² + ρ² − 2aρ cos φ and D² = d² + u²,
//!
//! - `∂²V/∂z² + 4π[inside] = Δ u ∮ a(a − ρ cos φ)/(d² D) dφ` ([derby2010] in other words),
//! - `∂²V/∂z∂ρ = −Δ ∮ a cos φ / D dφ`,
//! - `∂V/∂ρ / ρ = −Δ u ∮ a² sin² φ/(d² D) dφ`,
//!
//! Δ being the value at the upper u... minus the lower, and Laplace gives the fourth. They hold for any
//! direction of polarization, compare [caciagli2018].

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
}

impl RoundTensor {
    pub fn plus(self, o: Self, factor: f64) -> Self {
        Self {
            axial: self.axial + factor * o.axial,
            cross: self.cross + factor * o.cross,
            transverse: self.transverse + factor * o.transverse,
        }
    }

    /// B for polarization `j`; `within` is the share of the point that lies inside the body.
    pub fn b(self, j: [f64; 3], point: [f64; 3], within: f64) -> [f64; 3] {
        let rho = radius(point);
        // On the axis every direction will do: `cross` vanishes and the transverse part is isotropic.
        let (c, s) = if rho > 0.0 { (point[0] / rho, point[1] / rho) } else { (1.0, 0.0) };
        let (j_rho, j_phi) = (j[0] * c + j[1] * s, j[1] * c - j[0] * s);
        let b_rho = j[2] * self.cross - j_rho * (self.axial + self.transverse) + within * j_rho;
        let b_phi = (self.transverse + within) * j_phi;
        [b_rho * c - b_phi * s, b_rho * s + b_phi * c, j[2] * self.axial + j_rho * self.cross]
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

/// Within this fraction of the radius from the axis, and beyond its inverse, the angle integral is
/// summed instead: elliptic integrals of nearly equal arguments would be subtracted there.
const SUMMED: f64 = 0.1;

/// Cosines of the first four of 16 angles, at half steps: the rest mirror them.
///
/// The trapezoidal rule on a circle errs by `(ρ/a)^16` or `(a/ρ)^16`: below 1e-16 where it is used.
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
    let (rho, z, h) = (rho / radius, z / radius, half_length / radius);
    let (up, down) = (z + h, z - h);
    let end: fn(f64, f64) -> RoundTensor =
        if (SUMMED..=1.0 / SUMMED).contains(&rho) { elliptic_end } else { summed_end };
    end(rho, up).plus(end(rho, down), -1.0)
}

/// One end's part by elliptic integrals, radius 1.
fn elliptic_end(rho: f64, u: f64) -> RoundTensor {
    let (sum, gap) = (1.0 + rho, 1.0 - rho);
    let beta = (sum * sum + u * u).sqrt();
    let alpha = (gap * gap + u * u).sqrt();
    let kc = (alpha / beta).max(EDGE_FLOOR);
    let k2 = 4.0 * rho / (beta * beta);
    let gamma = gap / sum;
    let root = gamma.abs().max(MANTLE_FLOOR);
    let e = complete_with_third(kc, k2, root);
    // sign(0) = 0 leaves the mean of both sides on the mantle.
    let side = if gap == 0.0 { 0.0 } else { gap.signum() };
    let over = u / (PI * beta);
    RoundTensor {
        axial: over / sum * (e.k + side * (1.0 - gamma) * e.third),
        cross: -k2 * e.s * e.k / (PI * beta),
        transverse: -over / rho * (e.d(k2) - root * e.third),
    }
}

/// One end's part by the trapezoidal rule over the rim, radius 1, near the axis or far from it.
fn summed_end(rho: f64, u: f64) -> RoundTensor {
    let (mut axial, mut cross, mut transverse) = (0.0, 0.0, 0.0);
    for cosine in COSINES {
        // The two rim points at ±cos φ: near one and far one, combined before anything is rounded.
        let rc = rho * cosine;
        let (d_near, d_far) = (1.0 + rho * rho - 2.0 * rc, 1.0 + rho * rho + 2.0 * rc);
        let (r_near, r_far) = ((d_near + u * u).sqrt(), (d_far + u * u).sqrt());
        let (w_near, w_far) = (1.0 / (d_near * r_near), 1.0 / (d_far * r_far));
        let sum = r_near + r_far;
        let step = d_near * r_near + d_far * r_far;
        let slope = 0.5 * sum + 0.5 * (d_near + d_far) / sum;
        axial += (step - 4.0 * rc * rc * slope) * w_near * w_far;
        cross -= cosine * 4.0 * rc / (sum * r_near * r_far);
        transverse -= (1.0 - cosine * cosine) * (w_near + w_far);
    }
    // Each of four cosines stands for two pairs of 16 steps of 2π/16, over 4π.
    let weight = 1.0 / 16.0;
    RoundTensor {
        axial: axial * u * weight,
        cross: cross * weight,
        transverse: transverse * u * weight,
    }
}
