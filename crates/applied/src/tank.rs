//! Tanks: the volume below a level, and back.
//!
//! A cylinder is its shell and what closes its ends. Every end is a pile of discs: a radius, and the height of
//! its middle, at each distance from the shell. What a level cuts off a disc is a segment of a circle, and the
//! pile is summed by quadrature: one way for every shape of end, lying or upright. The closed forms of
//! `[jones]` and the volumes of whole heads check it.

use crate::quadrature::integral;
use std::f64::consts::PI;

/// What closes an end of a cylinder; depths are outward from the end of the shell, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// A flat plate.
    Flat,
    /// A cone.
    Conical {
        /// Height of the cone.
        depth: f64,
    },
    /// Half an ellipsoid of revolution; half a sphere where the depth is the radius.
    Ellipsoidal {
        /// Its half axis along the cylinder.
        depth: f64,
    },
    /// A cap of a sphere.
    Spherical {
        /// Height of the cap, at most the radius.
        depth: f64,
    },
    /// A dish of one radius that a knuckle of another joins to the shell.
    Torispherical {
        /// Radius of the dish over the diameter of the shell, at least a half.
        dish: f64,
        /// Radius of the knuckle over the diameter of the shell, 0 to a half.
        knuckle: f64,
    },
    /// An oblique cone whose tip is as high as the top of a lying cylinder; under an upright one it holds what
    /// a straight cone holds.
    Guppy {
        /// Distance of the tip from the end of the shell.
        depth: f64,
    },
}

/// The inside of a tank, lengths in m. Levels count from its lowest place.
#[derive(Debug, Clone, PartialEq)]
pub enum Tank {
    /// An upright cylinder.
    Upright {
        /// Diameter of the shell.
        diameter: f64,
        /// Height of the shell between its ends.
        height: f64,
        /// What closes it below.
        bottom: End,
        /// What closes it above.
        top: End,
    },
    /// A lying cylinder.
    Horizontal {
        /// Diameter of the shell.
        diameter: f64,
        /// Length of the shell between its ends.
        length: f64,
        /// What closes both ends.
        ends: End,
    },
    /// A box.
    Box {
        /// Length and width of its floor.
        floor: [f64; 2],
        /// Height.
        height: f64,
    },
    /// Rising levels with the volume (m³) below each, straight lines between them.
    Strapped(Vec<[f64; 2]>),
}

/// Area of the part of a disc of radius `r` that lies below `y`, counted up from its middle.
///
/// `r² acos(−y/r) + y √(r² − y²)`, the segment of a circle.
pub fn segment(r: f64, y: f64) -> f64 {
    if y <= -r {
        0.0
    } else if y >= r {
        PI * r * r
    } else {
        r * r * (-y / r).acos() + y * (r * r - y * y).sqrt()
    }
}

impl End {
    /// How far it reaches beyond the shell.
    pub fn depth(self, diameter: f64) -> f64 {
        match self {
            Self::Flat => 0.0,
            Self::Conical { depth }
            | Self::Ellipsoidal { depth }
            | Self::Spherical { depth }
            | Self::Guppy { depth } => depth,
            Self::Torispherical { dish, knuckle } => {
                let rise = (dish - knuckle).powi(2) - (0.5 - knuckle).powi(2);
                diameter * (dish - rise.sqrt())
            }
        }
    }

    /// Volume of the whole end.
    pub fn volume(self, diameter: f64) -> f64 {
        self.summed(diameter, 0.0, self.depth(diameter), &[], |r| PI * r * r)
    }

    /// Volume between the tip and a plane at `up` (0 to the depth) from it, across the axis.
    fn near_tip(self, diameter: f64, up: f64) -> f64 {
        let depth = self.depth(diameter);
        self.summed(diameter, depth - up, depth, &[], |r| PI * r * r)
    }

    /// Volume below `level` with the axis lying, level counted up from the bottom of the shell.
    fn lying(self, diameter: f64, level: f64) -> f64 {
        let radius = 0.5 * diameter;
        let guppy = matches!(self, Self::Guppy { .. });
        // The middle of each disc of a guppy is as far below the top of the shell as the disc's radius.
        let cut = |r: f64| segment(r, if guppy { level - diameter + r } else { level - radius });
        // The radius at which the level begins to cut.
        let begins = if guppy { 0.5 * (diameter - level) } else { (level - radius).abs() };
        self.summed(diameter, 0.0, self.depth(diameter), &[begins], cut)
    }

