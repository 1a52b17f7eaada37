//! A quantity of the design with its place in the text and where it is from.

use reedmace_units::{Quantity, Toleranced};
use std::ops::Range;

/// Where a value is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceMark {
    /// `source = "measured"`.
    Measured,
    /// `source = "supplier"`.
    Supplier,
    /// `source = "standard"`.
    Standard,
    /// `source = "guess"`.
    Guess,
    /// Taken from a catalogue entry named in the design.
    Catalogue,
    /// Not stated; the program's default.
    Default,
}

impl SourceMark {
    /// The words a design may use.
    pub const WORDS: &'static [&'static str] = &["measured", "supplier", "standard", "guess"];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Supplier => "supplier",
            Self::Standard => "standard",
            Self::Guess => "guess",
            Self::Catalogue => "catalogue",
            Self::Default => "default",
        }
    }

    pub(crate) fn from_word(word: &str) -> Option<Self> {
        [Self::Measured, Self::Supplier, Self::Standard, Self::Guess]
            .into_iter()
            .find(|mark| mark.word() == word)
    }
}

/// One of several that a quantity is a mixture of, such as a supplier.
#[derive(Debug, Clone, PartialEq)]
pub struct Part<Q> {
    /// The quantity in units of this part.
    pub is: Toleranced<Q>,
    /// Share of the units, 0 to 1; those of a mixture make one.
    pub share: f64,
}

/// A quantity of the design.
#[derive(Debug, Clone, PartialEq)]
pub struct Value<Q> {
    /// The quantity with its limits, and its text as written; of a mixture what holds all its parts, with the
    /// nominal value of the first.
    pub is: Toleranced<Q>,
    /// Where units take it from by shares: the parts of a mixture; none otherwise.
    pub mixture: Vec<Part<Q>>,
    /// Its place in the design: `magnet[slug].size[1]`.
    pub path: String,
    /// Its bytes in the design's text; for a value of the catalogue those of the entry's name, for
    /// a default those of the table's header.
    pub span: Range<usize>,
    /// Where it is from, if stated or known.
    pub source: Option<SourceMark>,
    /// The user's note.
    pub note: Option<String>,
}

impl<Q: Quantity> Value<Q> {
    /// The nominal value in SI.
    pub fn si(&self) -> f64 {
        self.is.nominal.si()
    }

    /// True when the design itself states it, neither catalogue nor default.
    pub fn is_stated(&self) -> bool {
        !matches!(self.source, Some(SourceMark::Catalogue | SourceMark::Default))
    }
}
