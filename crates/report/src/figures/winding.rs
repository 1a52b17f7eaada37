//! A wound coil in half section, to scale, with its layers.

use super::canvas::{Anchor, Canvas, WIDTH};
use crate::number::with_unit;
use reedmace_engine::answer::WindingAnswer;

const TOP: f64 = 40.0;
const LEFT: f64 = 90.0;
/// Room for the drawing.
const ROOM: [f64; 2] = [420.0, 190.0];
/// Thickness of a flange on the page; what it is made of is not known.
const FLANGE: f64 = 8.0;

/// Draws the half above the axis.
pub fn draw(winding: &WindingAnswer, prefix: &str) -> Canvas {
    let outer = 0.5 * winding.inner_diameter + winding.window;
    let scale = (ROOM[0] / winding.length).min(ROOM[1] / outer);
    let (width, axis) = (scale * winding.length, TOP + scale * outer);
    let title = "The coil in half section";
    let layers = match winding.layers.len() {
        0 => "wound at random".to_owned(),
        n => format!("{n} layers"),
    };
    let description = format!(
        "{} turns of {}, {layers}, {} to {} in diameter and {} long, to scale.",
        winding.turns,
        winding.wire,
        with_unit(winding.inner_diameter, "mm"),
        with_unit(winding.outer_diameter, "mm"),
        with_unit(winding.length, "mm"),
    );
    let mut canvas = Canvas::new(prefix, title, &description, axis + 34.0);
    canvas.text(title, [0.0, 14.0], Anchor::Start, "f-ink head");
    let up = |diameter: f64| axis - 0.5 * scale * diameter;
    let (inner, height) = (up(winding.inner_diameter), scale * winding.window);
    for x in [LEFT - FLANGE, LEFT + width] {
        canvas.rectangle_filled([x, TOP, FLANGE, axis - TOP], "hatch");
        canvas.rectangle([x, TOP, FLANGE, axis - TOP], "s-ink thin");
    }
    canvas.line([LEFT, inner], [LEFT + width, inner], "s-ink thin");
    canvas.line([LEFT, inner - height], [LEFT + width, inner - height], "s-hairline thin dashed");
    let wire = scale * winding.wire_overall;
    if winding.layers.is_empty() {
        let top = up(winding.outer_diameter);
        canvas.rectangle_filled([LEFT, top, width, inner - top], "dots");
        canvas.rectangle([LEFT, top, width, inner - top], "s-ink hair");
    }
    let full = winding.layers.iter().copied().fold(1.0, f64::max);
    for (k, turns) in winding.layers.iter().enumerate() {
        let top = inner - wire - k as f64 * scale * winding.layer_pitch;
        let long = (turns * wire).min(width).min(width * turns / full);
        canvas.rectangle([LEFT, top, long, wire], if k % 2 == 0 { "holds" } else { "closes" });
        canvas.rectangle([LEFT, top, long, wire], "s-ink hair");
    }
    canvas.line([LEFT - 30.0, axis], [LEFT + width + 30.0, axis], "s-ink thin chain");
    canvas.text(
        &with_unit(winding.length, "mm"),
        [LEFT + 0.5 * width, axis + 20.0],
        Anchor::Middle,
        "f-ink",
    );
    told(&mut canvas, winding, &layers, LEFT + width + 40.0);
    canvas
}

/// What the drawing shows, in words beside it.
fn told(canvas: &mut Canvas, winding: &WindingAnswer, layers: &str, x: f64) {
    let x = x.min(WIDTH - 250.0);
    let lines = [
        format!("{} turns of {}", winding.turns, winding.wire),
        format!("{layers}, {}", with_unit(winding.copper, "%") + " copper"),
        format!("{} inside", with_unit(winding.inner_diameter, "mm")),
        format!("{} outside", with_unit(winding.outer_diameter, "mm")),
        format!("{} window", with_unit(winding.window, "mm")),
        format!("{} over the enamel", with_unit(1e3 * winding.wire_overall, "µm")),
        format!("{} in air", with_unit(winding.inductance, "mH")),
    ];
    for (k, line) in lines.iter().enumerate() {
        canvas.text(line, [x, TOP + 14.0 + 18.0 * k as f64], Anchor::Start, "f-ink");
    }
}
