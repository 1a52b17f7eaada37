//! Edits that are not saved yet, kept where a crash leaves them.
//!
//! One small file each, in the user's own state folder and readable to nobody else: never beside the
//! designs, where they would be in the way.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
    time::{SystemTime, UNIX_EPOCH},
};

/// The edits of one folder.
#[derive(Debug, Clone)]
pub(crate) struct Journal {
    /// Where they are kept; `None` keeps none.
    place: Option<PathBuf>,
    /// The folder they belong to.
    root: PathBuf,
}

/// Edits of one design.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Entry {
    /// The folder of the design.
    pub root: PathBuf,
    /// Its file there, if it has one.
    pub file: Option<String>,
    /// What answers call it.
    pub name: String,
    /// The text as it was read or last saved.
    pub saved: Option<String>,
    /// The text as it was edited.
    pub text: String,
    /// When, seconds since 1970.
    pub at: u64,
}

impl Journal {
    /// The journal of a folder, in a state folder that is made if need be.
    pub fn new(state: Option<&Path>, root: &Path) -> io::Result<Self> {
        let place = state.map(|state| state.join("edits"));
        if let Some(place) = &place {
            private_folder(place)?;
        }
        Ok(Self { place, root: root.to_path_buf() })
    }

    /// The key of a file's edits.
    pub fn key_of(&self, file: &str) -> String {
        let hash = Sha256::digest(self.root.join(file).as_os_str().as_encoded_bytes());
        hash[..16].iter().map(|b| format!("{b:02x}")).collect()
    }

    /// Keeps a text.
    pub fn keep(
        &self,
        key: &str,
        file: Option<&str>,
        name: &str,
        saved: Option<&str>,
        text: &str,
    ) -> io::Result<()> {
        let Some(path) = self.path(key) else { return Ok(()) };
        let entry = Entry {
            root: self.root.clone(),
            file: file.map(Into::into),
            name: name.into(),
            saved: saved.map(Into::into),
            text: text.into(),
            at: SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs()),
        };
        let folder = path.parent().unwrap_or(Path::new("."));
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        file.write_all(&serde_json::to_vec(&entry)?)?;
        file.persist(path).map(|_| ()).map_err(|why| why.error)
    }

    /// What is kept under a key, if it belongs to this folder.
    pub fn find(&self, key: &str) -> Option<Entry> {
        let entry: Entry = serde_json::from_slice(&fs::read(self.path(key)?).ok()?).ok()?;
        (entry.root == self.root).then_some(entry)
    }

    /// Everything kept of this folder, by key, the newest first.
    pub fn list(&self) -> Vec<(String, Entry)> {
        let Some(files) = self.place.as_ref().and_then(|place| fs::read_dir(place).ok()) else {
            return Vec::new();
        };
        let key = |file: io::Result<fs::DirEntry>| {
            Some(file.ok()?.file_name().to_str()?.strip_suffix(".json")?.to_owned())
        };
        let mut found: Vec<(String, Entry)> =
            files.filter_map(key).filter_map(|key| Some((key.clone(), self.find(&key)?))).collect();
        found.sort_by_key(|(_, entry)| std::cmp::Reverse(entry.at));
        found
    }

    /// Lets go of what is kept under a key.
    pub fn forget(&self, key: &str) {
        if let Some(path) = self.path(key) {
            // Nothing to forget is as good as forgotten.
            let _ = fs::remove_file(path);
        }
    }

    fn path(&self, key: &str) -> Option<PathBuf> {
        let plain = !key.is_empty() && key.chars().all(|c| c.is_ascii_hexdigit());
        let place = self.place.as_ref().filter(|_| plain)?;
        Some(place.join(format!("{key}.json")))
    }
}

/// A folder nobody else can look into.
fn private_folder(path: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_found_again_and_only_for_its_folder() {
        let state = tempfile::tempdir().unwrap();
        let journal = Journal::new(Some(state.path()), Path::new("/farm")).unwrap();
        let key = journal.key_of("lid.toml");
        journal.keep(&key, Some("lid.toml"), "lid.toml", Some("a"), "b").unwrap();
        let entry = journal.find(&key).unwrap();
        assert_eq!((entry.saved.as_deref(), entry.text.as_str()), (Some("a"), "b"));
        let other = Journal::new(Some(state.path()), Path::new("/mill")).unwrap();
        assert_eq!((other.find(&key), other.list()), (None, Vec::new()));
        journal.forget(&key);
        assert_eq!(journal.list(), Vec::new());
    }

    #[test]
    fn a_key_cannot_name_a_file_elsewhere() {
        let state = tempfile::tempdir().unwrap();
        let journal = Journal::new(Some(state.path()), Path::new("/farm")).unwrap();
        for key in ["../x", "", "a/b", "x.json"] {
            assert!(journal.path(key).is_none(), "{key}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn nobody_else_may_look_into_the_journal() {
        use std::os::unix::fs::PermissionsExt;
        let state = tempfile::tempdir().unwrap();
        let journal = Journal::new(Some(state.path()), Path::new("/farm")).unwrap();
        journal.keep("ab", None, "x", None, "b").unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o077;
        assert_eq!(mode(&state.path().join("edits")), 0);
        assert_eq!(mode(&state.path().join("edits/ab.json")), 0);
    }
}
