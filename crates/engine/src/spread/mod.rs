//! What a million built units do.
//!
//! A [`Model`] of the design tells the drive of any unit within microseconds. An [`Evaluator`] takes a
//! unit's events from it, or finds them on the unit's true drive with the model to guide it: as exact as
//! sampling the whole sweep, and some twenty times faster.

mod expansion;
mod model;
mod nodes;
mod unit;

pub(crate) use model::Model;
pub(crate) use unit::Evaluator;

#[cfg(test)]
mod tests;
