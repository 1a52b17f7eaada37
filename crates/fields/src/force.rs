//! Force and torque of a field on a magnet or a coil.
//!
//! A uniformly polarized magnet is its surface charge J·n: `F = ∮ (J·n)/μ0 B dS`, `T = ∮ r × (J·n)/μ0 B dS`;
//! a coil is its current: `F = ∫ j × B dV`. The closed-form field of the source is integrated over the
//! carrier's cells by two tensor Gauss rules; the cell on which they differ most is cut until the sum of the
//! differences is within the tolerance.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::carrier::{Carrier, Cell};
use crate::error::finite;
use crate::quadrature::gauss_legendre;
use crate::{FieldError, Source, Vectors};

/// Force and torque on a carrier, in the world.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wrench {
    /// N.
    pub force: [f64; 3],
    /// About the origin of the carrier's frame, N·m.
    pub torque: [f64; 3],
    /// Estimated error of the force, N: above the true one in every test.
    pub force_error: f64,
    /// Estimated error of the torque, N·m.
    pub torque_error: f64,
    /// How many times the field was evaluated.
    pub evaluations: usize,
}

/// Points of the finer and the coarser rule in each direction.
const FINE: usize = 8;
const COARSE: usize = 6;

/// More field values than this are not spent.
const MOST_EVALUATIONS: usize = 2_000_000;

/// A force that vanishes by symmetry is found to the tolerance times this share of what cancels.
const OF_GROSS: f64 = 1e-2;

/// Force and torque of `source` on `carrier`, both in the world, to a relative `tolerance`.
///
/// The tolerance is of the force or of the torque over the carrier's size, whichever is larger; where both
/// vanish by symmetry, of a hundredth of the sum of what cancels. The source must not be the carrier.
///
/// # Errors
/// [`FieldError::NotConverged`] when two million field values do not suffice, [`FieldError::NotFinite`] for a
/// tolerance that is none.
pub fn force(
    source: &(impl Source + ?Sized),
    carrier: &(impl Carrier + ?Sized),
    tolerance: f64,
) -> Result<Wrench, FieldError> {
    finite("tolerance", tolerance)?;
    let cells = carrier.cells()?;
    let world_from_carrier = carrier.world_from_carrier();
    let reach = carrier.reach();
    let fine = gauss_legendre::<FINE>();
    let coarse = gauss_legendre::<COARSE>();
    let evaluate = |index: usize, low: [f64; 3], size: [f64; 3]| {
        let cell = &cells[index];
        let total = integrate(&fine, cell, low, size, source, world_from_carrier);
        let rough = integrate(&coarse, cell, low, size, source, world_from_carrier);
        let apart = |k: usize| length(std::array::from_fn(|i| total.sum[k + i] - rough.sum[k + i]));
        let error = [apart(0), apart(3)];
        Part { index, low, size, total, error, rank: error[0].max(error[1] / reach) }
    };
    let cost = |index: usize| {
        let d = cells[index].dimensions as u32;
        FINE.pow(d) + COARSE.pow(d)
    };
    let mut spent: usize = (0..cells.len()).map(cost).sum();
    let mut parts: BinaryHeap<Part> =
        (0..cells.len()).map(|index| evaluate(index, [0.0; 3], [1.0; 3])).collect();
    loop {
        // Summed anew: a running sum would keep the rounding of what has been cut.
        let mut total = Total::default();
        let mut error = [0.0; 2];
        for part in &parts {
            total.add(&part.total);
            error = [error[0] + part.error[0], error[1] + part.error[1]];
        }
        let [fx, fy, fz, tx, ty, tz] = total.sum;
        let (force, torque) = ([fx, fy, fz], [tx, ty, tz]);
        let scale = length(force).max(length(torque) / reach).max(OF_GROSS * total.gross);
        let off = error[0].max(error[1] / reach);
        if off <= tolerance * scale {
            return Ok(Wrench {
                force,
                torque,
                force_error: error[0],
                torque_error: error[1],
                evaluations: spent,
            });
        }
        if spent > MOST_EVALUATIONS || !off.is_finite() {
            return Err(FieldError::NotConverged { estimate: off / scale });
        }
        // All that is within a tenth of the worst is cut at once.
        let worst = parts.peek().map_or(0.0, |part| part.rank);
        while parts.peek().is_some_and(|part| part.rank >= 0.1 * worst) {
            let Some(part) = parts.pop() else { break };
            let dimensions = cells[part.index].dimensions;
            let size =
                std::array::from_fn(
                    |i| if i < dimensions { 0.5 * part.size[i] } else { part.size[i] },
                );
            for corner in 0..1_usize << dimensions {
                let low = std::array::from_fn(|i| part.low[i] + (corner >> i & 1) as f64 * size[i]);
                parts.push(evaluate(part.index, low, size));
                spent += cost(part.index);
            }
        }
    }
}

/// Force and torque, and the sum of the lengths of the forces they were added up from.
#[derive(Debug, Clone, Copy, Default)]
struct Total {
    sum: [f64; 6],
    gross: f64,
}

impl Total {
    fn add(&mut self, other: &Self) {
        for i in 0..6 {
            self.sum[i] += other.sum[i];
        }
        self.gross += other.gross;
    }
}

/// Part of a cell, ordered by what its two rules differ.
struct Part {
    index: usize,
    low: [f64; 3],
    size: [f64; 3],
    total: Total,
    error: [f64; 2],
    rank: f64,
}

impl PartialEq for Part {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Part {}
impl PartialOrd for Part {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Part {
    fn cmp(&self, other: &Self) -> Ordering {
        self.rank.total_cmp(&other.rank)
    }
}

fn integrate(
    rule: &[(f64, f64)],
    cell: &Cell<'_>,
    low: [f64; 3],
    size: [f64; 3],
    source: &(impl Source + ?Sized),
    world_from_carrier: crate::Pose,
) -> Total {
    let d = cell.dimensions;
    let nodes = (0..rule.len().pow(d as u32)).map(|n| {
        let mut weight = 1.0;
        let at = std::array::from_fn(|i| {
            if i >= d {
                return 0.5;
            }
            let (x, w) = rule[n / rule.len().pow(i as u32) % rule.len()];
            weight *= 0.5 * w * size[i];
            low[i] + 0.5 * size[i] * (1.0 + x)
        });
        let mut e = (cell.map)(at);
        e.charge *= weight;
        e.current = world_from_carrier.apply_to_vector(e.current.map(|c| c * weight));
        e
    });
    let elements: Vec<_> = nodes.collect();
    let points = Vectors::from_rows(elements.iter().map(|e| world_from_carrier.apply(e.at)));
    let mut field = Vectors::zeros(points.len());
    source.add_b(points.points(), field.view_mut());
    let mut total = Total::default();
    for (i, e) in elements.iter().enumerate() {
        let b = field.get(i);
        let across = cross(e.current, b);
        let f: [f64; 3] = std::array::from_fn(|k| e.charge * b[k] + across[k]);
        let arm = world_from_carrier.apply_to_vector(e.at);
        let t = cross(arm, f);
        total.add(&Total { sum: [f[0], f[1], f[2], t[0], t[1], t[2]], gross: length(f) });
    }
    total
}

fn length(v: [f64; 3]) -> f64 {
    (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt()
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}
