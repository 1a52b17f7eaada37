//! How each demand stands: sign, word, room and share of units.

use super::{
    Ink,
    layout::{whole, wrap},
    paint,
};
use reedmace_engine::{
    Answer,
    answer::{DemandAnswer, Share, Verdict},
};
use reedmace_report::{
    brief::{self, Alike},
    number::{bounded, counts, percent, with_unit},
};

/// All demands; `None` when there is none.
pub(crate) fn demands(answer: &Answer) -> Option<String> {
    if answer.demands.is_empty() {
        return None;
    }
    Some(brief::demands(answer).iter().map(demand).collect())
}

/// The sign beside a verdict's word.
pub(super) fn sign(verdict: Verdict) -> char {
    match verdict {
        Verdict::Met => '✓',
        Verdict::AtRisk => '!',
        Verdict::Missed => '✗',
    }
}

fn demand(alike: &Alike<'_, DemandAnswer>) -> String {
    let demand = alike.one;
    let verdict = format!("{} {:<8}", sign(demand.verdict), demand.verdict.word());
    let first = format!("  {verdict} ");
    let head = wrap(&first, &format!("{} {}", alike.names, demand.text));
    let head = head.replacen(&verdict, &paint(Ink::of(demand.verdict), &verdict), 1);
    let indent = " ".repeat(first.chars().count());
    // What is counted has no room: it is told how often it happens.
    let counted = counts(&demand.unit);
    let mut facts = Vec::new();
    if counted {
        facts.push(demand.reason.clone());
    } else {
        let told = |what: &str, room: Option<f64>, bound| {
            let room = with_unit(room?, &demand.unit);
            Some(whole(&format!("{what} {}", bounded(&room, bound))))
        };
        facts.extend(told("room", demand.margin_nominal, demand.margin_nominal_bound));
        facts.extend(told("worst unit", demand.margin_worst, demand.margin_worst_bound));
    }
    facts.extend(demand.share.as_ref().map(share));
    let mut out = head;
    if !facts.is_empty() {
        out.push_str(&wrap(&indent, &facts.join(", ")));
    }
    if demand.verdict != Verdict::Met && !counted {
        out.push_str(&wrap(&indent, &demand.reason));
    }
    out
}

/// `98.34 % of 4096 units (97.80 % .. 98.78 %)`
fn share(share: &Share) -> String {
    let part = match share.met {
        met if met == share.of => "all".into(),
        0 => "none".into(),
        met => percent(met as f64 / share.of as f64),
    };
    whole(&format!("{part} of {} units", share.of))
        + " "
        + &whole(&format!("({} .. {})", percent(share.low), percent(share.high)))
}
