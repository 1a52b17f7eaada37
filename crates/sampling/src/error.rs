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
    /// Drivers that are not disjoint groups of coordinates.
    #[error("a driver is empty, or has a coordinate that is not there or another's already")]
    Drivers,
    /// A correlation that cannot be.
    #[error("coordinates {one} and {other} cannot have the rank correlation {rank}, or have one")]
    Correlation {
        /// One coordinate.
        one: usize,
        /// The other.
        other: usize,
        /// Rank correlation asked for.
        rank: f64,
    },
    /// Correlations that cannot hold together.
    #[error(
        "the correlations of coordinate {coordinate} contradict those among the ones before it"
    )]
    Incompatible {
        /// The first coordinate at which this shows.
        coordinate: usize,
    },
    /// A mixture without components, or with one that has no share.
    #[error("every component of a mixture needs a share above 0")]
    Shares,
    /// Capability without limits or spread.
    #[error("capability needs a sigma above 0 and limits in order")]
    Limits,
    /// Shards of different studies.
    #[error("shards of different studies cannot be merged")]
    Unlike,
}
