//! Which wires and turns serve: a voltage, ampere-turns, room and power given.

use crate::conductor::Conductor;
use crate::winding::{Bobbin, Laid, Lay, Winding, Wire};

/// What a coil is wanted to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilWish {
    /// Voltage across it, V.
    pub voltage: f64,
    /// Least ampere-turns at that voltage.
    pub ampere_turns: f64,
    /// Greatest power at that voltage, W.
    pub power: f64,
    /// Temperature of the wire at which both are asked, K. Ampere-turns are least in a hot coil, the power most
    /// in a cold one: ask at the hot end and look at the cold power of what is offered.
    pub temperature: f64,
}

/// A wire that serves, and between how many turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// The wire.
    pub wire: Wire,
    /// Least whole turns: fewer take too much power.
    pub least: Winding,
    /// Most whole turns: more do not fit, or give too few ampere-turns.
    pub most: Winding,
}

/// Ampere-turns of a winding at a voltage (V) and temperature (K).
pub fn ampere_turns(
    winding: &Winding,
    conductor: Conductor,
    voltage: f64,
    temperature: f64,
) -> f64 {
    voltage * winding.turns / winding.resistance(conductor, temperature)
}

/// Power (W) of a winding at a voltage (V) and temperature (K).
pub fn power(winding: &Winding, conductor: Conductor, voltage: f64, temperature: f64) -> f64 {
    voltage * voltage / winding.resistance(conductor, temperature)
}

/// Every wire that serves on a bobbin, in the order given.
///
/// At a voltage a turn more takes away power, and ampere-turns as far as it lengthens the mean turn: the turns
/// that serve are all between two bounds, or none.
pub fn offers(
    wires: &[Wire],
    bobbin: Bobbin,
    lay: Lay,
    conductor: Conductor,
    wish: CoilWish,
) -> Vec<Offer> {
    let offer = |wire: &Wire| {
        let laid = Laid::new(bobbin, *wire, lay).ok()?;
        let per_length = conductor.per_length(wire.bare) * conductor.factor(wish.temperature);
        let longest_mean_turn = wish.voltage / (per_length * wish.ampere_turns);
        let shortest_wire = wish.voltage * wish.voltage / (wish.power * per_length);
        let enough = |turns: f64| laid.wire_length(turns) <= turns * longest_mean_turn;
        let least = laid.turns_of_length(shortest_wire).ceil().max(1.0);
        let most = greatest(least, laid.most_turns(), enough)?;
        Some(Offer { wire: *wire, least: laid.unlimited(least), most: laid.unlimited(most) })
    };
    wires.iter().filter_map(offer).collect()
}

/// The greatest whole number from `low` to `high` that still holds, if `low` does.
fn greatest(low: f64, high: f64, holds: impl Fn(f64) -> bool) -> Option<f64> {
    if low > high || !holds(low) {
        return None;
    }
    let (mut low, mut beyond) = (low, high + 1.0);
    while beyond - low > 1.0 {
        let middle = (0.5 * (low + beyond)).floor();
        if holds(middle) { low = middle } else { beyond = middle }
    }
    Some(low)
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_materials::{EnamelGrade, Wires};
    use reedmace_units::Quantity;

    /// Each count of turns of each wire, tried one by one.
    #[test]
    fn cross_offers_by_trying_every_turn() {
        let wires: Vec<Wire> = Wires::builtin()
            .iter()
            .map(|row| Wire {
                bare: row.diameter.nominal.si(),
                overall: row.overall(EnamelGrade::One).high.si(),
            })
            .collect();
        let bobbin = Bobbin { inner_diameter: 3.2e-3, length: 14e-3, window: 1.4e-3 };
        let wish = CoilWish { voltage: 5.0, ampere_turns: 30.0, power: 0.06, temperature: 358.15 };
        let copper = Conductor::COPPER;
        for lay in [Lay::Orthocyclic, Lay::Layered, Lay::Random { fill: 0.65 }] {
            let found = offers(&wires, bobbin, lay, copper, wish);
            let mut tried = Vec::new();
            for wire in &wires {
                let Ok(laid) = Laid::new(bobbin, *wire, lay) else { continue };
                let serving: Vec<f64> = (1..)
                    .map(f64::from)
                    .map_while(|turns| laid.wind(turns).ok())
                    .filter(|w| ampere_turns(w, copper, 5.0, 358.15) >= 30.0)
                    .filter(|w| power(w, copper, 5.0, 358.15) <= 0.06)
                    .map(|w| w.turns)
                    .collect();
                if let (Some(first), Some(last)) = (serving.first(), serving.last()) {
                    tried.push((*wire, *first, *last));
                }
            }
            let found: Vec<_> =
                found.iter().map(|o| (o.wire, o.least.turns, o.most.turns)).collect();
            assert_eq!(found, tried);
            assert!(!found.is_empty());
        }
    }

    #[test]
    fn prop_none_serves_a_wish_beyond_reason() {
        let wires = [Wire { bare: 0.05e-3, overall: 0.06e-3 }];
        let bobbin = Bobbin { inner_diameter: 3e-3, length: 10e-3, window: 1e-3 };
        let wish = CoilWish { voltage: 5.0, ampere_turns: 300.0, power: 0.01, temperature: 293.15 };
        assert!(offers(&wires, bobbin, Lay::Layered, Conductor::COPPER, wish).is_empty());
    }
}
