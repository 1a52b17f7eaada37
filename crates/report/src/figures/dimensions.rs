//! Which dimensions the arrangement carries, and their text: as the user wrote it where the design
//! says it, else the number.

use super::{
    bodies::magnet_outline,
    canvas::Canvas,
    geometry::{Extent, Vec2, View, add, body_axis, dot, length},
};
use crate::number::number;
use reedmace_engine::{
    Answer, Drawing,
    drawing::{ContactOutline, MagnetOutline, SteelOutline, SteelPart},
};
use reedmace_fields::MagnetShape;

/// The user's own text of the first of these paths that the design has.
fn own_text(answer: &Answer, owner: &str, keys: &[&str], metres: f64) -> String {
    keys.iter()
        .find_map(|key| {
            let path = format!("{owner}.{key}");
            answer.quantities.iter().find(|q| q.path == path).map(|q| q.text.clone())
        })
        .unwrap_or_else(|| millimetres(metres))
}

/// A length without needless zeros: `30 mm`.
fn millimetres(metres: f64) -> String {
    let text = number(metres * 1e3, "mm");
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    format!("{text} mm")
}

/// Glass length and overall length of a contact that lies in the plane of the view, below `floor`.
/// Returns the lowest line drawn.
pub fn contact(
    canvas: &mut Canvas,
    view: &View,
    answer: &Answer,
    contact: &ContactOutline,
    floor: f64,
) -> f64 {
    let pose = &contact.world_from_contact;
    let axis = view.direction(body_axis(pose, 0));
    if axis[0].abs() < 0.999 {
        return floor;
    }
    let centre = view.project(pose.origin);
    let owner = format!("contact[{}]", contact.name);
    let mut line = floor;
    let mut add_length = |canvas: &mut Canvas, metres: f64, keys: &[&str]| {
        let half = metres / 2.0 * view.scale;
        line += 22.0;
        let feet = [[centre[0] - half, centre[1]], [centre[0] + half, centre[1]]];
        let ends = feet.map(|foot| [foot[0], line]);
        canvas.dimension_line(feet, ends, &own_text(answer, &owner, keys, metres));
    };
    if let Some([glass_length, _]) = contact.glass {
        add_length(canvas, glass_length, &["glass_length"]);
    }
    add_length(canvas, contact.overall_length, &["overall_length"]);
    line
}

/// Sizes of a magnet whose sides lie along the page: height beside it, and width above or below it where
/// `with_width` asks for it.
pub fn magnet(
    canvas: &mut Canvas,
    view: &View,
    answer: &Answer,
    magnet: &MagnetOutline,
    with_width: bool,
) {
    let pose = &magnet.world_from_body;
    let mut extent = Extent::EMPTY;
    extent.hold(&magnet_outline(view, magnet, pose));
    let owner = format!("magnet[{}]", magnet.name);
    let along =
        |direction| (0..3).find(|&axis| dot(body_axis(pose, axis), direction).abs() > 0.999);
    let label = |axis: usize| match magnet.shape {
        MagnetShape::Cuboid { half_size } => {
            own_text(answer, &owner, &[&format!("size[{axis}]")], 2.0 * half_size[axis])
        }
        MagnetShape::Cylinder { half_length, .. } | MagnetShape::Ring { half_length, .. }
            if axis == 2 =>
        {
            own_text(answer, &owner, &["length", "height", "thickness"], 2.0 * half_length)
        }
        MagnetShape::Cylinder { radius, .. } | MagnetShape::Sphere { radius } => {
            format!("Ø {}", own_text(answer, &owner, &["diameter"], 2.0 * radius))
        }
        MagnetShape::Ring { outer_radius, inner_radius, .. } => format!(
            "Ø {} / Ø {}",
            own_text(answer, &owner, &["outer_diameter"], 2.0 * outer_radius),
            own_text(answer, &owner, &["inner_diameter"], 2.0 * inner_radius)
        ),
    };
    let [left, top] = extent.low;
    let [right, bottom] = extent.high;
    let sphere = matches!(magnet.shape, MagnetShape::Sphere { .. });
    if let Some(axis) = along(view.up).or(sphere.then_some(0)) {
        let sides = [[[left, top], [left, bottom]], [[right, bottom], [right, top]]];
        canvas.dimension(&sides, &label(axis));
    }
    if let (true, Some(axis)) = (with_width && !sphere, along(view.right)) {
        let sides = [[[right, top], [left, top]], [[left, bottom], [right, bottom]]];
        canvas.dimension(&sides, &label(axis));
    }
}

