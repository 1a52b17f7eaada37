//! The contact as a circuit of iron, gap and air, solved once for its kernel.

use crate::air::{Tube, potential};
use crate::beside::Beside;
use crate::cut::{Cut, Segment};
use crate::geometry::{Geometry, GeometryError};
use crate::kernel::Kernel;
use crate::section;
use faer::linalg::solvers::{PartialPivLu, Solve};
use faer::{Col, Mat};
use reedmace_fields::{MU_0, Source, Vectors};
use reedmace_units::{FluxDensity, Quantity};
use std::sync::Arc;

/// A circuit that could not be set up.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CircuitError {
    /// The geometry cannot exist.
    #[error(transparent)]
    Geometry(#[from] GeometryError),
    /// The solution is not finite: the geometry is too extreme for the circuit.
    #[error("the contact's circuit has no finite solution; its dimensions are too extreme")]
    Singular,
}

/// The assembled and factored circuit of one contact in one state of its gap.
///
/// Unknowns: the scalar potential U of each iron segment and the flux q that each tube gives to
/// the air. Iron joins neighbouring segments of a blade with the permeance μ0 μr A/d; facing
/// segments of the overlap are joined by the gap, μ0 w d/g, and beside it by the fringe at the
/// overlap's edges, `section::fringe`. The air holds `S U = U_ext + P q`, where S averages the two
/// blades in the overlap: they share one tube, the difference between them being in gap and fringe.
/// A field along the gap normal enters one blade of the overlap and leaves the other,
/// `section::transverse_area`: the flux J it injects. The node balance is
/// `(Y + Sᵀ P⁻¹ S) U = Sᵀ P⁻¹ U_ext + J`, and the gap flux is what crosses the gap, without the
/// fringe. Steel beside the contact adds its answer to P, U_ext and J, see [`Beside`].
///
/// Source: the tube and collocation treatment of thin wires in `[harrington1968]`; the reduction to
/// one adjoint solve is reciprocity. Accuracy: within 0.5 % of the largest response of
/// three-dimensional finite elements, absolute flux within 1 %, measured in `cross_fem`.
#[derive(Debug)]
pub struct Circuit {
    geometry: Geometry,
    /// Segments asked for.
    cut_into: usize,
    /// P of the air alone.
    pub(crate) coefficients: Mat<f64>,
    pub(crate) tubes: Vec<Tube>,
    /// The left blade from its lead tip, then the right blade to its lead tip, half of them each.
    pub(crate) segments: Vec<Segment>,
    /// Segments of the left and the right blade that face each other across the gap.
    pub(crate) facing: Vec<(usize, usize)>,
    /// The node balance of air, gap, fringe and steel beside, without the contact's own iron.
    pub(crate) passive: Mat<f64>,
    pub(crate) air: PartialPivLu<f64>,
    nodes: PartialPivLu<f64>,
    kernel: Kernel,
    pub(crate) beside: Option<Arc<Beside>>,
}

/// What sources do to a contact from outside.
#[derive(Debug, Clone)]
pub(crate) struct Outside {
    /// Scalar potential at the middle of each tube, up to a constant, A.
    pub potential: Col<f64>,
    /// B_z at each tube of the overlap, T.
    pub normal: Col<f64>,
}

/// Highest flux density found in the iron.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BladeFlux {
    /// Flux density over the iron's cross-section.
    pub peak: FluxDensity,
    /// Where along the contact, m.
    pub at: f64,
}

impl Circuit {
    /// Cuts the contact into about `segments` segments (130 is converged) and solves the circuit.
    ///
    /// # Errors
    /// [`CircuitError`] when the geometry cannot exist or has no finite solution.
    pub fn new(geometry: &Geometry, segments: usize) -> Result<Self, CircuitError> {
        geometry.check()?;
        let tubes = Cut::new(geometry, segments).tubes();
        let n = tubes.len();
        // The contact is its own mirror image along x: half the rows make the other half.
        let mut coefficients = Mat::<f64>::zeros(n, n);
        for i in 0..n.div_ceil(2) {
            for j in 0..n {
                let p = potential(&tubes[i], &tubes[j]);
                coefficients[(i, j)] = p;
                coefficients[(n - 1 - i, n - 1 - j)] = p;
            }
        }
        Self::solved(geometry, segments, coefficients, None)
    }

    /// The same contact with steel at rest beside it. Its drive still is that of this bare contact:
    /// the uniform field which would send the same flux through the bare contact's gap.
    ///
    /// # Errors
    /// [`CircuitError::Singular`] when the circuit has no finite solution.
    pub fn beside(&self, steel: &Arc<Beside>) -> Result<Self, CircuitError> {
        let (air, steel) = (self.coefficients.clone(), Some(steel.clone()));
        let with_steel = Self::solved(&self.geometry, self.cut_into, air, steel)?;
        let kernel = with_steel.kernel.measured_by(&self.kernel);
        Ok(Self { kernel, ..with_steel })
    }

