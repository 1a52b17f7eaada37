//! What many units do: shares, histograms, drivers, what to tighten, in 80 columns.

use super::{
    Ink, WIDTH,
    demands::sign,
    events,
    layout::{
        Side::{self, Left, Right},
        cut, table, whole, wrap,
    },
    notes, paint,
};
use reedmace_engine::answer::{
    Band, DemandSpread, Direction, Distribution, DriverShare, EventKind, EventSpread, FigureEnd,
    FigureSpread, SpreadAnswer, Tighter,
};
use reedmace_report::{
    ends,
    figures::{MOST, most_of},
    number::{self, behind, grouped, number, of_difference, percent, share, with_unit},
    spread_rows::{self, Group},
};
use std::{collections::BTreeMap, path::Path};

/// Columns of a histogram.
const COLUMNS: usize = 50;
/// Heights of a column.
const BARS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/// Drivers shown of each figure; what makes a row too wide is cut.
const DRIVERS: usize = 4;

/// Everything `spread` prints.
pub(crate) fn spread(answer: &SpreadAnswer, resumed: u64, files: &[Option<&Path>]) -> String {
    let mut parts = vec![head(answer, resumed)];
    parts.extend(demands(answer));
    let events = spread_rows::events(&answer.events);
    parts.extend(events.iter().map(event));
    parts.extend(events_of_each(&events));
    let figures = spread_rows::figures(&answer.figures);
    parts.extend(figures.iter().map(figure));
    parts.extend(figures_of_each(&figures));
    parts.extend(tighter(&answer.tighter));
    if answer.units_with_other_events > 0 {
        let text = format!(
            "{} units have an event that the search of the worst case did not meet.",
            grouped(answer.units_with_other_events)
        );
        parts.push(wrap("  ", &text));
    }
    parts.extend(notes::models(&answer.models));
    let wrote: String =
        files.iter().flatten().map(|path| format!("Wrote {}\n", path.display())).collect();
    parts.extend((!wrote.is_empty()).then_some(wrote));
    parts.join("\n").replace(super::layout::NO_BREAK, " ")
}

fn head(answer: &SpreadAnswer, resumed: u64) -> String {
    let missed = answer.demands.iter().any(|d| d.share.met < d.share.of);
    let (word, ink) = match (answer.demands.is_empty(), missed) {
        (true, _) => ("NO DEMANDS", Ink::Heading),
        (_, false) => ("ALL UNITS MEET", Ink::Met),
        (_, true) => ("SOME UNITS MISS", Ink::AtRisk),
    };
    let style = ink.style().bold().invert();
    let title = if answer.title.is_empty() { &answer.provenance.design } else { &answer.title };
    let room = WIDTH - word.chars().count() - 6;
    let units = if answer.units < answer.of {
        format!("{} of {} units", grouped(answer.units), grouped(answer.of))
    } else {
        format!("{} units", grouped(answer.units))
    };
    let resumed = match resumed {
        0 => String::new(),
        n => format!(", {} of them from the file", grouped(n)),
    };
    format!("{style}[ {word} ]{style:#}  {}\n", paint(Ink::Heading, &cut(title, room)))
        + &wrap(
            "  ",
            &format!(
                "{units}{resumed}, seed {}: {}",
                answer.provenance.seed, answer.evaluation.said
            ),
        )
}

/// Each demand, those of one line that stand alike as one; what more units would tell is said once.
fn demands(answer: &SpreadAnswer) -> Vec<String> {
    let mut said = Vec::new();
    let told = |group: &Group<'_, DemandSpread>| {
        let few = group.one.too_few.as_ref().filter(|few| !said.contains(*few)).cloned();
        said.extend(few.clone());
        demand(group, few.as_deref())
    };
    spread_rows::demands(&answer.demands).iter().map(told).collect()
}

