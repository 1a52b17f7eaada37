//! The second quadrant of a magnet's hysteresis loop as two straight lines, and loads on it.

use reedmace_units::{FieldStrength, Polarization, Quantity, Ratio};

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
const MU_0: f64 = 1.256_637_061_27e-6;
/// Coercivity never taken lower, A/m: a linear law of temperature would pass through zero.
const LEAST_COERCIVITY: f64 = 1.0;
/// Knee never taken nearer to the coercivity than this share of it, so that the fall has a slope.
const LATEST_KNEE: f64 = 0.999;

/// Polarization of a magnet against the field that opposes it.
///
/// ```text
/// J = Br − (μrec − 1) μ0 H        up to the knee Hk
/// J = Jk (HcJ − H) / (HcJ − Hk)   beyond it, through zero at the intrinsic coercivity
/// ```
///
/// H > 0 opposes the polarization. On the first line a magnet gives back what the field took; from a
/// point beyond the knee it comes back on a line of the same slope, and keeps less.
///
/// The two lines are common practice without a source: a real knee is round, so that losses begin
/// earlier and more gently than here. Against columns of the tables that the curve is not made of, its
/// coercivity HcB is within 13 % and its energy product within 11 % for every grade
/// (`cross_curve_agrees_with_the_row`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DemagnetizationCurve {
    remanence: f64,
    /// dJ/dH of the straight line, T per A/m.
    recoil: f64,
    coercivity: f64,
    knee: f64,
}

impl DemagnetizationCurve {
    /// From remanence, relative recoil permeability (≥ 1), intrinsic coercivity, and the knee as a share
    /// of the coercivity.
    ///
    /// A coercivity below 1 A/m is taken as 1 A/m, a knee above 0.999 as 0.999.
    pub fn new(
        remanence: Polarization,
        recoil_permeability: Ratio,
        intrinsic_coercivity: FieldStrength,
        knee: Ratio,
    ) -> Self {
        let coercivity = intrinsic_coercivity.si().max(LEAST_COERCIVITY);
        Self {
            remanence: remanence.si(),
            recoil: (recoil_permeability.si() - 1.0).max(0.0) * MU_0,
            coercivity,
            knee: coercivity * knee.si().clamp(0.0, LATEST_KNEE),
        }
    }

    /// Remanence Br.
    pub fn remanence(&self) -> Polarization {
        Polarization::from_si(self.remanence)
    }

    /// Intrinsic coercivity HcJ.
    pub fn intrinsic_coercivity(&self) -> FieldStrength {
        FieldStrength::from_si(self.coercivity)
    }

    /// Field of the knee, Hk.
    pub fn knee(&self) -> FieldStrength {
        FieldStrength::from_si(self.knee)
    }

    /// J under an opposing field, which may be negative; beyond HcJ it is negative too.
    pub fn polarization(&self, opposing: FieldStrength) -> Polarization {
        let h = opposing.si();
        Polarization::from_si(if h <= self.knee {
            self.remanence - self.recoil * h
        } else {
            self.fall() * (self.coercivity - h)
        })
    }

    /// Opposing field inside a body of demagnetizing factor `factor` under an opposing field `applied`
    /// from outside: where the load line `H = applied + factor J/μ0` meets the curve.
    ///
    /// A negative factor (a place where the body's own field helps) is loaded with the J of the straight
    /// line, which the fall of J there would not.
    pub fn load(&self, factor: Ratio, applied: FieldStrength) -> FieldStrength {
        let n = factor.si() / MU_0;
        let straight = (applied.si() + n * self.remanence) / (1.0 + n * self.recoil);
        if straight <= self.knee || n <= 0.0 {
            return FieldStrength::from_si(straight);
        }
        let fall = n * self.fall();
        FieldStrength::from_si((applied.si() + fall * self.coercivity) / (1.0 + fall))
    }

    /// Share of the remanence that is left once the field that opposed goes: 1 up to the knee, never
    /// below 0.
    pub fn kept(&self, opposing: FieldStrength) -> Ratio {
        if opposing <= self.knee() {
            return Ratio::from_si(1.0);
        }
        let returned = self.polarization(opposing).si() + self.recoil * opposing.si();
        Ratio::from_si((returned / self.remanence).clamp(0.0, 1.0))
    }

    /// −dJ/dH beyond the knee, T per A/m.
    fn fall(&self) -> f64 {
        (self.remanence - self.recoil * self.knee) / (self.coercivity - self.knee)
    }
}
