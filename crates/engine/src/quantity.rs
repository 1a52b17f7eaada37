//! The quantities of a design as the engine varies them.

use reedmace_design::{Correlation, Design, SourceMark, Value};
use reedmace_sampling::{Copula, Correlation as Pair, Mixture, normal_within_three_sigma};
use reedmace_units::{Quantity, Spread, Toleranced};
use std::collections::HashMap;

/// A quantity of a design, whatever it measures, in SI.
pub(crate) trait Quantified {
    fn path(&self) -> &str;
    fn limits(&self) -> Limits;
    /// The parts of a mixture: the share of each, and its limits; none otherwise.
    fn parts(&self) -> Vec<(f64, Limits)>;
    fn text(&self) -> &str;
    /// The text of one value without tolerance, SI.
    fn settled_at(&self, si: f64) -> String;
    fn source(&self) -> Option<SourceMark>;
    fn note(&self) -> Option<&str>;
    fn start(&self) -> usize;
}

/// Nominal value and limits in SI, and how units spread between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limits {
    pub nominal: f64,
    pub low: f64,
    pub high: f64,
    pub spread: Spread,
}

impl<Q: Quantity> Quantified for Value<Q> {
    fn path(&self) -> &str {
        &self.path
    }
    fn limits(&self) -> Limits {
        Limits::of(&self.is)
    }
    fn parts(&self) -> Vec<(f64, Limits)> {
        self.mixture.iter().map(|part| (part.share, Limits::of(&part.is))).collect()
    }
    fn text(&self) -> &str {
        self.is.text()
    }
    fn settled_at(&self, si: f64) -> String {
        self.is.settled_at(Q::from_si(si))
    }
    fn source(&self) -> Option<SourceMark> {
        self.source
    }
    fn note(&self) -> Option<&str> {
        self.note.as_deref()
    }
    fn start(&self) -> usize {
        self.span.start
    }
}

impl Limits {
    fn of<Q: Quantity>(t: &Toleranced<Q>) -> Self {
        Self { nominal: t.nominal.si(), low: t.low.si(), high: t.high.si(), spread: t.spread }
    }

    /// The value that a share `u` of units lies below: uniform between the limits, or on each side of
    /// nominal half of a normal distribution whose limit is three sigma, truncated there.
    fn quantile(&self, u: f64) -> f64 {
        match self.spread {
            Spread::Uniform => self.low + u * (self.high - self.low),
            Spread::Normal => {
                let z = normal_within_three_sigma(u);
                let side = if z < 0.0 { self.nominal - self.low } else { self.high - self.nominal };
                self.nominal + z / 3.0 * side
            }
        }
    }
}

/// Where in its tolerance a quantity is put.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Level {
    /// Its nominal value.
    Nominal,
    /// Between its low limit (−1), nominal value (0) and high limit (+1).
    Toward(f64),
}

impl Level {
    pub const LOW: Self = Self::Toward(-1.0);
    pub const HIGH: Self = Self::Toward(1.0);

    /// The value at this level, SI.
    pub fn of(self, limits: &Limits) -> f64 {
        let Limits { nominal, low, high, .. } = *limits;
        match self {
            Self::Nominal => nominal,
            Self::Toward(t) if t < 0.0 => nominal + t * (nominal - low),
            Self::Toward(t) => nominal + t * (high - nominal),
        }
    }
}

/// A quantity that carries a tolerance.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Variable {
    pub path: String,
    pub limits: Limits,
    /// What its units come from: limits of their own for each part of a mixture, else those above.
    parts: Vec<Limits>,
    mixture: Mixture,
}

impl Variable {
    fn new(path: String, limits: Limits, parts: &[(f64, Limits)]) -> Self {
        let alone = [(1.0, limits)];
        let parts = if parts.is_empty() { &alone } else { parts };
        let shares: Vec<f64> = parts.iter().map(|(share, _)| *share).collect();
        let mixture = Mixture::new(&shares).expect("a checked design has shares above 0");
        Self { path, limits, parts: parts.iter().map(|(_, limits)| *limits).collect(), mixture }
    }

    /// The value at a coordinate in (0, 1), uniform over units, SI.
    pub fn at(&self, u: f64) -> f64 {
        let (part, u) = self.mixture.choose(u);
        self.parts[part].quantile(u)
    }

    /// The nominal value of what the unit at a coordinate comes from, SI.
    pub fn nominal_at(&self, u: f64) -> f64 {
        self.parts[self.mixture.choose(u).0].nominal
    }
}

/// Every toleranced quantity that a design's scene depends on, in the order of the file.
#[derive(Debug, Clone, Default)]
pub(crate) struct Variables {
    list: Vec<Variable>,
    index: HashMap<String, usize>,
    copula: Option<Copula>,
    /// Those that go together, each group in order.
    pub together: Vec<Vec<usize>>,
}

