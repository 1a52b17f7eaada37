//! The tables of contacts, magnets and conductors, in a design and in a catalogue.

use super::construction::CONSTRUCTION;
use super::{AT, AXIS, NAME, NOTE, POSITION, ROTATE, either, length, measured};
use crate::schema::{Choice, Key, Kind, Measure, Measured, Table};

pub(super) const SIZE: Measured = measured(Measure::Length, "0.1 mm", "1 m");
pub(super) const SIDE: Kind = Kind::One(SIZE);
const CORE: Kind = length("0.05 mm", "1 m");
const THRESHOLD: Kind = Kind::Either(
    measured(Measure::AmpereTurns, "0.1 AT", "1000 AT"),
    measured(Measure::FluxDensity, "0.01 mT", "200 mT"),
);

const MATERIAL: Choice = Choice {
    only: None,
    of: &[either(&["grade"], &[]), either(&["remanence"], &[]), either(&["catalogue"], &[])],
};
const SECTION: Choice = Choice {
    only: None,
    of: &[
        either(&["mean_diameter"], &["inner_diameter", "outer_diameter"]),
        either(&["inner_diameter", "outer_diameter"], &["mean_diameter"]),
    ],
};
const SHARE: Measured = measured(Measure::Number, "30 %", "150 %");
/// What a contact does when it operates: makes, breaks, changes over.
pub const FORMS: &[&str] = &["A", "B", "C"];
/// Shapes of magnets.
pub const SHAPES: &[&str] = &["cuboid", "cylinder", "ring", "sphere"];
const PRICE: Key = Key::optional(
    "price",
    Kind::One(measured(Measure::Number, "0", "1000000")),
    "0.85",
    "Price of one, in whatever money all prices are in.",
);
const CONTACT_BODY: &[Key] = &[
    Key::required("lead_diameter", length("0.1 mm", "3 mm"), "\"0.55 mm\"", "Diameter of the round leads."),
    Key::required("overall_length", length("4 mm", "200 mm"), "\"55 mm\"", "From lead tip to lead tip as mounted, after trimming."),
    Key::optional("calibrated_length", length("4 mm", "200 mm"), "\"55 mm\"", "From lead tip to lead tip when operate and release were measured; the family's or else the overall length if absent."),
    Key::required("blade_span", length("1 mm", "100 mm"), "\"12 mm\"", "Between the two places where the leads turn from round to flat."),
    Key::required("blade_width", length("0.1 mm", "10 mm"), "\"1.3 mm\"", "Width of the flat blades."),
    Key::required("blade_thickness", length("0.02 mm", "3 mm"), "\"0.22 mm\"", "Thickness of the flat blades."),
    Key::required("overlap", length("0.02 mm", "20 mm"), "\"1.0 mm\"", "Length over which the blades face each other."),
    Key::required("gap", length("0.001 mm", "2 mm"), "\"0.05 mm\"", "Distance between the open blades."),
    Key::optional("closed_gap", length("0.1 µm", "0.1 mm"), "\"5 µm\"", "Total thickness of the contact metals on both blades: what remains of the gap when closed.").or("5 µm"),
    Key::optional("permeability", Kind::One(measured(Measure::Number, "50", "100000")), "5000", "Relative permeability of blades and leads.").or("5000"),
    Key::optional("saturation", Kind::One(measured(Measure::Polarization, "0.1 T", "2.5 T")), "\"1.5 T\"", "Polarization beyond which blades and leads carry no more; the low end of what the table of alloys has for nickel-iron 52 if absent.").or("1.5 T"),
    Key::required("operate", THRESHOLD, "\"20..25 AT\"", "Where the open contact closes: ampere-turns in the test coil, or flux density."),
    Key::required("release", THRESHOLD, "\"9..14 AT\"", "Where the closed contact opens: ampere-turns in the test coil, or flux density."),
    Key::optional("form", Kind::Word(FORMS), "\"B\"", "A makes, B breaks when it operates. C changes over: one blade between two fixed ones, of which the answer tells the normally open side by the contact's name and the normally closed one by that name with `NC`.").or("A"),
    Key::optional("breaks", Kind::One(SHARE), "\"85..95 %\"", "Of form C: share of operate at which the normally closed side opens, the pull then having taken all of its force (from memory, no source). Above 100 % both sides are closed for a while: make before break.").or("85..97 %").only("form", &["C"]),
    Key::optional("remakes", Kind::One(SHARE), "\"75..95 %\"", "Of form C: share of release at which the normally closed side closes again (from memory, no source).").or("75..97 %").only("form", &["C"]),
    Key::required("coil", Kind::TestCoil, "{ length = \"25 mm\", mean_diameter = \"9.25 mm\" }", "What operate and release were measured in: a coil's dimensions, a [[coil]]'s name, or \"uniform\" with mT."),
    Key::optional("glass_length", length("4 mm", "60 mm"), "\"14 mm\"", "Length of the glass."),
    Key::optional("glass_diameter", length("0.5 mm", "10 mm"), "\"2.2 mm\"", "Outer diameter of the glass."),
    Key::optional("switching_power", Kind::One(measured(Measure::Power, "0.001 W", "1000 W")), "\"10 W\"", "Greatest power it may switch."),
    Key::optional("switching_voltage", Kind::One(measured(Measure::Voltage, "0.001 V", "20 kV")), "\"100 V\"", "Greatest voltage it may switch."),
    Key::optional("switching_current", Kind::One(measured(Measure::Current, "0.001 mA", "50 A")), "\"0.5 A\"", "Greatest current it may switch."),
    Key::optional("carry_current", Kind::One(measured(Measure::Current, "0.001 mA", "50 A")), "\"1 A\"", "Greatest current it may carry when closed."),
    PRICE,
];

