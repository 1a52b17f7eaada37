//! What a contact costs: solving its circuits once, then a drive per pose.
//!
//! The reference in the same run is `solve for each source`: the flux of one source by solving the
//! circuit for it, which the kernel replaces by a dot product.

use criterion::{Criterion, criterion_group, criterion_main};
use reedmace_contact::{Circuit, Geometry, KernelPair, Scratch};
use reedmace_fields::{AnySource, Magnet, MagnetShape, Placed, Pose};
use reedmace_units::{Length, Ratio};
use std::hint::black_box;

fn contact(c: &mut Criterion) {
    let geometry = Geometry {
        lead_diameter: Length::mm(0.55),
        overall_length: Length::mm(55.0),
        blade_span: Length::mm(12.0),
        blade_width: Length::mm(1.3),
        blade_thickness: Length::mm(0.22),
        overlap: Length::mm(1.0),
        gap: Length::mm(0.05),
        permeability: Ratio::new(5000.0),
    };
    let open = Circuit::new(&geometry, 130).expect("a contact that can exist");
    let closed = Circuit::new(&geometry.closed(Length::um(5.0)), 130).expect("the same, closed");
    let pair = KernelPair::new(open.kernel(), closed.kernel());
    c.bench_function("solve a circuit of 130 segments", |b| {
        b.iter(|| Circuit::new(black_box(&geometry), 130).expect("as above"));
    });
    c.bench_function("put two kernels on shared points", |b| {
        b.iter(|| KernelPair::new(open.kernel(), black_box(closed.kernel())));
    });

    let shapes = [
        ("cuboid", MagnetShape::Cuboid { half_size: [5e-3, 2.5e-3, 2.5e-3] }),
        ("disc", MagnetShape::Cylinder { radius: 4e-3, half_length: 2e-3 }),
    ];
    for (name, shape) in shapes {
        for height in [8, 12, 25, 60] {
            let magnet = Magnet::new(shape, [1.2, 0.0, 0.0]).expect("a magnet that can exist");
            let source = Placed {
                source: AnySource::from(magnet),
                world_from_body: Pose::translation([1e-3, 0.0, f64::from(height) * 1e-3]),
            };
            let mut group = c.benchmark_group(format!("{name} at {height} mm"));
            let mut scratch = Scratch::default();
            group.bench_function("open and closed drive", |b| {
                b.iter(|| pair.drives(black_box(&source), &mut scratch));
            });
            group.bench_function("solve for each source", |b| {
                b.iter(|| open.gap_flux_direct(black_box(&source)));
            });
            group.finish();
        }
    }
}

criterion_group!(benches, contact);
criterion_main!(benches);
