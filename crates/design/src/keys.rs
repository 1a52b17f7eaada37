//! Every table and key of a design file, with its range, default, meaning and an example.

mod choose;
mod coil;
mod construction;
mod door;
mod latch;
mod level;
mod life;
mod load;
mod parts;
mod relay;
mod rotor;
mod steel;
mod target;

pub use choose::{CHOOSE, COSTS, RANGE};
pub use coil::{BOBBIN, COIL, LAYS};
pub use door::DOOR;
pub use latch::LATCH;
pub use level::{
    ENDS, FLOAT, HULLS, LADDER, READINGS, SERIES, SLOSH, STRAPPED_LEVEL, STRAPPED_VOLUME, TANK,
    TANKS,
};
pub use life::LIFE;
pub use load::{LOAD, LOADS, PROTECTIONS};
pub use parts::{CIRCLE, CONDUCTOR, CONTACT, FAMILY, MAGNET, MOTOR, SHAPES, STOCK, TEST_COIL};
pub use relay::RELAY;
pub use rotor::ROTOR;
pub use steel::{BOX, MESH_UNITS, STEEL, STEEL_SHAPES};
pub use target::TARGET;

use crate::schema::{Alternative, Choice, Key, Kind, Limits, Measure, Measured, Table};
use crate::value::SourceMark;

const fn measured(measure: Measure, low: &'static str, high: &'static str) -> Measured {
    Measured { measure, limits: Limits { low, high } }
}

const fn length(low: &'static str, high: &'static str) -> Kind {
    Kind::One(measured(Measure::Length, low, high))
}

/// Where anything may be.
pub const PLACE_LIMITS: Measured = measured(Measure::Length, "-10 m", "10 m");
/// How far anything may be tilted.
pub const TILT_LIMITS: Measured = measured(Measure::Angle, "-360 deg", "360 deg");
const POSITION: Kind = Kind::Three(PLACE_LIMITS);
const TILT: Kind = Kind::Three(TILT_LIMITS);
const ANGLE: Kind = Kind::One(measured(Measure::Angle, "-36000 deg", "36000 deg"));
const MMF: Measured = measured(Measure::AmpereTurns, "-100000 AT", "100000 AT");
const CURRENT: Measured = measured(Measure::Current, "-1000 A", "1000 A");
const DRIVE: Kind = Kind::Either(MMF, CURRENT);
const VOLTAGE: Kind = Kind::One(measured(Measure::Voltage, "-10 kV", "10 kV"));
const fn either(with: &'static [&'static str], without: &'static [&'static str]) -> Alternative {
    Alternative { with, without }
}

const POSES: Choice = Choice {
    only: Some(("kind", "table")),
    of: &[either(&["poses"], &["file"]), either(&["file"], &["poses"])],
};
const DEMANDED: Choice = Choice {
    only: None,
    of: &[
        either(&["contact", "closed"], &["open", "closures", "figure"]),
        either(&["contact", "open"], &["closed", "closures", "figure"]),
        either(&["contact", "closures"], &["closed", "open", "figure"]),
        either(&["figure", "within"], &["contact", "closed", "open", "closures"]),
    ],
};

/// Kinds of sweep.
pub const SWEEPS: &[&str] = &["line", "arc", "spin", "table", "level", "current", "voltage"];
const COORDINATES: &[&str] = &["x", "y", "z", "travel"];
const MOVING: &[&str] = &["line", "arc", "spin", "table", "level"];
const TURNING: &[&str] = &["arc", "spin"];

const NAME: Key =
    Key::required("name", Kind::Name, "\"lid\"", "What the rest of the file calls it.");
const NOTE: Key =
    Key::optional("note", Kind::Text, "\"as drawn\"", "Words for the reader of the report.");
const AXIS: Key =
    Key::optional("axis", Kind::Direction, "[0, 0, 1]", "Direction of its axis in the world.");
const ROTATE: Key = Key::optional(
    "rotate",
    TILT,
    "[\"0 ± 2 deg\", \"0 deg\", \"0 deg\"]",
    "Tilt about the world's x, then y, then z through its own centre.",
)
.or("0 deg");
const AT: Key = Key::optional(
    "at",
    POSITION,
    "[\"0 mm\", \"0 mm\", \"8 ± 0.3 mm\"]",
    "Its centre in the world.",
)
.or("0 mm");

