//! Studies of many units, and what was gathered of them in files.

use super::{Loaded, called, parse, refused, worst};
use crate::{
    cli::Shared,
    failure::{Failure, INTERRUPTED, tell_diagnostics},
    input::{Beside, Source},
    output,
    progress::Progress,
};
use reedmace_design::Design;
use reedmace_engine::{BLOCK, Bench, Spread, SpreadOptions, Tally, answer::SpreadAnswer};
use reedmace_report::Shard;
use std::{
    fs,
    io::{self, ErrorKind},
    ops::Range,
    path::{Path, PathBuf},
    sync::{
        Arc, Mutex,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

/// What is done is written at least so often, so that a machine that fails costs no more.
const WRITE_EVERY: Duration = Duration::from_secs(60);

/// An interruption this long after the first is meant as another.
const AGAIN: Duration = Duration::from_millis(500);

/// Ranges of missing units that a message names.
const GAPS_TOLD: usize = 3;

/// Which units, and where to keep what they do.
pub(crate) struct Sampling<'a> {
    pub(crate) units: u64,
    pub(crate) range: Range<u64>,
    pub(crate) seed: u64,
    pub(crate) exact: bool,
    pub(crate) file: Option<&'a Path>,
    /// Where to write the worst unit.
    pub(crate) worst: Option<&'a Path>,
}

impl Sampling<'_> {
    /// The same for the engine, of a range.
    fn options(&self, range: Range<u64>) -> SpreadOptions {
        SpreadOptions { units: self.units, range: Some(range), seed: self.seed, exact: self.exact }
    }
}

/// What they do.
pub(crate) struct SpreadTold {
    pub(crate) answer: SpreadAnswer,
    /// Units that the file held already.
    pub(crate) resumed: u64,
    /// The user stopped it.
    pub(crate) interrupted: bool,
}

/// How long units take here.
pub(crate) struct Pace {
    /// Solving what the study needs, and telling its answer.
    once: Duration,
    /// A unit on one processor, seconds.
    unit: f64,
}

impl Pace {
    /// How long a task of so many units takes on so many processors.
    pub(crate) fn of(&self, units: u64, cpus: u32) -> Duration {
        self.once + Duration::from_secs_f64(self.unit * units as f64 / f64::from(cpus))
    }
}

/// Try the study with its first block.
pub(crate) fn pace(loaded: &Loaded, sampling: &Sampling<'_>) -> Result<Pace, Failure> {
    let began = Instant::now();
    let range = sampling.range.start..sampling.range.end.min(sampling.range.start + BLOCK);
    let study = prepare(&loaded.bench, &loaded.design, &sampling.options(range.clone()))?;
    let mut tally = study.tally().map_err(refused)?;
    let prepared = Instant::now();
    study.run(&mut tally, &|_| true).map_err(refused)?;
    let sampled = Instant::now();
    study.answer(&tally, called(&loaded.name)).map_err(refused)?;
    let unit = (sampled - prepared).as_secs_f64() / (range.end - range.start) as f64;
    Ok(Pace { once: (prepared - began) + sampled.elapsed(), unit })
}

/// The whole study that units were gathered for.
fn options_of(tally: &Tally) -> SpreadOptions {
    let of = &tally.of;
    SpreadOptions { units: of.units, range: None, seed: of.seed, exact: of.exact }
}

fn prepare(bench: &Bench, design: &Design, options: &SpreadOptions) -> Result<Spread, Failure> {
    let preparing = Progress::new("preparing");
    let told = |done, of| preparing.tick(done, of);
    Spread::new(bench, design, options.clone(), &told).map_err(refused)
}

