//! Flux density inside the steel.
//!
//! The field in iron is the small difference of the sources' and the charges', and μ times that keeps
//! few digits. The flux that enters through each panel is known well, though: `B_n = μ0 σ μ/(μ − 1)`.
//! A second charge τ on the same surface, whose field inside the body alone has this flux, gives B
//! without cancellation: the interior Neumann problem, `τ/2 − h(τ) = −B_n/μ0`.

use std::ops::Range;

use faer::Mat;
use faer::linalg::solvers::{PartialPivLu, Solve};

use super::assemble::{Member, factor, influence};
use super::panel::{Panel, dot, minus};
use super::smooth::Smooth;
use super::{ChargedSteel, Steel};
use crate::{Source, Vectors};

/// The highest flux density found in one body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteelFlux {
    /// Magnitude, T.
    pub b: f64,
    /// Where, m.
    pub at: [f64; 3],
}

/// One body by itself, for its inner field.
#[derive(Debug)]
pub(super) struct Inner {
    /// Its panels among all.
    pub panels: Range<usize>,
    smooth: Smooth,
    factors: PartialPivLu<f64>,
}

impl Steel {
    /// The highest flux density of each body halfway between each panel and the surface opposite, under
    /// charges of [`Steel::solve`]; zero where the permeability is one.
    ///
    /// Halfway through, what corners and edges crowd together has evened out: it is the flux density
    /// that saturates a plate, a wall, a bar. Factors each body's equations once more, at the first call.
    pub fn flux_density(&self, charges: &[f64]) -> Vec<SteelFlux> {
        let inner = self.surface.inner.get_or_init(|| inner(&self.panels, &self.surface.members));
        inner.iter().map(|body| self.highest(body, charges)).collect()
    }

    fn highest(&self, body: &Inner, charges: &[f64]) -> SteelFlux {
        let panels = &self.panels[body.panels.clone()];
        let inward = Mat::from_fn(panels.len(), 1, |i, _| {
            let i = body.panels.start + i;
            // μ/(μ − 1) = 1/(2λ) + 1/2; no charge where there is no iron.
            let twice = self.solved.twice_lambda[i];
            if twice == 0.0 { 0.0 } else { -2.0 * charges[i] * (1.0 / twice + 0.5) }
        });
        let solved = body.factors.solve(&inward);
        let tau: Vec<f64> = solved.col(0).iter().copied().collect();
        let densities = body.smooth.densities(&tau);
        let field = ChargedSteel { panels, charges: tau, densities };
        let middle: Vec<[f64; 3]> = panels.iter().map(|p| halfway(p, panels)).collect();
        let at = Vectors::from_rows(middle);
        let mut b = Vectors::zeros(at.len());
        field.add_b(at.points(), b.view_mut());
        let size = |i: usize| b.x[i].hypot(b.y[i]).hypot(b.z[i]);
        let most = (0..at.len()).fold(0, |most, i| if size(i) > size(most) { i } else { most });
        SteelFlux { b: size(most), at: at.get(most) }
    }
}

/// The point halfway from a panel's centre to where its inward normal leaves the body.
fn halfway(from: &Panel, panels: &[Panel]) -> [f64; 3] {
    let out = panels.iter().filter_map(|p| p.crossed_by(from.centre, from.normal.map(|c| -c)));
    let depth = out.filter(|&d| d > 1e-6 * from.reach).fold(f64::INFINITY, f64::min);
    // A ray through a seam of the panels may miss both.
    let depth = if depth.is_finite() { depth } else { from.reach };
    std::array::from_fn(|i| from.centre[i] - 0.5 * depth * from.normal[i])
}

fn inner(panels: &[Panel], members: &[Member]) -> Vec<Inner> {
    let bodies = members.last().map_or(0, |m| m.body + 1);
    (0..bodies)
        .map(|body| {
            let start = members.partition_point(|m| m.body < body);
            let range = start..members.partition_point(|m| m.body <= body);
            let (panels, members) = (&panels[range.clone()], &members[range.clone()]);
            let smooth = Smooth::new(panels, members);
            let twice_lambda = vec![2.0; panels.len()];
            let influence = influence(panels, members, &smooth);
            let factors = factor(&influence, panels, members, &twice_lambda);
            Inner { panels: range, smooth, factors }
        })
        .collect()
}

impl Panel {
    /// How far along a ray the panel lies, if the ray crosses it.
    fn crossed_by(&self, from: [f64; 3], direction: [f64; 3]) -> Option<f64> {
        let steep = dot(direction, self.normal);
        if steep.abs() < 1e-9 {
            return None;
        }
        let along = dot(minus(self.centre, from), self.normal) / steep;
        let at = std::array::from_fn(|i| from[i] + along * direction[i]);
        (along > 0.0 && self.distance(at) < 1e-9 * self.reach).then_some(along)
    }
}
