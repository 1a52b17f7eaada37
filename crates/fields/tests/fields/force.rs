//! Forces and torques against published and computed values, and Newton's laws.

use std::f64::consts::PI;

use crate::table::Table;
use reedmace_fields::{
    Carrier, Coil, FieldError, Loop, MU_0, Magnet, MagnetShape, Placed, Pose, Solenoid, Source,
    Uniform, force,
};

const MM: f64 = 1e-3;

fn at<S>(source: S, mm: [f64; 3]) -> Placed<S> {
    Placed { source, world_from_body: Pose::translation(mm.map(|c| c * MM)) }
}

fn cylinder(radius: f64, length: f64, jz: f64) -> Magnet {
    let shape = MagnetShape::Cylinder { radius: radius * MM, half_length: 0.5 * length * MM };
    Magnet::new(shape, [0.0, 0.0, jz]).unwrap()
}

fn cuboid(size: [f64; 3], jz: f64) -> Magnet {
    let shape = MagnetShape::Cuboid { half_size: size.map(|s| 0.5 * s * MM) };
    Magnet::new(shape, [0.0, 0.0, jz]).unwrap()
}

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Axial force between two coaxial cylinders.
fn coaxial(one: Magnet, other: Magnet, distance: f64) -> f64 {
    let w = force(&one, &at(other, [0.0, 0.0, distance]), 1e-9).unwrap();
    assert!(w.force[0].abs() + w.force[1].abs() < 1e-8 * w.force[2].abs(), "{w:?}");
    w.force[2]
}

fn force_table() -> Table {
    Table::new(
        "fields_force",
        "Forces and torques",
        "Surface charge or current of one body in the closed-form field of the other. The first values are \
         printed in a public test suite and agree with a current-sheet integral computed elsewhere; the others were \
         computed elsewhere with a public library [ortner2020]. Error: difference in N or N·m; the limit follows \
         from the digits given.",
        "case",
    )
}

/// Printed in a public test suite (University of Adelaide) to the digits here.
#[test]
fn val_force() {
    let mut table = force_table();
    let opposed = coaxial(cylinder(20.0, 40.0, 1.3), cylinder(20.0, 40.0, -1.3), 50.0);
    table.row("equal cylinders opposed, 265.537 N", (opposed - 265.537).abs(), 5e-4);
    let smaller = coaxial(cylinder(20.0, 40.0, 1.3), cylinder(15.0, 30.0, -1.3), 50.0);
    table.row("smaller second cylinder, 111.490 N", (smaller - 111.490).abs(), 1e-3);
    let flat = coaxial(cylinder(20.0, 20.0, 1.3), cylinder(20.0, 10.0, -1.3), 50.0);
    table.row("flat cylinders, 18.953 N", (flat - 18.953).abs(), 1e-3);

    let block = cuboid([40.0, 40.0, 20.0], 1.3);
    let w = force(&block, &at(block, [20.0, 0.0, 30.0]), 1e-9).unwrap();
    table.row(
        "shifted blocks, torque (0, 0.422829, 0) N·m",
        length(minus(w.torque, [0.0, 0.422829, 0.0])),
        5e-5,
    );
    table.row(
        "the same, force (-98.330, 0, -105.212) N",
        length(minus(w.force, [-98.330, 0.0, -105.212])),
        5e-3,
    );

    // Arrangement of [akoun1984]; values computed elsewhere.
    let fixed = cuboid([20.0, 12.0, 6.0], 0.38);
    let moving = cuboid([12.0, 20.0, 6.0], 0.38);
    for (d, want) in [
        (0.0, [0.588, 0.588, -1.774]),
        (4.0, [0.0, 0.638, -1.853]),
        (12.0, [-1.068, 0.425, -1.059]),
        (20.0, [-0.567, 0.057, 0.410]),
    ] {
        let got = force(&fixed, &at(moving, [d - 4.0, -4.0, 8.0]), 1e-9).unwrap().force;
        table.row(&format!("crossed blocks, shifted {d} mm"), length(minus(got, want)), 2e-3);
    }

    for (d, want) in [(7.0, 10.947843), (10.0, 4.1934501), (20.0, 0.43095793)] {
        let got = -coaxial(cylinder(5.0, 5.0, 1.2), cylinder(5.0, 5.0, 1.2), d);
        table.row(&format!("discs {d} mm apart, {want} N"), (got - want).abs(), 1e-6);
    }
    let cube = cuboid([10.0; 3], 1.2);
    let got = -force(&cube, &at(cube, [0.0, 0.0, 15.0]), 1e-9).unwrap().force[2];
    table.row("cubes 15 mm apart, 9.458 N", (got - 9.458).abs(), 2e-3);
    table.finish();
}

