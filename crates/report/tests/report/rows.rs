//! Figures as rows: what is told once, and where the looking ended.

use crate::fixture;
use reedmace_engine::answer::{Driver, Event, EventKind, FigureAnswer, FigureEnd};
use reedmace_report::{brief, figure_rows::rows};

fn figure(name: &str, [low, value, high]: [f64; 3], ends: Vec<FigureEnd>) -> FigureAnswer {
    let mut figure = fixture::approach().answer.figures.remove(0);
    figure.name = name.into();
    figure.value.unit = "°C".into();
    (figure.value.low, figure.value.value, figure.value.high) = (low, Some(value), high);
    figure.ends = ends;
    figure
}

/// An answer of three contacts with these figures.
fn told(figures: Vec<FigureAnswer>) -> reedmace_engine::Answer {
    let mut answer = fixture::approach().answer;
    let contact = answer.contacts.remove(0);
    for name in ["lower 1", "lower 2", "upper 2"] {
        answer
            .contacts
            .push(reedmace_engine::answer::ContactAnswer { name: name.into(), ..contact.clone() });
    }
    answer.figures = figures;
    answer
}

#[test]
fn prop_the_same_of_several_contacts_is_one_row() {
    let of = |contact: &str, value, high| {
        figure(&format!("hottest of {contact}"), [90.0, value, high], Vec::new())
    };
    let all =
        told(vec![of("lower 1", 95.0, 99.0), of("lower 2", 93.0, 99.0), of("upper 2", 94.0, 99.0)]);
    let rows_of_all = rows(&all);
    assert_eq!(rows_of_all.len(), 1);
    assert_eq!(rows_of_all[0].name, "hottest of each contact");
    assert_eq!(rows_of_all[0].nominal().as_deref(), Some("93.0 to 95.0"));
    assert_eq!(rows_of_all[0].limits(), ["90.0", "99.0"]);

    let two =
        told(vec![of("lower 1", 95.0, 99.0), of("lower 2", 95.0, 99.0), of("upper 2", 94.0, 98.0)]);
    let names: Vec<String> = rows(&two).into_iter().map(|row| row.name).collect();
    assert_eq!(names, ["hottest of lower 1, lower 2 each", "hottest of upper 2"]);
    assert_eq!(rows(&two)[0].nominal().as_deref(), Some("95.0"));
}

#[test]
fn prop_a_value_where_the_looking_ended_is_no_bare_number() {
    let ends = || {
        let end = |at, upper, meaning: &str| FigureEnd { at, upper, meaning: meaning.into() };
        vec![
            end(80.0, true, "opens at none allowed"),
            end(-200.0, false, "opens at every one looked at"),
        ]
    };
    let answer = told(vec![
        figure("coldest of the lot", [-200.0, -200.0, -60.0], ends()),
        figure("coldest of some", [-200.0, -120.0, -60.0], ends()),
        figure("coldest of most", [-120.0, -110.0, -60.0], ends()),
        figure("coldest of none", [80.0, 80.0, 80.0], ends()),
    ]);
    let said: Vec<(String, [String; 2], Vec<String>)> = rows(&answer)
        .iter()
        .map(|row| (row.nominal().expect("one"), row.limits(), row.ends()))
        .collect();
    let sentence = "opens at every one looked at, down to −200.0\u{a0}°C";
    let same = |at: usize, nominal: &str, limits: [&str; 2], ends: &[&str]| {
        assert_eq!(said[at].0, nominal);
        assert_eq!(said[at].1, limits);
        assert_eq!(said[at].2, ends);
    };
    same(0, "≤\u{a0}−200.0", ["≤\u{a0}−200.0", "−60.0"], &[sentence]);
    same(1, "−120.0", ["≤\u{a0}−200.0", "−60.0"], &[&format!("in some units: {sentence}")]);
    same(2, "−110.0", ["−120.0", "−60.0"], &[]);
    let none = "opens at none allowed, up to 80.0\u{a0}°C";
    same(3, "≥\u{a0}80.0", ["≥\u{a0}80.0"; 2], &[none]);
}

#[test]
fn prop_a_share_far_above_what_counts_is_no_number() {
    let mut share = figure("share of pump", [900.0, 1000.5, 42e4], Vec::new());
    share.value.unit = "%".into();
    let answer = told(vec![share]);
    let row = &rows(&answer)[0];
    assert_eq!(row.nominal().as_deref(), Some("over\u{a0}1000"));
    assert_eq!(row.limits(), ["900.0", "over\u{a0}1000"]);
}

/// Eight lobes of a wheel, each closed and opened by a magnet of its own: two cards, not sixteen.
#[test]
fn prop_what_drives_like_events_is_told_once() {
    let mut contact = fixture::approach().answer.contacts.remove(0);
    let first = contact.events.remove(0);
    contact.events = (1..=8)
        .flat_map(|lobe| [EventKind::Operate, EventKind::Release].map(|kind| (lobe, kind)))
        .map(|(lobe, kind)| {
            let sign = if lobe % 2 == 0 { -1.0 } else { 1.0 };
            let size = if kind == EventKind::Operate { 1.0 } else { 0.7 };
            let driver =
                |path: String, shift: f64| Driver { path, at_low: -shift, at_high: 1.01 * shift };
            let drivers = vec![
                driver("contact[counter].operate".into(), sign * 2.7 * size),
                driver(format!("magnet[pole {lobe}].diameter"), -0.8 * size),
            ];
            Event { lobe, kind, drivers, ..first.clone() }
        })
        .collect();
    let told = brief::driven(&contact);
    assert_eq!(told.iter().map(|(_, count)| *count).collect::<Vec<_>>(), [8, 8]);
    // One that another quantity moves stands by itself.
    contact.events[4].drivers[1].path = "surroundings.temperature".into();
    let told = brief::driven(&contact);
    assert_eq!(told.iter().map(|(_, count)| *count).collect::<Vec<_>>(), [7, 8, 1]);
}
