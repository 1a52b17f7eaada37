//! Complete elliptic integrals by one arithmetic-geometric mean, free of cancellation.
//!
//! The combinations that fields of round bodies need (`K − E`, `(2 − k²)K − 2E`, ...) lose all digits
//! near the axis and far away when made from K and E. Here the mean's own remainders give them directly:
//! every sum below has terms of one sign.

use std::f64::consts::FRAC_PI_2;

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
/// Gauss's mean; see [bulirsch1965], [dlmf] 19.8. Accuracy: `acc_elliptic`, 4e-16 relative.
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

/// As [`complete`], with the third kind for the characteristic root `g` > 0 ([bulirsch1969], his `cel`).
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
