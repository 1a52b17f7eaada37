//! Polynomials over the tolerances, through scenes solved at some values of each quantity.
//!
//! Whatever follows from a unit is written as its value at nominal, what each quantity changes alone and
//! what every two change together: `f = f0 + Σ fi(xi) + Σ fij(xi, xj)`. Each fi is a quartic through four
//! values, each fij biquadratic through four corners. What three quantities change only together is left
//! out.
//!
//! Source: the cut expansion, `[rabitz1999]` section 3.

use crate::error::EngineError;
use crate::polynomial::coefficients;
use crate::quantity::{Limits, Variables};
use rayon::prelude::*;
use reedmace_fields::vectorized;
use std::ops::Range;

/// Outputs that are told at once: a vector of the widest registers.
const LANES: usize = 8;

/// Units that are told together: what is known of an output is fetched once for all of them.
pub(crate) const UNITS: usize = 8;

/// Contributions below this, over the scale of an output, are left out.
const NOTHING: f64 = 1e-6;
/// Two quantities whose effects alone, over the scale, have a smaller product are not tried together.
const APART: f64 = 1e-7;

/// A quantity over its tolerance: zero at nominal, two from limit to limit.
#[derive(Debug, Clone)]
struct Axis {
    variable: usize,
    nominal: f64,
    half: f64,
    /// Where it is tried alone.
    alone: [f64; 4],
    /// Where it is tried with another: the outermost of these.
    paired: [f64; 2],
}

/// A power of one quantity or the product of powers of two.
#[derive(Debug, Clone, Copy)]
struct Term {
    axis: usize,
    power: usize,
    other: Option<(usize, usize)>,
}

/// A few neighbouring outputs, and what each term that matters to one of them is there.
#[derive(Debug, Clone)]
struct Block {
    /// At most [`LANES`], all of one group.
    range: Range<usize>,
    nominal: Lanes,
    terms: Vec<usize>,
    /// Of each of them.
    coefficients: Vec<Lanes>,
}

/// One register full.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
struct Lanes([f64; LANES]);

/// Outputs of any unit.
#[derive(Debug, Clone)]
pub(crate) struct Expansion {
    axes: Vec<Axis>,
    terms: Vec<Term>,
    blocks: Vec<Block>,
    outputs: usize,
    /// Units that were solved.
    pub solved: usize,
}

/// Outputs that belong together, and what their errors are measured by.
#[derive(Debug, Clone)]
pub(crate) struct Scaled {
    pub range: Range<usize>,
    pub scale: f64,
}

/// A stretch of the outputs of a unit by the values of its variables, SI.
pub(crate) type Outputs<'a> =
    dyn Fn(&[f64], Range<usize>) -> Result<Vec<f64>, EngineError> + Sync + 'a;

/// What changes of the outputs: a stretch of them.
#[derive(Debug, Clone)]
struct Change {
    from: usize,
    by: Vec<f64>,
}

impl Change {
    /// The part of it in a range, if it reaches there.
    fn part(&self, range: &Range<usize>) -> Option<&[f64]> {
        let inside = range.start >= self.from && range.end <= self.from + self.by.len();
        inside.then(|| &self.by[range.start - self.from..range.end - self.from])
    }

    /// What is left of it without another one's.
    fn without(mut self, other: &Self) -> Self {
        for (k, by) in self.by.iter_mut().enumerate() {
            let at = (self.from + k).checked_sub(other.from);
            *by -= at.and_then(|at| other.by.get(at)).unwrap_or(&0.0);
        }
        self
    }

    /// Its largest part, over the scale of its group.
    fn largest(&self, groups: &[Scaled]) -> f64 {
        let most = |part: &[f64]| part.iter().fold(0.0_f64, |most, c| most.max(c.abs()));
        let of = |g: &Scaled| self.part(&g.range).map_or(0.0, most) / g.scale;
        groups.iter().map(of).fold(0.0, f64::max)
    }
}

