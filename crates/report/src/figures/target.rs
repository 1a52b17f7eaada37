//! A steel target on its way past a contact and its magnet, with the distances at which it is seen.

use super::{
    arrangement,
    canvas::{Anchor, Canvas, WIDTH},
    geometry::{Extent, Vec2, View, add, length, scaled, sub},
    names, steel,
};
use crate::number::with_unit;
use reedmace_engine::Drawing;
use reedmace_engine::answer::{TargetAnswer, TargetPlace};
use reedmace_engine::drawing::SteelOutline;
use reedmace_fields::Pose;

const TOP: f64 = 34.0;
/// Most height of the picture without its dimensions.
const MOST: f64 = 260.0;
/// Room at the sides.
const SIDES: f64 = 60.0;
/// From one dimension line to the next.
const STEP: f64 = 26.0;

/// Draws the view that shows most of the way: the steel where it starts and, for the first contact, where it
/// changes and changes back.
pub fn draw(target: &TargetAnswer, drawing: &Drawing, prefix: &str) -> Canvas {
    let title = "The target on its way";
    let contact = &target.contacts[0];
    let told = |place: Option<TargetPlace>, what: &str| {
        place.map_or_else(
            || format!("{what} nowhere"),
            |place| format!("{what} at {}", with_unit(place.distance_mm, "mm")),
        )
    };
    let description = format!(
        "{} as it comes and goes past {}: {}, {}.",
        target.steel,
        contact.contact,
        told(contact.seen, "changes"),
        told(contact.gone, "changes back")
    );
    let views = [View::side(), View::above(), View::front()];
    let along = |view: &View| length(view.direction(target.direction));
    let view = views.into_iter().fold(View::front(), |best, view| {
        if along(&view) > along(&best) + 1e-6 { view } else { best }
    });
    let extent = extent(&view, drawing);
    let [width, height] = extent.size().map(|side| side.max(1e-4));
    let scale = ((WIDTH - 2.0 * SIDES) / width).min(MOST / height);
    let left = 0.5 * WIDTH - scale * extent.middle()[0];
    let view = View { scale, origin: [left, TOP + 10.0 - scale * extent.low[1]], ..view };
    let floor = TOP + 20.0 + scale * height;
    let mut canvas = Canvas::new(prefix, title, &description, floor);
    canvas.text(title, [0.0, 14.0], Anchor::Start, "f-ink head");
    let window = [0.0, TOP - 10.0, WIDTH, scale * height + 30.0];
    arrangement::draw_bodies(&mut canvas, &view, drawing, window);
    let from = view.project(contact.from_m);
    let way = view.direction(target.direction);
    let mut line = floor;
    if let Some(body) = drawing.steel.iter().find(|body| body.name == target.steel) {
        let words =
            if contact.opens { ["opens", "closes again"] } else { ["closes", "opens again"] };
        for (place, word) in [contact.seen, contact.gone].into_iter().zip(words) {
            let Some(place) = place else { continue };
            steel::draw_ghost(&mut canvas, &view, &moved(body, target.direction, place.moved_mm));
            // Dimensions run along the page, from the face to where distances are told from.
            let face = add(from, scaled(way, -scale * place.distance_mm * 1e-3));
            let text = format!("{word} {}", with_unit(place.distance_mm, "mm"));
            if way[0].abs() > 0.7 {
                line += STEP;
                dimension(&mut canvas, [[face[0], floor - 20.0], [from[0], from[1]]], line, &text);
            } else {
                canvas.text(&text, add(face, [8.0, 4.0]), Anchor::Start, "f-ink halo");
                canvas.line(sub(face, [30.0, 0.0]), add(face, [6.0, 0.0]), "s-ink hair");
            }
        }
        canvas.line(add(from, [-6.0, 0.0]), add(from, [6.0, 0.0]), "s-ink thin");
        canvas.line(add(from, [0.0, -6.0]), add(from, [0.0, 6.0]), "s-ink thin");
    }
    let sheet = [0.0, TOP - 10.0, WIDTH, floor];
    names::draw(&mut canvas, &view, drawing, window, sheet, &|_| false);
    canvas.set_height(line + 14.0);
    canvas
}

fn dimension(canvas: &mut Canvas, feet: [Vec2; 2], line: f64, text: &str) {
    let ends = feet.map(|foot| [foot[0], line]);
    canvas.dimension_line(feet, ends, text);
}

/// The steel so far on its way, as the end that a ghost is drawn at.
fn moved(body: &SteelOutline, direction: [f64; 3], mm: f64) -> SteelOutline {
    let start = body.world_from_body;
    let origin = [0, 1, 2].map(|i| start.origin[i] + 1e-3 * mm * direction[i]);
    SteelOutline { world_from_body_end: Pose { origin, ..start }, ..body.clone() }
}

/// What the view has to hold, metres: the contact's middle part, magnets, and the steel from start to end.
fn extent(view: &View, drawing: &Drawing) -> Extent {
    let mut extent = Extent::EMPTY;
    for contact in &drawing.contacts {
        super::bodies::contact_extent(view, contact, &mut extent);
    }
    for magnet in &drawing.magnets {
        extent.hold(&super::bodies::magnet_outline(view, magnet, &magnet.world_from_body));
    }
    for body in drawing.steel.iter().filter(|body| body.moves) {
        for pose in [&body.world_from_body, &body.world_from_body_end] {
            let whole = steel::extent(view, body, pose);
            extent.hold(&[whole.low, whole.high]);
        }
    }
    extent
}
