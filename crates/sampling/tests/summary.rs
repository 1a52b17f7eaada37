//! Sums without rounding, and summaries that any shards merge to.

use proptest::prelude::*;
use reedmace_sampling::{ExactSum, Histogram, Moments, SamplingError, Sobol, Summary};

fn sum(numbers: &[f64]) -> ExactSum {
    let mut sum = ExactSum::default();
    numbers.iter().for_each(|x| sum.add(*x));
    sum
}

/// Sums whose every rounding is known.
#[test]
fn prop_known_sums() {
    assert_eq!(sum(&[]).value(), 0.0);
    assert_eq!(sum(&[1e308, 1.0, -1e308]).value(), 1.0);
    assert_eq!(sum(&[1.0, 2f64.powi(-53)]).value(), 1.0, "a tie goes to the even one");
    assert_eq!(sum(&[1.0, 2f64.powi(-53), 5e-324]).value(), 1.0 + f64::EPSILON);
    assert_eq!(sum(&[-1.0, -(2f64.powi(-53)), -5e-324]).value(), -1.0 - f64::EPSILON);
    assert_eq!(sum(&[5e-324, 5e-324]).value(), 1e-323);
    assert_eq!(sum(&[f64::MAX, f64::MAX]).value(), f64::INFINITY);
    assert_eq!(sum(&[f64::MAX, f64::MAX, -f64::MAX]).value(), f64::MAX);
    assert_eq!(sum(&[0.1; 10]).value(), 1.0);
    assert_eq!(sum(&[0.1, 0.2, -0.3]).value(), 2f64.powi(-55));
}

proptest! {
    /// Products and squares of sums are what whole numbers say they are.
    #[test]
    fn prop_products_are_exact(
        terms in prop::collection::vec((-1i64 << 52..1i64 << 52, -1i64 << 52..1i64 << 52), 1..40),
        scale in -400i32..400,
    ) {
        let by = |n: i64| n as f64 * 2f64.powi(scale);
        let mut products = ExactSum::default();
        let mut whole = 0i128;
        for (a, b) in &terms {
            products.add_product(by(*a), *b as f64);
            whole += i128::from(*a) * i128::from(*b);
        }
        prop_assert_eq!(products.value(), whole as f64 * 2f64.powi(scale));
        let total: i128 = terms.iter().map(|(a, _)| i128::from(*a)).sum();
        let own = sum(&terms.iter().map(|(a, _)| by(*a)).collect::<Vec<_>>());
        prop_assert_eq!(own.times_count(7).value(), (7 * total) as f64 * 2f64.powi(scale));
        let mut left = own.times(&own);
        left.subtract_sum(&own.times(&own));
        prop_assert_eq!(left, ExactSum::default());
    }

    /// Any order of any numbers is one sum, and it survives being written and read.
    #[test]
    fn prop_order_does_not_matter(
        numbers in prop::collection::vec(prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL
            | prop::num::f64::ZERO, 0..60),
        turn in 0usize..60,
    ) {
        let one = sum(&numbers);
        let mut turned = numbers.clone();
        turned.rotate_left(turn.min(numbers.len()));
        turned.reverse();
        let (left, right) = turned.split_at(turned.len() / 3);
        let mut other = sum(right);
        other.add_sum(&sum(left));
        prop_assert_eq!(one.value().to_bits(), other.value().to_bits());
        prop_assert_eq!(&one, &other);
        let text = serde_json::to_string(&one).expect("writes");
        prop_assert_eq!(&text, &serde_json::to_string(&other).expect("writes"));
        prop_assert_eq!(serde_json::from_str::<ExactSum>(&text).expect("reads"), one);
    }
}

/// Variance of values that differ in their last digits only, which a plain sum of squares loses.
#[test]
fn prop_variance_keeps_its_digits() {
    let step = 2f64.powi(-40);
    let mut moments = Moments::default();
    (0..1000).for_each(|k| moments.put(1.0 + f64::from(k) * step));
    let expected = 1000.0 * 1001.0 / 12.0 * step * step;
    assert!((moments.variance().expect("values") / expected - 1.0).abs() < 4e-16);
    assert_eq!(Moments::default().variance(), None);
    assert_eq!(Moments::default().mean(), None);
}

