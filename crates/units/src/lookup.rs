//! Which units there are, of what, and the nearest to a mistaken one.

use crate::{
    Acceleration, AmpereTurns, Angle, Capacitance, Current, Density, Duration, FieldStrength,
    FlowRate, FluxDensity, Force, Frequency, Inductance, Length, Mass, Polarization, Power,
    Pressure, Quantity, Ratio, Resistance, Temperature, ThermalResistance, Unit, Voltage, Volume,
};

/// A quantity without its type: for documentation, schemas and messages.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuantityInfo {
    /// What it is: `length`, `flux density`.
    pub name: &'static str,
    /// Every unit it may be written in; the first is the one printed when the user gave none.
    pub units: &'static [Unit],
    /// A text that reads as this quantity.
    pub example: &'static str,
}

const fn info<Q: Quantity>(example: &'static str) -> QuantityInfo {
    QuantityInfo { name: Q::NAME, units: Q::UNITS, example }
}

/// Every quantity of this crate.
///
/// ```
/// use reedmace_units::QUANTITIES;
/// let length = QUANTITIES.iter().find(|q| q.name == "length").unwrap();
/// assert_eq!(length.units[0].symbol, "mm");
/// ```
pub const QUANTITIES: &[QuantityInfo] = &[
    info::<Length>("8 ± 0.3 mm"),
    info::<Angle>("90 ± 2 deg"),
    info::<FluxDensity>("3 ± 0.2 mT"),
    info::<Polarization>("1.2 T ± 5 %"),
    info::<FieldStrength>("900 kA/m"),
    info::<AmpereTurns>("20..25 AT"),
    info::<Current>("15 mA"),
    info::<Voltage>("12 V ± 10 %"),
    info::<Resistance>("0.1 Ω"),
    info::<Power>("10 W"),
    info::<Force>("50 ± 5 mN"),
    info::<Mass>("123 ± 3 g"),
    info::<Density>("1050 ± 10 kg/m³"),
    info::<Volume>("60 L"),
    info::<FlowRate>("2..12 L/min"),
    info::<Duration>("0.5 ms"),
    info::<Frequency>("75 Hz"),
    info::<Acceleration>("30 gn"),
    info::<Pressure>("1 bar"),
    info::<Inductance>("100 mH"),
    info::<Capacitance>("22 nF"),
    info::<ThermalResistance>("120 K/W"),
    info::<Ratio>("5000 ± 20 %"),
    info::<Temperature>("-20..70 °C"),
];

/// The unit of a quantity with this symbol or one of its other spellings.
///
/// ```
/// use reedmace_units::{Length, unit_named};
/// assert_eq!(unit_named::<Length>("um").unwrap().symbol, "µm");
/// assert!(unit_named::<Length>("mT").is_none());
/// ```
pub fn unit_named<Q: Quantity>(symbol: &str) -> Option<&'static Unit> {
    find_unit(Q::UNITS, symbol)
}

/// The names of every quantity of this crate which the unit measures; empty if it is unknown.
///
/// ```
/// use reedmace_units::which_quantity;
/// assert_eq!(which_quantity("mT"), ["flux density", "polarization"]);
/// assert!(which_quantity("furlong").is_empty());
/// ```
pub fn which_quantity(unit_symbol: &str) -> Vec<&'static str> {
    let measures = |q: &&QuantityInfo| find_unit(q.units, unit_symbol).is_some();
    QUANTITIES.iter().filter(measures).map(|q| q.name).collect()
}

pub(crate) fn find_unit(units: &'static [Unit], symbol: &str) -> Option<&'static Unit> {
    let symbol = plain(symbol);
    units.iter().find(|unit| spellings(unit).any(|known| plain(known) == symbol))
}

/// The unit most likely meant: another case of a known one, or one slip of the hand away.
pub(crate) fn nearest_unit(units: &'static [Unit], symbol: &str) -> Option<&'static Unit> {
    let symbol = plain(symbol);
    let lower = symbol.to_lowercase();
    let slips = |unit: &Unit| {
        let distance = |known: &str| {
            let known = plain(known);
            let same_letters = known.to_lowercase() == lower;
            if same_letters { 0 } else { strsim::damerau_levenshtein(&known, &symbol) }
        };
        spellings(unit).filter(|known| !known.is_empty()).map(distance).min()
    };
    let near = |unit: &'static Unit| Some((slips(unit)?, unit));
    let nearest = units.iter().filter_map(near).min_by_key(|(slips, _)| *slips);
    nearest.filter(|(slips, _)| *slips <= 1).map(|(_, unit)| unit)
}

/// `mm, m or in`, as in a sentence.
pub(crate) fn list_units(units: &[Unit]) -> String {
    let names: Vec<&str> = units.iter().map(|unit| unit_name(unit.symbol)).collect();
    list(&names)
}

/// `a, b or c`.
pub(crate) fn list(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
    }
}

/// A quantity's name with its article.
pub(crate) fn with_article(name: &str) -> String {
    match name.chars().next() {
        _ if name.ends_with('s') && !name.ends_with("ss") => name.to_owned(),
        Some('a' | 'e' | 'i' | 'o' | 'u') => format!("an {name}"),
        _ => format!("a {name}"),
    }
}

fn unit_name(symbol: &str) -> &str {
    if symbol.is_empty() { "no unit" } else { symbol }
}

fn spellings(unit: &Unit) -> impl Iterator<Item = &'static str> {
    std::iter::once(unit.symbol).chain(unit.also.iter().copied())
}

/// Folds look-alikes: both micro signs, both ohms, the ordinal sign and composed degrees.
fn plain(symbol: &str) -> String {
    let mut plain = String::with_capacity(symbol.len());
    for c in symbol.chars() {
        match c {
            'μ' => plain.push('µ'),
            '\u{2126}' => plain.push('Ω'),
            'º' => plain.push('°'),
            '℃' => plain.push_str("°C"),
            '℉' => plain.push_str("°F"),
            '\u{212A}' => plain.push('K'),
            '⋅' => plain.push('·'),
            c => plain.push(c),
        }
    }
    plain
}
