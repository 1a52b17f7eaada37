//! Reads points (f64 x, y, z) and prints `name ours magba ours-two-threads gradient` in nanoseconds a point.
//!
//! Run: compare POINTS_FILE. `-` stands where there is nothing to time.

use std::time::Instant;

use magba::fields::{circular_B_batch, cuboid_B_batch, cylinder_B_batch, sphere_B_batch};
use nalgebra::{Point3, UnitQuaternion, Vector3};
use reedmace_fields::{
    AnySource, Coil, Gradient, Gradients, Loop, Magnet, MagnetShape, Solenoid, Source,
    Vectors,
};

const OBLIQUE: [f64; 3] = [0.3, -0.5, 1.1];
const AXIAL: [f64; 3] = [0.0, 0.0, 1.2];
const ACROSS: [f64; 3] = [1.2, 0.0, 0.0];

type Theirs = Box<dyn Fn(&[Point3<f64>], &mut [Vector3<f64>]) + Sync>;

struct Case {
    name: &'static str,
    ours: AnySource,
    gradient: Option<Box<dyn Gradient>>,
    theirs: Option<Theirs>,
}

fn magnet(name: &'static str, shape: MagnetShape, j: [f64; 3]) -> Case {
    let ours = Magnet::new(shape, j).expect("valid");
    let (o, p, turn) = (Point3::origin(), Vector3::from(j), UnitQuaternion::identity());
    let theirs: Option<Theirs> = match shape {
        MagnetShape::Cuboid { half_size } => {
            let size = Vector3::from(half_size) * 2.0;
            Some(Box::new(move |at, out| cuboid_B_batch(at, o, turn, p, size, out)))
        }
        MagnetShape::Cylinder { radius, half_length } => Some(Box::new(move |at, out| {
            cylinder_B_batch(at, o, turn, p, 2.0 * radius, 2.0 * half_length, out);
        })),
        MagnetShape::Sphere { radius } => {
            Some(Box::new(move |at, out| sphere_B_batch(at, o, turn, p, 2.0 * radius, out)))
        }
        // It has no ring: outer cylinder less inner.
        MagnetShape::Ring { inner_radius, outer_radius, half_length } => {
            Some(Box::new(move |at, out| {
                let mut inner = vec![Vector3::zeros(); at.len()];
                cylinder_B_batch(at, o, turn, p, 2.0 * outer_radius, 2.0 * half_length, out);
                cylinder_B_batch(at, o, turn, p, 2.0 * inner_radius, 2.0 * half_length, &mut inner);
                for (out, inner) in out.iter_mut().zip(inner) {
                    *out -= inner;
                }
            }))
        }
    };
    Case { name, ours: ours.into(), gradient: Some(Box::new(ours)), theirs }
}

fn cases() -> Vec<Case> {
    let cuboid = MagnetShape::Cuboid { half_size: [0.005, 0.003, 0.002] };
    let cylinder = MagnetShape::Cylinder { radius: 0.005, half_length: 0.010 };
    let ring = MagnetShape::Ring { inner_radius: 0.005, outer_radius: 0.010, half_length: 0.003 };
    let circle = Loop::new(0.005, 100.0).expect("valid");
    let solenoid = Solenoid::new(0.005, 0.010, 100.0).expect("valid");
    let (o, turn) = (Point3::origin(), UnitQuaternion::identity());
    vec![
        magnet("cuboid, oblique", cuboid, OBLIQUE),
        magnet("cuboid, along an axis", cuboid, AXIAL),
        magnet("cylinder, axial", cylinder, AXIAL),
        magnet("cylinder, diametral", cylinder, ACROSS),
        magnet("ring, axial", ring, AXIAL),
        magnet("ring, oblique", ring, OBLIQUE),
        magnet("sphere", MagnetShape::Sphere { radius: 0.005 }, OBLIQUE),
        Case {
            name: "loop",
            ours: circle.into(),
            gradient: Some(Box::new(circle)),
            theirs: Some(Box::new(move |at, out| circular_B_batch(at, o, turn, 0.010, 100.0, out))),
        },
        Case {
            name: "solenoid",
            ours: solenoid.into(),
            gradient: Some(Box::new(solenoid)),
            theirs: None,
        },
        Case {
            name: "thick coil",
            ours: Coil::new(0.003, 0.006, 0.010, 100.0).expect("valid").into(),
            gradient: None,
            theirs: None,
        },
    ]
}

/// Best of several runs, ns a point.
fn best(points: usize, mut work: impl FnMut()) -> f64 {
    let mut best = f64::INFINITY;
    let began = Instant::now();
    for run in 0.. {
        let start = Instant::now();
        work();
        best = best.min(start.elapsed().as_secs_f64());
        if run >= 2 && (run > 40 || began.elapsed().as_secs_f64() > 1.5) {
            break;
        }
    }
    best * 1e9 / points as f64
}

fn main() {
    let path = std::env::args().nth(1).expect("a file of points");
    let bytes = std::fs::read(path).expect("a readable file");
    let numbers: Vec<f64> = bytes
        .chunks_exact(8)
        .map(|b| f64::from_le_bytes(b.try_into().expect("eight bytes")))
        .collect();
    let points = Vectors::from_rows(numbers.chunks_exact(3).map(|p| [p[0], p[1], p[2]]));
    let n = points.len();
    let theirs_at: Vec<_> = numbers.chunks_exact(3).map(Point3::from_slice).collect();
    let mut theirs_out = vec![Vector3::zeros(); n];
    let mut out = Vectors::zeros(n);
    let mut slopes = Gradients::zeros(n);
    let pool = |threads| {
        rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads")
    };
    let (one, two) = (pool(1), pool(2));
    for Case { name, ours, gradient, theirs } in cases() {
        let told = |ns: Option<f64>| ns.map_or("-".to_owned(), |ns| format!("{ns:.2}"));
        let single = one.install(|| best(n, || ours.add_b(points.points(), out.view_mut())));
        let double = two.install(|| best(n, || ours.add_b(points.points(), out.view_mut())));
        let other = theirs
            .map(|theirs| one.install(|| best(n, || theirs(&theirs_at, &mut theirs_out))));
        let slope = gradient.map(|gradient| {
            one.install(|| best(n, || gradient.add_gradient(points.points(), slopes.view_mut())))
        });
        println!(
            "{name}\t{}\t{}\t{}\t{}",
            told(Some(single)),
            told(other),
            told(Some(double)),
            told(slope)
        );
    }
}
