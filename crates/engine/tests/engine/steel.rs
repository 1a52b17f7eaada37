//! Steel in a design: laws its answers obey whatever moves.

use crate::at_work::{LEVELS, REED, design_of, places, reed, study};
use reedmace_engine::answer::{Direction, EventKind};

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
    assert!(steel.panels >= 150 && steel.discretisation < 0.2, "{steel:?}");
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

/// A plate carried by the magnet past the contact, or the contact past both: steel that moves beside
/// the contact, solved at every pose.
#[test]
fn prop_moving_steel_is_solved_at_every_pose() {
    let place = "at = [\"1 mm\", \"1 mm\", \"12 mm\"]\n";
    let keeper = |z: f64| {
        plate("1000", "")
            .replace("\"4 mm\", \"0 mm\", \"-5 mm\"", &format!("\"1 mm\", \"1 mm\", \"{z} mm\""))
    };
    let by_both = format!(
        "{BAR}{place}{}[sweep]\nkind = \"line\"\nmoves = [\"bar\", \"keeper\"]\n\
         from = [\"1 mm\", \"1 mm\", \"35 mm\"]\nto = [\"1 mm\", \"1 mm\", \"6 mm\"]\n",
        keeper(16.0).replace("plate", "keeper")
    );
    let by_contact = format!(
        "{BAR}at = [\"1 mm\", \"1 mm\", \"35 mm\"]\n{}[sweep]\nkind = \"line\"\nmoves = \"reed\"\n\
         from = [\"0 mm\", \"0 mm\", \"0 mm\"]\nto = [\"0 mm\", \"0 mm\", \"29 mm\"]\n",
        keeper(39.0).replace("plate", "keeper")
    );
    let a = places(&reed(&design_of(&contact(""), &by_both)));
    let mut b = places(&reed(&design_of(&contact(""), &by_contact)));
    b.iter_mut().for_each(|e| e.2 = 35.0 - e.2);
    same(&a, &b, 1e-5);
}
