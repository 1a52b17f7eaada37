//! Logarithm, arctangent and complete elliptic integrals without branches or calls.
//!
//! Library functions stop a loop from becoming vector code; these do not. Coefficients are near-minimax
//! fits made here with 50 digits; each function states the error that its test measures.
//! Arguments must be finite; none of them looks for infinities or NaN.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

/// The smaller, without the care for NaN that costs `f64::min` two more instructions.
#[inline(always)]
pub(crate) fn lesser(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The greater; see [`lesser`].
#[inline(always)]
pub(crate) fn greater(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// `a b + c`, rounded once.
#[inline(always)]
pub(crate) fn fma(a: f64, b: f64, c: f64) -> f64 {
    a.mul_add(b, c)
}

/// −1, 0 or 1.
#[inline(always)]
pub(crate) fn sign(x: f64) -> f64 {
    if x == 0.0 { 0.0 } else { 1.0_f64.copysign(x) }
}

/// `Σ c[i] xⁱ`, even and odd powers apart: half the waiting of Horner's rule.
#[inline(always)]
pub(crate) fn polynomial<const N: usize>(c: &[f64; N], x: f64) -> f64 {
    let x2 = x * x;
    let (mut even, mut odd) = (0.0, 0.0);
    let mut i = N;
    while i > 0 {
        i -= 1;
        if i.is_multiple_of(2) {
            even = fma(even, x2, c[i]);
        } else {
            odd = fma(odd, x2, c[i]);
        }
    }
    fma(odd, x, even)
}

/// ln 2 in two parts, the first short enough that a whole multiple of it is exact.
const LN_2: [f64; 2] = [f64::from_bits(0x3FE6_2E42_FEE0_0000), 1.908_214_929_270_587_7e-10];

/// `(2 artanh(s)/s − 2)/s²` as a polynomial in s², |s| ≤ 0.2025, to 3e-17.
const LOG: [f64; 8] = [
    0.666_666_666_666_666_6,
    0.400_000_000_000_093_17,
    0.285_714_285_666_641_7,
    0.222_222_231_490_500_1,
    0.181_817_298_139_520_44,
    0.153_891_763_152_208_65,
    0.132_037_096_791_476_07,
    0.136_545_761_503_192_36,
];

/// The whole number k for which `a` and `b · 2^k` lie nearest each other, and `2^k`.
#[inline(always)]
fn octaves(a: f64, b: f64) -> (f64, f64) {
    // Power of two by which b must grow to lie near a: difference of the bits, rounded; kept positive.
    const BIAS: u64 = 2048;
    const HALF: u64 = 1 << 51;
    let apart =
        a.to_bits().wrapping_sub(b.to_bits()).wrapping_add((BIAS << 52).wrapping_add(HALF)) >> 52;
    // The sum above wraps at 2^12 exponents, which is how the sign of the difference comes out right.
    let power = f64::from_bits(apart.wrapping_add(1023).wrapping_sub(BIAS) << 52);
    let k = f64::from_bits(0x4330_0000_0000_0000 | apart) - (4_503_599_627_370_496.0 + 2048.0);
    (k, power)
}

/// `ln(a/b)`, given also `a − b`, which the caller may know better than its rounded parts tell.
///
/// With an accurate difference the result is accurate to 2 ulp however near a is to b; with
/// `a − b` formed on the spot it is the plain logarithm of a quotient. a and b positive and normal,
/// their quotient within 2^±1000. Measured: 2 ulp (`prop_ln`).
#[inline(always)]
pub(crate) fn ln_ratio(a: f64, b: f64, a_minus_b: f64) -> f64 {
    let (k, power) = octaves(a, b);
    let b = b * power;
    let difference = if k == 0.0 { a_minus_b } else { a - b };
    let s = difference / (a + b);
    let z = s * s;
    fma(k, LN_2[0], fma(k, LN_2[1], fma(s * z, polynomial(&LOG, z), 2.0 * s)))
}

/// `2 artanh q − 2q`, given also a and b with `a/b = (1 + q)/(1 − q)`, 0 ≤ q < 1.
///
/// For small q the q given counts, for q near one a/b does: relative accuracy throughout, though the
/// two terms cancel to `2q³/3` at one end and the first is infinite at the other. Same limits on a and b
/// as in [`ln_ratio`]. Measured: 9e-14 relative, at q = 0.2 where the form changes (`prop_artanh_excess`).
#[inline(always)]
pub(crate) fn artanh_excess(q: f64, a: f64, b: f64) -> f64 {
    let (k, power) = octaves(a, b);
    let b = b * power;
    let s = if k == 0.0 { q } else { (a - b) / (a + b) };
    let z = s * s;
    fma(k, LN_2[0], fma(k, LN_2[1], fma(s * z, polynomial(&LOG, z), 2.0 * (s - q))))
}

/// `ln x` of a positive normal number. Measured: 2 ulp (`prop_ln`).
#[inline(always)]
pub(crate) fn ln(x: f64) -> f64 {
    ln_ratio(x, 1.0, x - 1.0)
}

/// `(atan(t)/t − 1)/t²` as a polynomial in t², |t| ≤ tan(π/8), to 3e-17.
const ATAN: [f64; 11] = [
    -0.333_333_333_333_333_3,
    0.199_999_999_999_955_19,
    -0.142_857_142_846_662_76,
    0.111_111_110_152_348_12,
    -0.090_909_045_772_482_53,
    0.076_921_831_704_848_5,
    -0.066_645_111_608_591_66,
    0.058_581_464_238_093_545,
    -0.050_854_367_132_677_145,
    0.039_231_282_023_743_305,
    -0.019_176_426_315_546_866,
];

/// What π/2 is more than its nearest number.
const FRAC_PI_2_REST: f64 = 6.123_233_995_736_766e-17;

/// Angle of the vector (x, y), −π to π; 0 for the zero vector. Measured: 2 ulp (`prop_atan2`).
#[inline(always)]
pub(crate) fn atan2(y: f64, x: f64) -> f64 {
    let (ax, ay) = (x.abs(), y.abs());
    let steep = ay > ax;
    let (low, high) = if steep { (ax, ay) } else { (ay, ax) };
    // Beyond π/8 turned back by π/4, so that one short polynomial serves.
    let turned = low > 0.414_213_562_373_095_03 * high;
    let above = if turned { low - high } else { low };
    let below = if turned { low + high } else { high };
    let t = above / greater(below, f64::MIN_POSITIVE);
    let z = t * t;
    let small = t * z * polynomial(&ATAN, z);
    let octant = if turned { FRAC_PI_4 } else { 0.0 };
    let rest = if turned { 0.5 * FRAC_PI_2_REST } else { 0.0 };
    let angle = octant + (t + (small + rest));
    let angle = if steep { FRAC_PI_2 - (angle - FRAC_PI_2_REST) } else { angle };
    let angle = if x < 0.0 { PI - (angle - 2.0 * FRAC_PI_2_REST) } else { angle };
    angle.copysign(y)
}

/// K(m') as `K_Q(m') − ln(m') K_P(m')`, m' = 1 − k², to 7e-17 (the form of `[cody1965]`).
const K_Q: [f64; 10] = [
    1.386_294_361_119_891_2,
    0.096_573_590_340_028_46,
    0.030_885_198_236_804_964,
    0.014_944_314_944_573_928,
    0.008_974_756_508_113_023,
    0.007_793_888_989_879_93,
    0.010_917_480_731_981_411,
    0.010_514_080_509_051_667,
    0.003_637_558_742_765_941_6,
    0.000_261_096_671_805_942_2,
];
const K_P: [f64; 10] = [
    0.5,
    0.124_999_999_993_032_43,
    0.070_312_491_034_381_3,
    0.048_826_593_711_726_52,
    0.037_318_398_315_484_74,
    0.029_342_036_186_301_605,
    0.020_171_653_461_538_86,
    0.008_722_058_534_242_065,
    0.001_547_735_861_458_129_4,
    5.730_517_342_130_349e-5,
];

/// `((2 − k²)K − 2E)/k⁴` in the same form, to 6e-17.
const S_Q: [f64; 12] = [
    -0.613_705_638_880_109,
    -0.630_837_687_420_706_4,
    -0.634_121_286_120_860_3,
    -0.635_219_761_257_245_6,
    -0.634_055_183_974_303_7,
    -0.596_504_696_640_371,
    -0.270_762_961_060_150_4,
    0.800_545_225_542_504,
    1.830_153_714_425_860_2,
    1.280_001_356_254_560_5,
    0.287_266_284_516_927_65,
    0.013_590_175_463_255_989,
];
const S_P: [f64; 12] = [
    0.5,
    1.124_999_999_993_508,
    1.757_812_484_809_683_4,
    2.392_573_126_580_558,
    3.027_672_227_210_173_7,
    3.650_676_142_529_425,
    4.129_913_916_848_679,
    3.928_469_344_032_049_3,
    2.523_903_733_272_595_3,
    0.841_315_181_375_757_9,
    0.106_304_227_744_574_32,
    0.002_773_518_106_431_125_6,
];

/// The complete elliptic integral K and `s = ((2 − k²)K − 2E)/k⁴` for the complementary parameter
/// `m1 = 1 − k²`, normal and in (0, 1].
///
/// s is what fields of round bodies need without the cancellation of K against E: it runs from π/16 at
/// k = 0 to K − 2 at k = 1, and `(K − E)/k² = (K + k² s)/2`. Measured against the arithmetic-geometric
/// mean: K 7e-16, s 1.1e-14 relative (`cross_elliptic_polynomials`).
#[inline(always)]
pub(crate) fn elliptic_k_s(m1: f64) -> (f64, f64) {
    let log = ln(m1);
    (
        fma(-log, polynomial(&K_P, m1), polynomial(&K_Q, m1)),
        fma(-log, polynomial(&S_P, m1), polynomial(&S_Q, m1)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elliptic::complete;

    /// Difference in units of the last place of `want`.
    fn ulps(got: f64, want: f64) -> f64 {
        let ulp = f64::from_bits(want.abs().to_bits() + 1) - want.abs();
        (got - want).abs() / ulp
    }

    /// A golden-ratio sequence in (0, 1).
    fn fractions() -> impl Iterator<Item = f64> {
        (1..200_000).map(|i| (f64::from(i) * 0.618_033_988_749_894_9).fract())
    }

    #[test]
    fn prop_ln() {
        let (mut plain, mut near) = (0.0_f64, 0.0_f64);
        for f in fractions() {
            for x in [0.1 + 2.0 * f, (1400.0 * (f - 0.5)).exp()] {
                plain = plain.max(ulps(ln(x), x.ln()));
            }
            for x in [f - 0.4, 1e-3 * (f - 0.4), 1e-12 * (f - 0.4)] {
                near = near.max(ulps(ln_ratio(1.0 + x, 1.0, x), x.ln_1p()));
            }
        }
        println!("ln {plain} ulp, ln of a quotient near one {near} ulp");
        assert!(plain <= 2.0 && near <= 2.0, "{plain} {near}");
        assert_eq!(ln(1.0), 0.0);
        assert_eq!(ln_ratio(3.0, 2.0, 1.0), -ln_ratio(2.0, 3.0, -1.0));
    }

    #[test]
    fn prop_artanh_excess() {
        let mut worst = 0.0_f64;
        for f in fractions() {
            for q in [f, 0.3 * f, 1e-3 * f, 1e-9 * f] {
                let series =
                    (1..40).rev().fold(0.0, |s, n| (s + 1.0 / f64::from(2 * n + 1)) * q * q);
                let want = if q < 0.5 { 2.0 * q * series } else { 2.0 * (q.atanh() - q) };
                let got = artanh_excess(q, 1.0 + q, 1.0 - q);
                worst = worst.max((got / want - 1.0).abs());
            }
        }
        println!("artanh less its argument {worst:.1e}");
        assert!(worst < 1e-13, "{worst:e}");
    }

    #[test]
    fn prop_atan2() {
        let mut worst = 0.0_f64;
        for f in fractions() {
            let angle = 2.0 * PI * (f - 0.5);
            for size in [1.0, 1e-100, 1e100] {
                let (s, c) = angle.sin_cos();
                worst = worst.max(ulps(atan2(s * size, c * size), (s * size).atan2(c * size)));
            }
            for x in [1e-3 * f, 1e-200 * f, 1e9 * f] {
                worst = worst.max(ulps(atan2(x, 1.0), x.atan2(1.0)));
                worst = worst.max(ulps(atan2(-1.0, -x), (-1.0_f64).atan2(-x)));
            }
        }
        println!("atan2 {worst} ulp");
        assert!(worst <= 2.0, "{worst}");
        assert_eq!(atan2(0.0, 0.0), 0.0);
        assert_eq!(atan2(0.0, -2.0), PI);
        assert_eq!(atan2(-3.0, 0.0), -FRAC_PI_2);
    }

    #[test]
    fn cross_elliptic_polynomials() {
        let (mut worst_k, mut worst_s) = (0.0_f64, 0.0_f64);
        for f in fractions().step_by(7) {
            for m1 in [f, f * f * f, 1.0 - 1e-3 * f, (-70.0 * f).exp()] {
                let (k, s) = elliptic_k_s(m1);
                let mean = complete(m1.sqrt(), 1.0 - m1);
                worst_k = worst_k.max((k / mean.k - 1.0).abs());
                worst_s = worst_s.max((s / (mean.k * mean.s) - 1.0).abs());
            }
        }
        println!("K {worst_k:.1e}, s {worst_s:.1e}");
        assert!(worst_k < 2e-15 && worst_s < 1.5e-14, "{worst_k:e} {worst_s:e}");
    }
}