/// What a body of steel is, in a line of its own: it may be too large to be drawn whole.
pub fn steel(answer: &Answer, steel: &SteelOutline) -> String {
    let owner = format!("steel[{}]", steel.name);
    let own = |key: &str, metres: f64| own_text(answer, &owner, &[key], metres);
    let sizes = match &steel.parts[..] {
        [SteelPart::Box { half_size, .. }] => {
            let sides: Vec<String> =
                (0..3).map(|k| own(&format!("size[{k}]"), 2.0 * half_size[k])).collect();
            sides.join(" × ")
        }
        [SteelPart::Round { outer_radius, inner_radius, half_length }] => {
            let length = own("length", 2.0 * half_length);
            if *inner_radius > 0.0 {
                let outer = own("outer_diameter", 2.0 * outer_radius);
                let inner = own("inner_diameter", 2.0 * inner_radius);
                format!("tube, Ø {outer} / Ø {inner}, {length} long")
            } else {
                format!("Ø {}, {length} long", own("diameter", 2.0 * outer_radius))
            }
        }
        [SteelPart::Sphere { radius }] => format!("sphere, Ø {}", own("diameter", 2.0 * radius)),
        [SteelPart::Mesh { triangles }] => format!("{} triangles of a file", triangles.len()),
        boxes => format!("{} boxes", boxes.len()),
    };
    let of_alloy = |name: &str| {
        let bodies = &answer.steel.as_ref()?.bodies;
        bodies.iter().find(|body| body.name == name)?.alloy.clone()
    };
    let alloy = of_alloy(&steel.name).unwrap_or_else(|| "steel".into());
    format!("{}: {sizes}, {alloy}", steel.name)
}

/// Where the moving magnet starts and ends, from the middle of the first contact: heights in the
/// margin at the right from `margin` on, distances across below `floor`.
pub fn positions(
    canvas: &mut Canvas,
    view: &View,
    drawing: &Drawing,
    margin: f64,
    floor: f64,
) -> f64 {
    let Some(contact) = drawing.contacts.first() else { return floor };
    let Some(magnet) = drawing.magnets.iter().find(|m| m.moves) else { return floor };
    let from = view.project(contact.world_from_contact.origin);
    let tip = tip_towards_right(view, contact);
    let ends =
        [magnet.world_from_body, magnet.world_from_body_end].map(|pose| view.project(pose.origin));
    let mut heights: Vec<f64> = Vec::new();
    let mut column = margin;
    for to in ends {
        let height = to[1] - from[1];
        if height.abs() > 1.0 && heights.iter().all(|h| (h - height).abs() > 1.0) {
            heights.push(height);
            let feet = [[tip, from[1]], to];
            let value = millimetres(height.abs() / view.scale);
            canvas.dimension_line(feet, [[column, from[1]], [column, to[1]]], &value);
            column += 28.0;
        }
    }
    let mut line = floor;
    let mut widths: Vec<f64> = Vec::new();
    for to in ends {
        let width = to[0] - from[0];
        if width.abs() > 1.0 && widths.iter().all(|w| (w - width).abs() > 1.0) {
            // Two that run to opposite sides share a line.
            if !widths.iter().any(|w| w * width < 0.0) {
                line += 22.0;
            }
            widths.push(width);
            let value = millimetres(width.abs() / view.scale);
            // The line from the contact's middle starts under the contact's own dimensions.
            let feet = [[from[0], floor + 4.0], to];
            canvas.dimension_line(feet, [[from[0], line], [to[0], line]], &value);
        }
    }
    line
}

/// Right-hand end of a contact on the page.
fn tip_towards_right(view: &View, contact: &ContactOutline) -> f64 {
    let axis = view.direction(body_axis(&contact.world_from_contact, 0));
    let half: Vec2 = [contact.overall_length / 2.0 * view.scale * length(axis), 0.0];
    add(view.project(contact.world_from_contact.origin), half)[0]
}
