//! Permanent-magnet grades.

use crate::rows::{self, DataError, Origin, optional_quantity, quantity};
use crate::{DemagnetizationCurve, EnergyProduct, PerKelvin};
use reedmace_units::{
    Density, FieldStrength, Polarization, Quantity, Ratio, Temperature, Toleranced,
};
use serde::Deserialize;

const BUILTIN: &str = include_str!("../data/grades.toml");

/// The temperature at which a grade's figures are stated.
pub const REFERENCE_TEMPERATURE: Temperature = Temperature::celsius(20.0);

/// A permanent-magnet grade at 20 °C.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Grade {
    /// Family, energy product in kJ/m³ and a tenth of the intrinsic coercivity in kA/m:
    /// `NdFeB 240/80`.
    pub designation: String,
    /// `NdFeB`, `SmCo`, `AlNiCo`, `Hard ferrite`, or the user's own.
    pub family: String,
    /// Remanence Br.
    #[serde(deserialize_with = "quantity")]
    pub remanence: Toleranced<Polarization>,
    /// Coercivity HcB, where B vanishes.
    #[serde(deserialize_with = "quantity")]
    pub coercivity: Toleranced<FieldStrength>,
    /// Intrinsic coercivity HcJ, where J vanishes.
    #[serde(deserialize_with = "quantity")]
    pub intrinsic_coercivity: Toleranced<FieldStrength>,
    /// Greatest energy product BHmax.
    #[serde(deserialize_with = "quantity")]
    pub energy_product: Toleranced<EnergyProduct>,
    /// Relative recoil permeability, > 1.
    #[serde(deserialize_with = "quantity")]
    pub recoil_permeability: Toleranced<Ratio>,
    /// Share of the intrinsic coercivity up to which the demagnetisation curve is straight, 0 to 1;
    /// 0.8 when a user's row does not say (common practice, no source).
    #[serde(default = "usual_knee", deserialize_with = "quantity")]
    pub knee: Toleranced<Ratio>,
    /// Relative change of remanence per kelvin.
    #[serde(deserialize_with = "quantity")]
    pub remanence_drift: Toleranced<PerKelvin>,
    /// Relative change of intrinsic coercivity per kelvin.
    #[serde(deserialize_with = "quantity")]
    pub coercivity_drift: Toleranced<PerKelvin>,
    /// Mass per volume.
    #[serde(deserialize_with = "quantity")]
    pub density: Toleranced<Density>,
    /// Highest temperature usually allowed, if known; shape and load may lower it.
    #[serde(default, deserialize_with = "optional_quantity")]
    pub max_temperature: Option<Toleranced<Temperature>>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

impl Grade {
    /// Remanence at `temperature` as a multiple of that at 20 °C (linear law).
    pub fn remanence_factor(&self, temperature: Temperature) -> f64 {
        drift(&self.remanence_drift, temperature)
    }

    /// Intrinsic coercivity at `temperature` as a multiple of that at 20 °C (linear law).
    pub fn coercivity_factor(&self, temperature: Temperature) -> f64 {
        drift(&self.coercivity_drift, temperature)
    }

    /// Demagnetisation curve at `temperature`, at nominal values.
    pub fn curve(&self, temperature: Temperature) -> DemagnetizationCurve {
        self.curve_with(self.remanence.nominal, temperature)
    }

    /// Demagnetisation curve at `temperature` of a magnet whose own remanence at 20 °C is `remanence`.
    pub fn curve_with(
        &self,
        remanence: Polarization,
        temperature: Temperature,
    ) -> DemagnetizationCurve {
        let coercivity =
            self.intrinsic_coercivity.nominal.si() * self.coercivity_factor(temperature);
        DemagnetizationCurve::new(
            Polarization::from_si(remanence.si() * self.remanence_factor(temperature)),
            self.recoil_permeability.nominal,
            FieldStrength::from_si(coercivity),
            self.knee.nominal,
        )
    }

    /// The two numbers of the designation: energy product in kJ/m³ and intrinsic coercivity in
    /// tens of kA/m; `None` if the user named the grade otherwise.
    pub fn designation_numbers(&self) -> Option<(f64, f64)> {
        let (energy, coercivity) = self.designation.rsplit(' ').next()?.split_once('/')?;
        Some((energy.parse().ok()?, coercivity.parse().ok()?))
    }
}

fn usual_knee() -> Toleranced<Ratio> {
    "0.8".parse().expect("a plain number is a ratio")
}

fn drift(per_kelvin: &Toleranced<PerKelvin>, temperature: Temperature) -> f64 {
    1.0 + per_kelvin.nominal.si() * (temperature.si() - REFERENCE_TEMPERATURE.si())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    grade: Vec<Grade>,
}

/// A table of magnet grades.
#[derive(Debug, Clone, PartialEq)]
pub struct Grades {
    rows: Vec<Grade>,
}

impl Grades {
    /// The grades that come with the program.
    pub fn builtin() -> Self {
        let file: File = rows::parse(BUILTIN).expect("the embedded grades are tested to parse");
        Self { rows: file.grade }
    }

    /// These grades and those of `text` (tables `[[grade]]` with the fields of [`Grade`], `source`
    /// and `basis`); a designation already known is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: File = rows::parse(text)?;
        rows::merge(&mut self.rows, file.grade, |a, b| {
            plain(&a.designation) == plain(&b.designation)
        });
        Ok(self)
    }

    /// Every grade, in the order of the files.
    pub fn iter(&self) -> impl Iterator<Item = &Grade> {
        self.rows.iter()
    }

    /// The grade of that designation; case and spaces do not matter.
    pub fn find(&self, designation: &str) -> Option<&Grade> {
        let wanted = plain(designation);
        self.rows.iter().find(|grade| plain(&grade.designation) == wanted)
    }

    /// The known designation that looks most like `designation`.
    pub fn nearest(&self, designation: &str) -> Option<&str> {
        let wanted = plain(designation);
        let likeness = |grade: &Grade| {
            strsim::normalized_damerau_levenshtein(&plain(&grade.designation), &wanted)
        };
        let mut best: Option<(f64, &str)> = None;
        for grade in &self.rows {
            let score = likeness(grade);
            if score > best.map_or(0.6, |(score, _)| score) {
                best = Some((score, &grade.designation));
            }
        }
        best.map(|(_, designation)| designation)
    }
}

fn plain(designation: &str) -> String {
    designation.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}
