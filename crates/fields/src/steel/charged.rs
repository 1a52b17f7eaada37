//! The field of charged panels.

use faer::Mat;
use rayon::prelude::*;

use super::Steel;
use super::panel::Panel;
use crate::simd::vectorized;
use crate::{MU_0, Points, Source, Vectors, VectorsMut};

/// Charged panels as a source in the world; see [`Steel::charged`].
///
/// B is `μ0 H` of the charges: outside the steel, add it to the field of what drives them. Inside the
/// steel the sum is `μ0 H`, not B. Along edges of the panels the field grows without limit like a
/// logarithm; exactly there it is cut off.
#[derive(Debug, Clone)]
pub struct ChargedSteel<'a> {
    pub(super) panels: &'a [Panel],
    pub(super) charges: Vec<f64>,
}

impl ChargedSteel<'_> {
    /// Charge density of each panel, A/m.
    pub fn charges(&self) -> &[f64] {
        &self.charges
    }
}

/// Points taken at a time by one thread.
const CHUNK: usize = 64;

impl Source for ChargedSteel<'_> {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        let n = at.len();
        assert!([at.y.len(), at.z.len(), out.x.len(), out.y.len(), out.z.len()] == [n; 5]);
        let work = |((x, y), z): ((&mut [f64], &mut [f64]), &mut [f64]), at: Points<'_>| {
            for (panel, &charge) in self.panels.iter().zip(&self.charges) {
                vectorized(|| add_panel(panel, MU_0 * charge, at, [&mut *x, &mut *y, &mut *z]));
            }
        };
        let chunks = out
            .x
            .par_chunks_mut(CHUNK)
            .zip(out.y.par_chunks_mut(CHUNK))
            .zip(out.z.par_chunks_mut(CHUNK));
        chunks.enumerate().for_each(|(k, out)| {
            let start = k * CHUNK;
            work(out, at.range(start, CHUNK.min(n - start)));
        });
    }

    /// About the world's origin.
    fn bounding_radius(&self) -> f64 {
        let far = |c: [f64; 3]| c[0].hypot(c[1]).hypot(c[2]);
        self.panels.iter().flat_map(|p| p.corner).map(far).fold(0.0, f64::max)
    }

    /// Distance from the surface, also inside.
    fn clearance(&self, point: [f64; 3]) -> f64 {
        self.panels.iter().map(|p| p.distance(point)).fold(f64::INFINITY, f64::min)
    }
}

#[inline(always)]
fn add_panel(panel: &Panel, scale: f64, at: Points<'_>, [x, y, z]: [&mut [f64]; 3]) {
    let n = at.len();
    let (px, py, pz) = (&at.x[..n], &at.y[..n], &at.z[..n]);
    let (x, y, z) = (&mut x[..n], &mut y[..n], &mut z[..n]);
    for i in 0..n {
        let h = panel.field([px[i], py[i], pz[i]]);
        x[i] += scale * h[0];
        y[i] += scale * h[1];
        z[i] += scale * h[2];
    }
}

impl Steel {
    /// Potential at each point (rows) of unit charge density on each panel (columns): A per A/m.
    pub fn potential_rows(&self, points: &Vectors) -> Mat<f64> {
        self.rows(points, |panel, p, _| panel.potential(p))
    }

    /// Field along `direction[i]` at point i (rows) of unit charge density on each panel (columns): A/m
    /// per A/m.
    ///
    /// # Panics
    /// When there are not as many directions as points.
    pub fn field_rows(&self, points: &Vectors, directions: &Vectors) -> Mat<f64> {
        assert_eq!(points.len(), directions.len(), "one direction for every point");
        self.rows(points, |panel, p, i| {
            let h = panel.field(p);
            h[0] * directions.x[i] + h[1] * directions.y[i] + h[2] * directions.z[i]
        })
    }

    fn rows(
        &self,
        points: &Vectors,
        value: impl Fn(&Panel, [f64; 3], usize) -> f64 + Sync,
    ) -> Mat<f64> {
        let n = points.len();
        let columns: Vec<Vec<f64>> = self
            .panels
            .par_iter()
            .map(|panel| {
                let mut column = vec![0.0; n];
                let (x, y, z) = (&points.x[..n], &points.y[..n], &points.z[..n]);
                vectorized(|| {
                    for i in 0..n {
                        column[i] = value(panel, [x[i], y[i], z[i]], i);
                    }
                });
                column
            })
            .collect();
        Mat::from_fn(n, self.len(), |i, j| columns[j][i])
    }
}
