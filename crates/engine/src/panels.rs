//! Into how many panels the steel is cut, and what coarser ones would change.

use crate::error::EngineError;
use crate::quantity::Level;
use crate::realise::Workshop;
use crate::scene::Scene;
use rayon::prelude::*;
use reedmace_contact::Scratch;
use reedmace_units::Quantity;
use std::sync::Arc;

/// Counts of panels tried, each twice the one before.
const COUNTS: [usize; 5] = [250, 500, 1000, 2000, 4000];
/// Where steel moves beside a contact many poses are solved: no more panels than this.
const MOVING: usize = 1000;
/// The panels are fine enough when half as many change the drive by less than this share of the operate
/// level, or of the drive where it is greater. What is still wrong then is about half of that or less:
/// of plates, bars and boxes near a contact 0.3 to 0.5 of the change was found, against 7000 panels.
const ENOUGH: f64 = 6e-3;
/// Places along half a contact towards which panels are finer.
const ALONG: i32 = 10;
/// Places along the sweep at which drives are compared.
const PLACES: usize = 9;

/// What the steel is cut into and how good that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Panels {
    /// Panels aimed at, of all steel together.
    pub count: usize,
    /// Largest change of drive from half as many panels, open or closed, over the operate level or the
    /// drive, whichever is greater.
    pub change: f64,
    /// True when that is little enough.
    pub enough: bool,
}

/// The nominal scene on panels fine enough, and how fine they are; `None` without steel, and with
/// `coarse` panels, the fewest.
pub(crate) fn refined(
    workshop: &mut Workshop,
    coarse: bool,
) -> Result<(Scene, Option<Panels>), EngineError> {
    let nominal = vec![Level::Nominal; workshop.variables.len()];
    let unsettled = workshop.unsettled(&nominal)?;
    if unsettled.steel.is_empty() {
        return Ok((unsettled.settle()?, None));
    }
    (workshop.near, workshop.panels) = (Arc::new(places_near(&unsettled)), COUNTS[0]);
    let mut scene = workshop.scene(&nominal)?;
    if coarse {
        return Ok((scene, None));
    }
    let mut drives = sampled(&scene);
    let mut panels = Panels { count: COUNTS[0], change: f64::INFINITY, enough: false };
    let moving = scene.reeds.iter().any(|r| scene.steel_moves_beside(r));
    for &count in COUNTS[1..].iter().take_while(|c| !moving || **c <= MOVING) {
        workshop.panels = count;
        let finer_scene = workshop.scene(&nominal)?;
        let finer = sampled(&finer_scene);
        let change = drives.iter().zip(&finer).map(|(a, b)| (a - b).abs() / b.abs().max(1.0));
        let change = change.fold(0.0, f64::max);
        (scene, drives) = (finer_scene, finer);
        panels = Panels { count, change, enough: change <= ENOUGH };
        if panels.enough {
            break;
        }
    }
    Ok((scene, Some(panels)))
}

/// Drives of all contacts along the sweep, open and closed, over their operate levels.
fn sampled(scene: &Scene) -> Vec<f64> {
    let [from, to] = scene.motion.range();
    let places = (0..scene.reeds.len() * PLACES).into_par_iter().map(|i| {
        let (reed, k) = (i / PLACES, i % PLACES);
        let at = from + (to - from) * k as f64 / (PLACES - 1) as f64;
        let drive = scene.drive(reed, at, &mut Scratch::default());
        [drive.open, drive.closed].map(|d| d / scene.reeds[reed].operate)
    });
    places.collect::<Vec<_>>().concat()
}

/// Where the panels should be fine: along the contacts and where the sources come, in the first
/// body's frame, m.
fn places_near(scene: &Scene) -> Vec<[f64; 3]> {
    let [from, to] = scene.motion.range();
    let mut near = Vec::new();
    for k in 0..PLACES {
        let moved =
            scene.motion.world_from_rest(from + (to - from) * k as f64 / (PLACES - 1) as f64);
        let world_from_first = scene.steel[0].pose(moved);
        let mut note = |place: [f64; 3]| {
            let place = world_from_first.apply_inverse(place);
            if !near.contains(&place) {
                near.push(place);
            }
        };
        for reed in &scene.reeds {
            let half = 0.5 * reed.solved.open.geometry().overall_length.si();
            (-ALONG..=ALONG).for_each(|i| {
                let x = half * f64::from(i) / f64::from(ALONG);
                note(reed.pose(moved).apply([x, 0.0, 0.0]));
            });
        }
        scene.bodies.iter().for_each(|body| note(body.pose(moved).origin));
    }
    near
}
