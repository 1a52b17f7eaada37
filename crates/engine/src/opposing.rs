//! The field of all others inside a magnet, against its polarization, at the worst of the sweep.
//!
//! All others are magnets, coils and a uniform field. Steel that a magnet magnetizes, which mostly eases
//! its load, is not among them: its charges differ from place to place of the sweep.

use crate::interior::Interior;
use crate::motion::Motion;
use crate::scene::{Body, Scene};
use reedmace_fields::{MU_0, Placed, Points, Pose, Source, Vectors};

/// Steps the sweep is cut into.
const STEPS: usize = 48;
/// Steps between the neighbours of the worst of them.
const FINER: usize = 12;

/// What opposes a magnet's polarization from outside, A/m.
pub(crate) struct Opposing {
    /// Highest along the sweep at each point.
    pub worst: Vec<f64>,
    /// Coordinate at which each point has it.
    pub worst_at: Vec<f64>,
    /// Highest mean over the volume along the sweep.
    pub mean: f64,
    /// False when nothing changes along the sweep.
    pub changes: bool,
}

impl Opposing {
    /// At the points of `inside` a magnet of the scene, along `direction` in its frame.
    pub fn along(scene: &Scene, magnet: usize, direction: [f64; 3], inside: &Interior) -> Self {
        let (motion, body) = (&scene.motion, &scene.bodies[magnet]);
        let neighbours: Vec<&Body> =
            scene.bodies.iter().enumerate().filter(|(k, _)| *k != magnet).map(|(_, b)| b).collect();
        let points = inside.points.points();
        let n = points.len();
        let field = |neighbour: &Body, moved: Pose, strength: f64| {
            opposing(neighbour, body, direction, points, moved, strength)
        };
        // What does not change along the sweep, and one unit of the swept coil where it is beside it.
        let (mut steady, mut per_unit) = (vec![0.0; n], vec![0.0; n]);
        for neighbour in neighbours.iter().filter(|s| s.keeps_its_place_beside(body.moves)) {
            let sum = if neighbour.swept { &mut per_unit } else { &mut steady };
            add(sum, &field(neighbour, Pose::IDENTITY, 1.0), 1.0);
        }
        let passing: Vec<&Body> =
            neighbours.iter().copied().filter(|s| !s.keeps_its_place_beside(body.moves)).collect();
        let at = |coordinate: f64| {
            let mut sum = steady.clone();
            add(&mut sum, &per_unit, coordinate);
            let moved = motion.world_from_rest(coordinate);
            for neighbour in &passing {
                let strength = if neighbour.swept { coordinate } else { 1.0 };
                add(&mut sum, &field(neighbour, moved, strength), 1.0);
            }
            sum
        };
        let changes = !passing.is_empty() || neighbours.iter().any(|s| s.swept);
        let mut found = Self {
            worst: vec![f64::NEG_INFINITY; n],
            worst_at: vec![0.0; n],
            mean: f64::NEG_INFINITY,
            changes,
        };
        let [from, to] = motion.range();
        if passing.is_empty() {
            // It is linear in the current, if it changes at all.
            for coordinate in [from, to] {
                found.take(coordinate, &at(coordinate), inside);
            }
            return found;
        }
        let coarse = coordinates(motion);
        let peaks: Vec<f64> = coarse.iter().map(|&c| found.take(c, &at(c), inside)).collect();
        let top = (0..peaks.len())
            .max_by(|a, b| peaks[*a].total_cmp(&peaks[*b]))
            .expect("a sweep has two ends");
        let (low, high) = (coarse[top.saturating_sub(1)], coarse[(top + 1).min(coarse.len() - 1)]);
        for k in 1..FINER {
            let coordinate = low + (high - low) * k as f64 / FINER as f64;
            found.take(coordinate, &at(coordinate), inside);
        }
        found
    }

    /// Takes in the field at one coordinate; gives its highest value.
    fn take(&mut self, coordinate: f64, field: &[f64], inside: &Interior) -> f64 {
        for (i, h) in field.iter().enumerate() {
            if *h > self.worst[i] {
                (self.worst[i], self.worst_at[i]) = (*h, coordinate);
            }
        }
        self.mean = self.mean.max(inside.mean(field));
        field.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }
}

/// Coordinates to look at: every corner of the path, and between them.
fn coordinates(motion: &Motion) -> Vec<f64> {
    let corners = motion.corners();
    let each = STEPS.div_ceil(corners.len() - 1);
    let mut all = vec![corners[0]];
    for pair in corners.windows(2) {
        all.extend((1..=each).map(|k| pair[0] + (pair[1] - pair[0]) * k as f64 / each as f64));
    }
    all
}

/// Field of one neighbour against `direction` at points of `body`, A/m.
fn opposing(
    neighbour: &Body,
    body: &Body,
    direction: [f64; 3],
    at: Points<'_>,
    world_from_rest: Pose,
    strength: f64,
) -> Vec<f64> {
    let body_from_world = body.pose(world_from_rest).inverse();
    let placed = Placed {
        source: neighbour.source,
        world_from_body: body_from_world * neighbour.pose(world_from_rest),
    };
    let mut b = Vectors::zeros(at.len());
    placed.add_b(at, b.view_mut());
    let along = |i: usize| b.get(i).iter().zip(direction).map(|(b, d)| b * d).sum::<f64>();
    (0..b.len()).map(|i| -strength * along(i) / MU_0).collect()
}

fn add(sum: &mut [f64], more: &[f64], factor: f64) {
    sum.iter_mut().zip(more).for_each(|(s, m)| *s += factor * m);
}
