//! Steel that passes a contact and its magnet, from design text to distances.

use crate::at_work::{LEVELS, REED, design_of, study};
use reedmace_engine::answer::{Answer, Direction, EventKind, TargetRow};

/// The contact of the laws with its gap along `normal`.
fn contact(normal: &str) -> String {
    format!("{REED}{LEVELS}normal = {normal}\n")
}

/// A plate that comes in along y between a contact and the magnet that holds it closed.
fn away(face: &str) -> String {
    design_of(
        &contact("[0, 0, 1]"),
        &format!(
            "[[magnet]]\nname = \"holder\"\nshape = \"cuboid\"\nsize = [\"10 mm\", \"5 mm\", \"5 mm\"]\n\
             remanence = \"1.1 T\"\ndirection = [1, 0, 0]\nat = [\"0 mm\", \"0 mm\", \"14 mm\"]\n\
             [[steel]]\nname = \"plate\"\nshape = \"cuboid\"\nsize = [\"40 mm\", \"30 mm\", \"2 mm\"]\n\
             permeability = 300\n\
             [sweep]\nkind = \"line\"\nmoves = \"plate\"\nfrom = [\"0 mm\", \"45 mm\", \"7 mm\"]\n\
             to = [\"0 mm\", \"0 mm\", \"7 mm\"]\n[target]\n{face}\n"
        ),
    )
}

/// A bolt that comes in over the far pole of a magnet which by itself drives nothing through the gap.
fn into() -> String {
    design_of(
        &contact("[0, 1, 0]"),
        "[[magnet]]\nname = \"feeder\"\nshape = \"cuboid\"\nsize = [\"8 mm\", \"8 mm\", \"6 mm\"]\n\
         remanence = \"1.1 T\"\ndirection = [0, 0, 1]\nat = [\"0 mm\", \"0 mm\", \"6.5 mm\"]\n\
         [[steel]]\nname = \"bolt\"\nshape = \"cuboid\"\nsize = [\"34 mm\", \"16 mm\", \"3 mm\"]\n\
         permeability = 300\n\
         [sweep]\nkind = \"line\"\nmoves = \"bolt\"\nfrom = [\"-14 mm\", \"40 mm\", \"12 mm\"]\n\
         to = [\"-14 mm\", \"0 mm\", \"12 mm\"]\n[target]\n",
    )
}

fn figure(answer: &Answer, name: &str) -> f64 {
    let found = answer.figures.iter().find(|figure| figure.name == format!("{name} of reed"));
    found.unwrap_or_else(|| panic!("no {name}")).value.value.expect("a nominal value")
}

fn event(answer: &Answer, direction: Direction) -> (EventKind, f64) {
    let mut events = answer.contacts[0].events.iter().filter(|e| e.direction == direction);
    let event = events.next().expect("an event");
    assert!(events.next().is_none(), "one event each way");
    (event.kind, event.at.value.expect("a nominal place"))
}

fn rows<'a>(answer: &'a Answer, what: &str) -> Vec<&'a TargetRow> {
    let rows = answer.target.as_ref().expect("a target").study.iter();
    rows.filter(|row| row.what == what).collect()
}

/// The plate opens the contact; distances are those from its leading face, half its width before its middle;
/// the study has the design's own target among the others, as the answer has it.
#[test]
fn prop_a_plate_that_draws_flux_away_opens() {
    let answer = study(&away("")).answer;
    let ((kind, seen), (back, gone)) =
        (event(&answer, Direction::Forward), event(&answer, Direction::Back));
    assert_eq!((kind, back), (EventKind::Release, EventKind::Operate));
    assert!((figure(&answer, "detection distance") - (seen - 15.0)).abs() < 1e-6);
    assert!((figure(&answer, "return distance") - (gone - 15.0)).abs() < 1e-6);
    assert!((figure(&answer, "differential") - (gone - seen)).abs() < 1e-6);
    assert!(gone > seen && figure(&answer, "far room") > 0.0);
    assert!(figure(&answer, "near room") > 0.0);
    let target = answer.target.as_ref().expect("a target");
    assert!(target.contacts[0].opens && target.direction == [0.0, -1.0, 0.0]);
    let [seen, gone] = ["detection distance", "return distance"].map(|name| figure(&answer, name));
    for row in target.study.iter().filter(|row| row.own) {
        assert_eq!((row.seen_mm, row.gone_mm), (Some(seen), Some(gone)), "{row:?}");
    }
    // Where a distance is missing the row says why.
    let missing = |row: &&TargetRow| row.seen_mm.is_none() || row.gone_mm.is_none();
    assert!(
        target.study.iter().all(|row| missing(&row) == row.why.is_some()),
        "{:?}",
        target.study
    );
    let weak = rows(&answer, "permeability")[0];
    assert_eq!(weak.why.as_deref(), Some("not detected, stays closed"), "{weak:?}");
    assert_eq!(target.study.iter().filter(|row| row.own).count(), 4);
    // Thicker and more permeable plates draw more: they are seen sooner.
    for what in ["thickness", "permeability"] {
        let told: Vec<f64> = rows(&answer, what).iter().filter_map(|row| row.seen_mm).collect();
        assert!(told.len() >= 2 && told.windows(2).all(|w| w[1] > w[0]), "{what} {told:?}");
    }
    // From either side along y it is the same; along z the magnet or the contact is in the way.
    let ways = rows(&answer, "approach");
    let by = |is: &str| ways.iter().find(|row| row.is == is).expect("a way");
    let [there, back] = ["+y", "−y"].map(|is| by(is).seen_mm.expect("seen"));
    assert!((there - back).abs() < 0.1, "{there} {back}");
    assert!(by("−z").why.is_some() && by("+z").why.is_some());
}

#[test]
fn prop_a_bolt_that_leads_flux_in_closes() {
    let answer = study(&into()).answer;
    assert_eq!(event(&answer, Direction::Forward).0, EventKind::Operate);
    assert_eq!(event(&answer, Direction::Back).0, EventKind::Release);
    assert!(!answer.target.as_ref().expect("a target").contacts[0].opens);
    // The magnet alone drives nothing through a gap that lies across it.
    assert!(figure(&answer, "far room") > 0.98);
    assert!(figure(&answer, "return distance") > figure(&answer, "detection distance"));
}

/// Distances are told from a stated face instead of the contact's middle.
#[test]
fn prop_a_face_shifts_the_distances_alone() {
    let [plain, faced] = ["", "face = [\"3 mm\", \"12 mm\", \"-2 mm\"]"].map(|face| {
        let text = away(face).replace("[\"0 mm\", \"45 mm\"", "[\"0 mm\", \"40 mm\"");
        study(&text).answer
    });
    for name in ["detection distance", "return distance"] {
        let apart = figure(&plain, name) - figure(&faced, name);
        assert!((apart - 12.0).abs() < 1e-9, "{name} {apart}");
    }
    assert_eq!(event(&plain, Direction::Forward), event(&faced, Direction::Forward));
}
