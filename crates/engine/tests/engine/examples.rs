//! The example designs: what they answer (our own numbers, kept), and what must be true of them.

use crate::at_work::study;
use reedmace_engine::answer::{Answer, Direction, Event, EventKind, Verdict};
use std::fmt::Write as _;

const DESIGNS: &[&str] = &[
    "hopper-lid",
    "cabinet-lid",
    "feed-drawer",
    "hatch-hinge",
    "store-door",
    "paddle-wheel",
    "probe-relay",
    "probe-multiplexer",
    "pump-relay",
    "pond-hatch",
    "sluice-memory",
    "bale-latch",
    "hay-flap",
];

fn answer(name: &str) -> Answer {
    let path = format!("{}/../../designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    study(&std::fs::read_to_string(path).unwrap()).answer
}

fn summary(name: &str) -> String {
    let answer = answer(name);
    let mut text = format!("{name}\n");
    let number = |v: Option<f64>| v.map_or("-".to_owned(), |v| format!("{v:.3}"));
    for event in answer.contacts.iter().flat_map(|c| &c.events) {
        let Event { kind, direction, at, lobe, in_every_unit, .. } = event;
        writeln!(
            text,
            "  {kind:?} {direction:?} {} {:.3} {:.3} {} lobe {lobe} every {in_every_unit}",
            number(at.value),
            at.low,
            at.high,
            at.unit
        )
        .unwrap();
    }
    for d in &answer.demands {
        let (here, worst) = (number(d.margin_nominal), number(d.margin_worst));
        writeln!(text, "  {} | {} {here} {worst} {}", d.text, d.verdict.word(), d.unit).unwrap();
    }
    let codes: Vec<&str> = answer.warnings.iter().map(|w| w.code.as_str()).collect();
    writeln!(text, "  warnings {}", codes.join(" ")).unwrap();
    text
}

/// Kind, order and direction exactly, numbers to a hundredth of their unit.
/// `REEDMACE_BLESS=1` writes the file anew.
#[test]
fn reg_examples() {
    let path = format!("{}/tests/engine/examples.txt", env!("CARGO_MANIFEST_DIR"));
    let found = DESIGNS.iter().map(|name| summary(name)).collect::<String>();
    if std::env::var_os("REEDMACE_BLESS").is_some() {
        std::fs::write(&path, &found).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap();
    let same = |a: &str, b: &str| match (a.parse::<f64>(), b.parse::<f64>()) {
        (Ok(a), Ok(b)) => (a - b).abs() <= 0.01,
        _ => a == b,
    };
    assert_eq!(found.lines().count(), kept.lines().count(), "{found}");
    for (found, kept) in found.lines().zip(kept.lines()) {
        let (a, b): (Vec<&str>, Vec<&str>) =
            (found.split_whitespace().collect(), kept.split_whitespace().collect());
        assert!(a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| same(a, b)), "{found}\n{kept}");
    }
}

fn forward_operates(answer: &Answer) -> Vec<&Event> {
    let operates = |e: &&Event| e.kind == EventKind::Operate && e.direction == Direction::Forward;
    answer.contacts[0].events.iter().filter(operates).collect()
}

#[test]
fn prop_every_band_holds_its_nominal_and_says_what_moves_it() {
    for name in DESIGNS {
        for event in answer(name).contacts.iter().flat_map(|c| &c.events) {
            let at = event.at.value.expect("an example's events are nominal ones");
            assert!(event.at.low < at && at < event.at.high, "{name} {event:?}");
            assert!(!event.drivers.is_empty(), "{name} {event:?}");
        }
    }
}

/// Common practice, no source: a lid's contact lets go later than it closed; by how much is the
/// differential, a number between 0 and 1.
#[test]
fn prop_the_lid_closes_once_and_lets_go_later() {
    let answer = answer("hopper-lid");
    let events = &answer.contacts[0].events;
    assert_eq!(events.len(), 2);
    let (operate, release) = (events[0].at.value.unwrap(), events[1].at.value.unwrap());
    assert!(operate < release);
    let figure = |name: &str| answer.figures.iter().find(|f| f.name == name).unwrap();
    let ratio = figure("differential ratio of lid").value.value.unwrap();
    assert!((ratio - 100.0 * operate / release).abs() < 1e-7, "{ratio}");
    assert!((0.0..100.0).contains(&ratio));
    // Over the tolerances the difference is no further than the events themselves allow.
    let difference = &figure("differential of lid").value;
    assert!((difference.value.unwrap() - (release - operate)).abs() < 1e-9, "{difference:?}");
    assert!(difference.low >= events[1].at.low - events[0].at.high - 1e-9, "{difference:?}");
    assert!(difference.high <= events[1].at.high - events[0].at.low + 1e-9, "{difference:?}");
    assert!(difference.low < difference.high, "{difference:?}");
    assert_eq!(answer.verdict, Some(Verdict::Met));
}

#[test]
fn prop_the_drawer_closes_three_times_and_is_told_so() {
    let answer = answer("feed-drawer");
    assert_eq!(forward_operates(&answer).iter().map(|e| e.lobe).collect::<Vec<_>>(), [1, 2, 3]);
    let verdicts: Vec<_> = answer.demands.iter().map(|d| d.verdict).collect();
    assert_eq!(verdicts, [Verdict::Met, Verdict::Missed, Verdict::AtRisk]);
    assert!(answer.warnings.iter().any(|w| w.code == "W0103"));
}

#[test]
fn prop_the_hatch_and_the_relay_meet_their_demands() {
    for name in ["hatch-hinge", "probe-relay"] {
        let answer = answer(name);
        assert_eq!(answer.verdict, Some(Verdict::Met), "{name}");
        assert_eq!(forward_operates(&answer).len(), 1, "{name}");
    }
    // a relay holds at less current than it closes at
    let relay = answer("probe-relay");
    let events = &relay.contacts[0].events;
    assert!(events[1].at.value.unwrap() < events[0].at.value.unwrap());
    assert_eq!(events[0].at.unit, "mA");
}

/// Four equal magnets, a quarter turn apart: so are the pulses.
#[test]
fn prop_the_wheel_pulses_at_every_quarter() {
    let answer = answer("paddle-wheel");
    let operates = forward_operates(&answer);
    assert_eq!(operates.len(), 4);
    assert!(operates.iter().all(|e| e.main_lobe), "no magnet is the main one");
    for pair in operates.windows(2) {
        let turn = pair[1].at.value.unwrap() - pair[0].at.value.unwrap();
        assert!((turn - 90.0).abs() < 1e-3, "{turn}");
    }
    assert_eq!(answer.verdict, Some(Verdict::Met));
    assert!(!answer.warnings.iter().any(|w| w.code == "W0103"), "four were asked for");
}
