//! Pictures and answers.

use crate::{
    page::{Heard, Page, patched},
    served::{Served, example},
};
use reedmace_engine::{MapRequest, Options, Plane};
use serde_json::{Value, json};
use std::{fs, time::Duration};

fn view(cells: [usize; 2]) -> Value {
    json!({ "say": "view", "plane": "xz", "offset": null, "extent": [-30, 30, 0, 60],
        "cells": cells, "contact": 0, "map": true })
}

fn parsed(text: &str) -> reedmace_design::Design {
    reedmace_design::parse(text, &|_| Err(std::io::ErrorKind::NotFound.into())).unwrap().0
}

/// Every digit is what `reedmace check --json` prints.
#[test]
fn cross_the_answer_is_that_of_the_command_line() {
    // One of each kind of motion that is quick; the browser's tests do the same with every example.
    let served = Served::new();
    for name in ["hopper-lid", "hatch-hinge", "paddle-wheel", "pump-relay"] {
        let (text, name) = (example(name), format!("{name}.toml"));
        fs::write(served.path(&name), &text).unwrap();
        let (mut page, _) = Page::with_file(&served, &name);
        page.hear_of("answer", 0);
        let study =
            reedmace_engine::check(&parsed(&text), &name, &Options::default(), &|_, _| ()).unwrap();
        let expected = serde_json::to_string(&study.answer).unwrap();
        assert!(page.last_text.contains(&format!("\"answer\":{expected}")), "{name}");
    }
}

#[test]
fn cross_the_map_is_that_of_the_command_line() {
    let served = Served::new();
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    page.say(view([90, 61]));
    let fine = page.frame(|head| head["say"] == "map" && head["coarse"] == false);
    let request = MapRequest {
        plane: Plane::Xz,
        offset: None,
        extent: Some([-0.03, 0.03, 0.0, 0.06]),
        cells: [90, 61],
        contact: 0,
    };
    let map = reedmace_engine::map(&parsed(&example("hopper-lid")), &request, &|_, _| ()).unwrap();
    assert_eq!(fine.head["across"], json!([-30.0, 30.0, 90]));
    assert_eq!(fine.head["operate"], json!(map.operate));
    let grids = [&map.drive_open, &map.drive_closed, &map.room].map(|grid| grid.iter());
    let expected: Vec<f32> = grids.into_iter().flatten().map(|v| *v as f32).collect();
    assert_eq!(fine.numbers, expected);
}

#[test]
fn of_many_texts_the_last_is_answered() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let text = opened["text"].as_str().unwrap();
    page.say(view([60, 40]));
    for rev in 1..=60 {
        page.text(rev, &text.replace("80 mm", &format!("{} mm", 80 + rev)));
    }
    let (mut designs, mut answers) = (0, 0);
    let last = page.until(|said| {
        matches!(said["say"].as_str(), Some("design" | "answer"))
            && said["say"] == "answer"
            && said["rev"] == 60
    });
    assert_eq!(last["answer"]["sweep"]["from"], 140.0);
    while let Some(heard) = page.next(Duration::from_millis(500)) {
        if let Heard::Said(said) = heard {
            designs += usize::from(said["say"] == "design");
            answers += usize::from(said["say"] == "answer");
        }
    }
    assert_eq!((designs, answers), (0, 0), "nothing older comes after the newest");
}

#[test]
fn a_drag_shows_what_the_drop_then_makes() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let text = opened["text"].as_str().unwrap();
    page.say(view([60, 40]));
    page.hear_of("live", 0);
    let place = |k: u32| json!([f64::from(k) / 4.0, 0, 80]);
    for k in 1..=40 {
        page.say(json!({ "say": "drag", "rev": 0, "seq": k, "body": "magnet[slug]",
            "at": place(k), "turn": [0, 2, 0] }));
    }
    let dragged = page.until(|said| said["say"] == "live" && said["seq"] == 40);
    page.say(json!({ "say": "drop", "rev": 0, "body": "magnet[slug]", "at": place(40), "turn": [0, 2, 0] }));
    let patch = page.hear_of("patch", 0);
    let new = patched(text, &patch);
    assert!(new.contains("from = [\"10 ± 0.5 mm\", \"0 ± 0.5 mm\", \"80 mm\"]"), "{new}");
    page.text(1, &new);
    let dropped = page.until(|said| said["say"] == "live" && said["rev"] == 1);
    assert_eq!(dropped["seq"], json!(null));
    assert_eq!(dropped["glance"], dragged["glance"]);
    let before = |name: &str| page_events(&dropped, name);
    assert!(before("operate") != 25.48, "the events have changed");
}

