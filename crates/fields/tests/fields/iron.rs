//! Iron in cells against what is known of cubes, plates and laws.

use reedmace_fields::iron::{
    BhCurve, IronBody, IronError, Magnetized, NonlinearIron, Symmetry, evenly, graded,
};
use reedmace_fields::{
    MU_0, Magnet, MagnetShape, Placed, Points, Pose, Source, Uniform, VectorsMut,
};

const EVERYTHING: [[f64; 3]; 2] = [[-1e3; 3], [1e3; 3]];

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

/// Planes from −half to half, finer towards both ends.
fn both_ends(half: f64, cells: usize, ratio: f64) -> Vec<f64> {
    let mut planes = graded(-half, 0.0, cells / 2, ratio);
    planes.extend_from_slice(&graded(0.0, half, cells / 2, 1.0 / ratio)[1..]);
    planes
}

fn block(curve: BhCurve, half: [f64; 3], cells: [usize; 3], ratio: f64) -> IronBody {
    let planes = [0, 1, 2].map(|i| both_ends(half[i], cells[i], ratio));
    IronBody::block(curve, planes, Pose::IDENTITY).unwrap()
}

/// Mirror planes of a block in a field along z.
fn along_z() -> Symmetry {
    Symmetry::none().flux_along(0).flux_along(1).flux_across(2)
}

fn in_field_along_z(body: IronBody, b: f64) -> Magnetized {
    let iron = NonlinearIron::new(vec![body], &along_z()).unwrap();
    iron.solve(&Uniform([0.0, 0.0, b])).unwrap()
}

/// Dipole moment times μ0 over the volume of the applied field's unit, from the field far away on z.
fn polarizability(solved: &Magnetized, volume: f64, applied: f64) -> f64 {
    let z = 300.0 * volume.cbrt();
    let moment = 2.0 * std::f64::consts::PI * z.powi(3) * solved.b([0.0, 0.0, z])[2];
    moment / (volume * applied)
}

/// Iron of permeability 1 adds no field of its own, and the flux through it is the source's, the more
/// exactly the finer it is cut.
#[test]
fn prop_iron_of_permeability_one_changes_nothing() {
    let shape = MagnetShape::Sphere { radius: 2e-3 };
    let magnet = Placed {
        source: Magnet::new(shape, [0.3, -0.2, 1.0]).unwrap(),
        world_from_body: Pose::translation([5e-3, 2e-3, 7e-3]),
    };
    let half = [3e-3, 2e-3, 1e-3];
    let n = 400;
    let mut want = 0.0;
    for i in 0..n * n {
        let [s, t] = [i / n, i % n].map(|k| 2.0 * (k as f64 + 0.5) / n as f64 - 1.0);
        want += magnet.b([half[0] * s, half[1] * t, 0.0])[2] / (n * n) as f64;
    }
    let errors = [2, 4, 8].map(|cells| {
        let body = block(BhCurve::linear(1.0).unwrap(), half, [cells; 3], 1.0);
        let iron = NonlinearIron::new(vec![body], &Symmetry::none()).unwrap();
        let solved = iron.solve(&magnet).unwrap();
        for point in [[0.1e-3, -0.4e-3, 0.3e-3], [2.1e-3, 1.2e-3, -0.6e-3], [9e-3, 1e-3, 0.0]] {
            assert_eq!(solved.b(point), [0.0; 3]);
        }
        let (flux, area) = solved.section(0, 2, 0.0, EVERYTHING).unwrap();
        let error = flux / area / want - 1.0;
        println!("{cells} cells: {:+.3} %", 100.0 * error);
        error.abs()
    });
    let falls = errors[1] < 0.2 * errors[0] && errors[2] < errors[1];
    assert!(falls && errors[2] < 3e-4, "{errors:?}");
}

/// Weakly permeable: J = χ B0/(1 + N χ) to the first order in χ, N the demagnetizing factor.
#[test]
fn cross_weak_prisms_demagnetize_as_uniform_ones() {
    let chi = 0.02;
    for half in [[1.0, 1.0, 1.0], [1.0, 1.0, 0.1], [1.0, 0.2, 5.0]] {
        let body = block(BhCurve::linear(1.0 + chi).unwrap(), half, [6, 6, 6], 1.3);
        let solved = in_field_along_z(body, 1.0);
        let n = MagnetShape::Cuboid { half_size: half }.demagnetizing_factors()[2];
        let volume = 8.0 * half[0] * half[1] * half[2];
        let got = polarizability(&solved, volume, 1.0) * (1.0 + n * chi) / chi;
        assert!((got - 1.0).abs() < 3e-4, "{half:?} {got}");
    }
}

