//! Poses from a file of comma-separated values.
//!
//! The header names each column with its unit: `x_mm,y_mm,z_mm`, and if wanted
//! `rx_deg,ry_deg,rz_deg`, in any order. Empty lines and lines that begin with `#` are skipped.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::listing;
use crate::files::{Load, text_of};
use crate::keys::{PLACE_LIMITS, TILT_LIMITS};
use crate::motion::Pose;
use crate::read_sweep::level;
use crate::reader::Reader;
use crate::schema::Measured;
use crate::value::Value;
use reedmace_units::{Angle, Length, Quantity, Toleranced};
use std::ops::Range;

/// A pose's lengths.
pub(crate) const LENGTH: Measured = PLACE_LIMITS;
/// A pose's angles.
pub(crate) const ANGLE: Measured = TILT_LIMITS;

const COLUMNS: [&str; 6] = ["x", "y", "z", "rx", "ry", "rz"];

/// A column of the file: which of [`COLUMNS`] it holds, and in which unit.
struct Column {
    slot: usize,
    unit: &'static str,
}

/// Reads the poses; faults of the file point at its name in the design.
pub(crate) fn from_file(
    reader: &Reader<'_>,
    name: &str,
    span: &Range<usize>,
    load: &Load<'_>,
) -> Option<Vec<Pose>> {
    let text = text_of(reader.faults, name, span, load)?;
    let mut lines = text
        .trim_start_matches('\u{feff}')
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let Some((number, header)) = lines.next() else {
        return header_fault(reader, name, span, 1, "the file is empty");
    };
    let columns = match columns(header) {
        Ok(columns) => columns,
        Err(reason) => return header_fault(reader, name, span, number, &reason),
    };
    let mut poses = Vec::new();
    let mut good = true;
    for (number, line) in lines {
        match pose(reader, line, &columns, poses.len(), span) {
            Ok(pose) => poses.push(pose),
            Err(reason) => {
                good = false;
                reader.faults.add(
                    Diagnostic::error(
                        codes::POSES_ROW,
                        format!("line {number} of \"{name}\": {reason}"),
                    )
                    .at(span, "this file")
                    .help(format!(
                        "rows hold {} numbers, as the header says: {header}",
                        columns.len()
                    )),
                );
            }
        }
    }
    good.then_some(poses)
}

fn header_fault(
    reader: &Reader<'_>,
    name: &str,
    span: &Range<usize>,
    number: usize,
    reason: &str,
) -> Option<Vec<Pose>> {
    reader.faults.add(
        Diagnostic::error(codes::POSES_HEADER, format!("line {number} of \"{name}\": {reason}"))
            .at(span, "this file")
            .help("the first line names the columns with their units: x_mm,y_mm,z_mm or x_mm,y_mm,z_mm,rx_deg,ry_deg,rz_deg"),
    );
    None
}

fn columns(header: &str) -> Result<Vec<Column>, String> {
    let mut columns: Vec<Column> = Vec::new();
    for cell in header.split(',').map(str::trim) {
        let (axis, unit) = cell.split_once('_').ok_or_else(|| format!("`{cell}` names no unit"))?;
        let slot = COLUMNS
            .iter()
            .position(|column| *column == axis)
            .ok_or_else(|| format!("`{cell}` is none of {}", listing(&COLUMNS, "and")))?;
        let units = if slot < 3 { Length::UNITS } else { Angle::UNITS };
        let unit = units
            .iter()
            .find(|known| known.symbol == unit || known.also.contains(&unit))
            .ok_or_else(|| format!("`{unit}` is no unit for `{axis}`"))?;
        if columns.iter().any(|column| column.slot == slot) {
            return Err(format!("`{axis}` stands twice"));
        }
        columns.push(Column { slot, unit: unit.symbol });
    }
    for (slot, axis) in COLUMNS.iter().enumerate() {
        let there = columns.iter().any(|column| column.slot == slot);
        if !there && (slot < 3 || columns.len() > 3) {
            return Err(format!("`{axis}` is missing"));
        }
    }
    Ok(columns)
}

fn pose(
    reader: &Reader<'_>,
    line: &str,
    columns: &[Column],
    row: usize,
    span: &Range<usize>,
) -> Result<Pose, String> {
    let cells: Vec<&str> = line.split(',').map(str::trim).collect();
    if cells.len() != columns.len() {
        return Err(format!("{} values instead of {}", cells.len(), columns.len()));
    }
    let mut texts: [Option<String>; 6] = Default::default();
    for (column, cell) in columns.iter().zip(cells) {
        let finite = cell.parse::<f64>().is_ok_and(f64::is_finite);
        if !finite {
            return Err(format!("`{cell}` is not a number"));
        }
        texts[column.slot] = Some(format!("{cell} {}", column.unit));
    }
    let path = |slot: usize| format!("{}[{row}][{slot}]", reader.path_of("poses"));
    let length = |slot: usize| in_range::<Length>(texts[slot].as_deref(), path(slot), LENGTH, span);
    let angle = |slot: usize| match &texts[slot] {
        Some(text) => in_range::<Angle>(Some(text), path(slot), ANGLE, span),
        None => Ok(level(path(slot), span)),
    };
    Ok(Pose { at: [length(0)?, length(1)?, length(2)?], rotate: [angle(3)?, angle(4)?, angle(5)?] })
}

fn in_range<Q: Quantity>(
    text: Option<&str>,
    path: String,
    measured: Measured,
    span: &Range<usize>,
) -> Result<Value<Q>, String> {
    let text = text.ok_or("a column is missing")?;
    let is: Toleranced<Q> = text.parse().map_err(|error| format!("{error}"))?;
    let (low, high) = measured.limits.ends::<Q>();
    if is.low < low || is.high > high {
        let limits = measured.limits;
        return Err(format!("{text} is out of range, {} to {}", limits.low, limits.high));
    }
    Ok(Value { is, mixture: Vec::new(), path, span: span.clone(), source: None, note: None })
}