/// `[[contact]]`
pub const CONTACT: Table = Table {
    name: "contact",
    doc: "A reed contact, normally open unless its form says otherwise. A normally open one is also closed at rest beside a magnet that keeps its place; form B is then left at A.",
    entry_key: Some("family"),
    choices: &[],
    keys: &[
        &[
            NAME,
            Key::optional(
                "family",
                Kind::Text,
                "\"sedge\"",
                "A contact family of the catalogue; any other key overrides it.",
            ),
            Key::optional(
                "repeat",
                Kind::Count(1, 200),
                "40",
                "How many equal contacts there are, named by their number: `stage 1`, `stage 2` and so on; each is built by itself and has tolerances of its own.",
            ),
            Key::optional(
                "pitch",
                POSITION,
                "[\"0 mm\", \"0 mm\", \"10 ± 0.1 mm\"]",
                "From each of them to the next; `at` is the place of the first.",
            ),
            Key::optional(
                "only",
                Kind::Count(1, 200),
                "7",
                "Which one of them this table states, alone and under its own name; the others stand in tables of theirs.",
            ),
            AT,
            AXIS.or("1 0 0"),
            Key::optional(
                "normal",
                Kind::Direction,
                "[0, 0, 1]",
                "Direction across the gap, square to the axis.",
            )
            .or("0 0 1"),
            ROTATE,
            NOTE,
        ],
        CONTACT_BODY,
        CONSTRUCTION,
    ],
};

/// `[[family]]` of a catalogue file
pub const FAMILY: Table = Table {
    name: "family",
    doc: "A contact family of a catalogue.",
    entry_key: None,
    choices: &[],
    keys: &[&[NAME, NOTE], CONTACT_BODY, CONSTRUCTION],
};

const MAGNET_BODY: &[Key] = &[
    Key::required("shape", Kind::Word(SHAPES), "\"cuboid\"", "The shape it has."),
    Key::required(
        "size",
        Kind::Three(SIZE),
        "[\"10 mm\", \"5 ± 0.1 mm\", \"5 mm\"]",
        "Sides of the cuboid along x, y and z.",
    )
    .only("shape", &["cuboid"]),
    Key::required("diameter", SIDE, "\"8 mm\"", "Diameter of the cylinder or sphere.")
        .only("shape", &["cylinder", "sphere"]),
    Key::required("outer_diameter", SIDE, "\"20 mm\"", "Outer diameter of the ring.")
        .only("shape", &["ring"]),
    Key::required("inner_diameter", CORE, "\"10 mm\"", "Diameter of the hole.")
        .only("shape", &["ring"]),
    Key::required("length", SIDE, "\"4 mm\"", "Length along the axis.")
        .only("shape", &["cylinder", "ring"]),
    AXIS.or("0 0 1").only("shape", &["cylinder", "ring"]),
    Key::required(
        "direction",
        Kind::Direction,
        "[1, 0, 0]",
        "Direction of magnetisation, from the south to the north face.",
    ),
    Key::optional(
        "grade",
        Kind::Text,
        "\"NdFeB 240/80\"",
        "Grade, with its recoil permeability and temperature coefficients.",
    ),
    Key::optional(
        "remanence",
        Kind::One(measured(Measure::Polarization, "0.001 T", "2 T")),
        "\"1.2 T ± 3 %\"",
        "Remanence at 20 °C; alone, the magnet is ideally hard, beside a grade it replaces the grade's.",
    ),
    PRICE,
];

/// How neighbours on a circle may point.
pub const POLES: &[&str] = &["same", "alternate"];

