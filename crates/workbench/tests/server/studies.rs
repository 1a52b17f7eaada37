//! Spread studies, and tolerances held elsewhere.

use crate::{
    page::{Heard, Page, patched},
    served::{Served, example},
};
use reedmace_engine::{Bench, Spread, SpreadOptions, answer::SpreadAnswer};
use serde_json::{Value, json};
use std::{fs, time::Duration};

/// What `reedmace spread` answers.
fn answer(text: &str, name: &str, units: u64, seed: u64) -> SpreadAnswer {
    let absent = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let design = reedmace_design::parse(text, &absent).unwrap().0;
    let options = SpreadOptions { units, range: None, seed, exact: false };
    let study = Spread::new(&Bench::default(), &design, options, &|_, _| ()).unwrap();
    let mut tally = study.tally().unwrap();
    study.run(&mut tally, &|_| true).unwrap();
    study.answer(&tally, name).unwrap()
}

fn study(page: &mut Page, rev: u64) -> Value {
    page.until(|said| said["say"] == "spread" && said["rev"] == rev && said["done"] == true)
}

/// Every digit is what `reedmace spread --json` prints for the same units and seed.
#[test]
fn cross_a_study_is_that_of_the_command_line() {
    let served = Served::new();
    for (name, units, seed) in [("hopper-lid", 20_000, 1), ("feed-drawer", 10_000, 7)] {
        let (file, text) = (format!("{name}.toml"), example(name));
        fs::write(served.path(&file), &text).unwrap();
        let (mut page, _) = Page::with_file(&served, &file);
        page.say(json!({ "say": "spread", "units": units, "seed": seed }));
        study(&mut page, 0);
        let expected = serde_json::to_string(&answer(&text, &file, units, seed)).unwrap();
        assert!(page.last_text.contains(&format!("\"answer\":{expected}")), "{name}");
    }
}

#[test]
fn a_study_looks_first_and_then_grows() {
    let served = Served::new();
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    page.say(json!({ "say": "spread", "units": 60_000, "seed": 1 }));
    let first = page.until(|said| said["say"] == "spread");
    assert_eq!(first["answer"]["units"], 4096);
    assert_eq!((&first["answer"]["of"], &first["done"]), (&json!(60_000), &json!(false)));
    let drivers = |said: &Value| said["answer"]["events"][0]["drivers"].as_array().unwrap().len();
    assert_eq!(drivers(&first), 0);
    let (mut before, mut told) = (4096, 0);
    loop {
        let more = page.hear_of("spread", 0);
        let units = more["answer"]["units"].as_u64().unwrap();
        assert!(units >= before && drivers(&more) > 0);
        (before, told) = (units, told + 1);
        if more["done"] == true {
            break;
        }
    }
    assert!(before == 60_000 && told >= 3, "{told} times");
}

#[test]
fn a_study_goes_with_the_text_and_stands_still_when_it_is_not_asked_for() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let text = opened["text"].as_str().unwrap();
    let studies = |page: &mut Page| {
        let mut found = Vec::new();
        while let Some(heard) = page.next(Duration::from_millis(1500)) {
            if let Heard::Said(said) = heard
                && said["say"] == "spread"
            {
                found.push((said["rev"].as_u64().unwrap(), said["done"] == true));
            }
        }
        found
    };
    page.hear_of("answer", 0);
    assert_eq!(studies(&mut page), [], "none was asked for");
    page.say(json!({ "say": "spread", "units": 1_000_000, "seed": 1 }));
    page.hear_of("spread", 0);
    page.text(1, &text.replace("± 0.1 mm", "± 0.2 mm"));
    page.hear_of("spread", 1);
    page.say(json!({ "say": "spread", "units": null, "seed": 1 }));
    let last = studies(&mut page);
    assert!(last.iter().all(|(rev, done)| *rev == 1 && !done), "{last:?}");
    // And goes on where it was, with no first look.
    page.say(json!({ "say": "spread", "units": 1_000_000, "seed": 1 }));
    let more = page.hear_of("spread", 1);
    assert_ne!(more["answer"]["events"][0]["drivers"], json!([]));
    // A smaller one is another one; done, it is not made again.
    page.say(json!({ "say": "spread", "units": 8192, "seed": 1 }));
    study(&mut page, 1);
    page.say(json!({ "say": "spread", "units": null, "seed": 1 }));
    page.say(json!({ "say": "spread", "units": 8192, "seed": 1 }));
    assert_eq!(studies(&mut page), []);
}

