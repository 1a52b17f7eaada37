//! The circular current filament.

use std::f64::consts::PI;

use crate::cylinder::radius;
use crate::error::{finite, positive};
use crate::forms::{Law, add_law};
use crate::gradient::{Gradient, GradientsMut};
use crate::math::{elliptic_k_s, greater};
use crate::{FieldError, MU_0, Points, Source, VectorsMut};

/// A circular current filament about z in the plane z = 0.
///
/// Accuracy against 50-digit closed forms: 8e-15 of |B| from the axis to 5,000 radii, 3e-15 at 1e-6 radii
/// from the wire (`cross_mpmath_loop`). On the wire itself a finite value stands for the limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loop {
    /// Radius, m.
    pub radius: f64,
    /// Current, right-handed about z, A.
    pub current: f64,
}

impl Loop {
    /// # Errors
    /// A radius that is not a positive length, a current that is not finite.
    pub fn new(radius: f64, current: f64) -> Result<Self, FieldError> {
        positive("radius", radius)?;
        finite("current", current)?;
        Ok(Self { radius, current })
    }
}

/// A loop's law: radius (m), and μ0 I/(π a) (T).
struct Filament {
    radius: f64,
    strength: f64,
}

/// B_z and B_ρ/ρ of a loop over `μ0 I/(π a)`, and the integral `−4 s/β³`; lengths in radii, `gap` = 1 − ρ.
///
/// With α² = (a − ρ)² + z², β² = (a + ρ)² + z², k² = 4aρ/β² and s of [`elliptic_k_s`]:
/// `B_z = μ0 I a²/(π β α²) · [K (a² − ρ² + z²)/β² + 4ρ² s (ρ² + z² − a²)/β⁴]`,
/// `B_ρ = μ0 I a² ρ z/(π β³ α²) · 2 [K − (1 + α²/β²) s]`.
/// The usual form (`[smythe1989]` 7.10) is the same with E written out; it cancels near the axis and
/// afar, this does not. On the wire the value 1e-16 radii away from it stands, averaged round it: the
/// limit of the part that stays finite.
#[inline(always)]
pub(crate) fn loop_field(rho: f64, gap: f64, z: f64) -> [f64; 3] {
    let sum = 1.0 + rho;
    let z2 = z * z;
    let beta2 = sum * sum + z2;
    let alpha2 = gap * gap + z2 + 1e-32;
    let per_beta2 = 1.0 / beta2;
    let kc2 = alpha2 * per_beta2;
    let (k, s) = elliptic_k_s(kc2);
    let per_beta3 = per_beta2 / beta2.sqrt();
    let scale = per_beta3 / alpha2;
    // 1 − ρ² + z² and ρ² + z² − 1 without cancellation on the mantle.
    let inside = gap * sum;
    let axial = k * (inside + z2) + 4.0 * (rho * rho * per_beta2) * s * (z2 - inside);
    // B_ρ/ρ, so that the axis needs no case of its own.
    [scale * axial, 2.0 * z * (k - (1.0 + kc2) * s) * scale, -4.0 * s * per_beta3]
}

impl Law<3> for Filament {
    const ONE_FORM: bool = true;

    #[inline(always)]
    fn quick(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let per_radius = 1.0 / self.radius;
        let rho = (x * x + y * y).sqrt();
        // The difference before scaling: near the wire it is exact.
        let gap = (self.radius - rho) * per_radius;
        let [axial, radial, _] = loop_field(rho * per_radius, gap, z * per_radius);
        let radial = radial * self.strength * per_radius;
        [radial * x, radial * y, self.strength * axial]
    }
}

/// Slopes along z of a loop's B_z and B_ρ and its B_ρ/ρ, over `μ0 I/(π a)`; lengths in radii.
///
/// Differentiating the forms above with `dK/dm = (K − D)/2m'`, `m ds/dm = (D − 4s + 3ms)/2m'`, m = k²,
/// D = (K + ms)/2. Curl and divergence give the other slopes.
#[inline(always)]
pub(crate) fn loop_slopes(rho: f64, gap: f64, z: f64) -> [f64; 3] {
    let sum = 1.0 + rho;
    let z2 = z * z;
    let beta2 = sum * sum + z2;
    let alpha2 = gap * gap + z2 + 1e-32;
    let per_beta2 = 1.0 / beta2;
    let m1 = alpha2 * per_beta2;
    let m = 4.0 * rho * per_beta2;
    let (k, s) = elliptic_k_s(m1);
    let d = 0.5 * (k + m * s);
    let scale = per_beta2 / (beta2.sqrt() * alpha2);
    let scale_z = -z * scale * (3.0 * per_beta2 + 2.0 / alpha2);
    let turn = -z * per_beta2 / m1;
    let (k_z, s_z) = (turn * m * (k - d), turn * (d - 4.0 * s + 3.0 * m * s));
    let m_z = -2.0 * z * m * per_beta2;
    let inside = gap * sum;
    let (plus, minus) = (inside + z2, z2 - inside);
    let ring = 4.0 * rho * rho * per_beta2;
    let n = k * plus + ring * s * minus;
    let n_z =
        k_z * plus + 2.0 * z * k + ring * (s_z * minus + 2.0 * z * s * (1.0 - minus * per_beta2));
    let r = k - (1.0 + m1) * s;
    let r_z = k_z - (1.0 + m1) * s_z + m_z * s;
    [
        scale_z * n + scale * n_z,
        rho * 2.0 * (scale_z * z * r + scale * (r + z * r_z)),
        2.0 * z * r * scale,
    ]
}

/// The gradient `xx yy zz xy yz zx` of an axially symmetric field by its slopes `∂B_z/∂z`, `∂B_ρ/∂z` and
/// `B_ρ/ρ`, at an angle of cosine `c` and sine `s` round the axis.
#[inline(always)]
pub(crate) fn round_field_gradient([zz, zr, over]: [f64; 3], c: f64, s: f64) -> [f64; 6] {
    let rr = -(zz + over);
    [c * c * rr + s * s * over, s * s * rr + c * c * over, zz, c * s * (rr - over), s * zr, c * zr]
}

impl Law<6> for Filament {
    const ONE_FORM: bool = true;
    #[inline(always)]
    fn quick(&self, [x, y, z]: [f64; 3]) -> [f64; 6] {
        let per_radius = 1.0 / self.radius;
        let rho = (x * x + y * y).sqrt();
        let gap = (self.radius - rho) * per_radius;
        let per_rho = 1.0 / greater(rho, f64::MIN_POSITIVE);
        let (c, s) = if rho > 0.0 { (x * per_rho, y * per_rho) } else { (1.0, 0.0) };
        let scale = self.strength * per_radius;
        let [a, b, o] = loop_slopes(rho * per_radius, gap, z * per_radius);
        round_field_gradient([a * scale, b * scale, o * scale], c, s)
    }
}

impl Loop {
    fn law(&self) -> Filament {
        Filament { radius: self.radius, strength: MU_0 * self.current / (PI * self.radius) }
    }
}

impl Gradient for Loop {
    fn add_gradient(&self, at: Points<'_>, out: GradientsMut<'_>) {
        add_law::<6>(&self.law(), at, out.slices());
    }
}

impl Source for Loop {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        add_law::<3>(&self.law(), at, [out.x, out.y, out.z]);
    }
    fn bounding_radius(&self) -> f64 {
        self.radius
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        (radius(point) - self.radius).hypot(point[2])
    }
}