/// A stack of lengths: its mean is the sum of means, its variance the sum of variances.
#[test]
fn prop_linear_stack() {
    let weights = [1.0, -1.0, 2.0, 0.5, -3.0, 0.25, 4.0, 1.5];
    let units = 1 << 16;
    let points = Sobol::new(4, weights.len()).expect("eight");
    let mut block = vec![0.0; weights.len() * units];
    points.fill(0, &mut block);
    let mut summary = Summary::new(-20.0, 20.0, 4000).expect("in order");
    for (unit, u) in block.chunks_exact(weights.len()).enumerate() {
        summary.put(unit as u64, u.iter().zip(weights).map(|(u, w)| w * (u - 0.5)).sum());
    }
    let variance = weights.iter().map(|w| w * w).sum::<f64>() / 12.0;
    let moments = summary.moments();
    // A net of 2^16 points integrates smooth figures to about n^-1.5; measured 1e-9 and 3e-8.
    assert!(moments.mean().expect("values").abs() < 1e-7, "{:?}", moments.mean());
    let error = moments.variance().expect("values") / variance - 1.0 - 1.0 / (units as f64 - 1.0);
    assert!(error.abs() < 1e-6, "{error}");
    let median = summary.quantile(0.5).expect("values");
    assert!(median.low <= median.value && median.value <= median.high);
    assert!((median.high - median.low - 0.01).abs() < 1e-9, "one bin");
    assert!(median.value.abs() < 0.01);
}

fn figure(unit: u64) -> f64 {
    let u = Sobol::new(1, 2).expect("two").point(unit);
    if u[1] < 0.1 { f64::NAN } else { (40.0 * u[0]).floor() / 10.0 - 1.0 + u[1] * 1e-9 }
}

fn gathered(units: impl Iterator<Item = u64>) -> Summary {
    let mut summary = Summary::new(0.0, 2.0, 64).expect("in order");
    units.for_each(|unit| summary.put(unit, figure(unit)));
    summary
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    /// Shards of any size merged in any order are the whole, to the last bit.
    #[test]
    fn prop_shards_merge_to_the_same_bits(
        mut cuts in prop::collection::vec(0u64..500, 0..8),
        order: u64,
    ) {
        cuts.extend([0, 500]);
        cuts.sort_unstable();
        let mut shards: Vec<Summary> = cuts.windows(2).map(|w| gathered(w[0]..w[1])).collect();
        let by = |k: usize| (k as u64 + 1).wrapping_mul(order | 1) >> 7;
        let mut places: Vec<usize> = (0..shards.len()).collect();
        places.sort_by_key(|k| by(*k));
        let mut merged = gathered(0..0);
        for place in places {
            merged.merge(&shards[place]).expect("alike");
        }
        shards.reverse();
        let whole = serde_json::to_string(&gathered(0..500)).expect("writes");
        prop_assert_eq!(&whole, &serde_json::to_string(&merged).expect("writes"));
        let read: Summary = serde_json::from_str(&whole).expect("reads");
        prop_assert_eq!(&read, &merged);
    }
}

/// Quantiles hold the order statistic between their limits, also beyond the bins.
#[test]
fn prop_quantiles_enclose_the_values() {
    let summary = gathered(0..2000);
    let mut values: Vec<f64> = (0..2000).map(figure).filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    assert_eq!(summary.count(), values.len() as u64);
    assert_eq!(summary.absent(), 2000 - values.len() as u64);
    for k in 0..=100 {
        let share = f64::from(k) / 100.0;
        let rank = ((share * values.len() as f64).ceil() as usize).max(1);
        let q = summary.quantile(share).expect("values");
        let value = values[rank - 1];
        assert!(q.low <= value && value <= q.high, "{share}: {q:?} {value}");
        assert!(q.low <= q.value && q.value <= q.high);
    }
    let least = summary.least().expect("values");
    let first = (0..2000).find(|u| figure(*u) == values[0]);
    assert_eq!((least.value, Some(least.unit)), (values[0], first));
    assert_eq!(summary.greatest().expect("values").value, values[values.len() - 1]);
    assert_eq!(gathered(0..0).quantile(0.5), None);
}

#[test]
fn prop_edges_decide() {
    let mut h = Histogram::new(0.1, 0.7, 6).expect("in order");
    for k in 0..=6 {
        h.put(h.edge(k));
    }
    assert_eq!(h.bins(), [1, 1, 1, 1, 1, 2]);
    h.put(0.1f64.next_down());
    h.put(0.7f64.next_up());
    h.put(f64::NAN);
    assert_eq!((h.below(), h.above(), h.bins().iter().sum::<u64>()), (1, 1, 7));
    for bad in [(1.0, 1.0, 3), (0.0, f64::NAN, 3), (0.0, 1.0, 0), (0.0, f64::INFINITY, 2)] {
        assert!(Histogram::new(bad.0, bad.1, bad.2).is_err(), "{bad:?}");
    }
    let other = Histogram::new(0.1, 0.7, 7).expect("in order");
    assert_eq!(h.merge(&other), Err(SamplingError::Unlike));
}
