//! Contacts that remember: what holds each state while what changes is away.

use super::{
    Ink,
    layout::{
        Side::{Left, Right},
        table, wrap,
    },
    paint,
};
use reedmace_engine::Answer;
use reedmace_report::{brief::keeps, number::number};

/// A line for each contact; `None` of a design without a latch.
pub(crate) fn latch(answer: &Answer) -> Option<String> {
    let latch = answer.latch.as_ref()?;
    let unit = &answer.sweep.unit;
    let title = format!("At rest, at {} {unit}, mT", number(latch.rest, unit));
    let mut out = format!("{}\n", paint(Ink::Heading, title.trim_end()));
    let heading = ["", "release", "closed", "open", "operate", ""].map(String::from).to_vec();
    let line = |held: &reedmace_engine::answer::LatchAtContact| {
        let mt = |value: f64| number(value.abs(), "mT");
        vec![
            held.contact.clone(),
            mt(held.release),
            mt(held.bias_closed),
            mt(held.bias),
            mt(held.operate),
            keeps(held).to_owned(),
        ]
    };
    let rows: Vec<Vec<String>> =
        std::iter::once(heading).chain(latch.contacts.iter().map(line)).collect();
    let sides = [Left, Right, Right, Right, Right, Left];
    for (index, line) in table(&sides, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    out += &wrap("  ", "drive of the bias alone, nominal unit; mechanical shock is not counted");
    Some(out)
}
