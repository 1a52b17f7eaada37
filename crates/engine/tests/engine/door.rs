//! A door: its gaps, and what outside magnets can do to its contacts.

use crate::at_work::{LEVELS, REED, design_of, drives, study};
use reedmace_engine::answer::{Answer, Direction, EventKind};

const LEAF: &str = "[[magnet]]\nname = \"leaf\"\nshape = \"cuboid\"\nsize = [\"5 mm\", \"10 mm\", \"5 mm\"]\n\
                    remanence = \"1.2 T\"\ndirection = [0, 1, 0]\nat = [\"400 mm\", \"0 mm\", \"9 mm\"]\n";
const CUBE: &str =
    "shape = \"cuboid\"\nsize = [\"6 mm\", \"6 mm\", \"6 mm\"]\nremanence = \"1.2 T\"\n";

/// A contact across the leaf's edge, 400 mm from the hinge, whose leaf goes from 60° to shut.
fn door(outsiders: &str) -> Answer {
    let contact = format!(
        "{REED}{LEVELS}at = [\"400 mm\", \"0 mm\", \"0 mm\"]\naxis = [0, 1, 0]\nnormal = [0, 0, 1]\n"
    );
    let spare = format!(
        "[[magnet]]\nname = \"cube\"\n{CUBE}direction = [1, 0, 0]\nat = [\"-3 m\", \"0 mm\", \"0 mm\"]\n"
    );
    let rest = format!(
        "{LEAF}{spare}[sweep]\nkind = \"arc\"\nmoves = \"leaf\"\ncentre = [\"0 mm\", \"0 mm\", \"0 mm\"]\n\
         axis = [0, -1, 0]\nfrom = \"60 deg\"\nto = \"0 deg\"\n[door]\nedge = \"450 mm\"\n{outsiders}\n"
    );
    study(&design_of(&contact, &rest)).answer
}

fn figure(answer: &Answer, name: &str) -> f64 {
    answer.figures.iter().find(|f| f.name == name).expect(name).value.value.expect("nominal")
}

/// The chord of an arc of radius r over the angle t is 2 r sin(t/2).
#[test]
fn law_gaps_are_chords_of_the_edge() {
    let answer = door("outsiders = [\"cube\"]");
    let at = |kind: EventKind, direction: Direction| {
        let mut events = answer.contacts[0].events.iter();
        let found = events.find(|e| (e.kind, e.direction) == (kind, direction)).expect("an event");
        found.at.value.expect("nominal").to_radians()
    };
    for (name, angle) in [
        ("gap at operate of reed", at(EventKind::Operate, Direction::Forward)),
        ("gap at release of reed", at(EventKind::Release, Direction::Back)),
    ] {
        let (gap, chord) = (figure(&answer, name), 2.0 * 450.0 * (0.5 * angle).sin());
        assert!((gap - chord).abs() < 1e-9 * chord, "{name}: {gap} {chord}");
    }
}

/// A body of the same moment, moved and turned along the three axes, operates the contact no further off than
/// the dipole does, and does nearly there: the body's own drive, without the door's search.
#[test]
fn cross_a_cube_reaches_as_far_as_its_dipole() {
    let told = door("outsiders = [\"cube\"]").door.expect("a door");
    let reach = told.outsiders[0].contacts[0].changes.expect("it can");
    // The leaf is 400 mm away by then and adds next to nothing.
    let most = |distance: f64| {
        let mut most = 0.0_f64;
        for way in 0..48 {
            let t = std::f64::consts::TAU * way as f64 / 48.0;
            // The contact of `drives` lies along x; the field of a dipole is even about that axis but for
            // the gap's normal, z.
            let at = [distance * t.cos(), 0.0, distance * t.sin()];
            for direction in ["[1, 0, 0]", "[0, 0, 1]", "[1, 0, 1]", "[1, 0, -1]"] {
                let cube = format!("[[magnet]]\nname = \"cube\"\n{CUBE}direction = {direction}\n");
                let [open, _] = drives(&format!("{REED}{LEVELS}"), &cube, "cube", &[at])[0];
                most = most.max(open.abs());
            }
        }
        most
    };
    // Levels of the contact: 0.75 mT.
    assert!(most(1.05 * reach) < 0.75, "{} mT beyond {reach} mm", most(1.05 * reach));
    assert!(most(0.94 * reach) > 0.75, "{} mT within {reach} mm", most(0.94 * reach));
}

