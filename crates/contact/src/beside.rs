//! Steel at rest beside a contact: how it answers the sources and the contact's own flux.

use crate::circuit::Circuit;
use crate::kernel::SteelRule;
use faer::{Col, Mat};
use reedmace_fields::steel::{Segment, Steel};
use reedmace_fields::{MU_0, Source, Vectors};
use std::sync::Arc;

/// Steel and a contact's tubes in one linear system, with the steel's unknowns eliminated.
///
/// The charges σ on the steel answer the sources' field h on its panels and the flux q of the tubes:
/// `A σ = h + G q`. They raise the potential at the tubes by Q σ and the field along the gap normal
/// by N σ. With R = A⁻¹ G the circuit keeps its unknowns: P becomes P + Q R, U_ext becomes
/// U_ext + Q A⁻¹ h, and J becomes J + T N (A⁻¹ h + R q). One more adjoint solve,
/// `v = A⁻ᵀ (Qᵀ w + Nᵀ t)`, gives the weight of each panel beside those of the tubes.
///
/// One of these serves the open and the closed state: the tubes are those of the circuit it is made
/// from, whose gap differs from the other's by far less than the distance to any steel.
///
/// Source: elimination in the reciprocity of `[harrington1968]`. Accuracy: adjoint against direct
/// solve 1e-9, `prop_adjoint_equals_direct_solve_beside_steel`; within 0.1 % of finite elements
/// with a plate 6 mm away, whose own error is 0.3 %, `cross_fem_plate`.
#[derive(Debug)]
pub struct Beside {
    steel: Arc<Steel>,
    /// Q: potential at each tube of unit charge density on each panel, A per A/m.
    potential: Mat<f64>,
    /// N: B_z at each tube of the overlap of the same, T per A/m.
    normal: Mat<f64>,
    /// R: charge density on each panel in answer to unit flux of each tube, A/m per Wb.
    answer: Mat<f64>,
    /// Q R, A/Wb.
    reflected: Mat<f64>,
    /// N R, T/Wb.
    transverse: Mat<f64>,
}

impl Beside {
    /// `steel` in the frame of the contact that `circuit` is of.
    pub fn new(steel: Arc<Steel>, circuit: &Circuit) -> Self {
        let (tubes, overlap) = circuit.tubes();
        let height = |k: usize| if overlap.contains(&k) { 0.0 } else { circuit.height(tubes[k].x) };
        let middles = Vectors::from_rows((0..tubes.len()).map(|k| [tubes[k].x, 0.0, height(k)]));
        let facing = Vectors::from_rows(overlap.clone().map(|k| [tubes[k].x, 0.0, 0.0]));
        let upward = Vectors::from_rows(overlap.clone().map(|_| [0.0, 0.0, MU_0]));
        let potential = steel.potential_rows(&middles);
        let normal = steel.field_rows(&facing, &upward);
        // A flux of 1 Wb is a charge of 1/μ0 in A·m.
        let segments: Vec<Segment> = tubes
            .iter()
            .enumerate()
            .map(|(k, t)| {
                let end = |s: f64| [t.x + s * t.length, 0.0, height(k)];
                Segment { from: end(-0.5), to: end(0.5) }
            })
            .collect();
        let answer = steel.solve_many(steel.loads_of_segments(&segments) * faer::Scale(1.0 / MU_0));
        let (reflected, transverse) = (&potential * &answer, &normal * &answer);
        Self { steel, potential, normal, answer, reflected, transverse }
    }

    /// What the steel adds to the potential at this contact's tubes (A/Wb), and to B_z in its overlap (T/Wb), in
    /// answer to each tube of another contact beside the same steel.
    pub(crate) fn answer_to(&self, other: &Self) -> (Mat<f64>, Mat<f64>) {
        (&self.potential * &other.answer, &self.normal * &other.answer)
    }

    /// Charge density on each panel under `source` alone, A/m.
    pub(crate) fn charges(&self, source: &dyn Source) -> Col<f64> {
        column(&self.steel.solve(&self.steel.load(source)))
    }

    /// Potential at the tubes of charges on the panels, A.
    pub(crate) fn potential(&self, charges: &Col<f64>) -> Col<f64> {
        &self.potential * charges
    }

    /// B_z in the overlap of charges on the panels, T.
    pub(crate) fn normal_field(&self, charges: &Col<f64>) -> Col<f64> {
        &self.normal * charges
    }

    /// What the steel adds to the potential coefficients of the air, A/Wb.
    pub(crate) fn reflected(&self) -> &Mat<f64> {
        &self.reflected
    }

    /// B_z in the overlap through the steel's answer to each tube, T/Wb.
    pub(crate) fn transverse(&self) -> &Mat<f64> {
        &self.transverse
    }

    /// Weights on the field at the panels, from those on the tubes' potentials (Wb/A) and on B_z in
    /// the overlap (Wb/T).
    pub(crate) fn weights(&self, tubes: &[f64], overlap: &[f64]) -> SteelRule {
        let row =
            self.potential.transpose() * column(tubes) + self.normal.transpose() * column(overlap);
        let row: Vec<f64> = row.iter().copied().collect();
        SteelRule::new(&self.steel, &self.steel.solve_transpose(&row))
    }
}

fn column(values: &[f64]) -> Col<f64> {
    Col::from_fn(values.len(), |i| values[i])
}
