//! A detail: what stands close together beside a long path, drawn larger beside its view or below it.

use super::{
    arrangement::{choose_scale_within, draw_bodies, first_of_each_size, track},
    bodies,
    canvas::{Anchor, Canvas, UNITS_PER_MM, WIDTH},
    dimensions,
    geometry::{Extent, Vec2, View, add, length, scaled, sub},
    names,
    path::{self, Names},
};
use reedmace_engine::{Answer, Drawing, drawing::MagnetOutline};

/// Bodies are a crowd where all of them take less than this share of the drawing.
const SMALL: f64 = 0.25;
/// What is nearer to those that do not move than this many times their size is among them.
const AMONG: f64 = 0.5;
/// Least and greatest width of the frame beside the plan, and its height there and across the page.
const WIDTHS: Vec2 = [200.0, 320.0];
const HEIGHTS: Vec2 = [190.0, 210.0];
/// Room within the frame for names.
const RIM: Vec2 = [44.0, 27.0];

/// Bodies close together.
pub struct Crowd {
    /// The drawing with what moves where it comes nearest to the first contact.
    drawing: Drawing,
    /// What they and the events among them take of the view, metres.
    extent: Extent,
    /// Names of those that stand there when the sweep starts.
    names: Vec<String>,
    /// Names of magnets that come there.
    come: Vec<String>,
}

impl Crowd {
    /// Two or more bodies that are small beside all that their view shows; `view` in metres.
    pub fn of(view: &View, drawing: &Drawing, answer: &Answer, whole: &Extent) -> Option<Self> {
        let contact = drawing.contacts.first()?.world_from_contact.origin;
        let far = |p: [f64; 3]| (0..3).map(|i| (p[i] - contact[i]).powi(2)).sum::<f64>();
        let mut near = drawing.clone();
        for magnet in near.magnets.iter_mut().filter(|magnet| magnet.moves) {
            let ends = [magnet.world_from_body.origin, magnet.world_from_body_end.origin];
            if far(ends[1]) < far(ends[0]) {
                std::mem::swap(&mut magnet.world_from_body, &mut magnet.world_from_body_end);
            }
        }
        let mut extent = Extent::EMPTY;
        for contact in &near.contacts {
            bodies::contact_extent(view, contact, &mut extent);
        }
        let outline =
            |magnet: &MagnetOutline| bodies::magnet_outline(view, magnet, &magnet.world_from_body);
        for magnet in near.magnets.iter().filter(|magnet| !magnet.moves) {
            extent.hold(&outline(magnet));
        }
        let size = |extent: &Extent| extent.size()[0].max(extent.size()[1]);
        let stands = extent;
        let among = |at: Vec2| {
            let most = AMONG * size(&stands);
            (0..2).all(|k| (stands.low[k] - most..=stands.high[k] + most).contains(&at[k]))
        };
        let mut come = Vec::new();
        for magnet in near.magnets.iter().filter(|magnet| magnet.moves) {
            if among(view.project(magnet.world_from_body.origin)) {
                extent.hold(&outline(magnet));
                come.push(magnet.name.clone());
            }
        }
        let mut places = path::places(&track(view, drawing), answer);
        places.retain(|at| among(*at));
        extent.hold(&places);
        let fixed = drawing.magnets.iter().filter(|magnet| !magnet.moves).map(|m| m.name.clone());
        let names: Vec<String> =
            drawing.contacts.iter().map(|c| c.name.clone()).chain(fixed).collect();
        let many = names.len() + come.len() >= 2;
        let small = size(&extent) < SMALL * size(whole);
        let still = near.steel.is_empty() && near.coils.is_empty() && near.level.is_none();
        (many && small && still).then_some(Self { drawing: near, extent, names, come })
    }

    /// What it shows larger, on the page of a view: left, top, right, bottom.
    pub fn frame(&self, view: &View) -> [f64; 4] {
        let [low, high] =
            [self.extent.low, self.extent.high].map(|at| add(view.origin, scaled(at, view.scale)));
        [low[0] - 1.0, low[1] - 1.0, high[0] + 1.0, high[1] + 1.0]
    }

    /// True of a body whose name and sizes stand in the detail.
    pub fn holds(&self, name: &str) -> bool {
        self.names.iter().any(|known| known == name)
    }

    /// Draws a frame with its scale, and a circle with its letter in the view it enlarges: right of what reaches to `right`
    /// on the page, from `beside` down, if it is larger there, else across the page from `below` down. Returns where the
    /// drawing ends.
    pub fn draw(
        &self,
        canvas: &mut Canvas,
        whole: &View,
        answer: &Answer,
        right: f64,
        [beside, below]: Vec2,
    ) -> f64 {
        let size = self.extent.size();
        let scaled_in = |width: f64, height: f64| {
            let room = [width - 2.0 * RIM[0], height - 2.0 * RIM[1]];
            let (ratio, text) = choose_scale_within(size, room);
            (ratio * 1e3 * UNITS_PER_MM, text)
        };
        let narrow = (WIDTH - right).min(WIDTHS[1]);
        let fits = narrow >= WIDTHS[0] && scaled_in(narrow, HEIGHTS[0]).0 > 1.01 * whole.scale;
        let (width, height, top) = if fits {
            (narrow, HEIGHTS[0], beside)
        } else {
            (WIDTH - 2.0, HEIGHTS[1], below + 12.0)
        };
        let (scale, text) = scaled_in(width, height);
        let frame = [WIDTH - width - 1.0, top, width, height];
        let middle = [frame[0] + 0.42 * width, frame[1] + 0.54 * height];
        let origin = sub(middle, scaled(self.extent.middle(), scale));
        let view = View { scale, origin, ..*whole };
        canvas.rectangle(frame, "f-paper s-ink thin");
        canvas.clipped(frame, |canvas| {
            draw_bodies(canvas, &view, &self.drawing, frame);
        });
        let inside = |at: Vec2| {
            (frame[0]..frame[0] + width).contains(&at[0]) && (top..top + height).contains(&at[1])
        };
        let mut path = track(&view, &self.drawing);
        path.retain(|(_, at)| inside(*at));
        let between = [frame[0], WIDTH];
        path::draw_events(
            canvas,
            &path,
            answer,
            None,
            Some(Names { lift: 20.0, between, places: Vec::new(), elsewhere: None }),
        );
        let title = format!("A, scale {text}");
        canvas.text(&title, [frame[0] + 8.0, top + 16.0], Anchor::Start, "f-ink strong halo");
        let shown = |name: &str| self.holds(name) || self.come.iter().any(|known| known == name);
        for magnet in first_of_each_size(&self.drawing).filter(|magnet| shown(&magnet.name)) {
            dimensions::magnet(canvas, &view, answer, magnet, true);
        }
        let within = [frame[0], top, frame[0] + width, top + height];
        names::draw(canvas, &view, &self.drawing, frame, within, &|name| !shown(name));
        let centre = add(whole.origin, scaled(self.extent.middle(), whole.scale));
        let radius = 0.5 * length(size) * whole.scale + 10.0;
        canvas.circle(centre, radius, "s-ink thin");
        canvas.text(
            "A",
            add(centre, [0.75 * radius + 4.0, -0.75 * radius]),
            Anchor::Start,
            "f-ink strong halo",
        );
        below.max(top + height + 4.0)
    }
}
