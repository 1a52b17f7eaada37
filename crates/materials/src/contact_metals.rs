//! Contact metals: softening, melting and arc limits.

use crate::kinds::{Hardness, Resistivity};
use crate::rows::{self, DataError, Origin, optional_quantity, quantity};
use reedmace_units::{Current, Toleranced, Voltage};
use serde::Deserialize;

const BUILTIN: &str = include_str!("../data/contact_metals.toml");

/// A metal on the contact faces.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContactMetal {
    /// `rhodium`.
    pub name: String,
    /// `Rh`.
    pub symbol: String,
    /// Voltage across the closed contact at which the metal softens, if known.
    #[serde(default, deserialize_with = "optional_quantity")]
    pub softening_voltage: Option<Toleranced<Voltage>>,
    /// Voltage across the closed contact at which the metal melts.
    #[serde(deserialize_with = "quantity")]
    pub melting_voltage: Toleranced<Voltage>,
    /// Least voltage that keeps an arc burning in air, if known.
    #[serde(default, deserialize_with = "optional_quantity")]
    pub arc_voltage: Option<Toleranced<Voltage>>,
    /// Least current that keeps an arc burning in air, if known.
    #[serde(default, deserialize_with = "optional_quantity")]
    pub arc_current: Option<Toleranced<Current>>,
    /// Electrical resistivity, if known.
    #[serde(default, deserialize_with = "optional_quantity")]
    pub resistivity: Option<Toleranced<Resistivity>>,
    /// Hardness of a plating, if known.
    #[serde(default, deserialize_with = "optional_quantity")]
    pub hardness: Option<Toleranced<Hardness>>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    metal: Vec<ContactMetal>,
}

/// A table of contact metals.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactMetals {
    rows: Vec<ContactMetal>,
}

impl ContactMetals {
    /// The metals that come with the program.
    pub fn builtin() -> Self {
        let file: File = rows::parse(BUILTIN).expect("the embedded metals are tested to parse");
        Self { rows: file.metal }
    }

    /// These metals and those of `text` (tables `[[metal]]`); a known symbol is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: File = rows::parse(text)?;
        rows::merge(&mut self.rows, file.metal, |a, b| a.symbol == b.symbol);
        Ok(self)
    }

    /// Every metal, in the order of the files.
    pub fn iter(&self) -> impl Iterator<Item = &ContactMetal> {
        self.rows.iter()
    }

    /// The metal of that name or symbol.
    pub fn find(&self, name: &str) -> Option<&ContactMetal> {
        self.rows.iter().find(|metal| metal.name == name || metal.symbol == name)
    }
}
