//! Gauss quadrature for a discrete measure: many weighted points to few with the same moments.

use faer::{Mat, Side};

/// Node of the two-point Gauss-Legendre rule on [−1, 1], 1/√3 `[dlmf]`, 3.5.
pub(crate) const GAUSS_2: f64 = 0.577_350_269_189_625_8;

/// The polynomials orthonormal under a discrete measure Σ wᵢ δ(x − xᵢ), by their recurrence: the
/// Lanczos process with full reorthogonalization `[golub1969]`.
#[derive(Debug, Clone)]
pub(crate) struct Orthonormal {
    middle: f64,
    half: f64,
    /// The measure's total and the recurrence's coefficients.
    total: f64,
    alpha: Vec<f64>,
    beta: Vec<f64>,
}

impl Orthonormal {
    /// Polynomials of degree 0 to `count` − 1; `None` when a weight is not positive or there are no
    /// more than `count` of them.
    pub fn new(x: &[f64], w: &[f64], count: usize) -> Option<Self> {
        let positive = |w: &f64| *w > 0.0;
        if x.len() <= count || !w.iter().all(positive) {
            return None;
        }
        let total: f64 = w.iter().sum();
        let (lo, hi) = x.iter().fold((x[0], x[0]), |(a, b), &v| (a.min(v), b.max(v)));
        let (middle, half) = (0.5 * (lo + hi), 0.5 * (hi - lo));
        let t: Vec<f64> = x.iter().map(|x| (x - middle) / half).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();

        let mut basis: Vec<Vec<f64>> = vec![w.iter().map(|w| (w / total).sqrt()).collect()];
        let (mut alpha, mut beta) = (Vec::new(), Vec::new());
        for k in 0..count {
            let mut next: Vec<f64> = basis[k].iter().zip(&t).map(|(q, t)| q * t).collect();
            alpha.push(dot(&next, &basis[k]));
            for q in &basis {
                let c = dot(&next, q);
                next.iter_mut().zip(q).for_each(|(n, q)| *n -= c * q);
            }
            let norm = dot(&next, &next).sqrt();
            beta.push(norm);
            next.iter_mut().for_each(|n| *n /= norm);
            basis.push(next);
        }
        Some(Self { middle, half, total, alpha, beta })
    }

    /// Σ wᵢ pₖ(xᵢ) of a measure on the same line, for every polynomial.
    pub fn moments(&self, x: &[f64], w: &[f64]) -> Vec<f64> {
        let mut moments = vec![0.0; self.alpha.len()];
        for (x, w) in x.iter().zip(w) {
            self.each(*x, |k, p| moments[k] += w * p);
        }
        moments
    }

    /// The `order` points that integrate polynomials of degree up to 2·order − 1 against the measure
    /// exactly: eigenvalues of the Jacobi matrix.
    pub fn points(&self, order: usize) -> Option<Vec<f64>> {
        let jacobi = Mat::from_fn(order, order, |i, j| match i.abs_diff(j) {
            0 => self.alpha[i],
            1 => self.beta[i.min(j)],
            _ => 0.0,
        });
        let values = jacobi.self_adjoint_eigenvalues(Side::Lower).ok()?;
        Some(values.iter().map(|t| self.middle + self.half * t).collect())
    }

    /// Weights on `points` that integrate polynomials of degree below their number exactly against
    /// the measure with these moments.
    pub fn weights(&self, points: &[f64], moments: &[f64]) -> Vec<f64> {
        let weight = |x: &f64| {
            let (mut norm, mut value) = (0.0, 0.0);
            self.each(*x, |k, p| {
                if k < points.len() {
                    norm += p * p;
                    value += p * moments[k];
                }
            });
            value / norm
        };
        points.iter().map(weight).collect()
    }

    /// Hands every polynomial's value at `x` on, in order of degree.
    fn each(&self, x: f64, mut take: impl FnMut(usize, f64)) {
        let t = (x - self.middle) / self.half;
        let (mut before, mut here) = (0.0, 1.0 / self.total.sqrt());
        for k in 0..self.alpha.len() {
            take(k, here);
            let last = if k == 0 { 0.0 } else { self.beta[k - 1] * before };
            (before, here) = (here, ((t - self.alpha[k]) * here - last) / self.beta[k]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gauss-Legendre of order 5 from a fine even measure: 0.9061798459, 0.5384693101, 0 and weights
    /// 0.2369268851, 0.4786286705, 0.5688888889 `[dlmf]`, table 3.5.2.
    #[test]
    fn val_gauss_legendre_5() {
        let n = 4000;
        let x: Vec<f64> = (0..n).map(|k| -1.0 + (2.0 * k as f64 + 1.0) / n as f64).collect();
        let w = vec![2.0 / n as f64; n];
        let basis = Orthonormal::new(&x, &w, 9).unwrap();
        let points = basis.points(5).unwrap();
        let weights = basis.weights(&points, &basis.moments(&x, &w));
        let want = [
            (-0.906_179_845_9, 0.236_926_885_1),
            (-0.538_469_310_1, 0.478_628_670_5),
            (0.0, 0.568_888_888_9),
            (0.538_469_310_1, 0.478_628_670_5),
            (0.906_179_845_9, 0.236_926_885_1),
        ];
        // the midpoint measure differs from the even one by 1/n²
        for ((x, w), (wx, ww)) in points.iter().zip(weights).zip(want) {
            assert!((x - wx).abs() < 1e-6 && (w - ww).abs() < 1e-6, "{x} {w}");
        }
    }

    #[test]
    fn prop_other_measures_keep_their_moments() {
        let x: Vec<f64> = (0..200).map(|k| (k as f64 * 0.37).sin() * 3.0 + 1.0).collect();
        let w: Vec<f64> = x.iter().map(|x| 1.5 + x.cos()).collect();
        let other: Vec<f64> = x.iter().map(|x| x.sin() - 0.2).collect();
        let basis = Orthonormal::new(&x, &w, 12).unwrap();
        let points = basis.points(8).unwrap();
        let weights = basis.weights(&points, &basis.moments(&x, &other));
        for degree in 0..8 {
            let exact: f64 = x.iter().zip(&other).map(|(x, w)| w * x.powi(degree)).sum();
            let found: f64 = points.iter().zip(&weights).map(|(x, w)| w * x.powi(degree)).sum();
            let error = (exact - found).abs() / (1.0 + exact.abs());
            assert!(error < 1e-9, "{degree}: {exact} {found}");
        }
    }
}
