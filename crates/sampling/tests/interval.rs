//! Intervals of shares, how often they hold, and how many units they need.

use proptest::prelude::*;
use reedmace_sampling::{
    Capability, REPLICATES, SamplingError, Sobol, Tally, clopper_pearson, ppm_beyond,
    units_for_claim, units_for_width,
};

/// 7 of 50: (0.0581917, 0.2673960), printed in the documentation of SciPy's `binomtest`; the others
/// computed with beta quantiles of SciPy 1.17.
#[test]
fn val_clopper_pearson() {
    for (k, n, low, high) in [
        (7, 50, 0.058_191_7, 0.267_396_0),
        (0, 10, 0.0, 0.308_497_1),
        (1, 20, 0.001_265_1, 0.248_732_8),
        (3, 100, 0.006_230_0, 0.085_176_1),
        (682, 925, 0.707_668_3, 0.765_406_6),
    ] {
        let i = clopper_pearson(k, n, 0.95);
        assert!((i.low - low).abs() < 1e-6 && (i.high - high).abs() < 1e-6, "{k}/{n}: {i:?}");
    }
    assert_eq!(clopper_pearson(20, 20, 0.95).high, 1.0);
    let nothing = clopper_pearson(0, 0, 0.95);
    assert_eq!((nothing.low, nothing.high), (0.0, 1.0));
    // still an interval where units are many: 3.689 over the number, by the series of the logarithm
    let many = clopper_pearson(0, 10_000_000_000, 0.95).high;
    assert!((many * 1e10 / 3.688_879_454 - 1.0).abs() < 1e-6, "{many}");
}

/// A figure of a unit, and the quantity of it below which the wanted share of all units lies.
struct Figure {
    name: &'static str,
    dimensions: usize,
    of: fn(&[f64]) -> f64,
}

const FIGURES: [Figure; 5] = [
    Figure { name: "one quantity", dimensions: 1, of: |u| u[0] },
    Figure { name: "a sum of two", dimensions: 2, of: |u| u[0] + u[1] },
    Figure { name: "a sum of eight", dimensions: 8, of: |u| u.iter().sum() },
    Figure {
        name: "the worst of three",
        dimensions: 3,
        of: |u| u.iter().copied().fold(0.0, f64::max),
    },
    Figure { name: "stripes", dimensions: 2, of: |u| (7.3 * u[0] + 3.1 * u[1]).fract() },
];

/// Of 1,000 studies of each kind, the interval at 95 % holds the true share in at least 94 % (the standard error
/// of that count is 0.7 %); and it is narrower than that of independent units where many units decide.
#[test]
fn prop_coverage() {
    let studies = 1000;
    for figure in &FIGURES {
        let all = 1 << 18;
        let mut values: Vec<f64> =
            units(9_999_999, figure.dimensions, all).map(|u| (figure.of)(&u)).collect();
        values.sort_by(f64::total_cmp);
        for (units_tried, share) in [(256, 0.5), (1024, 0.07), (4096, 0.002)] {
            let rank = (all as f64 * share) as usize;
            let (limit, truth) = (values[rank], rank as f64 / all as f64);
            let (mut held, mut width) = (0, 0.0);
            for seed in 0..studies {
                let mut tally = Tally::default();
                for (unit, u) in (0..).zip(units(seed, figure.dimensions, units_tried)) {
                    tally.put(unit, (figure.of)(&u) < limit);
                }
                let interval = tally.interval(0.95);
                let independent = clopper_pearson(tally.met(), tally.of(), 0.95);
                held += u32::from(interval.low <= truth && truth <= interval.high);
                width += (interval.high - interval.low) / (independent.high - independent.low);
            }
            let (held, width) = (f64::from(held) / studies as f64, width / studies as f64);
            println!("{:18} {units_tried:5} {share:6} {held:.4} {width:.3}", figure.name);
            assert!(held > 0.94, "{} {share}: {held}", figure.name);
            assert!(width < 1.15, "{} {share}: {width}", figure.name);
            if share == 0.5 && figure.name != "stripes" {
                assert!(width < 0.7, "{}: {width}", figure.name);
            }
        }
    }
}

fn units(seed: u64, dimensions: usize, count: usize) -> impl Iterator<Item = Vec<f64>> {
    let points = Sobol::replicated(seed, dimensions, REPLICATES).expect("few");
    let mut block = vec![0.0; dimensions * count];
    points.fill(0, &mut block);
    let units: Vec<Vec<f64>> = block.chunks_exact(dimensions).map(<[f64]>::to_vec).collect();
    units.into_iter()
}

