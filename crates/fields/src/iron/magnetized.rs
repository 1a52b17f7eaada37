//! Iron in its field: flux inside, field outside.

use super::mesh::Mesh;
use super::rectangle::Rectangle;
use super::solve::Progress;
use crate::batch::add_each;
use crate::{Points, Source, VectorsMut};

/// Iron magnetized by a source.
///
/// As a [`Source`] it adds the iron's own field, without that of the source that magnetized it: outside
/// from the charge on its faces by closed forms, inside that and the polarization.
/// [`Magnetized::flux_density_at`] is the better value inside.
#[derive(Debug, Clone)]
pub struct Magnetized {
    mesh: Mesh,
    /// T, along the normal of each face.
    b: Vec<f64>,
    /// n of each cell.
    reluctivity: Vec<f64>,
    /// Faces that carry charge, with their density σ/4π (T).
    charged: Vec<(Rectangle, f64)>,
    /// How the iteration ended.
    pub progress: Progress,
}

impl Magnetized {
    pub(super) fn new(mesh: Mesh, b: Vec<f64>, reluctivity: Vec<f64>, progress: Progress) -> Self {
        let mut charged = Vec::new();
        for (face, b) in mesh.faces.iter().zip(&b) {
            let behind = 1.0 - reluctivity[face.behind];
            let ahead = face.ahead.map_or(0.0, |cell| 1.0 - reluctivity[cell]);
            let charge = (behind - ahead) * b / (4.0 * std::f64::consts::PI);
            if charge != 0.0 {
                charged.push((face.shape, charge));
            }
        }
        Self { mesh, b, reluctivity, charged, progress }
    }

    /// B in the iron (T) at a point of the world (m); none outside.
    ///
    /// Along each axis of the body linear between the faces of a cell, so that it has no divergence.
    pub fn flux_density_at(&self, point: [f64; 3]) -> Option<[f64; 3]> {
        self.inside(point).map(|(_, b)| b)
    }

    /// Polarization J of the iron (T) at a point of the world (m); zero outside.
    pub fn polarization_at(&self, point: [f64; 3]) -> [f64; 3] {
        self.inside(point)
            .map_or([0.0; 3], |(cell, b)| b.map(|c| c * (1.0 - self.reluctivity[cell])))
    }

    /// Flux (Wb) and area (m²) of the cut through a body at the coordinate `at` (m) of its `axis`.
    ///
    /// Only cells with their centres inside the box `within` (m, the body's frame) count. Between planes of
    /// the grid the flux through a cell is linear.
    pub fn section(
        &self,
        body: usize,
        axis: usize,
        at: f64,
        within: [[f64; 3]; 2],
    ) -> Option<(f64, f64)> {
        let iron = self.mesh.bodies.get(body)?;
        let planes = iron.planes.get(axis)?;
        let last = planes.len() - 1;
        // A place a rounding error outside is meant to be the end.
        let slack = 1e-9 * (planes[last] - planes[0]);
        if !(at >= planes[0] - slack && at <= planes[last] + slack) {
            return None;
        }
        let layer = planes.partition_point(|&plane| plane <= at + slack).clamp(1, last) - 1;
        let share = ((at - planes[layer]) / (planes[layer + 1] - planes[layer])).clamp(0.0, 1.0);
        let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
        let along = iron.cells_along();
        let mut sums = (0.0, 0.0);
        for i in 0..along[u] {
            for j in 0..along[v] {
                let mut place = [layer; 3];
                (place[u], place[v]) = (i, j);
                let centre = iron.centre(place);
                let counts = |k: usize| centre[k] >= within[0][k] && centre[k] <= within[1][k];
                if let (Some(cell), true) = (self.mesh.cell(body, place), counts(u) && counts(v)) {
                    let size = iron.size(place);
                    let [from, to] = self.ends(cell, axis);
                    sums.0 += size[u] * size[v] * (from + share * (to - from));
                    sums.1 += size[u] * size[v];
                }
            }
        }
        (sums.1 > 0.0).then_some(sums)
    }

    /// Largest mean flux density of any cell of a body, T.
    pub fn largest_flux_density(&self, body: usize) -> f64 {
        let size = |number: usize| {
            let means = [0, 1, 2].map(|axis| {
                let [from, to] = self.ends(number, axis);
                0.5 * (from + to)
            });
            means.iter().map(|c| c * c).sum::<f64>().sqrt()
        };
        let of_body = |&number: &usize| self.mesh.cells[number].body == body;
        (0..self.mesh.cells.len()).filter(of_body).map(size).fold(0.0, f64::max)
    }

    /// B along an axis of the body at the low and the high end of a cell.
    fn ends(&self, cell: usize, axis: usize) -> [f64; 2] {
        let faces = self.mesh.cells[cell].faces[axis];
        [0, 1].map(|end| self.mesh.along_axis(faces[end], end) * self.b[faces[end]])
    }

    /// The cell at a point of the world and B there.
    fn inside(&self, point: [f64; 3]) -> Option<(usize, [f64; 3])> {
        self.mesh.bodies.iter().enumerate().find_map(|(body, iron)| {
            let local = iron.world_from_body.apply_inverse(point);
            let place = iron.cell_at(local)?;
            let cell = self.mesh.cell(body, place)?;
            let b = std::array::from_fn(|axis| {
                let [from, to] = self.ends(cell, axis);
                let planes = &iron.planes[axis];
                let low = planes[place[axis]];
                let share = (local[axis] - low) / (planes[place[axis] + 1] - low);
                from + share * (to - from)
            });
            Some((cell, iron.world_from_body.apply_to_vector(b)))
        })
    }
}

impl Source for Magnetized {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        add_each(at, out, |point| {
            let mut b = self.polarization_at(point);
            for (shape, charge) in &self.charged {
                let field = shape.field(point);
                for i in 0..3 {
                    b[i] += charge * field[i];
                }
            }
            b
        });
    }

    fn bounding_radius(&self) -> f64 {
        let far = |cell: &super::mesh::Cell| {
            let length = |v: [f64; 3]| v[0].hypot(v[1]).hypot(v[2]);
            length(cell.centre) + 0.5 * length(cell.size)
        };
        self.mesh.cells.iter().map(far).fold(0.0, f64::max)
    }

    fn clearance(&self, point: [f64; 3]) -> f64 {
        let distance = |cell: &super::mesh::Cell| {
            let pose = &self.mesh.bodies[cell.body].world_from_body;
            let from: [f64; 3] = std::array::from_fn(|i| point[i] - cell.centre[i]);
            let local = pose.apply_inverse_to_vector(from);
            let beyond = [0, 1, 2].map(|i| (local[i].abs() - 0.5 * cell.size[i]).max(0.0));
            beyond[0].hypot(beyond[1]).hypot(beyond[2])
        };
        self.mesh.cells.iter().map(distance).fold(f64::INFINITY, f64::min)
    }
}
