//! Sizing what protects a contact, in preferred values.

use crate::preferred::Series;

/// What to know of the rule behind [`rc_by_rule`].
pub const RC_RULE_DOUBTS: &str = "The rule is quoted from contact to contact without measurements behind it, and \
    some prints lose its exponent. It knows neither the inductance of the load nor the metal of the contact: try \
    the circuit over time before trusting it.";

/// A resistor and a capacitor in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rc {
    /// Resistance, Ω.
    pub ohms: f64,
    /// Capacitance, F.
    pub farads: f64,
}

/// Resistor and capacitor to put across a contact that breaks a current (A) at a voltage (V).
///
/// `C = I²/10 µF`, `R = V / (10 I^(1 + 50/V)) Ω`
///
/// Source: `[bates1966]`, as quoted in a secondary source; the exponent from memory, see [`RC_RULE_DOUBTS`].
pub fn rc_by_rule(volts: f64, amperes: f64) -> Rc {
    Rc {
        ohms: volts / (10.0 * amperes.powf(1.0 + 50.0 / volts)),
        farads: amperes * amperes / 10.0 * 1e-6,
    }
}

/// Resistor and capacitor for an inductive load, from how far the voltage may rise.
///
/// `C = L (I/V_most)²` holds what the coil holds; `R = V_most/(2 I)` takes half of the room at once, but at least
/// `V/I_close`, so that closing onto the charged capacitor stays within a current.
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | L | `henries` | H | > 0 |
/// | I | `amperes` at the break | A | > 0 |
/// | V | `volts` of the supply | V | > 0 |
/// | V_most | `most_volts` across the contact, above the supply | V | > V |
/// | I_close | `most_amperes` at closing | A | > 0 |
///
/// Energy of coil and capacitor alike; common practice, no source. `None` where the resistor that closing asks
/// for would let the voltage jump beyond the limit at once.
pub fn rc_by_energy(
    henries: f64,
    amperes: f64,
    volts: f64,
    most_volts: f64,
    most_amperes: f64,
) -> Option<Rc> {
    let room = most_volts - volts;
    let ohms = (room / (2.0 * amperes)).max(volts / most_amperes);
    let farads = henries * (amperes / room).powi(2);
    (ohms * amperes <= most_volts).then_some(Rc { ohms, farads })
}

/// A resistor and a capacitor as they are bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RcParts {
    /// Values.
    pub rc: Rc,
    /// Least rated voltage of the capacitor, V.
    pub capacitor_volts: f64,
    /// Least rated power of the resistor, W.
    pub resistor_watts: f64,
    /// Current of the contact when it closes onto the charged capacitor, A.
    pub closing_current: f64,
}

/// Rated voltages of capacitors: the R5 series of preferred numbers. Common practice, no source.
const CAPACITOR_VOLTS: [f64; 10] =
    [16.0, 25.0, 40.0, 63.0, 100.0, 160.0, 250.0, 400.0, 630.0, 1000.0];
/// Rated powers of resistors. Common practice, no source.
pub(crate) const WATTS: [f64; 8] = [0.0625, 0.125, 0.25, 0.5, 1.0, 2.0, 3.0, 5.0];
/// Parts are not worked at their rating: voltage and power are asked for with this factor. Common practice, no
/// source.
pub(crate) const RESERVE: f64 = 2.0;

/// Parts in preferred values, the capacitor not smaller than asked, the resistor the nearest.
///
/// The resistor turns `½ C V²` to heat at each closing and as much at each opening, so `C V² f` at `f` operations
/// a second; the capacitor sees the peak voltage. Both are asked for with a factor of 2, and given as the next
/// rating above, or as the bare need where none is so high.
pub fn rc_parts(rc: Rc, volts: f64, peak_volts: f64, operations_per_second: f64) -> RcParts {
    let farads = Series::E6.at_least(rc.farads);
    let ohms = Series::E12.nearest(rc.ohms);
    RcParts {
        rc: Rc { ohms, farads },
        capacitor_volts: rating(&CAPACITOR_VOLTS, RESERVE * peak_volts),
        resistor_watts: rating(&WATTS, RESERVE * farads * volts * volts * operations_per_second),
        closing_current: volts / ohms,
    }
}

/// A resistor in series with the contact that keeps the peak into a capacitance within a current: its value, the
/// next preferred one above, and the voltage it takes from the load at a steady current (A).
pub fn series_resistor(volts: f64, most_amperes: f64, steady_amperes: f64) -> (f64, f64) {
    let ohms = Series::E12.at_least(volts / most_amperes);
    (ohms, ohms * steady_amperes)
}

/// The least rating not below a need; the need itself where all are below.
pub(crate) fn rating(ratings: &[f64], need: f64) -> f64 {
    ratings.iter().copied().find(|rating| *rating >= need).unwrap_or(need)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64) {
        assert!((found / expected - 1.0).abs() < 1e-4, "{found} for {expected}");
    }

    /// The rule worked out beside, at five voltages and currents.
    #[test]
    fn cross_rc_rule() {
        let rows = [
            (24.0, 0.5, 0.025, 20.342),
            (24.0, 0.1, 0.001, 2907.67),
            (48.0, 0.5, 0.025, 19.763),
            (100.0, 1.0, 0.1, 10.0),
            (12.0, 0.2, 0.004, 4903.7),
        ];
        for (volts, amperes, microfarads, ohms) in rows {
            let rc = rc_by_rule(volts, amperes);
            close(rc.farads * 1e6, microfarads);
            close(rc.ohms, ohms);
        }
    }

    #[test]
    fn prop_parts_are_preferred_and_rated() {
        let parts = rc_parts(rc_by_rule(24.0, 0.5), 24.0, 60.0, 10.0);
        assert_eq!(
            (parts.rc.ohms, parts.capacitor_volts, parts.resistor_watts),
            (22.0, 160.0, 0.0625)
        );
        close(parts.rc.farads, 33e-9);
        close(parts.closing_current, 24.0 / 22.0);
        // Nothing so strong is listed: the need itself.
        assert_eq!(rc_parts(parts.rc, 24.0, 600.0, 10.0).capacitor_volts, 1200.0);
        assert_eq!(series_resistor(24.0, 0.5, 0.01), (56.0, 0.56));
    }

    /// The capacitor takes what the coil holds at the room above the supply.
    #[test]
    fn prop_rc_by_energy_holds_the_coils_energy() {
        let rc = rc_by_energy(0.1, 0.24, 24.0, 200.0, 0.5).expect("possible");
        close(0.5 * rc.farads * 176f64.powi(2), 0.5 * 0.1 * 0.24 * 0.24);
        close(rc.ohms, 176.0 / 0.48);
        assert!(rc_by_energy(0.1, 1.0, 24.0, 30.0, 0.5).is_none());
    }
}
