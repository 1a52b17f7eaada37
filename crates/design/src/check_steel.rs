//! That nothing is in the same place as a body of steel.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::Faults;
use crate::model::Design;
use crate::motion::Thing;
use crate::solid::Solid;
use std::ops::Range;

/// Something with a place.
struct Placed<'d> {
    what: &'static str,
    name: &'d str,
    span: &'d Range<usize>,
    solids: Vec<Solid>,
    moves: bool,
}

/// Reports every body of steel that is in the same place as something else, at nominal values and
/// among what keeps its place beside each other: what moves past is looked at along the sweep.
pub(crate) fn places(faults: &Faults<'_>, design: &Design) {
    let moving = design.sweep.moves();
    let moves = |thing: Thing| moving.contains(&thing);
    let contacts = design.contacts.iter().enumerate().map(|(k, contact)| Placed {
        what: "contact",
        name: &contact.name,
        span: &contact.span,
        solids: Solid::of_contact(contact),
        moves: moves(Thing::Contact(k)),
    });
    let magnets = design.magnets.iter().enumerate().map(|(k, magnet)| Placed {
        what: "magnet",
        name: &magnet.name,
        span: &magnet.span,
        solids: vec![Solid::of_magnet(magnet)],
        moves: moves(Thing::Magnet(k)),
    });
    let steel: Vec<Placed<'_>> = design
        .steel
        .iter()
        .enumerate()
        .map(|(k, steel)| Placed {
            what: "steel",
            name: &steel.name,
            span: &steel.span,
            solids: Solid::of_steel(steel).into_iter().collect(),
            moves: moves(Thing::Steel(k)),
        })
        .collect();
    let others: Vec<Placed<'_>> = contacts.chain(magnets).collect();
    for (k, body) in steel.iter().enumerate() {
        for other in others.iter().chain(&steel[..k]) {
            let fixed = body.moves == other.moves;
            let meet = |a: &Solid| other.solids.iter().any(|b| a.meets(b));
            if fixed && body.solids.iter().any(meet) {
                faults.add(in_one_place(body, other));
            }
        }
    }
}

fn in_one_place(body: &Placed<'_>, other: &Placed<'_>) -> Diagnostic {
    let message = format!(
        "steel \"{}\" and {} \"{}\" are in the same place",
        body.name, other.what, other.name
    );
    Diagnostic::error(codes::STEEL_INSIDE, message)
        .at(body.span, "this body")
        .beside(other.span, format!("meets this {}", other.what))
        .help("touching is fine; move one of them, or let boxes of one body make the cut-out that the other stands in")
}
