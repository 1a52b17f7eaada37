//! What is told of every unit besides its events, a line for each figure.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        cut, table, wrap,
    },
    paint,
};
use reedmace_engine::Answer;
use reedmace_report::figure_rows::{Row, rows};

const SIDES: [Side; 5] = [Left, Right, Right, Right, Left];

/// All figures; `None` where there are none.
pub(crate) fn figures(answer: &Answer) -> Option<String> {
    let figures = rows(answer);
    if figures.is_empty() {
        return None;
    }
    let heading = ["figure", "nominal", "low", "high", ""].map(String::from).to_vec();
    let rows: Vec<Vec<String>> = std::iter::once(heading).chain(figures.iter().map(row)).collect();
    let mut out = format!("{}\n", paint(Ink::Heading, "Figures"));
    for (index, line) in table(&SIDES, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    for (row, end) in
        figures.iter().flat_map(|row| row.ends().into_iter().map(move |end| (row, end)))
    {
        out.push_str(&wrap("  ", &format!("{}: {end}", row.name)));
    }
    Some(out)
}

fn row(row: &Row<'_>) -> Vec<String> {
    let remark = match (row.one.in_every_unit, row.one.monotone) {
        (false, _) => "some units",
        (true, false) => "not monotone",
        (true, true) => "",
    };
    let name = row.name.replace(" of each contact", " of each");
    let nominal = row.nominal().map(|value| value.replace(" to ", "..") + &row.unit());
    let [low, high] = row.limits();
    vec![cut(&name, 40), nominal.unwrap_or_else(|| "–".into()), low, high, remark.into()]
}
