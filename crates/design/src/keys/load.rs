//! `[[load]]`: what a contact switches, and what protects it.

use super::{NAME, NOTE, either, measured};
use crate::schema::{Alternative, Choice, Key, Kind, Measure, Table};

/// Kinds of load.
pub const LOADS: &[&str] = &["resistive", "lamp", "motor", "inductive", "capacitive", "cable"];
/// Kinds of protection.
pub const PROTECTIONS: &[&str] =
    &["rc", "rc across load", "diode", "zener", "varistor", "resistor", "inductor"];

const VOLTS: Kind = Kind::One(measured(Measure::Voltage, "0.001 V", "20 kV"));
const OHMS: Kind = Kind::One(measured(Measure::Resistance, "1 mΩ", "100 MΩ"));
const FARADS: Kind = Kind::One(measured(Measure::Capacitance, "0.01 pF", "1 F"));
const HENRIES: Kind = Kind::One(measured(Measure::Inductance, "0.001 µH", "1000 H"));
const AMPERES: Kind = Kind::One(measured(Measure::Current, "0.000001 mA", "1000 A"));

/// What it draws, said once.
const DRAW: Choice = Choice {
    only: None,
    of: &[
        either(&["resistance"], &["current", "power"]),
        either(&["current"], &["resistance", "power"]),
        either(&["power"], &["resistance", "current"]),
    ],
};

/// Parts that a kind of protection does not have.
const fn lacks(word: &'static str, of: &'static [Alternative]) -> Choice {
    Choice { only: Some(("protect", word)), of }
}

const OHMS_KEY: &str = "protect_resistance";
const FARADS_KEY: &str = "protect_capacitance";
const VOLTS_KEY: &str = "protect_voltage";
const HENRIES_KEY: &str = "protect_inductance";
const RC: Choice = lacks("rc", &[either(&[], &[VOLTS_KEY, HENRIES_KEY])]);
const RC_LOAD: Choice = lacks("rc across load", &[either(&[], &[VOLTS_KEY, HENRIES_KEY])]);
const DIODE: Choice =
    lacks("diode", &[either(&[], &[OHMS_KEY, FARADS_KEY, VOLTS_KEY, HENRIES_KEY])]);
const ZENER: Choice = lacks("zener", &[either(&[], &[OHMS_KEY, FARADS_KEY, HENRIES_KEY])]);
const VARISTOR: Choice = lacks("varistor", &[either(&[], &[OHMS_KEY, FARADS_KEY, HENRIES_KEY])]);
const RESISTOR: Choice = lacks("resistor", &[either(&[], &[FARADS_KEY, VOLTS_KEY, HENRIES_KEY])]);
const INDUCTOR: Choice = lacks("inductor", &[either(&[], &[OHMS_KEY, FARADS_KEY, VOLTS_KEY])]);

/// `[[load]]`
pub const LOAD: Table = Table {
    name: "load",
    doc: "What a contact switches: checked against its ratings and followed over time, without protection and with it.",
    entry_key: None,
    choices: &[DRAW, RC, RC_LOAD, DIODE, ZENER, VARISTOR, RESISTOR, INDUCTOR],
    keys: &[&[
        NAME,
        Key::optional(
            "contact",
            Kind::Text,
            "\"level\"",
            "The contact that switches it; the only one if absent.",
        ),
        Key::required("kind", Kind::Word(LOADS), "\"inductive\"", "What kind of load it is."),
        Key::required(
            "supply",
            VOLTS,
            "\"24 V ± 10 %\"",
            "Voltage of the supply; the effective value of an alternating one.",
        ),
        Key::optional(
            "frequency",
            Kind::One(measured(Measure::Frequency, "1 Hz", "10 kHz")),
            "\"50 Hz\"",
            "Frequency of an alternating supply; a direct voltage if absent.",
        ),
        Key::optional(
            "resistance",
            OHMS,
            "\"60 Ω ± 10 %\"",
            "Resistance of the load; of a capacitive one what it draws when charged.",
        ),
        Key::optional(
            "current",
            AMPERES,
            "\"0.4 A ± 10 %\"",
            "What it draws steadily, in place of a resistance.",
        ),
        Key::optional(
            "power",
            Kind::One(measured(Measure::Power, "0.000001 W", "100000 W")),
            "\"10 W ± 10 %\"",
            "The power it takes steadily, in place of a resistance.",
        ),
        Key::optional(
            "inductance",
            HENRIES,
            "\"120..180 mH\"",
            "Inductance of a motor's winding; counted when the contact opens.",
        )
        .only("kind", &["motor"]),
        Key::required("inductance", HENRIES, "\"120..180 mH\"", "Inductance of the load.")
            .only("kind", &["inductive"]),
        Key::required("capacitance", FARADS, "\"100 µF ± 20 %\"", "Capacitance of the load.")
            .only("kind", &["capacitive"]),
        Key::required(
            "capacitance",
            FARADS,
            "\"5 nF ± 10 %\"",
            "Capacitance of the whole cable, some 50 to 150 pF a metre.",
        )
        .only("kind", &["cable"]),
        Key::optional(
            "series_resistance",
            OHMS,
            "\"0.3 Ω\"",
            "Resistance in series with the capacitance.",
        )
        .or("0.1 Ω")
        .only("kind", &["capacitive"]),
        Key::optional("impedance", OHMS, "\"120 Ω\"", "Wave impedance of the cable.")
            .or("100 Ω")
            .only("kind", &["cable"]),
        Key::optional(
            "inrush_current",
            AMPERES,
            "\"3.2 A\"",
            "Measured peak of the current at closing; else it follows from the kind.",
        )
        .only("kind", &["lamp", "motor", "capacitive"]),
        Key::optional(
            "inrush_time",
            Kind::One(measured(Measure::Duration, "0.001 ms", "60 s")),
            "\"40 ms\"",
            "How long the measured inrush lasts.",
        )
        .only("kind", &["lamp", "motor", "capacitive"]),
        Key::optional(
            "source_resistance",
            OHMS,
            "\"0.5 Ω\"",
            "Resistance of the supply and of the wires.",
        )
        .or("0.1 Ω"),
        Key::optional(
            "stray",
            FARADS,
            "\"100 pF\"",
            "Capacitance right across the contact: its own and that of its wires.",
        )
        .or("50 pF"),
        Key::optional(
            "rate",
            Kind::One(measured(Measure::Frequency, "0.000000001 Hz", "1 kHz")),
            "\"0.01 Hz\"",
            "How often it is switched, for the heat in what protects the contact.",
        )
        .or("0.1 Hz"),
        Key::optional(
            "protect",
            Kind::Word(PROTECTIONS),
            "\"rc\"",
            "What protects the contact; none if absent. Its parts are sized unless stated. A resistor goes across a load with inductance, and in series with any other.",
        ),
        Key::optional(
            "protect_resistance",
            OHMS,
            "\"100 Ω\"",
            "Resistance of `rc` or `resistor`, in place of one sized.",
        ),
        Key::optional(
            "protect_capacitance",
            FARADS,
            "\"0.1 µF\"",
            "Capacitance of `rc`, in place of one sized.",
        ),
        Key::optional(
            "protect_voltage",
            VOLTS,
            "\"36 V\"",
            "Breakdown of `zener`, or where `varistor` begins to conduct, in place of one sized.",
        ),
        Key::optional(
            "protect_inductance",
            HENRIES,
            "\"100 µH\"",
            "Inductance of `inductor`, in place of one sized.",
        ),
        NOTE,
    ]],
};