/// `[sweep]`
pub const SWEEP: Table = Table {
    name: "sweep",
    doc: "What changes: the path of what moves, or the current or voltage of a coil.",
    entry_key: None,
    choices: &[POSES],
    keys: &[&[
        Key::required("kind", Kind::Word(SWEEPS), "\"line\"", "Kind of sweep."),
        Key::required("moves", Kind::Names, "\"slug\"", "What moves. Of several, the first follows the path and the others keep their place beside it.").only("kind", MOVING),
        Key::required("from", POSITION, "[\"0 mm\", \"0 mm\", \"30 mm\"]", "Position of what moves first at the start, in place of its own.").only("kind", &["line"]),
        Key::required("to", POSITION, "[\"0 mm\", \"0 mm\", \"5 mm\"]", "Its position at the end.").only("kind", &["line"]),
        Key::required("from", Kind::One(PLACE_LIMITS), "\"20 mm\"", "Level of the liquid at the start, as a height in the world.").only("kind", &["level"]),
        Key::required("to", Kind::One(PLACE_LIMITS), "\"400 mm\"", "Level of the liquid at the end.").only("kind", &["level"]),
        Key::required("from", ANGLE, "\"0 deg\"", "Angle at the start; everything is as stated at 0 deg.").only("kind", &["arc"]),
        Key::required("to", ANGLE, "\"90 deg\"", "Angle at the end.").only("kind", &["arc"]),
        Key::optional("from", ANGLE, "\"0 deg\"", "Angle at the start; everything is as stated at 0 deg.").or("0 deg").only("kind", &["spin"]),
        Key::optional("to", ANGLE, "\"360 deg\"", "Angle at the end.").or("360 deg").only("kind", &["spin"]),
        Key::required("from", DRIVE, "\"0 AT\"", "Ampere-turns or amperes at the start.").only("kind", &["current"]),
        Key::required("to", DRIVE, "\"40 AT\"", "Ampere-turns or amperes at the end.").only("kind", &["current"]),
        Key::optional("coordinate", Kind::Word(COORDINATES), "\"z\"", "Which coordinate events and demands are stated in; the only one that changes, else the distance travelled.").only("kind", &["line"]),
        Key::required("centre", POSITION, "[\"0 mm\", \"0 mm\", \"0 mm\"]", "A point on the axis of turning.").only("kind", TURNING),
        Key::required("axis", Kind::Direction, "[0, 1, 0]", "Direction of the axis of turning.").only("kind", TURNING),
        Key::optional("poses", Kind::Poses, "[[\"0 mm\", \"0 mm\", \"10 mm\"], [\"0 mm\", \"0 mm\", \"8 mm\"]]", "Positions one after another, each with three angles after it if it also turns.").only("kind", &["table"]),
        Key::optional("file", Kind::Text, "\"poses.csv\"", "A file of poses beside the design, with a header such as x_mm,y_mm,z_mm.").only("kind", &["table"]),
        Key::required("from", VOLTAGE, "\"0 V\"", "Voltage at the coil at the start.").only("kind", &["voltage"]),
        Key::required("to", VOLTAGE, "\"6 V\"", "Voltage at the coil at the end.").only("kind", &["voltage"]),
        Key::required("coil", Kind::Text, "\"drive\"", "The coil whose current changes.").only("kind", &["current", "voltage"]),
        Key::optional("warmed_by", VOLTAGE, "\"5 V\"", "Voltage that warmed the coil through just before; its wire is then hotter than the surroundings. At 0 V it was off.").or("0 V").only("kind", &["voltage"]),
        NOTE,
    ]],
};

