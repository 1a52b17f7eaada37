//! Inductance of air-cored coils.

use std::f64::consts::PI;

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
const MU_0: f64 = 1.256_637_061_27e-6;

/// Inductance (H) of a coil of rectangular section, its turns spread evenly over it, in air.
///
/// `L = 2 μ0 N²/(h² c²) ∫∫ r r' ∫ cos φ [h asinh(h/p) − √(h² + p²) + p] dφ dr dr'`,
/// `p² = r² + r'² − 2 r r' cos φ`, φ from 0 to π, both radii from inner to outer, c their difference
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | 2 r | `inner_diameter` to `outer_diameter` | m | 0 ≤ inner < outer |
/// | h | `length` | m | > 0 |
/// | N | `turns` | | > 0 |
///
/// Neumann's integral of two circles `[grover1946]`, summed over the length of both in closed form and over the
/// rest by the double exponential rule `[takahasi1974]`. Current in round wires and the enamel between them change a coil
/// of many turns by less than a per cent (`[grover1946]`, from memory). Iron does more: the blades of a contact
/// raise it severalfold where they are long.
///
/// Accuracy: 1e-6 of the inductance for lengths and heights from 0.02 to 50 times the inner radius,
/// `cross_thick_coils`, against an integral of Bessel and Struve functions.
pub fn thick_coil(inner_diameter: f64, outer_diameter: f64, length: f64, turns: f64) -> f64 {
    let (inner, outer) = (0.5 * inner_diameter, 0.5 * outer_diameter);
    let pair = |r: f64, s: f64| {
        let around = |phi: f64| {
            let half = (0.5 * phi).sin();
            let p = ((r - s).powi(2) + 4.0 * r * s * half * half).sqrt();
            // h asinh(h/p) − √(h²+p²) + p, its last two terms without lost digits.
            let apart = length * length / ((length * length + p * p).sqrt() + p);
            phi.cos() * (length * (length / p).asinh() - apart)
        };
        // Of two circles close together, almost all is near φ = 0.
        r * s * crate::quadrature::integral_by(around, 0.0, PI, 0.125, 26)
    };
    let below = |r: f64| coarse_integral(|s| pair(r, s), inner, r);
    let whole = 2.0 * coarse_integral(below, inner, outer);
    2.0 * MU_0 * (turns / (length * (outer - inner))).powi(2) * whole
}

/// The crate's own rule for integrals with fewer points: three integrals stand inside each other here.
fn coarse_integral(f: impl Fn(f64) -> f64, a: f64, b: f64) -> f64 {
    crate::quadrature::integral_by(f, a, b, 0.25, 12)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thin shells, flat spirals, long and short coils by Bessel and Struve functions, `tests/golden/coils.py`.
    #[test]
    fn cross_thick_coils() {
        for line in include_str!("../tests/golden/coils.csv").lines().skip(1) {
            let row: Vec<f64> =
                line.split(',').map(|cell| cell.parse().expect("a number")).collect();
            let found = thick_coil(2.0 * row[0], 2.0 * row[1], row[2], 1.0);
            assert!((found / row[3] - 1.0).abs() < 1e-6, "{line}: {:e}", found / row[3] - 1.0);
        }
    }

    /// A long thin coil is `μ0 N² A / h` times the coefficient of `[nagaoka1909]`, 1 − 8 a/(3 π h) + (a/h)²/2
    /// to the fourth power of a/h.
    #[test]
    fn cross_long_solenoid() {
        let (radius, length) = (1e-3f64, 40e-3);
        let ratio = radius / length;
        let nagaoka = 1.0 - 8.0 * ratio / (3.0 * PI) + 0.5 * ratio * ratio;
        let law = MU_0 * 500.0 * 500.0 * PI * radius * radius / length * nagaoka;
        // A thickness takes a third of its share of the radius away: 2e-7 here.
        let half = 3e-10;
        let found = thick_coil(2.0 * (radius - half), 2.0 * (radius + half), length, 500.0);
        assert!((found / law - 1.0).abs() < 1e-6, "{}", found / law - 1.0);
    }

    /// The coil of a square section and thrice that side for a mean diameter: 1.6994e-6 a N², a the mean radius;
    /// coefficient of `[grover1946]` from memory, beside the golden of the same shape.
    #[test]
    fn cross_brooks_coil() {
        let found = thick_coil(4e-3, 8e-3, 2e-3, 100.0);
        assert!((found / (1.6994e-6 * 3e-3 * 1e4) - 1.0).abs() < 3e-5);
    }
}
