//! A wheel and its pulse train over one turn.

use super::{
    bodies,
    canvas::{Anchor, Canvas, WIDTH},
    geometry::{Extent, Vec2, View, add, dot, scaled, sub, unit},
};
use crate::number::with_unit;
use reedmace_engine::{Drawing, answer::RotorAnswer};

const TOP: f64 = 34.0;
const RADIUS: f64 = 62.0;
const LEFT: f64 = 190.0;
const RIGHT: f64 = 20.0;
/// Levels of the train on the page: closed and open.
const CLOSED: f64 = TOP + 26.0;
const OPEN: f64 = TOP + 96.0;
const HEIGHT: f64 = TOP + 2.0 * RADIUS + 34.0;
/// Pieces of the arc that tells which way the wheel turns, and how much of a turn it is.
const PIECES: usize = 12;
const ARC: f64 = 40.0;
/// Most pulses whose ends are named.
const NAMED: usize = 4;

/// Draws one turn from `from` (degrees) on: the wheel as it stands there, seen along its shaft, and beside it the
/// train of pulses.
pub fn draw(rotor: &RotorAnswer, drawing: &Drawing, from: f64, prefix: &str) -> Canvas {
    let title = "One turn of the wheel";
    let description = format!(
        "{} pulses a turn of {}, with the angles where each begins and ends on the way forward.",
        rotor.closed.len(),
        rotor.contact
    );
    let mut canvas = Canvas::new(prefix, title, &description, HEIGHT);
    canvas.text(title, [0.0, 14.0], Anchor::Start, "f-ink head");
    wheel(&mut canvas, drawing);
    train(&mut canvas, rotor, from);
    canvas
}

fn wheel(canvas: &mut Canvas, drawing: &Drawing) {
    let Some(turn) = &drawing.turn else { return };
    let along = |view: &View| dot(turn.axis, view.toward).abs();
    let view = [View::above(), View::front(), View::side()]
        .into_iter()
        .reduce(|best, view| if along(&view) > along(&best) + 1e-6 { view } else { best })
        .unwrap_or_else(View::above);
    let hub = view.project(turn.centre);
    let mut extent = Extent::EMPTY;
    for magnet in drawing.magnets.iter().filter(|magnet| magnet.moves) {
        extent.hold(&bodies::magnet_outline(&view, magnet, &magnet.world_from_body));
    }
    extent.hold(&[-1.0, 1.0].map(|sign| add(hub, [sign * turn.reach; 2])));
    for contact in &drawing.contacts {
        bodies::contact_extent(&view, contact, &mut extent);
    }
    let [width, height] = extent.size();
    let scale = 2.0 * RADIUS / width.max(height);
    let middle = [RADIUS + 12.0, TOP + RADIUS + 6.0];
    let view = View { scale, origin: sub(middle, scaled(extent.middle(), scale)), ..view };
    let centre = view.project(turn.centre);
    let radius = turn.reach * scale;
    canvas.circle(centre, radius, "s-ink hair");
    canvas.circle(centre, 3.0, "f-paper s-ink thin");
    for contact in &drawing.contacts {
        bodies::draw_contact(canvas, &view, contact);
    }
    for magnet in drawing.magnets.iter().filter(|magnet| magnet.moves) {
        bodies::draw_magnet(canvas, &view, magnet);
    }
    // Which way it turns: the right-hand rule about its axis.
    let sense = if view.comes(turn.axis) { -1.0 } else { 1.0 };
    let at = |k: usize| {
        let angle =
            (sense * ARC * k as f64 / PIECES as f64).to_radians() - 0.5 * sense * ARC.to_radians();
        add(centre, scaled([angle.cos(), angle.sin()], 0.55 * radius))
    };
    let arc: Vec<Vec2> = (0..=PIECES).map(at).collect();
    canvas.polyline(&arc, "s-ink thin");
    canvas.arrowhead(arc[PIECES], unit(sub(arc[PIECES], arc[PIECES - 1])), 8.0, "f-ink");
}

fn train(canvas: &mut Canvas, rotor: &RotorAnswer, from: f64) {
    let width = WIDTH - LEFT - RIGHT;
    let x = |degrees: f64| LEFT + width * (degrees - from) / 360.0;
    // A pulse over the end of the turn goes on at its beginning.
    let pieces = rotor.closed.iter().flat_map(|&[start, end]| {
        let last = from + 360.0;
        [[start, end.min(last)], [from, from + (end - last).max(0.0)]]
    });
    let mut pieces: Vec<[f64; 2]> = pieces.filter(|[a, b]| b > a).collect();
    pieces.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut line = Vec::new();
    for [start, end] in &pieces {
        canvas.rectangle([x(*start), CLOSED, x(*end) - x(*start), OPEN - CLOSED], "closes");
        line.extend([[x(*start), OPEN], [x(*start), CLOSED], [x(*end), CLOSED], [x(*end), OPEN]]);
    }
    line.insert(0, [LEFT, OPEN]);
    line.push([LEFT + width, OPEN]);
    canvas.polyline(&line, "s-ink line");
    canvas.text("closed", [LEFT - 8.0, CLOSED + 4.0], Anchor::End, "f-ink");
    canvas.text("open", [LEFT - 8.0, OPEN + 4.0], Anchor::End, "f-ink");
    for (k, degrees) in [from, from + 360.0].into_iter().enumerate() {
        let anchor = if k == 0 { Anchor::Start } else { Anchor::End };
        canvas.text(&with_unit(degrees, "deg"), [x(degrees), OPEN + 34.0], anchor, "f-faded");
    }
    for [start, end] in pieces.iter().filter(|_| pieces.len() <= NAMED) {
        let text = format!("{} wide", with_unit(end - start, "deg"));
        canvas.text(&text, [0.5 * (x(*start) + x(*end)), CLOSED - 8.0], Anchor::Middle, "f-ink");
        canvas.text(&with_unit(*start, "deg"), [x(*start), OPEN + 16.0], Anchor::Middle, "f-faded");
    }
}
