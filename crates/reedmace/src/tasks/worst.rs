//! The worst unit of a study, written as a design.

use super::{Loaded, parse, refused};
use crate::{failure::Failure, input::Beside, output};
use reedmace_engine::Spread;
use reedmace_report::Shard;
use std::path::Path;

/// Write the worst unit of what a study gathered.
pub(super) fn write(
    path: &Path,
    study: &Spread,
    shard: &Shard,
    loaded: &Loaded,
    beside: &Beside,
) -> Result<(), Failure> {
    let none = || Failure::Refused("no unit has an event, so none is the worst".into());
    let worst = study.worst_unit(&shard.tally).ok_or_else(none)?;
    let (text, name) = (&loaded.design.text, path.display().to_string());
    let mut values = study.unlike(worst.unit, &loaded.design).map_err(refused)?;
    loop {
        let settled = reedmace_workbench::settled(text, &values, &loaded.catalogue)
            .map_err(|why| Failure::Refused(format!("the worst unit cannot be written: {why}")))?;
        let (unit, _) = parse(&settled, &name, beside, &loaded.catalogue)?;
        // What follows from a value that is another now has to be stated as well.
        let more = study.unlike(worst.unit, &unit.design).map_err(refused)?;
        if more.is_empty() {
            let (seed, of) = (shard.tally.of.seed, &shard.name);
            let title = format!("# Unit {} of {of}, seed {seed}: {}.\n", worst.unit, worst.why);
            return output::write(path, (title + &settled).as_bytes());
        }
        if let Some((path, _)) = more.iter().find(|(path, _)| values.iter().any(|v| v.0 == *path)) {
            let why =
                format!("the worst unit cannot be written: no design has {path} as that unit");
            return Err(Failure::Refused(why));
        }
        values.extend(more);
    }
}
