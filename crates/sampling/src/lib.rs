//! The statistics of a study over many units: which points to try, and what may be said from them.
//!
//! Knows no physics and no design. A *unit* is a point of the open unit cube, one coordinate for each
//! quantity that varies, and has a number; a *figure* is a number or a yes/no that somebody computes from
//! it. Everything here is a pure function of seed and number, and everything gathered can be merged from
//! any shards in any order to the same bits.
//!
//! | for | take |
//! |---|---|
//! | units | [`Sobol`]: `Sobol::new(seed, dimensions)`, `fill(first, &mut block)` |
//! | the distribution of a figure | [`Summary`]: mean, variance, extremes with their units, histogram, quantiles |
//! | sums of one's own | [`ExactSum`], [`Moments`] |

mod directions;
mod error;
mod exact;
mod histogram;
mod moments;
mod scramble;
mod sobol;
mod summary;

pub use directions::{Directions, MOST_DIMENSIONS};
pub use error::SamplingError;
pub use exact::ExactSum;
pub use histogram::Histogram;
pub use moments::Moments;
pub use sobol::Sobol;
pub use summary::{Extreme, Quantile, Summary};
