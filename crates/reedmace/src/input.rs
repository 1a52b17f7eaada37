//! The design's text, from a file or from standard input, and the files it names.

use crate::failure::Failure;
use std::{
    cell::RefCell,
    fs,
    io::{self, Read},
    path::{Path, PathBuf},
};

/// Where a design is read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Source {
    /// `-`.
    StandardInput,
    /// A file.
    File(PathBuf),
}

impl Source {
    /// As given on the command line.
    pub(crate) fn new(argument: &Path) -> Self {
        if argument == Path::new("-") {
            Self::StandardInput
        } else {
            Self::File(argument.to_path_buf())
        }
    }

    /// What messages call it.
    pub(crate) fn name(&self) -> String {
        match self {
            Self::StandardInput => "<stdin>".into(),
            Self::File(path) => path.display().to_string(),
        }
    }

    /// What files made from it are called, in the current directory.
    pub(crate) fn stem(&self) -> String {
        let stem = match self {
            Self::StandardInput => None,
            Self::File(path) => path.file_stem(),
        };
        stem.map_or_else(|| "design".into(), |stem| stem.to_string_lossy().into_owned())
    }

    /// The whole text.
    pub(crate) fn read(&self) -> Result<String, Failure> {
        let text = match self {
            Self::StandardInput => {
                let mut text = String::new();
                io::stdin().read_to_string(&mut text).map(|_| text)
            }
            Self::File(path) => fs::read_to_string(path),
        };
        text.map_err(|why| Failure::File { path: self.name(), why })
    }
}

/// Reads the files a design names, relative to the design, and remembers which they were.
#[derive(Debug)]
pub(crate) struct Beside {
    folder: PathBuf,
    read: RefCell<Vec<(String, PathBuf)>>,
}

impl Beside {
    /// Files beside this design.
    pub(crate) fn new(source: &Source) -> Self {
        let folder = match source {
            Source::StandardInput => PathBuf::new(),
            Source::File(path) => path.parent().unwrap_or(Path::new("")).to_path_buf(),
        };
        Self { folder, read: RefCell::default() }
    }

    /// Where the files are.
    pub(crate) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The bytes of a file named in the design.
    pub(crate) fn load(&self, name: &str) -> io::Result<Vec<u8>> {
        let path = self.folder.join(name);
        let bytes = fs::read(&path);
        self.read.borrow_mut().push((name.into(), path));
        bytes
    }

    /// Every file asked for, as the design names it and where it was looked for.
    pub(crate) fn named(&self) -> Vec<(String, PathBuf)> {
        self.read.borrow().clone()
    }

    /// Every file asked for.
    pub(crate) fn paths(&self) -> Vec<PathBuf> {
        self.read.borrow().iter().map(|(_, path)| path.clone()).collect()
    }
}
