//! Figures as rows of a table: like ones of several contacts as one row, values where the looking ended marked.

use crate::number::behind;
use crate::{brief, ends};
use reedmace_engine::{Answer, answer::FigureAnswer};

/// Figures that one row tells: one, or the same of several contacts with the same limits.
#[derive(Debug, Clone)]
pub struct Row<'a> {
    /// `differential of lid`, `differential of each contact`.
    pub name: String,
    /// The first of them.
    pub one: &'a FigureAnswer,
    /// Of all of them the lowest and the highest nominal value; none where one of them has none.
    pub nominal: Option<[f64; 2]>,
}

/// The figures that are told one by one, as rows.
pub fn rows(answer: &Answer) -> Vec<Row<'_>> {
    let mut told: Vec<(&str, Vec<(&FigureAnswer, &str)>)> = Vec::new();
    for figure in brief::figures(answer) {
        let (stem, contact) = parted(answer, figure);
        let like = |(known, all): &&mut (&str, Vec<(&FigureAnswer, &str)>)| {
            *known == stem && !contact.is_empty() && alike(all[0].0, figure)
        };
        match told.iter_mut().find(like) {
            Some((_, all)) => all.push((figure, contact)),
            None => told.push((stem, vec![(figure, contact)])),
        }
    }
    told.into_iter().map(|(stem, all)| row(answer, stem, &all)).collect()
}

fn row<'a>(answer: &Answer, stem: &str, all: &[(&'a FigureAnswer, &str)]) -> Row<'a> {
    let one = all[0].0;
    let names: Vec<&str> = all.iter().map(|(_, contact)| *contact).collect();
    let name = match names.len() {
        1 => one.name.clone(),
        n if n == answer.contacts.len() => format!("{stem} of each contact"),
        _ => format!("{stem} of {} each", names.join(", ")),
    };
    let extent = |[low, high]: [f64; 2], value: f64| [low.min(value), high.max(value)];
    let nominal = all
        .iter()
        .map(|(figure, _)| figure.value.value)
        .collect::<Option<Vec<f64>>>()
        .map(|values| values.into_iter().fold([f64::INFINITY, f64::NEG_INFINITY], extent));
    Row { name, one, nominal }
}

/// A figure's name without the contact it ends with, and that contact; an empty one where it ends with none.
fn parted<'a>(answer: &'a Answer, figure: &'a FigureAnswer) -> (&'a str, &'a str) {
    let of = |contact: &'a str| {
        let stem = figure.name.strip_suffix(contact)?.strip_suffix(" of ")?;
        Some((stem, contact))
    };
    let named = answer.contacts.iter().filter_map(|contact| of(&contact.name));
    named.min_by_key(|(stem, _)| stem.len()).unwrap_or((&figure.name, ""))
}

/// The same number of two contacts, with limits that print alike.
fn alike(a: &FigureAnswer, b: &FigureAnswer) -> bool {
    let limits = |f: &FigureAnswer| [valued(f, f.value.low), valued(f, f.value.high)];
    let kind = |f: &FigureAnswer| {
        [&f.group, &f.about, &f.model, &f.source, &f.value.unit].map(String::clone)
    };
    kind(a) == kind(b)
        && limits(a) == limits(b)
        && (a.in_every_unit, &a.ends) == (b.in_every_unit, &b.ends)
}

impl Row<'_> {
    /// Nominal without its unit: `12.5`, of several contacts `2.631 to 2.881`.
    pub fn nominal(&self) -> Option<String> {
        let [low, high] = self.nominal.map(|ends| ends.map(|value| valued(self.one, value)))?;
        Some(if low == high { low } else { format!("{low} to {high}") })
    }

    /// Low and high limit of the worst case, without the unit.
    pub fn limits(&self) -> [String; 2] {
        [self.one.value.low, self.one.value.high].map(|value| valued(self.one, value))
    }

    /// The unit as it stands behind a number.
    pub fn unit(&self) -> String {
        behind(&self.one.value.unit)
    }

    /// What is said of values where the looking ended: `stays reset at every temperature looked at, down to −200.0 °C`.
    pub fn ends(&self) -> Vec<String> {
        let band = &self.one.value;
        let nominal = self.nominal.unwrap_or([f64::NAN; 2]);
        ends::said(&self.one.ends, &band.unit, &nominal, &[band.low, band.high])
    }
}

/// A value of a figure without its unit.
fn valued(figure: &FigureAnswer, value: f64) -> String {
    ends::bounded(&figure.ends, value, &figure.value.unit)
}
