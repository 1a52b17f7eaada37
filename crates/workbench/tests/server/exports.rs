//! What is taken away.

use crate::{
    page::Page,
    served::{Served, example},
};
use reedmace_engine::Options;
use serde_json::json;
use std::fs;

#[test]
fn every_export_is_what_it_says() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    page.say(json!({ "say": "view", "plane": "xz", "offset": 0, "extent": [-40, 40, 0, 60],
        "cells": [80, 60], "contact": 0, "map": true }));
    page.frame(|head| head["coarse"] == false);
    let session = opened["session"].as_str().unwrap();
    let export = |what: &str| {
        let answer = served.get(&format!("/api/export/{what}?session={session}"));
        assert_eq!(answer.status, 200, "{what}: {}", answer.text());
        let disposition = answer.header("content-disposition");
        assert!(disposition.starts_with("attachment; filename=\"hopper-lid."), "{disposition}");
        answer
    };
    let text = example("hopper-lid");
    assert_eq!(export("design").text(), text);
    let (design, _) = reedmace_design::parse(&text, &|_| unreachable!()).unwrap();
    let study = reedmace_engine::check(&design, "hopper-lid.toml", &Options::default(), &|_, _| ())
        .unwrap();
    assert_eq!(export("answer.json").text(), serde_json::to_string_pretty(&study.answer).unwrap());
    let report = export("report").text();
    assert!(report.contains("Feed hopper lid") && report.contains("</html>"));
    assert!(export("map.svg").text().contains("<svg"));
    assert_eq!(&export("map.png").body[1..4], b"PNG");
    assert_eq!(export("map.csv").text().lines().count(), 1 + 80 * 60);
    let trace = export("trace.csv").text();
    assert_eq!(trace.lines().count(), 1 + study.answer.contacts[0].trace.len());
    let stl = export("region.stl").body;
    let count = u32::from_le_bytes(stl[80..84].try_into().unwrap()) as usize;
    assert!(count > 100 && stl.len() == 84 + 50 * count);
}

#[test]
fn what_cannot_be_exported_says_why() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    page.hear_of("design", 0);
    let session = opened["session"].as_str().unwrap();
    let status = |path: &str| served.get(path).status;
    assert_eq!(status("/api/export/design?session=nobody"), 404);
    assert_eq!(status("/api/export/design"), 400);
    assert_eq!(status(&format!("/api/export/poem?session={session}")), 404);
    assert_eq!(status(&format!("/api/export/trace.csv?session={session}&contact=7")), 422);
    let answer = served.get(&format!("/api/export/map.csv?session={session}"));
    assert_eq!(answer.status, 422);
    assert!(answer.json()["error"].is_string());
    drop(page);
}

#[test]
fn names_with_letters_of_any_kind_are_kept() {
    let served = Served::new();
    fs::write(served.path("Tür \"1\".toml"), example("hopper-lid")).unwrap();
    let (mut page, opened) = Page::with_file(&served, "Tür \"1\".toml");
    page.hear_of("design", 0);
    let session = opened["session"].as_str().unwrap();
    let answer = served.get(&format!("/api/export/design?session={session}"));
    assert_eq!(
        answer.header("content-disposition"),
        "attachment; filename=\"T_r__1_.toml\"; filename*=UTF-8''T%C3%BCr%20%221%22.toml"
    );
}

#[test]
fn small_pictures_show_files_templates_and_examples() {
    let served = Served::new();
    fs::write(served.path("broken.toml"), "format = 1\n").unwrap();
    let get = |query: &str| served.get(&format!("/api/thumbnail?{query}"));
    for query in ["file=hopper-lid.toml", "template=wheel", "example=hatch-hinge"] {
        let [light, dark] = ["false", "true"].map(|dark| get(&format!("{query}&dark={dark}")));
        assert_eq!((light.status, dark.status), (200, 200), "{query}: {}", light.text());
        assert_eq!(light.header("content-type"), "image/svg+xml");
        assert!(light.text().starts_with("<svg") && light.body != dark.body, "{query}");
        assert!(!light.text().contains("<text"), "no words");
    }
    for query in [
        "file=broken.toml",
        "file=../x",
        "template=nothing",
        "",
        "file=a&template=hinge",
        "unsaved=0&template=hinge",
    ] {
        assert_eq!(get(query).status, 422, "{query}");
    }
    assert_eq!(get("unsaved=0123456789abcdef0123456789abcdef").status, 204, "forgotten meanwhile");
    assert_eq!(get("file=hopper-lid.toml&dark=perhaps").status, 400);
}

#[test]
fn a_sensitivity_is_said_in_another_arrangement() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    page.hear_of("design", 0);
    let session = opened["session"].as_str().unwrap();
    let ask = |into: &str| served.get(&format!("/api/convert?session={session}&into={into}"));
    let said = ask("AT%2025%20mm%20x%209.25%20mm").json();
    // The coil that it was measured in.
    assert_eq!(said[0]["operate"]["value"], 22.5);
    assert_eq!(
        (&said[0]["release"]["low"], &said[0]["release"]["high"]),
        (&json!(9.0), &json!(14.0))
    );
    let away = ask("magnet%20slug").json();
    let distance = |of: &str| away[0][of]["value"].as_f64().unwrap();
    assert!(distance("operate") > 5.0 && distance("release") > distance("operate"), "{away}");
    for odd in ["AT", "AT%20wide", "AT%201e9%20mm%20x%201%20mm", "magnet%20nobody", "poem", ""] {
        assert_eq!(ask(odd).status, 422, "{odd}");
    }
    assert_eq!(served.get("/api/convert?session=nobody&into=uniform").status, 404);
}
