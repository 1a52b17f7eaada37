//! Tolerances, and which of them drive the result.

use crate::{
    csv::{direction_word, kind_word},
    number::{signed, unit_label, with_unit},
};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, ContactAnswer, Driver, Event, QuantityAnswer};

/// Drivers beyond this many are summed up in words.
const SHOWN: usize = 6;

/// What drives each event, then every quantity with where it is from.
pub fn section(answer: &Answer) -> Markup {
    html! {
        section class="fresh" {
            h2 { "Tolerances and what drives the result" }
            p {
                "Low and high are the extremes over all tolerances and temperatures together. A driver's \
                 shift is what the event does when that one quantity goes to its limit, all else nominal: \
                 tighten the longest bars first. Open bars are the \
                 low limit, filled bars the high one."
            }
            @for contact in &answer.contacts { (drivers(answer, contact)) }
            (quantities(&answer.quantities))
        }
    }
}

fn drivers(answer: &Answer, contact: &ContactAnswer) -> Markup {
    html! {
        div class="pairs" {
            @for event in contact.events.iter().filter(|e| !e.drivers.is_empty()) {
                (event_drivers(answer, contact, event))
            }
        }
    }
}

fn event_drivers(answer: &Answer, contact: &ContactAnswer, event: &Event) -> Markup {
    let unit = &event.at.unit;
    let longest = event.drivers.iter().map(reach).fold(0.0, f64::max);
    html! {
        div class="keep" {
            table {
                caption {
                    (contact.name) ": " (kind_word(event.kind)) ", " (direction_word(event.direction))
                    " pass, lobe " (event.lobe)
                    @if let Some(at) = event.at.value { ", at " (with_unit(at, unit)) }
                    "; shift in " (unit_label(unit))
                }
                thead { tr {
                    th scope="col" { "Quantity" }
                    th scope="col" class="n" { "at low" }
                    th scope="col" class="n" { "at high" }
                    th scope="col" { span class="unit" { "less · more" } }
                } }
                tbody { @for driver in event.drivers.iter().take(SHOWN) {
                    tr {
                        th scope="row" { (path(answer, &driver.path)) }
                        td class="n" { (signed(driver.at_low, unit)) }
                        td class="n" { (signed(driver.at_high, unit)) }
                        td { (bars(driver, longest)) }
                    }
                } }
            }
            @if event.drivers.len() > SHOWN {
                p class="note" {
                    "Smaller: "
                    @for (i, driver) in event.drivers.iter().skip(SHOWN).enumerate() {
                        @if i > 0 { "; " }
                        code { (driver.path) } " " (signed(driver.at_low, unit)) " / "
                        (signed(driver.at_high, unit))
                    }
                    "."
                }
            }
        }
    }
}

fn reach(driver: &Driver) -> f64 {
    driver.at_low.abs().max(driver.at_high.abs())
}

/// The two shifts as bars from a middle line: open for the low limit, filled for the high one.
fn bars(driver: &Driver, longest: f64) -> Markup {
    let bar = |shift: f64| {
        let width = if longest > 0.0 { shift.abs() / longest * 46.0 } else { 0.0 };
        (if shift < 0.0 { 50.0 - width } else { 50.0 }, width)
    };
    html! {
        svg class="bars" viewBox="0 0 100 12" aria-hidden="true" {
            line class="s-hairline" stroke-width="1" x1="50" x2="50" y1="0" y2="12" {}
            @let (x, width) = bar(driver.at_low);
            rect class="f-paper s-drive" stroke-width="1" x=(format!("{x:.1}")) y="1" width=(format!("{width:.1}")) height="4" {}
            @let (x, width) = bar(driver.at_high);
            rect class="f-drive s-drive" stroke-width="1" x=(format!("{x:.1}")) y="7" width=(format!("{width:.1}")) height="4" {}
        }
    }
}

fn find<'a>(answer: &'a Answer, path: &str) -> Option<&'a QuantityAnswer> {
    answer.quantities.iter().find(|q| q.path == path)
}

/// A path that leads to its line in the design text.
fn path(answer: &Answer, path: &str) -> Markup {
    let line = find(answer, path).map_or(0, |q| q.line);
    html! {
        @if line > 0 { a href={ "#line-" (line) } { code { (path) } } } @else { code { (path) } }
    }
}

/// Quantities as one row of the table shows them: the components of a vector that come from one
/// place together.
fn rows(quantities: &[QuantityAnswer]) -> Vec<(String, Vec<&QuantityAnswer>)> {
    let stem = |path: &str| match path.rsplit_once('[') {
        Some((stem, index)) if index.trim_end_matches(']').parse::<usize>().is_ok() => {
            stem.to_string()
        }
        _ => path.to_string(),
    };
    let mut rows: Vec<(String, Vec<&QuantityAnswer>)> = Vec::new();
    for quantity in quantities {
        let name = stem(&quantity.path);
        match rows.last_mut() {
            Some((last, members))
                if *last == name
                    && (members[0].line, &members[0].source, &members[0].note)
                        == (quantity.line, &quantity.source, &quantity.note) =>
            {
                members.push(quantity);
            }
            _ => rows.push((name, vec![quantity])),
        }
    }
    for (name, members) in &mut rows {
        if members.len() == 1 {
            name.clone_from(&members[0].path);
        }
    }
    rows
}

fn quantities(quantities: &[QuantityAnswer]) -> Markup {
    html! {
        h3 { "Every quantity" }
        div class="scroll" { table {
            caption { "Quantities as the design states them; bold carries a tolerance" }
            thead { tr {
                th scope="col" { "Quantity" }
                th scope="col" { "As written" }
                th scope="col" { "Source" }
                th scope="col" { "Note" }
                th scope="col" class="n" { "Line" }
            } }
            tbody { @for (name, members) in rows(quantities) { (quantity_row(&name, &members)) } }
        } }
    }
}

fn quantity_row(name: &str, members: &[&QuantityAnswer]) -> Markup {
    let first = members[0];
    html! {
        tr {
            th scope="row" { code { (name) } }
            td {
                @for (i, quantity) in members.iter().enumerate() {
                    @if i > 0 { ", " }
                    span class={ "nowrap" @if quantity.toleranced { " strong" } } { (quantity.text) }
                }
            }
            td { (first.source.as_deref().unwrap_or("not stated")) }
            td class="note" { (first.note.as_deref().unwrap_or("")) }
            td class="n" {
                @if first.line > 0 { a href={ "#line-" (first.line) } { (first.line) } } @else { "–" }
            }
        }
    }
}
