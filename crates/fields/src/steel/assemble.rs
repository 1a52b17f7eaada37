//! The matrix of all panels on all panels.

use std::ops::Range;

use faer::linalg::solvers::PartialPivLu;
use faer::{Mat, MatRef};
use rayon::prelude::*;

use super::flux::{Rule, is_near};
use super::panel::{Panel, length, minus};
use super::rectangles::Rectangle;
use super::smooth::Smooth;
use crate::simd::vectorized;

/// What assembly needs to know of a panel beside its geometry.
#[derive(Debug, Clone, Copy)]
pub(super) struct Member {
    /// Its closed surface, counted over all bodies.
    pub group: usize,
    /// The body it is of.
    pub body: usize,
    /// Itself in the body's frame, if it is a rectangle along that frame's axes; and whether its
    /// normal points along the positive axis.
    pub rectangle: Option<(Rectangle, bool)>,
}

/// Panels whose rows are made at a time: what lies between then stays small.
const ROWS: usize = 1024;

/// Mean normal field over every panel of unit charge density of every panel with the slopes this brings
/// about, the jump at the panel itself left out: column j is the field of panel j's charge.
pub(super) fn influence(panels: &[Panel], members: &[Member], smooth: &Smooth) -> Mat<f64> {
    let n = panels.len();
    // Each column is one task, and nothing is summed across tasks: the same bits for any threads.
    let mut columns: Vec<Vec<f64>> = vec![Vec::with_capacity(n); n];
    for start in (0..n).step_by(ROWS) {
        let rows = start..n.min(start + ROWS);
        let mut far = Rule::new();
        for panel in &panels[rows.clone()] {
            far.push_far(panel);
        }
        let made: Vec<[Vec<f64>; 3]> = (0..n)
            .into_par_iter()
            .map_init(Scratch::new, |scratch, j| scratch.made(panels, members, &far, &rows, j))
            .collect();
        columns
            .par_iter_mut()
            .enumerate()
            .for_each(|(j, column)| column.extend(smooth.gather(&made, j)));
    }
    columns.par_iter_mut().enumerate().for_each(|(j, c)| close_surfaces(c, panels, members, j));
    Mat::from_fn(n, n, |i, j| columns[j][i])
}

/// Buffers of one thread.
struct Scratch {
    near: Rule,
    near_row: Vec<usize>,
    exact: Vec<(usize, f64)>,
    each: [Vec<f64>; 3],
}

impl Scratch {
    fn new() -> Self {
        Self {
            near: Rule::new(),
            near_row: Vec::new(),
            exact: Vec::new(),
            each: Default::default(),
        }
    }

    /// Mean normal fields over the panels `rows`, whose points are `far`, of density and slopes of panel j.
    fn made(
        &mut self,
        panels: &[Panel],
        members: &[Member],
        far: &Rule,
        rows: &Range<usize>,
        j: usize,
    ) -> [Vec<f64>; 3] {
        let (source, from) = (panels[j], &members[j]);
        vectorized(
            #[inline(always)]
            || {
                far.each(
                    &mut self.each,
                    #[inline(always)]
                    move |p| source.fields(p),
                )
            },
        );
        let mut made = self.each.each_ref().map(|each| far.sums(each).collect::<Vec<f64>>());
        self.near.clear();
        self.near_row.clear();
        self.exact.clear();
        for (row, i) in rows.clone().enumerate() {
            let panel = &panels[i];
            let apart = length(minus(panel.centre, source.centre));
            // The distance from the panel itself is dearer and needed only if this does not settle it.
            if !is_near(panel, apart - source.reach) {
                continue;
            }
            let of = &members[i];
            if i == j || source.coplanar(panel) {
                for made in &mut made {
                    made[row] = 0.0;
                }
            } else if is_near(panel, source.distance(panel.centre)) {
                self.near.push_near(panel, |p| source.distance(p));
                self.near_row.push(row);
                if let (Some((target, positive)), Some((charged, _)), true) =
                    (of.rectangle, from.rectangle, of.body == from.body)
                {
                    let flux = target.flux_from(&charged) / panel.area;
                    self.exact.push((row, if positive { flux } else { -flux }));
                }
            }
        }
        let near = &self.near;
        vectorized(
            #[inline(always)]
            || {
                near.each(
                    &mut self.each,
                    #[inline(always)]
                    move |p| source.fields(p),
                )
            },
        );
        for (made, each) in made.iter_mut().zip(&self.each) {
            for (&row, mean) in self.near_row.iter().zip(near.sums(each)) {
                made[row] = mean;
            }
        }
        for &(row, mean) in &self.exact {
            made[0][row] = mean;
        }
        made
    }
}

/// Makes the flux of a panel's charge out of each closed surface exactly what Gauss's law says.
///
/// Of charge on the surface itself half leaves; of charge elsewhere all or nothing. Without this a body
/// of high permeability takes up net charge out of rounding and quadrature errors. What is missing goes
/// to the panels of the surface in proportion to the flux through each, so that far panels, where the
/// rule is exact, keep theirs.
fn close_surfaces(column: &mut [f64], panels: &[Panel], members: &[Member], j: usize) {
    let groups = 1 + members.iter().map(|m| m.group).max().unwrap_or(0);
    let (mut flux, mut passing) = (vec![0.0; groups], vec![0.0; groups]);
    for (i, member) in members.iter().enumerate() {
        flux[member.group] += column[i] * panels[i].area;
        passing[member.group] += (column[i] * panels[i].area).abs();
    }
    let charge = panels[j].area;
    let mut change = vec![0.0; groups];
    for (group, change) in change.iter_mut().enumerate() {
        let own = if group == members[j].group { 0.5 } else { 0.0 };
        let exact = charge * ((flux[group] / charge - own).round() + own);
        if passing[group] > 0.0 {
            *change = (exact - flux[group]) / passing[group];
        }
    }
    for (value, member) in column.iter_mut().zip(members) {
        *value += value.abs() * change[member.group];
    }
}

/// Factors of the balance `σ − 2λ h(σ) = 2λ h_ext` over all panels, λ = (μ − 1)/(μ + 1) of each body.
///
/// Each closed surface's mean charge is added to its rows. Its net charge is zero anyway, so that
/// changes nothing, except that the matrix stays regular up to an infinite permeability.
pub(super) fn factor(
    influence: MatRef<'_, f64>,
    panels: &[Panel],
    members: &[Member],
    twice_lambda: &[f64],
) -> PartialPivLu<f64> {
    let groups = 1 + members.iter().map(|m| m.group).max().unwrap_or(0);
    let mut area = vec![0.0; groups];
    for (panel, member) in panels.iter().zip(members) {
        area[member.group] += panel.area;
    }
    let n = panels.len();
    Mat::from_fn(n, n, |i, j| {
        let group = members[i].group;
        let mean = if group == members[j].group { panels[j].area / area[group] } else { 0.0 };
        let own = if i == j { 1.0 } else { 0.0 };
        own + twice_lambda[i] * (mean - influence[(i, j)])
    })
    .partial_piv_lu()
}
