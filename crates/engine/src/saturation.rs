//! What the blades' saturation does where the drive is strongest, and where the contact switches.

use crate::answer::{EventKind, Strongest};
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::solved::State;
use crate::together::Together;
use crate::track::{Course, Track};
use crate::units::{Shown, millimetres, millinewtons, tidy};
use reedmace_contact::{Calibration, SaturationError};
use reedmace_fields::{AnySource, Placed, Uniform};
use reedmace_units::{AmpereTurns, FluxDensity, Polarization, Quantity};

/// The closed contact where its drive is strongest, nominal unit.
pub(crate) fn strongest(
    workshop: &Workshop,
    scene: &Scene,
    track: &Track,
    contact: usize,
    shown: &Shown,
) -> Result<Option<Strongest>, SaturationError> {
    let samples = track.at.iter().zip(&track.drive);
    let top = samples.max_by(|a, b| a.1.closed.abs().total_cmp(&b.1.closed.abs()));
    let Some((&at, drive)) = top else { return Ok(None) };
    let reed = &scene.reeds[contact];
    let sources = Together(scene.sources_at(contact, at).collect());
    let circuits = scene.circuits(contact, scene.motion.world_from_rest(at));
    let found = circuits.closed.saturated(saturation(workshop, contact), &sources)?;
    Ok(Some(Strongest {
        at: shown.number(at),
        unit: shown.unit.into(),
        overdrive: tidy(drive.open.abs() / reed.operate),
        force: millinewtons(found.force.si()),
        peak: tidy(found.peak.si()),
        peak_at: millimetres(found.peak_at),
        taken: tidy(100.0 * (1.0 - found.share_of_linear)),
    }))
}

/// By how much of itself a drive is overstated where the contact switches, and the coordinate, for the
/// event with the most of it.
///
/// Saturation takes as much off in the test coil where operate and release were measured; what counts
/// is what it takes off beyond that.
pub(crate) fn overstated(
    workshop: &Workshop,
    scene: &Scene,
    course: &Course,
    contact: usize,
) -> Result<Option<(f64, f64)>, SaturationError> {
    let (reed, js) = (&scene.reeds[contact], saturation(workshop, contact));
    let mut most: Option<(f64, f64)> = None;
    for event in &course.events {
        let (state, level) = match event.kind {
            EventKind::Operate => (State::Open, reed.operate),
            EventKind::Release => (State::Closed, reed.release),
        };
        let bare = reed.solved.circuit(state);
        let circuits = scene.circuits(contact, scene.motion.world_from_rest(event.at));
        let here = Together(scene.sources_at(contact, event.at).collect());
        let in_coil = as_measured(workshop, scene, contact, state, level);
        let share = circuits.circuit(state).saturated(js, &here)?.share_of_linear;
        let over = bare.saturated(js, &in_coil)?.share_of_linear / share - 1.0;
        if most.is_none_or(|(known, _)| over.abs() > known.abs()) {
            most = Some((over, event.at));
        }
    }
    Ok(most)
}

/// What operate and release were measured in, strong enough for a drive of `level` (T).
fn as_measured(
    workshop: &Workshop,
    scene: &Scene,
    contact: usize,
    state: State,
    level: f64,
) -> Placed<AnySource> {
    let (design, solved) = (&workshop.design.contacts[contact], &scene.reeds[contact].solved);
    match workshop.stated(&design.coil, &design.operate, &|q| q.limits().nominal) {
        Calibration::AmpereTurns(coil, _) | Calibration::CoilCentre(coil, _) => {
            let kernel = solved.circuit(state).kernel();
            let flux = kernel.flux_in_uniform(FluxDensity::tesla(level));
            coil.carrying(AmpereTurns::at(flux / solved.per_ampere_turn(coil, state)))
        }
        Calibration::Uniform(_) => Placed {
            source: Uniform([level, 0.0, 0.0]).into(),
            world_from_body: reedmace_fields::Pose::IDENTITY,
        },
    }
}

/// Saturation polarization of a contact's blades, nominal.
pub(crate) fn saturation(workshop: &Workshop, contact: usize) -> Polarization {
    Polarization::from_si(workshop.design.contacts[contact].saturation.si())
}
