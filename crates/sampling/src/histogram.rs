//! Counts of a figure in bins that are fixed from the start.

use crate::SamplingError;
use serde::{Deserialize, Serialize};

/// Counts in equal bins from `low` to `high`, and of what lies below and above. A value on an edge
/// belongs to the bin above it, `high` itself to the last.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Histogram {
    low: f64,
    high: f64,
    below: u64,
    above: u64,
    bins: Vec<u64>,
}

impl Histogram {
    /// No values yet, in `bins` equal bins from `low` to `high`, in the figure's own unit.
    ///
    /// # Errors
    /// If the limits are not finite or not in order, there is no bin, or bins are so narrow that rounding
    /// matters to their edges (a ten-millionth of one).
    pub fn new(low: f64, high: f64, bins: usize) -> Result<Self, SamplingError> {
        let width = (high - low) / bins as f64;
        let rounding = f64::EPSILON * low.abs().max(high.abs());
        if !(width.is_finite() && width > 0.0 && rounding < 1e-7 * width) {
            return Err(SamplingError::Bins { low, high, bins });
        }
        Ok(Self { low, high, below: 0, above: 0, bins: vec![0; bins] })
    }

    /// Lower edge of bin `bin`, upper edge of the one before it.
    #[must_use]
    pub fn edge(&self, bin: usize) -> f64 {
        let share = bin as f64 / self.bins.len() as f64;
        if bin == self.bins.len() { self.high } else { self.low + (self.high - self.low) * share }
    }

    /// Values in each bin.
    #[must_use]
    pub fn bins(&self) -> &[u64] {
        &self.bins
    }

    /// Values below the first edge.
    #[must_use]
    pub fn below(&self) -> u64 {
        self.below
    }

    /// Values above the last edge.
    #[must_use]
    pub fn above(&self) -> u64 {
        self.above
    }

    /// Takes in a value; one that is not a number counts nowhere.
    pub fn put(&mut self, value: f64) {
        if value < self.low {
            self.below += 1;
        } else if value > self.high {
            self.above += 1;
        } else if !value.is_nan() {
            let last = self.bins.len() - 1;
            let place = (value - self.low) / (self.high - self.low) * self.bins.len() as f64;
            let mut bin = (place as usize).min(last);
            // Near an edge the place is rounded; there the edge itself decides.
            if !(1e-6..1.0 - 1e-6).contains(&(place - bin as f64)) {
                while bin > 0 && value < self.edge(bin) {
                    bin -= 1;
                }
                while bin < last && value >= self.edge(bin + 1) {
                    bin += 1;
                }
            }
            self.bins[bin] += 1;
        }
    }

    /// Takes in what others have counted.
    ///
    /// # Errors
    /// If their edges differ.
    pub fn merge(&mut self, other: &Self) -> Result<(), SamplingError> {
        let edges = |h: &Self| (h.low, h.high, h.bins.len());
        if edges(self) != edges(other) {
            return Err(SamplingError::Unlike);
        }
        self.below += other.below;
        self.above += other.above;
        self.bins.iter_mut().zip(&other.bins).for_each(|(own, more)| *own += more);
        Ok(())
    }
}
