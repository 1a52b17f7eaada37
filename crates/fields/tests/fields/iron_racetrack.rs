//! The coil of rectangular outline with round corners.

use std::f64::consts::PI;

use reedmace_fields::{Coil, FieldError, MU_0, Racetrack, Source};

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

/// Without straight parts it is a round coil, computed by other closed forms.
#[test]
fn cross_racetrack_is_a_round_coil() {
    let [inner, outer, half_length, ampere_turns] = [25e-3, 50e-3, 50e-3, 1000.0];
    let racetrack = Racetrack::new([0.0; 2], inner, outer, half_length, ampere_turns).unwrap();
    let coil = Coil::new(inner, outer, half_length, ampere_turns).unwrap();
    let (mut near, mut far, mut within) = (0.0_f64, 0.0_f64, 0.0_f64);
    for i in 0..1000 {
        // A lattice without a common divisor with the coil.
        let at = |k: f64| 2.0 * (i as f64 * k).fract() - 1.0;
        let point = [0.07 * at(0.7548776662), 0.07 * at(0.5698402910), 0.08 * at(0.8191725134)];
        let want = coil.b(point);
        let got = racetrack.b(point);
        let error = length(std::array::from_fn(|k| got[k] - want[k])) / length(want);
        match racetrack.clearance(point) {
            0.0 => {
                within =
                    within.max(error * length(want) / (MU_0 * ampere_turns / (2.0 * half_length)))
            }
            c if c > 0.05 * (outer - inner) => far = far.max(error),
            _ => near = near.max(error),
        }
    }
    println!("outside {far:.1e}, close {near:.1e}, inside over the sheet's field {within:.1e}");
    assert!(far < 2e-6, "{far}");
    assert!(near < 2e-3, "{near}");
    assert!(within < 0.05, "{within}");
}

/// Round one side of the winding the field's line integral is μ0 times the ampere-turns.
#[test]
fn prop_amperes_law() {
    let coil = Racetrack::new([30e-3, 70e-3], 5e-3, 20e-3, 15e-3, 250.0).unwrap();
    let corners = [[20e-3, -25e-3], [70e-3, -25e-3], [70e-3, 25e-3], [20e-3, 25e-3]];
    let mut sum = 0.0;
    for side in 0..4 {
        let (from, to) = (corners[side], corners[(side + 1) % 4]);
        let n = 400;
        for i in 0..n {
            let share = (i as f64 + 0.5) / n as f64;
            let at = |k: usize| from[k] + share * (to[k] - from[k]);
            let b = coil.b([at(0), 11e-3, at(1)]);
            sum += (b[0] * (to[0] - from[0]) + b[2] * (to[1] - from[1])) / n as f64;
        }
    }
    // At +x the current runs along +y, left-handed to x then z.
    assert!((-sum / (MU_0 * 250.0) - 1.0).abs() < 1e-5, "{sum}");
}

/// Far away it is the dipole of its mean area.
#[test]
fn prop_far_field_is_a_dipole() {
    let [a, b, inner, outer] = [30e-3, 10e-3, 5e-3, 20e-3];
    let coil = Racetrack::new([a, b], inner, outer, 15e-3, 100.0).unwrap();
    let mean = |power: i32| {
        let n = power as f64 + 1.0;
        (outer.powi(power + 1) - inner.powi(power + 1)) / (n * (outer - inner))
    };
    let area = 4.0 * a * b + 4.0 * (a + b) * mean(1) + PI * mean(2);
    let z = 30.0;
    let want = MU_0 * 100.0 * area / (2.0 * PI * z * z * z);
    assert!((coil.b([0.0, 0.0, z])[2] / want - 1.0).abs() < 1e-5);
}

#[test]
fn prop_unfit_coils_are_refused() {
    let make = |half, inner| Racetrack::new([half, 0.0], inner, 2e-3, 1e-3, 1.0);
    assert!(matches!(make(-1.0, 1e-3), Err(FieldError::NotPositive { .. })));
    assert!(matches!(make(1.0, 3e-3), Err(FieldError::InnerNotBelowOuter { .. })));
}
