//! The cheapest arrangement that meets every demand over its tolerances.
//!
//! What a design leaves free (`[choose]`) is of two kinds. Lists and steps make *combinations*: each has a
//! cost, known beforehand, and they are gone through from the cheapest up. What lies in ranges costs
//! nothing: for each combination the place of the greatest room is looked for ([`place`]). A combination
//! that holds is checked once more, on the very text it would be saved as ([`confirm`]).
//!
//! Two bounds leave combinations out, and neither can change the answer: one dearer than as many found as
//! are wanted, and one whose field cannot make the contact operate anywhere in the ranges ([`bound`]).

mod bound;
mod case;
mod confirm;
mod parts;
mod place;
mod seek;
mod told;

use crate::answer::{Candidate, ChooseAnswer};
use crate::bench::Bench;
use crate::error::EngineError;
use case::Case;
use parts::{Combinations, Costless};
use place::{Counted, Placed};
use rayon::prelude::*;
use reedmace_design::{Choose, Design, Diagnostic, Options as Choices, Pick, Within};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use told::Tried;

/// Combinations that are tried before what was found counts for the next: whatever the number of threads.
const AT_ONCE: usize = 8;
/// Combinations that are looked at once more where nothing holds, to tell which is nearest.
const NEAREST: usize = 6;

/// How to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChooseOptions {
    /// Arrangements wanted.
    pub best: usize,
    /// Seed of the search and of the sampled units.
    pub seed: u64,
    /// Leave out what bounds show to be no better; the arrangements found are the same without.
    pub prune: bool,
}

impl Default for ChooseOptions {
    fn default() -> Self {
        Self { best: 20, seed: 1, prune: true }
    }
}

/// How far a choice has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChooseProgress {
    /// Combinations done with.
    pub done: u64,
    /// Of how many.
    pub of: u64,
    /// Arrangements that hold, so far.
    pub found: u64,
    /// Cost of the cheapest.
    pub cheapest: Option<f64>,
}

/// Told how far a choice has come, and asked whether to go on.
pub type GoOn<'a> = dyn Fn(ChooseProgress) -> bool + Sync + 'a;

/// A design of another text: with the same catalogue and the same files beside it.
pub type Remake<'a> = dyn Fn(&str) -> Result<Design, Vec<Diagnostic>> + Sync + 'a;

/// An answer with the designs it found.
#[derive(Debug, Clone)]
pub struct Choosing {
    /// What a machine reads.
    pub answer: ChooseAnswer,
    /// The text of each candidate's design, in the same order: that of the file with what was chosen.
    pub texts: Vec<String>,
    /// The text of the nearest design, where none meets all that is demanded.
    pub nearest: Option<String>,
}

/// Finds the cheapest arrangements of what `design` leaves free that meet all its demands. The same options
/// give the same answer, on any number of threads.
///
/// `go_on` is told how far the search has come, before each scene that is swept, from any thread. It ends the
/// search by saying no: the answer is of the combinations tried to their end. It is asked a little longer
/// where none of them holds, to tell what is nearest.
///
/// # Errors
/// [`EngineError::NoChoice`] for a design that leaves nothing free or demands nothing, and for a range on
/// which another quantity depends; what a scene refuses.
pub fn choose(
    design: &Design,
    design_name: &str,
    options: &ChooseOptions,
    remake: &Remake<'_>,
    go_on: &GoOn<'_>,
) -> Result<Choosing, EngineError> {
    let refuse = |why: &str| Err(EngineError::NoChoice(why.into()));
    let Some(choose) = &design.choose else {
        return refuse("the design leaves nothing to choose: add a table [choose]");
    };
    if design.demands.is_empty() {
        return refuse("the design demands nothing, so everything will do: add a [[demand]]");
    }
    let combinations = Combinations::new(choose, design, remake)?;
    let of = combinations.count() as u64;
    let search = Search {
        design,
        design_name,
        options,
        choose,
        remake,
        combinations,
        bench: Bench::default(),
        go_on,
        stands: Mutex::new(ChooseProgress { done: 0, of, found: 0, cheapest: None }),
        ended: AtomicBool::new(false),
    };
    search.ranges_stand_alone()?;
    search.run()
}

/// An arrangement that does not hold.
struct Near {
    picks: Vec<Pick>,
    found: confirm::Confirmed,
}

struct Search<'a> {
    design: &'a Design,
    design_name: &'a str,
    options: &'a ChooseOptions,
    choose: &'a Choose,
    remake: &'a Remake<'a>,
    combinations: Combinations<'a>,
    bench: Bench,
    go_on: &'a GoOn<'a>,
    /// How far it has come.
    stands: Mutex<ChooseProgress>,
    /// It was told to end.
    ended: AtomicBool,
}

