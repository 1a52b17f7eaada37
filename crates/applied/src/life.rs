//! Life of contacts: Weibull's distribution of what failed and what still runs.

use statrs::distribution::{ChiSquared, ContinuousCDF};

/// A unit on test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Operations (or hours) that it has done, above 0.
    pub life: f64,
    /// It failed then; else it was taken off the test in good order.
    pub failed: bool,
}

/// A Weibull distribution: the share `exp(−(t/scale)^shape)` outlives `t`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    /// Shape β: below 1 early failures, above 1 wear.
    pub shape: f64,
    /// Scale η, the life that 36.8 % outlive.
    pub scale: f64,
}

/// Why no distribution can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LifeError {
    /// A life that is not a number above 0.
    #[error("a life is not a number above 0")]
    NotALife,
    /// Fewer than two different lives at which units failed.
    #[error("fewer than two different lives at which units failed")]
    TooFewFailures,
}

/// A value and the bounds on either side of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounded {
    /// Likeliest value.
    pub value: f64,
    /// Lower bound.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
}

impl Weibull {
    /// Life that a share outlives all but: 0.1 gives B10.
    pub fn life(self, failed_share: f64) -> f64 {
        self.scale * (-(-failed_share).ln_1p()).powf(1.0 / self.shape)
    }

    /// Share that has failed at a life.
    pub fn failed_share(self, life: f64) -> f64 {
        -(-(life / self.scale).powf(self.shape)).exp_m1()
    }

    /// Mean life.
    pub fn mean(self) -> f64 {
        self.scale * statrs::function::gamma::gamma(1.0 + 1.0 / self.shape)
    }
}

/// A Weibull distribution fitted to a test.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The likeliest distribution.
    pub weibull: Weibull,
    /// Its log likelihood.
    pub log_likelihood: f64,
    /// Units that failed.
    pub failures: usize,
    /// Logarithms of the lives, from a middle one, so that no power runs over.
    logs: Vec<f64>,
    failed: Vec<bool>,
    middle: f64,
}

impl Fit {
    /// The likeliest Weibull distribution of units that failed or still ran when the test ended for them.
    ///
    /// The shape solves `Σ t^β ln t / Σ t^β − 1/β = mean of ln t over failures`, sums over all units; the scale is
    /// `(Σ t^β / r)^(1/β)`, r the failures. Source: `[meeker1998]` chapter 8. The equation rises with β: it is
    /// halved to rounding.
    ///
    /// # Errors
    /// [`LifeError`] where fewer than two different lives ended in a failure, or a life is no number above 0.
    pub fn new(units: &[Unit]) -> Result<Self, LifeError> {
        if units.iter().any(|unit| !(unit.life > 0.0 && unit.life.is_finite())) {
            return Err(LifeError::NotALife);
        }
        let failed: Vec<f64> = units.iter().filter(|u| u.failed).map(|u| u.life).collect();
        if failed.iter().all(|life| *life == failed[0]) {
            return Err(LifeError::TooFewFailures);
        }
        let middle = units.iter().map(|u| u.life.ln()).sum::<f64>() / units.len() as f64;
        let mut fit = Self {
            weibull: Weibull { shape: 1.0, scale: 1.0 },
            log_likelihood: 0.0,
            failures: failed.len(),
            logs: units.iter().map(|u| u.life.ln() - middle).collect(),
            failed: units.iter().map(|u| u.failed).collect(),
            middle,
        };
        let mean = fit.failed_logs() / fit.failures as f64;
        let slope = |shape: f64| {
            let (weights, sum) = fit.weights(shape);
            let weighted: f64 = weights.iter().zip(&fit.logs).map(|(w, x)| w * x).sum();
            weighted / sum - 1.0 / shape - mean
        };
        let shape = halve(slope, 1.0);
        fit.weibull = Weibull { shape, scale: fit.likeliest_scale(shape) };
        fit.log_likelihood = fit.log_likelihood_of(fit.weibull);
        Ok(fit)
    }

    /// Log likelihood of any distribution with these units.
    pub fn log_likelihood_of(&self, weibull: Weibull) -> f64 {
        let Weibull { shape, scale } = weibull;
        let from = scale.ln() - self.middle;
        let units = self.logs.iter().zip(&self.failed);
        units
            .map(|(x, failed)| {
                let z = shape * (x - from);
                let density = if *failed { shape.ln() - x - self.middle + z } else { 0.0 };
                density - z.exp()
            })
            .sum()
    }

