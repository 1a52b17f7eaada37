//! The iron as a network of cells and faces, those that stand for others only.

use rayon::prelude::*;

use super::mesh::Mesh;
use super::mutual::mean_potential;
use super::orbits::Orbits;
use crate::{Source, Vectors};

/// Positive nodes and weights of the 3-point rule on [0, 1] (`[dlmf]` 3.5.v).
const LINE: [(f64, f64); 3] = [
    (0.112_701_665_379_258_3, 5.0 / 18.0),
    (0.5, 4.0 / 9.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

/// The way through one face from cell centre to cell centre, or to the face on the outside.
#[derive(Debug, Clone)]
pub(super) struct Branch {
    /// The cell behind: its number, factor on its potential, half its depth (m).
    pub behind: (usize, f64, f64),
    /// The cell ahead; none on outer faces.
    pub ahead: Option<(usize, f64, f64)>,
}

impl Branch {
    pub(super) fn ends(&self) -> impl Iterator<Item = (usize, f64, f64)> {
        std::iter::once(self.behind).chain(self.ahead)
    }
}

/// One face of a cell: its branch and the factors from the branch's flux density.
#[derive(Debug, Clone, Copy)]
pub(super) struct Side {
    pub branch: usize,
    /// To the flux density along the body's axis.
    pub along: f64,
    /// To the flux out of the cell, m².
    pub outward: f64,
}

/// What is left to solve once symmetry is taken out.
#[derive(Debug, Clone)]
pub(super) struct Network {
    /// Outer branches first.
    pub branches: Vec<Branch>,
    pub outer: usize,
    /// For each cell and axis, its sides that carry flux.
    pub cells: Vec<[Vec<Side>; 3]>,
    pub body_of: Vec<usize>,
}

impl Network {
    pub(super) fn new(mesh: &Mesh, orbits: &Orbits) -> Self {
        let end = |cell: usize, axis: usize| {
            let (stands, sign) = orbits.of_cell[cell];
            (stands, sign, 0.5 * mesh.cells[cell].size[axis])
        };
        let branch = |&face: &usize| {
            let face = &mesh.faces[face];
            Branch {
                behind: end(face.behind, face.axis),
                ahead: face.ahead.map(|cell| end(cell, face.axis)),
            }
        };
        let side = |face: usize, end: usize| {
            let (branch, sign) = orbits.of_face[face]?;
            let along = mesh.along_axis(face, end) * sign;
            let leaves = if end == 1 { along } else { -along };
            Some(Side { branch, along, outward: leaves * mesh.faces[face].shape.area() })
        };
        let sides = |&cell: &usize| {
            mesh.cells[cell]
                .faces
                .map(|faces| (0..2).filter_map(|end| side(faces[end], end)).collect())
        };
        Self {
            branches: orbits.faces.iter().map(branch).collect(),
            outer: orbits.outer,
            cells: orbits.cells.iter().map(sides).collect(),
            body_of: orbits.cells.iter().map(|&cell| mesh.cells[cell].body).collect(),
        }
    }

    /// Mean flux density of each cell along the body's axes, T.
    pub(super) fn means(&self, b: &[f64]) -> Vec<[f64; 3]> {
        let mean = |sides: &Vec<Side>| sides.iter().map(|s| 0.5 * s.along * b[s.branch]).sum();
        self.cells.iter().map(|axes| [0, 1, 2].map(|axis| mean(&axes[axis]))).collect()
    }
}

/// Mean over each outer face of the potential that unit charge (T) on every face makes, m, by rows.
///
/// Columns for inner faces only `with_inner`; images included with their sign.
pub(super) fn potentials(mesh: &Mesh, orbits: &Orbits, with_inner: bool) -> Vec<Vec<f64>> {
    let columns = if with_inner { orbits.faces.len() } else { orbits.outer };
    let shapes: Vec<_> = orbits.faces.iter().map(|&face| mesh.faces[face].shape).collect();
    let images: Vec<Vec<_>> = orbits
        .group
        .iter()
        .map(|(factors, _)| shapes[..columns].iter().map(|s| s.reflected(*factors)).collect())
        .collect();
    shapes[..orbits.outer]
        .par_iter()
        .map(|on| {
            let mut row = vec![0.0; columns];
            for (image, (_, sign)) in images.iter().zip(&orbits.group) {
                for (entry, of) in row.iter_mut().zip(image) {
                    *entry += sign / (4.0 * std::f64::consts::PI) * mean_potential(on, of);
                }
            }
            row
        })
        .collect()
}

/// `∫ B0·dl` along every branch, T·m.
pub(super) fn applied(mesh: &Mesh, orbits: &Orbits, source: &dyn Source) -> Vec<f64> {
    let mut points = Vec::new();
    let mut steps = Vec::new();
    for (number, &face) in orbits.faces.iter().enumerate() {
        let face = &mesh.faces[face];
        let normal = face.shape.axes[2];
        let behind = 0.5 * mesh.cells[face.behind].size[face.axis];
        let ahead = face.ahead.map_or(0.0, |cell| 0.5 * mesh.cells[cell].size[face.axis]);
        for (from, length) in [(-behind, behind), (0.0, ahead)] {
            for (at, weight) in LINE {
                if length > 0.0 {
                    let along = from + at * length;
                    points.push(std::array::from_fn(|i| face.shape.centre[i] + along * normal[i]));
                    steps.push((number, normal.map(|c| c * weight * length)));
                }
            }
        }
    }
    let at = Vectors::from_rows(points);
    let mut field = Vectors::zeros(at.len());
    source.add_b(at.points(), field.view_mut());
    let mut sums = vec![0.0; orbits.faces.len()];
    for (i, (number, step)) in steps.into_iter().enumerate() {
        let b = field.get(i);
        sums[number] += b[0] * step[0] + b[1] * step[1] + b[2] * step[2];
    }
    sums
}
