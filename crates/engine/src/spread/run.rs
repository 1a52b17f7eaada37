//! Units by the million: in blocks, on all cores, in memory that does not grow.

use crate::bench::Bench;
use crate::check::hex;
use crate::error::EngineError;
use crate::judge::Standing;
use crate::outcome::Outcome;
use crate::realise::Workshop;
use crate::spread::drivers::Causes;
use crate::spread::expansion::UNITS;
use crate::spread::figures::{Figures, Shows};
use crate::spread::model::Model;
use crate::spread::tally::{Proof, Subject, Tally};
use crate::spread::unit::{CAUTION, Evaluator, LEAST};
use crate::worst::{self, Worst};
use rayon::prelude::*;
use reedmace_design::{Demand, DemandKind, Design};
use reedmace_sampling::{REPLICATES, Sobol};
use sha2::{Digest, Sha256};
use std::{ops::Range, sync::OnceLock};

/// Units that are taken in together.
const TOGETHER: usize = 128;
/// Units of a block: a range begins at a multiple of it.
pub const BLOCK: u64 = 4096;
/// Units that prove the model, at least; each unit of a smaller study.
const PROVING: u64 = 1024;
/// Units of the seed that show beforehand how far the model is off.
const PILOT: u64 = 256;

/// How to sample.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpreadOptions {
    /// Units of the whole study.
    pub units: u64,
    /// Those of it to evaluate, `None` for all. They begin at a multiple of [`BLOCK`] and end at one or with
    /// the study.
    pub range: Option<Range<u64>>,
    /// Seed.
    pub seed: u64,
    /// Find every unit's events on its true drive, not by the model.
    pub exact: bool,
}

impl Default for SpreadOptions {
    fn default() -> Self {
        Self { units: 1_000_000, range: None, seed: 1, exact: false }
    }
}

/// A design made ready to be sampled.
#[derive(Debug)]
pub struct Spread {
    pub(crate) workshop: Workshop,
    pub(crate) nominal: Outcome,
    pub(crate) worst: Worst,
    pub(crate) model: Model,
    pub(crate) figures: Figures,
    span: f64,
    points: Sobol,
    options: SpreadOptions,
    guard: Guard,
    /// What drives it, once that was asked.
    pub(crate) causes: OnceLock<Causes>,
}

/// How near to a decision a unit by the model may come.
#[derive(Debug, Clone, Default)]
struct Guard {
    /// To a level, over it.
    call: f64,
    /// Of an event to a demand's limit, SI of the coordinate.
    room: f64,
    /// Per demand of a figure: of the figure to its limit, SI of the figure; 0 for others.
    figures: Vec<f64>,
}

/// How far a unit by the model is off.
struct Off {
    /// Its drive where it was looked at, over the level.
    drive: f64,
    /// Its furthest event, SI of the coordinate.
    event: f64,
    /// The margin of each demand.
    figures: Vec<f64>,
}

impl Spread {
    /// Solves what the study needs: the model, the worst case, and how good the model is.
    ///
    /// # Errors
    /// [`EngineError::NothingVaries`] for a design without tolerances, [`EngineError::Range`] for a range
    /// that does not lie in the study or does not begin and end with blocks, and what a scene refuses.
    pub fn new(
        bench: &Bench,
        design: &Design,
        options: SpreadOptions,
        progress: &(dyn Fn(u64, u64) + Sync),
    ) -> Result<Self, EngineError> {
        let range = options.range.clone().unwrap_or(0..options.units);
        let at_block = |unit: u64| unit.is_multiple_of(BLOCK) || unit == options.units;
        if range.is_empty()
            || range.end > options.units
            || !at_block(range.start)
            || !at_block(range.end)
        {
            return Err(EngineError::Range { from: range.start, to: range.end, of: options.units });
        }
        let (workshop, scene) = bench.workshop(design)?;
        if workshop.variables.len() == 0 {
            return Err(EngineError::NothingVaries);
        }
        let (workshop, scene) = workshop.blending(&scene)?;
        let nominal = Outcome::of(&workshop, &scene, &workshop.nominal_values());
        let worst = worst::search(&workshop, &nominal, progress)?;
        let model = Model::new(&workshop, &scene)?;
        let figures = Figures::new(&workshop, &nominal, &worst);
        let points = Sobol::replicated(options.seed, workshop.variables.len(), REPLICATES)?;
        let [from, to] = scene.motion.range();
        let guard = Guard::default();
        let span = (to - from).abs();
        let causes = OnceLock::new();
        let mut made =
            Self { workshop, nominal, worst, model, figures, span, points, options, guard, causes };
        if !made.options.exact {
            made.guard = made.pilot()?;
        }
        Ok(made)
    }

