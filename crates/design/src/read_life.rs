//! `[life]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::files::{Load, text_of};
use crate::life::{Life, LifeTest};
use crate::quantities::bare_number;
use crate::reader::Reader;
use crate::value::Value;
use reedmace_applied::life::{Fit, LifeError, Unit};
use reedmace_units::Ratio;
use std::ops::Range;
use toml::de::DeValue;

/// Reads what is stated of the contacts' life.
pub(crate) fn life(reader: &Reader<'_>, load: &Load<'_>) -> Option<Life> {
    let confidence: Option<Value<Ratio>> = reader.one("confidence");
    let dangerous_share = reader.one("dangerous_share");
    let stated = |key: &str| match reader.find(key) {
        Some(_) => reader.one(key).map(Some),
        None => Some(None),
    };
    let (per_year, b10d) = (stated("operations_per_year"), stated("b10d"));
    let text = |key: &str| reader.find(key).and_then(|_| reader.text(key));
    let (load_text, note) = (text("load"), text("note"));
    let units = units(reader, load);
    let tested = ["failed", "running", "file"].into_iter().find(|key| reader.find(key).is_some());
    if let Some(key) = tested.filter(|_| reader.find("b10d").is_some()) {
        reader.faults.add(
            Diagnostic::error(codes::KEYS_EXCLUDE, "a life is stated twice")
                .at(&reader.span_of("b10d"), "from elsewhere")
                .beside(&reader.span_of(key), "by a test of your own")
                .help("take `b10d` out: the test says more of your contacts"),
        );
        return None;
    }
    let confidence = confidence?;
    let test = match units? {
        None => None,
        Some((units, span)) => Some(test(reader, &units, &span, confidence.si())?),
    };
    Some(Life {
        test,
        b10d: b10d?,
        load: load_text,
        confidence,
        operations_per_year: per_year?,
        dangerous_share: dangerous_share?,
        note,
        span: reader.header.clone(),
    })
}

type Tested = (Vec<Unit>, Range<usize>);

/// The units on test and where they stand; `Some(None)` without a test.
fn units(reader: &Reader<'_>, load: &Load<'_>) -> Option<Option<Tested>> {
    let listed = ["failed", "running"].into_iter().find(|key| reader.find(key).is_some());
    match (listed, reader.find("file").is_some()) {
        (None, false) => Some(None),
        (Some(key), true) => {
            reader.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "the test is stated twice")
                    .at(&reader.span_of("file"), "either this")
                    .beside(&reader.span_of(key), "or this")
                    .help("keep the file, or the lists `failed` and `running`"),
            );
            None
        }
        (Some(key), false) => {
            let (failed, running) = (numbers(reader, "failed"), numbers(reader, "running"));
            let of =
                |lives: Vec<f64>, failed| lives.into_iter().map(move |life| Unit { life, failed });
            let units = of(failed?, true).chain(of(running?, false)).collect();
            Some(Some((units, reader.span_of(key))))
        }
        (None, true) => {
            let (name, span) = reader.marked_text("file")?;
            let text = text_of(reader.faults, &name, &span, load)?;
            match from_text(&text) {
                Ok(units) => Some(Some((units, span))),
                Err(why) => {
                    reader.faults.add(
                        Diagnostic::error(codes::LIFE_FILE, format!("\"{name}\" is no test: {why}"))
                            .at(&span, "this file")
                            .help("a header operations,failed, then rows such as 1200000,yes or 5000000,no"),
                    );
                    None
                }
            }
        }
    }
}

/// A list of bare numbers; none if the key is absent.
fn numbers(reader: &Reader<'_>, key: &str) -> Option<Vec<f64>> {
    let Some(node) = reader.find(key) else { return Some(Vec::new()) };
    let DeValue::Array(elements) = node.value else {
        reader.wrong_type(key, &node, "a list of numbers");
        return None;
    };
    let number = |element| {
        let element = node.child(element);
        let number = bare_number(element.value);
        if number.is_none() {
            reader.wrong_type(key, &element, "a list of numbers");
        }
        number
    };
    let found: Vec<Option<f64>> = elements.iter().map(number).collect();
    found.into_iter().collect()
}

fn from_text(text: &str) -> Result<Vec<Unit>, String> {
    let lines = text.trim_start_matches('\u{feff}').lines().enumerate();
    let mut lines = lines
        .map(|(index, line)| (index + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let (number, header) = lines.next().ok_or("it is empty")?;
    let columns: Vec<&str> = header.split(',').map(str::trim).collect();
    if columns != ["operations", "failed"] {
        return Err(format!("line {number} is no header of it"));
    }
    let unit = |(number, line): (usize, &str)| {
        let bad = || format!("line {number} is not understood");
        let (life, failed) = line.split_once(',').ok_or_else(bad)?;
        let life = life.trim().parse().map_err(|_| bad())?;
        let failed = match failed.trim() {
            "yes" => true,
            "no" => false,
            _ => return Err(bad()),
        };
        Ok(Unit { life, failed })
    };
    lines.map(unit).collect()
}

fn test(
    reader: &Reader<'_>,
    units: &[Unit],
    span: &Range<usize>,
    confidence: f64,
) -> Option<LifeTest> {
    match Fit::new(units) {
        Ok(fit) => Some(LifeTest {
            units: units.len(),
            shape: fit.shape(confidence),
            b10: fit.life(0.1, confidence),
            fit,
        }),
        Err(why) => {
            let help = match why {
                LifeError::NotALife => "state how many operations each unit has done, above 0",
                LifeError::TooFewFailures => {
                    "a distribution needs units that failed after different numbers of operations; test on, or leave the table out"
                }
            };
            reader.faults.add(
                Diagnostic::error(codes::NO_LIFE, "no life can be told from the test")
                    .at(span, why.to_string())
                    .help(help),
            );
            None
        }
    }
}
