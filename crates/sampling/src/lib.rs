//! The statistics of a study over many units: which points to try, and what may be said from them.
//!
//! Knows no physics and no design. A *unit* is a point of the open unit cube, one coordinate for each
//! quantity that varies, and has a number; a *figure* is a number or a yes/no that somebody computes from
//! it. Everything here is a pure function of seed and number, and everything gathered can be merged from
//! any shards in any order to the same bits.
//!
//! | for | take |
//! |---|---|
//! | the units of a study | [`Sobol`]: `Sobol::replicated(seed, dimensions, REPLICATES)`, `fill(first, &mut block)` |
//! | coordinates as normal deviates | [`normal_quantile`], [`normal_within_three_sigma`] |
//! | suppliers, correlated quantities | [`Mixture`] on one coordinate, [`Copula`] on several |
//! | the share that meets a demand | [`Tally`]: `put(unit, met)`, `merge`, `interval(confidence)` |
//! | how many units that takes | [`units_for_width`], [`units_for_claim`] |
//! | the distribution of a figure | [`Summary`]: mean, variance, extremes with their units, histogram, quantiles |
//! | what drives it | [`Scheme`] for the points, [`Drivers`] for the figure at them, [`Indices`] |
//! | room between limits | [`Capability`] |
//! | sums of one's own | [`ExactSum`], [`Moments`] |
//!
//! A study of two quantities and one demand, in two shards:
//!
//! ```
//! use reedmace_sampling::{REPLICATES, Sobol, Summary, Tally};
//!
//! let points = Sobol::replicated(1, 2, REPLICATES)?;
//! let shard = |units: std::ops::Range<u64>| {
//!     let (mut met, mut gap) = (Tally::default(), Summary::new(0.0, 2.0, 200)?);
//!     let mut block = vec![0.0; 2 * units.clone().count()];
//!     points.fill(units.start, &mut block);
//!     for (unit, u) in units.zip(block.chunks_exact(2)) {
//!         met.put(unit, u[0] + u[1] > 0.3);
//!         gap.put(unit, u[0] + u[1]);
//!     }
//!     Ok::<_, reedmace_sampling::SamplingError>((met, gap))
//! };
//! let (mut met, mut gap) = shard(5000..20_000)?;
//! let (first_met, first_gap) = shard(0..5000)?;
//! met.merge(&first_met)?;
//! gap.merge(&first_gap)?;
//! let share = met.interval(0.95);
//! assert!(share.low < 0.955 && 0.955 < share.high && share.high - share.low < 0.002);
//! let median = gap.quantile(0.5).expect("some units");
//! assert!(median.low <= 1.0 && 1.0 <= median.high);
//! # Ok::<(), reedmace_sampling::SamplingError>(())
//! ```

mod beta;
mod capability;
mod copula;
mod directions;
mod drivers;
mod error;
mod exact;
mod histogram;
mod interval;
mod mixture;
mod moments;
mod need;
mod normal;
mod scheme;
mod scramble;
mod sobol;
mod summary;

pub use capability::{Capability, ppm_beyond};
pub use copula::{Copula, Correlation};
pub use directions::{Directions, MOST_DIMENSIONS};
pub use drivers::{Drivers, Estimate, Index, Indices, Reading};
pub use error::SamplingError;
pub use exact::ExactSum;
pub use histogram::Histogram;
pub use interval::{Interval, Tally, clopper_pearson};
pub use mixture::Mixture;
pub use moments::Moments;
pub use need::{units_for_claim, units_for_width};
pub use normal::{normal_quantile, normal_within_three_sigma};
pub use scheme::Scheme;
pub use sobol::Sobol;
pub use summary::{Extreme, Quantile, Summary};

/// Independent scrambles among which the units of a study, and the rows of a [`Scheme`], take turns: what
/// differs between them is the error. Sixteen tell an error to within a fifth, and cost little of
/// what the evenness of the points gains.
pub const REPLICATES: usize = 16;
