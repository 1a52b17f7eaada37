//! The closed and held regions of a plane: for every place of what moves, does the contact close?

use crate::bench::Bench;
use crate::beside::Kernels;
pub use crate::borders::borders;
use crate::check::Study;
use crate::draw;
use crate::drawing::{ContactOutline, Drawing};
use crate::error::EngineError;
use crate::facets::Facets;
use crate::realise::moving;
use crate::room::Outline;
use crate::rows::Rows;
use crate::scene::{Drive, Scene};
use crate::units::{Shown, millimetres, millitesla, names};
use rayon::prelude::*;
use reedmace_contact::Scratch;
use reedmace_design::{Design, Thing};
use reedmace_fields::Pose;
use serde::Serialize;
use std::sync::Arc;

/// How far apart the places are at which the room beside a contact is measured, m: a corner that comes
/// between two of them is missed by a tenth of a millimetre beside a lead of half a millimetre.
const OUTLINE_STEP: f64 = 0.5e-3;

/// A plane through the arrangement, named by the two world axes it spans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Plane {
    /// x to the right, y up.
    Xy,
    /// x to the right, z up.
    Xz,
    /// y to the right, z up.
    Yz,
}

/// Which map to make.
#[derive(Debug, Clone)]
pub struct MapRequest {
    /// The plane.
    pub plane: Plane,
    /// Where the plane cuts the third axis, m; `None` takes the place where the sweep starts.
    pub offset: Option<f64>,
    /// Left, right, bottom, top of the plane, m; `None` frames the contact, lead tip to lead tip, and the path.
    pub extent: Option<[f64; 4]>,
    /// Poses across and up.
    pub cells: [usize; 2],
    /// Index of the contact.
    pub contact: usize,
}

/// Places of a report's map across and up: as fine as a figure half a page high can show.
const REPORT_CELLS: [usize; 2] = [140, 100];
/// Where steel moves past a contact, which is solved anew at every place.
const CELLS_ANEW: [usize; 2] = [20, 14];

impl MapRequest {
    /// The map a report shows, of the plane nearest to the first contact's axis and the path; `None` for
    /// a sweep that is no straight line, of which no map would say more than its chart.
    pub fn for_report(study: &Study) -> Option<Self> {
        if study.answer.sweep.kind != "line" {
            return None;
        }
        let drawing = &study.drawing;
        let frame = drawing.contacts.first()?.world_from_contact;
        let axis = longest(frame.rotation.map(|row| row[0]));
        let (first, last) = (drawing.path.first()?.at, drawing.path.last()?.at);
        let path = longest([0, 1, 2].map(|k| last[k] - first[k]));
        let plane = match (axis.min(path), axis.max(path)) {
            (0, 1) | (1, 1) => Plane::Xy,
            (1, 2) => Plane::Yz,
            _ => Plane::Xz,
        };
        let moves = drawing.contacts[0].moves;
        let anew = drawing.steel.iter().any(|body| body.moves != moves);
        let cells = if anew { CELLS_ANEW } else { REPORT_CELLS };
        Some(Self { plane, offset: None, extent: None, cells, contact: 0 })
    }

    /// The same with no more places than somebody at work can wait for.
    pub fn eased(self, design: &Design) -> Self {
        let moving = moving(&design.sweep);
        let contact = moving.contains(&Thing::Contact(self.contact));
        let passes = |k| moving.contains(&Thing::Steel(k)) != contact;
        if !(0..design.steel.len()).any(passes) {
            return self;
        }
        Self { cells: [0, 1].map(|i| self.cells[i].min(CELLS_ANEW[i])), ..self }
    }
}

/// Which component is the largest.
fn longest(v: [f64; 3]) -> usize {
    (0..3).max_by(|&a, &b| v[a].abs().total_cmp(&v[b].abs())).unwrap_or(0)
}

/// A map: row-major grids, `values[row * across + column]`, row 0 at the bottom.
#[derive(Debug, Clone, Serialize)]
pub struct Map {
    /// The plane.
    pub plane: Plane,
    /// Where it cuts the third axis, mm.
    pub offset_mm: f64,
    /// Name of what is placed.
    pub moves: String,
    /// Name of the contact.
    pub contact: String,
    /// Positions across, mm.
    pub across_mm: Vec<f64>,
    /// Positions up, mm.
    pub up_mm: Vec<f64>,
    /// Drive of the open contact, mT.
    #[serde(rename = "drive_open_mT")]
    pub drive_open: Vec<f64>,
    /// Drive of the closed contact, mT.
    #[serde(rename = "drive_closed_mT")]
    pub drive_closed: Vec<f64>,
    /// Room between what moves and the contact's glass and leads, or steel, mm; below zero they would
    /// meet, or what moves is too near to the steel's panels for its drives to be told: there they say
    /// nothing. From steel it is taken at the place nearest to the middle of what moves.
    #[serde(rename = "room_mm")]
    pub room: Vec<f64>,
    /// Operate level: low, nominal, high, mT.
    #[serde(rename = "operate_mT")]
    pub operate: [f64; 3],
    /// Release level: low, nominal, high, mT.
    #[serde(rename = "release_mT")]
    pub release: [f64; 3],
}