/// Nothing fails, nothing is met, nothing is tried: what independent units would tell.
#[test]
fn prop_unanimous_units_tell_what_independent_ones_would() {
    let mut tally = Tally::default();
    assert_eq!((tally.interval(0.95).low, tally.interval(0.95).high), (0.0, 1.0));
    (0..1000).for_each(|unit| tally.put(unit, false));
    let interval = tally.interval(0.95);
    assert_eq!(interval.low, 0.0);
    let independent = clopper_pearson(0, 1000, 0.95).high;
    assert!(independent <= interval.high && interval.high < 1.002 * independent);
}

/// One failure in every replicate alike: their scatter is nil, the interval is not.
#[test]
fn prop_replicates_that_agree_by_chance_prove_little() {
    let mut tally = Tally::default();
    (0..1600).for_each(|unit| tally.put(unit, unit >= 16));
    assert_eq!((tally.met(), tally.of()), (1584, 1600));
    let interval = tally.interval(0.95);
    assert!((0.99 - interval.low - 3.689 / 1600.0).abs() < 1e-6, "{interval:?}");
}

proptest! {
    /// Shards add up in any order.
    #[test]
    fn prop_tallies_merge(cut in 0u64..300, seed: u64) {
        let met = |unit: u64| (unit ^ seed).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 62 > 0;
        let gathered = |units: std::ops::Range<u64>| {
            let mut tally = Tally::default();
            units.for_each(|unit| tally.put(unit, met(unit)));
            tally
        };
        let mut merged = gathered(cut..300);
        merged.merge(&gathered(0..cut)).expect("alike");
        prop_assert_eq!(merged, gathered(0..300));
    }
}

/// The rule of three and its kin: computed with binomial sums of SciPy 1.17.
#[test]
fn cross_units_for_a_claim() {
    assert_eq!(units_for_claim(1e-5, 0, 0.95), Some(299_572));
    assert_eq!(units_for_claim(0.01, 0, 0.9), Some(230));
    assert_eq!(units_for_claim(0.01, 1, 0.9), Some(388));
    assert_eq!(units_for_claim(0.01, 5, 0.95), Some(1049));
    assert_eq!(units_for_claim(0.0, 0, 0.95), None, "never can be claimed");
    for (failures, units) in [(0, 299_572), (3, units_for_claim(1e-5, 3, 0.95).expect("some"))] {
        // one-sided 95 % is the upper limit of two-sided 90 %
        assert!(clopper_pearson(failures, units, 0.9).high <= 1e-5 * (1.0 + 1e-9));
        assert!(clopper_pearson(failures, units - 1, 0.9).high > 1e-5);
    }
}

#[test]
fn prop_units_for_a_width_are_the_fewest() {
    for (share, width) in [(0.5, 0.01), (0.93, 0.002), (1.0, 1e-5), (0.001, 1e-4)] {
        let units = units_for_width(share, width, 0.95).expect("some");
        let at = |n: u64| {
            let i = clopper_pearson((share * n as f64).round() as u64, n, 0.95);
            i.high - i.low
        };
        assert!((at(units) / width - 1.0).abs() < 0.01, "{share}: {units} {}", at(units));
    }
    assert_eq!(units_for_width(0.5, 0.0, 0.95), None);
}

/// Upper limit 20, lower 8, mean 16, sigma 2: [ehandbook2012] 6.1.6 prints Cp 1.0, Cpk 0.6667, Cpl 1.3333, Cpu
/// 0.6667. Parts per million from normal tails of SciPy 1.17.
#[test]
fn val_capability() {
    let c = Capability::of(16.0, 2.0, Some(8.0), Some(20.0)).expect("limits");
    assert!((c.potential.expect("two limits") - 1.0).abs() < 1e-12);
    for (printed, ours) in [(1.3333, c.lower), (0.6667, c.upper), (0.6667, Some(c.actual))] {
        assert!((ours.expect("has it") - printed).abs() < 5e-5);
    }
    assert!(((c.ppm_below + c.ppm_above) / 22_781.8 - 1.0).abs() < 1e-5);
    for (cpk, ppm) in [(1.0, 1349.898), (4.0 / 3.0, 31.671_24), (5.0 / 3.0, 0.286_652)] {
        assert!((ppm_beyond(cpk) / ppm - 1.0).abs() < 1e-5, "{cpk}");
    }
    let one = Capability::of(16.0, 2.0, None, Some(20.0)).expect("a limit");
    assert_eq!((one.potential, one.lower, one.ppm_below), (None, None, 0.0));
    for (sigma, low, high) in
        [(0.0, Some(8.0), None), (2.0, None, None), (2.0, Some(9.0), Some(8.0))]
    {
        assert_eq!(Capability::of(16.0, sigma, low, high), Err(SamplingError::Limits));
    }
}
