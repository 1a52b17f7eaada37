//! Inrush: lamps, capacitors and cables at the moment of closing.

/// Speed of light in vacuum, m/s, exact by definition. `[nist811]`
const LIGHT: f64 = 299_792_458.0;

/// Resistivity of tungsten (Ω·m) at a temperature (K).
///
/// `ρ = 5.65 µΩ·cm · (T/300 K)^n`, n through 84.70 µΩ·cm at 2800 K
///
/// Source: both values of `[desai1984]`, as quoted in a public table. Accuracy: its 99.54 µΩ·cm at 3200 K to
/// 0.5 %, `val_tungsten`; below 250 K and above 3400 K nothing was compared.
pub fn tungsten_resistivity(temperature: f64) -> f64 {
    let power = (84.70f64 / 5.65).ln() / (2800.0f64 / 300.0).ln();
    5.65e-8 * (temperature / 300.0).powf(power)
}

/// Current of a cold filament over that of a hot one, temperatures in K: its resistivity hot over cold.
pub fn lamp_inrush_ratio(hot: f64, cold: f64) -> f64 {
    tungsten_resistivity(hot) / tungsten_resistivity(cold)
}

/// A kind of load and what it takes at first over what it takes then.
///
/// From memory: ranges of the trade, to be replaced by what is known of the load itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadKind {
    /// Takes the same from the start.
    Resistive,
    /// A filament lamp.
    Lamp,
    /// A motor.
    Motor,
    /// A solenoid on alternating voltage.
    Solenoid,
    /// A transformer.
    Transformer,
    /// A capacitor, or a supply with one at its door.
    Capacitive,
}

impl LoadKind {
    /// Least and greatest inrush over the steady current that is usual. From memory, unverified.
    pub fn usual_inrush(self) -> [f64; 2] {
        match self {
            Self::Resistive => [1.0, 1.0],
            Self::Lamp => [10.0, 15.0],
            Self::Motor => [5.0, 10.0],
            Self::Solenoid => [10.0, 20.0],
            Self::Transformer | Self::Capacitive => [20.0, 40.0],
        }
    }
}

/// What closes into a capacitance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inrush {
    /// Charge that flows, C.
    pub charge: f64,
    /// Energy stored before or after, and as much turned to heat, J.
    pub energy: f64,
    /// Peak current, A.
    pub peak: f64,
    /// How long it lasts, s: to 1 % of the peak into a capacitor, to the first turn of a cable's current.
    pub duration: f64,
}

/// A capacitor (F) that a voltage (V) charges through a resistance (Ω), or that a contact empties through it.
///
/// `Q = C V`, `E = ½ C V²`, `I = V/R`, `t = R C ln 100`
pub fn capacitor(farads: f64, volts: f64, ohms: f64) -> Inrush {
    Inrush {
        charge: farads * volts,
        energy: 0.5 * farads * volts * volts,
        peak: volts / ohms,
        duration: ohms * farads * 100f64.ln(),
    }
}

/// A charged cable, open at its far end, that a contact shorts.
///
/// `I = V/Z0` for the time of the way there and back, `2 l √εr / c`; then the current turns, and rings until
/// losses end it
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | l | `length` | m | > 0 |
/// | | `farads_per_metre` | F/m | > 0 |
/// | Z0 | `impedance` | Ω | > 0 |
/// | εr | `permittivity` of its insulation | | ≥ 1 |
///
/// Source: travelling waves on a line without losses, `[jackson1999]`. Charge and energy are those of its
/// whole capacitance; the first pulse carries twice that charge, for it leaves the cable charged the other way.
pub fn cable(
    length: f64,
    farads_per_metre: f64,
    impedance: f64,
    permittivity: f64,
    volts: f64,
) -> Inrush {
    let farads = length * farads_per_metre;
    Inrush {
        charge: farads * volts,
        energy: 0.5 * farads * volts * volts,
        peak: volts / impedance,
        duration: 2.0 * length * permittivity.sqrt() / LIGHT,
    }
}

/// Greatest current (A) through an inductance (H) and a resistance (Ω) into an empty capacitance (F) on a voltage (V).
///
/// With `ζ = (R/2)√(C/L)`: `V √(C/L) e^(−ζ φ/s)`, `s = √|1 − ζ²|`, φ = atan(s/ζ), above ζ = 1 artanh(s/ζ): where the current
/// of a series circuit after a step, `(V/(L ω)) e^(−ζ ω0 t) sin ω t`, turns.
pub fn swing(volts: f64, henries: f64, ohms: f64, farads: f64) -> f64 {
    let wave = (farads / henries).sqrt();
    let damping = 0.5 * ohms * wave;
    let s = (1.0 - damping * damping).abs().sqrt();
    let turn = match damping {
        // At ζ = 1 both quotients are 1.
        _ if s < 1e-6 => 1.0,
        below if below < 1.0 => s.atan2(damping) * damping / s,
        _ => (s / damping).atanh() * damping / s,
    };
    volts * wave * (-turn).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Without resistance `V √(C/L)`; with much of it V/R; at critical damping 1/e of the first.
    #[test]
    fn law_the_swing_into_a_capacitor() {
        let close =
            |a: f64, b: f64, within: f64| assert!((a / b - 1.0).abs() < within, "{a} for {b}");
        let (volts, henries, farads) = (24.0, 22e-6, 5e-9_f64);
        let free = volts * (farads / henries).sqrt();
        close(swing(volts, henries, 1e-9, farads), free, 1e-9);
        close(swing(volts, henries, 1e6, farads), volts / 1e6, 1e-6);
        let critical = 2.0 * (henries / farads).sqrt();
        for by in [1.0 - 1e-5, 1.0, 1.0 + 1e-5] {
            close(swing(volts, henries, critical * by, farads), free / std::f64::consts::E, 2e-5);
        }
    }

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// `[desai1984]`, as quoted in two public tables: 84.70/5.65 from 300 to 2800 K, and 99.54 µΩ·cm at 3200 K.
    #[test]
    fn val_tungsten() {
        close(lamp_inrush_ratio(2800.0, 300.0), 14.99, 1e-3);
        close(tungsten_resistivity(3200.0), 99.54e-8, 5e-3);
    }

    /// Worked out beside: 50 m of 100 pF/m at 24 V into 120 Ω.
    #[test]
    fn cross_cable() {
        let found = cable(50.0, 100e-12, 120.0, 2.3, 24.0);
        close(found.energy, 1.44e-6, 1e-12);
        close(found.charge, 0.12e-6, 1e-12);
        close(found.peak, 0.2, 1e-12);
        close(found.duration, 0.50587e-6, 1e-5);
    }

    /// The exponential that starts at the peak carries the charge, and its heat is the energy.
    #[test]
    fn prop_a_capacitors_pulse_carries_its_charge() {
        let found = capacitor(10e-6, 24.0, 3.0);
        let tau = 30e-6;
        close(found.peak * tau, found.charge, 1e-12);
        close(found.peak * found.peak * 3.0 * tau / 2.0, found.energy, 1e-12);
        close((-found.duration / tau).exp(), 0.01, 1e-12);
    }

    /// Where capacitance, impedance and permittivity agree, C' = √εr/(c Z0), the first pulse turns the line's charge
    /// round.
    #[test]
    fn prop_a_cables_pulse_turns_its_charge() {
        let per_metre = 2.3f64.sqrt() / (LIGHT * 50.0);
        let found = cable(10.0, per_metre, 50.0, 2.3, 24.0);
        close(found.peak * found.duration, 2.0 * found.charge, 1e-12);
    }
}
