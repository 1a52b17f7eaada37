//! Bodies of steel: hatched at 45°, broken off where they go on beyond the view.

use super::{
    canvas::Canvas,
    geometry::{
        Extent, Vec2, Vec3, View, add, along, body_axis, dot, hull, length, normal, place, ring,
        scaled, sub, unit,
    },
};
use reedmace_engine::drawing::{SteelOutline, SteelPart};
use reedmace_fields::Pose;

/// Triangles up to which a mesh is drawn by its own outline; beyond, by its convex one.
const MOST_TRIANGLES: usize = 1500;

/// How far from a window's side a line counts as off it, page units.
const BESIDE: f64 = 0.05;

/// One closed shape on the page, with the hole it has.
struct Face {
    outline: Vec<Vec2>,
    hole: Option<Vec<Vec2>>,
}

/// What a body of steel covers on the page.
pub fn extent(view: &View, steel: &SteelOutline, pose: &Pose) -> Extent {
    let mut extent = Extent::EMPTY;
    for face in steel.parts.iter().flat_map(|part| faces(view, part, pose)) {
        extent.hold(&face.outline);
    }
    extent
}

/// Draw a body of steel as far as `window` (left, top, width, height) shows it. Its outline is that of
/// all its parts together; where the window cuts it, zigzag lines break it off `[iso128]`.
pub fn draw(canvas: &mut Canvas, view: &View, steel: &SteelOutline, window: [f64; 4]) {
    let pose = &steel.world_from_body;
    let faces: Vec<Face> = steel.parts.iter().flat_map(|part| faces(view, part, pose)).collect();
    canvas.part("steel", &steel.name, |canvas| {
        canvas.clipped(roomy(window, &extent(view, steel, pose)), |canvas| {
            // Lines of double width first: the fill of every part leaves their outer half only, so
            // that no line shows where parts touch.
            let each = |canvas: &mut Canvas, class: &str, pattern: Option<&str>| {
                for face in &faces {
                    let mut loops = vec![face.outline.clone()];
                    loops.extend(face.hole.clone());
                    canvas.loops(&loops, class, pattern);
                    loops.iter().for_each(|points| canvas.room.take_body(points));
                }
            };
            each(canvas, "s-ink double round", None);
            each(canvas, "f-paper", None);
            each(canvas, "", Some("section"));
            for part in &steel.parts {
                bore(canvas, view, part, pose);
            }
        });
        for face in &faces {
            for [from, to] in cuts(&face.outline, window) {
                break_line(canvas, from, to);
            }
        }
    });
}

/// A window with room for a line along each side that does not cut the body.
fn roomy([left, top, width, height]: [f64; 4], whole: &Extent) -> [f64; 4] {
    let room = |reaches: bool| if reaches { 0.0 } else { 4.0 };
    let [w, n] = [room(whole.low[0] < left - BESIDE), room(whole.low[1] < top - BESIDE)];
    let e = room(whole.high[0] > left + width + BESIDE);
    let s = room(whole.high[1] > top + height + BESIDE);
    [left - w, top - n, width + w + e, height + n + s]
}

/// Where a moving body of steel ends up.
pub fn draw_ghost(canvas: &mut Canvas, view: &View, steel: &SteelOutline) {
    canvas.part("ghost", &steel.name, |canvas| {
        for part in &steel.parts {
            for face in faces(view, part, &steel.world_from_body_end) {
                canvas.polygon(&face.outline, "s-ink thin ghost");
            }
        }
    });
}

/// The part of an extent that a window shows; `None` if it shows nothing of it.
pub fn shown(extent: &Extent, [left, top, width, height]: [f64; 4]) -> Option<Extent> {
    let ends = [left + width, top + height];
    let low = [extent.low[0].max(left), extent.low[1].max(top)];
    let high = [0, 1].map(|k| extent.high[k].min(ends[k]));
    (low[0] < high[0] && low[1] < high[1]).then_some(Extent { low, high })
}

