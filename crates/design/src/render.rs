//! Diagnostics as text for people, as short lines for editors and as JSON for programs.

use crate::diagnostic::{Diagnostic, Label, Severity, line_column};
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use serde::Serialize;
use std::fmt::Write;
use std::ops::Range;

/// The marks under the user's own text, one block per diagnostic.
///
/// `file_name` is only shown; `source` is the text the diagnostics point into.
pub fn render_text(
    diagnostics: &[Diagnostic],
    file_name: &str,
    source: &str,
    color: bool,
) -> String {
    let renderer = if color { Renderer::styled() } else { Renderer::plain() };
    let mut out = String::new();
    for diagnostic in diagnostics {
        let level = match diagnostic.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let snippet = Snippet::source(source).path(file_name).annotations(
            diagnostic.labels.iter().map(|label| {
                let kind =
                    if label.primary { AnnotationKind::Primary } else { AnnotationKind::Context };
                kind.span(visible(&label.span, source)).label(&label.text)
            }),
        );
        let mut group =
            level.primary_title(&diagnostic.message).id(diagnostic.code).element(snippet);
        if let Some(help) = &diagnostic.help {
            group = group.element(Level::HELP.message(help));
        }
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    out
}

/// One line per diagnostic: `file:line:column: error[G0102]: what is wrong`.
pub fn render_short(diagnostics: &[Diagnostic], file_name: &str, source: &str) -> String {
    let mut out = String::new();
    for diagnostic in diagnostics {
        let (line, column) = line_column(source, diagnostic.start());
        let (word, code) = (diagnostic.severity.word(), diagnostic.code);
        writeln!(out, "{file_name}:{line}:{column}: {word}[{code}]: {}", diagnostic.message)
            .expect("writing to a string cannot fail");
    }
    out
}

/// A diagnostic with lines and columns beside the byte spans, for programs.
#[derive(Debug, Clone, Serialize)]
pub struct JsonDiagnostic {
    /// The file as the caller named it.
    pub file: String,
    /// Error or warning.
    pub severity: Severity,
    /// A stable code.
    pub code: String,
    /// What is wrong.
    pub message: String,
    /// Line of the fault, from 1.
    pub line: usize,
    /// Column of the fault in characters, from 1.
    pub column: usize,
    /// Where; the primary one first.
    pub labels: Vec<JsonLabel>,
    /// How to mend it.
    pub help: Option<String>,
}

/// A marked piece of the text.
#[derive(Debug, Clone, Serialize)]
pub struct JsonLabel {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
    /// Line of the first byte, from 1.
    pub line: usize,
    /// Column of the first byte in characters, from 1.
    pub column: usize,
    /// Line of the end, from 1.
    pub end_line: usize,
    /// Column of the end in characters, from 1.
    pub end_column: usize,
    /// The words under the marks.
    pub text: String,
    /// True for the place of the fault.
    pub primary: bool,
}

/// The diagnostics in a form to serialise.
pub fn to_json(diagnostics: &[Diagnostic], file_name: &str, source: &str) -> Vec<JsonDiagnostic> {
    diagnostics
        .iter()
        .map(|diagnostic| {
            let (line, column) = line_column(source, diagnostic.start());
            JsonDiagnostic {
                file: file_name.to_owned(),
                severity: diagnostic.severity,
                code: diagnostic.code.to_owned(),
                message: diagnostic.message.clone(),
                line,
                column,
                labels: diagnostic.labels.iter().map(|label| json_label(label, source)).collect(),
                help: diagnostic.help.clone(),
            }
        })
        .collect()
}

fn json_label(label: &Label, source: &str) -> JsonLabel {
    let (line, column) = line_column(source, label.span.start);
    let (end_line, end_column) = line_column(source, label.span.end);
    JsonLabel {
        start: label.span.start,
        end: label.span.end,
        line,
        column,
        end_line,
        end_column,
        text: label.text.clone(),
        primary: label.primary,
    }
}

/// The span, cut to the text and to one line's worth of marks when it runs over several.
fn visible(span: &Range<usize>, source: &str) -> Range<usize> {
    let start = span.start.min(source.len());
    let end = span.end.clamp(start, source.len());
    let line_end = source[start..].find('\n').map_or(source.len(), |at| start + at);
    start..end.min(line_end.max(start))
}
