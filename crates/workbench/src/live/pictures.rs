//! Pictures that follow the hand.

use super::{Drag, Good, Wish, request, tell};
use crate::{
    crew::{Ended, give_up},
    desk::{self, Refusal, Session, locked},
    form,
    session::{Out, words},
    wire::{self, Drawing, Glance, MapOf, ToPage, View},
};
use reedmace_design::{Design, Diagnostic, line_column};
use reedmace_engine::{Bench, EngineError, MapPlan};
use std::{
    sync::Arc,
    time::{Duration, Instant},
};
use tokio::sync::{OnceCell, watch};

/// A map that takes no longer is computed at once, and never given up.
const AT_ONCE: Duration = Duration::from_millis(25);
/// The share of a map's places that a first one has, when nothing is known of what it takes.
const UNKNOWN: f64 = 1.0 / 16.0;
/// A coarse map has at least so many places across and up.
const FEWEST: usize = 12;

/// Shows each newest wish; one at a time, so that nothing queues.
pub(super) struct Painter {
    session: Arc<Session>,
    wishes: watch::Receiver<Wish>,
    /// Texts to be answered in full.
    texts: watch::Sender<Option<Arc<Good>>>,
    /// Maps to be made finer at leisure.
    maps: watch::Sender<Option<(Arc<Good>, View)>>,
    out: Out,
    /// The text last read, and how often.
    read: Option<(u64, u64)>,
    /// It, if it has no faults.
    good: Option<Arc<Good>>,
    /// What was last glanced at, and mapped.
    glanced: Option<Shown>,
    mapped: Option<(Shown, View)>,
    /// What the map sent last was made of, if that was all of it.
    stands: Option<Arc<MapPlan>>,
    /// What one place of the last map took.
    cost: Duration,
}

/// A text, how often it was read, and a drag of it.
type Shown = (u64, u64, Option<u64>);

/// What a picture is made of.
#[derive(Clone)]
struct Subject {
    design: Arc<Design>,
    bench: Bench,
    rev: u64,
    seq: Option<u64>,
    /// Steel is cut so coarsely that something finer is wanted.
    rough: bool,
}

impl Painter {
    pub fn new(
        session: &Arc<Session>,
        wishes: watch::Receiver<Wish>,
        texts: watch::Sender<Option<Arc<Good>>>,
        maps: watch::Sender<Option<(Arc<Good>, View)>>,
        out: &Out,
    ) -> Self {
        Self {
            session: session.clone(),
            wishes,
            texts,
            maps,
            out: out.clone(),
            read: None,
            good: None,
            glanced: None,
            mapped: None,
            stands: None,
            cost: Duration::ZERO,
        }
    }

    /// Shows wishes as they come, until the page goes.
    pub async fn paint(mut self) {
        self.wishes.mark_changed();
        while self.wishes.changed().await.is_ok() {
            let wish = self.wishes.borrow_and_update().clone();
            if self.read != Some((wish.rev, wish.again)) {
                self.read = Some((wish.rev, wish.again));
                self.cost = Duration::ZERO;
                self.design(&wish).await;
            }
            let Some(good) = self.good.clone() else { continue };
            let subject = match self.subject(&good, wish.drag.as_ref()) {
                Ok(subject) => subject,
                Err(Refusal(why)) => {
                    self.out.fault(Some(wish.rev), why).await;
                    continue;
                }
            };
            let shown = (wish.rev, wish.again, subject.seq);
            let contacts = subject.design.contacts.len();
            let view = wish.view.filter(|view| view.map && view.contact < contacts);
            let due = view.filter(|view| self.mapped.as_ref() != Some(&(shown, view.clone())));
            let glance = self.glanced != Some(shown);
            self.glanced = Some(shown);
            if let Some(view) = due {
                if self.map(&subject, &view, glance).await {
                    self.mapped = Some((shown, view.clone()));
                    if subject.rough && subject.seq.is_none() {
                        self.maps.send_replace(Some((good, view)));
                    }
                }
            } else if glance {
                self.picture(&subject, true, None, false).await;
            }
        }
    }

