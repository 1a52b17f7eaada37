//! The search for the cheapest arrangement of what a text leaves free.
//!
//! One search at a time, of the text it was asked for. It is given up when that changes, and ended with what
//! it has found when the page says so; the page keeps the result, so that nothing is searched twice.

use super::{Good, tell};
use crate::{crew::Ended, desk::Session, edits, session::Out, wire::ToPage};
use reedmace_engine::{
    ChooseOptions, ChooseProgress, Choosing, EngineError, answer::ChooseAnswer, choose,
};
use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};
use tokio::sync::watch;

/// How a search stands is told so often.
const TELL_EVERY: Duration = Duration::from_millis(200);

/// What the page wants searched.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Search {
    /// The text; `None` ends the search.
    rev: Option<u64>,
    /// How often was asked: the same text may be searched again.
    times: u64,
}

impl Search {
    /// Another wish.
    pub fn ask(&mut self, rev: Option<u64>) {
        *self = Self { rev, times: self.times + 1 };
    }
}

/// How a search that runs is told to end.
#[derive(Debug, Default)]
struct Ends {
    /// With what it has found.
    soon: Arc<AtomicBool>,
    /// At once, with nothing.
    gone: Arc<AtomicBool>,
}

impl Drop for Ends {
    /// Nobody waits for the search any more.
    fn drop(&mut self) {
        self.gone.store(true, Ordering::Relaxed);
    }
}

/// Who searches, and what is wanted.
struct Searches {
    session: Arc<Session>,
    texts: watch::Receiver<Option<Arc<Good>>>,
    asked: watch::Receiver<Search>,
    out: Out,
    /// The text asked for, until its search begins.
    due: Option<u64>,
    /// The text whose result the page has.
    known: Option<Arc<Good>>,
}

/// Searches the texts asked for, one after the other.
pub(super) async fn searches(
    session: Arc<Session>,
    texts: watch::Receiver<Option<Arc<Good>>>,
    asked: watch::Receiver<Search>,
    out: Out,
) {
    let mut at_work = Searches { session, texts, asked, out, due: None, known: None };
    while at_work.step().await {}
}

impl Searches {
    /// One search, or a wait for something to do; false when the page has gone.
    async fn step(&mut self) -> bool {
        let good = self.texts.borrow_and_update().clone();
        match still(self.known.take(), good.as_ref()) {
            Still::Same(known) => self.known = Some(known),
            Still::Other => (),
            Still::Files(rev) => self.none(rev, FILES_CHANGED, None).await,
        }
        match (self.due, good) {
            (Some(rev), Some(good)) if good.rev >= rev => {
                self.due = None;
                if good.rev == rev {
                    self.search(good).await;
                } else {
                    self.none(rev, TEXT_CHANGED, None).await;
                }
                return true;
            }
            _ => (),
        }
        tokio::select! {
            more = self.texts.changed() => more.is_ok(),
            more = self.asked.changed() => {
                let newest = self.asked.borrow_and_update().rev;
                if let Some(rev) = std::mem::replace(&mut self.due, newest) {
                    self.none(rev, NOT_BEGUN, None).await;
                }
                more.is_ok()
            }
        }
    }

