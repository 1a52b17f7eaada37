//! The data behind the figures as comma-separated values, units in the header row.

use reedmace_engine::{
    Map,
    answer::{Answer, ChooseAnswer, ContactAnswer, Direction, EventKind, StateAnswer},
};
use std::fmt::Write;

/// Drive along the sweep of one contact; one row per traced value of the sweep.
pub fn trace(answer: &Answer, contact: &ContactAnswer) -> String {
    let mut out = format!(
        "{},drive open (mT),drive closed (mT),drive open low (mT),drive open high (mT)\n",
        field(&format!("{} ({})", answer.sweep.coordinate, answer.sweep.unit))
    );
    for row in &contact.trace {
        line(
            &mut out,
            &[
                row.coordinate,
                row.drive_open,
                row.drive_closed,
                row.drive_open_low,
                row.drive_open_high,
            ],
        );
    }
    out
}

/// Every event of every contact; an empty cell where the nominal unit does not have it.
pub fn events(answer: &Answer) -> String {
    let unit = &answer.sweep.unit;
    let mut out = format!(
        "contact,event,direction,at nominal ({unit}),at low ({unit}),at high ({unit}),\
         lobe,main lobe,in every unit,monotone\n"
    );
    for contact in &answer.contacts {
        for event in &contact.events {
            let nominal = event.at.value.map(|v| v.to_string()).unwrap_or_default();
            let _ = writeln!(
                out,
                "{},{},{},{nominal},{},{},{},{},{},{}",
                field(&contact.name),
                kind_word(event.kind),
                direction_word(event.direction),
                event.at.low,
                event.at.high,
                event.lobe,
                yes_no(event.main_lobe),
                yes_no(event.in_every_unit),
                yes_no(event.monotone),
            );
        }
    }
    out
}

/// Levels at which the reading of a level stem changes, either way, lowest first: the level with its worst
/// case, the volume below it, what changes there, and what is read from there up to the next row as the level
/// rises and as it falls: the ladder's output, else the contacts that are closed. `None` but for a level sweep.
pub fn calibration(answer: &Answer) -> Option<String> {
    let level = answer.level.as_ref()?;
    let unit = level.output_unit.as_str();
    let reading =
        if unit.is_empty() { "contacts closed".to_owned() } else { format!("reading ({unit})") };
    let mut out = format!(
        "level (mm),level low (mm),level high (mm),volume (L),contact,event,way,{reading} rising,{reading} \
         falling\n"
    );
    let state = |state: &StateAnswer| match state.output {
        _ if unit.is_empty() => field(&state.closed.join(" + ")),
        Some(output) => output.to_string(),
        None => "open line".to_owned(),
    };
    for row in &level.calibration {
        let numbers = [row.level.value.unwrap_or(row.level.low), row.level.low, row.level.high];
        let cells = numbers.iter().map(f64::to_string);
        let volume = row.volume.map(|volume| volume.to_string()).unwrap_or_default();
        let way = if row.rising { "rising" } else { "falling" };
        let change = [
            volume,
            row.contact.as_ref().map(|contact| field(contact)).unwrap_or_default(),
            row.kind.map(kind_word).unwrap_or_default().to_owned(),
            row.kind.map(|_| way).unwrap_or_default().to_owned(),
            state(&row.above_rising),
            state(&row.above_falling),
        ];
        out += &(cells.chain(change).collect::<Vec<_>>().join(",") + "\n");
    }
    Some(out)
}

/// A map; one row per place.
pub fn map(map: &Map) -> String {
    let (across, up) = crate::figures::plane_axes(map.plane);
    let mut out = format!("{across} (mm),{up} (mm),drive open (mT),drive closed (mT),room (mm)\n");
    let places =
        map.up_mm.iter().flat_map(|up| map.across_mm.iter().map(move |across| (across, up)));
    let values = map.drive_open.iter().zip(&map.drive_closed).zip(&map.room);
    for ((across, up), ((open, closed), room)) in places.zip(values) {
        line(&mut out, &[*across, *up, *open, *closed, *room]);
    }
    out
}

/// Cost and room of every arrangement that a choice has tried, with what was chosen; by rising cost.
pub fn front(answer: &ChooseAnswer) -> String {
    let heading = |word: &str, unit: &str| match unit {
        "" => word.to_owned(),
        unit => format!("{word} ({unit})"),
    };
    let mut head = vec![heading(&answer.cost, &answer.cost_unit)];
    head.push(heading("room", &answer.margin_unit));
    head.extend(["every demand met", "none cheaper has more room"].map(str::to_owned));
    head.extend(answer.free.iter().map(|free| field(&free.path)));
    let mut out = head.join(",") + "\n";
    let mut rows: Vec<_> = answer.front.iter().map(|p| (p, true)).collect();
    rows.extend(answer.others.iter().map(|p| (p, false)));
    rows.sort_by(|a, b| a.0.cost.total_cmp(&b.0.cost).then(b.0.margin.total_cmp(&a.0.margin)));
    for (point, in_front) in rows {
        let mut row = vec![point.cost.to_string(), point.margin.to_string()];
        row.extend([yes_no(point.met), yes_no(in_front)].map(str::to_owned));
        row.extend(point.values.iter().map(|value| field(&value.text)));
        out += &(row.join(",") + "\n");
    }
    out
}

/// `operate` or `release`.
pub(crate) fn kind_word(kind: EventKind) -> &'static str {
    match kind {
        EventKind::Operate => "operate",
        EventKind::Release => "release",
    }
}

/// `forward` or `back`.
pub(crate) fn direction_word(direction: Direction) -> &'static str {
    match direction {
        Direction::Forward => "forward",
        Direction::Back => "back",
    }
}

/// `yes` or `no`.
pub(crate) fn yes_no(flag: bool) -> &'static str {
    if flag { "yes" } else { "no" }
}

fn line(out: &mut String, values: &[f64]) {
    let cells: Vec<String> = values.iter().map(f64::to_string).collect();
    out.push_str(&cells.join(","));
    out.push('\n');
}

/// Quoted when it holds a comma, a quote or a line break (RFC 4180).
fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_string()
    }
}
