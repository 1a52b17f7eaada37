//! The thick coil.

use std::cell::LazyCell;

use crate::batch::add_each;
use crate::cylinder::radius;
use crate::error::{finite, tube};
use crate::magnet::tube_clearance;
use crate::winding::winding_tensor;
use crate::zonal::{Zonal, is_far};
use crate::{FieldError, MU_0, Points, Source, VectorsMut};

/// A thick coil about z with uniform current density over its rectangular section.
///
/// Accuracy against 30-digit quadrature: 3e-15 of |B|, also inside the winding and at its edges
/// (`cross_mpmath_coil`).
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

impl Source for Coil {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        let (extent, zonal) = (
            self.bounding_radius(),
            LazyCell::new(|| {
                Zonal::winding(self.inner_radius, self.outer_radius, self.half_length)
            }),
        );
        let j = [0.0, 0.0, MU_0 * self.ampere_turns / (2.0 * self.half_length)];
        add_each(at, out, |p| {
            let rho = radius(p);
            if is_far(extent, rho, p[2]) {
                zonal.tensor(rho, p[2]).b(j, p, 0.0)
            } else {
                winding_tensor(self.inner_radius, self.outer_radius, self.half_length, rho, p[2])
                    .b(j, p, 0.0)
            }
        });
    }
    fn bounding_radius(&self) -> f64 {
        self.outer_radius.hypot(self.half_length)
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        tube_clearance(self.inner_radius, self.outer_radius, self.half_length, point)
    }
}