fn demand(group: &Group<'_, DemandSpread>, few: Option<&str>) -> String {
    let (demand, of) = (group.one, &group.one.share);
    let verdict = spread_rows::stands(demand);
    let sign = sign(verdict);
    let title = paint(Ink::Heading, &format!("{} {}", group.names, demand.text));
    let mut out = format!("{} {title}\n", paint(Ink::of(verdict), &sign.to_string()));
    let missed = of.of - of.met;
    let equal = group.all.iter().all(|other| other.share.met == of.met);
    let which = match (group.several(), equal) {
        (false, _) => String::new(),
        (true, true) => "each: ".into(),
        (true, false) => format!("{}: ", demand.contact),
    };
    let failing = match missed {
        0 => "all units meet it".into(),
        n => format!("{} units miss it, {}", grouped(n), percent(n as f64 / of.of as f64)),
    };
    let interval =
        format!("between {} and {} of all units meet it (95 %)", share(of.low), share(of.high));
    out += &wrap("  ", &format!("{which}{failing}; {}", whole(&interval)));
    out.extend(few.map(|few| wrap("  ", few)));
    out.extend(demand.room.as_ref().and_then(|room| room_of(demand, room)));
    out += &drivers(&demand.drivers);
    if group.several() && !equal {
        out += &demand_of_each(group);
    }
    out
}

/// The room of the units, of the worst of them and of the worst corner.
fn room_of(demand: &DemandSpread, room: &Distribution) -> Option<String> {
    let unit = &demand.unit;
    let said = |room: f64| number::room(room, unit);
    let (least, greatest) = (room.least.value?, room.greatest.value?);
    let same = least == greatest;
    let worst = demand.worst_unit.as_ref().map(|worst| {
        let room = worst.value.map_or(Some("no event at all".into()), said);
        room.map(|room| format!("worst unit {}: {room}", worst.unit))
    });
    let units = match same {
        true => said(least).map(|room| format!("room {room} in every unit")),
        false => worst.flatten(),
    };
    let corner = demand.room_worst_case.and_then(said);
    let corner = corner.filter(|corner| !same || said(least).as_ref() != Some(corner));
    let corner = corner.map(|room| format!("worst corner of the tolerances {room}"));
    let told: Vec<String> = units.into_iter().chain(corner).collect();
    let bars = match (same, number::counts(unit)) {
        (true, _) => String::new(),
        (false, true) => off_by(room),
        (false, false) => histogram(room, &[], unit),
    };
    Some(if told.is_empty() { bars } else { bars + &wrap("  ", &told.join("; ")) })
}

/// How many units are off by how many, of a count.
fn off_by(room: &Distribution) -> String {
    let h = &room.histogram;
    let width = (h.high - h.low) / h.counts.len() as f64;
    let mut off: BTreeMap<u64, u64> = BTreeMap::new();
    for (k, count) in h.counts.iter().enumerate().filter(|(_, count)| **count > 0) {
        let value = h.low + (k as f64 + 0.5) * width;
        *off.entry(value.round().abs() as u64).or_default() += count;
    }
    let told = |(by, units): (&u64, &u64)| format!("by {by} in {} units", grouped(*units));
    let told: Vec<String> = off.iter().filter(|(by, _)| **by > 0).map(told).collect();
    wrap("  ", &format!("off {}", told.join(", ")))
}

/// Those of one line of which units miss some: a row for each.
fn demand_of_each(group: &Group<'_, DemandSpread>) -> String {
    let head = ["", "units that miss", "share that meets", "worst unit"];
    let row = |demand: &&DemandSpread| {
        let of = &demand.share;
        let worst = demand.worst_unit.as_ref().and_then(|worst| worst.value);
        vec![
            cut(&demand.contact, 16),
            grouped(of.of - of.met),
            share(of.met as f64 / of.of as f64),
            worst.and_then(|room| number::room(room, &demand.unit)).unwrap_or("–".into()),
        ]
    };
    let rows = std::iter::once(head.map(String::from).to_vec()).chain(group.all.iter().map(row));
    lines(&[Left, Right, Right, Right], &rows.collect::<Vec<_>>())
}

/// Lines of a table, its heading faint.
fn lines(sides: &[Side], rows: &[Vec<String>]) -> String {
    let heading = |(k, line): (usize, &String)| match k {
        0 => format!("  {}\n", paint(Ink::Faint, line)),
        _ => format!("  {line}\n"),
    };
    table(sides, rows).iter().enumerate().map(heading).collect()
}

/// Kind and pass of an event.
fn words(event: &EventSpread) -> [&'static str; 2] {
    let kind = if event.kind == EventKind::Operate { "operate" } else { "release" };
    [kind, if event.direction == Direction::Forward { "forward" } else { "back" }]
}

