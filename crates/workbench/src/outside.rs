//! Changes of files by others.

use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError},
};
use tokio::sync::broadcast;

/// Changes that a slow listener may be behind before it is told that it missed some.
const BEHIND: usize = 256;

/// Watches folders and tells whoever listens which files changed.
#[derive(Debug)]
pub(crate) struct Outside {
    watcher: Mutex<RecommendedWatcher>,
    watched: Mutex<BTreeSet<PathBuf>>,
    told: Arc<broadcast::Sender<PathBuf>>,
}

impl Outside {
    /// Watches nothing yet.
    pub fn new() -> notify::Result<Self> {
        let told = Arc::new(broadcast::channel(BEHIND).0);
        let tell = told.clone();
        let watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
            let Ok(event) = event else { return };
            // Our own reading is an access and no change.
            if matches!(event.kind, EventKind::Access(_)) {
                return;
            }
            for path in event.paths {
                let _ = tell.send(path);
            }
        })?;
        Ok(Self { watcher: Mutex::new(watcher), watched: Mutex::default(), told })
    }

    /// Watches a folder too. The folder and not the file, because many editors put a new file in the
    /// place of the old one.
    pub fn watch(&self, folder: &Path) -> notify::Result<()> {
        let mut watched = self.watched.lock().unwrap_or_else(PoisonError::into_inner);
        if !watched.contains(folder) {
            let mut watcher = self.watcher.lock().unwrap_or_else(PoisonError::into_inner);
            watcher.watch(folder, RecursiveMode::NonRecursive)?;
            watched.insert(folder.to_path_buf());
        }
        Ok(())
    }

    /// Paths that change from now on.
    pub fn listen(&self) -> broadcast::Receiver<PathBuf> {
        self.told.subscribe()
    }
}
