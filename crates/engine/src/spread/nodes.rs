//! Places along the sweep between which polynomials tell the drive.

use crate::polynomial::coefficients;
use crate::scene::Drive;

/// Places that a polynomial goes through, at most.
const ORDER: usize = 8;
/// Error allowed between nodes near a level, over the level.
const NEAR: f64 = 1e-5;
/// The same elsewhere, over the drive and the level.
const FAR: f64 = 1e-3;
/// A drive below this, over the level, in the nominal unit and in both with every quantity at one end is quiet: a
/// unit would need five times as much there to have an event.
const QUIET: f64 = 0.2;
/// Times the nodes are made finer, or fewer, at most.
const ROUNDS: usize = 4;

/// Shares of the sweep, rising, with polynomials through the nearest of them.
#[derive(Debug, Clone)]
pub(crate) struct Nodes {
    pub shares: Vec<f64>,
    /// Ends of stretches that are smooth, as indices.
    corners: Vec<usize>,
    between: Vec<Between>,
}

/// The polynomial between a node and the next: through `ORDER` nodes from `first` on.
#[derive(Debug, Clone)]
struct Between {
    first: usize,
    count: usize,
    /// `[p][j]`: what the value at node j weighs in the coefficient of t^p, t from 0 to 1.
    powers: [[f64; ORDER]; ORDER],
}

impl Nodes {
    /// On these shares, rising; the drive has no bend but at `corners`, which are among them.
    pub fn new(shares: Vec<f64>, corners: &[f64]) -> Self {
        let nearest = |c: &f64| {
            let far = |i: &usize| (shares[*i] - c).abs();
            (0..shares.len()).min_by(|a, b| far(a).total_cmp(&far(b))).expect("there are nodes")
        };
        let mut corners: Vec<usize> = corners.iter().map(nearest).collect();
        corners.dedup();
        let mut between = Vec::with_capacity(shares.len() - 1);
        for ends in corners.windows(2) {
            let (low, high) = (ends[0], ends[1]);
            let count = ORDER.min(high - low + 1);
            for k in low..high {
                let first = (k + 1).saturating_sub(count / 2).clamp(low, high + 1 - count);
                let width = shares[k + 1] - shares[k];
                let t = |j: usize| (shares[first + j] - shares[k]) / width;
                let places: Vec<f64> = (0..count).map(t).collect();
                between.push(Between { first, count, powers: coefficients(&places) });
            }
        }
        Self { shares, corners, between }
    }

    /// The same without shares where every drive of some units is quiet and others tell them well enough.
    pub fn thinned(mut self, units: &[Probe]) -> Self {
        for _ in 0..ROUNDS {
            let all: Vec<Vec<Drive>> =
                units.iter().map(|u| self.shares.iter().map(|s| (u.drive)(*s)).collect()).collect();
            let quiet: Vec<bool> = (0..self.shares.len())
                .map(|k| units.iter().zip(&all).all(|(unit, drives)| unit.is_quiet(drives[k])))
                .collect();
            let inner = |k: usize| !self.corners.contains(&k) && (k - 1..=k + 1).all(|i| quiet[i]);
            // Every other one at a time, so that what stays lies on both sides of what goes.
            let stays: Vec<bool> = (0..quiet.len()).map(|k| k % 2 == 0 || !inner(k)).collect();
            let corners: Vec<f64> = self.corners.iter().map(|&i| self.shares[i]).collect();
            let kept = |of: &dyn Fn(usize) -> bool| -> Vec<usize> {
                (0..stays.len()).filter(|k| of(*k)).collect()
            };
            let shares = |kept: &[usize]| kept.iter().map(|k| self.shares[*k]).collect();
            let few = kept(&|k| stays[k]);
            let fewer = Self::new(shares(&few), &corners);
            let told = |k: usize| {
                let share = self.shares[k];
                let stretch = fewer.stretch(share);
                units.iter().zip(&all).all(|(unit, drives)| {
                    let drives_of_few: Vec<Drive> = few.iter().map(|k| drives[*k]).collect();
                    let place = fewer.place(stretch, share);
                    unit.serves(fewer.drive_in(stretch, place, &drives_of_few), drives[k])
                })
            };
            let left = kept(&|k| stays[k] || !told(k));
            if left.len() == self.shares.len() {
                break;
            }
            self = Self::new(shares(&left), &corners);
        }
        self
    }

