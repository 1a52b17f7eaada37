//! The drives of a source at many places along the contact, from one row of field values.
//!
//! Shifting a source along the contact shifts its field, so on a row of equally spaced places the
//! drives are a convolution of the field on the contact's axis with the kernel: with the kernel's
//! weights spread to the points of a grid, neighbouring places share all but one of their field values.

use crate::kernel::KernelPair;
use reedmace_fields::{Source, Vectors};
use reedmace_units::FluxDensity;

/// Points of the grid from which the field between them is interpolated.
const STENCIL: usize = 12;
/// Spacing of the grid at most, over the distance from the contact's axis to the source: the error of
/// interpolation is then below 1e-5 of the field, see `cross_along`.
const FINENESS: f64 = 1.0 / 8.0;

/// Least distance from the contact's axis to the source, over the farthest that a blade's centre line
/// lies off it: the error of interpolation across the axis is then below 2e-5 of the drive, `cross_along`.
const OFF_AXIS: f64 = 8.0;

/// The kernels of a contact's two states on a grid along its axis.
#[derive(Debug, Clone)]
pub struct Along<'a> {
    pair: &'a KernelPair,
    /// Distance between points of the grid, m.
    spacing: f64,
    /// Number of the first point; point k lies at k times the spacing.
    first: i64,
    lines: Vec<Line>,
}

/// One line of the grid.
#[derive(Debug, Clone)]
struct Line {
    /// Place along the gap normal, m.
    height: f64,
    /// Weights on B_x and B_z at each point, of the open and of the closed state, Wb/T; those that are
    /// all zero are left out.
    weights: [[Vec<f64>; 2]; 2],
}

impl<'a> Along<'a> {
    /// Puts the kernels on a grid of `spacing` (m): on the axis alone, for sources that are [far](Self::is_far)
    /// from it, or on the centre lines of both blades as well.
    pub fn new(pair: &'a KernelPair, spacing: f64, far: bool) -> Self {
        let off = pair.off_axis();
        let (points, heights) = match far {
            true => (pair.axis_points(), vec![0.0]),
            false => (pair.full_points(), vec![-off, 0.0, off]),
        };
        let numbers = points.iter().flatten().map(|[x, ..]| x / spacing);
        let (lo, hi) =
            numbers.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), s| (lo.min(s), hi.max(s)));
        let (first, last) = (start_of_stencil(lo), start_of_stencil(hi) + STENCIL as i64);
        let line = |(k, height): (usize, f64)| {
            let on_line = |[_, z, _, _]: [f64; 4]| match heights.len() {
                1 => 1.0,
                _ => parabola(z / off)[k],
            };
            let spread = |points: &[[f64; 4]], component: usize| {
                let mut on_grid = vec![0.0; (last - first) as usize];
                for point in points {
                    let (s, weight) = (point[0] / spacing, point[2 + component] * on_line(*point));
                    if weight != 0.0 {
                        let start = start_of_stencil(s);
                        let on_grid = &mut on_grid[(start - first) as usize..];
                        for (sum, share) in on_grid.iter_mut().zip(lagrange(s - start as f64)) {
                            *sum += weight * share;
                        }
                    }
                }
                if on_grid.iter().all(|w| *w == 0.0) { Vec::new() } else { on_grid }
            };
            let weights = points.each_ref().map(|state| [0, 1].map(|c| spread(state, c)));
            Line { height, weights }
        };
        let lines = heights.iter().copied().enumerate().map(line).collect();
        Self { pair, spacing, first, lines }
    }

    /// True for sources that come no nearer to the contact's axis than `distance` (m) where the compressed
    /// kernel serves them.
    pub fn is_far(pair: &KernelPair, distance: f64) -> bool {
        distance >= pair.least_compressed_clearance()
    }

    /// True where a source this far from the contact's axis (m) is served by a grid of `spacing`.
    pub fn serves(pair: &KernelPair, spacing: f64, distance: f64) -> bool {
        distance * FINENESS >= spacing && distance >= OFF_AXIS * pair.off_axis()
    }

    /// Drives of the open and the closed contact with `source` (in the contact's frame) shifted along
    /// x by 0, 1, 2, … times `points` spacings of the grid.
    ///
    /// The source must be served, at each of the places; steel beside the contact is not.
    pub fn drives(&self, source: &dyn Source, points: i64, places: usize) -> Vec<[FluxDensity; 2]> {
        let reach = points * (places as i64 - 1);
        // Point k of the grid seen from a source shifted by s is point k − s.
        let lowest = self.first - reach.max(0);
        let mut flux = vec![[0.0; 2]; places];
        for line in &self.lines {
            let taps = line.weights.iter().flatten().map(Vec::len).max().unwrap_or(0);
            let count = taps + reach.unsigned_abs() as usize;
            let x = |i: usize| (lowest + i as i64) as f64 * self.spacing;
            let at = Vectors::from_rows((0..count).map(|i| [x(i), 0.0, line.height]));
            let mut b = Vectors::zeros(count);
            source.add_b(at.points(), b.view_mut());
            for (m, flux) in flux.iter_mut().enumerate() {
                let from = (self.first - points * m as i64 - lowest) as usize;
                let (bx, bz) = (&b.x[from..from + taps], &b.z[from..from + taps]);
                for (flux, [axial, normal]) in flux.iter_mut().zip(&line.weights) {
                    *flux += dot(axial, bx) + dot(normal, bz);
                }
            }
        }
        flux.into_iter().map(|flux| self.pair.drives_of_flux(flux)).collect()
    }
}

/// Weights of the points −1, 0, 1 for the value at `t` between them.
fn parabola(t: f64) -> [f64; 3] {
    [0.5 * t * (t - 1.0), 1.0 - t * t, 0.5 * t * (t + 1.0)]
}

/// First of the points from which the field at `s` (in spacings) is interpolated.
fn start_of_stencil(s: f64) -> i64 {
    s.floor() as i64 - (STENCIL as i64 / 2 - 1)
}

/// Weights of the points 0, 1, … for the value at `s` in their middle.
///
/// Source: Lagrange's formula, `[dlmf]` 3.3, its products shared between the points.
fn lagrange(s: f64) -> [f64; STENCIL] {
    let mut weights = INVERSE;
    let (mut below, mut above) = (1.0, 1.0);
    for k in 0..STENCIL {
        weights[k] *= below;
        below *= s - k as f64;
        let from_end = STENCIL - 1 - k;
        weights[from_end] *= above;
        above *= s - from_end as f64;
    }
    weights
}

/// One over the product of each point's distances from the others.
const INVERSE: [f64; STENCIL] = {
    let mut inverse = [1.0; STENCIL];
    let mut k = 0;
    while k < STENCIL {
        let mut j = 0;
        while j < STENCIL {
            if j != k {
                inverse[k] /= k as f64 - j as f64;
            }
            j += 1;
        }
        k += 1;
    }
    inverse
};

/// Σ a b in four partial sums, which the compiler keeps in vector registers.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(a, b)| a * b).sum();
    let mut sums = [0.0; 4];
    for (a, b) in a4.zip(b4) {
        (0..4).for_each(|i| sums[i] += a[i] * b[i]);
    }
    sums[0] + sums[1] + (sums[2] + sums[3]) + rest
}
