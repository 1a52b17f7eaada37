//! Closed surfaces in space, where a grid rises through zero.

use std::collections::HashMap;

/// A closed surface in triangles, wound so that normals point out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Surface {
    /// Corners, in the unit of the grid.
    pub points: Vec<[f64; 3]>,
    /// Corners of each triangle.
    pub triangles: Vec<[u32; 3]>,
}

/// Places of a regular grid: first and last along each axis, and how many.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lattice {
    pub low: [f64; 3],
    pub high: [f64; 3],
    pub count: [usize; 3],
}

/// Corners of a cell are numbered by bits: 1 along x, 2 along y, 4 along z. Six tetrahedra about the
/// diagonal from corner 0 to corner 7 fill it; neighbouring cells meet in the same triangles.
const TETRAHEDRA: [[usize; 4]; 6] =
    [[0, 1, 3, 7], [0, 3, 2, 7], [0, 2, 6, 7], [0, 6, 4, 7], [0, 4, 5, 7], [0, 5, 1, 7]];

/// Values nearer to zero than this count as above it, so that no triangle has no area.
const NEAREST: f64 = 1e-9;

impl Lattice {
    /// A place, with one more before the first and after the last of each axis, on the rim themselves.
    fn fenced(&self, at: [usize; 3]) -> [f64; 3] {
        std::array::from_fn(|i| {
            let last = self.count[i] - 1;
            let k = at[i].saturating_sub(1).min(last);
            self.low[i] + (self.high[i] - self.low[i]) * k as f64 / last as f64
        })
    }
}

impl Surface {
    /// The surface round all places whose value is above zero, `values[(z * ny + y) * nx + x]`.
    ///
    /// Between neighbouring places, along edges and diagonals, the value is taken as linear. Where the
    /// grid ends the surface is closed along its rim.
    pub(crate) fn around(lattice: &Lattice, values: &[f64]) -> Self {
        let [nx, ny, nz] = lattice.count;
        let value = |[x, y, z]: [usize; 3]| -> f64 {
            let inside = (1..=nx).contains(&x) && (1..=ny).contains(&y) && (1..=nz).contains(&z);
            let value = if inside { values[((z - 1) * ny + y - 1) * nx + x - 1] } else { -1.0 };
            if value.abs() < NEAREST { NEAREST } else { value }
        };
        let mut surface = Self::default();
        let mut known: HashMap<[[usize; 3]; 2], u32> = HashMap::new();
        for z in 0..=nz {
            for y in 0..=ny {
                for x in 0..=nx {
                    let corner = |k: usize| [x + (k & 1), y + (k >> 1 & 1), z + (k >> 2 & 1)];
                    let corners: [[usize; 3]; 8] = std::array::from_fn(corner);
                    let cell = corners.map(value);
                    if cell.iter().all(|v| *v > 0.0) || cell.iter().all(|v| *v < 0.0) {
                        continue;
                    }
                    for tetrahedron in TETRAHEDRA {
                        surface.cut(
                            lattice,
                            &mut known,
                            tetrahedron.map(|k| (corners[k], cell[k])),
                        );
                    }
                }
            }
        }
        surface
    }

    /// The part of the surface inside one tetrahedron, whose corners are in right-handed order.
    fn cut(
        &mut self,
        lattice: &Lattice,
        known: &mut HashMap<[[usize; 3]; 2], u32>,
        corners: [([usize; 3], f64); 4],
    ) {
        let mut point = |a: usize, b: usize| -> u32 {
            let [(p, u), (q, v)] = [corners[a], corners[b]];
            // Always from the same end, so that both neighbours find the same bits.
            let [(p, u), (q, v)] = if p < q { [(p, u), (q, v)] } else { [(q, v), (p, u)] };
            *known.entry([p, q]).or_insert_with(|| {
                let (from, to) = (lattice.fenced(p), lattice.fenced(q));
                let t = u / (u - v);
                self.points.push(std::array::from_fn(|i| from[i] + t * (to[i] - from[i])));
                self.points.len() as u32 - 1
            })
        };
        let (inside, outside): (Vec<usize>, Vec<usize>) = (0..4).partition(|k| corners[*k].1 > 0.0);
        // Even permutations of the corners keep the winding.
        match (&inside[..], &outside[..]) {
            (&[a], &[b, c, d]) => {
                let [b, c] = if odd([a, b, c, d]) { [c, b] } else { [b, c] };
                let triangle = [point(a, b), point(a, c), point(a, d)];
                self.triangles.push(triangle);
            }
            (&[b, c, d], &[a]) => {
                let [b, c] = if odd([a, b, c, d]) { [b, c] } else { [c, b] };
                let triangle = [point(a, b), point(a, c), point(a, d)];
                self.triangles.push(triangle);
            }
            (&[a, b], &[c, d]) => {
                let [c, d] = if odd([a, b, c, d]) { [d, c] } else { [c, d] };
                let [p, q, r, s] = [point(a, c), point(a, d), point(b, d), point(b, c)];
                self.triangles.extend([[p, q, r], [p, r, s]]);
            }
            _ => {}
        }
    }

