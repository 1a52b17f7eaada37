//! Gauss quadrature for a discrete measure: many weighted points to few with the same moments.

use faer::{Mat, Side};

/// Node of the two-point Gauss-Legendre rule on [−1, 1], 1/√3 [dlmf, 3.5].
pub(crate) const GAUSS_2: f64 = 0.577_350_269_189_625_8;

/// `order` points and weights that integrate polynomials up to degree 2·order − 1 against the
/// measure Σ wᵢ δ(x − xᵢ) exactly: the Lanczos process with full reorthogonalization, then the
/// eigenvalues of the Jacobi matrix [golub1969].
///
/// Returns the points themselves when there are no more than `order`; `None` when a weight is not
/// of the same sign as the others.
pub(crate) fn reduce(x: &[f64], w: &[f64], order: usize) -> Option<Vec<(f64, f64)>> {
    let total: f64 = w.iter().sum();
    if x.len() <= order {
        return Some(x.iter().copied().zip(w.iter().copied()).collect());
    }
    if w.iter().any(|w| w / total <= 0.0) {
        return None;
    }
    let (lo, hi) = x.iter().fold((x[0], x[0]), |(a, b), &v| (a.min(v), b.max(v)));
    let (middle, half) = (0.5 * (lo + hi), 0.5 * (hi - lo));
    let t: Vec<f64> = x.iter().map(|x| (x - middle) / half).collect();
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();

    let mut basis: Vec<Vec<f64>> = vec![w.iter().map(|w| (w / total).sqrt()).collect()];
    let mut jacobi = Mat::<f64>::zeros(order, order);
    for k in 0..order {
        let mut next: Vec<f64> = basis[k].iter().zip(&t).map(|(q, t)| q * t).collect();
        jacobi[(k, k)] = dot(&next, &basis[k]);
        for _ in 0..2 {
            for q in &basis {
                let c = dot(&next, q);
                next.iter_mut().zip(q).for_each(|(n, q)| *n -= c * q);
            }
        }
        let norm = dot(&next, &next).sqrt();
        if k + 1 < order {
            (jacobi[(k, k + 1)], jacobi[(k + 1, k)]) = (norm, norm);
            next.iter_mut().for_each(|n| *n /= norm);
            basis.push(next);
        }
    }
    let eigen = jacobi.self_adjoint_eigen(Side::Lower).ok()?;
    let (values, vectors) = (eigen.S(), eigen.U());
    Some((0..order).map(|k| (middle + half * values[k], total * vectors[(0, k)].powi(2))).collect())
}
