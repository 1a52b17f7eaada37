//! A design open in a page: its text, its file, what is asked of them.

use crate::{
    edits::{self, EditError, New, Splice},
    form,
    live::{self, Asked, Beside, Drag, Good, Held, Search, Size, Wanted, Wish},
    paper::{Paper, called, fetch},
    room::Room,
    session::Out,
    wire::{FromPage, Move, Open, ToPage, View},
};
use reedmace_engine::{Movable, answer::ChosenValue, place};
use std::{
    io,
    path::PathBuf,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    time::Duration,
};
use tokio::{
    sync::{broadcast, watch},
    task::JoinSet,
};

/// Unsaved edits are kept so long after they were made.
const KEEP_AFTER: Duration = Duration::from_millis(400);
/// Editors save in several steps; files are quiet for so long before they are read.
const QUIET: Duration = Duration::from_millis(80);

/// A page with a design open.
#[derive(Debug)]
pub(crate) struct Session {
    /// Its name in addresses.
    pub id: String,
    /// The newest text without faults.
    pub good: Mutex<Option<Arc<Good>>>,
    /// Files the newest text names.
    pub named: Mutex<Vec<PathBuf>>,
    /// What is looked at.
    pub view: Mutex<Option<View>>,
    /// What is shared with other sessions.
    pub room: Arc<Room>,
    paper: Mutex<Paper>,
}

impl Session {
    /// The newest text without faults.
    pub fn good(&self) -> Option<Arc<Good>> {
        locked(&self.good).clone()
    }

    /// What is looked at.
    pub fn view(&self) -> Option<View> {
        locked(&self.view).clone()
    }

    /// What answers call the design.
    pub fn name(&self) -> String {
        locked(&self.paper).name.clone()
    }
}

/// A lock whose holder may have given up half-way: what it guards is whole all the same.
pub(crate) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A session with what works for it; the work ends when it is dropped.
pub(crate) struct Desk {
    session: Arc<Session>,
    wishes: watch::Sender<Wish>,
    wanted: watch::Sender<Wanted>,
    search: watch::Sender<Search>,
    beside: watch::Sender<Option<Beside>>,
    out: Out,
    outside: broadcast::Receiver<PathBuf>,
    changed: Vec<PathBuf>,
    work: JoinSet<()>,
}

impl Desk {
    /// Opens a design and begins to work for it, in the place of an `old` one, which stays if it cannot
    /// be opened.
    pub async fn open(
        room: &Arc<Room>,
        out: &Out,
        what: &Open,
        old: &mut Option<Self>,
    ) -> Result<Self, String> {
        if let Some(old) = old {
            old.note();
        }
        let (paper, text) = fetch(room, what)?;
        // Nothing about the old design is told after the new one was.
        if let Some(old) = old.take() {
            old.close().await;
        }
        let recovered =
            paper.saved.as_ref().is_some_and(|saved| *saved != text) || what.unsaved.is_some();
        let opened = |session: &Session| ToPage::Opened {
            session: session.id.clone(),
            file: paper.file.clone(),
            name: paper.name.clone(),
            text: text.clone(),
            saved: paper.saved.clone().filter(|_| recovered),
            recovered,
        };
        let session = Arc::new(Session {
            id: crate::gate::random_hex().map_err(|why| why.to_string())?,
            good: Mutex::default(),
            named: Mutex::default(),
            view: Mutex::default(),
            room: room.clone(),
            paper: Mutex::new(paper.clone()),
        });
        room.enter(&session);
        if let Some(file) = &paper.file {
            // The order of a list is not worth a fault.
            let _ = room.recent.note(file);
        }
        let outside = room.outside.listen();
        out.say(&opened(&session)).await;
        let (wishes, wished) = watch::channel(Wish::of(0, text.clone()));
        let (wanted, studies) = watch::channel(Wanted::default());
        let (search, searched) = watch::channel(Search::default());
        let (beside, varied) = watch::channel(None);
        let asked = Asked { studies, search: searched, beside: varied };
        let mut work = JoinSet::new();
        work.spawn(keep(session.clone(), wished.clone(), out.clone()));
        live::begin(&mut work, &session, wished, asked, out);
        let out = out.clone();
        let changed = Vec::new();
        Ok(Self { session, wishes, wanted, search, beside, out, outside, changed, work })
    }

