//! Text to tokens: numbers, units and the few signs between them.

use crate::TextError;
use crate::decimal::{Decimal, DecimalError};
use std::ops::Range;

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Kind {
    Number(Decimal),
    /// A unit or another word.
    Word,
    /// `±`, `+/-`, `+-`.
    PlusMinus,
    Plus,
    Minus,
    /// `–`, which people use for ranges.
    Dash,
    /// `..`
    To,
    Slash,
    /// `<`, `<=`, `≤`.
    AtMost,
    /// `>`, `>=`, `≥`.
    AtLeast,
}

/// A token and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Token {
    pub kind: Kind,
    pub span: Range<usize>,
}

/// Splits a text into tokens.
pub(crate) fn scan(text: &str) -> Result<Vec<Token>, TextError> {
    let mut scanner = Scanner { text, at: 0 };
    let mut tokens: Vec<Token> = Vec::new();
    while let Some(token) = scanner.next_token()? {
        if let (Some(last), Kind::Number(_)) = (tokens.last(), token.kind)
            && matches!(last.kind, Kind::Number(_))
        {
            return Err(spaced_number(text, last.span.start..token.span.end));
        }
        tokens.push(token);
    }
    Ok(tokens)
}

struct Scanner<'t> {
    text: &'t str,
    at: usize,
}

impl Scanner<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn peek_second(&self) -> Option<char> {
        self.rest().chars().nth(1)
    }

    /// Steps over characters while they satisfy the test and returns where that started.
    fn skip_while(&mut self, test: impl Fn(char) -> bool) -> usize {
        let start = self.at;
        let rest = self.rest();
        self.at += rest.find(|c| !test(c)).unwrap_or(rest.len());
        start
    }

    fn next_token(&mut self) -> Result<Option<Token>, TextError> {
        self.skip_while(char::is_whitespace);
        let Some(first) = self.peek() else { return Ok(None) };
        let second = self.peek_second();
        let start = self.at;
        let digit_follows = second.is_some_and(|c| c.is_ascii_digit());
        let kind = if first.is_ascii_digit() || first == '.' && digit_follows {
            self.number()?
        } else if is_unit_start(first) {
            self.word();
            Kind::Word
        } else {
            self.sign(first)?
        };
        Ok(Some(Token { kind, span: start..self.at }))
    }

    fn sign(&mut self, first: char) -> Result<Kind, TextError> {
        const SIGNS: [(&str, Kind); 19] = [
            ("±", Kind::PlusMinus),
            ("+/-", Kind::PlusMinus),
            ("+/−", Kind::PlusMinus),
            ("+-", Kind::PlusMinus),
            ("+−", Kind::PlusMinus),
            ("+", Kind::Plus),
            ("-", Kind::Minus),
            ("−", Kind::Minus),
            ("–", Kind::Dash),
            ("—", Kind::Dash),
            ("..", Kind::To),
            ("/", Kind::Slash),
            ("<=", Kind::AtMost),
            ("<", Kind::AtMost),
            ("≤", Kind::AtMost),
            (">=", Kind::AtLeast),
            (">", Kind::AtLeast),
            ("≥", Kind::AtLeast),
            ("＋", Kind::Plus),
        ];
        let rest = self.rest();
        let found = SIGNS.iter().find(|(sign, _)| rest.starts_with(sign));
        if rest.starts_with("...") || found.is_none() {
            return Err(stray(first, self.at));
        }
        let (sign, kind) = found.map_or(("", Kind::Plus), |(sign, kind)| (*sign, *kind));
        self.at += sign.len();
        Ok(kind)
    }

    fn word(&mut self) {
        if self.peek() == Some('%') {
            self.at += 1;
        } else {
            self.skip_while(is_unit_part);
        }
        // `A/m` and `µΩ·m` are one unit; the slash of `+5 %/-3 %` is not part of one.
        while matches!(self.peek(), Some('/' | '·' | '⋅'))
            && self.peek_second().is_some_and(is_unit_start)
        {
            self.skip_while(|c| matches!(c, '/' | '·' | '⋅'));
            self.skip_while(is_unit_part);
        }
    }

    fn number(&mut self) -> Result<Kind, TextError> {
        let start = self.at;
        let whole = self.skip_while(|c| c.is_ascii_digit())..self.at;
        let mut fraction = self.at..self.at;
        if self.peek() == Some('.') && self.peek_second() != Some('.') {
            self.at += 1;
            fraction = self.skip_while(|c| c.is_ascii_digit())..self.at;
            let another_point = self.peek() == Some('.') && self.peek_second() != Some('.');
            if fraction.is_empty() || another_point {
                self.skip_while(|c| c.is_ascii_digit() || c == '.');
                return Err(malformed(self.text, start..self.at));
            }
        }
        let separated = matches!(self.peek(), Some(',' | '\'' | '’' | '_'))
            && self.peek_second().is_some_and(|c| c.is_ascii_digit());
        if separated {
            self.skip_while(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '\'' | '’' | '_'));
            return Err(separators(self.text, start..self.at));
        }
        let power = self.power();
        Decimal::from_digits(&self.text[whole], &self.text[fraction], power)
            .map(Kind::Number)
            .map_err(|error| unheld(error, start..self.at))
    }

    /// A power of ten, if `e` and digits follow.
    fn power(&mut self) -> i64 {
        let Some(after) = self.rest().strip_prefix(['e', 'E']) else { return 0 };
        let (negative, digits) = match after.strip_prefix(['-', '−']) {
            Some(digits) => (true, digits),
            None => (false, after.strip_prefix('+').unwrap_or(after)),
        };
        if !digits.starts_with(|c: char| c.is_ascii_digit()) {
            return 0;
        }
        self.at = self.text.len() - digits.len();
        let start = self.skip_while(|c| c.is_ascii_digit());
        let size = self.text[start..self.at].parse().unwrap_or(i64::from(i32::MAX));
        if negative { -size } else { size }
    }
}

