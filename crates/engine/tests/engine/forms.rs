//! Contacts that break and that change over, from design text to events of every side.

use crate::at_work::{LEVELS, REED, design_of, parse, places, study};
use reedmace_design::Thing;
use reedmace_engine::answer::{Answer, Direction, EventKind, Verdict};
use reedmace_engine::{Movable, place};
use std::f64::consts::PI;

/// Field amid a coil 1 m long and 20 mm wide per ampere-turn, T.
fn per_turn() -> f64 {
    4e-7 * PI / 1f64.hypot(0.02)
}

fn in_a_coil(form: &str, levels: &str) -> String {
    design_of(
        &format!("{REED}{levels}{form}"),
        "[[coil]]\nname = \"long\"\nlength = \"1000 mm\"\nmean_diameter = \"20 mm\"\naxis = [1, 0, 0]\n\
         [sweep]\nkind = \"current\"\ncoil = \"long\"\nfrom = \"0 AT\"\nto = \"900 AT\"\n",
    )
}

fn approach(form: &str, demands: &str) -> String {
    design_of(
        &format!("{REED}{LEVELS}{form}"),
        &format!(
            "[[magnet]]\nname = \"slug\"\nshape = \"cuboid\"\nsize = [\"10 mm\", \"5 mm\", \"5 mm\"]\n\
             remanence = \"1.2 T\"\ndirection = [1, 0, 0]\n[sweep]\nkind = \"line\"\nmoves = \"slug\"\n\
             from = [\"0 mm\", \"0 mm\", \"60 mm\"]\nto = [\"0 mm\", \"0 mm\", \"8 mm\"]\n{demands}"
        ),
    )
}

/// A figure's nominal value and its limits.
fn figure(answer: &Answer, name: &str) -> [f64; 3] {
    let found = answer.figures.iter().find(|figure| figure.name == name);
    let band = &found.unwrap_or_else(|| panic!("no {name}")).value;
    [band.low, band.value.expect("a nominal value"), band.high]
}

/// A contact that breaks is closed where one that makes is open, with the same events.
#[test]
fn prop_a_break_contact_is_the_other_way_about() {
    let demand = |word: &str| {
        format!(
            "[[demand]]\ncontact = \"reed\"\n{word} = \"<= 12 mm\"\n[[demand]]\ncontact = \"reed\"\n{} = \">= 50 mm\"\n",
            if word == "closed" { "open" } else { "closed" }
        )
    };
    let makes = study(&approach("", &demand("closed"))).answer;
    let breaks = study(&approach("form = \"B\"\n", &demand("open"))).answer;
    let (a, b) = (&makes.contacts[0], &breaks.contacts[0]);
    assert_eq!(places(a), places(b));
    assert_eq!((a.form.as_str(), b.form.as_str()), ("A", "B"));
    assert!(!a.closed_at_start && b.closed_at_start);
    assert_eq!((a.closed.len(), b.closed.len()), (2, 2));
    let [closes, opens] = [EventKind::Operate, EventKind::Release]
        .map(|kind| places(a).into_iter().find(|event| event.0 == kind).expect("an event").2);
    let passes: Vec<_> = b.closed.iter().map(|c| (c.direction, [c.from, c.to])).collect();
    assert_eq!(passes, [(Direction::Forward, [60.0, closes]), (Direction::Back, [opens, 60.0])]);
    for (a, b) in makes.demands.iter().zip(&breaks.demands) {
        assert_eq!((a.verdict, b.verdict), (Verdict::Met, Verdict::Met));
        assert!((a.margin_nominal.unwrap() - b.margin_nominal.unwrap()).abs() < 1e-9);
    }
}