    /// Keeps what is not saved.
    fn note(&self) {
        // Nobody is left to be told that it failed.
        let _ = note(&self.session, &self.wishes.borrow().text);
    }

    /// Whether this design's edits are kept under a key.
    pub fn keeps(&self, key: &str) -> bool {
        locked(&self.session.paper).key == key
    }

    /// Keeps what is not saved and ends the work.
    pub async fn close(mut self) {
        self.note();
        self.work.shutdown().await;
    }

    /// Does what the page asks.
    pub async fn hear(&mut self, said: FromPage) {
        match said {
            FromPage::Text { rev, text } => self.wishes.send_modify(|wish| wish.read(rev, text)),
            FromPage::View(view) => match live::within(&view) {
                Ok(()) => {
                    *locked(&self.session.view) = Some(view.clone());
                    self.wishes.send_modify(|wish| wish.view = Some(view));
                }
                Err(why) => self.out.fault(None, why).await,
            },
            FromPage::Drag { rev, seq, place } => self.wishes.send_modify(|wish| {
                if wish.rev == rev {
                    wish.drag = Some(Drag { seq, place });
                }
            }),
            FromPage::Drop { rev, place } => {
                self.patch(rev, "drop", |desk, text| desk.dropped(rev, text, &place)).await;
            }
            FromPage::Set { rev, path, value, raw } => {
                self.patch(rev, "set", |desk, text| desk.set(text, &path, value.as_deref(), raw))
                    .await;
            }
            FromPage::Add { rev, table } => {
                let room = self.session.room.clone();
                let sound = move |text: &str| room.parse(text).result.is_ok();
                self.patch(rev, "add", |_, text| Ok(edits::add(text, &table, &sound)?)).await;
            }
            FromPage::Remove { rev, path } => {
                self.patch(rev, "remove", |_, text| Ok(edits::remove(text, &path)?)).await;
            }
            FromPage::Spread { units, seed } => {
                match units.map(|units| Size::of(units, seed)).transpose() {
                    Ok(study) => self.wanted.send_modify(|wanted| wanted.study = study),
                    Err(why) => self.out.fault(None, why).await,
                }
            }
            FromPage::Hold { rev, seq, path, times } => {
                let held = times.map(|times| Held { rev, seq, path, times });
                self.wanted.send_modify(|wanted| wanted.held = held);
            }
            FromPage::Tolerance { rev, path, times } => {
                self.patch(rev, "tolerance", |desk, text| desk.widen(text, &path, times)).await;
            }
            FromPage::Choose { rev, go } => {
                self.search.send_modify(|search| search.ask(go.then_some(rev)));
            }
            FromPage::Beside { seq, values } => {
                self.beside.send_replace(values.map(|values| Beside { seq, values }));
            }
            FromPage::Take { rev, values } => {
                self.patch(rev, "take", |desk, text| taken(&desk.session.room, text, &values))
                    .await;
            }
            FromPage::Save { rev, over, name } => self.save(rev, over, name).await,
            FromPage::Open(_) | FromPage::Forget { .. } => (),
        }
    }

    /// Answers with changes of the text.
    async fn patch(
        &self,
        rev: u64,
        why: &'static str,
        edit: impl FnOnce(&Self, &str) -> Result<Vec<Splice>, Refusal>,
    ) {
        let Some(text) = self.text_of(rev).await else { return };
        match edit(self, &text) {
            Ok(splices) => {
                let changes = edits::changes(&text, splices);
                self.out.say(&ToPage::Patch { rev, changes, why }).await;
            }
            Err(Refusal(why)) => self.out.fault(Some(rev), why).await,
        }
    }

    /// The text of a revision, if it is the newest.
    async fn text_of(&self, rev: u64) -> Option<Arc<str>> {
        let text = {
            let wish = self.wishes.borrow();
            (wish.rev == rev).then(|| wish.text.clone())
        };
        if text.is_none() {
            self.out.fault(Some(rev), "the text has changed since; nothing was done").await;
        }
        text
    }

    fn set(
        &self,
        text: &str,
        path: &str,
        value: Option<&str>,
        raw: bool,
    ) -> Result<Vec<Splice>, Refusal> {
        let catalogue = &self.session.room.catalogue;
        let Some(value) = value else { return Ok(edits::remove(text, path)?) };
        let toml = if raw { value.into() } else { form::toml_of(text, path, value, catalogue) };
        let rest = |path: &str| form::rest(text, path, catalogue);
        Ok(edits::set(text, &[New { path: path.into(), toml }], &rest)?)
    }

