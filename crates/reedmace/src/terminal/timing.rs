//! How a relay's contacts close and open.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        table, wrap,
    },
    paint,
};
use reedmace_engine::Answer;
use reedmace_report::number::number;

const CONTACTS: [Side; 8] = [Left, Right, Right, Right, Right, Right, Right, Right];
const SUPPRESSIONS: [Side; 5] = [Left, Left, Right, Right, Right];

/// A line for each contact and for each kind of suppression; `None` where motion is not told.
pub(crate) fn timing(answer: &Answer) -> Option<String> {
    let timing = answer.timing.as_ref()?;
    let mh = |value: f64| number(value, "mH");
    let title = "Times of the contacts, nominal, ms";
    let mut out = format!("{}\n", paint(Ink::Heading, title));
    out += &wrap(
        "  ",
        &format!(
            "Coil of {} mH with open contacts, {} mH with closed ones",
            mh(timing.open_inductance),
            mh(timing.closed_inductance)
        ),
    );
    let heading = ["", "operate", "bounce", "low", "high", "release", "impact m/s", "spring Hz"];
    let ms = |value: f64| number(value, "ms");
    let rows = timing.contacts.iter().map(|one| {
        vec![
            one.contact.clone(),
            ms(one.operate),
            ms(one.bounce[1]),
            ms(one.bounce[0]),
            ms(one.bounce[2]),
            ms(one.release),
            number(one.impact, "m/s"),
            number(one.frequency, "Hz"),
        ]
    });
    push(&mut out, &CONTACTS, heading.map(String::from).to_vec(), rows.collect());
    let heading = ["suppression", "", "release ms", "switch V", "standing mW"];
    let rows = timing.suppressions.iter().map(|row| {
        let mark = if row.stated { "▸ " } else { "  " };
        vec![
            format!("{mark}{}", row.kind),
            row.parts.clone(),
            ms(row.release),
            row.peak.map_or_else(|| "unbounded".into(), |volts| number(volts, "V")),
            number(row.standing, "mW"),
        ]
    });
    push(&mut out, &SUPPRESSIONS, heading.map(String::from).to_vec(), rows.collect());
    for finding in &timing.findings {
        out += &wrap("  ", finding);
    }
    Some(out)
}

fn push(out: &mut String, sides: &[Side], heading: Vec<String>, rows: Vec<Vec<String>>) {
    let rows: Vec<Vec<String>> = std::iter::once(heading).chain(rows).collect();
    for (index, line) in table(sides, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
}
