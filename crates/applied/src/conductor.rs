//! Conductors: resistance over temperature, wire gauges, skin depth.

use std::f64::consts::PI;

/// The temperature that resistivities are stated at, 20 °C, in K.
pub const REFERENCE_TEMPERATURE: f64 = 293.15;

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
const MU_0: f64 = 1.256_637_061_27e-6;

/// A metal that carries current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conductor {
    /// Resistivity at 20 °C, Ω·m.
    pub resistivity: f64,
    /// Relative increase of resistance per kelvin, referred to 20 °C.
    pub drift: f64,
    /// Mass per volume, kg/m³.
    pub density: f64,
}

impl Conductor {
    /// Annealed copper: 1/58 Ω·mm²/m, 0.00393 per kelvin, 8890 kg/m³. `[iec60028]`
    pub const COPPER: Self = Self { resistivity: 1e-6 / 58.0, drift: 0.00393, density: 8890.0 };

    /// Resistance at a temperature (K) over that at 20 °C.
    ///
    /// `1 + α (T − 20 °C)`, straight: for copper within 0.1 % from −40 to 150 °C (from memory). Source: `[iec60028]`.
    pub fn factor(self, temperature: f64) -> f64 {
        1.0 + self.drift * (temperature - REFERENCE_TEMPERATURE)
    }

    /// The temperature (K) at which the resistance is `factor` times that at 20 °C.
    pub fn temperature(self, factor: f64) -> f64 {
        REFERENCE_TEMPERATURE + (factor - 1.0) / self.drift
    }

    /// Resistance of a round wire per length at 20 °C, Ω/m, from its bare diameter (m).
    pub fn per_length(self, diameter: f64) -> f64 {
        self.resistivity / (PI / 4.0 * diameter * diameter)
    }

    /// Depth (m) at which the current density has fallen to 1/e, at a frequency (Hz), for a relative permeability.
    ///
    /// `δ = √(2 ρ / (ω μ0 μr))`, at 20 °C. Source: `[jackson1999]` eq. (8.8).
    pub fn skin_depth(self, frequency: f64, permeability: f64) -> f64 {
        (self.resistivity / (PI * frequency * MU_0 * permeability)).sqrt()
    }
}

/// Bare diameter (m) of an American Wire Gauge number.
///
/// `d = 0.127 mm · 92^((36 − n)/39)`. Source: `[astmb258]`.
pub fn awg_diameter(gauge: f64) -> f64 {
    0.127e-3 * 92f64.powf((36.0 - gauge) / 39.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// The formula of `[astmb258]`; the gauges 24 and 30 as a published table rounds them.
    #[test]
    fn val_wire_gauges() {
        assert_eq!((awg_diameter(24.0) * 1e6).round(), 511.0);
        assert_eq!((awg_diameter(30.0) * 1e6).round(), 255.0);
        close(awg_diameter(36.0), 0.127e-3, 1e-15);
        for (gauge, mm) in [(38.0, 0.10072), (40.0, 0.07987), (44.0, 0.05023), (48.0, 0.03159)] {
            close(awg_diameter(gauge), mm * 1e-3, 1e-4);
        }
    }

    /// Ω/m worked out beside, from 1/58 Ω·mm²/m.
    #[test]
    fn cross_resistance_per_length() {
        let copper = Conductor::COPPER;
        close(copper.per_length(0.05e-3), 8.78096, 1e-6);
        for (gauge, ohm) in [(40.0, 3.44114), (44.0, 8.70024), (48.0, 21.9968)] {
            close(copper.per_length(awg_diameter(gauge)), ohm, 2e-6);
        }
    }

    /// Factors of `[iec60028]`'s coefficient; the rule of 234.5 °C gives 1.2554 at 85 °C, as close as the rule is.
    #[test]
    fn val_copper_over_temperature() {
        let rows = [
            (-40.0, 0.7642),
            (-20.0, 0.8428),
            (0.0, 0.9214),
            (25.0, 1.01965),
            (85.0, 1.25545),
            (125.0, 1.41265),
        ];
        for (celsius, factor) in rows {
            let found = Conductor::COPPER.factor(celsius + 273.15);
            assert!((found - factor).abs() < 1e-12, "{celsius}");
            assert!((Conductor::COPPER.temperature(found) - celsius - 273.15).abs() < 1e-10);
        }
        close(Conductor::COPPER.factor(358.15), (234.5 + 85.0) / (234.5 + 20.0), 1e-4);
    }

    /// Skin depths in mm worked out beside, μ0 of CODATA 2022.
    #[test]
    fn cross_skin_depth() {
        let copper = Conductor { resistivity: 1.7241e-8, ..Conductor::COPPER };
        for (hertz, mm) in [(50.0, 9.34580), (1e3, 2.08978), (1e6, 0.0660848)] {
            close(copper.skin_depth(hertz, 1.0), mm * 1e-3, 1e-5);
        }
        let alloy = Conductor { resistivity: 0.43e-6, ..copper };
        close(alloy.skin_depth(50.0, 1000.0), 1.47594e-3, 1e-5);
        close(alloy.skin_depth(1e3, 1000.0), 0.330031e-3, 1e-5);
    }
}
