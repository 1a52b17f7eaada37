//! The reference of the design file as text, from the key table that reads it.

use crate::codes::CODES;
use crate::faults::listing;
use crate::keys::{BOX, CATALOGUE, CIRCLE, DESIGN, FAMILY, PART, RANGE, STOCK, TEST_COIL, VALUE};
use crate::schema::{Key, Kind, Measured, Need, Table};
use std::fmt::Write;

/// Every table and key of a design and of a catalogue, and every code, as Markdown.
pub fn file_reference() -> String {
    let mut out = String::from(
        "# The design file\n\nOne TOML file holds a design. A quantity is text with its unit and, if \
         known, its tolerance: `\"8 mm\"`, `\"8 ± 0.3 mm\"`, `\"8 +0.5 -0.2 mm\"`, `\"1.2 T ± 5 %\"`, \
         `\"20..25 AT\"`. This page is made from the table that reads the file.\n",
    );
    section(&mut out, "The file", &DESIGN);
    for key in DESIGN.keys() {
        match key.kind {
            Kind::Table(table) => section(&mut out, &format!("`[{}]`", table.name), table),
            Kind::Tables(table) => section(&mut out, &format!("`[[{}]]`", table.name), table),
            _ => {}
        }
    }
    section(&mut out, "`coil = { ... }` of a contact", &TEST_COIL);
    section(&mut out, "`circle = { ... }` of a magnet", &CIRCLE);
    section(&mut out, "`boxes = [{ ... }, ...]` of a body of steel", &BOX);
    section(&mut out, "`{ value = ... }` in place of any quantity", &VALUE);
    section(&mut out, "`mixture = [{ ... }, ...]` of a quantity", &PART);
    section(&mut out, "`{ from = ..., to = ... }` of what may be chosen", &RANGE);
    section(&mut out, "A catalogue file", &CATALOGUE);
    section(&mut out, "`[[family]]` of a catalogue", &FAMILY);
    section(&mut out, "`[[stock]]` of a catalogue", &STOCK);
    out.push_str("\n## Codes\n\n| code | meaning |\n|---|---|\n");
    for code in CODES {
        row(&mut out, &[code.id, code.meaning]);
    }
    out
}

fn section(out: &mut String, title: &str, table: &Table) {
    line(out, &format!("\n## {title}\n\n{}\n", table.doc));
    if table.keys().next().is_none() {
        return;
    }
    line(out, "| key | holds | if absent | meaning | example |\n|---|---|---|---|---|");
    for key in table.keys() {
        let example = match key.example {
            "" => String::new(),
            example => format!("`{example}`"),
        };
        row(out, &[&format!("`{}`", key.name), &holds(key), &absent(key), &meaning(key), &example]);
    }
}

fn line(out: &mut String, text: &str) {
    writeln!(out, "{text}").expect("writing to a string cannot fail");
}

fn row(out: &mut String, cells: &[&str]) {
    line(out, &format!("| {} |", cells.join(" | ")));
}

fn meaning(key: &Key) -> String {
    match key.only {
        Some((by, words)) => format!("{} Only where `{by}` is {}.", key.doc, listing(words, "or")),
        None => key.doc.to_owned(),
    }
}

fn absent(key: &Key) -> String {
    match key.need {
        Need::Required => "needed".to_owned(),
        Need::Default(text) => text.to_owned(),
        Need::Optional => String::new(),
    }
}

fn holds(key: &Key) -> String {
    let one = |measured: Measured| {
        let (name, limits) = (measured.measure.name(), measured.limits);
        format!("{name}, {} to {}", limits.low, limits.high)
    };
    match key.kind {
        Kind::Text => "text".to_owned(),
        Kind::Name => "a name".to_owned(),
        Kind::Files => "file names".to_owned(),
        Kind::Word(words) => listing(words, "or"),
        Kind::Count(low, high) if low == high => low.to_string(),
        Kind::Count(low, high) => format!("whole number, {low} to {high}"),
        Kind::One(measured) => one(measured),
        Kind::Either(first, second) => format!("{}; or {}", one(first), one(second)),
        Kind::Three(measured) => format!("three of {}", one(measured)),
        Kind::Direction => "three bare numbers".to_owned(),
        Kind::TestCoil => "a table, a name or \"uniform\"".to_owned(),
        Kind::Names => "a name or a list of names".to_owned(),
        Kind::Quantities => "paths of quantities".to_owned(),
        Kind::Numbers => "bare numbers".to_owned(),
        Kind::Region => "a region".to_owned(),
        Kind::Poses => "a list of poses".to_owned(),
        Kind::Strapping => "rows of a level and a volume".to_owned(),
        Kind::Free => "paths with names or a range".to_owned(),
        Kind::Table(_) => "a table".to_owned(),
        Kind::Tables(_) => "tables".to_owned(),
    }
}
