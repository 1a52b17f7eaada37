//! Plain points against another library; nets, purity and variance of scrambled ones.

use proptest::prelude::*;
use reedmace_sampling::{Directions, MOST_DIMENSIONS, SamplingError, Sobol};

/// First 64 points and single ones to 2^20 in 40 of 1000 dimensions, 32 digits, as SciPy has them.
#[test]
fn cross_scipy_points() {
    let golden = include_str!("golden/sobol_points.csv");
    let mut lines = golden.lines();
    let dimensions: Vec<usize> = lines
        .next()
        .expect("a header")
        .split(',')
        .skip(1)
        .map(|word| word[1..].parse().expect("d and a number"))
        .collect();
    let directions = Directions::new(MOST_DIMENSIONS).expect("all of them");
    let mut compared = 0;
    for line in lines {
        let mut numbers = line.split(',').map(|word| word.parse::<u64>().expect("whole"));
        let point = directions.point(numbers.next().expect("an index"));
        for (dimension, golden) in dimensions.iter().zip(numbers) {
            assert_eq!(point[dimension - 1] >> 32, golden, "{line}");
            compared += 1;
        }
    }
    assert_eq!(compared, 78 * 40);
}

#[test]
fn prop_dimensions_are_checked() {
    let why = SamplingError::Dimensions { asked: 1001, most: 1000 };
    assert_eq!(Sobol::new(1, 1001).err(), Some(why));
    assert!(Sobol::new(1, 0).is_err());
    assert_eq!(Sobol::replicated(1, 2, 0).err(), Some(SamplingError::NoScramble));
    assert_eq!(Sobol::new(1, 1000).expect("all of them").point(0).len(), 1000);
}

/// Any 2^m points that start at a multiple of 2^m, also far beyond 2^32: one in each of 2^m equal
/// intervals of every dimension.
#[test]
fn prop_every_dimension_is_stratified() {
    let m = 8;
    let points = Sobol::new(11, MOST_DIMENSIONS).expect("all of them");
    for first in [0, 1 << m, 5 << 20, 77 << 33, 3 << 50] {
        let mut block = vec![0.0; MOST_DIMENSIONS << m];
        points.fill(first, &mut block);
        for d in 0..MOST_DIMENSIONS {
            let mut hit = [false; 1 << 8];
            for point in block.chunks_exact(MOST_DIMENSIONS) {
                hit[(point[d] * (1 << m) as f64) as usize] = true;
            }
            assert!(hit.iter().all(|h| *h), "dimension {d} from {first}");
        }
    }
}

/// In the first two dimensions every dyadic box of area 2^-m holds exactly one of 2^m points: quality
/// parameter 0, which scrambling keeps.
#[test]
fn prop_two_dimensions_are_a_perfect_net() {
    let m = 12;
    for seed in 0..20 {
        let points = Sobol::new(seed, 2).expect("two");
        for first in [0, 9 << m, 1 << 41] {
            let mut block = vec![0.0; 2 << m];
            points.fill(first, &mut block);
            for a in 0..=m {
                assert!(shares(&block, &[a, m - a]).iter().all(|&n| n == 1), "{seed} {first} {a}");
            }
        }
    }
}

/// In more dimensions, boxes hold what they hold of the plain points, but for their order.
#[test]
fn prop_boxes_hold_what_the_plain_net_gives_them() {
    let (m, dimensions) = (10, 5);
    let directions = Directions::new(dimensions).expect("five");
    let plain: Vec<f64> = (0..1 << m)
        .flat_map(|i| directions.point(i))
        .map(|digits| (digits >> 11) as f64 / (1u64 << 53) as f64)
        .collect();
    let mut block = vec![0.0; dimensions << m];
    Sobol::new(3, dimensions).expect("five").fill(0, &mut block);
    let mut boxes = 0;
    for shape in shapes(dimensions, m) {
        let [mut one, mut other] = [shares(&plain, &shape), shares(&block, &shape)];
        one.sort_unstable();
        other.sort_unstable();
        assert_eq!(one, other, "{shape:?}");
        boxes += 1;
    }
    assert_eq!(boxes, 1001);
}

