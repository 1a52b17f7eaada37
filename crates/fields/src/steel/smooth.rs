//! Charge and field within a panel, from those of its neighbours.
//!
//! Evenly charged panels err like the square of their size. The charge is therefore let vary over a
//! panel with the slope that its neighbours' charges tell, and the mean of a field over a panel is
//! taken from its values at the centres of the panel and its neighbours.

use super::assemble::Member;
use super::panel::{Panel, dot, length, minus};

/// Neighbours count as of one smooth surface while their normals turn less than this cosine.
const SMOOTH: f64 = 0.8;

/// Directions in which neighbours tell less than this share of what they do in others tell nothing: of
/// slopes, and of curvatures, which where both would explain a difference must stand back.
const SLOPE: f64 = 1e-6;
const CURVATURE: f64 = 1e-3;

/// A sparse row: items and their weights.
pub(super) type Row = Vec<(usize, f64)>;

/// How slopes and means follow from values at the centres.
#[derive(Debug)]
pub(super) struct Smooth {
    /// Slope of the charge along the panel's two axes, per charge density of the items.
    pub slope: Vec<[Row; 2]>,
    /// Mean over the panel of a smooth normal field, per value of it at the items' centres.
    pub mean: Vec<Row>,
    /// `slope` by the item: panels whose slope it takes part in, along which axis, and how much.
    pub takes_part: Vec<Vec<(usize, usize, f64)>>,
}

impl Smooth {
    /// Looks for the neighbours of all panels.
    pub fn new(panels: &[Panel], members: &[Member]) -> Self {
        let near: Vec<Vec<usize>> = (0..panels.len())
            .map(|i| {
                (0..panels.len())
                    .filter(|&j| i != j && members[i].group == members[j].group)
                    .filter(|&j| adjoin(&panels[i], &panels[j]))
                    .collect()
            })
            .collect();
        let slope: Vec<[Row; 2]> =
            near.iter().enumerate().map(|(i, near)| slope(panels, i, near)).collect();
        let mean = near.iter().enumerate().map(|(i, near)| mean(panels, i, near)).collect();
        let mut takes_part = vec![Vec::new(); panels.len()];
        for (i, rows) in slope.iter().enumerate() {
            for (axis, row) in rows.iter().enumerate() {
                for &(item, weight) in row {
                    takes_part[item].push((i, axis, weight));
                }
            }
        }
        Self { slope, mean, takes_part }
    }

    /// What unit charge density of `item` makes, with the slopes it takes part in, from what density and
    /// slopes of each panel make.
    pub fn gather(&self, made: &[[Vec<f64>; 3]], item: usize) -> Vec<f64> {
        let mut out = made[item][0].clone();
        for &(panel, axis, weight) in &self.takes_part[item] {
            for (out, made) in out.iter_mut().zip(&made[panel][1 + axis]) {
                *out += weight * made;
            }
        }
        out
    }

    /// Charge density at the centre and slopes of each panel.
    pub fn densities(&self, charges: &[f64]) -> Vec<[f64; 3]> {
        let sum = |row: &Row| row.iter().map(|&(i, w)| w * charges[i]).sum::<f64>();
        charges.iter().zip(&self.slope).map(|(&c, [u, v])| [c, sum(u), sum(v)]).collect()
    }
}

/// Whether two panels touch and belong to one smooth surface.
fn adjoin(a: &Panel, b: &Panel) -> bool {
    let tolerance = 1e-6 * a.reach.min(b.reach);
    length(minus(a.centre, b.centre)) < a.reach + b.reach + tolerance
        && dot(a.normal, b.normal) > SMOOTH
        && (b.corner.iter().any(|&c| a.distance(c) < tolerance)
            || a.corner.iter().any(|&c| b.distance(c) < tolerance))
}

/// Place of a neighbour's centre along the panel's axes, in units of the panel's reach, folded flat.
fn place(panel: &Panel, other: &Panel) -> [f64; 2] {
    let d = minus(other.centre, panel.centre);
    let flat = panel.axis.map(|axis| dot(axis, d));
    let size = flat[0].hypot(flat[1]);
    flat.map(|c| c * length(d) / (size * panel.reach))
}

/// Weights of least squares: the x that makes `Σ w (a·x − f)²` least is `Σ f · row`.
fn least_squares<const N: usize>(items: &[([f64; N], f64)], doubt: [f64; N]) -> Vec<[f64; N]> {
    let mut normal = [[0.0; N]; N];
    for (a, w) in items {
        for i in 0..N {
            for j in 0..N {
                normal[i][j] += w * a[i] * a[j];
            }
        }
    }
    let most = (0..N).map(|i| normal[i][i]).fold(0.0, f64::max);
    for (i, row) in normal.iter_mut().enumerate() {
        row[i] += doubt[i] * most;
    }
    items.iter().map(|(a, w)| solved(normal, a.map(|c| c * w))).collect()
}

/// Solution of a small positive definite system, by elimination.
fn solved<const N: usize>(mut m: [[f64; N]; N], mut right: [f64; N]) -> [f64; N] {
    for k in 0..N {
        let pivot = m[k];
        for i in k + 1..N {
            let factor = m[i][k] / pivot[k];
            m[i].iter_mut().zip(pivot).for_each(|(value, above)| *value -= factor * above);
            right[i] -= factor * right[k];
        }
    }
    for k in (0..N).rev() {
        for j in k + 1..N {
            right[k] -= m[k][j] * right[j];
        }
        right[k] /= m[k][k];
    }
    right
}

fn slope(panels: &[Panel], i: usize, near: &[usize]) -> [Row; 2] {
    let items: Vec<([f64; 2], f64)> = near
        .iter()
        .map(|&j| place(&panels[i], &panels[j]))
        .map(|[u, v]| ([u, v], 1.0 / (u * u + v * v)))
        .collect();
    let weights = least_squares(&items, [SLOPE; 2]);
    [0, 1].map(|k| {
        let mut row: Row =
            near.iter().zip(&weights).map(|(&j, w)| (j, w[k] / panels[i].reach)).collect();
        let own = -row.iter().map(|(_, w)| w).sum::<f64>();
        row.push((i, own));
        row
    })
}

fn mean(panels: &[Panel], i: usize, near: &[usize]) -> Row {
    let panel = &panels[i];
    // A normal that turns would pass for a field that changes.
    let near: Vec<usize> = near.iter().copied().filter(|&j| panel.coplanar(&panels[j])).collect();
    let items: Vec<([f64; 5], f64)> = near
        .iter()
        .map(|&j| place(panel, &panels[j]))
        .map(|[u, v]| ([u, v, 0.5 * u * u, u * v, 0.5 * v * v], (u * u + v * v).powi(-2)))
        .collect();
    let doubt = [SLOPE, SLOPE, CURVATURE, CURVATURE, CURVATURE];
    let weights = least_squares(&items, doubt);
    let [uu, uv, vv] = panel.second_moments().map(|m| m / (panel.reach * panel.reach));
    let mut row: Row = near
        .iter()
        .zip(&weights)
        .map(|(&j, w)| (j, 0.5 * uu * w[2] + uv * w[3] + 0.5 * vv * w[4]))
        .collect();
    let own = 1.0 - row.iter().map(|(_, w)| w).sum::<f64>();
    row.push((i, own));
    row
}
