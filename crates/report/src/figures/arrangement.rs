//! The arrangement in elevation and plan, first-angle projection `[iso5456]`, lines as in `[iso128]`.

use super::{
    bodies,
    canvas::{Anchor, Canvas, UNITS_PER_MM, WIDTH},
    detail::Crowd,
    dimensions, float,
    geometry::{Extent, Vec2, View, add, body_axis, scaled, sub},
    labels, names,
    path::{self, Names, Track},
    steel, stray, turn,
};
use crate::number::with_unit;
use reedmace_engine::{Answer, Drawing, drawing::MagnetOutline};
use reedmace_fields::MagnetShape;

/// Width and height of the small picture, and the rim it leaves free.
const SMALL: Vec2 = [240.0, 150.0];
const RIM: f64 = 12.0;

/// The figure and what its title block says about it.
pub struct Arrangement {
    /// The drawing.
    pub canvas: Canvas,
    /// `2 : 1`.
    pub scale: String,
    /// True where a chart goes onto the same page.
    pub leaves_room: bool,
}

/// Room left of the views for dimensions.
const LEFT: f64 = 80.0;
/// Room right of the views for dimensions.
const RIGHT: f64 = 90.0;
/// How far steel is drawn beyond everything else at least, m.
const ROUND_THE_REST: f64 = 12e-3;
/// The least bend of a path that one view shows and another sees on edge, m.
const BEND: f64 = 1e-5;
/// Most height of the drawing: with a chart and the title block it fills a page; the one of a stem without a chart.
const HEIGHT: f64 = 594.0;
const HEIGHT_ALONE: f64 = 900.0;

/// Draws it at the largest scale of the standard series `[iso5455]` at which it fits the sheet.
pub fn draw(answer: &Answer, drawing: &Drawing) -> Arrangement {
    let width = [View::front(), View::above()].map(|view| extent(&view, drawing).size()[0]);
    let room = WIDTH - LEFT - RIGHT;
    let fits = |ratio: &f64| width[0].max(width[1]) * ratio * 1e3 * UNITS_PER_MM <= room;
    let mut drawn = ratios().filter(fits).map(|ratio| draw_at(answer, drawing, ratio));
    let most = if drawing.level.is_some() { HEIGHT_ALONE } else { HEIGHT };
    let fits = |drawn: &Arrangement| drawn.canvas.height() <= most;
    drawn.find(fits).unwrap_or_else(|| draw_at(answer, drawing, SMALLEST))
}

