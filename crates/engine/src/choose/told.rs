//! From what was tried to the answer.

use crate::answer::{
    Candidate, CandidateDemand, ChooseAnswer, FreeAnswer, FrontPoint, Lost, LostKind, ModelNote,
    Obstacle, Provenance, Verdict,
};
use crate::check::hex;
use crate::choose::{Choosing, Costless, End, NEAREST, Near, Search, confirm};
use crate::error::EngineError;
use crate::models;
use crate::quantity::line_of;
use crate::units::Shown;
use rayon::prelude::*;
use reedmace_design::{Cost, Model, Pick};
use reedmace_units::format_number;
use sha2::{Digest, Sha256};

/// A combination that was tried.
pub(crate) struct Tried {
    pub number: usize,
    pub cost: f64,
    /// What is chosen, in ranges at the best place.
    pub picks: Vec<Pick>,
    /// Its merit there, SI of the coordinate; `None` where no place was looked for.
    pub merit: Option<f64>,
    /// Scenes swept to find it.
    pub scenes: u64,
    pub(super) end: End,
}

impl Tried {
    pub fn holds(&self) -> bool {
        matches!(self.end, End::Holds(_))
    }
}

/// How near a design comes to holding: no magnet in a contact, then the share of units that meet all, then
/// the least room in the worst unit and at nominal.
fn nearness(found: &confirm::Confirmed) -> (bool, [f64; 3]) {
    let least = |room: fn(&CandidateDemand) -> Option<f64>| {
        let missing = |d: &CandidateDemand| match d.verdict {
            Verdict::Met => f64::INFINITY,
            _ => f64::NEG_INFINITY,
        };
        let rooms = found.candidate.demands.iter().map(|d| room(d).unwrap_or_else(|| missing(d)));
        rooms.fold(f64::INFINITY, f64::min)
    };
    let share = found.candidate.share.as_ref().map_or(0.0, |s| s.met as f64 / s.of as f64);
    (!found.collides, [share, least(|d| d.margin_worst), least(|d| d.margin_nominal)])
}

/// The demand that a candidate misses by most.
pub(crate) fn shortest(candidate: &Candidate) -> Option<usize> {
    let demands = || candidate.demands.iter().enumerate();
    let worst = demands().map(|(_, d)| d.verdict).max()?;
    let room = |k: usize| candidate.demands[k].margin_worst.unwrap_or(f64::NEG_INFINITY);
    let of_worst = demands().filter(|(_, d)| d.verdict == worst && worst != Verdict::Met);
    of_worst.map(|(k, _)| k).min_by(|a, b| room(*a).total_cmp(&room(*b)))
}

