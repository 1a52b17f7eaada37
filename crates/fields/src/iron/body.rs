//! A body of soft iron: boxes on a grid of planes.

use super::{BhCurve, IronError};
use crate::Pose;

/// A body of one material: the cells of a grid that lie inside any of its boxes.
///
/// All boxes share one grid, so cells meet face to face where boxes meet: a bracket or a frame is two or
/// three boxes. Put planes at the faces of every box; a cell belongs to the body when its centre does.
#[derive(Debug, Clone, PartialEq)]
pub struct IronBody {
    pub(super) curve: BhCurve,
    pub(super) planes: [Vec<f64>; 3],
    pub(super) boxes: Vec<[[f64; 3]; 2]>,
    pub(super) world_from_body: Pose,
}

impl IronBody {
    /// A body from its planes along x, y, z (m) and its boxes, each the corner with the least and the one
    /// with the greatest coordinates (m), both in the body's frame.
    ///
    /// # Errors
    /// [`IronError::Planes`] for planes that do not rise, [`IronError::NoIron`] if no cell is left.
    pub fn new(
        curve: BhCurve,
        planes: [Vec<f64>; 3],
        boxes: Vec<[[f64; 3]; 2]>,
        world_from_body: Pose,
    ) -> Result<Self, IronError> {
        for (axis, along) in planes.iter().enumerate() {
            let rising = along.windows(2).all(|pair| pair[1] > pair[0]);
            if along.len() < 2 || !rising || along.iter().any(|plane| !plane.is_finite()) {
                return Err(IronError::Planes { axis });
            }
        }
        let body = Self { curve, planes, boxes, world_from_body };
        let [nx, ny, nz] = body.cells_along();
        let any =
            (0..nx).any(|i| (0..ny).any(|j| (0..nz).any(|k| body.holds(body.centre([i, j, k])))));
        if any { Ok(body) } else { Err(IronError::NoIron) }
    }

    /// One box filling all its planes.
    ///
    /// # Errors
    /// As [`IronBody::new`].
    pub fn block(
        curve: BhCurve,
        planes: [Vec<f64>; 3],
        world_from_body: Pose,
    ) -> Result<Self, IronError> {
        let ends = [0, 1].map(|end| {
            [0, 1, 2].map(|axis| {
                let along: &Vec<f64> = &planes[axis];
                let at = if end == 0 { along.first() } else { along.last() };
                at.copied().unwrap_or_default()
            })
        });
        Self::new(curve, planes, vec![ends], world_from_body)
    }

    pub(super) fn cells_along(&self) -> [usize; 3] {
        [0, 1, 2].map(|axis| self.planes[axis].len() - 1)
    }

    /// Centre of a cell of the grid in the body's frame.
    pub(super) fn centre(&self, cell: [usize; 3]) -> [f64; 3] {
        [0, 1, 2]
            .map(|axis| 0.5 * (self.planes[axis][cell[axis]] + self.planes[axis][cell[axis] + 1]))
    }

    pub(super) fn size(&self, cell: [usize; 3]) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.planes[axis][cell[axis] + 1] - self.planes[axis][cell[axis]])
    }

    pub(super) fn holds(&self, point: [f64; 3]) -> bool {
        self.boxes.iter().any(|[low, high]| {
            (0..3).all(|axis| point[axis] >= low[axis] && point[axis] <= high[axis])
        })
    }

    /// The cell of the grid a point of the body's frame lies in.
    pub(super) fn cell_at(&self, point: [f64; 3]) -> Option<[usize; 3]> {
        let mut cell = [0; 3];
        for axis in 0..3 {
            let along = &self.planes[axis];
            let last = along.len() - 1;
            if !(point[axis] >= along[0] && point[axis] <= along[last]) {
                return None;
            }
            let after = along.partition_point(|&plane| plane <= point[axis]);
            cell[axis] = after.clamp(1, last) - 1;
        }
        Some(cell)
    }
}

/// Planes from `from` to `to` (m) with `cells` equal cells between them.
pub fn evenly(from: f64, to: f64, cells: usize) -> Vec<f64> {
    let n = cells.max(1);
    (0..=n).map(|i| from + (to - from) * i as f64 / n as f64).collect()
}

/// Planes from `from` to `to` (m) with `cells` cells, each `ratio` times as long as the one before it.
pub fn graded(from: f64, to: f64, cells: usize, ratio: f64) -> Vec<f64> {
    let n = cells.max(1);
    let total: f64 = (0..n).map(|i| ratio.powi(i as i32)).sum();
    let mut planes = vec![from];
    let mut length = 0.0;
    for i in 0..n - 1 {
        length += ratio.powi(i as i32);
        planes.push(from + (to - from) * length / total);
    }
    planes.push(to);
    planes
}
