//! Mixtures and copulas.

use reedmace_sampling::{Copula, Correlation, Mixture, SamplingError, Sobol};

fn block(dimensions: usize, units: usize) -> Vec<Vec<f64>> {
    let mut block = vec![0.0; dimensions * units];
    Sobol::new(8, dimensions).expect("few").fill(0, &mut block);
    block.chunks_exact(dimensions).map(<[f64]>::to_vec).collect()
}

/// Of points evenly spread, each component gets its share, evenly spread again.
#[test]
fn prop_mixture_shares_out() {
    let mixture = Mixture::new(&[2.0, 1.0, 5.0]).expect("positive");
    let mut counts = [0u32; 3];
    let mut sums = [0.0; 3];
    for u in block(1, 1 << 12) {
        let (component, within) = mixture.choose(u[0]);
        assert!(0.0 < within && within < 1.0);
        counts[component] += 1;
        sums[component] += within;
    }
    assert_eq!(counts, [1024, 512, 2560]);
    for (sum, count) in sums.iter().zip(counts) {
        assert!((sum / f64::from(count) - 0.5).abs() < 1e-3);
    }
    assert_eq!(mixture.choose(f64::EPSILON / 2.0).0, 0);
    let end = mixture.choose(1.0 - f64::EPSILON / 2.0);
    assert!(end.0 == 2 && end.1 < 1.0);
    for shares in [&[][..], &[1.0, 0.0], &[1.0, f64::NAN], &[f64::INFINITY]] {
        assert_eq!(Mixture::new(shares), Err(SamplingError::Shares));
    }
}

/// Rank correlations asked for are those found; each coordinate stays uniform, others stay as they are.
#[test]
fn prop_copula_has_the_rank_correlations() {
    let asked = [(1, 3, 0.7), (4, 1, -0.5), (4, 3, -0.2)];
    let list = asked.map(|(one, other, rank)| Correlation { one, other, rank });
    let copula = Copula::gaussian(&list).expect("compatible");
    let plain = block(5, 1 << 14);
    let mut bent = plain.clone();
    bent.iter_mut().for_each(|u| copula.apply(u));
    // Spearman's correlation of uniform coordinates is twelve times their covariance.
    let rank = |i: usize, j: usize| {
        let product = bent.iter().map(|u| (u[i] - 0.5) * (u[j] - 0.5)).sum::<f64>();
        12.0 * product / bent.len() as f64
    };
    for (one, other, asked) in asked {
        assert!((rank(one, other) - asked).abs() < 2e-3, "{one} {other} {}", rank(one, other));
    }
    for d in 0..5 {
        assert!((rank(d, d) - 1.0).abs() < 2e-3, "{d}");
        let mut sorted: Vec<f64> = bent.iter().map(|u| u[d]).collect();
        sorted.sort_by(f64::total_cmp);
        let even = |(k, u): (usize, &f64)| (u - (k as f64 + 0.5) / sorted.len() as f64).abs();
        assert!(sorted.iter().enumerate().map(even).fold(0.0, f64::max) < 0.01, "{d}");
    }
    for (plain, bent) in plain.iter().zip(&bent) {
        assert_eq!((plain[0], plain[1], plain[2]), (bent[0], bent[1], bent[2]));
    }
}

/// Correlations of one and of minus one tie coordinates to each other.
#[test]
fn prop_copula_ties_at_its_ends() {
    let copula = Copula::gaussian(&[
        Correlation { one: 0, other: 1, rank: 1.0 },
        Correlation { one: 0, other: 2, rank: -1.0 },
        Correlation { one: 1, other: 2, rank: -1.0 },
    ])
    .expect("compatible");
    for mut u in block(3, 100) {
        copula.apply(&mut u);
        assert!((u[0] - u[1]).abs() < 1e-9 && (u[0] + u[2] - 1.0).abs() < 1e-9, "{u:?}");
    }
}

#[test]
fn prop_impossible_correlations_are_refused() {
    let pair = |one, other, rank| Correlation { one, other, rank };
    let against = [pair(0, 1, 0.9), pair(1, 2, 0.9), pair(0, 2, -0.9)];
    assert_eq!(
        Copula::gaussian(&against).err(),
        Some(SamplingError::Incompatible { coordinate: 2 })
    );
    let tied = [pair(0, 1, 1.0), pair(1, 2, 0.5), pair(0, 2, 0.4)];
    assert_eq!(Copula::gaussian(&tied).err(), Some(SamplingError::Incompatible { coordinate: 2 }));
    for wrong in [
        vec![pair(3, 3, 0.5)],
        vec![pair(0, 1, 1.5)],
        vec![pair(0, 1, f64::NAN)],
        vec![pair(0, 1, 0.5), pair(1, 0, 0.5)],
    ] {
        assert!(matches!(Copula::gaussian(&wrong), Err(SamplingError::Correlation { .. })));
    }
}