impl Search<'_> {
    pub(crate) fn told(
        &self,
        tried: Vec<Tried>,
        dearer: &[(f64, usize)],
        costless: &[(usize, Costless)],
        interrupted: bool,
    ) -> Result<Choosing, EngineError> {
        let shown = Shown::of(self.design);
        let best = self.best(&tried);
        let lost = self.lost(&tried, &best, dearer, costless);
        let points = self.points(&tried, &best, &shown);
        let (front, others) = front(points);
        let obstacle = match tried.iter().any(Tried::holds) {
            true => None,
            false => Some(self.obstacle(&tried, &lost, interrupted)?),
        };
        let (obstacle, nearest) = obstacle.map_or((None, None), |(o, text)| (Some(o), text));
        let scenes = tried.iter().map(|t| t.scenes).sum();
        let looked_for = tried.iter().filter(|t| t.merit.is_some()).count();
        let found = tried.iter().filter(|t| t.holds()).count();
        let texts = best.iter().filter_map(|k| self.combinations.text(&tried[*k].picks)).collect();
        let models = self.models()?;
        let mut references: Vec<String> =
            models.iter().flat_map(|m| m.references.clone()).collect();
        references.sort();
        references.dedup();
        let candidates = best.iter().filter_map(|k| match &tried[*k].end {
            End::Holds(candidate) => Some((**candidate).clone()),
            _ => None,
        });
        let free = self.choose.free.iter().map(|free| FreeAnswer {
            path: free.path.clone(),
            line: line_of(self.design, free.span.start),
            options: free.options.count(),
        });
        let answer = ChooseAnswer {
            format: 1,
            title: self.design.title.clone(),
            cost: self.choose.cost.word().into(),
            cost_unit: match self.choose.cost {
                Cost::Price => "",
                Cost::Mass => "g",
                Cost::Volume => "mm³",
                Cost::Power => "mW",
            }
            .into(),
            own_cost: self.combinations.own,
            wanted: self.choose.wanted,
            margin_unit: shown.unit.into(),
            free: free.collect(),
            combinations: self.combinations.count() as u64,
            tried: looked_for as u64,
            found: found as u64,
            interrupted,
            candidates: candidates.collect(),
            obstacle,
            front,
            others,
            lost,
            models,
            provenance: Provenance {
                version: env!("CARGO_PKG_VERSION").into(),
                design: self.design_name.into(),
                design_sha256: hex(&Sha256::digest(self.design.text.as_bytes())),
                seed: self.options.seed,
                references,
                scenes,
            },
        };
        Ok(Choosing { answer, texts, nearest })
    }

    /// The best that hold: the cheapest first; of equals the one with more room, and one without limit before
    /// all.
    fn best(&self, tried: &[Tried]) -> Vec<usize> {
        let room = |t: &Tried| match &t.end {
            End::Holds(candidate) => candidate.margin.unwrap_or(f64::INFINITY),
            _ => f64::NEG_INFINITY,
        };
        let mut best: Vec<usize> = (0..tried.len()).filter(|k| tried[*k].holds()).collect();
        best.sort_by(|a, b| {
            let (a, b) = (&tried[*a], &tried[*b]);
            let by_cost = a.cost.total_cmp(&b.cost);
            by_cost.then(room(b).total_cmp(&room(a))).then(a.number.cmp(&b.number))
        });
        best.truncate(self.options.best);
        best
    }

    /// Why a combination that was tried is not among the best: the kind, in words, and the demand.
    fn why(&self, t: &Tried) -> (LostKind, String, Option<usize>) {
        let demanded = |k: usize| {
            let demand = &self.design.demands[k];
            format!("{} {}", self.design.subject(demand), demand.text)
        };
        match &t.end {
            End::Holds(_) => {
                let best = self.options.best;
                let reason = format!("they do, but {best} others are cheaper or have more room");
                (LostKind::Worse, reason, None)
            }
            End::OutOfReach(_) => {
                let reason = "the field cannot make the contact operate anywhere in the ranges";
                (LostKind::OutOfReach, reason.into(), None)
            }
            End::Misses { demand: None, .. } => {
                let reason = "a magnet would reach into a contact wherever the demands are met";
                (LostKind::Collides, reason.into(), None)
            }
            End::Misses { demand: Some(k), nominal: true } => {
                let reason = format!("{} is missed at nominal already", demanded(*k));
                (LostKind::Nominal, reason, Some(*k))
            }
            End::Misses { demand: Some(k), nominal: false } => {
                let reason = match self.choose.wanted {
                    None => format!("{} is missed in the worst unit", demanded(*k)),
                    Some(_) => format!("{} is missed by too many units", demanded(*k)),
                };
                (LostKind::Tolerance, reason, Some(*k))
            }
            End::Faulty(why) => (LostKind::Faulty, faulty(why), None),
        }
    }

    /// Why the others are no candidates.
    fn lost(
        &self,
        tried: &[Tried],
        best: &[usize],
        dearer: &[(f64, usize)],
        costless: &[(usize, Costless)],
    ) -> Vec<Lost> {
        let mut lost: Vec<Lost> = Vec::new();
        let values = |picks: &[Pick]| confirm::values(self.choose, picks);
        let mut add = |kind: LostKind, reason: String, demand: Option<usize>, picks: &[Pick]| {
            // Faults that differ in a number are one.
            let one = |l: &Lost| match kind {
                LostKind::Faulty if l.kind == kind => spanned(&l.reason, &reason),
                _ => ((l.kind, &l.reason) == (kind, &reason)).then(|| reason.clone()),
            };
            match lost.iter_mut().find_map(|l| one(l).map(|reason| (l, reason))) {
                Some((known, reason)) => {
                    known.count += 1;
                    known.reason = reason;
                }
                None => {
                    lost.push(Lost { kind, reason, count: 1, demand, example: values(picks) });
                }
            }
        };
        for (_, t) in tried.iter().enumerate().filter(|(k, _)| !best.contains(k)) {
            let (kind, reason, demand) = self.why(t);
            add(kind, reason, demand, if t.holds() { &[] } else { &t.picks });
        }
        for (number, why) in costless {
            let (kind, reason) = match why {
                Costless::Unknown(why) => (LostKind::NoPrice, why.clone()),
                Costless::Faulty(why) => (LostKind::Faulty, faulty(why)),
            };
            add(kind, reason, None, &self.combinations.picks(*number));
        }
        for (_, number) in dearer {
            let reason =
                format!("dearer than {} that were found, and not tried", self.options.best);
            add(LostKind::Dearer, reason, None, &self.combinations.picks(*number));
        }
        lost.sort_by(|a, b| b.count.cmp(&a.count).then(a.kind.cmp(&b.kind)));
        lost
    }

    /// Whatever has a margin, by rising cost.
    fn points(&self, tried: &[Tried], best: &[usize], shown: &Shown) -> Vec<FrontPoint> {
        let point = |(k, t): (usize, &Tried)| {
            let margin = match &t.end {
                End::Holds(candidate) => candidate.margin?,
                End::Misses { .. } => shown.number(t.merit.filter(|m| *m > -self.much())?),
                _ => return None,
            };
            let values = confirm::values(self.choose, &t.picks);
            let candidate = best.iter().position(|one| *one == k);
            let why = candidate.is_none().then(|| match t.holds() {
                true => {
                    let others = self.options.best;
                    format!("it meets all, but {others} others are cheaper or have more room")
                }
                false => self.why(t).1,
            });
            Some(FrontPoint { cost: t.cost, margin, met: t.holds(), candidate, why, values })
        };
        let mut points: Vec<FrontPoint> = tried.iter().enumerate().filter_map(point).collect();
        points.sort_by(|a, b| a.cost.total_cmp(&b.cost).then(b.margin.total_cmp(&a.margin)));
        points
    }

    /// What stands in the way, and the text of the nearest design.
    fn obstacle(
        &self,
        tried: &[Tried],
        lost: &[Lost],
        interrupted: bool,
    ) -> Result<(Obstacle, Option<String>), EngineError> {
        let merit = |t: &Tried| t.merit.unwrap_or(f64::NEG_INFINITY);
        let mut order: Vec<&Tried> = tried.iter().filter(|t| t.merit.is_some()).collect();
        order.sort_by(|a, b| merit(b).total_cmp(&merit(a)).then(a.number.cmp(&b.number)));
        // Who gives up does not wait for the nearest of many.
        order.truncate(if interrupted { 1 } else { NEAREST });
        let near = order.par_iter().map(|t| self.near(t.cost, t.number));
        let near: Vec<Option<Near>> = near.collect::<Result<_, EngineError>>()?;
        let key = |near: &Near| nearness(&near.found);
        let best = near.into_iter().flatten().reduce(|a, b| if key(&b) > key(&a) { b } else { a });
        let Some(Near { picks, found: nearest }) = best else {
            let said = match lost.first() {
                Some(lost) => lost.reason.clone(),
                None if interrupted => "the search was stopped before anything was found".into(),
                None => "there is nothing to choose from".into(),
            };
            return Ok((Obstacle { demand: None, said, nearest: None }, None));
        };
        let demand = match nearest.collides {
            true => None,
            false => shortest(&nearest.candidate),
        };
        let said = self.said(&nearest.candidate, demand);
        let text = self.combinations.text(&picks);
        Ok((Obstacle { demand, said, nearest: Some(nearest.candidate) }, text))
    }

    fn said(&self, nearest: &Candidate, demand: Option<usize>) -> String {
        let Some(k) = demand else {
            return "wherever the demands are met, a magnet reaches into a contact".into();
        };
        let d = &nearest.demands[k];
        let named = format!("{} {}", d.contact, d.text);
        let amount =
            |v: f64| format!("{} {}", format_number(v.abs(), 3), d.unit).trim_end().to_owned();
        let in_units = |of: &crate::answer::Share| {
            let percent = format_number(100.0 * of.met as f64 / of.of as f64, 4);
            format!("{percent} % of units meet every demand")
        };
        match (d.margin_nominal, d.margin_worst, &nearest.share) {
            (_, Some(worst), Some(share)) => {
                format!(
                    "{named}: of the nearest design {}, the worst is {} short",
                    in_units(share),
                    amount(worst)
                )
            }
            (_, Some(worst), None) => {
                format!("{named}: the worst unit of the nearest design is {} short", amount(worst))
            }
            (Some(nominal), None, _) if nominal < 0.0 => {
                format!("{named}: the nearest design is {} short at nominal", amount(nominal))
            }
            (Some(_), None, _) => {
                format!("{named}: some units of the nearest design never come to it")
            }
            (None, None, _) => format!("{named}: the nearest design never comes to it"),
        }
    }

    fn models(&self) -> Result<Vec<ModelNote>, EngineError> {
        let (workshop, _) = self.bench.beside().coarse().workshop(self.design)?;
        let mut models = models::notes(&workshop, 0);
        let share = match self.choose.wanted {
            None => "every unit within tolerance, by the worst case".to_owned(),
            Some(_) => "units counted on their true drive".to_owned(),
        };
        models.push(ModelNote {
            name: Model::Choice.name().into(),
            how: "combinations by rising cost; in ranges the place of the greatest room, by climbs from \
                  several places, for the units that are worst there"
                .into(),
            accuracy: format!(
                "what is told of an arrangement is that of its own check, {share}; that no better place was \
                 overlooked is not proven, that a field cannot reach a contact is"
            ),
            references: ["blankenship1976", "kan1987", "nelder1965", "piyavskii1972"]
                .map(Into::into)
                .to_vec(),
        });
        Ok(models)
    }

    /// A margin as it is shown, in SI of the coordinate.
    pub(crate) fn in_si(&self, shown: f64) -> f64 {
        let one = Shown::of(self.design).number(1.0);
        shown / one
    }
}

