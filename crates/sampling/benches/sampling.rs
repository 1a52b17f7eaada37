//! What a study costs beside the figures themselves.
//!
//! The reference in the same run is the plain net: the cost of scrambling shows.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use reedmace_sampling::{Directions, Sobol};
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

criterion_group!(benches, points);
criterion_main!(benches);
