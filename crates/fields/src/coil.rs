//! The thick coil.

use crate::cylinder::radius;
use crate::error::{finite, tube};
use crate::forms::{BLOCK, Form, Lane, Law, Room, add_law};
use crate::magnet::tube_clearance;
use crate::math::{greater, lesser};
use crate::quadrature::GAUSS_16;
use crate::round::{LEAST_KC2, NEAR_FIELD, Wall, spread};
use crate::winding::winding_tensor;
use crate::zonal::{FAR, Zonal, is_far};
use crate::{FieldError, MU_0, Points, Source, VectorsMut};

/// A thick coil about z with uniform current density over its rectangular section.
///
/// Accuracy against 30-digit quadrature: 6e-15 of |B|, also inside the winding and at its edges
/// (`cross_mpmath_coil`); the form that serves most near points is within 4e-14 of the one measured there
/// (`cross_forms_coil`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// Inner radius of the winding, m.
    pub inner_radius: f64,
    /// Outer radius of the winding, m.
    pub outer_radius: f64,
    /// Half of the length, m.
    pub half_length: f64,
    /// Turns times current, right-handed about z, A.
    pub ampere_turns: f64,
}

impl Coil {
    /// # Errors
    /// A size that is not a positive length, inner radius not below outer, ampere-turns not finite.
    pub fn new(
        inner_radius: f64,
        outer_radius: f64,
        half_length: f64,
        ampere_turns: f64,
    ) -> Result<Self, FieldError> {
        tube(inner_radius, outer_radius, half_length)?;
        finite("ampere-turns", ampere_turns)?;
        Ok(Self { inner_radius, outer_radius, half_length, ampere_turns })
    }
}

/// Layers of the near form: thin sheets at the nodes of a Gauss rule over the radius.
const LAYERS: usize = 16;

/// The distances from the point ρ + iu to both radii of the winding, over its thickness, add up to this
/// at least where [`LAYERS`] serve: there the rule errs by 2.57^-32 = 1e-13 of what the section's end does.
const CLEAR: f64 = 1.48;

/// A coil's law.
struct CoilLaw {
    coil: Coil,
    /// The sheets' radii (m) and shares.
    layers: [(f64, f64); LAYERS],
    zonal: Zonal,
    /// μ0 N I/(2 half_length) along z, T.
    j: [f64; 3],
    /// Squared distances up to which the near form serves and from which the series does, m².
    near: f64,
    far: f64,
}

impl CoilLaw {
    /// For these points.
    fn new(coil: Coil, at: Points<'_>) -> Self {
        let Coil { inner_radius, outer_radius, half_length, ampere_turns } = coil;
        // A winding's series is not a ring's.
        let sizes = [-inner_radius, outer_radius, half_length];
        let zonal = Zonal::if_far(coil.bounding_radius(), at, sizes, || {
            Zonal::winding(inner_radius, outer_radius, half_length)
        });
        let (middle, half) =
            (0.5 * (inner_radius + outer_radius), 0.5 * (outer_radius - inner_radius));
        let layers = GAUSS_16.map(|(x, w)| (middle + half * x, 0.5 * w));
        let far = (FAR * zonal.extent).powi(2);
        let near = (0.5 * middle * middle * half_length / NEAR_FIELD).cbrt().powi(2).min(far);
        let j = [0.0, 0.0, MU_0 * ampere_turns / (2.0 * half_length)];
        Self { coil, layers, zonal, j, near, far }
    }

    #[inline(always)]
    fn layer(&self, (radius, factor): (f64, f64)) -> Wall<true> {
        Wall { radius, half_length: self.coil.half_length, factor }
    }
}

