//! The float of one unit: where a level of the liquid puts what moves with it.

use crate::error::EngineError;
use crate::realise::Pick;
use reedmace_applied::float::{Arm, Hull};
use reedmace_design::{Design, FloatHull, InLiquid, Mount};
use reedmace_fields::Pose;
use reedmace_materials::{Liquid, PerKelvin, water_density};
use reedmace_units::{Density, Quantity, Temperature, format_number};

/// A float at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Float {
    pub hull: Hull,
    /// Density of the liquid, kg/m³.
    pub density: f64,
    /// From its underside up to the surface that it swims on, m.
    pub draught: f64,
    pub guide: Guide,
}

/// How it is guided.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Guide {
    /// Up and down between two heights: of its underside, of its top.
    Stem { stops: [f64; 2] },
    /// On an arm between two angles.
    Arm { arm: Arm, pivot: [f64; 3], axis: [f64; 3], stops: [f64; 2] },
}

impl Float {
    /// The float of a design with a level sweep, every quantity as `pick` has it.
    ///
    /// # Errors
    /// [`EngineError::Sinks`], [`EngineError::NotLiquid`].
    pub fn of(design: &Design, pick: &Pick) -> Result<Self, EngineError> {
        let level = design.level.as_ref().expect("a checked level sweep has a float");
        let float = &level.float;
        let on_arm = matches!(float.mount, Mount::Arm(_));
        let hull = match &float.hull {
            FloatHull::Cylinder { diameter, bore, height } if !on_arm => {
                Hull::Cylinder { diameter: pick(diameter), bore: pick(bore), height: pick(height) }
            }
            FloatHull::Cylinder { diameter, height, .. } => {
                Hull::Lying { diameter: pick(diameter), length: pick(height) }
            }
            FloatHull::Ball { diameter, bore } => {
                Hull::Ball { diameter: pick(diameter), bore: pick(bore) }
            }
        };
        let temperature = Temperature::from_si(pick(&design.surroundings.temperature));
        let density = match &float.liquid {
            InLiquid::Water => {
                let celsius = || format_number(temperature.si() - 273.15, 4);
                water_density(temperature)
                    .ok_or_else(|| EngineError::NotLiquid { celsius: celsius() })?
                    .si()
            }
            InLiquid::Row { density, expansion, .. } => {
                let density = Density::from_si(pick(density));
                let expansion = PerKelvin::from_si(pick(expansion));
                Liquid::density_at(density, expansion, temperature).si()
            }
            InLiquid::Density(density) => pick(density),
        };
        let mut mass = pick(&float.mass);
        let guide = match &float.mount {
            Mount::Stem { stops } => Guide::Stem { stops: [pick(&stops[0]), pick(&stops[1])] },
            Mount::Arm(one) => {
                mass = Arm::carried(mass, pick(&one.mass));
                let pivot = [0, 1, 2].map(|i| pick(&one.pivot[i]));
                Guide::Arm {
                    arm: Arm { length: pick(&one.length), pivot: pivot[2] },
                    pivot,
                    axis: one.axis,
                    stops: [pick(&one.stops[0]), pick(&one.stops[1])],
                }
            }
        };
        let draught = hull.draught(mass, density).ok_or_else(|| EngineError::Sinks {
            grams: format_number(1e3 * mass, 4),
            density: format_number(density, 4),
        })?;
        Ok(Self { hull, density, draught, guide })
    }

    /// Levels at which it leaves its lower stop and comes to its upper one: between them it swims.
    pub fn held_at(&self) -> [f64; 2] {
        match &self.guide {
            Guide::Stem { stops } => {
                [stops[0] + self.draught, stops[1] - self.hull.height() + self.draught]
            }
            Guide::Arm { arm, stops, .. } => stops.map(|angle| arm.height(angle) - self.above()),
        }
    }

    /// Height of its middle over the surface.
    fn above(&self) -> f64 {
        0.5 * self.hull.height() - self.draught
    }

    /// Height of its underside on a stem, or angle of its arm, at a level.
    pub fn at(&self, level: f64) -> f64 {
        match &self.guide {
            Guide::Stem { stops } => {
                let highest = (stops[1] - self.hull.height()).max(stops[0]);
                (level - self.draught).clamp(stops[0], highest)
            }
            Guide::Arm { arm, stops, .. } => {
                arm.angle(level + self.above()).clamp(stops[0], stops[1])
            }
        }
    }

    /// The rigid motion of what moves with it, from where it is at rest.
    pub fn world_from_rest(&self, level: f64) -> Pose {
        let at = self.at(level);
        match &self.guide {
            Guide::Stem { .. } => Pose::translation([0.0, 0.0, at]),
            Guide::Arm { pivot, axis, .. } => Pose::rotation_about_line(*pivot, *axis, at),
        }
    }

    /// Middle of the float in the world at a level; on a stem beside the z axis.
    pub fn middle(&self, level: f64) -> [f64; 3] {
        match &self.guide {
            Guide::Stem { .. } => [0.0, 0.0, self.at(level) + 0.5 * self.hull.height()],
            Guide::Arm { arm, pivot, axis, .. } => {
                // z × axis
                let out = [-axis[1], axis[0], 0.0];
                let rest: [f64; 3] = std::array::from_fn(|i| pivot[i] + arm.length * out[i]);
                self.world_from_rest(level).apply(rest)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn float(guide: Guide) -> Float {
        let hull = match guide {
            Guide::Stem { .. } => Hull::Cylinder { diameter: 0.03, bore: 0.01, height: 0.02 },
            Guide::Arm { .. } => Hull::Ball { diameter: 0.03, bore: 0.0 },
        };
        Float { hull, density: 998.0, draught: 0.012, guide }
    }

    #[test]
    fn prop_between_its_stops_it_follows_the_level() {
        let stem = float(Guide::Stem { stops: [0.05, 0.2] });
        let [leaves, comes] = stem.held_at();
        assert_eq!(stem.at(leaves - 0.01), 0.05);
        assert!((stem.at(0.1) - 0.088).abs() < 1e-15);
        assert!((stem.at(comes + 0.01) - 0.18).abs() < 1e-15);
        assert!((stem.at(comes) - 0.18).abs() < 1e-15 && (stem.at(leaves) - 0.05).abs() < 1e-15);
    }

    /// On an arm the middle of the float is as high above the surface as it swims, at every angle.
    #[test]
    fn prop_an_arm_keeps_the_draught() {
        let arm = Arm { length: 0.08, pivot: 0.1 };
        let guide =
            Guide::Arm { arm, pivot: [0.01, 0.0, 0.1], axis: [0.0, -1.0, 0.0], stops: [-0.6, 0.7] };
        let ball = float(guide);
        let [leaves, comes] = ball.held_at();
        for k in 0..=10 {
            let level = leaves + (comes - leaves) * f64::from(k) / 10.0;
            let middle = ball.middle(level);
            assert!((middle[2] - level - (0.015 - 0.012)).abs() < 1e-14, "{middle:?}");
            let out = ((middle[0] - 0.01).powi(2) + (middle[2] - 0.1).powi(2)).sqrt();
            assert!((out - 0.08).abs() < 1e-14 && middle[0] > 0.01);
        }
        assert_eq!((ball.at(leaves - 0.01), ball.at(comes + 0.01)), (-0.6, 0.7));
    }
}
