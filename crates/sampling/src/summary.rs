//! What is kept of a figure: the same size for a thousand units and for 1e10.

use crate::{Histogram, Moments, SamplingError};
use serde::{Deserialize, Serialize};

/// A value and the unit it belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Extreme {
    /// Value, in the figure's own unit.
    pub value: f64,
    /// Number of the unit; of several, the lowest.
    pub unit: u64,
}

/// A quantile as a histogram knows it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Quantile {
    /// Interpolated within its bin, in the figure's own unit.
    pub value: f64,
    /// The quantile of the values taken in is at least this,
    pub low: f64,
    /// and at most this.
    pub high: f64,
}

/// Distribution of a figure over units: mean, variance, extremes with their units, histogram.
///
/// Shards merge to the same summary, bit for bit, in any order. A unit whose figure is not finite is one
/// that has none (an event that does not happen): it is counted as absent and enters nothing else.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    absent: u64,
    moments: Moments,
    least: Option<Extreme>,
    greatest: Option<Extreme>,
    histogram: Histogram,
}

impl Summary {
    /// No units yet; a histogram of `bins` equal bins from `low` to `high`. Values outside count in
    /// everything else, so the range decides only how sharp quantiles are.
    ///
    /// # Errors
    /// If such a histogram cannot be ([`Histogram::new`]).
    pub fn new(low: f64, high: f64, bins: usize) -> Result<Self, SamplingError> {
        Ok(Self {
            absent: 0,
            moments: Moments::default(),
            least: None,
            greatest: None,
            histogram: Histogram::new(low, high, bins)?,
        })
    }

    /// Takes in the value of a unit; `NAN` if it has none.
    pub fn put(&mut self, unit: u64, value: f64) {
        if !value.is_finite() {
            self.absent += 1;
            return;
        }
        self.moments.put(value);
        self.histogram.put(value);
        self.extend(Extreme { value, unit });
    }

    /// Takes in what others have gathered.
    ///
    /// # Errors
    /// If the bins of the histograms differ; then nothing is taken in.
    pub fn merge(&mut self, other: &Self) -> Result<(), SamplingError> {
        self.histogram.merge(&other.histogram)?;
        self.absent += other.absent;
        self.moments.merge(&other.moments);
        [other.least, other.greatest].into_iter().flatten().for_each(|e| self.extend(e));
        Ok(())
    }

    fn extend(&mut self, other: Extreme) {
        let earlier = |own: Extreme| other.value == own.value && other.unit < own.unit;
        if self.least.is_none_or(|own| other.value < own.value || earlier(own)) {
            self.least = Some(other);
        }
        if self.greatest.is_none_or(|own| other.value > own.value || earlier(own)) {
            self.greatest = Some(other);
        }
    }

    /// Units that have the figure.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.moments.count()
    }

    /// Units that do not have it.
    #[must_use]
    pub fn absent(&self) -> u64 {
        self.absent
    }

    /// Mean and variance.
    #[must_use]
    pub fn moments(&self) -> &Moments {
        &self.moments
    }

    /// The least value and its unit; none without values.
    #[must_use]
    pub fn least(&self) -> Option<Extreme> {
        self.least
    }

    /// The greatest value and its unit; none without values.
    #[must_use]
    pub fn greatest(&self) -> Option<Extreme> {
        self.greatest
    }

    /// Counts in bins.
    #[must_use]
    pub fn histogram(&self) -> &Histogram {
        &self.histogram
    }

    /// The value that a share `share` (0 to 1) of the values does not exceed: the inverse of their
    /// empirical distribution, definition 1 of `[hyndman1996]`. None without values.
    ///
    /// It lies between `low` and `high`, one bin apart; beyond the histogram, between its end and the
    /// extreme value.
    #[must_use]
    pub fn quantile(&self, share: f64) -> Option<Quantile> {
        let (least, greatest) = (self.least?.value, self.greatest?.value);
        let rank = (share * self.count() as f64).ceil().clamp(1.0, self.count() as f64) as u64;
        let h = &self.histogram;
        let ends = std::iter::once((least, h.edge(0), h.below()));
        let bins = h.bins().iter().enumerate().map(|(k, &n)| (h.edge(k), h.edge(k + 1), n));
        let last = std::iter::once((h.edge(h.bins().len()), greatest, h.above()));
        let mut before = 0;
        for (low, high, count) in ends.chain(bins).chain(last) {
            if before + count >= rank {
                let (low, high) = (low.max(least), high.min(greatest));
                let within = ((rank - before) as f64 - 0.5) / count as f64;
                return Some(Quantile { value: low + (high - low) * within, low, high });
            }
            before += count;
        }
        None
    }
}
