//! A steel target: where it is seen, and what its thickness, steel, size and direction change.

use super::made_by::made_by;
use crate::{figures, number::number};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::{
    Drawing,
    answer::{Answer, Model, TargetRow},
};

/// The places at which it is seen, drawn, and the study; nothing without a target.
pub fn section(answer: &Answer, drawing: &Drawing) -> Markup {
    let Some(target) = &answer.target else { return html! {} };
    let contact = &target.contacts[0];
    let (comes, goes) = if contact.opens { ("opens", "closes") } else { ("closes", "opens") };
    html! {
        section {
            h2 { "The target" }
            (made_by(&answer.models, &[Model::Target, Model::Events]))
            p {
                @if contact.opens {
                    "The steel draws the flux of the magnet away from " (contact.contact) "."
                } @else {
                    "The steel leads the flux of the magnet into " (contact.contact) "."
                }
            }
            figure { (PreEscaped(figures::draw_target(target, drawing, "target").inline())) }
            div class="scroll" { table {
                caption { "One thing changed at a time, nominal unit; distances to the leading face, along the way it comes" }
                thead { tr {
                    th scope="col" { "What" }
                    th scope="col" class="n" { "Is" }
                    th scope="col" class="n" { (comes) ", mm" }
                    th scope="col" class="n" { (goes) " again, mm" }
                    th scope="col" { "" }
                } }
                tbody { @for (k, row) in target.study.iter().enumerate() {
                    (cells(row, k > 0 && target.study[k - 1].what == row.what))
                } }
            } }
            p class="note" {
                "Thickness and size change about the middle; size leaves the thickness of a block. As designed is the \
                 answer itself; what the others differ by is from some " (target.study_panels) " panels. Not true of thin vanes near \
                 saturation, of fast ones (eddy currents), of hard or magnetized steel (remanence)."
            }
        }
    }
}

fn cells(row: &TargetRow, again: bool) -> Markup {
    let distance = |mm: Option<f64>| mm.map_or_else(|| "–".to_owned(), |mm| number(mm, "mm"));
    html! {
        tr {
            th scope="row" { @if !again { (row.what) } }
            td class="n" { (row.is) }
            td class="n" { (distance(row.seen_mm)) }
            td class="n" { (distance(row.gone_mm)) }
            td {
                @if row.own { "as designed" }
                @if let Some(why) = &row.why { @if row.own { ", " } (why) }
            }
        }
    }
}
