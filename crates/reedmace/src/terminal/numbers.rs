//! Bands in a line of text.

use reedmace_engine::answer::Band;
use reedmace_report::number::number;

/// `22.5 (20.0 .. 25.0) AT`; the parentheses only where there is a tolerance.
pub(crate) fn band(band: &Band) -> String {
    let unit = band.unit.as_str();
    let [low, high] = [band.low, band.high].map(|v| number(v, unit));
    let value = nominal(band);
    let limits = if low == high { String::new() } else { format!(" ({low} .. {high})") };
    format!("{value}{limits} {unit}").trim_end().to_owned()
}

/// The nominal value; a dash where the nominal unit has none.
pub(crate) fn nominal(band: &Band) -> String {
    band.value.map_or_else(|| "–".into(), |v| number(v, &band.unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_without_width_has_no_limits() {
        let exact = Band { value: Some(22.5), low: 22.5, high: 22.5, unit: "AT".into() };
        assert_eq!(band(&exact), "22.5 AT");
        let wide = Band { low: 20.0, high: 25.0, ..exact };
        assert_eq!(band(&wide), "22.5 (20.0 .. 25.0) AT");
    }

    #[test]
    fn what_no_nominal_unit_has_is_a_dash() {
        let some_units = Band { value: None, low: 1.0, high: 2.0, unit: "mm".into() };
        assert_eq!(band(&some_units), "– (1.00 .. 2.00) mm");
    }
}
