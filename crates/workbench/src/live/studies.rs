//! Spread studies: a first look, then more and more units; a tolerance held elsewhere goes before.
//!
//! One piece of work at a time, each short, and after each the newest wish: nothing queues. A study stands
//! still while a tolerance is held, and where it is once it is not asked for any more.

use super::{Good, tell};
use crate::{
    crew::Ended,
    desk::{Session, widened},
    session::Out,
    wire::ToPage,
};
use reedmace_design::Design;
use reedmace_engine::{
    BLOCK, Bench, EngineError, Spread, SpreadOptions, Tally, answer::SpreadAnswer,
};
use std::{
    sync::Arc,
    time::{Duration, Instant},
};
use tokio::sync::watch;

/// The most units the page may ask for.
const MOST: u64 = 1_000_000;
/// Units that show what a tolerance held elsewhere does.
const TRIED: u64 = 16_384;
/// How a growing study stands is told so often.
const TELL_EVERY: Duration = Duration::from_millis(250);

/// What the page wants of studies.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Wanted {
    /// The study; `None` for none.
    pub study: Option<Size>,
    /// A tolerance held elsewhere than the text has it.
    pub held: Option<Held>,
}

/// How large a study is, and which units it takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Size {
    pub units: u64,
    pub seed: u64,
}

impl Size {
    /// If it is neither too small nor too large.
    pub fn of(units: u64, seed: u64) -> Result<Self, String> {
        if (BLOCK..=MOST).contains(&units) {
            return Ok(Self { units, seed });
        }
        Err(format!("a study has from {BLOCK} to {MOST} units"))
    }
}

/// A tolerance held elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Held {
    /// Of which text.
    pub rev: u64,
    /// Counts up as it moves.
    pub seq: u64,
    /// Of which quantity.
    pub path: String,
    /// How many times as wide as the text has it.
    pub times: f64,
}

/// A study of a text, as far as it is.
struct Growing {
    good: Arc<Good>,
    size: Size,
    /// `None` where it cannot be made, which has been told.
    made: Option<Made>,
}

/// A study that can be made.
struct Made {
    spread: Arc<Spread>,
    tally: Tally,
    /// What drives it is known.
    caused: bool,
    /// All has been told.
    done: bool,
}

/// What a piece of a study left behind.
struct Piece {
    tally: Tally,
    answer: SpreadAnswer,
}

/// Who studies, and what is wanted.
struct Studies {
    session: Arc<Session>,
    texts: watch::Receiver<Option<Arc<Good>>>,
    wanted: watch::Receiver<Wanted>,
    out: Out,
    growing: Option<Growing>,
    /// The position told last, or that could not be.
    tried: Option<(u64, u64)>,
}

/// Studies the newest text for as long as that is wanted.
pub(super) async fn studies(
    session: Arc<Session>,
    texts: watch::Receiver<Option<Arc<Good>>>,
    wanted: watch::Receiver<Wanted>,
    out: Out,
) {
    let mut at_work = Studies { session, texts, wanted, out, growing: None, tried: None };
    while at_work.step().await {}
}

impl Studies {
    /// One piece of work, or a wait for something to do; false when the page has gone.
    async fn step(&mut self) -> bool {
        let good = self.texts.borrow_and_update().clone();
        let Wanted { study, held } = self.wanted.borrow_and_update().clone();
        if let Some(good) = good {
            let held = held.filter(|held| held.rev == good.rev);
            match (held, study) {
                (Some(held), Some(size)) => {
                    if self.tried != Some((held.rev, held.seq)) {
                        self.tried = Some((held.rev, held.seq));
                        self.try_out(&good, &held, size.seed).await;
                        return true;
                    }
                }
                (None, Some(size)) => {
                    if self.grow(&good, size).await {
                        return true;
                    }
                }
                (_, None) => (),
            }
        } else {
            self.growing = None;
        }
        tokio::select! {
            more = self.texts.changed() => more.is_ok(),
            more = self.wanted.changed() => more.is_ok(),
        }
    }

    /// What a tolerance would do. It is finished even if it has moved on meanwhile: else a hand that never
    /// rests would see nothing.
    async fn try_out(&self, good: &Arc<Good>, held: &Held, seed: u64) {
        let texts = self.texts.clone();
        let wanted = move || matches!(texts.has_changed(), Ok(false));
        let (session, old, asked) = (self.session.clone(), good.clone(), held.clone());
        let job = move |pause: &(dyn Fn() + Sync)| {
            let (tolerance, text) =
                widened(&session, &old, &asked.path, asked.times).map_err(|refusal| refusal.0)?;
            let parsed = session.room.parse(&text).result;
            let (design, _) = parsed.map_err(|faults| {
                faults.first().map(|fault| fault.message.clone()).unwrap_or_default()
            })?;
            let size = Size { units: TRIED, seed };
            let told = made(&session.room.bench(), &design, size, pause).and_then(
                |(spread, mut tally)| {
                    spread.run(&mut tally, &|_| {
                        pause();
                        true
                    })?;
                    spread.counted(&tally, &session.name())
                },
            );
            told.map(|answer| (tolerance, answer)).map_err(|why| why.to_string())
        };
        let told = self.session.room.crew.steady(wanted, job).await;
        let (rev, seq) = (good.rev, Some(held.seq));
        let (tolerance, answer, none) = match told {
            Ok(Ok((tolerance, answer))) => (Some(tolerance), Some(Box::new(answer)), None),
            Ok(Err(why)) => (None, None, Some(why)),
            Err(why) => return tell(why, rev, &self.session, &self.out).await,
        };
        self.out.say(&ToPage::Spread { rev, seq, done: true, tolerance, answer, none }).await;
    }