    /// Adds another surface's triangles.
    pub(crate) fn join(&mut self, other: Self) {
        let shift = self.points.len() as u32;
        self.points.extend(other.points);
        self.triangles.extend(other.triangles.iter().map(|t| t.map(|k| k + shift)));
    }
}

/// Whether a permutation of 0, 1, 2, 3 takes an odd number of swaps.
fn odd(order: [usize; 4]) -> bool {
    let pairs = (0..4).flat_map(|i| (i + 1..4).map(move |j| (i, j)));
    pairs.filter(|&(i, j)| order[i] > order[j]).count() % 2 == 1
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// Volume by the divergence theorem; positive when normals point out.
    pub fn volume(surface: &Surface) -> f64 {
        let signed = |t: &[u32; 3]| {
            let [a, b, c] = t.map(|k| surface.points[k as usize]);
            a[0] * (b[1] * c[2] - b[2] * c[1])
                + a[1] * (b[2] * c[0] - b[0] * c[2])
                + a[2] * (b[0] * c[1] - b[1] * c[0])
        };
        surface.triangles.iter().map(signed).sum::<f64>() / 6.0
    }

    /// Every edge is passed once each way.
    pub fn is_closed(surface: &Surface) -> bool {
        let mut edges: HashMap<[u32; 2], i32> = HashMap::new();
        for [a, b, c] in &surface.triangles {
            for [from, to] in [[*a, *b], [*b, *c], [*c, *a]] {
                *edges.entry([from, to]).or_default() += 1;
            }
        }
        edges.iter().all(|([a, b], n)| *n == 1 && edges.get(&[*b, *a]) == Some(&1))
    }

    fn over(count: [usize; 3], half: f64, value: impl Fn([f64; 3]) -> f64) -> Surface {
        let lattice = Lattice { low: [-half; 3], high: [half; 3], count };
        let mut values = Vec::new();
        for z in 1..=count[2] {
            for y in 1..=count[1] {
                values.extend((1..=count[0]).map(|x| value(lattice.fenced([x, y, z]))));
            }
        }
        Surface::around(&lattice, &values)
    }

    #[test]
    fn prop_a_ball_is_closed_and_has_its_volume() {
        let ball = over([41, 43, 39], 10.0, |p| 7.0 - p.map(|v| v * v).iter().sum::<f64>().sqrt());
        assert!(is_closed(&ball));
        let exact = 4.0 / 3.0 * std::f64::consts::PI * 343.0;
        assert!((volume(&ball) / exact - 1.0).abs() < 5e-3, "{} of {exact}", volume(&ball));
    }

    #[test]
    fn prop_what_reaches_the_rim_is_closed_along_it() {
        let half_space = over([5, 6, 7], 1.0, |p| p[2] - 0.25);
        assert!(is_closed(&half_space));
        assert!((volume(&half_space) - 4.0 * 0.75).abs() < 1e-9, "{}", volume(&half_space));
    }

    #[test]
    fn prop_values_on_the_level_leave_the_surface_closed() {
        let touching = over([9, 9, 9], 1.0, |p| p.map(f64::abs).iter().sum::<f64>() - 1.0);
        assert!(is_closed(&touching));
        let saddle = over([9, 8, 7], 1.0, |p| p[0] * p[1] + 0.1 * p[2]);
        assert!(is_closed(&saddle));
    }
}