    fn solved(
        geometry: &Geometry,
        cut_into: usize,
        coefficients: Mat<f64>,
        beside: Option<Arc<Beside>>,
    ) -> Result<Self, CircuitError> {
        let cut = Cut::new(geometry, cut_into);
        let (tubes, segments) = (cut.tubes(), cut.segments());
        let (n_air, n) = (tubes.len(), segments.len());
        let per_blade = n / 2;

        let air = match &beside {
            Some(steel) => (&coefficients + steel.reflected()).partial_piv_lu(),
            None => coefficients.partial_piv_lu(),
        };
        let exchange = air.solve(Mat::<f64>::identity(n_air, n_air)); // P⁻¹
        let share = |s: &Segment| if cut.is_overlap(s.tube) { 0.5 } else { 1.0 };
        let mut passive = Mat::from_fn(n, n, |i, j| {
            let (a, b) = (&segments[i], &segments[j]);
            share(a) * share(b) * exchange[(a.tube, b.tube)]
        });
        let gap_permeance =
            |s: &Segment| MU_0 * geometry.blade_width.si() * s.length / geometry.gap.si();
        let facing: Vec<(usize, usize)> =
            (0..cut.overlap).map(|k| (per_blade - cut.overlap + k, per_blade + k)).collect();
        let fringe = MU_0 * section::fringe(geometry) / cut.overlap as f64;
        for &(left, right) in &facing {
            join(&mut passive, left, right, gap_permeance(&segments[left]) + fringe);
        }
        let transverse = section::transverse_area(geometry) / cut.overlap as f64;
        if let Some(steel) = &beside {
            // The steel's answer to the flux q of the tubes also enters along the gap normal: J + T q.
            let injected = steel.transverse() * &exchange;
            for (k, &(left, right)) in facing.iter().enumerate() {
                for (j, s) in segments.iter().enumerate() {
                    let flux = transverse * injected[(k, s.tube)] * share(s);
                    passive[(left, j)] -= flux;
                    passive[(right, j)] += flux;
                }
            }
        }
        let mut balance = passive.clone();
        let iron = MU_0 * geometry.permeability.si();
        for blade in [0, per_blade] {
            for i in blade..blade + per_blade - 1 {
                join(&mut balance, i, i + 1, iron * between(&segments[i], &segments[i + 1]));
            }
        }
        let nodes = balance.partial_piv_lu();

        // Adjoint: which potential outside drives how much flux across the gap.
        let mut gap_row = Col::<f64>::zeros(n);
        for &(left, right) in &facing {
            gap_row[left] += gap_permeance(&segments[left]);
            gap_row[right] -= gap_permeance(&segments[left]);
        }
        let adjoint = nodes.solve_transpose(&gap_row);
        let mut gathered = Col::<f64>::zeros(n_air);
        for (i, s) in segments.iter().enumerate() {
            gathered[s.tube] += share(s) * adjoint[i];
        }
        let across: Vec<f64> = facing
            .iter()
            .map(|&(left, right)| transverse * (adjoint[left] - adjoint[right]))
            .collect();
        if let Some(steel) = &beside {
            let rows = steel.transverse();
            for (k, weight) in across.iter().enumerate() {
                (0..n_air).for_each(|t| gathered[t] -= weight * rows[(k, t)]);
            }
        }
        let weights = air.solve_transpose(&gathered);
        let weights: Vec<f64> = weights.iter().copied().collect();
        if weights.iter().any(|w| !w.is_finite()) {
            return Err(CircuitError::Singular);
        }
        let mut injected = vec![0.0; n_air];
        for (&(left, _), &weight) in facing.iter().zip(&across) {
            injected[segments[left].tube] = weight;
        }
        let mut kernel = cut.kernel(&tubes, &weights, &injected);
        if let Some(steel) = &beside {
            kernel = kernel.with_steel(steel.weights(&weights, &across));
        }
        Ok(Self {
            geometry: *geometry,
            cut_into,
            coefficients,
            tubes,
            segments,
            facing,
            passive,
            air,
            nodes,
            kernel,
            beside,
        })
    }

    /// The geometry it was made from.
    pub fn geometry(&self) -> &Geometry {
        &self.geometry
    }

    /// The weights that turn a field into gap flux and drive.
    pub fn kernel(&self) -> &Kernel {
        &self.kernel
    }