/// Two sentences as one, if at most one number tells them apart: `1600..3200 turns do not fit`.
fn spanned(a: &str, b: &str) -> Option<String> {
    let range = |word: &str| -> Option<[f64; 2]> {
        let (low, high) = word.split_once("..").unwrap_or((word, word));
        Some([low.parse().ok()?, high.parse().ok()?])
    };
    let [first, second]: [Vec<&str>; 2] = [a, b].map(|text| text.split(' ').collect());
    if first.len() != second.len() {
        return None;
    }
    let apart: Vec<usize> = (0..first.len()).filter(|k| first[*k] != second[*k]).collect();
    let [k] = apart[..] else { return apart.is_empty().then(|| a.to_owned()) };
    let ([low, high], [from, to]) = (range(first[k])?, range(second[k])?);
    let span = format!("{}..{}", low.min(from), high.max(to));
    let words = first.iter().enumerate().map(|(i, word)| if i == k { span.as_str() } else { word });
    Some(words.collect::<Vec<_>>().join(" "))
}

fn faulty(why: &str) -> String {
    format!("the design has a fault: {why}")
}

/// Those of which none is both cheaper and better, and all others.
fn front(points: Vec<FrontPoint>) -> (Vec<FrontPoint>, Vec<FrontPoint>) {
    let mut best = f64::NEG_INFINITY;
    points.into_iter().partition(|point| {
        let further = point.margin > best;
        best = best.max(point.margin);
        further
    })
}

#[cfg(test)]
mod tests {
    use super::spanned;

    #[test]
    fn prop_sentences_that_differ_in_one_number_are_one() {
        let more = spanned("1800 turns do not fit [G0211]", "1600 turns do not fit [G0211]");
        assert_eq!(more.as_deref(), Some("1600..1800 turns do not fit [G0211]"));
        let more = spanned(&more.unwrap(), "3200 turns do not fit [G0211]");
        assert_eq!(more.as_deref(), Some("1600..3200 turns do not fit [G0211]"));
        assert_eq!(spanned("as it is", "as it is").as_deref(), Some("as it is"));
        assert_eq!(spanned("1 turn fits", "2 turns fit"), None);
        assert_eq!(spanned("slug meets lid", "slug meets rim"), None);
    }
}
