//! A design with every quantity at one definite value: what the physics sees.

use crate::motion::Motion;
use crate::solved::Solved;
use reedmace_contact::Scratch;
use reedmace_fields::{AnySource, Placed, Pose, Source};
use reedmace_units::Quantity;
use std::sync::Arc;

/// Everything at one definite value.
#[derive(Debug, Clone)]
pub(crate) struct Scene {
    pub reeds: Vec<Reed>,
    pub bodies: Vec<Body>,
    pub motion: Motion,
}

/// A contact: its circuits, its levels, its place.
#[derive(Debug, Clone)]
pub(crate) struct Reed {
    pub solved: Arc<Solved>,
    /// Drive of the open contact at which it operates, T.
    pub operate: f64,
    /// Drive of the closed contact at which it releases, T.
    pub release: f64,
    /// Contact frame in the world, before the sweep moves it.
    pub rest: Pose,
    pub moves: bool,
    /// Drive of all that keeps its place beside this contact, open and closed, T.
    pub steady: [f64; 2],
    /// The same of one unit of the swept coil's current, T; zero where the coil moves beside it.
    pub per_unit: [f64; 2],
}

/// A source with its place.
#[derive(Debug, Clone)]
pub(crate) struct Body {
    pub source: AnySource,
    /// Body frame in the world, before the sweep moves it.
    pub rest: Pose,
    pub moves: bool,
    /// True for the coil whose current is the sweep's: `source` then carries one unit of it.
    pub swept: bool,
}

/// Drive of a contact, T.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Drive {
    pub open: f64,
    pub closed: f64,
}

impl Scene {
    /// Sums up what does not change along the sweep; call once after the bodies are in place.
    pub fn settle(mut self) -> Self {
        let mut scratch = Scratch::default();
        for k in 0..self.reeds.len() {
            let reed = &self.reeds[k];
            let (mut steady, mut per_unit) = ([0.0; 2], [0.0; 2]);
            for body in self.bodies.iter().filter(|b| b.is_steady_for(reed)) {
                let placed = place(body, reed, Pose::IDENTITY);
                let drives = reed.solved.pair.drives(&placed, &mut scratch);
                let sum = if body.swept { &mut per_unit } else { &mut steady };
                (0..2).for_each(|i| sum[i] += drives[i].si());
            }
            (self.reeds[k].steady, self.reeds[k].per_unit) = (steady, per_unit);
        }
        self
    }

    /// Drive of contact `reed` at a coordinate.
    pub fn drive(&self, reed: usize, coordinate: f64, scratch: &mut Scratch) -> Drive {
        self.drive_in(reed, self.motion.world_from_rest(coordinate), coordinate, scratch)
    }

    /// Drive of contact `reed` with what moves put by `world_from_rest`.
    pub fn drive_in(
        &self,
        reed: usize,
        world_from_rest: Pose,
        coordinate: f64,
        scratch: &mut Scratch,
    ) -> Drive {
        let reed = &self.reeds[reed];
        let at = |i: usize| reed.steady[i] + coordinate * reed.per_unit[i];
        let (mut open, mut closed) = (at(0), at(1));
        for body in self.bodies.iter().filter(|b| !b.is_steady_for(reed)) {
            let drives = reed.solved.pair.drives(&place(body, reed, world_from_rest), scratch);
            open += drives[0].si();
            closed += drives[1].si();
        }
        Drive { open, closed }
    }

    /// Room between contact `reed`, with the radius it has at each `[x, radius]` along its axis, and
    /// what moves against it, put by `world_from_rest`, m; below zero where they would meet.
    pub fn room(&self, reed: usize, world_from_rest: Pose, outline: &[[f64; 2]]) -> f64 {
        let reed = &self.reeds[reed];
        let placed = self.bodies.iter().filter(|b| !b.is_steady_for(reed));
        placed
            .map(|body| place(body, reed, world_from_rest))
            .flat_map(|body| outline.iter().map(move |&[x, r]| body.clearance([x, 0.0, 0.0]) - r))
            .fold(f64::INFINITY, f64::min)
    }

    /// Every source as contact `reed` sees it at a coordinate, with its strength.
    pub fn sources_at(
        &self,
        reed: usize,
        coordinate: f64,
    ) -> impl Iterator<Item = (f64, Placed<AnySource>)> {
        let moved = self.motion.world_from_rest(coordinate);
        self.bodies.iter().map(move |body| {
            let strength = if body.swept { coordinate } else { 1.0 };
            (strength, place(body, &self.reeds[reed], moved))
        })
    }
}

/// Places along a contact at which the distance of what passes it is taken.
const PLACES: usize = 16;
/// Distances below this count as this, m: what passes that near touches.
const TOUCHING: f64 = 0.5e-3;

impl Scene {
    /// True when some source passes contact `reed` between two coordinates by more than its distance
    /// from it: a lobe could lie between.
    pub fn strides(&self, reed: usize, from: f64, to: f64) -> bool {
        let half = 0.5 * self.reeds[reed].solved.open.geometry().overall_length.si();
        self.sources_at(reed, from).zip(self.sources_at(reed, to)).any(|((_, a), (_, b))| {
            let (p, q) = (a.world_from_body.origin, b.world_from_body.origin);
            let way = (0..3).map(|i| (p[i] - q[i]).powi(2)).sum::<f64>().sqrt();
            way > TOUCHING && {
                let places = (0..=PLACES).map(|k| 2.0 * k as f64 / PLACES as f64 - 1.0);
                let distance = places
                    .map(|x| [half * x, 0.0, 0.0])
                    .map(|x| a.clearance(x).min(b.clearance(x)))
                    .fold(f64::INFINITY, f64::min);
                way > distance.max(TOUCHING)
            }
        })
    }
}

impl Reed {
    /// Contact frame in the world with what moves put by `world_from_rest`.
    pub fn pose(&self, world_from_rest: Pose) -> Pose {
        if self.moves { world_from_rest * self.rest } else { self.rest }
    }
}

impl Body {
    /// Body frame in the world with what moves put by `world_from_rest`.
    pub fn pose(&self, world_from_rest: Pose) -> Pose {
        if self.moves { world_from_rest * self.rest } else { self.rest }
    }
    fn is_steady_for(&self, reed: &Reed) -> bool {
        let everywhere = matches!(self.source, AnySource::Uniform(_));
        self.moves == reed.moves && !(everywhere && reed.moves)
    }
}

/// The source in the contact's frame.
fn place(body: &Body, reed: &Reed, world_from_rest: Pose) -> Placed<AnySource> {
    let contact_from_world = reed.pose(world_from_rest).inverse();
    Placed { source: body.source, world_from_body: contact_from_world * body.pose(world_from_rest) }
}