/// In an even field each side changes at its share of the levels, and the ways between are the rest of them.
#[test]
fn law_both_sides_of_a_change_over_in_a_long_coil() {
    let form = "form = \"C\"\nbreaks = \"90 %\"\nremakes = \"80 %\"\n";
    let answer = study(&in_a_coil(form, LEVELS)).answer;
    let (operate, release) = (0.75e-3 / per_turn(), 0.38e-3 / per_turn());
    let near = |a: f64, b: f64| (a - b).abs() < 2e-4 * b;
    let expected = [("reed", operate, release), ("reed NC", 0.9 * operate, 0.8 * release)];
    for (contact, (name, operate, release)) in answer.contacts.iter().zip(expected) {
        assert_eq!(contact.name, name);
        let events = places(contact);
        assert_eq!(events.len(), 2, "{events:?}");
        assert!(near(events[0].2, operate) && near(events[1].2, release), "{events:?}");
    }
    let forms: Vec<_> =
        answer.contacts.iter().map(|c| (c.form.as_str(), c.closed_at_start)).collect();
    assert_eq!(forms, [("C", false), ("C, normally closed", true)]);
    assert!(near(figure(&answer, "transfer of reed")[1], 0.1 * operate));
    assert!(near(figure(&answer, "return transfer of reed")[1], 0.2 * release));
}

/// The sides share their blade: however far operate spreads, the other side has opened by then, unless its share
/// may be above one.
#[test]
fn prop_the_sides_go_together_over_tolerances() {
    let levels = "operate = \"0.6..0.9 mT\"\nrelease = \"0.3..0.45 mT\"\ncoil = \"uniform\"\n";
    let demand = "[[demand]]\nfigure = \"transfer of reed\"\nwithin = \">= 0 AT\"\n";
    let checked = |breaks: &str| {
        let form = format!("form = \"C\"\nbreaks = \"{breaks}\"\nremakes = \"90 %\"\n");
        study(&(in_a_coil(&form, levels) + demand)).answer
    };
    let good = checked("92..98 %");
    let [low, _, high] = figure(&good, "transfer of reed");
    let near = |a: f64, b: f64| (a - b).abs() < 2e-4 * b.abs();
    assert!(
        near(low, 0.02 * 0.6e-3 / per_turn()) && near(high, 0.08 * 0.9e-3 / per_turn()),
        "{low} {high}"
    );
    assert_eq!(good.demands[0].verdict, Verdict::Met);
    let bad = checked("87..103 %");
    assert!(near(figure(&bad, "transfer of reed")[0], -0.03 * 0.9e-3 / per_turn()));
    assert_eq!(bad.demands[0].verdict, Verdict::AtRisk);
}

/// Moved, both sides go: on the sweep, and when the contact is put elsewhere.
#[test]
fn prop_what_moves_a_change_over_moves_both_sides() {
    let form = "form = \"C\"\nbreaks = \"90 %\"\nremakes = \"80 %\"\n";
    let magnet_moves = study(&approach(form, "")).answer;
    let text = approach(form, "").replace("moves = \"slug\"", "moves = \"reed\"");
    let contact_moves = study(&text).answer;
    for (a, b) in magnet_moves.contacts.iter().zip(&contact_moves.contacts) {
        let (a, b) = (places(a), places(b));
        assert_eq!(a.len(), b.len());
        assert!(a.iter().zip(&b).all(|(a, b)| (a.2 - b.2).abs() < 1e-6), "{a:?} {b:?}");
    }
    let design = parse(&approach(form, ""));
    let at = [0.001, 0.002, -0.003];
    for side in 0..2 {
        let what = Movable::Body(Thing::Contact(side));
        let placed = place(&design, what, at, [0.0, 0.0, 0.2]).expect("placed");
        let [a, b] = [0, 1].map(|k| &placed.design.contacts[k]);
        assert_eq!((&a.at, &a.rotate), (&b.at, &b.rotate));
        assert!((0..3).all(|i| (a.centre()[i] - at[i]).abs() < 1e-12));
        assert!(placed.changes.iter().all(|(path, _)| path.starts_with("contact[reed].")));
    }
}
