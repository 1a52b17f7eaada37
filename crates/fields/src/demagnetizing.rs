//! Magnetometric demagnetizing factors: the mean of −μ0 H/J over a uniformly polarized body.

use std::f64::consts::PI;

use crate::MagnetShape;
use crate::elliptic::complete;
use crate::quadrature::{GAUSS_10, moved};

impl MagnetShape {
    /// Magnetometric demagnetizing factors along x, y, z; they add up to 1.
    ///
    /// For uniform polarization (zero susceptibility): cuboid by `[aharoni1998]`, cylinder by
    /// `[nagaoka1909]`'s inductance of the sheet round it, ring by the mutual inductance of its two sheets,
    /// sphere 1/3. Absolute accuracy 1e-14, thin rings 1e-11.
    pub fn demagnetizing_factors(&self) -> [f64; 3] {
        let round = |along: f64| [0.5 * (1.0 - along), 0.5 * (1.0 - along), along];
        match *self {
            Self::Cuboid { half_size: [a, b, c] } => {
                [prism(b, c, a), prism(c, a, b), prism(a, b, c)]
            }
            Self::Cylinder { radius, half_length } => round(1.0 - nagaoka(radius / half_length)),
            Self::Ring { inner_radius, outer_radius, half_length } => {
                round(1.0 - ring_mean_b(inner_radius, outer_radius, half_length))
            }
            Self::Sphere { .. } => [1.0 / 3.0; 3],
        }
    }
}

/// Factor of a prism of half sizes a, b, c along c: `[aharoni1998]` eq. (1).
fn prism(a: f64, b: f64, c: f64) -> f64 {
    let (ab, bc, ca) = (a.hypot(b), b.hypot(c), c.hypot(a));
    let r = ab.hypot(c);
    let abc = 3.0 * a * b * c;
    // ln((r + a)/(r − a)) = 2 arsinh(a/√(r² − a²)), without the cancelling difference.
    let logs = -(b - c) * (b + c) / (b * c) * (a / bc).asinh()
        - (a - c) * (a + c) / (a * c) * (b / ca).asinh()
        + b / c * (a / b).asinh()
        + a / c * (b / a).asinh()
        - c / a * (b / c).asinh()
        - c / b * (a / c).asinh();
    let rest = 2.0 * (a * b / (c * r)).atan()
        + (a.powi(3) + b.powi(3) - 2.0 * c.powi(3)) / abc
        + (a * a + b * b - 2.0 * c * c) / abc * r
        + c / (a * b) * (ca + bc)
        - (ab.powi(3) + bc.powi(3) + ca.powi(3)) / abc;
    (logs + rest) / PI
}

/// Nagaoka's coefficient of a thin solenoid by diameter over length: its mean field over `μ0 N I/l`.
///
/// `4/(3π k') [k'² (K − E)/k² + E − k]` with k = d/√(d² + l²) (`[nagaoka1909]`).
pub fn nagaoka(diameter_over_length: f64) -> f64 {
    let k = diameter_over_length / diameter_over_length.hypot(1.0);
    let kc = 1.0 / diameter_over_length.hypot(1.0);
    let e = complete(kc, k * k);
    let second_kind = e.k - k * k * e.d(k * k);
    4.0 / (3.0 * PI * kc) * (kc * kc * e.d(k * k) + second_kind - k)
}

/// Mean B_z over J in a ring polarized along its axis.
fn ring_mean_b(inner: f64, outer: f64, half_length: f64) -> f64 {
    let (a, h) = (inner / outer, half_length / outer);
    let own = |radius: f64| 2.0 * PI * radius * radius * h * nagaoka(radius / h);
    let volume = 2.0 * PI * (1.0 - a) * (1.0 + a) * h;
    (own(1.0) - 2.0 * mutual(a, h) + own(a)) / volume
}

/// Flux of a sheet of radius 1 through one of radius `a`, both of half length `h`, times length, per J.
///
/// Maxwell's mutual inductance of two loops over all pairs: `∫ 2(2h − u) M(u)/μ0 du`, on panels no longer
/// than their distance from its logarithm at u = ±i(1 − a).
fn mutual(a: f64, h: f64) -> f64 {
    let mut sum = 0.0;
    let mut from = 0.0_f64;
    while from < 2.0 * h {
        let to = (from + from.hypot(1.0 - a)).min(2.0 * h);
        for (x, w) in GAUSS_10 {
            let (u, weight) = moved(from, to, x, w);
            let k2 = 4.0 * a / ((1.0 + a).powi(2) + u * u);
            let kc2 = ((1.0 - a).powi(2) + u * u) / ((1.0 + a).powi(2) + u * u);
            let e = complete(kc2.sqrt(), k2);
            sum += weight * 2.0 * (2.0 * h - u) * a.sqrt() * k2 * k2.sqrt() * e.s * e.k;
        }
        from = to;
    }
    sum
}
