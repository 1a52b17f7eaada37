//! Drives at a row of places: along the contact, one convolution.

use crate::beside::Kernels;
use crate::scene::{Drive, Scene, place};
use reedmace_contact::{Along, Scratch};
use reedmace_fields::{AnySource, Placed, Pose, Source};
use reedmace_units::Quantity;

/// Points of a row's grid to a step at most; nearer the contact every place is computed by itself.
const FINEST: i64 = 4;

/// Places along a source at which its distance from the contact's axis is taken.
const PLACES: usize = 16;

impl Scene {
    /// Drives of contact `reed` with what moves put by `world_from_rest`, and then shifted 1, 2, …
    /// times by `step` (world, m): a row of a map. `room` is that of each place, see [`Self::room`];
    /// where there is none the drive says nothing, and a rough one will do.
    ///
    /// Along the contact's axis the row is one convolution, see [`Along`]; else, and beside steel or
    /// near the contact, it is place after place.
    pub fn drives_in_row(
        &self,
        reed: usize,
        world_from_rest: Pose,
        step: [f64; 3],
        room: &[f64],
        scratch: &mut Scratch,
    ) -> Vec<Drive> {
        let places = room.len();
        let shifted = |k: usize| Pose::translation(step.map(|s| s * k as f64)) * world_from_rest;
        let r = &self.reeds[reed];
        let mut drives = vec![Drive { open: r.steady[0], closed: r.steady[1] }; places];
        if let Some((along, points)) = self.row_on_grid(reed, world_from_rest, step) {
            for body in self.bodies.iter().filter(|b| !b.is_steady_for(r)) {
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
                *drive = self.drive_in(reed, shifted(k), 1.0, scratch);
                continue;
            }
            for body in self.bodies.iter().filter(|b| !b.is_steady_for(r)) {
                let source = place(body, r, shifted(k));
                let [open, closed] = r.solved.pair.rough_drives(&source, scratch);
                drive.open += open.si();
                drive.closed += closed.si();
            }
        }
        drives
    }

    /// The grid on which a row is a convolution, and how many of its points a step spans.
    fn row_on_grid(
        &self,
        reed: usize,
        world_from_rest: Pose,
        step: [f64; 3],
    ) -> Option<(Along<'_>, i64)> {
        let r = &self.reeds[reed];
        let Kernels::Still(pair) = &r.kernels else { return None };
        let mut in_contact = r.pose(world_from_rest).apply_inverse_to_vector(step);
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
            .bodies
            .iter()
            .filter(|b| !b.is_steady_for(r))
            .map(|body| from_axis(&place(body, r, world_from_rest)))
            .fold(f64::INFINITY, f64::min);
        let points =
            (1..=FINEST).find(|p| Along::serves(pair, along.abs() / *p as f64, distance))?;
        let spacing = along.abs() / points as f64;
        Some((Along::new(pair, spacing, distance), points * along.signum() as i64))
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
