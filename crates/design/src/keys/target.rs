//! The table that says a body of steel is what a contact and its magnet watch for.

use super::POSITION;
use crate::schema::{Key, Table};

/// `[target]`
pub const TARGET: Table = Table {
    name: "target",
    doc: "What moves first along the line is steel that passes a contact and its own magnet: how far off it is seen, and what its thickness, steel, size and direction change. The steel is linear and at rest at every place: not true of thin vanes near saturation (the answer tells how near), of vanes that pass fast (eddy currents hold the flux back for some half a millisecond in 1.5 mm of mild steel, four times as long in twice that), nor of hard or magnetized steel, whose remanence adds a field of its own.",
    entry_key: None,
    choices: &[],
    keys: &[&[Key::optional(
        "face",
        POSITION,
        "[\"0 mm\", \"12 mm\", \"0 mm\"]",
        "A point of the sensor's face: distances are told from it to the target's leading face, along the way of the target; the middle of each contact if absent.",
    )]],
};