/// A cube of infinite permeability has the polarizability of a conducting one, 3.6442 volumes
/// (`[sihvola2004]`, from memory, unverified); finer cells come nearer.
#[test]
fn val_cube_of_infinite_permeability() {
    let errors = [4, 8, 12].map(|cells| {
        let body = block(BhCurve::linear(1e6).unwrap(), [0.5; 3], [cells; 3], 1.5);
        let error = polarizability(&in_field_along_z(body, 1.0), 1.0, 1.0) / 3.6442 - 1.0;
        println!("{cells} cells: {:+.3} %", 100.0 * error);
        error.abs()
    });
    assert!(errors[1] < errors[0] && errors[2] < errors[1] && errors[2] < 2e-3, "{errors:?}");
}

/// Far above saturation the iron is a uniform magnet of its saturation polarization. Its own field still
/// turns the polarization a little, by the ratio of that field to the one applied.
#[test]
fn cross_saturated_plate_is_a_magnet() {
    let half = [10e-3, 6e-3, 1e-3];
    let magnet = Magnet::new(MagnetShape::Cuboid { half_size: half }, [0.0, 0.0, 2.0]).unwrap();
    let body = block(BhCurve::arctangent(2.0, 1000.0).unwrap(), half, [6, 6, 4], 1.3);
    let iron = NonlinearIron::new(vec![body], &along_z()).unwrap();
    for applied in [12.0, 120.0, 1200.0] {
        let solved = iron.solve(&Uniform([0.0, 0.0, applied])).unwrap();
        for point in [[0.0, 0.0, 2e-3], [11e-3, 3e-3, 0.5e-3], [8e-3, 7e-3, -3e-3]] {
            let (got, want) = (solved.b(point), magnet.b(point));
            let error = length(std::array::from_fn(|i| got[i] - want[i])) / length(want);
            println!("{applied} T: {error:.1e}");
            assert!(error < 0.2 * 2.0 / applied, "{applied} {point:?} {error}");
        }
    }
}

/// In a rising field the polarization rises from the linear limit towards saturation and never beyond.
#[test]
fn prop_cube_saturates_between_its_two_limits() {
    let curve = BhCurve::arctangent(2.0, 1000.0).unwrap();
    let cube = |curve: BhCurve| block(curve, [5e-3; 3], [6; 3], 1.4);
    let iron = NonlinearIron::new(vec![cube(curve)], &along_z()).unwrap();
    let linear = in_field_along_z(cube(BhCurve::linear(1000.0).unwrap()), 1.0);
    let limit = polarizability(&linear, 1e-6, 1.0);
    let mut last = 0.0;
    for b in [1e-4, 0.1, 0.3, 0.5, 0.7, 1.0, 1.5, 3.0, 10.0] {
        let solved = iron.solve(&Uniform([0.0, 0.0, b])).unwrap();
        let mean = polarizability(&solved, 1e-6, 1.0);
        println!("{b} T: J {mean:.4} T, {} steps", solved.progress.iterations);
        assert!(mean > last && mean < 2.0 && mean < limit * b * 1.0001, "{b} {mean}");
        assert!(solved.progress.iterations <= 25 && solved.progress.residual < 1e-6);
        last = mean;
    }
    let weak = iron.solve(&Uniform([0.0, 0.0, 1e-4])).unwrap();
    assert!((polarizability(&weak, 1e-6, 1e-4) / limit - 1.0).abs() < 1e-4);
    assert!(last > 1.99);
}

/// Solving an eighth gives what solving the whole does, and the potential's sign is right for each plane.
#[test]
fn prop_symmetry_changes_nothing() {
    let body = || {
        let curve = BhCurve::arctangent(1.8, 500.0).unwrap();
        block(curve, [4e-3, 3e-3, 2e-3], [4, 4, 4], 1.3)
    };
    let source = Uniform([0.0, 0.0, 0.8]);
    let whole = NonlinearIron::new(vec![body()], &Symmetry::none()).unwrap();
    let whole = whole.solve(&source).unwrap();
    let turned = Symmetry::none().half_turn(2).flux_across(2);
    for symmetry in [along_z(), turned] {
        let part = NonlinearIron::new(vec![body()], &symmetry).unwrap().solve(&source).unwrap();
        assert!(part.progress.unknowns * 3 < whole.progress.unknowns);
        for point in [[1e-3, 0.3e-3, 0.2e-3], [6e-3, -2e-3, 3e-3], [-5e-3, 1e-3, -2.5e-3]] {
            let (a, b) = (part.b(point), whole.b(point));
            assert!((0..3).all(|i| (a[i] - b[i]).abs() < 1e-6 * whole.b(point)[2].abs()));
        }
    }
}

