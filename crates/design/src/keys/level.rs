//! The tables of a level sweep: float, tank, slosh and ladder.

use super::{NOTE, PLACE_LIMITS, POSITION, either, length, measured};
use crate::schema::{Choice, Key, Kind, Measure, Measured, Table};

/// Shapes of floats.
pub const HULLS: &[&str] = &["cylinder", "ball"];
/// Shapes of tanks.
pub const TANKS: &[&str] = &["upright", "horizontal", "box", "table"];
/// What may close a cylinder.
pub const ENDS: &[&str] =
    &["flat", "conical", "ellipsoidal", "spherical", "torispherical", "guppy"];
/// How a ladder may be read.
pub const READINGS: &[&str] = &["resistance", "share"];
/// Series of preferred numbers.
pub const SERIES: &[&str] = &["E6", "E12", "E24", "E48", "E96"];

const SIZE: Kind = length("1 mm", "1 m");
const WALL: Kind = length("10 mm", "100 m");
const MASS: Kind = Kind::One(measured(Measure::Mass, "0 g", "100 kg"));
const OHMS: Kind = Kind::One(measured(Measure::Resistance, "0 Ω", "100 MΩ"));
const STOP: Kind = Kind::Either(PLACE_LIMITS, measured(Measure::Angle, "-80 deg", "80 deg"));
/// A level of a strapping table.
pub const STRAPPED_LEVEL: Measured = measured(Measure::Length, "0 mm", "100 m");
/// A volume of a strapping table.
pub const STRAPPED_VOLUME: Measured = measured(Measure::Volume, "0 L", "100000 m³");

const IN_LIQUID: Choice = Choice {
    only: None,
    of: &[
        either(&["liquid"], &["density"]),
        either(&["density"], &["liquid"]),
        either(&[], &["liquid", "density"]),
    ],
};

/// `[float]`
pub const FLOAT: Table = Table {
    name: "float",
    doc: "The float of a level sweep; its magnets are what the sweep moves.",
    entry_key: None,
    choices: &[IN_LIQUID],
    keys: &[&[
        Key::required(
            "shape",
            Kind::Word(HULLS),
            "\"cylinder\"",
            "The shape it has: a cylinder stands upright on its stem or lies along the pivot of its arm.",
        ),
        Key::required("diameter", SIZE, "\"30 mm\"", "Its outer diameter."),
        Key::optional(
            "bore",
            length("0 mm", "1 m"),
            "\"12 mm\"",
            "Diameter of the hole for the stem.",
        )
        .or("0 mm"),
        Key::required("height", SIZE, "\"25 mm\"", "Its height on a stem, its length on an arm.")
            .only("shape", &["cylinder"]),
        Key::required("mass", MASS, "\"9 ± 0.3 g\"", "Its mass with the magnets in it."),
        Key::optional(
            "liquid",
            Kind::Text,
            "\"diesel\"",
            "A liquid of the table of liquids, at the temperature of the surroundings; water if absent.",
        ),
        Key::optional(
            "density",
            Kind::One(measured(Measure::Density, "400 kg/m³", "3000 kg/m³")),
            "\"1020 ± 10 kg/m³\"",
            "Density of the liquid, in place of one of the table.",
        ),
        Key::required(
            "lower_stop",
            STOP,
            "\"20 mm\"",
            "On a stem the height on which its underside rests, on an arm the least angle above level.",
        ),
        Key::required(
            "upper_stop",
            STOP,
            "\"400 mm\"",
            "On a stem the height that its top reaches, on an arm the greatest angle above level.",
        ),
        Key::optional(
            "arm",
            length("5 mm", "10 m"),
            "\"80 mm\"",
            "From the pivot to the middle of the float, if it is on an arm; what the sweep moves is placed as with the arm level.",
        ),
        Key::optional(
            "arm_mass",
            MASS,
            "\"3 g\"",
            "Mass of the arm, evenly along it; half of it rests on the float.",
        )
        .or("0 g"),
        Key::optional(
            "pivot",
            POSITION,
            "[\"0 mm\", \"0 mm\", \"150 mm\"]",
            "The pivot of the arm.",
        )
        .or("0 mm"),
        Key::optional(
            "pivot_axis",
            Kind::Direction,
            "[0, -1, 0]",
            "Direction of the pivot, level; the arm points along z × this.",
        )
        .or("0 -1 0"),
        NOTE,
    ]],
};

