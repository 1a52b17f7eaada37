//! The best place in a box: looked at evenly, then climbed from several places.
//!
//! Where to climb from follows multi-level single linkage, `[kan1987]`: from the best places of which no
//! better one is near. Climbing is by the simplex of `[nelder1965]`.

use crate::error::EngineError;
use argmin::core::{CostFunction, Error, Executor};
use argmin::solver::neldermead::NelderMead;
use reedmace_sampling::Sobol;
use std::cell::RefCell;

/// Places looked at: so many, and so many more for each dimension; a part of them where places that did
/// well are known.
const PLACES: [usize; 2] = [8, 8];
const KNOWN: usize = 2;
/// Climbs at most, and steps of each for each dimension; then of the best one, to its end.
const CLIMBS: usize = 3;
const STEPS: u64 = 8;
const LAST: u64 = 18;
/// A climb ends where the corners of its simplex differ by no more than this.
const ALIKE: f64 = 3e-5;
/// Edge of the first simplex of a climb, and of the last one, of the box.
const EDGES: [f64; 2] = [0.08, 0.02];
/// Places nearer to each other than this part of the box, shared among those looked at, are one hill's.
const NEAR: f64 = 0.9;

/// What is to be as great as can be at a place of the unit cube.
pub(crate) type Merit<'a> = dyn Fn(&[f64]) -> Result<f64, EngineError> + 'a;

/// A place of the unit cube and its merit.
pub(crate) type Best = (Vec<f64>, f64);

/// The place of the unit cube where `merit` is greatest, as far as a global search finds it; `starts` are
/// looked at first.
///
/// A pure function of its arguments: the same seed gives the same place.
///
/// # Errors
/// What `merit` refuses.
pub(crate) fn seek(starts: &[Vec<f64>], seed: u64, merit: &Merit<'_>) -> Result<Best, EngineError> {
    let dimensions = starts[0].len();
    if dimensions == 0 {
        return Ok((Vec::new(), merit(&[])?));
    }
    let count = PLACES[0] + PLACES[1] * dimensions;
    let count = if starts.len() > 1 { count / KNOWN } else { count };
    let points = Sobol::new(seed, dimensions)?;
    let places = starts.iter().cloned().chain((0..count as u64).map(|k| points.point(k)));
    let mut looked: Vec<Best> = Vec::new();
    for place in places {
        let found = merit(&place)?;
        looked.push((place, found));
    }
    looked.sort_by(|a, b| b.1.total_cmp(&a.1));
    let near = NEAR * (looked.len() as f64).powf(-1.0 / dimensions as f64);
    let apart = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| (x - y).powi(2)).sum::<f64>();
    let lone = |k: &usize| looked[..*k].iter().all(|(p, _)| apart(p, &looked[*k].0) > near * near);
    let mut tops = Vec::new();
    for k in (0..looked.len()).filter(lone).take(CLIMBS) {
        tops.push(climb(&looked[k], EDGES[0], STEPS, merit)?);
    }
    tops.sort_by(|a, b| b.1.total_cmp(&a.1));
    climb(&tops[0], EDGES[1], LAST, merit)
}

/// The best place met on the way up from `from`.
fn climb(from: &Best, edge: f64, steps: u64, merit: &Merit<'_>) -> Result<Best, EngineError> {
    let dimensions = from.0.len();
    let asked = Asked { merit, refused: RefCell::default(), best: RefCell::new(from.clone()) };
    let mut corners = vec![from.0.clone()];
    for i in 0..dimensions {
        let mut corner = from.0.clone();
        corner[i] += if corner[i] > 0.5 { -edge } else { edge };
        corners.push(corner);
    }
    let solver = NelderMead::new(corners).with_sd_tolerance(ALIKE);
    let run = solver.and_then(|solver| {
        Executor::new(&asked, solver)
            .configure(|state| state.max_iters(steps * dimensions as u64))
            .run()
            .map(drop)
    });
    if let Some(why) = asked.refused.into_inner() {
        return Err(why);
    }
    // Corners it refuses are none of ours.
    run.map_err(|why| EngineError::NoChoice(why.to_string()))?;
    Ok(asked.best.into_inner())
}

/// What the solver is told once the merit has refused, whatever the place.
const REFUSED: f64 = 1e9;

/// The merit, what it has refused, and the best place so far.
struct Asked<'a> {
    merit: &'a Merit<'a>,
    refused: RefCell<Option<EngineError>>,
    best: RefCell<Best>,
}

impl CostFunction for &Asked<'_> {
    type Param = Vec<f64>;
    type Output = f64;

    /// Outside the cube the merit is that of the nearest place in it, less the way there.
    fn cost(&self, at: &Vec<f64>) -> Result<f64, Error> {
        let inside: Vec<f64> = at.iter().map(|x| x.clamp(0.0, 1.0)).collect();
        let outside: f64 = at.iter().zip(&inside).map(|(a, b)| (a - b).abs()).sum();
        if self.refused.borrow().is_some() {
            return Ok(REFUSED);
        }
        // The solver panics on a refusal where it shrinks: it is kept here, and told when the climb ends.
        let merit = match (self.merit)(&inside) {
            Ok(merit) => merit,
            Err(why) => {
                self.refused.replace(Some(why));
                return Ok(REFUSED);
            }
        };
        let mut best = self.best.borrow_mut();
        if merit > best.1 {
            *best = (inside, merit);
        }
        Ok(outside - merit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two hills; the search begins on the lower one, which has the wider foot. The merit is a least of two slopes, as that of a
    /// design is.
    #[test]
    fn prop_the_higher_of_two_hills_is_found() {
        let hill = |x: &[f64], at: [f64; 2], top: f64, slope: f64| {
            top - slope * (x[0] - at[0]).abs().max((x[1] - at[1]).abs())
        };
        let merit =
            |x: &[f64]| Ok(hill(x, [0.2, 0.3], 0.8, 1.0).max(hill(x, [0.9, 0.7], 1.0, 1.3)));
        for seed in 0..20 {
            let (at, best) = seek(&[vec![0.2, 0.3]], seed, &merit).unwrap();
            assert!(best > 0.99, "seed {seed}: {best} at {at:?}");
            assert_eq!(seek(&[vec![0.2, 0.3]], seed, &merit).unwrap(), (at, best));
        }
    }

    #[test]
    fn prop_a_refusal_at_any_place_ends_the_search_with_it() {
        for allowed in 0..200 {
            let left = std::cell::Cell::new(allowed);
            let merit = |x: &[f64]| {
                left.set(left.get() - 1);
                if left.get() < 0 {
                    Err(EngineError::GivenUp)
                } else {
                    Ok(-(x[0] * 31.0).sin().abs() - x[1])
                }
            };
            let found = seek(&[vec![0.5, 0.5]], 1, &merit);
            assert!(left.get() >= 0 || matches!(found, Err(EngineError::GivenUp)), "{allowed}");
        }
    }

    #[test]
    fn prop_the_best_may_lie_on_the_border() {
        let merit = |x: &[f64]| Ok(x[0] - x[1]);
        let (at, best) = seek(&[vec![0.5, 0.5]], 1, &merit).unwrap();
        assert!(best > 1.0 - 1e-9, "{best} at {at:?}");
    }
}
