//! The thick winding: thin sheets integrated over the radius.
//!
//! No closed form is used: the sheet's is exact, and as a function of the sheet's radius it is smooth but
//! for the points ρ ± iu (u the heights over the two ends), where it has logarithms, and a jump across
//! ρ itself inside the winding. So the radius is cut at ρ and in geometric steps towards it, such that
//! no panel is longer than 1.7 times its distance from those points: there a 16-point Gauss rule errs by
//! 3.17^-32 = 1e-16.

use crate::cylinder::{RoundTensor, near_tensor};
use crate::quadrature::{GAUSS_16, moved};

/// Longest panel, in distances from the nearest singular point.
const LONGEST: f64 = 1.7;

/// Panels are not cut below this fraction of the winding's outer radius: what is left weighs nothing.
const SHORTEST: f64 = 1e-15;

/// The tensor of sheets of all radii from `inner` to `outer`, averaged: times
/// `μ0 N I/(2 half_length)` it gives B.
pub(crate) fn winding_tensor(
    inner: f64,
    outer: f64,
    half_length: f64,
    rho: f64,
    z: f64,
) -> RoundTensor {
    let height = (z.abs() - half_length).abs();
    let least = SHORTEST * outer;
    let mut sum = RoundTensor::default();
    let mut panel = |from: f64, to: f64| {
        for (x, w) in *GAUSS_16 {
            let (a, weight) = moved(from, to, x, w);
            sum = sum.plus(near_tensor(a, half_length, rho, z), weight / (outer - inner));
        }
    };
    // From ρ (or the end nearest it) to each end, panels growing with distance.
    for (sign, end) in [(-1.0, inner), (1.0, outer)] {
        let mut from = rho.clamp(inner, outer);
        while (end - from) * sign > 0.0 {
            let away = ((from - rho).abs().hypot(height)).max(least);
            let longest = LONGEST * away;
            let to = if (end - from).abs() <= longest { end } else { from + sign * longest };
            panel(from, to);
            from = to;
        }
    }
    sum
}
