//! Studies of many units, and what was gathered of them in files.

use super::{Loaded, called, parse, refused};
use crate::{
    cli::Shared,
    failure::{Failure, tell_diagnostics},
    input::{Beside, Source},
    output,
    progress::Progress,
};
use reedmace_engine::{Bench, Spread, SpreadOptions, answer::SpreadAnswer};
use reedmace_report::Shard;
use std::{
    fs,
    io::{self, ErrorKind},
    ops::Range,
    path::{Path, PathBuf},
    sync::{
        Mutex,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

/// What is done is written at least so often, so that a machine that fails costs no more.
const WRITE_EVERY: Duration = Duration::from_secs(60);

/// An interruption this long after the first is meant as another.
const AGAIN: Duration = Duration::from_millis(500);

/// Which units, and where to keep what they do.
pub(crate) struct Sampling<'a> {
    pub(crate) units: u64,
    pub(crate) range: Range<u64>,
    pub(crate) seed: u64,
    pub(crate) exact: bool,
    pub(crate) file: Option<&'a Path>,
}

/// What they do.
pub(crate) struct SpreadTold {
    pub(crate) answer: SpreadAnswer,
    /// Units that the file held already.
    pub(crate) resumed: u64,
    /// The user stopped it.
    pub(crate) interrupted: bool,
}

/// Evaluate the units, going on where the file left off.
pub(crate) fn spread(loaded: &Loaded, sampling: &Sampling<'_>) -> Result<SpreadTold, Failure> {
    let stop = interruption()?;
    let options = SpreadOptions {
        units: sampling.units,
        range: Some(sampling.range.clone()),
        seed: sampling.seed,
        exact: sampling.exact,
    };
    let preparing = Progress::new("preparing");
    let told = |done, of| preparing.tick(done, of);
    let study = Spread::new(&loaded.bench, &loaded.design, options, &told).map_err(refused)?;
    drop(preparing);
    let empty = study.tally().map_err(refused)?;
    let mut shard = Shard {
        tally: empty,
        design: loaded.design.text.clone(),
        name: called(&loaded.name).to_owned(),
    };
    if let Some(kept) = sampling.file.map(kept).transpose()?.flatten() {
        let path = sampling.file.unwrap_or(Path::new("-")).display();
        shard.tally.merge(&kept.tally).map_err(|why| {
            Failure::Refused(format!(
                "{path} holds another study, and is left as it is: {why}; name another file with -o"
            ))
        })?;
    }
    let done = |shard: &Shard| shard.tally.units_in(&sampling.range);
    let resumed = done(&shard);
    let total = sampling.range.end - sampling.range.start;
    let progress = Progress::units(resumed);
    let written = Mutex::new(Instant::now());
    while done(&shard) < total && !stop.load(Ordering::Relaxed) {
        let go_on = |done: u64| {
            progress.tick(done, total);
            let due = written.lock().is_ok_and(|at| at.elapsed() > WRITE_EVERY);
            !stop.load(Ordering::Relaxed) && !due
        };
        study.run(&mut shard.tally, &go_on).map_err(refused)?;
        if let Some(path) = sampling.file {
            write(path, &study, &shard)?;
        }
        *written.lock().map_err(refused)? = Instant::now();
    }
    drop(progress);
    let interrupted = done(&shard) < total;
    if shard.tally.units() == 0 {
        return Err(Failure::Refused("interrupted before the first unit was done".into()));
    }
    let answer = study.answer(&shard.tally, &shard.name).map_err(refused)?;
    Ok(SpreadTold { answer, resumed, interrupted })
}

/// Put parts of one study together.
pub(crate) fn merge(
    parts: &[PathBuf],
    to: Option<&Path>,
    shared: &Shared,
) -> Result<SpreadTold, Failure> {
    let mut whole: Option<Shard> = None;
    for path in parts {
        let missing = || Failure::file(path, io::Error::from(ErrorKind::NotFound));
        let part = kept(path)?.ok_or_else(missing)?;
        match &mut whole {
            None => whole = Some(part),
            Some(whole) => whole
                .tally
                .merge(&part.tally)
                .map_err(|why| Failure::Refused(format!("{}: {why}", path.display())))?,
        }
    }
    let whole = whole.ok_or_else(|| Failure::Refused("nothing to merge".into()))?;
    let catalogue = super::catalogue(shared)?;
    let beside = Beside::new(&Source::new(&parts[0]));
    let (loaded, warnings) = parse(&whole.design, &whole.name, &beside, &catalogue)?;
    tell_diagnostics(&warnings, &loaded.name, &whole.design, shared.diagnostics)?;
    let of = &whole.tally.of;
    let options = SpreadOptions { units: of.units, range: None, seed: of.seed, exact: of.exact };
    let preparing = Progress::new("preparing");
    let told = |done, of| preparing.tick(done, of);
    let study = Spread::new(&Bench::default(), &loaded.design, options, &told).map_err(refused)?;
    drop(preparing);
    if let Some(path) = to {
        write(path, &study, &whole)?;
    }
    let answer = study.answer(&whole.tally, &whole.name).map_err(refused)?;
    Ok(SpreadTold { answer, resumed: 0, interrupted: false })
}

/// What a file holds; `None` if there is none.
fn kept(path: &Path) -> Result<Option<Shard>, Failure> {
    let bytes = match fs::read(path) {
        Ok(bytes) => bytes,
        Err(why) if why.kind() == ErrorKind::NotFound => return Ok(None),
        Err(why) => return Err(Failure::file(path, why)),
    };
    let shard = Shard::from_parquet(bytes);
    shard.map(Some).map_err(|why| Failure::Refused(format!("{}: {why}", path.display())))
}

fn write(path: &Path, study: &Spread, shard: &Shard) -> Result<(), Failure> {
    let rows: Vec<_> = study.rows(&shard.tally).collect();
    output::write(path, &shard.to_parquet(&rows).map_err(refused)?)
}

/// Becomes true when the user interrupts; again after a while ends the program at once. Some send the signal
/// twice in one go.
fn interruption() -> Result<&'static AtomicBool, Failure> {
    static STOP: AtomicBool = AtomicBool::new(false);
    let mut first: Option<Instant> = None;
    ctrlc::set_handler(move || {
        STOP.store(true, Ordering::Relaxed);
        if first.get_or_insert_with(Instant::now).elapsed() > AGAIN {
            std::process::exit(130);
        }
    })
    .map_err(refused)?;
    Ok(&STOP)
}