fn event(group: &Group<'_, EventSpread>) -> String {
    let event = group.one;
    let [kind, pass] = words(event);
    let title = format!("{} {kind}, {pass}, lobe {}", event.contact, event.lobe);
    let mark = events::mark(event.kind, event.direction);
    let mut out = format!("{mark} {}{}\n", paint(Ink::Heading, &title), first_of(group));
    out += &absent(event.absent, event.units);
    if let Some(at) = &event.at {
        out += &spread_over(at, &[], &event.worst_case);
    }
    out + &drivers(&event.drivers)
}

fn figure(group: &Group<'_, FigureSpread>) -> String {
    let figure = group.one;
    let mut out = format!("{}{}\n", paint(Ink::Heading, &figure.name), first_of(group));
    out += &absent(figure.absent, figure.units);
    if let Some((values, worst)) = figure.values.as_ref().zip(figure.worst_case.as_ref()) {
        out += &spread_over(values, &figure.ends, worst);
    }
    out + &drivers(&figure.drivers)
}

/// `, the first of 16`, of which the others stand in a table.
fn first_of<T>(group: &Group<'_, T>) -> String {
    match group.all.len() {
        1 => String::new(),
        n => format!(", the first of {n} alike"),
    }
}

fn absent(absent: u64, present: u64) -> String {
    if absent == 0 {
        return String::new();
    }
    let share = absent as f64 / (absent + present) as f64;
    wrap("  ", &format!("{} units do not have it, {}", grouped(absent), percent(share)))
}

/// Events that are told by the first of them: a row for each.
fn events_of_each(groups: &[Group<'_, EventSpread>]) -> Option<String> {
    let several = || groups.iter().filter(|group| group.several());
    let many = several().flat_map(|group| &group.all).map(|event| event.lobe);
    let lobes = many.collect::<std::collections::BTreeSet<_>>().len() > 1;
    let row = |event: &EventSpread| {
        let lobe = if lobes { format!(" {}", event.lobe) } else { String::new() };
        let mark = events::mark(event.kind, event.direction);
        let what = format!("{mark} {}{lobe}", words(event).join(" "));
        event
            .at
            .as_ref()
            .map(|at| numbers(vec![cut(&event.contact, 10), what], at, &event.worst_case))
    };
    let contacts: Vec<&str> = in_order(several().flat_map(|group| &group.all).map(|e| &*e.contact));
    let of_contact = |name: &&str| {
        let all = several().flat_map(|group| &group.all).filter(|e| e.contact == *name);
        all.filter_map(|event| row(event)).collect::<Vec<_>>()
    };
    let rows: Vec<Vec<String>> = contacts.iter().flat_map(of_contact).collect();
    of_each("Events of each contact", &["contact", "event"], rows)
}

/// Names in the order in which they come first.
fn in_order<'a>(names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut all: Vec<&str> = Vec::new();
    names.for_each(|name| {
        if !all.contains(&name) {
            all.push(name)
        }
    });
    all
}