/// `circle = { ... }` of a magnet
pub const CIRCLE: Table = Table {
    name: "circle",
    doc: "Equal magnets round an axis, as on a wheel: the first as the magnet states, the others turned on. Each is built for itself: its size, material, tilt and place on the circle have their tolerance alone.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required("count", Kind::Count(1, 64), "4", "How many they are."),
        Key::required(
            "radius",
            length("0.1 mm", "1 m"),
            "\"18 ± 0.1 mm\"",
            "From the middle of the circle, where the magnet's `at` is, to the middle of each.",
        ),
        Key::optional("axis", Kind::Direction, "[0, 0, 1]", "Direction of the axis of the circle.")
            .or("0 0 1"),
        Key::optional(
            "first",
            Kind::Direction,
            "[0, 1, 0]",
            "Where the first stands, seen from the middle.",
        )
        .or("1 0 0"),
        Key::optional(
            "poles",
            Kind::Word(POLES),
            "\"alternate\"",
            "Whether all point as the first does, or every other one the opposite way.",
        )
        .or("same"),
        Key::optional(
            "angle",
            Kind::One(measured(Measure::Angle, "-180 deg", "180 deg")),
            "\"0 ± 0.5 deg\"",
            "How far each stands on from its even place, about the axis.",
        )
        .or("0 deg"),
        Key::optional(
            "height",
            length("-1 m", "1 m"),
            "\"0 ± 0.1 mm\"",
            "How far each stands out along the axis.",
        )
        .or("0 mm"),
        Key::optional(
            "only",
            Kind::Count(1, 64),
            "2",
            "Which one of them alone stands here, counted from 1; all if absent.",
        ),
    ]],
};

/// `[[magnet]]`
pub const MAGNET: Table = Table {
    name: "magnet",
    doc: "A permanent magnet.",
    entry_key: Some("catalogue"),
    choices: &[MATERIAL],
    keys: &[
        &[
            NAME,
            Key::optional(
                "catalogue",
                Kind::Text,
                "\"pebble\"",
                "A magnet of the catalogue; any other key overrides it.",
            ),
            AT,
            ROTATE,
            Key::optional(
                "circle",
                Kind::Table(&CIRCLE),
                "{ count = 4, radius = \"18 mm\", poles = \"alternate\" }",
                "Makes it several on a circle round `at`; the sweep and the answer call them by its name and their number, `pole 1`.",
            ),
            NOTE,
        ],
        MAGNET_BODY,
    ],
};

/// `[[stock]]` of a catalogue file
pub const STOCK: Table = Table {
    name: "stock",
    doc: "A magnet of a catalogue.",
    entry_key: None,
    choices: &[MATERIAL],
    keys: &[&[NAME, NOTE], MAGNET_BODY],
};

const LENGTH: Key = Key::required("length", SIDE, "\"25 mm\"", "Length of the winding.");
/// Diameters of a winding of which no wire is known.
pub(super) const DIAMETERS: &[Key] = &[
    Key::optional("mean_diameter", SIDE, "\"9.25 mm\"", "Mean diameter of a thin winding."),
    Key::optional("inner_diameter", SIDE, "\"6 mm\"", "Inner diameter of the winding."),
    Key::optional("outer_diameter", SIDE, "\"12 mm\"", "Outer diameter of the winding."),
];

/// `coil = { ... }` of a contact
pub const TEST_COIL: Table = Table {
    name: "coil",
    doc: "The coil in which operate and release were measured.",
    entry_key: None,
    choices: &[SECTION],
    keys: &[&[LENGTH], DIAMETERS],
};

/// `[[motor]]`
pub const MOTOR: Table = Table {
    name: "motor",
    doc: "A motor, a solenoid valve, a loudspeaker: what strays from it as from a dipole, which is true from some twice its own size on. It stays as it is; a field that turns or alternates is told by its greatest.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        NAME,
        Key::required(
            "field",
            Kind::One(measured(Measure::FluxDensity, "0.00001 mT", "1000 mT")),
            "\"0.4 mT\"",
            "Flux density that it strays, on the axis of the dipole.",
        ),
        Key::required(
            "distance",
            length("1 mm", "10 m"),
            "\"100 mm\"",
            "From its middle to where that was measured.",
        ),
        AT,
        Key::optional("direction", Kind::Direction, "[0, 1, 0]", "Axis of the dipole.").or("1 0 0"),
        NOTE,
    ]],
};

/// `[[conductor]]`
pub const CONDUCTOR: Table = Table {
    name: "conductor",
    doc: "A straight conductor that stays where it is: a wire, a cable, a rail with its current.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        NAME,
        Key::required(
            "current",
            Kind::One(measured(Measure::Current, "-100000 A", "100000 A")),
            "\"0..16 A\"",
            "Current through it, along its direction.",
        ),
        AT,
        Key::optional("direction", Kind::Direction, "[0, 1, 0]", "Which way the current goes.")
            .or("1 0 0"),
        Key::optional(
            "diameter",
            length("0.01 mm", "1 m"),
            "\"1.4 mm\"",
            "Diameter of the conductor.",
        )
        .or("1 mm"),
        Key::optional(
            "length",
            length("1 mm", "1000 m"),
            "\"0.5 m\"",
            "Length of it, `at` in the middle; far longer than all else if absent. What leads to its ends is not counted.",
        ),
        NOTE,
    ]],
};
