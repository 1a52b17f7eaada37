//! Which quantities a figure's variance comes from: Sobol indices.

use crate::{ExactSum, REPLICATES, SamplingError};
use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, StudentsT};

/// What is gathered of one figure, number or yes/no (0 or 1), over rows of a
/// [`Scheme`](crate::Scheme). Exact sums, so shards merge to the same bits in any order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drivers {
    incomplete: u64,
    replicates: Vec<Sums>,
}

/// Sums over the rows of a replicate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Sums {
    rows: u64,
    /// f(A) + f(B).
    both: ExactSum,
    /// f(A)² + f(B)².
    squares: ExactSum,
    /// f(A) alone.
    first: ExactSum,
    /// Per driver; none where it has changed nothing yet.
    changes: Vec<Option<Box<Change>>>,
}

/// Sums over what one driver changes, c = f(AB_i) − f(A).
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
struct Change {
    /// c.
    sum: ExactSum,
    /// f(B) c.
    along: ExactSum,
    /// c².
    square: ExactSum,
}

/// An estimate and its standard error.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// Best value.
    pub value: f64,
    /// Standard error, from the scatter between [`REPLICATES`] independent replicates.
    pub error: f64,
}

/// What an estimate of an index says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Reading {
    /// The figure does depend on this driver: the estimate stands out of its error (95 %).
    Distinct,
    /// Nothing is shown: the estimate is positive but no larger than chance may make it.
    Indistinct,
    /// The estimate is negative, which an index cannot be. A first-order estimate is a mean of products of
    /// either sign and scatters on both sides of a true index near zero. Take it as zero to within
    /// its error; more rows bring it nearer.
    BelowZero,
}

/// Shares of a figure's variance that one driver accounts for, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Index {
    /// First order: what knowing the driver would take off the variance, on average.
    pub first: Estimate,
    /// Total: what would remain if only this driver were unknown; its own share and that of every
    /// interplay it has part in.
    pub total: Estimate,
}

/// Indices of one figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Indices {
    /// Variance of the figure, in the square of its unit.
    pub variance: f64,
    /// Index of each driver, in the order of the scheme.
    pub drivers: Vec<Index>,
}

impl Drivers {
    /// Nothing gathered yet about `drivers` drivers.
    #[must_use]
    pub fn new(drivers: usize) -> Self {
        Self { incomplete: 0, replicates: vec![Sums::new(drivers); REPLICATES] }
    }

    /// Takes in the figure at all points of a row: A, B and one for each driver. A row in which a
    /// value is not finite is counted as incomplete and enters nothing else.
    ///
    /// # Panics
    /// If there are not as many values as drivers and two more.
    pub fn put(&mut self, row: u64, values: &[f64]) {
        let sums = &mut self.replicates[(row % REPLICATES as u64) as usize];
        assert_eq!(values.len(), sums.changes.len() + 2, "A, B and one for each driver");
        if values.iter().all(|v| v.is_finite()) {
            sums.put(values[0], values[1], &values[2..]);
        } else {
            self.incomplete += 1;
        }
    }

    /// Takes in what others have gathered.
    ///
    /// # Errors
    /// If they have another number of drivers; then nothing is taken in.
    pub fn merge(&mut self, other: &Self) -> Result<(), SamplingError> {
        let alike = |(own, more): (&Sums, &Sums)| own.changes.len() == more.changes.len();
        if self.replicates.len() != other.replicates.len()
            || !self.replicates.iter().zip(&other.replicates).all(alike)
        {
            return Err(SamplingError::Unlike);
        }
        self.incomplete += other.incomplete;
        self.replicates.iter_mut().zip(&other.replicates).for_each(|(own, more)| own.merge(more));
        Ok(())
    }

    /// Rows taken in.
    #[must_use]
    pub fn rows(&self) -> u64 {
        self.replicates.iter().map(|s| s.rows).sum()
    }

    /// Rows left out because the figure was missing at one of their points.
    #[must_use]
    pub fn incomplete(&self) -> u64 {
        self.incomplete
    }