    async fn search(&mut self, mut good: Arc<Good>) {
        let rev = good.rev;
        if good.design.choose.is_none() {
            let (session, text) = (self.session.clone(), good.design.text.clone());
            let begin = move || {
                let sound = |text: &str| session.room.parse(text).result.is_ok();
                edits::choice(&text, &sound)
            };
            let beginning = self.session.room.crew.quick(begin).await.unwrap_or_default();
            return self.none(rev, NOTHING_FREE, beginning).await;
        }
        let ends = Ends::default();
        let (stands, told) = watch::channel(None);
        let job = self.job(&good, &ends, stands);
        tokio::pin!(job);
        let began = Instant::now();
        let mut clock = tokio::time::interval(TELL_EVERY);
        let mut why_gone = TEXT_CHANGED;
        let ended = loop {
            tokio::select! {
                ended = &mut job => break ended,
                _ = clock.tick() => {
                    let at = *told.borrow();
                    if let Some(at) = at {
                        self.out.say(&searching(rev, at, began.elapsed())).await;
                    }
                }
                more = self.texts.changed() => {
                    let newest = self.texts.borrow_and_update().clone();
                    match still(Some(good.clone()), newest.as_ref()) {
                        Still::Same(same) if more.is_ok() => good = same,
                        other => {
                            if matches!(other, Still::Files(_)) {
                                why_gone = FILES_CHANGED;
                            }
                            ends.gone.store(true, Ordering::Relaxed);
                        }
                    }
                }
                more = self.asked.changed() => {
                    match self.asked.borrow_and_update().rev {
                        None => ends.soon.store(true, Ordering::Relaxed),
                        // The same again, or what comes next.
                        other => self.due = other.filter(|other| *other > good.rev),
                    }
                    if more.is_err() {
                        ends.gone.store(true, Ordering::Relaxed);
                    }
                }
            }
        };
        match ended {
            Ok(Ok(Choosing { answer, .. })) => {
                self.known = Some(good);
                self.say(rev, answer).await;
            }
            Ok(Err(why)) => self.none(rev, &why.to_string(), None).await,
            Err(Ended::Unwanted) => self.none(rev, why_gone, None).await,
            Err(why) => {
                self.none(rev, "the search met a fault", None).await;
                tell(why, rev, &self.session, &self.out).await;
            }
        }
    }

    /// The search itself, by the patient crew.
    fn job(
        &self,
        good: &Good,
        ends: &Ends,
        stands: watch::Sender<Option<ChooseProgress>>,
    ) -> impl Future<Output = Result<Result<Choosing, EngineError>, Ended>> + use<> {
        let (session, design) = (self.session.clone(), good.design.clone());
        let (soon, gone) = (ends.soon.clone(), ends.gone.clone());
        let crew = self.session.room.crew.clone();
        let work = move |pause: &(dyn Fn() + Sync)| {
            let remake = |text: &str| session.room.parse(text).result.map(|(design, _)| design);
            let go_on = |at: ChooseProgress| {
                pause();
                stands.send_replace(Some(at));
                !soon.load(Ordering::Relaxed)
            };
            choose(&design, &session.name(), &ChooseOptions::default(), &remake, &go_on)
        };
        async move { crew.patient(move || !gone.load(Ordering::Relaxed), work).await }
    }

    async fn say(&self, rev: u64, answer: ChooseAnswer) {
        let answer = Some(Box::new(answer));
        self.out.say(&ToPage::Chosen { rev, answer, none: None, beginning: None }).await;
    }

    async fn none(&self, rev: u64, why: &str, beginning: Option<String>) {
        let none = Some(why.to_owned());
        self.out.say(&ToPage::Chosen { rev, answer: None, none, beginning }).await;
    }
}

const NOTHING_FREE: &str = "the design leaves nothing to choose";
const NOT_BEGUN: &str = "the search was ended before it began";
const TEXT_CHANGED: &str = "the text has changed";
const FILES_CHANGED: &str = "a file that the design names has changed";

/// What became of a text that was searched.
enum Still {
    /// It is the newest, perhaps under another number.
    Same(Arc<Good>),
    /// There is another one, or none.
    Other,
    /// The text is the same, but was read again: a file it names has changed.
    Files(u64),
}

fn still(searched: Option<Arc<Good>>, newest: Option<&Arc<Good>>) -> Still {
    let (Some(searched), Some(newest)) = (searched, newest) else { return Still::Other };
    if Arc::ptr_eq(&searched, newest) {
        Still::Same(searched)
    } else if searched.rev == newest.rev {
        Still::Files(newest.rev)
    } else if searched.design.text == newest.design.text {
        Still::Same(newest.clone())
    } else {
        Still::Other
    }
}

/// How far a search is, and how long the rest would take at its pace.
fn searching(rev: u64, at: ChooseProgress, since: Duration) -> ToPage {
    let ChooseProgress { done, of, found, cheapest } = at;
    let pace = (done > 0).then(|| since.as_secs_f64() / done as f64);
    let left = pace.map(|pace| pace * (of - done) as f64);
    ToPage::Searching { rev, done, of, found, cheapest, left }
}