    fn dropped(&self, rev: u64, text: &str, to: &Move) -> Result<Vec<Splice>, Refusal> {
        let good = self.session.good().filter(|good| good.rev == rev);
        let good = good.ok_or(Refusal("the design has faults; mend them first".into()))?;
        let placed = moved(&good, to)?;
        let new = placed
            .changes
            .into_iter()
            .map(|(path, text)| New { path, toml: toml_edit::Value::from(text).to_string() });
        let new: Vec<New> = new.collect();
        let rest = |path: &str| form::rest(text, path, &self.session.room.catalogue);
        Ok(edits::set(text, &new, &rest)?)
    }

    fn widen(&self, text: &str, path: &str, times: f64) -> Result<Vec<Splice>, Refusal> {
        let stated = tolerance(&self.session, text, path, times)?;
        splices(&self.session, text, path, &stated)
    }

    async fn save(&mut self, rev: u64, over: bool, name: Option<String>) {
        let Some(text) = self.text_of(rev).await else { return };
        let mut paper = locked(&self.session.paper).clone();
        let elsewhere = name.is_some() && name != paper.file;
        let Some(file) = name.or(paper.file.clone()) else {
            self.out.fault(Some(rev), "the design has no file yet; say under which name").await;
            return;
        };
        let file = if file.ends_with(".toml") { file } else { format!("{file}.toml") };
        let room = self.session.room.clone();
        let there = match room.folder.read_text(&file) {
            Ok(there) => Some(there),
            Err(why) if why.kind() == io::ErrorKind::NotFound => None,
            Err(why) => return self.out.fault(Some(rev), format!("{file}: {why}")).await,
        };
        let known = if elsewhere { None } else { paper.saved.clone() };
        if !over && there != known && there.as_deref() != Some(&*text) {
            return self.out.say(&ToPage::Conflict { text: there }).await;
        }
        if let Err(why) = room.folder.write(&file, &text) {
            return self.out.fault(Some(rev), format!("{file}: {why}")).await;
        }
        room.journal.forget(&paper.key);
        paper.key = room.journal.key_of(&file);
        let name = called(&file);
        if name != paper.name {
            // The answer names its design.
            self.wishes.send_modify(|wish| wish.again += 1);
        }
        paper.name = name;
        paper.saved = Some(text.to_string());
        paper.file = Some(file.clone());
        *locked(&self.session.paper) = paper;
        self.out.say(&ToPage::Saved { rev, file }).await;
    }

    /// Resolves when files have changed and been quiet for a moment.
    pub async fn changed(&mut self) -> Vec<PathBuf> {
        loop {
            let quiet = !self.changed.is_empty();
            let told = self.outside.recv();
            let told = if quiet { tokio::time::timeout(QUIET, told).await } else { Ok(told.await) };
            match told {
                Ok(Ok(path)) => self.changed.push(path),
                Ok(Err(broadcast::error::RecvError::Lagged(_))) => {
                    let all = locked(&self.session.named).clone();
                    self.changed.extend(all);
                    self.changed.extend(self.path());
                }
                Ok(Err(broadcast::error::RecvError::Closed)) => std::future::pending().await,
                Err(_) => return std::mem::take(&mut self.changed),
            }
        }
    }

    /// The full path of the design's own file.
    fn path(&self) -> Option<PathBuf> {
        let file = locked(&self.session.paper).file.clone()?;
        Some(self.session.room.folder.root().join(file))
    }

    /// Reads what others changed.
    pub async fn look_at(&mut self, files: &[PathBuf]) {
        if locked(&self.session.named).iter().any(|named| files.contains(named)) {
            self.wishes.send_modify(|wish| wish.again += 1);
        }
        let Some(own) = self.path().filter(|own| files.contains(own)) else { return };
        let there = std::fs::read_to_string(own).ok();
        let (rev, text) = {
            let wish = self.wishes.borrow();
            (wish.rev, wish.text.clone())
        };
        let (saved, file) = {
            let paper = locked(&self.session.paper);
            (paper.saved.clone(), paper.file.clone().unwrap_or_default())
        };
        if there == saved {
            return;
        }
        let edited = saved.as_deref() != Some(&*text);
        let told = if there.as_deref() == Some(&*text) {
            ToPage::Saved { rev, file }
        } else if edited {
            return self.out.say(&ToPage::Conflict { text: there }).await;
        } else {
            ToPage::Outside { text: there.clone() }
        };
        locked(&self.session.paper).saved = there;
        self.out.say(&told).await;
    }
}

