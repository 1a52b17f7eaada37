//! The path of the sweep and the events along it.

use super::{
    canvas::{Anchor, CHARACTER, Canvas},
    geometry::{Extent, Vec2, add, length, scaled, sub, unit},
    labels,
};
use crate::{csv::kind_word, number::with_unit};
use reedmace_engine::answer::{Answer, Direction, Event, EventKind};

/// The path on the page: the sweep's coordinate and where it is.
pub type Track = Vec<(f64, Vec2)>;

/// Draw the path as a chain line with an arrow at its end. A path seen on end is left out.
pub fn draw_path(canvas: &mut Canvas, track: &Track) {
    let points = points(track);
    if travel(&points) < 8.0 {
        return;
    }
    canvas.part("path", "sweep", |canvas| canvas.polyline(&points, "s-ink thin chain"));
    // The arrow needs a direction that rounding cannot turn: take it from a little way back.
    let tip = points[points.len() - 1];
    if let Some(before) = points.iter().rev().find(|p| length(sub(tip, **p)) > 4.0) {
        canvas.arrowhead(tip, sub(tip, *before), 11.0, "f-ink");
    }
}

/// How events are named beside the path.
pub struct Names {
    /// How far above a level path the names stand.
    pub lift: f64,
    /// The names keep between these, left and right.
    pub between: [f64; 2],
    /// Further names beside places of the path.
    pub places: Vec<(Vec2, String)>,
    /// Where a detail names them: left, top, right, bottom.
    pub elsewhere: Option<[f64; 4]>,
}

/// Events that are marked beside an upright path at most: more hide what is behind them and run off the sheet; the
/// tables name them.
const MOST: usize = 16;

/// True when the path is long enough on the page to carry its events' names.
pub fn carries_names(track: &Track) -> bool {
    travel(&points(track)) >= 40.0
}

/// True when the path runs level enough for names above it.
pub fn runs_across(track: &Track) -> bool {
    let mut extent = Extent::EMPTY;
    extent.hold(&points(track));
    !track.is_empty() && extent.size()[0] >= 3.0 * extent.size()[1]
}

/// How wide the bend of a path is on the page; none where it is straight across or straight up.
pub fn bend(track: &Track) -> f64 {
    let mut extent = Extent::EMPTY;
    extent.hold(&points(track));
    if track.is_empty() { 0.0 } else { extent.size()[0].min(extent.size()[1]) }
}

/// From a mark on an upright path to its name.
const ASIDE: f64 = 26.0;

/// Mark events on the path, by `names` also with name and value: the forward pass, and the way back
/// where the forward pass alone does not show both operate and release.
pub fn draw_events(
    canvas: &mut Canvas,
    track: &Track,
    answer: &Answer,
    contact: Option<usize>,
    names: Option<Names>,
) {
    if travel(&points(track)) < 24.0 {
        return;
    }
    let all = marks(track, answer, contact);
    let crowded = all.len() > MOST && !runs_across(track) && closed_round(track).is_none();
    let shown = if crowded { Vec::new() } else { all };
    let (there, here): (Vec<Mark>, Vec<Mark>) = shown.into_iter().partition(|mark| {
        names.as_ref().and_then(|names| names.elsewhere).is_some_and(|f| inside(f, mark.at))
    });
    if let Some(names) = names {
        match closed_round(track) {
            Some(middle) => draw_names_outside(canvas, &here, middle),
            None => draw_names(canvas, &here, runs_across(track), &names),
        }
    }
    for mark in &here {
        canvas.event(mark.at, mark.way, mark.kind == EventKind::Operate);
    }
    for mark in there {
        canvas.circle(mark.at, 1.5, "f-ink");
    }
}

/// Where the events are that are marked.
pub fn places(track: &Track, answer: &Answer) -> Vec<Vec2> {
    marks(track, answer, None).into_iter().map(|mark| mark.at).collect()
}

fn inside([left, top, right, bottom]: [f64; 4], at: Vec2) -> bool {
    (left..=right).contains(&at[0]) && (top..=bottom).contains(&at[1])
}

/// How far to the right names beside an upright path reach; left of everything where there are none.
pub fn names_reach(track: &Track, answer: &Answer) -> f64 {
    let marks = marks(track, answer, None);
    if runs_across(track) || marks.len() > MOST {
        return f64::NEG_INFINITY;
    }
    let end = |mark: &Mark| mark.at[0] + ASIDE + mark.name.chars().count() as f64 * CHARACTER;
    marks.iter().map(end).fold(f64::NEG_INFINITY, f64::max)
}

/// The events that are marked: of one contact, or of all of them.
fn marks(track: &Track, answer: &Answer, contact: Option<usize>) -> Vec<Mark> {
    let several = contact.is_none() && answer.contacts.len() > 1;
    let mut marks: Vec<Mark> = Vec::new();
    for (index, of) in answer.contacts.iter().enumerate() {
        if contact.is_some_and(|only| only != index) {
            continue;
        }
        for event in shown(&of.events) {
            let Some((at, forward)) = event.at.value.and_then(|v| locate(track, v)) else {
                continue;
            };
            let value = with_unit(event.at.value.unwrap_or_default(), &event.at.unit);
            let owner = if several { format!("{}: ", of.name) } else { String::new() };
            marks.push(Mark {
                at,
                way: if event.direction == Direction::Forward {
                    forward
                } else {
                    scaled(forward, -1.0)
                },
                kind: event.kind,
                name: format!("{owner}{} {value}", kind_word(event.kind)),
                value,
            });
        }
    }
    marks
}