/// A stronger outsider reaches further, in proportion to the cube root of its moment once it is far enough
/// off to see the contact as small; each holds from further off than it operates.
#[test]
fn prop_stronger_outsiders_reach_further_and_hold_from_further_still() {
    let told = door("").door.expect("a door");
    assert!(told.outsiders.len() > 5 && told.contacts[0].closed_when_shut);
    let mut all: Vec<(f64, f64, f64)> = told
        .outsiders
        .iter()
        .map(|o| {
            let at = &o.contacts[0];
            (o.moment, at.changes.expect("it can"), at.holds.expect("it can"))
        })
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert!(all.iter().all(|(_, changes, holds)| changes < holds), "{all:?}");
    assert!(all.windows(2).all(|w| w[0].1 <= w[1].1 && w[0].2 <= w[1].2), "{all:?}");
    // One contact alone: what holds it passes for the shut door.
    for outsider in &told.outsiders {
        let (passes, holds) =
            (outsider.passes_for_shut.unwrap(), outsider.contacts[0].holds.unwrap());
        assert!((passes / holds - 1.0).abs() < 0.05, "{outsider:?}");
    }
}

/// A magnet that stays beside the contact holds it once it is closed where its drive alone, with the leaf away, is
/// above release; a magnet brought near and taken away then leaves the open door shown as shut.
#[test]
fn law_a_contact_lets_go_where_the_open_door_leaves_less_than_release() {
    for (remanence, stays) in [(0.8, false), (1.3, true)] {
        let fixed = format!(
            "[[magnet]]\nname = \"fixed\"\nshape = \"cuboid\"\nsize = [\"6 mm\", \"6 mm\", \"6 mm\"]\n\
             remanence = \"{remanence} T\"\ndirection = [1, 0, 0]\nat = [\"0 mm\", \"0 mm\", \"33 mm\"]\n"
        );
        let [_, alone] =
            drives(&format!("{REED}{LEVELS}"), &fixed, "fixed", &[[0.0, 0.0, 33.0]])[0];
        let contact = format!("{REED}{LEVELS}normal = [0, 1, 0]\n");
        let leaf = "[[magnet]]\nname = \"leaf\"\nshape = \"cuboid\"\nsize = [\"5 mm\", \"5 mm\", \"5 mm\"]\n\
                    remanence = \"1.2 T\"\ndirection = [-1, 0, 0]\nat = [\"0 mm\", \"0 mm\", \"-9 mm\"]\n";
        let rest = format!(
            "{fixed}{leaf}[sweep]\nkind = \"line\"\nmoves = \"leaf\"\nfrom = [\"0 mm\", \"0 mm\", \"-900 mm\"]\n\
             to = [\"0 mm\", \"0 mm\", \"-9 mm\"]\n[door]\n"
        );
        let answer = study(&design_of(&contact, &rest)).answer;
        let room = figure(&answer, "open-door room of reed");
        let by_itself = 100.0 * (1.0 - alone.abs() / 0.38);
        assert!((room - by_itself).abs() < 0.1, "{room} {by_itself}");
        assert_eq!(room < 0.0, stays, "{room}");
        assert_eq!(answer.warnings.iter().any(|one| one.code == "W0115"), stays);
        let told = answer.door.expect("a door");
        assert!(!told.contacts[0].closed_when_open);
        assert_eq!(told.contacts[0].comes_back.contains("stays closed"), stays, "{told:?}");
    }
}

/// A watching contact, held open by a bias magnet that cancels the leaf's, leaves less room to outsiders.
#[test]
fn prop_an_opposed_bias_contact_keeps_outsiders_nearer() {
    let path = format!("{}/../../designs/store-door.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let answer = study(&text).answer;
    assert!(answer.warnings.iter().all(|one| one.code != "W0115"), "each comes back in every unit");
    let told = answer.door.expect("a door");
    let shows: Vec<(bool, bool)> =
        told.contacts.iter().map(|c| (c.closed_when_shut, c.closed_when_open)).collect();
    assert_eq!(shows, [(true, false), (false, true)]);
    for outsider in &told.outsiders {
        let alone = outsider.contacts[0].holds.expect("it can");
        assert!(outsider.passes_for_shut.is_none_or(|with| with < 0.9 * alone), "{outsider:?}");
    }
    // The same door without it.
    let watch = |part: &&str| part.contains("\"watch\"") || part.contains("\"bias\"");
    let without: Vec<&str> = text.split("\n\n").filter(|part| !watch(part)).collect();
    let without = study(&without.join("\n\n")).answer.door.expect("a door");
    for (with, without) in told.outsiders.iter().zip(&without.outsiders) {
        let alone = without.passes_for_shut.expect("it can");
        assert!(with.passes_for_shut.is_none_or(|near| near < 0.9 * alone), "{with:?} {alone}");
    }
}
