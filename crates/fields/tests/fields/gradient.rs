//! The analytic gradient against differences of the field, and what it costs in digits.

use crate::table::Table;
use reedmace_fields::{
    Dipole, Gradient, Gradients, Loop, Magnet, MagnetShape, Placed, Pose, Solenoid, Source, Vectors,
};

const J: [f64; 3] = [0.3, -0.5, 1.1];

fn sources() -> Vec<(&'static str, Box<dyn Gradient>)> {
    let magnet = |shape, j| Box::new(Magnet::new(shape, j).unwrap());
    let cylinder = MagnetShape::Cylinder { radius: 0.5, half_length: 1.0 };
    let ring = MagnetShape::Ring { inner_radius: 0.5, outer_radius: 1.0, half_length: 0.3 };
    vec![
        ("cuboid", magnet(MagnetShape::Cuboid { half_size: [1.0, 0.6, 0.4] }, J)),
        ("cylinder", magnet(cylinder, J)),
        ("cylinder, axial", magnet(cylinder, [0.0, 0.0, 1.2])),
        ("ring", magnet(ring, J)),
        ("ring, axial", magnet(ring, [0.0, 0.0, 1.2])),
        ("sphere", magnet(MagnetShape::Sphere { radius: 0.5 }, J)),
        ("loop", Box::new(Loop::new(0.5, 100.0).unwrap())),
        ("solenoid", Box::new(Solenoid::new(0.5, 1.0, 100.0).unwrap())),
        ("dipole", Box::new(Dipole::new([1.0, 2.0, -3.0]).unwrap())),
        (
            "turned cuboid",
            Box::new(Placed {
                source: Magnet::new(MagnetShape::Cuboid { half_size: [1.0, 0.6, 0.4] }, J).unwrap(),
                world_from_body: Pose {
                    origin: [0.1, -0.2, 0.3],
                    ..Pose::rotation_about([1.0, 2.0, 3.0], 0.7)
                },
            }),
        ),
    ]
}

/// Six-point central differences with the step that serves a smooth field at distance `clearance`.
fn differences(source: &dyn Gradient, p: [f64; 3], step: f64) -> [[f64; 3]; 3] {
    let mut g = [[0.0; 3]; 3];
    for k in 0..3 {
        for (at, weight) in [(1.0, 0.75), (2.0, -0.15), (3.0, 1.0 / 60.0)] {
            let moved = |by: f64| {
                let mut q = p;
                q[k] += by * step;
                source.b(q)
            };
            let (plus, minus) = (moved(at), moved(-at));
            for i in 0..3 {
                g[i][k] += weight * (plus[i] - minus[i]) / step;
            }
        }
    }
    g
}

fn size(g: [[f64; 3]; 3]) -> f64 {
    g.iter().flatten().map(|v| v * v).sum::<f64>().sqrt()
}

/// At points near, far, inside, on the axis and on the planes of symmetry.
#[test]
fn cross_gradient_by_differences() {
    let mut table = Table::new(
        "fields_gradient",
        "Gradient of the field",
        "4000 points, near, far, on the axis and on planes of symmetry, against sixth-order differences of \
         the field; and the trace, which must vanish. Error: of all nine numbers together, over the \
         gradient's own size, or over |B| over the distance to the source where this is more.",
        "source | of",
    );
    let fraction = |i: usize, step: f64| (i as f64 * step).fract() - 0.5;
    for (name, source) in sources() {
        // Beyond 20 sizes the cuboid's is that of dipoles, 4e-11 off.
        let limit = if name.ends_with("cuboid") { 5e-11 } else { 1e-11 };
        let (mut worst, mut trace) = (0.0_f64, 0.0_f64);
        for i in 0..4000 {
            let far = [1.0, 1.0, 4.0, 40.0, 400.0][i % 5];
            let mut p = [
                4.0 * far * fraction(i, 0.819_172_513_396_164_4),
                4.0 * far * fraction(i, 0.671_043_606_703_789_2),
                4.0 * far * fraction(i, 0.549_700_477_901_970_3),
            ];
            if i % 7 == 0 {
                (p[0], p[1]) = (0.0, 0.0);
            }
            if i % 11 == 0 {
                p[2] = 0.0;
            }
            // Differences want room; the dipole and magnets measured from inside have it everywhere.
            let room = source.clearance(p);
            if room < 0.05 {
                continue;
            }
            let step = 0.004 * room;
            let (got, want) = (source.gradient(p), differences(&*source, p, step));
            let error: [[f64; 3]; 3] =
                std::array::from_fn(|i| std::array::from_fn(|k| got[i][k] - want[i][k]));
            // Where the gradient passes through zero, differences know it no better than B over the room.
            let b = source.b(p);
            let scale = b.iter().map(|v| v * v).sum::<f64>().sqrt() / room;
            let scale = size(got).max(scale).max(1e-9);
            let relative = size(error) / scale;
            assert!(relative <= limit, "{name} at {p:?}: {got:?} {want:?} {relative:e}");
            worst = worst.max(relative);
            trace = trace.max((got[0][0] + got[1][1] + got[2][2]).abs() / scale);
        }
        table.row(&format!("{name} | differences"), worst, limit);
        table.row(&format!("{name} | trace"), trace, 1e-14);
    }
    table.finish();
}

/// Inside a magnet, where J is the same everywhere.
#[test]
fn cross_gradient_inside() {
    for (name, source) in &sources()[..6] {
        for p in [[0.1, -0.2, 0.15], [0.02, 0.01, -0.1], [0.25, 0.3, 0.2]] {
            let p = if name.starts_with("ring") { [0.7, 0.1, p[2]] } else { p };
            let (got, want) = (source.gradient(p), differences(&**source, p, 1e-3));
            for i in 0..3 {
                for k in 0..3 {
                    assert!((got[i][k] - want[i][k]).abs() < 1e-9, "{name}: {got:?} {want:?}");
                }
            }
        }
    }
}

/// A batch gives the bits of single points and adds to what is there; nothing is ever NaN.
#[test]
fn prop_gradient_batch_equals_single() {
    let points = Vectors::from_rows((0..300).map(|i| {
        [0.01 * f64::from(i) - 1.0, [0.0, 0.6, 0.5][i as usize % 3], 0.1 * f64::from(i % 20) - 1.0]
    }));
    for (name, source) in sources() {
        let mut out = Gradients::zeros(300);
        source.add_gradient(points.points(), out.view_mut());
        for i in 0..300 {
            let one = source.gradient(points.get(i));
            assert!(one.iter().flatten().all(|v| v.is_finite()), "{name} {:?}", points.get(i));
            assert_eq!(out.get(i), one, "{name}");
        }
    }
}

/// A sphere is a dipole outside.
#[test]
fn prop_dipole_is_a_sphere() {
    let sphere = Magnet::new(MagnetShape::Sphere { radius: 0.5 }, J).unwrap();
    let dipole = Dipole::new(sphere.moment()).unwrap();
    for p in [[0.6, 0.1, -0.2], [3.0, 4.0, -5.0], [1e3, -2e3, 0.0]] {
        let (b, c) = (sphere.b(p), dipole.b(p));
        let length = c.iter().map(|v| v * v).sum::<f64>().sqrt();
        for i in 0..3 {
            assert!((b[i] - c[i]).abs() <= 1e-15 * length);
        }
    }
    assert_eq!(dipole.b([0.0; 3]), [0.0; 3]);
}
