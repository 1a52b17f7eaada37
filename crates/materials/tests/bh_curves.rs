//! The magnetization curves obey what every soft steel does.

use reedmace_materials::MagnetizationCurves;

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
const MU_0: f64 = 1.256_637_061_27e-6;

#[test]
fn prop_curves_rise_and_saturate_below_pure_iron() {
    let curves = MagnetizationCurves::builtin();
    assert!(curves.iter().count() >= 2);
    for curve in curves.iter() {
        for pair in curve.rows.windows(2) {
            let rises = pair[1][0] > pair[0][0] && pair[1][1] > pair[0][1];
            assert!(rises, "{}: {pair:?}", curve.name);
        }
        for [h, b] in &curve.rows {
            // Pure iron saturates at 2.16 T (from memory, unverified).
            let polarization = b - MU_0 * h;
            assert!((0.0..2.16).contains(&polarization), "{}: {h} A/m", curve.name);
        }
        assert!(curve.origin.source.contains('['), "{}", curve.name);
    }
}

#[test]
fn prop_a_users_curve_adds_and_replaces() {
    let text = "[[curve]]\nname = \"mine\"\nrows = [[0.0, 0.0], [100.0, 1.0]]\nsource = \"own\"\nbasis = \"user\"";
    let curves = MagnetizationCurves::builtin().extended_with(text).unwrap();
    assert_eq!(curves.find("mine").unwrap().rows[1], [100.0, 1.0]);
    assert_eq!(curves.iter().count(), MagnetizationCurves::builtin().iter().count() + 1);
    assert!(MagnetizationCurves::builtin().extended_with("[[curve]]\nnam = 1").is_err());
}
