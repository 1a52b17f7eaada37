//! The float of a level stem at both ends of its sweep, with the surface it swims on.

use super::canvas::Canvas;
use super::geometry::{View, length};
use reedmace_engine::drawing::LevelOutline;

/// Half the length of a surface, in half diameters of the float.
const SURFACE: f64 = 2.2;

/// Left and right side of the float on the page, where the sweep starts.
pub fn sides(view: &View, level: &LevelOutline) -> Option<[f64; 2]> {
    let (_, middle) = level.middles.first()?;
    let (x, half) = (view.project(*middle)[0], level.half[0] * view.scale);
    Some([x - half, x + half])
}

/// Draws the float where the sweep starts, and as a ghost where it ends.
pub fn draw(canvas: &mut Canvas, view: &View, level: &LevelOutline) {
    let (Some(first), Some(last)) = (level.middles.first(), level.middles.last()) else { return };
    let sideways = length(view.direction([0.0, 0.0, 1.0])) > 0.5;
    for ((surface, middle), class) in [(first, "s-ink thin"), (last, "s-ink thin ghost")] {
        let at = view.project(*middle);
        let [across, up] = level.half.map(|half| half * view.scale);
        if level.round || !sideways {
            canvas.circle(at, across, class);
        } else {
            canvas.rectangle([at[0] - across, at[1] - up, 2.0 * across, 2.0 * up], class);
        }
        if sideways {
            let y = view.project([middle[0], middle[1], *surface])[1];
            let reach = SURFACE * across;
            canvas.line([at[0] - reach, y], [at[0] - 1.1 * across, y], "s-drive line");
            canvas.line([at[0] + 1.1 * across, y], [at[0] + reach, y], "s-drive line");
        }
    }
    if let Some(pivot) = level.pivot {
        let pivot = view.project(pivot);
        canvas.line(pivot, view.project(first.1), "s-ink thin");
        canvas.line(pivot, view.project(last.1), "s-ink thin ghost");
        canvas.circle(pivot, 3.0, "s-ink thin");
    }
}
