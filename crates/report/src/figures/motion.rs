//! A contact that closes and opens: gap, current and pull over time.

use super::{
    canvas::{Anchor, Canvas, WIDTH},
    over_time::Panel,
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
    }
    for (k, (words, of)) in PANELS.into_iter().enumerate() {
        let top = TOP + k as f64 * PITCH;
        let all = columns.iter().flat_map(|(series, ..)| of(series).iter().copied());
        let most = all.fold(0.0, f64::max).max(1e-9) * 1.05;
        for (series, left, _) in columns {
            let until = series.time.last().copied().unwrap_or(1.0).max(1e-9);
            let panel = Panel {
                across: [left, left + width],
                upright: [top, top + PANEL],
                until,
                span: [0.0, most],
                ticks: [3, 4],
            };
            panel.frame(&mut canvas, words);
            if let Some(change) = series.changes.first().filter(|change| **change <= until) {
                let x = panel.x(*change);
                canvas.line([x, top], [x, top + PANEL], "s-met line dashed");
            }
            panel.curve(&mut canvas, &series.time, of(series), "s-drive line");
        }
    }
    canvas
}
