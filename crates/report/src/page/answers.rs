//! Answers and verdicts.

use super::made_by::made_by;
use super::verdict;
use crate::{
    brief::{self, Alike},
    csv::{direction_word, kind_word},
    number::{bounded, number, percent, room, unit_label, with_unit},
};
use maud::{Markup, html};
use reedmace_engine::answer::{
    Answer, Band, ContactAnswer, DemandAnswer, Direction, Event, EventKind, Model,
};

/// What makes events, forces and verdicts; that of their drive is told under the first chart.
const MODELS: &[Model] =
    &[Model::Contact, Model::Saturation, Model::Events, Model::WorstCase, Model::Shares];

/// Demands first, then what each contact does.
pub fn section(answer: &Answer) -> Markup {
    html! {
        section class="answers" {
            h2 { "Answers and verdicts" }
            (made_by(&answer.models, MODELS))
            (demands(answer))
            @for (_, contact) in brief::at_length(answer) { (contact_answer(answer, contact)) }
        }
    }
}

fn demands(answer: &Answer) -> Markup {
    let demands = brief::demands(answer);
    html! {
        h3 { "Demands" }
        @if demands.is_empty() {
            p {
                "The design demands nothing, so nothing is judged. A " code { "[[demand]]" }
                " such as " code { "closed = \"<= 8 mm\"" } " gives a verdict here."
            }
        } @else {
            div class="scroll" { table {
                thead { tr {
                    th scope="col" { "Contact" }
                    th scope="col" { "Demand" }
                    th scope="col" { "Verdict" }
                    th scope="col" class="n" { "Margin, nominal" }
                    th scope="col" class="n" { "Margin, worst unit" }
                    th scope="col" class="n" { "Units that meet it" }
                } }
                tbody { @for demand in &demands { (demand_row(demand)) } }
            } }
            p class="note" {
                "Margin: room left before the demand is missed, negative by how much it is missed. \
                 Units: sampled within tolerance, with the 95 % confidence interval of the share."
            }
        }
    }
}

fn demand_row(alike: &Alike<'_, DemandAnswer>) -> Markup {
    let demand = alike.one;
    let margin = |value: Option<f64>, bound| {
        let told = value.and_then(|v| room(v, &demand.unit));
        told.map_or("–".into(), |told| bounded(&told, bound))
    };
    html! {
        tr {
            th scope="row" class="strong" {
                (alike.names)
                @if alike.count > 1 { br; span class="note" { "each; told: the one with the least room" } }
            }
            td {
                a href={ "#line-" (demand.line) } { code { (demand.text) } }
                br;
                span class="note" { (demand.reason) }
            }
            td { (verdict(demand.verdict)) }
            td class="n" { (margin(demand.margin_nominal, demand.margin_nominal_bound)) }
            td class="n" { (margin(demand.margin_worst, demand.margin_worst_bound)) }
            td class="n" {
                @if let Some(share) = &demand.share {
                    (percent(share.met as f64 / share.of.max(1) as f64))
                    br;
                    span class="note" {
                        (share.met) " of " (share.of) ", " (percent(share.low)) " to " (percent(share.high))
                    }
                } @else { "–" }
            }
        }
    }
}

fn contact_answer(answer: &Answer, contact: &ContactAnswer) -> Markup {
    let names = brief::names(answer, contact);
    html! {
        h3 {
            "Contact " (contact.name)
            @if names != contact.name { span class="unit" { ", the first of " (names) } }
            @if let Some(family) = &contact.family { span class="unit" { ", family " (family) } }
            @if contact.form != "A" { span class="unit" { ", form " (contact.form) } }
        }
        @if let Some(other) = brief::as_driven(answer, contact) {
            p {
                "Limits of its events, strongest drive and sensitivity: as of " (other) ". Nominal: "
                @for (k, event) in contact.events.iter().enumerate() {
                    @if k > 0 { "; " }
                    (kind_word(event.kind)) ", " (direction_word(event.direction)) " "
                    @if let Some(at) = event.at.value { (with_unit(at, &event.at.unit)) } @else { "none" }
                }
                "."
            }
        } @else { (in_full(answer, contact)) }
    }
}

fn in_full(answer: &Answer, contact: &ContactAnswer) -> Markup {
    html! {
        (events(answer, contact))
        p {
            @if contact.closed_at_start { "Already closed where the forward pass starts. " }
        }
        @if let Some(top) = &contact.strongest {
            p {
                "The drive is strongest at " (answer.sweep.coordinate) " = "
                (with_unit(top.at, &top.unit)) ", " (percent(top.overdrive))
                " of operate. There the closed blades pull each other with "
                (with_unit(top.force, "mN")) ", reckoned with the saturation of their iron, which takes "
                (with_unit(top.taken, "%")) " off the flux across the gap. Blades and leads carry "
                (with_unit(top.peak, "T")) " at most, " (with_unit(top.peak_at.abs(), "mm"))
                " from the middle."
            }
        }
        @if let Some(other) = brief::as_sensitive(answer, contact) {
            p class="note" { "Sensitivity of " (contact.name) ": as of " (other) "." }
        } @else {
            (sensitivity(contact))
        }
    }
}

