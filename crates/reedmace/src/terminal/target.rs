//! Where a steel target is seen, and what its thickness, steel, size and direction change.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        table, wrap,
    },
    paint,
};
use reedmace_engine::{Answer, answer::TargetRow};
use reedmace_report::number::number;

/// The study; `None` of a design without a target.
pub(crate) fn target(answer: &Answer) -> Option<String> {
    let target = answer.target.as_ref()?;
    let heading = ["", "", "detected mm", "returns mm", ""].map(String::from).to_vec();
    let mut rows = vec![heading];
    let mut before = "";
    for row in &target.study {
        rows.push(line(row, row.what == before));
        before = &row.what;
    }
    let sides: [Side; 5] = [Left, Right, Right, Right, Left];
    let title = format!("Target {}, seen by {}", target.steel, target.contacts[0].contact);
    let mut out = format!("{}\n", paint(Ink::Heading, &title));
    for (index, line) in table(&sides, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    out += &wrap(
        "  ",
        &format!(
            "distances to its leading face; one thing changed at a time, nominal unit; what it changes by is from \
             some {} panels",
            target.study_panels
        ),
    );
    Some(out)
}

fn line(row: &TargetRow, again: bool) -> Vec<String> {
    let distance = |mm: Option<f64>| mm.map_or_else(|| "–".into(), |mm| number(mm, "mm"));
    vec![
        if again { String::new() } else { row.what.clone() },
        row.is.clone(),
        distance(row.seen_mm),
        distance(row.gone_mm),
        row.own
            .then_some("as designed")
            .into_iter()
            // The dashes say already that it is not detected.
            .chain(row.why.as_deref().map(|why| why.trim_start_matches("not detected, ")))
            .collect::<Vec<_>>()
            .join(", "),
    ]
}
