//! Drives at a row of places: along the contact, one convolution.

use crate::beside::Kernels;
use crate::scene::{Drive, Scene, place};
use reedmace_contact::{Along, Scratch};
use reedmace_fields::{AnySource, Placed, Pose, Source};
use reedmace_units::Quantity;
use std::sync::OnceLock;

/// Points of a row's grid to a step at most; nearer the contact every place is computed by itself.
const FINEST: usize = 4;

/// Places along a source at which its distance from the contact's axis is taken.
const PLACES: usize = 16;

/// Rows of a map of contact `reed`, each place a `step` (world, m) from the one before.
///
/// Kernels once spread to a grid serve every row.
pub(crate) struct Rows<'s> {
    scene: &'s Scene,
    reed: usize,
    step: [f64; 3],
    /// For sources near the axis and far from it, by points to a step.
    grids: [[OnceLock<Along<'s>>; FINEST]; 2],
}

impl<'s> Rows<'s> {
    pub fn new(scene: &'s Scene, reed: usize, step: [f64; 3]) -> Self {
        Self { scene, reed, step, grids: Default::default() }
    }

    /// Drives of the contact with what moves put by `world_from_rest`, and then shifted 1, 2, … times
    /// by the step. `room` is that of each place, see [`Scene::room`]; where there is none the drive says
    /// nothing, and a rough one will do.
    ///
    /// Along the contact's axis the row is one convolution, see [`Along`]; else, and beside steel or
    /// near the contact, it is place after place.
    pub fn drives(&self, world_from_rest: Pose, room: &[f64], scratch: &mut Scratch) -> Vec<Drive> {
        let places = room.len();
        let shifted =
            |k: usize| Pose::translation(self.step.map(|s| s * k as f64)) * world_from_rest;
        let r = &self.scene.reeds[self.reed];
        let passing = || self.scene.bodies.iter().filter(|b| !b.is_steady_for(r));
        let mut drives = vec![Drive { open: r.steady[0], closed: r.steady[1] }; places];
        if let Some((along, points)) = self.grid(world_from_rest) {
            for body in passing() {
                let row = along.drives(&place(body, r, world_from_rest), points, places);
                for (sum, [open, closed]) in drives.iter_mut().zip(row) {
                    sum.open += open.si();
                    sum.closed += closed.si();
                }
            }
            return drives;
        }
        for (k, drive) in drives.iter_mut().enumerate() {
            if room[k] >= 0.0 {
                *drive = self.scene.drive_in(self.reed, shifted(k), 1.0, scratch);
                continue;
            }
            for body in passing() {
                let source = place(body, r, shifted(k));
                let [open, closed] = r.solved.pair.rough_drives(&source, scratch);
                drive.open += open.si();
                drive.closed += closed.si();
            }
        }
        drives
    }

    /// The grid on which a row is a convolution, and how many of its points a step spans.
    fn grid(&self, world_from_rest: Pose) -> Option<(&Along<'s>, i64)> {
        let r = &self.scene.reeds[self.reed];
        let Kernels::Still(pair) = &r.kernels else { return None };
        let mut in_contact = r.pose(world_from_rest).apply_inverse_to_vector(self.step);
        if r.moves {
            // The contact is shifted, and the sources stay: seen from it they go the other way.
            in_contact = in_contact.map(|s| -s);
        }
        let [along, across, up] = in_contact;
        let straight = across.hypot(up) <= 1e-9 * along.abs() && along != 0.0;
        if pair.has_steel() || !straight {
            return None;
        }
        let distance = self
            .scene
            .bodies
            .iter()
            .filter(|b| !b.is_steady_for(r))
            .map(|body| from_axis(&place(body, r, world_from_rest)))
            .fold(f64::INFINITY, f64::min);
        let spacing = |points: usize| along.abs() / points as f64;
        let points = (1..=FINEST).find(|p| Along::serves(pair, spacing(*p), distance))?;
        let far = Along::is_far(pair, distance);
        let kept = &self.grids[usize::from(far)][points - 1];
        let grid = kept.get_or_init(|| Along::new(pair, spacing(points), far));
        Some((grid, points as i64 * along.signum() as i64))
    }
}

/// A lower bound of the distance from a source to the contact's axis, m.
fn from_axis(source: &Placed<AnySource>) -> f64 {
    let (middle, radius) = (source.world_from_body.origin[0], source.source.bounding_radius());
    let spacing = 2.0 * radius / PLACES as f64;
    let nearest = (0..=PLACES)
        .map(|k| source.clearance([middle - radius + k as f64 * spacing, 0.0, 0.0]))
        .fold(f64::INFINITY, f64::min);
    (nearest * nearest - 0.25 * spacing * spacing).max(0.0).sqrt()
}
