//! A checked design.
//!
//! Whoever holds a [`Design`] need check nothing again: every quantity is in range, every name
//! resolved, every direction has length one, the contact's dimensions fit each other.

use crate::choose::Choose;
use crate::construction::Construction;
use crate::door::Door;
use crate::latch::Latch;
use crate::level::Level;
use crate::life::Life;
use crate::load::Switched;
use crate::motion::{Demand, Sweep};
use crate::relay::Relay;
use crate::rotor::Rotor;
use crate::steel::Steel;
use crate::target::Target;
use crate::value::Value;
use reedmace_applied::winding;
use reedmace_materials::Grade;
use reedmace_units::{
    AmpereTurns, Angle, Current, FluxDensity, Length, Polarization, Power, Ratio, Resistance,
    Temperature, ThermalResistance, Voltage,
};
use std::ops::Range;

/// A position in the world: x, y, z.
pub type Position = [Value<Length>; 3];
/// A tilt about the world's x, then y, then z axis.
pub type Tilt = [Value<Angle>; 3];

/// A checked design.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// Version of the file's format.
    pub format: u32,
    /// What it is.
    pub title: String,
    /// Its revision, if stated.
    pub revision: Option<String>,
    /// The user's note.
    pub note: Option<String>,
    /// The file's text; every span is in bytes of it.
    pub text: String,
    /// At least one.
    pub contacts: Vec<Contact>,
    /// The magnets.
    pub magnets: Vec<Magnet>,
    /// The coils.
    pub coils: Vec<Coil>,
    /// Straight conductors near by.
    pub conductors: Vec<Conductor>,
    /// Motors and the like near by.
    pub motors: Vec<Motor>,
    /// The bodies of steel.
    pub steel: Vec<Steel>,
    /// What changes.
    pub sweep: Sweep,
    /// The float of a level sweep and what goes with it; there is one if the sweep is of that kind.
    pub level: Option<Level>,
    /// The wheel whose turning is counted, if one is.
    pub rotor: Option<Rotor>,
    /// The coil that drives contacts from a supply, if the design is of a relay.
    pub relay: Option<Relay>,
    /// That the contacts keep their state while what changes is away, if they do.
    pub latch: Option<Latch>,
    /// What the contacts switch.
    pub loads: Vec<Switched>,
    /// What a test says of the contacts' life, if stated.
    pub life: Option<Life>,
    /// What is demanded.
    pub demands: Vec<Demand>,
    /// What everything is in.
    pub surroundings: Surroundings,
    /// Which quantities go together from unit to unit; they can all hold at once.
    pub correlations: Vec<Correlation>,
    /// That what moves is a door, if it is.
    pub door: Option<Door>,
    /// That what moves is a steel target, if it is.
    pub target: Option<Target>,
    /// What may be chosen, if anything.
    pub choose: Option<Choose>,
}

/// Quantities that go together from unit to unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Correlation {
    /// Paths of the quantities, two or more; some may carry no tolerance.
    pub of: Vec<String>,
    /// Spearman's rank correlation of every two of them, −1 to 1.
    pub rank: f64,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// A reed contact.
///
/// In its own frame the contact lies along `axis` with its overlap at the origin and its gap along
/// `normal`; the frame is tilted by `rotate`, then moved to `at`.
#[derive(Debug, Clone, PartialEq)]
pub struct Contact {
    /// Its name.
    pub name: String,
    /// Its family in the catalogue, if it has one.
    pub family: Option<String>,
    /// The user's note.
    pub note: Option<String>,
    /// Diameter of the round leads.
    pub lead_diameter: Value<Length>,
    /// From lead tip to lead tip as mounted.
    pub overall_length: Value<Length>,
    /// Between the two round-to-flat transitions.
    pub blade_span: Value<Length>,
    /// Width of the blades.
    pub blade_width: Value<Length>,
    /// Thickness of the blades.
    pub blade_thickness: Value<Length>,
    /// Length over which the blades face each other.
    pub overlap: Value<Length>,
    /// Distance between the open blades.
    pub gap: Value<Length>,
    /// Distance between the irons of the closed blades: total thickness of the contact metals.
    pub closed_gap: Value<Length>,
    /// Relative permeability of blades and leads.
    pub permeability: Value<Ratio>,
    /// Polarization beyond which blades and leads carry no more.
    pub saturation: Value<Polarization>,
    /// Length of the glass, if stated.
    pub glass_length: Option<Value<Length>>,
    /// Outer diameter of the glass, if stated.
    pub glass_diameter: Option<Value<Length>>,
    /// From lead tip to lead tip when operate and release were measured.
    pub calibrated_length: Value<Length>,
    /// Where it closes.
    pub operate: Threshold,
    /// Where it opens; always the same kind of quantity as `operate`.
    pub release: Threshold,
    /// What both were measured in.
    pub coil: Calibration,
    /// What it may switch and carry.
    pub ratings: Ratings,
    /// What it is made of.
    pub construction: Construction,
    /// Price of one, if stated.
    pub price: Option<Value<Ratio>>,
    /// What it does when it operates.
    pub form: Form,
    /// What it shares its moving blade with, if it is the normally closed side of a change-over contact.
    pub change_over: Option<ChangeOver>,
    /// Which of several equal contacts it is, if it is one of several.
    pub repeat: Option<Repeat>,
    /// Centre of the middle of the overlap; of several equal contacts that of the first, with this contact's own
    /// tolerance.
    pub at: Position,
    /// Unit vector along blades and leads, before `rotate`.
    pub axis: [f64; 3],
    /// Unit vector across the gap, square to `axis`, before `rotate`.
    pub normal: [f64; 3],
    /// Tilt through its centre.
    pub rotate: Tilt,
    /// Bytes of its header.
    pub span: Range<usize>,
}