/// Evaluate the units, going on where the file left off.
pub(crate) fn spread(
    loaded: &Loaded,
    beside: &Beside,
    sampling: &Sampling<'_>,
) -> Result<SpreadTold, Failure> {
    let interruption = Interruption::heed()?;
    let options = sampling.options(sampling.range.clone());
    let study = prepare(&loaded.bench, &loaded.design, &options)?;
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
    let stop = &interruption.told;
    let done = |shard: &Shard| shard.tally.units_in(&sampling.range);
    let resumed = done(&shard);
    let total = sampling.range.end - sampling.range.start;
    let progress = Progress::units(resumed);
    let written = Mutex::new(Instant::now());
    while done(&shard) < total && !stop.load(Ordering::Relaxed) {
        let go_on = |done: u64| {
            progress.tick(done, total);
            if done > resumed {
                interruption.soften();
            }
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
    if let Some(path) = sampling.worst {
        worst::write(path, &study, &shard, loaded, beside)?;
    }
    let answer = study.answer(&shard.tally, &shard.name).map_err(refused)?;
    Ok(SpreadTold { answer, resumed, interrupted })
}

/// Put parts of one study together.
pub(crate) fn merge(
    parts: &[PathBuf],
    to: Option<&Path>,
    worst: Option<&Path>,
    all: bool,
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
    if all {
        refuse_gaps(&whole.tally)?;
    }
    let catalogue = super::catalogue(shared)?;
    let beside = Beside::new(&Source::new(&parts[0]));
    let (loaded, warnings) = parse(&whole.design, &whole.name, &beside, &catalogue)?;
    tell_diagnostics(&warnings, &loaded.name, &whole.design, shared.diagnostics)?;
    let study = prepare(&loaded.bench, &loaded.design, &options_of(&whole.tally))?;
    if let Some(path) = to {
        write(path, &study, &whole)?;
    }
    if let Some(path) = worst {
        worst::write(path, &study, &whole, &loaded, &beside)?;
    }
    let answer = study.answer(&whole.tally, &whole.name).map_err(refused)?;
    Ok(SpreadTold { answer, resumed: 0, interrupted: false })
}

/// What a file's study of this very design answers.
pub(crate) fn kept_study(file: &Path, loaded: &Loaded) -> Result<SpreadAnswer, Failure> {
    let missing = || Failure::file(file, io::Error::from(ErrorKind::NotFound));
    let shard = kept(file)?.ok_or_else(missing)?;
    if shard.design != loaded.design.text {
        return Err(Failure::Refused(format!(
            "{} is a study of another design, or of an older state of it",
            file.display()
        )));
    }
    let study = prepare(&loaded.bench, &loaded.design, &options_of(&shard.tally))?;
    study.answer(&shard.tally, &shard.name).map_err(refused)
}

/// Units of the study that are not there.
fn refuse_gaps(tally: &Tally) -> Result<(), Failure> {
    let ends = tally.ranges.iter().map(|r| r[1]);
    let starts = tally.ranges.iter().map(|r| r[0]).chain([tally.of.units]);
    let gaps = [0].into_iter().chain(ends).zip(starts).filter(|(from, to)| from < to);
    let mut gaps: Vec<String> = gaps.map(|(from, to)| format!("{from}..{to}")).collect();
    if gaps.is_empty() {
        return Ok(());
    }
    if gaps.len() > GAPS_TOLD {
        let more = gaps.split_off(GAPS_TOLD).len();
        gaps.push(format!("{more} more ranges"));
    }
    let (have, of) = (tally.units(), tally.of.units);
    Err(Failure::Refused(format!(
        "{have} of {of} units are there; missing are {}",
        gaps.join(", ")
    )))
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

/// The user's wish to stop.
pub(super) struct Interruption {
    /// Heard, and to be followed soon.
    pub(super) told: Arc<AtomicBool>,
    /// But what was gathered is to be written first.
    soft: Arc<AtomicBool>,
}

impl Interruption {
    /// Ends the program at once while nothing new is gathered, and later when it is heard a second time after
    /// a while; some send the signal twice in one go.
    pub(super) fn heed() -> Result<Self, Failure> {
        let new = || Arc::new(AtomicBool::new(false));
        let (told, soft) = (new(), new());
        let heard = Self { told: told.clone(), soft: soft.clone() };
        let mut first: Option<Instant> = None;
        ctrlc::set_handler(move || {
            heard.told.store(true, Ordering::Relaxed);
            let again = first.get_or_insert_with(Instant::now).elapsed() > AGAIN;
            if again || !heard.soft.load(Ordering::Relaxed) {
                std::process::exit(INTERRUPTED.into());
            }
        })
        .map_err(refused)?;
        Ok(Self { told, soft })
    }

    /// From now on there is something to be kept.
    pub(super) fn soften(&self) {
        self.soft.store(true, Ordering::Relaxed);
    }
}
