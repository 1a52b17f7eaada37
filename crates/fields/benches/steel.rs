//! Steel: building and factoring, the load of a magnet, the field of the charges.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use reedmace_fields::steel::{Steel, SteelBody, SteelShape};
use reedmace_fields::{Magnet, MagnetShape, Placed, Pose, Source, Vectors};

fn steel(c: &mut Criterion) {
    let plate = SteelBody {
        shape: SteelShape::Cuboid { half_size: [0.02, 0.02, 0.001] },
        permeability: 1000.0,
        world_from_body: Pose::IDENTITY,
    };
    let shape = MagnetShape::Cuboid { half_size: [0.005, 0.005, 0.0025] };
    let block = Placed {
        source: Magnet::new(shape, [0.0, 0.0, 1.2]).expect("valid"),
        world_from_body: Pose::translation([0.0, 0.0, 0.008]),
    };
    let mut group = c.benchmark_group("steel");
    group.sample_size(10);
    group.bench_function("build and factor, 2000 panels", |b| {
        b.iter(|| Steel::new(black_box(std::slice::from_ref(&plate)), 2000).expect("valid"));
    });
    let built = Steel::new(std::slice::from_ref(&plate), 2000).expect("valid");
    let load = built.load(&block);
    group.bench_function("load, 2000 panels", |b| b.iter(|| built.load(black_box(&block))));
    let weights = built.on_field(&built.solve_transpose(&load));
    group.bench_function("figure at a pose, 2000 panels", |b| {
        let mut field = Vectors::zeros(built.len());
        b.iter(|| {
            for component in [&mut field.x, &mut field.y, &mut field.z] {
                component.fill(0.0);
            }
            black_box(&block).add_b(built.rule().points.points(), field.view_mut());
            let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
            dot(&weights.x, &field.x) + dot(&weights.y, &field.y) + dot(&weights.z, &field.z)
        });
    });
    group.bench_function("solve, 2000 panels", |b| b.iter(|| built.solve(black_box(&load))));
    let charged = built.charged(built.solve(&load));
    let points = Vectors::from_rows((0..1000).map(|i| [1e-5 * f64::from(i), 0.0, 0.003]));
    group.bench_function("field of 2000 panels at 1000 points", |b| {
        let mut out = Vectors::zeros(1000);
        b.iter(|| charged.add_b(black_box(points.points()), out.view_mut()));
    });
    group.finish();
}

criterion_group!(benches, steel);
criterion_main!(benches);
