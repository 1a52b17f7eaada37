//! From the newest text, drag and view to what the page shows: newest wins, nothing queues.

use crate::{
    crew::Ended,
    session::{Out, Session},
    wire::{self, ContactGlance, Drawing, EventGlance, Glance, ToPage, View},
};
use reedmace_design::{Design, Diagnostic, line_column};
use reedmace_engine::{MapRequest, Options, Study, answer::ContactAnswer};
use std::{
    sync::{Arc, OnceLock, PoisonError},
    time::Duration,
};
use tokio::{sync::watch, task::JoinSet};

/// The most places a map may have.
const PLACES: usize = 1_000_000;
/// Progress is told so often.
const TELL_EVERY: Duration = Duration::from_millis(200);

/// A text without faults and what is known of it.
#[derive(Debug)]
pub(crate) struct Good {
    /// Which text.
    pub rev: u64,
    /// The design.
    pub design: Design,
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
    /// The map.
    pub view: Option<View>,
}

impl Wish {
    /// A text, and nothing more.
    pub fn of(rev: u64, text: String) -> Self {
        Self { rev, text: text.into(), view: None }
    }

    /// A newer text.
    pub fn read(&mut self, rev: u64, text: String) {
        self.rev = rev;
        self.text = text.into();
    }
}

/// Whether a view is small enough to be computed.
pub(crate) fn within(view: &View) -> Result<(), String> {
    let [across, up] = view.cells;
    if across < 2 || up < 2 || across.saturating_mul(up) > PLACES {
        return Err(format!("a map has from 2 x 2 to {PLACES} places"));
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
    work.spawn(pictures(session.clone(), wishes, answerable, out.clone()));
    work.spawn(answers(session.clone(), to_answer, out.clone()));
}

/// Shows each newest wish.
async fn pictures(
    session: Arc<Session>,
    mut wishes: watch::Receiver<Wish>,
    answerable: watch::Sender<Option<Arc<Good>>>,
    out: Out,
) {
    let mut shown: Option<u64> = None;
    wishes.mark_changed();
    while wishes.changed().await.is_ok() {
        let wish = wishes.borrow_and_update().clone();
        if shown != Some(wish.rev) {
            shown = Some(wish.rev);
            let good = design(&session, &wish, &out).await;
            answerable.send_replace(good);
        }
        let good = answerable.borrow().clone();
        let (Some(good), Some(view)) = (good, wish.view) else { continue };
        if view.map && view.contact < good.design.contacts.len() {
            map(&session, &good, &view, &out).await;
        }
    }
}

/// Reads a text and tells what it is.
async fn design(session: &Arc<Session>, wish: &Wish, out: &Out) -> Option<Arc<Good>> {
    let (room, text) = (session.room.clone(), wish.text.clone());
    let parsed = session.room.crew.quick(move || room.parse(&text)).await;
    let parsed = match parsed {
        Ok(parsed) => parsed,
        Err(why) => {
            tell(why, wish.rev, out).await;
            return None;
        }
    };
    let (good, found) = match parsed {
        Ok((design, warnings)) => {
            (Some(Arc::new(Good { rev: wish.rev, design, study: OnceLock::new() })), warnings)
        }
        Err(faults) => (None, faults),
    };
    let study = match &good {
        Some(good) => {
            let (good, name) = (good.clone(), session.name.clone());
            let options = Options { units: 0, ..Options::default() };
            let job = move || reedmace_engine::check(&good.design, &name, &options, &|_, _| ());
            match session.room.crew.quick(job).await {
                Ok(Ok(study)) => Some(study),
                Ok(Err(why)) => {
                    out.fault(Some(wish.rev), why.to_string()).await;
                    None
                }
                Err(why) => {
                    tell(why, wish.rev, out).await;
                    None
                }
            }
        }
        None => None,
    };
    let said = ToPage::Design {
        rev: wish.rev,
        diagnostics: found.iter().map(|fault| mark(fault, &wish.text)).collect(),
        form: None,
        drawing: study.as_ref().map(|study| Drawing::from(&study.drawing)),
        title: good.as_ref().map(|good| good.design.title.clone()),
    };
    out.say(&said).await;
    if let Some(study) = &study {
        out.say(&ToPage::Live { rev: wish.rev, seq: None, glance: glance(study) }).await;
    }
    if good.is_some() {
        *session.good.lock().unwrap_or_else(PoisonError::into_inner) = good.clone();
    }
    good
}

/// Computes and sends a map.
async fn map(session: &Arc<Session>, good: &Arc<Good>, view: &View, out: &Out) {
    let request = MapRequest {
        plane: view.plane.into(),
        offset: view.offset.map(|mm| mm * 1e-3),
        extent: view.extent.map(|ends| ends.map(|mm| mm * 1e-3)),
        cells: view.cells,
        contact: view.contact,
    };
    let wanted = good.clone();
    let job = move || {
        let map = reedmace_engine::map(&wanted.design, &request, &|_, _| ())?;
        Ok::<_, reedmace_engine::EngineError>(wire::frame(&map, wanted.rev, None, false))
    };
    match session.room.crew.quick(job).await {
        Ok(Ok(frame)) => out.frame(frame).await,
        Ok(Err(why)) => out.fault(Some(good.rev), why.to_string()).await,
        Err(why) => tell(why, good.rev, out).await,
    }
}

/// Answers each newest text in full.
async fn answers(session: Arc<Session>, mut texts: watch::Receiver<Option<Arc<Good>>>, out: Out) {
    while texts.changed().await.is_ok() {
        let Some(good) = texts.borrow_and_update().clone() else { continue };
        let (asked, name, newer) = (good.clone(), session.name.clone(), texts.clone());
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
            }
            Ok(Err(why)) => out.fault(Some(good.rev), why.to_string()).await,
            Err(why) => tell(why, good.rev, &out).await,
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
