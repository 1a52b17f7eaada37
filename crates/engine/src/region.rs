//! The closed and held regions in space: for every place of what moves, does the contact close?

use crate::bench::Bench;
use crate::draw;
use crate::error::EngineError;
use crate::map::{self, Map, MapRequest, Plane};
use crate::surface::{Lattice, Surface};
use crate::units::{Shown, millimetres};
use reedmace_design::Design;

/// Where what moves closes a contact, and where it holds it closed, as bodies in space, mm.
///
/// Both are regions of the middle of what moves, in the attitude it has where the sweep starts, at
/// nominal values. Where it would touch the contact or steel there is no region. One that goes on without end,
/// because the contact closes or holds with what moves far away, has no surface.
#[derive(Debug, Clone)]
pub struct Region {
    /// Name of the contact.
    pub contact: String,
    /// Name of what is placed.
    pub moves: String,
    /// Where it closes the contact.
    pub closes: Surface,
    /// Where it holds the closed contact; it contains `closes`.
    pub holds: Surface,
}

/// Room at which its share in the value of a place is as much as that of twice the level, mm.
const ROOM_SCALE: f64 = 4.0;
/// How often the box is let out, and by which share of its side.
const ROUNDS: usize = 24;
const OUT: f64 = 0.2;
/// So far away, m, that what moves does nothing to a contact.
const FAR: f64 = 1e3;
/// Places along a side of a face that is looked at to see whether the region goes on beyond it.
const FACE: usize = 9;

