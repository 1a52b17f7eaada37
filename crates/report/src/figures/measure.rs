//! Dimension lines `[iso129]` at the places that have room for them.

use super::canvas::{Anchor, CHARACTER, Canvas};
use super::geometry::{Vec2, add, along, length, normal, scaled, sub, unit};
use super::room::{Room, text_frame};

/// How far from a body its dimensions stand: each by itself, or clear of another.
const OFFSETS: [f64; 2] = [16.0, 34.0];

impl Canvas {
    /// A dimension `[iso129]` of what lies between two points: of some pairs of points that tell it, at the side
    /// of the normal of the one (right-hand side walking from its first to its second) where it has most room.
    pub fn dimension(&mut self, pairs: &[[Vec2; 2]], value: &str) {
        let mut best: Option<(f64, [Vec2; 2], Dimension)> = None;
        for offset in OFFSETS {
            for &feet in pairs {
                let out = scaled(normal(unit(sub(feet[1], feet[0]))), offset);
                let Some(laid) = Dimension::new(feet.map(|foot| add(foot, out)), value, &self.room)
                else {
                    continue;
                };
                let cost = laid.cost(value, &self.room);
                if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                    best = Some((cost, feet, laid));
                }
            }
        }
        if let Some((_, feet, laid)) = best {
            self.laid_dimension(feet, &laid, value);
        }
    }

    /// A dimension line `[iso129]` from `ends[0]` to `ends[1]` for the features at `feet`: extension
    /// lines, arrowheads, and the value above the line, or beside it where it does not fit between.
    pub fn dimension_line(&mut self, feet: [Vec2; 2], ends: [Vec2; 2], value: &str) {
        if let Some(laid) = Dimension::new(ends, value, &self.room) {
            self.laid_dimension(feet, &laid, value);
        }
    }

    fn laid_dimension(&mut self, feet: [Vec2; 2], laid: &Dimension, value: &str) {
        for (foot, end) in feet.into_iter().zip(laid.ends) {
            let reach = length(sub(end, foot));
            if reach > 6.0 {
                let out = unit(sub(end, foot));
                self.line(along(foot, out, 3.0), along(end, out, 4.0), "s-ink hair");
            }
        }
        self.line(laid.line[0], laid.line[1], "s-ink hair");
        let [a, b] = laid.ends;
        let forward = unit(sub(b, a));
        let outward = if laid.inside { forward } else { scaled(forward, -1.0) };
        self.arrowhead(b, outward, 9.0, "f-ink");
        self.arrowhead(a, scaled(outward, -1.0), 9.0, "f-ink");
        self.turned_text(value, laid.at, laid.degrees, laid.anchor, "f-ink halo");
    }
}

/// A dimension line before it is drawn.
struct Dimension {
    ends: [Vec2; 2],
    /// True where the arrows are between what they point at.
    inside: bool,
    /// The line with what of it lies beyond its ends.
    line: [Vec2; 2],
    /// Where the value stands.
    at: Vec2,
    degrees: f64,
    anchor: Anchor,
}

impl Dimension {
    /// None of no length.
    fn new(ends: [Vec2; 2], value: &str, room: &Room) -> Option<Self> {
        let [a, b] = ends;
        let span = length(sub(b, a));
        if span < 1e-9 {
            return None;
        }
        let forward = unit(sub(b, a));
        let text_width = value.chars().count() as f64 * CHARACTER;
        // Text reads from below or from the right.
        let mut degrees = forward[1].atan2(forward[0]).to_degrees();
        if degrees > 89.0 {
            degrees -= 180.0;
        } else if degrees <= -91.0 {
            degrees += 180.0;
        }
        let up = [degrees.to_radians().sin(), -degrees.to_radians().cos()];
        let inside = span > text_width + 26.0;
        let beyond = if inside { 0.0 } else { 16.0 };
        let line = [along(a, forward, -beyond), along(b, forward, beyond)];
        let middle = scaled(add(a, b), 0.5);
        let cost =
            |&(at, anchor): &(Vec2, Anchor)| room.cost(text_frame(value, at, 0.0, anchor, ""));
        let best = |places: Vec<(Vec2, Anchor)>| {
            let (at, anchor) = places.into_iter().min_by(|p, q| cost(p).total_cmp(&cost(q)))?;
            Some((at, 0.0, anchor))
        };
        let (at, degrees, anchor) = if inside || span > text_width + 4.0 {
            (along(middle, up, 4.0), degrees, Anchor::Middle)
        } else if up[1] > -0.5 {
            // Upright and too short: level text at an arrow's tail.
            let [high, low] = [a[1].min(b[1]) - 19.0, a[1].max(b[1]) + 25.0];
            let [after, before] = [middle[0] - 6.0, middle[0] + 6.0];
            best(vec![
                ([before, high], Anchor::End),
                ([after, high], Anchor::Start),
                ([before, low], Anchor::End),
                ([after, low], Anchor::Start),
            ])?
        } else {
            let [left, right] = if a[0] > b[0] { [b, a] } else { [a, b] };
            best(vec![
                (add(right, [20.0, 4.0]), Anchor::Start),
                (add(left, [-20.0, 4.0]), Anchor::End),
            ])?
        };
        Some(Self { ends, inside, line, at, degrees, anchor })
    }

    /// What it lies on.
    fn cost(&self, value: &str, room: &Room) -> f64 {
        let [a, b] = self.line;
        let line = [a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1])];
        room.cost(text_frame(value, self.at, self.degrees, self.anchor, "")) + room.cost(line)
    }
}
