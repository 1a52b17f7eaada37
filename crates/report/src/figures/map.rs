//! The map of a plane: for every place of what moves, does the contact close or hold?

use super::{
    arrangement,
    canvas::{Anchor, Canvas, WIDTH},
    geometry::{Vec2, View},
    labels, names,
    path::{self, Names, Track},
    plane_axes,
};
use crate::number::with_unit;
use reedmace_engine::{Answer, Drawing, Map, Plane, map::borders};

const LEFT: f64 = 60.0;
const RIGHT: f64 = 196.0;
const TOP: f64 = 34.0;
const TALLEST: f64 = 400.0;

/// Draw it; with a title block of its own when a `date` is given.
pub fn draw(answer: &Answer, drawing: &Drawing, map: &Map, date: Option<&str>) -> Canvas {
    let (across, up) = plane_axes(map.plane);
    let third = match map.plane {
        Plane::Xy => "z",
        Plane::Xz => "y",
        Plane::Yz => "x",
    };
    let title = format!("Where {} closes {}", map.moves, map.contact);
    let description = format!(
        "Regions of the {across}{up} plane at {third} = {} in which {} closes, or holds if already \
         closed, by the place of {}.",
        with_unit(map.offset_mm, "mm"),
        map.contact,
        map.moves,
    );
    let mut canvas = Canvas::new("map", &title, &description, 0.0);
    canvas.text(&title, [0.0, 14.0], Anchor::Start, "f-ink head");
    let plane_text =
        format!("place of {} at {third} = {}", map.moves, with_unit(map.offset_mm, "mm"));
    canvas.text(&plane_text, [WIDTH, 14.0], Anchor::End, "f-faded");
    let Some((view, frame)) = lay_out(map) else {
        canvas.set_height(TOP);
        return canvas;
    };
    let [left, top, width, height] = frame;
    canvas.clipped(frame, |canvas| {
        regions(canvas, &view, map);
        arrangement::draw_bodies(canvas, &view, drawing, frame);
    });
    let track: Track = drawing.path.iter().map(|p| (p.coordinate, view.project(p.at))).collect();
    let contact = answer.contacts.iter().position(|c| c.name == map.contact);
    let names = Names {
        lift: arrangement::clear_of_magnets(&view, drawing),
        between: [left, left + width],
        places: Vec::new(),
        elsewhere: None,
    };
    path::draw_events(&mut canvas, &track, answer, contact, Some(names));
    let within = [left, top, left + width, top + height];
    names::draw(&mut canvas, &view, drawing, frame, within, &|_| false);
    axes(&mut canvas, &view, map, frame);
    canvas.rectangle(frame, "s-ink thin");
    let x_label = format!("{across}, mm");
    canvas.text(&x_label, [left + width / 2.0, top + height + 38.0], Anchor::Middle, "f-ink");
    let y_label = format!("{up}, mm");
    canvas.turned_text(&y_label, [14.0, top + height / 2.0], -90.0, Anchor::Middle, "f-ink");
    key(&mut canvas, drawing, map, left + width + 20.0);
    let mut bottom = (top + height + 50.0).max(TOP + 292.0);
    if let Some(date) = date {
        bottom = title_block(&mut canvas, answer, &plane_text, date, bottom);
    }
    canvas.set_height(bottom);
    canvas
}

/// A view that fills the room with the plane, and the frame it fills.
fn lay_out(map: &Map) -> Option<(View, [f64; 4])> {
    let ends = |values: &[f64]| Some((*values.first()?, *values.last()?));
    let ((x0, x1), (y0, y1)) = (ends(&map.across_mm)?, ends(&map.up_mm)?);
    if map.across_mm.len() < 2 || map.up_mm.len() < 2 {
        return None;
    }
    let per_mm = ((WIDTH - LEFT - RIGHT) / (x1 - x0)).min(TALLEST / (y1 - y0));
    let size = [(x1 - x0) * per_mm, (y1 - y0) * per_mm];
    let plain = match map.plane {
        Plane::Xy => View::above(),
        Plane::Xz => View::front(),
        Plane::Yz => View::side(),
    };
    let origin = [LEFT - x0 * per_mm, TOP + y1 * per_mm];
    Some((View { scale: per_mm * 1e3, origin, ..plain }, [LEFT, TOP, size[0], size[1]]))
}

