//! The table of a relay.

use super::{NOTE, measured};
use crate::schema::{Key, Kind, Measure, Table};

/// `[relay]`
pub const RELAY: Table = Table {
    name: "relay",
    doc: "A coil that drives contacts from a supply: operate and release voltages cold and hot, power, and the hottest surroundings in which it still operates.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::optional(
            "coil",
            Kind::Text,
            "\"drive\"",
            "The coil that drives it; the one of the sweep if absent.",
        ),
        Key::required(
            "supply",
            Kind::One(measured(Measure::Voltage, "0.01 V", "1 kV")),
            "\"5 V ± 5 %\"",
            "Voltage across the coil when it is on; its nominal value is the rated coil voltage.",
        ),
        NOTE,
    ]],
};