impl Design {
    /// The normally closed side of a change-over contact whose other side is contact `k`.
    pub fn closed_side(&self, k: usize) -> Option<usize> {
        let next = self.contacts.get(k + 1)?;
        let of = &next.change_over.as_ref()?.of;
        (*of == self.contacts[k].name).then_some(k + 1)
    }

    /// The first of several equal contacts, if contact `k` is another one of them.
    pub fn like(&self, k: usize) -> Option<&Contact> {
        let one = self.contacts[k].repeat.as_ref().filter(|one| one.number > 1 && !one.alone)?;
        self.contacts.get(k + 1 - one.number as usize)
    }
}

/// What a contact does when it operates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// Form A, and the normally open side of form C: it closes.
    #[default]
    Make,
    /// Form B, and the normally closed side of form C: it opens.
    Break,
}

/// The normally closed side of a change-over contact: it changes at shares of the other side's thresholds.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeOver {
    /// Name of the normally open side, the contact just before this one.
    pub of: String,
    /// Share of operate at which this side opens.
    pub breaks: Value<Ratio>,
    /// Share of release at which it closes again.
    pub remakes: Value<Ratio>,
}

/// One of several equal contacts at a pitch.
#[derive(Debug, Clone, PartialEq)]
pub struct Repeat {
    /// Their common name.
    pub of: String,
    /// Its number, from 1.
    pub number: u32,
    /// How many there are.
    pub count: u32,
    /// From each to the next: one quantity for all of them.
    pub pitch: Position,
    /// A table states it alone.
    pub alone: bool,
}

impl Contact {
    /// The name of the table that states it: of a change-over's normally closed side that of the other.
    pub fn table(&self) -> &str {
        self.change_over.as_ref().map_or(&self.name, |over| &over.of)
    }

    /// How many pitches it lies beyond `at`, and the pitch; `None` for a contact alone.
    pub fn beyond(&self) -> Option<(f64, &Position)> {
        self.repeat.as_ref().map(|one| (f64::from(one.number - 1), &one.pitch))
    }

    /// Its nominal centre, m.
    pub fn centre(&self) -> [f64; 3] {
        let beyond = |i: usize| self.beyond().map_or(0.0, |(n, pitch)| n * pitch[i].si());
        [0, 1, 2].map(|i| self.at[i].si() + beyond(i))
    }
}

/// Operate or release, as it was measured.
#[derive(Debug, Clone, PartialEq)]
pub enum Threshold {
    /// Ampere-turns in the test coil.
    AmpereTurns(Value<AmpereTurns>),
    /// Flux density at the empty test coil's centre, or of a uniform axial field.
    FluxDensity(Value<FluxDensity>),
}

/// What operate and release were measured in.
#[derive(Debug, Clone, PartialEq)]
pub enum Calibration {
    /// A coil of these dimensions, centred on the contact and along it.
    Coil(Box<Winding>),
    /// The dimensions of this coil of [`Design::coils`], centred on the contact and along it.
    Named(usize),
    /// A uniform axial field; the thresholds are flux densities.
    Uniform,
}

/// The dimensions of a winding.
#[derive(Debug, Clone, PartialEq)]
pub struct Winding {
    /// Length along the axis.
    pub length: Value<Length>,
    /// Its section.
    pub section: Section,
}

/// The section of a winding.
#[derive(Debug, Clone, PartialEq)]
pub enum Section {
    /// A thin winding of one diameter.
    Thin {
        /// Mean diameter.
        mean_diameter: Value<Length>,
    },
    /// A winding with depth; inner < outer.
    Thick {
        /// Inner diameter.
        inner_diameter: Value<Length>,
        /// Outer diameter.
        outer_diameter: Value<Length>,
    },
    /// A wire wound on a bobbin: the outer diameter follows.
    Wound(Box<Wound>),
}