/// What each term is in N units.
#[derive(Debug, Clone, Default)]
pub(crate) struct Powers<const N: usize> {
    axes: Vec<[[f64; N]; 5]>,
    terms: Vec<[f64; N]>,
}

impl Axis {
    fn new(variable: usize, limits: &Limits) -> Self {
        let half = 0.5 * (limits.high - limits.low);
        let (low, high) =
            ((limits.low - limits.nominal) / half, (limits.high - limits.nominal) / half);
        let far = if high > -low { high } else { low };
        let one_sided = low.abs().min(high.abs()) < 0.1;
        let alone = match one_sided {
            true => [0.25 * far, 0.5 * far, 0.75 * far, far],
            false => [low, 0.5 * low, 0.5 * high, high],
        };
        let paired = if one_sided { [0.5 * far, far] } else { [low, high] };
        Self { variable, nominal: limits.nominal, half, alone, paired }
    }

    fn put(&self, values: &mut [f64], x: f64) {
        values[self.variable] = self.nominal + self.half * x;
    }
}

impl Expansion {
    /// Solves what is needed of `outputs`, a stretch of the outputs of a unit by the values of its variables.
    /// `groups`: all of the outputs, in their order; `reach`: those that each variable may change, all of some
    /// groups.
    ///
    /// Two quantities are tried together for the outputs that both reach.
    ///
    /// # Errors
    /// What `outputs` refuses.
    pub fn new(
        variables: &Variables,
        groups: &[Scaled],
        reach: &[Range<usize>],
        outputs: &Outputs,
    ) -> Result<Self, EngineError> {
        let centre: Vec<f64> = variables.iter().map(|v| v.limits.nominal).collect();
        let len = groups.iter().map(|g| g.range.end).max().unwrap_or(0);
        let nominal = outputs(&centre, 0..len)?;
        let all: Vec<Axis> =
            variables.iter().enumerate().map(|(v, known)| Axis::new(v, &known.limits)).collect();
        let change = |values: &[f64], range: Range<usize>| {
            let there = outputs(values, range.clone())?;
            let by = there.iter().zip(&nominal[range.clone()]).map(|(a, b)| a - b).collect();
            Ok::<_, EngineError>(Change { from: range.start, by })
        };

        let alone = all.par_iter().map(|axis| {
            let at = |x: &f64| {
                let mut values = centre.clone();
                axis.put(&mut values, *x);
                change(&values, reach[axis.variable].clone())
            };
            axis.alone.iter().map(at).collect::<Result<Vec<_>, EngineError>>()
        });
        let alone = alone.collect::<Result<Vec<_>, _>>()?;
        let effect =
            |changes: &Vec<Change>| changes.iter().map(|c| c.largest(groups)).fold(0.0, f64::max);
        let effects: Vec<f64> = alone.iter().map(effect).collect();
        let kept: Vec<usize> = (0..all.len()).filter(|&i| effects[i] > NOTHING).collect();

        let mut made = Self {
            axes: kept.iter().map(|&i| all[i].clone()).collect(),
            terms: Vec::new(),
            blocks: groups.iter().flat_map(|group| blocks(&group.range, &nominal)).collect(),
            outputs: len,
            solved: 1 + 4 * all.len(),
        };
        for (axis, &i) in kept.iter().enumerate() {
            for (power, row) in powers_of::<5>(&all[i].alone) {
                let term = Term { axis, power, other: None };
                made.take(term, combined(&row[1..], &alone[i]), groups);
            }
        }

        let mut pairs: Vec<[usize; 2]> = Vec::new();
        for b in 0..kept.len() {
            let together = |a: &usize| {
                let (one, other) = (&reach[kept[*a]], &reach[kept[b]]);
                let meet = one.start.max(other.start) < one.end.min(other.end);
                meet && effects[kept[*a]] * effects[kept[b]] > APART
            };
            pairs.extend((0..b).filter(together).map(|a| [a, b]));
        }
        made.solved += 4 * pairs.len();
        let corners = pairs.par_iter().map(|&pair| {
            let axes = pair.map(|i| &made.axes[i]);
            let [one, other] = pair.map(|i| &reach[kept[i]]);
            let both = one.start.max(other.start)..one.end.min(other.end);
            let corner = |k: usize| {
                let mut values = centre.clone();
                let x = [axes[0].paired[k / 2], axes[1].paired[k % 2]];
                (0..2).for_each(|i| axes[i].put(&mut values, x[i]));
                let mut together = change(&values, both.clone())?;
                // Less what each does alone.
                for i in 0..2 {
                    let at = axes[i].alone.iter().position(|a| *a == x[i]);
                    let at = at.expect("tried alone as well");
                    together = together.without(&alone[kept[pair[i]]][at]);
                }
                Ok(together)
            };
            (0..4).map(corner).collect::<Result<Vec<_>, EngineError>>()
        });
        let corners = corners.collect::<Result<Vec<_>, _>>()?;
        for (pair, corners) in pairs.iter().zip(&corners) {
            let [first, second] = pair.map(|i| powers_of::<3>(&made.axes[i].paired));
            for (power, one) in &first {
                for (with, two) in &second {
                    let row = [0, 1, 2, 3].map(|k| one[1 + k / 2] * two[1 + k % 2]);
                    let term = Term { axis: pair[0], power: *power, other: Some((pair[1], *with)) };
                    made.take(term, combined(&row, corners), groups);
                }
            }
        }
        Ok(made)
    }

