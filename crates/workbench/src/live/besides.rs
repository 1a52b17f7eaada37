//! A design beside the text's own: the newest text with other values, for comparison.

use super::{Good, Wish, request, tell};
use crate::{
    crew::Ended,
    desk::{Session, taken},
    edits,
    session::Out,
    wire::{self, Glance, MapOf, ToPage, View},
};
use reedmace_design::Design;
use reedmace_engine::{EngineError, Options, answer::ChosenValue};
use std::sync::Arc;
use tokio::sync::watch;

/// Its map has so many times fewer places across, and up: only borders are drawn of it.
const COARSER: usize = 2;

/// What the page wants shown.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Beside {
    /// Counts up with every one.
    pub seq: u64,
    /// What stands otherwise than in the text.
    pub values: Vec<ChosenValue>,
}

/// What is shown, as far as it is.
struct Shown {
    good: Arc<Good>,
    seq: u64,
    /// `None` where it cannot be made, which has been told.
    design: Option<Arc<Design>>,
    /// The view it was last mapped in.
    mapped: Option<View>,
    /// All of its answer has been told.
    answered: bool,
}

struct Besides {
    session: Arc<Session>,
    texts: watch::Receiver<Option<Arc<Good>>>,
    looks: watch::Receiver<Wish>,
    asked: watch::Receiver<Option<Beside>>,
    out: Out,
    shown: Option<Shown>,
}

/// Shows the newest design asked for: first events, then the map, then the whole answer.
pub(super) async fn besides(
    session: Arc<Session>,
    texts: watch::Receiver<Option<Arc<Good>>>,
    looks: watch::Receiver<Wish>,
    asked: watch::Receiver<Option<Beside>>,
    out: Out,
) {
    let mut at_work = Besides { session, texts, looks, asked, out, shown: None };
    while at_work.step().await {}
}

impl Besides {
    /// One piece of work, or a wait for something to do; false when the page has gone.
    async fn step(&mut self) -> bool {
        let good = self.texts.borrow_and_update().clone();
        let asked = self.asked.borrow_and_update().clone();
        let view = self.looks.borrow_and_update().view.clone();
        match (good, asked) {
            (Some(good), Some(asked)) => {
                let same = |s: &Shown| Arc::ptr_eq(&s.good, &good) && s.seq == asked.seq;
                match self.shown.take().filter(same) {
                    None => {
                        self.shown = Some(self.glance(good, &asked).await);
                        return true;
                    }
                    Some(mut shown) => {
                        let done = self.more(&mut shown, view).await;
                        self.shown = Some(shown);
                        if !done {
                            return true;
                        }
                    }
                }
            }
            // A fault in the text: what is shown stays.
            (None, Some(_)) => (),
            (_, None) => self.shown = None,
        }
        tokio::select! {
            more = self.texts.changed() => more.is_ok(),
            more = self.asked.changed() => more.is_ok(),
            more = self.looks.changed() => more.is_ok(),
        }
    }

    /// Makes the design and takes a first look.
    async fn glance(&self, good: Arc<Good>, asked: &Beside) -> Shown {
        let (session, old, values) = (self.session.clone(), good.clone(), asked.values.clone());
        let job = move |pause: &(dyn Fn() + Sync)| {
            let room = &session.room;
            let text = &old.design.text;
            let splices = taken(room, text, &values).map_err(|refusal| refusal.0)?;
            let parsed = room.parse(&edits::spliced(text, &splices)).result;
            let (design, _) = parsed.map_err(|faults| {
                faults.first().map(|fault| fault.message.clone()).unwrap_or_default()
            })?;
            pause();
            let bench = if old.has_steel() { room.bench().coarse() } else { room.bench() };
            let glance = bench.glance(&design).map_err(|why| why.to_string())?;
            Ok((Arc::new(design), Glance::from(&glance)))
        };
        let made: Result<Result<_, String>, Ended> =
            self.session.room.crew.steady(|| true, job).await;
        let (rev, seq) = (good.rev, asked.seq);
        let (design, glance, none) = match made {
            Ok(Ok((design, glance))) => (Some(design), Some(glance), None),
            Ok(Err(why)) => (None, None, Some(why)),
            Err(why) => {
                tell(why, rev, &self.session, &self.out).await;
                (None, None, None)
            }
        };
        self.out.say(&ToPage::Beside { rev, seq, glance, answer: None, none }).await;
        Shown { good, seq, design, mapped: None, answered: false }
    }

    /// The map, if another is wanted, or the answer; true if there is nothing more to tell.
    async fn more(&self, shown: &mut Shown, view: Option<View>) -> bool {
        let Some(design) = shown.design.clone() else { return true };
        let (texts, asked) = (self.texts.clone(), self.asked.clone());
        let still =
            move || matches!((texts.has_changed(), asked.has_changed()), (Ok(false), Ok(false)));
        let bench = self.session.room.bench();
        let (rev, seq) = (shown.good.rev, shown.seq);
        let contacts = design.contacts.len();
        let view = view.filter(|view| view.map && view.contact < contacts);
        if let Some(view) = view.filter(|view| shown.mapped.as_ref() != Some(view)) {
            shown.mapped = Some(view.clone());
            let bench = if shown.good.has_steel() { bench.coarse() } else { bench };
            let cells = view.cells.map(|n| (n / COARSER).max(2));
            let job = move |pause: &(dyn Fn() + Sync)| {
                let map =
                    bench.map(&design, &request(&View { cells, ..view }, &design), &|_, _| {
                        pause()
                    })?;
                let of = MapOf { rev, beside: Some(seq), ..MapOf::default() };
                Ok::<_, EngineError>(wire::map_frame(&map, of))
            };
            match self.session.room.crew.steady(still, job).await {
                Ok(Ok(frame)) => self.out.frame(frame).await,
                // Nothing moves, or nothing newer is wanted of this one.
                Ok(Err(_)) => (),
                Err(why) => tell(why, rev, &self.session, &self.out).await,
            }
            return false;
        }
        if shown.answered {
            return true;
        }
        let name = self.session.name();
        let job = move |pause: &(dyn Fn() + Sync)| {
            bench.check(&design, &name, &Options::default(), &|_, _| pause())
        };
        let (answer, none) = match self.session.room.crew.steady(still, job).await {
            Ok(Ok(study)) => (Some(Box::new(study.answer)), None),
            Ok(Err(why)) => (None, Some(why.to_string())),
            // Something newer is wanted: see what.
            Err(Ended::Unwanted) => return false,
            Err(why) => {
                shown.answered = true;
                tell(why, rev, &self.session, &self.out).await;
                return false;
            }
        };
        shown.answered = true;
        self.out.say(&ToPage::Beside { rev, seq, glance: None, answer, none }).await;
        false
    }
}
