//! A coordinate that first chooses where a unit comes from.

use crate::SamplingError;
use serde::{Deserialize, Serialize};

/// A mixture, such as two suppliers of one part: the coordinate's range is cut in proportion to their
/// shares, and the place within the piece is a uniform coordinate again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mixture {
    /// Upper ends of the pieces, the last 1.
    ends: Vec<f64>,
}

impl Mixture {
    /// Of as many components as `shares`, in proportion to them.
    ///
    /// # Errors
    /// If there is no share, or one that is not positive and finite.
    pub fn new(shares: &[f64]) -> Result<Self, SamplingError> {
        let whole: f64 = shares.iter().sum();
        if shares.is_empty() || !shares.iter().all(|s| *s > 0.0) || !whole.is_finite() {
            return Err(SamplingError::Shares);
        }
        let mut sum = 0.0;
        let mut ends: Vec<f64> = shares
            .iter()
            .map(|share| {
                sum += share;
                sum / whole
            })
            .collect();
        *ends.last_mut().expect("one share at least") = 1.0;
        Ok(Self { ends })
    }

    /// Which component a coordinate in (0, 1) chooses, from 0, and the coordinate in (0, 1) within it.
    #[must_use]
    pub fn choose(&self, coordinate: f64) -> (usize, f64) {
        let last = self.ends.len() - 1;
        let component = self.ends.partition_point(|end| *end <= coordinate).min(last);
        let start = if component == 0 { 0.0 } else { self.ends[component - 1] };
        let within = (coordinate - start) / (self.ends[component] - start);
        const END: f64 = f64::EPSILON / 2.0;
        (component, within.clamp(END, 1.0 - END))
    }
}
