//! The surface of a union of boxes.

use std::collections::BTreeMap;

use super::groups::Groups;
use super::shape::{Facet, graded};
use super::{AxisBox, SteelError};

/// Planes nearer than this share of the whole are one.
const SAME_PLANE: f64 = 1e-9;

/// The surface of a union of boxes, cut along all planes of their faces and graded between these.
///
/// Faces between two inner cells are none: boxes may touch or overlap.
pub(super) fn boxes_facets(boxes: &[AxisBox], aim: usize) -> Result<Vec<Facet>, SteelError> {
    let grid = Grid::new(boxes)?;
    let faces = grid.faces();
    let count = |fineness: f64| {
        let steps = grid.steps(fineness);
        faces
            .iter()
            .map(|f| f.across().iter().map(|&a| steps[a][f.cell[a]]).product::<usize>())
            .sum::<usize>()
    };
    // The count grows with the fineness, in steps.
    let (mut low, mut high) = (0.0, 2.0 * (aim as f64).sqrt() + 2.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if count(middle) <= aim { low = middle } else { high = middle }
    }
    let steps = grid.steps(low);
    let mut facets = Vec::new();
    for face in &faces {
        let [u, v] = face.across();
        let cut = |a: usize| {
            let k = face.cell[a];
            graded(grid.plane[a][k], grid.plane[a][k + 1], steps[a][k])
        };
        let (us, vs) = (cut(u), cut(v));
        let level = grid.plane[face.axis][face.cell[face.axis] + usize::from(face.positive)];
        for pu in us.windows(2) {
            for pv in vs.windows(2) {
                let at = |cu: f64, cv: f64| {
                    let mut p = [level; 3];
                    (p[u], p[v]) = (cu, cv);
                    p
                };
                let [a, b, c, d] =
                    [at(pu[0], pv[0]), at(pu[1], pv[0]), at(pu[1], pv[1]), at(pu[0], pv[1])];
                let corner = if face.positive { [a, b, c, d] } else { [a, d, c, b] };
                facets.push(Facet { corner, group: face.group, axis: Some(face.axis) });
            }
        }
    }
    Ok(facets)
}

/// The planes of all faces, and which cells between them are steel.
struct Grid {
    plane: [Vec<f64>; 3],
    inside: Vec<bool>,
}

/// A face of an inner cell towards an outer one.
struct Face {
    axis: usize,
    positive: bool,
    cell: [usize; 3],
    group: usize,
}

impl Face {
    /// The two other axes, in the order that makes a right-handed set.
    fn across(&self) -> [usize; 2] {
        [(self.axis + 1) % 3, (self.axis + 2) % 3]
    }
}

impl Grid {
    fn new(boxes: &[AxisBox]) -> Result<Self, SteelError> {
        if boxes.is_empty() {
            return Err(SteelError::Empty);
        }
        let finite = |b: &AxisBox| {
            (0..3).all(|i| b.high[i] > b.low[i] && b.low[i].is_finite() && b.high[i].is_finite())
        };
        if let Some(index) = boxes.iter().position(|b| !finite(b)) {
            return Err(SteelError::FlatBox { index });
        }
        let plane = [0, 1, 2].map(|i| {
            let mut all: Vec<f64> = boxes.iter().flat_map(|b| [b.low[i], b.high[i]]).collect();
            all.sort_by(f64::total_cmp);
            let same = SAME_PLANE * (all[all.len() - 1] - all[0]);
            all.dedup_by(|next, kept| *next - *kept <= same);
            all
        });
        let mut grid = Self { plane, inside: Vec::new() };
        let [nx, ny, nz] = grid.size();
        for index in 0..nx * ny * nz {
            let cell = [index % nx, index / nx % ny, index / nx / ny];
            let centre: [f64; 3] = std::array::from_fn(|i| {
                0.5 * (grid.plane[i][cell[i]] + grid.plane[i][cell[i] + 1])
            });
            let within =
                |b: &AxisBox| (0..3).all(|i| b.low[i] < centre[i] && centre[i] < b.high[i]);
            grid.inside.push(boxes.iter().any(within));
        }
        Ok(grid)
    }

    fn size(&self) -> [usize; 3] {
        [0, 1, 2].map(|i| self.plane[i].len() - 1)
    }

    /// Steps of each interval: the panels next to any edge are of like size.
    fn steps(&self, fineness: f64) -> [Vec<usize>; 3] {
        let longest =
            (0..3).flat_map(|i| self.plane[i].windows(2).map(|w| w[1] - w[0])).fold(0.0, f64::max);
        [0, 1, 2].map(|i| {
            let number = |w: &[f64]| (fineness * ((w[1] - w[0]) / longest).sqrt()).round() as usize;
            self.plane[i].windows(2).map(|w| number(w).max(1)).collect()
        })
    }

    fn is_inside(&self, cell: [usize; 3]) -> bool {
        let [nx, ny, _] = self.size();
        self.inside[cell[0] + nx * (cell[1] + ny * cell[2])]
    }

    fn faces(&self) -> Vec<Face> {
        let size = self.size();
        let mut faces = Vec::new();
        for index in 0..self.inside.len() {
            let cell = [index % size[0], index / size[0] % size[1], index / size[0] / size[1]];
            if !self.inside[index] {
                continue;
            }
            for axis in 0..3 {
                for positive in [false, true] {
                    let mut beside = cell;
                    let edge = if positive { size[axis] - 1 } else { 0 };
                    let open = cell[axis] == edge || {
                        beside[axis] = if positive { cell[axis] + 1 } else { cell[axis] - 1 };
                        !self.is_inside(beside)
                    };
                    if open {
                        faces.push(Face { axis, positive, cell, group: 0 });
                    }
                }
            }
        }
        self.group(&mut faces);
        faces
    }

    /// Faces that share a corner lie on one closed surface.
    fn group(&self, faces: &mut [Face]) {
        let mut groups = Groups::new(faces.len());
        let mut first_at = BTreeMap::new();
        for (f, face) in faces.iter().enumerate() {
            let [u, v] = face.across();
            for (du, dv) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                let mut node = face.cell;
                node[face.axis] += usize::from(face.positive);
                node[u] += du;
                node[v] += dv;
                let other = *first_at.entry(node).or_insert(f);
                groups.join(f, other);
            }
        }
        for (face, group) in faces.iter_mut().zip(groups.numbered()) {
            face.group = group;
        }
    }
}
