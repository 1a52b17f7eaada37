//! A door of a checked design.

use crate::model::Magnet;
use crate::value::Value;
use reedmace_units::Length;

/// What moves is a door, a lid or a hatch.
#[derive(Debug, Clone, PartialEq)]
pub struct Door {
    /// True when it is shut where the forward pass ends, false where it starts.
    pub shut_at_end: bool,
    /// From the hinge to the edge that opens; only on an arc.
    pub edge: Option<Value<Length>>,
    /// Magnets that may be brought near it; where they stand means nothing.
    pub outsiders: Vec<Magnet>,
}
