//! What many units do: shares, distributions, what drives them, what to tighten.

use super::{answers::triangle, verdict};
use crate::{
    brief,
    csv::{direction_word, kind_word},
    ends,
    figures::{MOST, draw_event_spread, draw_figure_spread, draw_room_spread, most_of},
    number::{behind, grouped, number, of_difference, percent, share, with_unit},
};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::answer::{
    Answer, DemandSpread, Distribution, DriverShare, EventSpread, FigureAnswer, FigureEnd,
    FigureSpread, SpreadAnswer, Tighter, Verdict,
};

/// Drivers shown of each figure.
const SHOWN: usize = 5;

/// The study, if there is one.
pub fn section(answer: &Answer, spread: Option<&SpreadAnswer>) -> Markup {
    let Some(spread) = spread else { return html! {} };
    let told = |name: &str| {
        brief::is_told(answer, name) || !answer.contacts.iter().any(|contact| contact.name == name)
    };
    let whole = |name: &str| {
        let tabled = |figure: &&FigureAnswer| figure.name == name && !figure.contacts.is_empty();
        !(brief::has_table(answer) && answer.figures.iter().any(|figure| tabled(&figure)))
    };
    html! {
        section class="fresh" {
            h2 { "Spread over " (grouped(spread.units)) " units" }
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
            @if !spread.demands.is_empty() { (shares(&spread.demands)) }
            (tighter(spread))
            h3 { "Where the events lie, and what drives them" }
            p class="note" {
                "Bars count units; below them, to the same scale, the worst case over all corners of the \
                 tolerances. Of a driver's bar the filled part is what would go from the variance if this \
                 quantity alone were known, the open part what it does together with others."
            }
            div class="pairs" {
                @for (k, event) in spread.events.iter().enumerate().filter(|(_, e)| told(&e.contact)) {
                    (event_card(spread, event, k))
                }
            }
            @if spread.units_with_other_events > 0 {
                p class="flag" {
                    (grouped(spread.units_with_other_events))
                    " units have an event that the search of the worst case did not meet."
                }
            }
            @if brief::has_table(answer) {
                p class="note" { "Of equal contacts the first is told; the others stand in the data of the study." }
            }
            @if spread.figures.iter().any(|figure| figure.values.is_some()) {
                h3 { "Figures, and what drives them" }
                div class="pairs" {
                    @for (k, figure) in spread.figures.iter().enumerate().filter(|(_, f)| whole(&f.name)) {
                        (figure_card(figure, k))
                    }
                }
            }
            @if !spread.demands.is_empty() {
                h3 { "Room of the demands, and what drives it" }
                div class="pairs" {
                    @for (k, demand) in spread.demands.iter().enumerate().filter(|(_, d)| told(&d.contact)) {
                        (room_card(demand, k))
                    }
                }
            }
        }
    }
}

fn shares(demands: &[DemandSpread]) -> Markup {
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
            tbody { @for demand in demands { (share_row(demand)) } }
        } }
        @for (which, why) in too_few(demands) {
            p class="note" { span class="flag" { "Too few units" } " for " (which) ": " (why) "." }
        }
    }
}

/// What more units would tell, and of which demands.
fn too_few(demands: &[DemandSpread]) -> Vec<(String, &str)> {
    let mut told: Vec<(String, &str)> = Vec::new();
    for demand in demands {
        let Some(why) = demand.too_few.as_deref() else { continue };
        let name = format!("{} {}", demand.contact, demand.text);
        match told.iter_mut().find(|(_, known)| *known == why) {
            Some((which, _)) => *which += &format!(", {name}"),
            None => told.push((name, why)),
        }
    }
    told
}

fn share_row(demand: &DemandSpread) -> Markup {
    let of = &demand.share;
    let stands = match (of.met == of.of, of.met) {
        (true, _) => Verdict::Met,
        (false, 0) => Verdict::Missed,
        (false, _) => Verdict::AtRisk,
    };
    let room = |value: Option<f64>| value.map_or("–".into(), |v| with_unit(v, &demand.unit));
    html! {
        tr {
            th scope="row" class="strong" { (demand.contact) }
            td { a href={ "#line-" (demand.line) } { code { (demand.text) } } }
            td { (verdict(stands)) }
            td class="n" { (grouped(of.of - of.met)) }
            td class="n" {
                span class="strong" { (share(of.met as f64 / of.of.max(1) as f64)) }
                br;
                span class="note" { (share(of.low)) " to " (share(of.high)) }
            }
            td class="n" {
                @if let Some(worst) = &demand.worst_unit {
                    @if worst.value.is_none() { "no event" } @else { (room(worst.value)) }
                    br;
                    span class="note" { "unit " (worst.unit) }
                } @else { "–" }
            }
            td class="n" { (room(demand.room_worst_case)) }
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

fn event_card(spread: &SpreadAnswer, event: &EventSpread, k: usize) -> Markup {
    let unit = &event.worst_case.unit;
    html! {
        div class="keep" {
            p class="card" {
                (triangle(event.kind)) " " span class="strong" {
                    (event.contact) ": " (kind_word(event.kind)) ", " (direction_word(event.direction))
                    " pass, lobe " (event.lobe)
                }
                br;
                span class="note" {
                    (spread.coordinate)
                    @if let Some(at) = &event.at { ": " (in_words(at, &[], unit)) }
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

fn figure_card(figure: &FigureSpread, k: usize) -> Markup {
    let unit = &figure.unit;
    html! {
        div class="keep" {
            p class="card" {
                span class="strong" { (figure.name) }
                br;
                span class="note" {
                    @if let Some(values) = &figure.values {
                        (in_words(values, &figure.ends, unit))
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

fn room_card(demand: &DemandSpread, k: usize) -> Markup {
    html! {
        div class="keep" {
            p class="card" {
                span class="strong" { (demand.contact) " " (demand.text) }
                br;
                span class="note" {
                    "room"
                    @if let Some(room) = &demand.room { ": " (in_words(room, &[], &demand.unit)) }
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
