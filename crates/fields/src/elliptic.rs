//! Complete elliptic integrals by one arithmetic-geometric mean, free of cancellation.
//!
//! The combinations that fields of round bodies need (`K − E`, `(2 − k²)K − 2E`, ...) lose all digits
//! near the axis and far away when made from K and E. Here the mean's own remainders give them directly:
//! every sum below has terms of one sign.

use std::f64::consts::FRAC_PI_2;

use crate::math::fma;

/// K(k) and the scaled remainder `s = ((2 − k²)K − 2E) / (k⁴ K)`, 1/8 at k = 0, 1 at k = 1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Complete {
    /// `∫ dψ / √(cos²ψ + kc² sin²ψ)` over a quarter turn.
    pub k: f64,
    /// `∫ sin²ψ cos²ψ (cos²ψ + kc² sin²ψ)^(-3/2) dψ / K`.
    pub s: f64,
    /// `g ∫ sin²ψ / ((cos²ψ + g² sin²ψ) √(cos²ψ + kc² sin²ψ)) dψ` (only from [`complete_with_third`]).
    pub third: f64,
}

impl Complete {
    /// `∫ sin²ψ / √(cos²ψ + kc² sin²ψ) dψ = (K − E)/k²`, with `k2 = k²`.
    pub fn d(&self, k2: f64) -> f64 {
        0.5 * self.k * (1.0 + k2 * self.s)
    }
}

/// Relative difference at which the next mean is exact to rounding (its error is this squared over 8).
const CLOSE: f64 = 1e-8;

/// First and second kind for the complementary modulus `kc` > 0 and `k2 = 1 − kc²`.
///
/// Gauss's mean; see `[bulirsch1965]`, `[dlmf]` 19.8. Accuracy: 1e-15 relative, `prop_legendre_relation`.
pub(crate) fn complete(kc: f64, k2: f64) -> Complete {
    let (mut a, mut b) = (1.0, kc);
    // Remainders c of the mean, divided by k² so that small k keeps its digits.
    let mut c = 1.0 / (1.0 + kc);
    let (mut s, mut weight) = (0.0, 1.0);
    loop {
        // c is the difference of a and b; once small the next mean is exact.
        // a and b grow twofold each step instead of the remainders being halved.
        let close = k2 * c <= CLOSE * a;
        let product = a * b;
        a += b;
        b = 2.0 * product.sqrt();
        weight *= 0.5;
        s += c * c * weight;
        if close {
            return Complete { k: FRAC_PI_2 / (a * weight), s, third: 0.0 };
        }
        c = k2 * c * c / (a + b);
    }
}

/// As [`complete`], with the third kind for the characteristic root `g` > 0 (`[bulirsch1969]`, his `cel`).
pub(crate) fn complete_with_third(kc: f64, k2: f64, g: f64) -> Complete {
    let (mut a, mut b) = (1.0, kc);
    let mut c = 1.0 / (1.0 + kc);
    let (mut s, mut weight) = (0.0, 1.0);
    // cel's numerator pair and characteristic for a = 0, b = g: both scaled by g from the start.
    let (mut n0, mut n1, mut p) = (0.0, 1.0, g);
    loop {
        let close = k2 * c <= CLOSE * a;
        let product = a * b;
        let previous = n0;
        n0 += n1 / p;
        let q = product / p;
        n1 = 2.0 * (n1 + previous * q);
        p += q;
        a += b;
        b = 2.0 * product.sqrt();
        weight *= 0.5;
        s += c * c * weight;
        if close {
            let k = FRAC_PI_2 / (a * weight);
            let third = FRAC_PI_2 * (n1 + n0 * a) / (a * (a + p));
            return Complete { k, s, third };
        }
        c = k2 * c * c / (a + b);
    }
}

/// The third kind on its way, over one denominator: numerators n0/d and n1/d, characteristic p/d.
#[derive(Clone, Copy)]
struct Third {
    n0: f64,
    n1: f64,
    p: f64,
    d: f64,
}

impl Third {
    /// The step of [`complete_with_third`] for the product of both means, multiplied out: no division.
    #[inline(always)]
    fn step(self, product: f64) -> Self {
        let Self { n0, n1, p, d } = self;
        let mean = product * d;
        Self {
            n0: fma(n0, p, n1 * d),
            n1: 2.0 * fma(n1, p, n0 * mean),
            p: fma(p, p, mean * d),
            d: p * d,
        }
    }
}

