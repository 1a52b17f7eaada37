//! Gauss quadrature for a discrete measure: many weighted points to few with the same moments.

use faer::{Mat, Side};

/// Node of the two-point Gauss-Legendre rule on [−1, 1], 1/√3 [dlmf, 3.5].
pub(crate) const GAUSS_2: f64 = 0.577_350_269_189_625_8;

/// Points that integrate polynomials of degree up to 2·order − 1 against the measure Σ wᵢ δ(x − xᵢ)
/// exactly, and with [`Gauss::weights`] those up to order − 1 against any other on the same line.
///
/// The Lanczos process with full reorthogonalization gives the recurrence of the measure's
/// orthonormal polynomials, the eigenvalues of its Jacobi matrix the points [golub1969].
#[derive(Debug, Clone)]
pub(crate) struct Gauss {
    points: Vec<f64>,
    middle: f64,
    half: f64,
    /// The measure's total and the recurrence's coefficients.
    total: f64,
    alpha: Vec<f64>,
    beta: Vec<f64>,
}

impl Gauss {
    /// `None` when a weight is not positive or there are no more than `order` of them.
    pub fn new(x: &[f64], w: &[f64], order: usize) -> Option<Self> {
        if x.len() <= order || w.iter().any(|w| !(*w > 0.0)) {
            return None;
        }
        let total: f64 = w.iter().sum();
        let (lo, hi) = x.iter().fold((x[0], x[0]), |(a, b), &v| (a.min(v), b.max(v)));
        let (middle, half) = (0.5 * (lo + hi), 0.5 * (hi - lo));
        let t: Vec<f64> = x.iter().map(|x| (x - middle) / half).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();

        let mut basis: Vec<Vec<f64>> = vec![w.iter().map(|w| (w / total).sqrt()).collect()];
        let (mut alpha, mut beta) = (Vec::new(), Vec::new());
        for k in 0..order {
            let mut next: Vec<f64> = basis[k].iter().zip(&t).map(|(q, t)| q * t).collect();
            alpha.push(dot(&next, &basis[k]));
            for _ in 0..2 {
                for q in &basis {
                    let c = dot(&next, q);
                    next.iter_mut().zip(q).for_each(|(n, q)| *n -= c * q);
                }
            }
            let norm = dot(&next, &next).sqrt();
            beta.push(norm);
            next.iter_mut().for_each(|n| *n /= norm);
            basis.push(next);
        }
        let jacobi = Mat::from_fn(order, order, |i, j| match i.abs_diff(j) {
            0 => alpha[i],
            1 => beta[i.min(j)],
            _ => 0.0,
        });
        let values = jacobi.self_adjoint_eigenvalues(Side::Lower).ok()?;
        let points = values.iter().map(|t| middle + half * t).collect();
        Some(Self { points, middle, half, total, alpha, beta })
    }

    /// The points, rising.
    pub fn points(&self) -> &[f64] {
        &self.points
    }

    /// Weights on [`Self::points`] for the measure Σ wᵢ δ(x − xᵢ).
    pub fn weights(&self, x: &[f64], w: &[f64]) -> Vec<f64> {
        let mut moments = vec![0.0; self.alpha.len()];
        for (x, w) in x.iter().zip(w) {
            let p = self.polynomials(*x);
            moments.iter_mut().zip(p).for_each(|(m, p)| *m += w * p);
        }
        let weight = |x: &f64| {
            let p = self.polynomials(*x);
            let norm: f64 = p.iter().map(|p| p * p).sum();
            p.iter().zip(&moments).map(|(p, m)| p * m).sum::<f64>() / norm
        };
        self.points.iter().map(weight).collect()
    }

    /// The orthonormal polynomials of degree 0 to order − 1 at `x`.
    fn polynomials(&self, x: f64) -> Vec<f64> {
        let t = (x - self.middle) / self.half;
        let mut p = vec![1.0 / self.total.sqrt()];
        for k in 0..self.alpha.len() - 1 {
            let before = if k == 0 { 0.0 } else { self.beta[k - 1] * p[k - 1] };
            p.push(((t - self.alpha[k]) * p[k] - before) / self.beta[k]);
        }
        p
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gauss-Legendre of order 5 from a fine even measure: 0.9061798459, 0.5384693101, 0 and weights
    /// 0.2369268851, 0.4786286705, 0.5688888889 [dlmf, table 3.5.2].
    #[test]
    fn val_gauss_legendre_5() {
        let n = 4000;
        let x: Vec<f64> = (0..n).map(|k| -1.0 + (2.0 * k as f64 + 1.0) / n as f64).collect();
        let w = vec![2.0 / n as f64; n];
        let gauss = Gauss::new(&x, &w, 5).unwrap();
        let want = [
            (-0.906_179_845_9, 0.236_926_885_1),
            (-0.538_469_310_1, 0.478_628_670_5),
            (0.0, 0.568_888_888_9),
            (0.538_469_310_1, 0.478_628_670_5),
            (0.906_179_845_9, 0.236_926_885_1),
        ];
        // the midpoint measure differs from the even one by 1/n²
        for ((x, w), (wx, ww)) in gauss.points().iter().zip(gauss.weights(&x, &w)).zip(want) {
            assert!((x - wx).abs() < 1e-6 && (w - ww).abs() < 1e-6, "{x} {w}");
        }
    }

    #[test]
    fn prop_other_measures_keep_their_moments() {
        let x: Vec<f64> = (0..200).map(|k| (k as f64 * 0.37).sin() * 3.0 + 1.0).collect();
        let w: Vec<f64> = x.iter().map(|x| 1.5 + x.cos()).collect();
        let other: Vec<f64> = x.iter().map(|x| x.sin() - 0.2).collect();
        let gauss = Gauss::new(&x, &w, 8).unwrap();
        let weights = gauss.weights(&x, &other);
        for degree in 0..8 {
            let exact: f64 = x.iter().zip(&other).map(|(x, w)| w * x.powi(degree)).sum();
            let found: f64 =
                gauss.points().iter().zip(&weights).map(|(x, w)| w * x.powi(degree)).sum();
            assert!(
                (exact - found).abs() < 1e-9 * (1.0 + exact.abs()),
                "{degree}: {exact} {found}"
            );
        }
    }
}