/// Tints, hatching and the bands of the borders.
fn regions(canvas: &mut Canvas, view: &View, map: &Map) {
    let open: Vec<f64> = map.drive_open.iter().map(|d| d.abs()).collect();
    let closed: Vec<f64> = map.drive_closed.iter().map(|d| d.abs()).collect();
    let page = |point: &Vec2| {
        let scale = view.scale / 1e3;
        [view.origin[0] + point[0] * scale, view.origin[1] - point[1] * scale]
    };
    let above = |grid: &[f64], level: f64| -> Vec<Vec<Vec2>> {
        let (padded, grid) = fenced(map, grid, 0.0);
        borders(&padded, &grid, level).iter().map(|line| line.iter().map(page).collect()).collect()
    };
    let holds = above(&closed, map.release[1]);
    canvas.part("holds", &map.contact, |canvas| {
        canvas.loops(&holds, "holds", None);
        canvas.loops(&holds, "", Some("dots"));
    });
    let closes = above(&open, map.operate[1]);
    canvas.part("closes", &map.contact, |canvas| {
        canvas.loops(&closes, "f-paper", None);
        canvas.loops(&closes, "closes", None);
        canvas.loops(&closes, "", Some("hatch"));
    });
    for (grid, [low, nominal, high], dashed) in
        [(&closed, map.release, true), (&open, map.operate, false)]
    {
        let mut ring = above(grid, low);
        ring.extend(above(grid, high));
        canvas.loops(&ring, "edge", None);
        for (level, width) in [(low, "hair"), (high, "hair"), (nominal, "line")] {
            let class = format!("s-met {width}{}", if dashed { " dashed" } else { "" });
            for line in borders(map, grid, level) {
                let line: Vec<Vec2> = line.iter().map(page).collect();
                canvas.polyline(&line, &class);
            }
        }
    }
    // Where the moved body would stand in the contact the drive means nothing: nothing shows there.
    let room: Vec<f64> = map.room.iter().map(|room| -room).collect();
    let (padded, grid) = fenced(map, &room, -1.0);
    let keep_out: Vec<Vec<Vec2>> =
        borders(&padded, &grid, 0.0).iter().map(|line| line.iter().map(page).collect()).collect();
    canvas.part("keep-out", &map.contact, |canvas| {
        canvas.loops(&keep_out, "f-paper", None);
        canvas.loops(&keep_out, "", Some("keep-out"));
        canvas.loops(&keep_out, "s-ink thin", None);
    });
}

/// The map with a fence of one value just outside, so that every border closes on itself and can be
/// filled.
fn fenced(map: &Map, grid: &[f64], fence_value: f64) -> (Map, Vec<f64>) {
    let fence = |values: &[f64]| -> Vec<f64> {
        let (first, last) = (values[0], values[values.len() - 1]);
        let step = (last - first) * 1e-6;
        let mut out = vec![first - step];
        out.extend_from_slice(values);
        out.push(last + step);
        out
    };
    let width = map.across_mm.len();
    let mut out = vec![fence_value; width + 2];
    for row in grid.chunks(width) {
        out.push(fence_value);
        out.extend_from_slice(row);
        out.push(fence_value);
    }
    out.extend(vec![fence_value; width + 2]);
    let fenced = Map { across_mm: fence(&map.across_mm), up_mm: fence(&map.up_mm), ..map.clone() };
    (fenced, out)
}

fn axes(canvas: &mut Canvas, view: &View, map: &Map, [left, top, width, height]: [f64; 4]) {
    let ends = |values: &[f64]| (values[0], values[values.len() - 1]);
    let bottom = top + height;
    let (x0, x1) = ends(&map.across_mm);
    let x_ticks = labels::ticks(x0, x1, (width / 60.0) as usize);
    let step = |ticks: &[f64]| ticks.get(1).map_or(1.0, |second| second - ticks[0]);
    for x in &x_ticks {
        let at = view.origin[0] + x * view.scale / 1e3;
        canvas.line([at, bottom], [at, bottom + 5.0], "s-ink thin");
        let text = labels::tick_text(*x, step(&x_ticks));
        canvas.text(&text, [at, bottom + 19.0], Anchor::Middle, "f-ink");
    }
    let (y0, y1) = ends(&map.up_mm);
    let y_ticks = labels::ticks(y0, y1, (height / 50.0) as usize);
    for y in &y_ticks {
        let at = view.origin[1] - y * view.scale / 1e3;
        canvas.line([left - 5.0, at], [left, at], "s-ink thin");
        let text = labels::tick_text(*y, step(&y_ticks));
        canvas.text(&text, [left - 8.0, at + 4.0], Anchor::End, "f-ink");
    }
}