    /// The design as it is, or with a body held elsewhere.
    fn subject(&self, good: &Good, drag: Option<&Drag>) -> Result<Subject, Refusal> {
        let rough = good.has_steel();
        let bench = self.session.room.bench();
        Ok(Subject {
            design: match drag {
                Some(drag) => Arc::new(desk::moved(good, &drag.place)?.design),
                None => good.design.clone(),
            },
            bench: if rough { bench.coarse() } else { bench },
            rev: good.rev,
            seq: drag.map(|drag| drag.seq),
            rough,
        })
    }

    /// Reads a text and tells what it is.
    async fn design(&mut self, wish: &Wish) {
        self.good = None;
        let (session, text) = (self.session.clone(), wish.text.clone());
        let job = move || {
            let room = &session.room;
            let form = form::form(&text, &room.catalogue, &room.grades);
            (room.parse(&text), form)
        };
        let (parsed, form) = match self.session.room.crew.quick(job).await {
            Ok(done) => done,
            Err(why) => {
                self.texts.send_replace(None);
                return tell(why, wish.rev, &self.session, &self.out).await;
            }
        };
        for file in &parsed.files {
            // A folder that cannot be watched is not: its files are read again with the next change.
            let _ = file.parent().map(|folder| self.session.room.outside.watch(folder));
        }
        *locked(&self.session.named) = parsed.files;
        let (design, found) = match parsed.result {
            Ok((design, warnings)) => (Some(Arc::new(design)), warnings),
            Err(faults) => (None, faults),
        };
        let title = design.as_ref().map(|design| design.title.clone());
        self.good =
            design.map(|design| Arc::new(Good { rev: wish.rev, design, study: OnceCell::new() }));
        let subject = self.good.as_ref().and_then(|good| self.subject(good, None).ok());
        let glance = match &subject {
            Some(subject) => self.glanced(subject).await,
            None => None,
        };
        self.out
            .say(&ToPage::Design {
                rev: wish.rev,
                diagnostics: found.iter().map(|fault| mark(fault, &wish.text)).collect(),
                form,
                drawing: glance.as_ref().map(|glance| Drawing::from(&glance.drawing)),
                title,
            })
            .await;
        if let (Some(subject), Some(glance)) = (&subject, glance) {
            self.out.say(&subject.live(&glance)).await;
        }
        // What cannot be glanced at has been told why, and is not asked again.
        self.glanced = Some((wish.rev, wish.again, None));
        if self.good.is_some() {
            (*locked(&self.session.good)).clone_from(&self.good);
        }
        self.texts.send_replace(self.good.clone());
    }

    /// Nominal events and drives; why there are none is told.
    async fn glanced(&self, subject: &Subject) -> Option<reedmace_engine::Glance> {
        let Subject { design, bench, rev, .. } = subject.clone();
        match self.session.room.crew.quick(move || bench.glance(&design)).await {
            Ok(Ok(glance)) => return Some(glance),
            Ok(Err(why)) => self.out.fault(Some(rev), why.to_string()).await,
            Err(why) => tell(why, rev, &self.session, &self.out).await,
        }
        None
    }

    /// A map, one of fewer places first if it will take long, and nominal events with the first of them if
    /// they are due; false when something newer came before the whole map.
    async fn map(&mut self, subject: &Subject, view: &View, mut glance: bool) -> bool {
        let cells = request(view, &subject.design).cells;
        let view = &View { cells, ..view.clone() };
        let plan = self.plan(subject, view).await;
        let stands = plan.as_ref().is_some_and(|plan| self.stands(plan));
        let places = (view.cells[0] * view.cells[1]) as u32;
        let known = self.cost > Duration::ZERO;
        let expected = self.cost.saturating_mul(places);
        if !stands && plan.is_some() && (!known || expected > AT_ONCE) {
            let share = AT_ONCE.as_secs_f64() / expected.as_secs_f64();
            let share = if known { share } else { UNKNOWN };
            let thin = |n: usize| ((n as f64 * share.sqrt()) as usize).clamp(FEWEST.min(n), n);
            let coarse = View { cells: view.cells.map(thin), ..view.clone() };
            if coarse.cells != view.cells {
                let plan = self.plan(subject, &coarse).await;
                if !self.picture(subject, std::mem::take(&mut glance), plan, true).await
                    || self.wishes.has_changed().unwrap_or(true)
                {
                    return false;
                }
            }
        }
        self.picture(subject, glance, plan, subject.rough).await
    }

