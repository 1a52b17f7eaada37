//! Laws that hold for every text and every value.

use proptest::prelude::*;
use reedmace_units::*;
use std::str::FromStr;

/// Reads a text as a value and as a region and checks what must hold of either outcome.
fn check_any<Q: Quantity>(text: &str) -> Result<(), TestCaseError> {
    let errors = match Toleranced::<Q>::from_str(text) {
        Ok(read) => {
            prop_assert!(read.low <= read.nominal && read.nominal <= read.high, "{read:?}");
            prop_assert!(read.low.si().is_finite() && read.high.si().is_finite());
            prop_assert_eq!(read.to_string(), text);
            prop_assert_eq!(&read, &Toleranced::from_str(&read.to_string()).unwrap());
            None
        }
        Err(error) => Some(error),
    };
    let region = Written::<Region<Q>>::from_str(text);
    if let Ok(read) = &region {
        prop_assert_eq!(read.to_string(), text);
    }
    for error in errors.into_iter().chain(region.err()) {
        prop_assert!(error.span.start <= error.span.end && error.span.end <= text.len());
        prop_assert!(text.is_char_boundary(error.span.start), "{error:?} in {text:?}");
        prop_assert!(text.is_char_boundary(error.span.end), "{error:?} in {text:?}");
        prop_assert!(!error.message.is_empty() && !error.label.is_empty());
    }
    Ok(())
}

fn every_kind(text: &str) -> Result<(), TestCaseError> {
    check_any::<Length>(text)?;
    check_any::<FluxDensity>(text)?;
    check_any::<Ratio>(text)?;
    check_any::<Temperature>(text)
}

/// The pieces texts are made of, so that many combinations come close to meaning something.
fn pieces() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("±"),
        Just("+/-"),
        Just("+"),
        Just("-"),
        Just("−"),
        Just("–"),
        Just(".."),
        Just("/"),
        Just("<="),
        Just("≥"),
        Just("8"),
        Just("0.3"),
        Just("1e-3"),
        Just("1,000"),
        Just(" "),
        Just("\u{A0}"),
        Just("mm"),
        Just("µm"),
        Just("in"),
        Just("mT"),
        Just("%"),
        Just("°C"),
        Just("°F"),
        Just("K"),
        Just("nan"),
        Just("0"),
        Just("."),
        Just("5"),
        Just("e"),
    ];
    prop::collection::vec(piece, 0..9).prop_map(|pieces| pieces.concat())
}

fn check_units<Q: Quantity>(number: f64) -> Result<(), TestCaseError> {
    for unit in Q::UNITS {
        let si = unit.to_si(number);
        let scale = number.abs().max((unit.offset / unit.factor).abs());
        prop_assert!((unit.number_of(si) - number).abs() <= 4.0 * f64::EPSILON * scale);
        let text = format!("{number} {}", unit.symbol);
        match text.parse::<Toleranced<Q>>() {
            Ok(read) => prop_assert_eq!(read.nominal.si(), si),
            Err(error) => prop_assert_eq!(error.code, "Q0119", "{}", text),
        }
        for spelling in unit.also {
            let other = format!("{number}{spelling}").parse::<Toleranced<Q>>();
            let read = text.parse::<Toleranced<Q>>().map(|read| read.nominal);
            prop_assert_eq!(other.map(|read| read.nominal).ok(), read.ok());
        }
    }
    Ok(())
}

fn check_format<Q: Quantity>(value: f64, digits: usize) -> Result<(), TestCaseError> {
    for unit in Q::UNITS {
        let text = format_in(Q::from_si(unit.to_si(value)), unit, digits);
        let read: Toleranced<Q> =
            text.parse().map_err(|e| TestCaseError::fail(format!("{e:?}")))?;
        let back = unit.number_of(read.nominal.si());
        let bound = 0.5 * 10f64.powi(1 - digits as i32) + 1e-14;
        prop_assert!((back - value).abs() <= bound * value.abs(), "{value} {text} {back}");
        prop_assert_eq!(format_in(read.nominal, unit, digits), text);
    }
    Ok(())
}

