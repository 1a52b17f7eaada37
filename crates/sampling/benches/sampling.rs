//! What a study costs beside the figures themselves.
//!
//! References in the same run: the plain net, to show the cost of scrambling; the inverse error function of
//! another library beside our normal quantiles.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use reedmace_sampling::{
    Copula, Correlation, Directions, Drivers, Scheme, Sobol, Summary, Tally, clopper_pearson,
    normal_quantile,
};
use statrs::distribution::{ContinuousCDF, Normal};
use std::hint::black_box;

const UNITS: usize = 4096;

fn points(c: &mut Criterion) {
    let mut group = c.benchmark_group("points");
    for dimensions in [8, 30] {
        let mut block = vec![0.0; UNITS * dimensions];
        group.throughput(Throughput::Elements(block.len() as u64));
        for scrambles in [1, 16] {
            let points = Sobol::replicated(1, dimensions, scrambles).expect("few dimensions");
            group.bench_function(format!("{dimensions} coordinates, {scrambles} scrambles"), |b| {
                b.iter(|| points.fill(black_box(1 << 40), &mut block));
            });
        }
    }
    let directions = Directions::new(8).expect("few dimensions");
    group.throughput(Throughput::Elements(8));
    group.bench_function("8 coordinates, plain, one point from afar", |b| {
        b.iter(|| directions.point(black_box((1 << 40) + 12_345)));
    });
    group.finish();
}

fn maps(c: &mut Criterion) {
    let mut shares = vec![0.0; UNITS];
    Sobol::new(1, 1).expect("one").fill(0, &mut shares);
    let mut group = c.benchmark_group("maps");
    group.throughput(Throughput::Elements(UNITS as u64));
    group.bench_function("a normal quantile", |b| {
        b.iter(|| shares.iter().map(|u| normal_quantile(*u)).sum::<f64>());
    });
    let normal = Normal::standard();
    group.bench_function("a normal quantile by statrs", |b| {
        b.iter(|| shares.iter().map(|u| normal.inverse_cdf(*u)).sum::<f64>());
    });
    let pair = Correlation { one: 0, other: 1, rank: 0.8 };
    let copula = Copula::gaussian(&[pair]).expect("one pair");
    group.throughput(Throughput::Elements(UNITS as u64 / 2));
    group.bench_function("two coordinates through a copula", |b| {
        let mut points = shares.clone();
        b.iter(|| points.chunks_exact_mut(2).for_each(|point| copula.apply(point)));
    });
    group.finish();
}

fn gathering(c: &mut Criterion) {
    let mut values = vec![0.0; UNITS];
    Sobol::new(1, 1).expect("one").fill(0, &mut values);
    let mut group = c.benchmark_group("gathering");
    group.throughput(Throughput::Elements(UNITS as u64));
    let mut summary = Summary::new(0.0, 2.0, 1000).expect("in order");
    group.bench_function("a figure into a summary", |b| {
        b.iter(|| (0..).zip(&values).for_each(|(unit, value)| summary.put(unit, *value)));
    });
    let mut tally = Tally::default();
    group.bench_function("a yes/no into a tally", |b| {
        b.iter(|| (0..).zip(&values).for_each(|(unit, value)| tally.put(unit, *value < 0.9)));
    });
    let scheme = Scheme::new(1, 8).expect("eight");
    let mut drivers = Drivers::new(scheme.drivers());
    group.throughput(Throughput::Elements((UNITS / scheme.points_of_row()) as u64));
    group.bench_function("a row of eight drivers", |b| {
        let rows = values.chunks_exact(scheme.points_of_row());
        b.iter(|| (0..).zip(rows.clone()).for_each(|(row, values)| drivers.put(row, values)));
    });
    group.finish();
    c.bench_function("interval of 997,000 in a million", |b| {
        b.iter(|| clopper_pearson(black_box(997_000), 1_000_000, 0.95));
    });
    c.bench_function("indices of eight drivers", |b| b.iter(|| drivers.indices()));
}

criterion_group!(benches, points, maps, gathering);
criterion_main!(benches);
