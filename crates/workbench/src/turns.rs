//! Taking turns: some requests are worked on, some wait, more are turned away.

use std::sync::{
    Arc,
    atomic::{AtomicUsize, Ordering},
};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// Who may work, and who waits.
#[derive(Debug)]
pub(crate) struct Turns {
    working: Arc<Semaphore>,
    waiting: AtomicUsize,
    most: usize,
}

impl Turns {
    /// So many at work at once, so many waiting at most.
    pub fn new(working: usize, most: usize) -> Self {
        Self { working: Arc::new(Semaphore::new(working)), waiting: AtomicUsize::new(0), most }
    }

    /// Waits for a turn; `None` when too many wait already.
    pub async fn wait(&self) -> Option<OwnedSemaphorePermit> {
        let waiting = Waiting::begin(&self.waiting);
        if waiting.before >= self.most {
            return None;
        }
        self.working.clone().acquire_owned().await.ok()
    }
}

/// One who waits, also when he gives up.
struct Waiting<'w> {
    count: &'w AtomicUsize,
    before: usize,
}

impl<'w> Waiting<'w> {
    fn begin(count: &'w AtomicUsize) -> Self {
        Self { count, before: count.fetch_add(1, Ordering::Relaxed) }
    }
}

impl Drop for Waiting<'_> {
    fn drop(&mut self) {
        self.count.fetch_sub(1, Ordering::Relaxed);
    }
}