    /// The seed.
    pub(crate) fn seed(&self) -> u64 {
        self.options.seed
    }

    /// Units to evaluate.
    pub fn range(&self) -> Range<u64> {
        self.options.range.clone().unwrap_or(0..self.options.units)
    }

    /// Nothing gathered yet.
    ///
    /// # Errors
    /// If a figure's limits make no histogram.
    pub fn tally(&self) -> Result<Tally, EngineError> {
        let of = Subject {
            version: env!("CARGO_PKG_VERSION").into(),
            design_sha256: hex(&Sha256::digest(self.workshop.design.text.as_bytes())),
            seed: self.options.seed,
            units: self.options.units,
            exact: self.options.exact,
        };
        Ok(Tally::new(of, self.figures.summaries(self.span)?))
    }

    /// Evaluates the first block of the range alone, for a first look. `tally` has none of it yet.
    ///
    /// # Errors
    /// What a scene refuses.
    pub fn look(&self, tally: &mut Tally) -> Result<(), EngineError> {
        let range = self.range();
        tally.merge(&self.block(range.start..(range.start + BLOCK).min(range.end))?)
    }

    /// Evaluates the units of the range that `tally` has not yet, block by block, for as long as `go_on` says
    /// so; it is told how many units of the range are done.
    ///
    /// # Errors
    /// What a scene refuses.
    pub fn run(
        &self,
        tally: &mut Tally,
        go_on: &(dyn Fn(u64) -> bool + Sync),
    ) -> Result<(), EngineError> {
        let range = self.range();
        let at_once = 2 * rayon::current_num_threads() as u64;
        let mut first = range.start;
        while first < range.end {
            let blocks: Vec<Range<u64>> = (0..at_once)
                .map(|k| first + k * BLOCK)
                .take_while(|from| *from < range.end)
                .map(|from| from..(from + BLOCK).min(range.end))
                .collect();
            first = blocks.last().map_or(range.end, |b| b.end);
            let open =
                |b: &Range<u64>| !tally.ranges.iter().any(|r| r[0] <= b.start && b.end <= r[1]);
            let blocks: Vec<Range<u64>> = blocks.into_iter().filter(open).collect();
            if !go_on(tally.units_in(&range)) {
                return Ok(());
            }
            let done = blocks.into_par_iter().map(|block| self.block(block));
            for part in done.collect::<Result<Vec<Tally>, EngineError>>()? {
                tally.merge(&part)?;
            }
        }
        go_on(tally.units_in(&range));
        Ok(())
    }

    /// Values of unit `unit`'s variables, SI.
    pub(crate) fn values(&self, unit: u64) -> Vec<f64> {
        let mut values = self.points.point(unit);
        self.workshop.draw(&mut values);
        values
    }

    fn block(&self, block: Range<u64>) -> Result<Tally, EngineError> {
        let dimensions = self.points.dimensions();
        let mut all = vec![0.0; (block.end - block.start) as usize * dimensions];
        self.points.fill(block.start, &mut all);
        all.chunks_exact_mut(dimensions).for_each(|unit| self.workshop.draw(unit));
        if self.options.exact {
            return self.exactly(block, &all);
        }
        let mut tally = self.tally()?;
        tally.ranges.push([block.start, block.end]);
        let mut evaluator = Evaluator::new(&self.workshop, &self.model);
        let (mut few, mut truth) = (vec![Shows::default(); TOGETHER], Shows::default());
        let every = (self.options.units / PROVING).clamp(1, BLOCK);
        for (first, some) in block.clone().step_by(TOGETHER).zip(all.chunks(TOGETHER * dimensions))
        {
            let some: Vec<&[f64]> = some.chunks_exact(dimensions).collect();
            for (k, (unit, shows)) in (0..some.len()).zip((first..).zip(&mut few)) {
                if k % UNITS == 0 {
                    evaluator.foresee(&some[k..some.len().min(k + UNITS)]);
                }
                let values = some[k];
                let told = self.by_model(&mut evaluator, k % UNITS, values, shows)?;
                tally.exact += u64::from(!told);
                if told && unit.is_multiple_of(every) {
                    self.figures.of(&self.workshop, evaluator.exact(values)?, &mut truth);
                    if !self.proves(shows, &truth, &mut tally.proof) {
                        // The model cannot be trusted hereabouts.
                        let proof = Proof { failed: 1, ..tally.proof };
                        return Ok(Tally { proof, ..self.exactly(block, &all)? });
                    }
                }
            }
            tally.put(first, &few[..some.len()]);
        }
        Ok(tally)
    }

