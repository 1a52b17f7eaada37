//! The drawing layer: the few marks every figure is made of. Page units, x to the right, y down;
//! [`UNITS_PER_MM`] page units are one millimetre of paper.

use super::geometry::{Vec2, add, along, normal, scaled, sub, unit};
use super::room::{Room, text_frame};
use crate::style;
use svg::{
    Node,
    node::{Blob, Text, element::Element},
};

/// Width of every figure, page units.
pub const WIDTH: f64 = 800.0;
/// Width of every figure on paper, mm: what an A4 sheet has between its margins.
pub const PAPER_WIDTH_MM: f64 = 180.0;
/// Paper round a figure that is a file of its own, mm.
const MARGIN_MM: f64 = 4.0;
/// Page units in a millimetre of paper.
pub const UNITS_PER_MM: f64 = WIDTH / PAPER_WIDTH_MM;
/// Mean advance of a character of 12 px text, page units: enough to lay out labels.
pub const CHARACTER: f64 = 6.7;

/// Which end of a text sits at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The text starts there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// A figure being drawn.
pub struct Canvas {
    /// Prefix of every id inside, so that several figures can share a page.
    prefix: String,
    title: String,
    description: String,
    width: f64,
    height: f64,
    body: Element,
    /// Clipping frames so far.
    clips: usize,
    /// What is taken of the page.
    pub(super) room: Room,
}

impl Canvas {
    /// An empty figure. `prefix` must be unique on a page and a valid XML name.
    pub fn new(prefix: &str, title: &str, description: &str, height: f64) -> Self {
        let mut canvas = Self {
            prefix: prefix.into(),
            title: title.into(),
            description: description.into(),
            width: WIDTH,
            height,
            body: Element::new("g"),
            clips: 0,
            room: Room::default(),
        };
        canvas.body.append(Blob::new(patterns(prefix)));
        canvas
    }

    /// A figure of another width than the usual one, which is made to be shown small.
    pub fn small(prefix: &str, title: &str, description: &str, [width, height]: Vec2) -> Self {
        Self { width, ..Self::new(prefix, title, description, height) }
    }

    /// Set the height once the drawing is known.
    pub fn set_height(&mut self, height: f64) {
        self.height = height;
    }

    /// Its height.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// `url(#...)` of one of the figure's patterns: `hatch`, `dots`, `section` or `keep-out`.
    pub fn pattern(&self, name: &str) -> String {
        format!("url(#{}-{name})", self.prefix)
    }

    /// Name every element drawn by `draw` as one part of the scene.
    pub fn part(&mut self, part: &str, name: &str, draw: impl FnOnce(&mut Self)) {
        let outer = std::mem::replace(&mut self.body, Element::new("g"));
        draw(self);
        let mut group = std::mem::replace(&mut self.body, outer);
        group.assign("data-part", part);
        group.assign("data-name", name);
        self.body.append(group);
    }

    /// Draw inside a rectangle only: left, top, width, height.
    pub fn clipped(&mut self, frame: [f64; 4], draw: impl FnOnce(&mut Self)) {
        self.clips += 1;
        let id = format!("{}-clip{}", self.prefix, self.clips);
        let [x, y, w, h] = frame.map(round);
        self.raw(format!(
            "<clipPath id=\"{id}\"><rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/></clipPath>"
        ));
        let outer = std::mem::replace(&mut self.body, Element::new("g"));
        draw(self);
        let mut group = std::mem::replace(&mut self.body, outer);
        group.assign("clip-path", format!("url(#{id})"));
        self.body.append(group);
    }

    /// Append ready-made SVG.
    pub fn raw(&mut self, svg: String) {
        self.body.append(Blob::new(svg));
    }

    /// A straight line.
    pub fn line(&mut self, from: Vec2, to: Vec2, class: &str) {
        self.room.take_line(from, to);
        self.element(
            "line",
            class,
            &[("x1", from[0]), ("y1", from[1]), ("x2", to[0]), ("y2", to[1])],
        );
    }

    /// An open line through points.
    pub fn polyline(&mut self, points: &[Vec2], class: &str) {
        for pair in points.windows(2) {
            self.room.take_line(pair[0], pair[1]);
        }
        self.points("polyline", points, class, None);
    }

    /// A closed shape.
    pub fn polygon(&mut self, points: &[Vec2], class: &str) {
        if is_filled(class) {
            self.room.take_body(points);
        }
        self.points("polygon", points, class, None);
    }

