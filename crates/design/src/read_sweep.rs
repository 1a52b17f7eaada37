//! `[sweep]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::files::Load;
use crate::model::{Coil, Position, Tilt};
use crate::motion::{
    Coordinate, CurrentSweep, DriveRange, LevelSweep, Line, Pose, Poses, Sweep, Thing, Turn,
    VoltageSweep,
};
use crate::naming;
use crate::poses;
use crate::read_contact::choose;
use crate::read_relay::knows_resistance;
use crate::reader::{Node, Reader};
use crate::schema::{Kind, Measured};
use crate::value::{SourceMark, Value};
use reedmace_units::{Angle, Length, Quantity, Toleranced, Voltage};
use std::ops::Range;
use toml::de::DeValue;

/// What a sweep may name.
pub(crate) struct Names<'n> {
    pub things: &'n [(String, Thing)],
    pub coils: &'n [Option<Coil>],
}

/// Reads the sweep, and the places of what it names in `moves`.
pub(crate) fn sweep(reader: &Reader<'_>, names: &Names<'_>, load: &Load<'_>) -> Option<Sweep> {
    let kind = reader.word("kind")?;
    reader.choose("kind", kind);
    let driven = matches!(kind, "current" | "voltage");
    let moves = if driven { Some(Vec::new()) } else { moves(reader, names) };
    match kind {
        "line" => line(reader, moves),
        "arc" => turn(reader, moves).map(Sweep::Arc),
        "spin" => turn(reader, moves).map(Sweep::Spin),
        "table" => {
            let poses = all_poses(reader, load);
            Some(Sweep::Table(Poses { moves: moves?, poses: poses? }))
        }
        "level" => level_sweep(reader, moves),
        "current" => current(reader, names).map(Sweep::Current),
        "voltage" => voltage(reader, names).map(Sweep::Voltage),
        _ => unreachable!("the word is one of the kinds"),
    }
}

fn moves(reader: &Reader<'_>, names: &Names<'_>) -> Option<Vec<Thing>> {
    let texts = reader.texts("moves")?;
    let known: Vec<&str> = names.things.iter().map(|(name, _)| name.as_str()).collect();
    let mut things = Vec::new();
    let mut good = true;
    for (text, span) in &texts {
        // A circle's name stands for all magnets on it.
        let named: Vec<Thing> =
            names.things.iter().filter(|(name, _)| name == text).map(|(_, thing)| *thing).collect();
        match named.iter().any(|thing| things.contains(thing)) {
            true => {
                good = false;
                reader.faults.add(
                    Diagnostic::error(codes::NAME_TWICE, format!("\"{text}\" moves twice"))
                        .at(span, "already in the list")
                        .help("name each thing that moves once"),
                );
            }
            false if !named.is_empty() => things.extend(named),
            false => {
                good = false;
                reader.faults.add(
                    Diagnostic::error(
                        codes::UNKNOWN_NAME,
                        format!("there is no \"{text}\" to move"),
                    )
                    .at(span, "not the name of a contact, magnet, coil or body of steel")
                    .help(suggest(text, &known, "what can move here")),
                );
            }
        }
    }
    if texts.is_empty() && reader.states("moves") {
        good = false;
        reader.faults.add(
            Diagnostic::error(codes::WRONG_TYPE, "nothing moves")
                .at(&reader.span_of("moves"), "needs at least one name")
                .help(suggest("", &known, "what can move here")),
        );
    }
    (good && !things.is_empty()).then_some(things)
}

fn line(reader: &Reader<'_>, moves: Option<Vec<Thing>>) -> Option<Sweep> {
    let from = reader.three::<Length>("from");
    let to = reader.three::<Length>("to");
    let coordinate = reader.find("coordinate").map(|_| reader.word("coordinate"));
    let (from, to): (Position, Position) = (from?, to?);
    let changing: Vec<usize> = (0..3).filter(|&axis| from[axis].si() != to[axis].si()).collect();
    if changing.is_empty() {
        nowhere(reader, "the same position as `from`");
        return None;
    }
    let coordinate = match coordinate {
        None => match changing[..] {
            [axis] => AXES[axis],
            _ => Coordinate::Travel,
        },
        Some(word) => {
            let word = word?;
            let axis = ["x", "y", "z"].iter().position(|axis| *axis == word);
            if let Some(axis) = axis.filter(|axis| !changing.contains(axis)) {
                let message = format!("{word} does not change along this line");
                reader.faults.add(
                    Diagnostic::error(codes::COORDINATE_STILL, message)
                        .at(&reader.span_of("coordinate"), "cannot tell one place from another")
                        .beside(&from[axis].span, "starts here")
                        .beside(&to[axis].span, "and ends here")
                        .help("choose a coordinate that changes, or \"travel\""),
                );
                return None;
            }
            axis.map_or(Coordinate::Travel, |axis| AXES[axis])
        }
    };
    Some(Sweep::Line(Line { moves: moves?, from, to, coordinate }))
}

