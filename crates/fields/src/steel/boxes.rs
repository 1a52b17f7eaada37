//! The surface of a union of boxes.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use super::groups::Groups;
use super::shape::{Facet, graded};
use super::{AxisBox, SteelError};

/// Planes nearer than this share of the whole are one.
const SAME_PLANE: f64 = 1e-9;

/// Steps per distance from a place of interest, over those per root of an edge's length: for plates,
/// bars and boxes near a contact about as many panels are spent on the one as on the other.
const NEAR: f64 = 0.15;

/// Places of interest nearer than this share of the longest edge count as this far.
const TOUCHING: f64 = 1e-3;

/// Places at which the density of cuts is summed.
const PLACES: usize = 400;

/// The surface of a union of boxes, cut along all planes of their faces and graded between these: finer
/// towards edges and towards the places `near`.
///
/// Faces between two inner cells are none: boxes may touch or overlap. Cuts run from end to end, so
/// that panels have neighbours of their own size: charges vary along them as their neighbours' tell.
pub(super) fn boxes_facets(
    boxes: &[AxisBox],
    aim: usize,
    near: &[[f64; 3]],
) -> Result<Vec<Facet>, SteelError> {
    let grid = Grid::new(boxes)?;
    let intervals = grid.intervals(boxes, near);
    let faces = grid.faces();
    let count = |fineness: f64| {
        let steps = |f: &Face, a: usize| intervals[a][f.cell[a]].steps(fineness);
        faces
            .iter()
            .map(|f| f.across().map(|a| steps(f, a)).iter().product::<usize>())
            .sum::<usize>()
    };
    // The count grows with the fineness, in steps.
    let (mut low, mut high) = (0.0, 2.0 * (aim as f64).sqrt() + 2.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if count(middle) <= aim { low = middle } else { high = middle }
    }
    let cuts = intervals.each_ref().map(|of| of.iter().map(|i| i.cut(low)).collect::<Vec<_>>());
    let mut facets = Vec::new();
    for face in &faces {
        let [u, v] = face.across();
        let (us, vs) = (&cuts[u][face.cell[u]], &cuts[v][face.cell[v]]);
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

/// An interval between two planes, and how densely it is cut.
struct Interval {
    /// Places from end to end, m.
    at: Vec<f64>,
    /// The integral of the density up to each: steps at a fineness of one.
    steps: Vec<f64>,
}

impl Interval {
    fn new(low: f64, high: f64, density: impl Fn(f64) -> f64) -> Self {
        let at = graded(low, high, PLACES);
        let mut steps = vec![0.0];
        for w in at.windows(2) {
            steps.push(steps[steps.len() - 1] + density(0.5 * (w[0] + w[1])) * (w[1] - w[0]));
        }
        Self { at, steps }
    }

    fn steps(&self, fineness: f64) -> usize {
        ((fineness * self.steps[PLACES]).round() as usize).max(1)
    }

    fn cut(&self, fineness: f64) -> Vec<f64> {
        let n = self.steps(fineness);
        let place = |k: usize| {
            let wanted = self.steps[PLACES] * k as f64 / n as f64;
            let i = self.steps.partition_point(|s| *s < wanted).clamp(1, PLACES);
            let share = (wanted - self.steps[i - 1]) / (self.steps[i] - self.steps[i - 1]);
            self.at[i - 1] + share * (self.at[i] - self.at[i - 1])
        };
        let mut cut: Vec<f64> = (0..=n).map(place).collect();
        (cut[0], cut[n]) = (self.at[0], self.at[PLACES]);
        cut
    }
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

    /// Every interval with how densely it is cut: towards its ends so that the panels next to any edge
    /// are of like size, and besides with steps in proportion to their distance from the places `near`.
    fn intervals(&self, boxes: &[AxisBox], near: &[[f64; 3]]) -> [Vec<Interval>; 3] {
        let all = self.plane.iter().flat_map(|p| p.windows(2));
        let longest = all.map(|w| w[1] - w[0]).fold(0.0, f64::max);
        let away = |p: &[f64; 3]| {
            let from = |b: &AxisBox| {
                let [x, y, z] = [0, 1, 2].map(|i| p[i] - p[i].clamp(b.low[i], b.high[i]));
                x.hypot(y).hypot(z)
            };
            boxes.iter().map(from).fold(f64::INFINITY, f64::min).max(TOUCHING * longest)
        };
        let away: Vec<f64> = near.iter().map(away).collect();
        [0, 1, 2].map(|i| {
            let density = |w: &[f64]| {
                let share = ((w[1] - w[0]) / longest).sqrt();
                let (low, high) = (w[0], w[1]);
                Interval::new(low, high, |x| {
                    let by_ends = share / (PI * ((x - low) * (high - x)).sqrt());
                    let steps = near.iter().zip(&away).map(|(p, away)| (x - p[i]).hypot(*away));
                    by_ends + NEAR / steps.fold(f64::INFINITY, f64::min)
                })
            };
            self.plane[i].windows(2).map(density).collect()
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
