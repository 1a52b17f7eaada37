//! `[target]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::motion::{Sweep, Thing};
use crate::reader::Reader;
use crate::target::Target;

/// Reads the target: the steel that the sweep moves first.
pub(crate) fn target(reader: &Reader<'_>, sweep: Option<&Sweep>) -> Option<Target> {
    let face = match reader.find("face") {
        Some(_) => Some(reader.three("face")?),
        None => None,
    };
    let sweep = sweep?;
    if let Sweep::Line(line) = sweep
        && let Some(Thing::Steel(steel)) = line.moves.first()
    {
        return Some(Target { steel: *steel, face });
    }
    let found = match sweep {
        Sweep::Line(_) => "what moves first is no [[steel]]".to_owned(),
        other => format!("this is a {} sweep", other.word()),
    };
    reader.faults.add(
        Diagnostic::error(codes::NO_TARGET, "a target is steel that moves along a line")
            .at(&reader.header, found)
            .help("leave [target] out, or let the sweep be a line whose `moves` names the steel first"),
    );
    None
}