fn page_events(live: &Value, kind: &str) -> f64 {
    let events = live["glance"]["contacts"][0]["events"].as_array().unwrap();
    events.iter().find(|event| event["kind"] == kind).unwrap()["at"].as_f64().unwrap()
}

#[test]
fn letting_go_of_a_drag_shows_the_text_again() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let first = page.hear_of("live", 0);
    page.say(json!({ "say": "drag", "rev": 0, "seq": 1, "body": "magnet[slug]",
        "at": [9, 0, 80], "turn": [0, 0, 0] }));
    let dragged = page.until(|said| said["say"] == "live" && said["seq"] == 1);
    assert_ne!(dragged["glance"], first["glance"]);
    page.text(0, opened["text"].as_str().unwrap());
    let again = page.until(|said| said["say"] == "live" && said["seq"].is_null());
    assert_eq!(again["glance"], first["glance"]);
}

#[test]
fn what_cannot_be_dragged_is_told() {
    let served = Served::new();
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    page.hear_of("design", 0);
    for (body, at) in [
        ("magnet[nobody]", json!([0, 0, 0])),
        ("sweep.centre", json!([0, 0, 0])),
        ("nonsense", json!([0, 0, 0])),
        ("magnet[slug]", json!([1e300, 0, 0])),
    ] {
        page.say(
            json!({ "say": "drag", "rev": 0, "seq": 1, "body": body, "at": at, "turn": [0, 0, 0] }),
        );
        page.until(|said| said["say"] == "fault");
        page.say(json!({ "say": "drop", "rev": 0, "body": body, "at": at, "turn": [0, 0, 0] }));
        page.until(|said| said["say"] == "fault");
    }
}

#[test]
fn a_faulty_text_is_marked_and_the_last_good_one_stays() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let text = opened["text"].as_str().unwrap();
    page.hear_of("answer", 0);
    let faulty = text.replace("\"1.0 mm\"", "\"15.0 mm\"").replacen("# Tarn", "# 🐟 Tarn", 1);
    page.text(1, &faulty);
    let design = page.hear_of("design", 1);
    let mark = &design["diagnostics"][0];
    assert_eq!((&mark["code"], &mark["severity"]), (&json!("G0102"), &json!("error")));
    let units: Vec<u16> = faulty.encode_utf16().collect();
    let [from, to] = ["from", "to"].map(|key| mark[key].as_u64().unwrap() as usize);
    assert_eq!(String::from_utf16(&units[from..to]).unwrap(), "\"15.0 mm\"");
    assert!(design["drawing"].is_null() && design["form"].is_array());
    let session = opened["session"].as_str().unwrap();
    let kept = served.get(&format!("/api/export/design?session={session}"));
    assert_eq!(kept.text(), text);
    // Not even TOML: no form either.
    page.text(2, "format = ");
    let design = page.hear_of("design", 2);
    assert!(design["form"].is_null() && design["diagnostics"][0]["severity"] == "error");
    // Mended, all is there again.
    page.text(3, text);
    assert!(page.hear_of("design", 3)["drawing"].is_object());
    page.hear_of("answer", 3);
}

#[test]
fn a_region_follows_the_answer() {
    let served = Served::new();
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    let region = page.frame(|head| head["say"] == "region");
    assert_eq!((&region.head["contact"], &region.head["moves"]), (&json!("lid"), &json!("slug")));
    assert!(region.head["closes"][1].as_u64().unwrap() > 100);
}

#[test]
fn several_pages_work_side_by_side() {
    let served = Served::new();
    fs::write(served.path("drawer.toml"), example("feed-drawer")).unwrap();
    let (mut first, _) = Page::with_file(&served, "hopper-lid.toml");
    let (mut second, _) = Page::with_file(&served, "drawer.toml");
    assert_eq!(first.hear("answer")["answer"]["title"], "Feed hopper lid");
    assert_eq!(second.hear("answer")["answer"]["title"], "Hand feed drawer");
    // A page may open another design.
    first.say(json!({ "say": "open", "template": "hinge" }));
    first.hear("opened");
    let answer =
        first.until(|said| said["say"] == "answer" && said["answer"]["title"] == "My hinge");
    assert_eq!(answer["rev"], 0);
}