/// How many points lie in each dyadic box with `shape[d]` halvings of dimension d.
fn shares(points: &[f64], shape: &[u32]) -> Vec<u32> {
    let mut shares = vec![0; 1 << shape.iter().sum::<u32>()];
    for point in points.chunks_exact(shape.len()) {
        let cell = point.iter().zip(shape).fold(0, |cell, (u, &halvings)| {
            let cells = 1 << halvings;
            cell * cells + (u * cells as f64) as usize
        });
        shares[cell] += 1;
    }
    shares
}

/// Every way to spend `halvings` on `dimensions`.
fn shapes(dimensions: usize, halvings: u32) -> Vec<Vec<u32>> {
    if dimensions == 1 {
        return vec![vec![halvings]];
    }
    let rest = |own| shapes(dimensions - 1, halvings - own).into_iter();
    (0..=halvings).flat_map(|own| rest(own).map(move |rest| [vec![own], rest].concat())).collect()
}

/// What a point's place within its own cell of the net tells is uniform and not tied to its neighbours'.
#[test]
fn prop_places_within_cells_are_random() {
    let m = 14;
    let points = Sobol::new(5, 3).expect("three");
    let mut block = vec![0.0; 3 << m];
    points.fill(0, &mut block);
    for d in 0..3 {
        let mut places = vec![0.0; 1 << m];
        for point in block.chunks_exact(3) {
            let scaled = point[d] * (1 << m) as f64;
            places[scaled as usize] = scaled.fract() - 0.5;
        }
        let n = places.len() as f64;
        let mean = places.iter().sum::<f64>() / n;
        let square = places.iter().map(|p| p * p).sum::<f64>() / n;
        // four standard errors of a uniform number, of its square, of a product of two
        assert!(mean.abs() < 4.0 * (1.0 / 12.0 / n).sqrt(), "{mean}");
        assert!((square - 1.0 / 12.0).abs() < 4.0 * (1.0 / 180.0 / n).sqrt(), "{square}");
        for lag in [1, 2, 3, 4, 5, 8, 64, 1024] {
            let product = places.iter().zip(&places[lag..]).map(|(a, b)| a * b).sum::<f64>() / n;
            assert!(product.abs() < 4.5 / 12.0 / n.sqrt(), "{d} {lag} {product}");
        }
    }
}

/// Owen's scrambling as it is defined: a random flip for each digit, kept for each beginning.
fn exactly_scrambled(seed: u64, d: u64, digits: u64) -> u64 {
    let mix = |z: u64| {
        let z = (z ^ (z >> 32)).wrapping_mul(0xd6e8_feb8_6659_fd93);
        let z = (z ^ (z >> 32)).wrapping_mul(0xd6e8_feb8_6659_fd93);
        z ^ (z >> 32)
    };
    let own = mix(mix(seed ^ 0x1234_5678_9abc_def1) ^ d);
    let flips = (0..64).fold(0, |flips, digit| {
        let before = if digit == 0 { 0 } else { digits >> (64 - digit) };
        flips << 1 | mix(own ^ mix(before ^ (digit as u64) << 57)) >> 40 & 1
    });
    digits ^ flips
}

/// Mean over 2^m points, and what is meant by smooth, kinked and cut.
fn means(points: impl Fn(u64) -> Vec<f64>, m: u32) -> [f64; 3] {
    let n = 1u64 << m;
    let mut sums = [0.0; 3];
    for i in 0..n {
        let u = points(i);
        let sum: f64 = u.iter().sum();
        sums[0] += u.iter().map(|u| (u - 0.3).exp()).product::<f64>();
        sums[1] += (sum - 1.4).abs();
        sums[2] += f64::from(sum < 1.4);
    }
    sums.map(|s| s / n as f64)
}

