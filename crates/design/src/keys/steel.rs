//! The tables of bodies of steel.

use super::{AT, AXIS, NAME, NOTE, POSITION, ROTATE, either, length, measured};
use crate::schema::{Choice, Key, Kind, Measure, Measured, Table};

const SIZE: Measured = measured(Measure::Length, "0.05 mm", "5 m");
const SIDE: Kind = Kind::One(SIZE);
const HOLE: Kind = length("0.05 mm", "5 m");

/// Shapes of bodies of steel.
pub const STEEL_SHAPES: &[&str] =
    &["cuboid", "disc", "cylinder", "tube", "sphere", "boxes", "mesh"];
/// Units a file of triangles may be in.
pub const MESH_UNITS: &[&str] = &["mm", "m", "um", "in"];
const ROUND: &[&str] = &["disc", "cylinder", "tube"];

const MATERIAL: Choice =
    Choice { only: None, of: &[either(&["permeability"], &[]), either(&["alloy"], &[])] };

/// One box of `boxes`
pub const BOX: Table = Table {
    name: "box",
    doc: "One box of a body made of boxes; it touches or overlaps another one of the same body.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required(
            "size",
            Kind::Three(SIZE),
            "[\"40 mm\", \"1.5 mm\", \"20 mm\"]",
            "Sides of the box along x, y and z of the body.",
        ),
        Key::optional(
            "at",
            POSITION,
            "[\"0 mm\", \"10 mm\", \"0 mm\"]",
            "Its centre, counted from the body's `at`.",
        )
        .or("0 mm"),
    ]],
};

/// `[[steel]]`
pub const STEEL: Table = Table {
    name: "steel",
    doc: "A body of soft magnetic steel: a plate, a bracket, a vane.",
    entry_key: None,
    choices: &[MATERIAL],
    keys: &[&[
        NAME,
        Key::required("shape", Kind::Word(STEEL_SHAPES), "\"cuboid\"", "The shape it has."),
        Key::required(
            "size",
            Kind::Three(SIZE),
            "[\"200 mm\", \"120 mm\", \"1.5 ± 0.1 mm\"]",
            "Sides of the cuboid along x, y and z.",
        )
        .only("shape", &["cuboid"]),
        Key::required("diameter", SIDE, "\"8 mm\"", "Diameter of the disc, cylinder or sphere.")
            .only("shape", &["disc", "cylinder", "sphere"]),
        Key::required("outer_diameter", SIDE, "\"20 mm\"", "Outer diameter of the tube.")
            .only("shape", &["tube"]),
        Key::required("inner_diameter", HOLE, "\"18 mm\"", "Diameter of the tube's bore.")
            .only("shape", &["tube"]),
        Key::required("length", SIDE, "\"2 mm\"", "Length along the axis; a disc's thickness.")
            .only("shape", ROUND),
        AXIS.or("0 0 1").only("shape", ROUND),
        Key::required(
            "boxes",
            Kind::Tables(&BOX),
            "[{ size = [\"40 mm\", \"20 mm\", \"1.5 mm\"] }, { size = [\"1.5 mm\", \"20 mm\", \"30 mm\"], at = [\"20 mm\", \"0 mm\", \"15 mm\"] }]",
            "The boxes a bracket is made of.",
        )
        .only("shape", &["boxes"]),
        Key::required(
            "file",
            Kind::Text,
            "\"lid.stl\"",
            "A file of triangles (STL) beside the design; its origin comes to `at`.",
        )
        .only("shape", &["mesh"]),
        Key::required(
            "unit",
            Kind::Word(MESH_UNITS),
            "\"mm\"",
            "The unit of the numbers in the file, which does not say it itself.",
        )
        .only("shape", &["mesh"]),
        Key::optional(
            "permeability",
            Kind::One(measured(Measure::Number, "1", "1000000")),
            "\"300..1000\"",
            "Relative permeability; beside an alloy it replaces the alloy's.",
        ),
        Key::optional(
            "alloy",
            Kind::Text,
            "\"low-carbon sheet steel\"",
            "A soft magnetic alloy of the table of alloys, with its permeability in weak fields and its saturation.",
        ),
        Key::optional(
            "saturation",
            Kind::One(measured(Measure::Polarization, "0.01 T", "2.5 T")),
            "\"2.1 T\"",
            "Polarization beyond which it carries no more; the alloy's if absent.",
        ),
        AT,
        ROTATE,
        NOTE,
    ]],
};
