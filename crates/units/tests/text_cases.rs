//! The exact meaning of several hundred texts, one table, every miss reported.

use reedmace_units::*;
use std::str::FromStr;

const CASES: &str = include_str!("text_cases.txt");

/// What a text was read as, in the notation of the table.
#[derive(Debug, PartialEq)]
enum Outcome {
    Values(Vec<Option<f64>>, &'static str),
    Refused(String),
}

/// Codes whose help shows how to write each reading in full.
const SHOWING_READINGS: [&str; 5] = ["Q0111", "Q0112", "Q0113", "Q0116", "Q0117"];

fn value<Q: Quantity>(text: &str) -> Outcome {
    match Toleranced::<Q>::from_str(text) {
        Ok(read) => {
            assert_eq!(read.to_string(), text, "the text is kept");
            let spread = if read.spread == Spread::Uniform { "U" } else { "N" };
            let values = [read.low, read.nominal, read.high].map(|q| Some(q.si()));
            Outcome::Values(values.to_vec(), spread)
        }
        Err(error) => {
            let shown = error.help.as_deref().unwrap_or_default().split('`').skip(1).step_by(2);
            for reading in shown.filter(|text| *text != "..") {
                let complete = SHOWING_READINGS.contains(&error.code);
                let reads = reading.parse::<Toleranced<Q>>();
                assert!(!complete || reads.is_ok(), "{text:?} offers {reading:?}: {reads:?}");
            }
            refused(text, &error)
        }
    }
}

fn region<Q: Quantity>(text: &str) -> Outcome {
    match Written::<Region<Q>>::from_str(text) {
        Ok(read) => {
            assert_eq!(read.to_string(), text, "the text is kept");
            let (low, high) = read.value.limits();
            Outcome::Values([low, high].map(|end| end.map(Quantity::si)).to_vec(), "")
        }
        Err(error) => refused(text, &error),
    }
}

fn refused(text: &str, error: &TextError) -> Outcome {
    assert!(text.get(error.span.clone()).is_some(), "span of {text:?}: {error:?}");
    assert!(!error.label.is_empty() && error.help.is_some(), "help for {text:?}: {error:?}");
    Outcome::Refused(error.code.to_owned())
}

fn read(kind: &str, text: &str) -> Outcome {
    match kind {
        "length" => value::<Length>(text),
        "angle" => value::<Angle>(text),
        "flux density" => value::<FluxDensity>(text),
        "polarization" => value::<Polarization>(text),
        "field strength" => value::<FieldStrength>(text),
        "ampere-turns" => value::<AmpereTurns>(text),
        "current" => value::<Current>(text),
        "voltage" => value::<Voltage>(text),
        "resistance" => value::<Resistance>(text),
        "power" => value::<Power>(text),
        "force" => value::<Force>(text),
        "mass" => value::<Mass>(text),
        "number" => value::<Ratio>(text),
        "temperature" => value::<Temperature>(text),
        "region length" => region::<Length>(text),
        "region angle" => region::<Angle>(text),
        "region current" => region::<Current>(text),
        "region temperature" => region::<Temperature>(text),
        "region number" => region::<Ratio>(text),
        _ => panic!("no such quantity in the table: {kind}"),
    }
}

/// Equal, or neighbouring doubles: one rounding of the unit's factor.
fn same(expected: Option<f64>, found: Option<f64>) -> bool {
    match (expected, found) {
        (Some(a), Some(b)) => a == b || a.next_up() == b || a.next_down() == b,
        (a, b) => a == b,
    }
}

fn unescaped(text: &str) -> String {
    let mut parts = text.split("\\u{");
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (code, rest) = part.split_once('}').expect("a closing brace");
        let code = u32::from_str_radix(code, 16).expect("hexadecimal");
        plain.push(char::from_u32(code).expect("a character"));
        plain.push_str(rest);
    }
    plain
}

#[test]
fn every_text_means_what_the_table_says() {
    let mut misses = Vec::new();
    let mut count = 0;
    for line in CASES.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let [kind, text, expected, rest @ ..] = cells.as_slice() else { panic!("{line}") };
        let found = read(kind, &unescaped(text));
        count += 1;
        let agrees = match &found {
            Outcome::Refused(code) => code == expected,
            Outcome::Values(values, spread) => {
                let numbers: Vec<&str> = expected.split_whitespace().collect();
                numbers.len() == values.len()
                    && rest.first().unwrap_or(&"") == spread
                    && numbers
                        .iter()
                        .zip(values)
                        .all(|(number, found)| same(number.parse().ok(), *found))
            }
        };
        if !agrees {
            misses.push(format!("{line}\n    found {found:?}"));
        }
    }
    assert!(misses.is_empty(), "{} of {count} texts:\n{}", misses.len(), misses.join("\n"));
    assert!(count >= 200, "the table has only {count} texts");
}

#[test]
fn the_table_of_codes_and_the_cases_name_the_same_codes() {
    let codes = |text: &'static str, mark: char| {
        let cells = text.lines().flat_map(move |line| line.split('|'));
        let names = cells.map(move |cell| cell.trim_matches([' ', mark]));
        names
            .filter(|name| name.len() == 5 && name.starts_with("Q01"))
            .collect::<std::collections::BTreeSet<_>>()
    };
    let documented = codes(include_str!("../src/lib.rs"), '`');
    assert_eq!(documented, codes(CASES, ' '));
    assert_eq!(documented.len(), 23);
}
