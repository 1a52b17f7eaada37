//! What is told of every unit besides its events, a line for each figure.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        cut, table,
    },
    paint,
};
use reedmace_engine::{Answer, answer::FigureAnswer};
use reedmace_report::{
    brief,
    number::{number, with_unit},
};

const SIDES: [Side; 5] = [Left, Right, Right, Right, Left];

/// All figures; `None` where there are none.
pub(crate) fn figures(answer: &Answer) -> Option<String> {
    let figures = brief::figures(answer);
    if figures.is_empty() {
        return None;
    }
    let heading = ["figure", "nominal", "low", "high", ""].map(String::from).to_vec();
    let rows: Vec<Vec<String>> =
        std::iter::once(heading).chain(figures.into_iter().map(row)).collect();
    let mut out = format!("{}\n", paint(Ink::Heading, "Figures"));
    for (index, line) in table(&SIDES, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    Some(out)
}

fn row(figure: &FigureAnswer) -> Vec<String> {
    let band = &figure.value;
    let remark = match (figure.in_every_unit, figure.monotone) {
        (false, _) => "some units only",
        (true, false) => "not monotone",
        (true, true) => "",
    };
    vec![
        cut(&figure.name, 40),
        band.value.map_or_else(|| "–".into(), |value| with_unit(value, &band.unit)),
        number(band.low, &band.unit),
        number(band.high, &band.unit),
        remark.into(),
    ]
}
