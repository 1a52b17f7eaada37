//! Blades as clamped beams: stiffness, mass, natural frequencies, what a shock does.

/// A blade of rectangular section, clamped at one end, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blade {
    /// Young's modulus, Pa.
    pub modulus: f64,
    /// Mass per volume, kg/m³.
    pub density: f64,
    /// Free length, m.
    pub length: f64,
    /// Width, m.
    pub width: f64,
    /// Thickness in the direction it bends, m.
    pub thickness: f64,
}

/// Root of `cos β cosh β = −1`, counted from 1: where a clamped beam swings by itself. `[timoshenko1974]`
///
/// Newton's step from `(n − ½) π`, to rounding. 1.8751, 4.6941, 7.8548, ...
pub fn root(mode: u32) -> f64 {
    let mut beta = (f64::from(mode.max(1)) - 0.5) * std::f64::consts::PI;
    for _ in 0..50 {
        // cos β + 1/cosh β = 0 keeps its size as β grows.
        let value = beta.cos() + 1.0 / beta.cosh();
        let slope = -beta.sin() - beta.tanh() / beta.cosh();
        let step = value / slope;
        beta -= step;
        if step.abs() < 1e-15 * beta {
            break;
        }
    }
    beta
}

impl Blade {
    /// Force at the tip per its deflection, `E w t³/(4 l³)`, N/m. `[timoshenko1974]`
    pub fn stiffness(self) -> f64 {
        self.modulus * self.width * self.thickness.powi(3) / (4.0 * self.length.powi(3))
    }

    /// Mass of the free length, kg.
    pub fn mass(self) -> f64 {
        self.density * self.length * self.width * self.thickness
    }

    /// Mass at the tip that swings as slowly on the same stiffness, `3/β1⁴` of its own: 0.2427.
    pub fn tip_mass(self) -> f64 {
        3.0 / root(1).powi(4) * self.mass()
    }

    /// Natural frequency (Hz) of a mode counted from 1.
    ///
    /// `f = β²/(2 π) · t/(l² √12) · √(E/ρ)`. Source: `[timoshenko1974]`: a thin beam in vacuum without losses; the glass
    /// that clamps it gives way and lowers it, gas does little.
    pub fn frequency(self, mode: u32) -> f64 {
        let beta = root(mode);
        let wave = self.thickness / (self.length * self.length * 12f64.sqrt());
        beta * beta / std::f64::consts::TAU * wave * (self.modulus / self.density).sqrt()
    }

    /// Steady acceleration (m/s²) across it that bends the tip over a gap (m).
    pub fn closes(self, gap: f64) -> f64 {
        gap / self.sag(1.0)
    }

    /// Deflection of the tip (m) under a steady acceleration (m/s²) across it.
    ///
    /// An even load `w` per length bends the tip by `w l⁴/(8 E I)`, `3/8` of the whole weight at the tip.
    pub fn sag(self, acceleration: f64) -> f64 {
        0.375 * self.mass() * acceleration / self.stiffness()
    }
}

/// A pulse of acceleration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shock {
    /// Its peak, m/s².
    pub peak: f64,
    /// Its duration, s: half a period of a sine.
    pub duration: f64,
}

impl Shock {
    /// Greatest deflection of a spring and mass over that under the peak at rest, without damping, during the pulse
    /// or after it.
    ///
    /// With `r = T/(2 t)`, T the period and t the duration: after the pulse `2 r cos(π/(2 r))/(r² − 1)` in size;
    /// during it the greatest of `(sin ωt' − r sin ω0 t')/(1 − r²)`, at the extrema `ωt' + ω0 t' = 2 π k`. Source: half-sine
    /// response, `[harris2002]` chapter 8. Greatest 1.77.
    pub fn amplification(self, frequency: f64) -> f64 {
        let natural = std::f64::consts::TAU * frequency;
        let forced = std::f64::consts::PI / self.duration;
        let ratio = forced / natural;
        if (ratio - 1.0).abs() < 1e-6 {
            return std::f64::consts::FRAC_PI_2;
        }
        let after = (2.0 * ratio * (std::f64::consts::FRAC_PI_2 / ratio).cos()
            / (ratio * ratio - 1.0))
            .abs();
        let at = |time: f64| {
            ((forced * time).sin() - ratio * (natural * time).sin()) / (1.0 - ratio * ratio)
        };
        let extrema = (1..).map(|k| std::f64::consts::TAU * f64::from(k) / (forced + natural));
        let during = extrema.take_while(|time| *time <= self.duration).map(|time| at(time).abs());
        during.fold(after, f64::max)
    }

