//! What is told of a door: what its contacts show, and which outside magnets could pass for it.

use super::made_by::made_by;
use crate::number::{number, signed, with_unit};
use maud::{Markup, html};
use reedmace_engine::answer::{
    Answer, Direction, DoorAnswer, DoorContact, Driver, EventKind, Model,
};

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
                @for contact in &door.contacts { p {
                    @if contact.room.low < 0.0 { span class="flag" { (sentence(&contact.comes_back)) "." } }
                    @else { (sentence(&contact.comes_back)) "." }
                } }
                (misalignment(answer, door))
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

/// What each place and turn that carries a tolerance does to the angle and the gap at operate and release; nothing
/// of a door whose edge is not known.
fn misalignment(answer: &Answer, door: &DoorAnswer) -> Markup {
    let placed = |path: &str| path.contains(".at[") || path.contains(".rotate[");
    let quantities: Vec<_> =
        answer.quantities.iter().filter(|q| q.toleranced && placed(&q.path)).collect();
    let forward = door.shut_at == answer.sweep.to;
    let event = |contact: &str, kind: EventKind| {
        let way = if forward == (kind == EventKind::Operate) {
            Direction::Forward
        } else {
            Direction::Back
        };
        let contact = answer.contacts.iter().find(|one| one.name == contact)?;
        let mut events = contact.events.iter().filter(|e| (e.kind, e.direction) == (kind, way));
        // As the gap is told: where it first operates as the door shuts, last releases as it opens.
        if kind == EventKind::Operate { events.next() } else { events.next_back() }
    };
    let told = |contact: &DoorContact, which: &str, kind: EventKind| {
        let named = format!("gap at {which} of {}", contact.name);
        let gap = answer.figures.iter().find(|figure| figure.name == named)?;
        Some([&event(&contact.name, kind)?.drivers, &gap.drivers])
    };
    let columns = |contact: &DoorContact| {
        let both = [("operate", EventKind::Operate), ("release", EventKind::Release)];
        let all: Option<Vec<_>> =
            both.iter().map(|(which, kind)| told(contact, which, *kind)).collect();
        all.map(|all| all.concat())
    };
    let contacts = door.contacts.iter().filter_map(|one| Some((&one.name, columns(one)?)));
    let contacts: Vec<(&String, Vec<&Vec<Driver>>)> = contacts.collect();
    html! {
        @if !quantities.is_empty() && !contacts.is_empty() {
            @for (name, columns) in &contacts { div class="scroll" { table class="dense" {
                caption { "Misalignment: what each place and turn does to " (name) " at its low and its high limit, "
                    "all else nominal; a turn as the body is turned, about its middle" }
                thead {
                    tr {
                        th scope="col" rowspan="2" { "Misaligned" }
                        th scope="col" rowspan="2" { "Stated" }
                        th scope="colgroup" colspan="2" { "Operates" }
                        th scope="colgroup" colspan="2" { "Releases" }
                    }
                    tr { @for _ in 0..2 {
                        th scope="col" class="n" { (answer.sweep.coordinate) ", " (door.unit) }
                        th scope="col" class="n" { "gap, mm" }
                    } }
                }
                tbody { @for quantity in &quantities { tr {
                    th scope="row" { code { (quantity.path) } }
                    td { (quantity.text) }
                    @for (k, drivers) in columns.iter().enumerate() {
                        td class="n" { (moved(drivers, &quantity.path, if k % 2 == 0 { &door.unit } else { "mm" })) }
                    }
                } } }
            } } }
        }
    }
}

/// How far one quantity moves something: `+0.53, −0.53`.
fn moved(drivers: &[Driver], path: &str, unit: &str) -> String {
    let one = drivers.iter().find(|driver| driver.path == path);
    let [low, high] = one.map_or([0.0; 2], |driver| [driver.at_low, driver.at_high]);
    format!("{}, {}", signed(low, unit), signed(high, unit))
}

/// With a capital where it begins with a word; names without their marks.
fn sentence(text: &str) -> String {
    let text = text.replace('`', "");
    match text.strip_prefix("in some") {
        Some(rest) => format!("In some{rest}"),
        None => text,
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
