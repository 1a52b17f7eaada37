//! Shares of a sweep that has bends: units differ in where these lie.
//!
//! A float comes to its stop at another level in every unit, and the drive has a corner there. Between an end
//! and a bend, or two bends, the share of the sweep is even in the coordinate, so that a bend has the same
//! share in every unit and polynomials end at it.

use crate::scene::Scene;

/// Least distance of a bend from the ends, over the sweep.
const APART: f64 = 1e-6;

/// The bends of a sweep that lie inside it in the nominal unit.
#[derive(Debug, Clone)]
pub(crate) struct Bends {
    /// Which of the motion's.
    which: Vec<usize>,
    /// Share of each corner: 0, those of the bends, 1.
    pub shares: Vec<f64>,
}

/// A share of such a sweep: between which corners, and how far from one to the other.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    before: usize,
    part: f64,
}

impl Place {
    /// The coordinate in a unit with these corners.
    pub fn coordinate(self, corners: &[f64]) -> f64 {
        let (a, b) = (corners[self.before], corners[self.before + 1]);
        a + self.part * (b - a)
    }
}

impl Bends {
    /// Those of the nominal scene.
    pub fn of(nominal: &Scene) -> Self {
        let [from, to] = nominal.motion.range();
        let share = |c: f64| (c - from) / (to - from);
        let all = nominal.motion.bends();
        let inside = |k: &usize| (APART..1.0 - APART).contains(&share(all[*k]));
        let which: Vec<usize> = (0..all.len()).filter(inside).collect();
        let mut shares = vec![0.0];
        shares.extend(which.iter().map(|&k| share(all[k])));
        shares.push(1.0);
        Self { which, shares }
    }

    /// Coordinates of the ends and the bends of a unit, in order of the forward pass.
    pub fn corners(&self, scene: &Scene) -> Vec<f64> {
        let [from, to] = scene.motion.range();
        let all = scene.motion.bends();
        let mut corners = vec![from];
        corners.extend(self.which.iter().map(|&k| {
            let share = ((all[k] - from) / (to - from)).clamp(APART, 1.0 - APART);
            from + share * (to - from)
        }));
        corners.push(to);
        corners
    }

    /// Where a share lies in every unit.
    pub fn place(&self, share: f64) -> Place {
        let after = self.shares.partition_point(|s| *s <= share).clamp(1, self.shares.len() - 1);
        let (a, b) = (self.shares[after - 1], self.shares[after]);
        Place { before: after - 1, part: (share - a) / (b - a) }
    }

    /// The coordinate at a share, in a unit with these corners.
    pub fn coordinate(&self, corners: &[f64], share: f64) -> f64 {
        self.place(share).coordinate(corners)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_bends_keep_their_shares() {
        let bends = Bends { which: vec![0, 1], shares: vec![0.0, 0.2, 0.9, 1.0] };
        for corners in [[1.0, 1.3, 2.6, 3.0], [3.0, 2.6, 1.3, 1.0]] {
            for (corner, share) in corners.iter().zip(&bends.shares) {
                assert!((bends.coordinate(&corners, *share) - corner).abs() < 1e-15);
            }
            // Even between them.
            for (k, ends) in corners.windows(2).enumerate() {
                for part in [0.25, 0.5, 0.9] {
                    let share = bends.shares[k] + part * (bends.shares[k + 1] - bends.shares[k]);
                    let at = ends[0] + part * (ends[1] - ends[0]);
                    assert!((bends.coordinate(&corners, share) - at).abs() < 1e-14, "{at}");
                }
            }
        }
    }
}
