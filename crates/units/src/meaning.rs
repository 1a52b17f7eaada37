//! From a form to limits in SI: which unit counts for which number, and what a tolerance is of.

use crate::decimal::Decimal;
use crate::form::{Form, Measure, RegionForm, read_region, read_value};
use crate::lookup::{find_unit, list, list_units, nearest_unit, with_article};
use crate::number::{around_text, format_number};
use crate::{Quantity, Region, Spread, TextError, Toleranced, Unit, which_quantity};
use std::{ops::Range, str::FromStr};

/// Below this a bare number with a percentage may well be a percentage itself.
const LARGEST_PERCENTAGE: f64 = 100.0;

/// How far below absolute zero the conversion of exactly absolute zero may round.
const ROUNDING_KELVIN: f64 = 1e-12;

impl<Q: Quantity> FromStr for Toleranced<Q> {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        let (limits, spread) = Reading::of::<Q>(text).value(read_value(text)?)?;
        let [low, nominal, high] = limits.map(Q::from_si);
        Ok(Self { nominal, low, high, spread, text: text.to_owned() })
    }
}

impl<Q: Quantity> FromStr for Region<Q> {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        let reading = Reading::of::<Q>(text);
        Ok(match read_region(text)? {
            RegionForm::AtMost(end) => Self::AtMost(Q::from_si(reading.exact(&end)?)),
            RegionForm::AtLeast(end) => Self::AtLeast(Q::from_si(reading.exact(&end)?)),
            RegionForm::Between(low, high) => {
                let [low, _, high] = reading.range(&low, &high)?;
                Self::Between(Q::from_si(low), Q::from_si(high))
            }
        })
    }
}

/// A text and the quantity it is read as.
struct Reading<'t> {
    text: &'t str,
    name: &'static str,
    units: &'static [Unit],
}

impl<'t> Reading<'t> {
    fn of<Q: Quantity>(text: &'t str) -> Self {
        Self { text, name: Q::NAME, units: Q::UNITS }
    }

    fn value(&self, form: Form) -> Result<([f64; 3], Spread), TextError> {
        match form {
            Form::Exact(number) => Ok(([self.exact(&number)?; 3], Spread::Normal)),
            Form::Range(low, high) => Ok((self.range(&low, &high)?, Spread::Uniform)),
            Form::PlusMinus(nominal, tolerance) => {
                let inherited = tolerance.unit.clone();
                let below = Measure { value: tolerance.value.negated(), ..tolerance.clone() };
                let limits = self.around(nominal, [below, tolerance], inherited)?;
                Ok((limits, Spread::Normal))
            }
            Form::Sides(nominal, [mut first, second]) => {
                // `8 +0.5 -0.2 mm`: the last unit counts for the numbers before it.
                first.unit = first.unit.or(second.unit.clone());
                let inherited = [&first, &second].map(|side| side.unit.clone());
                let inherited =
                    inherited.into_iter().flatten().find(|unit| &self.text[unit.clone()] != "%");
                let percent = first.unit.clone();
                let limits = self.around(nominal, [first, second], inherited.or(percent))?;
                Ok((limits, Spread::Normal))
            }
        }
    }

    fn exact(&self, number: &Measure) -> Result<f64, TextError> {
        let unit = self.unit(number.unit.as_ref(), &number.span)?;
        self.in_si(unit, number.value, &number.span)
    }

    /// Low, middle and high of `a..b`.
    fn range(&self, low: &Measure, high: &Measure) -> Result<[f64; 3], TextError> {
        if low.unit.is_some() && high.unit.is_none() && find_unit(self.units, "%").is_some() {
            let message = format!("`{}` has no unit", &self.text[high.span.clone()]);
            return Err(TextError::new("Q0106", high.span.clone(), message)
                .label("a percentage or a plain number?")
                .help("write both ends alike: `15..25 %`, or `0.15..0.25`"));
        }
        let unitless =
            if low.unit.is_some() { high.span.clone() } else { low.span.start..high.span.end };
        let high_unit = self.unit(high.unit.as_ref(), &unitless)?;
        let low_unit = match low.unit.as_ref() {
            Some(_) => self.unit(low.unit.as_ref(), &low.span)?,
            None => high_unit,
        };
        let from = self.in_si(low_unit, low.value, &low.span)?;
        let to = self.in_si(high_unit, high.value, &high.span)?;
        if from > to {
            let whole = low.span.start..high.unit.as_ref().map_or(high.span.end, |unit| unit.end);
            let number = |end: &Measure| self.text[end.span.clone()].to_owned();
            let unit = |end: &Measure| {
                end.unit.clone().map_or(String::new(), |unit| format!(" {}", &self.text[unit]))
            };
            let lower_unit = if low.unit.is_some() { unit(high) } else { String::new() };
            let upper_unit = if low.unit.is_some() { unit(low) } else { unit(high) };
            let [a, b] = [number(high) + &lower_unit, number(low) + &upper_unit];
            return Err(TextError::new("Q0111", whole, "the range runs backwards".into())
                .label("the lower limit comes first")
                .help(format!("write `{a}..{b}`")));
        }
        let middle = if low_unit.offset == high_unit.offset {
            let end = convert(high.value, high_unit, low_unit);
            low_unit.to_si(low.value.plus(end).half().to_f64())
        } else {
            from + (to - from) / 2.0
        };
        Ok([from, middle.clamp(from, to), to])
    }

