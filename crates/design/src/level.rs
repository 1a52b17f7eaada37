//! What a level sweep is about: a float, the tank it swims in, what shakes that, and what tells the level.

use crate::model::Position;
use crate::value::Value;
use reedmace_applied::{ladder::Reading, preferred::Series};
use reedmace_materials::PerKelvin;
use reedmace_units::{
    Acceleration, Angle, Density, Frequency, Length, Mass, Ratio, Resistance, Volume,
};
use std::ops::Range;

/// The float of a level sweep and what it is in.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// The float.
    pub float: Float,
    /// The tank, if stated.
    pub tank: Option<TankDesign>,
    /// What shakes the tank, if stated; the tank's shape is known then.
    pub slosh: Option<Slosh>,
    /// The chain of resistors that tells the level, if stated.
    pub ladder: Option<LadderDesign>,
}

/// A float.
#[derive(Debug, Clone, PartialEq)]
pub struct Float {
    /// Shape and dimensions.
    pub hull: FloatHull,
    /// Mass of it with its magnets.
    pub mass: Value<Mass>,
    /// What it swims in.
    pub liquid: InLiquid,
    /// How it is guided.
    pub mount: Mount,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// Shape and dimensions of a float.
#[derive(Debug, Clone, PartialEq)]
pub enum FloatHull {
    /// Upright on a stem, or lying along the pivot of an arm.
    Cylinder {
        /// Outer diameter.
        diameter: Value<Length>,
        /// Diameter of the bore.
        bore: Value<Length>,
        /// Height, or length on an arm.
        height: Value<Length>,
    },
    /// A ball.
    Ball {
        /// Diameter.
        diameter: Value<Length>,
        /// Diameter of the bore.
        bore: Value<Length>,
    },
}

/// What a float swims in.
#[derive(Debug, Clone, PartialEq)]
pub enum InLiquid {
    /// Water, by its formulation, at the temperature of the surroundings.
    Water,
    /// A liquid of the table of liquids.
    Row {
        /// Its name.
        name: String,
        /// Density at 15 °C.
        density: Value<Density>,
        /// Relative increase of volume per kelvin.
        expansion: Value<PerKelvin>,
    },
    /// A liquid of this density, whatever the temperature.
    Density(Value<Density>),
}

/// How a float is guided; what moves with it is placed as where the float is at rest.
#[derive(Debug, Clone, PartialEq)]
pub enum Mount {
    /// Along a stem, up and down. At rest its underside is at height 0.
    Stem {
        /// Heights of the lower stop, on which its underside rests, and of the upper one, at its top.
        stops: Box<[Value<Length>; 2]>,
    },
    /// At the end of an arm. At rest the arm is level.
    Arm(Box<FloatArm>),
}

/// An arm with a float at its end.
#[derive(Debug, Clone, PartialEq)]
pub struct FloatArm {
    /// From the pivot to the middle of the float.
    pub length: Value<Length>,
    /// Mass of the arm, evenly along it.
    pub mass: Value<Mass>,
    /// The pivot.
    pub pivot: Position,
    /// Unit vector along the pivot, level; the arm at rest points along z × this.
    pub axis: [f64; 3],
    /// Least and greatest angle of the arm above level.
    pub stops: [Value<Angle>; 2],
}

/// The inside of a tank.
#[derive(Debug, Clone, PartialEq)]
pub struct TankDesign {
    /// Its shape.
    pub shape: TankShape,
    /// Height of its lowest place in the world.
    pub at: Value<Length>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// Shape of a tank.
#[derive(Debug, Clone, PartialEq)]
pub enum TankShape {
    /// An upright cylinder.
    Upright {
        /// Diameter.
        diameter: Value<Length>,
        /// Height of the shell between its ends.
        height: Value<Length>,
        /// What closes it below and above.
        ends: Box<[TankEnd; 2]>,
    },
    /// A lying cylinder.
    Horizontal {
        /// Diameter.
        diameter: Value<Length>,
        /// Length of the shell between its ends.
        length: Value<Length>,
        /// What closes both ends.
        ends: TankEnd,
    },
    /// A box.
    Box {
        /// Length of the floor.
        length: Value<Length>,
        /// Width of the floor.
        width: Value<Length>,
        /// Height.
        height: Value<Length>,
    },
    /// Rising levels with the rising volume below each.
    Strapped {
        /// Two rows or more.
        rows: Vec<(Value<Length>, Value<Volume>)>,
    },
}

/// What closes an end of a cylinder.
#[derive(Debug, Clone, PartialEq)]
pub enum TankEnd {
    /// A plate.
    Flat,
    /// A cone.
    Conical(Value<Length>),
    /// Half an ellipsoid of revolution.
    Ellipsoidal(Value<Length>),
    /// A cap of a sphere.
    Spherical(Value<Length>),
    /// An oblique cone.
    Guppy(Value<Length>),
    /// A dish with a knuckle: radii over the diameter.
    Torispherical {
        /// Of the dish.
        dish: Value<Ratio>,
        /// Of the knuckle.
        knuckle: Value<Ratio>,
    },
}

/// What shakes a tank sideways.
#[derive(Debug, Clone, PartialEq)]
pub struct Slosh {
    /// Acceleration, or its amplitude.
    pub acceleration: Value<Acceleration>,
    /// Its frequency, if it swings; else it sets in at once.
    pub frequency: Option<Value<Frequency>>,
    /// Damping of the liquid over critical damping.
    pub damping: Value<Ratio>,
    /// How far from the middle of the surface the float is, along the acceleration.
    pub off_middle: Value<Length>,
}

/// A chain of resistors with a contact at each tap, in the order of the contacts.
#[derive(Debug, Clone, PartialEq)]
pub struct LadderDesign {
    /// How it is read.
    pub reading: Reading,
    /// Before the first tap.
    pub first: Resistor,
    /// Between a tap and the next; each is a resistor of its own.
    pub steps: Vec<Resistor>,
    /// After the last tap, if there is one.
    pub last: Option<Resistor>,
}

/// A resistor of a ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Resistor {
    /// As stated.
    pub stated: Value<Resistance>,
    /// The preferred number that it is put to, over its nominal value; 1 where it is not. Its tolerance stays:
    /// what a unit is off nominal in share.
    pub put: f64,
}

impl Resistor {
    /// One put to the preferred numbers of a series, if any.
    pub fn new(stated: Value<Resistance>, series: Option<Series>) -> Self {
        let nominal = stated.si();
        let series = series.filter(|_| nominal > 0.0);
        Self { put: series.map_or(1.0, |series| series.nearest(nominal) / nominal), stated }
    }
}
