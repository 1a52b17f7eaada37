//! A few panels of steel that stand for all of them.

use faer::Mat;
use faer::Par;
use faer::linalg::triangular_solve::solve_upper_triangular_in_place;

/// Panels whose field tells the field at all the others, for sources like those it was made with.
///
/// Along a sweep, sources make but few independent fields on the steel, while its panels are as fine as
/// the contact near them needs. A factorization with pivots finds columns (panels) of which the others
/// are sums; the weights of a rule on all panels then move onto these.
///
/// Source: the interpolative decomposition of `[cheng2005]`, by QR factors with column pivoting. What it
/// costs in accuracy is measured where it is used.
#[derive(Debug, Clone)]
pub struct Thinning {
    /// The panels that stay.
    kept: Vec<usize>,
    /// Field at each panel (rows) from the field at those that stay (columns).
    spread: Mat<f64>,
}

impl Thinning {
    /// From the normal `fields` of sources (rows) at the panels (columns), T, and how much each panel's
    /// field weighs, Wb/T: panels are left out while what is lost is below `tolerance` of the greatest
    /// weighted field.
    ///
    /// # Panics
    /// When there is not a weight for each column.
    pub fn new(fields: &[Vec<f64>], weights: &[f64], tolerance: f64) -> Self {
        assert!(fields.iter().all(|row| row.len() == weights.len()), "one weight for every panel");
        // A panel without weight may get some in another unit.
        let most = weights.iter().fold(0.0, |most: f64, w| most.max(w.abs()));
        let least = if most > 0.0 { 1e-3 * most } else { 1.0 };
        let scale: Vec<f64> = weights.iter().map(|w| w.abs().max(least)).collect();
        let scaled = Mat::from_fn(fields.len(), scale.len(), |i, j| fields[i][j] * scale[j]);
        let factors = scaled.col_piv_qr();
        let (r, order) = (factors.R(), factors.P().arrays().0);
        let rank = r.nrows().min(r.ncols());
        let enough = |k: &usize| r[(*k, *k)].abs() > tolerance * r[(0, 0)].abs();
        let count = (0..rank).take_while(enough).count();
        let mut shares = r.submatrix(0, count, count, r.ncols() - count).to_owned();
        solve_upper_triangular_in_place(r.submatrix(0, 0, count, count), shares.as_mut(), Par::Seq);
        let kept: Vec<usize> = order[..count].to_vec();
        let mut spread = Mat::zeros(scale.len(), count);
        for (k, &panel) in kept.iter().enumerate() {
            spread[(panel, k)] = 1.0;
            for (j, &other) in order[count..].iter().enumerate() {
                spread[(other, k)] = shares[(k, j)] * scale[panel] / scale[other];
            }
        }
        Self { kept, spread }
    }

    /// How many panels stay.
    pub fn len(&self) -> usize {
        self.kept.len()
    }

    /// True when none does.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// Values of the panels that stay.
    pub(crate) fn of(&self, values: &[f64]) -> Vec<f64> {
        self.kept.iter().map(|&k| values[k]).collect()
    }

    /// Weights of all panels moved onto those that stay.
    pub(crate) fn gathered(&self, weights: &[f64]) -> Vec<f64> {
        let sum =
            |k: usize| weights.iter().zip(self.spread.col(k).iter()).map(|(w, s)| w * s).sum();
        (0..self.kept.len()).map(sum).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where no source makes a field no panel is looked at.
    #[test]
    fn prop_no_field_needs_no_panel() {
        for rows in [vec![], vec![vec![0.0; 5]; 3]] {
            let thinning = Thinning::new(&rows, &[0.0; 5], 1e-6);
            assert!(thinning.is_empty());
            assert!(thinning.gathered(&[1.0; 5]).is_empty());
        }
    }

    /// Fields of rank three on forty panels: three of them tell all.
    #[test]
    fn prop_sums_of_fields_keep_their_weighted_sum() {
        let shape = |j: usize| j as f64 / 40.0;
        let field = |i: usize, j: usize| {
            let x = shape(j);
            [1.0, x, (3.0 * x).sin()][i % 3] * (1.0 + i as f64) + 0.2 * x
        };
        let fields: Vec<Vec<f64>> =
            (0..7).map(|i| (0..40).map(|j| field(i, j)).collect()).collect();
        let weights: Vec<f64> = (0..40).map(|j| (0.7 * j as f64).cos()).collect();
        let thinning = Thinning::new(&fields, &weights, 1e-10);
        assert_eq!(thinning.len(), 3);
        let fewer = thinning.gathered(&weights);
        for (i, row) in fields.iter().enumerate() {
            let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
            let (all, some) = (dot(&weights, row), dot(&fewer, &thinning.of(row)));
            assert!((all - some).abs() < 1e-10 * all.abs().max(1.0), "{i}: {all} {some}");
        }
    }
}