    /// What unit k of those foreseen shows, by the model unless it comes too near to a decision; whether it was.
    fn by_model(
        &self,
        evaluator: &mut Evaluator,
        k: usize,
        values: &[f64],
        shows: &mut Shows,
    ) -> Result<bool, EngineError> {
        let (walked, call) = evaluator.told_foreseen(k, values);
        self.figures.of(&self.workshop, walked, shows);
        let near = |((d, standing), figure): ((&Demand, &Standing), &f64)| match d.kind {
            DemandKind::Closures(_) => false,
            // A figure that never leaves its limit, such as a dead band that is nowhere, is not near to it.
            DemandKind::Figure(..) => standing.margin.abs() < *figure,
            _ => standing.margin.abs() <= self.guard.room,
        };
        let demands = self.workshop.design.demands.iter().zip(&shows.demands);
        let told = call > self.guard.call && !demands.zip(&self.guard.figures).any(near);
        if !told {
            self.figures.of(&self.workshop, evaluator.exact(values)?, shows);
        }
        Ok(told)
    }

    /// Whether a unit by the model is the true one, as far as was counted on.
    fn proves(&self, told: &Shows, truth: &Shows, proof: &mut Proof) -> bool {
        proof.units += 1;
        let met = |s: &Shows| s.demands.iter().map(|d| d.met).collect::<Vec<_>>();
        let has =
            |s: &Shows| s.events.iter().chain(&s.figures).map(|at| at.is_nan()).collect::<Vec<_>>();
        if has(told) != has(truth) || met(told) != met(truth) || told.others != truth.others {
            proof.unlike += 1;
            return false;
        }
        let furthest = furthest(told, truth);
        proof.furthest = proof.furthest.max(furthest);
        let figures = off_figures(told, truth).zip(&self.guard.figures);
        furthest <= self.guard.room
            && figures.zip(&self.workshop.design.demands).all(|((off, allowed), demand)| {
                !matches!(demand.kind, DemandKind::Figure(..)) || off <= *allowed
            })
    }

    /// How near to a decision the model may come, by how far it is off in the first units of the seed.
    fn pilot(&self) -> Result<Guard, EngineError> {
        let units = (0..PILOT.min(self.options.units)).into_par_iter().map_init(
            || Evaluator::new(&self.workshop, &self.model),
            |evaluator, unit| {
                let values = self.values(unit);
                let (mut shows, mut truth) = (Shows::default(), Shows::default());
                self.figures.of(&self.workshop, evaluator.told(&values).0, &mut shows);
                let exact = evaluator.exact(&values)?;
                self.figures.of(&self.workshop, exact, &mut truth);
                let figures = off_figures(&shows, &truth).collect();
                Ok(Off { drive: exact.off, event: furthest(&shows, &truth), figures })
            },
        );
        let units = units.collect::<Result<Vec<Off>, EngineError>>()?;
        let most = |of: &dyn Fn(&Off) -> f64| units.iter().map(of).fold(0.0, f64::max);
        let figures = self.workshop.design.demands.iter().enumerate().map(|(d, demand)| {
            let DemandKind::Figure(k, _) = demand.kind else { return 0.0 };
            let [low, high] = self.figures.design[k].limits;
            CAUTION * most(&|off| off.figures[d]) + LEAST * low.abs().max(high.abs())
        });
        Ok(Guard {
            call: CAUTION * most(&|off| off.drive) + LEAST,
            room: CAUTION * most(&|off| off.event) + LEAST * self.span,
            figures: figures.collect(),
        })
    }

    fn exactly(&self, block: Range<u64>, values: &[f64]) -> Result<Tally, EngineError> {
        let mut tally = self.tally()?;
        tally.ranges.push([block.start, block.end]);
        let (mut evaluator, mut shows) =
            (Evaluator::new(&self.workshop, &self.model), Shows::default());
        for (unit, values) in block.zip(values.chunks_exact(self.points.dimensions())) {
            let walked = evaluator.exact(values)?;
            tally.whole += u64::from(walked.whole);
            tally.exact += u64::from(!self.options.exact);
            self.figures.of(&self.workshop, walked, &mut shows);
            tally.put(unit, std::slice::from_ref(&shows));
        }
        Ok(tally)
    }
}

/// Furthest that an event of both is off, SI of the coordinate.
fn furthest(told: &Shows, truth: &Shows) -> f64 {
    let off = told.events.iter().zip(&truth.events).map(|(a, b)| (a - b).abs());
    off.filter(|off| off.is_finite()).fold(0.0, f64::max)
}

/// How far the margin of each demand is off; of use for those of figures.
fn off_figures<'a>(told: &'a Shows, truth: &'a Shows) -> impl Iterator<Item = f64> + 'a {
    let off = |(a, b): (&Standing, &Standing)| {
        Some((a.margin - b.margin).abs()).filter(|off| off.is_finite()).unwrap_or(0.0)
    };
    told.demands.iter().zip(&truth.demands).map(off)
}
