//! Steel in a design: laws its answers obey whatever moves.

use crate::at_work::{LEVELS, REED, design_of, parse, places, reed, study};
use reedmace_engine::answer::{Direction, EventKind};
use reedmace_engine::{MapRequest, Plane, map};

const BAR: &str = "[[magnet]]\nname = \"bar\"\nshape = \"cuboid\"\ndirection = [1, 0, 0.2]\n\
                   size = [\"10 mm\", \"5 mm\", \"5 mm\"]\nremanence = \"1.2 T\"\n";

fn contact(extra: &str) -> String {
    format!("{REED}{LEVELS}{extra}\n")
}

/// 30 × 20 × 1.5 mm, its middle 5 mm below the contact.
fn plate(permeability: &str, extra: &str) -> String {
    format!(
        "[[steel]]\nname = \"plate\"\nshape = \"cuboid\"\nsize = [\"30 mm\", \"20 mm\", \"1.5 mm\"]\n\
         permeability = \"{permeability}\"\nat = [\"4 mm\", \"0 mm\", \"-5 mm\"]\n{extra}\n"
    )
}

fn approach() -> String {
    "[sweep]\nkind = \"line\"\nmoves = \"bar\"\nfrom = [\"1 mm\", \"1 mm\", \"35 mm\"]\n\
     to = [\"1 mm\", \"1 mm\", \"6 mm\"]\n"
        .into()
}

fn same(a: &[(EventKind, Direction, f64)], b: &[(EventKind, Direction, f64)], within: f64) {
    assert!(a.len() >= 2 && a.len() == b.len(), "{a:?} {b:?}");
    for (a, b) in a.iter().zip(b) {
        assert_eq!((a.0, a.1), (b.0, b.1));
        assert!((a.2 - b.2).abs() < within, "{a:?} {b:?}");
    }
}

#[test]
fn prop_steel_of_permeability_one_moves_no_event() {
    let without = places(&reed(&design_of(&contact(""), &format!("{BAR}{}", approach()))));
    let with = format!("{BAR}{}{}", plate("1", ""), approach());
    same(&without, &places(&reed(&design_of(&contact(""), &with))), 1e-6);
}

#[test]
fn prop_steel_shifts_events_and_the_answer_says_by_how_much() {
    let bare = places(&reed(&design_of(&contact(""), &format!("{BAR}{}", approach()))));
    let with = format!("{BAR}{}{}", plate("1000", ""), approach());
    let answer = study(&design_of(&contact(""), &with)).answer;
    let found = places(&answer.contacts[0]);
    let steel = answer.steel.expect("a design with steel says what the steel does");
    assert_eq!(steel.events.len(), found.len());
    assert!(steel.panels >= 150 && steel.discretisation < 0.5, "{steel:?}");
    for ((event, with), without) in steel.events.iter().zip(&found).zip(&bare) {
        let shift = event.shift.expect("the event happens without the steel too");
        assert!((shift - (with.2 - without.2)).abs() < 2e-3, "{event:?} {with:?} {without:?}");
        assert!(shift.abs() > 0.05, "{event:?}");
    }
}

/// Contact and plate move past the magnet, or the magnet past contact and plate: one kernel.
#[test]
fn prop_only_relative_motion_counts_beside_steel() {
    let by_magnet = format!("{BAR}{}{}", plate("1000", ""), approach());
    let by_contact = format!(
        "{BAR}at = [\"1 mm\", \"1 mm\", \"35 mm\"]\n{}[sweep]\nkind = \"line\"\n\
         moves = [\"reed\", \"plate\"]\nfrom = [\"0 mm\", \"0 mm\", \"0 mm\"]\n\
         to = [\"0 mm\", \"0 mm\", \"29 mm\"]\n",
        plate("1000", "")
    );
    let a = places(&reed(&design_of(&contact(""), &by_magnet)));
    let mut b = places(&reed(&design_of(&contact(""), &by_contact)));
    b.iter_mut().for_each(|e| e.2 = 35.0 - e.2);
    same(&a, &b, 2e-6);
}

/// A keeper over the magnet, both of which come down on the contact.
fn keeper_with_bar() -> String {
    let keeper = plate("1000", "").replace("plate", "keeper");
    format!(
        "{BAR}at = [\"1 mm\", \"1 mm\", \"12 mm\"]\n{}[sweep]\nkind = \"line\"\n\
         moves = [\"bar\", \"keeper\"]\nfrom = [\"1 mm\", \"1 mm\", \"35 mm\"]\n\
         to = [\"1 mm\", \"1 mm\", \"6 mm\"]\n",
        keeper.replace("\"4 mm\", \"0 mm\", \"-5 mm\"", "\"1 mm\", \"1 mm\", \"16 mm\"")
    )
}

