//! What all sessions share.

use crate::{
    ServeError, crew::Crew, desk::Session, folder::Folder, journal::Journal, outside::Outside,
};
use reedmace_design::{Catalogue, Design, Diagnostic};
use reedmace_materials::Grades;
use std::{
    cell::RefCell,
    collections::HashMap,
    path::PathBuf,
    sync::{Arc, Mutex, PoisonError, Weak},
};

/// The folder, the catalogue, the crews, and who is here.
#[derive(Debug)]
pub(crate) struct Room {
    /// The folder served.
    pub folder: Folder,
    /// Unsaved edits.
    pub journal: Journal,
    /// Changes made by others.
    pub outside: Outside,
    /// The crews.
    pub crew: Crew,
    /// Families and magnets a design may name.
    pub catalogue: Catalogue,
    /// Magnet grades.
    pub grades: Grades,
    sessions: Mutex<HashMap<String, Weak<Session>>>,
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
            .map_err(|why| ServeError::Path { path: state.unwrap_or_default(), why })?;
        let outside = Outside::new().map_err(|why| machine(&why))?;
        outside.watch(folder.root()).map_err(|why| machine(&why))?;
        Ok(Self {
            folder,
            journal,
            outside,
            crew: Crew::new().map_err(|why| machine(&why))?,
            catalogue,
            grades: Grades::builtin(),
            sessions: Mutex::default(),
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

    /// Lets a session be found by its name, for as long as it lives.
    pub fn enter(&self, session: &Arc<Session>) {
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        sessions.retain(|_, known| known.strong_count() > 0);
        sessions.insert(session.id.clone(), Arc::downgrade(session));
    }
}
