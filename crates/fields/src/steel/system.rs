//! The panels of all bodies and their factored equations.

use std::ops::Range;
use std::sync::{Arc, OnceLock};

use faer::linalg::solvers::{PartialPivLu, Solve};
use faer::{Col, Mat, MatMut, MatRef};

use super::assemble::{Member, factor, influence};
use super::charged::ChargedSteel;
use super::inside::Inner;
use super::panel::{Panel, length, minus};
use super::rectangles::Rectangle;
use super::shape::{Facet, facets};
use super::smooth::{Row, Smooth};
use super::{MOST_PANELS, SteelBody, SteelError};
use crate::{MU_0, Pose, Source, Vectors};

/// Soft-magnetic bodies, cut into panels, their equations factored.
///
/// A source outside drives the mean normal field over each panel, its *load* (A/m); [`Steel::solve`]
/// turns it into charge densities of the panels (A/m); [`Steel::charged`] is their field. Everything
/// between is linear: by [`Steel::solve_transpose`] any figure that is a weighted sum of the charges
/// becomes one of the load.
///
/// Measured at 2000 panels (`tests/steel.rs`): demagnetizing factors of cylinders to 4e-5 up to any
/// permeability; the field above a plate under a block to 0.2 %, in its shadow, where a twentieth of
/// the field is left, to 0.8 % of the field without the plate, a quarter of that at 4000. A sphere is a
/// polyhedron and 0.4 % off at 800. The same bits whatever the number of threads.
#[derive(Debug, Clone)]
pub struct Steel {
    pub(super) panels: Vec<Panel>,
    pub(super) rule: SteelRule,
    pub(super) surface: Arc<Surface>,
    pub(super) solved: Arc<Solved>,
}

/// What neither rigid motion nor the permeability changes.
#[derive(Debug)]
pub(super) struct Surface {
    pub members: Vec<Member>,
    pub smooth: Smooth,
    /// Total area of each closed surface, m².
    group_area: Vec<f64>,
    influence: Mat<f64>,
    /// Each body by itself, once somebody asks for its inside.
    pub inner: OnceLock<Vec<Inner>>,
}

impl Surface {
    /// The influence of some panels on each other: those of one body, as if it were alone.
    pub fn influence_within(&self, panels: Range<usize>) -> MatRef<'_, f64> {
        let (first, count) = (panels.start, panels.len());
        self.influence.as_ref().submatrix(first, first, count, count)
    }
}

/// What rigid motion leaves as it is.
#[derive(Debug)]
pub(super) struct Solved {
    /// `2λ` of each panel.
    pub twice_lambda: Vec<f64>,
    factors: PartialPivLu<f64>,
}

/// Where [`Steel::load`] looks at a field: one point on each panel.
#[derive(Debug, Clone, Default)]
pub struct SteelRule {
    /// Centre of each panel, m.
    pub points: Vectors,
    /// Unit normal of each panel, out of the steel.
    pub normals: Vectors,
}

impl Steel {
    /// Cuts `bodies` into about `panels` panels in all, finer near edges, and factors their equations.
    ///
    /// # Errors
    /// Sizes, permeabilities, meshes that make no sense; bodies that touch or overlap; more than
    /// [`MOST_PANELS`] panels.
    pub fn new(bodies: &[SteelBody], panels: usize) -> Result<Self, SteelError> {
        Self::finer_near(bodies, panels, &[])
    }

    /// The same with panels finer the nearer they are to the places `near` (m, world): along a contact,
    /// on the way of a magnet.
    ///
    /// # Errors
    /// Those of [`Steel::new`].
    pub fn finer_near(
        bodies: &[SteelBody],
        panels: usize,
        near: &[[f64; 3]],
    ) -> Result<Self, SteelError> {
        if panels > MOST_PANELS {
            return Err(SteelError::TooManyPanels { wanted: panels });
        }
        let mut all = Vec::new();
        let mut members = Vec::new();
        let mut groups = 0;
        for (body, (it, facets)) in bodies.iter().zip(cut(bodies, panels, near)?).enumerate() {
            let first = groups;
            for facet in facets {
                let at_home = Panel::new(facet.corner);
                let rectangle = facet.axis.map(|axis| {
                    let across = Rectangle::new(axis, facet.corner[0], facet.corner[2]);
                    (across, at_home.normal[axis] > 0.0)
                });
                let group = first + facet.group;
                groups = groups.max(group + 1);
                members.push(Member { group, body, rectangle });
                all.push(placed(&at_home, &it.world_from_body));
            }
        }
        if all.len() > MOST_PANELS {
            return Err(SteelError::TooManyPanels { wanted: all.len() });
        }
        apart(&all, &members)?;
        let smooth = Smooth::new(&all, &members);
        let influence = influence(&all, &members, &smooth);
        let mut group_area = vec![0.0; groups];
        for (panel, member) in all.iter().zip(&members) {
            group_area[member.group] += panel.area;
        }
        let surface = Surface { members, smooth, group_area, influence, inner: OnceLock::new() };
        Self::factored(rule_of(&all), all, Arc::new(surface), bodies)
    }

