//! From the newest text, drag and view to what the page shows: newest wins, nothing queues.
//!
//! Pictures are made by the quick crew, one at a time. Long work (the whole answer, regions in space,
//! fine maps beside steel, spread studies, designs shown beside the text's own) is left to the steady crew,
//! which stands still while a picture is made, and a search to the patient one, which stands still for both.

mod answers;
mod besides;
mod pictures;
mod searches;
mod studies;

pub(crate) use answers::REGION_PLACES;
pub(crate) use besides::Beside;
pub(crate) use searches::Search;
pub(crate) use studies::{Held, Size, Wanted};

use crate::{
    crew::Ended,
    desk::Session,
    session::Out,
    wire::{Move, View},
};
use reedmace_design::Design;
use reedmace_engine::{MapRequest, Study};
use std::sync::Arc;
use tokio::{
    sync::{OnceCell, watch},
    task::JoinSet,
};

/// The most places a map may have.
const PLACES: usize = 1_000_000;

/// A text without faults and what is known of it.
#[derive(Debug)]
pub(crate) struct Good {
    /// Which text.
    pub rev: u64,
    /// The design.
    pub design: Arc<Design>,
    /// The whole answer, once there is one.
    pub study: OnceCell<Arc<Study>>,
}

impl Good {
    /// True when a body of steel makes everything take longer.
    fn has_steel(&self) -> bool {
        !self.design.steel.is_empty()
    }
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

/// What the page asks for besides pictures.
#[derive(Debug, Clone)]
pub(crate) struct Asked {
    /// Spread studies.
    pub studies: watch::Receiver<Wanted>,
    /// A search.
    pub search: watch::Receiver<Search>,
    /// A design beside the text's own.
    pub beside: watch::Receiver<Option<Beside>>,
}

/// Begins the work of a session.
pub(crate) fn begin(
    work: &mut JoinSet<()>,
    session: &Arc<Session>,
    wishes: watch::Receiver<Wish>,
    asked: Asked,
    out: &Out,
) {
    let (texts, to_answer) = watch::channel(None);
    let [to_study, to_search, to_vary] = [0; 3].map(|_| texts.subscribe());
    let (maps, to_refine) = watch::channel(None);
    let looks = wishes.clone();
    let painter = pictures::Painter::new(session, wishes, texts, maps, out);
    work.spawn(painter.paint());
    work.spawn(answers::answers(session.clone(), to_answer, out.clone()));
    work.spawn(answers::maps(session.clone(), to_refine, out.clone()));
    work.spawn(studies::studies(session.clone(), to_study, asked.studies, out.clone()));
    work.spawn(searches::searches(session.clone(), to_search, asked.search, out.clone()));
    work.spawn(besides::besides(session.clone(), to_vary, looks, asked.beside, out.clone()));
}

/// What the engine is asked for a view of a design.
pub(crate) fn request(view: &View, design: &Design) -> MapRequest {
    let asked = MapRequest {
        plane: view.plane.into(),
        offset: view.offset.map(|mm| mm * 1e-3),
        extent: view.extent.map(|ends| ends.map(|mm| mm * 1e-3)),
        cells: view.cells,
        contact: view.contact,
    };
    asked.eased(design)
}

/// Tells why work has no result, unless nobody wants it.
async fn tell(why: Ended, rev: u64, session: &Session, out: &Out) {
    if let Ended::Broken(why) = why {
        session.room.clear_bench();
        let message =
            format!("Reedmace has met a fault of its own; your design is not to blame: {why}");
        out.fault(Some(rev), message).await;
    }
}
