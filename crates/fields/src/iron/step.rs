//! One step of Newton's rule: the equations with the curve replaced by its tangent.
//!
//! A branch's drop `Σ ½ d n b` changes with its own b, and with the reluctivity of the cells at its ends,
//! which depends on all their fluxes. The changes w of the reluctivities are therefore unknowns beside the
//! outer fluxes and the potentials: `w = n′(|B|) B·(B_new − B)/|B|` in every cell. The inner fluxes follow
//! from both and need no place in the dense system.

use faer::linalg::solvers::Solve;
use faer::{Col, Mat};

use super::network::Network;

/// Flux densities and what follows from them.
#[derive(Debug, Clone)]
pub(super) struct State {
    /// T, along each branch.
    pub b: Vec<f64>,
    /// Mean B of each cell along the axes of its body, T.
    pub means: Vec<[f64; 3]>,
    /// n of each cell.
    pub reluctivity: Vec<f64>,
    /// dn/dB over B of each cell, 1/T².
    pub bend: Vec<f64>,
    /// Charge over b on each face.
    pub jump: Vec<f64>,
}

/// `known + Σ factor · unknown`.
#[derive(Debug, Clone, Default)]
struct Sum {
    known: f64,
    terms: Vec<(usize, f64)>,
}

impl Sum {
    fn add(&mut self, other: &Self, factor: f64) {
        self.known += factor * other.known;
        self.terms.extend(other.terms.iter().map(|&(i, f)| (i, factor * f)));
    }
}

/// The linear system of one step.
pub(super) struct Step<'a> {
    pub network: &'a Network,
    pub potentials: &'a [Vec<f64>],
    pub applied: &'a [f64],
    /// Whether any reluctivity depends on the flux.
    pub curved: bool,
}

impl Step<'_> {
    pub(super) fn unknowns(&self) -> usize {
        let per_cell = if self.curved { 2 } else { 1 };
        self.network.outer + per_cell * self.network.cells.len()
    }

    fn potential(&self, cell: usize) -> usize {
        self.network.outer + cell
    }

    /// Change of reluctivity of a cell, if it is an unknown.
    fn change(&self, cell: usize) -> Option<usize> {
        let first = self.network.outer + self.network.cells.len();
        self.curved.then_some(first + cell)
    }

    /// Flux densities of all branches and potentials of all cells that solve the linear system.
    pub(super) fn solve(&self, state: &State) -> (Vec<f64>, Vec<f64>) {
        let outer = self.network.outer;
        let fluxes: Vec<Sum> =
            (0..self.network.branches.len()).map(|i| self.flux(state, i)).collect();
        let charges: Vec<Sum> =
            (0..fluxes.len()).map(|i| self.charge(state, i, &fluxes[i])).collect();
        let mut matrix = Mat::<f64>::zeros(self.unknowns(), self.unknowns());
        let mut right = Col::<f64>::zeros(self.unknowns());
        let mut set = |row: usize, equation: &[f64], known: f64| {
            // The rows have different units; the pivots are chosen by size.
            let largest = equation.iter().fold(0.0_f64, |most, c| most.max(c.abs()));
            for (column, entry) in equation.iter().enumerate() {
                matrix[(row, column)] = entry / largest;
            }
            right[row] = -known / largest;
        };
        let mut equation = vec![0.0; self.unknowns()];
        let mut write = |row: usize, sums: &mut dyn Iterator<Item = (&Sum, f64)>| {
            equation.fill(0.0);
            let mut known = 0.0;
            for (sum, factor) in sums {
                known += factor * sum.known;
                for (column, entry) in &sum.terms {
                    equation[*column] += factor * entry;
                }
            }
            set(row, &equation, known);
        };
        for (i, row) in self.potentials.iter().enumerate() {
            let own = self.outer_equation(state, i, &fluxes[i]);
            let outside = charges.iter().zip(row.iter().copied());
            write(i, &mut outside.chain(std::iter::once((&own, 1.0))));
        }
        for (cell, axes) in self.network.cells.iter().enumerate() {
            let sides = axes.iter().flatten().map(|side| (&fluxes[side.branch], side.outward));
            write(self.potential(cell), &mut { sides });
            if let Some(column) = self.change(cell) {
                let mut sum = Sum::default();
                sum.terms.push((column, 1.0));
                for (mean, sides) in state.means[cell].iter().zip(axes) {
                    sum.known += state.bend[cell] * mean * mean;
                    for side in sides {
                        let factor = -0.5 * state.bend[cell] * mean * side.along;
                        sum.add(&fluxes[side.branch], factor);
                    }
                }
                write(column, &mut std::iter::once((&sum, 1.0)));
            }
        }
        let solution = matrix.partial_piv_lu().solve(&right);
        let value = |sum: &Sum| {
            sum.terms.iter().fold(sum.known, |total, &(i, factor)| total + factor * solution[i])
        };
        let cells = self.network.cells.len();
        let potentials = (outer..outer + cells).map(|i| solution[i]).collect();
        (fluxes.iter().map(value).collect(), potentials)
    }

    /// New b of a branch: an unknown on the outside, inside what its equation leaves.
    fn flux(&self, state: &State, number: usize) -> Sum {
        let mut sum = Sum::default();
        if number < self.network.outer {
            sum.terms.push((number, 1.0));
            return sum;
        }
        let branch = &self.network.branches[number];
        let reluctance: f64 =
            branch.ends().map(|(cell, _, half)| half * state.reluctivity[cell]).sum();
        sum.known = self.applied[number] / reluctance;
        let (behind, sign, _) = branch.behind;
        sum.terms.push((self.potential(behind), sign / reluctance));
        if let Some((ahead, sign, _)) = branch.ahead {
            sum.terms.push((self.potential(ahead), -sign / reluctance));
        }
        for (cell, _, half) in branch.ends() {
            if let Some(column) = self.change(cell) {
                sum.terms.push((column, -half * state.b[number] / reluctance));
            }
        }
        sum
    }

    /// Charge density of a face: `(1 − n) b` from behind less that ahead.
    fn charge(&self, state: &State, number: usize, flux: &Sum) -> Sum {
        let branch = &self.network.branches[number];
        let mut sum = Sum::default();
        if number >= self.network.outer && !self.curved {
            return sum;
        }
        sum.add(flux, state.jump[number]);
        for ((cell, ..), sign) in branch.ends().zip([-1.0, 1.0]) {
            if let Some(column) = self.change(cell) {
                sum.terms.push((column, sign * state.b[number]));
            }
        }
        sum
    }

    /// `Σ ½ d n b − u − ∫B0·dl` of an outer branch; the potential outside is still to be added.
    fn outer_equation(&self, state: &State, number: usize, flux: &Sum) -> Sum {
        let branch = &self.network.branches[number];
        let (cell, sign, half) = branch.behind;
        let mut sum =
            Sum { known: -self.applied[number], terms: vec![(self.potential(cell), -sign)] };
        sum.add(flux, half * state.reluctivity[cell]);
        if let Some(column) = self.change(cell) {
            sum.terms.push((column, half * state.b[number]));
        }
        sum
    }
}