    /// Takes in a term where it matters.
    fn take(&mut self, term: Term, coefficients: Change, groups: &[Scaled]) {
        let reach = |axis: usize, power: usize| {
            let ends = self.axes[axis].alone.iter().map(|x| x.abs()).fold(0.0, f64::max);
            ends.powi(power as i32)
        };
        let reach = reach(term.axis, term.power) * term.other.map_or(1.0, |(a, p)| reach(a, p));
        let mut matters = false;
        let mut blocks = self.blocks.iter_mut();
        for group in groups {
            let own = blocks.by_ref().take(group.range.len().div_ceil(LANES));
            if coefficients.part(&group.range).is_none() {
                own.for_each(drop);
                continue;
            }
            for block in own {
                let part = coefficients.part(&block.range).expect("a part of the group's");
                if part.iter().any(|c| c.abs() * reach > NOTHING * group.scale) {
                    block.terms.push(self.terms.len());
                    block.coefficients.push(Lanes::of(part));
                    matters = true;
                }
            }
        }
        if matters {
            self.terms.push(term);
        }
    }

    /// How many outputs there are.
    pub fn len(&self) -> usize {
        self.outputs
    }

    /// Makes `powers` those of the units whose variables have these values, SI; of fewer than N, the last one
    /// stands in for those that are missing.
    pub fn powers<const N: usize>(&self, units: &[&[f64]], powers: &mut Powers<N>) {
        let Powers { axes, terms } = powers;
        axes.clear();
        axes.extend(self.axes.iter().map(|axis| {
            let x: [f64; N] = std::array::from_fn(|n| {
                let values = units[n.min(units.len() - 1)];
                (values[axis.variable] - axis.nominal) / axis.half
            });
            let square = times(&x, &x);
            [[1.0; N], x, square, times(&square, &x), times(&square, &square)]
        }));
        terms.clear();
        terms.extend(self.terms.iter().map(|t| match t.other {
            None => axes[t.axis][t.power],
            Some((axis, power)) => times(&axes[t.axis][t.power], &axes[axis][power]),
        }));
    }

