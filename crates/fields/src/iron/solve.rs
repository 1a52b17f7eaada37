//! Newton's iteration for the flux through every face.

use super::mesh::Mesh;
use super::network::{Network, applied, potentials};
use super::orbits::Orbits;
use super::step::{State, Step};
use super::{IronBody, IronError, Magnetized, Symmetry};
use crate::Source;

/// Nothing changes any more: the last step over the whole flux.
const TOLERANCE: f64 = 1e-7;
/// More steps than any case met needed.
const MOST_STEPS: usize = 80;
/// A step that does not lower what the equations lack is halved this often before it is taken anyway.
const HALVINGS: usize = 4;

/// How an iteration ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Steps taken.
    pub iterations: usize,
    /// What the branch equations lack in the end, over the applied line integrals (root of sums of squares).
    pub residual: f64,
    /// Size of the last step over the size of the solution.
    pub step: f64,
    /// Unknowns of the dense system.
    pub unknowns: usize,
}

/// Bodies cut into cells, with the potentials of all charges: everything that does not depend on the field.
///
/// Building it takes time and memory as the square of the number of outer faces, each step of a solution
/// time as the cube of outer faces plus cells. Bodies may touch but must not overlap.
#[derive(Debug, Clone)]
pub struct NonlinearIron {
    mesh: Mesh,
    orbits: Orbits,
    network: Network,
    potentials: Vec<Vec<f64>>,
}

impl NonlinearIron {
    /// Cuts the bodies into cells and finds the potentials.
    ///
    /// # Errors
    /// [`IronError::NotSymmetric`] when the cells do not have the symmetry stated, or lie across its planes.
    pub fn new(bodies: Vec<IronBody>, symmetry: &Symmetry) -> Result<Self, IronError> {
        if bodies.is_empty() {
            return Err(IronError::NoIron);
        }
        let mesh = Mesh::new(bodies);
        let orbits = Orbits::new(&mesh, symmetry)?;
        let network = Network::new(&mesh, &orbits);
        let with_inner = mesh.bodies.iter().any(|body| !body.curve.is_linear());
        let potentials = potentials(&mesh, &orbits, with_inner);
        Ok(Self { mesh, orbits, network, potentials })
    }

    /// Unknowns of the dense system.
    pub fn unknowns(&self) -> usize {
        self.step(&[]).unknowns()
    }

    /// The iron's state in the field of `source`, which must have the symmetry stated.
    ///
    /// # Errors
    /// [`IronError::FieldNotFinite`], [`IronError::NotConverged`].
    pub fn solve(&self, source: &dyn Source) -> Result<Magnetized, IronError> {
        let applied = applied(&self.mesh, &self.orbits, source);
        if applied.iter().any(|m| !m.is_finite()) {
            return Err(IronError::FieldNotFinite);
        }
        let scale = norm(&applied);
        let mut state = self.state(vec![0.0; applied.len()]);
        if scale == 0.0 {
            let progress =
                Progress { iterations: 0, residual: 0.0, step: 0.0, unknowns: self.unknowns() };
            return Ok(self.magnetized(state, progress));
        }
        let mut lack = f64::INFINITY;
        let mut step = f64::INFINITY;
        for iterations in 1..=MOST_STEPS {
            let (target, potential) = self.step(&applied).solve(&state);
            let mut part = 1.0;
            let mut tried = self.state(target.clone());
            let mut tried_lack = self.lack(&tried, &potential, &applied) / scale;
            for _ in 0..HALVINGS {
                if tried_lack < lack || iterations == 1 {
                    break;
                }
                part *= 0.5;
                let mixed = state.b.iter().zip(&target).map(|(b, to)| b + part * (to - b));
                tried = self.state(mixed.collect());
                tried_lack = self.lack(&tried, &potential, &applied) / scale;
            }
            let moved: Vec<f64> = tried.b.iter().zip(&state.b).map(|(a, b)| a - b).collect();
            step = norm(&moved) / (part * norm(&target));
            (state, lack) = (tried, tried_lack);
            if step < TOLERANCE {
                let unknowns = self.unknowns();
                let progress = Progress { iterations, residual: lack, step, unknowns };
                return Ok(self.magnetized(state, progress));
            }
        }
        Err(IronError::NotConverged { iterations: MOST_STEPS, step, residual: lack })
    }

    fn step<'a>(&'a self, applied: &'a [f64]) -> Step<'a> {
        let curved = self.mesh.bodies.iter().any(|body| !body.curve.is_linear());
        Step { network: &self.network, potentials: &self.potentials, applied, curved }
    }

    /// Reluctivities and charges that go with the flux densities `b`.
    fn state(&self, b: Vec<f64>) -> State {
        let net = &self.network;
        let means = net.means(&b);
        let mut reluctivity = Vec::with_capacity(means.len());
        let mut bend = Vec::with_capacity(means.len());
        for (mean, &body) in means.iter().zip(&net.body_of) {
            let size2 = mean.iter().map(|c| c * c).sum::<f64>();
            let (n, slope) = self.mesh.bodies[body].curve.reluctivities(size2.sqrt());
            reluctivity.push(n);
            bend.push(if size2 > 0.0 { (slope - n) / size2 } else { 0.0 });
        }
        let jump = net.branches.iter().map(|branch| {
            let behind = 1.0 - reluctivity[branch.behind.0];
            behind - branch.ahead.map_or(0.0, |ahead| 1.0 - reluctivity[ahead.0])
        });
        State { jump: jump.collect(), b, means, reluctivity, bend }
    }

    /// `Σ ½ d n b` along a branch.
    fn drop(&self, state: &State, number: usize) -> f64 {
        let ends = self.network.branches[number].ends();
        ends.map(|(cell, _, half)| half * state.reluctivity[cell] * state.b[number]).sum()
    }

    fn difference(&self, potential: &[f64], branch: usize) -> f64 {
        let branch = &self.network.branches[branch];
        branch.behind.1 * potential[branch.behind.0]
            - branch.ahead.map_or(0.0, |(cell, sign, _)| sign * potential[cell])
    }

    /// What the branch equations lack, T·m.
    fn lack(&self, state: &State, potential: &[f64], applied: &[f64]) -> f64 {
        let charge: Vec<f64> = state.jump.iter().zip(&state.b).map(|(j, b)| j * b).collect();
        let lacks: Vec<f64> = (0..self.network.branches.len())
            .map(|i| {
                let outside: f64 = match self.potentials.get(i) {
                    Some(row) => row.iter().zip(&charge).map(|(p, q)| p * q).sum(),
                    None => 0.0,
                };
                let along = self.difference(potential, i) - outside;
                applied[i] + along - self.drop(state, i)
            })
            .collect();
        norm(&lacks)
    }

    fn magnetized(&self, state: State, progress: Progress) -> Magnetized {
        let orbits = &self.orbits;
        let spread = |of: &dyn Fn(usize) -> f64| -> Vec<f64> {
            let value = |entry: &Option<(usize, f64)>| entry.map_or(0.0, |(i, sign)| sign * of(i));
            orbits.of_face.iter().map(value).collect()
        };
        let b = spread(&|i| state.b[i]);
        let reluctivity: Vec<f64> =
            orbits.of_cell.iter().map(|&(cell, _)| state.reluctivity[cell]).collect();
        Magnetized::new(self.mesh.clone(), b, reluctivity, progress)
    }
}

fn norm(values: &[f64]) -> f64 {
    values.iter().map(|v| v * v).sum::<f64>().sqrt()
}
