//! The uniformly polarized sphere: a dipole outside, uniform inside.

/// B of a sphere of radius `radius` (m) and polarization `j` (T); 2/3 J inside, the mean on its surface.
///
/// `B = (a/r)³ (n (J·n) − J/3)` outside (`[jackson1999]` 5.10). Accuracy: 8e-16, `cross_mpmath_sphere`.
pub(crate) fn sphere_b(radius: f64, j: [f64; 3], point: [f64; 3]) -> [f64; 3] {
    let p = point.map(|c| c / radius);
    let r2 = p[0] * p[0] + p[1] * p[1] + p[2] * p[2];
    let inside = j.map(|c| 2.0 / 3.0 * c);
    if r2 < 1.0 {
        return inside;
    }
    let dot = p[0] * j[0] + p[1] * j[1] + p[2] * j[2];
    let r5 = r2 * r2 * r2.sqrt();
    let outside: [f64; 3] = std::array::from_fn(|i| (p[i] * dot - j[i] * r2 / 3.0) / r5);
    if r2 > 1.0 { outside } else { std::array::from_fn(|i| 0.5 * (inside[i] + outside[i])) }
}
