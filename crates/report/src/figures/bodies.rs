//! Contacts, magnets and coils as a drawing office draws them.

use super::{
    canvas::Canvas,
    geometry::{
        Extent, Vec2, Vec3, View, add, along, body_axis, hull, length, normal, place, ring, scaled,
        sub, turn, unit,
    },
};
use reedmace_engine::drawing::{CoilOutline, ContactOutline, MagnetOutline};
use reedmace_fields::{MagnetShape, Pose};

/// The narrowest gap that still reads as one, page units.
const LEAST_GAP: f64 = 3.0;
/// The thinnest blade that still reads as a solid, page units.
const LEAST_BLADE: f64 = 2.0;

/// What a contact needs on the page, in metres of the view.
pub fn contact_extent(view: &View, contact: &ContactOutline, extent: &mut Extent) {
    let half = contact.overall_length / 2.0;
    let pose = &contact.world_from_contact;
    let reach = contact.glass.map_or(contact.blade_width, |[_, diameter]| diameter) / 2.0;
    for end in [-half, half] {
        let at = view.project(place(pose, [end, 0.0, 0.0]));
        extent.hold(&[sub(at, [reach * view.scale; 2]), add(at, [reach * view.scale; 2])]);
    }
}

/// Draw a contact. Returns true when gap or blades are drawn wider than the scale says.
pub fn draw_contact(canvas: &mut Canvas, view: &View, contact: &ContactOutline) -> bool {
    let pose = &contact.world_from_contact;
    let centre = view.project(pose.origin);
    let axis = view.direction(body_axis(pose, 0));
    let scale = view.scale;
    if length(axis) < 0.05 {
        if let Some([_, diameter]) = contact.glass {
            let radius = diameter / 2.0 * scale;
            canvas.circle(centre, radius, "f-paper s-ink thin");
            canvas.circle(centre, (radius - 2.0).max(0.5), "s-ink hair");
        }
        canvas.circle(centre, (contact.lead_diameter / 2.0 * scale).max(1.5), "f-ink");
        return false;
    }
    let forward = unit(axis);
    let side = normal(forward);
    if let Some([glass_length, diameter]) = contact.glass {
        let radius = diameter / 2.0 * scale;
        let half = (glass_length / 2.0 * scale * length(axis) - radius).max(0.0);
        canvas.part("glass", &contact.name, |canvas| {
            canvas.polygon(&capsule(centre, forward, half, radius), "f-paper s-ink thin");
        });
        let wall = (radius * 0.18).clamp(1.6, 3.0);
        if radius > 2.0 * wall {
            canvas.polygon(&capsule(centre, forward, half, radius - wall), "s-ink hair");
        }
    }
    // The blade is a flat bar: seen from the side of its normal it is as thick as it is, from the
    // flat as wide as it is, obliquely something between.
    let across = |v: Vec3| {
        let d = view.direction(v);
        d[0] * side[0] + d[1] * side[1]
    };
    let along_normal = across(body_axis(pose, 2));
    let along_width = across(body_axis(pose, 1));
    let true_blade = (contact.blade_thickness * along_normal.abs()
        + contact.blade_width * along_width.abs())
        * scale;
    let blade = true_blade.max(LEAST_BLADE);
    let true_gap = contact.gap * along_normal.abs() * scale;
    let edge_on = along_normal.abs() > 0.5;
    let gap = if edge_on { true_gap.max(LEAST_GAP) } else { true_gap };
    let offset = if edge_on {
        (blade + gap) / 2.0 * along_normal.signum()
    } else {
        (contact.blade_thickness + contact.gap) / 2.0 * along_normal * scale
    };
    let foreshortened = scale * length(axis);
    let lead = (contact.lead_diameter * scale).max(LEAST_BLADE) / 2.0;
    let span = contact.blade_span / 2.0 * foreshortened;
    let tip = contact.overall_length / 2.0 * foreshortened;
    let lap = contact.overlap / 2.0 * foreshortened;
    let at = |x: f64, y: f64| along(along(centre, forward, x), side, y);
    for (sign, name) in [(-1.0, "blade at the start"), (1.0, "blade at the end")] {
        let middle = sign * offset;
        let root = sign * (span - (span - lap) * 0.12);
        canvas.part("blade", name, |canvas| {
            canvas.polygon(
                &[
                    at(sign * tip, lead),
                    at(sign * span, lead),
                    at(root, middle + blade / 2.0),
                    at(-sign * lap, middle + blade / 2.0),
                    at(-sign * lap, middle - blade / 2.0),
                    at(root, middle - blade / 2.0),
                    at(sign * span, -lead),
                    at(sign * tip, -lead),
                ],
                "f-ink",
            );
        });
    }
    if !edge_on {
        // Seen on the flat the blades cover each other; fine lines mark the overlap.
        for x in [-lap, lap] {
            canvas.line(at(x, -blade / 2.0), at(x, blade / 2.0), "s-paper thin");
        }
    }
    edge_on && (gap > true_gap * 1.05 || blade > true_blade * 1.05)
}

