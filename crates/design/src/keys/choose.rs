//! The tables that say what may be chosen of a design.

use super::measured;
use crate::schema::{Key, Kind, Measure, Table};

/// What a choice may cost.
pub const COSTS: &[&str] = &["price", "mass", "volume", "power"];

/// `[choose]`
pub const CHOOSE: Table = Table {
    name: "choose",
    doc: "What `reedmace choose` may change, and what is to cost little. All else stays as the file states it.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::optional(
            "cost",
            Kind::Word(COSTS),
            "\"price\"",
            "What is to be least: the price of contacts and magnets, the mass or the volume of the magnets, or the power that the coil of [relay] takes from its nominal supply with its wire at 20 °C.",
        )
        .or("volume"),
        Key::optional(
            "yield",
            Kind::One(measured(Measure::Number, "50 %", "100 %")),
            "\"99.9 %\"",
            "Share of units that must meet every demand; if absent, every unit within tolerance must.",
        ),
        Key::required(
            "free",
            Kind::Free,
            "{ \"contact[lid].family\" = \"any\", \"magnet[slug].size[0]\" = { from = \"8 mm\", to = \"14 mm\", step = \"1 mm\" } }",
            "What may be chosen, by its path. The file's own value there is where the search begins; its tolerance goes with any other.",
        ),
    ]],
};

/// `{ from = ..., to = ..., step = ... }` of what may be chosen
pub const RANGE: Table = Table {
    name: "range",
    doc: "Values to choose from: in steps, or anything between.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required("from", Kind::Text, "\"8 mm\"", "The least nominal value."),
        Key::required("to", Kind::Text, "\"14 mm\"", "The greatest nominal value."),
        Key::optional(
            "step",
            Kind::Text,
            "\"1 mm\"",
            "From one value to the next; if absent, anything between will do.",
        ),
    ]],
};
