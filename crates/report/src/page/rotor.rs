//! A wheel whose turning is counted: one turn, and its pulses at each speed that matters.

use super::made_by::made_by;
use crate::{
    figures,
    number::{number, with_unit},
};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::Drawing;
use reedmace_engine::answer::{Answer, Model, RotorRow};

/// The turn and the speeds; nothing without such a wheel.
pub fn section(answer: &Answer, drawing: &Drawing) -> Markup {
    let Some(rotor) = &answer.rotor else { return html! {} };
    let from = answer.sweep.from.min(answer.sweep.to);
    html! {
        section {
            h2 { "The wheel" }
            (made_by(&answer.models, &[Model::Wheel, Model::Events]))
            figure { (PreEscaped(figures::draw_pulses(rotor, drawing, from, "pulses").inline())) }
            div class="scroll" { table {
                caption { "Shortest pulse and pause of the nominal wheel; steady: what operate time, bounce and release time leave" }
                thead { tr {
                    th scope="col" { "At" }
                    @for head in ["L/min", "rpm", "pulses/s", "pulse, ms", "steady, ms", "pause, ms",
                        "steady, ms", "count error, %"] {
                        th scope="col" class="n" { (head) }
                    }
                } }
                tbody { @for row in &rotor.rows { (cells(row)) } }
            } }
            @if let Some(filter) = rotor.filter {
                p class="note" {
                    "The filter takes over what has stood for " (number(filter, "ms")) " ms: steady pulse \
                     and pause must be longer, the bounce shorter."
                }
            }
            p {
                (rotor.pulses) " pulses a turn. "
                @if let Some(double) = &rotor.double {
                    "A double pulse is nearest at " (with_unit(double.at, "deg")) ", where the drive has "
                    @if double.within { "a dip within a pulse and stays " } @else { "a top between pulses and stays " }
                    span class="strong" { (with_unit(double.room, "%")) }
                    @if double.within { " above release." } @else { " below operate." }
                } @else {
                    "No double pulse threatens: the drive has no top between pulses and no dip within one."
                }
            }
            p class="note" {
                "An even speed is taken. Count error: one pulse more or less in the gate time."
            }
        }
    }
}

fn cells(row: &RotorRow) -> Markup {
    let flow = row.flow.map_or_else(|| "–".to_owned(), |flow| number(flow, "L/min"));
    html! {
        tr {
            th scope="row" { (row.at) }
            td class="n" { (flow) }
            td class="n" { (number(row.turns, "rpm")) }
            td class="n" { (number(row.rate, "Hz")) }
            td class="n" { (number(row.pulse, "ms")) }
            td class="n" { (number(row.steady_closed, "ms")) }
            td class="n" { (number(row.pause, "ms")) }
            td class="n" { (number(row.steady_open, "ms")) }
            td class="n" { (number(row.count_error, "%")) }
        }
    }
}