    /// The next piece of the study of a text; false when there is no more to do.
    async fn grow(&mut self, good: &Arc<Good>, size: Size) -> bool {
        let known = self.growing.take();
        let known = known.filter(|g| Arc::ptr_eq(&g.good, good) && g.size == size);
        let Some(mut growing) = known else { return self.begin(good, size).await };
        let Some(Made { spread, tally, caused, done }) =
            growing.made.as_mut().filter(|made| !made.done)
        else {
            self.growing = Some(growing);
            return false;
        };
        let whole = tally.units() == size.units;
        let find = !*caused || whole;
        let more = tally.clone();
        let (texts, wanted) = (self.texts.clone(), self.wanted.clone());
        let go_on =
            move || matches!((texts.has_changed(), wanted.has_changed()), (Ok(false), Ok(false)));
        let (spread_, name) = (spread.clone(), self.session.name());
        let still = go_on.clone();
        let job =
            move |pause: &(dyn Fn() + Sync)| piece(&spread_, more, find, &name, pause, &still);
        // Units end by themselves with those that are done; what drives them has no such half.
        match self.session.room.crew.steady(move || !find || go_on(), job).await {
            Ok(Ok(Piece { tally: grown, answer })) => {
                *tally = grown;
                *caused = true;
                *done = find && whole;
                let (rev, done) = (good.rev, *done);
                self.growing = Some(growing);
                self.say(rev, done, answer).await;
            }
            Ok(Err(why)) => self.refuse(good, size, why).await,
            // Something newer is wanted: what was gathered waits.
            Err(Ended::Unwanted) => self.growing = Some(growing),
            Err(why) => self.broken(good, size, why).await,
        }
        true
    }

    /// Makes a study and takes a first look.
    async fn begin(&mut self, good: &Arc<Good>, size: Size) -> bool {
        let (texts, wanted) = (self.texts.clone(), self.wanted.clone());
        let still =
            move || matches!((texts.has_changed(), wanted.has_changed()), (Ok(false), Ok(false)));
        let (design, bench, name) =
            (good.design.clone(), self.session.room.bench(), self.session.name());
        let job = move |pause: &(dyn Fn() + Sync)| {
            let (spread, mut tally) = made(&bench, &design, size, pause)?;
            spread.look(&mut tally)?;
            let answer = spread.counted(&tally, &name)?;
            Ok::<_, EngineError>((spread, Piece { tally, answer }))
        };
        match self.session.room.crew.steady(still, job).await {
            Ok(Ok((spread, Piece { tally, answer }))) => {
                let spread = Arc::new(spread);
                let made = Some(Made { spread, tally, caused: false, done: false });
                self.growing = Some(Growing { good: good.clone(), size, made });
                self.say(good.rev, false, answer).await;
            }
            Ok(Err(why)) => self.refuse(good, size, why).await,
            // Something newer is wanted: see what.
            Err(Ended::Unwanted) => (),
            Err(why) => self.broken(good, size, why).await,
        }
        true
    }

    async fn say(&self, rev: u64, done: bool, answer: SpreadAnswer) {
        let answer = Some(Box::new(answer));
        let said = ToPage::Spread { rev, seq: None, done, tolerance: None, answer, none: None };
        self.out.say(&said).await;
    }

    /// A fault of ours: not tried again with this text.
    async fn broken(&mut self, good: &Arc<Good>, size: Size, why: Ended) {
        self.growing = Some(Growing { good: good.clone(), size, made: None });
        tell(why, good.rev, &self.session, &self.out).await;
    }

    /// Tells once why there is no study.
    async fn refuse(&mut self, good: &Arc<Good>, size: Size, why: EngineError) {
        self.growing = Some(Growing { good: good.clone(), size, made: None });
        let (rev, none) = (good.rev, Some(why.to_string()));
        let said =
            ToPage::Spread { rev, seq: None, done: true, tolerance: None, answer: None, none };
        self.out.say(&said).await;
    }
}

/// A study with no units yet.
fn made(
    bench: &Bench,
    design: &Design,
    size: Size,
    pause: &(dyn Fn() + Sync),
) -> Result<(Spread, Tally), EngineError> {
    let options = SpreadOptions { units: size.units, range: None, seed: size.seed, exact: false };
    let spread = Spread::new(bench, design, options, &|_, _| pause())?;
    let tally = spread.tally()?;
    Ok((spread, tally))
}

/// What drives a study, or some of its units; and how it then stands.
fn piece(
    spread: &Spread,
    mut tally: Tally,
    find: bool,
    name: &str,
    pause: &(dyn Fn() + Sync),
    go_on: &(dyn Fn() -> bool + Sync),
) -> Result<Piece, EngineError> {
    if find {
        spread.find(&tally, pause)?;
        let answer = spread.counted(&tally, name)?;
        return Ok(Piece { tally, answer });
    }
    let began = Instant::now();
    spread.run(&mut tally, &|_| {
        pause();
        go_on() && began.elapsed() < TELL_EVERY
    })?;
    let answer = spread.counted(&tally, name)?;
    Ok(Piece { tally, answer })
}
