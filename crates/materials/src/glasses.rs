//! Glasses that metal is sealed in.

use crate::kinds::{ElasticModulus, PerKelvin};
use crate::rows::{self, DataError, Origin, quantity};
use reedmace_units::{Ratio, Temperature, Toleranced};
use serde::Deserialize;

const BUILTIN: &str = include_str!("../data/glasses.toml");

/// A glass for seals.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Glass {
    /// `lead glass`.
    pub name: String,
    /// Mean linear expansion from 20 to 300 °C.
    #[serde(deserialize_with = "quantity")]
    pub expansion: Toleranced<PerKelvin>,
    /// Young's modulus.
    #[serde(deserialize_with = "quantity")]
    pub elastic_modulus: Toleranced<ElasticModulus>,
    /// Poisson's ratio.
    #[serde(deserialize_with = "quantity")]
    pub poisson_ratio: Toleranced<Ratio>,
    /// Temperature below which stress stays: where it sets.
    #[serde(deserialize_with = "quantity")]
    pub setting_temperature: Toleranced<Temperature>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    glass: Vec<Glass>,
}

/// A table of glasses.
#[derive(Debug, Clone, PartialEq)]
pub struct Glasses {
    rows: Vec<Glass>,
}

impl Glasses {
    /// The glasses that come with the program.
    pub fn builtin() -> Self {
        let file: File = rows::parse(BUILTIN).expect("the embedded glasses are tested to parse");
        Self { rows: file.glass }
    }

    /// These glasses and those of `text` (tables `[[glass]]`); a known name is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: File = rows::parse(text)?;
        rows::merge(&mut self.rows, file.glass, |a, b| a.name == b.name);
        Ok(self)
    }

    /// Every glass, in the order of the file.
    pub fn iter(&self) -> impl Iterator<Item = &Glass> {
        self.rows.iter()
    }

    /// The glass of that name.
    pub fn find(&self, name: &str) -> Option<&Glass> {
        self.rows.iter().find(|glass| glass.name == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_units::Quantity;

    #[test]
    fn prop_every_row_is_a_glass() {
        for row in Glasses::builtin().iter() {
            assert!((3e-6..12e-6).contains(&row.expansion.nominal.si()), "{}", row.name);
            assert!((50e9..90e9).contains(&row.elastic_modulus.nominal.si()), "{}", row.name);
            assert!((0.15..0.3).contains(&row.poisson_ratio.nominal.si()), "{}", row.name);
            assert!((620.0..900.0).contains(&row.setting_temperature.nominal.si()), "{}", row.name);
        }
    }

    /// Lead glass follows nickel-iron 52 within a seventh, borosilicate glass does not within a half.
    #[test]
    fn prop_lead_glass_is_nearest_the_alloy() {
        let alloys = crate::Alloys::builtin();
        let metal = alloys.find("Nickel-iron 52").expect("a row").expansion.nominal.si();
        let glasses = Glasses::builtin();
        let of = |name| glasses.find(name).expect("a row").expansion.nominal.si() / metal;
        assert!((of("lead glass") - 1.0).abs() < 1.0 / 7.0 && of("borosilicate glass") < 0.5);
    }

    #[test]
    fn prop_rows_of_a_user_replace_ours() {
        let text = "[[glass]]\nname = \"lead glass\"\nexpansion = \"9.05 ppm/K\"\nelastic_modulus = \"62 GPa\"\n\
                    poisson_ratio = \"0.21\"\nsetting_temperature = \"420 °C\"\nsource = \"our lab\"\nbasis = \"user\"\n";
        let glasses = Glasses::builtin().extended_with(text).expect("a table of glasses");
        assert!(
            (glasses.find("lead glass").expect("kept").expansion.nominal.si() - 9.05e-6).abs()
                < 1e-15
        );
        assert_eq!(glasses.iter().count(), Glasses::builtin().iter().count());
        assert!(Glasses::builtin().extended_with("[[glass]]\nname = 1").is_err());
    }
}
