//! The tables of coils: what makes the field, what it is wound of, and the relay it drives.

use super::parts::{DIAMETERS, SIDE};
use super::{AT, AXIS, CURRENT, MMF, NAME, NOTE, ROTATE, either, length, measured};
use crate::schema::{Choice, Key, Kind, Measure, Table};

const DRIVE: Choice = Choice {
    only: None,
    of: &[
        either(&[], &["current", "ampere_turns"]),
        either(&["current", "turns"], &["ampere_turns"]),
        either(&["current", "resistance", "bobbin"], &["ampere_turns"]),
        either(&["ampere_turns"], &["current"]),
    ],
};
const SECTION: Choice = Choice {
    only: None,
    of: &[
        either(&["length", "mean_diameter"], &["inner_diameter", "outer_diameter", "bobbin"]),
        either(&["length", "inner_diameter", "outer_diameter"], &["mean_diameter", "bobbin"]),
        either(
            &["bobbin", "wire", "turns"],
            &["length", "mean_diameter", "inner_diameter", "outer_diameter"],
        ),
        either(
            &["bobbin", "wire", "resistance"],
            &["length", "mean_diameter", "inner_diameter", "outer_diameter"],
        ),
    ],
};

/// How turns may lie on each other.
pub const LAYS: &[&str] = &["random", "layered", "orthocyclic"];

/// `bobbin = { ... }` of a coil
pub const BOBBIN: Table = Table {
    name: "bobbin",
    doc: "The room that a coil is wound in.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required(
            "inner_diameter",
            SIDE,
            "\"3.2 ± 0.05 mm\"",
            "Diameter that the first layer lies on.",
        ),
        Key::required("length", SIDE, "\"9 ± 0.1 mm\"", "Length between the flanges."),
        Key::required(
            "window",
            length("0.02 mm", "0.5 m"),
            "\"1.6 mm\"",
            "Height that the flanges leave above the inner diameter.",
        ),
    ]],
};

/// `[[coil]]`
pub const COIL: Table = Table {
    name: "coil",
    doc: "A coil: a source of field, a test coil, or both. Its diameters are stated, or follow from the wire that is wound on a bobbin.",
    entry_key: None,
    choices: &[SECTION, DRIVE],
    keys: &[
        &[
            NAME,
            Key::optional("length", SIDE, "\"25 mm\"", "Length of the winding."),
        ],
        DIAMETERS,
        &[
            Key::optional(
                "bobbin",
                Kind::Table(&BOBBIN),
                "{ inner_diameter = \"3.2 mm\", length = \"9 mm\", window = \"1.6 mm\" }",
                "What it is wound on, in place of its length and diameters.",
            ),
            Key::optional(
                "wire",
                Kind::Text,
                "\"0.05 mm grade 1\"",
                "Enamelled copper wire on the bobbin: its nominal diameter, or a gauge such as \"AWG 44\", and the grade of its enamel, 1 if not said.",
            ),
            Key::optional(
                "wire_diameter",
                length("0.005 mm", "5 mm"),
                "\"0.050 ± 0.001 mm\"",
                "Diameter of its conductor where it is known better; the nominal one, without tolerance, if absent.",
            ),
            Key::optional(
                "wire_overall",
                length("0.005 mm", "6 mm"),
                "\"0.056..0.058 mm\"",
                "Diameter over its enamel where it is known better; the limits of its grade if absent.",
            ),
            Key::optional(
                "lay",
                Kind::Word(LAYS),
                "\"layered\"",
                "How the turns lie: anyhow, each layer straight above the one below, or in its grooves.",
            )
            .or("random"),
            Key::optional(
                "fill",
                Kind::One(measured(Measure::Number, "20 %", "90.6 %")),
                "\"65 %\"",
                "Share of the winding's section that wire with its enamel fills.",
            )
            .or("65 %")
            .only("lay", &["random"]),
            Key::optional(
                "turns",
                Kind::One(measured(Measure::Number, "1", "1000000")),
                "2000",
                "Number of turns; those of the stated resistance if absent from a wound coil.",
            ),
            Key::optional(
                "resistance",
                Kind::One(measured(Measure::Resistance, "1 mΩ", "1 MΩ")),
                "\"500 Ω ± 10 %\"",
                "Resistance at 20 °C; that of the wire if absent from a wound coil.",
            ),
            Key::optional(
                "thermal_resistance",
                Kind::One(measured(Measure::ThermalResistance, "0 K/W", "10000 K/W")),
                "\"120 K/W ± 20 %\"",
                "How much hotter than its surroundings the wire gets for each watt; estimated from the coil's surface in still air if absent, within half of it either way.",
            ),
            Key::optional(
                "thermal_class",
                Kind::One(measured(Measure::Temperature, "90 °C", "250 °C")),
                "\"155 °C\"",
                "Temperature that the enamel of its wire stands for years, the thermal class of the wire. Common practice, no source: that of wire that is soldered through its enamel.",
            )
            .or("155 °C"),
            Key::optional(
                "current",
                Kind::One(CURRENT),
                "\"12 mA\"",
                "Current through it; needs turns.",
            ),
            Key::optional("ampere_turns", Kind::One(MMF), "\"25 AT\"", "Turns times current."),
            AT,
            AXIS.or("1 0 0"),
            ROTATE,
            NOTE,
        ],
    ],
};
