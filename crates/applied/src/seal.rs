//! Metal sealed in glass: stress from what they shrink by differently.

/// A wire in a bead of glass, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seal {
    /// Young's modulus and Poisson's ratio of the metal, Pa and 1.
    pub metal: [f64; 2],
    /// Young's modulus and Poisson's ratio of the glass.
    pub glass: [f64; 2],
    /// Mean expansion of the metal from use to where the glass sets, 1/K.
    pub metal_expansion: f64,
    /// Mean expansion of the glass over the same range, 1/K.
    pub glass_expansion: f64,
    /// How much cooler than the setting point of the glass it is, K.
    pub cooling: f64,
}

impl Seal {
    /// Relative mismatch of length, positive where the metal shrinks more.
    pub fn mismatch(self) -> f64 {
        (self.metal_expansion - self.glass_expansion) * self.cooling
    }

    /// Radial stress (Pa) on the wire's surface in a bead much thicker than the wire, without axial stress: positive
    /// where the wire pulls away.
    ///
    /// `σ = δ/((1 − νm)/Em + (1 + νg)/Eg)`. Source: a disc in an infinite plate, Lamé's solution, `[timoshenko1970]`; the glass
    /// has as much hoop stress, of the other sign. The true seal adds axial stress of like size, so count with a factor (a judgement, no source)
    /// of 2.
    pub fn radial_stress(self) -> f64 {
        let [metal, metal_ratio] = self.metal;
        let [glass, glass_ratio] = self.glass;
        self.mismatch() / ((1.0 - metal_ratio) / metal + (1.0 + glass_ratio) / glass)
    }

    /// Hoop stress (Pa) in the glass beside the wire; tension is positive.
    pub fn hoop_stress(self) -> f64 {
        -self.radial_stress()
    }

    /// Greatest tension in the glass, Pa: of hoop or of radius.
    pub fn tension(self) -> f64 {
        self.radial_stress().abs()
    }
}

/// Tension that a seal may have without being looked at: 10 MPa, from memory, for glass whose surface is whole.
pub const EASY_TENSION: f64 = 10e6;

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_materials::{Alloys, Glasses};
    use reedmace_units::Quantity;

    /// Nickel-iron 52 in a glass with the stiffness of the table's lead glass and any expansion, over 400 K.
    fn seal(glass_expansion: f64) -> Seal {
        let (alloys, glasses) = (Alloys::builtin(), Glasses::builtin());
        let alloy = alloys.find("Nickel-iron 52").expect("a row");
        let glass = glasses.find("lead glass").expect("a row");
        Seal {
            metal: [alloy.elastic_modulus.nominal.si(), 0.3],
            glass: [glass.elastic_modulus.nominal.si(), glass.poisson_ratio.nominal.si()],
            metal_expansion: alloy.expansion.nominal.si(),
            glass_expansion,
            cooling: 400.0,
        }
    }

    /// Lamé's solution put back: strains of wire and glass differ by the mismatch.
    #[test]
    fn cross_strains_differ_by_the_mismatch() {
        let seal = seal(9.0e-6);
        let (radial, hoop) = (seal.radial_stress(), seal.hoop_stress());
        let [metal, metal_ratio] = seal.metal;
        let [glass, glass_ratio] = seal.glass;
        // The wire stretches by what pulls it; the hole in the glass gives way inwards.
        let wire = radial * (1.0 - metal_ratio) / metal;
        let hole = (hoop - glass_ratio * radial) / glass;
        assert!((wire - hole - seal.mismatch()).abs() < 1e-18);
    }

    /// A near match is easy, a hard glass of 3.3e-6/K (from memory) is far from it.
    #[test]
    fn prop_a_match_has_no_stress() {
        let metal = seal(0.0).metal_expansion;
        assert_eq!(seal(metal).tension(), 0.0);
        assert!(seal(9.8e-6).tension() < EASY_TENSION);
        assert!(seal(3.3e-6).tension() > 5.0 * EASY_TENSION);
        assert!(seal(9.0e-6).radial_stress() > 0.0 && seal(11e-6).radial_stress() < 0.0);
    }
}
