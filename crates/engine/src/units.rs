//! The sweep's coordinate as the user reads it: its unit, its name, its factor from SI.

use crate::answer::FigureEnd;
use reedmace_design::{
    Coordinate, Demand, DemandKind, Design, DriveRange, End, Figure, Sweep, Thing,
};
use reedmace_units::{
    AmpereTurns, Angle, Current, FluxDensity, Force, Length, Quantity, Unit, Voltage,
    format_number, unit_named,
};
use std::sync::LazyLock;

/// How a coordinate is shown.
#[derive(Debug, Clone)]
pub(crate) struct Shown {
    /// In words: `z of slug`.
    pub name: String,
    /// Its unit, empty for the number of a pose.
    pub unit: &'static str,
    per_unit: f64,
}

impl Shown {
    /// As `design`'s sweep states it.
    pub fn of(design: &Design) -> Self {
        let named = |what: &str, things: &[Thing]| {
            format!("{what} of {}", tables(design, things).join(", "))
        };
        let (name, unit): (String, &'static Unit) = match &design.sweep {
            Sweep::Line(line) => {
                let what = match line.coordinate {
                    Coordinate::X => "x",
                    Coordinate::Y => "y",
                    Coordinate::Z => "z",
                    Coordinate::Travel => "travel",
                };
                (named(what, &line.moves), unit::<Length>("mm"))
            }
            Sweep::Arc(t) | Sweep::Spin(t) => (named("angle", &t.moves), unit::<Angle>("deg")),
            Sweep::Table(t) => {
                return Self { name: named("pose", &t.moves), unit: "", per_unit: 1.0 };
            }
            Sweep::Level(_) => ("level".to_owned(), unit::<Length>("mm")),
            Sweep::Voltage(s) => {
                let coil = &design.coils[s.coil].name;
                (format!("voltage across {coil}"), unit::<Voltage>("V"))
            }
            Sweep::Current(s) => {
                let coil = &design.coils[s.coil].name;
                match s.range {
                    DriveRange::AmpereTurns { .. } => {
                        (format!("ampere-turns in {coil}"), unit::<AmpereTurns>("AT"))
                    }
                    DriveRange::Current { .. } => {
                        let small = sweep_end(&s.range) < 1.0;
                        let unit = unit::<Current>(if small { "mA" } else { "A" });
                        (format!("current in {coil}"), unit)
                    }
                }
            }
        };
        Self { name, unit: unit.symbol, per_unit: unit.factor }
    }

    /// A coordinate in SI as shown.
    pub fn number(&self, si: f64) -> f64 {
        tidy(si / self.per_unit)
    }
}

impl Shown {
    /// A coordinate in SI with its name and unit: `z of slug = 7.85 mm`.
    pub fn place(&self, si: f64) -> String {
        let number = in_words(self.number(si), 4);
        format!("{} = {number} {}", self.name, self.unit).trim_end().to_owned()
    }
}

/// A number in a sentence: [`format_number`] with a true minus sign.
pub(crate) fn in_words(value: f64, digits: usize) -> String {
    let text = format_number(value, digits);
    text.strip_prefix('-').map(|rest| format!("−{rest}")).unwrap_or(text)
}

/// How the room of a demand is shown.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ShownRoom {
    /// Its unit.
    pub unit: &'static str,
    per_unit: f64,
}

impl ShownRoom {
    /// A room in SI as shown.
    pub fn number(self, si: f64) -> f64 {
        tidy(si / self.per_unit)
    }
}

impl Shown {
    /// How the room of a demand is shown; `figures`: those of the design.
    pub fn room(&self, demand: &Demand, figures: &[Figure]) -> ShownRoom {
        match demand.kind {
            DemandKind::Closures(_) => ShownRoom { unit: "closures", per_unit: 1.0 },
            DemandKind::Figure(k, _) => {
                let unit = figures[k].unit;
                ShownRoom { unit: unit.symbol, per_unit: unit.factor }
            }
            _ => ShownRoom { unit: self.unit, per_unit: self.per_unit },
        }
    }
}

/// A figure's value in SI as shown.
pub(crate) fn figure_number(figure: &Figure, si: f64) -> f64 {
    tidy(figure.unit.number_of(si))
}

/// Where what is looked at of a figure ends, as shown.
pub(crate) fn figure_ends(figure: &Figure) -> Vec<FigureEnd> {
    let shown = |end: &End| FigureEnd {
        at: figure_number(figure, end.at),
        upper: end.upper,
        meaning: end.meaning.into(),
    };
    figure.ends.iter().map(shown).collect()
}