const AXES: [Coordinate; 3] = [Coordinate::X, Coordinate::Y, Coordinate::Z];

fn nowhere(reader: &Reader<'_>, words: &str) {
    reader.faults.add(
        Diagnostic::error(codes::GOES_NOWHERE, "the sweep begins where it ends")
            .at(&reader.span_of("to"), words)
            .beside(&reader.span_of("from"), "begins here")
            .help("`from` and `to` must differ in their nominal values"),
    );
}

fn turn(reader: &Reader<'_>, moves: Option<Vec<Thing>>) -> Option<Turn> {
    let centre = reader.three("centre");
    let axis = reader.direction("axis");
    let from: Option<Value<Angle>> = reader.one("from");
    let to: Option<Value<Angle>> = reader.one("to");
    let (from, to) = (from?, to?);
    if from.si() == to.si() {
        nowhere(reader, "the same angle as `from`");
        return None;
    }
    Some(Turn { moves: moves?, centre: centre?, axis: axis?.0, from, to })
}

fn level_sweep(reader: &Reader<'_>, moves: Option<Vec<Thing>>) -> Option<Sweep> {
    let (from, to): (Option<Value<Length>>, Option<Value<Length>>) =
        (reader.one("from"), reader.one("to"));
    let (from, to) = (from?, to?);
    if from.si() == to.si() {
        nowhere(reader, "the same level as `from`");
        return None;
    }
    Some(Sweep::Level(LevelSweep { moves: moves?, from, to }))
}

fn current(reader: &Reader<'_>, names: &Names<'_>) -> Option<CurrentSweep> {
    let coil = coil_of(reader, names);
    let Kind::Either(turns, amperes) = reader.key("from").kind else {
        panic!("a current sweep's ends are described as one of two")
    };
    let (from, to) = (reader.node("from"), reader.node("to"));
    let (from, to) = (from?, to?);
    let measures = [turns, amperes];
    let (first, last) =
        (choose(reader, "from", &from, measures), choose(reader, "to", &to, measures));
    if first? != last? {
        reader.faults.add(
            Diagnostic::error(
                codes::WRONG_QUANTITY,
                "the sweep begins in one quantity and ends in another",
            )
            .at(&to.span, "must be of the same kind as `from`")
            .beside(&from.span, "begins here")
            .help("state both in AT, or both in A"),
        );
        return None;
    }
    let range = if first? == 0 {
        let (from, to) = ends(reader, &from, &to, turns)?;
        DriveRange::AmpereTurns { from, to }
    } else {
        let (from, to) = ends(reader, &from, &to, amperes)?;
        DriveRange::Current { from, to }
    };
    let coil = coil?;
    let turns_known = names.coils[coil].as_ref().is_none_or(|coil| coil.turns.is_some());
    if matches!(range, DriveRange::Current { .. }) && !turns_known {
        let name = reader.text("coil").unwrap_or_default();
        reader.faults.add(
            Diagnostic::error(codes::NEEDS_TURNS, "a current makes a field only through turns")
                .at(&from.span, format!("coil \"{name}\" does not state its `turns`"))
                .help("add `turns` to the coil, or sweep in AT"),
        );
        return None;
    }
    Some(CurrentSweep { coil, range })
}

fn voltage(reader: &Reader<'_>, names: &Names<'_>) -> Option<VoltageSweep> {
    let coil = coil_of(reader, names);
    let (from, to): (Option<Value<Voltage>>, Option<Value<Voltage>>) =
        (reader.one("from"), reader.one("to"));
    let warmed_by = reader.one("warmed_by");
    let (from, to) = (from?, to?);
    if from.si() == to.si() {
        nowhere(reader, "the same voltage as `from`");
        return None;
    }
    let coil = coil?;
    // A coil that is faulty itself is told already.
    let known = names.coils[coil].as_ref().is_none_or(|one| knows_resistance(reader, one));
    known.then_some(())?;
    Some(VoltageSweep { coil, from, to, warmed_by: warmed_by? })
}

