//! Mean and variance of a figure.

use crate::ExactSum;
use serde::{Deserialize, Serialize};

/// Count, sum and sum of squares of a figure, exact; merges in any order to the same.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moments {
    count: u64,
    sum: ExactSum,
    squares: ExactSum,
}

impl Moments {
    /// Takes in a value, in the figure's own unit.
    ///
    /// # Panics
    /// If it is not finite.
    pub fn put(&mut self, value: f64) {
        self.count += 1;
        self.sum.add(value);
        self.squares.add_product(value, value);
    }

    /// Takes in what others have gathered.
    pub fn merge(&mut self, other: &Self) {
        self.count += other.count;
        self.sum.add_sum(&other.sum);
        self.squares.add_sum(&other.squares);
    }

    /// Values taken in.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.count
    }

    /// Mean of the values; none without values.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        (self.count > 0).then(|| self.sum.value() / self.count as f64)
    }

    /// Variance of the units that the values were drawn from, `(Σx² − (Σx)²/n) / (n − 1)`, in the
    /// square of the figure's unit; none for fewer than two values.
    ///
    /// The difference is exact before it is rounded: no digits are lost where the values hardly differ.
    #[must_use]
    pub fn variance(&self) -> Option<f64> {
        let n = self.count as f64;
        (self.count > 1).then(|| self.scatter().value() / (n * (n - 1.0)))
    }

    /// Square root of the variance.
    #[must_use]
    pub fn deviation(&self) -> Option<f64> {
        self.variance().map(f64::sqrt)
    }

    /// `n Σx² − (Σx)²`: n² times the variance of the values themselves.
    pub(crate) fn scatter(&self) -> ExactSum {
        let mut scatter = self.squares.times_count(self.count);
        scatter.subtract_sum(&self.sum.times(&self.sum));
        scatter
    }
}
