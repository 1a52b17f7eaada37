//! A contact that closes and opens: gap, current and pull over time.

use super::{
    canvas::{Anchor, Canvas, WIDTH},
    labels::{tick_text, ticks},
};
use reedmace_engine::answer::{MotionSeries, MovingContact};

const LEFT: f64 = 64.0;
const BETWEEN: f64 = 70.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 60.0;
const PANEL: f64 = 84.0;
const PITCH: f64 = PANEL + 46.0;

/// One panel's words and its numbers.
type Of = (&'static str, fn(&MotionSeries) -> &[f64]);

const PANELS: [Of; 3] = [
    ("gap, µm", |series| &series.gap),
    ("current of the coil, mA", |series| &series.current),
    ("pull of the gap, mN", |series| &series.force),
];

/// Draws closing on the left and opening on the right, on one scale of each quantity.
pub fn draw(contact: &MovingContact, prefix: &str) -> Canvas {
    let title = format!("{} closes and opens", contact.contact);
    let description = "Gap between the blades, current of the coil and magnetic pull over time, after the supply is \
                       switched on and after it is switched off.";
    let mut canvas = Canvas::new(prefix, &title, description, TOP + 3.0 * PITCH + 14.0);
    canvas.text(&title, [0.0, 14.0], Anchor::Start, "f-ink head");
    let width = 0.5 * (WIDTH - LEFT - BETWEEN - RIGHT);
    let columns = [
        (&contact.closing, LEFT, "switched on"),
        (&contact.opening, LEFT + width + BETWEEN, "switched off"),
    ];
    for (_, left, words) in columns {
        canvas.text(words, [left, 31.0], Anchor::Start, "f-ink");
        let foot = TOP + 2.0 * PITCH + PANEL;
        canvas.text("ms", [left + width, foot + 32.0], Anchor::End, "f-ink");
    }
    for (k, (words, of)) in PANELS.into_iter().enumerate() {
        let top = TOP + k as f64 * PITCH;
        let all = columns.iter().flat_map(|(series, ..)| of(series).iter().copied());
        let most = all.fold(0.0, f64::max).max(1e-9) * 1.05;
        for (series, left, _) in columns {
            panel(&mut canvas, [left, top, width], (words, of(series)), most, series);
        }
    }
    canvas
}

fn panel(
    canvas: &mut Canvas,
    [left, top, width]: [f64; 3],
    (words, values): (&str, &[f64]),
    most: f64,
    series: &MotionSeries,
) {
    let until = series.time.last().copied().unwrap_or(1.0).max(1e-9);
    let foot = top + PANEL;
    let x = |time: f64| left + time / until * width;
    let y = |value: f64| foot - value.max(0.0) / most * PANEL;
    canvas.text(words, [left, top - 4.0], Anchor::Start, "f-ink");
    let marks = ticks(0.0, most, 3);
    let step = marks.get(1).map_or(1.0, |second| second - marks[0]);
    for mark in &marks {
        canvas.line([left, y(*mark)], [left + width, y(*mark)], "s-hairline hair");
        let text = tick_text(*mark, step);
        canvas.text(&text, [left - 8.0, y(*mark) + 4.0], Anchor::End, "f-ink");
    }
    let marks = ticks(0.0, until, 4);
    let step = marks.get(1).map_or(1.0, |second| second - marks[0]);
    for mark in &marks {
        canvas.line([x(*mark), foot], [x(*mark), foot + 4.0], "s-ink thin");
        canvas.text(&tick_text(*mark, step), [x(*mark), foot + 17.0], Anchor::Middle, "f-ink");
    }
    if let Some(change) = series.changes.first().filter(|change| **change <= until) {
        canvas.line([x(*change), top], [x(*change), foot], "s-met line dashed");
    }
    canvas.line([left, foot], [left + width, foot], "s-ink thin");
    canvas.line([left, top], [left, foot], "s-ink thin");
    let points: Vec<[f64; 2]> =
        series.time.iter().zip(values).map(|(time, value)| [x(*time), y(*value)]).collect();
    canvas.polyline(&points, "s-drive line");
}
