//! Weights on the field along the contact: the drive of any source is a dot product.

use crate::gauss;
use reedmace_fields::{MU_0, Source, Vectors, VectorsMut};
use reedmace_units::{FluxDensity, Quantity};

/// The way between the middles of two neighbouring tubes, and its weight.
#[derive(Debug, Clone)]
pub(crate) struct Step {
    /// Gap flux per ampere of potential falling along this step, Wb/A.
    pub weight: f64,
    /// Points `[x, z, dx, dz]`: ∫ H·dl over the step is Σ H_x dx + H_z dz.
    pub points: Vec<[f64; 4]>,
}

/// A straight run of the contact along x on which one Gauss rule serves.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Run {
    pub from: f64,
    pub to: f64,
    pub z: f64,
}

impl Step {
    /// From `from` to `to` along x, on the left blade's centre line (−offset), the overlap's (0) or
    /// the right blade's (+offset), changing between them where the overlap ends.
    pub fn new(weight: f64, from: f64, to: f64, half_overlap: f64, offset: f64) -> Self {
        let mut points = Vec::new();
        let height = |x: f64| {
            if x < -half_overlap {
                -offset
            } else if x > half_overlap {
                offset
            } else {
                0.0
            }
        };
        let mut along = |a: f64, b: f64| {
            let (middle, half) = (0.5 * (a + b), 0.5 * (b - a));
            for t in [-gauss::GAUSS_2, gauss::GAUSS_2] {
                points.push([middle + t * half, height(middle), half, 0.0]);
            }
        };
        match [-half_overlap, half_overlap].into_iter().find(|e| from < *e && *e < to) {
            None => along(from, to),
            Some(end) => {
                along(from, end);
                along(end, to);
                points.push([end, 0.5 * offset * end.signum(), 0.0, offset]);
            }
        }
        Self { weight, points }
    }
}

/// A quadrature rule for the gap flux: Φ = Σ `axial` B_x + `normal` B_z over its points, Wb/T.
#[derive(Debug, Clone, Default)]
pub struct Rule {
    at: Vectors,
    axial: Vec<f64>,
    normal: Vec<f64>,
    /// The rule serves sources at least this far from the contact's line, m.
    clearance: f64,
}

impl Rule {
    /// Points in the contact's frame, m.
    pub fn at(&self) -> &Vectors {
        &self.at
    }
    /// Weights on B_x and on B_z, Wb/T.
    pub fn weights(&self) -> (&[f64], &[f64]) {
        (&self.axial, &self.normal)
    }
    /// Least distance of a source from the contact's line for which this rule is good, m.
    pub fn clearance(&self) -> f64 {
        self.clearance
    }
    /// How many points.
    pub fn len(&self) -> usize {
        self.axial.len()
    }
    /// True when it has no points.
    pub fn is_empty(&self) -> bool {
        self.axial.is_empty()
    }
    fn push(&mut self, x: f64, z: f64, axial: f64, normal: f64) {
        self.at.x.push(x);
        self.at.y.push(0.0);
        self.at.z.push(z);
        self.axial.push(axial);
        self.normal.push(normal);
    }
}

/// Room for one batch of field values, kept by the caller so that a drive allocates nothing.
#[derive(Debug, Default)]
pub struct Scratch(Vectors);

/// What turns a field into gap flux and drive: made once per contact and state.
#[derive(Debug, Clone)]
pub struct Kernel {
    /// From few points for far sources to many for near ones; the last serves any distance.
    rules: Vec<Rule>,
    steps: Vec<Step>,
    line: [[f64; 3]; 2],
    /// Gap flux in a uniform axial field of 1 T, Wb.
    uniform: f64,
}

/// Orders of the Gauss rules for far sources, per blade.
const ORDERS: [usize; 4] = [5, 8, 14, 24];
/// The compression error aimed at, relative to the largest response.
const COMPRESSION: f64 = 1e-7;

impl Kernel {
    pub(crate) fn new(steps: Vec<Step>, runs: &[Run; 3], injected: &[(f64, f64)]) -> Self {
        let mut full = Rule::default();
        for &(x, weight) in injected {
            full.push(x, 0.0, 0.0, weight);
        }
        for s in &steps {
            for p in &s.points {
                full.push(p[0], p[1], s.weight * p[2] / MU_0, s.weight * p[3] / MU_0);
            }
        }
        let uniform = full.axial.iter().sum();
        let mut rules: Vec<Rule> =
            ORDERS.iter().filter_map(|&n| compress(&full, runs, n)).collect();
        rules.push(full);
        let line = [[runs[0].from, 0.0, 0.0], [runs[2].to, 0.0, 0.0]];
        Self { rules, steps, line, uniform }
    }

