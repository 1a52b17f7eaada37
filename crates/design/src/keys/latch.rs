//! The table that says a contact remembers: latching contacts and normally closed ones held by a magnet.

use super::NOTE;
use super::door::ENDS;
use crate::schema::{Key, Kind, Table};

/// `[latch]`
pub const LATCH: Table = Table {
    name: "latch",
    doc: "The contacts keep their state while what changes is away: a magnet beside each holds it between release and operate. Set and reset points, the room of both states at rest, the field from outside that each survives, and the temperatures between which both hold. The walk begins reset. Mechanical shock is not counted: a knock that moves the blades can change a state that a field of the same day would leave alone. Magnets are taken as they are at a temperature; what one loses for good above its knee is told beside it.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::optional(
            "rest",
            Kind::Word(ENDS),
            "\"from\"",
            "The end of the sweep at which what moves is away. A coil is at rest without current.",
        )
        .or("from"),
        NOTE,
    ]],
};
