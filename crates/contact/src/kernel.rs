//! Weights on the field along the contact: the drive of any source is a dot product.
//!
//! Close to a source every step between two segments counts, each on its own blade's centre line: the
//! full rule. Farther off the field is smooth along the contact, and a Gauss rule whose weight
//! function is the kernel itself does with a few points on the contact's axis: the compressed rules.

mod blend;

use crate::gauss;
use reedmace_fields::steel::Steel;
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
    fn sum(&self, b: &Vectors) -> f64 {
        let axial: f64 = self.axial.iter().zip(&b.x).map(|(w, b)| w * b).sum();
        let normal: f64 = self.normal.iter().zip(&b.z).map(|(w, b)| w * b).sum();
        axial + normal
    }
}

/// A rule on the panels of steel beside the contact: Φ = Σ weight · normal · B over its points, Wb.
#[derive(Debug, Clone)]
pub(crate) struct SteelRule {
    at: Vectors,
    normals: Vectors,
    /// Wb/T.
    weights: Vec<f64>,
}

impl SteelRule {
    /// From the weight of each panel on the mean normal field of the sources there, Wb per A/m.
    pub fn new(steel: &Steel, per_panel: &[f64]) -> Self {
        let (rule, on_field) = (steel.rule(), steel.on_field(per_panel));
        let n = &rule.normals;
        let along =
            |i: usize| on_field.x[i] * n.x[i] + on_field.y[i] * n.y[i] + on_field.z[i] * n.z[i];
        let weights = (0..n.len()).map(along).collect();
        Self { at: rule.points.clone(), normals: n.clone(), weights }
    }
    fn sum(&self, b: &Vectors) -> f64 {
        let n = &self.normals;
        let along = |i: usize| n.x[i] * b.x[i] + n.y[i] * b.y[i] + n.z[i] * b.z[i];
        self.weights.iter().enumerate().map(|(i, w)| w * along(i)).sum()
    }
}

/// Room for one batch of field values, kept by the caller so that a drive allocates nothing.
#[derive(Debug, Default)]
pub struct Scratch(Vectors);

impl Scratch {
    fn field(&mut self, source: &dyn Source, at: &Vectors) -> &Vectors {
        let b = &mut self.0;
        for c in [&mut b.x, &mut b.y, &mut b.z] {
            c.clear();
            c.resize(at.len(), 0.0);
        }
        source.add_b(at.points(), VectorsMut { x: &mut b.x, y: &mut b.y, z: &mut b.z });
        b
    }
}

/// What turns a field into gap flux and drive: made once per contact and state.
#[derive(Debug, Clone)]
pub struct Kernel {
    /// Serves any source.
    full: Rule,
    /// The same as weights on the axis: B_x at the steps' points, B_z at the tubes' middles.
    axial: Weights,
    normal: Weights,
    steps: Vec<Step>,
    line: [f64; 2],
    /// Gap flux of the bare contact in a uniform axial field of 1 T, Wb.
    uniform: f64,
    /// What steel beside the contact adds.
    steel: Option<SteelRule>,
}

/// The kernels of a contact's two states on shared points: one batch of field values gives both.
#[derive(Debug, Clone)]
pub struct KernelPair {
    open: Kernel,
    closed: Kernel,
    compressed: Vec<Compressed>,
}

/// Weights on one component of B at places along the axis, Wb/T.
#[derive(Debug, Clone, Default)]
pub(crate) struct Weights {
    x: Vec<f64>,
    w: Vec<f64>,
}

/// Few points on the axis that serve both states, for sources at least `clearance` away, m.
#[derive(Debug, Clone)]
struct Compressed {
    clearance: f64,
    rules: [Rule; 2],
}

/// Orders of the compressed rules.
const ORDERS: [usize; 8] = [6, 9, 13, 19, 28, 40, 56, 80];
/// The compression error aimed at, relative to the largest response; measured in
/// `cross_compression`, with the blades' offset from the axis, which is kept to first order.
const COMPRESSION: f64 = 1e-5;
/// Samples of the line from tip to tip at which the distance to a source is taken.
const SAMPLES: usize = 16;

