//! From how each demand stands in every scene to its verdict and the words for it.

use crate::answer::{Bound, DemandAnswer, Direction, Share, Verdict};
use crate::judge::Standing;
use crate::outcome::Outcome;
use crate::quantity::line_of;
use crate::units::Shown;
use crate::worst::Worst;
use reedmace_design::{Demand, DemandKind, Design, Figure};
use reedmace_units::format_number;

/// How every demand stands, in words and numbers.
pub(crate) fn answers(
    design: &Design,
    nominal: &Outcome,
    worst: &Worst,
    shares: Option<&[Share]>,
    shown: &Shown,
) -> Vec<DemandAnswer> {
    let figures = design.figures();
    design
        .demands
        .iter()
        .enumerate()
        .map(|(k, demand)| {
            let here = nominal.demands[k];
            let (least, every_met) = worst.demands[k];
            let at_worst = Standing { met: every_met, margin: least };
            let scale = shown.room(demand, &figures);
            let room = |s: Standing| s.room().map(|r| scale.number(r));
            let share = shares.map(|s| s[k].clone());
            let verdict = Verdict::of(here.met, every_met);
            DemandAnswer {
                contact: design.subject(demand),
                text: demand.text.clone(),
                verdict,
                margin_nominal: room(here),
                margin_worst: room(at_worst),
                margin_nominal_bound: bound(demand, here, &figures),
                margin_worst_bound: bound(demand, at_worst, &figures),
                unit: scale.unit.into(),
                reason: {
                    let told = |s: Standing| Some((room(s)?, bound(demand, s, &figures)));
                    reason(demand, nominal, verdict, told(here), told(at_worst), scale.unit)
                },
                share,
                line: line_of(design, demand.span.start),
            }
        })
        .collect()
}

impl Verdict {
    /// By the nominal unit, and by every corner of the tolerances.
    pub(crate) fn of(nominal: bool, every: bool) -> Self {
        match (nominal, every) {
            (false, _) => Self::Missed,
            (true, false) => Self::AtRisk,
            (true, true) => Self::Met,
        }
    }
}

/// Share of itself by which a value may miss the end that it lies at: it is found again from the room.
const ROUNDING: f64 = 1e-9;

/// Which way the true room lies, of a demand on a figure whose value is where the looking ended.
fn bound(demand: &Demand, standing: Standing, figures: &[Figure]) -> Option<Bound> {
    let DemandKind::Figure(k, reach) = &demand.kind else { return None };
    let margin = standing.room()?;
    let at = |value: f64, upper: bool| {
        let there = |at: f64| (at - value).abs() <= ROUNDING * at.abs();
        figures[*k].ends.iter().any(|end| end.upper == upper && there(end.at))
    };
    let (from_low, from_high) = (reach.low + margin, reach.high - margin);
    let more = at(from_low, true) || at(from_high, false);
    let less = at(from_low, false) || at(from_high, true);
    more.then_some(Bound::AtLeast).or(less.then_some(Bound::AtMost))
}

/// How a verdict came about, in a sentence.
fn reason(
    demand: &Demand,
    nominal: &Outcome,
    verdict: Verdict,
    here: Option<(f64, Option<Bound>)>,
    worst: Option<(f64, Option<Bound>)>,
    unit: &str,
) -> String {
    let never = match (&demand.kind, demand.contact) {
        (DemandKind::Closures(wanted), Some(contact)) => {
            let found = nominal.courses[contact].closures(Direction::Forward);
            return closures(found, *wanted, verdict, worst.map(|(off, _)| off));
        }
        (DemandKind::Figure(..), _) => "tells it",
        (DemandKind::Open(_), _) => "opens",
        _ => "closes",
    };
    let amount = |(room, bound): (f64, Option<Bound>)| {
        // What is missed by is the room the other way round.
        let words = match (bound, room < 0.0) {
            (None, _) => "",
            (Some(Bound::AtLeast), false) | (Some(Bound::AtMost), true) => "at least ",
            _ => "at most ",
        };
        format!("{words}{} {unit}", format_number(room.abs(), 3)).trim_end().to_owned()
    };
    match (verdict, here, worst) {
        (Verdict::Met, _, Some(room)) => format!("{} to spare in the worst unit", amount(room)),
        (Verdict::Met, _, None) => "no event comes near it".into(),
        (Verdict::AtRisk, _, Some(short)) => {
            format!("the nominal unit meets it, the worst is {} short", amount(short))
        }
        (Verdict::AtRisk, _, None) => {
            let never = never.replacen("tells", "tell", 1);
            format!("the nominal unit meets it, some units never {}", never.trim_end_matches('s'))
        }
        (Verdict::Missed, Some(short), _) => format!("{} short at nominal", amount(short)),
        (Verdict::Missed, None, _) if demand.contact.is_none() => {
            "the nominal unit has no such figure".into()
        }
        (Verdict::Missed, None, _) => format!("it never {never} on one of the passes"),
    }
}

fn closures(found: usize, wanted: u32, verdict: Verdict, worst: Option<f64>) -> String {
    let times = |n: usize| if n == 1 { "once".to_owned() } else { format!("{n} times") };
    let found = times(found);
    match verdict {
        Verdict::Met => format!("operates {found} in every unit"),
        Verdict::AtRisk => {
            let off = worst.map_or(0.0, f64::abs);
            format!(
                "operates {found} nominally, as wanted, but not in every unit: {off:.0} off in the worst"
            )
        }
        Verdict::Missed => format!("operates {found}, {wanted} wanted"),
    }
}
