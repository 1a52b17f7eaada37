//! What is told of every unit besides its events, a line for each figure.

use super::{
    Ink, WIDTH,
    layout::{
        Side::{self, Left, Right},
        table, wrap,
    },
    paint,
};
use reedmace_engine::Answer;
use reedmace_report::figure_rows::{Row, rows};

const SIDES: [Side; 5] = [Left, Right, Right, Right, Left];

/// Columns before each line, and between two of its cells.
const INDENT: usize = 2;
const GAP: usize = 2;

/// All figures; `None` where there are none.
pub(crate) fn figures(answer: &Answer) -> Option<String> {
    let figures = rows(answer);
    if figures.is_empty() {
        return None;
    }
    let heading = ["figure", "nominal", "low", "high", ""].map(String::from).to_vec();
    let mut rows: Vec<Vec<String>> =
        std::iter::once(heading).chain(figures.iter().map(row)).collect();
    let widest = |column: usize| rows.iter().map(|row| row[column].chars().count()).max();
    let others: usize = (1..SIDES.len()).filter_map(widest).map(|width| width + GAP).sum();
    // Numbers keep their room; a name that finds none beside them stands above.
    let room = WIDTH.saturating_sub(INDENT + others);
    let above = |row: &mut Vec<String>| {
        (row[0].chars().count() > room).then(|| std::mem::take(&mut row[0]))
    };
    let above: Vec<Option<String>> = rows.iter_mut().map(above).collect();
    let mut out = format!("{}\n", paint(Ink::Heading, "Figures"));
    for (index, line) in table(&SIDES, &rows).iter().enumerate() {
        out.extend(above[index].iter().map(|name| wrap("  ", name)));
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
    vec![name, nominal.unwrap_or_else(|| "–".into()), low, high, remark.into()]
}