/// A plate carried by the magnet past the contact, or the contact past both.
#[test]
fn prop_only_relative_motion_counts_past_steel() {
    let keeper =
        plate("1000", "").replace("\"4 mm\", \"0 mm\", \"-5 mm\"", "\"1 mm\", \"1 mm\", \"39 mm\"");
    let by_contact = format!(
        "{BAR}at = [\"1 mm\", \"1 mm\", \"35 mm\"]\n{keeper}[sweep]\nkind = \"line\"\nmoves = \"reed\"\n\
         from = [\"0 mm\", \"0 mm\", \"0 mm\"]\nto = [\"0 mm\", \"0 mm\", \"29 mm\"]\n"
    );
    let a = places(&reed(&design_of(&contact(""), &keeper_with_bar())));
    let mut b = places(&reed(&design_of(&contact(""), &by_contact)));
    b.iter_mut().for_each(|e| e.2 = 35.0 - e.2);
    same(&a, &b, 1e-5);
}

/// Along a sweep the kernels of a contact that steel passes are blended between poses; a map solves
/// them at each. The compressed rules, which only the map has, err by 6e-4 of the largest drive.
#[test]
fn prop_kernels_between_poses_are_those_solved_there() {
    let text = design_of(&contact(""), &keeper_with_bar());
    let design = parse(&text);
    let request = MapRequest {
        plane: Plane::Xz,
        offset: None,
        extent: Some([1e-3, 1.1e-3, 7e-3, 34e-3]),
        cells: [2, 4],
        contact: 0,
    };
    let map = map(&design, &request, &|_, _| ()).expect("a map");
    let trace = reed(&text).trace;
    let largest = trace.iter().map(|row| row.drive_open.abs()).fold(0.0, f64::max);
    for (k, z) in map.up_mm.iter().enumerate() {
        let after = trace.iter().position(|row| row.coordinate <= *z).expect("along the sweep");
        let (a, b) = (&trace[after - 1], &trace[after]);
        let t = (z - a.coordinate) / (b.coordinate - a.coordinate);
        let drive = a.drive_open + t * (b.drive_open - a.drive_open);
        let solved = map.drive_open[2 * k];
        assert!((drive - solved).abs() < 1.5e-3 * largest, "{z} mm: {drive} mT, {solved} mT");
    }
}

/// What a unit at its limits does is blended from a few solved units: its event is that of a design which
/// has the limits for nominal values, and panels cut for them.
#[test]
fn cross_a_unit_beside_steel_is_a_design_of_its_own() {
    let with = |z: &str, permeability: &str, bar: &str| {
        let contact = contact(&format!("at = [\"0 mm\", \"0 mm\", \"{z}\"]"));
        let bar = BAR.replace("\"10 mm\"", &format!("\"{bar}\""));
        let answer =
            reed(&design_of(&contact, &format!("{bar}{}{}", plate(permeability, ""), approach())));
        answer.events
    };
    let toleranced = with("0 ± 0.5 mm", "400 ± 200", "10 ± 0.2 mm");
    // The contact farther from the plate and the magnet, a plate that draws less and a longer magnet: later.
    let nearest = with("0.5 mm", "200", "10.2 mm");
    let farthest = with("-0.5 mm", "600", "9.8 mm");
    for (k, event) in toleranced.iter().enumerate() {
        let [high, low] =
            [&nearest, &farthest].map(|events| events[k].at.value.expect("it happens"));
        assert!((event.at.low - low).abs() < 0.03, "{event:?} {low}");
        assert!((event.at.high - high).abs() < 0.03, "{event:?} {high}");
        assert!(high - low > 1.0, "{low} {high}");
    }
}

#[test]
fn prop_no_place_told_behind_a_panel_closes_the_contact() {
    let design = parse(include_str!("../../../../designs/cabinet-lid.toml"));
    let over = |bottom: f64, top: f64| MapRequest {
        plane: Plane::Xz,
        offset: Some(0.0),
        extent: Some([-60e-3, 60e-3, bottom, top]),
        cells: [61, 22],
        contact: 0,
    };
    // The drive falls without a wave from where it is told on, and a millimetre and a half of mild steel
    // lets next to nothing through.
    let behind = map(&design, &over(-25e-3, -4e-3), &|_, _| ()).expect("a map");
    let told = || behind.room.iter().zip(&behind.drive_closed).filter(|(room, _)| **room > 0.0);
    let strongest = told().map(|(_, drive)| drive.abs()).fold(0.0, f64::max);
    assert!(strongest < behind.release[0], "{strongest} mT of {} mT", behind.release[0]);
    let share = told().count() as f64 / behind.room.len() as f64;
    assert!(share > 0.75, "{share} of the places behind the panel are told");
    let before = map(&design, &over(9e-3, 30e-3), &|_, _| ()).expect("a map");
    assert!(before.room.iter().all(|room| *room > 0.0), "all places before the panel are told");
    assert!(before.drive_open.iter().any(|drive| drive.abs() > before.operate[2]));
}
