//! Why iron cannot be cut into cells or solved.

/// Why iron cannot be set up, or its magnetization not found.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum IronError {
    /// The planes a body is cut at do not rise, or are fewer than two along an axis.
    #[error("the planes along axis {axis} must rise strictly and be at least two")]
    Planes {
        /// 0, 1, 2 for x, y, z of the body.
        axis: usize,
    },
    /// No cell lies in any of the boxes.
    #[error("no cell of the body lies inside its boxes")]
    NoIron,
    /// The cells do not map onto each other under the symmetry stated.
    #[error(
        "the cells are not symmetric as stated: the cell at {centre:?} m has no partner, or is its own"
    )]
    NotSymmetric {
        /// Centre of that cell in the world, m.
        centre: [f64; 3],
    },
    /// The source is not a finite field everywhere in the iron.
    #[error("the applied field is not finite in the iron")]
    FieldNotFinite,
    /// The iteration did not come to rest.
    #[error("no solution after {iterations} steps: the last step was {step:.1e} of the flux")]
    NotConverged {
        /// How many steps were taken.
        iterations: usize,
        /// Size of the last step over the size of the solution.
        step: f64,
        /// What the branch equations lacked, over the applied line integrals.
        residual: f64,
    },
}
