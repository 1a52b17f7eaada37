//! Worst case: the corners of the tolerances that push each event, lobe and demand to its limits.

use crate::error::EngineError;
use crate::outcome::{Outcome, pair_up};
use crate::quantity::{Level, Unit};
use crate::realise::Workshop;
use crate::track::{Found, Lobe};
use rayon::prelude::*;
use reedmace_design::{DemandKind, Design, Figure as Told};
use std::sync::atomic::{AtomicU64, Ordering};

/// What the corners are searched for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Aim {
    /// The nominal scene's event.
    Event { contact: usize, event: usize },
    /// The highest drive of a lobe: decides whether it closes the contact at all.
    Peak { contact: usize, lobe: usize },
    /// The room of a demand.
    Demand(usize),
    /// A figure of the design.
    Figure(usize),
}

/// Everything learnt from the corners.
#[derive(Debug)]
pub(crate) struct Worst {
    /// Per contact and nominal event.
    pub events: Vec<Vec<Extent>>,
    /// Per figure of the design that the nominal unit has.
    pub figures: Vec<Option<Extent>>,
    /// Per contact: events that only some units have.
    pub sometimes: Vec<Vec<(Found, [f64; 2])>>,
    /// Per demand: the least room found, and whether every scene met it.
    pub demands: Vec<(f64, bool)>,
    /// Scenes evaluated.
    pub scenes: u64,
}

/// Limits of one event or figure over the tolerances.
#[derive(Debug, Clone)]
pub(crate) struct Extent {
    pub low: f64,
    pub high: f64,
    /// Every unit tried has it.
    pub in_every_unit: bool,
    /// No quantity turns it round between the values tried, but for [`BLIND`] of the band.
    pub monotone: bool,
    /// Its shift with each variable at its low and at its high limit, all else nominal.
    pub shifts: Vec<[f64; 2]>,
}

/// Share of its band below which what an event may do between the values tried is not spoken of.
const BLIND: f64 = 0.01;
/// Levels at which each variable is tried alone: even steps, a turn of the event shows between them.
const ALONE: [f64; 5] = [-1.0, -0.5, 0.0, 0.5, 1.0];

