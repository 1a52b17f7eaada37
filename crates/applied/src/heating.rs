//! Coils that warm themselves, and what their heat costs.

use crate::conductor::Conductor;
use std::f64::consts::PI;

/// Stefan-Boltzmann constant, CODATA 2022: 5.670 374 419e-8 W/(m² K⁴), exact by definition.
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// How a coil is driven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drive {
    /// By a voltage, V: warm, it takes less power.
    Voltage(f64),
    /// By a current, A: warm, it takes more power, and may run away.
    Current(f64),
}

/// A coil at rest with its own heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warm {
    /// Temperature of its wire, K.
    pub temperature: f64,
    /// Power, W.
    pub power: f64,
    /// Resistance, Ω.
    pub resistance: f64,
}

/// There is no temperature at which the coil would give off what it takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the coil runs away: at every temperature it takes more heat than it gives off")]
pub struct RunsAway;

/// Temperature at which a coil rests, from a thermal resistance.
///
/// `T = Ta + Rth P(T)`, `P = V²/(R20 f(T))` or `I² R20 f(T)`, `f = 1 + α (T − 20 °C)`: a square or a straight equation,
/// solved as such.
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | R20 | `cold`, resistance at 20 °C | Ω | > 0 |
/// | Rth | `thermal_resistance`, wire to ambient | K/W | ≥ 0 |
/// | Ta | `ambient` | K | above that where f is 0 |
///
/// # Errors
/// [`RunsAway`] where a current is so great that `Rth I² R20 α ≥ 1`.
pub fn rest(
    drive: Drive,
    cold: f64,
    conductor: Conductor,
    thermal_resistance: f64,
    ambient: f64,
) -> Result<Warm, RunsAway> {
    let start = conductor.factor(ambient);
    // f at rest: f = start + α Rth P(f).
    let factor = match drive {
        Drive::Voltage(volts) => {
            let push = conductor.drift * thermal_resistance * volts * volts / cold;
            0.5 * (start + (start * start + 4.0 * push).sqrt())
        }
        Drive::Current(amperes) => {
            let push = conductor.drift * thermal_resistance * amperes * amperes * cold;
            if push >= 1.0 {
                return Err(RunsAway);
            }
            start / (1.0 - push)
        }
    };
    let resistance = cold * factor;
    let power = match drive {
        Drive::Voltage(volts) => volts * volts / resistance,
        Drive::Current(amperes) => amperes * amperes * resistance,
    };
    Ok(Warm { temperature: conductor.temperature(factor), power, resistance })
}

/// Voltage (V) that operates a relay at a temperature of its wire (K), from that at 20 °C: the ampere-turns are the
/// same, the resistance is not.
pub fn operate_voltage(at_20: f64, conductor: Conductor, temperature: f64) -> f64 {
    at_20 * conductor.factor(temperature)
}

/// Hottest ambient (K) at which a relay still operates on a supply (V), its coil warmed through by `before` (V), 0 for
/// a coil that was off.
///
/// It operates while the wire is no hotter than where `V_op(20 °C) f(T)` is the supply; the heat of the coil itself
/// is taken off. Ampere-turns that the contact needs are taken as the same at all temperatures.
pub fn hottest_ambient(
    supply: f64,
    before: f64,
    operate_at_20: f64,
    cold: f64,
    conductor: Conductor,
    thermal_resistance: f64,
) -> f64 {
    let factor = supply / operate_at_20;
    let power = before * before / (cold * factor);
    conductor.temperature(factor) - thermal_resistance * power
}

/// A coil's surface in still air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// Outer diameter, m.
    pub diameter: f64,
    /// Length, m.
    pub length: f64,
    /// Emissivity: 0.8 to 0.95 of plastics and varnish (from memory).
    pub emissivity: f64,
}

/// An estimate of a thermal resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Thermal resistance, K/W.
    pub value: f64,
    /// Least and greatest that are credible: half and one and a half times the value (a judgement, no source). The lid, the board and the leads
    /// carry heat that the estimate leaves out, and a cover keeps some.
    pub credible: [f64; 2],
}

