//! What a contact is made of: keys of `[[contact]]` and of a family.

use super::measured;
use crate::schema::{Key, Kind, Measure};

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
];