/// `[[demand]]`
pub const DEMAND: Table = Table {
    name: "demand",
    doc: "What the events must be, in the sweep's own coordinate, or what a figure must be.",
    entry_key: None,
    choices: &[DEMANDED],
    keys: &[&[
        Key::optional("name", Kind::Text, "\"shut\"", "What the report calls it."),
        Key::optional("contact", Kind::Text, "\"lid\"", "The contact it is about."),
        Key::optional(
            "closed",
            Kind::Region,
            "\"<= 8 mm\"",
            "Where the contact must be closed, whichever way the sweep runs.",
        ),
        Key::optional(
            "open",
            Kind::Region,
            "\">= 22 mm\"",
            "Where the contact must be open, whichever way the sweep runs.",
        ),
        Key::optional(
            "closures",
            Kind::Count(0, 1000),
            "1",
            "How often the contact must operate in one forward pass.",
        ),
        Key::optional(
            "figure",
            Kind::Text,
            "\"differential of lid\"",
            "A figure of the answer, by its name, in place of a contact.",
        ),
        Key::optional(
            "within",
            Kind::Region,
            "\"<= 3 mm\"",
            "Where the figure must lie, in a unit of its own.",
        ),
        NOTE,
    ]],
};

/// `[surroundings]`
pub const SURROUNDINGS: Table = Table {
    name: "surroundings",
    doc: "What everything is in.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::optional(
            "temperature",
            Kind::One(measured(Measure::Temperature, "-200 °C", "500 °C")),
            "\"-20..70 °C\"",
            "Temperature of everything.",
        )
        .or("20 °C"),
        Key::optional(
            "field",
            Kind::Three(measured(Measure::FluxDensity, "-1 T", "1 T")),
            "[\"0 ± 0.05 mT\", \"0 mT\", \"0 mT\"]",
            "A uniform field from elsewhere, such as the earth's.",
        )
        .or("0 mT"),
        Key::optional(
            "earth",
            Kind::One(measured(Measure::FluxDensity, "0.001 mT", "0.1 mT")),
            "\"48 ± 2 µT\"",
            "Size of the earth's field, whose direction nobody knows: what share of operate it is at most is told with conductors and motors near by, or where this is stated. It drives nothing.",
        )
        .or("25..65 µT"),
        Key::optional(
            "matters",
            Kind::One(measured(Measure::Number, "0.1 %", "100 %")),
            "\"2 %\"",
            "Share of what operates a contact from which a field from outside matters (common practice, no source): it shifts operate by as much.",
        )
        .or("5 %"),
    ]],
};

/// The file itself
pub const DESIGN: Table = Table {
    name: "design",
    doc: "A Reedmace design: contacts, what makes field, one sweep, and what is demanded.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required("format", Kind::Count(1, 1), "1", "Version of this file's format."),
        Key::required(
            "title",
            Kind::Text,
            "\"Feed hopper lid\"",
            "What it is, for the title block.",
        ),
        Key::optional("revision", Kind::Text, "\"B\"", "Revision, for the title block."),
        NOTE,
        Key::optional(
            "catalogue",
            Kind::Files,
            "[\"our-contacts.toml\"]",
            "Catalogue files beside the design that extend or override the built-in catalogue.",
        ),
        Key::required("contact", Kind::Tables(&CONTACT), "", "The reed contacts."),
        Key::optional("magnet", Kind::Tables(&MAGNET), "", "The permanent magnets."),
        Key::optional(
            "coil",
            Kind::Tables(&COIL),
            "",
            "The coils, as sources of field or as test coils.",
        ),
        Key::optional("conductor", Kind::Tables(&CONDUCTOR), "", "Straight conductors near by."),
        Key::optional("motor", Kind::Tables(&MOTOR), "", "Motors and the like near by."),
        Key::optional("steel", Kind::Tables(&STEEL), "", "The bodies of soft magnetic steel."),
        Key::required("sweep", Kind::Table(&SWEEP), "", "What changes."),
        Key::optional("rotor", Kind::Table(&ROTOR), "", "A wheel whose turning is counted."),
        Key::optional(
            "relay",
            Kind::Table(&RELAY),
            "",
            "A coil that drives contacts from a supply.",
        ),
        Key::optional(
            "latch",
            Kind::Table(&LATCH),
            "",
            "That the contacts keep their state while what changes is away.",
        ),
        Key::optional("load", Kind::Tables(&LOAD), "", "What the contacts switch."),
        Key::optional("life", Kind::Table(&LIFE), "", "What a test says of the contacts' life."),
        Key::optional("demand", Kind::Tables(&DEMAND), "", "What is demanded."),
        Key::optional("surroundings", Kind::Table(&SURROUNDINGS), "", "What everything is in."),
        Key::optional("float", Kind::Table(&FLOAT), "", "The float of a level sweep."),
        Key::optional("tank", Kind::Table(&TANK), "", "The tank of a level sweep."),
        Key::optional("slosh", Kind::Table(&SLOSH), "", "What shakes the tank of a level sweep."),
        Key::optional(
            "ladder",
            Kind::Table(&LADDER),
            "",
            "Resistors that tell which contacts of a level sweep are closed.",
        ),
        Key::optional(
            "correlation",
            Kind::Tables(&CORRELATION),
            "",
            "Quantities that go together from unit to unit.",
        ),
        Key::optional("door", Kind::Table(&DOOR), "", "That what moves is a door."),
        Key::optional(
            "target",
            Kind::Table(&TARGET),
            "",
            "That what moves is steel which the contact and its magnet watch for.",
        ),
        Key::optional("choose", Kind::Table(&CHOOSE), "", "What may be chosen."),
    ]],
};

