//! What may be chosen of a design, and the text of the design with something chosen.

use crate::measured;
use crate::schema::Measure;
use std::ops::Range;

/// `[choose]`: what may be changed, and what is to cost little.
#[derive(Debug, Clone, PartialEq)]
pub struct Choose {
    /// What is to be least.
    pub cost: Cost,
    /// Share of units that must meet every demand, 0 to 1; `None` if every unit within tolerance must.
    pub wanted: Option<f64>,
    /// What may be chosen, in the order of the file; at least one.
    pub free: Vec<Free>,
    /// Bytes of the table.
    pub span: Range<usize>,
}

/// What a choice costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cost {
    /// The price of contacts and magnets.
    Price,
    /// The mass of the magnets.
    Mass,
    /// The volume of the magnets.
    Volume,
    /// The power that the relay's coil takes from its nominal supply with its wire at 20 °C.
    Power,
}

impl Cost {
    /// `price`, `mass`, `volume` or `power`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Price => "price",
            Self::Mass => "mass",
            Self::Volume => "volume",
            Self::Power => "power",
        }
    }
}

/// Something that may be chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Free {
    /// Its path: `magnet[slug].size[0]`.
    pub path: String,
    /// Bytes of the path where it is left free.
    pub span: Range<usize>,
    /// What it may become.
    pub options: Options,
    /// Bytes of the value that a chosen one replaces.
    pub(crate) place: Range<usize>,
    /// What is stated there, without quotes.
    pub(crate) stated: String,
}

/// What something may become.
#[derive(Debug, Clone, PartialEq)]
pub enum Options {
    /// One of these names; at least one.
    Named(Vec<String>),
    /// One of these quantities, as they will be written, tolerance included; at least one.
    Stepped(Vec<String>),
    /// Any nominal value in a range.
    Within(Within),
}

/// A range of nominal values, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Within {
    /// The least.
    pub from: f64,
    /// The greatest.
    pub to: f64,
    /// The file's own.
    pub start: f64,
    /// What a chosen value is rounded to a multiple of.
    pub digit: f64,
    pub(crate) measure: Measure,
}

/// What something is chosen to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pick {
    /// One of the names or quantities, from 0.
    Nth(usize),
    /// This nominal value, SI.
    At(f64),
}

impl Options {
    /// How many there are; `None` for a range.
    pub fn count(&self) -> Option<usize> {
        match self {
            Self::Named(list) | Self::Stepped(list) => Some(list.len()),
            Self::Within(_) => None,
        }
    }
}

impl Within {
    /// The value as it will be written.
    pub fn rounded(&self, si: f64) -> f64 {
        ((si / self.digit).round() * self.digit).clamp(self.from, self.to)
    }
}

impl Free {
    /// What stands in the design when `pick` is chosen: a name, or a quantity with its tolerance. `None`
    /// where that cannot be written, or is not among the options.
    pub fn written(&self, pick: Pick) -> Option<String> {
        match (&self.options, pick) {
            (Options::Named(list) | Options::Stepped(list), Pick::Nth(n)) => list.get(n).cloned(),
            (Options::Within(within), Pick::At(si)) => {
                measured::moved(within.measure, &self.stated, within.rounded(si))
            }
            _ => None,
        }
    }
}

impl Choose {
    /// The text of the design with one thing chosen for each that is free: comments, order and layout
    /// stay. `None` where a pick cannot be written.
    ///
    /// `text` is the one that this was read from.
    pub fn chosen(&self, text: &str, picks: &[Pick]) -> Option<String> {
        let mut pieces: Vec<(&Range<usize>, String)> = Vec::new();
        for (free, pick) in self.free.iter().zip(picks) {
            pieces.push((&free.place, toml::Value::from(free.written(*pick)?).to_string()));
        }
        pieces.sort_by_key(|(place, _)| place.start);
        let mut new = String::new();
        let mut from = 0;
        for (place, with) in pieces {
            new.push_str(&text[from..place.start]);
            new.push_str(&with);
            from = place.end;
        }
        new.push_str(&text[from..]);
        Some(new)
    }
}
