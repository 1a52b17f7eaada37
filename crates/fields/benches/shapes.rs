//! Nanoseconds per point of charged polygons and the shapes made of them: 10,000 points in one batch.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use reedmace_fields::{ChargedPolygon, MeshMagnet, RingSegment, Source, TriangleMesh, Vectors};

const POINTS: usize = 10_000;

const OBLIQUE: [f64; 3] = [0.3, -0.5, 1.1];

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

/// A tetrahedron.
fn tetrahedron() -> TriangleMesh {
    let [o, a, b, c] = [[0.0; 3], [0.01, 0.0, 0.0], [0.0, 0.01, 0.0], [0.0, 0.0, 0.01]];
    TriangleMesh::from_triangles(vec![[o, b, a], [o, a, c], [o, c, b], [a, b, c]]).expect("closed")
}

fn shapes(c: &mut Criterion) {
    let points = points();
    let mut out = Vectors::zeros(POINTS);
    let mut potential = vec![0.0; POINTS];
    let mut group = c.benchmark_group("shapes");
    group.throughput(Throughput::Elements(POINTS as u64)).sample_size(10);
    let corner = |x: f64, y: f64| [x * 0.005, y * 0.003, 0.001];
    let rectangle = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
    for (name, corners) in [("triangle", &rectangle[..3]), ("rectangle", &rectangle[..])] {
        let panel = ChargedPolygon::new(corners).expect("valid");
        group.bench_function(format!("{name}/field"), |b| {
            b.iter(|| panel.add_field(black_box(points.points()), 1.0, out.view_mut()));
        });
        group.bench_function(format!("{name}/potential"), |b| {
            b.iter(|| panel.add_potential(black_box(points.points()), 1.0, &mut potential));
        });
    }
    let segment = RingSegment::new([0.005, 0.010], 0.003, [0.3, 1.9], OBLIQUE).expect("valid");
    let mesh = MeshMagnet::new(tetrahedron(), OBLIQUE).expect("valid");
    let sources: [(&str, &dyn Source); 2] = [("ring segment", &segment), ("tetrahedron", &mesh)];
    for (name, source) in sources {
        group.bench_function(format!("{name}/batch"), |b| {
            b.iter(|| source.add_b(black_box(points.points()), out.view_mut()));
        });
    }
    group.finish();
}

criterion_group!(benches, shapes);
criterion_main!(benches);
