//! The threads that compute: a quick crew for the picture under the pointer, a steady one for long
//! work, which stands still while the quick one is at it and ends early when nobody wants it any more.

use rayon::{ThreadPool, ThreadPoolBuildError, ThreadPoolBuilder};
use std::{
    any::Any,
    panic::{AssertUnwindSafe, catch_unwind, resume_unwind},
    sync::{Arc, Condvar, Mutex, PoisonError},
};
use tokio::task::spawn_blocking;

/// Both crews; clones are the same threads.
#[derive(Debug, Clone)]
pub(crate) struct Crew {
    quick: Arc<ThreadPool>,
    steady: Arc<ThreadPool>,
    busy: Arc<Busy>,
}

/// Why work has no result.
#[derive(Debug)]
pub(crate) enum Ended {
    /// Nobody wants it any more.
    Unwanted,
    /// It met a fault of ours.
    Broken(String),
}

/// How many quick jobs are at work.
#[derive(Debug, Default)]
struct Busy {
    jobs: Mutex<usize>,
    none: Condvar,
}

/// Carried by the unwinding that ends unwanted work.
struct Unwanted;

/// Ends the work this is called from, in whatever depth and thread of its crew.
pub(crate) fn give_up() -> ! {
    // Not a panic: no hook runs and nothing is printed.
    resume_unwind(Box::new(Unwanted))
}

impl Crew {
    /// Two crews of as many threads as the machine has cores.
    pub fn new() -> Result<Self, ThreadPoolBuildError> {
        let pool = |name: &'static str| {
            let named = move |k| format!("{name}-{k}");
            ThreadPoolBuilder::new().thread_name(named).build().map(Arc::new)
        };
        Ok(Self { quick: pool("quick")?, steady: pool("steady")?, busy: Arc::default() })
    }

    /// Does a short job at once.
    pub async fn quick<T: Send + 'static>(
        &self,
        job: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Ended> {
        let crew = self.clone();
        finished(
            spawn_blocking(move || {
                let _at_work = AtWork::begin(&crew.busy);
                caught(|| crew.quick.install(job))
            })
            .await,
        )
    }

    /// Does a long job. It is given a function to call often, which waits while quick jobs are at work
    /// and gives the job up once `wanted` says no.
    pub async fn steady<T: Send + 'static>(
        &self,
        wanted: impl Fn() -> bool + Send + Sync + 'static,
        job: impl FnOnce(&(dyn Fn() + Sync)) -> T + Send + 'static,
    ) -> Result<T, Ended> {
        let crew = self.clone();
        finished(
            spawn_blocking(move || {
                let pause = || {
                    crew.busy.wait();
                    if !wanted() {
                        give_up();
                    }
                };
                caught(|| crew.steady.install(|| job(&pause)))
            })
            .await,
        )
    }
}

fn caught<T>(job: impl FnOnce() -> T) -> Result<T, Ended> {
    catch_unwind(AssertUnwindSafe(job)).map_err(|why| ended(why.as_ref()))
}

fn ended(why: &(dyn Any + Send)) -> Ended {
    if why.is::<Unwanted>() {
        return Ended::Unwanted;
    }
    let said = why.downcast_ref::<String>().map(String::as_str);
    let said = said.or_else(|| why.downcast_ref::<&str>().copied());
    Ended::Broken(said.unwrap_or("no more is known").to_owned())
}

fn finished<T>(done: Result<Result<T, Ended>, tokio::task::JoinError>) -> Result<T, Ended> {
    done.unwrap_or_else(|why| Err(Ended::Broken(why.to_string())))
}

impl Busy {
    /// Returns when no quick job is at work.
    fn wait(&self) {
        let jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        let waited = self.none.wait_while(jobs, |jobs| *jobs > 0);
        drop(waited.unwrap_or_else(PoisonError::into_inner));
    }
}

struct AtWork<'b>(&'b Busy);

impl<'b> AtWork<'b> {
    fn begin(busy: &'b Busy) -> Self {
        *busy.jobs.lock().unwrap_or_else(PoisonError::into_inner) += 1;
        Self(busy)
    }
}

impl Drop for AtWork<'_> {
    fn drop(&mut self) {
        let mut jobs = self.0.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        *jobs -= 1;
        if *jobs == 0 {
            self.0.none.notify_all();
        }
    }
}
