//! Two numbers with a sign between them: the readings they allow, as they should be written.

use crate::TextError;
use crate::decimal::Decimal;
use crate::form::Measure;
use crate::number::format_number;
use std::ops::Range;

/// A value and one signed number behind it.
pub(crate) struct Pair<'t> {
    text: &'t str,
    first: Decimal,
    second: Decimal,
    first_unit: Option<&'t str>,
    second_unit: Option<&'t str>,
    /// Of the second number with its sign.
    side: &'t str,
    span: Range<usize>,
}

impl<'t> Pair<'t> {
    pub fn new(text: &'t str, first: &Measure, second: &Measure) -> Self {
        let unit = |measure: &Measure| measure.unit.clone().map(|span| &text[span]);
        let end = second.unit.as_ref().map_or(second.span.end, |unit| unit.end);
        Self {
            text,
            first: first.value,
            second: second.value.magnitude(),
            first_unit: unit(first),
            second_unit: unit(second),
            side: &text[second.span.clone()],
            span: first.span.start..end,
        }
    }

    /// `8 -0.2 mm` and `8 +0.2 mm`; `5 -8 mm` looks like a range.
    pub fn one_sided(self) -> TextError {
        let sign = if self.side.starts_with('+') { '+' } else { '-' };
        let comparable = self.common_unit().is_some();
        if sign == '-' && comparable && self.second.to_f64() > self.first.to_f64() {
            return self.range_or_difference("-");
        }
        let zeroed = |shown: char| if shown == sign { number(self.second) } else { "0".into() };
        let tolerance = format!("+{} -{}", zeroed('+'), zeroed('-'));
        let tolerance = match (self.first_unit, self.second_unit) {
            (Some(own), Some(other)) => {
                format!("{} {own} {tolerance} {other}", number(self.first))
            }
            (unit, other) => with_unit(
                format!("{} {tolerance}", number(self.first)),
                unit.or(other).unwrap_or_default(),
            ),
        };
        let (word, result) = match sign {
            '-' => ("difference", self.first.minus(self.second)),
            _ => ("sum", self.first.plus(self.second)),
        };
        let help = match self.common_unit() {
            Some(unit) => {
                let result = with_unit(number(result), unit);
                format!("write `{tolerance}` for the tolerance, `{result}` for the {word}")
            }
            None => format!("write `{tolerance}` for the tolerance, or work out the {word}"),
        };
        self.refuse("Q0112").label(format!("a tolerance on one side, or a {word}?")).help(help)
    }

    /// `5-8 mm` and `5–8 mm`.
    pub fn range_or_difference(self, sign: &str) -> TextError {
        let [mut low, mut high] = [self.first, self.second];
        let help = match self.common_unit() {
            Some(unit) => {
                let difference = with_unit(number(low.minus(high)), unit);
                if low.to_f64() > high.to_f64() {
                    [low, high] = [high, low];
                }
                let range = with_unit(format!("{}..{}", number(low), number(high)), unit);
                format!("write `{range}` for the range, `{difference}` for the difference")
            }
            None => "put `..` between the two for a range, or work out the difference".into(),
        };
        self.refuse("Q0113").label(format!("does `{sign}` mean up to, or minus?")).help(help)
    }

    fn refuse(self, code: &'static str) -> TextError {
        let written = &self.text[self.span.clone()];
        let message = format!("`{written}` can be read in two ways");
        TextError::new(code, self.span, message)
    }

    /// The unit of both numbers, empty if neither has one; `None` if they cannot be compared.
    fn common_unit(&self) -> Option<&'t str> {
        match (self.first_unit, self.second_unit) {
            (Some(own), Some(other)) => (own == other && own != "%").then_some(own),
            (None, Some("%")) => None,
            (unit, other) => Some(unit.or(other).unwrap_or_default()),
        }
    }
}

fn number(value: Decimal) -> String {
    format_number(value.to_f64(), 15)
}

fn with_unit(number: String, unit: &str) -> String {
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}
