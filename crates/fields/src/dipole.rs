//! The magnetic point dipole.

use std::f64::consts::PI;

use crate::error::finite;
use crate::forms::{Law, add_law};
use crate::gradient::{Gradient, GradientsMut};
use crate::math::greater;
use crate::{FieldError, MU_0, Points, Source, VectorsMut};

/// A point dipole at the origin.
///
/// At the dipole itself, where no value is right, B is zero. Accuracy: 1e-15 of |B|
/// (`prop_dipole_is_a_sphere`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dipole {
    /// Magnetic moment, A·m².
    pub moment: [f64; 3],
}

impl Dipole {
    /// # Errors
    /// A moment that is not finite.
    pub fn new(moment: [f64; 3]) -> Result<Self, FieldError> {
        for component in moment {
            finite("moment", component)?;
        }
        Ok(Self { moment })
    }

    fn law(&self) -> PointLaw {
        PointLaw { strength: self.moment.map(|m| m * (MU_0 / (4.0 * PI))) }
    }
}

/// `B = (3 x (s·x)/r² − s)/r³` with `s = μ0 m/4π`, T·m³ (`[jackson1999]` 5.56).
pub(crate) struct PointLaw {
    pub strength: [f64; 3],
}

impl Law<3> for PointLaw {
    const ONE_FORM: bool = true;
    #[inline(always)]
    fn quick(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let s = self.strength;
        let r2 = x * x + y * y + z * z;
        let per_r2 = if r2 > 0.0 { 1.0 / greater(r2, f64::MIN_POSITIVE) } else { 0.0 };
        let per_r3 = per_r2 * per_r2.sqrt();
        let along = 3.0 * (x * s[0] + y * s[1] + z * s[2]) * per_r2;
        [(x * along - s[0]) * per_r3, (y * along - s[1]) * per_r3, (z * along - s[2]) * per_r3]
    }
}

/// `∂B_i/∂x_k = 3 (δ_ik s·x + x_i s_k + x_k s_i)/r⁵ − 15 x_i x_k (s·x)/r⁷`.
impl Law<6> for PointLaw {
    const ONE_FORM: bool = true;
    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 6] {
        dipole_gradient(self.strength, point)
    }
}

/// The gradient `xx yy zz xy yz zx` of a dipole of strength `μ0 m/4π`.
#[inline(always)]
pub(crate) fn dipole_gradient(s: [f64; 3], [x, y, z]: [f64; 3]) -> [f64; 6] {
    let r2 = x * x + y * y + z * z;
    let per_r2 = if r2 > 0.0 { 1.0 / greater(r2, f64::MIN_POSITIVE) } else { 0.0 };
    let per_r5 = 3.0 * per_r2 * per_r2 * per_r2.sqrt();
    let dot = x * s[0] + y * s[1] + z * s[2];
    let five = 5.0 * dot * per_r2;
    [
        (dot + 2.0 * x * s[0] - five * x * x) * per_r5,
        (dot + 2.0 * y * s[1] - five * y * y) * per_r5,
        (dot + 2.0 * z * s[2] - five * z * z) * per_r5,
        (x * s[1] + y * s[0] - five * x * y) * per_r5,
        (y * s[2] + z * s[1] - five * y * z) * per_r5,
        (z * s[0] + x * s[2] - five * z * x) * per_r5,
    ]
}

impl Source for Dipole {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        add_law::<3>(&self.law(), at, [out.x, out.y, out.z]);
    }
    fn bounding_radius(&self) -> f64 {
        0.0
    }
    fn clearance(&self, [x, y, z]: [f64; 3]) -> f64 {
        x.hypot(y).hypot(z)
    }
}

impl Gradient for Dipole {
    fn add_gradient(&self, at: Points<'_>, out: GradientsMut<'_>) {
        add_law::<6>(&self.law(), at, out.slices());
    }
}