    /// The shape with two-sided bounds by the likelihood ratio.
    ///
    /// Bounds are where `2 (ℓ_most − ℓ)` of the likeliest distribution with that shape reaches the quantile of chi
    /// square with one degree of freedom. Source: `[meeker1998]` section 8.2.
    pub fn shape(&self, confidence: f64) -> Bounded {
        let along = |shape: f64| Weibull { shape, scale: self.likeliest_scale(shape) };
        self.bounds(self.weibull.shape, confidence, |shape| self.log_likelihood_of(along(shape)))
    }

    /// The life by which a share has failed, with two-sided bounds by the likelihood ratio: 0.1 gives B10.
    ///
    /// As [`Self::shape`], the likelihood along distributions through that life. Source: `[meeker1998]` section 8.3.
    pub fn life(&self, failed_share: f64, confidence: f64) -> Bounded {
        let k = -(-failed_share).ln_1p();
        let through = |life: f64| {
            // With η^β = t_p^β / k only the shape is free; its best solves r/β + Σ ln(t/t_p) = k Σ u^β ln u, u = t/t_p.
            let from = life.ln() - self.middle;
            let r = self.failures as f64;
            let logs = self.failed_logs() - r * from;
            let slope = |shape: f64| {
                let pulled: f64 = self
                    .logs
                    .iter()
                    .map(|x| (shape * (x - from)).exp() * (x - from))
                    .filter(|pull| pull.is_finite() || *pull > 0.0)
                    .sum();
                k * pulled - r / shape - logs
            };
            let shape = halve(slope, self.weibull.shape);
            self.log_likelihood_of(Weibull { shape, scale: life / k.powf(1.0 / shape) })
        };
        self.bounds(self.weibull.life(failed_share), confidence, through)
    }

    /// Where a profile has fallen by what the confidence allows, on either side of its top.
    fn bounds(&self, value: f64, confidence: f64, profile: impl Fn(f64) -> f64) -> Bounded {
        let allowed = 0.5 * chi_square(confidence, 1.0);
        let room = |x: f64| profile(x) - (self.log_likelihood - allowed);
        let side = |factor: f64| {
            let mut far = value * factor;
            // Profiles of lives fall for good; none is followed for more than 40 steps.
            for _ in 0..40 {
                if room(far) < 0.0 {
                    break;
                }
                far *= factor;
            }
            let (mut inside, mut outside) = (value, far);
            for _ in 0..100 {
                let at = (inside * outside).sqrt();
                if room(at) > 0.0 { inside = at } else { outside = at }
            }
            inside
        };
        Bounded { value, low: side(0.7), high: side(1.0 / 0.7) }
    }

    fn failed_logs(&self) -> f64 {
        self.logs.iter().zip(&self.failed).filter(|(_, failed)| **failed).map(|(x, _)| x).sum()
    }

    /// Powers of the lives over their greatest, and their sum.
    fn weights(&self, shape: f64) -> (Vec<f64>, f64) {
        let most = self.logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = self.logs.iter().map(|x| (shape * (x - most)).exp()).collect();
        let sum = weights.iter().sum();
        (weights, sum)
    }

    fn likeliest_scale(&self, shape: f64) -> f64 {
        let most = self.logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (_, sum) = self.weights(shape);
        (self.middle + most + (sum / self.failures as f64).ln() / shape).exp()
    }
}