/// An enamelled copper wire wound on a bobbin. It finds room there at its thickest and the window's lowest, for
/// one turn; for all of them with everything nominal.
#[derive(Debug, Clone, PartialEq)]
pub struct Wound {
    /// Diameter that the first layer lies on.
    pub inner_diameter: Value<Length>,
    /// Height of the window above it.
    pub window: Value<Length>,
    /// The wire as the design calls it.
    pub wire: String,
    /// Diameter of its conductor.
    pub diameter: Value<Length>,
    /// Diameter over its enamel.
    pub overall: Value<Length>,
    /// How the turns lie.
    pub lay: Lay,
    /// Number of turns: stated, or those of the stated resistance.
    pub turns: Value<Ratio>,
}

impl Wound {
    /// True where the wire is called by a gauge, not by a size of the table.
    pub fn is_gauge(&self) -> bool {
        self.wire.trim_start().starts_with("AWG")
    }
}

/// How turns lie on each other.
#[derive(Debug, Clone, PartialEq)]
pub enum Lay {
    /// Anyhow; the share of the winding's section that wire with its enamel fills.
    Random(Value<Ratio>),
    /// Each layer straight above the one below.
    Layered,
    /// Each layer in the grooves of the one below.
    Orthocyclic,
}

impl Lay {
    /// The lay with its fill as `value` has it.
    pub fn laying(&self, value: impl Fn(&Value<Ratio>) -> f64) -> winding::Lay {
        match self {
            Self::Random(fill) => winding::Lay::Random { fill: value(fill) },
            Self::Layered => winding::Lay::Layered,
            Self::Orthocyclic => winding::Lay::Orthocyclic,
        }
    }
}

/// What a contact may switch and carry, as far as stated.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ratings {
    /// Greatest switched power.
    pub switching_power: Option<Value<Power>>,
    /// Greatest switched voltage.
    pub switching_voltage: Option<Value<Voltage>>,
    /// Greatest switched current.
    pub switching_current: Option<Value<Current>>,
    /// Greatest carried current.
    pub carry_current: Option<Value<Current>>,
    /// Least voltage that it switches well.
    pub least_voltage: Option<Value<Voltage>>,
    /// Least current that it switches well.
    pub least_current: Option<Value<Current>>,
}

/// A permanent magnet.
#[derive(Debug, Clone, PartialEq)]
pub struct Magnet {
    /// Its name.
    pub name: String,
    /// Its entry in the catalogue, if it has one.
    pub catalogue: Option<String>,
    /// The user's note.
    pub note: Option<String>,
    /// Shape and dimensions.
    pub shape: Shape,
    /// What it is made of.
    pub material: Material,
    /// Price of one, if stated.
    pub price: Option<Value<Ratio>>,
    /// Unit vector of its polarization in the world, before `rotate`.
    pub direction: [f64; 3],
    /// Unit vector of the axis of a cylinder or ring in the world, before `rotate`.
    pub axis: [f64; 3],
    /// Its centre. Where the sweep states the position of what moves first, that stands instead.
    pub at: Position,
    /// Tilt through its centre; on a circle before it is turned on to its place.
    pub rotate: Tilt,
    /// Its place among others on a circle round `at`, if it is one of several.
    pub circle: Option<Circle>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

impl Magnet {
    /// The name of the table that states it: that of all on its circle.
    pub fn table(&self) -> &str {
        self.circle.as_ref().map_or(&self.name, |circle| &circle.table)
    }

    /// 1, or -1 for one that points the opposite way of the first on its circle.
    pub fn sense(&self) -> f64 {
        let turned = |circle: &Circle| circle.alternate && circle.number % 2 == 1;
        if self.circle.as_ref().is_some_and(turned) { -1.0 } else { 1.0 }
    }
}

/// The place of one magnet among equal ones on a circle.
#[derive(Debug, Clone, PartialEq)]
pub struct Circle {
    /// Name of the table that states them all.
    pub table: String,
    /// Which of them it is, from 0; it stands `number` of `count` parts of a turn after the first.
    pub number: u32,
    /// How many there are all round.
    pub count: u32,
    /// From the middle of the circle to its middle.
    pub radius: Value<Length>,
    /// Unit vector of the circle's axis.
    pub axis: [f64; 3],
    /// Unit vector from the middle to the first, square to `axis`.
    pub first: [f64; 3],
    /// Every other one points the opposite way.
    pub alternate: bool,
    /// How far it stands on from its even place, about the axis.
    pub angle: Value<Angle>,
    /// How far it stands out along the axis.
    pub height: Value<Length>,
}

impl Circle {
    /// How far round it stands from the first when it is `astray` (rad) from its even place, rad.
    pub fn turned(&self, astray: f64) -> f64 {
        std::f64::consts::TAU * f64::from(self.number) / f64::from(self.count) + astray
    }
}

/// Shape and dimensions of a magnet.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Sides along the world's x, y and z before `rotate`.
    Cuboid {
        /// The three sides.
        size: [Value<Length>; 3],
    },
    /// A solid cylinder along `axis`.
    Cylinder {
        /// Diameter.
        diameter: Value<Length>,
        /// Length.
        length: Value<Length>,
    },
    /// A tube along `axis`; inner < outer.
    Ring {
        /// Outer diameter.
        outer_diameter: Value<Length>,
        /// Inner diameter.
        inner_diameter: Value<Length>,
        /// Length.
        length: Value<Length>,
    },
    /// A sphere.
    Sphere {
        /// Diameter.
        diameter: Value<Length>,
    },
}

