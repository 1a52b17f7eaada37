//! Switching off an inductance: energy, peak voltage, and how long its current takes to die.

use crate::quadrature::integral;

/// A coil with a current in it: a relay's own, or a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inductive {
    /// Inductance, H; that of a coil with iron changes as its armature or blades move.
    pub henries: f64,
    /// Resistance, Ω.
    pub ohms: f64,
    /// Current at the moment of switching off, A.
    pub amperes: f64,
}

/// What takes the current over when the switch opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Clamp {
    /// A diode across the coil.
    Diode {
        /// Forward voltage, V.
        forward: f64,
    },
    /// A diode and a Zener diode in series across the coil.
    Zener {
        /// Forward voltage of the diode, V.
        forward: f64,
        /// Breakdown voltage of the Zener diode, V.
        breakdown: f64,
    },
    /// A resistor across the coil.
    Resistor {
        /// Resistance, Ω.
        ohms: f64,
    },
    /// A varistor across the coil: `V = V1 (I/I1)^β`.
    Varistor {
        /// V1, V.
        volts: f64,
        /// I1, A.
        amperes: f64,
        /// β: 0.02 to 0.05 for zinc oxide (from memory).
        exponent: f64,
    },
}

impl Clamp {
    /// Voltage across it at a current (A), V.
    pub fn voltage(self, current: f64) -> f64 {
        match self {
            Self::Diode { forward } => forward,
            Self::Zener { forward, breakdown } => forward + breakdown,
            Self::Resistor { ohms } => ohms * current,
            Self::Varistor { volts, amperes, exponent } => {
                volts * (current / amperes).powf(exponent)
            }
        }
    }

    /// Power that it takes while the coil is on a supply (V): a resistor's price, W. A varistor's is its law's,
    /// below what one leaks in truth.
    pub fn standing_power(self, supply: f64) -> f64 {
        match self {
            Self::Diode { .. } | Self::Zener { .. } => 0.0,
            Self::Resistor { ohms } => supply * supply / ohms,
            Self::Varistor { volts, amperes, exponent } => {
                supply * amperes * (supply / volts).powf(1.0 / exponent)
            }
        }
    }
}

/// What a clamp does and what it costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnOff {
    /// Greatest voltage across the opening switch, V: the supply and the clamp.
    pub peak_voltage: f64,
    /// Time until the current has fallen to a share of its start, s: the release takes that much longer.
    pub decay: f64,
    /// Energy that the clamp takes each time, J; the coil's own resistance takes the rest.
    pub energy: f64,
    /// Power that it takes while the coil is on, W.
    pub standing_power: f64,
}

impl Inductive {
    /// Energy that it holds, `½ L I²`, J.
    pub fn energy(self) -> f64 {
        0.5 * self.henries * self.amperes * self.amperes
    }

    /// Peak voltage (V) that it swings a capacitance (F) to with nothing else to take its current, `I √(L/C)`:
    /// an upper bound, for resistance and breakdown of the gap come first.
    pub fn unclamped_peak(self, farads: f64) -> f64 {
        self.amperes * (self.henries / farads).sqrt()
    }

    /// Time until the current has fallen to `share` of its start through a clamp, s; `share` 0 is the very end
    /// behind a diode, and never comes through a resistor.
    ///
    /// `L di/dt = −R i − V(i)`. With V the same at every current `t = τ ln((I0 R + V)/(i R + V))`, τ = L/R;
    /// a resistor adds to R; a varistor's integral is summed, to 1e-9.
    pub fn decay(self, clamp: Clamp, share: f64) -> f64 {
        let (r, i0) = (self.ohms, self.amperes);
        match clamp {
            Clamp::Diode { .. } | Clamp::Zener { .. } => {
                let v = clamp.voltage(i0);
                self.henries / r * ((i0 * r + v) / (share * i0 * r + v)).ln()
            }
            Clamp::Resistor { ohms } => self.henries / (r + ohms) * (1.0 / share).ln(),
            Clamp::Varistor { .. } => {
                let slowness = |i: f64| self.henries / (r * i + clamp.voltage(i));
                integral(slowness, share * i0, i0)
            }
        }
    }

