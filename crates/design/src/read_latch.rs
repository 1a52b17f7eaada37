//! `[latch]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::latch::Latch;
use crate::model::Design;
use crate::motion::{Sweep, Thing};
use crate::reader::Reader;

/// Reads the latch of a design whose sweep is sound.
pub(crate) fn latch(reader: &Reader<'_>, sweep: Option<&Sweep>) -> Option<Latch> {
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let stated = reader.find("rest").is_some();
    let rest = if stated { reader.word("rest") } else { Some("from") };
    let sweep = sweep?;
    if matches!(sweep, Sweep::Spin(_)) {
        reader.faults.add(
            Diagnostic::error(codes::NO_LATCH, "a wheel that turns on is never away")
                .at(&reader.header, "needs a sweep with an end")
                .help("leave [latch] out, or state the way of what sets and resets as a line or an arc"),
        );
        return None;
    }
    if stated && sweep.swept_coil().is_some() {
        reader.faults.add(
            Diagnostic::error(codes::KEY_OUT_OF_PLACE, "a coil is at rest without current")
                .at(&reader.span_of("rest"), "says where what moves is away")
                .help("leave `rest` out"),
        );
        return None;
    }
    Some(Latch { rests_at_end: rest? == "to", note, span: reader.header.clone() })
}

/// Contacts beside which nothing makes field while what changes is away.
pub(crate) fn unbiased(design: &Design) -> Option<Diagnostic> {
    let latch = design.latch.as_ref()?;
    let moves = design.sweep.moves();
    let alone = |k: &usize| {
        let along = moves.contains(&Thing::Contact(*k));
        let coil =
            |i: usize| design.coils[i].drive.is_some() && moves.contains(&Thing::Coil(i)) == along;
        design.biasing(*k).next().is_none() && !(0..design.coils.len()).any(coil)
    };
    let k = (0..design.contacts.len()).find(alone)?;
    let contact = &design.contacts[k];
    Some(
        Diagnostic::error(
            codes::NO_BIAS,
            format!("nothing holds \"{}\" while what changes is away", contact.name),
        )
        .at(&latch.span, "needs a magnet that keeps its place beside the contact")
        .beside(&contact.span, "this contact")
        .help("add a [[magnet]] that the sweep does not move, or leave [latch] out"),
    )
}
