//! What many units do: shares, distributions, what drives them, what to tighten.

use super::made_by::{DRIVE, made_by};
use super::{answers::triangle, verdict};
use crate::{
    csv::{direction_word, kind_word},
    ends,
    figures::{MOST, draw_event_spread, draw_figure_spread, draw_room_spread, most_of},
    number::{
        behind, counts, grouped, number, of_difference, percent, room, share, unit_label, with_unit,
    },
    spread_rows::{self, Group},
};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::answer::{
    DemandSpread, Distribution, DriverShare, EventSpread, FigureEnd, FigureSpread, Model,
    SpreadAnswer, Tighter,
};

/// Drivers shown of each figure.
const SHOWN: usize = 5;

/// The study, if there is one.
pub fn section(spread: Option<&SpreadAnswer>) -> Markup {
    let Some(spread) = spread else { return html! {} };
    let demands = spread_rows::demands(&spread.demands);
    let events = spread_rows::events(&spread.events);
    let figures = spread_rows::figures(&spread.figures);
    let rooms = || demands.iter().filter(|group| has_room(group.one));
    html! {
        section class="fresh" {
            h2 { "Spread over " (grouped(spread.units)) " units" }
            (made_by(&spread.models, &[&[Model::Units], DRIVE].concat()))
            p {
                @if spread.units < spread.of {
                    span class="flag" {
                        "A part of a study of " (grouped(spread.of)) " units: " (grouped(spread.units))
                        " of them are done."
                    }
                    " "
                }
                "Units drawn within tolerance, seed " (spread.provenance.seed) ": "
                (spread.evaluation.said) "."
                @if spread.evaluation.exact_units > 0 {
                    " " (grouped(spread.evaluation.exact_units))
                    " more came too near to a decision and were evaluated on their true drive."
                }
            }
            @if !demands.is_empty() { (shares(&demands)) }
            (tighter(spread))
            h3 { "Where the events lie, and what drives them" }
            p class="note" {
                "Bars count units; below them, to the same scale, the worst case over all corners of the \
                 tolerances. Of a driver's bar the filled part is what would go from the variance if this \
                 quantity alone were known, the open part what it does together with others."
            }
            div class="pairs" {
                @for (k, group) in events.iter().enumerate() { (event_card(spread, group, k)) }
            }
            @if spread.units_with_other_events > 0 {
                p class="flag" {
                    (grouped(spread.units_with_other_events))
                    " units have an event that the search of the worst case did not meet."
                }
            }
            (events_of_each(spread, &events))
            @if spread.figures.iter().any(|figure| figure.values.is_some()) {
                h3 { "Figures, and what drives them" }
                p class="note" { "Each by the model that is named with it above." }
                div class="pairs" {
                    @for (k, group) in figures.iter().enumerate() { (figure_card(group, k)) }
                }
            }
            @if rooms().next().is_some() {
                h3 { "Room of the demands, and what drives it" }
                div class="pairs" {
                    @for (k, group) in rooms().enumerate() { (room_card(group, k)) }
                }
            }
        }
    }
}

/// Of a count that all units meet there is no room to tell.
fn has_room(demand: &DemandSpread) -> bool {
    let least = demand.room.as_ref().and_then(|room| room.least.value);
    !counts(&demand.unit) || least.is_none_or(|room| room != 0.0)
}

fn shares(demands: &[Group<'_, DemandSpread>]) -> Markup {
    html! {
        div class="scroll" { table {
            caption { "Share of all units that meets each demand, with its 95 % interval" }
            thead { tr {
                th scope="col" { "Contact" }
                th scope="col" { "Demand" }
                th scope="col" { "Verdict" }
                th scope="col" class="n" { "Units that miss" }
                th scope="col" class="n" { "Share that meets" }
                th scope="col" class="n" { "Room, worst unit" }
                th scope="col" class="n" { "Room, worst corner" }
            } }
            tbody { @for group in demands {
                @if alike(group) {
                    (share_row(&group.names, group.one))
                } @else {
                    @for demand in &group.all { (share_row(&demand.contact, demand)) }
                }
            } }
        } }
        @for (which, why) in too_few(demands) {
            p class="note" { span class="flag" { "Too few units" } " for " (which) ": " (why) "." }
        }
    }
}

/// True of demands that one row tells: as many units miss each.
fn alike(group: &Group<'_, DemandSpread>) -> bool {
    group.all.iter().all(|demand| demand.share.met == group.one.share.met)
}

/// What more units would tell, and of which demands.
fn too_few<'a>(demands: &[Group<'a, DemandSpread>]) -> Vec<(String, &'a str)> {
    let mut told: Vec<(String, &str)> = Vec::new();
    for group in demands {
        let Some(why) = group.one.too_few.as_deref() else { continue };
        let name = format!("{} {}", group.names, group.one.text);
        match told.iter_mut().find(|(_, known)| *known == why) {
            Some((which, _)) => *which += &format!(", {name}"),
            None => told.push((name, why)),
        }
    }
    told
}

