//! Which designs were opened last.

use serde::{Deserialize, Serialize};
use std::{
    fs, io,
    path::{Path, PathBuf},
};

/// How many are remembered.
const REMEMBERED: usize = 100;

/// The designs opened last, of every folder.
#[derive(Debug, Clone)]
pub(crate) struct Recent {
    /// Where they are remembered; `None` forgets them.
    file: Option<PathBuf>,
    /// The folder being served.
    root: PathBuf,
}

#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Opened {
    root: PathBuf,
    file: String,
}

impl Recent {
    pub fn new(state: Option<&Path>, root: &Path) -> Self {
        Self { file: state.map(|state| state.join("recent.json")), root: root.to_path_buf() }
    }

    /// Designs of this folder, the last opened first.
    pub fn list(&self) -> Vec<String> {
        let here = self.read().into_iter().filter(|opened| opened.root == self.root);
        here.map(|opened| opened.file).collect()
    }

    /// Remembers that a design was opened.
    pub fn note(&self, name: &str) -> io::Result<()> {
        let Some(file) = &self.file else { return Ok(()) };
        let now = Opened { root: self.root.clone(), file: name.to_owned() };
        let mut all = self.read();
        all.retain(|opened| *opened != now);
        all.insert(0, now);
        all.truncate(REMEMBERED);
        let folder = file.parent().unwrap_or(Path::new("."));
        let mut new = tempfile::NamedTempFile::new_in(folder)?;
        serde_json::to_writer(&mut new, &all)?;
        new.persist(file).map(|_| ()).map_err(|why| why.error)
    }

    fn read(&self) -> Vec<Opened> {
        let bytes = self.file.as_ref().and_then(|file| fs::read(file).ok());
        bytes.and_then(|bytes| serde_json::from_slice(&bytes).ok()).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_opened_comes_first_and_once() {
        let state = tempfile::tempdir().unwrap();
        let farm = Recent::new(Some(state.path()), Path::new("/farm"));
        let mill = Recent::new(Some(state.path()), Path::new("/mill"));
        for name in ["a", "b", "a"] {
            farm.note(name).unwrap();
            mill.note("c").unwrap();
        }
        assert_eq!(farm.list(), ["a", "b"]);
        assert_eq!(mill.list(), ["c"]);
    }
}