fn faces(view: &View, part: &SteelPart, pose: &Pose) -> Vec<Face> {
    let on_page = |points: &[Vec3]| -> Vec<Vec2> {
        points.iter().map(|p| view.project(place(pose, *p))).collect()
    };
    let rims = |radius: f64, half_length: f64| -> Vec<Vec2> {
        let points = [-half_length, half_length].into_iter().flat_map(|z| ring(pose, 2, z, radius));
        points.map(|p| view.project(p)).collect()
    };
    let convex = |points: &[Vec2]| vec![Face { outline: hull(points), hole: None }];
    match part {
        SteelPart::Box { centre, half_size } => {
            let corners: Vec<Vec3> = (0..8)
                .map(|corner| {
                    std::array::from_fn(|k| {
                        let sign = if corner >> k & 1 == 0 { -1.0 } else { 1.0 };
                        centre[k] + sign * half_size[k]
                    })
                })
                .collect();
            convex(&on_page(&corners))
        }
        SteelPart::Round { outer_radius, inner_radius, half_length } => {
            let end_on = dot(body_axis(pose, 2), view.toward).abs() > 0.999;
            let hole = (end_on && *inner_radius > 0.0).then(|| hull(&rims(*inner_radius, 0.0)));
            vec![Face { outline: hull(&rims(*outer_radius, *half_length)), hole }]
        }
        SteelPart::Sphere { radius } => {
            let centre = view.project(pose.origin);
            let around = (0..72).map(|i| f64::from(i) / 72.0 * std::f64::consts::TAU);
            let radius = radius * view.scale;
            let points: Vec<Vec2> =
                around.map(|a| add(centre, scaled([a.cos(), a.sin()], radius))).collect();
            convex(&points)
        }
        SteelPart::Mesh { triangles } if triangles.len() > MOST_TRIANGLES => {
            let corners: Vec<Vec3> = triangles.iter().flatten().copied().collect();
            convex(&on_page(&corners))
        }
        SteelPart::Mesh { triangles } => {
            triangles.iter().map(|corners| Face { outline: on_page(corners), hole: None }).collect()
        }
    }
}

/// The hidden bore of a tube that is not seen on end.
fn bore(canvas: &mut Canvas, view: &View, part: &SteelPart, pose: &Pose) {
    let SteelPart::Round { inner_radius, half_length, .. } = *part else { return };
    if inner_radius == 0.0 || dot(body_axis(pose, 2), view.toward).abs() > 0.999 {
        return;
    }
    let rims = [-half_length, half_length].into_iter().flat_map(|z| ring(pose, 2, z, inner_radius));
    let rims: Vec<Vec2> = rims.map(|p| view.project(p)).collect();
    let hollow = hull(&rims);
    canvas.polygon(&hollow, "f-paper");
    canvas.polygon(&hollow, "s-ink hair hidden");
}

/// Where the sides of a window cut a convex shape in two.
fn cuts(outline: &[Vec2], [left, top, width, height]: [f64; 4]) -> Vec<[Vec2; 2]> {
    let (low, high) = ([left, top], [left + width, top + height]);
    let mut found = Vec::new();
    for axis in 0..2 {
        let other = 1 - axis;
        for side in [low[axis], high[axis]] {
            let crossings = (0..outline.len()).filter_map(|i| {
                let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
                let (from, to) = (a[axis] - side, b[axis] - side);
                // A side that lies along the window's own is not cut by it.
                let cut = from.min(to) < -BESIDE && from.max(to) > BESIDE;
                cut.then(|| a[other] + (b[other] - a[other]) * from / (from - to))
            });
            let mut ends = [f64::INFINITY, f64::NEG_INFINITY];
            for at in crossings {
                ends = [ends[0].min(at), ends[1].max(at)];
            }
            let ends = [ends[0].max(low[other]), ends[1].min(high[other])];
            if ends[1] - ends[0] > 0.5 {
                found.push(ends.map(|end| {
                    let mut point = [side; 2];
                    point[other] = end;
                    point
                }));
            }
        }
    }
    found
}

/// A thin line with zigzags in it: what it ends goes on.
fn break_line(canvas: &mut Canvas, from: Vec2, to: Vec2) {
    let (way, span) = (unit(sub(to, from)), length(sub(to, from)));
    let out = normal(way);
    let jags = (span / 160.0).ceil().max(1.0);
    let jag = (span / 5.0).min(5.0);
    let mut points = vec![along(from, way, -2.0)];
    for k in 0..jags as usize {
        let middle = span * (k as f64 + 0.5) / jags;
        for (step, aside) in [(-1.0, 0.0), (-0.4, 1.0), (0.4, -1.0), (1.0, 0.0)] {
            points.push(along(along(from, way, middle + step * jag), out, aside * jag));
        }
    }
    points.push(along(to, way, 2.0));
    canvas.polyline(&points, "s-ink thin round");
}