/// How a combination ended.
#[derive(Debug, Clone)]
enum End {
    /// It meets all that is demanded.
    Holds(Box<Candidate>),
    /// A field that cannot reach a contact, this much of operate at most as far as was looked.
    OutOfReach(f64),
    /// Its best place misses a demand, or has a magnet in a contact; whether at nominal already.
    Misses { demand: Option<usize>, nominal: bool },
    /// The design has a fault there.
    Faulty(String),
}

impl Search<'_> {
    fn run(&self) -> Result<Choosing, EngineError> {
        let (mut order, mut costless) = (Vec::new(), Vec::new());
        for number in 0..self.combinations.count() {
            match self.combinations.cost(number) {
                Ok(cost) => order.push((cost, number)),
                Err(why) => costless.push((number, why)),
            }
        }
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        self.stood().done = costless.len() as u64;
        let mut tried: Vec<Tried> = Vec::new();
        let mut done = 0;
        let mut dearer = &order[order.len()..];
        while done < order.len() && self.on() {
            let held: Vec<f64> = tried.iter().filter(|t| t.holds()).map(|t| t.cost).collect();
            // They come by rising cost, so that the last of as many as are wanted is the dearest of them.
            let limit = held.get(self.options.best - 1).filter(|_| self.options.prune);
            let most = limit.map_or(order.len(), |most| order.partition_point(|(c, _)| c <= most));
            let next = &order[done..most.min(done + AT_ONCE).max(done)];
            if next.is_empty() {
                dearer = &order[done..];
                break;
            }
            let ends = next.par_iter().map(|(cost, number)| self.tried(*cost, *number));
            // What was given up midway was not tried.
            let ends = ends.collect::<Result<Vec<Option<Tried>>, EngineError>>()?;
            tried.extend(ends.into_iter().flatten());
            done += next.len();
        }
        let interrupted = self.ended.load(Ordering::Relaxed);
        let near = |t: &Tried| t.holds() || t.merit.is_some_and(|m| m > -self.much());
        if !interrupted && !tried.iter().any(near) {
            self.nearest_out_of_reach(&mut tried)?;
        }
        self.told(tried, dearer, &costless, interrupted)
    }

    fn stood(&self) -> MutexGuard<'_, ChooseProgress> {
        self.stands.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whether to go on; once told to end, for good.
    fn on(&self) -> bool {
        let stands = *self.stood();
        if !(self.go_on)(stands) {
            self.ended.store(true, Ordering::Relaxed);
        }
        !self.ended.load(Ordering::Relaxed)
    }

    /// A combination to its end; `None` if it was given up.
    fn tried(&self, cost: f64, number: usize) -> Result<Option<Tried>, EngineError> {
        let tried = match self.one(cost, number, self.options.prune) {
            Err(EngineError::GivenUp) => return Ok(None),
            other => other?,
        };
        let mut stands = self.stood();
        stands.done += 1;
        if tried.holds() {
            stands.found += 1;
            stands.cheapest = Some(stands.cheapest.map_or(cost, |cheapest| cheapest.min(cost)));
        }
        Ok(Some(tried))
    }

    /// A merit lower than this is none of a room: no event, or a magnet in a contact.
    fn much(&self) -> f64 {
        let (from, to) = self.design.sweep.coordinate_range();
        (to - from).abs()
    }

    /// Tries the combinations that come nearest to operating, so that there is one to show.
    fn nearest_out_of_reach(&self, tried: &mut [Tried]) -> Result<(), EngineError> {
        let reach = |t: &Tried| match t.end {
            End::OutOfReach(reach) => Some(reach),
            _ => None,
        };
        let mut order: Vec<usize> =
            (0..tried.len()).filter(|k| reach(&tried[*k]).is_some()).collect();
        order.sort_by(|a, b| reach(&tried[*b]).partial_cmp(&reach(&tried[*a])).expect("numbers"));
        for k in order.into_iter().take(NEAREST) {
            let again = match self.one(tried[k].cost, tried[k].number, false) {
                Err(EngineError::GivenUp) => break,
                other => other?,
            };
            tried[k] = Tried { end: tried[k].end.clone(), ..again };
        }
        Ok(())
    }

    /// What lies in ranges, with its path.
    fn ranges(&self) -> Vec<(&str, Within)> {
        let range = |free: &'_ reedmace_design::Free| match free.options {
            Choices::Within(within) => Some(within),
            _ => None,
        };
        self.choose.free.iter().filter_map(|f| Some((f.path.as_str(), range(f)?))).collect()
    }

    /// A combination: where it does best, and whether it holds there.
    fn one(&self, cost: f64, number: usize, prune: bool) -> Result<Tried, EngineError> {
        let mut picks = self.combinations.picks(number);
        let tried = |end: End, picks: &[Pick], merit: Option<f64>| Tried {
            number,
            cost,
            picks: picks.to_vec(),
            merit,
            scenes: 0,
            end,
        };
        let design = match self.design_of(&picks) {
            Ok(design) => design,
            Err(why) => return Ok(tried(End::Faulty(why), &picks, None)),
        };
        let ranges = self.ranges();
        let bench = self.bench.beside();
        let heed = || self.on();
        let case = Case::new(&bench.coarse(), &design, &ranges, &heed)?;
        let counted = Counted { wanted: self.choose.wanted, seed: self.options.seed };
        if prune && !ranges.is_empty() {
            let paths: Vec<&str> = ranges.iter().map(|(path, _)| *path).collect();
            let every = self.choose.wanted.is_none();
            if let Some(short) = bound::out_of_reach(&case, &paths, every)? {
                return Ok(tried(End::OutOfReach(short.reach), &picks, None));
            }
        }
        let placed = place::place(&case, counted, false)?;
        let scenes = case.scenes.get();
        let tried = |end, picks: &[Pick], merit| Tried { scenes, ..tried(end, picks, merit) };
        self.put(&placed, &mut picks);
        if placed.merit < 0.0 {
            let end = End::Misses { demand: self.missed(&placed), nominal: !placed.nominal };
            return Ok(tried(end, &picks, Some(placed.merit)));
        }
        let design = match self.design_of(&picks) {
            Ok(design) => design,
            Err(why) => return Ok(tried(End::Faulty(why), &picks, None)),
        };
        let of = (&picks[..], cost, self.options.seed);
        let found = confirm::confirm(&bench, &design, self.design_name, self.choose, of, &heed)?;
        if found.holds {
            return Ok(tried(End::Holds(Box::new(found.candidate)), &picks, Some(placed.merit)));
        }
        let demand = told::shortest(&found.candidate).filter(|_| !found.collides);
        let merit = found.candidate.margin.map_or(placed.merit, |m| self.in_si(m));
        let end = End::Misses { demand, nominal: false };
        Ok(tried(end, &picks, Some(merit.min(-f64::MIN_POSITIVE))))
    }

    /// Puts what lies in ranges where it was placed.
    fn put(&self, placed: &Placed, picks: &mut [Pick]) {
        let mut values = placed.values.iter();
        for (free, pick) in self.choose.free.iter().zip(picks) {
            if let Choices::Within(within) = free.options {
                let value = values.next().copied().unwrap_or(within.start);
                *pick = Pick::At(within.rounded(value));
            }
        }
    }

    /// A combination that does not hold, at the place where it misses by least over all units, checked.
    fn near(&self, cost: f64, number: usize) -> Result<Option<Near>, EngineError> {
        let mut picks = self.combinations.picks(number);
        let Ok(design) = self.design_of(&picks) else { return Ok(None) };
        let bench = self.bench.beside();
        // What is nearest is told also where the search was ended.
        let heed = || {
            self.on();
            true
        };
        let case = Case::new(&bench.coarse(), &design, &self.ranges(), &heed)?;
        let counted = Counted { wanted: self.choose.wanted, seed: self.options.seed };
        self.put(&place::place(&case, counted, true)?, &mut picks);
        let Ok(design) = self.design_of(&picks) else { return Ok(None) };
        let of = (&picks[..], cost, self.options.seed);
        let found = confirm::confirm(&bench, &design, self.design_name, self.choose, of, &heed)?;
        Ok(Some(Near { picks, found }))
    }

    fn design_of(&self, picks: &[Pick]) -> Result<Design, String> {
        let text = self.combinations.text(picks).ok_or("a value cannot be written")?;
        (self.remake)(&text).map_err(|faults| parts::first(&faults))
    }

    /// The demand that a place misses by most; `None` where a magnet is in a contact.
    fn missed(&self, placed: &Placed) -> Option<usize> {
        let demands = self.design.demands.len();
        let least = |a: &usize, b: &usize| placed.merits[*a].total_cmp(&placed.merits[*b]);
        let worst = (0..=demands).min_by(least)?;
        (worst < demands).then_some(worst)
    }

    /// Refuses a range of a quantity that others follow from: moving it alone would be another design.
    fn ranges_stand_alone(&self) -> Result<(), EngineError> {
        let ranges = self.ranges();
        let picks = self.combinations.picks(0);
        let Ok(design) = self.design_of(&picks) else { return Ok(()) };
        let heed = || true;
        let case = Case::new(&self.bench.beside().coarse(), &design, &ranges, &heed)?;
        for (which, (path, within)) in ranges.iter().enumerate() {
            let mut at = picks.clone();
            let to = self.choose.free.iter().position(|f| f.path == *path).unwrap_or_default();
            at[to] = Pick::At(within.to);
            let Ok(moved) = self.design_of(&at) else { continue };
            let mut place = case.start();
            place[which] = 1.0;
            if !case.agrees(&place, &moved, &self.bench.beside().coarse())? {
                let why = "cannot be chosen in a range, because other quantities follow from it";
                return Err(EngineError::NoChoice(format!("`{path}` {why}; give it a `step`")));
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
