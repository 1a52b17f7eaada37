//! Regions in the sweep's coordinate, and what that coordinate is.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::measured::{limits_of, region_of};
use crate::motion::{Coordinate, DriveRange, Reach, Sweep, Thing};
use crate::reader::Reader;
use crate::schema::Measure;
use reedmace_units::TextError;
use std::ops::Range;
use toml::de::DeValue;

impl Sweep {
    /// `line`, `arc`, `spin`, `table`, `level`, `current` or `voltage`.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Line(_) => "line",
            Self::Arc(_) => "arc",
            Self::Spin(_) => "spin",
            Self::Table(_) => "table",
            Self::Level(_) => "level",
            Self::Current(_) => "current",
            Self::Voltage(_) => "voltage",
        }
    }

    /// What moves along it; nothing where a coil is swept.
    pub fn moves(&self) -> &[Thing] {
        match self {
            Self::Line(line) => &line.moves,
            Self::Arc(turn) | Self::Spin(turn) => &turn.moves,
            Self::Table(table) => &table.moves,
            Self::Level(level) => &level.moves,
            Self::Current(_) | Self::Voltage(_) => &[],
        }
    }

    /// The coil whose current or voltage is the coordinate, if one is: an index into
    /// [`Design::coils`](crate::Design::coils).
    pub fn swept_coil(&self) -> Option<usize> {
        match self {
            Self::Current(sweep) => Some(sweep.coil),
            Self::Voltage(sweep) => Some(sweep.coil),
            _ => None,
        }
    }

    /// What the coordinate is called: `x`, `y`, `z`, `travel`, `angle`, `pose`, `level`, `ampere-turns`,
    /// `current` or `voltage`.
    pub fn coordinate_word(&self) -> &'static str {
        match self {
            Self::Line(line) => match line.coordinate {
                Coordinate::X => "x",
                Coordinate::Y => "y",
                Coordinate::Z => "z",
                Coordinate::Travel => "travel",
            },
            Self::Arc(_) | Self::Spin(_) => "angle",
            Self::Table(_) => "pose",
            Self::Level(_) => "level",
            Self::Current(sweep) => match sweep.range {
                DriveRange::AmpereTurns { .. } => "ampere-turns",
                DriveRange::Current { .. } => "current",
            },
            Self::Voltage(_) => "voltage",
        }
    }

    /// The coordinate in a sentence: `z of what moves`, `the number of the pose`.
    pub fn coordinate_phrase(&self) -> &'static str {
        match self.coordinate_word() {
            "x" => "x of what moves",
            "y" => "y of what moves",
            "z" => "z of what moves",
            "travel" => "the distance travelled",
            "angle" => "the angle turned",
            "pose" => "the number of the pose",
            "level" => "the level of the liquid",
            "current" => "the current in the coil",
            "voltage" => "the voltage across the coil",
            _ => "the ampere-turns of the coil",
        }
    }

    /// Which quantity the coordinate is; a pose number is a pure number.
    pub fn coordinate_measure(&self) -> Measure {
        match self {
            Self::Line(_) | Self::Level(_) => Measure::Length,
            Self::Arc(_) | Self::Spin(_) => Measure::Angle,
            Self::Table(_) => Measure::Number,
            Self::Current(sweep) => match sweep.range {
                DriveRange::AmpereTurns { .. } => Measure::AmpereTurns,
                DriveRange::Current { .. } => Measure::Current,
            },
            Self::Voltage(_) => Measure::Voltage,
        }
    }

    /// Nominal coordinate where the forward pass starts and where it ends, in SI; poses count
    /// from 1.
    pub fn coordinate_range(&self) -> (f64, f64) {
        match self {
            Self::Line(line) => {
                let ends = |axis: usize| (line.from[axis].si(), line.to[axis].si());
                match line.coordinate {
                    Coordinate::X => ends(0),
                    Coordinate::Y => ends(1),
                    Coordinate::Z => ends(2),
                    Coordinate::Travel => {
                        let squares = [0, 1, 2].map(ends).map(|(from, to)| (to - from).powi(2));
                        (0.0, squares.iter().sum::<f64>().sqrt())
                    }
                }
            }
            Self::Arc(turn) | Self::Spin(turn) => (turn.from.si(), turn.to.si()),
            Self::Table(table) => (1.0, table.poses.len() as f64),
            Self::Level(level) => (level.from.si(), level.to.si()),
            Self::Current(sweep) => match &sweep.range {
                DriveRange::AmpereTurns { from, to } => (from.si(), to.si()),
                DriveRange::Current { from, to } => (from.si(), to.si()),
            },
            Self::Voltage(sweep) => (sweep.from.si(), sweep.to.si()),
        }
    }
}

