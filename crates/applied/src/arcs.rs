//! Arcs between opening faces: whether one can burn.

use crate::network::ArcLimits;
use reedmace_materials::ContactMetal;
use reedmace_units::Quantity;

/// The least voltage and current of an arc between faces of a metal in air, if both are known: the lower ends of
/// what the table states, for a verdict on the safe side.
pub fn limits(metal: &ContactMetal) -> Option<ArcLimits> {
    let volts = metal.arc_voltage.as_ref()?.low.si();
    let amperes = metal.arc_current.as_ref()?.low.si();
    Some(ArcLimits { volts, amperes })
}

/// Greatest current (A) that opens without an arc at a voltage (V) in a resistive load; infinite where the voltage
/// is too low for any arc.
///
/// An arc takes its voltage from the supply's, and what is left drives the current: `I_arc V/(V − V_arc)` at
/// the break leaves I_arc. Source: the limiting curve of `[holm1967]`, here its straight load line.
pub fn arcless_current(limits: ArcLimits, volts: f64) -> f64 {
    let left = 1.0 - limits.volts / volts;
    if left > 0.0 { limits.amperes / left } else { f64::INFINITY }
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_materials::ContactMetals;

    /// Gold 15 V at 0.38 A, silver 11 to 12.5 V: seen quoted from a handbook at second hand.
    #[test]
    fn val_limits_of_gold_and_silver() {
        let metals = ContactMetals::builtin();
        let of = |name| limits(metals.find(name).expect("a row")).expect("both known");
        assert_eq!(of("gold"), ArcLimits { volts: 15.0, amperes: 0.38 });
        assert_eq!(of("silver").volts, 11.0);
    }

    /// The current that an arc leaves of the limit is the least one.
    #[test]
    fn prop_an_arc_leaves_its_least_current() {
        let limits = ArcLimits { volts: 15.0, amperes: 0.4 };
        let most = arcless_current(limits, 24.0);
        assert!((most * (24.0 - 15.0) / 24.0 - 0.4).abs() < 1e-12);
        assert_eq!(arcless_current(limits, 12.0), f64::INFINITY);
    }
}
