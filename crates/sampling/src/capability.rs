//! Process capability: how well a normal figure fits between its limits.

use crate::SamplingError;
use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal};

/// Capability of a normally distributed figure with one or two limits, by the definitions of
/// `[ehandbook2012]` 6.1.6.
///
/// The figures beyond the limits are those of the normal distribution; what was counted among units
/// ([`Tally`](crate::Tally)) needs no such assumption.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Capability {
    /// Cp, width between the limits over six sigma; none with one limit.
    pub potential: Option<f64>,
    /// Cpl, room to the lower limit over three sigma; none without one.
    pub lower: Option<f64>,
    /// Cpu, room to the upper limit over three sigma; none without one.
    pub upper: Option<f64>,
    /// Cpk, the lesser of the two.
    pub actual: f64,
    /// Parts per million below the lower limit.
    pub ppm_below: f64,
    /// Parts per million above the upper limit.
    pub ppm_above: f64,
}

impl Capability {
    /// From mean and sigma (> 0), lower and upper limit, all in the figure's own unit.
    ///
    /// # Errors
    /// If there is no limit, sigma is not positive, or the limits are not in order.
    pub fn of(
        mean: f64,
        sigma: f64,
        low: Option<f64>,
        high: Option<f64>,
    ) -> Result<Self, SamplingError> {
        let lower = low.map(|low| (mean - low) / (3.0 * sigma));
        let upper = high.map(|high| (high - mean) / (3.0 * sigma));
        let potential = low.zip(high).map(|(low, high)| (high - low) / (6.0 * sigma));
        let actual = lower.unwrap_or(f64::INFINITY).min(upper.unwrap_or(f64::INFINITY));
        if !(sigma > 0.0 && actual.is_finite()) || potential.is_some_and(|cp| cp <= 0.0) {
            return Err(SamplingError::Limits);
        }
        let [ppm_below, ppm_above] = [lower, upper].map(|side| side.map_or(0.0, ppm_beyond));
        Ok(Self { potential, lower, upper, actual, ppm_below, ppm_above })
    }
}

/// Parts per million beyond one limit at a capability of `side` on that side.
#[must_use]
pub fn ppm_beyond(side: f64) -> f64 {
    1e6 * Normal::standard().sf(3.0 * side)
}