fn share_row(names: &str, demand: &DemandSpread) -> Markup {
    let of = &demand.share;
    let told = |value: Option<f64>| value.and_then(|v| room(v, &demand.unit));
    let dash = |text: Option<String>| text.unwrap_or("–".into());
    html! {
        tr {
            th scope="row" class="strong" { (names) }
            td { a href={ "#line-" (demand.line) } { code { (demand.text) } } }
            td { (verdict(spread_rows::stands(demand))) }
            td class="n" { (grouped(of.of - of.met)) }
            td class="n" {
                span class="strong" { (share(of.met as f64 / of.of.max(1) as f64)) }
                br;
                span class="note" { (share(of.low)) " to " (share(of.high)) }
            }
            td class="n" {
                @match &demand.worst_unit {
                    Some(worst) if worst.value.is_none() => {
                        "no event" br; span class="note" { "unit " (worst.unit) }
                    }
                    Some(worst) if told(worst.value).is_some() => {
                        (dash(told(worst.value))) br; span class="note" { "unit " (worst.unit) }
                    }
                    _ => "–",
                }
            }
            td class="n" { (dash(told(demand.room_worst_case))) }
        }
    }
}

/// What a tenth off each tolerance would buy, where it shows.
fn tighter(spread: &SpreadAnswer) -> Markup {
    let worth: Vec<&Tighter> =
        spread.tighter.iter().filter(|t| t.gain > 2.0 * t.gain_error).take(SHOWN).collect();
    let all_met = spread.demands.iter().all(|d| d.share.met == d.share.of);
    html! {
        @if spread.demands.is_empty() {} @else if all_met {
            p { "Every unit meets every demand; a tighter tolerance would buy room, and no share." }
        } @else if let Some(first) = worth.first() {
            h3 { "What to tighten" }
            div class="scroll" { table {
                caption {
                    "Share of all units gained if " (percent(first.by))
                    " is taken off one tolerance, the others as they are"
                }
                thead { tr {
                    th scope="col" { "Quantity" }
                    th scope="col" { "As written" }
                    th scope="col" class="n" { "Gain" }
                    th scope="col" class="n" { "Line" }
                } }
                tbody { @for row in worth { tr {
                    th scope="row" { code { (row.path) } }
                    td class="nowrap" { (row.text) }
                    td class="n strong" { (percent(row.gain)) " ± " (percent(2.0 * row.gain_error)) }
                    td class="n" { (line(row.line)) }
                } } }
            } }
        } @else {
            p { "No single tolerance, tightened by a tenth, gains a share that stands out of its error." }
        }
    }
}

fn event_card(spread: &SpreadAnswer, group: &Group<'_, EventSpread>, k: usize) -> Markup {
    let event = group.one;
    let unit = &event.worst_case.unit;
    html! {
        div class="keep" {
            p class="card" {
                (triangle(event.kind, event.direction)) " " span class="strong" {
                    (event.contact) ": " (kind_word(event.kind)) ", " (direction_word(event.direction))
                    " pass, lobe " (event.lobe)
                }
                (first_of(group))
                br;
                span class="note" {
                    (spread.coordinate)
                    @if let Some(at) = varied(&event.at) { ": " (in_words(at, &[], unit)) }
                    @if event.absent > 0 { "; " (grouped(event.absent)) " units do not have it" }
                }
            }
            @match (&event.at, draw_event_spread(event, &format!("event{k}"))) {
                (_, Some(canvas)) => figure { (PreEscaped(canvas.inline())) },
                (Some(at), None) => p { (with_unit(at.mean, unit)) " in every unit." },
                (None, None) => p { "No unit has it." },
            }
            (drivers(&event.drivers))
        }
    }
}