    /// `∫ area(r(x)) dx` for x from `from` to `to` beyond the shell; the area bends at these radii.
    fn summed(
        self,
        diameter: f64,
        from: f64,
        to: f64,
        bends: &[f64],
        area: impl Fn(f64) -> f64,
    ) -> f64 {
        let mut places: Vec<f64> = bends.iter().map(|r| self.place(diameter, *r)).collect();
        if let Self::Torispherical { .. } = self {
            places.push(self.place(diameter, self.joint(diameter)));
        }
        places.retain(|x| (from..to).contains(x));
        places.extend([from, to]);
        places.sort_by(f64::total_cmp);
        let piece = |ends: &[f64]| integral(|x| area(self.radius(diameter, x)), ends[0], ends[1]);
        places.windows(2).map(piece).sum()
    }

    /// Radius of the circle in which dish and knuckle meet.
    fn joint(self, diameter: f64) -> f64 {
        let Self::Torispherical { dish, knuckle } = self else { return 0.0 };
        diameter * dish * (0.5 - knuckle) / (dish - knuckle)
    }

    /// Radius of the disc at a distance `x` from the shell.
    fn radius(self, diameter: f64, x: f64) -> f64 {
        let radius = 0.5 * diameter;
        let root = |square: f64| square.max(0.0).sqrt();
        match self {
            Self::Flat => radius,
            Self::Conical { depth } | Self::Guppy { depth } => radius * (1.0 - x / depth),
            Self::Ellipsoidal { depth } => radius * root((1.0 - x / depth) * (1.0 + x / depth)),
            Self::Spherical { depth } => {
                let sphere = (radius * radius + depth * depth) / (2.0 * depth);
                let from_middle = x - depth + sphere;
                root((sphere - from_middle) * (sphere + from_middle))
            }
            Self::Torispherical { dish, knuckle } => {
                let (dish, knuckle) = (dish * diameter, knuckle * diameter);
                if x < self.place(diameter, self.joint(diameter)) {
                    radius - knuckle + root((knuckle - x) * (knuckle + x))
                } else {
                    let from_middle = x - self.depth(diameter) + dish;
                    root((dish - from_middle) * (dish + from_middle))
                }
            }
        }
    }

    /// Distance from the shell at which the disc has the radius `r`.
    fn place(self, diameter: f64, r: f64) -> f64 {
        let radius = 0.5 * diameter;
        let root = |square: f64| square.max(0.0).sqrt();
        match self {
            Self::Flat => 0.0,
            Self::Conical { depth } | Self::Guppy { depth } => depth * (1.0 - r / radius),
            Self::Ellipsoidal { depth } => depth * root(1.0 - (r / radius).powi(2)),
            Self::Spherical { depth } => {
                let sphere = (radius * radius + depth * depth) / (2.0 * depth);
                depth - sphere + root((sphere - r) * (sphere + r))
            }
            Self::Torispherical { dish, knuckle } => {
                let (dish, knuckle) = (dish * diameter, knuckle * diameter);
                if r > self.joint(diameter) {
                    root(knuckle * knuckle - (r - radius + knuckle).powi(2))
                } else {
                    self.depth(diameter) - dish + root((dish - r) * (dish + r))
                }
            }
        }
    }
}

impl Tank {
    /// Level at which it is full, m.
    pub fn height(&self) -> f64 {
        match self {
            Self::Upright { diameter, height, bottom, top } => {
                bottom.depth(*diameter) + height + top.depth(*diameter)
            }
            Self::Horizontal { diameter, .. } => *diameter,
            Self::Box { height, .. } => *height,
            Self::Strapped(rows) => rows.last().map_or(0.0, |row| row[0]),
        }
    }

    /// Volume below a level, m³: nothing below the lowest place, all of it above the highest.
    ///
    /// Source: sums of segments, against `[jones]`. Accuracy: 1e-12 of the tank, `cross_tanks`.
    pub fn volume(&self, level: f64) -> f64 {
        let level = level.clamp(0.0, self.height());
        match self {
            Self::Upright { diameter, height, bottom, top } => {
                let (below, above) = (bottom.depth(*diameter), top.depth(*diameter));
                let shell = (level - below).clamp(0.0, *height);
                let over = (level - below - height).clamp(0.0, above);
                let capped = top.volume(*diameter) - top.near_tip(*diameter, above - over);
                bottom.near_tip(*diameter, level.min(below))
                    + PI / 4.0 * diameter * diameter * shell
                    + if over > 0.0 { capped } else { 0.0 }
            }
            Self::Horizontal { diameter, length, ends } => {
                let radius = 0.5 * diameter;
                length * segment(radius, level - radius) + 2.0 * ends.lying(*diameter, level)
            }
            Self::Box { floor, .. } => floor[0] * floor[1] * level,
            Self::Strapped(rows) => {
                let k = rows.partition_point(|row| row[0] <= level);
                match (k.checked_sub(1).map(|k| rows[k]), rows.get(k)) {
                    (Some(a), Some(b)) => a[1] + (b[1] - a[1]) * (level - a[0]) / (b[0] - a[0]),
                    (Some(last), None) => last[1],
                    (None, first) => first.map_or(0.0, |row| row[1]),
                }
            }
        }
    }

