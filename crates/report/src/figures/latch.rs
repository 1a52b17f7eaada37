//! What holds a contact that remembers: its drive against the sweep, its levels and its bias at rest.

use super::{
    canvas::{Anchor, Canvas},
    geometry::Vec2,
    labels,
    plot::{self, Frame, LEFT, PLOT_HEIGHT, Point, TOP},
};
use crate::number::{unit_label, with_unit};
use reedmace_engine::answer::{Answer, ContactAnswer, LatchAnswer, LatchAtContact};

/// Draws one contact of the latch; `None` without a trace.
pub fn draw(
    answer: &Answer,
    latch: &LatchAnswer,
    held: &LatchAtContact,
    prefix: &str,
) -> Option<Canvas> {
    let contact = answer.contacts.iter().find(|contact| contact.name == held.contact)?;
    let sign = held.bias.signum();
    let points = points(contact, sign);
    let frame = frame(&points, held)?;
    let title = format!("What {} remembers", held.contact);
    let description = format!(
        "Drive of {} against {}, its bias at rest, the band in which it keeps its state, and where it is set and reset.",
        held.contact, answer.sweep.coordinate
    );
    let mut canvas = Canvas::new(prefix, &title, &description, frame.bottom() + 46.0);
    canvas.text(&title, [0.0, 14.0], Anchor::Start, "f-ink head");
    let width = frame.right() - LEFT;
    let keeps = [held.operate, held.release].map(|level| frame.at_y(level));
    canvas.rectangle([LEFT, keeps[0], width, keeps[1] - keeps[0]], "closes");
    canvas.raw(plot::grid(&frame));
    canvas.clipped([LEFT, TOP, width, PLOT_HEIGHT], |canvas| {
        canvas.raw(plot::closed_curve(&points, &frame));
        canvas.raw(plot::open_curve(&points, &frame));
        let rest = frame.at_x(latch.rest);
        canvas.line([rest, TOP], [rest, frame.bottom()], "s-ink thin chain");
    });
    beside(&mut canvas, held, &frame);
    points_of(&mut canvas, answer, held, &frame);
    let rest = [frame.at_x(latch.rest), frame.at_y(sign * held.bias)];
    canvas.circle(rest, 4.5, "f-ink");
    if frame.x[0] < latch.rest && latch.rest < frame.x[1] {
        canvas.text("at rest", [rest[0], TOP + 14.0], Anchor::Middle, "f-ink halo");
    }
    canvas.rectangle([LEFT, TOP, width, PLOT_HEIGHT], "s-ink thin");
    let middle = TOP + PLOT_HEIGHT / 2.0;
    canvas.turned_text("drive along the bias, mT", [14.0, middle], -90.0, Anchor::Middle, "f-ink");
    let mut coordinate = answer.sweep.coordinate.clone();
    if !answer.sweep.unit.is_empty() {
        coordinate = format!("{coordinate}, {}", unit_label(&answer.sweep.unit));
    }
    let below = [(LEFT + frame.right()) / 2.0, frame.bottom() + 38.0];
    canvas.text(&coordinate, below, Anchor::Middle, "f-ink");
    Some(canvas)
}

/// The trace with the bias upward.
fn points(contact: &ContactAnswer, sign: f64) -> Vec<Point> {
    let of = |row: &reedmace_engine::answer::TraceRow| {
        let (a, b) = (sign * row.drive_open_low, sign * row.drive_open_high);
        Point {
            x: row.coordinate,
            open: sign * row.drive_open,
            closed: sign * row.drive_closed,
            low: a.min(b),
            high: a.max(b),
        }
    };
    contact.trace.iter().map(of).collect()
}

/// Wide enough for the levels and for what overdrives the contact, not for all that a near magnet makes.
fn frame(points: &[Point], held: &LatchAtContact) -> Option<Frame> {
    let (first, last) = (points.first()?, points.last()?);
    if first.x == last.x {
        return None;
    }
    let most = 2.0 * held.operate;
    let high = points.iter().map(|p| p.high).fold(1.25 * held.operate, f64::max).min(most);
    let low = points.iter().map(|p| p.low).fold(0.0, f64::min).max(-most);
    let room = 0.06 * (high - low);
    Some(Frame { x: [first.x.min(last.x), first.x.max(last.x)], y: [low - room, high + room] })
}

/// The levels and the bias, named right of the plot.
fn beside(canvas: &mut Canvas, held: &LatchAtContact, frame: &Frame) {
    let bias = held.bias.abs();
    let mut lines = vec![
        (held.operate, "operate", "s-met line", "f-met strong"),
        (bias, "bias", "s-ink thin chain", "f-ink strong"),
        (held.release, "release", "s-met line dashed", "f-met strong"),
    ];
    if -held.operate > frame.y[0] {
        lines.push((-held.operate, "operate", "s-met line", "f-met strong"));
    }
    let at: Vec<f64> = lines.iter().map(|(level, ..)| frame.at_y(*level)).collect();
    let placed = labels::spread(&at, &vec![15.0; at.len()], TOP, frame.bottom());
    for (((level, word, line, ink), y), label) in lines.into_iter().zip(at).zip(placed) {
        canvas.line([LEFT, y], [frame.right(), y], line);
        let elbow = frame.right() + 10.0;
        canvas.polyline(&[[frame.right(), y], [elbow, label], [elbow + 5.0, label]], "s-ink hair");
        let text = format!("{word} {}", with_unit(level, "mT"));
        canvas.text(&text, [elbow + 8.0, label + 4.0], Anchor::Start, ink);
    }
}

/// Set and reset points, and the one of an overdriven reset, on the curve.
fn points_of(canvas: &mut Canvas, answer: &Answer, held: &LatchAtContact, frame: &Frame) {
    let named = [
        (held.set, held.operate, "set", true),
        (held.reset, held.release, "reset", false),
        (held.overdriven, -held.operate, "closes the other way", true),
    ];
    for (at, level, word, filled) in named {
        let Some(x) = at else { continue };
        let place: Vec2 = [frame.at_x(x), frame.at_y(level)];
        let up = if filled == (level > 0.0) { [0.0, -1.0] } else { [0.0, 1.0] };
        canvas.event(place, up, filled);
        let right = place[0] > 0.5 * (LEFT + frame.right());
        let (anchor, aside) = if right { (Anchor::End, -12.0) } else { (Anchor::Start, 12.0) };
        let text = format!("{word} {}", with_unit(x, &answer.sweep.unit));
        let above = if up[1] < 0.0 { -8.0 } else { 18.0 };
        canvas.text(&text, [place[0] + aside, place[1] + above], anchor, "f-ink strong halo");
    }
}
