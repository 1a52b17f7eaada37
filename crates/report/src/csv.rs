//! The data behind the figures as comma-separated values, units in the header row.

use reedmace_engine::{
    Map,
    answer::{Answer, ContactAnswer, Direction, EventKind},
};
use std::fmt::Write;

/// Drive along the sweep of one contact; one row per traced value of the sweep.
pub fn trace(answer: &Answer, contact: &ContactAnswer) -> String {
    let mut out = format!(
        "{},drive open (mT),drive closed (mT),drive open low (mT),drive open high (mT)\n",
        field(&format!("{} ({})", answer.sweep.coordinate, answer.sweep.unit))
    );
    for row in &contact.trace {
        line(
            &mut out,
            &[
                row.coordinate,
                row.drive_open,
                row.drive_closed,
                row.drive_open_low,
                row.drive_open_high,
            ],
        );
    }
    out
}

/// Every event of every contact; an empty cell where the nominal unit does not have it.
pub fn events(answer: &Answer) -> String {
    let unit = &answer.sweep.unit;
    let mut out = format!(
        "contact,event,direction,at nominal ({unit}),at low ({unit}),at high ({unit}),\
         lobe,main lobe,in every unit,monotone\n"
    );
    for contact in &answer.contacts {
        for event in &contact.events {
            let nominal = event.at.value.map(|v| v.to_string()).unwrap_or_default();
            let _ = writeln!(
                out,
                "{},{},{},{nominal},{},{},{},{},{},{}",
                field(&contact.name),
                kind_word(event.kind),
                direction_word(event.direction),
                event.at.low,
                event.at.high,
                event.lobe,
                yes_no(event.main_lobe),
                yes_no(event.in_every_unit),
                yes_no(event.monotone),
            );
        }
    }
    out
}

/// A map; one row per place.
pub fn map(map: &Map) -> String {
    let (across, up) = crate::figures::plane_axes(map.plane);
    let mut out = format!("{across} (mm),{up} (mm),drive open (mT),drive closed (mT),room (mm)\n");
    let places =
        map.up_mm.iter().flat_map(|up| map.across_mm.iter().map(move |across| (across, up)));
    let values = map.drive_open.iter().zip(&map.drive_closed).zip(&map.room);
    for ((across, up), ((open, closed), room)) in places.zip(values) {
        line(&mut out, &[*across, *up, *open, *closed, *room]);
    }
    out
}

/// `operate` or `release`.
pub(crate) fn kind_word(kind: EventKind) -> &'static str {
    match kind {
        EventKind::Operate => "operate",
        EventKind::Release => "release",
    }
}

/// `forward` or `back`.
pub(crate) fn direction_word(direction: Direction) -> &'static str {
    match direction {
        Direction::Forward => "forward",
        Direction::Back => "back",
    }
}

/// `yes` or `no`.
pub(crate) fn yes_no(flag: bool) -> &'static str {
    if flag { "yes" } else { "no" }
}

fn line(out: &mut String, values: &[f64]) {
    let cells: Vec<String> = values.iter().map(f64::to_string).collect();
    out.push_str(&cells.join(","));
    out.push('\n');
}

/// Quoted when it holds a comma, a quote or a line break (RFC 4180).
fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_string()
    }
}