const VALUED: Choice = Choice {
    only: None,
    of: &[either(&["value"], &["mixture"]), either(&["mixture"], &["value", "spread"])],
};
const MIXTURE: &str =
    "[{ value = \"1.20 ± 0.02 T\", share = 0.7 }, { value = \"1.24 ± 0.03 T\", share = 0.3 }]";

/// `{ value = "...", source = "...", note = "...", spread = "..." }` in place of any quantity
pub const VALUE: Table = Table {
    name: "value",
    doc: "A quantity that says where it is from, or that units take from several suppliers.",
    entry_key: None,
    choices: &[VALUED],
    keys: &[&[
        Key::optional("value", Kind::Text, "\"8 ± 0.3 mm\"", "The quantity."),
        Key::optional(
            "mixture",
            Kind::Tables(&PART),
            MIXTURE,
            "In place of `value`: units take it from one of several, such as suppliers. The nominal unit takes the first; the worst case anything between the outermost limits.",
        ),
        Key::optional("source", Kind::Word(SourceMark::WORDS), "\"measured\"", "Where it is from."),
        Key::optional(
            "note",
            Kind::Text,
            "\"calliper, ten pieces\"",
            "Words for the reader of the report.",
        ),
        SPREAD,
    ]],
};

/// How a quantity spreads, whole or as a part of a mixture.
const SPREAD: Key = Key::optional(
    "spread",
    Kind::Word(SPREADS),
    "\"uniform\"",
    "How units spread between the limits.",
);

/// `{ value = "...", share = ... }` in a mixture
pub const PART: Table = Table {
    name: "part",
    doc: "One of several that units take a quantity from.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required(
            "value",
            Kind::Text,
            "\"1.20 ± 0.02 T\"",
            "The quantity in units of this part.",
        ),
        Key::required(
            "share",
            Kind::One(measured(Measure::Number, "0", "1")),
            "0.7",
            "Share of the units; those of all parts make 1.",
        ),
        SPREAD,
    ]],
};

/// `[[correlation]]`
pub const CORRELATION: Table = Table {
    name: "correlation",
    doc: "Quantities that go together from unit to unit.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::required(
            "of",
            Kind::Quantities,
            "[\"contact[lid].operate\", \"contact[lid].release\"]",
            "Two or more quantities of the design that carry a tolerance, as the answer names them.",
        ),
        Key::required(
            "rank",
            Kind::One(measured(Measure::Number, "-1", "1")),
            "0.8",
            "Rank correlation (Spearman's) of every two of them: 1 if a unit with more of one always has more of the other, 0 if they have nothing to do with each other.",
        ),
        NOTE,
    ]],
};

/// How units may spread between the limits of a quantity.
pub const SPREADS: &[&str] = &["normal", "uniform"];

/// A catalogue file
pub const CATALOGUE: Table = Table {
    name: "catalogue",
    doc: "A catalogue of contact families and magnets.",
    entry_key: None,
    choices: &[],
    keys: &[&[
        Key::optional("note", Kind::Text, "\"our stock\"", "Words for the reader."),
        Key::optional("family", Kind::Tables(&FAMILY), "", "Contact families to choose from."),
        Key::optional("stock", Kind::Tables(&STOCK), "", "Magnets to choose from."),
    ]],
};
