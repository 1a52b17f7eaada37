//! Tolerances, and which of them drive the result.

use super::made_by::made_by;
use crate::{
    brief,
    csv::{direction_word, kind_word},
    number::{signed, unit_label, with_unit},
};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, ContactAnswer, Driver, Event, Model, QuantityAnswer};

/// Drivers beyond this many are summed up in words.
const SHOWN: usize = 6;
/// Of those so many are named.
const SMALLER: usize = 6;

/// What drives each event, then every quantity with where it is from.
pub fn section(answer: &Answer) -> Markup {
    html! {
        section {
            h2 { "Tolerances and what drives the result" }
            (made_by(&answer.models, &[Model::WorstCase]))
            p {
                "Low and high are the extremes over all tolerances and temperatures together. A driver's \
                 shift is what the event does when that one quantity goes to its limit, all else nominal: \
                 tighten the longest bars first. Open bars are the \
                 low limit, filled bars the high one."
            }
            @for (_, contact) in brief::at_length(answer) { (drivers(answer, contact)) }
            (quantities(&answer.quantities))
        }
    }
}

fn drivers(answer: &Answer, contact: &ContactAnswer) -> Markup {
    html! {
        div class="pairs" {
            @for (event, count) in brief::driven(contact) {
                (event_drivers(answer, contact, event, count))
            }
        }
    }
}

/// What drives an event; `count`: of how many that are driven alike it is the first.
fn event_drivers(answer: &Answer, contact: &ContactAnswer, event: &Event, count: usize) -> Markup {
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
                    @if count > 1 {
                        ". So are " (count - 1) " more, by the same quantities or by those of an equal thing; some \
                         with the other sign"
                    }
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
                    @for (i, driver) in event.drivers.iter().skip(SHOWN).take(SMALLER).enumerate() {
                        @if i > 0 { "; " }
                        code { (driver.path) } " " (signed(driver.at_low, unit)) " / "
                        (signed(driver.at_high, unit))
                    }
                    @if event.drivers.len() > SHOWN + SMALLER {
                        "; and " (event.drivers.len() - SHOWN - SMALLER) " that move it less"
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
    together(rows)
}

/// Rows of several equal things that one table states, as one: `magnet[pole 1 to 4].diameter`.
fn together(rows: Vec<(String, Vec<&QuantityAnswer>)>) -> Vec<(String, Vec<&QuantityAnswer>)> {
    // `magnet[pole 3].diameter`: what stands before, within and after the number.
    let parts = |name: &str| {
        let (head, tail) = name.split_once(']')?;
        let (head, number) = head.rsplit_once(' ')?;
        Some((head.to_owned(), number.parse::<u32>().ok()?, tail.to_owned()))
    };
    let told = |members: &[&QuantityAnswer]| -> Vec<(String, usize, Option<String>)> {
        members.iter().map(|q| (q.text.clone(), q.line, q.source.clone())).collect()
    };
    let mut out: Vec<(String, Vec<&QuantityAnswer>, u32)> = Vec::new();
    for (name, members) in rows {
        let mine = parts(&name);
        let first = mine.as_ref().and_then(|(head, _, tail)| {
            out.iter_mut().find(|(other, known, _)| {
                parts(other).is_some_and(|(h, _, t)| (&h, &t) == (head, tail))
                    && told(known) == told(&members)
            })
        });
        match (first, &mine) {
            (Some((_, _, last)), Some((_, number, _))) => *last = *number,
            _ => out.push((name, members, 0)),
        }
    }
    let named = |(name, members, last): (String, Vec<_>, u32)| match name.split_once(']') {
        Some((head, tail)) if last > 0 => (format!("{head} to {last}]{tail}"), members),
        _ => (name, members),
    };
    out.into_iter().map(named).collect()
}

fn quantities(quantities: &[QuantityAnswer]) -> Markup {
    html! {
        h3 { "Every quantity" }
        div class="scroll" { table class="dense quantities" {
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
                @let alike = members.len() > 3 && members.iter().all(|q| q.text == first.text);
                @if alike { (members.len()) " × " }
                @for (i, quantity) in members.iter().take(if alike { 1 } else { members.len() }).enumerate() {
                    @if i > 0 { ", " }
                    span class={ "nowrap" @if quantity.toleranced { " strong" } } { (quantity.text) }
                }
            }
            td class="nowrap" { (first.source.as_deref().unwrap_or("not stated")) }
            td class="note" { (first.note.as_deref().unwrap_or("")) }
            td class="n" {
                @if first.line > 0 { a href={ "#line-" (first.line) } { (first.line) } } @else { "–" }
            }
        }
    }
}