struct Mark {
    at: Vec2,
    way: Vec2,
    kind: EventKind,
    name: String,
    value: String,
}

/// The middle of a path that comes back to where it starts.
fn closed_round(track: &Track) -> Option<Vec2> {
    let (first, last) = (track.first()?, track.last()?);
    let mut extent = Extent::EMPTY;
    extent.hold(&points(track));
    let closed = length(sub(first.1, last.1)) < 0.02 * travel(&points(track));
    (closed && bend(track) > 0.0).then(|| extent.middle())
}

/// Names outside a round path, each straight out from its mark; values alone where there are many.
/// Both ends of the sweep are one place there and tell nothing.
fn draw_names_outside(canvas: &mut Canvas, marks: &[Mark], middle: Vec2) {
    let many = marks.len() > 4;
    for mark in marks {
        let name = if many { &mark.value } else { &mark.name };
        let out = unit(sub(mark.at, middle));
        let [near, far, end] = [9.0, 28.0, 34.0].map(|reach| add(mark.at, scaled(out, reach)));
        canvas.line(near, far, "s-ink hair");
        let anchor = if out[0] < 0.0 { Anchor::End } else { Anchor::Start };
        canvas.text(name, add(end, [0.0, 4.0]), anchor, "f-ink halo");
    }
}

fn draw_names(canvas: &mut Canvas, marks: &[Mark], across: bool, names: &Names) {
    if !across {
        let beside: Vec<(Vec2, &str, &str)> = marks
            .iter()
            .map(|mark| (mark.at, mark.name.as_str(), "f-ink halo"))
            .chain(names.places.iter().map(|(at, name)| (*at, name.as_str(), "f-faded halo")))
            .collect();
        let wanted: Vec<f64> = beside.iter().map(|(at, ..)| at[1]).collect();
        let placed = labels::spread(&wanted, &vec![16.0; beside.len()], 4.0, f64::INFINITY);
        for ((at, name, class), y) in beside.into_iter().zip(placed) {
            let x = at[0] + ASIDE;
            canvas.line(add(at, [9.0, 0.0]), [x - 4.0, y], "s-ink hair");
            canvas.text(name, [x, y + 4.0], Anchor::Start, class);
        }
        return;
    }
    for (at, name) in &names.places {
        canvas.text(name, add(*at, [10.0, 16.0]), Anchor::Start, "f-faded halo");
    }
    let wanted: Vec<f64> = marks.iter().map(|m| m.at[0]).collect();
    let width = |text: &str| text.chars().count() as f64 * CHARACTER + 12.0;
    let [left, right] = names.between;
    // In a crowd the triangle alone says which of the two it is.
    let low = wanted.iter().copied().fold(f64::INFINITY, f64::min);
    let high = wanted.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let room = (right - left).min(high - low + 240.0);
    let crowded = marks.iter().map(|m| width(&m.name)).sum::<f64>() > room;
    let texts: Vec<&str> =
        marks.iter().map(|m| if crowded { m.value.as_str() } else { &m.name }).collect();
    let sizes: Vec<f64> = texts.iter().map(|t| width(t)).collect();
    let placed = labels::spread(&wanted, &sizes, left, right);
    for ((mark, text), x) in marks.iter().zip(texts).zip(placed) {
        let y = mark.at[1] - names.lift;
        canvas.line(add(mark.at, [0.0, -8.0]), [x, y + 4.0], "s-ink hair");
        canvas.text(text, [x, y], Anchor::Middle, "f-ink halo");
    }
}

fn points(track: &Track) -> Vec<Vec2> {
    track.iter().map(|(_, at)| *at).collect()
}

/// Events worth a mark on a drawing that has little room.
fn shown(events: &[Event]) -> impl Iterator<Item = &Event> {
    let forward_has = |kind| {
        events
            .iter()
            .any(|e| e.direction == Direction::Forward && e.kind == kind && e.at.value.is_some())
    };
    let forward_tells_all = forward_has(EventKind::Operate) && forward_has(EventKind::Release);
    events.iter().filter(move |e| e.direction == Direction::Forward || !forward_tells_all)
}

/// Where on the path a value of the sweep is, and which way the forward pass goes there.
fn locate(track: &Track, coordinate: f64) -> Option<(Vec2, Vec2)> {
    track.windows(2).find_map(|pair| {
        let ((c0, p0), (c1, p1)) = (pair[0], pair[1]);
        let inside = coordinate >= c0.min(c1) && coordinate <= c0.max(c1) && c0 != c1;
        inside.then(|| {
            let t = (coordinate - c0) / (c1 - c0);
            (add(p0, scaled(sub(p1, p0), t)), unit(sub(p1, p0)))
        })
    })
}

/// Length of the line through the points.
fn travel(points: &[Vec2]) -> f64 {
    points.windows(2).map(|w| length(sub(w[1], w[0]))).sum()
}
