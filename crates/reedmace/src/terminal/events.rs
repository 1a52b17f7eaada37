//! The table of operates and releases.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        table, whole, wrap,
    },
    numbers::{self, nominal},
    paint,
};
use reedmace_engine::answer::{ContactAnswer, Direction, Event, EventKind, SweepAnswer};
use reedmace_report::number::{number, percent, with_unit};

/// A filled triangle along the motion for an operate, an open one for a release.
pub(crate) fn mark(kind: EventKind, direction: Direction) -> char {
    match (kind, direction) {
        (EventKind::Operate, Direction::Forward) => '▶',
        (EventKind::Operate, Direction::Back) => '◀',
        (EventKind::Release, Direction::Forward) => '▷',
        (EventKind::Release, Direction::Back) => '◁',
    }
}

/// One contact's heading and its events, in the order they are met.
/// `names`: of this contact and those that repeat it.
pub(crate) fn events(sweep: &SweepAnswer, contact: &ContactAnswer, names: &str) -> String {
    let mut family = contact.family.as_ref().map(|f| format!(" ({f})")).unwrap_or_default();
    if contact.form != "A" {
        family += &format!(", form {}", contact.form);
    }
    if names != contact.name {
        family += &format!(", the first of {names}");
    }
    let [operate, release] =
        [&contact.operate, &contact.release].map(|level| whole(&numbers::band(level)));
    let mut out = format!("{}{family}\n", paint(Ink::Heading, &contact.name));
    out.push_str(&wrap("  ", &format!("operates at {operate}, releases at {release}")));
    if contact.closed_at_start {
        out.push_str("  closed where the sweep starts\n");
    }
    if contact.events.is_empty() {
        let state = if contact.operated_at_start() { "never releases" } else { "never operates" };
        out.push_str(&format!("  {state} anywhere along the sweep\n"));
        out.push_str(&strongest(sweep, contact));
        return out;
    }
    let lines = table(&SIDES, &rows(sweep, contact));
    for (index, line) in lines.iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    out.push_str(&strongest(sweep, contact));
    out
}

/// Where the drive is strongest, and what it does to the closed blades there.
fn strongest(sweep: &SweepAnswer, contact: &ContactAnswer) -> String {
    let Some(top) = &contact.strongest else { return String::new() };
    let text = format!(
        "strongest at {} = {}: drive {} of operate; closed blades pull {}, carry {} at most; \
         saturation takes {} off the flux across the gap",
        sweep.coordinate,
        with_unit(top.at, &top.unit),
        percent(top.overdrive),
        with_unit(top.force, "mN"),
        with_unit(top.peak, "T"),
        with_unit(top.taken, "%"),
    );
    wrap("  ", &text)
}

const SIDES: [Side; 8] = [Left, Left, Left, Left, Right, Right, Right, Left];

fn rows(sweep: &SweepAnswer, contact: &ContactAnswer) -> Vec<Vec<String>> {
    let unit = format!("nominal {}", sweep.unit).trim_end().to_owned();
    let heading = ["", "event", "pass", "lobe", &unit, "low", "high", ""];
    let mut rows = vec![heading.map(String::from).to_vec()];
    rows.extend(contact.events.iter().map(row));
    rows
}

fn row(event: &Event) -> Vec<String> {
    let kind = match event.kind {
        EventKind::Operate => "operate",
        EventKind::Release => "release",
    };
    let pass = match event.direction {
        Direction::Forward => "forward",
        Direction::Back => "back",
    };
    let remark = match (event.in_every_unit, event.monotone) {
        (false, _) => "some units only",
        (true, false) => "bend in the band",
        (true, true) => "",
    };
    vec![
        mark(event.kind, event.direction).to_string(),
        kind.into(),
        pass.into(),
        format!("{} {}", event.lobe, if event.main_lobe { "main" } else { "side" }),
        nominal(&event.at),
        number(event.at.low, &event.at.unit),
        number(event.at.high, &event.at.unit),
        remark.into(),
    ]
}
