//! Contacts that remember: what holds each state while what changes is away.

use super::made_by::made_by;
use crate::{
    brief::keeps,
    figures,
    number::{number, unit_label, with_unit},
};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::answer::{Answer, Model};

/// A chart and a line for each contact; nothing without a latch.
pub fn section(answer: &Answer) -> Markup {
    let Some(latch) = &answer.latch else { return html! {} };
    let place =
        |at: Option<f64>| at.map_or_else(|| "–".to_owned(), |at| number(at, &answer.sweep.unit));
    let unit = unit_label(&answer.sweep.unit);
    html! {
        section {
            h2 { "What it remembers" }
            (made_by(&answer.models, &[Model::Latch, Model::Events]))
            @for (k, held) in latch.contacts.iter().enumerate() {
                @if let Some(chart) = figures::draw_latch(answer, latch, held, &format!("latch{k}")) {
                    figure { (PreEscaped(chart.inline())) }
                }
            }
            div class="scroll" { table {
                caption {
                    "At rest at " (answer.sweep.coordinate) " = " (with_unit(latch.rest, &answer.sweep.unit))
                    "; nominal unit, its worst ones are among the figures"
                }
                thead { tr {
                    th scope="col" { "contact" }
                    @for head in ["release, mT", "bias closed, mT", "bias open, mT", "operate, mT"] {
                        th scope="col" class="n" { (head) }
                    }
                    th scope="col" class="n" { "set, " (unit) }
                    th scope="col" class="n" { "reset, " (unit) }
                    th scope="col" { "at rest" }
                } }
                tbody { @for held in &latch.contacts {
                    tr {
                        th scope="row" { (held.contact) }
                        td class="n" { (number(held.release, "mT")) }
                        td class="n" { (number(held.bias_closed.abs(), "mT")) }
                        td class="n" { (number(held.bias.abs(), "mT")) }
                        td class="n" { (number(held.operate, "mT")) }
                        td class="n" { (place(held.set)) }
                        td class="n" { (place(held.reset)) }
                        td { (keeps(held)) }
                    }
                } }
            } }
            p class="note" {
                "Set stays set while the closed contact's drive lies above release, reset stays reset while the \
                 open one's lies below operate. The walk begins reset. Mechanical shock is not counted: no \
                 dynamics of the blades are in these margins."
            }
        }
    }
}
