//! What all sessions share.

use crate::{crew::Crew, folder::Folder, session::Session};
use rayon::ThreadPoolBuildError;
use reedmace_design::{Catalogue, Design, Diagnostic};
use reedmace_materials::Grades;
use std::{
    collections::HashMap,
    sync::{Arc, Mutex, PoisonError, Weak},
};

/// The folder, the catalogue, the crews, and who is here.
#[derive(Debug)]
pub(crate) struct Room {
    /// The folder served.
    pub folder: Folder,
    /// The crews.
    pub crew: Crew,
    catalogue: Catalogue,
    grades: Grades,
    sessions: Mutex<HashMap<String, Weak<Session>>>,
}

impl Room {
    pub fn new(folder: Folder, catalogue: Catalogue) -> Result<Self, ThreadPoolBuildError> {
        Ok(Self {
            folder,
            crew: Crew::new()?,
            catalogue,
            grades: Grades::builtin(),
            sessions: Mutex::default(),
        })
    }

    /// Reads a design; files it names are looked for in the folder.
    pub fn parse(&self, text: &str) -> Result<(Design, Vec<Diagnostic>), Vec<Diagnostic>> {
        let load = |name: &str| self.folder.read(name);
        reedmace_design::parse_with(text, &self.catalogue, &self.grades, &load)
    }

    /// Lets a session be found by its name, for as long as it lives.
    pub fn enter(&self, session: &Arc<Session>) {
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        sessions.retain(|_, known| known.strong_count() > 0);
        sessions.insert(session.id.clone(), Arc::downgrade(session));
    }

    /// The session of that name.
    pub fn session(&self, id: &str) -> Option<Arc<Session>> {
        self.sessions.lock().unwrap_or_else(PoisonError::into_inner).get(id)?.upgrade()
    }
}
