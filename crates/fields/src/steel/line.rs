//! Loads of straight charged segments.

use std::f64::consts::PI;

use faer::Mat;
use rayon::prelude::*;

use super::Steel;
use super::flux::{Rule, is_near};
use super::panel::{dot, length, minus};
use crate::simd::vectorized;

/// A straight segment evenly charged with unit charge in all: outside a thin tube, the tube itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    /// One end, m.
    pub from: [f64; 3],
    /// The other end, m; not the same.
    pub to: [f64; 3],
}

impl Segment {
    /// Field of unit charge (in A·m) at `p` (m), A/m.
    pub fn h(&self, p: [f64; 3]) -> [f64; 3] {
        let whole = minus(self.to, self.from);
        let size = length(whole);
        self.field(whole.map(|c| c / size), size, p)
    }

    /// Scalar potential of unit charge (in A·m) at `p` (m), A: `asinh(s/ρ)/(4π l)` between the ends.
    pub fn potential(&self, p: [f64; 3]) -> f64 {
        let whole = minus(self.to, self.from);
        let size = length(whole);
        let along = whole.map(|c| c / size);
        let d = minus(self.from, p);
        let s1 = dot(along, d);
        let s2 = s1 + size;
        let rho = length([s1 * along[0] - d[0], s1 * along[1] - d[1], s1 * along[2] - d[2]]);
        let rho = rho.max(1e-12 * size);
        ((s2 / rho).asinh() - (s1 / rho).asinh()) / (4.0 * PI * size)
    }

    /// Field of unit charge (in A·m; `H = q r/(4π r³)` of each part) at `p` (m): A/m.
    ///
    /// `4π l H = t [1/r] + ρ [s/r]/ρ²` between the ends, ρ the way from the line to the point.
    #[inline(always)]
    fn field(&self, along: [f64; 3], size: f64, p: [f64; 3]) -> [f64; 3] {
        let d = minus(self.from, p);
        let s1 = dot(along, d);
        let s2 = s1 + size;
        let rho = [s1 * along[0] - d[0], s1 * along[1] - d[1], s1 * along[2] - d[2]];
        let rho2 = dot(rho, rho) + 1e-24 * size * size;
        let (r1, r2) = ((s1 * s1 + rho2).sqrt(), (s2 * s2 + rho2).sqrt());
        // [s/r]/ρ²: beside the segment as it stands, ahead or behind without cancellation.
        let beside = (s2 / r2 - s1 / r1) / rho2;
        let (a1, a2) = (s1.abs(), s2.abs());
        let beyond = (1.0 / (r1 * (r1 + a1)) - 1.0 / (r2 * (r2 + a2))).abs();
        let across = if s1 * s2 > 0.0 { beyond } else { beside };
        let axial = 1.0 / r2 - 1.0 / r1;
        let scale = 0.25 / (PI * size);
        let component = |i: usize| scale * (along[i] * axial + rho[i] * across);
        [component(0), component(1), component(2)]
    }

    /// Distance from a point, m.
    fn distance(&self, p: [f64; 3]) -> f64 {
        let (whole, d) = (minus(self.to, self.from), minus(p, self.from));
        let share = (dot(whole, d) / dot(whole, whole)).clamp(0.0, 1.0);
        length(minus(d, whole.map(|c| c * share)))
    }
}

impl Steel {
    /// Loads (columns) of unit charges (A·m) spread on `segments`, which lie outside the steel.
    pub fn loads_of_segments(&self, segments: &[Segment]) -> Mat<f64> {
        let mut far = Rule::new();
        for panel in &self.panels {
            far.push_far(panel);
        }
        let columns: Vec<Vec<f64>> =
            segments.par_iter().map(|segment| self.segment_load(&far, segment)).collect();
        Mat::from_fn(self.len(), segments.len(), |i, j| columns[j][i])
    }

    fn segment_load(&self, far: &Rule, segment: &Segment) -> Vec<f64> {
        let whole = minus(segment.to, segment.from);
        let size = length(whole);
        let along = whole.map(|c| c / size);
        let mut each = [Vec::new()];
        vectorized(
            #[inline(always)]
            || {
                far.each(
                    &mut each,
                    #[inline(always)]
                    move |p| [segment.field(along, size, p)],
                )
            },
        );
        let mut load: Vec<f64> = far.sums(&each[0]).collect();
        let (mut near, mut index) = (Rule::new(), Vec::new());
        for (i, panel) in self.panels.iter().enumerate() {
            if is_near(panel, segment.distance(panel.centre)) {
                near.push_near(panel, |p| segment.distance(p));
                index.push(i);
            }
        }
        vectorized(
            #[inline(always)]
            || {
                near.each(
                    &mut each,
                    #[inline(always)]
                    move |p| [segment.field(along, size, p)],
                )
            },
        );
        for (&i, mean) in index.iter().zip(near.sums(&each[0])) {
            load[i] = mean;
        }
        load
    }
}