/// A bar with round ends: `half` from the centre to the middle of each round.
fn capsule(centre: Vec2, forward: Vec2, half: f64, radius: f64) -> Vec<Vec2> {
    let side = normal(forward);
    let mut points = Vec::new();
    for (end, start_angle) in [(half, -90.0_f64), (-half, 90.0)] {
        for step in 0..=24 {
            let angle = (start_angle + f64::from(step) * 7.5).to_radians();
            let around = add(scaled(forward, angle.cos()), scaled(side, angle.sin()));
            points.push(along(along(centre, forward, end), around, radius));
        }
    }
    points
}

/// Points of a magnet whose hull is its outline.
fn magnet_points(shape: &MagnetShape, pose: &Pose, view: &View) -> Vec<Vec2> {
    let rims = |radius: f64, half_length: f64| -> Vec<Vec3> {
        [-half_length, half_length].iter().flat_map(|&z| ring(pose, 2, z, radius)).collect()
    };
    let points: Vec<Vec3> = match *shape {
        MagnetShape::Cuboid { half_size: [x, y, z] } => [-1.0, 1.0]
            .into_iter()
            .flat_map(|a| [-1.0, 1.0].map(|b| [a, b]))
            .flat_map(|[a, b]| [-1.0, 1.0].map(|c| place(pose, [a * x, b * y, c * z])))
            .collect(),
        MagnetShape::Cylinder { radius, half_length } => rims(radius, half_length),
        MagnetShape::Ring { outer_radius, half_length, .. } => rims(outer_radius, half_length),
        MagnetShape::Sphere { radius } => {
            let facing = Pose { rotation: transposed([view.right, view.up, view.toward]), ..*pose };
            ring(&facing, 2, 0.0, radius)
        }
    };
    points.into_iter().map(|p| view.project(p)).collect()
}

fn transposed(rows: [Vec3; 3]) -> [Vec3; 3] {
    std::array::from_fn(|i| std::array::from_fn(|j| rows[j][i]))
}

/// The outline of a magnet on the page.
pub fn magnet_outline(view: &View, magnet: &MagnetOutline, pose: &Pose) -> Vec<Vec2> {
    hull(&magnet_points(&magnet.shape, pose, view))
}

/// Draw a magnet at the place the sweep starts, what lies behind it showing through: outline, visible edges, and its polarization as one
/// bold arrow, or as a dot or a cross in a circle where that points at or away from the viewer.
pub fn draw_magnet(canvas: &mut Canvas, view: &View, magnet: &MagnetOutline) {
    let pose = &magnet.world_from_body;
    let outline = magnet_outline(view, magnet, pose);
    canvas.part("magnet", &magnet.name, |canvas| {
        canvas.polygon(&outline, "f-paper through s-ink line")
    });
    for edge in visible_edges(view, magnet, pose) {
        canvas.polygon(&edge, "s-ink thin round");
    }
    if let MagnetShape::Ring { inner_radius, half_length, .. } = magnet.shape {
        // The bore, hidden behind the wall.
        let bore: Vec<Vec2> = [-half_length, half_length]
            .iter()
            .flat_map(|&z| ring(pose, 2, z, inner_radius))
            .map(|p| view.project(p))
            .collect();
        if length(view.direction(body_axis(pose, 2))) > 0.3 {
            canvas.polygon(&hull(&bore), "s-ink hair hidden");
        }
    }
    polarization(canvas, view, magnet, &outline);
}

/// Where the magnet ends up, as the thin chain line of a moving part's other position `[iso128]`.
pub fn draw_ghost(canvas: &mut Canvas, view: &View, magnet: &MagnetOutline) {
    let outline = magnet_outline(view, magnet, &magnet.world_from_body_end);
    canvas.part("ghost", &magnet.name, |canvas| canvas.polygon(&outline, "s-ink thin ghost"));
}

/// Faces turned to the viewer: a cuboid's rectangles, the end of a cylinder or ring.
fn visible_edges(view: &View, magnet: &MagnetOutline, pose: &Pose) -> Vec<Vec<Vec2>> {
    let facing = |axis: usize| {
        let towards = super::geometry::dot(body_axis(pose, axis), view.toward);
        (towards.abs() > 1e-6).then_some(towards.signum())
    };
    let on_page = |points: Vec<Vec3>| points.into_iter().map(|p| view.project(p)).collect();
    match magnet.shape {
        MagnetShape::Cuboid { half_size } => (0..3)
            .filter_map(|axis| {
                let sign = facing(axis)?;
                let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
                let corners = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
                Some(on_page(
                    corners
                        .map(|[a, b]| {
                            let mut p = [0.0; 3];
                            p[axis] = sign * half_size[axis];
                            p[u] = a * half_size[u];
                            p[v] = b * half_size[v];
                            place(pose, p)
                        })
                        .to_vec(),
                ))
            })
            .collect(),
        MagnetShape::Cylinder { radius, half_length } => facing(2)
            .map(|sign| on_page(ring(pose, 2, sign * half_length, radius)))
            .into_iter()
            .collect(),
        MagnetShape::Ring { inner_radius, outer_radius, half_length } => facing(2)
            .map(|sign| {
                [inner_radius, outer_radius]
                    .map(|radius| on_page(ring(pose, 2, sign * half_length, radius)))
            })
            .into_iter()
            .flatten()
            .collect(),
        MagnetShape::Sphere { .. } => Vec::new(),
    }
}

