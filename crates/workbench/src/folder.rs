//! The folder whose designs are offered: nothing outside it is read or written.

use crate::ServeError;
use std::{
    fs,
    io::{self, Write},
    path::{Component, Path, PathBuf},
    time::SystemTime,
};

/// The folder being served.
#[derive(Debug, Clone)]
pub(crate) struct Folder {
    root: PathBuf,
    first: Option<String>,
}

/// A design of the folder.
#[derive(Debug, Clone)]
pub(crate) struct Listed {
    /// Its name.
    pub name: String,
    /// When it was last written.
    pub modified: Option<SystemTime>,
}

impl Folder {
    /// The folder itself, or that of a design to open at once.
    pub fn open(path: &Path) -> Result<Self, ServeError> {
        let fault = |why| ServeError::Path { path: path.to_path_buf(), why };
        let full = path.canonicalize().map_err(fault)?;
        if full.is_dir() {
            return Ok(Self { root: full, first: None });
        }
        let name = full.file_name().and_then(|n| n.to_str());
        match (full.parent(), name) {
            (Some(root), Some(name)) => {
                Ok(Self { root: root.to_path_buf(), first: Some(name.to_owned()) })
            }
            _ => Err(fault(io::ErrorKind::InvalidFilename.into())),
        }
    }

    /// Where it is.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The design to open at once.
    pub fn first(&self) -> Option<&str> {
        self.first.as_deref()
    }

    /// Every design in it, by name.
    pub fn list(&self) -> io::Result<Vec<Listed>> {
        let mut found = Vec::new();
        for entry in fs::read_dir(&self.root)? {
            let entry = entry?;
            let (Ok(name), Ok(about)) = (entry.file_name().into_string(), entry.metadata()) else {
                continue;
            };
            if about.is_file() && name.ends_with(".toml") && !name.starts_with('.') {
                found.push(Listed { name, modified: about.modified().ok() });
            }
        }
        found.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(found)
    }

    /// The text of a design.
    pub fn read_text(&self, name: &str) -> io::Result<String> {
        fs::read_to_string(self.inside(name)?)
    }

    /// The bytes of a file that a design in this folder names.
    pub fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        fs::read(self.inside(name)?)
    }

    /// Writes a design whole or not at all.
    pub fn write(&self, name: &str, text: &str) -> io::Result<()> {
        let path = match self.inside(name) {
            Err(why) if why.kind() == io::ErrorKind::NotFound => self.new_inside(name)?,
            there => there?,
        };
        let folder = path.parent().unwrap_or(&self.root);
        let mut file = tempfile::Builder::new().prefix(".reedmace-").tempfile_in(folder)?;
        file.write_all(text.as_bytes())?;
        let mode = match fs::metadata(&path) {
            Ok(there) => Some(there.permissions()),
            Err(_) => new_file_mode(),
        };
        if let Some(mode) = mode {
            file.as_file().set_permissions(mode)?;
        }
        file.as_file().sync_all()?;
        file.persist(path).map(|_| ()).map_err(|why| why.error)
    }

    /// Where a file goes that is not there yet: its folder must be.
    fn new_inside(&self, name: &str) -> io::Result<PathBuf> {
        let name = Path::new(name);
        let folder = name.parent().filter(|folder| !folder.as_os_str().is_empty());
        let folder = match folder.and_then(Path::to_str) {
            Some(folder) => self.inside(folder)?,
            None => self.root.clone(),
        };
        let own = name.file_name().ok_or(io::ErrorKind::InvalidFilename)?;
        Ok(folder.join(own))
    }

    /// Where a file of that name is, if that is in the folder.
    fn inside(&self, name: &str) -> io::Result<PathBuf> {
        let outside =
            || io::Error::new(io::ErrorKind::PermissionDenied, "outside the folder served");
        let plain = |part| matches!(part, Component::Normal(_) | Component::CurDir);
        if name.is_empty()
            || name.contains(['\0', '\\'])
            || !Path::new(name).components().all(plain)
        {
            return Err(outside());
        }
        let full = self.root.join(name).canonicalize()?;
        if full.starts_with(&self.root) { Ok(full) } else { Err(outside()) }
    }
}

/// The mode of a new file: readable by whoever may read files of this user.
#[cfg(unix)]
fn new_file_mode() -> Option<fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn new_file_mode() -> Option<fs::Permissions> {
    None
}
