//! What a contact is made of: keys of `[[contact]]` and of a family.

use super::measured;
use crate::schema::{Key, Kind, Measure};

/// What may fill the glass.
pub const GASES: &[&str] = &["nitrogen", "air", "vacuum"];

pub(super) const CONSTRUCTION: &[Key] = &[
    Key::optional(
        "least_voltage",
        Kind::One(measured(Measure::Voltage, "0.000001 V", "1 kV")),
        "\"0.1 V\"",
        "Least voltage that it switches well: below it films on the faces may not be broken through.",
    ),
    Key::optional(
        "least_current",
        Kind::One(measured(Measure::Current, "0.000001 mA", "10 A")),
        "\"0.1 mA\"",
        "Least current that it switches well.",
    ),
    Key::optional(
        "metal",
        Kind::Text,
        "\"rhodium\"",
        "Metal of the contact faces, by the name or symbol that the table of contact metals has for it: arcs and melting are judged by it.",
    ),
    Key::optional(
        "contact_resistance",
        Kind::One(measured(Measure::Resistance, "0.1 mΩ", "100 Ω")),
        "\"80..150 mΩ\"",
        "Resistance of the closed contact with its leads.",
    )
    .or("100 mΩ"),
    Key::optional(
        "alloy",
        Kind::Text,
        "\"Nickel-iron 52\"",
        "Alloy of blades and leads, as the table of alloys names it; for their resistance, their stiffness and the seal.",
    ),
    Key::optional(
        "glass",
        Kind::Text,
        "\"lead glass\"",
        "Glass that they are sealed in, as the table of glasses names it.",
    ),
    Key::optional("gas", Kind::Word(GASES), "\"nitrogen\"", "What fills the glass."),
    Key::optional(
        "gas_pressure",
        Kind::One(measured(Measure::Pressure, "0.001 mbar", "20 bar")),
        "\"0.6 bar\"",
        "Pressure of the gas at 20 °C.",
    )
    .or("1 bar"),
    Key::optional(
        "restitution",
        Kind::One(measured(Measure::Number, "0", "0.9")),
        "\"0.3..0.6\"",
        "Speed of the faces after an impact over that before it, for the bounce of a relay's contacts; the default is common practice, no source.",
    )
    .or("0.3..0.6"),
];