    /// The outputs of the units with these powers in a stretch that is all of some groups; the others are left as
    /// they are. `out`: all outputs of the first unit, then of the next.
    pub fn at<const N: usize>(&self, powers: &Powers<N>, stretch: Range<usize>, out: &mut [f64]) {
        let [from, to] = [stretch.start, stretch.end]
            .map(|end| self.blocks.partition_point(|block| block.range.start < end));
        vectorized(
            #[inline(always)]
            || {
                for block in &self.blocks[from..to] {
                    let told = block.at(&powers.terms);
                    for (all, told) in out.chunks_exact_mut(self.outputs).zip(&told) {
                        let there = &mut all[block.range.clone()];
                        // A full register is put in at once.
                        match <&mut [f64; LANES]>::try_from(&mut *there) {
                            Ok(full) => *full = told.0,
                            Err(_) => there.copy_from_slice(&told.0[..there.len()]),
                        }
                    }
                }
            },
        );
    }
}

fn times<const N: usize>(a: &[f64; N], b: &[f64; N]) -> [f64; N] {
    std::array::from_fn(|n| a[n] * b[n])
}

impl Block {
    /// Its outputs in N units; `terms`: what each term is in them.
    #[inline(always)]
    fn at<const N: usize>(&self, terms: &[[f64; N]]) -> [Lanes; N] {
        // Two sums by turns: neither waits for the other.
        let (mut even, mut odd) = ([self.nominal; N], [Lanes([0.0; LANES]); N]);
        let mut pairs = self.terms.chunks_exact(2).zip(self.coefficients.chunks_exact(2));
        for (term, coefficients) in pairs.by_ref() {
            for n in 0..N {
                even[n].add(terms[term[0]][n], &coefficients[0]);
                odd[n].add(terms[term[1]][n], &coefficients[1]);
            }
        }
        for n in 0..N {
            if self.terms.len() % 2 == 1 {
                let last = self.terms.len() - 1;
                even[n].add(terms[self.terms[last]][n], &self.coefficients[last]);
            }
            even[n].add(1.0, &odd[n]);
        }
        even
    }
}

impl Lanes {
    /// A few numbers, filled up with zeros.
    fn of(few: &[f64]) -> Self {
        Self(std::array::from_fn(|k| few.get(k).copied().unwrap_or(0.0)))
    }

    #[inline(always)]
    fn add(&mut self, x: f64, coefficients: &Self) {
        for (sum, c) in self.0.iter_mut().zip(&coefficients.0) {
            *sum = c.mul_add(x, *sum);
        }
    }
}

/// The blocks of a group, with no terms yet.
fn blocks(group: &Range<usize>, nominal: &[f64]) -> impl Iterator<Item = Block> {
    group.clone().step_by(LANES).map(move |from| {
        let range = from..(from + LANES).min(group.end);
        let nominal = Lanes::of(&nominal[range.clone()]);
        Block { nominal, range, terms: Vec::new(), coefficients: Vec::new() }
    })
}

/// For each power but the constant, what the values at `places` weigh in its coefficient, from the second
/// on: the polynomial through these and through zero at zero.
fn powers_of<const N: usize>(places: &[f64]) -> Vec<(usize, [f64; N])> {
    let through = [&[0.0], places].concat();
    coefficients(&through).into_iter().enumerate().skip(1).collect()
}