    /// Gap flux that `source` (in the contact's frame) drives, Wb.
    ///
    /// Positive from the left blade to the right one.
    pub fn flux(&self, source: &dyn Source, scratch: &mut Scratch) -> f64 {
        apply(self.rule_for(source), source, scratch)
    }

    /// Drive: the uniform axial flux density that would send the same flux through the gap.
    pub fn drive(&self, source: &dyn Source, scratch: &mut Scratch) -> FluxDensity {
        FluxDensity::tesla(self.flux(source, scratch) / self.uniform)
    }

    /// The drive that a gap flux in Wb amounts to.
    pub fn drive_of_flux(&self, flux: f64) -> FluxDensity {
        FluxDensity::tesla(flux / self.uniform)
    }

    /// Gap flux in a uniform axial field, Wb.
    pub fn flux_in_uniform(&self, field: FluxDensity) -> f64 {
        field.si() * self.uniform
    }

    /// Every rule, from the fewest points to the most.
    pub fn rules(&self) -> &[Rule] {
        &self.rules
    }

    /// The rule with the fewest points that serves a source at its distance.
    pub fn rule_for(&self, source: &dyn Source) -> &Rule {
        let clearance = self.clearance(source);
        let last = self.rules.len() - 1;
        self.rules[..last].iter().find(|r| clearance >= r.clearance).unwrap_or(&self.rules[last])
    }

    /// A lower bound of the distance from the source to the line from lead tip to lead tip, m.
    fn clearance(&self, source: &dyn Source) -> f64 {
        // The distance to a body changes by at most the distance walked: sample the line and take
        // off half the spacing.
        const SAMPLES: usize = 16;
        let [a, b] = self.line;
        let spacing = (b[0] - a[0]) / SAMPLES as f64;
        let nearest = (0..SAMPLES)
            .map(|k| source.clearance([a[0] + (k as f64 + 0.5) * spacing, 0.0, 0.0]))
            .fold(f64::INFINITY, f64::min);
        nearest - 0.5 * spacing
    }

    pub(crate) fn steps(&self) -> &[Step] {
        &self.steps
    }
}

fn apply(rule: &Rule, source: &dyn Source, scratch: &mut Scratch) -> f64 {
    let n = rule.len();
    let b = &mut scratch.0;
    for c in [&mut b.x, &mut b.y, &mut b.z] {
        c.clear();
        c.resize(n, 0.0);
    }
    let out = VectorsMut { x: &mut b.x, y: &mut b.y, z: &mut b.z };
    source.add_b(rule.at.points(), out);
    let axial: f64 = rule.axial.iter().zip(&b.x).map(|(w, b)| w * b).sum();
    let normal: f64 = rule.normal.iter().zip(&b.z).map(|(w, b)| w * b).sum();
    axial + normal
}

/// A rule of `order` points per blade with the same moments as `full`: Gauss quadrature whose weight
/// function is the kernel itself.
///
/// `None` when the kernel changes sign on a run, where such a rule need not exist.
fn compress(full: &Rule, runs: &[Run; 3], order: usize) -> Option<Rule> {
    let mut rule = Rule::default();
    let mut longest: f64 = 0.0;
    for (i, run) in runs.iter().enumerate() {
        let (mut x, mut w) = (Vec::new(), Vec::new());
        for (k, &weight) in full.axial.iter().enumerate() {
            if weight != 0.0 && run.from <= full.at.x[k] && full.at.x[k] <= run.to {
                x.push(full.at.x[k]);
                w.push(weight);
            }
        }
        let order = if i == 1 { 4 } else { order };
        for (x, w) in gauss::reduce(&x, &w, order)? {
            rule.push(x, run.z, w, 0.0);
        }
        longest = longest.max(run.to - run.from);
    }
    for k in 0..full.len() {
        if full.normal[k] != 0.0 {
            rule.push(full.at.x[k], full.at.z[k], 0.0, full.normal[k]);
        }
    }
    // A field analytic but for sources a distance d off the run's middle converges as ρ^(−2n) with
    // ρ = d/h + √(1 + (d/h)²), h the half-length [trefethen2008]; solve for d.
    let rho = COMPRESSION.powf(-0.5 / order as f64);
    rule.clearance = 0.25 * longest * (rho - 1.0 / rho);
    Some(rule)
}
