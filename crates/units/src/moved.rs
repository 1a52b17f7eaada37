//! The same way of writing a quantity with another nominal value.

use crate::form::{Form, Measure, read_value};
use crate::lookup::find_unit;
use crate::number::{format_in, format_number};
use crate::{Quantity, Toleranced, Unit};
use std::ops::Range;

/// Digits a moved number keeps: a nanometre in ten metres.
const DIGITS: usize = 11;

impl<Q: Quantity> Toleranced<Q> {
    /// The same with another nominal value: units, tolerance and way of writing stay as they are.
    ///
    /// Both ends of `a..b` move along. A tolerance in per cent stays one of the new value. `None` where
    /// that cannot be written: a percentage of zero, a temperature below absolute zero.
    ///
    /// ```
    /// use reedmace_units::{Length, Toleranced};
    /// let moved = |text: &str, mm: f64| {
    ///     let length: Toleranced<Length> = text.parse().unwrap();
    ///     length.moved_to(Length::mm(mm)).unwrap().to_string()
    /// };
    /// assert_eq!(moved("8 ± 0.3 mm", 9.5), "9.5 ± 0.3 mm");
    /// assert_eq!(moved("1 in +5 -2 mil", 12.7), "0.5 in +5 -2 mil");
    /// assert_eq!(moved("3..8 mm", 6.0), "3.5..8.5 mm");
    /// ```
    pub fn moved_to(&self, nominal: Q) -> Option<Self> {
        let form = read_value(&self.text).ok()?;
        let unit = |own: &Measure, others: &[&Measure]| -> Option<&'static Unit> {
            let symbol = |m: &Measure| Some(&self.text[m.unit.clone()?]);
            let from_others = || others.iter().filter_map(|m| symbol(m)).find(|s| *s != "%");
            find_unit(Q::UNITS, symbol(own).or_else(from_others).unwrap_or(""))
        };
        let number = |unit: &Unit, si: f64| format_number(unit.number_of(si), DIGITS);
        let text = match &form {
            Form::Exact(m) => self.with(&[(&m.span, number(unit(m, &[])?, nominal.si()))]),
            Form::PlusMinus(m, side) => {
                self.with(&[(&m.span, number(unit(m, &[side])?, nominal.si()))])
            }
            Form::Sides(m, [a, b]) => {
                self.with(&[(&m.span, number(unit(m, &[a, b])?, nominal.si()))])
            }
            Form::Range(low, high) => {
                let further = nominal.si() - self.nominal.si();
                let [of_low, of_high] = [unit(low, &[high])?, unit(high, &[])?];
                self.with(&[
                    (&low.span, number(of_low, self.low.si() + further)),
                    (&high.span, number(of_high, self.high.si() + further)),
                ])
            }
        };
        text.parse().ok()
    }

    /// The text of one value without tolerance, in the unit that this one is written in, which reads as
    /// that very value, or within its rounding where no digits do.
    ///
    /// ```
    /// use reedmace_units::{Length, Quantity, Toleranced};
    /// let length: Toleranced<Length> = "8 mm ± 5 %".parse().unwrap();
    /// let text = length.settled_at(Length::from_si(0.3 / 39.0));
    /// assert_eq!(text, "7.692307692307692 mm");
    /// assert_eq!(text.parse::<Toleranced<Length>>().unwrap().nominal, Length::from_si(0.3 / 39.0));
    /// ```
    pub fn settled_at(&self, value: Q) -> String {
        let measures = match read_value(&self.text).ok() {
            Some(Form::Exact(m)) => vec![m],
            Some(Form::PlusMinus(m, side)) => vec![m, side],
            Some(Form::Sides(m, [a, b])) => vec![m, a, b],
            Some(Form::Range(low, high)) => vec![low, high],
            None => Vec::new(),
        };
        let symbols = measures.iter().filter_map(|m| Some(&self.text[m.unit.clone()?]));
        // A tolerance in per cent says nothing of the unit.
        let own = symbols
            .filter(|symbol| *symbol != "%" || measures.len() == 1)
            .find_map(|symbol| find_unit(Q::UNITS, symbol));
        let unit = own.unwrap_or(&Q::UNITS[0]);
        let text = |digits: usize| format_in(value, unit, digits);
        let same = |text: &String| {
            text.parse::<Self>().is_ok_and(|read| read.nominal == value && read.is_exact())
        };
        (DIGITS..17).map(text).find(same).unwrap_or_else(|| text(17))
    }

    /// The text with pieces of it, in order, written anew.
    fn with(&self, pieces: &[(&Range<usize>, String)]) -> String {
        let mut text = String::new();
        let mut from = 0;
        for (span, new) in pieces {
            text.push_str(&self.text[from..span.start]);
            text.push_str(new);
            from = span.end;
        }
        text.push_str(&self.text[from..]);
        text
    }
}
