//! An arrangement that was found, checked once more on the text it would be saved as.

use crate::answer::{Answer, Candidate, CandidateDemand, ChosenValue, Share, Verdict};
use crate::bench::Bench;
use crate::check::{self, Options};
use crate::choose::case::{Heed, rank_of, units_for};
use crate::error::EngineError;
use crate::outcome::standings;
use crate::spread::{Evaluator, Model};
use crate::units::Shown;
use rayon::prelude::*;
use reedmace_design::{Choose, Design, Pick};
use reedmace_sampling::{REPLICATES, Sobol, Tally};

/// Code of the warning that a magnet reaches into a contact.
const INTO_CONTACT: &str = "W0102";

/// Units that are counted between two questions whether to go on.
const STRETCH: u64 = 64;

/// A checked arrangement, and whether it holds what is demanded.
pub(crate) struct Confirmed {
    pub candidate: Candidate,
    pub holds: bool,
    pub collides: bool,
}

/// What was chosen, as it stands in the design.
pub(crate) fn values(choose: &Choose, picks: &[Pick]) -> Vec<ChosenValue> {
    let value = |(free, pick): (&reedmace_design::Free, &Pick)| ChosenValue {
        path: free.path.clone(),
        text: free.written(*pick).unwrap_or_default(),
    };
    choose.free.iter().zip(picks).map(value).collect()
}

/// Checks `design` as [`crate::check()`] does and, where a share is wanted, counts the units that meet every
/// demand, each on its true drive.
pub(crate) fn confirm(
    bench: &Bench,
    design: &Design,
    name: &str,
    choose: &Choose,
    (picks, cost, seed): (&[Pick], f64, u64),
    heed: &Heed<'_>,
) -> Result<Confirmed, EngineError> {
    let options = Options { units: 0, seed };
    let step = |_, _| {
        heed();
    };
    let answer = check::on_bench(bench, design, name, &options, &step)?.answer;
    if !heed() {
        return Err(EngineError::GivenUp);
    }
    let (share, margin) = match choose.wanted {
        None => (None, worst_margin(&answer, design)),
        Some(wanted) => counted(bench, design, wanted, seed, heed)?,
    };
    let verdict = answer.verdict.unwrap_or(Verdict::Met);
    let mut warnings: Vec<String> = answer.warnings.iter().map(|w| w.code.clone()).collect();
    warnings.sort();
    warnings.dedup();
    let collides = warnings.iter().any(|code| code == INTO_CONTACT);
    let met = match (choose.wanted, &share) {
        (Some(wanted), Some(share)) => share.met as f64 >= wanted * share.of as f64,
        _ => verdict == Verdict::Met,
    };
    let demands = answer.demands.iter().map(|d| CandidateDemand {
        contact: d.contact.clone(),
        text: d.text.clone(),
        verdict: d.verdict,
        margin_nominal: d.margin_nominal,
        margin_worst: d.margin_worst,
        unit: d.unit.clone(),
    });
    let candidate = Candidate {
        values: values(choose, picks),
        cost,
        margin,
        verdict,
        share,
        demands: demands.collect(),
        warnings,
    };
    Ok(Confirmed { candidate, holds: met && !collides, collides })
}

/// Least room in the worst unit of all demands that have one.
fn worst_margin(answer: &Answer, design: &Design) -> Option<f64> {
    let rooms = (0..answer.demands.len()).filter(|k| design.demands[*k].is_along());
    rooms.filter_map(|k| answer.demands[k].margin_worst).min_by(f64::total_cmp)
}

/// Share of units that meet every demand, and the room that the wanted share of them has.
fn counted(
    bench: &Bench,
    design: &Design,
    wanted: f64,
    seed: u64,
    heed: &Heed<'_>,
) -> Result<(Option<Share>, Option<f64>), EngineError> {
    let (workshop, scene) = bench.workshop(design)?;
    let n = workshop.variables.len();
    if n == 0 {
        let outcome = crate::outcome::Outcome::of(&workshop, &scene, &workshop.nominal_values());
        let met = outcome.demands.iter().all(|d| d.met);
        let mut tally = Tally::default();
        tally.put(0, met);
        return Ok((Some(Share::of(&tally)), least_room(design, &outcome.demands)));
    }
    let (workshop, scene) = workshop.blending(&scene)?;
    let model = Model::new(&workshop, &scene)?;
    let points = Sobol::replicated(seed, n, REPLICATES)?;
    let count = units_for(wanted);
    let units: Vec<(bool, f64)> = (0..count)
        .into_par_iter()
        .map_init(
            || Evaluator::new(&workshop, &model),
            |evaluator, unit| {
                if unit % STRETCH == 0 && !heed() {
                    return Err(EngineError::GivenUp);
                }
                let mut values = points.point(unit);
                workshop.draw(&mut values);
                let walked = evaluator.exact(&values)?;
                let stand = standings(design, walked.courses, walked.range, walked.figures);
                let met = stand.iter().all(|d| d.met);
                let room = least_room(design, &stand);
                Ok((met, room.unwrap_or(if met { f64::INFINITY } else { f64::NEG_INFINITY })))
            },
        )
        .collect::<Result<_, EngineError>>()?;
    let mut tally = Tally::default();
    (0..count).zip(&units).for_each(|(unit, (met, _))| tally.put(unit, *met));
    let mut rooms: Vec<f64> = units.iter().map(|(_, room)| *room).collect();
    let (_, room, _) = rooms.select_nth_unstable_by(rank_of(wanted, count), f64::total_cmp);
    let room = room.is_finite().then(|| Shown::of(design).number(*room));
    Ok((Some(Share::of(&tally)), room))
}

/// Least room of all demands that have one, SI.
fn least_room(design: &Design, standings: &[crate::judge::Standing]) -> Option<f64> {
    let of_events = design
        .demands
        .iter()
        .zip(standings)
        .filter(|(d, s)| d.is_along() && (s.room().is_some() || !s.met));
    let room = |s: &crate::judge::Standing| s.room().unwrap_or(f64::NEG_INFINITY);
    of_events.map(|(_, s)| room(s)).min_by(f64::total_cmp)
}
