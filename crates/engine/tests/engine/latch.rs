//! Contacts that remember, from design text to set and reset points and what holds between them.

use crate::at_work::{LEVELS, REED, design_of, places, study};
use reedmace_engine::answer::{Answer, LatchAtContact};
use std::f64::consts::PI;

const MU_0: f64 = 4e-7 * PI;
/// Levels of the contact, T.
const OPERATE: f64 = 0.75e-3;
const RELEASE: f64 = 0.38e-3;
/// Length and diameter of coils that are far longer than the contact, m.
const LONG: [f64; 2] = [1.0, 0.02];

fn coil(name: &str, drive: &str) -> String {
    format!(
        "[[coil]]\nname = \"{name}\"\nlength = \"{} mm\"\nmean_diameter = \"{} mm\"\naxis = [1, 0, 0]\n{drive}\n",
        1e3 * LONG[0],
        1e3 * LONG[1]
    )
}

/// A contact in a long coil that holds it, and in another one that is swept, ampere-turns.
fn coils(hold: f64, [from, to]: [f64; 2], more: &str) -> String {
    let hold = coil("hold", &format!("ampere_turns = \"{hold} AT\""));
    let sweep = format!(
        "[sweep]\nkind = \"current\"\ncoil = \"pulse\"\nfrom = \"{from} AT\"\nto = \"{to} AT\"\n[latch]\n"
    );
    design_of(&format!("{REED}{LEVELS}"), &format!("{hold}{}{sweep}{more}", coil("pulse", "")))
}

/// A contact beside a magnet of a grade, and a magnet magnetised across that passes it along its axis.
fn passing(from: f64, to: f64, sense: i32, more: &str) -> String {
    design_of(
        &format!("{REED}{LEVELS}"),
        &format!(
            "[[magnet]]\nname = \"bias\"\nshape = \"cuboid\"\nsize = [\"6 mm\", \"3 mm\", \"2 mm\"]\n\
             grade = \"NdFeB 240/80\"\ndirection = [{sense}, 0, 0]\nat = [\"0 mm\", \"0 mm\", \"-11 mm\"]\n\
             [[magnet]]\nname = \"passer\"\nshape = \"cuboid\"\nsize = [\"8 mm\", \"8 mm\", \"8 mm\"]\n\
             grade = \"NdFeB 240/80\"\ndirection = [0, 0, {sense}]\n\
             [sweep]\nkind = \"line\"\nmoves = \"passer\"\nfrom = [\"{from} mm\", \"0 mm\", \"33 mm\"]\n\
             to = [\"{to} mm\", \"0 mm\", \"33 mm\"]\n[latch]\n{more}"
        ),
    )
}

fn answer(text: &str) -> Answer {
    study(text).answer
}

fn figure(answer: &Answer, name: &str) -> f64 {
    let found = answer.figures.iter().find(|figure| figure.name == format!("{name} of reed"));
    found.unwrap_or_else(|| panic!("no {name}")).value.value.expect("a nominal value")
}

fn held(answer: &Answer) -> &LatchAtContact {
    &answer.latch.as_ref().expect("a latch").contacts[0]
}

/// Amid a long thin coil B = μ0 NI / √(l² + d²), even along the contact, so that flux density is drive.
#[test]
fn law_set_and_reset_in_long_coils() {
    let per_turn = MU_0 / LONG[0].hypot(LONG[1]);
    for hold in [350.0, 450.0, 550.0] {
        let bias = hold * per_turn;
        let answer = answer(&coils(hold, [-900.0, 900.0], ""));
        let told = |name: &str| figure(&answer, name);
        let close = |name: &str, expected: f64| {
            let off = (told(name) - expected).abs();
            assert!(
                off < 2e-4 * expected.abs().max(0.1),
                "{hold}: {name} {} {expected}",
                told(name)
            );
        };
        close("bias", 1e3 * bias);
        close("set point", (OPERATE - bias) / per_turn);
        close("reset point", (RELEASE - bias) / per_turn);
        close("resetting stray field", 1e3 * (bias - RELEASE));
        close("setting stray field", 1e3 * (OPERATE - bias));
        assert!(held(&answer).stays_set && held(&answer).stays_reset);
        assert_eq!(held(&answer).overdriven, None);
    }
    // Far enough against the bias it closes the other way round.
    let over = answer(&coils(450.0, [-1500.0, 900.0], ""));
    let expected = -(OPERATE / per_turn + 450.0);
    assert!((figure(&over, "overdrive point") / expected - 1.0).abs() < 2e-4);
    assert!(over.warnings.iter().any(|warning| warning.code == "W0114"));
}

