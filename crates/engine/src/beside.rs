//! What steel makes of a scene: the contacts' kernels beside it, and the flux density inside it.

use crate::error::EngineError;
use crate::passing::Passing;
use crate::scene::{Reed, Scene, SteelPiece};
use crate::solved::{Cut, Solved};
use crate::together::Together;
use rayon::prelude::*;
use reedmace_contact::KernelPair;
use reedmace_fields::steel::{Steel, SteelBody};
use reedmace_fields::{AnySource, Placed, Pose, Source, Vectors};
use std::sync::Arc;

/// The kernels of a contact, with the steel beside it.
#[derive(Debug, Clone)]
pub(crate) enum Kernels {
    /// No steel moves beside it: one pair serves every coordinate.
    Still(Arc<KernelPair>),
    /// Some does: solved at each pose.
    Anew,
    /// Some does: blended between poses along the sweep.
    Passing(Arc<Passing>),
}

impl Scene {
    /// Every contact's kernels beside the steel, solved.
    ///
    /// # Errors
    /// [`EngineError::Steel`] when a steel body cannot exist.
    pub fn solved_kernels(&self) -> Result<Vec<Kernels>, EngineError> {
        let kernels = |reed: &Reed| {
            // Also where steel moves: a body that cannot exist is found here and not along the sweep.
            let pair = self.solve(reed, Pose::IDENTITY)?.pair.clone();
            Ok(if self.steel_moves_beside(reed) { Kernels::Anew } else { Kernels::Still(pair) })
        };
        self.reeds.iter().map(kernels).collect()
    }

    /// True when the sweep moves steel and contact against each other.
    pub fn steel_moves_beside(&self, reed: &Reed) -> bool {
        self.steel.iter().any(|piece| piece.moves != reed.moves)
    }

    /// Circuits of contact `reed` beside the steel, with what moves put by `world_from_rest`.
    pub fn circuits(&self, reed: usize, world_from_rest: Pose) -> Arc<Solved> {
        let reed = &self.reeds[reed];
        let pose = if self.steel_moves_beside(reed) { world_from_rest } else { Pose::IDENTITY };
        self.solve(reed, pose).expect("steel that exists at rest exists anywhere")
    }

    fn solve(&self, reed: &Reed, world_from_rest: Pose) -> Result<Arc<Solved>, EngineError> {
        if self.steel.is_empty() {
            return Ok(reed.solved.clone());
        }
        let (cut, contact_from_first) = self.seen_from(reed, world_from_rest);
        self.shelf.beside(&reed.solved, cut, contact_from_first)
    }

    /// Kernels of contact `reed` alone, with what moves put by `world_from_rest`.
    ///
    /// # Errors
    /// [`EngineError::Steel`] when a steel body cannot exist.
    pub fn pair(&self, reed: usize, world_from_rest: Pose) -> Result<Arc<KernelPair>, EngineError> {
        let reed = &self.reeds[reed];
        let (cut, contact_from_first) = self.seen_from(reed, world_from_rest);
        self.shelf.pair(&reed.solved, cut, contact_from_first)
    }

    /// The steel, and its first body's frame in the contact's.
    pub fn seen_from(&self, reed: &Reed, world_from_rest: Pose) -> (Cut, Pose) {
        let (cut, world_from_first) = self.cut(world_from_rest);
        (cut, reed.pose(world_from_rest).inverse() * world_from_first)
    }

    /// True when no body of steel moves against another.
    pub fn steel_is_one(&self) -> bool {
        self.steel.iter().all(|piece| piece.moves == self.steel[0].moves)
    }

    /// Normal field of each source alone at each panel of `steel`, which is all of the scene's as one, T.
    pub fn fields_on(&self, steel: &Steel, coordinate: f64) -> Vec<Vec<f64>> {
        let (_, world_from_first) = self.cut(self.motion.world_from_rest(coordinate));
        let (at, n) = (&steel.rule().points, &steel.rule().normals);
        let normal = |(strength, source): (f64, Placed<AnySource>)| {
            let mut b = Vectors::zeros(at.len());
            source.add_b(at.points(), b.view_mut());
            let along = |i: usize| b.x[i] * n.x[i] + b.y[i] * n.y[i] + b.z[i] * n.z[i];
            (0..at.len()).map(|i| strength * along(i)).collect()
        };
        self.sources_from(world_from_first, coordinate).map(normal).collect()
    }

    /// The steel, factored, with what moves put by `world_from_rest`, in its first body's frame.
    pub fn factored(&self, world_from_rest: Pose) -> Arc<Steel> {
        let (cut, _) = self.cut(world_from_rest);
        self.shelf.steel(cut).expect("steel that exists at rest exists anywhere")
    }

    /// The steel in its first body's frame, and that frame in the world.
    fn cut(&self, world_from_rest: Pose) -> (Cut, Pose) {
        let world_from = |piece: &SteelPiece| piece.pose(world_from_rest);
        // Bodies that keep their places beside each other keep them to the last bit.
        let together = self.steel_is_one();
        let first = &self.steel[0];
        let first_from = |piece: &SteelPiece| match together {
            true => first.body.world_from_body.inverse() * piece.body.world_from_body,
            false => world_from(first).inverse() * world_from(piece),
        };
        let bodies = self.steel.iter().enumerate().map(|(k, piece)| SteelBody {
            world_from_body: if k == 0 { Pose::IDENTITY } else { first_from(piece) },
            ..piece.body.clone()
        });
        let bodies = bodies.collect();
        (Cut { bodies, panels: self.panels, near: self.near.clone() }, world_from(first))
    }

    /// Highest flux density in each body of steel at each of the coordinates, T, without what the
    /// contacts' own flux adds.
    pub fn steel_flux_densities(&self, coordinates: &[f64]) -> Vec<Vec<f64>> {
        let together = if self.steel_is_one() { coordinates.len().max(1) } else { 1 };
        let peaks = |coordinates: &[f64]| -> Vec<Vec<f64>> {
            let moved = self.motion.world_from_rest(coordinates[0]);
            let steel = self.factored(moved);
            let charges = |&c: &f64| {
                let (_, world_from_first) = self.cut(self.motion.world_from_rest(c));
                let sources = Together(self.sources_from(world_from_first, c).collect());
                steel.solve(&steel.load(&sources))
            };
            let charges: Vec<Vec<f64>> = coordinates.iter().map(charges).collect();
            let peaks = steel.flux_densities(&charges).into_iter();
            peaks.map(|bodies| bodies.into_iter().map(|peak| peak.b).collect()).collect()
        };
        coordinates.par_chunks(together).map(peaks).collect::<Vec<_>>().concat()
    }

    /// Panels that each body of steel is cut into.
    pub fn steel_panels(&self) -> Vec<usize> {
        let steel = self.factored(Pose::IDENTITY);
        let mut counts = vec![0; self.steel.len()];
        (0..steel.len()).for_each(|i| counts[steel.body_of(i)] += 1);
        counts
    }
}

impl SteelPiece {
    /// Body frame in the world with what moves put by `world_from_rest`.
    pub fn pose(&self, world_from_rest: Pose) -> Pose {
        let rest = self.body.world_from_body;
        if self.moves { world_from_rest * rest } else { rest }
    }
}
