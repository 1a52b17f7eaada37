//! Numbers as people read them: significant digits, no binary dust.

use crate::{Quantity, Toleranced, Unit};

/// The digits [`format_si`] keeps at most.
const DIGITS: usize = 6;

/// A number with at most `digits` significant digits and no trailing zeros.
///
/// Plain digits from 0.0001 to below a thousand million, `1.5e-7` beyond. What it prints reads back
/// through this crate as the same rounded number.
///
/// ```
/// use reedmace_units::format_number;
/// assert_eq!(format_number(7.849999999, 4), "7.85");
/// assert_eq!(format_number(-0.0, 3), "0");
/// assert_eq!(format_number(1.5e-7, 3), "1.5e-7");
/// ```
pub fn format_number(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    let rounded = format!("{value:.*e}", digits.max(1) - 1);
    let (digits, exponent) = rounded.split_once('e').unwrap_or((&rounded, "0"));
    let exponent: i32 = exponent.parse().unwrap_or(0);
    let (sign, digits) = digits.strip_prefix('-').map_or(("", digits), |rest| ("-", rest));
    let digits: String = digits.chars().filter(char::is_ascii_digit).collect();
    let digits = digits.trim_end_matches('0');
    if digits.is_empty() {
        return "0".into();
    }
    if !(-4..9).contains(&exponent) {
        let (first, rest) = digits.split_at(1);
        let point = if rest.is_empty() { "" } else { "." };
        return format!("{sign}{first}{point}{rest}e{exponent}");
    }
    if exponent < 0 {
        let zeros = "0".repeat((-exponent - 1) as usize);
        return format!("{sign}0.{zeros}{digits}");
    }
    let whole = exponent as usize + 1;
    if digits.len() <= whole {
        return format!("{sign}{digits}{}", "0".repeat(whole - digits.len()));
    }
    let (whole, fraction) = digits.split_at(whole);
    format!("{sign}{whole}.{fraction}")
}

/// A value in the given unit with at most `digits` significant digits.
///
/// ```
/// use reedmace_units::{Length, format_in, unit_named};
/// let inch = unit_named::<Length>("in").unwrap();
/// assert_eq!(format_in(Length::mm(12.7), inch, 4), "0.5 in");
/// ```
pub fn format_in<Q: Quantity>(value: Q, unit: &Unit, digits: usize) -> String {
    with_symbol(format_number(unit.number_of(value.si()), digits), unit)
}

/// A value in the first unit of its kind, with as many digits as it needs (at most six significant).
///
/// ```
/// use reedmace_units::{Length, format_si};
/// assert_eq!(format_si(Length::m(0.00785)), "7.85 mm");
/// ```
pub fn format_si<Q: Quantity>(value: Q) -> String {
    format_in(value, &Q::UNITS[0], DIGITS)
}

/// A nominal value with its band, all three to the same decimal place.
///
/// The place is set by the band, whose width keeps two significant digits: a band of 0.68 mm is
/// printed in hundredths and one of 12 mm in whole millimetres. A band of no width prints the
/// nominal value alone to four significant digits.
///
/// ```
/// use reedmace_units::{Length, format_band, unit_named};
/// let mm = unit_named::<Length>("mm").unwrap();
/// let text = format_band(Length::mm(7.5212), Length::mm(7.849999999), Length::mm(8.2), mm);
/// assert_eq!(text, "7.85 mm (7.52 to 8.20)");
/// ```
pub fn format_band<Q: Quantity>(low: Q, nominal: Q, high: Q, unit: &Unit) -> String {
    let [low, nominal, high] = [low, nominal, high].map(|q| unit.number_of(q.si()));
    let width = high - low;
    if !(width > 0.0 && width.is_finite()) {
        return with_symbol(format_number(nominal, 4), unit);
    }
    let decimals = (1.0 - width.log10().floor()).max(0.0);
    if decimals > 9.0 {
        return with_symbol(format_number(nominal, 10), unit);
    }
    let decimals = decimals as usize;
    let fixed = |x: f64| {
        let text = format!("{x:.decimals$}");
        let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
        if is_zero { text.trim_start_matches('-').to_owned() } else { text }
    };
    let nominal = with_symbol(fixed(nominal), unit);
    format!("{nominal} ({} to {})", fixed(low), fixed(high))
}

/// The text of limits around a nominal value, in the first unit of the quantity.
pub(crate) fn limits_text<Q: Quantity>(low: Q, nominal: Q, high: Q) -> String {
    let unit = &Q::UNITS[0];
    let [low, nominal, high] = [low, nominal, high].map(|q| unit.number_of(q.si()));
    let text = around_text(nominal, nominal - low, high - nominal);
    with_symbol(text, unit)
}

/// `8 ± 0.3` or `8 +0.5 -0.2`.
pub(crate) fn around_text(nominal: f64, below: f64, above: f64) -> String {
    let [nominal, below, above] = [nominal, below, above].map(|x| format_number(x, DIGITS));
    if below == above {
        format!("{nominal} ± {below}")
    } else {
        format!("{nominal} +{above} -{below}")
    }
}

impl<Q: Quantity> Toleranced<Q> {
    /// The nominal value and its band in the given unit, as [`format_band`] prints them.
    pub fn format_in(&self, unit: &Unit) -> String {
        format_band(self.low, self.nominal, self.high, unit)
    }
}

fn with_symbol(number: String, unit: &Unit) -> String {
    if unit.symbol.is_empty() { number } else { format!("{number} {}", unit.symbol) }
}
