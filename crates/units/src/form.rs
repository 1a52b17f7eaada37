//! The forms a text may take, before any unit has a meaning.

use crate::TextError;
use crate::decimal::Decimal;
use crate::number::format_number;
use crate::readings::Pair;
use crate::scan::{Kind, Token, scan};
use std::ops::Range;

/// A number and the unit written right behind it.
#[derive(Debug, Clone)]
pub(crate) struct Measure {
    pub value: Decimal,
    /// Of the number with its sign.
    pub span: Range<usize>,
    /// Of the unit, if there is one.
    pub unit: Option<Range<usize>>,
}

/// A value as it was written.
#[derive(Debug, Clone)]
pub(crate) enum Form {
    /// `8 mm`
    Exact(Measure),
    /// `8 ± 0.3 mm`
    PlusMinus(Measure, Measure),
    /// `8 +0.5 -0.2 mm`: the two deviations in the order written, negative ones below zero.
    Sides(Measure, [Measure; 2]),
    /// `3..8 mm`
    Range(Measure, Measure),
}

/// A region as it was written.
#[derive(Debug, Clone)]
pub(crate) enum RegionForm {
    AtMost(Measure),
    AtLeast(Measure),
    Between(Measure, Measure),
}

/// Reads a value with or without tolerance.
pub(crate) fn read_value(text: &str) -> Result<Form, TextError> {
    let mut reader = Reader::new(text)?;
    if let Some(sign) = reader.take(&[Kind::AtMost, Kind::AtLeast]) {
        let value = text[sign.span.end..].trim();
        return Err(TextError::new("Q0120", sign.span, "a limit is not a value".into())
            .label("a demand, where a value is wanted")
            .help(format!("write `{value}`, or both limits as in `3..8 mm`")));
    }
    let form = reader.form()?;
    reader.end()?;
    Ok(form)
}

/// Reads a region.
pub(crate) fn read_region(text: &str) -> Result<RegionForm, TextError> {
    let mut reader = Reader::new(text)?;
    let whole = reader.whole();
    let side = reader.take(&[Kind::AtMost, Kind::AtLeast]);
    match (side.map(|token| token.kind), reader.form()?) {
        (None, Form::Range(low, high)) => {
            reader.end()?;
            Ok(RegionForm::Between(low, high))
        }
        (Some(kind), Form::Exact(end)) => {
            reader.end()?;
            let most = kind == Kind::AtMost;
            Ok(if most { RegionForm::AtMost(end) } else { RegionForm::AtLeast(end) })
        }
        (None, Form::Exact(_)) => {
            let value = &text[whole.clone()];
            Err(TextError::new("Q0121", whole, format!("`{value}` says no side"))
                .label("up to here, or from here on?")
                .help(format!("write `<= {value}` or `>= {value}`, or a range such as `3..8 mm`")))
        }
        (Some(_), Form::Range(..)) => {
            Err(TextError::new("Q0122", whole, "a range needs no `<=` or `>=`".into())
                .label("two demands in one")
                .help("write the range alone, as in `3..8 mm`"))
        }
        (_, Form::PlusMinus(..) | Form::Sides(..)) => {
            Err(TextError::new("Q0122", whole, "a demand carries no tolerance".into())
                .label("the end of a demand is one exact value")
                .help("write `<= 8 mm`, `>= 22 mm` or `3..8 mm`"))
        }
    }
}

struct Reader<'t> {
    text: &'t str,
    tokens: Vec<Token>,
    at: usize,
}

impl<'t> Reader<'t> {
    fn new(text: &'t str) -> Result<Self, TextError> {
        let tokens = scan(text)?;
        if tokens.is_empty() {
            return Err(TextError::new("Q0101", 0..text.len(), "nothing is written here".into())
                .label("empty")
                .help("write a number and its unit, as in `8 mm` or `8 ± 0.3 mm`"));
        }
        Ok(Self { text, tokens, at: 0 })
    }

    fn whole(&self) -> Range<usize> {
        match (self.tokens.first(), self.tokens.last()) {
            (Some(first), Some(last)) => first.span.start..last.span.end,
            _ => 0..self.text.len(),
        }
    }

    fn take(&mut self, kinds: &[Kind]) -> Option<Token> {
        let token = self.tokens.get(self.at).filter(|token| kinds.contains(&token.kind))?.clone();
        self.at += 1;
        Some(token)
    }