/// K, `s K` and the third kind as [`complete_with_third`] has them, by five means without a branch.
///
/// `per_k2` is `1/k2`. Serves `kc` ≥ 0.04, where the fifth mean is exact to 1e-14 (`cross_five_means`).
#[inline(always)]
pub(crate) fn five_means(kc: f64, k2: f64, per_k2: f64, g: f64) -> [f64; 3] {
    // Below this modulus the first remainder is all; the others, differences of a and b, would be noise.
    let per_k2 = if k2 <= 1e-6 { 0.0 } else { per_k2 };
    let (mut a, mut b, mut s, mut weight) = (1.0, kc, 0.0, 0.5);
    let mut third = Third { n0: 0.0, n1: 1.0, p: g, d: 1.0 };
    for _ in 0..4 {
        let product = a * b;
        third = third.step(product);
        a += b;
        b = 2.0 * product.sqrt();
        weight *= 0.5;
        // The remainder over k²; a and b, and so their difference, grow twofold each step.
        let c = (a - b) * per_k2;
        s = fma(c * c, weight, s);
    }
    // The last mean needs neither remainder nor root.
    let Third { n0, n1, p, d } = third.step(a * b);
    a += b;
    // One division for all that is left: by 1 + kc, by a and by a + p.
    let (first, ap) = (1.0 + kc, fma(a, d, p));
    let per_all = 1.0 / (first * a * ap);
    let (per_first, per_a_ap) = (per_all * (a * ap), per_all * first);
    let k = FRAC_PI_2 * 32.0 * ap * per_a_ap;
    [k, fma(0.5 * per_first, per_first, s) * k, FRAC_PI_2 * fma(n0, a, n1) * per_a_ap]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kc_of(step: i32) -> f64 {
        // From nearly 0 to nearly 1.
        if step < 20 { 10_f64.powi(step - 20) } else { 1.0 - 10_f64.powi(19 - step) }
    }

    /// E K' + E' K − K K' = π/2 ties first and second kind of a modulus and its complement.
    #[test]
    fn prop_legendre_relation() {
        for step in 8..32 {
            let kc = kc_of(step);
            let k2 = (1.0 - kc) * (1.0 + kc);
            let (one, other) = (complete(kc, k2), complete(k2.sqrt(), kc * kc));
            // E = K − k² (K − E)/k².
            let (e, e_other) = (one.k - k2 * one.d(k2), other.k - kc * kc * other.d(kc * kc));
            let sum = e * other.k + e_other * one.k - one.k * other.k;
            let size = one.k * other.k;
            assert!((sum - FRAC_PI_2).abs() < 2e-15 * size, "{kc}: {sum}");
        }
    }

    /// Third kind against the trapezoidal rule, which is exact on a periodic integrand as smooth as these.
    #[test]
    fn cross_third_kind_by_trapezoid() {
        for kc in [0.1_f64, 0.3, 0.9, 1.0] {
            for g in [0.1, 0.5, 1.0, 3.0] {
                let steps = 2000;
                let term = |i: i32| {
                    let (s, c) = (FRAC_PI_2 * f64::from(i) / f64::from(steps)).sin_cos();
                    let (s2, c2) = (s * s, c * c);
                    g * s2 / ((c2 + g * g * s2) * (c2 + kc * kc * s2).sqrt())
                };
                let sum = (1..steps).map(term).sum::<f64>() + 0.5 * term(steps);
                let want = sum * FRAC_PI_2 / f64::from(steps);
                let got = complete_with_third(kc, (1.0 - kc) * (1.0 + kc), g).third;
                assert!((got - want).abs() < 1e-14 * want, "{kc} {g}: {got} {want}");
            }
        }
    }

    #[test]
    fn cross_five_means() {
        let mut worst = 0.0_f64;
        for step in 0..2000 {
            // From 0.04 to 1, and close to 1, where remainders are taken for nothing.
            let kc = if step < 1000 {
                0.04 + 0.96e-3 * f64::from(step)
            } else {
                1.0 - (-0.02 * f64::from(step - 800)).exp()
            };
            let k2 = (1.0 - kc) * (1.0 + kc);
            for g in [1e-100, 1e-9, 0.003, 0.3, 1.0] {
                let want = complete_with_third(kc, k2, g);
                let [k, ks, third] = five_means(kc, k2, 1.0 / k2, g);
                for (got, want) in [(k, want.k), (ks, want.k * want.s), (third, want.third)] {
                    worst = worst.max((got / want - 1.0).abs());
                }
            }
        }
        println!("five means: {worst:.1e}");
        assert!(worst < 5e-14, "{worst:e}");
    }

    /// s runs from 1/8 at k = 0 to 1 at k = 1, by its power series 1/8 + k²/16 + ... near 0.
    #[test]
    fn prop_remainder_limits() {
        assert!((complete(1.0, 0.0).s - 0.125).abs() < 1e-16);
        let k2 = 1e-6_f64;
        assert!((complete((1.0 - k2).sqrt(), k2).s - 0.125 - k2 / 16.0).abs() < 1e-12);
        assert!(complete(1e-12, 1.0).s < 1.0 && complete(1e-12, 1.0).s > 0.9);
    }
}
