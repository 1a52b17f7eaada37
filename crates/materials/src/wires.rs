//! Winding wire: enamelled diameters, and the metals it is drawn from.

use crate::kinds::{PerKelvin, Resistivity};
use crate::rows::{self, DataError, Origin, quantity};
use reedmace_units::{Density, Length, Quantity, Toleranced, Voltage};
use serde::Deserialize;

const WIRES: &str = include_str!("../data/wires.toml");
const METALS: &str = include_str!("../data/wire_metals.toml");

/// A round enamelled wire.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EnamelledWire {
    /// Nominal diameter of the conductor.
    #[serde(deserialize_with = "quantity")]
    pub diameter: Toleranced<Length>,
    /// Overall diameter with the thin enamel, least to greatest.
    #[serde(deserialize_with = "quantity")]
    pub grade_1: Toleranced<Length>,
    /// Overall diameter with the thick enamel, least to greatest.
    #[serde(deserialize_with = "quantity")]
    pub grade_2: Toleranced<Length>,
    /// Least breakdown voltage of two wires of grade 1 twisted together.
    #[serde(deserialize_with = "quantity")]
    pub breakdown_1: Toleranced<Voltage>,
    /// Least breakdown voltage of two wires of grade 2 twisted together.
    #[serde(deserialize_with = "quantity")]
    pub breakdown_2: Toleranced<Voltage>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

/// How thick the enamel is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EnamelGrade {
    /// Thin.
    One,
    /// Thick.
    Two,
}

impl EnamelGrade {
    /// The words a design may use.
    pub const WORDS: [(&'static str, Self); 2] = [("grade 1", Self::One), ("grade 2", Self::Two)];
}

impl EnamelledWire {
    /// Overall diameter, least to greatest.
    pub fn overall(&self, grade: EnamelGrade) -> &Toleranced<Length> {
        match grade {
            EnamelGrade::One => &self.grade_1,
            EnamelGrade::Two => &self.grade_2,
        }
    }

    /// Least breakdown voltage of a twisted pair.
    pub fn breakdown(&self, grade: EnamelGrade) -> Voltage {
        match grade {
            EnamelGrade::One => self.breakdown_1.nominal,
            EnamelGrade::Two => self.breakdown_2.nominal,
        }
    }
}

/// A metal that wire is drawn from, at 20 °C.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WireMetal {
    /// `copper`.
    pub name: String,
    /// Electrical resistivity.
    #[serde(deserialize_with = "quantity")]
    pub resistivity: Toleranced<Resistivity>,
    /// Relative increase of resistance per kelvin, referred to 20 °C.
    #[serde(deserialize_with = "quantity")]
    pub resistance_drift: Toleranced<PerKelvin>,
    /// Mass per volume.
    #[serde(deserialize_with = "quantity")]
    pub density: Toleranced<Density>,
    /// Where the row is from.
    #[serde(flatten)]
    pub origin: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WireFile {
    wire: Vec<EnamelledWire>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MetalFile {
    wire_metal: Vec<WireMetal>,
}

/// A table of enamelled wires, from thin to thick.
#[derive(Debug, Clone, PartialEq)]
pub struct Wires {
    rows: Vec<EnamelledWire>,
}

impl Wires {
    /// The wires that come with the program.
    pub fn builtin() -> Self {
        let file: WireFile = rows::parse(WIRES).expect("the embedded wires are tested to parse");
        Self { rows: file.wire }
    }

    /// These wires and those of `text` (tables `[[wire]]`); a known diameter is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: WireFile = rows::parse(text)?;
        let same = |a: &EnamelledWire, b: &EnamelledWire| a.diameter.nominal == b.diameter.nominal;
        rows::merge(&mut self.rows, file.wire, same);
        self.rows.sort_by(|a, b| a.diameter.nominal.si().total_cmp(&b.diameter.nominal.si()));
        Ok(self)
    }

    /// Every wire, from thin to thick.
    pub fn iter(&self) -> impl Iterator<Item = &EnamelledWire> {
        self.rows.iter()
    }

    /// The wire of that nominal diameter, to a tenth of a micrometre.
    pub fn find(&self, diameter: Length) -> Option<&EnamelledWire> {
        self.rows.iter().find(|wire| (wire.diameter.nominal.si() - diameter.si()).abs() < 1e-7)
    }
}

/// A table of metals that wire is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct WireMetals {
    rows: Vec<WireMetal>,
}

impl WireMetals {
    /// The metals that come with the program.
    pub fn builtin() -> Self {
        let file: MetalFile = rows::parse(METALS).expect("the embedded metals are tested to parse");
        Self { rows: file.wire_metal }
    }

