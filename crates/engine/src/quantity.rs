//! The quantities of a design as the engine varies them.

use reedmace_design::{Design, SourceMark, Value};
use reedmace_units::{Quantity, Spread};
use statrs::distribution::{ContinuousCDF, Normal};
use std::collections::HashMap;

/// A quantity of a design, whatever it measures, in SI.
pub(crate) trait Quantified {
    fn path(&self) -> &str;
    fn limits(&self) -> Limits;
    fn text(&self) -> &str;
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
        let t = &self.is;
        Limits { nominal: t.nominal.si(), low: t.low.si(), high: t.high.si(), spread: t.spread }
    }
    fn text(&self) -> &str {
        self.is.text()
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

/// Where in its tolerance a quantity is put.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Level {
    /// Its nominal value.
    Nominal,
    /// Between its low limit (−1), nominal value (0) and high limit (+1).
    Toward(f64),
    /// The value that this share of units lies below.
    Quantile(f64),
}

impl Level {
    pub const LOW: Self = Self::Toward(-1.0);
    pub const HIGH: Self = Self::Toward(1.0);

    /// The value at this level, SI.
    pub fn of(self, limits: &Limits) -> f64 {
        let Limits { nominal, low, high, spread } = *limits;
        match self {
            Self::Nominal => nominal,
            Self::Toward(t) if t < 0.0 => nominal + t * (nominal - low),
            Self::Toward(t) => nominal + t * (high - nominal),
            Self::Quantile(u) => match spread {
                Spread::Uniform => low + u * (high - low),
                Spread::Normal => nominal + truncated_normal(u, nominal - low, high - nominal),
            },
        }
    }
}

/// Deviation from nominal below which a share `u` of units lies: on each side of nominal half of a
/// normal distribution whose limit is three sigma, truncated there.
fn truncated_normal(u: f64, below: f64, above: f64) -> f64 {
    let normal = Normal::standard();
    let tail = normal.cdf(-3.0);
    let z = normal.inverse_cdf(tail + u * (1.0 - 2.0 * tail));
    z / 3.0 * if z < 0.0 { below } else { above }
}

/// A quantity that carries a tolerance.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Variable {
    pub path: String,
    pub limits: Limits,
}

/// Every toleranced quantity that a design's scene depends on, in the order of the file.
#[derive(Debug, Clone, Default)]
pub(crate) struct Variables {
    list: Vec<Variable>,
    index: HashMap<String, usize>,
}

impl Variables {
    /// Of these limits, with numbers for names.
    #[cfg(test)]
    pub fn of(limits: impl Iterator<Item = Limits>) -> Self {
        let list = limits.enumerate().map(|(i, limits)| Variable { path: i.to_string(), limits });
        Self { list: list.collect(), index: HashMap::new() }
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
            self.list.push(Variable { path, limits });
            self.list.len() - 1
        }))
    }
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
                let v = Level::Quantile(k as f64 / 1000.0).of(&limits);
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
        assert!((Level::Quantile(share).of(&limits) - 1.0).abs() < 2e-5);
    }
}
