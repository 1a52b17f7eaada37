//! The B-H curve: what every curve obeys, and how well a table is continued.

use proptest::prelude::*;
use reedmace_fields::MU_0;
use reedmace_fields::iron::{BhCurve, CurveError};

/// The curves shared with the table of materials.
fn rows(curve: usize) -> Vec<[f64; 2]> {
    let text = include_str!("../../../materials/data/bh_curves.toml");
    let table: toml::Table = text.parse().unwrap();
    let rows = table["curve"][curve]["rows"].as_array().unwrap();
    rows.iter().map(|row| [0, 1].map(|i| row[i].as_float().unwrap())).collect()
}

fn curves() -> Vec<BhCurve> {
    vec![
        BhCurve::linear(1.0).unwrap(),
        BhCurve::linear(3000.0).unwrap(),
        BhCurve::arctangent(2.05, 1.0).unwrap(),
        BhCurve::arctangent(1.5, 5000.0).unwrap(),
        BhCurve::table(&rows(0)).unwrap(),
        BhCurve::table(&rows(1)).unwrap(),
    ]
}

proptest! {
    #[test]
    fn prop_round_trip(curve in 0..6_usize, exponent in -3.0..7.0_f64, negative: bool) {
        let curve = &curves()[curve];
        let h = 10.0_f64.powf(exponent) * if negative { -1.0 } else { 1.0 };
        let back = curve.field_strength(curve.flux_density(h));
        // Above the knee a given rounding of B is a larger share of H.
        let slack = 4.0 * f64::EPSILON * curve.flux_density(h) / (MU_0 * h);
        prop_assert!((back / h - 1.0).abs() < 1e-14 + slack, "{h} {back}");
    }

    #[test]
    fn prop_rises_and_never_falls_below_air(curve in 0..6_usize, b in 1e-4..8.0_f64, step in 1e-4..1.0_f64) {
        let curve = &curves()[curve];
        prop_assert!(curve.field_strength(b + step) > curve.field_strength(b));
        prop_assert!(curve.polarization(b) >= -1e-12);
        prop_assert_eq!(curve.field_strength(-b), -curve.field_strength(b));
    }

    /// The slope handed to Newton's rule is the slope of the curve.
    #[test]
    fn prop_differential_permeability_is_the_slope(curve in 0..6_usize, exponent in 0.0..6.0_f64) {
        let curve = &curves()[curve];
        let h = 10.0_f64.powf(exponent);
        let step = 1e-4 * h;
        let rise = (curve.flux_density(h + step) - curve.flux_density(h - step)) / (2.0 * step * MU_0);
        let slope = curve.differential_permeability(h);
        prop_assert!((rise / slope - 1.0).abs() < 5e-3, "{h} {rise} {slope}");
    }
}

#[test]
fn prop_a_table_goes_through_its_rows_and_ends_with_the_slope_of_air() {
    for number in 0..2 {
        let curve = BhCurve::table(&rows(number)).unwrap();
        for [h, b] in rows(number) {
            assert!((curve.flux_density(h) - b).abs() < 1e-12, "{h}");
            assert!((curve.field_strength(b) - h).abs() <= 1e-9 * h, "{b}");
        }
        assert!((curve.differential_permeability(1e9) - 1.0).abs() < 1e-4);
        let last = rows(number).last().copied().unwrap();
        let (before, after) = (last[0] * (1.0 - 1e-9), last[0] * (1.0 + 1e-9));
        let slopes = [before, after].map(|h| curve.differential_permeability(h));
        assert!((slopes[0] / slopes[1] - 1.0).abs() < 1e-6, "{slopes:?}");
    }
}

#[test]
fn prop_arctangent_has_the_slope_and_the_saturation_asked_for() {
    let curve = BhCurve::arctangent(1.6, 4000.0).unwrap();
    assert!((curve.differential_permeability(1e-6) / 4000.0 - 1.0).abs() < 1e-9);
    assert!((curve.polarization(1e3) - 1.6).abs() < 1e-3);
}

/// A measured row left out is found again from its neighbours, and the last ones from those before them.
#[test]
fn val_table_interpolates_and_continues_a_measured_curve() {
    let all = rows(1);
    let mut worst: f64 = 0.0;
    for left_out in 1..all.len() - 1 {
        let mut some = all.clone();
        let [h, b] = some.remove(left_out);
        let got = BhCurve::table(&some).unwrap().flux_density(h);
        worst = worst.max((got / b - 1.0).abs());
    }
    println!("interpolated rows: worst {:.2} %", 100.0 * worst);
    // The widest hole is fourfold in H, across the knee.
    assert!(worst < 0.012, "{worst}");
    let mut worst: f64 = 0.0;
    for kept in 5..all.len() {
        let curve = BhCurve::table(&all[..kept]).unwrap();
        for [h, b] in &all[kept..] {
            worst = worst.max((curve.flux_density(*h) / b - 1.0).abs());
        }
    }
    println!("continued rows: worst {:.2} %", 100.0 * worst);
    assert!(worst < 0.02, "{worst}");
}

#[test]
fn prop_unfit_curves_are_refused() {
    assert_eq!(BhCurve::table(&[[0.0, 0.0], [10.0, 0.1]]), Err(CurveError::TooFewRows(2)));
    let falling = [[10.0, 0.1], [20.0, 0.2], [15.0, 0.3]];
    assert_eq!(BhCurve::table(&falling), Err(CurveError::NotRising(3)));
    assert_eq!(BhCurve::table(&[[1e6, 0.1], [2e6, 3.0]]), Err(CurveError::BelowAir(1)));
    assert!(matches!(BhCurve::linear(0.5), Err(CurveError::OutOfRange { .. })));
    assert!(matches!(BhCurve::arctangent(0.0, 2.0), Err(CurveError::OutOfRange { .. })));
    assert!(matches!(BhCurve::arctangent(1.0, f64::NAN), Err(CurveError::OutOfRange { .. })));
}