    /// How far two like blades that face each other move towards one another at most (m): the tips go the same
    /// way, so only what differs between them counts.
    ///
    /// An estimate for the worst: one blade alone, the other stiff. For a gap that closes by itself compare it with
    /// the gap; below a third of it nothing is to be feared, near it everything depends on damping and on how
    /// alike the blades are.
    pub fn tip_movement(self, blade: Blade) -> f64 {
        blade.sag(self.peak) * self.amplification(blade.frequency(1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BLADE: Blade =
        Blade { modulus: 160e9, density: 8250.0, length: 10e-3, width: 1.5e-3, thickness: 0.2e-3 };

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// The roots that every text on beams prints, `[timoshenko1974]`.
    #[test]
    fn val_roots_of_a_clamped_beam() {
        for (mode, beta) in [(1, 1.875104), (2, 4.694091), (3, 7.854757)] {
            close(root(mode), beta, 3e-7);
        }
        close(BLADE.frequency(2) / BLADE.frequency(1), 6.26689, 1e-6);
        for mode in 1..12 {
            let beta = root(mode);
            assert!((beta.cos() + 1.0 / beta.cosh()).abs() < 1e-12);
        }
    }

    /// Worked out beside: 160 GPa, 8250 kg/m³, 10 × 1.5 × 0.2 mm.
    #[test]
    fn cross_blade() {
        close(BLADE.frequency(1), 1422.80, 5e-6);
        close(BLADE.stiffness(), 480.0, 1e-12);
        let swings = (BLADE.stiffness() / BLADE.tip_mass()).sqrt() / std::f64::consts::TAU;
        close(swings, BLADE.frequency(1), 1e-12);
    }

    /// The equation of motion, step by step, for short, long and equal pulses.
    #[test]
    fn cross_half_sine_by_steps() {
        let frequency = 1000.0;
        let natural = std::f64::consts::TAU * frequency;
        for duration in [0.1e-3, 0.3e-3, 0.5e-3, 0.8e-3, 2e-3, 11e-3] {
            let (mut x, mut v, mut most) = (0.0f64, 0.0f64, 0.0f64);
            let h = 1e-7;
            for k in 0..((duration + 2e-3) / h) as usize {
                let t = (k as f64 + 0.5) * h;
                let push =
                    if t < duration { (std::f64::consts::PI * t / duration).sin() } else { 0.0 };
                // Exact for a force that rests during the step.
                let (s, c) = (natural * h).sin_cos();
                let y = x - push;
                (x, v) = (push + y * c + v / natural * s, -y * natural * s + v * c);
                most = most.max(x.abs());
            }
            let found = Shock { peak: 1.0, duration }.amplification(frequency);
            close(found, most, 2e-3);
        }
    }

    #[test]
    fn prop_a_long_pulse_is_a_steady_load() {
        let shock = Shock { peak: 500.0, duration: 1.0 };
        close(shock.tip_movement(BLADE), BLADE.sag(500.0), 2e-3);
        close(BLADE.sag(BLADE.closes(50e-6)), 50e-6, 1e-12);
        assert!(Shock { peak: 1.0, duration: 1e-6 }.amplification(1000.0) < 0.01);
    }
}
