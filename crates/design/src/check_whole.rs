//! What must hold between the tables of a design.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::Faults;
use crate::model::{Calibration, Coil, Design, Position};
use crate::motion::{Sweep, Thing};
use crate::reader::Reader;
use crate::{read_demand, read_latch};
use reedmace_units::Quantity;
use std::ops::Range;

/// Names of the tables, in order; one that is missing is reported and stands empty.
pub(crate) fn names(readers: &[Reader<'_>]) -> Vec<(String, Range<usize>)> {
    let name_of = |reader: &Reader<'_>| {
        let (name, span) =
            reader.marked_text("name").unwrap_or((String::new(), reader.header.clone()));
        if let Some(reason) = unusable(reader, &name) {
            reader.faults.add(
                Diagnostic::error(codes::UNUSABLE_NAME, format!("\"{name}\" cannot be a name"))
                    .at(&span, reason)
                    .help("a short word such as \"lid\" or \"left-1\""),
            );
        }
        (name, span)
    };
    readers.iter().map(name_of).collect()
}

/// Why a name cannot be used, if so.
fn unusable(reader: &Reader<'_>, name: &str) -> Option<&'static str> {
    if reader.find("name").is_none() {
        None
    } else if name.trim().is_empty() {
        Some("is empty")
    } else if name.contains(['[', ']', '.', '\n']) {
        Some("brackets and points tell the parts of a path")
    } else if name == "uniform" && reader.spec.name == "coil" {
        Some("as a test coil this word means a uniform field")
    } else {
        None
    }
}

pub(crate) fn report_twice(faults: &Faults<'_>, all: &[(String, Range<usize>)]) {
    for (index, (name, span)) in all.iter().enumerate() {
        let earlier = all[..index].iter().find(|(earlier, _)| earlier == name && !name.is_empty());
        if let Some((_, earlier)) = earlier {
            faults.add(
                Diagnostic::error(codes::NAME_TWICE, format!("two things are named \"{name}\""))
                    .at(span, "already taken")
                    .beside(earlier, "by this one")
                    .help(
                        "contacts, magnets, coils, conductors, motors and steel share their names; give each its own",
                    ),
            );
        }
    }
}

/// What must hold between the tables of a design whose tables are each sound.
pub(crate) fn whole(faults: &Faults<'_>, design: &Design, sweep: &Reader<'_>, contacts: &[String]) {
    for fault in read_demand::contradictions(&design.demands, &design.sweep, contacts) {
        faults.add(fault);
    }
    for (index, coil) in design.coils.iter().enumerate() {
        let swept = design.sweep.swept_coil() == Some(index);
        let found = if swept {
            coil.drive.as_ref().map(|_| replaced_current(coil, sweep))
        } else {
            idle(design, index)
        };
        found.into_iter().for_each(|fault| faults.add(fault));
    }
    if !makes_field(design) {
        faults.add(
            Diagnostic::error(codes::NO_SOURCE, "nothing makes a field")
                .at(&sweep.header, "no contact can operate along this sweep")
                .help("add a [[magnet]], or a [[coil]] with a current"),
        );
    }
    read_latch::unbiased(design).into_iter().for_each(|fault| faults.add(fault));
    replaced_position(design, sweep).into_iter().for_each(|fault| faults.add(fault));
}

fn replaced_current(coil: &Coil, sweep: &Reader<'_>) -> Diagnostic {
    let message = format!("the sweep replaces the current of coil \"{}\"", coil.name);
    Diagnostic::warning(codes::REPLACED, message)
        .at(&coil.span, "its own current is not used")
        .beside(&sweep.span_of("coil"), "swept here")
        .help("leave the current out of the coil")
}

/// The fault of a coil without current that is not there as a test coil only.
fn idle(design: &Design, index: usize) -> Option<Diagnostic> {
    let coil = &design.coils[index];
    let tests = design.contacts.iter().any(|one| one.coil == Calibration::Named(index));
    let moves = design.sweep.moves().contains(&Thing::Coil(index));
    (coil.drive.is_none() && (moves || !tests)).then(|| {
        Diagnostic::error(codes::NO_DRIVE, format!("coil \"{}\" has no current", coil.name))
            .at(&coil.span, "makes no field")
            .help("add e.g. ampere_turns = \"25 AT\"; only a coil that is some contact's test coil, or whose current is swept, needs none")
    })
}

fn makes_field(design: &Design) -> bool {
    let field = &design.surroundings.field;
    !design.magnets.is_empty()
        || !design.conductors.is_empty()
        || !design.motors.is_empty()
        || design.coils.iter().any(|coil| coil.drive.is_some())
        || design.sweep.swept_coil().is_some()
        || field.iter().any(|part| part.is.low.si() != 0.0 || part.is.high.si() != 0.0)
}

/// Alone, what moves first is where the sweep says; with others its own place tells theirs.
fn replaced_position(design: &Design, sweep: &Reader<'_>) -> Option<Diagnostic> {
    let (Sweep::Line(_) | Sweep::Table(_)) = design.sweep else { return None };
    let [only] = design.sweep.moves() else { return None };
    let [x, _, z]: &Position = match *only {
        Thing::Contact(index) => &design.contacts[index].at,
        Thing::Magnet(index) => &design.magnets[index].at,
        Thing::Coil(index) => &design.coils[index].at,
        Thing::Steel(index) => &design.steel[index].at,
    };
    x.is_stated().then(|| {
        Diagnostic::warning(codes::REPLACED, "the sweep replaces this position")
            .at(&(x.span.start..z.span.end), "not used")
            .beside(&sweep.span_of("moves"), "moved along the sweep")
            .help("leave `at` out of what moves alone; the sweep states its position")
    })
}