/// Where a rising function of a positive number passes 0, from a start.
fn halve(rises: impl Fn(f64) -> f64, start: f64) -> f64 {
    let (mut low, mut high) = (start, start);
    for _ in 0..200 {
        if rises(low) <= 0.0 {
            break;
        }
        low *= 0.5;
    }
    for _ in 0..200 {
        if rises(high) >= 0.0 {
            break;
        }
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if rises(middle) < 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// The quantile of chi square.
fn chi_square(share: f64, freedom: f64) -> f64 {
    ChiSquared::new(freedom).map_or(f64::NAN, |chi| chi.inverse_cdf(share))
}

/// Mean time (or operations) between failures, with two-sided bounds, of a test that ended at a time.
///
/// `2 T / χ²(1 − α/2; 2 r + 2)` to `2 T / χ²(α/2; 2 r)`: failures at a constant rate, T all units' time together.
/// Source: `[ehandbook2012]` section 8.4.5.1. Without failures the value and the upper bound are infinite.
pub fn mtbf(total: f64, failures: u32, confidence: f64) -> Bounded {
    let r = f64::from(failures);
    let tail = 0.5 * (1.0 - confidence);
    let high = if failures == 0 { f64::INFINITY } else { 2.0 * total / chi_square(tail, 2.0 * r) };
    Bounded { value: total / r, low: 2.0 * total / chi_square(1.0 - tail, 2.0 * r + 2.0), high }
}

/// Mean time between failures that is exceeded with a confidence, one-sided, as [`mtbf`].
pub fn mtbf_at_least(total: f64, failures: u32, confidence: f64) -> f64 {
    2.0 * total / chi_square(confidence, 2.0 * f64::from(failures) + 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BEARINGS: [f64; 23] = [
        17.88, 28.92, 33.00, 41.52, 42.12, 45.60, 48.48, 51.84, 51.96, 54.12, 55.56, 67.80, 68.64,
        68.64, 68.88, 84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.40,
    ];

    fn failed(life: f64) -> Unit {
        Unit { life, failed: true }
    }

    fn censored_test() -> Vec<Unit> {
        let lives = [54.0, 187.0, 216.0, 240.0, 244.0, 335.0, 361.0, 373.0, 375.0, 386.0];
        let running = [Unit { life: 500.0, failed: false }; 10];
        lives.into_iter().map(failed).chain(running).collect()
    }

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// Ten failures and ten units taken off at 500 hours, `[ehandbook2012]` section 8.4.1.3: shape 1.7208, scale
    /// 606.5280, log likelihood −75.135, all digits printed.
    #[test]
    fn val_censored_test() {
        let fit = Fit::new(&censored_test()).expect("ten failures");
        close(fit.weibull.shape, 1.7208, 5e-5);
        close(fit.weibull.scale, 606.5280, 2e-6);
        assert!((fit.log_likelihood + 75.135).abs() < 5e-4, "{}", fit.log_likelihood);
    }

    /// Millions of turns of 23 ball bearings, `[lieblein1956]`: shape 2.102, scale 81.88 as published since; B10 and
    /// mean by our formulas beside.
    #[test]
    fn val_ball_bearings() {
        let fit = Fit::new(&BEARINGS.map(failed)).expect("all failed");
        assert!(
            (fit.weibull.shape - 2.102).abs() < 5e-4 && (fit.weibull.scale - 81.88).abs() < 5e-3
        );
        close(fit.log_likelihood, -113.691291, 1e-8);
        close(fit.weibull.life(0.1), 28.0694, 2e-6);
        close(fit.weibull.mean(), 72.5187, 2e-6);
        close(fit.weibull.failed_share(fit.weibull.life(0.1)), 0.1, 1e-12);
    }

    /// Profiles followed by a general minimizer, `tests/golden/weibull.py`.
    #[test]
    fn cross_likelihood_bounds() {
        for line in include_str!("../tests/golden/weibull.csv").lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |k: usize| -> f64 { cells[k].parse().expect("a number") };
            let units = match cells[0] {
                "bearings" => BEARINGS.map(failed).to_vec(),
                _ => censored_test(),
            };
            let fit = Fit::new(&units).expect("failures");
            let bounded = match cells[1] {
                "shape" => fit.shape(number(2)),
                _ => fit.life(0.1, number(2)),
            };
            for (k, found) in [bounded.value, bounded.low, bounded.high].into_iter().enumerate() {
                close(found, number(k + 3), 1e-6);
            }
        }
    }

    #[test]
    fn prop_a_test_must_have_failures() {
        let running = [Unit { life: 1e6, failed: false }; 5];
        assert_eq!(Fit::new(&running), Err(LifeError::TooFewFailures));
        assert_eq!(Fit::new(&[failed(1e6), failed(1e6)]), Err(LifeError::TooFewFailures));
        assert_eq!(Fit::new(&[failed(0.0), failed(1e6)]), Err(LifeError::NotALife));
    }

    /// The likeliest distribution scales with the lives, however large they are.
    #[test]
    fn prop_lives_in_other_units() {
        let small = Fit::new(&BEARINGS.map(failed)).expect("failures");
        let large = Fit::new(&BEARINGS.map(|life| failed(1e9 * life))).expect("failures");
        close(large.weibull.shape, small.weibull.shape, 1e-12);
        close(large.weibull.scale, 1e9 * small.weibull.scale, 1e-12);
        close(large.life(0.1, 0.9).low, 1e9 * small.life(0.1, 0.9).low, 1e-9);
    }

    /// Factors of chi square worked out beside: 800 h, 2 failures; and none.
    #[test]
    fn cross_mtbf() {
        let both = mtbf(800.0, 2, 0.9);
        close(both.low, 127.069, 5e-6);
        close(both.high, 2251.229, 5e-6);
        close(mtbf_at_least(800.0, 2, 0.9), 150.310, 5e-6);
        close(mtbf_at_least(1000.0, 0, 0.6), 1000.0 / 0.916291, 1e-6);
        close(mtbf_at_least(1000.0, 0, 0.9), 1000.0 / std::f64::consts::LN_10, 1e-12);
        assert_eq!(mtbf(1000.0, 0, 0.9).high, f64::INFINITY);
    }
}