/// `[tank]`
pub const TANK: Table = Table {
    name: "tank",
    doc: "The inside of the tank: levels to volumes.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required(
            "shape",
            Kind::Word(TANKS),
            "\"upright\"",
            "How it stands: an upright or a lying cylinder, a box, or a table of levels and volumes.",
        ),
        Key::required("diameter", WALL, "\"600 mm\"", "Inner diameter of the cylinder.")
            .only("shape", &["upright", "horizontal"]),
        Key::required(
            "length",
            WALL,
            "\"1200 mm\"",
            "Length of the shell of a lying cylinder between its ends, or of the floor of a box.",
        )
        .only("shape", &["horizontal", "box"]),
        Key::required("width", WALL, "\"400 mm\"", "Width of the floor of a box.")
            .only("shape", &["box"]),
        Key::required(
            "height",
            WALL,
            "\"700 mm\"",
            "Height of the shell of an upright cylinder between its ends, or of a box.",
        )
        .only("shape", &["upright", "box"]),
        Key::optional(
            "ends",
            Kind::Word(ENDS),
            "\"torispherical\"",
            "What closes a lying cylinder at both ends, or an upright one below.",
        )
        .only("shape", &["upright", "horizontal"]),
        Key::optional(
            "top",
            Kind::Word(ENDS),
            "\"ellipsoidal\"",
            "What closes an upright cylinder above.",
        )
        .only("shape", &["upright"]),
        Key::optional(
            "depth",
            length("1 mm", "50 m"),
            "\"150 mm\"",
            "How far conical, ellipsoidal, spherical and guppy ends reach beyond the shell.",
        )
        .only("shape", &["upright", "horizontal"]),
        Key::optional(
            "dish",
            Kind::One(measured(Measure::Number, "0.5", "10")),
            "1",
            "Radius of the dish of torispherical ends over the diameter.",
        )
        .or("1")
        .only("shape", &["upright", "horizontal"]),
        Key::optional(
            "knuckle",
            Kind::One(measured(Measure::Number, "0.001", "0.499")),
            "0.1",
            "Radius of their knuckle over the diameter.",
        )
        .or("0.1")
        .only("shape", &["upright", "horizontal"]),
        Key::required(
            "rows",
            Kind::Strapping,
            "[[\"0 mm\", \"0 L\"], [\"100 mm\", \"28 L\"], [\"200 mm\", \"61 L\"]]",
            "Levels above the lowest place, rising, each with the volume below it.",
        )
        .only("shape", &["table"]),
        Key::optional(
            "at",
            Kind::One(PLACE_LIMITS),
            "\"0 mm\"",
            "Height of its lowest place in the world.",
        )
        .or("0 mm"),
        NOTE,
    ]],
};

/// `[slosh]`
pub const SLOSH: Table = Table {
    name: "slosh",
    doc: "What shakes the tank sideways, so that its surface swings.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required(
            "acceleration",
            Kind::One(measured(Measure::Acceleration, "0 m/s²", "50 m/s²")),
            "\"0.3 m/s²\"",
            "Sideways acceleration that sets in at once and stays, or the amplitude of one that swings.",
        ),
        Key::optional(
            "frequency",
            Kind::One(measured(Measure::Frequency, "0.001 Hz", "100 Hz")),
            "\"1.5 Hz\"",
            "How fast it swings; without it, it sets in at once.",
        ),
        Key::optional(
            "damping",
            Kind::One(measured(Measure::Number, "0.0001", "0.5")),
            "0.01",
            "Damping of the liquid over critical damping, for what swings.",
        )
        .or("0.01"),
        Key::required(
            "off_middle",
            length("0 mm", "50 m"),
            "\"150 mm\"",
            "How far from the middle of the surface the float is, along the acceleration.",
        ),
        NOTE,
    ]],
};

/// `[ladder]`
pub const LADDER: Table = Table {
    name: "ladder",
    doc: "A chain of resistors with a contact at each tap, in the order of the contacts in the file; a closed contact joins its tap to the return.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required(
            "reading",
            Kind::Word(READINGS),
            "\"resistance\"",
            "How it is read: the resistance from its first end to the return, or across a supply the share of it at the return.",
        ),
        Key::required("first", OHMS, "\"220 Ω ± 1 %\"", "The resistor before the first tap."),
        Key::required(
            "step",
            OHMS,
            "\"100 Ω ± 1 %\"",
            "The resistor between a tap and the next; each is one of its own.",
        ),
        Key::optional(
            "last",
            OHMS,
            "\"100 Ω ± 1 %\"",
            "The resistor after the last tap: to the return where the resistance is read, to the other end of the supply where a share is.",
        ),
        Key::optional(
            "series",
            Kind::Word(SERIES),
            "\"E24\"",
            "Preferred numbers that the nominal resistances are put to.",
        ),
        NOTE,
    ]],
};