    /// What a map is made of; why there is none is told.
    async fn plan(&self, subject: &Subject, view: &View) -> Option<Arc<MapPlan>> {
        let (Subject { design, bench, rev, .. }, request) =
            (subject.clone(), request(view, &subject.design));
        match self.session.room.crew.quick(move || bench.plan(&design, &request)).await {
            Ok(Ok(plan)) => return Some(Arc::new(plan)),
            Ok(Err(EngineError::NoMap(_))) => (),
            Ok(Err(why)) => self.out.fault(Some(rev), why.to_string()).await,
            Err(why) => tell(why, rev, &self.session, &self.out).await,
        }
        None
    }

    /// True when the page has this map already.
    fn stands(&self, plan: &MapPlan) -> bool {
        self.stands.as_ref().is_some_and(|there| there.agrees(plan))
    }

    /// One picture: nominal events, if they are due, and one map, told together. If the map takes long
    /// it ends, with false, when something newer comes.
    async fn picture(
        &mut self,
        subject: &Subject,
        glance: bool,
        plan: Option<Arc<MapPlan>>,
        coarse: bool,
    ) -> bool {
        let Subject { rev, seq, .. } = *subject;
        let stands = plan.as_ref().is_some_and(|plan| self.stands(plan));
        let wanted = plan.clone().filter(|_| !stands);
        let places = wanted.as_ref().map_or(1, |plan| plan.places() as u32);
        let long = self.cost.saturating_mul(places) > AT_ONCE;
        let (wishes, subject) = (self.wishes.clone(), subject.clone());
        let job = move || {
            let step = |_, _| {
                if long && wishes.has_changed().unwrap_or(true) {
                    give_up();
                }
            };
            let frame = || {
                let began = Instant::now();
                let of = MapOf { rev, seq, beside: None, coarse };
                let frame = wire::map_frame(&wanted.as_ref()?.map(&step), of);
                Some((frame, began.elapsed()))
            };
            let live = || {
                let glance = subject.bench.glance(&subject.design);
                glance.map(|glance| words(&subject.live(&glance)))
            };
            rayon::join(|| glance.then(live), frame)
        };
        match self.session.room.crew.quick(job).await {
            Ok((live, frame)) => {
                // First what takes the page no time: with the events the picture is whole.
                if stands {
                    self.out.say(&ToPage::MapStands { rev, seq }).await;
                }
                if let Some((frame, took)) = frame {
                    self.cost = took / places;
                    self.stands = plan.filter(|_| !coarse);
                    self.out.frame(frame).await;
                }
                match live {
                    Some(Ok(words)) => self.out.text(words).await,
                    Some(Err(why)) => self.out.fault(Some(rev), why.to_string()).await,
                    None => (),
                }
            }
            Err(Ended::Unwanted) => return false,
            Err(why) => tell(why, rev, &self.session, &self.out).await,
        }
        true
    }
}

impl Subject {
    /// Nominal events, as the page is told them.
    fn live(&self, glance: &reedmace_engine::Glance) -> ToPage {
        let Self { rev, seq, rough: coarse, .. } = *self;
        ToPage::Live { rev, seq, coarse, glance: Glance::from(glance) }
    }
}

/// A diagnostic as the page's editor marks it.
fn mark(fault: &Diagnostic, text: &str) -> wire::Mark {
    let label = fault.labels.iter().find(|label| label.primary);
    let span = label.map_or(0..0, |label| label.span.clone());
    wire::Mark {
        severity: match fault.severity {
            reedmace_design::Severity::Error => wire::Severity::Error,
            reedmace_design::Severity::Warning => wire::Severity::Warning,
        },
        code: fault.code,
        message: fault.message.clone(),
        label: label.map(|label| label.text.clone()).unwrap_or_default(),
        help: fault.help.clone(),
        from: wire::utf16(text, span.start),
        to: wire::utf16(text, span.end),
        line: line_column(text, span.start).0,
    }
}
