//! The incomplete beta function and its inverse, for counts from one to 10¹⁵.
//!
//! The one of `statrs` stops after 140 terms, which is too few beyond some thousand counts, and its
//! inverse need not come to an end there.

use crate::normal_quantile;
use statrs::function::gamma::ln_gamma;

/// With both parameters above this, [`closed_form`] serves.
const MANY: f64 = 1e4;

/// Share of a beta distribution with parameters `a`, `b` (> 0) below the x whose log-odds
/// `ln(x / (1 − x))` are given. Accuracy: 1e-9 of the smaller of it and its complement where that is
/// above 1e-300, `cross_beta`.
///
/// Source: continued fraction `[dlmf]` 8.17.22, by Lentz's method; the terms it takes grow as the root of
/// the lesser parameter.
pub(crate) fn below(a: f64, b: f64, log_odds: f64) -> f64 {
    let x = share_at(log_odds);
    if x < (a + 1.0) / (a + b + 2.0) { lower(a, b, log_odds) } else { 1.0 - lower(b, a, -log_odds) }
}

/// The share that log-odds stand for.
pub(crate) fn share_at(log_odds: f64) -> f64 {
    1.0 / (1.0 + (-log_odds).exp())
}

/// The log-odds of the x with a share `tail` (up to a half) of the beta distribution below it.
pub(crate) fn lower_quantile(a: f64, b: f64, tail: f64) -> f64 {
    if a.min(b) > MANY {
        return closed_form(a, b, -normal_quantile(tail));
    }
    // The smallest share that f64 can hold is at −745.
    let (mut low, mut high) = (-745.0f64, 745.0f64);
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return middle;
        }
        if below(a, b, middle) < tail {
            low = middle;
        } else {
            high = middle;
        }
    }
}

/// The same, `y` being the standard normal quantile of the tail with its sign changed, by
/// `[carter1947]`. Accuracy with both parameters above 10⁴: a tail of 0.025 is met to 1e-5 of
/// itself, `cross_beta`.
fn closed_form(a: f64, b: f64, y: f64) -> f64 {
    let curvature = (y * y - 3.0) / 6.0;
    let (s, t) = (1.0 / (2.0 * a - 1.0), 1.0 / (2.0 * b - 1.0));
    let h = 2.0 / (s + t);
    let w = y * (h + curvature).sqrt() / h - (t - s) * (curvature + 5.0 / 6.0 - 2.0 / (3.0 * h));
    (a / b).ln() - 2.0 * w
}

/// The continued fraction, for x below the middle of the distribution.
fn lower(a: f64, b: f64, log_odds: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let apart_from_zero = |v: f64| if v.abs() < TINY { TINY } else { v };
    let x = share_at(log_odds);
    let ln_x = -(-log_odds).exp().ln_1p();
    let ln_y = -log_odds.exp().ln_1p();
    let front = (a * ln_x + b * ln_y - ln_beta(a, b)).exp() / a;
    let mut c = 1.0;
    let mut d = 1.0 / apart_from_zero(1.0 - (a + b) * x / (a + 1.0));
    let mut fraction = d;
    let mut m = 1.0;
    loop {
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let mut factor = 1.0;
        for coefficient in [even, odd] {
            d = 1.0 / apart_from_zero(1.0 + coefficient * d);
            c = apart_from_zero(1.0 + coefficient / c);
            factor *= c * d;
        }
        fraction *= factor;
        // It has settled, or never will: some hundred times the root of the lesser parameter.
        if (factor - 1.0).abs() < 4.0 * f64::EPSILON || m > 1e7 {
            return front * fraction;
        }
        m += 1.0;
    }
}

/// ln B(a, b) = ln Γ(a) + ln Γ(b) − ln Γ(a + b), without losing the digits that the last two share.
///
/// Source: Stirling's series, `[dlmf]` 5.11.1, for the greater parameter from 10 on.
fn ln_beta(a: f64, b: f64) -> f64 {
    let (a, b) = (a.min(b), a.max(b));
    if b < 10.0 {
        return ln_gamma(a) + ln_gamma(b) - ln_gamma(a + b);
    }
    let series = |z: f64| {
        let w = 1.0 / (z * z);
        (1.0 / 12.0 - w * (1.0 / 360.0 - w * (1.0 / 1260.0 - w / 1680.0))) / z
    };
    let sum = a + b;
    ln_gamma(a) - (b - 0.5) * (a / b).ln_1p() - a * sum.ln() + a + series(b) - series(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles and shares of SciPy 1.17, `tests/golden/beta.py`.
    #[test]
    fn cross_beta() {
        for line in include_str!("../tests/golden/beta.csv").lines().skip(1) {
            let n: Vec<f64> = line.split(',').map(|word| word.parse().expect("number")).collect();
            let [a, b, tail, quantile, share, log_odds] = n[..] else { panic!("{line}") };
            let x = share_at(lower_quantile(a, b, tail));
            // error of the quantile, in deviations of the distribution
            let deviation = (a * b / (a + b + 1.0)).sqrt() / (a + b);
            let error = (x - quantile).abs() / deviation.min(quantile);
            assert!(error < if a.min(b) > MANY { 1e-5 } else { 1e-8 }, "{line}: {x} {error}");
            let error = (below(a, b, log_odds) / share - 1.0).abs();
            assert!(error < 1e-9, "{line}: {error}");
        }
    }
}