    /// Volume of the whole tank, m³.
    pub fn capacity(&self) -> f64 {
        self.volume(self.height())
    }

    /// Half the width of the tank at a level, seen from its side, m, to draw it: from the area of the surface,
    /// a difference of volumes. `None` for a table, whose shape is not known, and where there is no surface.
    pub fn half_width(&self, level: f64) -> Option<f64> {
        let step = 1e-5 * self.height();
        let at = level.clamp(step, self.height() - step);
        let area = (self.volume(at + step) - self.volume(at - step)) / (2.0 * step);
        match self {
            Self::Upright { .. } => Some((area / PI).sqrt()),
            Self::Horizontal { diameter, .. } => {
                Some(0.25 * area / (at * (diameter - at)).max(0.0).sqrt())
            }
            Self::Box { floor, .. } => Some(0.5 * floor[0]),
            Self::Strapped(_) => None,
        }
    }

    /// Length of its free surface, m, as long as that is between its ends; `None` of one known by a table alone.
    pub fn span(&self) -> Option<f64> {
        match self {
            Self::Upright { diameter, .. } => Some(*diameter),
            Self::Horizontal { length, .. } => Some(*length),
            Self::Box { floor, .. } => Some(floor[0].max(floor[1])),
            Self::Strapped(_) => None,
        }
    }

    /// Length of the free surface at a level along the way it sloshes furthest, and the depth of liquid that a
    /// box with that surface and the tank's volume below the level would have, m; `None` for a table, whose
    /// shape is not known, and where there is no surface.
    pub fn surface(&self, level: f64) -> Option<[f64; 2]> {
        let span = self.span()?;
        let area = match self {
            Self::Upright { diameter, .. } => PI / 4.0 * diameter * diameter,
            Self::Horizontal { diameter, length, .. } => {
                length * 2.0 * (level * (diameter - level)).max(0.0).sqrt()
            }
            Self::Box { floor, .. } => floor[0] * floor[1],
            Self::Strapped(_) => return None,
        };
        (level > 0.0 && level < self.height() && area > 0.0)
            .then(|| [span, self.volume(level) / area])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64, tolerance: f64) {
        assert!((a - b).abs() <= tolerance, "{a} {b}");
    }

    /// A ball on the ends of a tank: the width of its surface is that of a circle.
    #[test]
    fn prop_half_width_of_dished_ends_is_that_of_their_shape() {
        let end = End::Ellipsoidal { depth: 0.5 };
        let ball = Tank::Upright { diameter: 1.0, height: 1.0, bottom: end, top: End::Flat };
        for level in [0.1_f64, 0.25, 0.4] {
            let width = (0.25 - (0.5 - level).powi(2)).sqrt();
            close(ball.half_width(level).unwrap(), width, 1e-5);
        }
        close(ball.half_width(1.0).unwrap(), 0.5, 1e-9);
        let lying = Tank::Horizontal { diameter: 1.0, length: 2.0, ends: End::Flat };
        close(lying.half_width(0.3).unwrap(), 1.0, 1e-6);
    }

    /// Segments of a circle, evaluated in high precision; the Python package fluids 1.3.1 agrees.
    #[test]
    fn cross_horizontal_cylinder() {
        let tank = Tank::Horizontal { diameter: 1.0, length: 2.0, ends: End::Flat };
        let rows = [
            (0.05, 0.02936295),
            (0.25, 0.30709242),
            (0.5, PI / 4.0),
            (0.75, 1.26370390),
            (0.95, 1.54143337),
        ];
        rows.iter().for_each(|(level, volume)| close(tank.volume(*level), *volume, 1e-8));
    }

    /// The worked examples of `[jones]`, in inches and US gallons (231 in³), as the Python package fluids
    /// quotes them; six digits after the point are printed, five of the last.
    #[test]
    fn val_jones() {
        let gallons = |ends: End| {
            Tank::Horizontal { diameter: 108.0, length: 156.0, ends }.volume(36.0) / 231.0
        };
        close(gallons(End::Conical { depth: 42.0 }), 2041.192358, 1e-6);
        close(gallons(End::Ellipsoidal { depth: 42.0 }), 2380.956542, 1e-6);
        close(gallons(End::Guppy { depth: 42.0 }), 1931.720803, 1e-6);
        close(gallons(End::Spherical { depth: 42.0 }), 2303.961512, 1e-6);
        close(gallons(End::Torispherical { dish: 1.0, knuckle: 0.06 }), 2028.62667, 1e-5);
    }

