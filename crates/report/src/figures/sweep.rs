//! The drive of one contact along the sweep: levels, events and closed stretches
//! over the plot.

use super::{
    canvas::{Anchor, CHARACTER, Canvas, WIDTH},
    geometry::Vec2,
    labels,
    plot::{self, Frame, LEFT, PLOT_HEIGHT, Point, TOP},
};
use crate::number::{number, unit_label, with_unit};
use reedmace_engine::answer::{
    Answer, Band, ClosedInterval, ContactAnswer, Direction, Event, EventKind, TraceRow,
};

/// Room for one pass under the plot.
const LANE: f64 = 43.0;

/// Draw the chart; `None` when there is no such contact or no trace to draw.
pub fn draw(answer: &Answer, contact: usize, prefix: &str) -> Option<Canvas> {
    let contact = answer.contacts.get(contact)?;
    let (points, signed) = shown(&contact.trace);
    let (frame, peak_beyond) = frame(&points, contact, signed)?;
    let mut coordinate = answer.sweep.coordinate.clone();
    if !answer.sweep.unit.is_empty() {
        coordinate = format!("{coordinate}, {}", unit_label(&answer.sweep.unit));
    }
    let description = format!(
        "Drive of contact {} against {coordinate}, with operate and release levels and the stretches \
         where it is closed.",
        contact.name
    );
    let title = format!("Drive of {} along the sweep", contact.name);
    let mut canvas = Canvas::new(prefix, &title, &description, 0.0);
    canvas.text(&title, [0.0, 14.0], Anchor::Start, "f-ink head");
    key(&mut canvas);
    let clip = [LEFT, TOP, frame.right() - LEFT, PLOT_HEIGHT];
    canvas.raw(plot::grid(&frame));
    canvas.clipped(clip, |canvas| {
        for (band, _) in levels(contact, signed, &frame) {
            let (top, bottom) = (frame.at_y(band.high), frame.at_y(band.low));
            canvas.rectangle([LEFT, top, frame.right() - LEFT, bottom - top], "edge");
        }
        canvas.raw(plot::closed_curve(&points, &frame));
        canvas.raw(plot::open_curve(&points, &frame));
    });
    level_lines(&mut canvas, contact, signed, &frame);
    canvas.rectangle(clip, "s-ink thin");
    let what = if signed { "drive, mT" } else { "|drive|, mT" };
    canvas.turned_text(what, [14.0, TOP + PLOT_HEIGHT / 2.0], -90.0, Anchor::Middle, "f-ink");
    let below = frame.bottom() + 38.0;
    canvas.text(&coordinate, [(LEFT + frame.right()) / 2.0, below], Anchor::Middle, "f-ink");
    if let Some(peak) = peak_beyond {
        let lines = ["leaves the chart:".to_string(), format!("up to {}", with_unit(peak, "mT"))];
        for (line, text) in lines.iter().enumerate() {
            let y = TOP + 10.0 + 16.0 * line as f64;
            canvas.text(text, [frame.right() + 18.0, y], Anchor::Start, "f-faded");
        }
    }
    let mut top = below + 12.0;
    for direction in [Direction::Forward, Direction::Back] {
        lane(&mut canvas, answer, contact, direction, &frame, top);
        top += LANE;
    }
    markers(&mut canvas, answer, contact, &points, signed, &frame);
    canvas.set_height(top + 4.0);
    Some(canvas)
}

/// The trace as drawn: signed when the drive turns over on the way, else its magnitude.
fn shown(trace: &[TraceRow]) -> (Vec<Point>, bool) {
    let highest = trace.iter().map(|r| r.drive_open).fold(0.0, f64::max);
    let lowest = trace.iter().map(|r| r.drive_open).fold(0.0, f64::min);
    let signed = highest.min(-lowest) > 0.03 * highest.max(-lowest);
    let flip = if -lowest > highest { -1.0 } else { 1.0 };
    let points = trace
        .iter()
        .map(|row| {
            let (a, b) = (flip * row.drive_open_low, flip * row.drive_open_high);
            Point {
                x: row.coordinate,
                open: flip * row.drive_open,
                closed: flip * row.drive_closed,
                low: a.min(b),
                high: a.max(b),
            }
        })
        .collect();
    (points, signed)
}

