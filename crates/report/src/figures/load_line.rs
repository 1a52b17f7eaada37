//! The demagnetisation curves of one magnet with its load lines and working points.

use super::{
    canvas::{Anchor, Canvas},
    geometry::Vec2,
    labels,
    plot::{self, Frame, LEFT, PLOT_HEIGHT, TOP},
};
use crate::number::{number, with_unit};
use reedmace_engine::answer::{Answer, MagnetAnswer, MagnetState, WorkingPoint};

/// Room above the highest remanence, and left of the highest coercivity, as a share of them.
const ROOM: f64 = 0.06;
/// Line of each temperature's curve, coldest first.
const LINES: [&str; 2] = ["s-ink line", "s-ink line dashed"];

/// Draw the second quadrant, J over H; `None` when there is no such magnet.
pub fn draw(answer: &Answer, magnet: usize, prefix: &str) -> Option<Canvas> {
    let magnet = answer.magnets.get(magnet)?;
    let frame = frame(magnet)?;
    let title = format!("{}: {} on its demagnetisation curve", magnet.name, magnet.grade);
    let description = format!(
        "Polarization against the opposing field inside magnet {}, with its load lines and working points \
         at the ends of the temperature range.",
        magnet.name
    );
    let bottom = frame.bottom() + 38.0;
    let mut canvas = Canvas::new(prefix, &title, &description, bottom + 10.0);
    canvas.text(&title, [0.0, 14.0], Anchor::Start, "f-ink head");
    key(&mut canvas, frame.right());
    canvas.raw(plot::grid(&frame));
    for (state, class) in magnet.states.iter().zip(LINES) {
        let curve: Vec<Vec2> = state.curve.iter().map(|p| at(&frame, p.h, p.j)).collect();
        canvas.polyline(&curve, class);
        let foot = at(&frame, state.field_from_outside, 0.0);
        canvas.line(foot, of(&frame, &state.mean), "s-drive thin");
    }
    let sides = [LEFT, TOP, frame.right() - LEFT, PLOT_HEIGHT];
    canvas.rectangle(sides, "s-ink thin");
    for state in &magnet.states {
        canvas.circle(of(&frame, &state.mean), 4.0, "f-drive s-drive thin");
        canvas.circle(of(&frame, &state.worst), 4.0, "f-paper s-ink line");
    }
    temperatures(&mut canvas, magnet, &frame);
    let middle = TOP + PLOT_HEIGHT / 2.0;
    canvas.turned_text("J, T", [14.0, middle], -90.0, Anchor::Middle, "f-ink");
    let across = (LEFT + frame.right()) / 2.0;
    canvas.text("H inside, kA/m", [across, bottom], Anchor::Middle, "f-ink");
    Some(canvas)
}

fn frame(magnet: &MagnetAnswer) -> Option<Frame> {
    let most = |of: &dyn Fn(&MagnetState) -> f64| magnet.states.iter().map(of).fold(0.0, f64::max);
    let coercivity = most(&|s| s.intrinsic_coercivity.max(-s.worst.h));
    let remanence = most(&|s| s.remanence);
    let x = [-coercivity * (1.0 + ROOM), most(&|s| s.field_from_outside)];
    (coercivity > 0.0 && remanence > 0.0).then_some(Frame { x, y: [0.0, remanence * (1.0 + ROOM)] })
}

fn at(frame: &Frame, h: f64, j: f64) -> Vec2 {
    [frame.at_x(h), frame.at_y(j)]
}

fn of(frame: &Frame, point: &WorkingPoint) -> Vec2 {
    at(frame, point.h.clamp(frame.x[0], frame.x[1]), point.j.clamp(frame.y[0], frame.y[1]))
}

/// Each curve's temperature, right of where it starts.
fn temperatures(canvas: &mut Canvas, magnet: &MagnetAnswer, frame: &Frame) {
    let heights: Vec<f64> = magnet.states.iter().map(|s| frame.at_y(s.remanence)).collect();
    let placed = labels::spread(&heights, &vec![15.0; heights.len()], TOP, frame.bottom());
    for ((state, y), label_y) in magnet.states.iter().zip(heights).zip(placed) {
        let elbow = frame.right() + 10.0;
        canvas.polyline(
            &[[frame.right(), y], [elbow, label_y], [elbow + 5.0, label_y]],
            "s-ink hair",
        );
        let text =
            format!("{} °C, {}", number(state.temperature, "°C"), with_unit(state.remanence, "T"));
        canvas.text(&text, [elbow + 8.0, label_y + 4.0], Anchor::Start, "f-ink strong");
    }
}

/// Samples of the marks, right of the plot's foot.
fn key(canvas: &mut Canvas, right: f64) {
    let foot = TOP + PLOT_HEIGHT;
    let x = right + 18.0;
    canvas.line([x, foot - 44.0], [x + 20.0, foot - 44.0], "s-drive thin");
    canvas.text("load line", [x + 28.0, foot - 40.0], Anchor::Start, "f-ink");
    canvas.circle([x + 10.0, foot - 26.0], 4.0, "f-drive s-drive thin");
    canvas.text("mean", [x + 28.0, foot - 22.0], Anchor::Start, "f-ink");
    canvas.circle([x + 10.0, foot - 8.0], 4.0, "f-paper s-ink line");
    canvas.text("worst place", [x + 28.0, foot - 4.0], Anchor::Start, "f-ink");
}