fn is_unit_start(c: char) -> bool {
    c.is_alphabetic() || matches!(c, '%' | '°' | 'º' | '℃' | '℉')
}

fn is_unit_part(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '°' | 'º' | '℃' | '℉')
}

fn stray(found: char, at: usize) -> TextError {
    let help = match found {
        '(' | ')' | '[' | ']' => {
            "leave the brackets out: the last unit counts for every number before it"
        }
        '…' | '.' => "a range is written with two points: `20..25 AT`",
        '∞' => "every value is finite; a demand with one end is written `>= 8 mm`",
        _ => "write a number and its unit, as in `8 mm`, `8 ± 0.3 mm` or `3..8 mm`",
    };
    let code = if found == '∞' { "Q0103" } else { "Q0123" };
    TextError::new(code, at..at + found.len_utf8(), format!("`{found}` has no meaning here"))
        .label("not expected")
        .help(help)
}

fn malformed(text: &str, span: Range<usize>) -> TextError {
    let number = &text[span.clone()];
    TextError::new("Q0105", span, format!("`{number}` is not a number"))
        .label("digits on both sides of one point, please")
        .help("write `8` or `8.0`; a range has two points: `3..8 mm`")
}

fn separators(text: &str, span: Range<usize>) -> TextError {
    let number = &text[span.clone()];
    let digits =
        |keep: fn(char) -> Option<char>| number.chars().filter_map(keep).collect::<String>();
    let joined = digits(|c| (c.is_ascii_digit() || c == '.').then_some(c));
    let pointed = digits(|c| match c {
        ',' => Some('.'),
        c if c.is_ascii_digit() => Some(c),
        _ => None,
    });
    let one_comma = number.matches(',').count() == 1 && !number.contains('.');
    let may_group =
        number.split_once(',').is_some_and(|(_, end)| end.len() == 3) && !number.starts_with('0');
    let (message, help) = match (one_comma, may_group, number.contains(',')) {
        (true, true, _) => (
            format!("`{number}` can be read in two ways"),
            format!(
                "write `{joined}` if the comma groups digits, `{pointed}` if it is a decimal point"
            ),
        ),
        (true, false, _) => {
            (format!("`{number}` has a decimal comma"), format!("write `{pointed}`"))
        }
        (_, _, true) => (
            format!("`{number}` has separators"),
            "write all digits together, with one point as the decimal sign".into(),
        ),
        _ => (format!("`{number}` has separators"), format!("write `{joined}`")),
    };
    TextError::new("Q0104", span, message)
        .label("digits are not grouped and the decimal sign is a point")
        .help(help)
}

fn spaced_number(text: &str, span: Range<usize>) -> TextError {
    let number = &text[span.clone()];
    let joined: String = number.split_whitespace().collect();
    TextError::new("Q0104", span, format!("`{number}` can be read in two ways"))
        .label("one number or two?")
        .help(format!("write `{joined}` for one number, or put `..` or `±` between two"))
}

fn unheld(error: DecimalError, span: Range<usize>) -> TextError {
    match error {
        DecimalError::TooLong => {
            TextError::new("Q0105", span, "the number has more than 30 digits".into())
                .label("more digits than can be held")
                .help("no quantity here is known to more than a few digits; round it")
        }
        DecimalError::OutOfRange => {
            TextError::new("Q0103", span, "the number is out of range".into())
                .label("beyond 1e±60")
                .help("was the power of ten mistaken?")
        }
    }
}