/// A design with a body put elsewhere.
pub(crate) fn moved(good: &Good, to: &Move) -> Result<reedmace_engine::Placed, Refusal> {
    let what = Movable::named(&good.design, &to.body);
    let what = what.ok_or_else(|| Refusal(format!("the design has no `{}`", to.body)))?;
    let finite = to.at.iter().chain(&to.turn).all(|v| v.is_finite() && v.abs() < 1e6);
    if !finite {
        return Err(Refusal("that is too far away".into()));
    }
    let (at, turn) = (to.at.map(|mm| mm * 1e-3), to.turn.map(f64::to_radians));
    place(&good.design, what, at, turn).map_err(|why| Refusal(why.to_string()))
}

/// A quantity's text with its tolerance `times` as wide.
fn tolerance(session: &Session, text: &str, path: &str, times: f64) -> Result<String, Refusal> {
    let Room { catalogue, grades, .. } = &*session.room;
    let stated = form::stated(text, path, catalogue, grades).or_else(|| {
        let good = session.good()?;
        let study = good.study.get()?;
        let known = study.answer.quantities.iter().find(|quantity| quantity.path == path)?;
        Some(known.text.clone())
    });
    let wider = stated.and_then(|stated| reedmace_units::widened(&stated, times));
    wider.ok_or_else(|| {
        Refusal(format!("`{path}` has no tolerance that can be made wider or tighter"))
    })
}

fn splices(
    session: &Session,
    text: &str,
    path: &str,
    stated: &str,
) -> Result<Vec<Splice>, Refusal> {
    let catalogue = &session.room.catalogue;
    let toml = form::toml_of(text, path, stated, catalogue);
    let rest = |path: &str| form::rest(text, path, catalogue);
    Ok(edits::set(text, &[New { path: path.into(), toml }], &rest)?)
}

/// A quantity's text with its tolerance `times` as wide, and the design's text that holds it.
pub(crate) fn widened(
    session: &Session,
    good: &Good,
    path: &str,
    times: f64,
) -> Result<(String, String), Refusal> {
    let text = &good.design.text;
    let stated = tolerance(session, text, path, times)?;
    let new = edits::spliced(text, &splices(session, text, path, &stated)?);
    Ok((stated, new))
}

/// Changes of a text that give it these values.
pub(crate) fn taken(
    room: &Room,
    text: &str,
    values: &[ChosenValue],
) -> Result<Vec<Splice>, Refusal> {
    let toml = |text: &str| toml_edit::Value::from(text).to_string();
    let new = values.iter().map(|one| New { path: one.path.clone(), toml: toml(&one.text) });
    let new: Vec<New> = new.collect();
    let rest = |path: &str| form::rest(text, path, &room.catalogue);
    Ok(edits::set(text, &new, &rest)?)
}

/// Why something is not done, as the page is told.
pub(crate) struct Refusal(pub String);

impl From<EditError> for Refusal {
    fn from(why: EditError) -> Self {
        Self(why.to_string())
    }
}

/// Keeps unsaved edits, a moment after they were made.
async fn keep(session: Arc<Session>, mut wishes: watch::Receiver<Wish>, out: Out) {
    let mut kept = wishes.borrow_and_update().text.clone();
    while wishes.changed().await.is_ok() {
        if Arc::ptr_eq(&wishes.borrow_and_update().text, &kept) {
            continue;
        }
        tokio::time::sleep(KEEP_AFTER).await;
        kept = wishes.borrow().text.clone();
        let (noted, text) = (session.clone(), kept.clone());
        let done = tokio::task::spawn_blocking(move || note(&noted, &text)).await;
        if let Ok(Err(why)) = done {
            out.fault(None, format!("unsaved edits cannot be kept: {why}")).await;
        }
    }
}

/// Keeps a text unless its file holds it.
fn note(session: &Session, text: &str) -> io::Result<()> {
    let Paper { file, name, saved, begun, key } = locked(&session.paper).clone();
    let journal = &session.room.journal;
    let held = if file.is_some() { &saved } else { &begun };
    if held.as_deref() == Some(text) {
        journal.forget(&key);
        return Ok(());
    }
    journal.keep(&key, file.as_deref(), &name, saved.as_deref(), text)
}
