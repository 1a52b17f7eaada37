//! Conductors as a drawing office draws them.

use super::bodies::end_on;
use super::canvas::Canvas;
use super::geometry::{View, add, body_axis, length, scaled, sub, unit};
use reedmace_engine::drawing::ConductorOutline;

/// A conductor shorter than this many times all else is drawn to its ends.
const WHOLE: f64 = 3.0;
/// Least radius of one seen on end, in points.
const LEAST: f64 = 4.0;

/// Draws a conductor through `window` (left, top, width, height): on end as a circle with the dot of a
/// current that comes towards the viewer or the cross of one that goes, else as a line with an arrow along
/// the current, for a positive one.
pub fn draw(canvas: &mut Canvas, view: &View, conductor: &ConductorOutline, window: [f64; 4]) {
    let middle = view.project(conductor.world_from_body.origin);
    let along = body_axis(&conductor.world_from_body, 2);
    let shown = view.direction(along);
    if length(shown) < 0.3 {
        let radius = (0.5 * conductor.diameter * view.scale).max(LEAST);
        end_on(canvas, middle, radius, view.comes(along));
        return;
    }
    let reach = window[2] + window[3];
    let half = conductor
        .length
        .map_or(reach, |l| (0.5 * l * view.scale * length(shown)).min(WHOLE * reach));
    let out = scaled(unit(shown), half);
    let width = if conductor.diameter * view.scale > 2.0 { "s-ink bold" } else { "s-ink line" };
    canvas.clipped(window, |canvas| {
        canvas.line(sub(middle, out), add(middle, out), width);
        canvas.arrowhead(add(middle, scaled(unit(shown), 6.0)), unit(shown), 8.0, "f-ink");
    });
}