fn draw_at(answer: &Answer, drawing: &Drawing, ratio: f64) -> Arrangement {
    let (front, above) = (View::front(), View::above());
    let (front_extent, above_extent) = (extent(&front, drawing), extent(&above, drawing));
    let ([_, front_height], [_, above_height]) = (front_extent.size(), above_extent.size());
    let scale_text = ratio_text(ratio);
    let scale = ratio * 1e3 * UNITS_PER_MM;
    let middle = LEFT + (WIDTH - LEFT - RIGHT) / 2.0;
    let named_in_front = named_in_front(&front, &above, drawing, scale);
    let path_in_front = track(&View { scale, ..front }, drawing);
    let above_path = named_in_front && path::runs_across(&path_in_front);
    let top = 54.0 + if above_path { 32.0 } else { 0.0 };
    let origin_x = middle - front_extent.middle()[0] * scale;
    let front = View { scale, origin: [origin_x, top - front_extent.low[1] * scale], ..front };
    let description = format!(
        "Elevation and plan of {} at a scale of {scale_text}, sweep {} from {} to {}.",
        answer.title,
        answer.sweep.coordinate,
        with_unit(answer.sweep.from, &answer.sweep.unit),
        with_unit(answer.sweep.to, &answer.sweep.unit),
    );
    let mut canvas = Canvas::new("arrangement", "Arrangement", &description, 0.0);
    canvas.text("Elevation", [0.0, 16.0], Anchor::Start, "f-ink head");
    canvas.text("x to the right, z up", [84.0, 16.0], Anchor::Start, "f-faded");
    let window = on_page(&front, &front_extent);
    let edge = origin_x + front_extent.high[0].max(above_extent.high[0]) * scale;
    let detail = if named_in_front {
        Crowd::of(&View::front(), drawing, answer, &front_extent)
    } else {
        Crowd::of(&View::above(), drawing, answer, &above_extent)
    };
    let elsewhere = |name: &str| detail.as_ref().is_some_and(|crowd| crowd.holds(name));
    let sheet = [0.0, 0.0, WIDTH, f64::INFINITY];
    let mut exaggerated = draw_bodies(&mut canvas, &front, drawing, window);
    stray::point(&mut canvas, &front, drawing, window);
    let floor = top + front_height * scale;
    // On a stem the names of the contacts stand where the width of a magnet would: the plan tells it.
    let stem = drawing.level.is_some();
    let mut line = floor;
    if let Some(contact) = drawing.contacts.first() {
        line = dimensions::contact(&mut canvas, &front, answer, contact, line);
    }
    if answer.sweep.kind == "line" {
        let edge = origin_x + front_extent.high[0] * scale;
        let named =
            if named_in_front { path::names_reach(&track(&front, drawing), answer) } else { edge };
        let margin = (edge + 24.0).max(named + 20.0);
        line = dimensions::positions(&mut canvas, &front, drawing, margin, line);
    }
    axes(&mut canvas, [12.0, line.max(floor) + 12.0], ["x", "z"]);
    let plan_heading = line.max(floor) + 34.0;
    canvas.text("Plan", [0.0, plan_heading], Anchor::Start, "f-ink head");
    canvas.text("x to the right, y up", [84.0, plan_heading], Anchor::Start, "f-faded");
    for magnet in first_of_each_size(drawing).filter(|magnet| !elsewhere(&magnet.name)) {
        dimensions::magnet(&mut canvas, &front, answer, magnet, !stem);
    }
    events(&mut canvas, &front, answer, drawing, named_in_front, detail.as_ref());
    names::draw(&mut canvas, &front, drawing, window, sheet, &elsewhere);

    let plan_top = plan_heading + 30.0;
    let above = View { scale, origin: [origin_x, plan_top - above_extent.low[1] * scale], ..above };
    let window = on_page(&above, &above_extent);
    exaggerated |= draw_bodies(&mut canvas, &above, drawing, window);
    stray::point(&mut canvas, &above, drawing, window);
    let bottom = plan_top + above_height * scale + 30.0;
    axes(&mut canvas, [12.0, bottom], ["x", "y"]);
    scale_bar(&mut canvas, [WIDTH - 8.0, bottom], scale, &scale_text);
    if exaggerated {
        canvas.text(
            "gap and blades drawn wider than the scale, to be seen",
            [LEFT, bottom],
            Anchor::Start,
            "f-faded",
        );
    }
    let mut foot = bottom + 8.0;
    for body in &drawing.steel {
        foot += 16.0;
        let text = dimensions::steel(answer, body);
        canvas.text(&text, [LEFT, foot - 4.0], Anchor::Start, "f-ink");
    }
    for magnet in first_of_each_size(drawing).filter(|magnet| !elsewhere(&magnet.name)) {
        dimensions::magnet(&mut canvas, &above, answer, magnet, stem && !round_upright(magnet));
    }
    events(&mut canvas, &above, answer, drawing, !named_in_front, detail.as_ref());
    names::draw(&mut canvas, &above, drawing, window, sheet, &elsewhere);
    if let Some(crowd) = &detail {
        let (view, beside) = if named_in_front { (&front, 8.0) } else { (&above, plan_top - 20.0) };
        foot = crowd.draw(&mut canvas, view, answer, edge + 56.0, [beside, foot]);
    }
    canvas.set_height(foot);
    Arrangement { canvas, scale: scale_text, leaves_room: !stem }
}

/// True of a magnet whose diameter the plan tells by its height there.
fn round_upright(magnet: &MagnetOutline) -> bool {
    let [_, _, up] = body_axis(&magnet.world_from_body, 2);
    up.abs() > 0.999 && !matches!(magnet.shape, MagnetShape::Cuboid { .. })
}

/// Magnets that carry dimensions: one of each shape and size.
pub fn first_of_each_size(drawing: &Drawing) -> impl Iterator<Item = &MagnetOutline> {
    drawing.magnets.iter().enumerate().filter_map(|(index, magnet)| {
        let known = drawing.magnets[..index].iter().any(|before| before.shape == magnet.shape);
        (!known).then_some(magnet)
    })
}

/// Everything one view shows but names, bodies and path; `window` (left, top, width, height) is what it shows
/// of steel that goes on further. Returns true when something is drawn wider than it is.
pub fn draw_bodies(canvas: &mut Canvas, view: &View, drawing: &Drawing, window: [f64; 4]) -> bool {
    for body in &drawing.steel {
        steel::draw(canvas, view, body, window);
    }
    for body in drawing.steel.iter().filter(|body| body.moves) {
        if body.world_from_body != body.world_from_body_end {
            steel::draw_ghost(canvas, view, body);
        }
    }
    for magnet in drawing.magnets.iter().filter(|m| m.moves) {
        if magnet.world_from_body != magnet.world_from_body_end {
            bodies::draw_ghost(canvas, view, magnet);
        }
    }
    for coil in &drawing.coils {
        bodies::draw_coil(canvas, view, coil);
    }
    stray::draw(canvas, view, drawing, window);
    if let Some(level) = &drawing.level {
        float::draw(canvas, view, level);
    }
    turn::draw(canvas, view, drawing);
    let mut exaggerated = false;
    for contact in &drawing.contacts {
        exaggerated |= bodies::draw_contact(canvas, view, contact);
    }
    for magnet in &drawing.magnets {
        bodies::draw_magnet(canvas, view, magnet);
    }
    path::draw_path(canvas, &track(view, drawing));
    exaggerated
}

