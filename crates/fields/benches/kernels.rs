//! Nanoseconds per point of every kernel: 10,000 points in one batch, and the same points one by one.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use reedmace_fields::{AnySource, Coil, Loop, Magnet, MagnetShape, Solenoid, Source, Vectors};

const POINTS: usize = 10_000;

/// Points of a golden-ratio sequence in a cube of half edge 20 mm: the neighbourhood of the sources.
fn points() -> Vectors {
    let fraction = |i: usize, step: f64| (i as f64 * step).fract() * 0.04 - 0.02;
    Vectors::from_rows((0..POINTS).map(|i| {
        [
            fraction(i, 0.819_172_513_396_164_4),
            fraction(i, 0.671_043_606_703_789_2),
            fraction(i, 0.549_700_477_901_970_3),
        ]
    }))
}

fn sources() -> Vec<(&'static str, AnySource)> {
    let oblique = [0.3, -0.5, 1.1];
    let magnet = |shape, j| AnySource::from(Magnet::new(shape, j).expect("valid"));
    let cylinder = MagnetShape::Cylinder { radius: 0.005, half_length: 0.010 };
    let ring = MagnetShape::Ring { inner_radius: 0.005, outer_radius: 0.010, half_length: 0.003 };
    vec![
        (
            "cuboid oblique",
            magnet(MagnetShape::Cuboid { half_size: [0.005, 0.003, 0.002] }, oblique),
        ),
        ("cylinder axial", magnet(cylinder, [0.0, 0.0, 1.2])),
        ("cylinder oblique", magnet(cylinder, oblique)),
        ("ring oblique", magnet(ring, oblique)),
        ("sphere", magnet(MagnetShape::Sphere { radius: 0.005 }, oblique)),
        ("loop", Loop::new(0.005, 100.0).expect("valid").into()),
        ("solenoid", Solenoid::new(0.005, 0.010, 100.0).expect("valid").into()),
        ("thick coil", Coil::new(0.003, 0.006, 0.010, 100.0).expect("valid").into()),
    ]
}

fn kernels(c: &mut Criterion) {
    let points = points();
    let mut out = Vectors::zeros(POINTS);
    let mut group = c.benchmark_group("kernels");
    group.throughput(Throughput::Elements(POINTS as u64)).sample_size(10);
    for (name, source) in sources() {
        group.bench_function(format!("{name}/batch"), |b| {
            b.iter(|| source.add_b(black_box(points.points()), out.view_mut()));
        });
        group.bench_function(format!("{name}/single"), |b| {
            b.iter(|| (0..POINTS).map(|i| source.b(black_box(points.get(i)))[2]).sum::<f64>());
        });
    }
    group.finish();
}

criterion_group!(benches, kernels);
criterion_main!(benches);