#[test]
fn a_tolerance_held_elsewhere_shows_what_letting_go_then_makes() {
    let served = Served::new();
    // Some units of it miss.
    let text = example("hopper-lid").replace(">= 45 mm", ">= 37 mm");
    fs::write(served.path("hopper-lid.toml"), &text).unwrap();
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    page.say(json!({ "say": "spread", "units": 16_384, "seed": 1 }));
    let met = |said: &Value| said["answer"]["demands"][1]["share"]["met"].as_u64().unwrap();
    let before = met(&study(&mut page, 0));
    assert!(before < 16_384);
    let path = "contact[lid].release";
    for seq in 1..=30 {
        let times = 1.0 - f64::from(seq) / 60.0;
        page.say(json!({ "say": "hold", "rev": 0, "seq": seq, "path": path, "times": times }));
    }
    let mut positions = 0;
    let held = loop {
        let held = page.hear_of("spread", 0);
        positions += 1;
        if held["seq"] == 30 {
            break held;
        }
    };
    assert!(positions < 30, "only the newest places are studied, not {positions} of 30");
    assert_eq!(held["tolerance"], "10.25..12.75 AT");
    assert!(met(&held) > before, "{} of them meet it, not {before}", met(&held));
    page.say(json!({ "say": "tolerance", "rev": 0, "path": path, "times": 0.5 }));
    let patch = page.hear_of("patch", 0);
    assert_eq!(patch["why"], "tolerance");
    let new = patched(&text, &patch);
    assert_eq!(new, text.replace("\"9..14 AT\"", "\"10.25..12.75 AT\""));
    page.text(1, &new);
    let after = study(&mut page, 1);
    // Held or written, it is the same design, but for the texts' own fingerprints.
    assert_eq!(held["answer"]["events"][0]["at"], after["answer"]["events"][0]["at"]);
    assert_eq!(held["answer"]["demands"][1]["share"], after["answer"]["demands"][1]["share"]);
}

#[test]
fn what_the_file_does_not_state_is_written_when_its_tolerance_changes() {
    let served = Served::new();
    let text = example("feed-drawer");
    fs::write(served.path("drawer.toml"), &text).unwrap();
    let (mut page, _) = Page::with_file(&served, "drawer.toml");
    page.hear_of("answer", 0);
    let times = 0.5;
    // From the catalogue's family; from a table that says where it is from.
    for (path, there) in [
        ("contact[frame].operate", "\noperate = \""),
        ("contact[frame].overall_length", "value = \"40 ± 0.5 mm\", source = \"measured\""),
        ("magnet[bar].size[2]", "\"5 ± 0.1 mm\", \"5 ± 0.05 mm\"]"),
    ] {
        page.say(json!({ "say": "tolerance", "rev": 0, "path": path, "times": times }));
        let new = patched(&text, &page.hear_of("patch", 0));
        assert!(new.contains(there), "{path}: {new}");
        let absent = |_: &str| Err(std::io::ErrorKind::NotFound.into());
        reedmace_design::parse(&new, &absent).unwrap();
    }
}

#[test]
fn what_cannot_be_studied_is_told() {
    let served = Served::new();
    let exact = example("hopper-lid").replace(" ± 0.5", "").replace(" ± 0.1", "");
    let exact = exact.replace("20..25 AT", "22 AT").replace("9..14 AT", "11 AT");
    let exact = exact.replace("grade = \"NdFeB 240/80\"", "remanence = \"1.2 T\"");
    fs::write(served.path("exact.toml"), exact.replace("-20..70 °C", "20 °C")).unwrap();
    let (mut page, _) = Page::with_file(&served, "exact.toml");
    page.say(json!({ "say": "spread", "units": 4096, "seed": 1 }));
    let none = study(&mut page, 0);
    assert!(none["answer"].is_null());
    assert_eq!(none["none"], reedmace_engine::EngineError::NothingVaries.to_string());
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    page.hear_of("answer", 0);
    for units in [0, 4095, 1_000_001] {
        page.say(json!({ "say": "spread", "units": units, "seed": 1 }));
        page.until(|said| said["say"] == "fault");
    }
    page.say(json!({ "say": "spread", "units": 4096, "seed": 1 }));
    study(&mut page, 0);
    for (seq, (path, times)) in
        [("magnet[slug].size[0]", 0.5), ("magnet[nobody].size[0]", 0.5), ("sweep.to[0]", -1.0)]
            .into_iter()
            .enumerate()
    {
        page.say(json!({ "say": "hold", "rev": 0, "seq": seq, "path": path, "times": times }));
        let held = page.until(|said| said["say"] == "spread" && said["seq"] == seq);
        assert!(held["answer"].is_null() && held["none"].is_string(), "{path}: {held}");
        page.say(json!({ "say": "tolerance", "rev": 0, "path": path, "times": times }));
        page.until(|said| said["say"] == "fault");
    }
    // Wider than the contact can be.
    page.say(
        json!({ "say": "hold", "rev": 0, "seq": 9, "path": "contact[lid].operate", "times": 1e6 }),
    );
    assert!(page.until(|said| said["say"] == "spread" && said["seq"] == 9)["none"].is_string());
}