    /// The same with more shares, until polynomials tell `drives` of each of some units well enough for
    /// their levels; where that cannot be reached they are as fine as it gets.
    pub fn refined(mut self, units: &[Probe]) -> Self {
        let mut known: Vec<Vec<Drive>> =
            units.iter().map(|u| self.shares.iter().map(|s| (u.drive)(*s)).collect()).collect();
        let mut open: Vec<bool> = vec![true; self.between.len()];
        for _ in 0..ROUNDS {
            let middles: Vec<Option<Vec<Drive>>> = (0..self.between.len())
                .map(|k| {
                    let middle = 0.5 * (self.shares[k] + self.shares[k + 1]);
                    open[k].then(|| units.iter().map(|u| (u.drive)(middle)).collect())
                })
                .collect();
            let good = |k: usize, u: usize, exact: Drive| {
                let told = self.drive_in(k, 0.5, &known[u]);
                units[u].serves(told, exact)
            };
            let halved: Vec<bool> = middles
                .iter()
                .enumerate()
                .map(|(k, m)| {
                    m.as_ref().is_some_and(|m| m.iter().enumerate().any(|(u, d)| !good(k, u, *d)))
                })
                .collect();
            if !halved.contains(&true) {
                break;
            }
            let corners: Vec<f64> = self.corners.iter().map(|&i| self.shares[i]).collect();
            let mut shares = Vec::new();
            let mut drives: Vec<Vec<Drive>> = vec![Vec::new(); units.len()];
            let mut next = Vec::new();
            for k in 0..self.shares.len() {
                shares.push(self.shares[k]);
                (0..units.len()).for_each(|u| drives[u].push(known[u][k]));
                match middles.get(k) {
                    Some(Some(middle)) if halved[k] => {
                        shares.push(0.5 * (self.shares[k] + self.shares[k + 1]));
                        (0..units.len()).for_each(|u| drives[u].push(middle[u]));
                        next.extend([true, true]);
                    }
                    Some(_) => next.push(false),
                    None => (),
                }
            }
            // A polynomial beside a halved stretch goes through other nodes now.
            let beside =
                |k: usize| k.saturating_sub(ORDER / 2 - 1)..(k + ORDER / 2).min(next.len());
            open = (0..next.len()).map(|k| next[beside(k)].contains(&true)).collect();
            known = drives;
            self = Self::new(shares, &corners);
        }
        self
    }

    /// The stretch that a share lies in.
    pub fn stretch(&self, share: f64) -> usize {
        self.shares.partition_point(|s| *s <= share).clamp(1, self.between.len()) - 1
    }

    /// Coefficients of the drive in a state over stretch k, from 0 at its start to 1 at its end.
    pub fn polynomial(
        &self,
        k: usize,
        drives: &[Drive],
        of: impl Fn(&Drive) -> f64,
    ) -> [f64; ORDER] {
        let b = &self.between[k];
        let values: [f64; ORDER] =
            std::array::from_fn(|j| if j < b.count { of(&drives[b.first + j]) } else { 0.0 });
        b.powers.map(|row| row.iter().zip(&values).map(|(w, v)| w * v).sum())
    }

    /// A share as a place between the ends of stretch k.
    pub fn place(&self, k: usize, share: f64) -> f64 {
        (share - self.shares[k]) / (self.shares[k + 1] - self.shares[k])
    }

    /// Drive at a place in stretch k, from the drives at the nodes.
    pub fn drive_in(&self, k: usize, place: f64, drives: &[Drive]) -> Drive {
        let b = &self.between[k];
        let mut sum = Drive { open: 0.0, closed: 0.0 };
        for (j, drive) in drives[b.first..b.first + b.count].iter().enumerate() {
            let weight = b.powers.iter().rev().fold(0.0, |w, row| w * place + row[j]);
            sum.open += weight * drive.open;
            sum.closed += weight * drive.closed;
        }
        sum
    }
}

/// A unit in which nodes are tried.
pub(crate) struct Probe<'a> {
    /// Drive at a share of the sweep.
    pub drive: Box<dyn Fn(f64) -> Drive + 'a>,
    /// Operate and release level, T.
    pub levels: [f64; 2],
}