fn check_limits<Q: Quantity>(nominal: f64, tolerance: f64) -> Result<(), TestCaseError> {
    for unit in Q::UNITS {
        let symbol = unit.symbol;
        let read = |text: String| {
            text.parse::<Toleranced<Q>>().map_err(|e| TestCaseError::fail(format!("{text} {e:?}")))
        };
        let both = read(format!("{nominal} ± {tolerance} {symbol}"))?;
        let sides = read(format!("{nominal} +{tolerance} -{tolerance} {symbol}"))?;
        prop_assert_eq!(
            (both.low, both.nominal, both.high),
            (sides.low, sides.nominal, sides.high)
        );
        let [low, high] = [both.low, both.high].map(|q| unit.number_of(q.si()));
        let slack = 1e-12 * (nominal.abs() + tolerance);
        prop_assert!((low - (nominal - tolerance)).abs() <= slack);
        prop_assert!((high - (nominal + tolerance)).abs() <= slack);
        let made = Toleranced::within(both.low, both.nominal, both.high, both.spread).unwrap();
        let again = read(made.to_string())?;
        // Six digits of the nominal value and of the tolerance are kept.
        let kept = 5e-6 * unit.to_si(nominal.abs() + tolerance) * (1.0 + 1e-9);
        prop_assert!((again.high.si() - made.high.si()).abs() <= kept);
        let region = Region::Between(both.low, both.high);
        prop_assert!(region.contains(both.nominal) && both.contains(both.nominal));
        let shown: Region<Q> =
            region.to_string().parse().map_err(|e| TestCaseError::fail(format!("{e:?}")))?;
        prop_assert!(matches!(shown, Region::Between(..)));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn prop_any_text_is_read_or_refused_in_place(text in "\\PC{0,24}") {
        every_kind(&text)?;
    }

    #[test]
    fn prop_texts_of_known_pieces_are_read_or_refused_in_place(text in pieces()) {
        every_kind(&text)?;
    }

    #[test]
    fn prop_units_convert_there_and_back(number in -1e6..1e6f64) {
        check_units::<Length>(number)?;
        check_units::<Angle>(number)?;
        check_units::<FieldStrength>(number)?;
        check_units::<Resistance>(number)?;
        check_units::<Temperature>(number)?;
    }

    #[test]
    fn prop_formatted_values_read_back(
        mantissa in 1.0..10f64, power in -12i32..12, digits in 1usize..12, negative: bool,
    ) {
        let value = mantissa * 10f64.powi(power) * if negative { -1.0 } else { 1.0 };
        check_format::<Length>(value, digits)?;
        check_format::<Ratio>(value, digits)?;
        check_format::<FluxDensity>(value, digits)?;
    }

    #[test]
    fn prop_limits_are_what_was_added(nominal in -1e3..1e3f64, tolerance in 1e-3..1e2f64) {
        let [nominal, tolerance] = [nominal, tolerance].map(|x| (x * 1e3).round() / 1e3);
        check_limits::<Length>(nominal, tolerance)?;
        check_limits::<AmpereTurns>(nominal, tolerance)?;
        check_limits::<Voltage>(nominal, tolerance)?;
    }

    #[test]
    fn prop_limits_in_millimetres_are_the_constructors(
        nominal in -100_000i32..100_000, tolerance in 0i32..10_000,
    ) {
        let hundredths = |n: i32| format!("{}{}.{:02}", if n < 0 { "-" } else { "" }, n.abs() / 100, n.abs() % 100);
        let text = format!("{} ± {} mm", hundredths(nominal), hundredths(tolerance));
        let read: Toleranced<Length> = text.parse().unwrap();
        let mm = |n: i32| Length::mm(hundredths(n).parse().unwrap());
        prop_assert_eq!(read.nominal, mm(nominal));
        prop_assert_eq!(read.low, mm(nominal - tolerance));
        prop_assert_eq!(read.high, mm(nominal + tolerance));
    }
}

/// Texts of a length with every way of writing a tolerance.
fn lengths() -> impl Strategy<Value = String> {
    let unit = prop_oneof![Just("mm"), Just("in"), Just("µm"), Just("m")];
    (-400i32..400, 1u32..50, 1u32..50, unit.clone(), unit, 0usize..8).prop_map(
        |(n, a, b, unit, other, form)| {
            let [n, a, b] = [f64::from(n) / 8.0, f64::from(a) / 16.0, f64::from(b) / 16.0];
            match form {
                0 => format!("{n} {unit}"),
                1 => format!("{n} ± {a} {unit}"),
                2 => format!("{n} {unit}  +/- {a} {other}"),
                3 => format!("{n} +{a} -{b} {unit}"),
                4 => format!("{n} {unit} -{b} {other} / +{a} {other}"),
                5 => format!("{n}..{} {unit}", n + a),
                6 => format!(" {n}{unit} .. {}{unit}", n + a),
                _ => format!("{}{unit} ± 5 %", n.abs() + 1.0),
            }
        },
    )
}

proptest! {
    /// What stands around the numbers stays; tolerances that are lengths keep their width; there and
    /// back again is where it was.
    #[test]
    fn prop_a_moved_length_keeps_its_tolerance_and_its_writing(
        text in lengths(),
        to in -500_000i32..500_000,
    ) {
        let was: Toleranced<Length> = text.parse().unwrap();
        let to = Length::um(f64::from(to));
        let Some(moved) = was.moved_to(to) else {
            return Err(TestCaseError::fail(format!("{text} cannot move to {to:?}")));
        };
        let near = |a: Length, b: Length| (a.si() - b.si()).abs() <= 2e-10 * (a.si().abs() + 1.0);
        prop_assert!(near(moved.nominal, to), "{} for {}", moved, format_si(to));
        prop_assert_eq!(moved.spread, was.spread);
        let words = |text: &str| text.replace(|c: char| c.is_ascii_digit() || "-.e".contains(c), "");
        prop_assert_eq!(words(moved.text()), words(&text));
        if !text.contains('%') {
            prop_assert!(near(moved.high - moved.low, was.high - was.low), "{}", moved);
        }
        let back = moved.moved_to(was.nominal).unwrap();
        prop_assert!(near(back.low, was.low) && near(back.high, was.high), "{} for {}", back, was);
    }

    /// A tolerance made wider keeps what stands around it and the nominal value, and is as much wider as
    /// three digits tell.
    #[test]
    fn prop_a_widened_length_keeps_its_nominal_and_its_writing(
        text in lengths(),
        times in 0.05f64..4.0,
    ) {
        let was: Toleranced<Length> = text.parse().unwrap();
        let Some(wide) = widened(&text, times) else {
            let one_unit = was.is_exact() || text.contains("..");
            prop_assert!(one_unit, "{text} cannot be widened");
            return Ok(());
        };
        let is: Toleranced<Length> = wide.parse().unwrap();
        let near = |a: f64, b: f64, part: f64| (a - b).abs() <= part * b.abs() + 1e-12;
        prop_assert!(near(is.nominal.si(), was.nominal.si(), 1e-9), "{text}: {wide}");
        prop_assert_eq!(is.spread, was.spread);
        let [before, now] = [&was, &is].map(|t| t.high.si() - t.low.si());
        prop_assert!(near(now, times * before, 6e-3), "{text} times {times}: {wide}");
        let words = |text: &str| text.replace(|c: char| c.is_ascii_digit() || "-.e".contains(c), "");
        prop_assert_eq!(words(&wide), words(&text));
    }
}
