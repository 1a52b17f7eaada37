//! Liquids: density over temperature.

use crate::kinds::PerKelvin;
use crate::rows::{self, DataError, Origin, quantity};
use crate::water;
use reedmace_units::{Density, Quantity, Temperature, Toleranced};
use serde::Deserialize;

const BUILTIN: &str = include_str!("../data/liquids.toml");

/// The temperature that the densities of the table are stated at.
pub const LIQUID_TEMPERATURE: f64 = 288.15;

/// A liquid but water.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Liquid {
    /// `diesel`.
    pub name: String,
    /// Density at 15 °C.
    #[serde(deserialize_with = "quantity")]
    pub density: Toleranced<Density>,
    /// Relative increase of volume per kelvin.
    #[serde(deserialize_with = "quantity")]
    pub expansion: Toleranced<PerKelvin>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

impl Liquid {
    /// Density at a temperature where it is `density` at 15 °C and expands by `expansion` per kelvin.
    ///
    /// `ρ = ρ15 / (1 + β (T − 15 °C))`: the mass stays, the volume grows.
    pub fn density_at(density: Density, expansion: PerKelvin, temperature: Temperature) -> Density {
        let warmer = temperature.si() - LIQUID_TEMPERATURE;
        Density::from_si(density.si() / (1.0 + expansion.si() * warmer))
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    liquid: Vec<Liquid>,
}

/// A table of liquids.
#[derive(Debug, Clone, PartialEq)]
pub struct Liquids {
    rows: Vec<Liquid>,
}

impl Liquids {
    /// The word for the one liquid whose density follows from a formulation: water.
    pub const WATER: &'static str = "water";

    /// The liquids that come with the program.
    pub fn builtin() -> Self {
        let file: File = rows::parse(BUILTIN).expect("the embedded liquids are tested to parse");
        Self { rows: file.liquid }
    }

    /// These liquids and those of `text` (tables `[[liquid]]`); a known name is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: File = rows::parse(text)?;
        rows::merge(&mut self.rows, file.liquid, |a, b| a.name == b.name);
        Ok(self)
    }

    /// Every liquid but water, in the order of the files.
    pub fn iter(&self) -> impl Iterator<Item = &Liquid> {
        self.rows.iter()
    }

    /// The liquid of that name, if it is not water.
    pub fn find(&self, name: &str) -> Option<&Liquid> {
        self.rows.iter().find(|liquid| liquid.name == name)
    }

    /// Every name, water first.
    pub fn names(&self) -> Vec<&str> {
        let rows = self.rows.iter().map(|liquid| liquid.name.as_str());
        std::iter::once(Self::WATER).chain(rows).collect()
    }

    /// Nominal density of a liquid by its name; `None` if it is not known, or not liquid then.
    pub fn nominal_density(&self, name: &str, temperature: Temperature) -> Option<Density> {
        if name == Self::WATER {
            return water::density(temperature);
        }
        let row = self.find(name)?;
        let (density, expansion) = (row.density.nominal, row.expansion.nominal);
        Some(Liquid::density_at(density, expansion, temperature))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_every_row_is_a_liquid() {
        let liquids = Liquids::builtin();
        for row in liquids.iter() {
            assert!((600.0..1500.0).contains(&row.density.nominal.si()), "{}", row.name);
            assert!((1e-4..2e-3).contains(&row.expansion.nominal.si()), "{}", row.name);
            let [cold, warm] = [-10.0, 50.0].map(|t| {
                liquids.nominal_density(&row.name, Temperature::celsius(t)).expect("known").si()
            });
            assert!(warm < row.density.nominal.si() && row.density.nominal.si() < cold);
        }
    }

    /// Limits of `[en590]` at 15 °C.
    #[test]
    fn val_diesel() {
        let diesel = Liquids::builtin().find("diesel").cloned().expect("known");
        assert_eq!((diesel.density.low.si(), diesel.density.high.si()), (820.0, 845.0));
    }

    #[test]
    fn prop_rows_of_a_user_replace_ours() {
        let text = "[[liquid]]\nname = \"diesel\"\ndensity = \"832 kg/m³\"\nexpansion = \"0.08 %/K\"\n\
                    source = \"our lab\"\nbasis = \"user\"\n";
        let liquids = Liquids::builtin().extended_with(text).expect("a table of liquids");
        assert_eq!(liquids.find("diesel").expect("known").density.nominal.si(), 832.0);
        assert_eq!(liquids.iter().count(), Liquids::builtin().iter().count());
        assert!(Liquids::builtin().extended_with("[[liquid]]\nname = 1").is_err());
    }
}
