//! Changes of a design's text that leave everything else as it is: comments, order, layout.
//!
//! The text is parsed for the places of its values alone; a change replaces, inserts or cuts out a
//! piece of it, never more than it must.

mod add;
mod apart;
mod choice;
mod path;
mod remove;
mod set;
#[cfg(test)]
mod tests;

pub(crate) use add::add;
pub(crate) use apart::apart;
pub(crate) use choice::choice;
pub(crate) use path::{Node, Step, steps};
pub(crate) use remove::remove;
pub(crate) use set::{New, set};

use crate::wire::{Change, utf16};
use std::ops::Range;
use toml_edit::Document;

/// A piece of the text and what comes in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Splice {
    /// Bytes of the text.
    pub span: Range<usize>,
    /// What comes there.
    pub with: String,
}

/// Why a text is left as it is.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(crate) enum EditError {
    /// There is no telling what is where.
    #[error("the text has a fault that must be mended first: {0}")]
    NotToml(String),
    /// No such place.
    #[error("the design has no `{0}`")]
    NoPlace(String),
    /// What comes there is not TOML.
    #[error("`{0}` is no value")]
    NoValue(String),
}

impl Splice {
    fn new(span: Range<usize>, with: impl Into<String>) -> Self {
        Self { span, with: with.into() }
    }
}

/// The text as a tree that knows its places.
pub(crate) fn parse(text: &str) -> Result<Document<&str>, EditError> {
    Document::parse(text).map_err(|why| EditError::NotToml(why.message().to_owned()))
}

/// The text with every splice made.
pub(crate) fn spliced(text: &str, splices: &[Splice]) -> String {
    let mut new = String::new();
    let mut from = 0;
    for splice in splices {
        new.push_str(&text[from..splice.span.start]);
        new.push_str(&splice.with);
        from = splice.span.end;
    }
    new.push_str(&text[from..]);
    new
}

/// Splices as the page's editor counts them.
pub(crate) fn changes(text: &str, splices: Vec<Splice>) -> Vec<Change> {
    let change = |splice: Splice| Change {
        from: utf16(text, splice.span.start),
        to: utf16(text, splice.span.end),
        insert: splice.with,
    };
    splices.into_iter().map(change).collect()
}

/// Where the line of a byte begins.
fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |newline| newline + 1)
}

/// Where the line of a byte ends, before its newline.
fn line_end(text: &str, at: usize) -> usize {
    let end = text[at..].find('\n').map_or(text.len(), |newline| at + newline);
    if text[..end].ends_with('\r') && end > at { end - 1 } else { end }
}

/// Where the line after that of a byte begins.
fn next_line(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |newline| at + newline + 1)
}

/// Where the lines of comment begin that stand right above a line, or the line itself.
fn comment_above(text: &str, line: usize) -> usize {
    let mut from = line;
    while from > 0 {
        let above = line_start(text, from - 1);
        if !text[above..from].trim_start().starts_with('#') {
            break;
        }
        from = above;
    }
    from
}

/// How this text ends its lines.
fn newline(text: &str) -> &'static str {
    if text.contains("\r\n") { "\r\n" } else { "\n" }
}
