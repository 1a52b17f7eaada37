//! Cost against room of the arrangements that were tried.

use super::{
    canvas::{Anchor, Canvas, WIDTH},
    labels::{tick_text, ticks},
};
use crate::number::{number, unit_label};
use reedmace_engine::answer::{ChooseAnswer, FrontPoint};

const LEFT: f64 = 84.0;
const RIGHT: f64 = 24.0;
const TOP: f64 = 46.0;
const HEIGHT: f64 = 300.0;
/// Room of every side of the plot to its outermost point.
const AROUND: f64 = 0.06;

/// Draw it.
pub fn draw(answer: &ChooseAnswer, prefix: &str) -> Canvas {
    let title = "Cost and room of what was tried";
    let room = label("room", &answer.margin_unit);
    let cost = label(&answer.cost, &answer.cost_unit);
    let description = format!(
        "{room} against {cost}: filled circles meet every demand, open ones do not; large ones have none \
         that is both cheaper and better."
    );
    let below = TOP + HEIGHT + 38.0;
    let mut canvas = Canvas::new(prefix, title, &description, below + 10.0);
    canvas.text(title, [0.0, 14.0], Anchor::Start, "f-ink head");
    key(&mut canvas);
    let frame = [LEFT, TOP, WIDTH - LEFT - RIGHT, HEIGHT];
    let all = || answer.others.iter().chain(&answer.front);
    let axes =
        Axes { x: ends(all().map(|p| p.cost)), y: ends(all().map(|p| p.margin).chain([0.0])) };
    grid(&mut canvas, &axes);
    if let Some(zero) = Some(axes.at_y(0.0)).filter(|y| (TOP..=TOP + HEIGHT).contains(y)) {
        canvas.rectangle([LEFT, TOP, frame[2], zero - TOP], "holds");
        canvas.line([LEFT, zero], [LEFT + frame[2], zero], "s-met line");
        canvas.text(
            "every demand met",
            [LEFT + frame[2] - 6.0, zero - 6.0],
            Anchor::End,
            "f-met halo",
        );
    }
    steps(&mut canvas, &axes, &answer.front);
    for point in &answer.others {
        let class = if point.met { "f-met s-met thin" } else { "f-paper s-faded thin" };
        canvas.circle(axes.at(point), 2.6, class);
    }
    for point in &answer.front {
        let class = if point.met { "f-met s-ink line" } else { "f-paper s-ink line" };
        canvas.circle(axes.at(point), 5.0, class);
    }
    if let Some(best) = answer.candidates.first() {
        let at = [axes.at_x(best.cost), axes.at_y(best.margin.unwrap_or(0.0))];
        canvas.text(
            &number(best.cost, ""),
            [at[0] + 9.0, at[1] + 16.0],
            Anchor::Start,
            "f-ink halo",
        );
    }
    canvas.rectangle(frame, "s-ink thin");
    canvas.text(&cost, [LEFT + frame[2] / 2.0, below], Anchor::Middle, "f-ink");
    canvas.turned_text(&room, [14.0, TOP + HEIGHT / 2.0], -90.0, Anchor::Middle, "f-ink");
    canvas
}

fn label(word: &str, unit: &str) -> String {
    if unit.is_empty() { word.into() } else { format!("{word}, {}", unit_label(unit)) }
}

struct Axes {
    x: [f64; 2],
    y: [f64; 2],
}

impl Axes {
    fn at_x(&self, x: f64) -> f64 {
        LEFT + (x - self.x[0]) / (self.x[1] - self.x[0]) * (WIDTH - LEFT - RIGHT)
    }
    fn at_y(&self, y: f64) -> f64 {
        TOP + HEIGHT - (y - self.y[0]) / (self.y[1] - self.y[0]) * HEIGHT
    }
    fn at(&self, point: &FrontPoint) -> [f64; 2] {
        [self.at_x(point.cost), self.at_y(point.margin)]
    }
}

/// A little more than what the values span; something around a lone one.
fn ends(values: impl Iterator<Item = f64>) -> [f64; 2] {
    let (low, high) =
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
    if !(low.is_finite() && high.is_finite()) {
        return [0.0, 1.0];
    }
    let around = if high > low { AROUND * (high - low) } else { 0.5 * high.abs().max(1.0) };
    [low - around, high + around]
}

fn grid(canvas: &mut Canvas, axes: &Axes) {
    let step = |ticks: &[f64]| if ticks.len() > 1 { ticks[1] - ticks[0] } else { 1.0 };
    let across = ticks(axes.x[0], axes.x[1], 8);
    for x in &across {
        let at = axes.at_x(*x);
        canvas.line([at, TOP], [at, TOP + HEIGHT], "s-hairline hair");
        let text = tick_text(*x, step(&across));
        canvas.text(&text, [at, TOP + HEIGHT + 17.0], Anchor::Middle, "f-ink");
    }
    let up = ticks(axes.y[0], axes.y[1], 6);
    for y in &up {
        let at = axes.at_y(*y);
        canvas.line([LEFT, at], [WIDTH - RIGHT, at], "s-hairline hair");
        canvas.text(&tick_text(*y, step(&up)), [LEFT - 8.0, at + 4.0], Anchor::End, "f-ink");
    }
}

/// The border: for each cost the most room that can be had for it.
fn steps(canvas: &mut Canvas, axes: &Axes, front: &[FrontPoint]) {
    let mut line: Vec<[f64; 2]> = Vec::new();
    for point in front {
        let at = axes.at(point);
        if let Some(last) = line.last().copied() {
            line.push([at[0], last[1]]);
        }
        line.push(at);
    }
    if let Some(last) = line.last().copied() {
        line.push([WIDTH - RIGHT, last[1]]);
        canvas.polyline(&line, "s-drive line dashed");
    }
}

fn key(canvas: &mut Canvas) {
    let entries = [
        ("f-met s-ink line", 5.0, "none cheaper has more room"),
        ("f-met s-met thin", 2.6, "meets every demand"),
        ("f-paper s-faded thin", 2.6, "does not"),
    ];
    let mut x = LEFT;
    for (class, radius, words) in entries {
        canvas.circle([x + 6.0, 30.0], radius, class);
        canvas.text(words, [x + 16.0, 34.0], Anchor::Start, "f-ink");
        x += 30.0 + words.chars().count() as f64 * super::canvas::CHARACTER;
    }
}
