//! The leaf of a door from its hinge to its edge, and the shaft of a wheel, seen along the axis.

use super::canvas::Canvas;
use super::geometry::{Extent, Vec2, Vec3, View, dot, length};
use reedmace_engine::Drawing;
use reedmace_engine::drawing::TurnOutline;

/// Radius of a hinge or a shaft on the page, and half the length of a centre line beyond it.
const AXLE: f64 = 3.0;
const CENTRE: f64 = 10.0;

/// Holds the leaf where the sweep starts and where it ends, in every view: they stand one under the other.
pub fn extent(view: &View, drawing: &Drawing, extent: &mut Extent) {
    if let Some(turn) = drawing.turn.as_ref().filter(|turn| !turn.wheel) {
        extent.hold(&[view.project(turn.centre)]);
        extent.hold(&edges(view, drawing, turn));
    }
}

/// Draws the leaf where the sweep starts, and as a ghost where it ends; of a wheel its shaft.
pub fn draw(canvas: &mut Canvas, view: &View, drawing: &Drawing) {
    let Some(turn) = seen(view, drawing) else { return };
    let centre @ [x, y] = view.project(turn.centre);
    if turn.wheel {
        canvas.line([x - CENTRE, y], [x + CENTRE, y], "s-ink hair chain");
        canvas.line([x, y - CENTRE], [x, y + CENTRE], "s-ink hair chain");
    } else {
        for (edge, class) in
            edges(view, drawing, turn).into_iter().zip(["s-ink thin", "s-ink thin ghost"])
        {
            canvas.line(centre, edge, class);
        }
    }
    canvas.circle(centre, AXLE, "f-paper s-ink thin");
}

/// What turns, if this view looks along its axis.
fn seen<'a>(view: &View, drawing: &'a Drawing) -> Option<&'a TurnOutline> {
    drawing.turn.as_ref().filter(|turn| length(view.direction(turn.axis)) < 1e-3)
}

/// The opening edge where the sweep starts and where it ends.
fn edges(view: &View, drawing: &Drawing, turn: &TurnOutline) -> [Vec2; 2] {
    let edge =
        |out: Vec3| view.project(std::array::from_fn(|i| turn.centre[i] + turn.reach * out[i]));
    let turned = drawing.path.last().and_then(|last| last.turned);
    [turn.out, turned.map_or(turn.out, |rows| rows.map(|row| dot(row, turn.out)))].map(edge)
}