    /// Indices by the estimators of `[saltelli2010]`: first order (b) of table 2, total (f), which is
    /// that of `[jansen1999]`; the figure centred on its mean over all points, which changes nothing but
    /// the scatter. Errors by leaving out each replicate in turn (jackknife, `[efron1982]`).
    ///
    /// None if the figure does not vary, or with fewer than two rows in any replicate. Under a condition
    /// (incomplete rows) these are indices among the rows that are complete.
    #[must_use]
    pub fn indices(&self) -> Option<Indices> {
        if self.replicates.iter().any(|s| s.rows < 2) {
            return None;
        }
        let drivers = self.replicates[0].changes.len();
        let without = |left_out: Option<usize>| {
            let mut pooled = Sums::new(drivers);
            let kept = self.replicates.iter().enumerate().filter(|(r, _)| Some(*r) != left_out);
            kept.for_each(|(_, sums)| pooled.merge(sums));
            pooled.indices()
        };
        let (variance, whole) = without(None)?;
        let parts =
            (0..REPLICATES).map(|r| Some(without(Some(r))?.1)).collect::<Option<Vec<_>>>()?;
        let estimate = |driver: usize, kind: usize| {
            let values = parts.iter().map(|part| part[driver][kind]);
            Estimate { value: whole[driver][kind], error: jackknife(values) }
        };
        let index = |i| Index { first: estimate(i, 0), total: estimate(i, 1) };
        Some(Indices { variance, drivers: (0..drivers).map(index).collect() })
    }
}

/// Standard error from the values found with each replicate left out.
fn jackknife(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let n = REPLICATES as f64;
    let mean = values.clone().sum::<f64>() / n;
    (values.map(|v| (v - mean).powi(2)).sum::<f64>() * (n - 1.0) / n).sqrt()
}

impl Sums {
    fn new(drivers: usize) -> Self {
        let [both, squares, first] = std::array::from_fn(|_| ExactSum::default());
        Self { rows: 0, both, squares, first, changes: vec![None; drivers] }
    }

    fn put(&mut self, a: f64, b: f64, changed: &[f64]) {
        self.rows += 1;
        self.first.add(a);
        self.both.add(a);
        self.both.add(b);
        self.squares.add_product(a, a);
        self.squares.add_product(b, b);
        for (change, value) in self.changes.iter_mut().zip(changed) {
            let c = value - a;
            if c == 0.0 {
                continue;
            }
            let change = change.get_or_insert_default();
            change.sum.add(c);
            change.along.add_product(b, c);
            change.square.add_product(c, c);
        }
    }

    fn merge(&mut self, other: &Self) {
        self.rows += other.rows;
        self.both.add_sum(&other.both);
        self.squares.add_sum(&other.squares);
        self.first.add_sum(&other.first);
        for (own, more) in self.changes.iter_mut().zip(&other.changes) {
            let Some(more) = more else { continue };
            let own = own.get_or_insert_default();
            own.sum.add_sum(&more.sum);
            own.along.add_sum(&more.along);
            own.square.add_sum(&more.square);
        }
    }

    /// Variance, and first-order and total index of each driver.
    fn indices(&self) -> Option<(f64, Vec<[f64; 2]>)> {
        let (rows, drivers) = (self.rows as f64, self.changes.len() as u64);
        // (2n)² times the variance of all f(A) and f(B)
        let mut scatter = self.squares.times_count(2 * self.rows);
        scatter.subtract_sum(&self.both.times(&self.both));
        let variance = scatter.value() / (4.0 * rows * rows);
        if variance <= 0.0 {
            return None;
        }
        // The figure summed over all points of all rows.
        let mut all = self.both.clone();
        all.add_sum(&self.first.times_count(drivers));
        self.changes.iter().flatten().for_each(|change| all.add_sum(&change.sum));
        let points = self.rows * (drivers + 2);
        let of_driver = |change: &Option<Box<Change>>| {
            let Some(change) = change else { return [0.0; 2] };
            let mut along = change.along.times_count(points);
            along.subtract_sum(&all.times(&change.sum));
            let first = along.value() / points as f64 / (rows * variance);
            [first, change.square.value() / (2.0 * rows * variance)]
        };
        Some((variance, self.changes.iter().map(of_driver).collect()))
    }
}

impl Estimate {
    /// Half the width of the interval around the value that holds the true one with confidence
    /// `confidence` (0 to 1): Student's t with a degree of freedom for each replicate but one.
    #[must_use]
    pub fn half_width(&self, confidence: f64) -> f64 {
        let t = StudentsT::new(0.0, 1.0, REPLICATES as f64 - 1.0).expect("some replicates");
        self.error * t.inverse_cdf(0.5 * (1.0 + confidence))
    }

    /// What the estimate says.
    #[must_use]
    pub fn reading(&self) -> Reading {
        if self.value < 0.0 {
            Reading::BelowZero
        } else if self.value > self.half_width(0.95) {
            Reading::Distinct
        } else {
            Reading::Indistinct
        }
    }
}
