//! Where a source's field is looked at on the panels, and how their loads follow.
//!
//! One point on each panel does while sources keep off. Nearer, a panel is cut into pieces, and the mean
//! field over it no longer tells enough: what a field does through the steel differs from one end of a
//! panel to the other. The weight of a field is therefore let vary over the panel with the slope that the
//! neighbours' weights tell, for what the field differs from the slope of its own means; on that, means
//! alone are right to a higher order. In the shadow of a plate, where little is left of a field, all would
//! else be error.

use std::sync::Arc;

use super::Steel;
use super::flux::GAUSS_2;
use super::panel::{Panel, dot, length, minus};
use super::smooth::Row;
use super::system::Surface;
use crate::{MU_0, Pose, Source, Vectors};

/// Sources nearer to the centre of a panel than this many of its reaches are looked at on pieces of it;
/// beyond, the field there and at its neighbours' centres tells the mean.
const SMOOTH: f64 = 3.0;
/// A piece is cut in two while a source is nearer than this many of its own reaches.
const CUT: f64 = 1.5;
/// Times a panel is halved at most for one source.
const HALVINGS: usize = 8;

/// Points on the panels at which the field of sources is looked at.
#[derive(Debug, Clone)]
pub struct SteelRule {
    /// The points, m: the centre of each panel, then those on pieces of panels.
    pub points: Vectors,
    /// Unit normal at each point, out of the steel.
    pub normals: Vectors,
    /// The points on pieces, panel by panel.
    on_pieces: Vec<OnPiece>,
    surface: Arc<Surface>,
}

/// A point on a piece of a panel.
#[derive(Debug, Clone, Copy)]
struct OnPiece {
    panel: usize,
    /// Share of the panel's area that it stands for.
    share: f64,
    /// Its place from the panel's centre along the panel's axes, m.
    along: [f64; 2],
}

/// Pieces that panels are cut into: which panel, and the bounds `[u, u, v, v]` of the piece in [-1, 1].
/// The pieces of a panel follow each other and fill it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pieces(Vec<(usize, [f64; 4])>);

impl Pieces {
    /// How many pieces, of all panels together.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// True when no panel is cut.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl SteelRule {
    /// One point on each panel.
    pub(super) fn new(panels: &[Panel], surface: Arc<Surface>) -> Self {
        Self {
            points: Vectors::from_rows(panels.iter().map(|p| p.centre)),
            normals: Vectors::from_rows(panels.iter().map(|p| p.normal)),
            on_pieces: Vec::new(),
            surface,
        }
    }

    /// The same with four more on each of the pieces.
    fn with(mut self, panels: &[Panel], pieces: &Pieces) -> Self {
        for (i, bounds) in &pieces.0 {
            let panel = &panels[*i];
            for (at, share) in points_on(panel, *bounds) {
                let along = panel.axis.map(|axis| dot(axis, minus(at, panel.centre)));
                self.on_pieces.push(OnPiece { panel: *i, share, along });
                push(&mut self.points, at);
                push(&mut self.normals, panel.normal);
            }
        }
        self
    }

    pub(super) fn moved(&self, to_from_here: &Pose) -> Self {
        let each = |v: &Vectors, f: &dyn Fn([f64; 3]) -> [f64; 3]| {
            Vectors::from_rows((0..v.len()).map(|i| f(v.get(i))))
        };
        Self {
            points: each(&self.points, &|p| to_from_here.apply(p)),
            normals: each(&self.normals, &|n| to_from_here.apply_to_vector(n)),
            ..self.clone()
        }
    }

    /// The points on pieces, those of each panel together, with the number of the first.
    fn by_panel(&self) -> impl Iterator<Item = (usize, &[OnPiece])> {
        let mut first = self.surface.area.len();
        self.on_pieces.chunk_by(|a, b| a.panel == b.panel).map(move |points| {
            first += points.len();
            (first - points.len(), points)
        })
    }

    /// The load of flux densities (T) at the points: the mean normal field over each panel, A/m, and on
    /// account of slopes what panels in pieces pass on to their neighbours.
    ///
    /// # Panics
    /// When there are not as many of them as points.
    pub fn load_of(&self, b: &Vectors) -> Vec<f64> {
        assert_eq!(b.len(), self.points.len(), "one flux density for every point");
        let n = &self.normals;
        let normal: Vec<f64> = (0..b.len())
            .map(|i| (b.x[i] * n.x[i] + b.y[i] * n.y[i] + b.z[i] * n.z[i]) / MU_0)
            .collect();
        let Surface { smooth, area, .. } = &*self.surface;
        let mut means: Vec<f64> = smooth.mean.iter().map(|row| sum(row, &normal)).collect();
        for (first, points) in self.by_panel() {
            let parts = points.iter().zip(&normal[first..]);
            means[points[0].panel] = parts.map(|(point, h)| point.share * h).sum();
        }
        let mut load = means.clone();
        for (first, points) in self.by_panel() {
            let panel = points[0].panel;
            let slopes = &smooth.slope[panel];
            let expected = self.turned(panel, slopes.each_ref().map(|row| sum(row, &means)));
            for k in 0..2 {
                let parts = points.iter().zip(&normal[first..]);
                let moment: f64 = parts.map(|(point, h)| point.share * point.along[k] * h).sum();
                for &(other, w) in &slopes[k] {
                    load[other] += (moment - expected[k]) * w * area[panel] / area[other];
                }
            }
        }
        load
    }