/// What regions along a sweep are stated in.
pub(crate) struct Scale {
    sweep: &'static str,
    phrase: &'static str,
    measure: Measure,
}

impl Scale {
    /// Of a sound sweep.
    pub fn of(sweep: &Sweep) -> Self {
        let (phrase, measure) = (sweep.coordinate_phrase(), sweep.coordinate_measure());
        Self { sweep: sweep.word(), phrase, measure }
    }

    /// Of a faulty sweep whose kind alone tells, so that demands can be read all the same.
    pub fn of_kind(kind: &str) -> Option<Self> {
        let (sweep, phrase, measure) = match kind {
            "line" => ("line", "a length along it", Measure::Length),
            "arc" => ("arc", "the angle turned", Measure::Angle),
            "spin" => ("spin", "the angle turned", Measure::Angle),
            "table" => ("table", "the number of the pose", Measure::Number),
            "level" => ("level", "the level of the liquid", Measure::Length),
            _ => return None,
        };
        Some(Self { sweep, phrase, measure })
    }
}

/// Whether a text is a quantity of this measure.
pub(crate) fn parse_as(measure: Measure, text: &str) -> Result<(), TextError> {
    limits_of(measure, text).map(|_| ())
}

/// Reads a region in the sweep's coordinate; also gives its text and place.
pub(crate) fn region(
    reader: &Reader<'_>,
    name: &str,
    scale: &Scale,
) -> Option<(Reach, String, Range<usize>)> {
    region_in(reader, name, scale.measure, &|| {
        let message = format!("`{name}` is not in the sweep's own coordinate");
        let help = format!(
            "this is {} {} sweep and its coordinate is {}",
            article(scale.sweep),
            scale.sweep,
            scale.phrase
        );
        (message, help)
    })
}

/// Reads a region of a measure; `told`: message and help for one of another measure.
pub(crate) fn region_in(
    reader: &Reader<'_>,
    name: &str,
    measure: Measure,
    told: &dyn Fn() -> (String, String),
) -> Option<(Reach, String, Range<usize>)> {
    let node = reader.node(name)?;
    let DeValue::String(text) = node.value else {
        reader.wrong_type(name, &node, "a region as text");
        return None;
    };
    match region_of(measure, text) {
        Ok(reach) => Some((reach, text.to_string(), node.span)),
        Err(error) if matches!(error.code, "Q0106" | "Q0107") => {
            let wanted = match measure {
                Measure::Number => "a number without unit".to_owned(),
                _ => format!(
                    "{} {}, in {}",
                    article(measure.name()),
                    measure.name(),
                    symbols(measure)
                ),
            };
            let (message, help) = told();
            let fault = reader.in_text(&error, &node, text);
            let place = fault.labels.first().map_or(node.span.clone(), |one| one.span.clone());
            reader.faults.add(
                Diagnostic::error(codes::WRONG_QUANTITY, message)
                    .at(&place, format!("must be {wanted}"))
                    .help(help),
            );
            None
        }
        Err(error) => {
            reader.faults.add(reader.in_text(&error, &node, text));
            None
        }
    }
}

pub(crate) fn article(noun: &str) -> &'static str {
    if noun.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

fn symbols(measure: Measure) -> String {
    let symbols: Vec<&str> = measure.units().iter().map(|unit| unit.symbol).collect();
    crate::faults::listing(&symbols, "or")
}
