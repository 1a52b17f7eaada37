//! What strays from near by, motors and conductors, as a drawing office draws it: each in the view in which it
//! stands beside the bodies rather than before or behind them.

use super::bodies::end_on;
use super::canvas::{Anchor, CHARACTER, Canvas};
use super::conductor;
use super::geometry::{
    Extent, Vec2, Vec3, View, add, along, body_axis, dot, length, scaled, sub, unit,
};
use reedmace_engine::Drawing;
use reedmace_engine::drawing::{ConductorOutline, MotorOutline};

/// Radius of the sign of a motor, in points: how large it is, nobody states.
const RADIUS: f64 = 8.0;
/// How far beyond the window an arrow to what is far ends, in points.
const POINTER: f64 = 18.0;
/// What is nearer to all else than this share of its greater side is drawn at its place.
const NEAR: f64 = 0.5;

/// One of them, and its place: of a conductor the one nearest to the first contact.
struct Stray<'a> {
    name: &'a str,
    at: Vec3,
    kind: Kind<'a>,
}

enum Kind<'a> {
    Motor(&'a MotorOutline),
    Conductor(&'a ConductorOutline),
}

/// Holds what stands near everything else.
pub fn extent(view: &View, drawing: &Drawing, extent: &mut Extent) {
    let others = *extent;
    let most = NEAR * others.size()[0].max(others.size()[1]);
    for stray in beside(view, drawing) {
        let at = view.project(stray.at);
        let near = |k: usize| (others.low[k] - most..=others.high[k] + most).contains(&at[k]);
        if near(0) && near(1) {
            extent.hold(&[at]);
        }
    }
}

/// Draws what stands within `window` (left, top, width, height): a motor as a broken circle with the arrow of
/// the dipole.
pub fn draw(canvas: &mut Canvas, view: &View, drawing: &Drawing, window: [f64; 4]) {
    for stray in beside(view, drawing) {
        let Some(at) = within(view, &stray, window) else { continue };
        match stray.kind {
            Kind::Motor(motor) => sign(canvas, at, view, body_axis(&motor.world_from_body, 2)),
            Kind::Conductor(wire) => conductor::draw(canvas, view, wire, window),
        }
    }
}

/// Their names, and where they stand.
pub fn names<'a>(
    view: &'a View,
    drawing: &'a Drawing,
    window: [f64; 4],
) -> impl Iterator<Item = (&'a str, Vec2)> {
    beside(view, drawing).filter_map(move |stray| Some((stray.name, within(view, &stray, window)?)))
}

/// Points from the edge of `window` to each that is beyond it, and says how far from the first contact.
pub fn point(canvas: &mut Canvas, view: &View, drawing: &Drawing, window: [f64; 4]) {
    for stray in beside(view, drawing) {
        if within(view, &stray, window).is_some() {
            continue;
        }
        let from = from_contact(drawing, stray.at);
        let centre = view.project(contact(drawing));
        let way = unit(view.direction(from));
        let room = |k: usize| {
            let edge = if way[k] > 0.0 { window[k] + window[k + 2] } else { window[k] };
            if way[k].abs() < 1e-9 { f64::INFINITY } else { (edge - centre[k]) / way[k] }
        };
        let tip = along(centre, way, room(0).min(room(1)).max(0.0) + POINTER);
        canvas.line(along(tip, way, -12.0), tip, "s-ink thin");
        canvas.arrowhead(tip, way, 7.0, "f-ink");
        let text = format!("{}, {:.0}\u{a0}mm off", stray.name, 1e3 * dot(from, from).sqrt());
        let wide = text.chars().count() as f64 * CHARACTER * 1.1;
        let aside = if way[0] < -0.7 { -6.0 - wide } else { 8.0 };
        canvas.text(&text, add(tip, [aside, 4.0]), Anchor::Start, "f-ink strong halo");
    }
}

/// Those that stand beside the first contact rather than before or behind it.
fn beside<'a>(view: &'a View, drawing: &'a Drawing) -> impl Iterator<Item = Stray<'a>> {
    let motors = drawing.motors.iter().map(|motor| Stray {
        name: &motor.name,
        at: motor.world_from_body.origin,
        kind: Kind::Motor(motor),
    });
    let conductors = drawing.conductors.iter().map(|wire| Stray {
        name: &wire.name,
        at: nearest(drawing, wire),
        kind: Kind::Conductor(wire),
    });
    motors.chain(conductors).filter(move |stray| {
        let from = from_contact(drawing, stray.at);
        length(view.direction(from)) >= dot(from, view.toward).abs()
    })
}

/// The place of a conductor nearest to the first contact.
fn nearest(drawing: &Drawing, wire: &ConductorOutline) -> Vec3 {
    let (middle, way) = (wire.world_from_body.origin, body_axis(&wire.world_from_body, 2));
    let half = wire.length.map_or(f64::INFINITY, |length| 0.5 * length);
    let along = -dot(from_contact(drawing, middle), way);
    std::array::from_fn(|i| middle[i] + along.clamp(-half, half) * way[i])
}

fn contact(drawing: &Drawing) -> Vec3 {
    drawing.contacts.first().map_or([0.0; 3], |contact| contact.world_from_contact.origin)
}

fn from_contact(drawing: &Drawing, at: Vec3) -> Vec3 {
    let contact = contact(drawing);
    std::array::from_fn(|i| at[i] - contact[i])
}

/// Where one goes, if that is within a window.
fn within(view: &View, stray: &Stray<'_>, window: [f64; 4]) -> Option<Vec2> {
    let at = view.project(stray.at);
    let inside =
        |k: usize| (window[k] - RADIUS..=window[k] + window[k + 2] + RADIUS).contains(&at[k]);
    (inside(0) && inside(1)).then_some(at)
}

/// A broken circle with an arrow through it, or with the sign of one that points at or away from the viewer.
fn sign(canvas: &mut Canvas, at: Vec2, view: &View, way: [f64; 3]) {
    canvas.circle(at, RADIUS, "f-paper s-ink thin ghost");
    let shown = view.direction(way);
    if length(shown) < 0.35 {
        end_on(canvas, at, 0.45 * RADIUS, view.comes(way));
        return;
    }
    let out = scaled(unit(shown), 0.75 * RADIUS);
    canvas.line(sub(at, out), along(at, unit(shown), 0.2 * RADIUS), "s-ink bold");
    canvas.arrowhead(add(at, out), unit(shown), 6.0, "f-ink");
}
