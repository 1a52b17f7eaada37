//! Motors near by as a drawing office draws them: each in the view in which it stands beside the bodies rather
//! than before or behind them.

use super::bodies::end_on;
use super::canvas::{Anchor, CHARACTER, Canvas};
use super::geometry::{Extent, Vec2, View, add, along, body_axis, dot, length, scaled, sub, unit};
use reedmace_engine::{Drawing, drawing::MotorOutline};

/// Radius of the sign, in points: how large a motor is, nobody states.
const RADIUS: f64 = 8.0;
/// How far beyond the window an arrow to a motor ends, in points.
const POINTER: f64 = 18.0;
/// A motor nearer to all else than this share of its greater side is drawn at its place.
const NEAR: f64 = 0.5;

/// Holds the motors that stand near everything else.
pub fn extent(view: &View, drawing: &Drawing, extent: &mut Extent) {
    let others = *extent;
    let most = NEAR * others.size()[0].max(others.size()[1]);
    for motor in beside(view, drawing) {
        let at = view.project(motor.world_from_body.origin);
        let near = |k: usize| (others.low[k] - most..=others.high[k] + most).contains(&at[k]);
        if near(0) && near(1) {
            extent.hold(&[at]);
        }
    }
}

/// Draws the motors that stand within `window` (left, top, width, height): a broken circle with the arrow of
/// the dipole.
pub fn draw(canvas: &mut Canvas, view: &View, drawing: &Drawing, window: [f64; 4]) {
    for motor in beside(view, drawing) {
        if let Some(at) = within(view, motor, window) {
            sign(canvas, at, view, body_axis(&motor.world_from_body, 2));
        }
    }
}

/// Their names, and where those start.
pub fn names<'a>(
    view: &'a View,
    drawing: &'a Drawing,
    window: [f64; 4],
) -> impl Iterator<Item = (&'a str, Vec2)> {
    beside(view, drawing).filter_map(move |motor| {
        let at = within(view, motor, window)?;
        Some((motor.name.as_str(), add(at, [RADIUS + 5.0, -3.0])))
    })
}

/// Points from the edge of `window` to each motor beyond it, and says how far from the first contact it is.
pub fn point(canvas: &mut Canvas, view: &View, drawing: &Drawing, window: [f64; 4]) {
    let far = |motor: &&MotorOutline| within(view, motor, window).is_none();
    for motor in beside(view, drawing).filter(far) {
        let from = from_contact(drawing, motor);
        let centre = view.project(contact(drawing));
        let way = unit(view.direction(from));
        let room = |k: usize| {
            let edge = if way[k] > 0.0 { window[k] + window[k + 2] } else { window[k] };
            if way[k].abs() < 1e-9 { f64::INFINITY } else { (edge - centre[k]) / way[k] }
        };
        let tip = along(centre, way, room(0).min(room(1)).max(0.0) + POINTER);
        canvas.line(along(tip, way, -12.0), tip, "s-ink thin");
        canvas.arrowhead(tip, way, 7.0, "f-ink");
        let text = format!("{}, {:.0}\u{a0}mm off", motor.name, 1e3 * dot(from, from).sqrt());
        let wide = text.chars().count() as f64 * CHARACTER * 1.1;
        let aside = if way[0] < -0.7 { -6.0 - wide } else { 8.0 };
        canvas.text(&text, add(tip, [aside, 4.0]), Anchor::Start, "f-ink strong halo");
    }
}

/// Motors that stand beside the first contact rather than before or behind it.
fn beside<'a>(view: &'a View, drawing: &'a Drawing) -> impl Iterator<Item = &'a MotorOutline> {
    drawing.motors.iter().filter(move |motor| {
        let from = from_contact(drawing, motor);
        length(view.direction(from)) >= dot(from, view.toward).abs()
    })
}

fn contact(drawing: &Drawing) -> [f64; 3] {
    drawing.contacts.first().map_or([0.0; 3], |contact| contact.world_from_contact.origin)
}

fn from_contact(drawing: &Drawing, motor: &MotorOutline) -> [f64; 3] {
    let contact = contact(drawing);
    std::array::from_fn(|i| motor.world_from_body.origin[i] - contact[i])
}

/// Where the sign of a motor goes, if that is within a window.
fn within(view: &View, motor: &MotorOutline, window: [f64; 4]) -> Option<Vec2> {
    let at = view.project(motor.world_from_body.origin);
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