fn events(answer: &Answer, contact: &ContactAnswer) -> Markup {
    let unit = unit_label(&answer.sweep.unit);
    html! {
        @if contact.events.is_empty() {
            p {
                "No operate and no release: the drive never crosses its levels along this sweep. "
                @if contact.operated_at_start() {
                    "The contact stays operated: take the magnet further away, or take a less sensitive \
                     contact."
                } @else {
                    "Bring the magnet closer, or take a more sensitive contact."
                }
            }
        } @else {
            div class="scroll" { table {
                caption { "Events along the sweep, " (answer.sweep.coordinate) @if !unit.is_empty() { ", in " (unit) } }
                thead { tr {
                    th scope="col" { "Event" }
                    th scope="col" { "Pass" }
                    th scope="col" { "Lobe" }
                    th scope="col" class="n" { "Nominal" }
                    th scope="col" class="n" { "Low" }
                    th scope="col" class="n" { "High" }
                    th scope="col" { "Remarks" }
                } }
                tbody { @for event in &contact.events { (event_row(event)) } }
            } }
        }
        @if !contact.closed.is_empty() {
            p {
                "Closed, nominal unit: "
                @for (i, stretch) in contact.closed.iter().enumerate() {
                    @if i > 0 { "; " }
                    (direction_word(stretch.direction)) " from "
                    (with_unit(stretch.from, &answer.sweep.unit)) " to "
                    (with_unit(stretch.to, &answer.sweep.unit))
                }
                "."
            }
        }
    }
}

fn event_row(event: &Event) -> Markup {
    let unit = &event.at.unit;
    html! {
        tr {
            th scope="row" class="nowrap" { (triangle(event.kind, event.direction)) " " (kind_word(event.kind)) }
            td { (direction_word(event.direction)) }
            td class="nowrap" { (event.lobe) @if event.main_lobe { " main" } @else { " side" } }
            td class="n strong" {
                @if let Some(at) = event.at.value { (number(at, unit)) } @else { "none" }
            }
            td class="n" { (number(event.at.low, unit)) }
            td class="n" { (number(event.at.high, unit)) }
            td {
                @if !event.in_every_unit { span class="flag" { "some units only" } }
                @if !event.in_every_unit && !event.monotone { ", " }
                @if !event.monotone {
                    span class="flag" { "not monotone: the corners may not bound it" }
                }
            }
        }
    }
}

/// The sign of an event, as on the figures.
pub fn triangle(kind: EventKind, direction: Direction) -> Markup {
    let class = if kind == EventKind::Operate { "f-ink s-ink" } else { "f-paper s-ink" };
    let shape = match direction {
        Direction::Forward => "M3 2.5L13.5 8L3 13.5Z",
        Direction::Back => "M13 2.5L2.5 8L13 13.5Z",
    };
    html! {
        svg class="sign" viewBox="0 0 16 16" aria-hidden="true" {
            path class=(class) stroke-width="1.4" d=(shape) {}
        }
    }
}

fn sensitivity(contact: &ContactAnswer) -> Markup {
    html! {
        div class="scroll" { table {
            caption { "Sensitivity of " (contact.name) ", in every unit the trade uses: nominal, and low to high" }
            thead { tr {
                th scope="col" { "Arrangement" }
                th scope="col" class="n" { "Operate" }
                th scope="col" class="n" { "low to high" }
                th scope="col" class="n" { "Release" }
                th scope="col" class="n" { "low to high" }
            } }
            tbody {
                @if !contact.conversions.iter().any(|row| same(&row.operate, &contact.operate)) {
                    (levels("equivalent uniform field", &contact.operate, &contact.release))
                }
                @for row in &contact.conversions { (levels(&row.arrangement, &row.operate, &row.release)) }
            }
        } }
    }
}

/// True when two bands print alike.
fn same(a: &Band, b: &Band) -> bool {
    let print = |band: &Band| {
        [band.value.unwrap_or(f64::NAN), band.low, band.high].map(|v| number(v, &band.unit))
    };
    a.unit == b.unit && print(a) == print(b)
}

fn levels(arrangement: &str, operate: &Band, release: &Band) -> Markup {
    html! {
        tr {
            th scope="row" { (arrangement) }
            @for band in [operate, release] {
                td class="n strong" {
                    @if let Some(value) = band.value { (with_unit(value, &band.unit)) } @else { "none" }
                }
                td class="n" { (number(band.low, &band.unit)) " to " (with_unit(band.high, &band.unit)) }
            }
        }
    }
}
