//! The iron of the saturated circuit, branch by branch, and its node balance.

use crate::circuit::{Circuit, join};
use crate::curve::Curve;
use faer::linalg::solvers::Solve;
use faer::{Col, Mat, Scale};
use reedmace_fields::MU_0;

/// Share of what a full step promises that a part of it must bring.
const LEAST_GAIN: f64 = 0.1;

/// A piece of iron of one cross-section between two nodes.
#[derive(Debug, Clone, Copy)]
struct Branch {
    from: usize,
    to: usize,
    /// m.
    length: f64,
    /// m².
    area: f64,
    /// Its middle along the contact, m.
    x: f64,
}

/// The circuit with its iron: what stays the same from step to step.
///
/// Where the cross-section changes between two segments a node is put between them, so that each
/// branch has one cross-section and saturates as a whole; it has no air of its own.
pub(crate) struct Iron {
    branches: Vec<Branch>,
    curve: Curve,
    /// The balance of air, gap and fringe: flux leaving each node per ampere, H.
    passive: Mat<f64>,
    /// Flux the source sends into each node, Wb.
    injected: Col<f64>,
}

/// The node balance at one set of potentials.
pub(crate) struct Balance<'a> {
    iron: &'a Iron,
    /// Potential of every node, A; the first are the circuit's segments.
    pub potential: Col<f64>,
    /// Flux sent into each node less what leaves it, Wb.
    pub unbalanced: Col<f64>,
}

impl Iron {
    pub fn new(circuit: &Circuit, curve: Curve, injected: Col<f64>) -> Self {
        let segments = &circuit.segments;
        let mut nodes = segments.len();
        let mut branches = Vec::new();
        for i in (0..segments.len() - 1).filter(|i| i + 1 != segments.len() / 2) {
            let (a, b) = (&segments[i], &segments[i + 1]);
            let (start, end) = (circuit.tubes[a.tube].x, circuit.tubes[b.tube].x);
            let (length, face) = (0.5 * (a.length + b.length), start + 0.5 * a.length);
            if a.area == b.area {
                let x = 0.5 * (start + end);
                branches.push(Branch { from: i, to: i + 1, length, area: a.area, x });
            } else {
                let (length, x) = (0.5 * a.length, 0.5 * (start + face));
                branches.push(Branch { from: i, to: nodes, length, area: a.area, x });
                let (length, x) = (0.5 * b.length, 0.5 * (face + end));
                branches.push(Branch { from: nodes, to: i + 1, length, area: b.area, x });
                nodes += 1;
            }
        }
        let known = segments.len();
        let at = |i: usize, j: usize| circuit.passive[(i, j)];
        let within = |i: usize, j: usize| i < known && j < known;
        let passive = Mat::from_fn(nodes, nodes, |i, j| if within(i, j) { at(i, j) } else { 0.0 });
        let injected = Col::from_fn(nodes, |i| if i < known { injected[i] } else { 0.0 });
        Self { branches, curve, passive, injected }
    }

    /// How many nodes there are.
    pub fn nodes(&self) -> usize {
        self.injected.nrows()
    }

    pub fn balance(&self, potential: Col<f64>) -> Balance<'_> {
        let mut unbalanced = &self.injected - &self.passive * &potential;
        for branch in &self.branches {
            let flux = branch.area * self.curve.polarization(branch.h(&potential)).0;
            unbalanced[branch.from] -= flux;
            unbalanced[branch.to] += flux;
        }
        Balance { iron: self, potential, unbalanced }
    }
}

impl Branch {
    /// μ0 H along it, T.
    fn h(&self, potential: &Col<f64>) -> f64 {
        MU_0 * (potential[self.from] - potential[self.to]) / self.length
    }
}

impl<'a> Balance<'a> {
    /// Newton's step: the change of potential that would balance it if the iron kept its slope, A.
    pub fn newton(&self) -> Col<f64> {
        self.change(|h| self.iron.curve.polarization(h).1)
    }

    /// The balance that Newton's step leads to, halved up to thrice until less is left unbalanced; or
    /// else where the iron's permeances as they stand, J/h, would balance it.
    pub fn next(&self, newton: &Col<f64>) -> Balance<'a> {
        let now = self.unbalanced.norm_l2();
        for part in [1.0, 0.5, 0.25, 0.125] {
            let tried = self.iron.balance(&self.potential + Scale(part) * newton);
            if tried.unbalanced.norm_l2() < (1.0 - LEAST_GAIN * part) * now {
                return tried;
            }
        }
        let secant = self.change(|h| self.iron.curve.secant(h));
        self.iron.balance(&self.potential + secant)
    }

    /// The change of potential that balances it when each branch adds the given dJ per dh, A.
    fn change(&self, permeability: impl Fn(f64) -> f64) -> Col<f64> {
        let mut slope = self.iron.passive.clone();
        for branch in &self.iron.branches {
            let permeability = permeability(branch.h(&self.potential));
            let permeance = MU_0 * permeability * branch.area / branch.length;
            join(&mut slope, branch.from, branch.to, permeance);
        }
        slope.partial_piv_lu().solve(&self.unbalanced)
    }

    /// Greatest flux density of a branch, T, and where along the contact it is, m.
    pub fn peak(&self) -> (f64, f64) {
        let density = |branch: &Branch| {
            let h = branch.h(&self.potential);
            (self.iron.curve.polarization(h).0 + h).abs()
        };
        let all = self.iron.branches.iter().map(|b| (density(b), b.x));
        all.fold((0.0, 0.0), |best, this| if this.0 > best.0 { this } else { best })
    }
}
