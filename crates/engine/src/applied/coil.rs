//! Coils wound of a known wire.

use crate::realise::Pick;
use crate::winding::Wrapped;
use reedmace_applied::conductor::Conductor;
use reedmace_design::Design;
use std::f64::consts::PI;

/// What is told of each such coil.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Coils(Vec<[f64; 5]>);

impl Coils {
    /// Those of a design, every quantity as `pick` has it.
    pub fn of(design: &Design, pick: &Pick) -> Self {
        let wound = design.coils.iter().filter_map(|coil| Some((coil, coil.wound()?)));
        let tell = |(coil, wound): (&reedmace_design::Coil, &reedmace_design::Wound)| {
            let wrapped = Wrapped::of(wound, pick(&coil.winding.length), pick);
            let stated = coil.resistance.as_ref().map(|stated| pick(stated));
            let section = PI / 4.0 * wrapped.wire.bare * wrapped.wire.bare;
            [
                wrapped.even.outer_diameter,
                wrapped.room(),
                wrapped.even.wire_length,
                stated.unwrap_or_else(|| wrapped.resistance()),
                wrapped.even.wire_length * section * Conductor::COPPER.density,
            ]
        };
        Self(wound.map(tell).collect())
    }

    /// Adds what the design names of them, in that order.
    pub fn tell(&self, figures: &mut Vec<f64>) {
        self.0.iter().for_each(|coil| figures.extend(coil));
    }
}
