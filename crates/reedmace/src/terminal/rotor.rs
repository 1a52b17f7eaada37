//! The pulses of a wheel at each speed that matters.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        table, wrap,
    },
    paint,
};
use reedmace_engine::{
    Answer,
    answer::{RotorAnswer, RotorRow},
};
use reedmace_report::number::{number, with_unit};

const SIDES: [Side; 8] = [Left, Right, Right, Right, Right, Right, Right, Right];

/// A line for each speed; `None` without a wheel whose turning is counted.
pub(crate) fn rotor(answer: &Answer) -> Option<String> {
    let rotor = answer.rotor.as_ref()?;
    let heading = ["", "L/min", "rpm", "Hz", "pulse ms", "steady", "pause ms", "steady"];
    let heading = heading.map(String::from).to_vec();
    let rows: Vec<Vec<String>> =
        std::iter::once(heading).chain(rotor.rows.iter().map(row)).collect();
    let mut out = format!("{}\n", paint(Ink::Heading, &format!("Wheel at {}", rotor.contact)));
    for (index, line) in table(&SIDES, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    out += &wrap("  ", &double(rotor));
    Some(out)
}

/// Whether a pulse too many threatens.
fn double(rotor: &RotorAnswer) -> String {
    let pulses = format!("{} pulses a turn; ", rotor.pulses);
    let Some(double) = &rotor.double else {
        return pulses
            + "no double pulse threatens: the drive has no top between pulses, no dip within one";
    };
    let (what, level) = if double.within {
        ("a dip within a pulse", "above release")
    } else {
        ("a top between pulses", "below operate")
    };
    format!(
        "{pulses}a double pulse is nearest at {}, where {what} stays {} {level}",
        with_unit(double.at, "deg"),
        with_unit(double.room, "%"),
    )
}

fn row(row: &RotorRow) -> Vec<String> {
    vec![
        row.at.clone(),
        row.flow.map_or_else(|| "–".into(), |flow| number(flow, "L/min")),
        number(row.turns, "rpm"),
        number(row.rate, "Hz"),
        number(row.pulse, "ms"),
        number(row.steady_closed, "ms"),
        number(row.pause, "ms"),
        number(row.steady_open, "ms"),
    ]
}
