//! Do a thing again whenever one of its files is saved.

use crate::failure::Failure;
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use serde::Serialize;
use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::mpsc::{Receiver, channel},
    time::Duration,
};

/// Editors save in several steps; the files are quiet for so long before they are read.
const QUIET: Duration = Duration::from_millis(80);

/// How a watched check stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum State {
    /// The text has changed and is being checked.
    Computing,
    /// The answer belongs to the text as it is.
    Ok,
    /// The text has a fault; the last good answer stands.
    Stale,
    /// The text has a fault and there is no good answer yet.
    Failed,
}

impl State {
    /// As told to whoever watches.
    pub(crate) fn in_words(self) -> &'static str {
        match self {
            Self::Computing => "computing",
            Self::Ok => "ok; waiting for the next save",
            Self::Stale => "stale: the last good answer stands; waiting for the next save",
            Self::Failed => "failed; waiting for the next save",
        }
    }
}

/// Run `job`, which says what files it read, and run it again on every change of `first` or of one
/// of those. Ends only when the job fails or the watch breaks.
pub(crate) fn files(
    first: &Path,
    mut job: impl FnMut() -> Result<Vec<PathBuf>, Failure>,
) -> Result<ExitCode, Failure> {
    let (sender, changes) = channel();
    let mut folders = Folders {
        watcher: notify::recommended_watcher(sender).map_err(broken)?,
        watched: BTreeSet::new(),
    };
    let first = folders.watch(first)?;
    loop {
        let mut files = vec![first.clone()];
        for file in job()? {
            files.push(folders.watch(&file)?);
        }
        wait(&changes, &files)?;
    }
}

struct Folders {
    watcher: RecommendedWatcher,
    watched: BTreeSet<PathBuf>,
}

impl Folders {
    /// Watch the folder of a file and give the file's full path. The folder and not the file,
    /// because many editors put a new file in the place of the old one.
    fn watch(&mut self, file: &Path) -> Result<PathBuf, Failure> {
        let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty());
        let folder = folder.unwrap_or(Path::new("."));
        let folder = folder.canonicalize().map_err(|why| Failure::file(folder, why))?;
        if self.watched.insert(folder.clone()) {
            self.watcher.watch(&folder, RecursiveMode::NonRecursive).map_err(broken)?;
        }
        Ok(folder.join(file.file_name().unwrap_or_default()))
    }
}

/// Wait until one of the files has changed and all have been quiet for a moment.
fn wait(changes: &Receiver<notify::Result<Event>>, files: &[PathBuf]) -> Result<(), Failure> {
    loop {
        let change = changes.recv().map_err(|_| Failure::Refused("the watch ended".into()))?;
        if touches(&change.map_err(broken)?, files) {
            break;
        }
    }
    while changes.recv_timeout(QUIET).is_ok() {}
    Ok(())
}

/// Our own reading is an access and no change.
fn touches(change: &Event, files: &[PathBuf]) -> bool {
    !matches!(change.kind, EventKind::Access(_))
        && change.paths.iter().any(|path| files.contains(path))
}

fn broken(why: notify::Error) -> Failure {
    Failure::Refused(format!("cannot watch: {why}"))
}
