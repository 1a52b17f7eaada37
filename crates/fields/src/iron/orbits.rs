//! Which cells and faces repeat others by symmetry.

use std::collections::HashMap;

use super::mesh::Mesh;
use super::{IronError, Symmetry};

/// Every cell and face told by one that stands for it.
#[derive(Debug, Clone)]
pub(super) struct Orbits {
    /// The cells that stand for themselves.
    pub cells: Vec<usize>,
    /// For each cell, its place in `cells` and the factor on the potential.
    pub of_cell: Vec<(usize, f64)>,
    /// The outer faces that stand for themselves, then the inner ones.
    pub faces: Vec<usize>,
    /// How many of `faces` are outer ones.
    pub outer: usize,
    /// For each face, its place in `faces` and the factor on the flux along its normal; none where
    /// symmetry forbids flux.
    pub of_face: Vec<Option<(usize, f64)>>,
    /// Factors on the coordinates and the potential, the identity first.
    pub group: Vec<([f64; 3], f64)>,
}

impl Orbits {
    pub(super) fn new(mesh: &Mesh, symmetry: &Symmetry) -> Result<Self, IronError> {
        let mut orbits = Self {
            cells: vec![],
            of_cell: vec![],
            faces: vec![],
            outer: 0,
            of_face: vec![],
            group: symmetry.group(),
        };
        orbits.gather_cells(mesh)?;
        orbits.gather_faces(mesh)?;
        Ok(orbits)
    }

    fn gather_cells(&mut self, mesh: &Mesh) -> Result<(), IronError> {
        let places = Places::new(mesh, mesh.cells.iter().map(|cell| cell.centre));
        let mut of_cell = vec![None; mesh.cells.len()];
        for (number, cell) in mesh.cells.iter().enumerate() {
            if of_cell[number].is_some() {
                continue;
            }
            let stands = self.cells.len();
            of_cell[number] = Some((stands, 1.0));
            self.cells.push(number);
            for (factors, sign) in &self.group[1..] {
                let image = std::array::from_fn(|i| cell.centre[i] * factors[i]);
                let fault = IronError::NotSymmetric { centre: cell.centre };
                let partner = places.find(image).ok_or(fault.clone())?;
                if of_cell[partner].is_some() {
                    return Err(fault);
                }
                of_cell[partner] = Some((stands, *sign));
            }
        }
        self.of_cell =
            of_cell.into_iter().map(|entry| entry.expect("every cell visited")).collect();
        Ok(())
    }

    fn gather_faces(&mut self, mesh: &Mesh) -> Result<(), IronError> {
        let places = Places::new(mesh, mesh.faces.iter().map(|face| face.shape.centre));
        let mut seen = vec![false; mesh.faces.len()];
        self.of_face = vec![None; mesh.faces.len()];
        for outer in [true, false] {
            for &cell in &self.cells.clone() {
                for &face in mesh.cells[cell].faces.as_flattened() {
                    if mesh.faces[face].ahead.is_none() == outer && !seen[face] {
                        self.gather_face(mesh, &places, face, &mut seen)?;
                    }
                }
            }
            if outer {
                self.outer = self.faces.len();
            }
        }
        Ok(())
    }

    fn gather_face(
        &mut self,
        mesh: &Mesh,
        places: &Places,
        face: usize,
        seen: &mut [bool],
    ) -> Result<(), IronError> {
        let shape = &mesh.faces[face].shape;
        let mut images = vec![(face, 1.0)];
        seen[face] = true;
        for (factors, sign) in &self.group[1..] {
            let image = shape.reflected(*factors);
            let fault = IronError::NotSymmetric { centre: shape.centre };
            let partner = places.find(image.centre).ok_or(fault)?;
            let normal = mesh.faces[partner].shape.axes[2];
            let along: f64 = (0..3).map(|i| normal[i] * image.axes[2][i]).sum();
            images.push((partner, sign * along.signum()));
            seen[partner] = true;
        }
        // A face that is its own image with its flux reversed carries none.
        if images.iter().all(|&(partner, sign)| partner != face || sign > 0.0) {
            for (partner, sign) in images {
                self.of_face[partner] = Some((self.faces.len(), sign));
            }
            self.faces.push(face);
        }
        Ok(())
    }
}

/// Finds the thing at a place, to a millionth of the whole.
struct Places {
    step: f64,
    at: HashMap<[i64; 3], usize>,
}

impl Places {
    fn new(mesh: &Mesh, points: impl Iterator<Item = [f64; 3]>) -> Self {
        let extent = mesh
            .cells
            .iter()
            .flat_map(|cell| cell.centre.into_iter().chain(cell.size))
            .fold(0.0_f64, |most, c| most.max(c.abs()));
        let step = 1e-6 * extent;
        let at =
            points.enumerate().map(|(i, p)| (p.map(|c| (c / step).round() as i64), i)).collect();
        Self { step, at }
    }

    fn find(&self, point: [f64; 3]) -> Option<usize> {
        let near = point.map(|c| (c / self.step).round() as i64);
        // Rounding may have put the two on either side of a step.
        (0..27).find_map(|n| {
            let key = [n % 3, n / 3 % 3, n / 9].map(|shift| shift - 1);
            self.at.get(&std::array::from_fn(|i| near[i] + key[i])).copied()
        })
    }
}
