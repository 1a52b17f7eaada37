//! Quantities whose measure is known only while a file is read.

use crate::motion::Reach;
use crate::schema::{Measure, Measured};
use reedmace_units::{
    Acceleration, AmpereTurns, Angle, Capacitance, Current, Density, Duration, FlowRate,
    FluxDensity, Frequency, Inductance, Length, Mass, Polarization, Power, Pressure, Quantity,
    Ratio, Region, Resistance, Temperature, TextError, ThermalResistance, Toleranced, Unit,
    Voltage, Volume,
};

macro_rules! of_measure {
    ($measure:expr, $function:ident($($argument:expr),*)) => {
        match $measure {
            Measure::Length => $function::<Length>($($argument),*),
            Measure::Angle => $function::<Angle>($($argument),*),
            Measure::FluxDensity => $function::<FluxDensity>($($argument),*),
            Measure::Polarization => $function::<Polarization>($($argument),*),
            Measure::AmpereTurns => $function::<AmpereTurns>($($argument),*),
            Measure::Current => $function::<Current>($($argument),*),
            Measure::Voltage => $function::<Voltage>($($argument),*),
            Measure::Power => $function::<Power>($($argument),*),
            Measure::Temperature => $function::<Temperature>($($argument),*),
            Measure::Density => $function::<Density>($($argument),*),
            Measure::Volume => $function::<Volume>($($argument),*),
            Measure::FlowRate => $function::<FlowRate>($($argument),*),
            Measure::Duration => $function::<Duration>($($argument),*),
            Measure::Frequency => $function::<Frequency>($($argument),*),
            Measure::Pressure => $function::<Pressure>($($argument),*),
            Measure::Acceleration => $function::<Acceleration>($($argument),*),
            Measure::Inductance => $function::<Inductance>($($argument),*),
            Measure::Capacitance => $function::<Capacitance>($($argument),*),
            Measure::ThermalResistance => $function::<ThermalResistance>($($argument),*),
            Measure::Resistance => $function::<Resistance>($($argument),*),
            Measure::Mass => $function::<Mass>($($argument),*),
            Measure::Number => $function::<Ratio>($($argument),*),
        }
    };
}

/// Nominal value, low and high limit of a text, SI.
pub(crate) fn limits_of(measure: Measure, text: &str) -> Result<[f64; 3], TextError> {
    fn of<Q: Quantity>(text: &str) -> Result<[f64; 3], TextError> {
        let read: Toleranced<Q> = text.parse()?;
        Ok([read.nominal.si(), read.low.si(), read.high.si()])
    }
    of_measure!(measure, of(text))
}

/// The region a text states.
pub(crate) fn region_of(measure: Measure, text: &str) -> Result<Reach, TextError> {
    fn of<Q: Quantity>(measure: Measure, text: &str) -> Result<Reach, TextError> {
        let (low, high) = text.parse::<Region<Q>>()?.limits();
        let low = low.map_or(f64::NEG_INFINITY, Q::si);
        Ok(Reach { measure, low, high: high.map_or(f64::INFINITY, Q::si) })
    }
    of_measure!(measure, of(measure, text))
}

/// The text with another nominal value, SI; units and tolerance stay.
pub(crate) fn moved(measure: Measure, text: &str, nominal: f64) -> Option<String> {
    fn of<Q: Quantity>(text: &str, nominal: f64) -> Option<String> {
        let read: Toleranced<Q> = text.parse().ok()?;
        Some(read.moved_to(Q::from_si(nominal))?.text().to_owned())
    }
    of_measure!(measure, of(text, nominal))
}

/// Least and greatest value, SI.
pub(crate) fn ends(measured: Measured) -> [f64; 2] {
    fn of<Q: Quantity>(measured: Measured) -> [f64; 2] {
        let (low, high) = measured.limits.ends::<Q>();
        [low.si(), high.si()]
    }
    of_measure!(measured.measure, of(measured))
}

/// The unit a text ends with.
pub(crate) fn unit_of(measure: Measure, text: &str) -> &'static Unit {
    let ends = |unit: &Unit| {
        let symbols = unit.also.iter().copied().chain([unit.symbol]);
        symbols.filter(|symbol| text.trim_end().ends_with(symbol)).map(str::len).max()
    };
    let units = measure.units();
    units.iter().max_by_key(|unit| ends(unit).map_or(0, |length| 1 + length)).unwrap_or(&units[0])
}