/// The chart's frame, and the highest drive when the curve leaves it. Where a magnet comes close the
/// drive grows far past everything that decides anything; the chart keeps to the levels.
fn frame(points: &[Point], contact: &ContactAnswer, signed: bool) -> Option<(Frame, Option<f64>)> {
    let (first, last) = (points.first()?, points.last()?);
    if points.len() < 2 || first.x == last.x {
        return None;
    }
    let peak = points.iter().flat_map(|p| [p.open, p.high, p.closed]).fold(0.0, f64::max);
    let open_peak = points.iter().map(|p| p.open).fold(0.0, f64::max);
    let trough = points.iter().flat_map(|p| [p.open, p.low, p.closed]).fold(0.0, f64::min);
    let level = contact.operate.high;
    let most = 3.0 * level;
    let high = peak.max(1.25 * level);
    let low = if signed { trough.min(-1.25 * level * f64::from(trough < -level)) } else { 0.0 };
    let beyond = (peak > 4.0 * level).then_some(open_peak);
    let high = if beyond.is_some() { most } else { high * 1.06 };
    let low = if low < -4.0 * level { -most } else { low * 1.06 };
    let x = [first.x.min(last.x), first.x.max(last.x)];
    Some((Frame { x, y: [low, high] }, beyond))
}

/// Operate and release levels the chart has room for, each with its name; mirrored where the drive
/// is signed.
fn levels(contact: &ContactAnswer, signed: bool, frame: &Frame) -> Vec<(Band, EventKind)> {
    let mut levels = Vec::new();
    for (band, kind) in
        [(&contact.operate, EventKind::Operate), (&contact.release, EventKind::Release)]
    {
        levels.push((band.clone(), kind));
        let nominal = band.value.unwrap_or((band.low + band.high) / 2.0);
        if signed && -nominal > frame.y[0] {
            let mirrored = Band {
                value: band.value.map(|v| -v),
                low: -band.high,
                high: -band.low,
                unit: band.unit.clone(),
            };
            levels.push((mirrored, kind));
        }
    }
    levels
}

fn level_lines(canvas: &mut Canvas, contact: &ContactAnswer, signed: bool, frame: &Frame) {
    let levels = levels(contact, signed, frame);
    let at: Vec<f64> = levels
        .iter()
        .map(|(band, _)| frame.at_y(band.value.unwrap_or((band.low + band.high) / 2.0)))
        .collect();
    let placed = labels::spread(&at, &vec![15.0; at.len()], TOP, frame.bottom());
    for (((band, kind), y), label_y) in levels.iter().zip(at).zip(placed) {
        let (class, word) = match kind {
            EventKind::Operate => ("s-met line", "operate"),
            EventKind::Release => ("s-met line dashed", "release"),
        };
        canvas.line([LEFT, y], [frame.right(), y], class);
        let elbow = frame.right() + 10.0;
        canvas.polyline(
            &[[frame.right(), y], [elbow, label_y], [elbow + 5.0, label_y]],
            "s-met hair",
        );
        let nominal = band.value.unwrap_or((band.low + band.high) / 2.0);
        let text = format!("{word} {}", with_unit(nominal, "mT"));
        canvas.text(&text, [elbow + 8.0, label_y + 4.0], Anchor::Start, "f-met strong");
    }
}

/// Samples of the lines, above the plot.
fn key(canvas: &mut Canvas) {
    canvas.rectangle([326.0, 4.0, 28.0, 12.0], "band");
    canvas.line([326.0, 10.0], [354.0, 10.0], "s-drive bold");
    canvas.text("contact open, band over tolerances", [361.0, 14.0], Anchor::Start, "f-ink");
    canvas.line([576.0, 10.0], [604.0, 10.0], "s-drive thin hidden");
    canvas.text("contact closed", [611.0, 14.0], Anchor::Start, "f-ink");
}

