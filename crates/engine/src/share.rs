//! The share of units that meet each demand: units sampled within tolerance, evaluated exactly.

use crate::answer::Share;
use crate::error::EngineError;
use crate::outcome::standings;
use crate::quantity::{Level, Unit};
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::spread::{Evaluator, Model};
use rayon::prelude::*;
use statrs::distribution::{Beta, ContinuousCDF};

/// Samples units `0..count` and counts for each demand those that meet it.
///
/// Unit `i` is a pure function of `(seed, i)`, so the answer does not depend on the order or number
/// of threads.
pub(crate) fn shares(
    workshop: &Workshop,
    nominal: &Scene,
    count: u64,
    seed: u64,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Vec<Share>, EngineError> {
    let design = &workshop.design;
    let model = Model::new(workshop, nominal)?;
    let met: Vec<Vec<bool>> = (0..count)
        .into_par_iter()
        .map_init(
            || Evaluator::new(workshop, &model),
            |evaluator, i| {
                let unit = unit(seed, i, workshop.variables.len());
                let walked = evaluator.exact(&workshop.values(&unit))?;
                progress(i, count);
                let demands = standings(design, &walked.courses, walked.range);
                Ok(demands.iter().map(|d| d.met).collect())
            },
        )
        .collect::<Result<_, EngineError>>()?;
    let share = |d: usize| {
        let good = met.iter().filter(|m| m[d]).count() as u64;
        let [low, high] = clopper_pearson(good, count);
        Share { met: good, of: count, low, high }
    };
    Ok((0..design.demands.len()).map(share).collect())
}

/// Unit `i` of a seed: one independent quantile per variable.
pub(crate) fn unit(seed: u64, i: u64, variables: usize) -> Unit {
    (0..variables as u64).map(|v| Level::Quantile(uniform(seed, i, v))).collect()
}

/// A number in (0, 1) that is a pure function of its three arguments: three rounds of the SplitMix64
/// finalizer `[steele2014]`.
fn uniform(seed: u64, i: u64, v: u64) -> f64 {
    let mix = |mut z: u64| {
        z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    };
    let bits = mix(mix(mix(seed) ^ i) ^ v) >> 11;
    (bits as f64 + 0.5) / (1u64 << 53) as f64
}

/// Two-sided 95 % interval of a proportion, exact `[clopper1934]`.
fn clopper_pearson(good: u64, of: u64) -> [f64; 2] {
    let (k, n) = (good as f64, of as f64);
    let quantile = |a: f64, b: f64, p: f64| {
        Beta::new(a, b).expect("both parameters are positive").inverse_cdf(p)
    };
    let low = if good == 0 { 0.0 } else { quantile(k, n - k + 1.0, 0.025) };
    let high = if good == of { 1.0 } else { quantile(k + 1.0, n - k, 0.975) };
    [low, high]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 7 of 50: (0.0581917, 0.2673960), printed in the documentation of SciPy's `binomtest`; the
    /// others computed with beta quantiles of SciPy 1.17.
    #[test]
    fn val_clopper_pearson() {
        for (k, n, low, high) in [
            (7, 50, 0.058_191_7, 0.267_396_0),
            (0, 10, 0.0, 0.308_497_1),
            (1, 20, 0.001_265_1, 0.248_732_8),
            (3, 100, 0.006_230_0, 0.085_176_1),
            (682, 925, 0.707_668_3, 0.765_406_6),
        ] {
            let [a, b] = clopper_pearson(k, n);
            assert!((a - low).abs() < 1e-6 && (b - high).abs() < 1e-6, "{k}/{n}: {a} {b}");
        }
        assert_eq!(clopper_pearson(20, 20)[1], 1.0);
    }

    #[test]
    fn prop_uniform_is_even() {
        let n = 40_000;
        let mean = (0..n).map(|i| uniform(7, i, 3)).sum::<f64>() / n as f64;
        let below = (0..n).filter(|&i| uniform(7, i, 4) < 0.1).count() as f64 / n as f64;
        // four standard errors
        assert!((mean - 0.5).abs() < 4.0 * (1.0 / 12.0f64).sqrt() / (n as f64).sqrt(), "{mean}");
        assert!((below - 0.1).abs() < 4.0 * 0.3 / (n as f64).sqrt(), "{below}");
    }
}
