//! What a coil is wound of, at definite values.

use crate::realise::Pick;
use reedmace_applied::conductor::Conductor;
use reedmace_applied::winding::{Bobbin, Even, Laid, Wire};
use reedmace_design::{Coil, Wound};

/// A wire on its bobbin with all its turns.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wrapped {
    laid: Laid,
    pub bobbin: Bobbin,
    pub wire: Wire,
    pub turns: f64,
    pub even: Even,
}

impl Wrapped {
    /// A winding of this length (m) with every other quantity as `pick` has it.
    pub fn of(wound: &Wound, length: f64, pick: &Pick) -> Self {
        let bobbin = Bobbin {
            inner_diameter: pick(&wound.inner_diameter),
            length,
            window: pick(&wound.window),
        };
        let wire = Wire { bare: pick(&wound.diameter), overall: pick(&wound.overall) };
        let laid = Laid::anyhow(bobbin, wire, wound.lay.laying(|fill| pick(fill)));
        let turns = pick(&wound.turns);
        Self { laid, bobbin, wire, turns, even: laid.even(turns) }
    }

    /// The wire on its bobbin, however many turns.
    pub fn laid(&self) -> Laid {
        self.laid
    }

    /// Resistance of the wire at 20 °C, Ω.
    pub fn resistance(&self) -> f64 {
        self.even.wire_length * Conductor::COPPER.per_length(self.wire.bare)
    }

    /// Height of the window that is left, m; below zero the winding stands above it.
    pub fn room(&self) -> f64 {
        self.bobbin.window - 0.5 * (self.even.outer_diameter - self.bobbin.inner_diameter)
    }
}

/// Turns and resistance (Ω) at 20 °C of a coil of which both are known.
pub(crate) fn turns_and_resistance(coil: &Coil, pick: &Pick) -> (f64, f64) {
    let wrapped = coil.wound().map(|wound| Wrapped::of(wound, pick(&coil.winding.length), pick));
    let turns = wrapped.map_or_else(|| coil.turns.as_ref().map(|t| pick(t)), |w| Some(w.turns));
    let stated = coil.resistance.as_ref().map(|stated| pick(stated));
    let resistance = stated.or(wrapped.map(|wrapped| wrapped.resistance()));
    let known = "checked where it is read: turns and resistance are known";
    (turns.expect(known), resistance.expect(known))
}
