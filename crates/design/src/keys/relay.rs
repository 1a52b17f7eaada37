//! The table of a relay.

use super::{NOTE, measured};
use crate::schema::{Key, Kind, Measure, Table};

/// What takes the coil's current over when it is switched off.
pub const SUPPRESSIONS: &[&str] = &["none", "diode", "zener", "resistor", "rc"];

/// `[relay]`
pub const RELAY: Table = Table {
    name: "relay",
    doc: "A coil that drives contacts from a supply: operate and release voltages cold and hot, power, and the hottest surroundings in which it still operates. Where the `alloy` of a contact that makes is known, operate, bounce and release time; of one that breaks or changes over they ask for the length of the blade between the sides and for the spring of the side that follows it, which a design does not state.",
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
        Key::optional(
            "suppression",
            Kind::Word(SUPPRESSIONS),
            "\"zener\"",
            "What takes the coil's current over when it is switched off: nothing, a diode across the coil, a diode with a Zener diode, a resistor, or a resistor with a capacitor. A diode if absent; every kind is told beside it.",
        ),
        Key::optional(
            "suppression_voltage",
            Kind::One(measured(Measure::Voltage, "1 V", "1 kV")),
            "\"24 V\"",
            "Breakdown of the Zener diode; twice the supply in preferred values if absent.",
        ),
        Key::optional(
            "suppression_resistance",
            Kind::One(measured(Measure::Resistance, "1 Ω", "10 MΩ")),
            "\"1 kΩ\"",
            "Of `resistor`: five times that of the coil in preferred values if absent; of `rc`: that of the coil.",
        ),
        Key::optional(
            "suppression_capacitance",
            Kind::One(measured(Measure::Capacitance, "1 pF", "1000 µF")),
            "\"0.1 µF\"",
            "Of `rc`: what holds the coil's energy at the supply, in preferred values, if absent.",
        ),
        NOTE,
    ]],
};
