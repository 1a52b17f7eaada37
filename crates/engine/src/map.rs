//! The closed and held regions of a plane: for every place of what moves, does the contact close?

pub use crate::borders::borders;
use crate::draw;
use crate::drawing::Drawing;
use crate::error::EngineError;
use crate::realise::{Workshop, moving};
use crate::scene::Drive;
use crate::units::{Shown, millimetres, millitesla, names};
use rayon::prelude::*;
use reedmace_contact::Scratch;
use reedmace_design::Design;
use reedmace_fields::Pose;
use serde::Serialize;

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
    /// Left, right, bottom, top of the plane, m; `None` frames the contact and the path.
    pub extent: Option<[f64; 4]>,
    /// Poses across and up.
    pub cells: [usize; 2],
    /// Index of the contact.
    pub contact: usize,
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
    let (workshop, scene) = Workshop::new(design)?;
    let moves = moving(&design.sweep);
    if moves.is_empty() {
        return Err(EngineError::NoMap(
            "a map shows where what moves closes the contact; this sweep moves nothing".into(),
        ));
    }
    let start = scene.motion.world_from_rest(scene.motion.range()[0]);
    let drawing = draw::drawing(design, &scene, &Shown::of(design));
    let anchor = drawing.path[0].at;
    let [across_axis, up_axis, cut_axis] = request.plane.axes();
    let offset = request.offset.unwrap_or(anchor[cut_axis]);
    let extent = request.extent.unwrap_or_else(|| frame(&drawing, request));
    let line = |lo: f64, hi: f64, n: usize| -> Vec<f64> {
        let step = (hi - lo) / (n.max(2) - 1) as f64;
        (0..n.max(2)).map(|k| lo + step * k as f64).collect()
    };
    let across = line(extent[0], extent[1], request.cells[0]);
    let up = line(extent[2], extent[3], request.cells[1]);
    let rows: Vec<Vec<Drive>> = up
        .par_iter()
        .enumerate()
        .map(|(k, &v)| {
            let mut scratch = Scratch::default();
            let row = across.iter().map(|&u| {
                let mut place = [0.0; 3];
                (place[across_axis], place[up_axis], place[cut_axis]) = (u, v, offset);
                let shift = Pose::translation(std::array::from_fn(|i| place[i] - anchor[i]));
                scene.drive_in(request.contact, shift * start, 1.0, &mut scratch)
            });
            let row = row.collect();
            progress(k as u64, up.len() as u64);
            row
        })
        .collect();
    let grid = |f: fn(&Drive) -> f64| rows.iter().flatten().map(|d| millitesla(f(d))).collect();
    let levels = crate::check::levels(&workshop, request.contact)?;
    Ok(Map {
        plane: request.plane,
        offset_mm: millimetres(offset),
        moves: names(design, moves).join(", "),
        contact: design.contacts[request.contact].name.clone(),
        drive_open: grid(|d| d.open),
        drive_closed: grid(|d| d.closed),
        operate: levels.map(|l| millitesla(l[0])),
        release: levels.map(|l| millitesla(l[1])),
        across_mm: across.into_iter().map(millimetres).collect(),
        up_mm: up.into_iter().map(millimetres).collect(),
    })
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

/// A frame round the contact's glass or blades and the path, with room to spare.
fn frame(drawing: &Drawing, request: &MapRequest) -> [f64; 4] {
    let [across, up, _] = request.plane.axes();
    let contact = &drawing.contacts[request.contact];
    let half = 0.5 * contact.glass.map_or(contact.blade_span, |[length, _]| length).max(0.02);
    let ends = [-half, half].map(|x| contact.world_from_contact.apply([x, 0.0, 0.0]));
    let places = drawing.path.iter().map(|p| p.at).chain(ends);
    let (mut lo, mut hi) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for place in places {
        for (i, axis) in [across, up].into_iter().enumerate() {
            lo[i] = lo[i].min(place[axis]);
            hi[i] = hi[i].max(place[axis]);
        }
    }
    let room = 0.15 * (hi[0] - lo[0]).max(hi[1] - lo[1]);
    [lo[0] - room, hi[0] + room, lo[1] - room, hi[1] + room]
}