fn combined(row: &[f64], changes: &[Change]) -> Change {
    let at = |o: usize| row.iter().zip(changes).map(|(r, change)| r * change.by[o]).sum();
    let by = (0..changes[0].by.len()).map(at).collect();
    Change { from: changes[0].from, by }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Variables;
    use reedmace_units::Spread;

    fn variables(limits: &[[f64; 3]]) -> Variables {
        let of = |&[low, nominal, high]: &[f64; 3]| Limits {
            nominal,
            low,
            high,
            spread: Spread::Normal,
        };
        Variables::of(limits.iter().map(of))
    }

    /// A polynomial of the degrees kept is told exactly, with tolerances of any shape.
    #[test]
    fn prop_polynomials_of_its_degree_are_exact() {
        let variables = variables(&[[9.0, 10.0, 11.0], [-0.5, 0.0, 1.5], [2.0, 2.0, 3.0]]);
        let f = |v: &[f64]| {
            let [a, b, c] = [v[0] - 10.0, v[1], v[2] - 2.0];
            vec![
                1.0 + a - 2.0 * a.powi(4) + b.powi(3) + a * a * b * b - c,
                a * c * c + 0.5 * c.powi(4) + b * c,
            ]
        };
        let groups = [Scaled { range: 0..1, scale: 1.0 }, Scaled { range: 1..2, scale: 1.0 }];
        let reach = vec![0..2; 3];
        let stretch = |v: &[f64], range: Range<usize>| Ok(f(v)[range].to_vec());
        let made = Expansion::new(&variables, &groups, &reach, &stretch).unwrap();
        let (mut powers, mut out) = (Powers::<1>::default(), [0.0; 2]);
        for v in [[10.0, 0.0, 2.0], [9.3, 1.1, 2.7], [10.9, -0.4, 2.1], [9.0, 1.5, 3.0]] {
            made.powers(&[&v], &mut powers);
            made.at(&powers, 0..made.len(), &mut out);
            let expected = f(&v);
            for (o, e) in out.iter().zip(&expected) {
                assert!((o - e).abs() < 1e-9, "{v:?}: {out:?} {expected:?}");
            }
        }
    }

    /// What does not matter is not kept.
    #[test]
    fn prop_only_what_matters_is_kept() {
        let variables = variables(&[[-1.0, 0.0, 1.0], [-1.0, 0.0, 1.0]]);
        let groups = [Scaled { range: 0..1, scale: 1.0 }];
        let made = Expansion::new(&variables, &groups, &[0..1, 0..1], &|v, _| Ok(vec![3.0 * v[0]]));
        let made = made.unwrap();
        assert_eq!((made.axes.len(), made.terms.len(), made.solved), (1, 1, 9));
    }

    /// What has outputs of its own is solved there alone, and with others only where both reach: the same
    /// polynomial as from whole outputs, with fewer of them.
    #[test]
    fn prop_what_reaches_little_is_solved_little() {
        let limits = [[-1.0, 0.0, 1.0]; 3];
        let variables = variables(&limits);
        let f = |v: &[f64]| vec![v[2] * (1.0 + v[0]), 2.0 * v[0] * v[0], v[1] + v[2] * v[1] + v[2]];
        let groups: Vec<Scaled> = (0..3).map(|k| Scaled { range: k..k + 1, scale: 1.0 }).collect();
        let asked = std::sync::atomic::AtomicUsize::new(0);
        let stretch = |v: &[f64], range: Range<usize>| {
            asked.fetch_add(range.len(), std::sync::atomic::Ordering::Relaxed);
            Ok(f(v)[range].to_vec())
        };
        let made = Expansion::new(&variables, &groups, &[0..2, 2..3, 0..3], &stretch).unwrap();
        // Nominal, each alone, the first and the last, the second and the last.
        assert_eq!(asked.into_inner(), 3 + 4 * (2 + 1 + 3) + 4 * (2 + 1));
        let (mut powers, mut out) = (Powers::<1>::default(), [0.0; 3]);
        for v in [[0.3, -0.7, 0.9], [-1.0, 1.0, 0.2]] {
            made.powers(&[&v], &mut powers);
            made.at(&powers, 0..made.len(), &mut out);
            assert!(out.iter().zip(f(&v)).all(|(o, e)| (o - e).abs() < 1e-12), "{v:?} {out:?}");
            // A stretch of them is told by itself.
            let mut few = [f64::NAN; 3];
            made.at(&powers, 1..2, &mut few);
            assert!(few[0].is_nan() && few[1] == out[1] && few[2].is_nan(), "{few:?}");
        }
    }
}