    /// The same panels with the permeabilities of `bodies`, of which nothing else is looked at: only the
    /// factors are made anew.
    ///
    /// # Errors
    /// [`SteelError::Permeability`], [`SteelError::Singular`].
    ///
    /// # Panics
    /// When there are fewer bodies.
    pub fn with_permeabilities(&self, bodies: &[SteelBody]) -> Result<Self, SteelError> {
        check_permeabilities(bodies)?;
        Self::factored(self.rule.clone(), self.panels.clone(), self.surface.clone(), bodies)
    }

    fn factored(
        rule: SteelRule,
        panels: Vec<Panel>,
        surface: Arc<Surface>,
        bodies: &[SteelBody],
    ) -> Result<Self, SteelError> {
        let twice_lambda: Vec<f64> = surface
            .members
            .iter()
            .map(|member| bodies[member.body].permeability)
            .map(|mu| if mu.is_infinite() { 2.0 } else { 2.0 * (mu - 1.0) / (mu + 1.0) })
            .collect();
        let factors = factor(surface.influence.as_ref(), &panels, &surface.members, &twice_lambda);
        let solved = Arc::new(Solved { twice_lambda, factors });
        let steel = Self { panels, rule, surface, solved };
        let test = steel.solve(&vec![1.0; steel.len()]);
        if test.iter().all(|c| c.is_finite()) { Ok(steel) } else { Err(SteelError::Singular) }
    }

    /// How many panels.
    pub fn len(&self) -> usize {
        self.panels.len()
    }

    /// True when there is no steel.
    pub fn is_empty(&self) -> bool {
        self.panels.is_empty()
    }

    /// Area of each panel, m².
    pub fn areas(&self) -> Vec<f64> {
        self.panels.iter().map(|p| p.area).collect()
    }

    /// Corners of each panel in the world, m, counterclockwise seen from outside; a triangle's last
    /// corner is its first again.
    pub fn corners(&self) -> Vec<[[f64; 3]; 4]> {
        self.panels.iter().map(|p| p.corner).collect()
    }

    /// The body each panel is of.
    pub fn body_of(&self, panel: usize) -> usize {
        self.surface.members[panel].body
    }

    /// Where a field is looked at.
    pub fn rule(&self) -> &SteelRule {
        &self.rule
    }

    /// Mean normal field of `source` over each panel, A/m. Sources must lie outside the steel.
    pub fn load(&self, source: &dyn Source) -> Vec<f64> {
        let mut b = Vectors::zeros(self.len());
        source.add_b(self.rule.points.points(), b.view_mut());
        self.load_of(&b)
    }

    /// The load of flux densities (T) at the points of [`Steel::rule`], A/m.
    ///
    /// # Panics
    /// When there are not as many of them as panels.
    pub fn load_of(&self, b: &Vectors) -> Vec<f64> {
        assert_eq!(b.len(), self.len(), "one flux density for every panel");
        let n = &self.rule.normals;
        let normal: Vec<f64> = (0..b.len())
            .map(|i| (b.x[i] * n.x[i] + b.y[i] * n.y[i] + b.z[i] * n.z[i]) / MU_0)
            .collect();
        let mean = |row: &Row| row.iter().map(|&(i, w)| w * normal[i]).sum();
        self.surface.smooth.mean.iter().map(mean).collect()
    }

    /// Weights on the flux density at the points of [`Steel::rule`] that give `weights · load`: with
    /// [`Steel::solve_transpose`], any figure as a sum over the field of what drives it, per T.
    pub fn on_field(&self, weights: &[f64]) -> Vectors {
        let mut normal = vec![0.0; self.len()];
        for (row, weight) in self.surface.smooth.mean.iter().zip(weights) {
            for &(i, w) in row {
                normal[i] += w * weight / MU_0;
            }
        }
        let times = |n: &[f64]| n.iter().zip(&normal).map(|(n, w)| n * w).collect();
        let n = &self.rule.normals;
        Vectors { x: times(&n.x), y: times(&n.y), z: times(&n.z) }
    }

    /// Charge density of each panel, A/m, under a load of [`Steel::load`].
    ///
    /// What the load lets through each closed surface in all is taken out first: sources outside let
    /// nothing through, whatever the rule makes of them. The net charge is then zero.
    pub fn solve(&self, load: &[f64]) -> Vec<f64> {
        let mut right = Mat::from_fn(self.len(), 1, |i, _| load[i]);
        self.solve_in_place(right.as_mut());
        right.col(0).iter().copied().collect()
    }

    /// [`Steel::solve`] for the loads in the columns of a matrix.
    pub fn solve_many(&self, mut loads: Mat<f64>) -> Mat<f64> {
        self.solve_in_place(loads.as_mut());
        loads
    }

    fn solve_in_place(&self, mut right: MatMut<'_, f64>) {
        for j in 0..right.ncols() {
            let mut through = vec![0.0; self.surface.group_area.len()];
            for (i, panel) in self.panels.iter().enumerate() {
                through[self.surface.members[i].group] += right[(i, j)] * panel.area;
            }
            for i in 0..self.len() {
                let group = self.surface.members[i].group;
                right[(i, j)] -= through[group] / self.surface.group_area[group];
                right[(i, j)] *= self.solved.twice_lambda[i];
            }
        }
        self.solved.factors.solve_in_place(right);
    }