/// `F = I₁ I₂ dM/dz` of coaxial loops by Maxwell's mutual inductance, summed here over the angle.
#[test]
fn cross_coaxial_loops() {
    let (a, b, d) = (0.02, 0.01, 0.005);
    let w = force(
        &Loop::new(a, 3.0).unwrap(),
        &at(Loop::new(b, 2.0).unwrap(), [0.0, 0.0, d / MM]),
        1e-11,
    )
    .unwrap();
    let steps = 400;
    // M = μ0/(4π) ∮∮ dl·dl'/R, one angle is a factor 2π.
    let slope: f64 = (0..steps)
        .map(|k| {
            let c = (2.0 * PI * f64::from(k) / f64::from(steps)).cos();
            let r2 = a * a + b * b - 2.0 * a * b * c + d * d;
            -a * b * c * d / (r2 * r2.sqrt())
        })
        .sum::<f64>()
        * (2.0 * PI / f64::from(steps))
        * 0.5
        * MU_0;
    let want = 3.0 * 2.0 * slope;
    assert!((w.force[2] / want - 1.0).abs() < 1e-10, "{w:?} {want}");
    assert!(w.force_error < 1e-10 * want.abs());
}

/// A uniform field turns a moment and pulls nothing, on magnet and coil alike.
#[test]
fn prop_uniform_field_turns_the_moment() {
    let b = [0.02, -0.03, 0.05];
    let magnet = Magnet::new(MagnetShape::Sphere { radius: 4.0 * MM }, [0.3, -0.5, 1.1]).unwrap();
    let w = force(&Uniform(b), &magnet, 1e-9).unwrap();
    let want = cross(magnet.moment(), b);
    assert!(length(minus(w.torque, want)) < 1e-9 * length(want), "{w:?} {want:?}");
    assert!(length(w.force) < 1e-9 * length(want) / (4.0 * MM));
    let coil = Coil::new(3.0 * MM, 6.0 * MM, 10.0 * MM, 100.0).unwrap();
    let tilted =
        Placed { source: coil, world_from_body: Pose::rotation_about([1.0, 0.0, 0.0], 0.5) };
    let moment = tilted.world_from_body.apply_to_vector([0.0, 0.0, 100.0 * PI * 21.0 * MM * MM]);
    let w = force(&Uniform(b), &tilted, 1e-9).unwrap();
    let want = cross(moment, b);
    assert!(length(minus(w.torque, want)) < 1e-9 * length(want), "{w:?} {want:?}");
}

/// Each on the other: forces opposite, and torques about one point likewise.
fn third_law<A: Source + Carrier, B: Source + Carrier>(one: Placed<A>, other: Placed<B>) {
    let on_other = force(&one, &other, 1e-8).unwrap();
    let on_one = force(&other, &one, 1e-8).unwrap();
    let size = length(on_other.force);
    let sum: [f64; 3] = std::array::from_fn(|i| on_one.force[i] + on_other.force[i]);
    assert!(length(sum) < 3e-8 * size, "{on_one:?} {on_other:?}");
    let arms = [(one.world_from_body.origin, on_one), (other.world_from_body.origin, on_other)]
        .map(|(origin, w)| (cross(origin, w.force), w.torque));
    let balance: [f64; 3] =
        std::array::from_fn(|i| arms[0].0[i] + arms[0].1[i] + arms[1].0[i] + arms[1].1[i]);
    let lever = size * length(minus(one.world_from_body.origin, other.world_from_body.origin));
    assert!(length(balance) < 1e-7 * lever, "{balance:?} of {lever}");
    // The estimates were not too small.
    assert!(length(sum) <= on_one.force_error + on_other.force_error + 1e-12 * size);
}

