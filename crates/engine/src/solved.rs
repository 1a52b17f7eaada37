//! A contact's circuits, solved once and kept.

use reedmace_contact::{
    Calibration, Circuit, CircuitError, Geometry, KernelPair, Scratch, TestCoil,
};
use reedmace_units::{AmpereTurns, Length, Quantity};
use std::collections::HashMap;
use std::sync::{Arc, Mutex};

/// Segments a contact is cut into: within 0.1 % of the limit, measured in `prop_segments_converge`
/// of the contact crate.
const SEGMENTS: usize = 130;
/// Contacts kept; more come up only when a contact's own dimensions vary.
const KEPT: usize = 64;

/// The circuits of a contact's two states, and their kernels on shared points.
#[derive(Debug)]
pub(crate) struct Solved {
    pub open: Circuit,
    pub closed: Circuit,
    pub pair: KernelPair,
    /// Gap flux of one ampere-turn in the coils asked for so far, open and closed, Wb.
    coils: Mutex<Vec<(TestCoil, [f64; 2])>>,
}

/// Which state of a contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum State {
    Open = 0,
    Closed = 1,
}

impl Solved {
    fn new(open: &Geometry, metal: Length) -> Result<Self, CircuitError> {
        let closed = Circuit::new(&open.closed(metal), SEGMENTS)?;
        let open = Circuit::new(open, SEGMENTS)?;
        let pair = KernelPair::new(open.kernel(), closed.kernel());
        Ok(Self { open, closed, pair, coils: Mutex::default() })
    }

    pub fn circuit(&self, state: State) -> &Circuit {
        match state {
            State::Open => &self.open,
            State::Closed => &self.closed,
        }
    }

    /// Gap flux that a stated sensitivity stands for in one state, Wb.
    pub fn gap_flux(&self, stated: Calibration, state: State) -> f64 {
        match stated {
            Calibration::AmpereTurns(coil, at) => at.si() * self.per_ampere_turn(coil, state),
            Calibration::CoilCentre(coil, field) => {
                coil.ampere_turns(field).si() * self.per_ampere_turn(coil, state)
            }
            Calibration::Uniform(field) => self.circuit(state).kernel().flux_in_uniform(field),
        }
    }

    /// Gap flux of one ampere-turn in `coil`, Wb.
    pub fn per_ampere_turn(&self, coil: TestCoil, state: State) -> f64 {
        let mut coils = self.coils.lock().expect("never poisoned");
        if let Some((_, flux)) = coils.iter().find(|(known, _)| *known == coil) {
            return flux[state as usize];
        }
        let source = coil.carrying(AmpereTurns::at(1.0));
        let mut scratch = Scratch::default();
        let flux = [State::Open, State::Closed]
            .map(|s| self.circuit(s).kernel().flux(&source, &mut scratch));
        coils.push((coil, flux));
        flux[state as usize]
    }
}

/// Solved contacts by their dimensions.
#[derive(Debug, Default)]
pub(crate) struct Shelf(Mutex<HashMap<[u64; 9], Arc<Solved>>>);

impl Shelf {
    /// The circuits of a contact of this geometry with contact metals of this total thickness.
    pub fn get(&self, open: &Geometry, metal: Length) -> Result<Arc<Solved>, CircuitError> {
        let key = [
            open.lead_diameter.si(),
            open.overall_length.si(),
            open.blade_span.si(),
            open.blade_width.si(),
            open.blade_thickness.si(),
            open.overlap.si(),
            open.gap.si(),
            open.permeability.si(),
            metal.si(),
        ]
        .map(f64::to_bits);
        if let Some(known) = self.0.lock().expect("never poisoned").get(&key) {
            return Ok(known.clone());
        }
        let made = Arc::new(Solved::new(open, metal)?);
        let mut kept = self.0.lock().expect("never poisoned");
        if kept.len() >= KEPT {
            kept.clear();
        }
        kept.insert(key, made.clone());
        Ok(made)
    }
}