/// The greater of the ends of a coil's sweep, SI.
fn sweep_end(range: &DriveRange) -> f64 {
    let [from, to] = match range {
        DriveRange::AmpereTurns { from, to } => [from.si(), to.si()],
        DriveRange::Current { from, to } => [from.si(), to.si()],
    };
    from.abs().max(to.abs())
}

/// A flux density in SI as millitesla.
pub(crate) fn millitesla(si: f64) -> f64 {
    static FACTOR: LazyLock<f64> = LazyLock::new(|| unit::<FluxDensity>("mT").factor);
    tidy(si / *FACTOR)
}

/// A force in SI as millinewtons.
pub(crate) fn millinewtons(si: f64) -> f64 {
    tidy(si / unit::<Force>("mN").factor)
}

/// A length in SI as millimetres.
pub(crate) fn millimetres(si: f64) -> f64 {
    static FACTOR: LazyLock<f64> = LazyLock::new(|| unit::<Length>("mm").factor);
    tidy(si / *FACTOR)
}

/// Drops what is beyond the twelfth digit: nothing here is that good, and results then do not differ
/// in their last bits.
pub(crate) fn tidy(x: f64) -> f64 {
    if x == 0.0 || !x.is_finite() {
        return x;
    }
    let scale = power_of_ten(11 - decade(x.abs()));
    if scale.is_finite() && scale > 0.0 { (x * scale).round() / scale } else { x }
}

/// The greatest k with 10^k not above a positive number.
fn decade(x: f64) -> i32 {
    // From the power of two, by log10(2), within one.
    let power_of_two = (x.to_bits() >> 52) as i32 - 1023;
    let mut k = (power_of_two * 1233) >> 12;
    while x < power_of_ten(k) {
        k -= 1;
    }
    while x >= power_of_ten(k + 1) {
        k += 1;
    }
    k
}

/// 10^k, from a table: maps have a hundred thousand numbers to tidy.
fn power_of_ten(k: i32) -> f64 {
    const LEAST: i32 = -330;
    static POWERS: LazyLock<Vec<f64>> =
        LazyLock::new(|| (LEAST..=340).map(|k| 10f64.powi(k)).collect());
    POWERS[(k - LEAST) as usize]
}

/// Names of things.
pub(crate) fn names(design: &Design, things: &[Thing]) -> Vec<String> {
    let name = |t: &Thing| match *t {
        Thing::Contact(k) => design.contacts[k].name.clone(),
        Thing::Magnet(k) => design.magnets[k].name.clone(),
        Thing::Coil(k) => design.coils[k].name.clone(),
        Thing::Steel(k) => design.steel[k].name.clone(),
    };
    things.iter().map(name).collect()
}

/// Names of the tables that state things: of all magnets on a circle one.
fn tables(design: &Design, things: &[Thing]) -> Vec<String> {
    let mut tables: Vec<String> = Vec::new();
    for thing in things {
        let name = match thing {
            Thing::Magnet(k) if whole_circle(design, *k, things) => {
                design.magnets[*k].table().to_owned()
            }
            _ => names(design, &[*thing]).remove(0),
        };
        if !tables.contains(&name) {
            tables.push(name);
        }
    }
    tables
}

/// True of a magnet on a circle all of whose magnets are among `things`.
fn whole_circle(design: &Design, k: usize, things: &[Thing]) -> bool {
    design.magnets[k].circle.as_ref().is_some_and(|circle| {
        let there = |thing: &&Thing| match thing {
            Thing::Magnet(other) => design.magnets[*other].table() == circle.table,
            _ => false,
        };
        things.iter().filter(there).count() == circle.count as usize
    })
}

fn unit<Q: Quantity>(symbol: &str) -> &'static Unit {
    unit_named::<Q>(symbol).expect("a unit of the table")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_twelve_digits_are_left_whatever_the_size() {
        for k in -300..300 {
            for digits in [1.0, 1.234567890124, 9.99999999999, 3.0] {
                let x: f64 = format!("{digits}e{k}").parse().expect("a number");
                let noisy = x * (1.0 + 4.0 * f64::EPSILON);
                let told = format!("{:.11e}", tidy(noisy));
                assert_eq!(told, format!("{x:.11e}"));
            }
        }
        assert_eq!((tidy(0.0), tidy(-1e-320)), (0.0, -1e-320));
        assert!(tidy(f64::NAN).is_nan() && tidy(f64::INFINITY) == f64::INFINITY);
    }
}