    /// The highest flux density in the iron under `source` (in the contact's frame), linear iron.
    pub fn blade_flux(&self, source: &dyn Source) -> BladeFlux {
        let potentials = self.potential_under(source);
        let iron = MU_0 * self.geometry.permeability.si();
        let mut best = BladeFlux { peak: FluxDensity::tesla(0.0), at: 0.0 };
        let per_blade = self.segments.len() / 2;
        for blade in [0, per_blade] {
            for i in blade..blade + per_blade - 1 {
                let (a, b) = (&self.segments[i], &self.segments[i + 1]);
                let flux = iron * between(a, b) * (potentials[i] - potentials[i + 1]);
                let density = FluxDensity::tesla(flux.abs() / a.area.min(b.area));
                if density > best.peak {
                    let at = 0.5 * (self.tubes[a.tube].x + self.tubes[b.tube].x);
                    best = BladeFlux { peak: density, at };
                }
            }
        }
        best
    }

    /// Gap flux by solving the circuit for this very source, without the adjoint, Wb.
    ///
    /// Slow; there to check the kernel by.
    pub fn gap_flux_direct(&self, source: &dyn Source) -> f64 {
        let u = self.potential_under(source);
        let permeance = MU_0 * self.geometry.blade_width.si() / self.geometry.gap.si();
        let across = |&(left, right): &(usize, usize)| {
            permeance * self.segments[left].length * (u[left] - u[right])
        };
        self.facing.iter().map(across).sum()
    }

    /// Tubes of air flux, left tip to right tip, and the range of those in the overlap.
    pub(crate) fn tubes(&self) -> (&[Tube], std::ops::Range<usize>) {
        let first = self.segments[self.facing[0].0].tube;
        (&self.tubes, first..first + self.facing.len())
    }

    /// Height over the contact's axis of the blade or lead at `x` outside the overlap, m.
    pub(crate) fn height(&self, x: f64) -> f64 {
        0.5 * (self.geometry.blade_thickness + self.geometry.gap).si() * x.signum()
    }

    /// The potential of every segment under `source`, A.
    pub(crate) fn potential_under(&self, source: &dyn Source) -> Col<f64> {
        self.nodes.solve(&self.injected(source))
    }

    /// What `source` does to the contact from outside, with the steel beside it.
    pub(crate) fn outside(&self, source: &dyn Source) -> Outside {
        let mut potential = self.external_potential(source);
        let middle = |&(left, _): &(usize, usize)| self.tubes[self.segments[left].tube].x;
        let mut normal =
            Col::from_fn(self.facing.len(), |k| source.b([middle(&self.facing[k]), 0.0, 0.0])[2]);
        if let Some(beside) = &self.beside {
            let charges = beside.charges(source);
            potential += beside.potential(&charges);
            normal += beside.normal_field(&charges);
        }
        Outside { potential, normal }
    }

    /// The flux that `source` sends into every segment held at no potential, Wb.
    pub(crate) fn injected(&self, source: &dyn Source) -> Col<f64> {
        let Outside { potential: outside, mut normal } = self.outside(source);
        let exchanged = self.air.solve(&outside);
        let mut right = Col::<f64>::zeros(self.segments.len());
        for (i, s) in self.segments.iter().enumerate() {
            right[i] = exchanged[s.tube];
        }
        let transverse = section::transverse_area(&self.geometry) / self.facing.len() as f64;
        if let Some(beside) = &self.beside {
            normal -= beside.transverse() * &exchanged;
        }
        for (k, &(left, facing)) in self.facing.iter().enumerate() {
            let flux = transverse * normal[k];
            right[left] = 0.5 * right[left] + flux;
            right[facing] = 0.5 * right[facing] - flux;
        }
        right
    }

    /// Scalar potential of the source at each tube's middle, up to a constant, by integrating H
    /// along the contact, A.
    fn external_potential(&self, source: &dyn Source) -> Col<f64> {
        let steps = self.kernel.steps();
        let mut at = Vectors::default();
        for p in steps.iter().flat_map(|s| s.points.iter()) {
            at.x.push(p[0]);
            at.y.push(0.0);
            at.z.push(p[1]);
        }
        let mut b = Vectors::zeros(at.len());
        source.add_b(at.points(), b.view_mut());
        let mut potential = Col::<f64>::zeros(self.tubes.len());
        let mut i = 0;
        for (k, step) in steps.iter().enumerate() {
            let mut fall = 0.0;
            for p in &step.points {
                fall += p[2] * b.x[i] + p[3] * b.z[i];
                i += 1;
            }
            potential[k + 1] = potential[k] - fall / MU_0;
        }
        potential
    }
}

/// Adds a permeance (H) between two nodes to their balance.
pub(crate) fn join(balance: &mut Mat<f64>, i: usize, j: usize, permeance: f64) {
    balance[(i, i)] += permeance;
    balance[(j, j)] += permeance;
    balance[(i, j)] -= permeance;
    balance[(j, i)] -= permeance;
}

/// A/d between the middles of two neighbouring segments in series, m.
pub(crate) fn between(a: &Segment, b: &Segment) -> f64 {
    1.0 / (0.5 * a.length / a.area + 0.5 * b.length / b.area)
}