    /// Low, nominal and high of a value and its two deviations.
    ///
    /// `inherited` is the unit the nominal value takes when it has none of its own.
    fn around(
        &self,
        mut nominal: Measure,
        sides: [Measure; 2],
        inherited: Option<Range<usize>>,
    ) -> Result<[f64; 3], TextError> {
        let relative = sides.iter().any(|side| self.is_percent(side));
        if relative && find_unit(self.units, "%").is_some() {
            self.refuse_percent_of_percent(&nominal, &sides)?;
        } else if sides.iter().any(|side| self.is_percent(&nominal) != self.is_percent(side)) {
            self.refuse_points(&nominal, &sides)?;
        }
        let inherited = inherited.filter(|unit| &self.text[unit.clone()] != "%");
        nominal.unit = nominal.unit.or(inherited);
        if nominal.unit.is_none() && sides.iter().all(|side| side.unit.is_none()) {
            let last = sides[0].span.end.max(sides[1].span.end);
            self.unit(None, &(nominal.span.start..last))?;
        }
        let unit = self.unit(nominal.unit.as_ref(), &nominal.span)?;
        let mut limits = [nominal.value; 2];
        for side in &sides {
            let limit = nominal.value.plus(self.deviation(&nominal, unit, side, &sides)?);
            match side.value.to_f64() {
                below if below < 0.0 => limits[0] = limit,
                above if above > 0.0 => limits[1] = limit,
                _ => {}
            }
        }
        let low = self.in_si(unit, limits[0], &nominal.span)?;
        let high = self.in_si(unit, limits[1], &nominal.span)?;
        Ok([low, self.in_si(unit, nominal.value, &nominal.span)?, high])
    }

    /// A deviation in the unit of the nominal value.
    fn deviation(
        &self,
        nominal: &Measure,
        unit: &'static Unit,
        side: &Measure,
        sides: &[Measure; 2],
    ) -> Result<Decimal, TextError> {
        if !self.is_percent(side) {
            let own = self.unit(side.unit.as_ref(), &side.span)?;
            return Ok(convert(side.value, own, unit));
        }
        if unit.offset != 0.0 {
            return Err(self.percent_of_temperature(nominal, unit, sides));
        }
        if nominal.value.is_zero() {
            let span = side.span.start..side.unit.as_ref().map_or(side.span.end, |u| u.end);
            let written = &self.text[span.clone()];
            return Err(TextError::new("Q0118", span, format!("`{written}` of zero is nothing"))
                .label("a percentage of zero")
                .help(format!("give the tolerance in {}", list_units(self.units))));
        }
        Ok(nominal.value.magnitude().times(side.value).percent())
    }

    fn is_percent(&self, measure: &Measure) -> bool {
        measure.unit.as_ref().is_some_and(|unit| &self.text[unit.clone()] == "%")
    }

