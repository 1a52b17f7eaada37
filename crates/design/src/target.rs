//! A steel target of a checked design.

use crate::model::Position;

/// What the sweep moves first is steel that passes a contact and its magnet.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// Which of [`crate::Design::steel`] it is.
    pub steel: usize,
    /// Where distances are told from; the middle of each contact if not stated.
    pub face: Option<Position>,
}
