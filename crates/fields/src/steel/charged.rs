//! The field of charged panels.

use faer::Mat;
use rayon::prelude::*;

use super::Steel;
use super::panel::{Panel, dot};
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
        let chunks = out
            .x
            .par_chunks_mut(CHUNK)
            .zip(out.y.par_chunks_mut(CHUNK))
            .zip(out.z.par_chunks_mut(CHUNK));
        chunks.enumerate().for_each(|(k, ((x, y), z))| {
            let at = at.range(k * CHUNK, x.len());
            let mut sum = [[0.0; CHUNK]; 3];
            vectorized(
                #[inline(always)]
                || {
                    for (panel, density) in self.panels.iter().zip(&self.densities) {
                        add_panel(*panel, *density, at, &mut sum);
                    }
                },
            );
            for (out, sum) in [x, y, z].into_iter().zip(&sum) {
                out.iter_mut().zip(sum).for_each(|(out, sum)| *out += MU_0 * sum);
            }
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

/// Adds the field of one panel, A/m, at up to [`CHUNK`] points.
///
/// `sum` lies where the points cannot, which leaves the compiler free to take many at once.
#[inline(always)]
fn add_panel(panel: Panel, scale: [f64; 3], at: Points<'_>, sum: &mut [[f64; CHUNK]; 3]) {
    let n = at.len();
    let (px, py, pz) = (&at.x[..n], &at.y[..n], &at.z[..n]);
    let [x, y, z] = sum;
    let (x, y, z) = (&mut x[..n], &mut y[..n], &mut z[..n]);
    for i in 0..n {
        let [even, u, v] = panel.fields([px[i], py[i], pz[i]]);
        x[i] += scale[0] * even[0] + scale[1] * u[0] + scale[2] * v[0];
        y[i] += scale[0] * even[1] + scale[1] * u[1] + scale[2] * v[1];
        z[i] += scale[0] * even[2] + scale[1] * u[2] + scale[2] * v[2];
    }
}

/// Fields of several charges on the same panels, A/m at each point: density and slopes of each panel
/// for each of them. The panels' closed forms are worked out once for all.
pub(super) fn fields_together(
    panels: &[Panel],
    densities: &[Vec<[f64; 3]>],
    at: Points<'_>,
) -> Vec<Vectors> {
    let starts: Vec<usize> = (0..at.len()).step_by(CHUNK).collect();
    let chunks: Vec<Vec<[[f64; CHUNK]; 3]>> = starts
        .par_iter()
        .map(|&start| {
            let at = at.range(start, CHUNK.min(at.len() - start));
            let mut sums = vec![[[0.0; CHUNK]; 3]; densities.len()];
            let mut made = [[[0.0; CHUNK]; 3]; 3];
            for (j, panel) in panels.iter().enumerate() {
                let panel = *panel;
                vectorized(
                    #[inline(always)]
                    || {
                        for i in 0..at.len() {
                            let fields = panel.fields([at.x[i], at.y[i], at.z[i]]);
                            for (made, field) in made.iter_mut().zip(fields) {
                                (made[0][i], made[1][i], made[2][i]) =
                                    (field[0], field[1], field[2]);
                            }
                        }
                        for (sum, densities) in sums.iter_mut().zip(densities) {
                            let [even, u, v] = densities[j];
                            for c in 0..3 {
                                for i in 0..CHUNK {
                                    sum[c][i] += even * made[0][c][i]
                                        + u * made[1][c][i]
                                        + v * made[2][c][i];
                                }
                            }
                        }
                    },
                );
            }
            sums
        })
        .collect();
    let field = |k: usize| {
        let mut field = Vectors::zeros(at.len());
        for (&start, sums) in starts.iter().zip(&chunks) {
            let size = CHUNK.min(at.len() - start);
            for (out, sum) in [&mut field.x, &mut field.y, &mut field.z].into_iter().zip(&sums[k]) {
                out[start..start + size].copy_from_slice(&sum[..size]);
            }
        }
        field
    };
    (0..densities.len()).map(field).collect()
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
                let [even, u, v] = panel.fields(p);
                let d = [directions.x[i], directions.y[i], directions.z[i]];
                [dot(even, d), dot(u, d), dot(v, d)]
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
                let panel = *panel;
                let mut made = [0, 1, 2].map(|_| Vec::with_capacity(n));
                for start in (0..n).step_by(CHUNK) {
                    let size = CHUNK.min(n - start);
                    let Points { x, y, z } = points.points().range(start, size);
                    let mut values = [[0.0; CHUNK]; 3];
                    vectorized(
                        #[inline(always)]
                        || {
                            for i in 0..size {
                                let v = value(&panel, [x[i], y[i], z[i]], start + i);
                                (values[0][i], values[1][i], values[2][i]) = (v[0], v[1], v[2]);
                            }
                        },
                    );
                    for (made, values) in made.iter_mut().zip(&values) {
                        made.extend_from_slice(&values[..size]);
                    }
                }
                made
            })
            .collect();
        let columns: Vec<Vec<f64>> =
            (0..self.len()).into_par_iter().map(|j| self.surface.smooth.gather(&made, j)).collect();
        Mat::from_fn(n, self.len(), |i, j| columns[j][i])
    }
}
