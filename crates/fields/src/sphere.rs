//! The uniformly polarized sphere: a dipole outside, uniform inside.

use crate::dipole::dipole_gradient;
use crate::forms::{Law, add_law};
use crate::gradient::GradientsMut;
use crate::{Points, VectorsMut};

/// A sphere's law.
struct Sphere {
    radius: f64,
    j: [f64; 3],
}

impl Law<3> for Sphere {
    const ONE_FORM: bool = true;
    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 3] {
        sphere_b(self.radius, self.j, point)
    }
}

/// Adds B of a sphere of radius `radius` (m) and polarization `j` (T).
pub(crate) fn add_sphere(radius: f64, j: [f64; 3], at: Points<'_>, out: VectorsMut<'_>) {
    add_law::<3>(&Sphere { radius, j }, at, [out.x, out.y, out.z]);
}

impl Law<6> for Sphere {
    const ONE_FORM: bool = true;
    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 6] {
        let [x, y, z] = point;
        let a = self.radius;
        let outside = if x * x + y * y + z * z > a * a { 1.0 } else { 0.0 };
        let s = a * a * a / 3.0 * outside;
        dipole_gradient([self.j[0] * s, self.j[1] * s, self.j[2] * s], point)
    }
}

/// Adds the gradient of a sphere's field: a dipole's outside, none inside.
pub(crate) fn add_sphere_gradient(radius: f64, j: [f64; 3], at: Points<'_>, out: GradientsMut<'_>) {
    add_law::<6>(&Sphere { radius, j }, at, out.slices());
}

/// B of a sphere of radius `radius` (m) and polarization `j` (T); 2/3 J inside, the mean on its surface.
///
/// `B = (a/r)³ (n (J·n) − J/3)` outside (`[jackson1999]` 5.10). Accuracy: 1e-15, `cross_mpmath_sphere`.
#[inline(always)]
pub(crate) fn sphere_b(radius: f64, j: [f64; 3], point: [f64; 3]) -> [f64; 3] {
    let per_radius = 1.0 / radius;
    let [x, y, z] = [point[0] * per_radius, point[1] * per_radius, point[2] * per_radius];
    let r2 = x * x + y * y + z * z;
    // Inside, J itself times 2/3 and no part along the point; on the surface half of each.
    let outside = if r2 > 1.0 { 1.0 } else { 0.0 };
    let outside = if r2 == 1.0 { 0.5 } else { outside };
    let per_r2 = 1.0 / (if r2 > 1.0 { r2 } else { 1.0 });
    let per_r3 = per_r2 * per_r2.sqrt() * outside;
    let along = (x * j[0] + y * j[1] + z * j[2]) * per_r3 * per_r2;
    let whole = 2.0 / 3.0 * (1.0 - outside) - per_r3 / 3.0;
    [x * along + j[0] * whole, y * along + j[1] * whole, z * along + j[2] * whole]
}