impl Variables {
    /// Of these limits, with numbers for names.
    #[cfg(test)]
    pub fn of(limits: impl Iterator<Item = Limits>) -> Self {
        let list = limits.enumerate().map(|(i, l)| Variable::new(i.to_string(), l, &[]));
        Self { list: list.collect(), ..Self::default() }
    }
    pub fn len(&self) -> usize {
        self.list.len()
    }
    pub fn iter(&self) -> impl Iterator<Item = &Variable> {
        self.list.iter()
    }
    pub fn get(&self, i: usize) -> &Variable {
        &self.list[i]
    }
    pub fn index_of(&self, path: &str) -> Option<usize> {
        self.index.get(path).copied()
    }

    /// Takes in `quantity` if it has a tolerance and is not known yet; which variable it is. What has a
    /// variable's path without its tolerance is none: a family's length beside the one as trimmed.
    pub fn note(&mut self, quantity: &dyn Quantified) -> Option<usize> {
        let limits = quantity.limits();
        if limits.low == limits.high {
            return None;
        }
        let known = self.index.get(quantity.path()).copied();
        Some(known.unwrap_or_else(|| {
            let path = quantity.path().to_owned();
            self.index.insert(path.clone(), self.list.len());
            self.list.push(Variable::new(path, limits, &quantity.parts()));
            self.list.len() - 1
        }))
    }

    /// Lets quantities go together. A correlation with one that is no variable does nothing.
    pub fn correlate(&mut self, correlations: &[Correlation]) {
        let mut pairs: Vec<Pair> = Vec::new();
        for correlation in correlations {
            let members: Vec<usize> =
                correlation.of.iter().filter_map(|path| self.index_of(path)).collect();
            for (k, &other) in members.iter().enumerate() {
                let rank = correlation.rank;
                pairs.extend(members[..k].iter().map(|&one| Pair { one, other, rank }));
            }
        }
        self.together = groups(&pairs);
        let copula = Copula::gaussian(&pairs).expect("a checked design's correlations hold");
        self.copula = (!pairs.is_empty()).then_some(copula);
    }

    /// Makes a point of the unit cube, independent coordinates, one whose coordinates go together as the
    /// quantities do.
    pub fn bend(&self, point: &mut [f64]) {
        if let Some(copula) = &self.copula {
            copula.apply(point);
        }
    }

    /// Makes the coordinates of such a point the values, SI.
    pub fn value(&self, bent: &mut [f64]) {
        self.list.iter().zip(bent).for_each(|(variable, u)| *u = variable.at(*u));
    }
}

/// Coordinates that pairs join, directly or through others, each group in order.
fn groups(pairs: &[Pair]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for pair in pairs {
        let touches = |group: &Vec<usize>| group.contains(&pair.one) || group.contains(&pair.other);
        let (touched, apart): (Vec<_>, Vec<_>) = groups.into_iter().partition(touches);
        let mut joined = touched.concat();
        joined.extend([pair.one, pair.other]);
        joined.sort_unstable();
        joined.dedup();
        groups = apart;
        groups.push(joined);
    }
    groups.sort_unstable();
    groups
}

/// One unit within tolerance: a level for each variable.
pub(crate) type Unit = Vec<Level>;

/// Line of a byte of the design's text, from 1.
pub(crate) fn line_of(design: &Design, byte: usize) -> usize {
    let end = byte.min(design.text.len());
    design.text.as_bytes()[..end].iter().filter(|b| **b == b'\n').count() + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_levels_stay_within_limits_and_rise() {
        for spread in [Spread::Normal, Spread::Uniform] {
            let limits = Limits { nominal: 8.0, low: 7.8, high: 8.5, spread };
            let mut last = f64::NEG_INFINITY;
            for k in 0..=1000 {
                let v = limits.quantile(k as f64 / 1000.0);
                assert!(v >= last && (7.8 - 1e-9..=8.5 + 1e-9).contains(&v), "{v}");
                last = v;
            }
        }
    }

    /// One sigma of a normal truncated at three: (Φ(1) − Φ(−3)) / (Φ(3) − Φ(−3)) = 0.84269 of units
    /// lie below nominal + limit/3, with Φ(1) = 0.841345, Φ(3) = 0.998650 (NIST/SEMATECH e-Handbook,
    /// table of the standard normal; digits from memory).
    #[test]
    fn val_truncated_normal() {
        let limits = Limits { nominal: 0.0, low: -3.0, high: 3.0, spread: Spread::Normal };
        let share = (0.841_345 - 0.001_350) / (0.998_650 - 0.001_350);
        assert!((limits.quantile(share) - 1.0).abs() < 2e-5);
    }
}