/// One pass under the chart: hatched where the contact is closed, its events with their values and
/// bands.
fn lane(
    canvas: &mut Canvas,
    answer: &Answer,
    contact: &ContactAnswer,
    direction: Direction,
    frame: &Frame,
    top: f64,
) {
    let (bar, height) = (top + 4.0, 14.0);
    let forward_runs_right = answer.sweep.to >= answer.sweep.from;
    let runs_right = (direction == Direction::Forward) == forward_runs_right;
    let word = crate::csv::direction_word(direction);
    let pass = if runs_right { format!("{word} →") } else { format!("← {word}") };
    canvas.text(&pass, [LEFT - 10.0, bar + 11.0], Anchor::End, "f-ink strong");
    let middle = bar + height / 2.0;
    canvas.line([LEFT, middle], [frame.right(), middle], "s-ink thin chain");
    let way: Vec2 = if runs_right { [1.0, 0.0] } else { [-1.0, 0.0] };
    let tip = if runs_right { frame.right() } else { LEFT };
    canvas.arrowhead([tip, middle], way, 10.0, "f-ink");
    for ClosedInterval { from, to, .. } in
        contact.closed.iter().filter(|c| c.direction == direction)
    {
        let (a, b) = (frame.at_x(from.min(*to)), frame.at_x(from.max(*to)));
        canvas.rectangle([a, bar, b - a, height], "f-paper s-met thin");
        canvas.rectangle([a, bar, b - a, height], "closes");
        canvas.rectangle_filled([a, bar, b - a, height], "hatch");
        if b - a > 60.0 {
            canvas.text("closed", [(a + b) / 2.0, bar + 11.0], Anchor::Middle, "f-ink halo");
        }
    }
    let events: Vec<&Event> = contact
        .events
        .iter()
        .filter(|e| e.direction == direction && e.at.value.is_some())
        .collect();
    let at: Vec<f64> = events.iter().map(|e| frame.at_x(e.at.value.unwrap_or_default())).collect();
    let texts: Vec<String> =
        events.iter().map(|e| number(e.at.value.unwrap_or_default(), &answer.sweep.unit)).collect();
    let sizes: Vec<f64> =
        texts.iter().map(|t| t.chars().count() as f64 * CHARACTER + 12.0).collect();
    let placed = labels::spread(&at, &sizes, LEFT, WIDTH - 4.0);
    for (((event, x), text), label_x) in events.iter().zip(at).zip(&texts).zip(placed) {
        let (low, high) = (frame.at_x(event.at.low), frame.at_x(event.at.high));
        let whisker = bar + height + 4.0;
        canvas.line([low, whisker], [high, whisker], "s-ink thin");
        for end in [low, high] {
            canvas.line([end, whisker - 3.0], [end, whisker + 3.0], "s-ink thin");
        }
        canvas.event([x, middle], way, event.kind == EventKind::Operate);
        canvas.line([x, whisker], [label_x, whisker + 7.0], "s-ink hair");
        canvas.text(text, [label_x, whisker + 18.0], Anchor::Middle, "f-ink");
    }
}

/// Triangles where the drive meets its level, pointing the way the sweep runs.
fn markers(
    canvas: &mut Canvas,
    answer: &Answer,
    contact: &ContactAnswer,
    points: &[Point],
    signed: bool,
    frame: &Frame,
) {
    let forward_runs_right = answer.sweep.to >= answer.sweep.from;
    for event in &contact.events {
        let Some(x) = event.at.value else { continue };
        let level = match event.kind {
            EventKind::Operate => &contact.operate,
            EventKind::Release => &contact.release,
        };
        let level = level.value.unwrap_or((level.low + level.high) / 2.0);
        let below_zero = signed && nearest(points, x).is_some_and(|p| p.open < 0.0);
        let y = frame.at_y(if below_zero { -level } else { level });
        let right = (event.direction == Direction::Forward) == forward_runs_right;
        let way = if right { [1.0, 0.0] } else { [-1.0, 0.0] };
        canvas.event([frame.at_x(x), y], way, event.kind == EventKind::Operate);
    }
}

fn nearest(points: &[Point], x: f64) -> Option<&Point> {
    points.iter().min_by(|a, b| (a.x - x).abs().total_cmp(&(b.x - x).abs()))
}