    /// These metals and those of `text` (tables `[[wire_metal]]`); a known name is replaced.
    ///
    /// # Errors
    /// [`DataError::Unreadable`] if `text` is no such table.
    pub fn extended_with(mut self, text: &str) -> Result<Self, DataError> {
        let file: MetalFile = rows::parse(text)?;
        rows::merge(&mut self.rows, file.wire_metal, |a, b| a.name == b.name);
        Ok(self)
    }

    /// Every metal, in the order of the files.
    pub fn iter(&self) -> impl Iterator<Item = &WireMetal> {
        self.rows.iter()
    }

    /// The metal of that name.
    pub fn find(&self, name: &str) -> Option<&WireMetal> {
        self.rows.iter().find(|metal| metal.name == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn um(length: Length) -> f64 {
        (length.si() * 1e7).round() / 10.0
    }

    /// Rows of `[iec60317-0-1]` as a public data set quotes them.
    #[test]
    fn val_rows_of_the_standard() {
        let wires = Wires::builtin();
        let row = |d: f64| wires.find(Length::mm(d)).expect("a preferred diameter");
        let both = |q: &Toleranced<Length>| (um(q.low), um(q.high));
        assert_eq!(both(row(0.05).overall(EnamelGrade::One)), (55.0, 60.0));
        assert_eq!(both(row(0.05).overall(EnamelGrade::Two)), (61.0, 66.0));
        assert_eq!(both(&row(0.5).grade_1), (524.0, 544.0));
        assert_eq!(row(0.02).breakdown(EnamelGrade::One).si(), 120.0);
        assert_eq!(row(0.112).breakdown(EnamelGrade::Two).si(), 2700.0);
        assert_eq!(wires.iter().count(), 29);
    }

    #[test]
    fn prop_enamel_thickens_with_grade_and_wire() {
        let wires: Vec<_> = Wires::builtin().iter().cloned().collect();
        for wire in &wires {
            let bare = wire.diameter.nominal.si();
            assert!(bare < wire.grade_1.low.si() && wire.grade_1.low.si() < wire.grade_1.high.si());
            assert!(wire.grade_1.high.si() < wire.grade_2.low.si());
            assert!(wire.grade_2.high.si() < 1.37 * bare && wire.breakdown_1.nominal.si() > 100.0);
            assert!(wire.breakdown_1.nominal.si() < wire.breakdown_2.nominal.si());
        }
        for pair in wires.windows(2) {
            assert!(pair[0].diameter.nominal.si() < pair[1].diameter.nominal.si());
            assert!(pair[0].grade_1.high.si() < pair[1].grade_1.high.si());
        }
    }

    /// Annealed copper of `[iec60028]`: 1/58 Ω·mm²/m and 0.00393 per kelvin at 20 °C.
    #[test]
    fn val_copper() {
        let metals = WireMetals::builtin();
        let copper = metals.find("copper").expect("a row");
        assert!((copper.resistivity.nominal.si() * 58e6 - 1.0).abs() < 1e-7);
        assert!((copper.resistance_drift.nominal.si() - 0.00393).abs() < 1e-15);
        assert!((copper.density.nominal.si() - 8890.0).abs() < 1e-9);
        assert!(metals.find("cheese").is_none() && metals.iter().count() == 2);
    }

    #[test]
    fn prop_rows_of_a_user_replace_ours() {
        let text = "[[wire]]\ndiameter = \"0.05 mm\"\ngrade_1 = \"0.056..0.058 mm\"\ngrade_2 = \"0.062..0.064 mm\"\n\
                    breakdown_1 = \"350 V\"\nbreakdown_2 = \"700 V\"\nsource = \"our lab\"\nbasis = \"user\"\n";
        let wires = Wires::builtin().extended_with(text).expect("a table of wires");
        let row = wires.find(Length::mm(0.05)).expect("kept");
        assert_eq!((um(row.grade_1.low), wires.iter().count()), (56.0, 29));
        let text = "[[wire_metal]]\nname = \"silver\"\nresistivity = \"0.0159 µΩ·m\"\nresistance_drift = \"0.38 %/K\"\n\
                    density = \"10.5 g/cm³\"\nsource = \"our lab\"\nbasis = \"user\"\n";
        assert_eq!(WireMetals::builtin().extended_with(text).expect("a table").iter().count(), 3);
        assert!(Wires::builtin().extended_with("[[wire]]\ndiameter = \"0.05 V\"").is_err());
    }
}