#[test]
fn prop_third_law() {
    let j = [0.3, -0.5, 1.1];
    let place = |mm: [f64; 3], turn: f64| Pose {
        origin: mm.map(|c| c * MM),
        ..Pose::rotation_about([1.0, 2.0, -1.0], turn)
    };
    let placed = |shape| Placed {
        source: Magnet::new(shape, j).unwrap(),
        world_from_body: place([14.0, 3.0, 9.0], 0.8),
    };
    let block = Placed {
        source: Magnet::new(MagnetShape::Cuboid { half_size: [5.0 * MM, 3.0 * MM, 2.0 * MM] }, j)
            .unwrap(),
        world_from_body: place([-1.0, 2.0, 0.0], -0.4),
    };
    third_law(
        block.clone(),
        placed(MagnetShape::Cylinder { radius: 4.0 * MM, half_length: 3.0 * MM }),
    );
    third_law(
        block.clone(),
        placed(MagnetShape::Ring {
            inner_radius: 2.0 * MM,
            outer_radius: 4.0 * MM,
            half_length: 3.0 * MM,
        }),
    );
    third_law(block.clone(), placed(MagnetShape::Sphere { radius: 4.0 * MM }));
    let world_from_body = place([14.0, 3.0, 9.0], 0.8);
    third_law(
        block.clone(),
        Placed { source: Loop::new(4.0 * MM, 50.0).unwrap(), world_from_body },
    );
    let sheet = Solenoid::new(4.0 * MM, 3.0 * MM, 50.0).unwrap();
    third_law(block.clone(), Placed { source: sheet, world_from_body });
    let coil = Coil::new(2.0 * MM, 4.0 * MM, 3.0 * MM, 50.0).unwrap();
    third_law(block, Placed { source: coil, world_from_body });
    third_law(
        Placed { source: coil, world_from_body },
        Placed { source: sheet, world_from_body: place([-1.0, 0.0, 0.0], 0.3) },
    );
}

/// The force is minus the slope of the energy −m·B of a small magnet.
#[test]
fn cross_small_magnet_by_energy() {
    let block = cuboid([10.0, 6.0, 4.0], 1.2);
    let small = Magnet::new(MagnetShape::Sphere { radius: 1e-6 }, [0.5, 0.2, -0.9]).unwrap();
    let p = [7.0 * MM, 2.0 * MM, 6.0 * MM];
    let w = force(&block, &Placed { source: small, world_from_body: Pose::translation(p) }, 1e-6)
        .unwrap();
    let m = small.moment();
    let energy = |q: [f64; 3]| -> f64 { block.b(q).iter().zip(m).map(|(b, m)| -b * m).sum() };
    let step = 1e-6;
    let slope: [f64; 3] = std::array::from_fn(|k| {
        let moved = |by: f64| std::array::from_fn(|i| p[i] + if i == k { by } else { 0.0 });
        (energy(moved(-step)) - energy(moved(step))) / (2.0 * step)
    });
    assert!(length(minus(w.force, slope)) < 1e-5 * length(slope), "{w:?} {slope:?}");
}

/// Two cubes face to face pull with a finite force that the estimate encloses.
#[test]
fn prop_touching_and_errors() {
    let cube = cuboid([10.0; 3], 1.2);
    let touching = at(cube, [0.0, 0.0, 10.0]);
    let rough = force(&cube, &touching, 1e-3).unwrap();
    let fine = force(&cube, &touching, 1e-6).unwrap();
    assert!((rough.force[2] - fine.force[2]).abs() <= rough.force_error + fine.force_error);
    assert!(fine.force[2] < 0.0 && fine.force_error <= 1e-6 * fine.force[2].abs());
    assert!(matches!(force(&cube, &touching, f64::NAN), Err(FieldError::NotFinite { .. })));
    assert!(matches!(force(&cube, &touching, 1e-15), Err(FieldError::NotConverged { .. })));
}
