//! Names of contacts, magnets, coils and steel beside them, where the drawing leaves them room.

use super::{
    bodies,
    canvas::{Anchor, Canvas},
    float,
    geometry::{Extent, Vec2, Vec3, View, add, dot, length, sub},
    steel, stray,
};
use reedmace_engine::Drawing;
use reedmace_engine::drawing::ContactOutline;

/// Writes them over a view whose bodies, dimensions and events are drawn: in `within` (left, top, right, bottom),
/// and not those that `unnamed` holds. `window` (left, top, width, height) is what the view shows of steel that
/// goes on further. A name that has no room is left to another view.
pub fn draw(
    canvas: &mut Canvas,
    view: &View,
    drawing: &Drawing,
    window: [f64; 4],
    within: [f64; 4],
    unnamed: &dyn Fn(&str) -> bool,
) {
    // Of several that lie one behind the other, the places of the foremost.
    let mut name = |texts: &[&str], places: Vec<Place>| {
        let texts: Vec<&str> = texts.iter().copied().filter(|text| !unnamed(text)).collect();
        let text = match texts[..] {
            [] => return,
            [first, .., last] if texts.len() > MOST => format!("{first} to {last}"),
            _ => texts.join(", "),
        };
        canvas.text_beside(&text, &places, within, "f-ink strong halo");
    };
    // What stands in a float is named beside it.
    let float = drawing.level.as_ref().and_then(|level| float::sides(view, level));
    let beside = |extent: Extent| match float {
        Some([from, to]) if (from..to).contains(&extent.high[0]) => {
            Extent { high: [to, extent.high[1]], ..extent }
        }
        _ => extent,
    };
    for contact in &drawing.contacts {
        let all = drawing.contacts.iter().map(|c| (c.name.as_str(), c.world_from_contact.origin));
        name(&in_line(view, &contact.name, all), beside_contact(view, drawing, contact, &beside));
    }
    for magnet in &drawing.magnets {
        let all = drawing.magnets.iter().map(|m| (m.name.as_str(), m.world_from_body.origin));
        let texts = in_line(view, &magnet.name, all);
        let mut extent = Extent::EMPTY;
        extent.hold(&bodies::magnet_outline(view, magnet, &magnet.world_from_body));
        name(&texts, around(&beside(extent)));
    }
    for coil in &drawing.coils {
        let mut extent = Extent::EMPTY;
        bodies::coil_extent(view, coil, &mut extent);
        let first = ([extent.high[0] + 6.0, extent.low[1] + 10.0], Anchor::Start);
        name(&[&coil.name], [vec![first], around(&extent)].concat());
    }
    for (text, at) in stray::names(view, drawing, window) {
        let places = [-8.0, 16.0]
            .map(|y| [(add(at, [13.0, y]), Anchor::Start), (add(at, [-13.0, y]), Anchor::End)]);
        name(&[text], places.concat());
    }
    for body in &drawing.steel {
        let whole = steel::extent(view, body, &body.world_from_body);
        let Some(extent) = steel::shown(&whole, window) else { continue };
        // In a corner, or beside it where it is thin.
        let [[left, top], [right, bottom]] = [extent.low, extent.high];
        let places = if bottom - top > 24.0 {
            let corner = |x, y, anchor| ([x, y], anchor);
            vec![
                corner(left + 6.0, bottom - 6.0, Anchor::Start),
                corner(right - 6.0, bottom - 6.0, Anchor::End),
                corner(left + 6.0, top + 14.0, Anchor::Start),
                corner(right - 6.0, top + 14.0, Anchor::End),
            ]
        } else {
            [vec![([left + 6.0, bottom + 14.0], Anchor::Start)], around(&extent)].concat()
        };
        name(&[&body.name], places);
    }
}

/// Names of bodies that lie in one line of sight with the one of this name, the foremost first; none if another is
/// before it.
fn in_line<'a>(
    view: &View,
    name: &str,
    all: impl Iterator<Item = (&'a str, Vec3)>,
) -> Vec<&'a str> {
    let mut all: Vec<_> = all.collect();
    let Some(&(_, place)) = all.iter().find(|(other, _)| *other == name) else { return Vec::new() };
    all.retain(|(_, at)| length(sub(view.project(*at), view.project(place))) < 1.0);
    all.sort_by(|a, b| dot(b.1, view.toward).total_cmp(&dot(a.1, view.toward)));
    let names: Vec<&str> = all.into_iter().map(|(name, _)| name).collect();
    if names.first() == Some(&name) { names } else { Vec::new() }
}

/// Names one after the other at most; of more the first and the last.
const MOST: usize = 3;

/// Where a text may stand, on its base line.
type Place = (Vec2, Anchor);

/// Places around a body, the better ones first.
fn around(extent: &Extent) -> Vec<Place> {
    let ([left, top], [right, bottom], [x, y]) = (extent.low, extent.high, extent.middle());
    let sides = |y: f64| [([right + 7.0, y], Anchor::Start), ([left - 7.0, y], Anchor::End)];
    let ends = |near: f64| {
        [([x, bottom + 12.0 + near], Anchor::Middle), ([x, top - 5.0 - near], Anchor::Middle)]
    };
    [sides(y - 4.0), sides(y + 12.0), ends(2.0), sides(bottom + 12.0), sides(top - 5.0), ends(18.0)]
        .concat()
}

/// Under the left lead of one that lies, above it where thin steel is below; beside one that stands or is seen
/// on end.
fn beside_contact(
    view: &View,
    drawing: &Drawing,
    contact: &ContactOutline,
    beside: &dyn Fn(Extent) -> Extent,
) -> Vec<Place> {
    let mut extent = Extent::EMPTY;
    bodies::contact_extent(view, contact, &mut extent);
    if extent.size()[0] <= 2.0 * extent.size()[1] {
        let extent = beside(extent);
        let first = ([extent.high[0] + 7.0, extent.high[1] + 12.0], Anchor::Start);
        return [vec![first], around(&extent)].concat();
    }
    let (y, in_from) = (extent.middle()[1], 0.15 * extent.size()[0]);
    let drops = if steel_edge_between(view, drawing, [y + 8.0, y + 22.0]) {
        [-8.0, 20.0]
    } else {
        [20.0, -8.0]
    };
    let ends = [(extent.low[0] + in_from, Anchor::Start), (extent.high[0] - in_from, Anchor::End)];
    let places = ends.map(|(x, anchor)| drops.map(|drop| ([x, y + drop], anchor)));
    [places.concat(), around(&extent)].concat()
}

/// True when a level edge of some steel lies between two heights on the page.
fn steel_edge_between(view: &View, drawing: &Drawing, [from, to]: [f64; 2]) -> bool {
    drawing.steel.iter().any(|body| {
        let extent = steel::extent(view, body, &body.world_from_body);
        [extent.low[1], extent.high[1]].iter().any(|edge| (from..to).contains(edge))
    })
}