impl Law<3> for CoilLaw {
    #[inline(always)]
    fn form(&self, [x, y, z]: [f64; 3]) -> Form {
        let Coil { inner_radius, outer_radius, half_length, .. } = self.coil;
        let rho2 = x * x + y * y;
        let (rho, r2) = (rho2.sqrt(), rho2 + z * z);
        let u = z.abs() - half_length;
        let (below, above) = (rho - inner_radius, rho - outer_radius);
        let apart = (below * below + u * u).sqrt() + (above * above + u * u).sqrt();
        let clear = (apart > CLEAR * (outer_radius - inner_radius))
            & ((u > 0.0) | (below < 0.0) | (above > 0.0));
        // The sheet nearest the point is the hardest for five means.
        let a = lesser(greater(rho, inner_radius), outer_radius);
        let (gap, sum) = (a - rho, a + rho);
        let served = gap * gap + u * u > LEAST_KC2 * (sum * sum + u * u);
        // The square guards what follows from overflow; out there the series has one term.
        if (r2 < self.near) & clear & served {
            Form::Quick
        } else if (r2 > self.far) & (r2 < 1e24 * self.far) {
            Form::Far
        } else {
            Form::Careful
        }
    }

    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 3] {
        let rho = (point[0] * point[0] + point[1] * point[1]).sqrt();
        let sum = self
            .layers
            .iter()
            .fold([0.0; 3], |sum, layer| self.layer(*layer).plus_wall(rho, point[2], sum));
        spread::<true>(self.j, point, rho, sum, 0.0)
    }

    #[inline(always)]
    fn quick_block(&self, n: usize, at: &[Lane; 3], out: &mut [Lane; 3], room: &mut Room) {
        assert!(n <= BLOCK, "more than a block");
        let [rho, rest @ ..] = room;
        for k in 0..n {
            rho[k] = (at[0][k] * at[0][k] + at[1][k] * at[1][k]).sqrt();
            for out in &mut *out {
                out[k] = 0.0;
            }
        }
        for layer in self.layers {
            self.layer(layer).add_block(n, rho, &at[2], out, rest);
        }
        for k in 0..n {
            let (point, sum) = ([at[0][k], at[1][k], at[2][k]], [out[0][k], out[1][k], out[2][k]]);
            let b = spread::<true>(self.j, point, rho[k], sum, 0.0);
            for c in 0..3 {
                out[c][k] = b[c];
            }
        }
    }

    #[inline(always)]
    fn far(&self, point: [f64; 3]) -> [f64; 3] {
        let rho = (point[0] * point[0] + point[1] * point[1]).sqrt();
        spread::<true>(self.j, point, rho, self.zonal.terms(rho, point[2]), 0.0)
    }

    fn careful(&self, point: [f64; 3]) -> [f64; 3] {
        let (rho, z) = (radius(point), point[2]);
        let Coil { inner_radius, outer_radius, half_length, .. } = self.coil;
        let tensor = if is_far(self.zonal.extent, rho, z) {
            self.zonal.tensor(rho, z)
        } else {
            winding_tensor(inner_radius, outer_radius, half_length, rho, z)
        };
        tensor.b(self.j, point, 0.0)
    }
}

impl Source for Coil {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        add_law(&CoilLaw::new(*self, at), at, [out.x, out.y, out.z]);
    }
    fn bounding_radius(&self) -> f64 {
        self.outer_radius.hypot(self.half_length)
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        tube_clearance(self.inner_radius, self.outer_radius, self.half_length, point)
    }
}

#[cfg(test)]
mod tests {
    use super::{Coil, CoilLaw};
    use crate::forms::tests::{check_forms, points, table};

    #[test]
    fn cross_forms_coil() {
        let mut table = table("fields_forms_coil", "thick coil");
        for (inner, half_length) in [(0.5, 1.0), (0.9, 2.0), (0.1, 0.2)] {
            let coil = Coil::new(inner, 1.0, half_length, 2e6 * half_length).unwrap();
            let name = format!("inner radius {inner}, half length {half_length}");
            let half = [1.0, 1.0, half_length];
            let law = CoilLaw::new(coil, points(half).points());
            check_forms(&mut table, &name, &law, half, 1e-12);
        }
        table.finish();
    }
}