    /// Weights on the load that give `row · charges`: `row · solve(load) = solve_transpose(row) · load`.
    pub fn solve_transpose(&self, row: &[f64]) -> Vec<f64> {
        let back: Col<f64> =
            self.solved.factors.solve_transpose(Col::from_fn(self.len(), |i| row[i]));
        let mut weights: Vec<f64> =
            back.iter().zip(&self.solved.twice_lambda).map(|(b, s)| b * s).collect();
        let mut sum = vec![0.0; self.surface.group_area.len()];
        for (weight, member) in weights.iter().zip(&self.surface.members) {
            sum[member.group] += weight;
        }
        for (i, weight) in weights.iter_mut().enumerate() {
            let group = self.surface.members[i].group;
            *weight -= sum[group] * self.panels[i].area / self.surface.group_area[group];
        }
        weights
    }

    /// The field of the charges.
    ///
    /// # Panics
    /// When there are not as many charges as panels.
    pub fn charged(&self, charges: Vec<f64>) -> ChargedSteel<'_> {
        assert_eq!(charges.len(), self.len(), "one charge density for every panel");
        let densities = self.surface.smooth.densities(&charges);
        ChargedSteel { panels: &self.panels, charges, densities }
    }

    /// All bodies moved together by `to_from_here`, without solving anew.
    pub fn moved(&self, to_from_here: &Pose) -> Self {
        let panels: Vec<Panel> = self.panels.iter().map(|p| placed(p, to_from_here)).collect();
        let (surface, solved) = (self.surface.clone(), self.solved.clone());
        Self { rule: rule_of(&panels), panels, surface, solved }
    }
}

fn check_permeabilities(bodies: &[SteelBody]) -> Result<(), SteelError> {
    let bad = |mu: f64| mu.is_nan() || mu < 1.0;
    match bodies.iter().find(|b| bad(b.permeability)) {
        Some(body) => Err(SteelError::Permeability { value: body.permeability }),
        None => Ok(()),
    }
}

/// Each body in facets; the finer share goes to larger surfaces, as the root of their area.
fn cut(
    bodies: &[SteelBody],
    panels: usize,
    near: &[[f64; 3]],
) -> Result<Vec<Vec<Facet>>, SteelError> {
    check_permeabilities(bodies)?;
    let mut extents = Vec::new();
    for body in bodies {
        let area: f64 =
            facets(&body.shape, 1, &[])?.iter().map(|f| Panel::new(f.corner).area).sum();
        extents.push(area.sqrt());
    }
    let whole: f64 = extents.iter().sum();
    bodies
        .iter()
        .zip(&extents)
        .map(|(body, extent)| {
            let aim = (panels as f64 * extent / whole) as usize;
            let near: Vec<_> =
                near.iter().map(|p| body.world_from_body.apply_inverse(*p)).collect();
            facets(&body.shape, aim, &near)
        })
        .collect()
}

fn placed(panel: &Panel, world_from_body: &Pose) -> Panel {
    Panel::new(panel.corner.map(|c| world_from_body.apply(c)))
}

fn rule_of(panels: &[Panel]) -> SteelRule {
    SteelRule {
        points: Vectors::from_rows(panels.iter().map(|p| p.centre)),
        normals: Vectors::from_rows(panels.iter().map(|p| p.normal)),
    }
}

/// Refuses bodies of which one has a panel in or on the other.
fn apart(panels: &[Panel], members: &[Member]) -> Result<(), SteelError> {
    let bodies = 1 + members.iter().map(|m| m.body).max().unwrap_or(0);
    let of = |body: usize| {
        panels.iter().zip(members).filter(move |(_, m)| m.body == body).map(|(p, _)| p)
    };
    let spheres: Vec<([f64; 3], f64)> = (0..bodies)
        .map(|body| {
            let count = of(body).count().max(1) as f64;
            let centre: [f64; 3] =
                std::array::from_fn(|i| of(body).map(|p| p.centre[i]).sum::<f64>() / count);
            (
                centre,
                of(body).map(|p| length(minus(p.centre, centre)) + p.reach).fold(0.0, f64::max),
            )
        })
        .collect();
    for first in 0..bodies {
        for second in 0..bodies {
            let ((a, reach_a), (b, reach_b)) = (spheres[first], spheres[second]);
            if first == second || length(minus(a, b)) > reach_a + reach_b {
                continue;
            }
            for panel in of(first) {
                // Just before the panel, so that touching faces are found as well.
                let before =
                    std::array::from_fn(|i| panel.centre[i] + 1e-6 * panel.reach * panel.normal[i]);
                // Share of all directions in which the other body's surface is seen from within: 1 or 0.
                let within: f64 = of(second).map(|p| -p.solid_angle(before)).sum();
                if within > 0.5 {
                    return Err(SteelError::Overlap {
                        first: first.min(second),
                        second: first.max(second),
                    });
                }
            }
        }
    }
    Ok(())
}
