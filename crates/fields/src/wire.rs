//! The straight conductor.

use std::f64::consts::PI;

use crate::batch::add_each;
use crate::cylinder::radius;
use crate::error::{finite, positive};
use crate::{FieldError, MU_0, Points, Source, VectorsMut};

/// A straight round conductor along z, its middle in the origin.
///
/// It is part of a circuit: how the current comes and goes is not its own. Within its radius the field
/// falls to zero on the axis in proportion to the distance from it, as with a current spread evenly over a
/// long conductor's section; near the ends that is a finite value in place of an edge's.
///
/// Accuracy against quadrature of Biot and Savart's law: 1e-12 of |B| from its surface to 100 lengths
/// (`cross_biot_savart`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Radius, m.
    pub radius: f64,
    /// Half of the length, m.
    pub half_length: f64,
    /// Current along z, A.
    pub current: f64,
}

impl Wire {
    /// # Errors
    /// A radius or a half length that is not a positive length, a current that is not finite.
    pub fn new(radius: f64, half_length: f64, current: f64) -> Result<Self, FieldError> {
        positive("radius", radius)?;
        positive("half length", half_length)?;
        finite("current", current)?;
        Ok(Self { radius, half_length, current })
    }

    /// `B_φ = μ0 I/(4π ρ) · [a/√(a² + ρ²) − b/√(b² + ρ²)]` with a = z + h and b = z − h.
    ///
    /// | symbol | argument | unit | range |
    /// |---|---|---|---|
    /// | I | `current`, along +z | A | any |
    /// | h | `half_length` | m | > 0 |
    /// | ρ, z | `point`, from the axis and the middle | m | any |
    ///
    /// Beyond the ends the bracket cancels; there it is `4 z h ρ²/(r r' (a r' + b r))`, the same.
    ///
    /// Source: `[jackson1999]` 5.2.
    fn b(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let (h, z) = (self.half_length, z.abs());
        let rho = x.hypot(y).max(self.radius);
        let (a, b) = (z + h, z - h);
        let (far, near) = (a.hypot(rho), b.hypot(rho));
        let per_square = if b > 0.0 {
            // In shares of the greater length, so that nothing overflows.
            4.0 * (z / far) * (h / near) / (a * near + b * far)
        } else {
            (a / far - b / near) / rho / rho
        };
        let strength = MU_0 * self.current / (4.0 * PI) * per_square;
        [-strength * y, strength * x, 0.0]
    }
}

impl Source for Wire {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        add_each(at, out, |point| self.b(point));
    }
    fn bounding_radius(&self) -> f64 {
        self.radius.hypot(self.half_length)
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        let (out, up) = (radius(point) - self.radius, point[2].abs() - self.half_length);
        out.max(0.0).hypot(up.max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quadrature::{GAUSS_16, moved};
    use proptest::prelude::*;

    const WIRE: Wire = Wire { radius: 0.5e-3, half_length: 40e-3, current: 12.0 };

    /// The law of Biot and Savart, `μ0 I/4π ∫ dz × r/r³`, over pieces that shrink towards the point's height.
    fn biot_savart(wire: &Wire, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let h = wire.half_length;
        let rho = x.hypot(y);
        let mut cuts = vec![-h, h, z.clamp(-h, h)];
        for k in 0..60 {
            let step = rho * 0.25 * 1.4f64.powi(k);
            cuts.extend([(z - step).clamp(-h, h), (z + step).clamp(-h, h)]);
        }
        cuts.sort_by(f64::total_cmp);
        let sum: f64 = cuts
            .windows(2)
            .flat_map(|ends| GAUSS_16.iter().map(|&(node, w)| moved(ends[0], ends[1], node, w)))
            .map(|(at, w)| w / (rho * rho + (z - at).powi(2)).powf(1.5))
            .sum();
        let strength = MU_0 * wire.current / (4.0 * PI) * sum;
        [-strength * y, strength * x, 0.0]
    }

    fn size(v: [f64; 3]) -> f64 {
        v[0].hypot(v[1]).hypot(v[2])
    }

    #[test]
    fn cross_biot_savart() {
        let mut compared = 0;
        for rho in [0.5e-3, 2e-3, 30e-3, 0.4, 8.0] {
            for z in [0.0, 10e-3, 39.9e-3, 40e-3, 40.1e-3, 55e-3, -70e-3, 0.5, 8.0] {
                let point = [0.6 * rho, -0.8 * rho, z];
                let (is, wanted) = (WIRE.b(point), biot_savart(&WIRE, point));
                let off = std::array::from_fn(|i| is[i] - wanted[i]);
                assert!(size(off) <= 1e-12 * size(wanted), "{point:?}: {is:?} {wanted:?}");
                compared += 1;
            }
        }
        assert_eq!(compared, 45);
    }

    /// Beside a long conductor μ0 I/(2π r): 10 A at 20 mm make 0.1 mT.
    #[test]
    fn val_long_conductor() {
        let wire = Wire::new(0.5e-3, 1e4, 10.0).expect("a wire");
        for r in [0.5e-3, 20e-3, 1.0, 10.0] {
            let [x, y, z] = wire.b([r, 0.0, 3.0]);
            let wanted = MU_0 * 10.0 / (2.0 * PI * r);
            assert!(x.abs() + z.abs() == 0.0 && (y / wanted - 1.0).abs() < 1e-6, "{y} {wanted}");
        }
        assert!((wire.b([0.02, 0.0, 0.0])[1] - 1e-4).abs() < 1e-12);
    }

    /// Inside an even current the field is that of the current within: proportional to the distance.
    #[test]
    fn law_inside_it_rises_in_proportion_and_nothing_is_infinite() {
        let edge = WIRE.b([0.5e-3, 0.0, 0.0])[1];
        assert!((WIRE.b([0.25e-3, 0.0, 0.0])[1] / edge - 0.5).abs() < 1e-12);
        for z in [0.0, 40e-3, 41e-3, -40e-3, 1e3, 1e200] {
            assert_eq!(WIRE.b([0.0, 0.0, z]).map(f64::abs), [0.0; 3]);
        }
        assert!(Wire::new(0.0, 1.0, 1.0).is_err() && Wire::new(1.0, 1.0, f64::NAN).is_err());
        assert!(WIRE.b([1e200, 1e200, 1e200]).iter().all(|b| b.is_finite()));
        assert!((WIRE.clearance([0.0, 3e-3, 44e-3]) - 2.5e-3f64.hypot(4e-3)).abs() < 1e-16);
        assert_eq!(
            (WIRE.clearance([0.0; 3]), WIRE.bounding_radius()),
            (0.0, 0.5e-3f64.hypot(40e-3))
        );
    }

    proptest! {
        /// Two halves end to end are the whole.
        #[test]
        fn law_halves_add_up(x in -0.1..0.1f64, y in 1e-3..0.1f64, z in -0.2..0.2f64) {
            let half = Wire { half_length: 20e-3, ..WIRE };
            let (up, down) = (half.b([x, y, z - 20e-3]), half.b([x, y, z + 20e-3]));
            let whole = WIRE.b([x, y, z]);
            let off = std::array::from_fn(|i| up[i] + down[i] - whole[i]);
            prop_assert!(size(off) <= 1e-12 * size(whole));
        }
    }
}