/// Each of the events that are told by the first of them.
fn events_of_each(spread: &SpreadAnswer, groups: &[Group<'_, EventSpread>]) -> Markup {
    let several = groups.iter().filter(|group| group.several());
    let mut all: Vec<&EventSpread> = several.flat_map(|group| group.all.clone()).collect();
    all.sort_by_key(|event| spread.events.iter().position(|one| std::ptr::eq(one, *event)));
    html! {
        @if !all.is_empty() {
            div class="scroll" { table {
                caption { "Events of contacts that are alike, each: " (spread.coordinate) @if !spread.unit.is_empty() { ", in " (unit_label(&spread.unit)) } }
                thead { tr {
                    th scope="col" { "Contact" }
                    th scope="col" { "Event" }
                    th scope="col" { "Pass" }
                    th scope="col" { "Lobe" }
                    th scope="col" class="n" { "Mean" }
                    th scope="col" class="n" { "Deviation" }
                    th scope="col" class="n" { "99.73 % of the units" }
                    th scope="col" class="n" { "Worst case" }
                } }
                tbody { @for event in all { @if let Some(at) = &event.at { tr {
                    th scope="row" { (event.contact) }
                    td class="nowrap" { (triangle(event.kind, event.direction)) " " (kind_word(event.kind)) }
                    td { (direction_word(event.direction)) }
                    td { (event.lobe) }
                    td class="n strong" { (number(at.mean, &spread.unit)) }
                    td class="n" { (number(at.deviation, &spread.unit)) }
                    td class="n nowrap" { (between(most_of(at), &spread.unit)) }
                    td class="n nowrap" { (between(Some([event.worst_case.low, event.worst_case.high]), &spread.unit)) }
                } } } }
            } }
        }
    }
}

fn between(of: Option<[f64; 2]>, unit: &str) -> String {
    let told = of.map(|of| of.map(|v| number(v, unit)));
    told.map_or("–".into(), |[low, high]| format!("{low} .. {high}"))
}

/// Of how many that are alike it is the first.
fn first_of<T>(group: &Group<'_, T>) -> Markup {
    html! { @if group.several() { span class="unit" { ", the first of " (group.all.len()) " alike" } } }
}

fn figure_card(group: &Group<'_, FigureSpread>, k: usize) -> Markup {
    let figure = group.one;
    let unit = &figure.unit;
    html! {
        div class="keep" {
            p class="card" {
                span class="strong" { (figure.name) }
                (first_of(group))
                br;
                span class="note" {
                    @if let Some(values) = varied(&figure.values) {
                        (in_words(values, &figure.ends, unit))
                    }
                    @if let Some(values) = &figure.values {
                        @for said in ends::of_many(&figure.ends, values, unit) { "; " (said) }
                    }
                    @if figure.absent > 0 { "; " (grouped(figure.absent)) " units do not have it" }
                }
            }
            @match (&figure.values, draw_figure_spread(figure, &format!("figure{k}"))) {
                (_, Some(canvas)) => figure { (PreEscaped(canvas.inline())) },
                (Some(values), None) => p {
                    (ends::bounded(&figure.ends, values.mean, unit)) (behind(unit)) " in every unit."
                },
                (None, None) => p { "No unit has it." },
            }
            (drivers(&figure.drivers))
        }
    }
}

fn room_card(group: &Group<'_, DemandSpread>, k: usize) -> Markup {
    let demand = group.one;
    html! {
        div class="keep" {
            p class="card" {
                span class="strong" { (demand.contact) " " (demand.text) }
                @if group.several() { span class="unit" { ", of " (group.names) " the one with the least room" } }
                br;
                span class="note" {
                    "room"
                    @if let Some(room) = varied(&demand.room) { ": " (in_words(room, &[], &demand.unit)) }
                }
            }
            @match (&demand.room, draw_room_spread(demand, &format!("room{k}"))) {
                (_, Some(canvas)) => figure { (PreEscaped(canvas.inline())) },
                (Some(room), None) => p { (with_unit(room.mean, &demand.unit)) " in every unit." },
                (None, None) => p { "No unit has an event to measure it to." },
            }
            (drivers(&demand.drivers))
        }
    }
}

/// What is not the same in every unit.
fn varied(of: &Option<Distribution>) -> Option<&Distribution> {
    of.as_ref().filter(|of| of.least.value != of.greatest.value)
}

fn in_words(of: &Distribution, looked: &[FigureEnd], unit: &str) -> String {
    let deviation = with_unit(of.deviation, of_difference(unit));
    let words = format!("mean {}, deviation {deviation}", number(of.mean, unit));
    let most = most_of(of).and_then(|_| ends::quantiles(looked, of, MOST, unit));
    most.map_or(words.clone(), |[low, high]| format!("{words}; 99.73 % in {low} .. {high}"))
}

fn drivers(drivers: &[DriverShare]) -> Markup {
    html! {
        @if !drivers.is_empty() {
            table {
                thead { tr {
                    th scope="col" { "Driver" }
                    th scope="col" class="n" { "Share" }
                    th scope="col" { span class="unit" { "of the variance" } }
                    th scope="col" class="n" { "Line" }
                } }
                tbody { @for driver in drivers.iter().take(SHOWN) { tr {
                    th scope="row" { code { (driver.path) } }
                    td class="n" { (percent(driver.total.clamp(0.0, 1.0))) }
                    td { (bar(driver)) }
                    td class="n" { (line(driver.line)) }
                } } }
            }
        }
    }
}

/// Filled: alone; open: together with others.
fn bar(driver: &DriverShare) -> Markup {
    let [alone, all] = [driver.first, driver.total].map(|share| 98.0 * share.clamp(0.0, 1.0));
    html! {
        svg class="bars" viewBox="0 0 100 12" aria-hidden="true" {
            rect class="f-paper s-drive" stroke-width="1" x="1" y="2" width=(format!("{:.1}", all.max(0.5))) height="8" {}
            rect class="f-drive" x="1" y="2" width=(format!("{:.1}", alone.min(all))) height="8" {}
        }
    }
}

/// A line of the design, or a dash where the file does not state it.
fn line(line: usize) -> Markup {
    html! { @if line > 0 { a href={ "#line-" (line) } { (line) } } @else { "–" } }
}