impl Surface {
    /// Heat (W) that it gives off by free convection and radiation, temperatures in K.
    ///
    /// Convection of a lying cylinder, `Nu = (0.60 + 0.387 Ra^(1/6)/[1 + (0.559/Pr)^(9/16)]^(8/27))²`, for its mantle and
    /// taken for its ends too; radiation `ε σ A (T⁴ − Ta⁴)` to surroundings at the air's temperature.
    ///
    /// Source: `[churchill1975]`, stated for Ra to 1e12; air at the mean of both temperatures by power laws
    /// from memory, within 3 % from 250 to 450 K.
    pub fn heat(self, surface: f64, ambient: f64) -> f64 {
        let area = PI * self.diameter * (self.length + 0.5 * self.diameter);
        let film = 0.5 * (surface + ambient);
        let warmth = film / 300.0;
        let conductivity = 0.0263 * warmth.powf(0.82);
        let viscosity = 15.9e-6 * warmth.powf(1.72);
        const PRANDTL: f64 = 0.707;
        let buoyancy = crate::float::GRAVITY * (surface - ambient).abs() / film;
        let rayleigh = buoyancy * self.diameter.powi(3) / viscosity.powi(2) * PRANDTL;
        let bracket = (1.0 + (0.559 / PRANDTL).powf(9.0 / 16.0)).powf(8.0 / 27.0);
        let nusselt = (0.60 + 0.387 * rayleigh.powf(1.0 / 6.0) / bracket).powi(2);
        let convected = nusselt * conductivity / self.diameter * (surface - ambient);
        let radiated = self.emissivity * STEFAN_BOLTZMANN * (surface.powi(4) - ambient.powi(4));
        area * (convected + radiated)
    }

    /// Thermal resistance from its surface to the ambient (K) at a power (W, above 0): the surface temperature at which
    /// it gives that off, found by halving.
    pub fn thermal_resistance(self, power: f64, ambient: f64) -> Estimate {
        let (mut low, mut high) = (ambient, ambient + 1.0);
        while self.heat(high, ambient) < power {
            high = ambient + 2.0 * (high - ambient);
        }
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if self.heat(middle, ambient) < power { low = middle } else { high = middle }
        }
        let value = (high - ambient) / power;
        Estimate { value, credible: [0.5 * value, 1.5 * value] }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COPPER: Conductor = Conductor::COPPER;

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// 3.75 V at 20 °C are 4.70794 V at 85 °C, worked out beside from `[iec60028]`'s coefficient.
    #[test]
    fn cross_operate_voltage_hot() {
        close(operate_voltage(3.75, COPPER, 358.15), 4.70794, 1e-6);
    }

    /// Both equations put back, and the step by step iteration that a fixed point is.
    #[test]
    fn cross_rest_by_iteration() {
        for drive in [Drive::Voltage(5.0), Drive::Current(0.02)] {
            let warm = rest(drive, 250.0, COPPER, 150.0, 333.15).expect("rests");
            let mut t = 333.15;
            for _ in 0..500 {
                let r = 250.0 * COPPER.factor(t);
                let power = match drive {
                    Drive::Voltage(v) => v * v / r,
                    Drive::Current(i) => i * i * r,
                };
                t = 333.15 + 150.0 * power;
            }
            close(warm.temperature, t, 1e-9);
            close(warm.power * 150.0, t - 333.15, 1e-9);
        }
    }

    /// A current runs away just where heat grows faster with temperature than it leaves; a voltage never does.
    #[test]
    fn prop_a_current_can_run_away() {
        let most = (1.0f64 / (150.0 * 250.0 * COPPER.drift)).sqrt();
        assert!(rest(Drive::Current(0.999 * most), 250.0, COPPER, 150.0, 300.0).is_ok());
        assert_eq!(rest(Drive::Current(1.001 * most), 250.0, COPPER, 150.0, 300.0), Err(RunsAway));
        assert!(rest(Drive::Voltage(500.0), 250.0, COPPER, 150.0, 300.0).is_ok());
    }

    /// At the hottest ambient the coil rests, warm from its own supply, where its operate voltage is the supply.
    #[test]
    fn prop_at_the_hottest_ambient_it_just_operates() {
        let ambient = hottest_ambient(4.75, 5.0, 3.75, 500.0, COPPER, 150.0);
        let warm = rest(Drive::Voltage(5.0), 500.0, COPPER, 150.0, ambient).expect("rests");
        close(operate_voltage(3.75, COPPER, warm.temperature), 4.75, 1e-12);
        assert!(hottest_ambient(4.75, 0.0, 3.75, 500.0, COPPER, 150.0) > ambient);
    }

    /// A cylinder of 25 mm at 400 K in air at 300 K: some 8 W/(m² K) by convection and as much by radiation, the range of
    /// any textbook, from memory; the estimate gives off the power it was asked for.
    #[test]
    fn prop_an_estimate_gives_off_its_power() {
        let surface = Surface { diameter: 25e-3, length: 0.1, emissivity: 0.9 };
        let dull = Surface { emissivity: 0.0, ..surface };
        let area = PI * 25e-3 * 0.1125;
        let film = dull.heat(400.0, 300.0) / (area * 100.0);
        assert!((6.0..11.0).contains(&film), "{film}");
        for power in [0.05, 0.5, 5.0] {
            let found = surface.thermal_resistance(power, 300.0).value;
            close(surface.heat(300.0 + found * power, 300.0), power, 1e-9);
        }
        let weak = surface.thermal_resistance(0.05, 300.0).value;
        assert!(weak > surface.thermal_resistance(5.0, 300.0).value);
    }
}