    /// Energy that a clamp takes until the current is gone, J.
    ///
    /// With V the same at every current `E = V (τ I0 − V t0/R)`, t0 the time to nothing; a resistor takes its
    /// share of the resistance; a varistor's integral is summed.
    pub fn clamp_energy(self, clamp: Clamp) -> f64 {
        let (r, i0) = (self.ohms, self.amperes);
        match clamp {
            Clamp::Diode { .. } | Clamp::Zener { .. } => {
                let v = clamp.voltage(i0);
                v * (self.henries / r * i0 - v * self.decay(clamp, 0.0) / r)
            }
            Clamp::Resistor { ohms } => self.energy() * ohms / (r + ohms),
            Clamp::Varistor { .. } => {
                let each = |i: f64| {
                    let v = clamp.voltage(i);
                    self.henries * v * i / (r * i + v)
                };
                integral(each, 0.0, i0)
            }
        }
    }

    /// What a clamp does where the release comes at `share` of the current.
    pub fn turn_off(self, clamp: Clamp, share: f64) -> TurnOff {
        let supply = self.amperes * self.ohms;
        TurnOff {
            peak_voltage: supply + clamp.voltage(self.amperes),
            decay: self.decay(clamp, share),
            energy: self.clamp_energy(clamp),
            standing_power: clamp.standing_power(supply),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COIL: Inductive = Inductive { henries: 0.1, ohms: 100.0, amperes: 0.24 };

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// Worked out beside: 0.1 H, 100 Ω, 24 V; ms to nothing, to 10 % and to 30 %.
    #[test]
    fn cross_decay_through_clamps() {
        let zener = |breakdown| Clamp::Zener { forward: 0.7, breakdown };
        let rows = [
            (Clamp::Diode { forward: 0.7 }, [3.563478, 2.075401, 1.139940]),
            (Clamp::Diode { forward: 0.3 }, [4.394449, 2.197225, 1.175573]),
            (zener(24.0), [0.678876, 0.586145, 0.423073]),
            (zener(47.0), [0.407559, 0.358470, 0.266977]),
        ];
        for (clamp, times) in rows {
            for (share, ms) in [0.0, 0.1, 0.3].into_iter().zip(times) {
                close(COIL.decay(clamp, share), ms * 1e-3, 2e-6);
            }
        }
        let resistor = COIL.turn_off(Clamp::Resistor { ohms: 100.0 }, 0.1);
        close(resistor.decay, 1.151293e-3, 1e-6);
        close(resistor.peak_voltage, 48.0, 1e-12);
        close(resistor.standing_power, 5.76, 1e-12);
    }

    /// Worked out beside.
    #[test]
    fn cross_energy_and_peak() {
        close(COIL.energy(), 2.880e-3, 1e-12);
        close(COIL.clamp_energy(Clamp::Zener { forward: 0.7, breakdown: 24.0 }), 1.78625e-3, 3e-6);
        close(COIL.unclamped_peak(100e-12), 7589.47, 1e-6);
        close(COIL.unclamped_peak(0.1e-6), 240.0, 1e-12);
    }

    /// A varistor of exponent 1 is a resistor, and one of exponent near 0 a Zener diode.
    #[test]
    fn prop_a_varistor_lies_between_a_resistor_and_a_zener_diode() {
        let varistor = |exponent| Clamp::Varistor { volts: 24.0, amperes: 0.24, exponent };
        let resistor = Clamp::Resistor { ohms: 100.0 };
        let zener = Clamp::Zener { forward: 0.0, breakdown: 24.0 };
        for (a, b) in [(varistor(1.0), resistor), (varistor(1e-12), zener)] {
            close(COIL.decay(a, 0.1), COIL.decay(b, 0.1), 1e-9);
            close(COIL.clamp_energy(a), COIL.clamp_energy(b), 1e-9);
        }
        let between = COIL.decay(varistor(0.04), 0.1);
        assert!(COIL.decay(zener, 0.1) < between && between < COIL.decay(resistor, 0.1));
        assert!(varistor(0.04).standing_power(12.0) < 1e-6);
    }
}