    fn form(&mut self) -> Result<Form, TextError> {
        let nominal = self.signed()?;
        if self.take(&[Kind::PlusMinus]).is_some() {
            return Ok(Form::PlusMinus(nominal, self.tolerance()?));
        }
        if self.take(&[Kind::To]).is_some() {
            return Ok(Form::Range(nominal, self.signed()?));
        }
        if let Some(sign) = self.take(&[Kind::Dash]) {
            let end = self.unsigned(None)?;
            let sign = &self.text[sign.span];
            return Err(Pair::new(self.text, &nominal, &end).range_or_difference(sign));
        }
        let Some(first) = self.deviation()? else { return Ok(Form::Exact(nominal)) };
        self.take(&[Kind::Slash]);
        let Some(second) = self.deviation()? else {
            // Something else follows: that is the first thing to mend.
            self.end()?;
            return Err(Pair::new(self.text, &nominal, &first).one_sided());
        };
        let below = |m: &Measure| self.text[m.span.clone()].starts_with(['-', '−']);
        if below(&first) == below(&second) {
            let span = first.span.start..second.span.end;
            return Err(TextError::new("Q0114", span, "both deviations go the same way".into())
                .label("one `+` and one `-`, please")
                .help("write the two limits as a range, as in `8.2..8.5 mm`"));
        }
        Ok(Form::Sides(nominal, [first, second]))
    }

    /// A number with an optional sign, and its unit.
    fn signed(&mut self) -> Result<Measure, TextError> {
        let sign = self.take(&[Kind::Plus, Kind::Minus]);
        self.unsigned(sign)
    }

    /// `+0.5` or `-0.2`, and its unit.
    fn deviation(&mut self) -> Result<Option<Measure>, TextError> {
        let Some(sign) = self.take(&[Kind::Plus, Kind::Minus]) else { return Ok(None) };
        self.unsigned(Some(sign)).map(Some)
    }

    /// The number behind `±`, and its unit.
    fn tolerance(&mut self) -> Result<Measure, TextError> {
        let sign = self.take(&[Kind::Minus]);
        let Some(sign) = sign else { return self.unsigned(None) };
        let number = self.unsigned(Some(sign))?;
        let magnitude = format_number(number.value.magnitude().to_f64(), 15);
        Err(TextError::new("Q0110", number.span, "a tolerance is not negative".into())
            .label("both ways already")
            .help(format!("write `± {magnitude}`")))
    }

    fn unsigned(&mut self, sign: Option<Token>) -> Result<Measure, TextError> {
        let Some(Token { kind: Kind::Number(magnitude), span }) = self.tokens.get(self.at).cloned()
        else {
            return Err(self.no_number());
        };
        self.at += 1;
        let negative = sign.as_ref().is_some_and(|sign| sign.kind == Kind::Minus);
        let start = sign.map_or(span.start, |sign| sign.span.start);
        let unit = self.take(&[Kind::Word]).map(|token| token.span);
        let value = if negative { magnitude.negated() } else { magnitude };
        Ok(Measure { value, span: start..span.end, unit })
    }

    fn no_number(&self) -> TextError {
        let Some(token) = self.tokens.get(self.at) else {
            return TextError::new("Q0102", self.whole(), "a number is missing at the end".into())
                .label("what comes next?")
                .help("write the number and its unit, as in `8 ± 0.3 mm` or `3..8 mm`");
        };
        let found = &self.text[token.span.clone()];
        let lower = found.to_lowercase();
        if matches!(lower.as_str(), "nan" | "inf" | "infinity") {
            return TextError::new("Q0103", token.span.clone(), format!("`{found}` is not finite"))
                .label("every value is a finite number")
                .help("a demand with one end is written `>= 8 mm`");
        }
        let help = match token.kind {
            Kind::To => "a range has two ends, `3..8 mm`; a demand with one end is `<= 8 mm`",
            _ => "the number comes first and its unit after it, as in `8 mm`",
        };
        TextError::new(
            "Q0102",
            token.span.clone(),
            format!("`{found}` stands where a number belongs"),
        )
        .label("a number, please")
        .help(help)
    }

    fn end(&self) -> Result<(), TextError> {
        let Some(token) = self.tokens.get(self.at) else { return Ok(()) };
        let span = token.span.start..self.whole().end;
        let found = &self.text[token.span.clone()];
        Err(match token.kind {
            Kind::PlusMinus | Kind::Plus | Kind::Minus | Kind::Dash | Kind::To => {
                TextError::new("Q0115", span, "a value has one tolerance".into())
                    .label("a second one")
                    .help("write one that covers both")
            }
            Kind::Word => TextError::new(
                "Q0109",
                token.span.clone(),
                format!("the unit `{found}` is misplaced"),
            )
            .label("this number has a unit already")
            .help("write the unit next to the value, as in `1.2 T ± 5 %`"),
            _ => TextError::new("Q0123", span, format!("`{found}` has no meaning here"))
                .label("not expected")
                .help("write one value, as in `8 mm`, `8 ± 0.3 mm` or `3..8 mm`"),
        })
    }
}
