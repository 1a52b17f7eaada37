//! Kernels of a contact that steel passes, blended between poses along the sweep.

use crate::error::EngineError;
use crate::polynomial::lagrange;
use crate::scene::Scene;
use rayon::prelude::*;
use reedmace_contact::{KernelPair, Scratch};
use std::sync::Arc;

/// Poses from which the kernels of a stretch are blended, evenly from one end to the other.
const POSES: usize = 5;
/// A stretch serves when halfway between its poses the blended drive differs from the solved one by no
/// more than this share of it or of the operate level.
const ENOUGH: f64 = 2e-4;
/// Nor does it need to be better than this share of what half as many panels change.
const OF_PANELS: f64 = 0.1;
/// Times a stretch is halved at most.
const DEPTH: usize = 8;

/// The sweep in stretches, by the share of it that is done.
#[derive(Debug, Clone)]
pub(crate) struct Stretches {
    /// Shares at which kernels are solved.
    pub shares: Vec<f64>,
    /// End of each stretch, and its poses among these.
    stretches: Vec<(f64, [usize; POSES])>,
}

/// The kernels of one contact along the sweep of one unit.
#[derive(Debug)]
pub(crate) struct Passing {
    pub stretches: Arc<Stretches>,
    /// At each of its shares.
    pub pairs: Vec<Arc<KernelPair>>,
    /// Coordinate where the sweep starts and ends.
    pub range: [f64; 2],
}

impl Passing {
    /// The kernels at a coordinate.
    pub fn at(&self, coordinate: f64) -> KernelPair {
        let share = (coordinate - self.range[0]) / (self.range[1] - self.range[0]);
        self.stretches.blended(share, &self.pairs)
    }
}

impl Stretches {
    /// Cuts the sweep of `scene` past contact `reed` into stretches along which blended kernels serve.
    /// `change`: of the drive on half as many panels.
    pub fn new(scene: &Scene, reed: usize, change: f64) -> Result<Self, EngineError> {
        let enough = ENOUGH.max(OF_PANELS * change);
        let [from, to] = scene.motion.range();
        let mut known = Known { scene, reed, shares: Vec::new(), pairs: Vec::new() };
        // A path may turn at its corners.
        let corners: Vec<f64> =
            scene.motion.corners().iter().map(|c| (c - from) / (to - from)).collect();
        let mut open: Vec<[f64; 2]> = corners.windows(2).map(|w| [w[0], w[1]]).collect();
        let mut good: Vec<(f64, [usize; POSES])> = Vec::new();
        for depth in 0..=DEPTH {
            // The places to try at are poses of the halves, should it come to that.
            let places = open.iter().flat_map(|&ends| evenly(ends, 2 * POSES - 1)).collect();
            known.solve(places)?;
            let mut halves = Vec::new();
            for ends in open {
                let poses: Vec<usize> =
                    evenly(ends, POSES).into_iter().map(|s| known.index(s)).collect();
                let poses: [usize; POSES] = poses.try_into().expect("as many as asked for");
                if depth == DEPTH || known.serves(ends, &poses, enough) {
                    good.push((ends[1], poses));
                } else {
                    let middle = 0.5 * (ends[0] + ends[1]);
                    halves.extend([[ends[0], middle], [middle, ends[1]]]);
                }
            }
            open = halves;
        }
        good.sort_by(|a, b| a.0.total_cmp(&b.0));
        // What was tried only is forgotten.
        let mut used: Vec<usize> = good.iter().flat_map(|(_, poses)| *poses).collect();
        used.sort_unstable();
        used.dedup();
        let renumbered = |i: usize| used.binary_search(&i).expect("it is used");
        let stretches = good.iter().map(|(end, poses)| (*end, poses.map(renumbered))).collect();
        let shares = used.iter().map(|&i| known.shares[i]).collect();
        Ok(Self { shares, stretches })
    }

    /// The kernels at a share of the sweep, from those at its own shares.
    pub fn blended(&self, share: f64, pairs: &[Arc<KernelPair>]) -> KernelPair {
        let last = self.stretches.len() - 1;
        let k = self.stretches.partition_point(|(end, _)| *end < share).min(last);
        blended(share, &self.stretches[k].1, &self.shares, pairs)
    }
}

fn blended(
    share: f64,
    poses: &[usize; POSES],
    shares: &[f64],
    pairs: &[Arc<KernelPair>],
) -> KernelPair {
    let places: Vec<f64> = poses.iter().map(|&i| shares[i]).collect();
    let weights = lagrange(share, &places);
    let parts: Vec<(f64, &KernelPair)> =
        weights.into_iter().zip(poses).map(|(w, &i)| (w, &*pairs[i])).collect();
    KernelPair::blend(&parts)
}

fn evenly([from, to]: [f64; 2], count: usize) -> Vec<f64> {
    (0..count).map(|k| from + (to - from) * k as f64 / (count - 1) as f64).collect()
}

/// The kernels solved so far.
struct Known<'a> {
    scene: &'a Scene,
    reed: usize,
    shares: Vec<f64>,
    pairs: Vec<Arc<KernelPair>>,
}

impl Known<'_> {
    fn coordinate(&self, share: f64) -> f64 {
        let [from, to] = self.scene.motion.range();
        from + share * (to - from)
    }

    fn position(&self, share: f64) -> Option<usize> {
        self.shares.iter().position(|known| (known - share).abs() < 1e-9)
    }

    fn index(&self, share: f64) -> usize {
        self.position(share).expect("solved before")
    }

    fn solve(&mut self, shares: Vec<f64>) -> Result<(), EngineError> {
        let mut new: Vec<f64> =
            shares.into_iter().filter(|s| self.position(*s).is_none()).collect();
        new.sort_by(f64::total_cmp);
        new.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let solve = |&share: &f64| {
            let moved = self.scene.motion.world_from_rest(self.coordinate(share));
            self.scene.pair(self.reed, moved)
        };
        let pairs = new.par_iter().map(solve).collect::<Result<Vec<_>, _>>()?;
        self.shares.extend(new);
        self.pairs.extend(pairs);
        Ok(())
    }

    /// True where kernels blended halfway between poses give the drives of the solved ones.
    fn serves(&self, ends: [f64; 2], poses: &[usize; POSES], enough: f64) -> bool {
        let between = evenly(ends, 2 * POSES - 1).into_iter().skip(1).step_by(2);
        between.into_iter().all(|share| {
            let at = self.coordinate(share);
            let blended = blended(share, poses, &self.shares, &self.pairs);
            // Blends have no compressed rules, so that the solved ones' are to be left out as well.
            let solved = KernelPair::blend(&[(1.0, &self.pairs[self.index(share)])]);
            let operate = self.scene.reeds[self.reed].operate;
            off(self.scene, self.reed, at, &blended, &solved) <= enough * operate
        })
    }
}

/// How far drives by two kernels of a contact are apart at a coordinate, T; where the drive is above
/// the operate level, in parts of it times that level.
pub(crate) fn off(scene: &Scene, reed: usize, at: f64, a: &KernelPair, b: &KernelPair) -> f64 {
    let mut scratch = Scratch::default();
    let [a, b] = [a, b].map(|pair| scene.drive_by(reed, at, pair, &mut scratch));
    let operate = scene.reeds[reed].operate;
    let apart = |a: f64, b: f64| (a - b).abs() * operate / b.abs().max(operate);
    apart(a.open, b.open).max(apart(a.closed, b.closed))
}