/// A small picture without words: elevation, or plan where the path shows more of itself there.
pub fn draw_small(drawing: &Drawing) -> Canvas {
    let (front, above) = (View::front(), View::above());
    let reach = |view: &View| {
        let mut extent = Extent::EMPTY;
        extent.hold(&track(view, drawing).iter().map(|(_, at)| *at).collect::<Vec<_>>());
        if drawing.path.is_empty() { 0.0 } else { extent.size()[1] }
    };
    let view = if reach(&above) > reach(&front) { above } else { front };
    let extent = extent(&view, drawing);
    let [width, height] = extent.size().map(|side| side.max(1e-4));
    let scale = ((SMALL[0] - 2.0 * RIM) / width).min((SMALL[1] - 2.0 * RIM) / height);
    let middle = scaled(extent.middle(), scale);
    let origin = sub(scaled(SMALL, 0.5), middle);
    let view = View { scale, origin, ..view };
    let mut canvas = Canvas::small("small", "Arrangement", "", SMALL);
    let frame = [0.0, 0.0, SMALL[0], SMALL[1]];
    canvas.clipped(frame, |canvas| {
        draw_bodies(canvas, &view, drawing, frame);
    });
    canvas
}

/// The path as the view shows it.
pub fn track(view: &View, drawing: &Drawing) -> Track {
    drawing.path.iter().map(|p| (p.coordinate, view.project(p.at))).collect()
}

/// How far above a level path names stand clear of the moving magnet and its dimension.
pub fn clear_of_magnets(view: &View, drawing: &Drawing) -> f64 {
    let tallest = drawing.magnets.iter().filter(|m| m.moves).map(|magnet| {
        let mut extent = Extent::EMPTY;
        extent.hold(&bodies::magnet_outline(view, magnet, &magnet.world_from_body));
        extent.size()[1] / 2.0
    });
    tallest.fold(0.0, f64::max) + 16.0
}

/// True when the elevation carries the names along the path: not where only the plan shows its bend.
fn named_in_front(front: &View, above: &View, drawing: &Drawing, scale: f64) -> bool {
    let [front, above] = [front, above].map(|view| track(&View { scale, ..*view }, drawing));
    path::carries_names(&front) && path::bend(&front) >= path::bend(&above)
}

/// Events along the path, with names where `named` asks for them, except those that its `detail` names; the sweep's
/// coordinate at both its ends. A bend seen on edge, where one place of the page is two of the path, leaves them
/// to the other view.
fn events(
    canvas: &mut Canvas,
    view: &View,
    answer: &Answer,
    drawing: &Drawing,
    named: bool,
    detail: Option<&Crowd>,
) {
    let track = track(view, drawing);
    let bends =
        |view: &View| path::bend(&self::track(&View { scale: 1.0, ..*view }, drawing)) > BEND;
    if !named && !bends(view) && [View::front(), View::above()].iter().any(bends) {
        return;
    }
    let names = Names {
        lift: clear_of_magnets(view, drawing) + 32.0,
        between: [0.0, WIDTH],
        places: if answer.sweep.kind == "line" { Vec::new() } else { ends(&track, answer) },
        elsewhere: detail.map(|crowd| crowd.frame(view)),
    };
    path::draw_events(canvas, &track, answer, None, named.then_some(names));
}

/// What the sweep's coordinate is at both ends of a path.
fn ends(track: &Track, answer: &Answer) -> Vec<(Vec2, String)> {
    let (Some(first), Some(last)) = (track.first(), track.last()) else { return Vec::new() };
    let [from, to] = [first, last].map(|(at, _)| with_unit(*at, &answer.sweep.unit));
    // Below the middle of what moves: its own name stands above.
    vec![(add(first.1, [0.0, 14.0]), format!("from {from}")), (last.1, format!("to {to}"))]
}

/// What a view shows of steel, left, top, width and height: all around an extent as far as `most`.
fn around(extent: &Extent, most: f64) -> [f64; 4] {
    let ([left, top], [width, height]) = (extent.low, extent.size());
    [left - most, top - most, width + 2.0 * most, height + 2.0 * most]
}