/// Searches the corners.
///
/// Each variable is tried alone at five levels. For every aim, the levels that alone push it
/// furthest make a corner, and then each variable is moved to its other limits for as long as that
/// pushes further: a corner is accepted only if no single change makes it worse.
pub(crate) fn search(
    workshop: &Workshop,
    nominal: &Outcome,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Worst, EngineError> {
    let n = workshop.variables.len();
    let told = workshop.design.figures();
    let contacts = |aim: Aim| aim.contacts(&workshop.design, &told);
    let aims = aims(workshop, nominal);
    let expected = (n * 4 + aims.len() * 2 * (n + 1)) as u64;
    let done = AtomicU64::new(0);
    let evaluate = |unit: &Unit, near: (&Unit, &Outcome), wanted: &dyn Fn(usize) -> bool| {
        let outcome = Outcome::beside(workshop, unit, near, wanted)?;
        let count = done.fetch_add(1, Ordering::Relaxed) + 1;
        progress(count.min(expected), expected);
        Ok::<_, EngineError>(outcome)
    };

    let alone = each_alone(n, nominal, &evaluate)?;
    let searches: Vec<(Aim, f64)> =
        aims.iter().flat_map(|aim| aim.senses().iter().map(move |s| (*aim, *s))).collect();
    let corners: Vec<Vec<Outcome>> = searches
        .par_iter()
        .map(|(aim, sense)| {
            Ok(corner((*aim, &contacts(*aim)), *sense, nominal, &alone, &evaluate)?.0)
        })
        .collect::<Result<_, EngineError>>()?;

    let all: Vec<&Outcome> = std::iter::once(nominal)
        .chain(alone.iter().flatten())
        .chain(corners.iter().flatten())
        .collect();
    Ok(Worst {
        events: (0..nominal.courses.len()).map(|c| bands(c, nominal, &alone, &all)).collect(),
        figures: (0..nominal.figures.len())
            .map(|k| of_figure((k, &contacts(Aim::Figure(k))), nominal, &alone, &all))
            .collect(),
        sometimes: (0..nominal.courses.len()).map(|c| sometimes(c, nominal, &all)).collect(),
        demands: (0..nominal.demands.len())
            .map(|d| {
                let of = contacts(Aim::Demand(d));
                let told = || all.iter().filter(|o| o.tells(&of)).map(|o| &o.demands[d]);
                let least = told().map(|demand| demand.margin).fold(f64::INFINITY, f64::min);
                (least, told().all(|demand| demand.met))
            })
            .collect(),
        scenes: done.into_inner() + 1,
    })
}

/// The unit at the corner that leaves each demand the least room, as [`search`] finds it.
pub(crate) fn units_of_demands(
    workshop: &Workshop,
    nominal: &Outcome,
) -> Result<Vec<Unit>, EngineError> {
    let evaluate = |unit: &Unit, near: (&Unit, &Outcome), wanted: &dyn Fn(usize) -> bool| {
        Outcome::beside(workshop, unit, near, wanted)
    };
    let alone = each_alone(workshop.variables.len(), nominal, &evaluate)?;
    let told = workshop.design.figures();
    let found = (0..nominal.demands.len()).into_par_iter().map(|d| {
        let aim = Aim::Demand(d);
        let contacts = aim.contacts(&workshop.design, &told);
        Ok(corner((aim, &contacts), -1.0, nominal, &alone, &evaluate)?.1)
    });
    found.collect()
}

/// Outcomes with each of `n` variables alone at every level of [`ALONE`].
fn each_alone(
    n: usize,
    nominal: &Outcome,
    evaluate: &Evaluate<'_>,
) -> Result<Vec<Vec<Outcome>>, EngineError> {
    let alone = (0..n).into_par_iter().map(|v| {
        let at = |t: f64| {
            let mut unit = vec![Level::Nominal; n];
            unit[v] = Level::Toward(t);
            let centre = (&vec![Level::Nominal; n], nominal);
            if t == 0.0 { Ok(nominal.clone()) } else { evaluate(&unit, centre, &|_| true) }
        };
        ALONE.into_iter().map(at).collect()
    });
    alone.collect()
}

fn aims(workshop: &Workshop, nominal: &Outcome) -> Vec<Aim> {
    let mut aims = Vec::new();
    if workshop.variables.len() == 0 {
        return aims;
    }
    for (contact, course) in nominal.courses.iter().enumerate() {
        aims.extend((0..course.events.len()).map(|event| Aim::Event { contact, event }));
        aims.extend((0..course.lobes.len()).map(|lobe| Aim::Peak { contact, lobe }));
    }
    aims.extend((0..nominal.demands.len()).map(Aim::Demand));
    aims.extend((0..nominal.figures.len()).map(Aim::Figure));
    aims
}

impl Aim {
    /// Which ways it is pushed: +1 up, −1 down.
    fn senses(self) -> &'static [f64] {
        match self {
            Self::Demand(_) => &[-1.0],
            Self::Event { .. } | Self::Peak { .. } | Self::Figure(_) => &[-1.0, 1.0],
        }
    }

    /// The contacts that it depends on; none listed: all of them.
    fn contacts(self, design: &Design, figures: &[Told]) -> Vec<usize> {
        match self {
            Self::Event { contact, .. } | Self::Peak { contact, .. } => vec![contact],
            Self::Demand(d) => {
                let demand = &design.demands[d];
                match (demand.contact, &demand.kind) {
                    (Some(contact), _) => vec![contact],
                    (None, DemandKind::Figure(k, _)) => figures[*k].contacts.clone(),
                    (None, _) => Vec::new(),
                }
            }
            Self::Figure(k) => figures[k].contacts.clone(),
        }
    }

    /// Its value in an outcome, if it exists there.
    fn of(self, outcome: &Outcome, nominal: &Outcome) -> Option<f64> {
        match self {
            Self::Event { contact, event } => {
                pair_up(&nominal.courses[contact].events, &outcome.courses[contact].events).0[event]
            }
            Self::Peak { contact, lobe } => {
                let wanted = &nominal.courses[contact].lobes[lobe];
                let lobes = outcome.courses[contact].lobes.iter().zip(&outcome.peaks[contact]);
                let far = |l: &Lobe| (l.at - wanted.at).abs();
                lobes
                    .filter(|(l, _)| l.sign == wanted.sign)
                    .min_by(|a, b| far(a.0).total_cmp(&far(b.0)))
                    .map(|(_, over)| *over)
            }
            Self::Demand(d) => Some(outcome.demands[d].margin),
            Self::Figure(k) => Some(outcome.figures[k]).filter(|value| !value.is_nan()),
        }
    }
}