/// Turning iron and source together turns the field, and twice the size has the same field.
#[test]
fn prop_pose_and_scale_go_through() {
    let build = |size: f64, pose: Pose| {
        let curve = BhCurve::arctangent(1.8, 500.0).unwrap();
        let planes = [4e-3, 3e-3, 1e-3].map(|half| both_ends(half * size, 4, 1.2));
        let body = IronBody::block(curve, planes, pose).unwrap();
        NonlinearIron::new(vec![body], &Symmetry::none()).unwrap()
    };
    let straight = Uniform([0.2, 0.3, 0.5]);
    let one = build(1.0, Pose::IDENTITY).solve(&straight).unwrap();
    let world_from_body =
        Pose::translation([7e-3, 1e-3, -2e-3]) * Pose::rotation_about([1.0, 2.0, -0.5], 0.7);
    let source = Uniform(world_from_body.apply_to_vector(straight.0));
    let other = build(2.0, world_from_body).solve(&source).unwrap();
    for point in [[5e-3, 1e-3, 2e-3], [1e-3, -0.5e-3, 0.4e-3]] {
        let want = world_from_body.apply_to_vector(one.b(point));
        let got = other.b(world_from_body.apply(point.map(|c| 2.0 * c)));
        for i in 0..3 {
            assert!((got[i] - want[i]).abs() < 1e-6, "{got:?} {want:?}");
        }
    }
}

/// What flows into a bar flows along it and out of it: sections agree with the field's inside, and the
/// field just outside a face continues that just inside.
#[test]
fn prop_flux_is_conserved() {
    let half = [2e-3, 1e-3, 10e-3];
    let table = [[0.0, 0.0], [100.0, 0.8], [500.0, 1.4], [5000.0, 1.7], [50000.0, 2.1]];
    let body = block(BhCurve::table(&table).unwrap(), half, [4, 4, 12], 1.3);
    let solved = in_field_along_z(body, 0.05);
    let flux = |z: f64| solved.section(0, 2, z, EVERYTHING).unwrap().0;
    assert!((flux(3e-3) / flux(-3e-3) - 1.0).abs() < 1e-9);
    assert!(flux(0.0) > flux(5e-3) && flux(5e-3) > flux(9e-3));
    // Gauss's law on the upper half: what passes the middle leaves through the end and the mantle.
    let n = 200;
    let mut out = 0.0;
    let margin = 1.05;
    for i in 0..n {
        for j in 0..n {
            let [s, t] = [i, j].map(|k| 2.0 * (k as f64 + 0.5) / n as f64 - 1.0);
            let [x, y] = [half[0] * margin, half[1] * margin];
            let top = half[2] * margin;
            let z = 0.5 * top * (t + 1.0);
            let b = |p: [f64; 3]| solved.b(p);
            out += b([x * s, y * t, top])[2] * 4.0 * x * y;
            out += (b([x, y * s, z])[0] - b([-x, y * s, z])[0]) * 2.0 * y * top;
            out += (b([x * s, y, z])[1] - b([x * s, -y, z])[1]) * 2.0 * x * top;
            let middle = b([x * s, y * t, 0.0])[2];
            out -= middle * 4.0 * x * y;
        }
    }
    let scale = flux(0.0) * (n * n) as f64;
    assert!((out / scale).abs() < 0.03, "{}", out / scale);
}

