//! How a contact is cut into tubes of air flux and segments of iron.

use crate::air::Tube;
use crate::geometry::Geometry;
use crate::kernel::{Kernel, Step, TubeWeight};
use crate::section;
use reedmace_units::Quantity;

/// A segment of iron.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Segment {
    /// The air tube it belongs to: its own, or in the overlap one shared with the other blade.
    pub tube: usize,
    /// Cross-section of iron, m².
    pub area: f64,
    /// Length, m.
    pub length: f64,
}

/// How the contact is cut: the counts of segments, and from them tubes and segments.
pub(crate) struct Cut<'a> {
    geometry: &'a Geometry,
    lead: usize,
    blade: usize,
    pub overlap: usize,
}

impl<'a> Cut<'a> {
    pub fn new(geometry: &'a Geometry, segments: usize) -> Self {
        let total = geometry.overall_length.si();
        let lead = 0.5 * (total - geometry.blade_span.si());
        let blade = 0.5 * (geometry.blade_span - geometry.overlap).si();
        let density = segments as f64 / total;
        let count = |length: f64, least: usize| ((length * density).ceil() as usize).max(least);
        Self {
            geometry,
            lead: if lead > 1e-9 * total { count(lead, 4) } else { 0 },
            blade: count(blade, 4),
            overlap: count(geometry.overlap.si(), 5),
        }
    }

    fn per_blade(&self) -> usize {
        self.lead + self.blade + self.overlap
    }

    /// Tubes from the left tip to the right one.
    pub fn tubes(&self) -> Vec<Tube> {
        let g = self.geometry;
        let (width, thickness) = (g.blade_width.si(), g.blade_thickness.si());
        let radius = [
            0.5 * g.lead_diameter.si(),
            section::equivalent_radius(width, thickness),
            section::equivalent_radius(width, 2.0 * thickness + g.gap.si()),
        ];
        let ends = [
            -0.5 * g.overall_length.si(),
            -0.5 * g.blade_span.si(),
            -0.5 * g.overlap.si(),
            0.5 * g.overlap.si(),
        ];
        // Charge crowds at the lead's tip and where the blade meets the overlap: cut fine there.
        let mut left: Vec<Tube> = cut(ends[0], ends[1], self.lead, radius[0], GRADING).collect();
        left.extend(cut(ends[2], ends[1], self.blade, radius[1], GRADING).rev());
        let right: Vec<Tube> = left.iter().rev().map(|t| Tube { x: -t.x, ..*t }).collect();
        let overlap = cut(ends[2], ends[3], self.overlap, radius[2], 0.0);
        left.into_iter().chain(overlap).chain(right).collect()
    }

    /// Iron segments: the left blade from its lead tip to its end in the overlap, then the right
    /// blade from its end in the overlap to its lead tip.
    pub fn segments(&self) -> Vec<Segment> {
        let g = self.geometry;
        let tubes = self.tubes();
        let lead_area = std::f64::consts::FRAC_PI_4 * g.lead_diameter.si().powi(2);
        let blade_area = g.blade_width.si() * g.blade_thickness.si();
        let segment = |tube: usize| Segment {
            tube,
            area: if tube < self.lead || tube >= tubes.len() - self.lead {
                lead_area
            } else {
                blade_area
            },
            length: tubes[tube].length,
        };
        let per_blade = self.per_blade();
        let left = 0..per_blade;
        let right = per_blade - self.overlap..tubes.len();
        left.chain(right).map(segment).collect()
    }

    pub fn is_overlap(&self, tube: usize) -> bool {
        (self.lead + self.blade..self.per_blade()).contains(&tube)
    }

    /// Turns one weight per tube on the outside potential, Wb/A, and one on B_z, Wb/T, into weights on
    /// the field along the way from each tube's middle to the next.
    pub fn kernel(&self, tubes: &[Tube], weights: &[f64], injected: &[f64]) -> Kernel {
        let g = self.geometry;
        let half_overlap = 0.5 * g.overlap.si();
        let offset = 0.5 * (g.blade_thickness + g.gap).si();
        // Φ = Σ w U = Σ c (U_k − U_{k+1}) with c the running sum of w: U falls along H.
        let mut sum = 0.0;
        let steps = tubes.windows(2).zip(weights).map(|(pair, w)| {
            sum += w;
            Step::new(sum, pair[0].x, pair[1].x, half_overlap, offset)
        });
        let per_tube = tubes.iter().enumerate().map(|(k, t)| TubeWeight {
            x: t.x,
            z: if self.is_overlap(k) { 0.0 } else { offset * t.x.signum() },
            weight: weights[k],
            injected: injected[k],
        });
        Kernel::new(steps.collect(), &per_tube.collect::<Vec<_>>())
    }
}

/// How much finer a graded stretch is cut at its start: the first segment is about
/// (1 − g)/(1 + g) of the last.
const GRADING: f64 = 0.9;

/// `n` tubes between `start` and `end`, finest at the start: ends at g s² + (1 − g) s, 0 ≤ s ≤ 1.
fn cut(
    start: f64,
    end: f64,
    n: usize,
    radius: f64,
    grading: f64,
) -> impl DoubleEndedIterator<Item = Tube> {
    let at = move |k: usize| {
        let s = k as f64 / n.max(1) as f64;
        start + (end - start) * s * (1.0 - grading + grading * s)
    };
    (0..n).map(move |k| {
        let (a, b) = (at(k), at(k + 1));
        Tube { x: 0.5 * (a + b), length: (b - a).abs(), radius }
    })
}
