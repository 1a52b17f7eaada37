//! The share of units that meet each demand: units sampled within tolerance, evaluated exactly.

use crate::answer::Share;
use crate::error::EngineError;
use crate::outcome::{Outcome, standings};
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::spread::{Evaluator, Model};
use rayon::prelude::*;
use reedmace_sampling::{REPLICATES, Sobol, Tally};

/// Samples units `0..count` and counts for each demand those that meet it: the first units of a spread
/// study with the same seed.
///
/// Unit `i` is a pure function of `(seed, i)`, so the answer does not depend on the order or number
/// of threads.
pub(crate) fn shares(
    workshop: &Workshop,
    nominal: &Scene,
    count: u64,
    seed: u64,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Vec<Share>, EngineError> {
    let design = &workshop.design;
    // A model takes some hundred units to make: too many where each has steel of its own to solve.
    let model = match workshop.solves_steel_anew() {
        true => None,
        false => Some(Model::new(workshop, nominal)?),
    };
    let points = Sobol::replicated(seed, workshop.variables.len(), REPLICATES)?;
    let met: Vec<Vec<bool>> = (0..count)
        .into_par_iter()
        .map_init(
            || model.as_ref().map(|model| Evaluator::new(workshop, model)),
            |evaluator, i| {
                let mut values = points.point(i);
                workshop.draw(&mut values);
                let demands = match evaluator {
                    Some(evaluator) => {
                        let walked = evaluator.exact(&values)?;
                        standings(design, walked.courses, walked.range, walked.figures)
                    }
                    None => Outcome::of(workshop, &workshop.scene_at(&values)?, &values).demands,
                };
                progress(i, count);
                Ok(demands.iter().map(|d| d.met).collect())
            },
        )
        .collect::<Result<_, EngineError>>()?;
    let share = |d: usize| {
        let mut tally = Tally::default();
        (0..count).zip(&met).for_each(|(unit, met)| tally.put(unit, met[d]));
        Share::of(&tally)
    };
    Ok((0..design.demands.len()).map(share).collect())
}

impl Share {
    /// With its 95 % interval.
    pub(crate) fn of(tally: &Tally) -> Self {
        let interval = tally.interval(0.95);
        Self { met: tally.met(), of: tally.of(), low: interval.low, high: interval.high }
    }
}
