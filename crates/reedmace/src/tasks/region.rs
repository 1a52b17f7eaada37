//! The map a report shows: the plane in which the contact lies and the magnet moves.

use super::{Failure, Loaded, refused};
use crate::progress::Progress;
use reedmace_engine::{Drawing, Map, MapRequest, Plane, Study};

/// Places across and up: as fine as a figure half a page high can show.
const CELLS: [usize; 2] = [140, 100];

/// The map of a straight sweep past the first contact; other sweeps have none that would say more
/// than their chart.
pub(super) fn map(loaded: &Loaded, study: &Study) -> Result<Option<Map>, Failure> {
    if study.answer.sweep.kind != "line" {
        return Ok(None);
    }
    let Some(plane) = plane(&study.drawing) else { return Ok(None) };
    let request = MapRequest { plane, offset: None, extent: None, cells: CELLS, contact: 0 };
    let progress = Progress::new("mapping");
    let progress = |done, of| progress.tick(done, of);
    loaded.bench.map(&loaded.design, &request, &progress).map(Some).map_err(refused)
}

/// The plane nearest to the contact's axis and the path.
fn plane(drawing: &Drawing) -> Option<Plane> {
    let frame = drawing.contacts.first()?.world_from_contact;
    let axis = longest(frame.rotation.map(|row| row[0]));
    let (first, last) = (drawing.path.first()?.at, drawing.path.last()?.at);
    let path = longest([0, 1, 2].map(|k| last[k] - first[k]));
    Some(match (axis.min(path), axis.max(path)) {
        (0, 1) | (1, 1) => Plane::Xy,
        (1, 2) => Plane::Yz,
        _ => Plane::Xz,
    })
}

/// Which component is the largest.
fn longest(v: [f64; 3]) -> usize {
    (0..3).max_by(|&a, &b| v[a].abs().total_cmp(&v[b].abs())).unwrap_or(0)
}
