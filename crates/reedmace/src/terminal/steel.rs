//! What the bodies of steel do, shortly.

use super::{
    Ink,
    events::mark,
    layout::{
        Side::{self, Left, Right},
        table, whole, wrap,
    },
    paint,
};
use reedmace_engine::answer::{Answer, Direction, EventKind, SteelAnswer, SteelEvent};
use reedmace_report::number::{number, permeability, signed, small_percent, with_unit};

/// Events with and without the steel, and how far it is from saturation; `None` without steel.
pub(crate) fn steel(answer: &Answer) -> Option<String> {
    let steel = answer.steel.as_ref()?;
    let mut out = format!("{}\n", paint(Ink::Heading, "What the steel does"));
    for body in &steel.bodies {
        let alloy = body.alloy.as_ref().map(|alloy| format!(" ({alloy})")).unwrap_or_default();
        let unit = &answer.sweep.unit;
        let peak = whole(&with_unit(body.peak, "T"));
        let mut text = format!(
            "{}{alloy}, permeability {}: at most {peak} inside",
            body.name,
            permeability(body.permeability)
        );
        if let Some(share) = body.saturated {
            text.push_str(&format!(", {} of saturation", whole(&small_percent(share))));
        }
        text.push_str(&format!(", at {}", whole(&with_unit(body.peak_at, unit))));
        out.push_str(&wrap("  ", &text));
    }
    if !steel.events.is_empty() {
        let lines = table(&SIDES, &rows(answer, steel));
        for (index, line) in lines.iter().enumerate() {
            let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
            out.push_str(&format!("  {line}\n"));
        }
    }
    let cut = format!(
        "cut into {} panels; change of the drive on half as many: {}",
        steel.panels,
        whole(&small_percent(steel.discretisation))
    );
    out.push_str(&wrap("  ", &cut));
    Some(out)
}

const SIDES: [Side; 8] = [Left, Left, Left, Left, Right, Right, Right, Left];

fn rows(answer: &Answer, steel: &SteelAnswer) -> Vec<Vec<String>> {
    let unit = format!("with steel, {}", answer.sweep.unit);
    let unit = unit.trim_end_matches([' ', ',']);
    let heading = ["", "event", "pass", "contact", unit, "without", "shift", ""];
    let mut rows = vec![heading.map(String::from).to_vec()];
    rows.extend(steel.events.iter().map(row));
    rows
}

fn row(event: &SteelEvent) -> Vec<String> {
    let kind = match event.kind {
        EventKind::Operate => "operate",
        EventKind::Release => "release",
    };
    let pass = match event.direction {
        Direction::Forward => "forward",
        Direction::Back => "back",
    };
    let place = |at: Option<f64>| at.map_or_else(|| "–".into(), |at| number(at, &event.unit));
    let remark = match (event.with, event.without) {
        (Some(_), None) => "only with it",
        (None, Some(_)) => "only without",
        _ => "",
    };
    vec![
        mark(event.kind, event.direction).to_string(),
        kind.into(),
        pass.into(),
        event.contact.clone(),
        place(event.with),
        place(event.without),
        event.shift.map_or_else(|| "–".into(), |shift| signed(shift, &event.unit)),
        remark.into(),
    ]
}
