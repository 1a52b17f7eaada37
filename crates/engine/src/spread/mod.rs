//! What a million built units do.
//!
//! A [`Model`] of the design tells the drive of any unit within microseconds. An [`Evaluator`] takes a
//! unit's events from it, or finds them on the unit's true drive with the model to guide it: as exact as
//! sampling the whole sweep, and some twenty times faster.

mod bends;
mod drivers;
mod expansion;
mod figures;
mod layout;
mod model;
mod nodes;
mod run;
mod tally;
mod told;
mod unit;
mod worst_unit;

pub(crate) use model::Model;
pub use run::{BLOCK, Spread, SpreadOptions};
pub use tally::{Subject, Tally};
pub use told::FigureRow;
pub(crate) use unit::Evaluator;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_dependent;