/// Computes the region of contact `contact` on about `places` places.
pub(crate) fn on_bench(
    bench: &Bench,
    design: &Design,
    contact: usize,
    places: usize,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Region, EngineError> {
    let (map, [closed, held]) = far_away(bench, design, contact)?;
    if closed {
        let [closes, holds] = [Surface::default(), Surface::default()];
        return Ok(Region { contact: map.contact, moves: map.moves, closes, holds });
    }
    let [low, high] = bounds(bench, design, contact, held)?;
    let side: [f64; 3] = std::array::from_fn(|i| high[i] - low[i]);
    let pitch = (side[0] * side[1] * side[2] / places.max(64) as f64).cbrt();
    let count = side.map(|s| ((s / pitch).round() as usize + 1).max(4));
    let lattice = Lattice { low: low.map(millimetres), high: high.map(millimetres), count };
    let mut grids: [Vec<f64>; 4] = Default::default();
    let mut names = (String::new(), String::new());
    for layer in 0..count[2] {
        let at = low[2] + side[2] * layer as f64 / (count[2] - 1) as f64;
        let request = MapRequest {
            plane: Plane::Xy,
            offset: Some(at),
            extent: Some([low[0], high[0], low[1], high[1]]),
            cells: [count[0], count[1]],
            contact,
        };
        let map = map::on_bench(bench, design, &request, &|_, _| ())?;
        for (grid, values) in grids.iter_mut().zip(heights(&map)) {
            grid.extend(values);
        }
        names = (map.contact, map.moves);
        progress(layer as u64 + 1, count[2] as u64);
    }
    // Drives of both signs close a contact. Each has surfaces of its own, so that lobes which lie close
    // together are not joined.
    let [mut closes, mut holds] = [Surface::default(), Surface::default()];
    let holding = if held { &[][..] } else { &grids[2..] };
    for (surface, pair) in [(&mut closes, &grids[..2]), (&mut holds, holding)] {
        for grid in pair {
            surface.join(Surface::around(&lattice, grid));
        }
    }
    let (contact, moves) = names;
    Ok(Region { contact, moves, closes, holds })
}

/// Whether the contact closes, and whether it holds, with what moves far away.
fn far_away(
    bench: &Bench,
    design: &Design,
    contact: usize,
) -> Result<(Map, [bool; 2]), EngineError> {
    let request = MapRequest {
        plane: Plane::Xy,
        offset: Some(FAR),
        extent: Some([0.0, 1e-3, 0.0, 1e-3]),
        cells: [2, 2],
        contact,
    };
    let map = map::on_bench(bench, design, &request, &|_, _| ())?;
    let closed = map.drive_open[0].abs() >= map.operate[1];
    let held = map.drive_closed[0].abs() >= map.release[1];
    Ok((map, [closed, held]))
}

/// A box that holds the region, m: let out from the contact's own ends until no face meets it. Of one that is
/// `held` without end it holds where it closes.
fn bounds(
    bench: &Bench,
    design: &Design,
    contact: usize,
    held: bool,
) -> Result<[[f64; 3]; 2], EngineError> {
    let (_, scene) = bench.workshop(design)?;
    let outline = &draw::drawing(design, &scene, &Shown::of(design)).contacts[contact];
    let half = 0.5 * outline.overall_length;
    let ends = [-half, half].map(|x| outline.world_from_contact.apply([x, 0.0, 0.0]));
    let beside = 0.25 * outline.overall_length;
    let mut low: [f64; 3] = std::array::from_fn(|i| ends[0][i].min(ends[1][i]) - beside);
    let mut high: [f64; 3] = std::array::from_fn(|i| ends[0][i].max(ends[1][i]) + beside);
    let planes = [(Plane::Yz, [1, 2], 0), (Plane::Xz, [0, 2], 1), (Plane::Xy, [0, 1], 2)];
    for _ in 0..ROUNDS {
        let (mut grown, box_) = (false, [low, high]);
        for (plane, [across, up], cut) in planes {
            for (end, far) in [(0, false), (1, true)] {
                let request = MapRequest {
                    plane,
                    offset: Some(box_[end][cut]),
                    extent: Some([box_[0][across], box_[1][across], box_[0][up], box_[1][up]]),
                    cells: [FACE, FACE],
                    contact,
                };
                let map = map::on_bench(bench, design, &request, &|_, _| ())?;
                let (drive, level) = match held {
                    true => (&map.drive_open, map.operate[1]),
                    false => (&map.drive_closed, map.release[1]),
                };
                if drive.iter().all(|drive| drive.abs() < level) {
                    continue;
                }
                let out = OUT * (box_[1][cut] - box_[0][cut]);
                if far {
                    high[cut] += out
                } else {
                    low[cut] -= out
                }
                grown = true;
            }
        }
        if !grown {
            break;
        }
    }
    Ok([low, high])
}

/// What is above zero inside the regions: closes by positive and by negative drive, holds by each.
///
/// Far away the drive falls with the cube of the distance: its inverse hyperbolic sine, linear through
/// zero and a logarithm beyond, is the straighter between two places.
fn heights(map: &Map) -> [Vec<f64>; 4] {
    let of = |grid: &[f64], level: f64, sign: f64| -> Vec<f64> {
        let places = grid.iter().zip(&map.room);
        places
            .map(|(drive, room)| {
                let height = (sign * drive / level).asinh() - 1.0_f64.asinh();
                height.min(room / ROOM_SCALE)
            })
            .collect()
    };
    let (operate, release) = (map.operate[1], map.release[1]);
    [
        of(&map.drive_open, operate, 1.0),
        of(&map.drive_open, operate, -1.0),
        of(&map.drive_closed, release, 1.0),
        of(&map.drive_closed, release, -1.0),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::tests::{is_closed, volume};

    fn region(text: &str, places: usize) -> (Design, Region) {
        let (design, _) = reedmace_design::parse(text, &|_| unreachable!()).expect("a design");
        let region = Bench::default().region(&design, 0, places, &|_, _| ()).expect("a region");
        (design, region)
    }

    const LID: &str =
        include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/hopper-lid.toml"));

    #[test]
    fn law_surfaces_are_closed_and_holding_contains_closing() {
        let (_, region) = region(LID, 20_000);
        assert!(is_closed(&region.closes) && is_closed(&region.holds));
        let [closes, holds] = [volume(&region.closes), volume(&region.holds)];
        assert!(0.0 < closes && closes < holds, "{closes} mm3 and {holds} mm3");
    }

    /// How far a point, mm, is from where the open contact's drive equals the operate level, mm, by the
    /// slope of the drive there; `None` beside the contact, where the surface is where the room ends.
    fn off(bench: &Bench, design: &Design, point: [f64; 3]) -> Option<f64> {
        const STEP: f64 = 1e-6;
        let [x, y, z] = point.map(|mm| mm * 1e-3);
        let layer = |z: f64| {
            let extent = Some([x, x + STEP, y, y + STEP]);
            let (plane, offset) = (Plane::Xy, Some(z));
            let request = MapRequest { plane, offset, extent, cells: [2, 2], contact: 0 };
            bench.map(design, &request, &|_, _| ()).expect("a map")
        };
        let (map, above) = (layer(z), layer(z + STEP));
        let here = map.drive_open[0];
        let slope = [map.drive_open[1], map.drive_open[2], above.drive_open[0]]
            .map(|drive| (drive - here) / (STEP * 1e3));
        let slope = slope.map(|s| s * s).iter().sum::<f64>().sqrt();
        (map.room[0] > 1.0).then(|| (here.abs() - map.operate[1]).abs() / slope)
    }

    #[test]
    fn cross_the_surface_lies_where_a_map_has_the_operate_level() {
        let (design, region) = region(LID, 60_000);
        let (bench, points) = (Bench::default(), region.closes.points.iter().step_by(97));
        let mut distances: Vec<f64> = points.filter_map(|p| off(&bench, &design, *p)).collect();
        distances.sort_by(f64::total_cmp);
        let at = |share: f64| distances[(share * (distances.len() - 1) as f64) as usize];
        assert!(distances.len() > 50);
        // Places lie 2.4 mm apart. Found: 0.02 mm, 0.09 mm and 0.16 mm.
        let found = [at(0.5), at(0.95), at(1.0)];
        let most = [0.03, 0.15, 0.3];
        assert!((0..3).all(|k| found[k] < most[k]), "{found:?} mm off");
    }

    #[test]
    fn prop_what_goes_on_without_end_has_no_surface() {
        let of = |text: &str| region(text, 4000).1;
        // A bias closes the one, and holds the other, whatever is far away.
        let hatch = of(include_str!("../../../designs/pond-hatch.toml"));
        assert!(hatch.closes.points.is_empty() && hatch.holds.points.is_empty());
        let memory = of(include_str!("../../../designs/sluice-memory.toml"));
        assert!(!memory.closes.points.is_empty() && memory.holds.points.is_empty());
        assert!(is_closed(&memory.closes));
        let reach =
            memory.closes.points.iter().flatten().fold(0.0, |most: f64, x| most.max(x.abs()));
        assert!(reach < 300.0, "{reach} mm");
    }

    #[test]
    fn prop_nothing_that_moves_has_no_region() {
        let relay =
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/probe-relay.toml"));
        let (design, _) = reedmace_design::parse(relay, &|_| unreachable!()).expect("a design");
        let refused = Bench::default().region(&design, 0, 1000, &|_, _| ());
        assert!(matches!(refused, Err(EngineError::NoMap(_))));
    }
}
