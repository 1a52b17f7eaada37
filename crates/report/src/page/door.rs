//! What is told of a door: what its contacts show, and which outside magnets could pass for it.

use super::made_by::made_by;
use crate::number::{number, with_unit};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, DoorAnswer, Model};

/// The door, if what moves is one.
pub fn section(answer: &Answer) -> Markup {
    html! {
        @if let Some(door) = &answer.door {
            section class="door" {
                h2 { "Defeat: what could pass for the shut door" }
                (made_by(&answer.models, &[Model::Outsiders, Model::Contact, Model::Events]))
                p {
                    "The door stands open, at " (answer.sweep.coordinate) " = "
                    (with_unit(door.open_at, &door.unit)) ". With it shut, at "
                    (with_unit(door.shut_at, &door.unit)) ", "
                    @for (k, contact) in door.contacts.iter().enumerate() {
                        @if k > 0 { ", " }
                        span class="strong" { (contact.name) } " is "
                        (state(contact.closed_when_shut)) " (open door: "
                        (state(contact.closed_when_open)) ")"
                    }
                    "."
                }
                (outsiders(door))
                p class="note" {
                    "Each outside magnet as a dipole of its moment, brought from any side and turned any way, \
                     the door's own magnets where the open door leaves them; nominal contacts, the distances \
                     from middle to middle. Held: the contact was closed before, as when the magnet is put \
                     there while the door is shut. A dash: only where the magnet would be in the contact. \
                     Housing and mounting keep a magnet further off than this table does."
                }
                p class="flag" {
                    "A guard interlock needs more than one contact, and the coding, the monitoring and the proof \
                     that its own standard, ISO 14119, asks for; this table replaces none of them."
                }
            }
        }
    }
}

fn state(closed: bool) -> &'static str {
    if closed { "closed" } else { "open" }
}

fn outsiders(door: &DoorAnswer) -> Markup {
    let several = door.contacts.len() > 1;
    let distance = |mm: Option<f64>| mm.map_or_else(|| "–".to_string(), |mm| number(mm, "mm"));
    html! {
        div class="scroll" { table {
            caption { "How near an outside magnet must come, in mm" }
            thead {
                tr {
                    th scope="col" rowspan="2" { "Magnet" }
                    th scope="col" rowspan="2" class="n" { "Moment, A·m²" }
                    @for contact in &door.contacts { th scope="colgroup" colspan="2" { (contact.name) } }
                    @if several { th scope="col" rowspan="2" class="n" { "All at once as if shut" } }
                }
                tr { @for contact in &door.contacts {
                    th scope="col" class="n" {
                        @if contact.closed_when_open { "opens it" } @else { "closes it" }
                    }
                    th scope="col" class="n" { "holds it closed" }
                } }
            }
            tbody { @for outsider in &door.outsiders { tr {
                th scope="row" { (outsider.name) }
                td class="n" { (number(outsider.moment, "A·m²")) }
                @for at in &outsider.contacts {
                    td class="n" { (distance(at.changes)) }
                    td class="n" { (distance(at.holds)) }
                }
                @if several { td class="n strong" { (distance(outsider.passes_for_shut)) } }
            } } }
        } }
    }
}
