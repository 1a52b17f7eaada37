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
    /// Density at the centre and slopes along the axes.
    pub(super) densities: Vec<[f64; 3]>,
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
            for (panel, density) in self.panels.iter().zip(&self.densities) {
                let scale = density.map(|d| MU_0 * d);
                vectorized(
                    #[inline(always)]
                    || add_panel(panel, scale, at, [&mut *x, &mut *y, &mut *z]),
                );
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
fn add_panel(panel: &Panel, scale: [f64; 3], at: Points<'_>, [x, y, z]: [&mut [f64]; 3]) {
    let n = at.len();
    let (px, py, pz) = (&at.x[..n], &at.y[..n], &at.z[..n]);
    let (x, y, z) = (&mut x[..n], &mut y[..n], &mut z[..n]);
    for i in 0..n {
        let [even, u, v] = panel.fields([px[i], py[i], pz[i]]);
        x[i] += scale[0] * even[0] + scale[1] * u[0] + scale[2] * v[0];
        y[i] += scale[0] * even[1] + scale[1] * u[1] + scale[2] * v[1];
        z[i] += scale[0] * even[2] + scale[1] * u[2] + scale[2] * v[2];
    }
}

impl Steel {
    /// Potential at each point (rows) of unit charge density on each panel (columns): A per A/m.
    pub fn potential_rows(&self, points: &Vectors) -> Mat<f64> {
        self.rows(
            points,
            #[inline(always)]
            |panel, p, _| panel.potentials(p),
        )
    }

    /// Field along `directions[i]` at point i (rows) of unit charge density of each panel (columns): A/m
    /// per A/m.
    ///
    /// # Panics
    /// When there are not as many directions as points.
    pub fn field_rows(&self, points: &Vectors, directions: &Vectors) -> Mat<f64> {
        assert_eq!(points.len(), directions.len(), "one direction for every point");
        self.rows(
            points,
            #[inline(always)]
            |panel, p, i| {
                panel.fields(p).map(|h| {
                    h[0] * directions.x[i] + h[1] * directions.y[i] + h[2] * directions.z[i]
                })
            },
        )
    }

    fn rows(
        &self,
        points: &Vectors,
        value: impl Fn(&Panel, [f64; 3], usize) -> [f64; 3] + Sync,
    ) -> Mat<f64> {
        let n = points.len();
        let made: Vec<[Vec<f64>; 3]> = self
            .panels
            .par_iter()
            .map(|panel| {
                let mut made = [0, 1, 2].map(|_| vec![0.0; n]);
                let [even, u, v] = &mut made;
                let (even, u, v) = (&mut even[..n], &mut u[..n], &mut v[..n]);
                let (x, y, z) = (&points.x[..n], &points.y[..n], &points.z[..n]);
                vectorized(
                    #[inline(always)]
                    || {
                        for i in 0..n {
                            [even[i], u[i], v[i]] = value(panel, [x[i], y[i], z[i]], i);
                        }
                    },
                );
                made
            })
            .collect();
        let columns: Vec<Vec<f64>> =
            (0..self.len()).into_par_iter().map(|j| self.solved.smooth.gather(&made, j)).collect();
        Mat::from_fn(n, self.len(), |i, j| columns[j][i])
    }
}
