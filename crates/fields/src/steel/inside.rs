//! Flux density inside the steel.
//!
//! The field in iron is the small difference of the sources' and the charges', and μ times that keeps
//! few digits. The flux that enters through each panel is known well, though: `B_n = μ0 σ μ/(μ − 1)`.
//! A second charge τ on the same surface, whose field inside the body alone has this flux, gives B
//! without cancellation: the interior Neumann problem, `τ/2 − h(τ) = −B_n/μ0`.

use std::ops::Range;

use faer::Mat;
use faer::linalg::solvers::{PartialPivLu, Solve};
use rayon::prelude::*;

use super::Steel;
use super::assemble::factor;
use super::charged::fields_together;
use super::panel::{Panel, dot, minus};
use crate::Vectors;

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
    panels: Range<usize>,
    /// How far under each of them the point lies that is halfway through the body, m.
    depth: Vec<f64>,
    factors: PartialPivLu<f64>,
}

impl Steel {
    /// The highest flux density of each body halfway between each panel and the surface opposite, under
    /// charges of [`Steel::solve`]; zero where the permeability is one.
    ///
    /// Halfway through, what corners and edges crowd together has evened out: it is the flux density
    /// that saturates a plate, a wall, a bar. Factors each body's equations once more, at the first call.
    pub fn flux_density(&self, charges: &[f64]) -> Vec<SteelFlux> {
        self.flux_densities(&[charges.to_vec()]).swap_remove(0)
    }

    /// [`Steel::flux_density`] of several charges, in little more time than of one.
    pub fn flux_densities(&self, charges: &[Vec<f64>]) -> Vec<Vec<SteelFlux>> {
        let inner = self.surface.inner.get_or_init(|| self.inner());
        let bodies: Vec<Vec<SteelFlux>> =
            inner.iter().map(|body| self.highest(body, charges)).collect();
        (0..charges.len()).map(|k| bodies.iter().map(|of| of[k]).collect()).collect()
    }

    /// The highest flux density of one body under each of the charges.
    fn highest(&self, body: &Inner, charges: &[Vec<f64>]) -> Vec<SteelFlux> {
        let (range, panels) = (body.panels.clone(), &self.panels[body.panels.clone()]);
        let mut tau = Mat::from_fn(panels.len(), charges.len(), |i, k| {
            // μ/(μ − 1) = 1/(2λ) + 1/2; no charge where there is no iron.
            let twice = self.solved.twice_lambda[range.start + i];
            let charge = charges[k][range.start + i];
            if twice == 0.0 { 0.0 } else { -2.0 * charge * (1.0 / twice + 0.5) }
        });
        body.factors.solve_in_place(tau.as_mut());
        // Slopes come from neighbours, which are of the same body.
        let mut all = vec![0.0; self.len()];
        let densities: Vec<Vec<[f64; 3]>> = (0..charges.len())
            .map(|k| {
                all[range.clone()].iter_mut().zip(tau.col(k).iter()).for_each(|(a, t)| *a = *t);
                self.surface.smooth.densities(&all)[range.clone()].to_vec()
            })
            .collect();
        let middle = |(panel, depth): (&Panel, &f64)| {
            std::array::from_fn(|i| panel.centre[i] - depth * panel.normal[i])
        };
        let at = Vectors::from_rows(panels.iter().zip(&body.depth).map(middle));
        let most = |h: Vectors| {
            let b = |i: usize| crate::MU_0 * h.x[i].hypot(h.y[i]).hypot(h.z[i]);
            let most = (0..at.len()).fold(0, |most, i| if b(i) > b(most) { i } else { most });
            SteelFlux { b: b(most), at: at.get(most) }
        };
        fields_together(panels, &densities, at.points()).into_iter().map(most).collect()
    }

    fn inner(&self) -> Vec<Inner> {
        let members = &self.surface.members;
        let bodies = members.last().map_or(0, |m| m.body + 1);
        let of_body = |body: usize| {
            let start = members.partition_point(|m| m.body < body);
            let range = start..members.partition_point(|m| m.body <= body);
            let (panels, members) = (&self.panels[range.clone()], &members[range.clone()]);
            let influence = self.surface.influence_within(range.clone());
            let factors = factor(influence, panels, members, &vec![2.0; panels.len()]);
            let depth = panels.par_iter().map(|panel| half_depth(panel, panels)).collect();
            Inner { panels: range, depth, factors }
        };
        (0..bodies).map(of_body).collect()
    }
}

/// Half the way from a panel's centre to where its inward normal leaves the body, m.
fn half_depth(from: &Panel, panels: &[Panel]) -> f64 {
    let out = panels.iter().filter_map(|p| p.crossed_by(from.centre, from.normal.map(|c| -c)));
    let depth = out.filter(|&d| d > 1e-6 * from.reach).fold(f64::INFINITY, f64::min);
    // A ray through a seam of the panels may miss both.
    0.5 * if depth.is_finite() { depth } else { from.reach }
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