/// What happens in a unit, by a unit near it and its outcome, as far as some contacts are concerned.
type Evaluate<'a> = dyn Fn(&Unit, (&Unit, &Outcome), &dyn Fn(usize) -> bool) -> Result<Outcome, EngineError>
    + Sync
    + 'a;

/// Every outcome met on the way to the corner that pushes `aim` furthest in `sense`, and its unit.
fn corner(
    (aim, contacts): (Aim, &[usize]),
    sense: f64,
    nominal: &Outcome,
    alone: &[Vec<Outcome>],
    evaluate: &Evaluate<'_>,
) -> Result<(Vec<Outcome>, Unit), EngineError> {
    let value = |o: &Outcome| aim.of(o, nominal).map(|v| sense * v);
    let wanted = |k: usize| contacts.is_empty() || contacts.contains(&k);
    let centre: Unit = vec![Level::Nominal; alone.len()];
    let mut unit = centre.clone();
    let Some(start) = value(nominal) else { return Ok((Vec::new(), unit)) };
    let mut reach: Vec<(usize, f64)> = Vec::new();
    for (v, outcomes) in alone.iter().enumerate() {
        let mut best = start;
        for (outcome, t) in outcomes.iter().zip(ALONE) {
            if let Some(x) = value(outcome).filter(|x| *x > best) {
                (best, unit[v]) = (x, Level::Toward(t));
            }
        }
        let moved = |o: &Outcome| value(o).is_none_or(|x| x != start);
        if outcomes.iter().any(moved) {
            reach.push((v, best - start));
        }
    }
    if reach.is_empty() {
        return Ok((Vec::new(), unit));
    }
    reach.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut here = evaluate(&unit, (&centre, nominal), &wanted)?;
    let mut met = vec![here.clone().kept()];
    let mut best = value(&here).unwrap_or(start);
    for _ in 0..2 {
        let mut improved = false;
        for &(v, _) in &reach {
            for level in [Level::LOW, Level::HIGH] {
                if level == unit[v] {
                    continue;
                }
                let mut trial = unit.clone();
                trial[v] = level;
                let outcome = evaluate(&trial, (&unit, &here), &wanted)?;
                met.push(outcome.clone().kept());
                // An event that is gone has no place: the search stays where it still happens, and
                // the scene counts as one without it.
                if let Some(x) = value(&outcome).filter(|x| *x > best) {
                    (best, unit, here, improved) = (x, trial, outcome, true);
                }
            }
        }
        if !improved {
            break;
        }
    }
    Ok((met, unit))
}

fn bands(
    contact: usize,
    nominal: &Outcome,
    alone: &[Vec<Outcome>],
    all: &[&Outcome],
) -> Vec<Extent> {
    let events = &nominal.courses[contact].events;
    let places = |o: &Outcome| pair_up(events, &o.courses[contact].events).0;
    let told = all.iter().filter(|o| !o.untold[contact]);
    let everywhere: Vec<Vec<Option<f64>>> = told.map(|o| places(o)).collect();
    let alone: Vec<Vec<Vec<Option<f64>>>> =
        alone.iter().map(|outcomes| outcomes.iter().map(places).collect()).collect();
    let band = |e: usize| {
        let alone = alone.iter().map(|v| v.iter().map(|p| p[e]).collect());
        Extent::new(events[e].at, alone, everywhere.iter().map(|p| p[e]))
    };
    (0..events.len()).map(band).collect()
}

