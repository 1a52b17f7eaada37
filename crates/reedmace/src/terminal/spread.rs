//! What many units do: shares, histograms, drivers, what to tighten, in 80 columns.

use super::{
    Ink, WIDTH, events,
    layout::{
        Side::{self, Left, Right},
        cut, table, whole, wrap,
    },
    notes, paint,
};
use reedmace_engine::answer::{
    Band, DemandSpread, Direction, Distribution, DriverShare, EventKind, EventSpread, FigureEnd,
    FigureSpread, SpreadAnswer, Tighter, Verdict,
};
use reedmace_report::ends;
use reedmace_report::number::{behind, grouped, of_difference, percent, share, with_unit};
use std::path::Path;

/// Columns of a histogram.
const COLUMNS: usize = 50;
/// Heights of a column.
const BARS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/// Drivers shown of each figure; what makes a row too wide is cut.
const DRIVERS: usize = 4;

/// Everything `spread` prints.
pub(crate) fn spread(answer: &SpreadAnswer, resumed: u64, files: &[Option<&Path>]) -> String {
    let mut parts = vec![head(answer, resumed)];
    parts.extend(answer.demands.iter().map(demand));
    parts.extend(answer.events.iter().map(|e| event(answer, e)));
    parts.extend(answer.figures.iter().map(figure));
    parts.extend(tighter(&answer.tighter));
    if answer.units_with_other_events > 0 {
        let text = format!(
            "{} units have an event that the search of the worst case did not meet.",
            grouped(answer.units_with_other_events)
        );
        parts.push(wrap("  ", &text));
    }
    parts.extend(notes::model(&answer.models));
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

fn demand(demand: &DemandSpread) -> String {
    let of = &demand.share;
    let (verdict, sign) = match (of.met == of.of, of.met) {
        (true, _) => (Verdict::Met, '✓'),
        (false, 0) => (Verdict::Missed, '✗'),
        (false, _) => (Verdict::AtRisk, '!'),
    };
    let mark =
        format!("{sign} {}", paint(Ink::Heading, &format!("{} {}", demand.contact, demand.text)));
    let mut out =
        format!("{}\n", paint(Ink::of(verdict), &sign.to_string()) + &mark[sign.len_utf8()..]);
    let missed = of.of - of.met;
    let failing = match missed {
        0 => "all units meet it".into(),
        n => format!("{} units miss it, {}", grouped(n), percent(n as f64 / of.of as f64)),
    };
    let interval =
        format!("between {} and {} of all units meet it (95 %)", share(of.low), share(of.high));
    out += &wrap("  ", &format!("{failing}; {}", whole(&interval)));
    if let Some(few) = &demand.too_few {
        out += &wrap("  ", few);
    }
    if let Some(room) = &demand.room {
        out += &histogram("room", room, &[], &demand.unit);
    }
    if let Some(worst) = &demand.worst_unit {
        let room = worst
            .value
            .map_or("no event at all".into(), |v| format!("room {}", with_unit(v, &demand.unit)));
        let corner = demand.room_worst_case.map_or(String::new(), |v| {
            format!("; worst corner of the tolerances {}", with_unit(v, &demand.unit))
        });
        out += &wrap("  ", &format!("worst unit {}: {room}{corner}", worst.unit));
    }
    out + &drivers(&demand.drivers)
}

fn event(answer: &SpreadAnswer, event: &EventSpread) -> String {
    let kind = if event.kind == EventKind::Operate { "operate" } else { "release" };
    let pass = if event.direction == Direction::Forward { "forward" } else { "back" };
    let title = format!("{} {kind}, {pass}, lobe {}", event.contact, event.lobe);
    let mark = events::mark(event.kind, event.direction);
    let mut out = format!("{mark} {}\n", paint(Ink::Heading, &title));
    if event.absent > 0 {
        let share = event.absent as f64 / (event.absent + event.units) as f64;
        out += &wrap(
            "  ",
            &format!("{} units do not have it, {}", grouped(event.absent), percent(share)),
        );
    }
    if let Some(at) = &event.at {
        out += &spread_over(&answer.coordinate, at, &[], &event.worst_case);
    }
    out + &drivers(&event.drivers)
}

fn figure(figure: &FigureSpread) -> String {
    let mut out = format!("{}\n", paint(Ink::Heading, &figure.name));
    if figure.absent > 0 {
        let share = figure.absent as f64 / (figure.absent + figure.units) as f64;
        let text = format!("{} units do not have it, {}", grouped(figure.absent), percent(share));
        out += &wrap("  ", &text);
    }
    if let Some((values, worst)) = figure.values.as_ref().zip(figure.worst_case.as_ref()) {
        out += &spread_over(&figure.name, values, &figure.ends, worst);
    }
    out + &drivers(&figure.drivers)
}

/// A histogram with its mean, deviation and limits, and what is said of the ends that values lie at.
fn spread_over(what: &str, of: &Distribution, ends: &[FigureEnd], worst: &Band) -> String {
    let unit = &worst.unit;
    let [low, high] = [worst.low, worst.high].map(|v| ends::bounded(ends, v, unit));
    let text = [
        Some(format!("mean {}", with_unit(of.mean, unit))),
        Some(format!("deviation {}", with_unit(of.deviation, of_difference(unit)))),
        ends::quantiles(ends, of, [0.001_35, 0.998_65], unit)
            .map(|[a, b]| format!("99.73 % in {a} .. {b}")),
        Some(format!("worst case {low} .. {high}")),
    ];
    let text: Vec<String> = text.into_iter().flatten().map(|t| whole(&t)).collect();
    let mut out = histogram(what, of, ends, unit) + &wrap("  ", &text.join(", "));
    out.extend(ends::of_many(ends, of, unit).iter().map(|said| wrap("  ", said)));
    out
}

/// Counts as columns, between the least and the greatest value.
fn histogram(what: &str, of: &Distribution, ends: &[FigureEnd], unit: &str) -> String {
    let (least, greatest) =
        (of.least.value.unwrap_or(of.mean), of.greatest.value.unwrap_or(of.mean));
    if least == greatest {
        let value = ends::bounded(ends, least, unit) + &behind(unit);
        return wrap("  ", &format!("{what}: {value} in every unit"));
    }
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
