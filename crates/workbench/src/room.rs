//! What all sessions share.

use crate::{
    ServeError,
    crew::Crew,
    desk::{Session, locked},
    folder::Folder,
    journal::Journal,
    outside::Outside,
    recent::Recent,
    turns::Turns,
};
use reedmace_design::{Catalogue, Design, Diagnostic};
use reedmace_engine::Bench;
use reedmace_materials::Grades;
use std::{
    cell::RefCell,
    collections::HashMap,
    path::PathBuf,
    sync::{Arc, Mutex, Weak},
};
use tokio::sync::Semaphore;

/// Requests for pictures and files worked on at once, and how many more may wait.
const AT_WORK: usize = 4;
const WAITING: usize = 200;
/// Pages that may be open at once.
const SEATS: usize = 32;

/// The folder, the catalogue, the crews, and who is here.
#[derive(Debug)]
pub(crate) struct Room {
    /// The folder served.
    pub folder: Folder,
    /// Unsaved edits.
    pub journal: Journal,
    /// Changes made by others.
    pub outside: Outside,
    /// Which designs were opened last.
    pub recent: Recent,
    /// The crews.
    pub crew: Crew,
    /// Requests that take work take turns.
    pub turns: Turns,
    /// Pages that may be open at once.
    pub seats: Arc<Semaphore>,
    /// Families and magnets a design may name.
    pub catalogue: Catalogue,
    /// Magnet grades.
    pub grades: Grades,
    sessions: Mutex<HashMap<String, Weak<Session>>>,
    bench: Mutex<Bench>,
}

/// What became of a text.
pub(crate) struct Parsed {
    /// The design and its warnings, or all faults.
    pub result: Result<(Design, Vec<Diagnostic>), Vec<Diagnostic>>,
    /// Files it names, and that were looked for.
    pub files: Vec<PathBuf>,
}

impl Room {
    pub fn new(
        folder: Folder,
        catalogue: Catalogue,
        state: Option<PathBuf>,
    ) -> Result<Self, ServeError> {
        let machine = |why: &dyn std::fmt::Display| ServeError::Machine(why.to_string());
        let journal = Journal::new(state.as_deref(), folder.root())
            .map_err(|why| ServeError::Path { path: state.clone().unwrap_or_default(), why })?;
        let outside = Outside::new().map_err(|why| machine(&why))?;
        outside.watch(folder.root()).map_err(|why| machine(&why))?;
        Ok(Self {
            recent: Recent::new(state.as_deref(), folder.root()),
            turns: Turns::new(AT_WORK, WAITING),
            seats: Arc::new(Semaphore::new(SEATS)),
            journal,
            outside,
            crew: Crew::new().map_err(|why| machine(&why))?,
            catalogue,
            grades: Grades::builtin(),
            sessions: Mutex::default(),
            bench: Mutex::default(),
            folder,
        })
    }

    /// Reads a design; files it names are looked for in the folder.
    pub fn parse(&self, text: &str) -> Parsed {
        let files = RefCell::new(Vec::new());
        let load = |name: &str| {
            files.borrow_mut().push(self.folder.root().join(name));
            self.folder.read(name)
        };
        let result = reedmace_design::parse_with(text, &self.catalogue, &self.grades, &load);
        Parsed { result, files: files.into_inner() }
    }

    /// What has been solved so far, for whoever computes.
    pub fn bench(&self) -> Bench {
        locked(&self.bench).clone()
    }

    /// Begins with nothing solved: after a fault of ours there is no telling what is left.
    pub fn clear_bench(&self) {
        *locked(&self.bench) = Bench::default();
    }

    /// Lets a session be found by its name, for as long as it lives.
    pub fn enter(&self, session: &Arc<Session>) {
        let mut sessions = locked(&self.sessions);
        sessions.retain(|_, known| known.strong_count() > 0);
        sessions.insert(session.id.clone(), Arc::downgrade(session));
    }

    /// The session of that name.
    pub fn session(&self, id: &str) -> Option<Arc<Session>> {
        locked(&self.sessions).get(id)?.upgrade()
    }
}
