//! The demagnetisation curve: its lines, its loads, and its agreement with the tables.

use reedmace_materials::{DemagnetizationCurve, Grades};
use reedmace_units::{FieldStrength, Polarization, Quantity, Ratio, Temperature};

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
const MU_0: f64 = 1.256_637_061_27e-6;

fn field(si: f64) -> FieldStrength {
    FieldStrength::from_si(si)
}

fn ratio(x: f64) -> Ratio {
    Ratio::from_si(x)
}

/// Br 1.2 T, μrec 1, HcJ 1000 kA/m, knee at 800 kA/m: everything by hand.
fn round_numbers() -> DemagnetizationCurve {
    DemagnetizationCurve::new(Polarization::from_si(1.2), ratio(1.0), field(1e6), ratio(0.8))
}

#[test]
fn prop_the_curve_is_straight_to_the_knee_and_ends_at_the_coercivity() {
    let curve = round_numbers();
    for (h, j) in [(-1e5, 1.2), (0.0, 1.2), (8e5, 1.2), (9e5, 0.6), (1e6, 0.0)] {
        assert!((curve.polarization(field(h)).si() - j).abs() < 1e-12, "{h}");
    }
    for (h, kept) in [(0.0, 1.0), (8e5, 1.0), (9e5, 0.5), (1e6, 0.0), (2e6, 0.0)] {
        assert!((curve.kept(field(h)).si() - kept).abs() < 1e-12, "{h}");
    }
}

/// With μrec = 1.1 the way back from a point beyond the knee rises again: at 900 kA/m J is half of
/// Jk = 1.2 − 0.1 μ0 800e3 = 1.099469 T, and 0.1 μ0 900e3 = 0.113097 T comes back, so that 0.662832 T of
/// 1.2 T are kept.
#[test]
fn prop_recoil_gives_back_what_it_took() {
    let curve =
        DemagnetizationCurve::new(Polarization::from_si(1.2), ratio(1.1), field(1e6), ratio(0.8));
    let kept = 1.2 * curve.kept(field(9e5)).si();
    assert!((kept - 0.662_832).abs() < 1e-6, "{kept}");
    let just_beyond = curve.kept(field(8e5 * (1.0 + 1e-12))).si();
    assert!((just_beyond - 1.0).abs() < 1e-9, "no step at the knee: {just_beyond}");
}

#[test]
fn prop_a_load_lies_on_the_curve_and_on_the_load_line() {
    for recoil in [1.0, 1.05, 1.2, 3.0] {
        let curve = DemagnetizationCurve::new(
            Polarization::from_si(1.2),
            ratio(recoil),
            field(5e5),
            ratio(0.8),
        );
        for factor in [0.0, 0.1, 1.0 / 3.0, 0.6, 0.95] {
            for applied in [-2e5, 0.0, 1e5, 4e5] {
                let h = curve.load(ratio(factor), field(applied));
                let line = applied + factor * curve.polarization(h).si() / MU_0;
                assert!((h.si() - line).abs() < 1e-6, "{recoil} {factor} {applied}: {h:?}");
            }
        }
    }
}

#[test]
fn prop_curve_follows_the_linear_laws_of_temperature() {
    let grades = Grades::builtin();
    // Hot costs neodymium its coercivity, cold costs ferrite its.
    for (name, at, remanence, coercivity) in [
        ("NdFeB 240/80", 80.0, 1.14 * (1.0 - 0.0011 * 60.0), 800e3 * (1.0 - 0.0065 * 60.0)),
        ("Hard ferrite 25/14", -40.0, 0.375 * (1.0 + 0.002 * 60.0), 135e3 * (1.0 - 0.004 * 60.0)),
    ] {
        let grade = grades.find(name).expect(name);
        let curve = grade.curve(Temperature::celsius(at));
        assert!((curve.remanence().si() - remanence).abs() < 1e-12, "{name}");
        assert!((curve.intrinsic_coercivity().si() - coercivity).abs() < 1e-6, "{name}");
        assert!((curve.knee().si() - 0.9 * coercivity).abs() < 1e-6, "{name}");
    }
}

/// No coercivity is left by the linear law at 200 °C: nothing breaks, everything is lost.
#[test]
fn prop_beyond_the_linear_law_all_is_lost() {
    let grades = Grades::builtin();
    let curve = grades.find("NdFeB 240/80").unwrap().curve(Temperature::celsius(200.0));
    let h = curve.load(ratio(0.3), field(0.0));
    assert!(h.si().is_finite() && h.si() <= 1.0, "{h:?}");
    assert!(curve.kept(field(1e3)).si() < 1e-2);
}

/// Where B = μ0 (−H) + J of the model vanishes and the greatest B·H, against the row's own HcB and
/// BHmax: columns the curve is not made of.
#[test]
fn cross_curve_agrees_with_the_row() {
    for grade in Grades::builtin().iter() {
        let curve = grade.curve(Temperature::celsius(20.0));
        let steps = 4000;
        let most = curve.intrinsic_coercivity().si();
        let h = |i: usize| most * i as f64 / steps as f64;
        let b = |i: usize| curve.polarization(field(h(i))).si() - MU_0 * h(i);
        let hcb = (0..=steps).find(|&i| b(i) <= 0.0).map_or(most, h);
        let bh = (0..=steps).map(|i| b(i) * h(i)).fold(0.0, f64::max);
        let (hcb, bh) = (
            hcb / grade.coercivity.nominal.si() - 1.0,
            bh / grade.energy_product.nominal.si() - 1.0,
        );
        let name = &grade.designation;
        println!("{name}: HcB {:+.1} %, BHmax {:+.1} %", 100.0 * hcb, 100.0 * bh);
        assert!(hcb.abs() < 0.135, "{name}: HcB off by {hcb:+.3}");
        assert!(bh.abs() < 0.115, "{name}: BHmax off by {bh:+.3}");
    }
}
