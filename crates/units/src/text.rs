//! Text to a toleranced quantity and back.

use crate::Quantity;
use std::{fmt, ops::Range, str::FromStr};

/// How a quantity spreads between its limits over many built units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Spread {
    /// `±`: the limits are three sigma of a normal distribution truncated there.
    #[default]
    Normal,
    /// `a..b`: every value between the limits is equally likely.
    Uniform,
}

/// A quantity with its nominal value and limits, and the text it was written as.
///
/// A number without tolerance has `low == nominal == high`.
#[derive(Debug, Clone, PartialEq)]
pub struct Toleranced<Q> {
    /// The value aimed at; for `a..b` the middle.
    pub nominal: Q,
    /// The lowest value a unit may have.
    pub low: Q,
    /// The highest value a unit may have.
    pub high: Q,
    /// How units spread between the limits.
    pub spread: Spread,
    text: String,
}

impl<Q: Quantity> Toleranced<Q> {
    /// An exact value, shown in the first unit of its kind.
    pub fn exact(value: Q) -> Self {
        let text = format_si(value);
        Self { nominal: value, low: value, high: value, spread: Spread::Normal, text }
    }
    /// The text it was written as.
    pub fn text(&self) -> &str {
        &self.text
    }
    /// True when it carries no tolerance.
    pub fn is_exact(&self) -> bool {
        self.low == self.high
    }
}

impl<Q> fmt::Display for Toleranced<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// A demand on a coordinate: `<= 8 mm`, `>= 22 mm`, `3..8 mm`.
#[derive(Debug, Clone, PartialEq)]
pub enum Region<Q> {
    /// `<= x`
    AtMost(Q),
    /// `>= x`
    AtLeast(Q),
    /// `a..b`
    Between(Q, Q),
}

/// Why a text is not the quantity asked for; `span` is in bytes of that text.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{message}")]
pub struct TextError {
    /// A stable code, `Q....`.
    pub code: &'static str,
    /// What is wrong, one line.
    pub message: String,
    /// Which bytes of the text.
    pub span: Range<usize>,
    /// The words under the marks.
    pub label: String,
    /// How to mend it.
    pub help: Option<String>,
}

impl<Q: Quantity> FromStr for Toleranced<Q> {
    type Err = TextError;
    fn from_str(_text: &str) -> Result<Self, TextError> {
        unimplemented!()
    }
}

impl<Q: Quantity> FromStr for Region<Q> {
    type Err = TextError;
    fn from_str(_text: &str) -> Result<Self, TextError> {
        unimplemented!()
    }
}

/// A value in the first unit of its kind, with as many digits as it needs (at most six significant).
pub fn format_si<Q: Quantity>(value: Q) -> String {
    format!("{} {}", value.si() / Q::UNITS[0].factor, Q::UNITS[0].symbol)
}
