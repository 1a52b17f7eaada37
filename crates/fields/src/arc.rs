//! Panels and nodes for integrals over the angle round an axis, seen from a point off it.
//!
//! Seen from a point at distance ρ from the axis, integrands over a circle of radius a at height u are
//! smooth functions of the angle ψ from the point but for singular points at ψ = ±iη,
//! `cosh η = (a² + ρ² + u²)/(2aρ)`, and their images 2π on. Panels begin at the point's own direction and grow
//! so that the 16-point Gauss rule errs by less than 2.8^-32 = 5e-15 on each.

use std::f64::consts::{PI, TAU};

use crate::quadrature::GAUSS_16;

/// Nodes of a panel.
pub(crate) const NODES: usize = 16;

/// Half the sum of the axes' ratio of the ellipse free of singular points: (2.8 + 1/2.8)/2.
const ELLIPSE: f64 = 1.5786;

/// No panel is longer, rad: the rule must also integrate the plain harmonics.
const LONGEST: f64 = 1.6;

/// Panels need not resolve less than this.
const FINEST: f64 = 1e-15;

/// One panel's nodes: sine and cosine of half the angle ψ, and weight in radians.
pub(crate) struct Nodes {
    pub half_sine: [f64; NODES],
    pub half_cosine: [f64; NODES],
    pub weight: [f64; NODES],
}

impl Nodes {
    /// The same nodes moved on by `angle`.
    #[inline(always)]
    fn turned(mut self, angle: f64) -> Self {
        let (sine, cosine) = (0.5 * angle).sin_cos();
        for k in 0..NODES {
            let (s, c) = (self.half_sine[k], self.half_cosine[k]);
            self.half_sine[k] = s * cosine + c * sine;
            self.half_cosine[k] = c * cosine - s * sine;
        }
        self
    }
}

/// η from `apart2 = (a − ρ)² + u²` and `4aρ`, or somewhat less: `2 tanh(asinh …)` for `2 asinh …`.
#[inline(always)]
pub(crate) fn nearness(apart2: f64, four_a_rho: f64) -> f64 {
    2.0 * (apart2 / (apart2 + four_a_rho)).sqrt()
}

/// Calls `panel` with the nodes of every panel of [`from`, `to`], ψ from −2π to 2π, for singular points
/// at ±i`eta`.
#[inline(always)]
pub(crate) fn panels(from: f64, to: f64, eta: f64, mut panel: impl FnMut(&Nodes)) {
    let rule = &*GAUSS_16;
    // Often one panel will do, across the point's direction or all round its far side.
    let away = |singular: f64| {
        let (a, b) = (from - singular, to - singular);
        (a * a + eta * eta).sqrt() + (b * b + eta * eta).sqrt() >= ELLIPSE * (to - from)
    };
    if to - from <= LONGEST && away(0.0) && away(TAU) && away(-TAU) {
        let middle = 0.5 * (from + to);
        return panel(&nodes(rule, from - middle, to - middle, 1.0).turned(middle));
    }
    // Pieces between multiples of π: each has its singular point's direction at its even end.
    for piece in (from / PI).floor() as i64..(to / PI).ceil() as i64 {
        let (low, high) = (piece as f64 * PI, (piece + 1) as f64 * PI);
        let (start, end) = (from.max(low), to.min(high));
        let (mut t, end, side) = if piece % 2 == 0 {
            (start - low, end - low, 1.0)
        } else {
            (high - end, high - start, -1.0)
        };
        while t < end {
            let g = (t * t + eta * eta).sqrt().max(FINEST);
            let longest = 2.0 * (ELLIPSE * g + t) / (ELLIPSE * ELLIPSE - 1.0);
            let next = if longest.min(LONGEST) >= end - t { end } else { t + longest.min(LONGEST) };
            panel(&nodes(rule, t, next, side));
            t = next;
        }
    }
}

#[inline(always)]
fn nodes(rule: &[(f64, f64); NODES], from: f64, to: f64, side: f64) -> Nodes {
    let mut n = Nodes { half_sine: [0.0; NODES], half_cosine: [0.0; NODES], weight: [0.0; NODES] };
    let half = 0.5 * (to - from);
    for (k, (x, w)) in rule.iter().enumerate() {
        let t = from + half * (1.0 + x);
        let (sine, cosine) = sin_cos(0.5 * t);
        n.half_sine[k] = side * sine;
        n.half_cosine[k] = cosine;
        n.weight[k] = half * w;
    }
    n
}

/// Sine and cosine on [−π/2, π/2] by Taylor's series: sine to 4e-16 of itself, cosine to 4e-16.
#[inline(always)]
fn sin_cos(x: f64) -> (f64, f64) {
    const fn reciprocal_factorials(first: usize) -> [f64; 12] {
        let mut c = [0.0; 12];
        let (mut k, mut factorial) = (0, 1.0);
        while k < 12 {
            c[k] = factorial;
            let n = (first + 2 * k) as f64;
            factorial /= -((n + 1.0) * (n + 2.0));
            k += 1;
        }
        c
    }
    const SINE: [f64; 12] = reciprocal_factorials(1);
    const COSINE: [f64; 12] = reciprocal_factorials(0);
    let z = x * x;
    (x * crate::math::polynomial(&SINE, z), crate::math::polynomial(&COSINE, z))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_sin_cos() {
        for k in 0..=1000 {
            let x = 1e-3 * f64::from(k) * PI / 2.0;
            let (s, c) = sin_cos(x);
            assert!((s - x.sin()).abs() <= 5e-16 * x && (c - x.cos()).abs() < 5e-16, "{x}");
        }
    }

    /// Weights add up to the arc wherever it lies, and 1/(cosh η − cos ψ) integrates to 2π/sinh η round
    /// the circle, from −2π to 2π by halves.
    #[test]
    fn cross_poisson_integral() {
        for eta in [1e-6_f64, 0.01, 0.3, 2.0] {
            let integral = |from: f64, to: f64| {
                let (mut sum, mut arc) = (0.0, 0.0);
                panels(from, to, eta, |n| {
                    for k in 0..NODES {
                        // cosh η − cos ψ without cancellation.
                        let below = 2.0 * (0.5 * eta).sinh().powi(2) + 2.0 * n.half_sine[k].powi(2);
                        sum += n.weight[k] / below;
                        arc += n.weight[k];
                    }
                });
                assert!((arc - (to - from)).abs() < 1e-13, "{from} {to} {arc}");
                sum
            };
            let want = TAU / eta.sinh();
            for start in [-TAU, -5.0, -PI, -1.0, 0.0] {
                let got = integral(start, start + TAU);
                assert!((got / want - 1.0).abs() < 1e-13, "{eta} {start}: {got} {want}");
            }
        }
    }
}
