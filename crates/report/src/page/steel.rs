//! What the bodies of steel do.

use super::answers::triangle;
use super::made_by::made_by;
use crate::{
    csv::{direction_word, kind_word},
    number::{number, permeability, signed, small_percent, unit_label, with_unit},
};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, Model, SteelAnswer, SteelBodyAnswer, SteelEvent};

/// Events with and without the steel, how far each body is from saturation, and how finely it is cut.
pub fn section(answer: &Answer) -> Markup {
    html! {
        @if let Some(steel) = &answer.steel {
            section class="steel" {
                h2 { "What the steel does" }
                (made_by(&answer.models, &[Model::Steel, Model::Events]))
                p { (in_short(answer, steel)) }
                (events(answer, steel))
                (bodies(answer, steel))
                p class="note" {
                    "The surfaces are cut into " (steel.panels) " panels. On half as many the drive changes by \
                     at most " (small_percent(steel.discretisation)) " of itself or of the operate level: \
                     the cutting may still be wrong by about half of that."
                }
            }
        }
    }
}

/// The largest shift, in a sentence.
fn in_short(answer: &Answer, steel: &SteelAnswer) -> Markup {
    let size = |event: &&SteelEvent| event.shift.map_or(0.0, f64::abs);
    let largest = steel.events.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
    let lone = steel.events.iter().filter(|event| event.shift.is_none()).count();
    html! {
        "Steel draws field in and lets it out elsewhere, so it moves the events. "
        @match largest.and_then(|event| Some((event, event.without?, event.with?, event.shift?))) {
            Some((event, without, with, shift)) => {
                "Here it moves them by " (with_unit(shift.abs(), &event.unit)) " at most: the "
                (kind_word(event.kind)) " of " (event.contact) " on the "
                (direction_word(event.direction)) " pass is at " (with_unit(with, &event.unit))
                ", and would be at " (with_unit(without, &event.unit)) " without it. "
            }
            None => { "Along this sweep no event is there both with and without it. " }
        }
        @if lone == 1 { "One event is there only with it, or only without. " }
        @if lone > 1 { (lone) " events are there only with it, or only without. " }
        "All else is nominal; the coordinate is " (answer.sweep.coordinate) "."
    }
}

fn events(answer: &Answer, steel: &SteelAnswer) -> Markup {
    let unit = unit_label(&answer.sweep.unit);
    let several = answer.contacts.len() > 1;
    html! {
        @if !steel.events.is_empty() {
            div class="scroll" { table {
                caption {
                    "Events with and without the steel, nominal unit"
                    @if !unit.is_empty() { ", in " (unit) }
                }
                thead { tr {
                    @if several { th scope="col" { "Contact" } }
                    th scope="col" { "Event" }
                    th scope="col" { "Pass" }
                    th scope="col" class="n" { "With steel" }
                    th scope="col" class="n" { "Without" }
                    th scope="col" class="n" { "Shift" }
                    th scope="col" { "Remarks" }
                } }
                tbody { @for event in &steel.events { (event_row(event, several)) } }
            } }
        }
    }
}

fn event_row(event: &SteelEvent, several: bool) -> Markup {
    let place = |at: Option<f64>| at.map_or_else(|| "none".into(), |at| number(at, &event.unit));
    html! {
        tr {
            @if several { td { (event.contact) } }
            th scope="row" class="nowrap" { (triangle(event.kind, event.direction)) " " (kind_word(event.kind)) }
            td { (direction_word(event.direction)) }
            td class="n strong" { (place(event.with)) }
            td class="n" { (place(event.without)) }
            td class="n strong" {
                @if let Some(shift) = event.shift { (signed(shift, &event.unit)) } @else { "–" }
            }
            td {
                @match (event.with, event.without) {
                    (Some(_), None) => { span class="flag" { "only with the steel" } }
                    (None, Some(_)) => { span class="flag" { "only without the steel" } }
                    _ => {}
                }
            }
        }
    }
}

fn bodies(answer: &Answer, steel: &SteelAnswer) -> Markup {
    html! {
        div class="scroll" { table {
            caption { "Bodies of steel, and the highest flux density inside each along the sweep" }
            thead { tr {
                th scope="col" { "Body" }
                th scope="col" { "Alloy" }
                th scope="col" class="n" { "Permeability" }
                th scope="col" class="n" { "Panels" }
                th scope="col" class="n" { "Highest B" }
                th scope="col" class="n" { "reached at" }
                th scope="col" class="n" { "of saturation" }
            } }
            tbody { @for body in &steel.bodies { (body_row(answer, body)) } }
        } }
    }
}

fn body_row(answer: &Answer, body: &SteelBodyAnswer) -> Markup {
    html! {
        tr {
            th scope="row" class="strong" { (body.name) }
            td { (body.alloy.as_deref().unwrap_or("–")) }
            td class="n" { (permeability(body.permeability)) }
            td class="n" { (body.panels) }
            td class="n strong" { (with_unit(body.peak, "T")) }
            td class="n" { (with_unit(body.peak_at, &answer.sweep.unit)) }
            td class="n" {
                @match (body.saturated, body.saturation) {
                    (Some(share), Some(saturation)) => {
                        (small_percent(share)) br;
                        span class="note" { "of " (with_unit(saturation, "T")) }
                    }
                    _ => { "not stated" }
                }
            }
        }
    }
}
