//! A panel of a drawing over time: frame, ticks, curves.

use super::{
    canvas::{Anchor, Canvas},
    labels::{tick_text, ticks},
};

/// Where a panel stands on the page, and what it shows.
#[derive(Debug, Clone, Copy)]
pub struct Panel {
    /// Left and right edge.
    pub across: [f64; 2],
    /// Upper and lower edge.
    pub upright: [f64; 2],
    /// Time at the right edge, ms; at the left one it is 0.
    pub until: f64,
    /// Lowest and highest value.
    pub span: [f64; 2],
    /// About how many ticks: of values, of times.
    pub ticks: [usize; 2],
}

impl Panel {
    /// Where a time is, ms.
    pub fn x(&self, time: f64) -> f64 {
        let [left, right] = self.across;
        left + time / self.until * (right - left)
    }

    fn y(&self, value: f64) -> f64 {
        let ([top, foot], [low, high]) = (self.upright, self.span);
        foot - (value - low) / (high - low) * (foot - top)
    }

    /// Draws the frame with its ticks, `words` above it. Times below a millisecond are told in µs.
    pub fn frame(&self, canvas: &mut Canvas, words: &str) {
        let ([left, right], [top, foot]) = (self.across, self.upright);
        canvas.text(words, [left, top - 8.0], Anchor::Start, "f-ink");
        let (marks, step) = stepped(self.span, self.ticks[0]);
        for mark in &marks {
            let y = self.y(*mark);
            canvas.line([left, y], [right, y], "s-hairline hair");
            canvas.text(&tick_text(*mark, step), [left - 8.0, y + 4.0], Anchor::End, "f-ink");
        }
        let (unit, per) = if self.until < 1.0 { ("µs", 1e3) } else { ("ms", 1.0) };
        let (marks, step) = stepped([0.0, self.until * per], self.ticks[1]);
        for (k, mark) in marks.iter().enumerate() {
            let at = self.x(mark / per);
            canvas.line([at, foot], [at, foot + 4.0], "s-ink thin");
            let unit = if k + 1 == marks.len() { format!(" {unit}") } else { String::new() };
            let text = tick_text(*mark, step) + &unit;
            canvas.text(&text, [at, foot + 18.0], Anchor::Middle, "f-ink");
        }
        canvas.line([left, foot], [right, foot], "s-ink thin");
        canvas.line([left, top], [left, foot], "s-ink thin");
    }

    /// Draws a curve as far as the panel goes.
    pub fn curve(&self, canvas: &mut Canvas, times: &[f64], values: &[f64], class: &str) {
        let shown = times.iter().zip(values).filter(|(time, _)| **time <= self.until);
        let points: Vec<[f64; 2]> =
            shown.map(|(time, value)| [self.x(*time), self.y(*value)]).collect();
        canvas.polyline(&points, class);
    }
}

/// Ticks and their step.
fn stepped([low, high]: [f64; 2], count: usize) -> (Vec<f64>, f64) {
    let marks = ticks(low, high, count);
    let step = marks.get(1).map_or(1.0, |second| second - marks[0]);
    (marks, step)
}
