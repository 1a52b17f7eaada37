//! Flux through the air: potential coefficients between the tubes a contact is cut into.

use reedmace_fields::MU_0;

/// A tube: the stretch of a blade or lead that shares one unknown flux into the air.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tube {
    /// Middle, m.
    pub x: f64,
    /// Length, m.
    pub length: f64,
    /// Radius of the round tube that stands for the cross-section, m.
    pub radius: f64,
}

/// Mean over the ring at the middle of `at` of the scalar potential of a unit flux that leaves
/// evenly from the tube `of`, A/Wb.
///
/// The ring mean of the potential of a ring of flux is `1/(4π μ0) (2/π) K(m) / √(z² + (a+b)²)` with
/// `m = 4ab/(z² + (a+b)²)` `[jackson1999]`, section 3.11 for the ring charge; through Gauss' identity
/// for K it is `1/(4π μ0) / agm(p, q)` with p and q the far and near distances between the rings
/// `[dlmf]`, 19.8.5. The integral over the tube splits off the logarithm at z = 0:
/// `1/agm(p, q) ≈ −(2/π p₀) ln(√(z² + δ²))` near the ring, with δ the difference of the radii.
///
/// Accuracy: 1e-6 of the value for segments up to 2 mm long, measured in `cross_quadrature`.
pub(crate) fn potential(at: &Tube, of: &Tube) -> f64 {
    let (sum, difference) = (at.radius + of.radius, at.radius - of.radius);
    let ring =
        |z: f64| 1.0 / agm((z * z + sum * sum).sqrt(), (z * z + difference * difference).sqrt());
    let half = 0.5 * of.length;
    let near = (at.x - of.x).abs() - half; // distance from the ring to the tube's nearer end
    let total = if near > 2.0 * of.length.max(sum) {
        legendre(of.x - half, of.x + half, &GAUSS_4, |x| ring(x - at.x))
    } else {
        // Distances from the ring's plane to both ends of the tube. The integrand peaks, or has its
        // logarithm, in the plane of the ring: put the points there with z = s⁴.
        let (a, b) = (of.x - half - at.x, of.x + half - at.x);
        if a < 0.0 && b > 0.0 {
            graded(0.0, b, &ring) + graded(0.0, -a, &ring)
        } else {
            let (lo, hi) = (a.abs().min(b.abs()), a.abs().max(b.abs()));
            graded(lo, hi, &ring)
        }
    };
    total / (4.0 * std::f64::consts::PI * MU_0 * of.length)
}

/// ∫ f from `lo` to `hi`, 0 ≤ lo < hi, for f smooth but for a logarithm at zero: with z = s⁴ the
/// logarithm is multiplied by s³ and Gauss-Legendre converges fast.
fn graded(lo: f64, hi: f64, f: &impl Fn(f64) -> f64) -> f64 {
    let (s_lo, s_hi) = (lo.powf(0.25), hi.powf(0.25));
    legendre(s_lo, s_hi, &GAUSS_16, |s| 4.0 * s * s * s * f(s * s * s * s))
}

fn legendre(lo: f64, hi: f64, rule: &[(f64, f64)], f: impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (0.5 * (lo + hi), 0.5 * (hi - lo));
    rule.iter().map(|(t, w)| w * (f(middle + half * t) + f(middle - half * t))).sum::<f64>() * half
}

/// Arithmetic-geometric mean of two positive numbers `[dlmf]`, 19.8.1.
fn agm(mut a: f64, mut b: f64) -> f64 {
    while (a - b).abs() > 1e-9 * a {
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
    }
    // The next step is exact to rounding: the difference squares itself.
    0.5 * (a + b)
}

/// Positive nodes and weights of Gauss-Legendre quadrature `[dlmf]`, 3.5.
const GAUSS_4: [(f64, f64); 2] = [
    (0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
];
const GAUSS_16: [(f64, f64); 8] = [
    (0.095_012_509_837_637_44, 0.189_450_610_455_068_5),
    (0.281_603_550_779_258_9, 0.182_603_415_044_923_6),
    (0.458_016_777_657_227_4, 0.169_156_519_395_002_54),
    (0.617_876_244_402_643_7, 0.149_595_988_816_576_73),
    (0.755_404_408_355_003, 0.124_628_971_255_533_87),
    (0.865_631_202_387_831_7, 0.095_158_511_682_492_78),
    (0.944_575_023_073_232_6, 0.062_253_523_938_647_89),
    (0.989_400_934_991_649_9, 0.027_152_459_411_754_095),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Tanh-sinh quadrature from each side of the logarithm.
    fn reference(at: &Tube, of: &Tube) -> f64 {
        let (sum, difference) = (at.radius + of.radius, at.radius - of.radius);
        let ring = |z: f64| {
            1.0 / agm((z * z + sum * sum).sqrt(), (z * z + difference * difference).sqrt())
        };
        let piece = |lo: f64, hi: f64| -> f64 {
            let half = 0.5 * (hi - lo);
            let step = 1.0 / 64.0;
            (-256..=256)
                .map(|k| {
                    let t = k as f64 * step;
                    let u = std::f64::consts::FRAC_PI_2 * t.sinh();
                    // distance from the nearer end, without cancellation
                    let end = half * 2.0 / (1.0 + (2.0 * u.abs()).exp());
                    let z = if u < 0.0 { lo + end } else { hi - end };
                    let z = if z == 0.0 { end } else { z };
                    let w = std::f64::consts::FRAC_PI_2 * t.cosh() / u.cosh().powi(2);
                    if w > 0.0 && end > 0.0 { w * ring(z) } else { 0.0 }
                })
                .sum::<f64>()
                * half
                * step
        };
        let (a, b) = (of.x - 0.5 * of.length - at.x, of.x + 0.5 * of.length - at.x);
        let total = if a < 0.0 && b > 0.0 { piece(a, 0.0) + piece(0.0, b) } else { piece(a, b) };
        total / (4.0 * std::f64::consts::PI * MU_0 * of.length)
    }

    #[test]
    fn cross_quadrature() {
        let radii = [0.275e-3, 0.38e-3, 0.4475e-3, 0.05e-3];
        for length in [0.05e-3, 0.43e-3, 2e-3] {
            for ra in radii {
                for rb in radii {
                    for step in [0.0, 0.5, 0.7, 1.0, 1.7, 2.0, 3.0, 3.5, 5.0, 20.0, 100.0] {
                        let at = Tube { x: 1e-3 + step * length, length, radius: ra };
                        let of = Tube { x: 1e-3, length, radius: rb };
                        let (got, want) = (potential(&at, &of), reference(&at, &of));
                        let error = (got / want - 1.0).abs();
                        assert!(error < 1e-6, "{length} {ra} {rb} {step}: {got} {want} {error:e}");
                    }
                }
            }
        }
    }
}