fn polarization(canvas: &mut Canvas, view: &View, magnet: &MagnetOutline, outline: &[Vec2]) {
    let direction = turn(&magnet.world_from_body, magnet.direction);
    let centre = view.project(magnet.world_from_body.origin);
    let shown = view.direction(direction);
    let mut extent = Extent::EMPTY;
    extent.hold(outline);
    if length(shown) < 0.35 {
        let towards = super::geometry::dot(direction, view.toward) > 0.0;
        let [w, h] = extent.size();
        let radius = (w.min(h) * 0.32).clamp(3.0, 8.0);
        // In a ring seen on end the middle is empty: the signs stand in the wall.
        let places = match magnet.shape {
            MagnetShape::Ring { inner_radius, outer_radius, .. } => {
                let middle = (inner_radius + outer_radius) / 2.0 * view.scale;
                vec![add(centre, [-middle, 0.0]), add(centre, [middle, 0.0])]
            }
            _ => vec![centre],
        };
        let radius = match magnet.shape {
            MagnetShape::Ring { inner_radius, outer_radius, .. } => {
                ((outer_radius - inner_radius) * view.scale * 0.35).clamp(2.0, radius)
            }
            _ => radius,
        };
        for at in places {
            end_on(canvas, at, radius, towards);
        }
        return;
    }
    let forward = unit(shown);
    let reach = outline
        .iter()
        .map(|p| {
            let d = sub(*p, centre);
            (d[0] * forward[0] + d[1] * forward[1]).abs()
        })
        .fold(0.0, f64::max);
    let half = (reach * 0.72).max(5.0);
    let head = (half * 0.6).clamp(5.0, 12.0);
    let (tail, tip) = (along(centre, forward, -half), along(centre, forward, half));
    canvas.part("polarization", &magnet.name, |canvas| {
        canvas.line(tail, along(tip, forward, -head * 0.8), "s-ink bold");
        canvas.arrowhead(tip, forward, head, "f-ink");
    });
}

/// An arrow seen on end: its point as a dot, its feathers as a cross.
pub fn end_on(canvas: &mut Canvas, at: Vec2, radius: f64, towards: bool) {
    canvas.circle(at, radius, "f-paper s-ink thin");
    if towards {
        canvas.circle(at, (radius * 0.3).max(0.9), "f-ink");
    } else {
        let d = radius * std::f64::consts::FRAC_1_SQRT_2;
        canvas.line(add(at, [-d, -d]), add(at, [d, d]), "s-ink thin");
        canvas.line(add(at, [-d, d]), add(at, [d, -d]), "s-ink thin");
    }
}

/// What a coil needs on the page.
pub fn coil_extent(view: &View, coil: &CoilOutline, extent: &mut Extent) {
    for z in [-0.5, 0.5] {
        let rim = ring(&coil.world_from_body, 2, z * coil.length, coil.outer_diameter / 2.0);
        let rim: Vec<Vec2> = rim.into_iter().map(|p| view.project(p)).collect();
        extent.hold(&rim);
    }
}

/// Draw a coil cut open along its axis: the current comes out of the page where the circles have a
/// dot and goes into it where they have a cross, for positive ampere-turns.
pub fn draw_coil(canvas: &mut Canvas, view: &View, coil: &CoilOutline) {
    let pose = &coil.world_from_body;
    let centre = view.project(pose.origin);
    let axis = view.direction(body_axis(pose, 2));
    let (inner, outer) =
        (coil.inner_diameter / 2.0 * view.scale, coil.outer_diameter / 2.0 * view.scale);
    let outer = outer.max(inner + 4.0);
    if length(axis) < 0.3 {
        canvas.circle(centre, outer, "s-ink line");
        canvas.circle(centre, inner, "s-ink line");
        return;
    }
    let forward = unit(axis);
    let side = normal(forward);
    let half = coil.length / 2.0 * view.scale * length(axis);
    let at = |x: f64, y: f64| along(along(centre, forward, x), side, y);
    // Right-hand rule on the page: field along `forward`, current towards the viewer on its left.
    for (sign, towards) in [(-1.0, true), (1.0, false)] {
        canvas.polygon(
            &[
                at(-half, sign * inner),
                at(half, sign * inner),
                at(half, sign * outer),
                at(-half, sign * outer),
            ],
            "f-paper s-ink line",
        );
        let thickness = outer - inner;
        let radius = (thickness * 0.36).clamp(1.6, 7.0);
        let count = (2.0 * half / (radius * 3.2)).floor().clamp(1.0, 24.0) as usize;
        for i in 0..count {
            let x = -half + (i as f64 + 0.5) * 2.0 * half / count as f64;
            end_on(canvas, at(x, sign * (inner + outer) / 2.0), radius, towards);
        }
    }
    for x in [-half, half] {
        canvas.line(at(x, -inner), at(x, inner), "s-ink hair");
    }
}