/// Limits of figure `k`, if the nominal unit has it.
fn of_figure(
    (k, contacts): (usize, &[usize]),
    nominal: &Outcome,
    alone: &[Vec<Outcome>],
    all: &[&Outcome],
) -> Option<Extent> {
    let value = |o: &Outcome| Some(o.figures[k]).filter(|value| !value.is_nan());
    let alone = alone.iter().map(|outcomes| outcomes.iter().map(value).collect());
    let told = all.iter().filter(|o| o.tells(contacts));
    Some(Extent::new(value(nominal)?, alone, told.map(|o| value(o))))
}

impl Extent {
    /// From its values with each variable alone at every level of [`ALONE`], and in every outcome met.
    fn new(
        nominal: f64,
        alone: impl Iterator<Item = Vec<Option<f64>>>,
        everywhere: impl Iterator<Item = Option<f64>> + Clone,
    ) -> Self {
        let alone: Vec<Vec<f64>> =
            alone.map(|v| v.into_iter().map(|x| x.unwrap_or(nominal)).collect()).collect();
        let found = || everywhere.clone().flatten();
        let (low, high) = (found().fold(nominal, f64::min), found().fold(nominal, f64::max));
        Self {
            low,
            high,
            in_every_unit: everywhere.clone().all(|x| x.is_some()),
            monotone: alone.iter().all(|v| beyond_tried(v) <= BLIND * (high - low)),
            shifts: alone.iter().map(|v| [v[0] - nominal, v[v.len() - 1] - nominal]).collect(),
        }
    }
}

/// How far a turn between the values tried may lie beyond them all: where values at even steps rise
/// and fall, the top of the parabola through the highest and its neighbours, and so for the lowest.
/// Zero where they only rise or only fall, and where they turn at a value tried.
fn beyond_tried(values: &[f64]) -> f64 {
    let turns = values.windows(3).map(|v| {
        let (rise, fall) = (v[1] - v[0], v[1] - v[2]);
        if rise * fall > 0.0 { ((rise - fall).powi(2) / (8.0 * (rise + fall))).abs() } else { 0.0 }
    });
    turns.fold(0.0, f64::max)
}

/// Events that some scenes have and the nominal one has not, gathered by kind, direction and lobe.
fn sometimes(contact: usize, nominal: &Outcome, all: &[&Outcome]) -> Vec<(Found, [f64; 2])> {
    let mut gathered: Vec<(Found, [f64; 2])> = Vec::new();
    for outcome in all.iter().filter(|outcome| !outcome.untold[contact]) {
        let events = &outcome.courses[contact].events;
        for extra in pair_up(&nominal.courses[contact].events, events).1 {
            let same = |(f, _): &&mut (Found, [f64; 2])| {
                (f.kind, f.direction, f.lobe) == (extra.kind, extra.direction, extra.lobe)
            };
            match gathered.iter_mut().find(same) {
                Some((_, [low, high])) => (*low, *high) = (low.min(extra.at), high.max(extra.at)),
                None => gathered.push((extra, [extra.at, extra.at])),
            }
        }
    }
    gathered
}

#[cfg(test)]
mod tests {
    use super::beyond_tried;

    #[test]
    fn prop_beyond_tried_is_the_top_of_a_parabola() {
        let tried = |f: fn(f64) -> f64| [-1.0, -0.5, 0.0, 0.5, 1.0].map(f);
        assert_eq!(beyond_tried(&tried(|t| t.powi(3) + t)), 0.0);
        assert_eq!(beyond_tried(&tried(|_| 2.0)), 0.0);
        // turns at a value tried
        assert!(beyond_tried(&tried(|t| 4.0 * t * t)) < 1e-15);
        // top 1 at 0.2, highest tried 1 - 0.04
        assert!((beyond_tried(&tried(|t| 1.0 - (t - 0.2) * (t - 0.2))) - 0.04).abs() < 1e-15);
        assert!((beyond_tried(&tried(|t| (t - 0.2) * (t - 0.2) - 1.0)) - 0.04).abs() < 1e-15);
    }
}
