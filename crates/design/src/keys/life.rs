//! `[life]`: what a test of contacts says of their life.

use super::{NOTE, either, measured};
use crate::schema::{Choice, Key, Kind, Measure, Table};

/// A test stands in lists or in a file, or there is none and a number from elsewhere.
const TEST: Choice = Choice {
    only: None,
    of: &[
        either(&[], &["file", "b10d"]),
        either(&["file"], &["failed", "running", "b10d"]),
        either(&["b10d"], &["failed", "running", "file"]),
    ],
};

/// `[life]`
pub const LIFE: Table = Table {
    name: "life",
    doc: "Life of the contacts by a test of your own: a Weibull distribution, B10 and what follows from it. Without a test no number is told, or what follows from a `b10d` of a maker or a standard.",
    entry_key: None,
    choices: &[TEST],
    keys: &[&[
        Key::optional(
            "failed",
            Kind::Numbers,
            "[1.2e6, 2.9e6, 4.1e6]",
            "Operations after which units failed.",
        ),
        Key::optional(
            "running",
            Kind::Numbers,
            "[5e6, 5e6]",
            "Operations after which units were taken off the test in good order.",
        ),
        Key::optional(
            "file",
            Kind::Text,
            "\"life.csv\"",
            "A file of the test beside the design, in place of both: header operations,failed, and in each row a number and yes or no.",
        ),
        Key::optional(
            "b10d",
            Kind::One(measured(Measure::Number, "1", "1000000000000")),
            "\"400000\"",
            "Operations by which a tenth has failed dangerously, where there is no test of your own: as a maker tells it, or as a standard lists it of parts that are built by good practice and used so. Say which with `source`.",
        ),
        Key::optional(
            "load",
            Kind::Text,
            "\"24 V, 0.4 A, with rc\"",
            "What the contacts switched in the test, or what `b10d` is for: a life holds for that load alone.",
        ),
        Key::optional(
            "confidence",
            Kind::One(measured(Measure::Number, "50 %", "99.9 %")),
            "\"90 %\"",
            "Confidence of the bounds, both together.",
        )
        .or("90 %"),
        Key::optional(
            "operations_per_year",
            Kind::One(measured(Measure::Number, "0.001", "1000000000000")),
            "\"30000 ± 3000\"",
            "How often a contact operates in a year.",
        ),
        Key::optional(
            "dangerous_share",
            Kind::One(measured(Measure::Number, "1 %", "100 %")),
            "\"50 %\"",
            "Share of failures that are dangerous; half by the usual assumption.",
        )
        .or("50 %"),
        NOTE,
    ]],
};
