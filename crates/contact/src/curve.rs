//! How iron magnetizes, without hysteresis.

use reedmace_units::{Polarization, Quantity, Ratio};
use std::f64::consts::FRAC_2_PI;

/// An anhysteretic curve by two numbers: J = Js · (2/π) atan(π (μi − 1) h / (2 Js)), h = μ0 H.
///
/// It starts with the slope μi − 1, rises ever slower and tends to Js. How sharp an alloy's knee is,
/// two numbers cannot say; this one is soft: at half of Js the slope has halved.
///
/// | symbol | field | unit | range |
/// |---|---|---|---|
/// | Js | `saturation` | T | > 0 |
/// | μi | `permeability` | 1 | > 1 |
///
/// Source: the arctangent is customary (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Curve {
    /// Polarization that the iron tends to in strong fields.
    pub saturation: Polarization,
    /// Relative permeability in weak fields.
    pub permeability: Ratio,
}

impl Curve {
    /// True when its polarization rises with the field.
    pub fn is_magnetic(&self) -> bool {
        let (saturation, permeability) = (self.saturation.si(), self.permeability.si());
        saturation > 0.0 && saturation.is_finite() && permeability > 1.0
    }

    /// Polarization at h = μ0 H, T, and its slope dJ/dh.
    pub fn polarization(&self, h: f64) -> (f64, f64) {
        let (saturation, susceptibility) = (self.saturation.si(), self.permeability.si() - 1.0);
        let bent = susceptibility * h / (FRAC_2_PI * saturation);
        (FRAC_2_PI * saturation * bent.atan(), susceptibility / (1.0 + bent * bent))
    }

    /// Polarization over h.
    pub fn secant(&self, h: f64) -> f64 {
        let (j, slope) = self.polarization(h);
        if h == 0.0 { slope } else { j / h }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CURVE: Curve =
        Curve { saturation: Polarization::tesla(1.5), permeability: Ratio::new(4000.0) };

    #[test]
    fn prop_starts_with_its_permeability_and_ends_at_saturation() {
        let (j, slope) = CURVE.polarization(1e-9);
        assert!((j / 1e-9 - 3999.0).abs() < 1e-3 && (slope - 3999.0).abs() < 1e-3);
        let (j, slope) = CURVE.polarization(10.0);
        assert!((1.4998..1.5).contains(&j) && slope < 1e-4);
        assert_eq!(CURVE.polarization(-10.0).0, -j);
    }

    #[test]
    fn prop_half_of_saturation_where_the_arctangent_is_a_quarter_turn() {
        // atan 1 = π/4: J = Js/2 at h = 2 Js/(π (μi − 1)), where the slope has halved
        let h = 2.0 * 1.5 / (std::f64::consts::PI * 3999.0);
        let (j, slope) = CURVE.polarization(h);
        assert!((j - 0.75).abs() < 1e-12 && (slope - 0.5 * 3999.0).abs() < 1e-9);
    }

    #[test]
    fn prop_slope_is_the_derivative() {
        for h in [0.0, 1e-4, 1e-3, -2e-3, 0.1] {
            let step = 1e-6 * f64::abs(h).max(1e-4);
            let difference =
                (CURVE.polarization(h + step).0 - CURVE.polarization(h - step).0) / (2.0 * step);
            let slope = CURVE.polarization(h).1;
            assert!((difference / slope - 1.0).abs() < 1e-6, "{h}: {difference} {slope}");
        }
    }
}