/// An extent in metres on the page: left, top, width, height.
fn on_page(view: &View, extent: &Extent) -> [f64; 4] {
    let [left, top] = add(view.origin, scaled(extent.low, view.scale));
    let [width, height] = scaled(extent.size(), view.scale);
    [left, top, width, height]
}

/// What a view has to hold, metres.
fn extent(view: &View, drawing: &Drawing) -> Extent {
    let mut extent = Extent::EMPTY;
    for contact in &drawing.contacts {
        bodies::contact_extent(view, contact, &mut extent);
    }
    for magnet in &drawing.magnets {
        for pose in [&magnet.world_from_body, &magnet.world_from_body_end] {
            extent.hold(&bodies::magnet_outline(view, magnet, pose));
        }
    }
    for coil in &drawing.coils {
        bodies::coil_extent(view, coil, &mut extent);
    }
    for point in &drawing.path {
        extent.hold(&[view.project(point.at)]);
    }
    turn::extent(view, drawing, &mut extent);
    let others = extent;
    stray::extent(view, drawing, &mut extent);
    for body in &drawing.steel {
        for pose in [&body.world_from_body, &body.world_from_body_end] {
            let steel = steel::extent(view, body, pose);
            // Steel that goes on far beyond everything else is broken off.
            let most = ROUND_THE_REST.max(0.3 * others.size()[0].max(others.size()[1]));
            let near = steel::shown(&steel, around(&others, most)).unwrap_or(steel);
            extent.hold(&[near.low, near.high]);
        }
    }
    if extent.low[0] > extent.high[0] {
        extent.hold(&[[-5e-3, -5e-3], [5e-3, 5e-3]]);
    }
    extent
}

/// The largest scale of the standard series at which something (m) fits into a room of the page.
pub fn choose_scale_within([width, height]: Vec2, room: Vec2) -> (f64, String) {
    let fits = |ratio: &f64| {
        let scale = ratio * 1e3 * UNITS_PER_MM;
        width * scale <= room[0] && height * scale <= room[1]
    };
    let ratio = ratios().find(fits).unwrap_or(SMALLEST);
    (ratio, ratio_text(ratio))
}

/// The smallest scale a drawing may have.
const SMALLEST: f64 = 1e-3;

/// The scales of the standard series `[iso5455]`, the largest first.
fn ratios() -> impl Iterator<Item = f64> {
    let powers = [1000.0, 100.0, 10.0, 1.0, 0.1, 0.01, SMALLEST];
    powers.into_iter().flat_map(|power| [5.0, 2.0, 1.0].map(|step| power * step))
}

/// A scale as a drawing office writes it.
fn ratio_text(ratio: f64) -> String {
    if ratio >= 1.0 { format!("{ratio:.0} : 1") } else { format!("1 : {:.0}", 1.0 / ratio) }
}

/// Two small arrows naming the world axes of a view.
fn axes(canvas: &mut Canvas, corner: Vec2, names: [&str; 2]) {
    let right = add(corner, [26.0, 0.0]);
    let up = sub(corner, [0.0, 26.0]);
    canvas.line(corner, right, "s-ink thin");
    canvas.line(corner, up, "s-ink thin");
    canvas.arrowhead(right, [1.0, 0.0], 7.0, "f-ink");
    canvas.arrowhead(up, [0.0, -1.0], 7.0, "f-ink");
    canvas.text(names[0], add(right, [4.0, 4.0]), Anchor::Start, "f-ink");
    canvas.text(names[1], add(up, [5.0, 6.0]), Anchor::Start, "f-ink");
}

/// A bar of round length that ends at `end`, and the scale in words.
fn scale_bar(canvas: &mut Canvas, end: Vec2, scale: f64, text: &str) {
    let longest = 150.0 / scale * 1e3;
    let power = 10_f64.powf(longest.log10().floor());
    let step = [5.0, 2.0].map(|m| m * power).into_iter().find(|s| *s <= longest).unwrap_or(power);
    let width = step / 1e3 * scale;
    let start = [end[0] - width, end[1]];
    let cell = width / 4.0;
    for i in 0..4 {
        let class = if i % 2 == 0 { "f-ink s-ink hair" } else { "f-paper s-ink hair" };
        canvas.rectangle([start[0] + f64::from(i) * cell, end[1] - 5.0, cell, 5.0], class);
    }
    let label = format!("{} mm", labels::tick_text(step, step));
    canvas.text(&label, [end[0], end[1] - 10.0], Anchor::End, "f-ink");
    canvas.text("0", [start[0], end[1] - 10.0], Anchor::Start, "f-ink");
    canvas.text(&format!("scale {text}"), [start[0] - 12.0, end[1]], Anchor::End, "f-ink strong");
}
