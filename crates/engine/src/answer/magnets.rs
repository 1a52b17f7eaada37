//! What a check answers about magnets of a grade: where they work on their curve, and what they lose.

use schemars::JsonSchema;
use serde::Serialize;

/// A magnet of a grade at the ends of the temperature range, all else nominal.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MagnetAnswer {
    /// Its name in the design.
    pub name: String,
    /// Designation of its grade.
    pub grade: String,
    /// Change of remanence with temperature, % per kelvin of that at 20 °C.
    #[serde(rename = "remanence_drift_percent_per_K")]
    pub remanence_drift: f64,
    /// Change of intrinsic coercivity with temperature, % per kelvin of that at 20 °C.
    #[serde(rename = "coercivity_drift_percent_per_K")]
    pub coercivity_drift: f64,
    /// Relative recoil permeability.
    pub recoil_permeability: f64,
    /// Mean demagnetizing factor along the polarization, from the points its inside is sampled at.
    pub demagnetizing_factor: f64,
    /// Coldest, then hottest; only one where the temperature has no tolerance.
    pub states: Vec<MagnetState>,
    /// Which of `states`, from 0, costs the magnet most, or brings it nearest to its knee.
    pub critical: usize,
}

impl MagnetAnswer {
    /// The state that costs the magnet most, or brings it nearest to its knee.
    pub fn critical_state(&self) -> &MagnetState {
        &self.states[self.critical]
    }
}

/// A magnet at one temperature, at the most demagnetizing place of the sweep.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MagnetState {
    /// Temperature, °C.
    #[serde(rename = "temperature_C")]
    pub temperature: f64,
    /// Demagnetisation curve of J over H from H = 0 to J = 0; straight between its points.
    pub curve: Vec<CurvePoint>,
    /// Remanence Br, T.
    #[serde(rename = "remanence_T")]
    pub remanence: f64,
    /// Intrinsic coercivity HcJ, kA/m.
    #[serde(rename = "intrinsic_coercivity_kA_per_m")]
    pub intrinsic_coercivity: f64,
    /// Opposing field at which the curve leaves its recoil line, kA/m.
    #[serde(rename = "knee_kA_per_m")]
    pub knee: f64,
    /// Mean of the field that all others make inside it along its polarization, kA/m; negative opposes.
    #[serde(rename = "field_from_outside_kA_per_m")]
    pub field_from_outside: f64,
    /// Permeance coefficient −B/(μ0 H) at the mean working point: the slope of its load line. `None`
    /// where no field opposes.
    pub permeance_coefficient: Option<f64>,
    /// Working point of the magnet's mean.
    pub mean: WorkingPoint,
    /// Working point of the place inside it with the highest opposing field.
    pub worst: WorkingPoint,
    /// Coordinate of the sweep at which the worst point is worst, in the sweep's unit; `None` where
    /// nothing changes along the sweep.
    pub worst_at: Option<f64>,
    /// Share of the volume beyond the knee, %.
    #[serde(rename = "beyond_knee_percent")]
    pub beyond_knee: f64,
    /// Estimated share of the polarization lost for good, after the way back to 20 °C, %.
    #[serde(rename = "loss_percent")]
    pub loss: f64,
}

/// A point of a demagnetisation curve.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
pub struct CurvePoint {
    /// Field along the polarization, kA/m; negative opposes.
    #[serde(rename = "h_kA_per_m")]
    pub h: f64,
    /// Polarization, T.
    #[serde(rename = "j_T")]
    pub j: f64,
}

/// Where some part of a magnet works.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
pub struct WorkingPoint {
    /// Field inside along the polarization, kA/m; negative opposes.
    #[serde(rename = "h_kA_per_m")]
    pub h: f64,
    /// Flux density along the polarization, T.
    #[serde(rename = "b_T")]
    pub b: f64,
    /// Polarization, T.
    #[serde(rename = "j_T")]
    pub j: f64,
    /// Room left before the knee, % of the knee's field; negative beyond it.
    #[serde(rename = "knee_margin_percent")]
    pub knee_margin: f64,
}