impl Kernel {
    /// From the steps between tubes, and per tube its middle, height and weight on the potential
    /// there (Wb/A) and the weight on B_z that the field along the gap normal injects (Wb/T).
    pub(crate) fn new(steps: Vec<Step>, tubes: &[TubeWeight]) -> Self {
        let (mut full, mut axial, mut normal) =
            (Rule::default(), Weights::default(), Weights::default());
        for t in tubes {
            // U(x, z) = U(x, 0) − z H_z to first order.
            normal.push(t.x, t.injected - t.weight * t.z / MU_0);
            if t.injected != 0.0 {
                full.push(t.x, 0.0, 0.0, t.injected);
            }
        }
        for s in &steps {
            for p in &s.points {
                full.push(p[0], p[1], s.weight * p[2] / MU_0, s.weight * p[3] / MU_0);
                if p[2] != 0.0 {
                    axial.push(p[0], s.weight * p[2] / MU_0);
                }
            }
        }
        let uniform = full.axial.iter().sum();
        let line = [tubes[0].x, tubes[tubes.len() - 1].x];
        Self { full, axial, normal, steps, line, uniform, steel: None }
    }

    /// Gap flux that `source` (in the contact's frame) drives, Wb.
    ///
    /// Positive from the left blade to the right one.
    pub fn flux(&self, source: &dyn Source, scratch: &mut Scratch) -> f64 {
        let steel = self.steel.as_ref().map_or(0.0, |s| s.sum(scratch.field(source, &s.at)));
        self.full.sum(scratch.field(source, &self.full.at)) + steel
    }

    /// Drive: the uniform axial flux density that would send the same flux through the gap.
    pub fn drive(&self, source: &dyn Source, scratch: &mut Scratch) -> FluxDensity {
        self.drive_of_flux(self.flux(source, scratch))
    }

    /// The drive that a gap flux in Wb amounts to.
    pub fn drive_of_flux(&self, flux: f64) -> FluxDensity {
        FluxDensity::tesla(flux / self.uniform)
    }

    /// Gap flux in a uniform axial field, Wb.
    pub fn flux_in_uniform(&self, field: FluxDensity) -> f64 {
        field.si() * self.uniform
    }

    /// The rule that serves any source, each step on its own blade's centre line.
    pub fn full_rule(&self) -> &Rule {
        &self.full
    }

    /// A lower bound of the distance from the source to the line from lead tip to lead tip, m.
    fn clearance(&self, source: &dyn Source) -> f64 {
        let spacing = (self.line[1] - self.line[0]) / SAMPLES as f64;
        let nearest = (0..SAMPLES)
            .map(|k| source.clearance([self.line[0] + (k as f64 + 0.5) * spacing, 0.0, 0.0]))
            .fold(f64::INFINITY, f64::min);
        // The nearest point of the line is within half a spacing of a sample, and the way from it to
        // the body is at right angles to the line.
        (nearest * nearest - 0.25 * spacing * spacing).max(0.0).sqrt()
    }

    /// The same with what steel beside the contact adds.
    pub(crate) fn with_steel(self, rule: SteelRule) -> Self {
        Self { steel: Some(rule), ..self }
    }

    /// The same with drive measured by the uniform field of the `bare` contact.
    pub(crate) fn measured_by(&self, bare: &Self) -> Self {
        Self { uniform: bare.uniform, ..self.clone() }
    }

    pub(crate) fn steps(&self) -> &[Step] {
        &self.steps
    }
}

impl KernelPair {
    /// Puts the kernels of the open and the closed state of one contact on shared points.
    pub fn new(open: &Kernel, closed: &Kernel) -> Self {
        let compressed = compress([open, closed]);
        Self { open: open.clone(), closed: closed.clone(), compressed }
    }

    /// Drive of the open and of the closed contact by `source` (in the contact's frame).
    pub fn drives(&self, source: &dyn Source, scratch: &mut Scratch) -> [FluxDensity; 2] {
        let clearance = self.open.clearance(source);
        let kernels = [&self.open, &self.closed];
        let mut flux = match self.compressed.iter().find(|c| clearance >= c.clearance) {
            Some(Compressed { rules, .. }) => {
                let b = scratch.field(source, &rules[0].at);
                rules.each_ref().map(|rule| rule.sum(b))
            }
            None => kernels.map(|k| k.full.sum(scratch.field(source, &k.full.at))),
        };
        if let [Some(open), Some(closed)] = kernels.map(|k| k.steel.as_ref()) {
            let b = scratch.field(source, &open.at);
            flux[0] += open.sum(b);
            flux[1] += closed.sum(b);
        }
        self.drives_of_flux(flux)
    }

    /// Drives that the gap fluxes of the open and the closed contact amount to.
    pub(crate) fn drives_of_flux(&self, flux: [f64; 2]) -> [FluxDensity; 2] {
        [self.open.drive_of_flux(flux[0]), self.closed.drive_of_flux(flux[1])]
    }