fn variance(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (values.len() - 1) as f64
}

/// The variance of an average is that of exact nested scrambling, and falls far faster than that of
/// independent units: by 2^3 a doubling for the smooth figure, by 2 only for those.
#[test]
fn cross_variance_is_that_of_exact_scrambling() {
    let seeds = 400;
    let directions = Directions::new(3).expect("three");
    let of = |m: u32| -> [[f64; 3]; 2] {
        let all: Vec<[[f64; 3]; 2]> = (0..seeds)
            .map(|seed| {
                let ours = Sobol::new(seed, 3).expect("three");
                let exact = |i| {
                    let scramble = |(d, x)| exactly_scrambled(seed, d, x);
                    let point = (0..).zip(directions.point(i)).map(scramble);
                    point.map(|x| ((x >> 12) as f64 + 0.5) / (1u64 << 52) as f64).collect()
                };
                [means(|i| ours.point(i), m), means(exact, m)]
            })
            .collect();
        std::array::from_fn(|way| {
            std::array::from_fn(|f| variance(&all.iter().map(|a| a[way][f]).collect::<Vec<_>>()))
        })
    };
    let variances = [4, 7, 10].map(of);
    for (m, [ours, exact]) in [4, 7, 10].into_iter().zip(variances) {
        for f in 0..3 {
            // ratio of two variances of 400 each: within a factor 1.48 in 99.99 % if they are normal
            let ratio = ours[f] / exact[f];
            assert!((1.0 / 1.5..1.5).contains(&ratio), "2^{m} points, figure {f}: {ratio}");
        }
    }
    let fall = |f: usize| (variances[0][0][f] / variances[2][0][f]).log2() / 6.0;
    assert!(fall(0) > 2.5, "smooth {}", fall(0));
    assert!(fall(1) > 2.0, "kinked {}", fall(1));
    assert!(fall(2) > 1.25, "cut {}", fall(2));
}

proptest! {
    /// However a stretch of units is cut, every unit is the same to the last bit.
    #[test]
    fn prop_units_do_not_depend_on_blocks(
        seed: u64,
        first in 0u64..1 << 60,
        dimensions in 1usize..40,
        scrambles in 1usize..20,
        cut in 0usize..50,
    ) {
        let points = Sobol::replicated(seed, dimensions, scrambles).expect("in range");
        let mut whole = vec![0.0; 50 * dimensions];
        points.fill(first, &mut whole);
        let mut parts = vec![0.0; 50 * dimensions];
        let (left, right) = parts.split_at_mut(cut * dimensions);
        points.fill(first, left);
        points.fill(first + cut as u64, right);
        prop_assert_eq!(&whole, &parts);
        let again = Sobol::replicated(seed, dimensions, scrambles).expect("in range");
        prop_assert_eq!(&whole[..dimensions], &again.point(first)[..]);
        prop_assert!(whole.iter().all(|u| 0.0 < *u && *u < 1.0));
        // fewer dimensions are the first of more
        let fewer = Sobol::replicated(seed, 1, scrambles).expect("in range").point(first);
        prop_assert_eq!(fewer[0], whole[0]);
    }
}

/// Replicates are single scrambles in turn, and unlike one another.
#[test]
fn prop_replicates_take_turns() {
    let points = Sobol::replicated(9, 4, 16).expect("few");
    let single = Sobol::new(9, 4).expect("few");
    for index in [0, 1, 77, 1 << 45] {
        assert_eq!(points.point(16 * index), single.point(index));
        assert_ne!(points.point(16 * index + 1), single.point(index));
    }
}

/// The ends of what can be numbered.
#[test]
fn prop_the_last_units_can_be_had() {
    let points = Sobol::new(9, 4).expect("few");
    let mut block = [0.0; 8];
    points.fill(u64::MAX - 1, &mut block);
    assert_eq!(points.point(u64::MAX), block[4..]);
    assert_ne!(block[..4], block[4..]);
}
