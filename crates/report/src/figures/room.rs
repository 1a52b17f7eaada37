//! What a drawing has taken of the page, so that words find room of their own.

use super::canvas::{Anchor, CHARACTER, WIDTH};
use super::geometry::{Vec2, add, length, scaled, sub};

/// Left, top, right and bottom of something on the page.
type Frame = [f64; 4];

/// What it costs a word to lie on a body, and on each piece of a line; on another word it may not lie.
const ON_BODY: f64 = 4.0;
const ON_LINE: f64 = 0.4;
/// Length of a piece of a line.
const PIECE: f64 = 10.0;
/// Lines longer than this belong to a chart, whose words have places of their own.
const MOST_PIECES: usize = 200;

/// Everything drawn so far.
#[derive(Default)]
pub struct Room {
    taken: Vec<(Frame, f64)>,
}

impl Room {
    /// A word has been written there.
    pub fn take_text(&mut self, frame: Frame) {
        self.taken.push((frame, f64::INFINITY));
    }

    /// A closed outline has been filled.
    pub fn take_body(&mut self, points: &[Vec2]) {
        let low = points.iter().fold([f64::INFINITY; 2], |l, p| [l[0].min(p[0]), l[1].min(p[1])]);
        let high =
            points.iter().fold([f64::NEG_INFINITY; 2], |h, p| [h[0].max(p[0]), h[1].max(p[1])]);
        self.taken.push(([low[0], low[1], high[0], high[1]], ON_BODY));
    }

    /// A line has been drawn.
    pub fn take_line(&mut self, from: Vec2, to: Vec2) {
        let way = sub(to, from);
        let count = (length(way) / PIECE).ceil().max(1.0) as usize;
        if count > MOST_PIECES {
            return;
        }
        let at = |k: usize| add(from, scaled(way, k as f64 / count as f64));
        for [a, b] in (0..count).map(|k| [at(k), at(k + 1)]) {
            let frame = [a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1])];
            self.taken.push((frame, ON_LINE));
        }
    }

    /// What it would cost to write there; infinite on another word and off the sheet.
    pub fn cost(&self, frame: Frame) -> f64 {
        if frame[0] < 0.0 || frame[2] > WIDTH {
            return f64::INFINITY;
        }
        let meets = |other: &Frame| {
            frame[0] < other[2] + 1.0
                && other[0] < frame[2] + 1.0
                && frame[1] < other[3] + 1.0
                && other[1] < frame[3] + 1.0
        };
        self.taken.iter().filter(|(other, _)| meets(other)).map(|(_, cost)| cost).sum()
    }
}

/// What a line of text takes of the page, turned by quarters of a circle or not at all.
pub fn text_frame(text: &str, at: Vec2, degrees: f64, anchor: Anchor, class: &str) -> Frame {
    let bold = class.contains("strong") || class.contains("head");
    let width = text.chars().count() as f64 * CHARACTER * if bold { 1.1 } else { 1.0 };
    let before = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    let (sin, cos) = degrees.to_radians().sin_cos();
    let corners = [-before, width - before].into_iter().flat_map(|x| [[x, -10.0], [x, 3.0]]);
    let corners = corners.map(|[x, y]| add(at, [x * cos - y * sin, x * sin + y * cos]));
    corners.fold([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY], |f, c| {
        [f[0].min(c[0]), f[1].min(c[1]), f[2].max(c[0]), f[3].max(c[1])]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_words_keep_off_words_and_rather_off_lines() {
        let mut room = Room::default();
        room.take_text(text_frame("leaf", [100.0, 50.0], 0.0, Anchor::Start, ""));
        room.take_line([200.0, 0.0], [200.0, 100.0]);
        room.take_body(&[[300.0, 40.0], [320.0, 60.0]]);
        let cost = |x| room.cost(text_frame("door", [x, 52.0], 0.0, Anchor::Middle, ""));
        assert_eq!(cost(110.0), f64::INFINITY);
        assert!(cost(200.0) > 0.0 && cost(310.0) > cost(200.0));
        assert_eq!(cost(250.0), 0.0);
        assert_eq!(cost(5.0), f64::INFINITY, "off the sheet");
        let upright = text_frame("twelve", [50.0, 50.0], -90.0, Anchor::Start, "");
        assert!(upright[3] - upright[1] > upright[2] - upright[0] && upright[3] <= 50.0 + 1e-9);
    }
}