/// What a magnet is made of.
#[derive(Debug, Clone, PartialEq)]
pub enum Material {
    /// Ideally hard: recoil permeability one, no change with temperature.
    Hard {
        /// Remanence.
        remanence: Value<Polarization>,
    },
    /// A grade of the table of grades.
    Grade {
        /// The grade, at 20 °C.
        grade: Box<Grade>,
        /// Remanence at 20 °C: the design's own, else the grade's.
        remanence: Value<Polarization>,
    },
}

impl Material {
    /// Remanence at 20 °C.
    pub fn remanence(&self) -> &Value<Polarization> {
        match self {
            Self::Hard { remanence } | Self::Grade { remanence, .. } => remanence,
        }
    }
}

/// A coil.
#[derive(Debug, Clone, PartialEq)]
pub struct Coil {
    /// Its name.
    pub name: String,
    /// The user's note.
    pub note: Option<String>,
    /// Its dimensions.
    pub winding: Winding,
    /// Number of turns, if known.
    pub turns: Option<Value<Ratio>>,
    /// Resistance at 20 °C, if stated; else that of the wire of a wound coil.
    pub resistance: Option<Value<Resistance>>,
    /// How much hotter than its surroundings the wire gets for each watt: stated, or estimated.
    pub thermal_resistance: Value<ThermalResistance>,
    /// Temperature that the enamel of its wire stands for years.
    pub thermal_class: Value<Temperature>,
    /// What flows in it; `None` for a coil that only states a calibration, or whose current is the
    /// sweep's.
    pub drive: Option<CoilDrive>,
    /// Its centre.
    pub at: Position,
    /// Unit vector of its axis, before `rotate`; a positive drive makes field along it.
    pub axis: [f64; 3],
    /// Tilt through its centre.
    pub rotate: Tilt,
    /// Bytes of its header.
    pub span: Range<usize>,
}

impl Coil {
    /// True when its resistance is known.
    pub fn has_resistance(&self) -> bool {
        self.resistance.is_some() || self.wound().is_some()
    }

    /// The wire it is wound of, if that is known.
    pub fn wound(&self) -> Option<&Wound> {
        match &self.winding.section {
            Section::Wound(wound) => Some(wound),
            _ => None,
        }
    }
}

/// What flows in a coil.
#[derive(Debug, Clone, PartialEq)]
pub enum CoilDrive {
    /// Turns times current.
    AmpereTurns(Value<AmpereTurns>),
    /// A current; the coil's `turns` are stated.
    Current(Value<Current>),
}

/// A straight conductor at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Conductor {
    /// Its name.
    pub name: String,
    /// The user's note.
    pub note: Option<String>,
    /// Current along `direction`.
    pub current: Value<Current>,
    /// Its middle.
    pub at: Position,
    /// Unit vector along which the current goes.
    pub direction: [f64; 3],
    /// Its diameter.
    pub diameter: Value<Length>,
    /// Its length; far longer than all else if not stated.
    pub length: Option<Value<Length>>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// A motor or the like at rest: a dipole.
#[derive(Debug, Clone, PartialEq)]
pub struct Motor {
    /// Its name.
    pub name: String,
    /// The user's note.
    pub note: Option<String>,
    /// Flux density on its axis.
    pub field: Value<FluxDensity>,
    /// How far from its middle that is.
    pub distance: Value<Length>,
    /// Its middle.
    pub at: Position,
    /// Unit vector of its moment.
    pub direction: [f64; 3],
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// What everything is in.
#[derive(Debug, Clone, PartialEq)]
pub struct Surroundings {
    /// Temperature of everything.
    pub temperature: Value<Temperature>,
    /// A uniform flux density from elsewhere.
    pub field: [Value<FluxDensity>; 3],
    /// Size of the earth's field, whose direction is not known; it drives nothing.
    pub earth: Value<FluxDensity>,
    /// Share of operate from which a field from outside matters.
    pub matters: Value<Ratio>,
}