    /// Weights along the axis, of the open and of the closed state: `[x, 0, axial, normal]`, m and Wb/T.
    pub(crate) fn axis_points(&self) -> [Vec<[f64; 4]>; 2] {
        [&self.open, &self.closed].map(|k| {
            let axial = k.axial.iter().map(|(x, w)| [x, 0.0, w, 0.0]);
            axial.chain(k.normal.iter().map(|(x, w)| [x, 0.0, 0.0, w])).collect()
        })
    }

    /// The full rules of the open and of the closed state: `[x, z, axial, normal]`, m and Wb/T.
    pub(crate) fn full_points(&self) -> [Vec<[f64; 4]>; 2] {
        [&self.open.full, &self.closed.full].map(|rule| {
            let place = |i: usize| [rule.at.x[i], rule.at.z[i], rule.axial[i], rule.normal[i]];
            (0..rule.len()).map(place).collect()
        })
    }

    /// How far from the axis the full rules have points, m.
    pub(crate) fn off_axis(&self) -> f64 {
        let heights = [&self.open, &self.closed].into_iter().flat_map(|k| &k.full.at.z);
        heights.fold(0.0, |most, z| most.max(z.abs()))
    }

    /// [`Self::drives`] where only their size matters: by the fewest points there are.
    pub fn rough_drives(&self, source: &dyn Source, scratch: &mut Scratch) -> [FluxDensity; 2] {
        let Some(Compressed { rules, .. }) = self.compressed.first() else {
            return self.drives(source, scratch);
        };
        let b = scratch.field(source, &rules[0].at);
        self.drives_of_flux(rules.each_ref().map(|rule| rule.sum(b)))
    }

    /// Least clearance at which the blades' offset from the axis is small enough, m.
    pub(crate) fn least_compressed_clearance(&self) -> f64 {
        self.compressed.last().map_or(f64::INFINITY, |c| c.clearance)
    }

    /// True with steel beside the contact.
    pub fn has_steel(&self) -> bool {
        self.open.steel.is_some()
    }

    /// The compressed rules of the open and the closed state on their shared points, with the least
    /// clearance (m) each is good for, fewest points first.
    pub fn compressed_rules(&self) -> impl Iterator<Item = (f64, &[Rule; 2])> {
        self.compressed.iter().map(|c| (c.clearance, &c.rules))
    }
}

/// What a tube adds to the kernel.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TubeWeight {
    pub x: f64,
    pub z: f64,
    pub weight: f64,
    pub injected: f64,
}

impl Weights {
    fn push(&mut self, x: f64, w: f64) {
        self.x.push(x);
        self.w.push(w);
    }
    pub fn iter(&self) -> impl Iterator<Item = (f64, f64)> {
        self.x.iter().copied().zip(self.w.iter().copied())
    }
}

/// Compressed rules of kernels that share their cut: the points of the Gauss rule for the sum of
/// their axial weights, and for each weight function the interpolatory weights on these points.
///
/// Empty when an axial weight changes sign, where such a rule need not exist.
fn compress(kernels: [&Kernel; 2]) -> Vec<Compressed> {
    let x = &kernels[0].axial.x;
    let shared: Vec<f64> =
        (0..x.len()).map(|i| kernels.iter().map(|k| k.axial.w[i] / k.uniform).sum()).collect();
    let half_length = 0.5 * (kernels[0].line[1] - kernels[0].line[0]);
    let most = ORDERS[ORDERS.len() - 1];
    let Some(basis) = gauss::Orthonormal::new(x, &shared, most) else { return Vec::new() };
    let moments = kernels
        .map(|k| [basis.moments(&k.axial.x, &k.axial.w), basis.moments(&k.normal.x, &k.normal.w)]);
    let rules = ORDERS.iter().filter_map(|&order| {
        let points = basis.points(order)?;
        let rules = moments.each_ref().map(|[axial, normal]| {
            let mut rule = Rule::default();
            let (axial, normal) = (basis.weights(&points, axial), basis.weights(&points, normal));
            for ((x, a), n) in points.iter().zip(axial).zip(normal) {
                rule.push(*x, 0.0, a, n);
            }
            rule
        });
        // A field analytic but for sources a distance d off the line's middle converges as ρ^(−2n)
        // with ρ = d/h + √(1 + (d/h)²), h the half-length [trefethen2008]; solve for d.
        let rho = COMPRESSION.powf(-0.5 / order as f64);
        Some(Compressed { clearance: 0.5 * half_length * (rho - 1.0 / rho), rules })
    });
    rules.collect()
}
