//! The best place of a combination: its greatest room over all units that count.
//!
//! Units that decide are gathered as they are met: the place is best for the nominal unit first, then for
//! it and the units that are worst there, and so on until no worse ones turn up. Source: semi-infinite
//! programming by exchange, `[blankenship1976]`.

use crate::choose::case::{Case, Merits, Weighed, lower};
use crate::choose::seek::seek;
use crate::error::EngineError;
use crate::realise::Workshop;

/// Times that units which turned out worse are taken in, at most.
const ROUNDS: usize = 4;
/// Merits that differ by less than this part of the sweep are alike.
const ALIKE: f64 = 1e-4;

/// Where a combination does best, and how well.
pub(crate) struct Placed {
    /// Values in the ranges, SI.
    pub values: Vec<f64>,
    /// Merits there: least over the units that count.
    pub merits: Merits,
    /// Least of them.
    pub merit: f64,
    /// False where the nominal unit misses a demand already.
    pub nominal: bool,
}

/// Which units count.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Counted {
    /// Share of units that must meet every demand; `None` if each within tolerance must.
    pub wanted: Option<f64>,
    pub seed: u64,
}

impl Counted {
    fn weigh(self, case: &Case<'_>, workshop: &Workshop) -> Result<Weighed, EngineError> {
        match self.wanted {
            None => case.worst(workshop),
            Some(wanted) => case.share(workshop, wanted, self.seed),
        }
    }
}

/// Where `case` does best. Where that cannot be good enough, the place is that of the units looked at so far,
/// unless the place best for all of them is wanted, `to_the_end`.
pub(crate) fn place(
    case: &Case<'_>,
    counted: Counted,
    to_the_end: bool,
) -> Result<Placed, EngineError> {
    let mut units = vec![case.nominal_values()];
    let mut starts = vec![case.start()];
    let mut best: Option<(Vec<f64>, Merits)> = None;
    let mut nominal = true;
    for round in 0..=ROUNDS {
        let merit = |place: &[f64]| Ok(least(&of_units(case, place, &units)?) / case.span);
        let (place, found) = seek(&starts, counted.seed, &merit)?;
        let found = found * case.span;
        let before = best.as_ref().map(|(_, merits)| least(merits));
        // No place does better for these units alone, so none does for all. A share is of other units at
        // each place: there they lead, and prove nothing.
        let proven = !to_the_end && (round == 0 || counted.wanted.is_none());
        let hopeless = found < 0.0 && proven && before.is_none_or(|before| before < found);
        if hopeless {
            nominal = round > 0;
            best = Some((place.clone(), of_units(case, &place, &units)?));
            break;
        }
        if before.is_some_and(|before| found <= before + ALIKE * case.span) {
            break;
        }
        let weighed = counted.weigh(case, &case.at(&place))?;
        let truth = least(&weighed.merits);
        if before.is_none_or(|before| truth > before) {
            best = Some((place.clone(), weighed.merits));
        }
        if case.dimensions() == 0 || truth >= found - ALIKE * case.span {
            break;
        }
        units.extend(weighed.units);
        starts.push(place);
    }
    let (place, merits) = best.unwrap_or_else(|| (case.start(), Vec::new()));
    let merit = least(&merits);
    Ok(Placed { values: case.values(&place), merits, merit, nominal })
}

fn of_units(case: &Case<'_>, place: &[f64], units: &[Vec<f64>]) -> Result<Merits, EngineError> {
    let workshop = case.at(place);
    let mut merits = case.merits(&workshop, &units[0])?;
    for unit in &units[1..] {
        lower(&mut merits, &case.merits(&workshop, unit)?);
    }
    Ok(merits)
}

fn least(merits: &Merits) -> f64 {
    merits.iter().copied().fold(f64::INFINITY, f64::min)
}
