//! What every table of materials has in common: origin of a row, reading and merging.

use reedmace_units::{Quantity, Toleranced};
use serde::{Deserialize, Deserializer, de::DeserializeOwned};
use std::borrow::Cow;

/// How well founded a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Stated in a standard that was read.
    Standard,
    /// Stated in a publication that was read, at first or second hand.
    Published,
    /// Follows from a formula named in the source.
    Computed,
    /// From memory: plausible, unverified, to be replaced by a user who knows better.
    Memory,
    /// Given by the user.
    User,
}

/// Where a row is from.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Origin {
    /// In words, with reference keys in brackets.
    pub source: String,
    /// How well founded it is.
    pub basis: Basis,
}

/// A data file cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DataError {
    /// Not TOML, an unknown key, or a quantity that cannot be read; the text names the line.
    #[error("{0}")]
    Unreadable(String),
}

/// Parses rows; the error text underlines the place.
pub(crate) fn parse<T: DeserializeOwned>(text: &str) -> Result<T, DataError> {
    toml::from_str(text).map_err(|error| DataError::Unreadable(error.to_string()))
}

/// Adds `more` to `rows`; a row with the key of an earlier one replaces it.
pub(crate) fn merge<T>(rows: &mut Vec<T>, more: Vec<T>, same: impl Fn(&T, &T) -> bool) {
    for row in more {
        match rows.iter_mut().find(|old| same(old, &row)) {
            Some(old) => *old = row,
            None => rows.push(row),
        }
    }
}

/// Deserialises a quantity with its unit and tolerance from text.
pub(crate) fn quantity<'de, D, Q>(deserializer: D) -> Result<Toleranced<Q>, D::Error>
where
    D: Deserializer<'de>,
    Q: Quantity,
{
    let text = Cow::<str>::deserialize(deserializer)?;
    text.parse().map_err(serde::de::Error::custom)
}

/// As [`quantity`], for a key that may be absent (with `#[serde(default)]`).
pub(crate) fn optional_quantity<'de, D, Q>(
    deserializer: D,
) -> Result<Option<Toleranced<Q>>, D::Error>
where
    D: Deserializer<'de>,
    Q: Quantity,
{
    quantity(deserializer).map(Some)
}
