//! Closed contacts: constriction, films, and how hot a contact gets from its voltage.

use std::f64::consts::PI;

/// Lorenz number, V²/K²: the theoretical `π²/3 (k/e)²` is 2.443e-8. `[holm1967]`
const LORENZ: f64 = 2.44e-8;

/// Resistance (Ω) of one round spot between two halves of the same metal.
///
/// `R = ρ/(2 a)`, ρ the `resistivity` (Ω·m), a the radius of the `spot` (m). Source: `[holm1967]`.
pub fn constriction(resistivity: f64, spot: f64) -> f64 {
    resistivity / (2.0 * spot)
}

/// Radius (m) of the spot that a force presses flat, plastically.
///
/// `a = √(F/(π H))`, F the `force` (N), H the `hardness` (Pa). Source: `[holm1967]`. Polished faces at small forces are
/// pressed elastically in part and touch on less.
pub fn spot_radius(force: f64, hardness: f64) -> f64 {
    (force / (PI * hardness)).sqrt()
}

/// Resistance (Ω) of a contact from its force.
///
/// `R = ρ/2 √(π H/F) + σ/(π a²)`
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | ρ | `resistivity` of the faces | Ω·m | > 0 |
/// | H | `hardness` of the softer face | Pa | > 0 |
/// | F | `force` | N | > 0 |
/// | σ | `film`, resistance times area of what covers the faces | Ω·m² | ≥ 0 |
///
/// Source: `[holm1967]`. One spot; a thin plating on a poorer conductor has more.
pub fn contact_resistance(resistivity: f64, hardness: f64, force: f64, film: f64) -> f64 {
    let spot = spot_radius(force, hardness);
    constriction(resistivity, spot) + film / (PI * spot * spot)
}

/// Temperature (K) in the spot at a voltage across the contact (V) whose far parts are at `ambient` (K).
///
/// `T² = T0² + U²/(4 L)`: heat and current flow the same way. Source: the φ-θ theorem, `[holm1967]`, with the Lorenz
/// number 2.44e-8 V²/K² of any metal.
pub fn spot_temperature(volts: f64, ambient: f64) -> f64 {
    (ambient * ambient + volts * volts / (4.0 * LORENZ)).sqrt()
}

/// Voltage (V) at which the spot has a temperature (K): of softening, or of melting.
///
/// The inverse of [`spot_temperature`].
pub fn voltage_at(temperature: f64, ambient: f64) -> f64 {
    (4.0 * LORENZ * (temperature * temperature - ambient * ambient)).sqrt()
}

/// Current (A) at which a contact of a resistance (Ω, cold) reaches a voltage (V) as it is, the rise of its
/// resistance with temperature left out: the voltage is right, the current some tenths too large.
pub fn current_at(volts: f64, resistance: f64) -> f64 {
    volts / resistance
}

/// Voltage (V) of a circuit whose two joints of metals with `per_kelvin` between them (V/K) differ in temperature
/// by `difference` (K).
pub fn thermal_emf(per_kelvin: f64, difference: f64) -> f64 {
    per_kelvin * difference
}

/// ε0, CODATA 2022: 8.854 187 8188(14)e-12 F/m.
pub const EPSILON_0: f64 = 8.854_187_818_8e-12;

/// Capacitance (F) of an open gap between two flat faces of an area (m²), `ε0 A/g`: a lower bound, for the field
/// around the edges and the blades beyond the overlap add to it.
pub fn gap_capacitance(area: f64, gap: f64) -> f64 {
    EPSILON_0 * area / gap
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_materials::ContactMetals;
    use reedmace_units::Quantity;

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// Melting voltages of `[holm1967]`'s table from melting points (K), within the tenth that one Lorenz number for
    /// all metals is good for, nickel within a fifth.
    #[test]
    fn val_melting_voltages() {
        let metals = ContactMetals::builtin();
        let rows = [
            ("Cu", 1357.77, 0.1),
            ("Au", 1337.33, 0.1),
            ("Ag", 1234.93, 0.1),
            ("Pt", 2041.4, 0.1),
            ("W", 3695.0, 0.1),
            ("Ni", 1728.3, 0.2),
        ];
        for (symbol, melts, within) in rows {
            let table = metals.find(symbol).expect("a row").melting_voltage.nominal.si();
            close(voltage_at(melts, 300.0), table, within);
        }
    }

    /// Worked out beside.
    #[test]
    fn cross_voltage_and_temperature() {
        close(spot_temperature(0.1, 300.0), 438.7015, 1e-6);
        close(voltage_at(463.0, 300.0), 0.11017, 5e-5);
        close(voltage_at(1356.0, 300.0), 0.41313, 2e-5);
        close(voltage_at(spot_temperature(0.2, 320.0), 320.0), 0.2, 1e-12);
    }

    /// Worked out beside: a spot of 10 µm in copper; 0.6 GPa and 22 nΩ·m at three forces.
    #[test]
    fn cross_constriction() {
        close(constriction(1.7241e-8, 10e-6), 0.862050e-3, 1e-6);
        for (newton, milliohm) in [(0.01, 4.77577), (0.05, 2.13579), (0.1, 1.51023)] {
            close(contact_resistance(2.2e-8, 0.6e9, newton, 0.0), milliohm * 1e-3, 2e-6);
        }
    }

    /// A film adds by area, the constriction by radius: four times the force quarters the one and halves the other.
    #[test]
    fn prop_film_and_constriction_with_force() {
        let (bare, film) = (|f| contact_resistance(2.2e-8, 0.6e9, f, 0.0), 1e-14);
        let added = |f| contact_resistance(2.2e-8, 0.6e9, f, film) - bare(f);
        close(bare(0.04) / bare(0.01), 0.5, 1e-12);
        close(added(0.04) / added(0.01), 0.25, 1e-12);
        close(gap_capacitance(0.75e-6, 50e-6), 0.132813e-12, 1e-5);
        close(thermal_emf(20e-6, 1.5), 30e-6, 1e-12);
        close(current_at(0.43, 0.1), 4.3, 1e-12);
    }
}
