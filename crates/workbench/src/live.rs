//! From the newest text, drag and view to what the page shows: newest wins, nothing queues.

use crate::{
    crew::{Ended, give_up},
    desk::{self, Refusal, Session, locked},
    form,
    session::Out,
    wire::{self, ContactGlance, Drawing, EventGlance, Glance, Move, ToPage, View},
};
use reedmace_design::{Design, Diagnostic, line_column};
use reedmace_engine::{Bench, EngineError, MapRequest, Options, Study, answer::ContactAnswer};
use std::{
    sync::{Arc, OnceLock},
    time::{Duration, Instant},
};
use tokio::{sync::watch, task::JoinSet};

/// A map that takes no longer is computed at once, and never given up.
const AT_ONCE: Duration = Duration::from_millis(25);
/// The share of a map's places that a first one has, when nothing is known of what it takes.
const UNKNOWN: f64 = 1.0 / 16.0;
/// A coarse map has at least so many places across and up.
const FEWEST: usize = 12;
/// The most places a map may have.
const PLACES: usize = 1_000_000;
/// Places of a region in space, about.
const REGION: usize = 60_000;
/// Progress is told so often.
const TELL_EVERY: Duration = Duration::from_millis(200);

/// A text without faults and what is known of it.
#[derive(Debug)]
pub(crate) struct Good {
    /// Which text.
    pub rev: u64,
    /// The design.
    pub design: Arc<Design>,
    /// The whole answer, once there is one.
    pub study: OnceLock<Arc<Study>>,
}

/// What the page wants to see now.
#[derive(Debug, Clone)]
pub(crate) struct Wish {
    /// Which text.
    pub rev: u64,
    /// The text.
    pub text: Arc<str>,
    /// Counts up when the same text must be read again: a file it names has changed.
    pub again: u64,
    /// A body held elsewhere.
    pub drag: Option<Drag>,
    /// The map.
    pub view: Option<View>,
}

/// A body held elsewhere than the text puts it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drag {
    /// Which drag.
    pub seq: u64,
    /// What, and where.
    pub place: Move,
}

impl Wish {
    /// A text, and nothing more.
    pub fn of(rev: u64, text: String) -> Self {
        Self { rev, text: text.into(), again: 0, drag: None, view: None }
    }

    /// A newer text; it ends a drag.
    pub fn read(&mut self, rev: u64, text: String) {
        self.rev = rev;
        self.text = text.into();
        self.drag = None;
    }
}

/// Whether a view is small enough to be computed.
pub(crate) fn within(view: &View) -> Result<(), String> {
    let [across, up] = view.cells;
    if across < 2 || up < 2 || across.saturating_mul(up) > PLACES {
        return Err(format!("a map has from 2 x 2 to {PLACES} places"));
    }
    let finite = view.offset.into_iter().chain(view.extent.into_iter().flatten());
    if !{ finite }.all(|v| v.is_finite() && v.abs() < 1e6) {
        return Err("a map reaches less than a kilometre".into());
    }
    Ok(())
}

/// Begins the work of a session.
pub(crate) fn begin(
    work: &mut JoinSet<()>,
    session: &Arc<Session>,
    wishes: watch::Receiver<Wish>,
    out: &Out,
) {
    let (answerable, to_answer) = watch::channel(None);
    let painter = Painter {
        session: session.clone(),
        wishes,
        answerable,
        out: out.clone(),
        read: None,
        good: None,
        glanced: None,
        mapped: None,
        cost: Duration::ZERO,
    };
    work.spawn(painter.paint());
    work.spawn(answers(session.clone(), to_answer, out.clone()));
}

/// Shows each newest wish; one at a time, so that nothing queues.
struct Painter {
    session: Arc<Session>,
    wishes: watch::Receiver<Wish>,
    answerable: watch::Sender<Option<Arc<Good>>>,
    out: Out,
    /// The text last read.
    read: Option<(u64, u64)>,
    /// It, if it has no faults.
    good: Option<Arc<Good>>,
    /// The text and drag last glanced at.
    glanced: Option<(u64, u64, Option<u64>)>,
    /// The text, drag and view last mapped.
    mapped: Option<(u64, u64, Option<u64>, View)>,
    /// What one place of the last map took.
    cost: Duration,
}

