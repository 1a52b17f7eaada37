//! What the spread comes from, and what a tighter tolerance would buy: by the model.

use crate::answer::{DriverShare, Tighter};
use crate::error::EngineError;
use crate::quantity::{Quantified, line_of};
use crate::spread::figures::Shows;
use crate::spread::run::Spread;
use crate::spread::tally::Tally;
use crate::spread::told::misses;
use crate::spread::unit::Evaluator;
use rayon::prelude::*;
use reedmace_design::SourceMark;
use reedmace_sampling::{Drivers, Estimate, Index, REPLICATES, Reading, Scheme, Sobol};
use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::OnceLock;

/// Rows of points for the indices, at least and at most. A row has a point for every driver: where there are
/// many, rows are fewer, and the errors of the indices tell it.
const ROWS: [u64; 2] = [2048, 8192];
/// Points of all rows together, between these ends.
const POINTS: u64 = 1 << 18;
/// Rows gathered at a time.
const STRETCH: u64 = 256;
/// Units tried with each tolerance tighter.
const UNITS: u64 = 16_384;
/// How much tighter.
const BY: f64 = 0.1;
/// A driver whose total index is below this is left out.
const SMALL: f64 = 1e-4;

/// Said of quantities that go together.
const TOGETHER: &str = "correlated: what they do together, whichever of them it is due to";

/// Where each variable is stated: its line and its text.
pub(crate) type Places = HashMap<String, (usize, String)>;

/// What a study finds once, however many units it has.
#[derive(Debug)]
pub(crate) struct Causes {
    /// Where each variable is stated.
    pub places: Places,
    /// What drives every figure.
    pub drivers: Told,
    /// What a tighter tolerance would buy; worked out when a unit has missed a demand.
    pub tighter: OnceLock<Vec<Tighter>>,
}

/// What is told of every figure.
#[derive(Debug, Default)]
pub(crate) struct Told {
    /// Per event figure.
    pub events: Vec<Vec<DriverShare>>,
    /// Per demand: of its room.
    pub rooms: Vec<Vec<DriverShare>>,
    /// Per demand: of whether it is met.
    pub met: Vec<Vec<DriverShare>>,
    /// Per figure of the design.
    pub figures: Vec<Vec<DriverShare>>,
}

impl Spread {
    /// Finds what drives the figures and, if a unit of `tally` has missed a demand, what tighter tolerances
    /// would buy; what is known already is kept. `heed` is called every few hundred units and may unwind.
    ///
    /// # Errors
    /// What a scene refuses.
    pub fn find(&self, tally: &Tally, heed: &(dyn Fn() + Sync)) -> Result<(), EngineError> {
        let causes = match self.causes.get() {
            Some(known) => known,
            None => {
                let places = self.places()?;
                let drivers = self.drivers(&places, heed)?;
                self.causes.get_or_init(|| Causes { places, drivers, tighter: OnceLock::new() })
            }
        };
        if misses(tally) && causes.tighter.get().is_none() {
            let tighter = self.tighter(&causes.places, heed)?;
            causes.tighter.get_or_init(|| tighter);
        }
        Ok(())
    }

    /// Where the design states its variables.
    fn places(&self) -> Result<Places, EngineError> {
        let places = RefCell::new(Places::new());
        let design = &self.workshop.design;
        self.workshop.each_quantity(&|q: &dyn Quantified| {
            let unstated = matches!(q.source(), Some(SourceMark::Catalogue | SourceMark::Default));
            let line = if unstated { 0 } else { line_of(design, q.start()) };
            let limits = q.limits();
            if limits.low != limits.high {
                places.borrow_mut().insert(q.path().to_owned(), (line, q.text().to_owned()));
            }
        })?;
        Ok(places.into_inner())
    }

    /// Sobol indices of every figure.
    fn drivers(&self, places: &Places, heed: &(dyn Fn() + Sync)) -> Result<Told, EngineError> {
        let groups = self.groups();
        let dimensions = self.workshop.variables.len();
        let scheme = Scheme::grouped(self.seed(), dimensions, groups.clone())?;
        let (events, demands) = (self.figures.events.len(), self.figures.demands.len());
        let figures = self.figures.design.len();
        let count = events + 2 * demands + figures;
        let none = || vec![Drivers::new(scheme.drivers()); count];
        let gather = |mut all: Vec<Drivers>, k: u64| {
            heed();
            let mut evaluator = Evaluator::new(&self.workshop, &self.model);
            let (mut shows, mut unit) = (Shows::default(), Vec::new());
            scheme.gather(k * STRETCH..(k + 1) * STRETCH, &mut all, |point, values| {
                unit.clear();
                unit.extend_from_slice(point);
                self.workshop.draw(&mut unit);
                let walked = evaluator.told(&unit).0;
                self.figures.of(&self.workshop, walked, &mut shows);
                values[..events].copy_from_slice(&shows.events);
                for (d, standing) in shows.demands.iter().enumerate() {
                    values[events + d] = standing.room().unwrap_or(f64::NAN);
                    values[events + demands + d] = f64::from(u8::from(standing.met));
                }
                values[events + 2 * demands..].copy_from_slice(&shows.figures);
                Ok::<_, EngineError>(())
            })?;
            Ok::<_, EngineError>(all)
        };
        let merge = |mut all: Vec<Drivers>, part: Vec<Drivers>| {
            all.iter_mut().zip(&part).try_for_each(|(own, more)| own.merge(more))?;
            Ok(all)
        };
        // What is gathered merges to the same in any order.
        let rows = (POINTS / scheme.points_of_row() as u64).clamp(ROWS[0], ROWS[1]);
        // Powers of two are spread most evenly.
        let stretches = (0..(1 << rows.ilog2()) / STRETCH).into_par_iter();
        let all = stretches.try_fold(none, gather).try_reduce(none, merge)?;
        let mut told = all.iter().map(|drivers| self.shares(drivers, &groups, places));
        let mut next = |count: usize| told.by_ref().take(count).collect::<Vec<_>>();
        Ok(Told {
            events: next(events),
            rooms: next(demands),
            met: next(demands),
            figures: next(figures),
        })
    }

