//! Values where the looking ended: told as lying there or beyond.

use crate::brief;
use crate::number::{number, with_unit};
use reedmace_engine::answer::{Distribution, FigureEnd};

/// A value without its unit: `≤ −200.0` where nothing below was looked at; of a share far above what counts no more
/// than that.
pub fn bounded(ends: &[FigureEnd], value: f64, unit: &str) -> String {
    match ends.iter().find(|end| end.at == value) {
        Some(end) if end.upper => format!("≥\u{a0}{}", number(value, unit)),
        Some(_) => format!("≤\u{a0}{}", number(value, unit)),
        None if unit == "%" => brief::capped(value),
        None => number(value, unit),
    }
}

/// What is said of each end that values lie at, of units that have these in common and of some of them:
/// `in some units: stays reset at every temperature looked at, down to −200.0 °C`.
pub fn said(ends: &[FigureEnd], unit: &str, all: &[f64], some: &[f64]) -> Vec<String> {
    let of = |end: &FigureEnd| {
        let always = all.contains(&end.at);
        let who = if always { "" } else { "in some units: " };
        let way = if end.upper { "up to" } else { "down to" };
        (always || some.contains(&end.at))
            .then(|| format!("{who}{}, {way} {}", end.meaning, with_unit(end.at, unit)))
    };
    ends.iter().filter_map(of).collect()
}

/// What is said of the ends that many units lie at, and of the mean that they have a part in.
pub fn of_many(ends: &[FigureEnd], of: &Distribution, unit: &str) -> Vec<String> {
    let some: Vec<f64> =
        [&of.least, &of.greatest].into_iter().filter_map(|one| one.value).collect();
    let alike = some.windows(2).all(|pair| pair[0] == pair[1]);
    let mut said = said(ends, unit, if alike { &some } else { &[] }, &some);
    if !said.is_empty() && !alike {
        said.push("mean and deviation count these units where the looking ended".into());
    }
    said
}

/// Quantiles as [`bounded`] values: one that lies in the last bin of its histogram lies at the end.
pub fn quantiles(
    ends: &[FigureEnd],
    of: &Distribution,
    shares: [f64; 2],
    unit: &str,
) -> Option<[String; 2]> {
    let told = |share: f64| {
        let quantile = of.quantiles.iter().find(|q| q.share == share)?;
        let reached = |end: &&FigureEnd| {
            let last = if end.upper { of.greatest.value } else { of.least.value };
            last == Some(end.at) && (quantile.value - end.at).abs() <= quantile.within
        };
        let value = ends.iter().find(reached).map_or(quantile.value, |end| end.at);
        Some(bounded(ends, value, unit))
    };
    let [low, high] = shares.map(told);
    low.zip(high).map(|(low, high)| [low, high])
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_engine::answer::{HistogramAt, QuantileAt, UnitAt};

    fn looked() -> Vec<FigureEnd> {
        let end = |at, upper, meaning: &str| FigureEnd { at, upper, meaning: meaning.into() };
        vec![end(155.0, true, "always"), end(-200.0, false, "never")]
    }

    fn between(least: f64, greatest: f64) -> Distribution {
        let at = |value| UnitAt { unit: 0, value: Some(value) };
        let quantile = |share, value| QuantileAt { share, value, within: 0.5 };
        Distribution {
            mean: 0.5 * (least + greatest),
            deviation: 1.0,
            least: at(least),
            greatest: at(greatest),
            quantiles: vec![quantile(0.1, least + 3.0), quantile(0.9, greatest - 0.2)],
            histogram: HistogramAt {
                low: least,
                high: greatest,
                below: 0,
                above: 0,
                counts: vec![1],
            },
        }
    }

    #[test]
    fn prop_a_value_at_an_end_is_told_as_there_or_beyond() {
        let ends = looked();
        assert_eq!(bounded(&ends, 155.0, "°C"), "≥\u{a0}155.0");
        assert_eq!(bounded(&ends, -200.0, "°C"), "≤\u{a0}−200.0");
        assert_eq!(bounded(&ends, 154.9, "°C"), "154.9");
    }

    #[test]
    fn prop_many_units_are_told_by_those_that_lie_at_an_end() {
        let ends = looked();
        let shares = |of: &Distribution| quantiles(&ends, of, [0.1, 0.9], "°C");
        let some = between(120.0, 155.0);
        let said = of_many(&ends, &some, "°C");
        assert_eq!(said[0], "in some units: always, up to 155.0\u{a0}°C");
        assert!(said[1].starts_with("mean and deviation"), "{said:?}");
        assert_eq!(shares(&some).expect("told"), ["123.0", "≥\u{a0}155.0"]);
        // The same quantile of units none of which lies there is a number.
        let none = between(120.0, 154.9);
        assert!(of_many(&ends, &none, "°C").is_empty());
        assert_eq!(shares(&none).expect("told")[1], "154.7");
        assert_eq!(of_many(&ends, &between(155.0, 155.0), "°C"), ["always, up to 155.0\u{a0}°C"]);
    }
}
