//! What a text means: a value with limits, or a region, or an error that points into it.

use crate::number::limits_text;
use crate::{Quantity, format_si};
use std::{fmt, ops::Range};

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
/// A number without tolerance has `low == nominal == high`. The text is read by
/// [`FromStr`](std::str::FromStr) (the crate's front page lists the forms) and printed unchanged by
/// `Display`. Two values are equal when their limits, spread and text are.
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
    pub(crate) text: String,
}

impl<Q: Quantity> Toleranced<Q> {
    /// An exact value, shown in the first unit of its kind.
    pub fn exact(value: Q) -> Self {
        let text = format_si(value);
        Self { nominal: value, low: value, high: value, spread: Spread::Normal, text }
    }
    /// A value with limits, shown in the first unit of its kind, or `None` unless
    /// `low <= nominal <= high`.
    ///
    /// ```
    /// use reedmace_units::{Length, Spread, Toleranced};
    /// let [low, nominal, high] = [7.8, 8.0, 8.5].map(Length::mm);
    /// let gap = Toleranced::within(low, nominal, high, Spread::Normal).unwrap();
    /// assert_eq!(gap.text(), "8 +0.5 -0.2 mm");
    /// ```
    pub fn within(low: Q, nominal: Q, high: Q, spread: Spread) -> Option<Self> {
        let text = limits_text(low, nominal, high);
        (low <= nominal && nominal <= high).then_some(Self { nominal, low, high, spread, text })
    }
    /// What holds all of `these` (the nominal value and the spread of the first), written as `text`; `None` of
    /// none.
    ///
    /// ```
    /// use reedmace_units::{Polarization, Toleranced};
    /// let two = ["1.2 ± 0.02 T", "1.24 ± 0.03 T"].map(|text| text.parse().unwrap());
    /// let either = Toleranced::<Polarization>::spanning(&two, "either".into()).unwrap();
    /// assert_eq!(either.nominal, Polarization::tesla(1.2));
    /// assert_eq!(either.low, two[0].low);
    /// assert_eq!(either.high, two[1].high);
    /// ```
    pub fn spanning(these: &[Self], text: String) -> Option<Self> {
        let (first, rest) = these.split_first()?;
        let mut whole = Self { text, ..first.clone() };
        for one in rest {
            whole.low = if one.low < whole.low { one.low } else { whole.low };
            whole.high = if one.high > whole.high { one.high } else { whole.high };
        }
        Some(whole)
    }
    /// The text it was written as.
    pub fn text(&self) -> &str {
        &self.text
    }
    /// True when it carries no tolerance.
    pub fn is_exact(&self) -> bool {
        self.low == self.high
    }
    /// True when the value lies between the limits, ends included.
    pub fn contains(&self, value: Q) -> bool {
        self.low <= value && value <= self.high
    }
}

impl<Q> fmt::Display for Toleranced<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// A demand on a coordinate: `<= 8 mm`, `>= 22 mm`, `3..8 mm`.
///
/// The ends belong to the region. `<` means the same as `<=`: no measurement tells them apart.
/// `Display` prints it in the first unit of its kind; [`Written`] keeps the user's own text.
///
/// ```
/// use reedmace_units::{Length, Region};
/// let closed: Region<Length> = "≤ 0.8 cm".parse().unwrap();
/// assert_eq!(closed, Region::AtMost(Length::mm(8.0)));
/// assert!(closed.contains(Length::mm(8.0)) && !closed.contains(Length::mm(8.1)));
/// assert_eq!(closed.to_string(), "<= 8 mm");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Region<Q> {
    /// `<= x`
    AtMost(Q),
    /// `>= x`
    AtLeast(Q),
    /// `a..b`
    Between(Q, Q),
}

impl<Q: Quantity> Region<Q> {
    /// True when the value lies in the region, ends included.
    pub fn contains(&self, value: Q) -> bool {
        let (low, high) = self.limits();
        low.is_none_or(|low| low <= value) && high.is_none_or(|high| value <= high)
    }
    /// The lower and the upper end, where there is one.
    pub fn limits(&self) -> (Option<Q>, Option<Q>) {
        match *self {
            Self::AtMost(high) => (None, Some(high)),
            Self::AtLeast(low) => (Some(low), None),
            Self::Between(low, high) => (Some(low), Some(high)),
        }
    }
}

impl<Q: Quantity> fmt::Display for Region<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::AtMost(high) => write!(f, "<= {}", format_si(high)),
            Self::AtLeast(low) => write!(f, ">= {}", format_si(low)),
            Self::Between(low, high) => write!(f, "{} .. {}", format_si(low), format_si(high)),
        }
    }
}

/// A value read from text, with that text: `Written<Region<Length>>` prints as the user wrote it.
///
/// ```
/// use reedmace_units::{Length, Region, Written};
/// let closed: Written<Region<Length>> = "≤ 0.8 cm".parse().unwrap();
/// assert_eq!(closed.to_string(), "≤ 0.8 cm");
/// assert!(closed.value.contains(Length::mm(7.0)));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Written<T> {
    /// What the text means.
    pub value: T,
    text: String,
}

impl<T> Written<T> {
    /// The text it was written as.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl<T: std::str::FromStr> std::str::FromStr for Written<T> {
    type Err = T::Err;
    fn from_str(text: &str) -> Result<Self, T::Err> {
        Ok(Self { value: text.parse()?, text: text.to_owned() })
    }
}

impl<T> fmt::Display for Written<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// Why a text is not the quantity asked for; `span` is in bytes of that text.
///
/// The crate's front page lists the codes. The span lies on character boundaries; it is the whole
/// text where something is missing rather than wrong.
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

impl TextError {
    pub(crate) fn new(code: &'static str, span: Range<usize>, message: String) -> Self {
        Self { code, message, span, label: String::new(), help: None }
    }
    pub(crate) fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }
    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}
