//! The density of water.

use reedmace_units::{Density, Quantity, Temperature};

/// Specific gas constant of ordinary water, J/(kg K). `[iapwssr6]`
const GAS_CONSTANT: f64 = 461.518_05;
/// Coefficient and power of 10 K / (593 K − T). `[iapwssr6]` table 1
const HOT: [(f64, i32); 6] = [
    (1.93763157e-2, 0),
    (6.74458446e3, 4),
    (-2.22521604e5, 5),
    (1.00231247e8, 7),
    (-1.63552118e9, 8),
    (8.32299658e9, 9),
];
/// Coefficient and power of 10 K / (T − 232 K). `[iapwssr6]` table 1
const COLD: [(f64, i32); 6] = [
    (5.78545292e-3, 1),
    (-1.53195665e-2, 2),
    (3.11337859e-2, 3),
    (-4.23546241e-2, 4),
    (3.38713507e-2, 5),
    (-1.19946761e-2, 6),
];

/// Density of ordinary liquid water at 0.1 MPa.
///
/// `v = (R · 10 K / 0.1 MPa) · [Σ a_i α^n_i + Σ b_i β^m_i]`, α = 10 K/(593 K − T), β = 10 K/(T − 232 K)
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | T | `temperature` | K | −20 to 110 °C, else `None` |
///
/// Below 0 °C the water is supercooled, above 99.6 °C superheated. 0.1 MPa more pressure makes it denser by
/// 0.05 kg/m³.
///
/// Source: `[iapwssr6]` eq. (5); coefficients as in the Python package iapws 1.5.5, which agrees to 1e-12
/// (`cross_water`). Accuracy: the source states 1e-6 from 0 to 40 °C and 2e-5 up to 100 °C; within
/// 0.0001 kg/m³ of `[iapws95]` in the same test.
pub fn density(temperature: Temperature) -> Option<Density> {
    let kelvin = temperature.si();
    if !(253.15..=383.15).contains(&kelvin) {
        return None;
    }
    let (hot, cold) = (10.0 / (593.0 - kelvin), 10.0 / (kelvin - 232.0));
    let sum =
        |terms: &[(f64, i32)], x: f64| -> f64 { terms.iter().map(|(c, n)| c * x.powi(*n)).sum() };
    let volume = GAS_CONSTANT * 10.0 / 1e5 * (sum(&HOT, hot) + sum(&COLD, cold));
    Some(Density::from_si(1.0 / volume))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(celsius: f64) -> f64 {
        density(Temperature::celsius(celsius)).expect("liquid").si()
    }

    /// The formulation and `[iapws95]`, `tests/golden/water.py`.
    #[test]
    fn cross_water() {
        let mut worst = 0.0_f64;
        for line in include_str!("../tests/golden/water.csv").lines().skip(1) {
            let row: Vec<f64> =
                line.split(',').map(|cell| cell.parse().expect("a number")).collect();
            assert!((at(row[0]) / row[1] - 1.0).abs() < 1e-12, "{line}: {}", at(row[0]));
            worst = worst.max((at(row[0]) - row[2]).abs());
        }
        assert!(worst < 1e-4, "{worst}");
    }

    /// The check value of `[iapwssr6]` table 3 at 260 K, as quoted in the Python package iapws.
    #[test]
    fn val_water_at_260_kelvin() {
        let supercooled = density(Temperature::from_si(260.0)).expect("liquid").si();
        assert!((supercooled - 997.068_360_271).abs() < 1e-9, "{supercooled}");
    }

    /// The industrial formulation at 101.325 kPa, by the Python package iapws 1.5.5, which states to be within
    /// 0.0015 % in specific volume of `[iapws95]`; that and the last digit printed.
    #[test]
    fn cross_industrial_formulation() {
        let rows = [
            (4.0, 999.975),
            (10.0, 999.702),
            (15.0, 999.101),
            (20.0, 998.206),
            (25.0, 997.048),
            (30.0, 995.652),
            (40.0, 992.224),
            (60.0, 983.211),
            (80.0, 971.803),
        ];
        for (celsius, expected) in rows {
            assert!((at(celsius) - expected).abs() < 1.5e-5 * expected + 1.1e-3, "{celsius}");
        }
    }

    #[test]
    fn prop_only_liquid_water_has_a_density() {
        assert!(density(Temperature::celsius(-21.0)).is_none());
        assert!(density(Temperature::celsius(111.0)).is_none());
    }
}
