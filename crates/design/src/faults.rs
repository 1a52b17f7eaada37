//! Collecting every fault of one text.

use crate::diagnostic::{Diagnostic, Severity};
use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::ops::Range;

/// The text being read and what was found wrong with it so far.
pub(crate) struct Faults<'a> {
    /// The whole text.
    pub text: &'a str,
    /// The text is not valid TOML: what is missing may only have been lost.
    pub damaged: Cell<bool>,
    /// Nothing more is reported: what is read is told already.
    pub told: Cell<bool>,
    found: RefCell<Vec<Diagnostic>>,
    read: RefCell<HashMap<String, Known>>,
}

/// A quantity that was read.
#[derive(Clone)]
pub(crate) struct Known {
    /// Where it is stated.
    pub span: Range<usize>,
    /// It has no tolerance.
    pub exact: bool,
    /// It is a mixture.
    pub mixed: bool,
}

impl<'a> Faults<'a> {
    pub fn new(text: &'a str) -> Self {
        Self {
            text,
            damaged: Cell::new(false),
            told: Cell::new(false),
            found: RefCell::default(),
            read: RefCell::default(),
        }
    }

    pub fn add(&self, diagnostic: Diagnostic) {
        if !self.told.get() {
            self.found.borrow_mut().push(diagnostic);
        }
    }

    /// Keeps what a quantity is, by its path.
    pub fn know(&self, path: &str, known: Known) {
        self.read.borrow_mut().entry(path.to_owned()).or_insert(known);
    }

    /// The quantity of a path.
    pub fn known(&self, path: &str) -> Option<Known> {
        self.read.borrow().get(path).cloned()
    }

    /// Paths of all quantities read, in order.
    pub fn paths(&self) -> Vec<String> {
        let mut paths: Vec<String> = self.read.borrow().keys().cloned().collect();
        paths.sort();
        paths
    }

    pub fn any_error(&self) -> bool {
        self.found.borrow().iter().any(|found| found.severity == Severity::Error)
    }

    pub fn into_found(self) -> Vec<Diagnostic> {
        let mut found = self.found.into_inner();
        crate::diagnostic::in_order(&mut found);
        found.dedup();
        found
    }
}

/// `x`, `x and y`, `x, y and z` or with another last word than `and`.
pub(crate) fn listing(words: &[&str], last: &str) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [head @ .., tail] => format!("{} {last} {tail}", head.join(", ")),
    }
}

/// The one of `known` that `word` was probably meant to be.
pub(crate) fn nearest<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let plain = |text: &str| text.to_lowercase().replace(['-', ' '], "_");
    let word = plain(word);
    known
        .into_iter()
        .map(|known| (strsim::jaro_winkler(&word, &plain(known)), known))
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, known)| known)
}

/// Names that are told at most where a word is none of them.
const TOLD: usize = 40;

/// "did you mean `x`?", or else what there is: of very many, those that have the word in them first.
pub(crate) fn suggest(word: &str, known: &[&str], what: &str) -> String {
    let (with, without): (Vec<&str>, Vec<&str>) =
        known.iter().partition(|name| known.len() > TOLD && name.contains(word));
    match nearest(word, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => format!("there are no {what} yet"),
        None => {
            let told: Vec<&str> = with.into_iter().chain(without).take(TOLD).collect();
            let more = match known.len() - told.len() {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            format!("{what}: {}{more}", told.join(", "))
        }
    }
}
