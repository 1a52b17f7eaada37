//! Quantities that go together: a map of the unit cube onto itself.

use crate::{SamplingError, normal_quantile};
use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal};
use std::f64::consts::PI;

/// How strongly two coordinates go together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Correlation {
    /// One coordinate,
    pub one: usize,
    /// and the other.
    pub other: usize,
    /// Spearman's rank correlation of the two, −1 to 1: it is that of whatever quantities the
    /// coordinates are quantiles of.
    pub rank: f64,
}

/// A Gaussian copula: makes coordinates that are independent into ones with given rank correlations,
/// each still uniform in (0, 1).
///
/// The coordinates become normal numbers z, those L z with L Lᵀ the correlation matrix, and these
/// coordinates again. For a rank correlation ρ the normal numbers need `2 sin(π ρ / 6)` (`[kruskal1958]`).
/// L is triangular: the first of the correlated coordinates stays as it is, and each later one is
/// bent towards those before it, which is what indices then refer to ([`Scheme`](crate::Scheme)).
#[derive(Debug, Clone)]
pub struct Copula {
    /// Coordinates that have a correlation, in order.
    members: Vec<usize>,
    /// L, row by row, each to its diagonal.
    factor: Vec<Vec<f64>>,
}

impl Copula {
    /// # Errors
    /// If a coordinate is correlated with itself, a pair is given twice, a rank correlation is not between
    /// −1 and 1, or the correlations cannot hold together (A with B, B with C, but A against C).
    pub fn gaussian(correlations: &[Correlation]) -> Result<Self, SamplingError> {
        let mut members: Vec<usize> = correlations.iter().flat_map(|c| [c.one, c.other]).collect();
        members.sort_unstable();
        members.dedup();
        let place = |d: usize| members.binary_search(&d).unwrap_or_default();
        let mut matrix = vec![vec![0.0; members.len()]; members.len()];
        for c in correlations {
            let (i, j) = (place(c.one.max(c.other)), place(c.one.min(c.other)));
            if i == j || matrix[i][j] != 0.0 || !(-1.0..=1.0).contains(&c.rank) {
                return Err(SamplingError::Correlation {
                    one: c.one,
                    other: c.other,
                    rank: c.rank,
                });
            }
            matrix[i][j] = 2.0 * (PI * c.rank / 6.0).sin();
        }
        let factor = cholesky(&matrix)
            .map_err(|row| SamplingError::Incompatible { coordinate: members[row] })?;
        Ok(Self { members, factor })
    }

    /// Correlates a point, each coordinate in (0, 1).
    ///
    /// # Panics
    /// If the point has not all coordinates that are correlated.
    pub fn apply(&self, point: &mut [f64]) {
        let normal = Normal::standard();
        let z: Vec<f64> = self.members.iter().map(|d| normal_quantile(point[*d])).collect();
        for (member, row) in self.members.iter().zip(&self.factor).skip(1) {
            let bent = row.iter().zip(&z).map(|(l, z)| l * z).sum();
            const END: f64 = f64::EPSILON / 2.0;
            point[*member] = normal.cdf(bent).clamp(END, 1.0 - END);
        }
    }
}

/// L of a matrix given below its diagonal, which is 1; or the row at which the matrix turns out to have
/// a negative eigenvalue.
fn cholesky(below: &[Vec<f64>]) -> Result<Vec<Vec<f64>>, usize> {
    /// Rounding of the handful of products that a pivot is made of.
    const ROUNDING: f64 = 1e-12;
    let mut factor: Vec<Vec<f64>> = Vec::new();
    for (i, row) in below.iter().enumerate() {
        let mut l = Vec::new();
        for (j, earlier) in factor.iter().enumerate() {
            let rest: f64 = row[j] - l.iter().zip(earlier).map(|(a, b)| a * b).sum::<f64>();
            let pivot = earlier[j];
            if pivot == 0.0 && rest.abs() > ROUNDING.sqrt() {
                return Err(i);
            }
            l.push(if pivot == 0.0 { 0.0 } else { rest / pivot });
        }
        let square = 1.0 - l.iter().map(|a| a * a).sum::<f64>();
        if square < -ROUNDING {
            return Err(i);
        }
        l.push(if square < ROUNDING { 0.0 } else { square.sqrt() });
        factor.push(l);
    }
    Ok(factor)
}