    /// A closed shape filled with a pattern.
    pub fn polygon_filled(&mut self, points: &[Vec2], pattern: &str) {
        let fill = self.pattern(pattern);
        self.points("polygon", points, "", Some(fill));
    }

    /// Closed loops as one shape, filled where an odd number of them overlap.
    pub fn loops(&mut self, loops: &[Vec<Vec2>], class: &str, pattern: Option<&str>) {
        let mut data = String::new();
        for points in loops.iter().filter(|points| points.len() > 2) {
            for (i, point) in points.iter().enumerate() {
                data.push_str(if i == 0 { "M" } else { "L" });
                data.push_str(&format!("{} {}", round(point[0]), round(point[1])));
            }
            data.push('Z');
        }
        if data.is_empty() {
            return;
        }
        let mut node = Element::new("path");
        node.assign("d", data);
        node.assign("fill-rule", "evenodd");
        if !class.is_empty() {
            node.assign("class", class);
        }
        if let Some(pattern) = pattern {
            node.assign("fill", self.pattern(pattern));
        }
        self.body.append(node);
    }

    /// A circle.
    pub fn circle(&mut self, centre: Vec2, radius: f64, class: &str) {
        if is_filled(class) {
            self.room.take_body(&[sub(centre, [radius; 2]), add(centre, [radius; 2])]);
        }
        self.element("circle", class, &[("cx", centre[0]), ("cy", centre[1]), ("r", radius)]);
    }

    /// A rectangle from left, top, width, height.
    pub fn rectangle(&mut self, frame: [f64; 4], class: &str) {
        let [x, y, w, h] = frame;
        self.element("rect", class, &[("x", x), ("y", y), ("width", w), ("height", h)]);
    }

    /// A rectangle filled with a pattern.
    pub fn rectangle_filled(&mut self, frame: [f64; 4], pattern: &str) {
        let [x, y, w, h] = frame;
        self.polygon_filled(&[[x, y], [x + w, y], [x + w, y + h], [x, y + h]], pattern);
    }

    /// A line of text; `at` is on its base line.
    pub fn text(&mut self, text: &str, at: Vec2, anchor: Anchor, class: &str) {
        self.turned_text(text, at, 0.0, anchor, class);
    }

    /// A line of text turned by `degrees` clockwise about `at`.
    pub fn turned_text(&mut self, text: &str, at: Vec2, degrees: f64, anchor: Anchor, class: &str) {
        self.room.take_text(text_frame(text, at, degrees, anchor, class));
        let mut node = Element::new("text");
        node.assign("x", round(at[0]));
        node.assign("y", round(at[1]));
        node.assign("class", class);
        match anchor {
            Anchor::Start => {}
            Anchor::Middle => node.assign("text-anchor", "middle"),
            Anchor::End => node.assign("text-anchor", "end"),
        }
        if degrees != 0.0 {
            node.assign(
                "transform",
                format!("rotate({} {} {})", round(degrees), round(at[0]), round(at[1])),
            );
        }
        node.append(Text::new(text));
        self.body.append(node);
    }

    /// Writes a text at the one of some places, on their base lines, where it lies on least, the first of equal
    /// ones; nowhere if everywhere it would lie on another text or leave `within` (left, top, right, bottom).
    pub fn text_beside(
        &mut self,
        text: &str,
        places: &[(Vec2, Anchor)],
        within: [f64; 4],
        class: &str,
    ) {
        let mut best = (f64::INFINITY, None);
        for &(at, anchor) in places {
            let frame = text_frame(text, at, 0.0, anchor, class);
            let inside = (0..2).all(|k| frame[k] >= within[k] && frame[k + 2] <= within[k + 2]);
            let cost = if inside { self.room.cost(frame) } else { f64::INFINITY };
            if cost < best.0 {
                best = (cost, Some((at, anchor)));
            }
        }
        if let (_, Some((at, anchor))) = best {
            self.text(text, at, anchor, class);
        }
    }

    /// An event's triangle: its middle at `at`, pointing along `direction`; filled for an operate,
    /// open for a release.
    pub fn event(&mut self, at: Vec2, direction: Vec2, filled: bool) {
        let forward = unit(direction);
        let side = normal(forward);
        let tip = along(at, forward, 6.5);
        let back = along(at, forward, -5.0);
        let corners = [tip, along(back, side, 5.5), along(back, side, -5.5)];
        let class = if filled { "f-ink s-ink line" } else { "f-paper s-ink line" };
        self.polygon(&corners, class);
    }