    /// What is one driver: a quantity by itself, or all that go together.
    fn groups(&self) -> Vec<Vec<usize>> {
        let variables = &self.workshop.variables;
        let together = |v: &usize| variables.together.iter().any(|group| group.contains(v));
        let alone = (0..variables.len()).filter(|v| !together(v)).map(|v| vec![v]);
        alone.chain(variables.together.iter().cloned()).collect()
    }

    fn shares(
        &self,
        drivers: &Drivers,
        groups: &[Vec<usize>],
        places: &Places,
    ) -> Vec<DriverShare> {
        let Some(indices) = drivers.indices() else { return Vec::new() };
        let path = |v: &usize| self.workshop.variables.get(*v).path.as_str();
        let share = |(group, index): (&Vec<usize>, &Index)| {
            let paths: Vec<&str> = group.iter().map(path).collect();
            let doubt = note(&index.first, &index.total);
            let together = (paths.len() > 1).then(|| TOGETHER.to_owned());
            let notes: Vec<String> = together.into_iter().chain(doubt).collect();
            DriverShare {
                path: paths.join(" + "),
                line: places.get(paths[0]).map_or(0, |p| p.0),
                first: index.first.value,
                first_error: index.first.error,
                total: index.total.value,
                total_error: index.total.error,
                note: (!notes.is_empty()).then(|| notes.join("; ")),
            }
        };
        let all = groups.iter().zip(&indices.drivers);
        let mut shares: Vec<DriverShare> =
            all.filter(|(_, index)| index.total.value > SMALL).map(share).collect();
        shares.sort_by(|a, b| b.total.total_cmp(&a.total));
        shares
    }

    /// What each tolerance would buy if it were tighter, most first.
    fn tighter(
        &self,
        places: &Places,
        heed: &(dyn Fn() + Sync),
    ) -> Result<Vec<Tighter>, EngineError> {
        let variables = self.workshop.variables.len();
        let points = Sobol::replicated(self.seed(), variables, REPLICATES)?;
        // Per replicate and variable: units gained less units lost.
        let units = (0..UNITS / STRETCH).into_par_iter().map(|k| {
            heed();
            let mut evaluator = Evaluator::new(&self.workshop, &self.model);
            let mut shows = Shows::default();
            let mut gained = vec![[0i64; REPLICATES]; variables];
            for unit in k * STRETCH..(k + 1) * STRETCH {
                let mut point = points.point(unit);
                self.workshop.variables.bend(&mut point);
                let mut drawn = point.clone();
                self.workshop.variables.value(&mut drawn);
                let mut values = drawn.clone();
                self.workshop.allow(&mut values);
                let mut meets = |values: &[f64]| {
                    let walked = evaluator.told(values).0;
                    self.figures.of(&self.workshop, walked, &mut shows);
                    shows.demands.iter().all(|d| d.met)
                };
                let before = meets(&values);
                for (v, gained) in gained.iter_mut().enumerate() {
                    let nominal = self.workshop.variables.get(v).nominal_at(point[v]);
                    let mut tight = drawn.clone();
                    tight[v] = nominal + (1.0 - BY) * (drawn[v] - nominal);
                    self.workshop.allow(&mut tight);
                    let change = i64::from(meets(&tight)) - i64::from(before);
                    gained[(unit % REPLICATES as u64) as usize] += change;
                }
            }
            gained
        });
        let none = || vec![[0i64; REPLICATES]; variables];
        let gained = units.reduce(none, |mut a, b| {
            let pairs = a.iter_mut().flatten().zip(b.iter().flatten());
            pairs.for_each(|(a, b)| *a += b);
            a
        });
        let each = UNITS as f64 / REPLICATES as f64;
        let of = |(variable, gained): (&crate::quantity::Variable, &[i64; REPLICATES])| {
            let shares = gained.map(|g| g as f64 / each);
            let n = REPLICATES as f64;
            let mean = shares.iter().sum::<f64>() / n;
            let scatter = shares.iter().map(|s| (s - mean).powi(2)).sum::<f64>() / (n - 1.0);
            let place = places.get(&variable.path).cloned().unwrap_or_default();
            Tighter {
                path: variable.path.clone(),
                line: place.0,
                text: place.1,
                by: BY,
                gain: mean,
                gain_error: (scatter / n).sqrt(),
            }
        };
        let mut all: Vec<Tighter> = self.workshop.variables.iter().zip(&gained).map(of).collect();
        all.sort_by(|a, b| b.gain.total_cmp(&a.gain));
        all.retain(|t| t.gain > 0.0);
        Ok(all)
    }
}

/// What doubtful estimates mean.
fn note(first: &Estimate, total: &Estimate) -> Option<String> {
    match (first.reading(), total.reading()) {
        (Reading::BelowZero, Reading::Distinct) => Some(
            "alone it does nothing that shows: the estimate fell below zero by chance; it acts \
             together with others"
                .into(),
        ),
        (Reading::BelowZero, _) => Some(
            "no effect shows: the estimate fell below zero by chance, as half of them do where the \
             true index is near zero"
                .into(),
        ),
        (Reading::Indistinct, Reading::Distinct) => {
            Some("alone it does nothing that shows; it acts together with others".into())
        }
        (_, Reading::Indistinct) => Some("no larger than chance may make it".into()),
        _ => None,
    }
}