/// A border: polylines in mm, `[across, up]`; closed ones repeat their first point.
pub type Border = Vec<Vec<[f64; 2]>>;

/// Computes a map.
///
/// What moves is put at every place of the plane, in the attitude it has where the sweep starts.
///
/// # Errors
/// [`EngineError::NoMap`] when nothing moves, and what the scene refuses.
pub fn map(
    design: &Design,
    request: &MapRequest,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Map, EngineError> {
    Bench::default().map(design, request, progress)
}

/// [`map`] with what a bench has kept.
pub(crate) fn on_bench(
    bench: &Bench,
    design: &Design,
    request: &MapRequest,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Map, EngineError> {
    Ok(MapPlan::new(bench, design, request)?.map(progress))
}

/// All that a map is made of, at definite values; where what moves stands in the design is none of it.
///
/// Plans that [agree](Self::agrees) make the same map, to the last bit.
#[derive(Debug, Clone)]
pub struct MapPlan {
    /// The scene, what moves put with its own middle at the world's origin, in the attitude it has where
    /// the sweep starts.
    scene: Scene,
    plane: Plane,
    offset: f64,
    across: Vec<f64>,
    up: Vec<f64>,
    moves: String,
    contact: usize,
    name: String,
    outline: Outline,
    facets: Facets,
    levels: [[f64; 2]; 3],
}

impl MapPlan {
    pub(crate) fn new(
        bench: &Bench,
        design: &Design,
        request: &MapRequest,
    ) -> Result<Self, EngineError> {
        let (workshop, mut scene) = bench.workshop(design)?;
        let moves = moving(&design.sweep);
        let Some(leader) = draw::leader(design, &scene) else {
            return Err(EngineError::NoMap(
                "a map shows where what moves closes the contact; this sweep moves nothing".into(),
            ));
        };
        let drawing = draw::drawing(design, &scene, &Shown::of(design));
        let [.., cut_axis] = request.plane.axes();
        let offset = request.offset.unwrap_or(drawing.path[0].at[cut_axis]);
        let extent = request.extent.unwrap_or_else(|| frame(&drawing, request));
        let line = |lo: f64, hi: f64, n: usize| -> Vec<f64> {
            let step = (hi - lo) / (n.max(2) - 1) as f64;
            (0..n.max(2)).map(|k| lo + step * k as f64).collect()
        };
        let start = scene.motion.world_from_rest(scene.motion.range()[0]);
        scene.carry(
            Pose { origin: [0.0; 3], ..start } * Pose::translation(leader.origin.map(|v| -v)),
        );
        Ok(Self {
            plane: request.plane,
            offset,
            across: line(extent[0], extent[1], request.cells[0]),
            up: line(extent[2], extent[3], request.cells[1]),
            moves: names(design, moves).join(", "),
            contact: request.contact,
            name: design.contacts[request.contact].name.clone(),
            outline: outline(&drawing.contacts[request.contact]),
            levels: crate::levels::levels(&workshop, request.contact)?,
            facets: Facets::of(&scene),
            scene,
        })
    }

    /// True when both make the same map. Plans with steel never agree: it is cut anew for each design.
    pub fn agrees(&self, other: &Self) -> bool {
        let asked = |p: &Self| (p.plane, p.contact, p.offset, p.levels);
        let still = |p: &Self| match &p.scene.reeds[p.contact].kernels {
            Kernels::Still(pair) if p.scene.steel.is_empty() => Some(Arc::as_ptr(pair)),
            _ => None,
        };
        let stands = |p: &Self| {
            let reed = &p.scene.reeds[p.contact];
            (reed.rest, reed.moves, reed.steady)
        };
        asked(self) == asked(other)
            && self.across == other.across
            && self.up == other.up
            && self.moves == other.moves
            && self.name == other.name
            && self.outline == other.outline
            && still(self).is_some()
            && still(self) == still(other)
            && stands(self) == stands(other)
            && self.scene.bodies == other.scene.bodies
    }

    /// How many places the map has.
    pub fn places(&self) -> usize {
        self.across.len() * self.up.len()
    }

    /// Computes the map; `progress` counts rows.
    pub fn map(&self, progress: &(dyn Fn(u64, u64) + Sync)) -> Map {
        let Self { scene, contact, across, up, .. } = self;
        let [across_axis, up_axis, cut_axis] = self.plane.axes();
        let mut step = [0.0; 3];
        step[across_axis] = across[1] - across[0];
        let in_rows = Rows::new(scene, *contact, step);
        let row = |(k, &v): (usize, &f64)| {
            let pose = |u: f64| {
                let mut place = [0.0; 3];
                (place[across_axis], place[up_axis], place[cut_axis]) = (u, v, self.offset);
                Pose::translation(place)
            };
            let room = |u: f64| {
                let room = scene.room(*contact, pose(u), &self.outline);
                self.facets.room(scene, pose(u), room)
            };
            let room: Vec<f64> = across.iter().map(|&u| room(u)).collect();
            let drives = in_rows.drives(pose(across[0]), &room, &mut Scratch::default());
            progress(k as u64, up.len() as u64);
            drives.into_iter().zip(room).collect::<Vec<(Drive, f64)>>()
        };
        let rows: Vec<Vec<(Drive, f64)>> = up.par_iter().enumerate().map(row).collect();
        let grid =
            |f: fn(&Drive) -> f64| rows.iter().flatten().map(|(d, _)| millitesla(f(d))).collect();
        let in_mm = |line: &[f64]| line.iter().map(|v| millimetres(*v)).collect();
        Map {
            plane: self.plane,
            offset_mm: millimetres(self.offset),
            moves: self.moves.clone(),
            contact: self.name.clone(),
            drive_open: grid(|d| d.open),
            drive_closed: grid(|d| d.closed),
            room: rows.iter().flatten().map(|(_, room)| millimetres(*room)).collect(),
            operate: self.levels.map(|l| millitesla(l[0])),
            release: self.levels.map(|l| millitesla(l[1])),
            across_mm: in_mm(across),
            up_mm: in_mm(up),
        }
    }
}

impl Plane {
    /// World axes across, up, and through the plane.
    fn axes(self) -> [usize; 3] {
        match self {
            Self::Xy => [0, 1, 2],
            Self::Xz => [0, 2, 1],
            Self::Yz => [1, 2, 0],
        }
    }
}

/// How thick a contact is at places along its axis.
fn outline(contact: &ContactOutline) -> Outline {
    let [length, diameter] = contact.glass.unwrap_or([contact.blade_span, contact.blade_width]);
    let half = 0.5 * contact.overall_length.max(length);
    let steps = ((half / OUTLINE_STEP).ceil() as i32).clamp(8, 100);
    let places = (-steps..=steps)
        .map(|k| half * f64::from(k) / f64::from(steps))
        .chain([-0.5 * length, 0.5 * length]);
    let thick = |x: f64| {
        let inside = x.abs() <= 0.5 * length;
        [x, 0.5 * if inside { diameter } else { contact.lead_diameter }]
    };
    Outline::new(places.map(thick).collect())
}

/// A frame round the contact and the path, with room to spare and at least half as high as wide and
/// as wide as high.
fn frame(drawing: &Drawing, request: &MapRequest) -> [f64; 4] {
    let [across, up, _] = request.plane.axes();
    let contact = &drawing.contacts[request.contact];
    let half = 0.5 * contact.overall_length;
    let ends = [-half, half].map(|x| contact.world_from_contact.apply([x, 0.0, 0.0]));
    let places = drawing.path.iter().map(|p| p.at).chain(ends);
    let (mut lo, mut hi) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for place in places {
        for (i, axis) in [across, up].into_iter().enumerate() {
            lo[i] = lo[i].min(place[axis]);
            hi[i] = hi[i].max(place[axis]);
        }
    }
    let longest = (hi[0] - lo[0]).max(hi[1] - lo[1]);
    let room = [0, 1].map(|i| {
        let short = 0.5 * longest - (hi[i] - lo[i]);
        (0.5 * short).max(0.0) + 0.15 * longest
    });
    [lo[0] - room[0], hi[0] + room[0], lo[1] - room[1], hi[1] + room[1]]
}

#[cfg(test)]
mod tests {
    use super::*;

    const LID: &str =
        include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/hopper-lid.toml"));

    #[test]
    fn prop_room_is_the_distance_from_magnet_to_glass_or_lead() {
        let (design, _) = reedmace_design::parse(LID, &|_| unreachable!()).expect("a design");
        let request = MapRequest {
            plane: Plane::Xz,
            offset: Some(0.0),
            extent: Some([0.0, 40e-3, 0.0, 10e-3]),
            cells: [3, 2],
            contact: 0,
        };
        let map = map(&design, &request, &|_, _| ()).expect("a map");
        // A slug 10 mm long and 5 mm high; glass 14.5 mm long and 2.3 mm thick; leads 0.55 mm thick
        // to 27.5 mm either side.
        let over = |radius: f64| 10.0 - 2.5 - radius;
        let past_the_tip = f64::hypot(35.0 - 27.5, 10.0 - 2.5) - 0.275;
        let expected = [-1.15, -0.275, 35.0 - 27.5 - 0.275, over(1.15), over(0.275), past_the_tip];
        for (room, expected) in map.room.iter().zip(expected) {
            assert!((room - expected).abs() < 1e-9, "{room} mm, not {expected} mm");
        }
    }
}