/// A field from outside as great as is told, against the bias or with it, is just as much as the state stands.
#[test]
fn prop_a_stray_field_is_survived_as_far_as_is_told() {
    let told = answer(&coils(450.0, [-900.0, 900.0], ""));
    let [set, reset] =
        ["resetting", "setting"].map(|way| figure(&told, &format!("{way} stray field")));
    let beside = |field: f64| {
        let field = format!("[surroundings]\nfield = [\"{field} mT\", \"0 mT\", \"0 mT\"]\n");
        let answer = answer(&coils(450.0, [-900.0, 900.0], &field));
        (held(&answer).stays_set, held(&answer).stays_reset)
    };
    assert_eq!(beside(-0.999 * set), (true, true));
    assert_eq!(beside(-1.001 * set), (false, true));
    assert_eq!(beside(0.999 * reset), (true, true));
    assert_eq!(beside(1.001 * reset), (true, false));
}

/// Passed the other way, and with all poles the other way round, it is the same contact that remembers.
#[test]
fn prop_the_way_and_the_poles_mirror() {
    let one = answer(&passing(-150.0, 150.0, 1, ""));
    let names =
        ["bias", "resetting stray field", "setting stray field", "set point", "reset point"];
    let all = |answer: &Answer| names.map(|name| figure(answer, name));
    let near =
        |a: [f64; 5], b: [f64; 5]| (0..5).all(|k| (a[k] - b[k]).abs() < 1e-6 * b[k].abs().max(1.0));
    let there = all(&one);
    assert!(there[1] > 0.0 && there[2] > 0.0, "{there:?}");
    let poles = all(&answer(&passing(-150.0, 150.0, -1, "")));
    assert!(near(there, poles), "{there:?} {poles:?}");
    // What is passed last decides: forward it is reset behind the contact, back it is set.
    let events = places(&one.contacts[0]);
    assert_eq!(events.len(), 3, "{events:?}");
    let back = answer(&passing(150.0, -150.0, 1, "").replace("[latch]", "[latch]\nrest = \"to\""));
    let back = all(&back);
    assert!(near([there[0], there[1], there[2], 0.0, 0.0], [back[0], back[1], back[2], 0.0, 0.0]));
}

/// At the temperatures that are told nothing is left of the room.
#[test]
fn prop_no_room_is_left_at_the_last_temperature() {
    let at = |temperature: f64| {
        let more = format!("[surroundings]\ntemperature = \"{temperature} °C\"\n");
        let text = passing(-150.0, 150.0, 1, &more);
        answer(&text.replace("release = \"0.38 mT\"", "release = \"0.54 mT\""))
    };
    for now in [-10.0, 20.0, 40.0] {
        let hottest = figure(&at(now), "hot limit");
        assert!((20.0..79.0).contains(&hottest), "{hottest}");
        let left = figure(&at(hottest), "resetting stray field");
        assert!(left.abs() < 1e-6, "{now}: {left} mT at {hottest} °C");
    }
}

/// Without [latch] the answer says that a contact may be in either state where the sweep starts.
#[test]
fn prop_a_start_between_the_levels_is_told() {
    let warned = |text: &str| answer(text).warnings.iter().any(|warning| warning.code == "W0113");
    let text = passing(-150.0, 150.0, 1, "");
    assert!(!warned(&text));
    assert!(warned(&text.replace("[latch]", "")));
}

/// A bias that is never strong enough to set the contact in the cold, nor too weak in the heat that its grade
/// allows: both temperatures are told as where the looking ended.
#[test]
fn law_a_latch_that_holds_everywhere_is_told_to_hold_as_far_as_was_looked() {
    let answer = answer(&passing(-150.0, 150.0, 1, "[surroundings]\ntemperature = \"20 °C\"\n"));
    for (name, upper, at) in [("hot limit", true, 80.0), ("cold limit", false, -200.0)] {
        let told = answer.figures.iter().find(|told| told.name == format!("{name} of reed"));
        let told = told.expect("the figure");
        let end = told.ends.iter().find(|end| end.upper == upper).expect("its end");
        assert_eq!((told.value.value, end.at), (Some(end.at), at), "{name}");
    }
}
