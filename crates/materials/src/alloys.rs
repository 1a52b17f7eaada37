//! Soft-magnetic alloys: of blades and leads, and steels of plates, brackets and screws.

use crate::rows::{self, DataError, Origin, quantity};
use crate::{ElasticModulus, PerKelvin, Resistivity};
use reedmace_units::{Density, Polarization, Ratio, Toleranced};
use serde::Deserialize;

const BUILTIN: &str = include_str!("../data/alloys.toml");

/// A soft-magnetic alloy at 20 °C.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoftAlloy {
    /// `Nickel-iron 52`.
    pub name: String,
    /// Nickel by mass.
    #[serde(deserialize_with = "quantity")]
    pub nickel: Toleranced<Ratio>,
    /// Saturation polarization Js.
    #[serde(deserialize_with = "quantity")]
    pub saturation: Toleranced<Polarization>,
    /// Relative permeability in weak fields, after the heat of sealing.
    #[serde(deserialize_with = "quantity")]
    pub initial_permeability: Toleranced<Ratio>,
    /// Greatest relative permeability.
    #[serde(deserialize_with = "quantity")]
    pub maximum_permeability: Toleranced<Ratio>,
    /// Electrical resistivity.
    #[serde(deserialize_with = "quantity")]
    pub resistivity: Toleranced<Resistivity>,
    /// Young's modulus.
    #[serde(deserialize_with = "quantity")]
    pub elastic_modulus: Toleranced<ElasticModulus>,
    /// Mass per volume.
    #[serde(deserialize_with = "quantity")]
    pub density: Toleranced<Density>,
    /// Linear thermal expansion, mean from 20 °C to the sealing range.
    #[serde(deserialize_with = "quantity")]
    pub expansion: Toleranced<PerKelvin>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    alloy: Vec<SoftAlloy>,
}

/// A table of soft alloys.
#[derive(Debug, Clone, PartialEq)]
pub struct Alloys {
    rows: Vec<SoftAlloy>,
}

impl Alloys {
    /// The alloys that come with the program.
    pub fn builtin() -> Self {
        let file: File = rows::parse(BUILTIN).expect("the embedded alloys are tested to parse");
        Self { rows: file.alloy }
    }

    /// These alloys and those of `text` (tables `[[alloy]]`); a known name is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: File = rows::parse(text)?;
        rows::merge(&mut self.rows, file.alloy, |a, b| plain(&a.name) == plain(&b.name));
        Ok(self)
    }

    /// Every alloy, in the order of the files.
    pub fn iter(&self) -> impl Iterator<Item = &SoftAlloy> {
        self.rows.iter()
    }

    /// The alloy of that name; case and spaces do not matter.
    pub fn find(&self, name: &str) -> Option<&SoftAlloy> {
        let wanted = plain(name);
        self.rows.iter().find(|alloy| plain(&alloy.name) == wanted)
    }

    /// The known name that looks most like `name`.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        let wanted = plain(name);
        let likeness = |known: &SoftAlloy| {
            strsim::normalized_damerau_levenshtein(&plain(&known.name), &wanted)
        };
        let mut best: Option<(f64, &str)> = None;
        for alloy in &self.rows {
            let score = likeness(alloy);
            if score > best.map_or(0.6, |(score, _)| score) {
                best = Some((score, &alloy.name));
            }
        }
        best.map(|(_, name)| name)
    }
}

fn plain(name: &str) -> String {
    name.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}
