//! What can be asked for in vain.

/// Why a study cannot be set up or put together.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SamplingError {
    /// Points have at least one and at most so many coordinates.
    #[error("points have 1 to {most} dimensions, not {asked}")]
    Dimensions {
        /// Dimensions asked for.
        asked: usize,
        /// Most that the table of direction numbers has.
        most: usize,
    },
    /// Replicated points without a scramble.
    #[error("at least one scramble is needed")]
    NoScramble,
    /// A histogram whose bins are none.
    #[error("{bins} bins from {low} to {high} are no histogram")]
    Bins {
        /// Lower limit asked for.
        low: f64,
        /// Upper limit asked for.
        high: f64,
        /// Bins asked for.
        bins: usize,
    },
    /// Shards of different studies.
    #[error("shards of different studies cannot be merged")]
    Unlike,
}
