//! Floats: how deep they swim, how hard they come back, and where an arm puts them.

use std::f64::consts::PI;

/// Standard acceleration of free fall, m/s², exact by definition. `[nist811]` appendix B.8
pub const GRAVITY: f64 = 9.806_65;

/// The outside of a float, lengths in m. It keeps its attitude: an upright one is guided by its stem, and a
/// ball or a lying cylinder is the same whichever way its arm points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hull {
    /// A cylinder that stands upright, with a bore along its axis.
    Cylinder {
        /// Outer diameter.
        diameter: f64,
        /// Diameter of the bore, less than the outer one; 0 without one.
        bore: f64,
        /// Height.
        height: f64,
    },
    /// A ball, with a bore upright through its middle.
    Ball {
        /// Diameter.
        diameter: f64,
        /// Diameter of the bore; 0 without one.
        bore: f64,
    },
    /// A cylinder that lies along the pivot of its arm.
    Lying {
        /// Diameter.
        diameter: f64,
        /// Length.
        length: f64,
    },
}

impl Hull {
    /// Height from its underside to its top.
    pub fn height(self) -> f64 {
        match self {
            Self::Cylinder { height, .. } => height,
            Self::Ball { diameter, bore } => (diameter * diameter - bore * bore).sqrt(),
            Self::Lying { diameter, .. } => diameter,
        }
    }

    /// Volume that it displaces when it is in the liquid to a depth above its underside.
    ///
    /// A bored ball is a sphere less the bore and what the bore cuts off at either end: between the two planes
    /// its sections are rings of area π(c² − y²), c half its height.
    pub fn displaced(self, depth: f64) -> f64 {
        let depth = depth.clamp(0.0, self.height());
        match self {
            Self::Cylinder { diameter, bore, .. } => {
                PI / 4.0 * (diameter * diameter - bore * bore) * depth
            }
            Self::Ball { .. } => PI * depth * depth * (1.5 * self.height() - depth) / 3.0,
            Self::Lying { diameter, length } => {
                length * crate::tank::segment(0.5 * diameter, depth - 0.5 * diameter)
            }
        }
    }

    /// Area that the surface of the liquid cuts out of it at a depth.
    pub fn waterplane(self, depth: f64) -> f64 {
        if !(0.0..=self.height()).contains(&depth) {
            return 0.0;
        }
        match self {
            Self::Cylinder { diameter, bore, .. } => PI / 4.0 * (diameter * diameter - bore * bore),
            Self::Ball { .. } => PI * depth * (self.height() - depth),
            Self::Lying { diameter, length } => 2.0 * length * (depth * (diameter - depth)).sqrt(),
        }
    }

    /// How deep it swims with a mass (kg) in a liquid of a density (kg/m³): from its underside to the surface,
    /// m. `None` where it sinks.
    ///
    /// Archimedes: the displaced liquid weighs what the float weighs. Surface tension and the weight of the air
    /// above are left out. Accuracy: rounding, `prop_displaces_its_mass`.
    pub fn draught(self, mass: f64, density: f64) -> Option<f64> {
        let (height, wanted) = (self.height(), mass / density);
        if wanted > self.displaced(height) {
            return None;
        }
        if let Self::Cylinder { .. } = self {
            return Some(wanted / self.waterplane(0.0));
        }
        // The volume rises with the depth: halve, and step along the waterplane where that stays inside.
        let (mut low, mut high) = (0.0, height);
        let mut depth = 0.5 * height;
        for _ in 0..200 {
            let over = self.displaced(depth) - wanted;
            if over > 0.0 {
                high = depth
            } else {
                low = depth
            }
            let step = depth - over / self.waterplane(depth);
            let next = if step > low && step < high { step } else { 0.5 * (low + high) };
            if (next - depth).abs() <= 1e-15 * height {
                return Some(next);
            }
            depth = next;
        }
        Some(depth)
    }

    /// Force that brings it back, per depth, N/m: weight of the slice of liquid at its waterplane.
    pub fn stiffness(self, draught: f64, density: f64) -> f64 {
        density * GRAVITY * self.waterplane(draught)
    }
}

/// An arm with a float at its end, lengths in m.
///
/// Weight and buoyancy of the float pull at the same lever, so what it displaces is the same at every angle:
/// its own mass, and half of an even arm's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    /// From the pivot to the middle of the float.
    pub length: f64,
    /// Height of the pivot.
    pub pivot: f64,
}

impl Arm {
    /// The mass that the float's buoyancy carries, kg.
    pub fn carried(float: f64, arm: f64) -> f64 {
        float + 0.5 * arm
    }

