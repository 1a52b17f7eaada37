//! The spring that a contact's stated operate value asks for, against the pull of its own circuit.

use crate::answer::Worth;
use crate::quantity::Quantified;
use crate::realise::{Workshop, geometries};
use crate::solved::Pulled;
use crate::units::tidy;
use reedmace_contact::{Calibration as Stated, CircuitError, Geometry, TestCoil};
use reedmace_design::{Contact, Value};
use reedmace_units::{AmpereTurns, Length, Quantity};
use std::sync::Arc;

/// Share by which a dimension is taken larger to see what it is worth.
const STEP: f64 = 0.01;

/// A contact in the coil that its sensitivity is stated in, nominal, SI.
#[derive(Debug, Clone)]
pub(crate) struct Snapped {
    pulled: Arc<Pulled>,
    coil: TestCoil,
    geometry: Geometry,
    rest: f64,
    /// Gap of the closed contact.
    pub closed: f64,
    /// Stated ampere-turns.
    pub operate: f64,
    /// Stated ampere-turns; NaN if only operate is told in them.
    pub release: f64,
    /// Of both blades in series: with it the contact operates where it is stated to.
    pub stiffness: f64,
    /// Gap at which it snaps.
    pub at: f64,
}

impl Snapped {
    /// Pull at ampere-turns and a gap, N.
    pub fn pull(&self, ampere_turns: f64, gap: f64) -> f64 {
        self.pulled.pulls.pull(gap) * ampere_turns * ampere_turns
    }

    /// Force of the spring when the contact is closed, N.
    pub fn held(&self) -> f64 {
        self.stiffness * (self.rest - self.closed)
    }

    /// Contact force at the stated operate value, N.
    pub fn force(&self) -> f64 {
        self.pull(self.operate, self.closed) - self.held()
    }

    /// Ampere-turns at which this spring opens the closed contact.
    pub fn releases(&self) -> f64 {
        self.pulled.pulls.balance(self.stiffness, self.rest, self.closed)
    }
}

/// `None` where sensitivity is not stated in a coil.
pub(crate) fn snap(
    workshop: &Workshop,
    contact: &Contact,
) -> Result<Option<Snapped>, CircuitError> {
    let nominal = |q: &dyn Quantified| q.limits().nominal;
    let of = |threshold| match workshop.stated(&contact.coil, threshold, &nominal) {
        Stated::AmpereTurns(coil, at) => Some((coil, at.si())),
        Stated::CoilCentre(coil, field) => Some((coil, coil.ampere_turns(field).si())),
        Stated::Uniform(_) => None,
    };
    let Some((coil, operate)) = of(&contact.operate) else { return Ok(None) };
    let release = of(&contact.release).map_or(f64::NAN, |(_, at)| at);
    let [_, geometry] = geometries(contact, &nominal);
    let closed = nominal(&contact.closed_gap);
    let pulled = pulled(workshop, &geometry, closed, coil)?;
    let rest = geometry.gap.si();
    let stiffness = pulled.pulls.stiffness(operate, rest, closed);
    let (_, at) = pulled.pulls.pull_in(stiffness, rest, closed);
    Ok(Some(Snapped { pulled, coil, geometry, rest, closed, operate, release, stiffness, at }))
}

fn pulled(
    workshop: &Workshop,
    geometry: &Geometry,
    closed: f64,
    coil: TestCoil,
) -> Result<Arc<Pulled>, CircuitError> {
    let source = coil.carrying(AmpereTurns::at(1.0));
    workshop.shelf.pulls(geometry, Length::from_si(closed), source)
}

/// What a micrometre more of gap, overlap, blade thickness and contact metals is worth in ampere-turns and in force.
///
/// The circuit is solved anew with the dimension a per cent larger. The spring goes as that of a clamped beam,
/// `w t³/l³`, from the one that the stated operate value asks for.
pub(crate) fn worth(
    workshop: &Workshop,
    contact: &Contact,
    snapped: &Snapped,
) -> Result<[Worth; 4], CircuitError> {
    let (g, closed) = (snapped.geometry, snapped.closed);
    let beam = |g: &Geometry| {
        let length = 0.5 * (g.blade_span.si() + g.overlap.si());
        g.blade_width.si() * (g.blade_thickness.si() / length).powi(3)
    };
    let worth = |of: &str,
                 size: &Value<Length>,
                 geometry: Geometry,
                 closed: f64|
     -> Result<Worth, CircuitError> {
        let pulled = pulled(workshop, &geometry, closed, snapped.coil)?;
        let stiffness = snapped.stiffness * beam(&geometry) / beam(&g);
        let rest = geometry.gap.si();
        let (operate, _) = pulled.pulls.pull_in(stiffness, rest, closed);
        let release = pulled.pulls.balance(stiffness, rest, closed);
        let pull = pulled.pulls.pull(closed) * snapped.operate * snapped.operate;
        let force = pull - stiffness * (rest - closed);
        let per = 1e-6 / (STEP * size.si());
        let size = [size.is.nominal, size.is.low, size.is.high];
        Ok(Worth {
            of: of.into(),
            size: size.map(|length| tidy(1e6 * length.si())),
            operate: tidy((operate - snapped.operate) * per),
            release: tidy((release - snapped.releases()) * per),
            force: tidy((force - snapped.force()) * 1e3 * per),
        })
    };
    let larger = |length: Length| length * (1.0 + STEP);
    let wider = Geometry { gap: larger(g.gap), ..g };
    let longer = Geometry { overlap: larger(g.overlap), ..g };
    let thicker = Geometry { blade_thickness: larger(g.blade_thickness), ..g };
    Ok([
        worth("gap", &contact.gap, wider, closed)?,
        worth("overlap", &contact.overlap, longer, closed)?,
        worth("blade thickness", &contact.blade_thickness, thicker, closed)?,
        worth("contact metals together", &contact.closed_gap, g, (1.0 + STEP) * closed)?,
    ])
}