    /// Whole heads of a shell of diameter one, by integration in high precision.
    #[test]
    fn cross_whole_heads() {
        let rows = [
            (End::Ellipsoidal { depth: 0.5 }, 0.5, 0.2617994),
            (End::Ellipsoidal { depth: 0.25 }, 0.25, 0.1308997),
            (End::Torispherical { dish: 1.0, knuckle: 0.1 }, 0.193774, 0.0989660),
            (End::Torispherical { dish: 0.8, knuckle: 0.154 }, 0.254473, 0.1307717),
            (End::Torispherical { dish: 1.0, knuckle: 0.06 }, 0.169338, 0.0809990),
        ];
        for (end, depth, volume) in rows {
            close(end.depth(1.0), depth, 1e-6);
            close(end.volume(1.0), volume, 1e-7);
        }
    }

    /// A sphere is two hemispheres on no shell; its cap by the closed form, 0.0818123 printed.
    #[test]
    fn cross_sphere() {
        let half = End::Ellipsoidal { depth: 0.5 };
        let upright = Tank::Upright { diameter: 1.0, height: 0.0, bottom: half, top: half };
        let lying = Tank::Horizontal { diameter: 1.0, length: 0.0, ends: half };
        for level in [0.01f64, 0.25, 0.5, 0.7, 1.0] {
            let cap = PI * level * level * (1.5 - level) / 3.0;
            close(upright.volume(level), cap, 1e-14);
            close(lying.volume(level), cap, 1e-14);
        }
        close(lying.volume(0.25), 0.0818123, 1e-7);
    }

    /// Tanks of every shape by the Python package fluids 1.3.1, `tests/golden/tanks.py`.
    #[test]
    fn cross_tanks() {
        let mut seen = 0;
        for line in include_str!("../tests/golden/tanks.csv").lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |k: usize| cells[k].parse::<f64>().expect("a number");
            let (a, b) = (number(2), number(3));
            let end = match cells[1] {
                "conical" => End::Conical { depth: a },
                "ellipsoidal" => End::Ellipsoidal { depth: a },
                "spherical" => End::Spherical { depth: a },
                "guppy" => End::Guppy { depth: a },
                _ => End::Torispherical { dish: a, knuckle: b },
            };
            let tank = match cells[0] {
                "horizontal" => Tank::Horizontal { diameter: 1.2, length: 2.5, ends: end },
                _ => Tank::Upright { diameter: 1.2, height: 2.5, bottom: end, top: End::Flat },
            };
            let (level, volume) = (number(4), number(5));
            // The package integrates some heads numerically, to eight digits.
            let good = (tank.volume(level) - volume).abs() < 2e-8 * tank.capacity();
            assert!(good, "{line}: {}", tank.volume(level));
            seen += 1;
        }
        assert_eq!(seen, 81);
    }

    #[test]
    fn prop_volume_rises_and_half_of_a_lying_tank_is_half() {
        let torispherical = End::Torispherical { dish: 1.0, knuckle: 0.1 };
        let ends = [
            End::Flat,
            End::Conical { depth: 0.3 },
            End::Ellipsoidal { depth: 0.3 },
            End::Spherical { depth: 0.3 },
            torispherical,
        ];
        for end in ends {
            let lying = Tank::Horizontal { diameter: 1.0, length: 2.0, ends: end };
            close(lying.volume(0.5), 0.5 * lying.capacity(), 1e-13);
            let upright = Tank::Upright { diameter: 1.0, height: 2.0, bottom: end, top: end };
            close(upright.capacity(), lying.capacity(), 1e-13);
            close(upright.volume(0.5 * upright.height()), 0.5 * upright.capacity(), 1e-13);
            for tank in [lying, upright] {
                let at = |k: i32| tank.volume(tank.height() * f64::from(k) / 200.0);
                assert!((1..=200).all(|k| at(k) > at(k - 1)), "{tank:?}");
                assert_eq!(tank.volume(-1.0), 0.0);
                assert_eq!(tank.volume(9.0), tank.capacity());
            }
        }
    }

    #[test]
    fn prop_a_table_goes_through_its_rows() {
        let tank = Tank::Strapped(vec![[0.0, 0.0], [0.1, 0.02], [0.3, 0.09]]);
        close(tank.volume(0.1), 0.02, 1e-15);
        close(tank.volume(0.2), 0.055, 1e-15);
        assert_eq!((tank.volume(0.5), tank.height(), tank.surface(0.1)), (0.09, 0.3, None));
    }
}