fn ends<Q: Quantity>(
    reader: &Reader<'_>,
    from: &Node<'_>,
    to: &Node<'_>,
    measured: Measured,
) -> Option<(Value<Q>, Value<Q>)> {
    let from = reader.quantity::<Q>("from", from, reader.path_of("from"), measured);
    let to = reader.quantity::<Q>("to", to, reader.path_of("to"), measured);
    let (from, to) = (from?, to?);
    if from.si() == to.si() {
        nowhere(reader, "the same as `from`");
        return None;
    }
    Some((from, to))
}

fn coil_of(reader: &Reader<'_>, names: &Names<'_>) -> Option<usize> {
    let coils = names.things.iter().filter_map(|(name, thing)| match thing {
        Thing::Coil(index) => Some((name.as_str(), *index)),
        _ => None,
    });
    let (known, indices): (Vec<&str>, Vec<usize>) = coils.unzip();
    naming::index(reader, "coil", &known).map(|found| indices[found])
}

fn all_poses(reader: &Reader<'_>, load: &Load<'_>) -> Option<Vec<Pose>> {
    let (inline, file) = (reader.find("poses"), reader.find("file"));
    let (poses, span) = match (inline, file) {
        (Some(poses), Some(file)) => {
            reader.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "the poses are stated twice")
                    .at(&file.span, "either this")
                    .beside(&poses.span, "or this")
                    .help("keep `poses` or `file`"),
            );
            return None;
        }
        (None, None) => {
            if !reader.may_lack() {
                reader.faults.add(
                    Diagnostic::error(codes::MISSING_KEY, "a table sweep has no poses")
                        .at(&reader.header, "needs `poses` or `file`")
                        .help("add poses = [[\"0 mm\", \"0 mm\", \"10 mm\"], ...] or file = \"poses.csv\""),
                );
            }
            return None;
        }
        (Some(node), None) => (inline_poses(reader, &node)?, node.span),
        (None, Some(node)) => {
            let (name, span) = reader.marked_text("file")?;
            (poses::from_file(reader, &name, &node.span, load)?, span)
        }
    };
    if poses.len() < 2 {
        reader.faults.add(
            Diagnostic::error(codes::TOO_FEW_POSES, "a table sweep needs at least two poses")
                .at(&span, format!("{} given", poses.len()))
                .help("one pose alone has no events; add the poses before and after it"),
        );
        return None;
    }
    Some(poses)
}

const LENGTH: Measured = poses::LENGTH;
const ANGLE: Measured = poses::ANGLE;

fn inline_poses(reader: &Reader<'_>, node: &Node<'_>) -> Option<Vec<Pose>> {
    let DeValue::Array(rows) = node.value else {
        reader.wrong_type("poses", node, "a list of poses");
        return None;
    };
    let read: Vec<Option<Pose>> = rows
        .iter()
        .enumerate()
        .map(|(number, row)| pose(reader, &node.child(row), number))
        .collect();
    read.into_iter().collect()
}

fn pose(reader: &Reader<'_>, row: &Node<'_>, number: usize) -> Option<Pose> {
    let cells: Vec<Node<'_>> = match row.value {
        DeValue::Array(cells) => cells.iter().map(|cell| row.child(cell)).collect(),
        _ => {
            reader.wrong_type("poses", row, "a list of poses, each a list of three lengths");
            return None;
        }
    };
    if cells.len() != 3 && cells.len() != 6 {
        reader.faults.add(
            Diagnostic::error(codes::NOT_THREE, "a pose is three lengths, or three lengths and three angles")
                .at(&row.span, format!("{} values", cells.len()))
                .help("for example [\"0 mm\", \"0 mm\", \"10 mm\"] or [\"0 mm\", \"0 mm\", \"10 mm\", \"0 deg\", \"15 deg\", \"0 deg\"]"),
        );
        return None;
    }
    let path = |column: usize| format!("{}[{number}][{column}]", reader.path_of("poses"));
    let at = [0, 1, 2].map(|axis| reader.quantity("poses", &cells[axis], path(axis), LENGTH));
    let rotate = [3, 4, 5].map(|axis| match cells.get(axis) {
        Some(cell) => reader.quantity("poses", cell, path(axis), ANGLE),
        None => Some(level(path(axis), &row.span)),
    });
    let ([x, y, z], [rx, ry, rz]) = (at, rotate);
    let at: Position = [x?, y?, z?];
    let rotate: Tilt = [rx?, ry?, rz?];
    Some(Pose { at, rotate })
}

/// No turn, where none is stated.
pub(crate) fn level(path: String, span: &Range<usize>) -> Value<Angle> {
    let is = Toleranced::exact(Angle::deg(0.0));
    Value {
        is,
        mixture: Vec::new(),
        path,
        span: span.clone(),
        source: Some(SourceMark::Default),
        note: None,
    }
}