/// Figures that are told by the first of them but lie elsewhere: a row for each.
fn figures_of_each(groups: &[Group<'_, FigureSpread>]) -> Option<String> {
    let row = |figure: &&FigureSpread| {
        let (values, worst) = figure.values.as_ref().zip(figure.worst_case.as_ref())?;
        Some(numbers(vec![cut(&figure.name, 34)], values, worst))
    };
    let apart = groups.iter().filter(|group| !group.same_place(|figure| figure.values.as_ref()));
    let rows = apart.flat_map(|group| &group.all).filter_map(row).collect();
    of_each("Figures of each contact", &["figure"], rows)
}

fn of_each(title: &str, first: &[&str], rows: Vec<Vec<String>>) -> Option<String> {
    let head = [first, &["mean", "dev.", "99.73 % in", "worst case"]].concat();
    let mut sides = vec![Left; first.len()];
    sides.extend([Right; 4]);
    let any = !rows.is_empty();
    let rows: Vec<Vec<String>> =
        std::iter::once(head.into_iter().map(String::from).collect()).chain(rows).collect();
    any.then(|| format!("{}\n{}", paint(Ink::Heading, title), lines(&sides, &rows)))
}

/// Cells that tell a distribution in short.
fn numbers(mut cells: Vec<String>, of: &Distribution, worst: &Band) -> Vec<String> {
    let said = |v: f64| number(v, &worst.unit);
    let most = most_of(of).map(|[low, high]| format!("{}..{}", said(low), said(high)));
    cells.push(with_unit(of.mean, &worst.unit));
    cells.push(number(of.deviation, of_difference(&worst.unit)));
    cells.push(most.unwrap_or_default());
    cells.push(format!("{}..{}", said(worst.low), said(worst.high)));
    cells
}

/// A histogram with its mean, deviation and limits, and what is said of the ends that values lie at.
fn spread_over(of: &Distribution, ends: &[FigureEnd], worst: &Band) -> String {
    let unit = &worst.unit;
    let [low, high] = [worst.low, worst.high].map(|v| ends::bounded(ends, v, unit));
    let beyond = || ends::of_many(ends, of, unit).into_iter().map(|said| wrap("  ", &said));
    if of.least.value == of.greatest.value {
        let mean = ends::bounded(ends, of.mean, unit);
        let known = low == mean && high == mean;
        let corner = if known { String::new() } else { format!("; worst case {low} .. {high}") };
        let told = wrap("  ", &format!("{mean}{} in every unit{corner}", behind(unit)));
        return std::iter::once(told).chain(beyond()).collect();
    }
    let text = [
        Some(format!("mean {}", with_unit(of.mean, unit))),
        Some(format!("deviation {}", with_unit(of.deviation, of_difference(unit)))),
        ends::quantiles(ends, of, MOST, unit).map(|[a, b]| format!("99.73 % in {a} .. {b}")),
        Some(format!("worst case {low} .. {high}")),
    ];
    let text: Vec<String> = text.into_iter().flatten().map(|t| whole(&t)).collect();
    let told = histogram(of, ends, unit) + &wrap("  ", &text.join(", "));
    std::iter::once(told).chain(beyond()).collect()
}

/// Counts as columns, between the least and the greatest value.
fn histogram(of: &Distribution, ends: &[FigureEnd], unit: &str) -> String {
    let (least, greatest) =
        (of.least.value.unwrap_or(of.mean), of.greatest.value.unwrap_or(of.mean));
    let h = &of.histogram;
    let mut columns = [0u64; COLUMNS];
    let width = (h.high - h.low) / h.counts.len() as f64;
    for (k, count) in h.counts.iter().enumerate() {
        let middle = h.low + (k as f64 + 0.5) * width;
        let place = (middle - least) / (greatest - least) * COLUMNS as f64;
        columns[(place.max(0.0) as usize).min(COLUMNS - 1)] += count;
    }
    let tallest = columns.iter().copied().max().unwrap_or(1).max(1);
    let bar = |count: &u64| match count {
        0 => ' ',
        n => BARS[1 + (n * 7 / tallest) as usize],
    };
    let bars: String = columns.iter().map(bar).collect();
    let [low, high] = [least, greatest].map(|v| ends::bounded(ends, v, unit));
    format!("  {low:>8} {} {high} {unit}\n", paint(Ink::Drive, &bars))
}

const SIDES: [Side; 4] = [Left, Right, Left, Left];

fn drivers(drivers: &[DriverShare]) -> String {
    let bar = |share: f64| "━".repeat((share.clamp(0.0, 1.0) * 20.0).round() as usize);
    let row = |d: &DriverShare| {
        let line = if d.line > 0 { format!("line {}", d.line) } else { "not stated".into() };
        vec![cut(&d.path, 33), percent(d.total.clamp(0.0, 1.0)), bar(d.total), line]
    };
    let rows: Vec<Vec<String>> = drivers.iter().take(DRIVERS).map(row).collect();
    table(&SIDES, &rows).iter().map(|line| format!("    {line}\n")).collect()
}

fn tighter(tighter: &[Tighter]) -> Option<String> {
    let best: Vec<&Tighter> =
        tighter.iter().filter(|t| t.gain > 2.0 * t.gain_error).take(3).collect();
    let first = best.first()?;
    let mut out = format!("{}\n", paint(Ink::Heading, "What to tighten"));
    out += &wrap(
        "  ",
        &format!("share of all units gained by {} off a tolerance:", percent(first.by)),
    );
    let row = |t: &&Tighter| {
        let line = if t.line > 0 { format!("line {}", t.line) } else { "not stated".into() };
        let gain = format!("{} ± {}", percent(t.gain), percent(2.0 * t.gain_error));
        vec![cut(&t.path, 24), gain, cut(&t.text, 18), line]
    };
    let rows: Vec<Vec<String>> = best.iter().map(row).collect();
    out.extend(table(&SIDES, &rows).iter().map(|line| format!("    {line}\n")));
    Some(out)
}
