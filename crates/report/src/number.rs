//! How a number is printed: the same everywhere, so that a figure and a table never disagree.

use reedmace_engine::answer::Bound;

/// A number in `unit`, without the unit: four significant digits, but no more decimals than the
/// unit is worth, and of amperes no zeros at the end; of six and more digits four, in groups of three; a true
/// minus sign; a dash for what is not a number.
pub fn number(value: f64, unit: &str) -> String {
    if !value.is_finite() {
        return "–".into();
    }
    let most = match unit {
        // Without a unit: the number of a pose.
        "mm" | "deg" | "°" | "" | "1/turn" | "pulses/L" => 2,
        "AT" | "%" | "°C" | "kA/m" => 1,
        "mT" | "T" | "mA" => 3,
        "A" => 6,
        "closures" => 0,
        _ => 4,
    };
    let whole_digits = if value == 0.0 { 1 } else { value.abs().log10().floor() as i32 + 1 };
    if (6..=15).contains(&whole_digits) {
        let last = 10f64.powi(whole_digits - 4);
        let sign = if value < 0.0 { "−" } else { "" };
        return format!("{sign}{}", grouped(((value.abs() / last).round() * last) as u64));
    }
    let decimals = (4 - whole_digits).clamp(0, most) as usize;
    let text = format!("{value:.decimals$}");
    let text = match unit {
        "A" if decimals > 0 => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        _ => text,
    };
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| matches!(b, b'0' | b'.')) => rest.to_string(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A number with its unit: `8.12 mm`, `45.00°`, `3.0 %`.
pub fn with_unit(value: f64, unit: &str) -> String {
    number(value, unit) + &behind(unit)
}

/// True of what is counted: there is no room to tell of it, only by how many it is off.
pub fn counts(unit: &str) -> bool {
    unit == "closures"
}

/// A number that lies there or beyond: `≥ 95.0`, `≤ −200.0`.
pub fn bounded(told: &str, bound: Option<Bound>) -> String {
    match bound {
        None => told.to_owned(),
        Some(Bound::AtLeast) => format!("≥\u{a0}{told}"),
        Some(Bound::AtMost) => format!("≤\u{a0}{told}"),
    }
}

/// The room of a demand: of a count by how many it is off, and nothing where it is met.
pub fn room(room: f64, unit: &str) -> Option<String> {
    match counts(unit) {
        true if room == 0.0 => None,
        true => Some(format!("off by {}", number(room.abs(), unit))),
        false => Some(with_unit(room, unit)),
    }
}

/// The unit as it stands behind a number, with the space between them.
pub fn behind(unit: &str) -> String {
    match unit_label(unit) {
        "" => String::new(),
        "°" => "°".to_owned(),
        unit => format!("\u{a0}{unit}"),
    }
}

/// The unit as a heading shows it.
pub fn unit_label(unit: &str) -> &str {
    if unit == "deg" { "°" } else { unit }
}

/// The unit of a difference: temperatures in °C differ by K.
pub fn of_difference(unit: &str) -> &str {
    if unit == "°C" { "K" } else { unit }
}

/// A number with its sign always shown: `+0.31`, `−0.28`.
pub fn signed(value: f64, unit: &str) -> String {
    let text = number(value, unit);
    if value > 0.0 && text.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        format!("+{text}")
    } else {
        text
    }
}

/// A share from 0 to 1 in per cent: `99.95 %`, never rounded up to a whole that is not.
pub fn percent(share: f64) -> String {
    let hundredths = (share * 1e4).floor() / 100.0;
    let text = format!("{hundredths:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text}\u{a0}%")
}

/// A share near one with as many digits as show what is left of it: `99.99963 %`.
pub fn share(share: f64) -> String {
    let left = 100.0 * (1.0 - share);
    if share >= 1.0 || left > 0.01 {
        return percent(share);
    }
    let digits = (1.0 - left.log10().floor()) as usize;
    format!("{:.digits$}\u{a0}%", 100.0 * share)
}

/// A count in groups of three: `1 000 000`.
pub fn grouped(count: u64) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (k, digit) in digits.chars().enumerate() {
        if k > 0 && (digits.len() - k).is_multiple_of(3) {
            out.push('\u{a0}');
        }
        out.push(digit);
    }
    out
}

/// A relative permeability: nobody knows it to a decimal.
pub fn permeability(value: f64) -> String {
    if value >= 10.0 { format!("{value:.0}") } else { number(value, "") }
}

/// A share in per cent of which only the size matters when it is small.
pub fn small_percent(percent: f64) -> String {
    if percent > 0.0 && percent < 0.1 {
        "less than 0.1\u{a0}%".into()
    } else {
        with_unit(percent, "%")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_digits_follow_the_unit() {
        assert_eq!(number(8.1249, "mm"), "8.12");
        assert_eq!(number(-0.001, "mm"), "0.00");
        assert_eq!(number(-12.5, "mm"), "−12.50");
        assert_eq!(number(1234.56, "mm"), "1235");
        assert_eq!([0.008, 0.453_6, 12.0].map(|a| number(a, "A")), ["0.008", "0.4536", "12"]);
        assert_eq!(number(99_999.0, ""), "99999");
        assert_eq!(number(-1_959_393.0, ""), "−1\u{a0}959\u{a0}000");
        assert_eq!(number(f64::NAN, "mm"), "–");
        assert_eq!(with_unit(30.0, "deg"), "30.00°");
        assert_eq!(signed(0.306, "mm"), "+0.31");
        assert_eq!(signed(0.001, "mm"), "0.00");
    }

    #[test]
    fn prop_a_count_that_is_met_has_no_room() {
        assert_eq!(room(0.0, "closures"), None);
        assert_eq!(room(-2.0, "closures").as_deref(), Some("off by 2"));
        assert_eq!(room(0.0, "mm").as_deref(), Some("0.00\u{a0}mm"));
    }

    #[test]
    fn prop_a_share_below_one_never_reads_as_all() {
        assert_eq!(percent(0.999_999), "99.99\u{a0}%");
        assert_eq!(percent(1.0), "100\u{a0}%");
        assert_eq!(percent(0.5), "50\u{a0}%");
    }

    #[test]
    fn prop_a_share_near_one_shows_what_is_left() {
        assert_eq!(share(1.0 - 3.69e-6), "99.99963\u{a0}%");
        assert_eq!(share(1.0), percent(1.0));
        assert_eq!(share(0.9), percent(0.9));
    }

    #[test]
    fn prop_counts_are_read_in_threes() {
        assert_eq!(grouped(1_234_567), "1\u{a0}234\u{a0}567");
        assert_eq!(grouped(12), "12");
    }

    #[test]
    fn prop_a_share_that_is_not_nothing_never_reads_as_nothing() {
        assert_eq!(small_percent(0.04), "less than 0.1\u{a0}%");
        assert_eq!(small_percent(0.0), "0.0\u{a0}%");
        assert_eq!(small_percent(15.24), "15.2\u{a0}%");
        assert_eq!(permeability(325.0), "325");
        assert_eq!(permeability(1.5), "1.50");
    }
}
