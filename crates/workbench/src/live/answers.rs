//! Long work: the whole answer, fine maps beside steel, regions in space.

use super::{Good, request, tell};
use crate::{
    crew::Ended,
    desk::Session,
    session::Out,
    wire::{self, Glance, MapOf, ToPage, View},
};
use reedmace_engine::{EngineError, Options, Study};
use std::{sync::Arc, time::Duration};
use tokio::sync::watch;

/// Progress is told so often.
const TELL_EVERY: Duration = Duration::from_millis(200);
/// Places at which a region in space is computed.
pub(crate) const REGION_PLACES: usize = 60_000;

/// Answers each newest text in full.
pub(super) async fn answers(
    session: Arc<Session>,
    mut texts: watch::Receiver<Option<Arc<Good>>>,
    out: Out,
) {
    while texts.changed().await.is_ok() {
        let Some(good) = texts.borrow_and_update().clone() else { continue };
        if good.has_steel() {
            let (design, bench) = (good.design.clone(), session.room.bench());
            let glanced = long(&session, good.rev, "glance", &texts, &out, move |step| {
                step(0, 1);
                bench.glance(&design)
            });
            match glanced.await {
                Ok(Ok(glance)) => {
                    let (rev, glance) = (good.rev, Glance::from(&glance));
                    out.say(&ToPage::Live { rev, seq: None, coarse: false, glance }).await;
                }
                // The check meets it again and tells.
                Ok(Err(_)) => (),
                Err(why) => tell(why, good.rev, &session, &out).await,
            }
        }
        let answered = good.study.get_or_try_init(|| async {
            let (design, bench, name) = (good.design.clone(), session.room.bench(), session.name());
            let checked = long(&session, good.rev, "answer", &texts, &out, move |step| {
                bench.check(&design, &name, &Options::default(), step)
            });
            match checked.await {
                Ok(Ok(study)) => return Ok(Arc::new(study)),
                Ok(Err(why)) => out.fault(Some(good.rev), why.to_string()).await,
                Err(why) => tell(why, good.rev, &session, &out).await,
            }
            Err(())
        });
        if let Ok(study) = answered.await {
            let answer = Box::new(study.answer.clone());
            out.say(&ToPage::Answer { rev: good.rev, answer }).await;
            regions(&session, &good, study, &texts, &out).await;
        }
    }
}

/// Makes fine maps of what only a rough one was shown of.
pub(super) async fn maps(
    session: Arc<Session>,
    mut asked: watch::Receiver<Option<(Arc<Good>, View)>>,
    out: Out,
) {
    while asked.changed().await.is_ok() {
        let Some((good, view)) = asked.borrow_and_update().clone() else { continue };
        let (design, bench, rev) = (good.design.clone(), session.room.bench(), good.rev);
        let mapped = long(&session, rev, "map", &asked, &out, move |step| {
            let map = bench.map(&design, &request(&view, &design), step)?;
            Ok::<_, EngineError>(wire::map_frame(&map, MapOf { rev, ..MapOf::default() }))
        });
        match mapped.await {
            Ok(Ok(frame)) => out.frame(frame).await,
            Ok(Err(why)) => out.fault(Some(rev), why.to_string()).await,
            Err(why) => tell(why, rev, &session, &out).await,
        }
    }
}

/// Sends each contact's region in space.
async fn regions(
    session: &Session,
    good: &Good,
    study: &Study,
    texts: &watch::Receiver<Option<Arc<Good>>>,
    out: &Out,
) {
    for (contact, shown) in study.drawing.contacts.iter().enumerate() {
        // Steel that passes a contact is solved anew at every place: too long for a picture.
        if study.drawing.steel.iter().any(|steel| steel.moves != shown.moves) {
            continue;
        }
        let (design, bench, rev) = (good.design.clone(), session.room.bench(), good.rev);
        let bench = if good.has_steel() { bench.coarse() } else { bench };
        let found = long(session, rev, "region", texts, out, move |step| {
            let region = bench.region(&design, contact, REGION_PLACES, step)?;
            Ok::<_, EngineError>(wire::region_frame(&region, rev))
        });
        match found.await {
            Ok(Ok(frame)) => out.frame(frame).await,
            // Nothing moves, so there is no region.
            Ok(Err(EngineError::NoMap(_))) => return,
            Ok(Err(why)) => out.fault(Some(rev), why.to_string()).await,
            Err(why) => return tell(why, rev, session, out).await,
        }
    }
}

/// Long work that tells how far it is, and is given up when something newer is asked.
async fn long<T: Send + 'static, N: Clone + Send + Sync + 'static>(
    session: &Session,
    rev: u64,
    what: &'static str,
    asked: &watch::Receiver<N>,
    out: &Out,
    work: impl FnOnce(&(dyn Fn(u64, u64) + Sync)) -> T + Send + 'static,
) -> Result<T, Ended> {
    let newer = asked.clone();
    let wanted = move || matches!(newer.has_changed(), Ok(false));
    let (done, told) = watch::channel((0, 0));
    let progress = tokio::spawn(progress(rev, what, told, out.clone()));
    let job = move |pause: &(dyn Fn() + Sync)| {
        work(&|step, of| {
            pause();
            done.send_replace((step, of));
        })
    };
    let ended = session.room.crew.steady(wanted, job).await;
    progress.abort();
    ended
}

/// Tells now and then how far the answer is.
async fn progress(rev: u64, what: &'static str, mut told: watch::Receiver<(u64, u64)>, out: Out) {
    loop {
        tokio::time::sleep(TELL_EVERY).await;
        if told.changed().await.is_err() {
            return;
        }
        let (done, of) = *told.borrow_and_update();
        out.say(&ToPage::Progress { rev, what, done, of }).await;
    }
}
