//! A progress bar on long work, when somebody watches.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::{
    io::IsTerminal,
    time::{Duration, Instant},
};

/// Work shorter than this shows no bar.
const PATIENCE: Duration = Duration::from_millis(300);

/// The bar of one piece of work; it disappears with it.
pub(crate) struct Progress {
    bar: ProgressBar,
    started: Instant,
    watched: bool,
}

impl Progress {
    /// Work which begins now.
    pub(crate) fn new(what: &'static str) -> Self {
        let bar = ProgressBar::hidden();
        if let Ok(style) = ProgressStyle::with_template("{msg} {bar:40} {percent:>3} % {eta:>4}") {
            bar.set_style(style.progress_chars("━╸ "));
        }
        bar.set_message(what);
        Self { bar, started: Instant::now(), watched: std::io::stderr().is_terminal() }
    }

    /// Units being evaluated, of which `done` are done already: with rate and time left.
    pub(crate) fn units(done: u64) -> Self {
        let progress = Self::new("sampling");
        let form = "{msg} {bar:30} {percent:>3} % {human_pos} units, {per_sec} {eta:>4} left";
        if let Ok(style) = ProgressStyle::with_template(form) {
            progress.bar.set_style(style.progress_chars("━╸ "));
        }
        progress.bar.set_position(done);
        progress.bar.reset_eta();
        progress
    }

    /// Combinations being tried: with rate, time left and what is found so far.
    pub(crate) fn combinations() -> Self {
        let progress = Self::new("choosing");
        let form =
            "{prefix} {bar:24} {percent:>3} % {human_pos} tried, {per_sec} {eta:>4} left, {msg}";
        if let Ok(style) = ProgressStyle::with_template(form) {
            progress.bar.set_style(style.progress_chars("━╸ "));
        }
        progress.bar.set_prefix("choosing");
        progress
    }

    /// Words beside the bar.
    pub(crate) fn say(&self, words: String) {
        self.bar.set_message(words);
    }

    /// So much of the whole is done.
    pub(crate) fn tick(&self, done: u64, total: u64) {
        if !self.watched || self.started.elapsed() < PATIENCE {
            return;
        }
        if self.bar.is_hidden() {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.set_length(total);
        self.bar.set_position(done);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