    /// Angle of the arm above level, rad, with the float's middle at a height; at most a quarter turn.
    ///
    /// `sin θ = (z − z_pivot) / length`
    pub fn angle(self, height: f64) -> f64 {
        ((height - self.pivot) / self.length).clamp(-1.0, 1.0).asin()
    }

    /// Height of the float's middle at an angle.
    pub fn height(self, angle: f64) -> f64 {
        self.pivot + self.length * angle.sin()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const FLOAT: Hull = Hull::Cylinder { diameter: 30e-3, bore: 0.0, height: 40e-3 };

    /// Archimedes with 12 g and 30 mm, evaluated beside: 17.0071, 20.3312, 22.7873 mm, and 6.91943 N/m.
    #[test]
    fn cross_draught_of_a_cylinder() {
        for (density, draught) in [(998.2, 17.0071e-3), (835.0, 20.3312e-3), (745.0, 22.7873e-3)] {
            let found = FLOAT.draught(12e-3, density).expect("floats");
            assert!((found - draught).abs() < 5e-8, "{found}");
        }
        assert!((FLOAT.stiffness(17e-3, 998.2) - 6.91943).abs() < 5e-6);
    }

    /// Half a ball is in the liquid where the ball is half as dense, and so is half a lying cylinder.
    #[test]
    fn prop_half_as_dense_is_half_in() {
        let volume = PI / 6.0 * 0.05f64.powi(3);
        let ball = Hull::Ball { diameter: 0.05, bore: 0.0 };
        assert!((ball.draught(500.0 * volume, 1000.0).expect("floats") - 0.025).abs() < 1e-15);
        let lying = Hull::Lying { diameter: 0.04, length: 0.1 };
        let mass = 500.0 * PI / 4.0 * 0.04f64.powi(2) * 0.1;
        assert!((lying.draught(mass, 1000.0).expect("floats") - 0.02).abs() < 1e-15);
    }

    /// The bored ball by shells: a sphere less what its bore takes.
    #[test]
    fn cross_bored_ball() {
        let (radius, bore) = (0.025f64, 0.008f64);
        let ball = Hull::Ball { diameter: 2.0 * radius, bore: 2.0 * bore };
        let half = (radius * radius - bore * bore).sqrt();
        let slices = 20_000;
        for share in [0.1, 0.5, 0.8, 1.0] {
            let depth = share * 2.0 * half;
            let slice = |k: usize| {
                let y = -half + depth * (k as f64 + 0.5) / slices as f64;
                PI * (radius * radius - y * y - bore * bore) * depth / slices as f64
            };
            let summed: f64 = (0..slices).map(slice).sum();
            assert!((ball.displaced(depth) / summed - 1.0).abs() < 1e-8, "{share}");
        }
    }

    #[test]
    fn prop_too_heavy_sinks() {
        let whole = FLOAT.displaced(1.0) * 1000.0;
        assert!(FLOAT.draught(1.001 * whole, 1000.0).is_none());
        assert!(
            (FLOAT.draught(whole * (1.0 - 1e-12), 1000.0).expect("floats") - 0.04).abs() < 1e-9
        );
    }

    #[test]
    fn prop_an_arm_goes_where_its_float_is() {
        let arm = Arm { length: 0.08, pivot: 0.2 };
        assert!((arm.angle(0.2 + 0.04) - PI / 6.0).abs() < 1e-15);
        for angle in [-1.2, 0.0, 0.7] {
            assert!((arm.angle(arm.height(angle)) - angle).abs() < 1e-14);
        }
        assert_eq!(arm.angle(1.0), PI / 2.0);
    }

    proptest! {
        #[test]
        fn prop_displaces_its_mass(share in 0.01..0.99f64, which in 0..3usize, density in 600.0..1300.0f64) {
            let hulls = [
                Hull::Cylinder { diameter: 0.03, bore: 0.012, height: 0.02 },
                Hull::Ball { diameter: 0.05, bore: 0.012 },
                Hull::Lying { diameter: 0.03, length: 0.06 },
            ];
            let hull = hulls[which];
            let mass = share * hull.displaced(1.0) * density;
            let draught = hull.draught(mass, density).expect("floats");
            prop_assert!((hull.displaced(draught) * density / mass - 1.0).abs() < 1e-12);
            // The force that brings it back is the change of buoyancy with the depth.
            let step = 1e-6;
            let rise = hull.displaced(draught + step) - hull.displaced(draught - step);
            let stiffness = density * GRAVITY * rise / (2.0 * step);
            prop_assert!((hull.stiffness(draught, density) / stiffness - 1.0).abs() < 1e-5);
        }
    }
}
