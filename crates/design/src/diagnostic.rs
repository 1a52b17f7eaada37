//! Faults and warnings that point into the design's text.

use crate::codes::Code;
use serde::Serialize;
use std::ops::Range;

/// How grave a diagnostic is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The design can be computed, but look at this.
    Warning,
    /// The design cannot be computed.
    Error,
}

impl Severity {
    /// `error` or `warning`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// A piece of the design's text with words under it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Label {
    /// Bytes of the design's text.
    pub span: Range<usize>,
    /// The words under the marks; may be empty.
    pub text: String,
    /// True for the place of the fault, false for what it clashes with.
    pub primary: bool,
}

/// One fault or warning.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// A stable code, listed in [`codes`](crate::codes) (`G....`) or by the units (`Q....`).
    pub code: &'static str,
    /// What is wrong, one line.
    pub message: String,
    /// Where; the primary one first.
    pub labels: Vec<Label>,
    /// How to mend it.
    pub help: Option<String>,
}

impl Diagnostic {
    pub(crate) fn error(code: Code, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, code.id, message)
    }

    pub(crate) fn warning(code: Code, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code.id, message)
    }

    pub(crate) fn new(severity: Severity, code: &'static str, message: impl Into<String>) -> Self {
        Self { severity, code, message: message.into(), labels: Vec::new(), help: None }
    }

    /// Marks the place of the fault.
    pub(crate) fn at(mut self, span: &Range<usize>, text: impl Into<String>) -> Self {
        self.labels.insert(0, Label { span: span.clone(), text: text.into(), primary: true });
        self
    }

    /// Marks what the fault clashes with.
    pub(crate) fn beside(mut self, span: &Range<usize>, text: impl Into<String>) -> Self {
        self.labels.push(Label { span: span.clone(), text: text.into(), primary: false });
        self
    }

    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Where the fault is: the first byte of its primary label, or the start of the file.
    pub fn start(&self) -> usize {
        self.labels.iter().find(|label| label.primary).map_or(0, |label| label.span.start)
    }
}

/// Line and column of byte `offset`, both from 1; columns count characters.
pub fn line_column(text: &str, offset: usize) -> (usize, usize) {
    let mut end = offset.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}

/// Sorts by place in the text; errors before warnings at the same place.
pub(crate) fn in_order(diagnostics: &mut [Diagnostic]) {
    diagnostics.sort_by(|a, b| {
        (a.start(), std::cmp::Reverse(a.severity), a.code).cmp(&(
            b.start(),
            std::cmp::Reverse(b.severity),
            b.code,
        ))
    });
}
