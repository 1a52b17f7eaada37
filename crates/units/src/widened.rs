//! The same way of writing a quantity with a wider or tighter tolerance.

use crate::form::{Form, Measure, read_value};
use crate::number::format_number;
use std::ops::Range;

/// Digits that a new tolerance keeps.
const DIGITS: usize = 3;
/// Digits of a limit that follows from one: a nanometre in ten metres.
const LIMIT_DIGITS: usize = 11;

/// The text of a quantity with its tolerance `times` as wide: unit and way of writing stay as they are, the
/// tolerance is rounded to three digits, the ends of `a..b` keep their middle.
///
/// `None` where there is no tolerance, where the ends of `a..b` have different units, and where `times` is
/// not a positive number.
///
/// ```
/// use reedmace_units::widened;
/// assert_eq!(widened("8 ± 0.3 mm", 0.5).unwrap(), "8 ± 0.15 mm");
/// assert_eq!(widened("1.2 T +5 -2 %", 2.0).unwrap(), "1.2 T +10 -4 %");
/// assert_eq!(widened("20..25 AT", 0.8).unwrap(), "20.5..24.5 AT");
/// assert_eq!(widened("8 mm", 0.5), None);
/// ```
pub fn widened(text: &str, times: f64) -> Option<String> {
    if !(times.is_finite() && times > 0.0) {
        return None;
    }
    let wider = |m: &Measure| format_number(m.value.magnitude().to_f64() * times, DIGITS);
    let signed = |m: &Measure| {
        let sign: String =
            text[m.span.clone()].chars().take_while(|c| !c.is_ascii_digit() && *c != '.').collect();
        format!("{sign}{}", wider(m))
    };
    let pieces: Vec<(Range<usize>, String)> = match read_value(text).ok()? {
        Form::Exact(_) => return None,
        Form::PlusMinus(_, side) => vec![(side.span.clone(), wider(&side))],
        Form::Sides(_, sides) => sides.iter().map(|m| (m.span.clone(), signed(m))).collect(),
        Form::Range(low, high) => {
            let unit = |m: &Measure| m.unit.clone().map(|span| &text[span]);
            let alike = unit(&low).zip(unit(&high)).is_none_or(|(a, b)| a == b);
            let [a, b] = [&low, &high].map(|m| m.value.to_f64());
            let (middle, half) = (0.5 * (a + b), 0.5 * (b - a) * times);
            let half: f64 = format_number(half, DIGITS).parse().ok().filter(|_| alike)?;
            let end = |value: f64| format_number(value, LIMIT_DIGITS);
            vec![(low.span, end(middle - half)), (high.span, end(middle + half))]
        }
    };
    let mut new = String::new();
    let mut from = 0;
    for (span, piece) in pieces {
        new.push_str(&text[from..span.start]);
        new.push_str(&piece);
        from = span.end;
    }
    new.push_str(&text[from..]);
    read_value(&new).is_ok().then_some(new)
}
