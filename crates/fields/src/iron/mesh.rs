//! Cells and faces of all bodies, in the world.

use super::IronBody;
use super::rectangle::Rectangle;

/// A cell: a box of uniform reluctivity.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub body: usize,
    pub centre: [f64; 3],
    pub size: [f64; 3],
    /// Faces at the low and the high end of each axis.
    pub faces: [[usize; 2]; 3],
}

/// A face. `b` is positive along its normal, which points outwards on outer faces.
#[derive(Debug, Clone)]
pub(super) struct Face {
    pub shape: Rectangle,
    /// Axis of the body it lies across.
    pub axis: usize,
    /// The cell its normal leaves.
    pub behind: usize,
    /// The cell its normal enters; none on the outside.
    pub ahead: Option<usize>,
}

/// Everything that is known before a field is applied.
#[derive(Debug, Clone)]
pub(super) struct Mesh {
    pub bodies: Vec<IronBody>,
    pub cells: Vec<Cell>,
    pub faces: Vec<Face>,
    /// For each body, the cell of each place of its grid.
    pub places: Vec<Vec<Option<usize>>>,
}

impl Mesh {
    pub(super) fn new(bodies: Vec<IronBody>) -> Self {
        let mut mesh = Self { bodies, cells: vec![], faces: vec![], places: vec![] };
        for body in 0..mesh.bodies.len() {
            mesh.add_cells(body);
            mesh.add_faces(body);
        }
        mesh
    }

    /// The cell at a place of a body's grid, if there is iron.
    pub(super) fn cell(&self, body: usize, place: [usize; 3]) -> Option<usize> {
        let along = self.bodies[body].cells_along();
        let inside = (0..3).all(|i| place[i] < along[i]);
        if inside { self.places[body][number(along, place)] } else { None }
    }

    fn add_cells(&mut self, body: usize) {
        let iron = &self.bodies[body];
        let mut places = Vec::new();
        for place in grid(iron.cells_along()) {
            let centre = iron.centre(place);
            places.push(iron.holds(centre).then_some(self.cells.len()));
            if iron.holds(centre) {
                self.cells.push(Cell {
                    body,
                    centre: iron.world_from_body.apply(centre),
                    size: iron.size(place),
                    faces: [[usize::MAX; 2]; 3],
                });
            }
        }
        self.places.push(places);
    }

    fn add_faces(&mut self, body: usize) {
        let places: Vec<_> = grid(self.bodies[body].cells_along()).collect();
        for place in places {
            let Some(cell) = self.cell(body, place) else { continue };
            for axis in 0..3 {
                let mut next = place;
                next[axis] += 1;
                let ahead = self.cell(body, next);
                self.add_face(cell, axis, 1, ahead);
                let mut before = place;
                before[axis] = before[axis].wrapping_sub(1);
                if self.cell(body, before).is_none() {
                    self.add_face(cell, axis, 0, None);
                }
            }
        }
    }

    /// The face of `cell` at the low (0) or high (1) `end` of `axis`.
    fn add_face(&mut self, cell: usize, axis: usize, end: usize, ahead: Option<usize>) {
        let number = self.faces.len();
        let Cell { body, centre, size, .. } = self.cells[cell];
        let pose = &self.bodies[body].world_from_body;
        let outward = if end == 1 { 1.0 } else { -1.0 };
        let normal = pose.body_axis(axis).map(|c| c * outward);
        let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
        let shape = Rectangle {
            centre: std::array::from_fn(|i| centre[i] + 0.5 * size[axis] * normal[i]),
            // The second edge turns with the normal, so the three stay right-handed.
            axes: [pose.body_axis(u), pose.body_axis(v).map(|c| c * outward), normal],
            half: [0.5 * size[u], 0.5 * size[v]],
        };
        self.faces.push(Face { shape, axis, behind: cell, ahead });
        self.cells[cell].faces[axis][end] = number;
        if let Some(ahead) = ahead {
            self.cells[ahead].faces[axis][0] = number;
        }
    }

    /// +1 where the normal of a cell's face at the low (0) or high (1) `end` of `axis` points along the axis.
    pub(super) fn along_axis(&self, face: usize, end: usize) -> f64 {
        if end == 0 && self.faces[face].ahead.is_none() { -1.0 } else { 1.0 }
    }
}

fn grid([nx, ny, nz]: [usize; 3]) -> impl Iterator<Item = [usize; 3]> {
    (0..nx).flat_map(move |i| (0..ny).flat_map(move |j| (0..nz).map(move |k| [i, j, k])))
}

fn number([_, ny, nz]: [usize; 3], [i, j, k]: [usize; 3]) -> usize {
    (i * ny + j) * nz + k
}