    /// Weights on the normal flux density at each point, per T, that give `weights · load`: with
    /// [`Steel::solve_transpose`], any figure as a sum over the field of what drives it.
    pub fn on_normal_field(&self, weights: &[f64]) -> Vec<f64> {
        let Surface { smooth, area, .. } = &*self.surface;
        let densities: Vec<f64> = weights.iter().zip(area).map(|(w, area)| w / area).collect();
        let slopes_at = |panel: usize| {
            smooth.slope[panel].each_ref().map(|row| area[panel] * sum(row, &densities))
        };
        let (mut on_means, mut in_pieces) = (weights.to_vec(), vec![false; weights.len()]);
        for (_, points) in self.by_panel() {
            let panel = points[0].panel;
            in_pieces[panel] = true;
            let turned = self.turned(panel, slopes_at(panel));
            for (slope, row) in turned.iter().zip(&smooth.slope[panel]) {
                row.iter().for_each(|&(other, w)| on_means[other] -= slope * w);
            }
        }
        let mut normal = vec![0.0; self.points.len()];
        for (panel, row) in smooth.mean.iter().enumerate().filter(|(i, _)| !in_pieces[*i]) {
            row.iter().for_each(|&(i, w)| normal[i] += w * on_means[panel] / MU_0);
        }
        for (first, points) in self.by_panel() {
            let panel = points[0].panel;
            let [u, v] = slopes_at(panel);
            for (point, normal) in points.iter().zip(&mut normal[first..]) {
                let sloping = u * point.along[0] + v * point.along[1];
                *normal = point.share * (on_means[panel] + sloping) / MU_0;
            }
        }
        normal
    }

    /// First moments over a panel of what has these slopes along its axes.
    fn turned(&self, panel: usize, [u, v]: [f64; 2]) -> [f64; 2] {
        let [uu, uv, vv] = self.surface.second_moments[panel];
        [uu * u + uv * v, uv * u + vv * v]
    }
}

fn sum(row: &Row, values: &[f64]) -> f64 {
    row.iter().map(|&(i, w)| w * values[i]).sum()
}

impl Steel {
    /// Where a field is looked at whose sources keep off: one point on each panel.
    pub fn rule(&self) -> &SteelRule {
        &self.rule
    }

    /// The same on pieces of panels as well.
    pub fn rule_on(&self, pieces: &Pieces) -> SteelRule {
        self.rule.clone().with(&self.panels, pieces)
    }

    /// The pieces that `source` needs.
    pub fn pieces(&self, source: &dyn Source) -> Pieces {
        self.pieces_within(|p| source.clearance(p), HALVINGS)
    }

    /// The pieces that sources need of which the nearest comes to within `clearance` (m) of a point; no
    /// panel is halved more than `halvings` times.
    pub fn pieces_within(&self, clearance: impl Fn([f64; 3]) -> f64, halvings: usize) -> Pieces {
        let mut pieces = Vec::new();
        for (i, panel) in self.panels.iter().enumerate() {
            if clearance(panel.centre) < SMOOTH * panel.reach {
                let whole = [-1.0, 1.0, -1.0, 1.0];
                cut(panel, &clearance, halvings, whole, &mut |piece| pieces.push((i, piece)));
            }
        }
        Pieces(pieces)
    }

    /// What `source` drives the panels with, A/m; see [`SteelRule::load_of`]. Sources must lie outside
    /// the steel.
    pub fn load(&self, source: &dyn Source) -> Vec<f64> {
        let rule = self.rule_on(&self.pieces(source));
        let mut b = Vectors::zeros(rule.points.len());
        source.add_b(rule.points.points(), b.view_mut());
        rule.load_of(&b)
    }
}

/// Four points on a piece of a panel, m, and the share of the panel's area that each stands for.
fn points_on(
    panel: &Panel,
    [u0, u1, v0, v1]: [f64; 4],
) -> impl Iterator<Item = ([f64; 3], f64)> + '_ {
    let (hu, hv) = (0.5 * (u1 - u0), 0.5 * (v1 - v0));
    let pairs = GAUSS_2.iter().flat_map(|u| GAUSS_2.iter().map(move |v| (u, v)));
    pairs.map(move |(&(xu, wu), &(xv, wv))| {
        let (at, area) = panel.place(u0 + hu * (1.0 + xu), v0 + hv * (1.0 + xv));
        (at, wu * wv * hu * hv * area / panel.area)
    })
}

fn push(to: &mut Vectors, [x, y, z]: [f64; 3]) {
    to.x.push(x);
    to.y.push(y);
    to.z.push(z);
}

fn cut(
    panel: &Panel,
    clearance: &impl Fn([f64; 3]) -> f64,
    halvings: usize,
    [u0, u1, v0, v1]: [f64; 4],
    pieces: &mut impl FnMut([f64; 4]),
) {
    let (um, vm) = (0.5 * (u0 + u1), 0.5 * (v0 + v1));
    let at = |u: f64, v: f64| panel.place(u, v).0;
    let centre = at(um, vm);
    let corners = [at(u0, v0), at(u1, v0), at(u0, v1), at(u1, v1)];
    let reach = corners.map(|c| length(minus(c, centre))).into_iter().fold(0.0, f64::max);
    if halvings == 0 || clearance(centre) > CUT * reach {
        pieces([u0, u1, v0, v1]);
        return;
    }
    let wide = length(minus(at(u1, vm), at(u0, vm))) > length(minus(at(um, v1), at(um, v0)));
    let halves = if wide {
        [[u0, um, v0, v1], [um, u1, v0, v1]]
    } else {
        [[u0, u1, v0, vm], [u0, u1, vm, v1]]
    };
    for half in halves {
        cut(panel, clearance, halvings - 1, half, pieces);
    }
}