impl Painter {
    async fn paint(mut self) {
        self.wishes.mark_changed();
        while self.wishes.changed().await.is_ok() {
            let wish = self.wishes.borrow_and_update().clone();
            if self.read != Some((wish.rev, wish.again)) {
                self.read = Some((wish.rev, wish.again));
                self.cost = Duration::ZERO;
                self.good = self.design(&wish).await;
            }
            let Some(good) = self.good.clone() else { continue };
            let seq = wish.drag.as_ref().map(|drag| drag.seq);
            let design = match &wish.drag {
                None => good.design.clone(),
                Some(drag) => match desk::moved(&good, &drag.place) {
                    Ok(placed) => Arc::new(placed.design),
                    Err(Refusal(why)) => {
                        self.out.fault(Some(wish.rev), why).await;
                        continue;
                    }
                },
            };
            let mapping = (wish.rev, wish.again, seq);
            if let Some(view) = wish.view.filter(|view| view.map)
                && view.contact < design.contacts.len()
            {
                let (rev, again, seq) = mapping;
                let wanted = Some((rev, again, seq, view.clone()));
                if self.mapped != wanted && self.map(&design, rev, seq, &view).await {
                    self.mapped = wanted;
                }
            }
            if self.glanced != Some(mapping) && self.glance(&design, wish.rev, seq).await {
                self.glanced = Some(mapping);
            }
        }
    }