    /// A slender arrowhead with its tip at `tip`.
    pub fn arrowhead(&mut self, tip: Vec2, direction: Vec2, size: f64, class: &str) {
        let forward = unit(direction);
        let back = along(tip, forward, -size);
        let side = scaled(normal(forward), size / 3.2);
        self.polygon(&[tip, add(back, side), sub(back, side)], class);
    }

    /// A small figure as a file of its own, to be shown on a page's own background.
    pub fn picture(self, dark: bool) -> String {
        let mut root = self.root();
        root.assign("width", round(self.width));
        root.assign("height", round(self.height));
        root.append(Blob::new(format!("<style>{}</style>", style::picture(dark))));
        root.append(self.body);
        format!("{root}\n")
    }

    /// The figure as a file of its own: light, true to scale when printed at 100 %.
    pub fn standalone(self) -> String {
        let style = format!("<style>{}</style>", style::standalone());
        let margin = MARGIN_MM * UNITS_PER_MM;
        let [left, width, height] =
            [-margin, WIDTH + 2.0 * margin, self.height + 2.0 * margin].map(round);
        let frame = format!("{left} {left} {width} {height}");
        let sheet = format!(
            "<rect class=\"f-paper\" x=\"{left}\" y=\"{left}\" width=\"{width}\" height=\"{height}\"/>"
        );
        let mut root = self.root();
        root.assign("viewBox", frame);
        root.assign("width", format!("{}mm", PAPER_WIDTH_MM + 2.0 * MARGIN_MM));
        root.assign("height", format!("{}mm", round(height / UNITS_PER_MM)));
        root.append(Blob::new(style));
        root.append(Blob::new(sheet));
        root.append(self.body);
        format!("{root}\n")
    }

    /// The figure for a page whose style sheet has the figure classes.
    pub fn inline(self) -> String {
        let mut root = self.root();
        // Small ones take the room they are given; they show nothing to a stated scale of paper.
        root.assign("class", if self.width == WIDTH { "figure" } else { "inset" });
        root.append(self.body);
        root.to_string()
    }

    fn root(&self) -> Element {
        let mut root = Element::new("svg");
        root.assign("xmlns", "http://www.w3.org/2000/svg");
        root.assign("viewBox", format!("0 0 {} {}", round(self.width), round(self.height)));
        root.assign("role", "img");
        root.assign("aria-labelledby", format!("{0}-title {0}-desc", self.prefix));
        for (name, text) in [("title", &self.title), ("desc", &self.description)] {
            let mut node = Element::new(name);
            node.assign("id", format!("{}-{name}", self.prefix));
            node.append(Text::new(text.as_str()));
            root.append(node);
        }
        root
    }

    fn element(&mut self, name: &str, class: &str, numbers: &[(&str, f64)]) {
        let mut node = Element::new(name);
        node.assign("class", class);
        for (key, value) in numbers {
            node.assign(*key, round(*value));
        }
        self.body.append(node);
    }

    fn points(&mut self, name: &str, points: &[Vec2], class: &str, fill: Option<String>) {
        let text: Vec<String> =
            points.iter().map(|p| format!("{},{}", round(p[0]), round(p[1]))).collect();
        let mut node = Element::new(name);
        node.assign("points", text.join(" "));
        if !class.is_empty() {
            node.assign("class", class);
        }
        if let Some(fill) = fill {
            node.assign("fill", fill);
        }
        self.body.append(node);
    }
}

/// True of a class that covers what is behind it.
fn is_filled(class: &str) -> bool {
    class.contains("f-paper") || class.contains("f-ink")
}

/// Hundredths of a page unit are two micrometres of paper: finer than any printer.
fn round(value: f64) -> f64 {
    let rounded = (value * 100.0).round() / 100.0;
    if rounded == 0.0 { 0.0 } else { rounded }
}

fn patterns(prefix: &str) -> String {
    format!(
        "<defs>\
         <pattern id=\"{prefix}-hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><line class=\"s-met thin\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"7\"/></pattern>\
         <pattern id=\"{prefix}-dots\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\">\
         <circle class=\"f-met\" cx=\"2\" cy=\"2\" r=\".8\"/><circle class=\"f-met\" cx=\"6\" cy=\"6\" r=\".8\"/></pattern>\
         <pattern id=\"{prefix}-section\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><line class=\"s-ink hair\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\"/></pattern>\
         <pattern id=\"{prefix}-keep-out\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><path class=\"s-ink hair\" d=\"M0 0V6M0 0H6\"/></pattern>\
         </defs>"
    )
}
