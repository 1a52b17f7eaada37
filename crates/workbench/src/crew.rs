//! The threads that compute: a quick crew for the picture under the pointer, a steady one for long work and
//! a patient one for searches. Each stands still while a quicker one is at it; long work ends early when
//! nobody wants it any more.

use rayon::{ThreadPool, ThreadPoolBuildError, ThreadPoolBuilder};
use std::{
    any::Any,
    panic::{AssertUnwindSafe, catch_unwind, resume_unwind},
    sync::{Arc, Condvar, Mutex, PoisonError},
    time::Duration,
};
use tokio::task::spawn_blocking;

/// Work that stands still looks so often whether it is wanted.
const LOOK_EVERY: Duration = Duration::from_millis(50);

/// All crews; clones are the same threads.
#[derive(Debug, Clone)]
pub(crate) struct Crew {
    quick: Arc<ThreadPool>,
    steady: Arc<ThreadPool>,
    patient: Arc<ThreadPool>,
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

/// Crews that others stand still for.
#[derive(Debug, Clone, Copy)]
enum Ahead {
    Quick,
    Steady,
}

/// How many quick and steady jobs are at work.
#[derive(Debug, Default)]
struct Busy {
    jobs: Mutex<[usize; 2]>,
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
    /// Crews of as many threads as the machine has cores.
    pub fn new() -> Result<Self, ThreadPoolBuildError> {
        let pool = |name: &'static str| {
            let named = move |k| format!("{name}-{k}");
            ThreadPoolBuilder::new().thread_name(named).build().map(Arc::new)
        };
        let (quick, steady, patient) = (pool("quick")?, pool("steady")?, pool("patient")?);
        Ok(Self { quick, steady, patient, busy: Arc::default() })
    }

    /// Does a short job at once.
    pub async fn quick<T: Send + 'static>(
        &self,
        job: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Ended> {
        let crew = self.clone();
        finished(
            spawn_blocking(move || {
                let _at_work = AtWork::begin(&crew.busy, Ahead::Quick);
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
        self.behind(&self.steady, Some(Ahead::Steady), &[Ahead::Quick], wanted, job).await
    }

    /// Does a search of minutes: the same, and it waits while steady jobs are at work too.
    pub async fn patient<T: Send + 'static>(
        &self,
        wanted: impl Fn() -> bool + Send + Sync + 'static,
        job: impl FnOnce(&(dyn Fn() + Sync)) -> T + Send + 'static,
    ) -> Result<T, Ended> {
        self.behind(&self.patient, None, &[Ahead::Quick, Ahead::Steady], wanted, job).await
    }

    /// Does a job on a crew that stands still while others are at work; `counted`: as whom it is at work itself.
    async fn behind<T: Send + 'static>(
        &self,
        crew: &Arc<ThreadPool>,
        counted: Option<Ahead>,
        others: &'static [Ahead],
        wanted: impl Fn() -> bool + Send + Sync + 'static,
        job: impl FnOnce(&(dyn Fn() + Sync)) -> T + Send + 'static,
    ) -> Result<T, Ended> {
        let (crew, busy) = (crew.clone(), self.busy.clone());
        finished(
            spawn_blocking(move || {
                let _at_work = counted.map(|who| AtWork::begin(&busy, who));
                let pause = || busy.wait_for(others, &wanted);
                caught(|| crew.install(|| job(&pause)))
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
    /// Returns when none of these is at work; gives the work up once it is not `wanted`.
    fn wait_for(&self, ahead: &[Ahead], wanted: &impl Fn() -> bool) {
        let busy = |jobs: &mut [usize; 2]| ahead.iter().any(|who| jobs[*who as usize] > 0);
        loop {
            if !wanted() {
                give_up();
            }
            let jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
            let waited = self.none.wait_timeout_while(jobs, LOOK_EVERY, busy);
            let (jobs, waited) = waited.unwrap_or_else(PoisonError::into_inner);
            drop(jobs);
            if !waited.timed_out() {
                return;
            }
        }
    }
}

struct AtWork<'b>(&'b Busy, Ahead);

impl<'b> AtWork<'b> {
    fn begin(busy: &'b Busy, who: Ahead) -> Self {
        busy.jobs.lock().unwrap_or_else(PoisonError::into_inner)[who as usize] += 1;
        Self(busy, who)
    }
}

impl Drop for AtWork<'_> {
    fn drop(&mut self) {
        let mut jobs = self.0.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        jobs[self.1 as usize] -= 1;
        if jobs[self.1 as usize] == 0 {
            self.0.none.notify_all();
        }
    }
}
