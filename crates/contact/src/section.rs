//! What the flat cross-sections do: the round tube that stands for a rectangle, and the flux beside
//! the gap.

use crate::geometry::Geometry;
use reedmace_units::Quantity;
use std::f64::consts::{FRAC_PI_2, PI};

/// Radius of the round tube with the same logarithmic capacity as a rectangle `width` × `thickness`,
/// m: seen from outside, the two hold the same flux at the same potential.
///
/// With sides in the ratio (E(m) − (1−m) K(m)) : (E(1−m) − m K(1−m)) the radius is
/// `long side / 4 (E(1−m) − m K(1−m))`; a thin strip gives w/4.
///
/// Source: conformal map of the outside of a rectangle, `[bickley1934]`. Accuracy: 1e-12, the square's
/// Γ(1/4)²/(4 π^{3/2}) in `val_square_capacity`.
pub(crate) fn equivalent_radius(width: f64, thickness: f64) -> f64 {
    let (long, short) = (width.max(thickness), width.min(thickness));
    let side = |m: f64| {
        let (k, e) = elliptic(m);
        e - (1.0 - m) * k
    };
    // The ratio of the sides rises from 0 at m = 0 to 1 at m = 1/2. Halving the interval 60 times
    // leaves nothing to gain.
    let (mut lo, mut hi) = (0.0, 0.5);
    for _ in 0..60 {
        let m = 0.5 * (lo + hi);
        if side(m) * long < side(1.0 - m) * short { lo = m } else { hi = m }
    }
    long / (4.0 * side(1.0 - 0.5 * (lo + hi)))
}

/// Permeance over μ0 of the flux that crosses beside the gap, along all four edges of the overlap, m.
///
/// Per length of edge, `[1 + ln(2π w/g) + ln(1 + 2t/g + 2√(t/g + t²/g²))] / 2π`: half of what the two
/// long edges of a pair of equal bars w wide and t thick at a distance g add to their w/g.
///
/// Source: the fringe of a pair of bars in `[leus2004]`. Accuracy: with it the absolute gap flux is
/// within 1 % of finite elements at gaps of 5 and 50 µm, `cross_fem`; without, 15 % high.
pub(crate) fn fringe(geometry: &Geometry) -> f64 {
    let (w, t, g) = (geometry.blade_width.si(), geometry.blade_thickness.si(), geometry.gap.si());
    let edges = 2.0 * (w + geometry.overlap.si());
    let ratio = t / g;
    let near = (2.0 * PI * w / g).ln();
    let sides = (2.0 * ratio + 2.0 * (ratio + ratio * ratio).sqrt()).ln_1p();
    edges * (1.0 + near + sides) / (2.0 * PI)
}

/// How [`fringe`] falls as the gap widens, per metre: `−edges/(2π g) · (1 + √(t/(t + g)))`.
pub(crate) fn fringe_slope(geometry: &Geometry) -> f64 {
    let (w, t, g) = (geometry.blade_width.si(), geometry.blade_thickness.si(), geometry.gap.si());
    let edges = 2.0 * (w + geometry.overlap.si());
    -edges / (2.0 * PI * g) * (1.0 + (t / (t + g)).sqrt())
}

/// Area from which the overlap gathers a field along the gap normal, m².
///
/// A bar w wide and h high, of high permeability, gathers the flux of a width w + h from a field
/// along h (its demagnetizing factor taken as the ellipse's, w/(w + h) `[osborn1945]`); each end adds
/// a quarter of the height, half of what a free end would, since one blade goes on there.
///
/// Accuracy: the transverse response is within 0.0005 of the axial one of finite elements, open and
/// closed, `cross_fem`; the end term has no other check than that.
pub(crate) fn transverse_area(geometry: &Geometry) -> f64 {
    let height = (geometry.blade_thickness * 2.0 + geometry.gap).si();
    (geometry.blade_width.si() + height) * (geometry.overlap.si() + 0.5 * height)
}

/// Complete elliptic integrals K(m) and E(m), 0 ≤ m < 1, by the arithmetic-geometric mean
/// `[dlmf]`, 19.8.
fn elliptic(m: f64) -> (f64, f64) {
    let (mut a, mut b, mut c2, mut power, mut sum) = (1.0, (1.0 - m).sqrt(), m, 0.5, 0.0);
    for _ in 0..12 {
        sum += power * c2;
        if c2 < 1e-32 {
            break;
        }
        let half_difference: f64 = 0.5 * (a - b);
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
        c2 = half_difference * half_difference;
        power *= 2.0;
    }
    let k = FRAC_PI_2 / a;
    (k, k * (1.0 - sum))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_square_capacity() {
        // Γ(1/4)²/(4 π^{3/2}), the published capacity of a unit square
        let gamma_quarter: f64 = 3.625_609_908_221_908;
        let want = gamma_quarter * gamma_quarter / (4.0 * PI.powf(1.5));
        assert!((equivalent_radius(1.0, 1.0) - want).abs() < 1e-12);
    }

    #[test]
    fn prop_thin_strip_is_a_quarter_of_its_width() {
        assert!((equivalent_radius(1.0, 1e-9) - 0.25).abs() < 1e-8);
        assert_eq!(equivalent_radius(2.0, 3.0), equivalent_radius(3.0, 2.0));
    }

    #[test]
    fn cross_boundary_elements() {
        // two-dimensional boundary elements, 600 edge-graded panels, Aitken limit good to 1e-6
        for (w, t, want) in [(1.3, 0.22, 0.421_923), (1.3, 0.49, 0.516_425), (1.0, 0.3, 0.371_261)]
        {
            assert!((equivalent_radius(w, t) - want).abs() < 3e-6, "{w} {t}");
        }
    }
}
