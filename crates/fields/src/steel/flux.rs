//! Mean normal field over a panel: quadrature points, finer where the charge is near.

use super::panel::{Panel, length, minus};
use crate::{Points, Vectors};

/// Nodes and weights of the Gauss rules of 2 and 4 points on [-1, 1] (`[dlmf]` 3.5.v).
const GAUSS_2: [(f64, f64); 2] = [(-0.577_350_269_189_625_8, 1.0), (0.577_350_269_189_625_8, 1.0)];
const GAUSS_4: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
    (-0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
    (0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
];

/// Within this many reaches of a panel charge counts as near it.
///
/// Beyond, the rule of 2 × 2 points is good to 1e-4 of the panel's mean.
const NEAR: f64 = 5.0;

/// A piece is cut in two while charge is within this many of its own reaches.
const CUT: f64 = 2.0;

/// Pieces are cut at most this often: the field grows like a logarithm at worst.
const MOST_CUTS: usize = 10;

/// Points taken at a time.
const CHUNK: usize = 256;

/// Points with normals and weights on panels, each panel's weights adding up to 1.
#[derive(Debug, Clone, Default)]
pub(super) struct Rule {
    pub point: Vectors,
    /// Unit normal times weight.
    pub normal: Vectors,
    /// Where each panel's points start, and the end.
    pub start: Vec<usize>,
}

impl Rule {
    /// Empty.
    pub fn new() -> Self {
        Self { start: vec![0], ..Self::default() }
    }

    /// The 2 × 2 rule, good for charges beyond [`NEAR`].
    pub fn push_far(&mut self, panel: &Panel) {
        self.push_gauss(panel, &GAUSS_2, [-1.0, 1.0, -1.0, 1.0]);
        self.close();
    }

    /// As many points as charges near by need; `distance` tells how far a point is from them.
    pub fn push_near(&mut self, panel: &Panel, distance: impl Fn([f64; 3]) -> f64) {
        self.push_pieces(panel, &distance, [-1.0, 1.0, -1.0, 1.0], MOST_CUTS);
        self.close();
    }

    fn push_pieces(
        &mut self,
        panel: &Panel,
        distance: &impl Fn([f64; 3]) -> f64,
        piece: [f64; 4],
        cuts: usize,
    ) {
        let [u0, u1, v0, v1] = piece;
        let (um, vm) = (0.5 * (u0 + u1), 0.5 * (v0 + v1));
        let at = |u: f64, v: f64| panel.place(u, v).0;
        let centre = at(um, vm);
        let reach = [at(u0, v0), at(u1, v0), at(u0, v1), at(u1, v1)]
            .map(|c| length(minus(c, centre)))
            .into_iter()
            .fold(0.0, f64::max);
        if cuts == 0 || distance(centre) > CUT * reach {
            self.push_gauss(panel, &GAUSS_4, piece);
            return;
        }
        let wide = length(minus(at(u1, vm), at(u0, vm))) > length(minus(at(um, v1), at(um, v0)));
        let halves = if wide {
            [[u0, um, v0, v1], [um, u1, v0, v1]]
        } else {
            [[u0, u1, v0, vm], [u0, u1, vm, v1]]
        };
        for half in halves {
            self.push_pieces(panel, distance, half, cuts - 1);
        }
    }

    fn push_gauss(&mut self, panel: &Panel, rule: &[(f64, f64)], [u0, u1, v0, v1]: [f64; 4]) {
        let (hu, hv) = (0.5 * (u1 - u0), 0.5 * (v1 - v0));
        for &(xu, wu) in rule {
            for &(xv, wv) in rule {
                let (point, area) = panel.place(u0 + hu * (1.0 + xu), v0 + hv * (1.0 + xv));
                self.push(point, panel.normal, wu * wv * hu * hv * area / panel.area);
            }
        }
    }

    fn push(&mut self, point: [f64; 3], normal: [f64; 3], weight: f64) {
        let [x, y, z] = point;
        self.point.x.push(x);
        self.point.y.push(y);
        self.point.z.push(z);
        self.normal.x.push(normal[0] * weight);
        self.normal.y.push(normal[1] * weight);
        self.normal.z.push(normal[2] * weight);
    }

    fn close(&mut self) {
        self.start.push(self.point.len());
    }

    /// Takes all points out again.
    pub fn clear(&mut self) {
        for v in [&mut self.point, &mut self.normal] {
            v.x.clear();
            v.y.clear();
            v.z.clear();
        }
        self.start.truncate(1);
    }

    /// Weight times normal component of the `K` fields `h` at each point.
    #[inline(always)]
    pub fn each<const K: usize>(
        &self,
        out: &mut [Vec<f64>; K],
        h: impl Fn([f64; 3]) -> [[f64; 3]; K],
    ) {
        let n = self.point.len();
        for out in &mut *out {
            out.clear();
            out.resize(n, 0.0);
        }
        let mut start = 0;
        while start < n {
            let size = CHUNK.min(n - start);
            let Points { x, y, z } = self.point.points().range(start, size);
            let Points { x: nx, y: ny, z: nz } = self.normal.points().range(start, size);
            // Results that cannot lie where the points do leave the compiler free to take many at once.
            let mut values = [[0.0; CHUNK]; K];
            for i in 0..size {
                let fields = h([x[i], y[i], z[i]]);
                for k in 0..K {
                    values[k][i] =
                        fields[k][0] * nx[i] + fields[k][1] * ny[i] + fields[k][2] * nz[i];
                }
            }
            for (out, values) in out.iter_mut().zip(&values) {
                out[start..start + size].copy_from_slice(&values[..size]);
            }
            start += size;
        }
    }

    /// Sum over each panel's points.
    pub fn sums<'a>(&'a self, each: &'a [f64]) -> impl Iterator<Item = f64> + 'a {
        self.start.windows(2).map(|s| each[s[0]..s[1]].iter().sum())
    }
}

/// Whether a panel needs [`Rule::push_near`] for charge at this distance from its centre.
pub(super) fn is_near(panel: &Panel, distance: f64) -> bool {
    distance < NEAR * panel.reach
}
