//! A design with every quantity at one definite value: what the physics sees.

use crate::beside::Kernels;
use crate::error::EngineError;
use crate::motion::Motion;
use crate::shared::Shared;
use crate::solved::{Shelf, Solved, State};
use reedmace_contact::{KernelPair, Scratch};
use reedmace_fields::steel::SteelBody;
use reedmace_fields::{AnySource, Placed, Pose};
use reedmace_units::Quantity;
use std::sync::Arc;

/// Everything at one definite value.
#[derive(Debug, Clone)]
pub(crate) struct Scene {
    pub reeds: Vec<Reed>,
    pub bodies: Vec<Body>,
    pub steel: Vec<SteelPiece>,
    pub motion: Motion,
    /// Where circuits beside steel are kept.
    pub shelf: Arc<Shelf>,
    /// Panels aimed at for all steel together.
    pub panels: usize,
    /// Places in the first body's frame near which they are finer, m.
    pub near: Arc<Vec<[f64; 3]>>,
    /// True where the contacts are told together.
    pub shares: bool,
    /// What they then do to each other. Set by [`Scene::settle`].
    pub shared: Option<Arc<Shared>>,
}

/// A steel body with its place before the sweep moves it.
#[derive(Debug, Clone)]
pub(crate) struct SteelPiece {
    pub body: SteelBody,
    pub moves: bool,
}

/// A contact: its circuits, its kernels, its levels, its place.
#[derive(Debug, Clone)]
pub(crate) struct Reed {
    /// Circuits of the bare contact.
    pub solved: Arc<Solved>,
    /// Its kernels with the steel beside it. Set by [`Scene::settle`].
    pub kernels: Kernels,
    /// Drive of the open contact at which it operates, T.
    pub operate: f64,
    /// Drive of the closed contact at which it releases, T.
    pub release: f64,
    /// It opens when it operates.
    pub breaks: bool,
    /// Contact frame in the world, before the sweep moves it.
    pub rest: Pose,
    pub moves: bool,
    /// Drive of all that keeps its place beside this contact, open and closed, T; zero where steel
    /// moves beside it.
    pub steady: [f64; 2],
    /// The same of one unit of the swept coil's current, T; zero where the coil moves beside it.
    pub per_unit: [f64; 2],
}

/// A source with its place.
#[derive(Debug, Clone, PartialEq)]
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

impl Drive {
    /// That of the contact in a state.
    pub fn of(self, state: State) -> f64 {
        match state {
            State::Open => self.open,
            State::Closed => self.closed,
        }
    }
}

impl Scene {
    /// Solves the contacts beside the steel, and sums up what does not change along the sweep; call
    /// once after all is in place.
    ///
    /// # Errors
    /// [`EngineError::Steel`] when a steel body cannot exist.
    pub fn settle(self) -> Result<Self, EngineError> {
        let kernels = self.solved_kernels()?;
        self.settle_with(kernels)
    }

    /// The same with the contacts' kernels given.
    ///
    /// # Errors
    /// [`EngineError`] when contacts told together are in the same place.
    pub fn settle_with(mut self, kernels: Vec<Kernels>) -> Result<Self, EngineError> {
        let mut scratch = Scratch::default();
        for (reed, kernels) in self.reeds.iter_mut().zip(kernels) {
            (reed.steady, reed.per_unit) = ([0.0; 2], [0.0; 2]);
            if let Kernels::Still(pair) = &kernels {
                for body in self.bodies.iter().filter(|b| b.keeps_its_place_beside(reed.moves)) {
                    let drives = pair.drives(&place(body, reed, Pose::IDENTITY), &mut scratch);
                    let sum = if body.swept { &mut reed.per_unit } else { &mut reed.steady };
                    (0..2).for_each(|i| sum[i] += drives[i].si());
                }
            }
            reed.kernels = kernels;
        }
        if self.shares { self.share() } else { Ok(self) }
    }

    /// Puts what moves elsewhere for good, all of it together. What the scene knows to be at rest against
    /// something else stays so.
    pub fn carry(&mut self, world_from_rest: Pose) {
        for reed in self.reeds.iter_mut().filter(|reed| reed.moves) {
            reed.rest = world_from_rest * reed.rest;
        }
        for body in self.bodies.iter_mut().filter(|body| body.moves) {
            body.rest = world_from_rest * body.rest;
        }
        for piece in self.steel.iter_mut().filter(|piece| piece.moves) {
            piece.body.world_from_body = world_from_rest * piece.body.world_from_body;
        }
    }

    /// Drive of contact `reed` at a coordinate.
    pub fn drive(&self, reed: usize, coordinate: f64, scratch: &mut Scratch) -> Drive {
        self.drive_in(reed, self.motion.world_from_rest(coordinate), coordinate, scratch)
    }

    /// Drive of contact `reed` with what moves put by `world_from_rest`: at the coordinate or, where its
    /// kernels are not blended along the sweep, anywhere.
    pub fn drive_in(
        &self,
        reed: usize,
        world_from_rest: Pose,
        coordinate: f64,
        scratch: &mut Scratch,
    ) -> Drive {
        let mut sum = self.reeds[reed].steady_drive(coordinate);
        self.each_drive(reed, world_from_rest, coordinate, scratch, &mut |_, drive| {
            sum.open += drive.open;
            sum.closed += drive.closed;
        });
        sum
    }