    fn unit(
        &self,
        unit: Option<&Range<usize>>,
        number: &Range<usize>,
    ) -> Result<&'static Unit, TextError> {
        let Some(span) = unit else {
            return find_unit(self.units, "").ok_or_else(|| self.no_unit(number));
        };
        let symbol = &self.text[span.clone()];
        find_unit(self.units, symbol).ok_or_else(|| self.wrong_unit(symbol, span))
    }

    fn in_si(&self, unit: &Unit, number: Decimal, span: &Range<usize>) -> Result<f64, TextError> {
        let si = unit.to_si(number.to_f64());
        let is_temperature = self.units.iter().any(|unit| unit.offset != 0.0);
        if is_temperature && si < -ROUNDING_KELVIN {
            let zero = format_number(unit.number_of(0.0), 6);
            return Err(TextError::new("Q0119", span.clone(), "colder than absolute zero".into())
                .label(format!("absolute zero is {zero} {}", unit.symbol))
                .help("were the unit or the sign mistaken?"));
        }
        if is_temperature {
            return Ok(si.max(0.0));
        }
        Ok(si)
    }

    fn no_unit(&self, number: &Range<usize>) -> TextError {
        let written = &self.text[number.clone()];
        let first = self.units[0].symbol;
        let units = list_units(self.units);
        TextError::new("Q0106", number.clone(), format!("`{written}` has no unit"))
            .label(format!("{} needs one", with_article(self.name)))
            .help(format!("write `{written} {first}` or another of {units}"))
    }

    fn wrong_unit(&self, symbol: &str, span: &Range<usize>) -> TextError {
        let owners = which_quantity(symbol);
        let units = list_units(self.units);
        let kind = with_article(self.name);
        if owners.is_empty() {
            let error =
                TextError::new("Q0108", span.clone(), format!("`{symbol}` is not a known unit"));
            return match nearest_unit(self.units, symbol) {
                Some(near) => error
                    .label(format!("is `{}` meant?", near.symbol))
                    .help(format!("the units of {kind} are {units}").replace(" or ", " and ")),
                None => error.label("unknown unit").help(format!("{kind} is written in {units}")),
            };
        }
        TextError::new("Q0107", span.clone(), format!("`{symbol}` is not {kind}; use {units}"))
            .label(format!("`{symbol}` is a unit of {}", list(&owners)))
            .help(format!("write {kind} as in `{}`", format!("8 {}", self.units[0].symbol).trim()))
    }

    fn percent_of_temperature(
        &self,
        nominal: &Measure,
        unit: &Unit,
        sides: &[Measure; 2],
    ) -> TextError {
        let written = nominal.value.to_f64();
        let absolute = unit.to_si(written);
        let symbol = unit.symbol;
        let of = |base: f64| {
            move |[below, above]: [f64; 2]| {
                format!("{} {symbol}", around_text(written, base * below, base * above))
            }
        };
        let shares = self.shares(sides);
        let help = match shares.map(|s| [of(written.abs())(s), of(absolute / unit.factor)(s)]) {
            Some([near, far]) => format!("write `{near}` for the one, `{far}` for the other"),
            None => "give both deviations in K".into(),
        };
        let end = self.end_of(sides);
        let start = sides[0].span.start.min(sides[1].span.start);
        let [value, absolute] = [written, absolute].map(|x| format_number(x, 6));
        let message = "a percentage of a temperature can be read in two ways".into();
        TextError::new("Q0116", start..end, message)
            .label(format!("of {value} {symbol}, or of {absolute} K?"))
            .help(help)
    }

    /// A bare number above 100 with a percentage is relative; anything smaller may be a share
    /// itself, with a tolerance in percentage points.
    fn refuse_percent_of_percent(
        &self,
        nominal: &Measure,
        sides: &[Measure; 2],
    ) -> Result<(), TextError> {
        let value = nominal.value.to_f64();
        if nominal.unit.is_none() && value.abs() > LARGEST_PERCENTAGE {
            return Ok(());
        }
        let base = if self.is_percent(nominal) { value / 100.0 } else { value };
        let readings = self.shares(sides).map(|[below, above]| {
            let relative = around_text(base, base.abs() * below, base.abs() * above);
            [relative, around_text(value / 100.0, below, above)]
        });
        Err(self.two_shares(nominal, sides, "of the number, or in percentage points?", readings))
    }

    /// `20 % ± 5`: five percentage points or the number five.
    fn refuse_points(&self, nominal: &Measure, sides: &[Measure; 2]) -> Result<(), TextError> {
        if find_unit(self.units, "%").is_none() {
            return Ok(());
        }
        let value = nominal.value.to_f64() / 100.0;
        let [below, above] = below_and_above(sides);
        let plain = around_text(value, below, above);
        let points = around_text(value, below / 100.0, above / 100.0);
        let label = "the number, or percentage points?";
        Err(self.two_shares(nominal, sides, label, Some([plain, points])))
    }

    /// What both deviations are as parts of one, below and above, if both are percentages.
    fn shares(&self, sides: &[Measure; 2]) -> Option<[f64; 2]> {
        let all = sides.iter().all(|side| self.is_percent(side));
        all.then(|| below_and_above(sides).map(|percent| percent / 100.0))
    }

    /// Where the later deviation ends, with its unit.
    fn end_of(&self, sides: &[Measure; 2]) -> usize {
        let end = |side: &Measure| side.unit.as_ref().map_or(0, |u| u.end).max(side.span.end);
        end(&sides[0]).max(end(&sides[1]))
    }

    fn two_shares(
        &self,
        nominal: &Measure,
        sides: &[Measure; 2],
        label: &str,
        readings: Option<[String; 2]>,
    ) -> TextError {
        let span = nominal.span.start..self.end_of(sides);
        let written = &self.text[span.clone()];
        let help = match readings {
            Some([first, second]) => {
                format!("write `{first}` for the one, `{second}` for the other")
            }
            None => "write the limits as a range, as in `0.15..0.25`".into(),
        };
        TextError::new("Q0117", span, format!("`{written}` can be read in two ways"))
            .label(label)
            .help(help)
    }
}

/// The sizes of two deviations of opposite sign, whichever was written first.
fn below_and_above(sides: &[Measure; 2]) -> [f64; 2] {
    let [first, second] = sides.each_ref().map(|side| side.value.to_f64());
    [-first.min(second), first.max(second)]
}

/// A difference in one unit as a difference in another.
fn convert(number: Decimal, from: &Unit, to: &Unit) -> Decimal {
    if from == to {
        return number;
    }
    number.times(Decimal::from_f64(from.factor)).over(Decimal::from_f64(to.factor))
}
