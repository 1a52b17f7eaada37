//! The contact's circuit with iron that saturates.

use crate::branch::Iron;
use crate::circuit::Circuit;
use crate::curve::Curve;
use faer::Col;
use reedmace_fields::{MU_0, Source};
use reedmace_units::{FluxDensity, Force, Polarization, Quantity};

/// Unbalanced flux, over what the source sends in, that counts as solved.
const TOLERANCE: f64 = 1e-9;
/// Steps after which the search is given up; drives to ten times operate take eight, four hundred
/// times below forty.
const STEPS: usize = 60;

/// What a source does to a contact whose iron saturates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saturated {
    /// Flux across the gap, positive from the left blade to the right one, Wb.
    pub gap_flux: f64,
    /// The same over the flux of linear iron: 1 in weak fields, and where no flux crosses.
    pub share_of_linear: f64,
    /// Pull between the blades across the gap.
    pub force: Force,
    /// Greatest flux density in the iron, mean over its cross-section.
    pub peak: FluxDensity,
    /// Where along the contact that is, m.
    pub peak_at: f64,
    /// Newton steps taken.
    pub iterations: usize,
    /// Unbalanced flux left over, relative to what the source sends in.
    pub residual: f64,
}

/// A saturated circuit that has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SaturationError {
    /// Newton's steps no longer bring the balance nearer.
    #[error(
        "the saturated circuit did not converge: {residual:.1e} of the flux is unbalanced after \
         {iterations} steps"
    )]
    NotConverged {
        /// Unbalanced flux left over, relative to what the source sends in.
        residual: f64,
        /// Steps taken.
        iterations: usize,
    },
    /// The source has no finite field somewhere on the contact.
    #[error("the field of the source is not finite along the contact")]
    FieldNotFinite,
    /// Iron that could not be magnetized.
    #[error("the saturation polarization must be above zero and the permeability above one")]
    NotMagnetic,
}

impl Circuit {
    /// Solves the circuit under `source` (in the contact's frame) with iron of the geometry's
    /// permeability in weak fields and this saturation polarization.
    ///
    /// The node balance is the linear one, but each branch of iron carries
    /// `A Js (2/π) atan(π (μi − 1) h/(2 Js))`, h = μ0 ΔU/d. A branch's flux rises with ΔU and the air's
    /// exchange is positive definite, so there is one solution. It is sought by Newton's method; where
    /// a step and its halves bring the balance no nearer, deep in saturation, by a step with the
    /// permeances as they stand, J/h. The transition from lead to blade is taken to have no neck:
    /// where the one butts against the other, the neck saturates first. The pull is Maxwell's, Σ B² A/(2 μ0) over
    /// the facing segments of the overlap.
    ///
    /// Charge is where polarization J ends, so it is J that enters the balance, not B = J + h: in
    /// saturated iron the two differ.
    ///
    /// Accuracy: share of the linear flux within 0.3 % of three-dimensional nonlinear finite elements
    /// on the open reference contact from 15 to 100 ampere-turns, `cross_saturation`.
    ///
    /// # Errors
    /// [`SaturationError`] if the field is not finite, the iron cannot be magnetized, or the search does
    /// not end.
    pub fn saturated(
        &self,
        saturation: Polarization,
        source: &dyn Source,
    ) -> Result<Saturated, SaturationError> {
        let curve = Curve { saturation, permeability: self.geometry().permeability };
        if !curve.is_magnetic() {
            return Err(SaturationError::NotMagnetic);
        }
        let injected = self.injected(source);
        let scale = injected.norm_l2();
        if !scale.is_finite() {
            return Err(SaturationError::FieldNotFinite);
        }
        let iron = Iron::new(self, curve, injected);
        let mut balance = iron.balance(Col::zeros(iron.nodes()));
        let (mut iterations, mut unbalanced) = (0, balance.unbalanced.norm_l2());
        let mut linear = 0.0;
        while unbalanced > TOLERANCE * scale {
            let newton = balance.newton();
            if iterations == 0 {
                // From rest, Newton's first step is the linear circuit's own solution.
                (linear, _) = self.across(&newton);
            }
            if iterations == STEPS {
                let residual = unbalanced / scale;
                return Err(SaturationError::NotConverged { residual, iterations });
            }
            balance = balance.next(&newton);
            unbalanced = balance.unbalanced.norm_l2();
            iterations += 1;
        }
        let (gap_flux, force) = self.across(&balance.potential);
        let (peak, peak_at) = balance.peak();
        Ok(Saturated {
            gap_flux,
            share_of_linear: if linear == 0.0 { 1.0 } else { gap_flux / linear },
            force: Force::n(force),
            peak: FluxDensity::tesla(peak),
            peak_at,
            iterations,
            residual: if scale > 0.0 { unbalanced / scale } else { 0.0 },
        })
    }

    /// Flux (Wb) and pull (N) across the gap.
    pub(crate) fn across(&self, potential: &Col<f64>) -> (f64, f64) {
        let (width, gap) = (self.geometry().blade_width.si(), self.geometry().gap.si());
        let (mut flux, mut force) = (0.0, 0.0);
        for &(left, right) in &self.facing {
            let density = MU_0 * (potential[left] - potential[right]) / gap;
            let area = width * self.segments[left].length;
            flux += density * area;
            force += pull(density, area);
        }
        (flux, force)
    }
}

/// Maxwell's pull of an even field `density` (T) across `area` (m²) of a gap, N: B² A/(2 μ0).
///
/// Source: `[jackson1999]`.
fn pull(density: f64, area: f64) -> f64 {
    density * density * area / (2.0 * MU_0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed apart from this code, six digits.
    #[test]
    fn cross_pull_of_an_even_field() {
        assert!((pull(0.5, 1e-6) - 0.099_471_8).abs() < 1e-7);
        assert!((pull(-1.0, 1e-6) - 0.397_887).abs() < 1e-6);
    }
}