    /// Calls `take` with each source that is in no steady sum of contact `reed` and its drive.
    pub fn each_drive(
        &self,
        reed: usize,
        world_from_rest: Pose,
        coordinate: f64,
        scratch: &mut Scratch,
        take: &mut impl FnMut(usize, Drive),
    ) {
        let made;
        let pair = match &self.reeds[reed].kernels {
            Kernels::Still(pair) => pair,
            Kernels::Anew => {
                made = self.pair(reed, world_from_rest);
                &made.expect("steel that exists at rest exists anywhere")
            }
            Kernels::Passing(passing) => &Arc::new(passing.at(coordinate)),
        };
        let reed = &self.reeds[reed];
        for (k, body) in self.bodies.iter().enumerate().filter(|(_, b)| !b.is_steady_for(reed)) {
            let strength = if body.swept { coordinate } else { 1.0 };
            let [open, closed] = pair.drives(&place(body, reed, world_from_rest), scratch);
            take(k, Drive { open: strength * open.si(), closed: strength * closed.si() });
        }
    }

    /// Drive that a source elsewhere in the world would add to contact `reed`, with what moves put by
    /// `world_from_rest`, at the coordinate.
    pub fn drive_of(
        &self,
        reed: usize,
        world_from_rest: Pose,
        coordinate: f64,
        source: Placed<AnySource>,
        scratch: &mut Scratch,
    ) -> Drive {
        let contact_from_world = self.reeds[reed].pose(world_from_rest).inverse();
        let world_from_body = contact_from_world * source.world_from_body;
        let pair = self.kernels(reed, world_from_rest, coordinate);
        let [open, closed] = pair.drives(&Placed { world_from_body, ..source }, scratch);
        Drive { open: open.si(), closed: closed.si() }
    }

    /// The kernels of contact `reed` with what moves put by `world_from_rest`, at the coordinate.
    fn kernels(&self, reed: usize, world_from_rest: Pose, coordinate: f64) -> Arc<KernelPair> {
        match &self.reeds[reed].kernels {
            Kernels::Still(pair) => pair.clone(),
            Kernels::Anew => {
                let made = self.pair(reed, world_from_rest);
                made.expect("steel that exists at rest exists anywhere")
            }
            Kernels::Passing(passing) => Arc::new(passing.at(coordinate)),
        }
    }

    /// Drive of contact `reed` at a coordinate by kernels of any making.
    pub fn drive_by(
        &self,
        reed: usize,
        coordinate: f64,
        pair: &KernelPair,
        scratch: &mut Scratch,
    ) -> Drive {
        let mut sum = Drive { open: 0.0, closed: 0.0 };
        for (strength, source) in self.sources_at(reed, coordinate) {
            let [open, closed] = pair.drives(&source, scratch);
            sum.open += strength * open.si();
            sum.closed += strength * closed.si();
        }
        sum
    }

    /// Every source as contact `reed` sees it at a coordinate, with its strength.
    pub fn sources_at(
        &self,
        reed: usize,
        coordinate: f64,
    ) -> impl Iterator<Item = (f64, Placed<AnySource>)> {
        let world_from_contact = self.reeds[reed].pose(self.motion.world_from_rest(coordinate));
        self.sources_from(world_from_contact, coordinate)
    }

    /// Every source as seen from a frame at a coordinate, with its strength.
    pub fn sources_from(
        &self,
        world_from_frame: Pose,
        coordinate: f64,
    ) -> impl Iterator<Item = (f64, Placed<AnySource>)> {
        let moved = self.motion.world_from_rest(coordinate);
        let frame_from_world = world_from_frame.inverse();
        self.bodies.iter().map(move |body| {
            let strength = if body.swept { coordinate } else { 1.0 };
            let world_from_body = frame_from_world * body.pose(moved);
            (strength, Placed { source: body.source, world_from_body })
        })
    }
}

impl Reed {
    /// Drive at a coordinate of all that keeps its place beside this contact.
    pub fn steady_drive(&self, coordinate: f64) -> Drive {
        let of = |i: usize| self.steady[i] + coordinate * self.per_unit[i];
        Drive { open: of(0), closed: of(1) }
    }

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
    /// True when the sweep changes nothing between it and something that `moves` or not. A field from
    /// elsewhere is the same everywhere, but turns in the frame of what moves.
    pub fn keeps_its_place_beside(&self, moves: bool) -> bool {
        let everywhere = matches!(self.source, AnySource::Uniform(_));
        self.moves == moves && !(everywhere && moves)
    }

    /// True when its drive on this contact is in the contact's steady sums.
    pub fn is_steady_for(&self, reed: &Reed) -> bool {
        matches!(reed.kernels, Kernels::Still(_)) && self.keeps_its_place_beside(reed.moves)
    }
}

/// The source in the contact's frame.
pub(crate) fn place(body: &Body, reed: &Reed, world_from_rest: Pose) -> Placed<AnySource> {
    let contact_from_world = reed.pose(world_from_rest).inverse();
    Placed { source: body.source, world_from_body: contact_from_world * body.pose(world_from_rest) }
}
