//! Magnetization curves of soft steels.

use crate::rows::{self, DataError, Origin};
use serde::Deserialize;

const BUILTIN: &str = include_str!("../data/bh_curves.toml");

/// A measured curve of a soft steel, without hysteresis, at room temperature.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MagnetizationCurve {
    /// `cold-rolled plate, 3.2 mm`.
    pub name: String,
    /// Rows of field strength H (A/m) and flux density B (T), both rising.
    pub rows: Vec<[f64; 2]>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    curve: Vec<MagnetizationCurve>,
}

/// A table of magnetization curves.
#[derive(Debug, Clone, PartialEq)]
pub struct MagnetizationCurves {
    rows: Vec<MagnetizationCurve>,
}

impl MagnetizationCurves {
    /// The curves that come with the program.
    pub fn builtin() -> Self {
        let file: File = rows::parse(BUILTIN).expect("the embedded curves are tested to parse");
        Self { rows: file.curve }
    }

    /// These curves and those of `text` (tables `[[curve]]`); a known name is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: File = rows::parse(text)?;
        rows::merge(&mut self.rows, file.curve, |a, b| a.name == b.name);
        Ok(self)
    }

    /// Every curve, in the order of the files.
    pub fn iter(&self) -> impl Iterator<Item = &MagnetizationCurve> {
        self.rows.iter()
    }

    /// The curve of that name.
    pub fn find(&self, name: &str) -> Option<&MagnetizationCurve> {
        self.rows.iter().find(|curve| curve.name == name)
    }
}
