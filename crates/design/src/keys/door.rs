//! The table that says a sweep is that of a door, a lid or a hatch.

use super::measured;
use crate::schema::{Key, Kind, Measure, Table};

/// Which end of the sweep it is shut at.
pub const ENDS: &[&str] = &["from", "to"];

/// `[door]`
pub const DOOR: Table = Table {
    name: "door",
    doc: "What moves is a door, a lid or a hatch: gaps at operate and release, and which magnets brought near it could pass for it.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::optional(
            "shut",
            Kind::Word(ENDS),
            "\"to\"",
            "The end of the sweep at which it is shut.",
        )
        .or("to"),
        Key::optional(
            "edge",
            Kind::One(measured(Measure::Length, "1 mm", "10 m")),
            "\"400 mm\"",
            "Distance from the hinge to the edge that opens, of a door on an arc.",
        ),
        Key::optional(
            "outsiders",
            Kind::Names,
            "[\"slug\", \"pebble\"]",
            "Magnets that somebody may bring near the open door, by their names in the design or the catalogue; all of the catalogue if absent.",
        ),
    ]],
};