    /// True while nothing newer is wished for.
    fn newest(&self) -> impl Fn() -> bool + Send + Sync + 'static {
        let wishes = self.wishes.clone();
        move || matches!(wishes.has_changed(), Ok(false))
    }

    /// Reads a text and tells what it is.
    async fn design(&mut self, wish: &Wish) -> Option<Arc<Good>> {
        let (session, text) = (self.session.clone(), wish.text.clone());
        let job = move || {
            let room = &session.room;
            let form = form::form(&text, &room.catalogue, &room.grades);
            (room.parse(&text), form)
        };
        let (parsed, form) = match self.session.room.crew.quick(job).await {
            Ok(done) => done,
            Err(why) => {
                tell(why, wish.rev, &self.out).await;
                self.answerable.send_replace(None);
                return None;
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
        let drawing = match &design {
            Some(design) => self.drawing(design, wish.rev).await,
            None => None,
        };
        let good =
            design.map(|design| Arc::new(Good { rev: wish.rev, design, study: OnceLock::new() }));
        let said = ToPage::Design {
            rev: wish.rev,
            diagnostics: found.iter().map(|fault| mark(fault, &wish.text)).collect(),
            form,
            drawing,
            title: good.as_ref().map(|good| good.design.title.clone()),
        };
        if good.is_some() {
            *locked(&self.session.good) = good.clone();
        }
        self.out.say(&said).await;
        self.answerable.send_replace(good.clone());
        good
    }

    /// Where everything is.
    async fn drawing(&self, design: &Arc<Design>, rev: u64) -> Option<Drawing> {
        let (design, name) = (design.clone(), self.session.name());
        let newest = self.newest();
        let job = move || {
            let options = Options { units: 0, ..Options::default() };
            let step = |_, _| {
                if !newest() {
                    give_up()
                }
            };
            reedmace_engine::check(&design, &name, &options, &step)
        };
        match self.session.room.crew.quick(job).await {
            Ok(Ok(study)) => Some(Drawing::from(&study.drawing)),
            Ok(Err(why)) => {
                self.out.fault(Some(rev), why.to_string()).await;
                None
            }
            Err(why) => {
                tell(why, rev, &self.out).await;
                None
            }
        }
    }

    /// Nominal events and drives; false when something newer came first.
    async fn glance(&self, design: &Arc<Design>, rev: u64, seq: Option<u64>) -> bool {
        let (design, name) = (design.clone(), self.session.name());
        let newest = self.newest();
        let job = move || {
            let options = Options { units: 0, ..Options::default() };
            let step = |_, _| {
                if !newest() {
                    give_up()
                }
            };
            reedmace_engine::check(&design, &name, &options, &step)
        };
        match self.session.room.crew.quick(job).await {
            Ok(Ok(study)) => self.out.say(&ToPage::Live { rev, seq, glance: glance(&study) }).await,
            Ok(Err(why)) => self.out.fault(Some(rev), why.to_string()).await,
            Err(Ended::Unwanted) => return false,
            Err(why) => tell(why, rev, &self.out).await,
        }
        true
    }

    /// A map, a coarse one first if it will take long; false when something newer came first.
    async fn map(&mut self, design: &Arc<Design>, rev: u64, seq: Option<u64>, view: &View) -> bool {
        let places = view.cells[0] * view.cells[1];
        let expected = self.cost.mul_f64(places as f64);
        let known = self.cost > Duration::ZERO;
        if !known || expected > AT_ONCE {
            let share =
                if known { AT_ONCE.as_secs_f64() / expected.as_secs_f64() } else { UNKNOWN };
            let thin = |n: usize| ((n as f64 * share.sqrt()) as usize).clamp(FEWEST.min(n), n);
            let cells = view.cells.map(thin);
            if cells != view.cells {
                let coarse = View { cells, ..view.clone() };
                if !self.one_map(design, rev, seq, &coarse, true).await {
                    return true;
                }
                if self.wishes.has_changed().unwrap_or(true) {
                    return false;
                }
            }
        }
        let expected = self.cost.mul_f64(places as f64);
        self.one_map(design, rev, seq, view, false).await || expected <= AT_ONCE
    }

    /// One map. A fine one that takes long ends when something newer comes; true when it was sent.
    async fn one_map(
        &mut self,
        design: &Arc<Design>,
        rev: u64,
        seq: Option<u64>,
        view: &View,
        coarse: bool,
    ) -> bool {
        let request = MapRequest {
            plane: view.plane.into(),
            offset: view.offset.map(|mm| mm * 1e-3),
            extent: view.extent.map(|ends| ends.map(|mm| mm * 1e-3)),
            cells: view.cells,
            contact: view.contact,
        };
        let places = (view.cells[0] * view.cells[1]) as u32;
        let long = self.cost.saturating_mul(places) > AT_ONCE;
        let (design, newest) = (design.clone(), self.newest());
        let job = move || {
            let began = Instant::now();
            let step = |_, _| {
                if !coarse && long && !newest() {
                    give_up()
                }
            };
            let map = reedmace_engine::map(&design, &request, &step)?;
            let frame = wire::frame(&map, rev, seq, coarse);
            Ok::<_, EngineError>((frame, began.elapsed()))
        };
        match self.session.room.crew.quick(job).await {
            Ok(Ok((frame, took))) => {
                self.cost = took / places;
                self.out.frame(frame).await;
                return true;
            }
            Ok(Err(EngineError::NoMap(_))) => (),
            Ok(Err(why)) => self.out.fault(Some(rev), why.to_string()).await,
            Err(why) => tell(why, rev, &self.out).await,
        }
        false
    }
}

/// Answers each newest text in full.
async fn answers(session: Arc<Session>, mut texts: watch::Receiver<Option<Arc<Good>>>, out: Out) {
    while texts.changed().await.is_ok() {
        let Some(good) = texts.borrow_and_update().clone() else { continue };
        let (asked, name, newer) = (good.clone(), session.name(), texts.clone());
        let wanted = move || matches!(newer.has_changed(), Ok(false));
        let (done, told) = watch::channel((0, 0));
        let progress = tokio::spawn(progress(good.rev, told, out.clone()));
        let job = move |pause: &(dyn Fn() + Sync)| {
            let step = |step, of| {
                pause();
                done.send_replace((step, of));
            };
            reedmace_engine::check(&asked.design, &name, &Options::default(), &step)
        };
        let answered = session.room.crew.steady(wanted, job).await;
        progress.abort();
        match answered {
            Ok(Ok(study)) => {
                let study = Arc::new(study);
                let _ = good.study.set(study.clone());
                let answer = Box::new(study.answer.clone());
                out.say(&ToPage::Answer { rev: good.rev, answer }).await;
                regions(&session, &good, &study, &texts, &out).await;
            }
            Ok(Err(why)) => out.fault(Some(good.rev), why.to_string()).await,
            Err(why) => tell(why, good.rev, &out).await,
        }
    }
}

/// Sends each contact's region in space, once nothing else is wanted.
async fn regions(
    session: &Arc<Session>,
    good: &Arc<Good>,
    study: &Study,
    texts: &watch::Receiver<Option<Arc<Good>>>,
    out: &Out,
) {
    for (contact, shown) in study.drawing.contacts.iter().enumerate() {
        // Steel that passes a contact is solved anew at every place: too long for a picture.
        if study.drawing.steel.iter().any(|steel| steel.moves != shown.moves) {
            continue;
        }
        let (asked, newer) = (good.clone(), texts.clone());
        let wanted = move || matches!(newer.has_changed(), Ok(false));
        let job = move |pause: &(dyn Fn() + Sync)| {
            let region =
                Bench::default().region(&asked.design, contact, REGION, &|_, _| pause())?;
            Ok::<_, EngineError>(wire::region_frame(&region, asked.rev))
        };
        match session.room.crew.steady(wanted, job).await {
            Ok(Ok(frame)) => out.frame(frame).await,
            // Nothing moves, so there is no region.
            Ok(Err(EngineError::NoMap(_))) => return,
            Ok(Err(why)) => out.fault(Some(good.rev), why.to_string()).await,
            Err(why) => return tell(why, good.rev, out).await,
        }
    }
}

/// Tells now and then how far the answer is.
async fn progress(rev: u64, mut told: watch::Receiver<(u64, u64)>, out: Out) {
    loop {
        tokio::time::sleep(TELL_EVERY).await;
        if told.changed().await.is_err() {
            return;
        }
        let (done, of) = *told.borrow_and_update();
        out.say(&ToPage::Progress { rev, what: "answer", done, of }).await;
    }
}

async fn tell(why: Ended, rev: u64, out: &Out) {
    if let Ended::Broken(why) = why {
        let message =
            format!("Reedmace has met a fault of its own; your design is not to blame: {why}");
        out.fault(Some(rev), message).await;
    }
}

/// The nominal events and drives of a study.
fn glance(study: &Study) -> Glance {
    Glance {
        unit: study.answer.sweep.unit.clone(),
        contacts: study.answer.contacts.iter().map(contact_glance).collect(),
        drawing: Drawing::from(&study.drawing),
    }
}

fn contact_glance(contact: &ContactAnswer) -> ContactGlance {
    let column =
        |f: fn(&reedmace_engine::answer::TraceRow) -> f64| contact.trace.iter().map(f).collect();
    let level = |band: &reedmace_engine::answer::Band| {
        [band.low, band.value.unwrap_or(band.low), band.high]
    };
    ContactGlance {
        name: contact.name.clone(),
        coordinate: column(|row| row.coordinate),
        drive_open: column(|row| row.drive_open),
        drive_closed: column(|row| row.drive_closed),
        operate: level(&contact.operate),
        release: level(&contact.release),
        events: contact
            .events
            .iter()
            .filter_map(|event| {
                Some(EventGlance {
                    kind: event.kind,
                    pass: event.direction,
                    at: event.at.value?,
                    lobe: event.lobe,
                    main_lobe: event.main_lobe,
                })
            })
            .collect(),
        closed_at_start: contact.closed_at_start,
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
