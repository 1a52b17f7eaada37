//! What a contact's construction is worth.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        table, wrap,
    },
    paint,
};
use reedmace_engine::{Answer, answer::ConstructionAnswer};
use reedmace_report::number::{number, signed};

const ROWS: [Side; 5] = [Left, Right, Right, Right, Left];
const WORTH: [Side; 3] = [Left, Right, Right];

/// All contacts that state their construction; `None` where there are none.
pub(crate) fn construction(answer: &Answer) -> Option<String> {
    let told: Vec<String> = answer.construction.iter().map(one).collect();
    (!told.is_empty()).then(|| told.join("\n"))
}

fn one(one: &ConstructionAnswer) -> String {
    let mut out = format!(
        "{}\n",
        paint(Ink::Heading, &format!("Construction of {}", one.contacts.join(", ")))
    );
    let heading = ["", "likeliest", "low", "high", ""].map(String::from).to_vec();
    let rows = one.rows.iter().map(|row| {
        let n = |value: f64| number(value, &row.unit);
        let limit = |value: f64| if row.low == row.high { String::new() } else { n(value) };
        vec![row.what.clone(), n(row.value), limit(row.low), limit(row.high), row.unit.clone()]
    });
    push(&mut out, &ROWS, std::iter::once(heading).chain(rows).collect());
    if !one.worth.is_empty() {
        let heading = ["a micrometre more of", "operate AT", "release AT", "force mN"];
        let rows = one.worth.iter().map(|worth| {
            let n = |value: f64| signed(value, "AT/µm");
            vec![worth.of.clone(), n(worth.operate), n(worth.release), n(worth.force)]
        });
        let heading = heading.map(String::from).to_vec();
        push(&mut out, &WORTH, std::iter::once(heading).chain(rows).collect());
    }
    for finding in &one.findings {
        out += &wrap("  ", finding);
    }
    out
}

fn push(out: &mut String, sides: &[Side], rows: Vec<Vec<String>>) {
    for (index, line) in table(sides, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
}
