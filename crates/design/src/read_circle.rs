//! `circle = { ... }` of a magnet: one table, several magnets.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::keys::CIRCLE;
use crate::model::{Circle, Magnet};
use crate::read_sources;
use crate::reader::Reader;
use reedmace_materials::Grades;
use std::ops::Range;
use toml::de::DeValue;

/// The numbers, from 0, and names of the magnets that a table states; one without a number where it
/// states no circle.
pub(crate) fn built(reader: &Reader<'_>, name: &str) -> Vec<(Option<u32>, String)> {
    let alone = vec![(None, name.to_owned())];
    let Some(circle) = reader.find("circle") else { return alone };
    let whole = |key: &str| {
        let number = circle.value.as_table()?.get(key)?.get_ref();
        let DeValue::Integer(digits) = number else { return None };
        u32::from_str_radix(digits.as_str(), digits.radix()).ok()
    };
    match (whole("count").filter(|count| (1..=64).contains(count)), whole("only")) {
        (Some(_), Some(only)) => vec![(Some(only.saturating_sub(1)), name.to_owned())],
        (Some(count), None) => (0..count).map(|k| (Some(k), format!("{name} {}", k + 1))).collect(),
        (None, _) => alone,
    }
}

/// Reads every magnet that a table states.
pub(crate) fn magnets(reader: &Reader<'_>, name: &str, grades: &Grades) -> Option<Vec<Magnet>> {
    let mut magnets = Vec::new();
    for (number, own) in built(reader, name) {
        // Each is read for itself: what it states are quantities of its own, but for the middle of all.
        let one = reader.at_path(format!("magnet[{own}]"));
        let magnet = read_sources::magnet(&one, own, grades);
        let circle = circle(&one, name, number);
        let at = reader.three("at");
        magnets.push(Magnet { at: at?, circle: circle?, ..magnet? });
    }
    Some(magnets)
}

/// `None` if faulty; `Some(None)` if the magnet stands on no circle.
fn circle(reader: &Reader<'_>, table: &str, number: Option<u32>) -> Option<Option<Circle>> {
    let Some(node) = reader.find("circle") else { return Some(None) };
    let Some(keys) = node.value.as_table() else {
        reader.wrong_type("circle", &node, "a table");
        return None;
    };
    let path = reader.path_of("circle");
    let reader = Reader::new(&CIRCLE, path, node.span.clone(), keys, reader.faults);
    let count = reader.count("count");
    let only = reader.find("only").map(|_| reader.count("only"));
    let radius = reader.one("radius");
    let (axis, first) = (reader.direction("axis"), reader.direction("first"));
    let alternate = reader.find("poles").map_or(Some("same"), |_| reader.word("poles"));
    let (angle, height) = (reader.one("angle"), reader.one("height"));
    let (count, counted) = count?;
    let alternate = alternate? == "alternate";
    if let Some(only) = only {
        let (only, place) = only?;
        within(&reader, only, &place, count).then_some(())?;
    }
    if alternate && count % 2 == 1 {
        reader.faults.add(
            Diagnostic::warning(
                codes::ODD_POLES,
                format!("{count} magnets alternate round a circle"),
            )
            .at(&counted, "the last and the first point the same way")
            .help("make them even, or let all point the same way"),
        );
    }
    let (axis, (first, place)) = (axis?.0, first?);
    let along: f64 = (0..3).map(|i| axis[i] * first[i]).sum();
    let across: [f64; 3] = std::array::from_fn(|i| first[i] - along * axis[i]);
    let length = across.iter().map(|part| part * part).sum::<f64>().sqrt();
    if length < 1e-6 {
        reader.faults.add(
            Diagnostic::error(codes::CIRCLE_UPRIGHT, "the first of the circle stands on its axis")
                .at(&place, "points along the axis")
                .beside(&reader.span_of("axis"), "the axis of the circle")
                .help("state `first` across `axis`, e.g. axis = [0, 0, 1] and first = [1, 0, 0]"),
        );
        return None;
    }
    Some(Some(Circle {
        table: table.to_owned(),
        number: number?,
        count,
        radius: radius?,
        axis,
        first: across.map(|part| part / length),
        alternate,
        angle: angle?,
        height: height?,
    }))
}

fn within(reader: &Reader<'_>, only: u32, place: &Range<usize>, count: u32) -> bool {
    if only > count {
        reader.faults.add(
            Diagnostic::error(codes::OUT_OF_RANGE, "`only` is out of range")
                .at(place, format!("must be 1 to {count}"))
                .beside(&reader.span_of("count"), "so many there are"),
        );
    }
    only <= count
}