/// A closed frame round a wire: μ0 μr I over the length of its middle line, but for the corners.
#[test]
fn prop_closed_frame_feels_the_current_through_it() {
    struct Wire(f64);
    impl Source for Wire {
        fn add_b(&self, at: Points<'_>, mut out: VectorsMut<'_>) {
            for i in 0..at.len() {
                let [x, y, _] = at.get(i);
                let over = MU_0 * self.0 / (2.0 * std::f64::consts::PI * (x * x + y * y));
                out.add(i, [-y * over, x * over, 0.0]);
            }
        }
        fn bounding_radius(&self) -> f64 {
            f64::INFINITY
        }
        fn clearance(&self, [x, y, _]: [f64; 3]) -> f64 {
            x.hypot(y)
        }
    }
    let [outer, inner, half] = [12e-3, 10e-3, 1e-3];
    let mut planes = evenly(-outer, -inner, 2);
    planes.extend_from_slice(&evenly(-inner, inner, 10)[1..]);
    planes.extend_from_slice(&evenly(inner, outer, 2)[1..]);
    let side = |x: [f64; 2], y: [f64; 2]| [[x[0], y[0], -half], [x[1], y[1], half]];
    let boxes = vec![
        side([-outer, outer], [inner, outer]),
        side([-outer, outer], [-outer, -inner]),
        side([inner, outer], [-outer, outer]),
        side([-outer, -inner], [-outer, outer]),
    ];
    let permeability = 5000.0;
    let curve = BhCurve::linear(permeability).unwrap();
    let planes = [planes.clone(), planes, evenly(-half, half, 2)];
    let body = IronBody::new(curve, planes, boxes, Pose::IDENTITY).unwrap();
    let iron = NonlinearIron::new(vec![body], &Symmetry::none()).unwrap();
    let solved = iron.solve(&Wire(2.0)).unwrap();
    let right = [[inner, -1.0, -1.0], [1.0; 3]];
    let (flux, area) = solved.section(0, 1, 0.0, right).unwrap();
    let want = MU_0 * permeability * 2.0 / (4.0 * (outer + inner));
    let error = flux / area / want - 1.0;
    println!("closed frame: {:+.2} %", 100.0 * error);
    assert!(error.abs() < 0.05, "{error}");
}

/// Curves on which Newton's rule jumps to and fro, forty stairs and one sheer wall, and a field whose square
/// overflows: what is no solution is never handed out as one.
#[test]
fn prop_what_does_not_converge_is_an_error() {
    let stairs = (1..=40).flat_map(|i| {
        let (h, b) = (10.0 * f64::from(i), 0.05 * f64::from(i));
        [[h, b], [h * 1.000_000_1, b + 0.049]]
    });
    let wall = [[1e-9, 1.0], [2e-9, 1.5], [1e7, 15.0]];
    let mut failed = 0;
    for rows in [stairs.collect(), wall.to_vec()] {
        let cube = block(BhCurve::table(&rows).unwrap(), [1e-3; 3], [6; 3], 1.4);
        let iron = NonlinearIron::new(vec![cube], &along_z()).unwrap();
        for b in [1e-6, 1e-4, 0.01, 0.1, 0.3, 0.6, 1.0, 10.0] {
            match iron.solve(&Uniform([0.0, 0.0, b])) {
                Ok(Magnetized { progress, .. }) => {
                    assert!(progress.step < 1e-7 && progress.residual < 1e-6, "{b} {progress:?}");
                    assert!(progress.iterations <= 80);
                }
                Err(IronError::NotConverged { iterations, step, residual }) => {
                    assert_eq!(iterations, 80);
                    assert!(step >= 1e-7 && residual.is_finite(), "{b} {step} {residual}");
                    failed += 1;
                }
                Err(other) => panic!("{b} {other}"),
            }
        }
        let fault = iron.solve(&Uniform([0.0, 0.0, 1e160])).unwrap_err();
        assert!(matches!(fault, IronError::NotConverged { iterations: 80, .. }), "{fault}");
        assert!(fault.to_string().starts_with("no solution after 80 steps"));
    }
    println!("{failed} of 16 did not converge");
    assert!((4..16).contains(&failed), "{failed}");
}

#[test]
fn prop_faults_are_named() {
    let curve = || BhCurve::linear(100.0).unwrap();
    let planes = |last: f64| [vec![0.0, last], vec![0.0, 1.0], vec![0.0, 1.0]];
    let wrong = IronBody::block(curve(), planes(-1.0), Pose::IDENTITY);
    assert_eq!(wrong.unwrap_err(), IronError::Planes { axis: 0 });
    let nowhere = vec![[[5.0; 3], [6.0; 3]]];
    let empty = IronBody::new(curve(), planes(1.0), nowhere, Pose::IDENTITY);
    assert_eq!(empty.unwrap_err(), IronError::NoIron);
    let lopsided = IronBody::block(curve(), planes(1.0), Pose::IDENTITY).unwrap();
    let fault = NonlinearIron::new(vec![lopsided.clone()], &along_z()).unwrap_err();
    assert!(matches!(fault, IronError::NotSymmetric { .. }));
    let iron = NonlinearIron::new(vec![lopsided], &Symmetry::none()).unwrap();
    let fault = iron.solve(&Uniform([f64::NAN, 0.0, 0.0])).unwrap_err();
    assert_eq!(fault, IronError::FieldNotFinite);
}