impl Probe<'_> {
    fn is_quiet(&self, drive: Drive) -> bool {
        let [operate, release] = self.levels;
        drive.open.abs() < QUIET * operate && drive.closed.abs() < QUIET * release
    }

    fn serves(&self, told: Drive, exact: Drive) -> bool {
        let good = |told: f64, exact: f64, level: f64| {
            let near = exact.abs() > 0.3 * level && exact.abs() < 3.0 * level;
            let allowed = if near { NEAR * level } else { FAR * exact.abs().max(level) };
            (told - exact).abs() <= allowed
        };
        good(told.open, exact.open, self.levels[0])
            && good(told.closed, exact.closed, self.levels[1])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::polynomial::value_and_slope;

    #[test]
    fn prop_quintics_are_exact_up_to_corners() {
        let shares: Vec<f64> = (0..=20).map(|k| (k as f64 / 20.0).powf(1.3)).collect();
        let corner = shares[8];
        let f = |s: f64| {
            let quintic = 1.0 - s + 2.0 * s.powi(5);
            if s < corner { quintic } else { quintic + 3.0 * (s - corner) }
        };
        let nodes = Nodes::new(shares.clone(), &[0.0, corner, 1.0]);
        let drives: Vec<Drive> =
            shares.iter().map(|s| Drive { open: f(*s), closed: -f(*s) }).collect();
        for i in 0..=1000 {
            let share = f64::from(i) / 1000.0;
            let k = nodes.stretch(share);
            let place = nodes.place(k, share);
            let told = nodes.drive_in(k, place, &drives);
            let by_powers = value_and_slope(&nodes.polynomial(k, &drives, |d| d.open), place).0;
            assert!((told.open - f(share)).abs() < 1e-12 && (told.closed + f(share)).abs() < 1e-12);
            assert!((by_powers - f(share)).abs() < 1e-12);
        }
    }

    /// Far from the level a few nodes are enough; near it all stay.
    #[test]
    fn prop_thinned_nodes_are_fewer_where_nothing_happens() {
        let f = |s: f64| 1.0 / (1.0 + 400.0 * (s - 0.4).powi(2));
        let drive = |s: f64| Drive { open: f(s), closed: 1.2 * f(s) };
        let probe = || [Probe { drive: Box::new(drive), levels: [0.5, 0.4] }];
        let fine: Vec<f64> = (0..=160).map(|k| f64::from(k) / 160.0).collect();
        let nodes = Nodes::new(fine.clone(), &[0.0, 1.0]).thinned(&probe());
        let near = |shares: &[f64]| shares.iter().filter(|s| f(**s) > 0.1).count();
        assert_eq!(near(&nodes.shares), near(&fine));
        assert!(nodes.shares.len() < 100, "{}", nodes.shares.len());
        let drives: Vec<Drive> = nodes.shares.iter().map(|s| drive(*s)).collect();
        for share in fine {
            let k = nodes.stretch(share);
            let told = nodes.drive_in(k, nodes.place(k, share), &drives).open;
            assert!((told - f(share)).abs() < 2e-3, "{share}: {told} {}", f(share));
        }
    }

    #[test]
    fn prop_refined_nodes_tell_what_lies_between() {
        let f = |s: f64| 1.0 / (1.0 + 400.0 * (s - 0.4).powi(2));
        let drive = |s: f64| Drive { open: f(s), closed: 1.2 * f(s) };
        let probe = Probe { drive: Box::new(drive), levels: [0.5, 0.4] };
        let coarse: Vec<f64> = (0..=20).map(|k| f64::from(k) / 20.0).collect();
        let nodes = Nodes::new(coarse, &[0.0, 1.0]).refined(&[probe]);
        let drives: Vec<Drive> = nodes.shares.iter().map(|s| drive(*s)).collect();
        assert!(nodes.shares.len() < 120, "{}", nodes.shares.len());
        for i in 0..=2000 {
            let share = f64::from(i) / 2000.0;
            let k = nodes.stretch(share);
            let told = nodes.drive_in(k, nodes.place(k, share), &drives).open;
            let near = f(share) > 0.15 && f(share) < 1.5;
            let allowed = if near { 1e-5 } else { 2e-3 };
            assert!((told - f(share)).abs() < allowed, "{share}: {told} {}", f(share));
        }
    }
}
