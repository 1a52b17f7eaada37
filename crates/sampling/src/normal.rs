//! Quantiles of the normal distribution, whole and cut off at three sigma.

/// Φ(−3): what a normal distribution has below three sigma.
const BEYOND_THREE_SIGMA: f64 = 0.001_349_898_031_630_094_5;

/// The standard normal deviate below which a share `share` lies; ∓∞ at 0 and 1, NaN beyond them.
///
/// Accuracy: 1e-15 of itself for every share that a [`Sobol`](crate::Sobol) point has,
/// `cross_normal_quantile`.
///
/// Source: rational approximations PPND16 of `[wichura1988]`.
#[must_use]
pub fn normal_quantile(share: f64) -> f64 {
    deviate(share - 0.5, share.min(1.0 - share))
}

/// Deviate, −3 to 3, below which a share `share` (0 to 1) of a standard normal distribution lies that
/// is cut off at three sigma on both sides: what lies beyond is shared out among the rest. As accurate.
#[must_use]
pub fn normal_within_three_sigma(share: f64) -> f64 {
    const INSIDE: f64 = 1.0 - 2.0 * BEYOND_THREE_SIGMA;
    let beyond = BEYOND_THREE_SIGMA + share.min(1.0 - share) * INSIDE;
    deviate((share - 0.5) * INSIDE, beyond).clamp(-3.0, 3.0)
}

/// The deviate at a share that is `off` from a half, `beyond` from the nearer end.
fn deviate(off: f64, beyond: f64) -> f64 {
    if off.abs() <= 0.425 {
        return off * ratio(&MIDDLE, 0.180625 - off * off);
    }
    let r = (-beyond.ln()).sqrt();
    if r.is_infinite() {
        return r.copysign(off);
    }
    let far = if r <= 5.0 { ratio(&NEAR, r - 1.6) } else { ratio(&FAR, r - 5.0) };
    far.copysign(off)
}

/// Numerator and denominator of an approximation, lowest power first.
type Ratio = [[f64; 8]; 2];

#[inline]
fn ratio([above, below]: &Ratio, r: f64) -> f64 {
    let horner = |c: &[f64; 8]| c.iter().rev().fold(0.0, |sum, c| sum * r + c);
    horner(above) / horner(below)
}

/// Shares 0.075 to 0.925, in 0.425² − (share − ½)².
const MIDDLE: Ratio = [
    [
        3.387_132_872_796_366_5,
        1.331_416_678_917_843_8e2,
        1.971_590_950_306_551_3e3,
        1.373_169_376_550_946e4,
        4.592_195_393_154_987e4,
        6.726_577_092_700_87e4,
        3.343_057_558_358_813e4,
        2.509_080_928_730_122_7e3,
    ],
    [
        1.0,
        4.231_333_070_160_091e1,
        6.871_870_074_920_579e2,
        5.394_196_021_424_751e3,
        2.121_379_430_158_659_7e4,
        3.930_789_580_009_271e4,
        2.872_908_573_572_194_3e4,
        5.226_495_278_852_854e3,
    ],
];

/// Nearer to an end, in √(−ln of what is beyond) − 1.6.
const NEAR: Ratio = [
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        2.417_807_251_774_506e-1,
        2.272_384_498_926_918_4e-2,
        7.745_450_142_783_414e-4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        6.897_673_349_851e-1,
        1.481_039_764_274_800_8e-1,
        1.519_866_656_361_645_7e-2,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ],
];

/// Within 1.4e-11 of an end, in √(−ln of what is beyond) − 5.
const FAR: Ratio = [
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        2.965_605_718_285_048_7e-1,
        2.653_218_952_657_612_4e-2,
        1.242_660_947_388_078_4e-3,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        5.998_322_065_558_88e-1,
        1.369_298_809_227_358e-1,
        1.487_536_129_085_061_5e-2,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_8e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ],
];

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal};

    /// Deviates to 50 digits, `tests/golden/normal.py`.
    #[test]
    fn cross_normal_quantile() {
        for line in include_str!("../tests/golden/normal.csv").lines().skip(1) {
            let n: Vec<f64> = line.split(',').map(|word| word.parse().expect("number")).collect();
            let [share, whole, within] = n[..] else { panic!("{line}") };
            for (told, exact) in
                [(normal_quantile(share), whole), (normal_within_three_sigma(share), within)]
            {
                assert!((told - exact).abs() <= 1e-15 * exact.abs(), "{line}: {told}");
            }
        }
        assert_eq!([0.0, 1.0].map(normal_quantile), [f64::NEG_INFINITY, f64::INFINITY]);
        for (end, exact) in [(0.0, -3.0), (1.0, 3.0)] {
            assert!((normal_within_three_sigma(end) - exact).abs() <= 3e-15);
        }
        assert!(normal_quantile(-1e-9).is_nan() && normal_quantile(1.1).is_nan());
    }

    /// Between the shares of the table, by the inverse of the complementary error function of `statrs`,
    /// and that it never falls.
    #[test]
    fn cross_normal_quantile_against_statrs() {
        let normal = Normal::standard();
        let mut last = f64::NEG_INFINITY;
        for k in 1..100_000 {
            let share = f64::from(k) / 1e5;
            let (told, other) = (normal_quantile(share), normal.inverse_cdf(share));
            assert!((told - other).abs() < 1e-13 * other.abs().max(0.1), "{share}: {told} {other}");
            assert!(told > last);
            last = told;
        }
    }
}
