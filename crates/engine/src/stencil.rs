//! Polynomials over the tolerances: units to solve, and how any other is blended from them.

use crate::error::EngineError;
use crate::polynomial::lagrange;
use crate::quantity::{Level, Unit, Variable, Variables};
use crate::realise::Workshop;
use crate::scene::Scene;

/// Levels at which each quantity is put alone; a permeability, which is seldom known well, at more.
const ALONE: [f64; 3] = [-1.0, 0.0, 1.0];
const PERMEABILITY_ALONE: [f64; 5] = [-1.0, -0.6, 0.0, 0.5, 1.0];

/// Units to solve: the nominal one, each quantity that matters at some values alone, and every two of
/// them at one corner together.
#[derive(Debug)]
pub(crate) struct Stencil {
    /// The nominal one first.
    pub units: Vec<Unit>,
    axes: Vec<Axis>,
    /// Two axes, and the unit in which both are at their far ends.
    corners: Vec<([usize; 2], usize)>,
}

/// A quantity that matters.
#[derive(Debug)]
struct Axis {
    variable: usize,
    /// Values it is put at, and the unit of each; see [`smooth`].
    values: Vec<(f64, usize)>,
    nominal: f64,
    /// The limit farther from nominal: value, level and unit.
    far: (f64, Level, usize),
}

/// A value of a variable, of a permeability its logarithm: kernels follow polynomials in
/// these more closely.
fn smooth(variable: &Variable, value: f64) -> f64 {
    if is_permeability(variable) { value.ln() } else { value }
}

fn is_permeability(variable: &Variable) -> bool {
    variable.path.ends_with(".permeability")
}

impl Stencil {
    /// For the quantities that change what `seen` sees of a scene.
    pub fn new<T: PartialEq>(
        workshop: &Workshop,
        seen: impl Fn(&Scene) -> T,
    ) -> Result<Self, EngineError> {
        let all = vec![Level::Nominal; workshop.variables.len()];
        let with = |v: usize, level: Level| {
            let mut unit = all.clone();
            unit[v] = level;
            unit
        };
        let usual = seen(&workshop.unsettled(&all)?);
        let mut units = vec![all.clone()];
        let mut axes: Vec<Axis> = Vec::new();
        for (variable, known) in workshop.variables.iter().enumerate() {
            let mut matters = false;
            for level in [Level::LOW, Level::HIGH] {
                matters |= seen(&workshop.unsettled(&with(variable, level))?) != usual;
            }
            if !matters {
                continue;
            }
            let nominal = smooth(known, known.limits.nominal);
            let mut axis =
                Axis { variable, values: Vec::new(), nominal, far: (nominal, Level::Nominal, 0) };
            let alone: &[f64] = if is_permeability(known) { &PERMEABILITY_ALONE } else { &ALONE };
            for level in alone.iter().copied().map(Level::Toward) {
                let value = smooth(known, level.of(&known.limits));
                if value == nominal {
                    if !axis.values.iter().any(|(known, _)| *known == value) {
                        axis.values.push((value, 0));
                    }
                    continue;
                }
                axis.values.push((value, units.len()));
                if (value - axis.nominal).abs() > (axis.far.0 - axis.nominal).abs() {
                    axis.far = (value, level, units.len());
                }
                units.push(with(variable, level));
            }
            axes.push(axis);
        }
        let mut corners = Vec::new();
        for b in 0..axes.len() {
            for a in 0..b {
                corners.push(([a, b], units.len()));
                let mut unit = all.clone();
                for axis in [&axes[a], &axes[b]] {
                    unit[axis.variable] = axis.far.1;
                }
                units.push(unit);
            }
        }
        Ok(Self { units, axes, corners })
    }

    /// The weight of each of the stencil's units in the blend for another, of these values: polynomials through the values
    /// of each quantity alone, and the product of every two, told by their corner. They add up to one.
    pub fn weights(&self, values: &[f64], variables: &Variables) -> Vec<f64> {
        let mut weights = vec![0.0; self.units.len()];
        weights[0] = 1.0 - self.axes.len() as f64;
        let mut ratios = Vec::new();
        for axis in &self.axes {
            let x = smooth(variables.get(axis.variable), values[axis.variable]);
            let places: Vec<f64> = axis.values.iter().map(|v| v.0).collect();
            for (weight, (_, unit)) in lagrange(x, &places).into_iter().zip(&axis.values) {
                weights[*unit] += weight;
            }
            ratios.push((x - axis.nominal) / (axis.far.0 - axis.nominal));
        }
        for ([a, b], corner) in &self.corners {
            let product = ratios[*a] * ratios[*b];
            weights[*corner] += product;
            weights[self.axes[*a].far.2] -= product;
            weights[self.axes[*b].far.2] -= product;
            weights[0] += product;
        }
        weights
    }

    /// Units that are none of the stencil's, to try it with: all quantities at the ends that the corners
    /// leave out, and by turns at either, a little inside the limits.
    pub fn others(&self, variables: usize) -> Vec<Unit> {
        let with = |level: &dyn Fn(usize) -> f64| {
            let mut unit = vec![Level::Nominal; variables];
            for (k, axis) in self.axes.iter().enumerate() {
                let far = if axis.far.1 == Level::LOW { -1.0 } else { 1.0 };
                unit[axis.variable] = Level::Toward(far * level(k));
            }
            unit
        };
        let turns = |k: usize| if k.is_multiple_of(2) { 0.8 } else { -0.8 };
        vec![with(&|_| -0.9), with(&turns), with(&|k| -turns(k))]
    }
}
