//! Which points to try so that what drives a figure can be told.

use crate::{Drivers, REPLICATES, SamplingError, Sobol};
use std::ops::Range;

/// Rows of points for indices, after `[saltelli2010]`: two independent points A and B, and for each
/// driver i the point AB_i, which is A with the driver's coordinates from B.
///
/// A driver is a coordinate, or a group of coordinates that are taken together. A row of G drivers
/// has G + 2 points and is made of one Sobol point of twice the dimensions; rows take turns among
/// [`REPLICATES`] scrambles.
///
/// # Dependent quantities
///
/// Indices split the variance among *independent* coordinates. Where a
/// [`Copula`](crate::Copula) makes quantities of them that go together, either make them one group,
/// whose index says what they do together, whatever is due to which; or keep single drivers, whose
/// indices then belong to the coordinates before the map: the coordinate that comes first among the
/// correlated ones stands for its quantity with all that goes along with it, each later one for what
/// is left to its own quantity after those before it (full and uncorrelated indices of `[mara2015]`).
#[derive(Debug, Clone)]
pub struct Scheme {
    points: Sobol,
    drivers: Vec<Vec<usize>>,
}

impl Scheme {
    /// Every one of `dimensions` coordinates is a driver.
    ///
    /// # Errors
    /// If there are no dimensions or more than half of [`MOST_DIMENSIONS`](crate::MOST_DIMENSIONS).
    pub fn new(seed: u64, dimensions: usize) -> Result<Self, SamplingError> {
        Self::grouped(seed, dimensions, (0..dimensions).map(|d| vec![d]).collect())
    }

    /// Each of `drivers` is a list of coordinates taken together; coordinates that are in none vary with
    /// the rest and have no index.
    ///
    /// # Errors
    /// As [`Scheme::new`], and if a driver is empty, names a coordinate there is not, or one that
    /// another has.
    pub fn grouped(
        seed: u64,
        dimensions: usize,
        drivers: Vec<Vec<usize>>,
    ) -> Result<Self, SamplingError> {
        let mut taken = vec![false; dimensions];
        for driver in &drivers {
            let fresh = |d: &usize| *d < dimensions && !std::mem::replace(&mut taken[*d], true);
            if driver.is_empty() || !driver.iter().all(fresh) {
                return Err(SamplingError::Drivers);
            }
        }
        let points = Sobol::replicated(seed, 2 * dimensions, REPLICATES)?;
        Ok(Self { points, drivers })
    }

    /// Coordinates of a point.
    #[must_use]
    pub fn dimensions(&self) -> usize {
        self.points.dimensions() / 2
    }

    /// Drivers: how many indices there will be of each kind.
    #[must_use]
    pub fn drivers(&self) -> usize {
        self.drivers.len()
    }

    /// Points of a row: A, B and one for each driver, in this order.
    #[must_use]
    pub fn points_of_row(&self) -> usize {
        self.drivers.len() + 2
    }

    /// The points of row `row`, one after the other.
    ///
    /// # Panics
    /// If `points` has not room for exactly [`points_of_row`](Self::points_of_row) points.
    pub fn fill(&self, row: u64, points: &mut [f64]) {
        let dimensions = self.dimensions();
        assert_eq!(points.len(), dimensions * self.points_of_row(), "room for one row");
        let (both, changed) = points.split_at_mut(2 * dimensions);
        self.points.fill(row, both);
        let (a, b) = both.split_at(dimensions);
        for (point, driver) in changed.chunks_exact_mut(dimensions).zip(&self.drivers) {
            point.copy_from_slice(a);
            driver.iter().for_each(|d| point[*d] = b[*d]);
        }
    }

    /// Tries the rows `rows` and gathers what drives each figure, with what `gathered` has of it already.
    /// `evaluate` puts the figures of a point into its second argument: numbers, 0 or 1 for a yes/no, `NAN`
    /// for a figure that the point does not have.
    ///
    /// Gather stretches of rows wherever it suits, and [`merge`](Drivers::merge) them.
    ///
    /// # Errors
    /// The first that `evaluate` returns.
    ///
    /// # Panics
    /// If `gathered` is of another number of drivers.
    pub fn gather<E>(
        &self,
        rows: Range<u64>,
        gathered: &mut [Drivers],
        mut evaluate: impl FnMut(&[f64], &mut [f64]) -> Result<(), E>,
    ) -> Result<(), E> {
        let figures = gathered.len();
        if figures == 0 {
            return Ok(());
        }
        let mut points = vec![0.0; self.dimensions() * self.points_of_row()];
        let mut all = vec![0.0; figures * self.points_of_row()];
        let mut own = vec![0.0; self.points_of_row()];
        for row in rows {
            self.fill(row, &mut points);
            let each = points.chunks_exact(self.dimensions()).zip(all.chunks_exact_mut(figures));
            for (point, values) in each {
                evaluate(point, values)?;
            }
            for (figure, drivers) in gathered.iter_mut().enumerate() {
                let of_figure = all.iter().skip(figure).step_by(figures);
                own.iter_mut().zip(of_figure).for_each(|(own, value)| *own = *value);
                drivers.put(row, &own);
            }
        }
        Ok(())
    }
}
