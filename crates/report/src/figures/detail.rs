//! A detail: what stands close together at the end of a long path, drawn larger beside the plan.

use super::{
    arrangement::{choose_scale_within, draw_view, track},
    bodies,
    canvas::{Anchor, Canvas, UNITS_PER_MM, WIDTH},
    geometry::{Extent, Vec2, View, add, length, scaled, sub},
    path::{self, Names},
};
use reedmace_engine::{Answer, Drawing};

/// Bodies are a crowd where all of them take less than this share of the drawing.
const SMALL: f64 = 0.25;
/// Least and greatest width of the frame, and its height.
const WIDTHS: Vec2 = [200.0, 320.0];
const HEIGHT: f64 = 190.0;
/// Room within the frame for names.
const RIM: Vec2 = [44.0, 34.0];

/// Bodies close together.
pub struct Crowd {
    /// The drawing with what moves where it comes nearest to the first contact.
    drawing: Drawing,
    /// What they take of the plan, metres.
    extent: Extent,
    /// Names of those that stand there when the sweep starts.
    names: Vec<String>,
}

impl Crowd {
    /// Three or more bodies that are small beside their plan; `view` in metres.
    pub fn of(view: &View, drawing: &Drawing, whole: &Extent) -> Option<Self> {
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
        for magnet in &near.magnets {
            extent.hold(&bodies::magnet_outline(view, magnet, &magnet.world_from_body));
        }
        let size = |extent: &Extent| extent.size()[0].max(extent.size()[1]);
        let many = near.contacts.len() + near.magnets.len() >= 3;
        let small = size(&extent) < SMALL * size(whole);
        let still = near.steel.is_empty() && near.coils.is_empty() && near.level.is_none();
        let moves = |magnet: &&reedmace_engine::drawing::MagnetOutline| !magnet.moves;
        let names = drawing.contacts.iter().map(|c| c.name.clone());
        let names = names.chain(drawing.magnets.iter().filter(moves).map(|m| m.name.clone()));
        let names = names.collect();
        (many && small && still).then_some(Self { drawing: near, extent, names })
    }

    /// True of a body whose name and sizes stand in the detail.
    pub fn holds(&self, name: &str) -> bool {
        self.names.iter().any(|known| known == name)
    }

    /// Draws it right of what reaches to `right` on the page, from `top` down, if there is room: a frame with
    /// its scale, and a circle with its letter in the plan.
    pub fn draw(&self, canvas: &mut Canvas, plan: &View, answer: &Answer, [right, top]: Vec2) {
        let width = (WIDTH - right).min(WIDTHS[1]);
        let frame = [WIDTH - width - 1.0, top, width, HEIGHT];
        let size = self.extent.size();
        let room = [width - 2.0 * RIM[0], HEIGHT - 2.0 * RIM[1]];
        let (ratio, text) = choose_scale_within(size, room);
        let scale = ratio * 1e3 * UNITS_PER_MM;
        let middle = [frame[0] + 0.42 * width, frame[1] + 0.62 * HEIGHT];
        let origin = sub(middle, scaled(self.extent.middle(), scale));
        let view = View { scale, origin, ..*plan };
        canvas.rectangle(frame, "f-paper s-ink thin");
        canvas.clipped(frame, |canvas| {
            draw_view(canvas, &view, &self.drawing, frame, [frame[0], WIDTH], &|name| {
                !self.holds(name)
            });
        });
        let inside = |at: Vec2| {
            (frame[0]..frame[0] + width).contains(&at[0]) && (top..top + HEIGHT).contains(&at[1])
        };
        let mut path = track(&view, &self.drawing);
        path.retain(|(_, at)| inside(*at));
        let between = [frame[0], WIDTH];
        path::draw_events(
            canvas,
            &path,
            answer,
            None,
            Some(Names { lift: 20.0, between, places: Vec::new() }),
        );
        let title = format!("A, scale {text}");
        canvas.text(&title, [frame[0] + 8.0, top + 16.0], Anchor::Start, "f-ink strong halo");
        let centre = add(plan.origin, scaled(self.extent.middle(), plan.scale));
        let radius = 0.5 * length(size) * plan.scale + 10.0;
        canvas.circle(centre, radius, "s-ink thin");
        canvas.text(
            "A",
            add(centre, [0.75 * radius + 4.0, -0.75 * radius]),
            Anchor::Start,
            "f-ink strong halo",
        );
    }

    /// True where there is room for the frame beside what reaches to `right`.
    pub fn fits(right: f64) -> bool {
        WIDTH - right >= WIDTHS[0]
    }
}