/// What the tints and lines mean, with the levels they stand for.
fn key(canvas: &mut Canvas, drawing: &Drawing, map: &Map, x: f64) {
    let mut y = TOP;
    let swatch = |canvas: &mut Canvas, y: f64, classes: &[&str], pattern: Option<&str>| {
        let frame = [x, y, 30.0, 18.0];
        for class in classes {
            canvas.rectangle(frame, class);
        }
        if let Some(pattern) = pattern {
            canvas.rectangle_filled(frame, pattern);
        }
        canvas.rectangle(frame, "s-ink hair");
    };
    let steel = (!drawing.steel.is_empty()).then_some(("steel", "f-paper", Some("section")));
    let no_room = match steel {
        Some(_) => "no room, or too near steel to tell",
        None => "no room: touches it",
    };
    for (text, class, pattern) in [
        ("closes", "closes", Some("hatch")),
        ("holds if closed", "holds", Some("dots")),
        ("stays open", "f-paper", None),
        (no_room, "f-paper", Some("keep-out")),
    ]
    .into_iter()
    .chain(steel)
    {
        swatch(canvas, y, &[class], pattern);
        canvas.text(text, [x + 38.0, y + 13.0], Anchor::Start, "f-ink");
        y += 28.0;
    }
    y += 8.0;
    for (word, [low, nominal, high], dashed) in
        [("operate", map.operate, false), ("release", map.release, true)]
    {
        let dash = if dashed { " dashed" } else { "" };
        canvas.rectangle([x, y, 30.0, 12.0], "edge");
        for (dy, width) in [(0.0, "hair"), (6.0, "line"), (12.0, "hair")] {
            canvas.line([x, y + dy], [x + 30.0, y + dy], &format!("s-met {width}{dash}"));
        }
        let text = format!("{word} {}", with_unit(nominal, "mT"));
        canvas.text(&text, [x + 38.0, y + 10.0], Anchor::Start, "f-met strong");
        let band = format!("{} to {}", with_unit(low, "mT"), with_unit(high, "mT"));
        canvas.text(&band, [x + 38.0, y + 26.0], Anchor::Start, "f-ink");
        y += 44.0;
    }
    for (word, filled) in [("operates here", true), ("releases here", false)] {
        canvas.event([x + 15.0, y + 8.0], [1.0, 0.0], filled);
        canvas.text(word, [x + 38.0, y + 12.0], Anchor::Start, "f-ink");
        y += 26.0;
    }
    canvas.line([x, y + 8.0], [x + 22.0, y + 8.0], "s-ink thin chain");
    canvas.arrowhead([x + 30.0, y + 8.0], [1.0, 0.0], 10.0, "f-ink");
    canvas.text("the sweep", [x + 38.0, y + 12.0], Anchor::Start, "f-ink");
}

/// Design, what is shown, verdict and date in one ruled strip; returns its bottom.
fn title_block(canvas: &mut Canvas, answer: &Answer, shows: &str, date: &str, top: f64) -> f64 {
    let (tone, word) = crate::page::verdict_of(answer.verdict);
    let cells = [
        ("Design", answer.title.clone(), 300.0),
        ("Shows", shows.to_string(), 240.0),
        ("Date", date.to_string(), 120.0),
        ("Verdict", word.to_string(), 140.0),
    ];
    let mut x = 0.5;
    let height = 44.0;
    for (label, value, width) in cells {
        let width = f64::min(width, WIDTH - 0.5 - x);
        canvas.rectangle([x, top, width, height], "s-ink thin");
        canvas.text(label, [x + 8.0, top + 16.0], Anchor::Start, "f-faded");
        let class = if label == "Verdict" {
            format!("f-{} strong", tone.name())
        } else {
            "f-ink strong".into()
        };
        canvas.text(&value, [x + 8.0, top + 34.0], Anchor::Start, &class);
        x += width;
    }
    let foot = format!(
        "{} · Reedmace {} · sha256 {}",
        answer.provenance.design, answer.provenance.version, answer.provenance.design_sha256
    );
    canvas.text(&foot, [0.0, top + height + 16.0], Anchor::Start, "f-faded");
    top + height + 24.0
}
