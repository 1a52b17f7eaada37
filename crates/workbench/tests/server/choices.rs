//! The search for the cheapest arrangement, and designs shown beside the text's own.

use crate::{
    page::{Heard, Page, patched},
    served::{Served, example},
};
use reedmace_design::{Catalogue, Design, Diagnostic};
use reedmace_engine::{ChooseOptions, Choosing, Options, check, choose};
use reedmace_materials::Grades;
use serde_json::{Value, json};
use std::{fs, time::Duration};

/// The vent flap of the salad tunnel, with all its choices or a few of them.
fn vent_flap(all: bool) -> String {
    let text = example("vent-flap/vent-flap");
    if all {
        return text;
    }
    let (head, _) = text.split_once("[choose.free]").unwrap();
    format!(
        "{head}[choose.free]\n\
         \"contact[frame].family\" = [\"rush\", \"bogbean\"]\n\
         \"magnet[flap].catalogue\" = [\"peg-6\", \"stub-5\"]\n\
         \"contact[frame].at[2]\" = {{ from = \"-8 mm\", to = \"0 mm\" }}\n"
    )
}

/// A server with the vent flap and its store.
fn served(all: bool) -> (Served, String) {
    let served = Served::new();
    let text = vent_flap(all);
    fs::write(served.path("vent.toml"), &text).unwrap();
    fs::write(served.path("store.toml"), example("vent-flap/store")).unwrap();
    (served, text)
}

fn parse(text: &str) -> Result<Design, Vec<Diagnostic>> {
    let store = |file: &str| match file {
        "store.toml" => Ok(example("vent-flap/store").into_bytes()),
        _ => Err(std::io::ErrorKind::NotFound.into()),
    };
    let read = reedmace_design::parse_with(text, &Catalogue::builtin(), &Grades::builtin(), &store);
    Ok(read?.0)
}

fn chosen(text: &str) -> Choosing {
    let options = ChooseOptions::default();
    choose(&parse(text).unwrap(), "vent.toml", &options, &parse, &|_| true).unwrap()
}

/// Every digit is what `reedmace choose --json` prints; what it costs now is known.
#[test]
fn cross_a_search_is_that_of_the_command_line() {
    let (served, text) = served(false);
    let (mut page, _) = Page::with_file(&served, "vent.toml");
    page.say(json!({ "say": "choose", "rev": 0, "go": true }));
    let first = page.hear_of("searching", 0);
    assert_eq!(first["of"], 4);
    let found = page.hear_of("chosen", 0);
    let expected = chosen(&text).answer;
    assert!(expected.candidates.len() > 1 && expected.own_cost == Some(1.06));
    let expected = serde_json::to_string(&expected).unwrap();
    assert!(page.last_text.contains(&format!("\"answer\":{expected}")), "{found}");
}

#[test]
fn a_search_is_ended_with_what_it_has_and_given_up_with_its_text() {
    let (served, text) = served(true);
    let (mut page, _) = Page::with_file(&served, "vent.toml");
    page.hear_of("answer", 0);
    page.say(json!({ "say": "choose", "rev": 0, "go": true }));
    page.until(|said| said["say"] == "searching" && said["done"].as_u64() > Some(0));
    page.say(json!({ "say": "choose", "rev": 0, "go": false }));
    let ended = page.hear_of("chosen", 0);
    assert_eq!(ended["answer"]["interrupted"], true);
    let tried = ended["answer"]["tried"].as_u64().unwrap();
    assert!(tried > 0 && tried < 40, "{tried}");
    // A picture of a body held elsewhere comes while a search runs, and the search goes on; so it does when
    // the same text is sent again.
    page.say(json!({ "say": "choose", "rev": 0, "go": true }));
    page.hear_of("searching", 0);
    page.say(json!({ "say": "drag", "rev": 0, "seq": 1, "body": "magnet[flap]",
        "at": [0.0, 0.0, 60.0], "turn": [0.0, 0.0, 0.0] }));
    page.until(|said| said["say"] == "live" && said["seq"] == 1);
    page.text(1, &text);
    page.hear_of("design", 1);
    page.hear_of("searching", 0);
    // Another text ends it at once.
    page.text(2, &text.replace("<= 11 mm", "<= 12 mm"));
    let gone = page.hear_of("chosen", 0);
    assert!(gone["answer"].is_null() && gone["none"] == "the text has changed", "{gone}");
    while let Some(heard) = page.next(Duration::from_millis(1500)) {
        if let Heard::Said(said) = heard {
            assert_ne!(said["say"], "searching", "nothing is searched that was not asked for");
        }
    }
}

#[test]
fn a_result_is_no_longer_that_of_a_text_whose_files_have_changed() {
    let (served, _) = served(false);
    let (mut page, _) = Page::with_file(&served, "vent.toml");
    page.say(json!({ "say": "choose", "rev": 0, "go": true }));
    page.hear_of("chosen", 0);
    fs::write(served.path("store.toml"), example("vent-flap/store").replace("0.21", "0.31"))
        .unwrap();
    let gone = page.hear_of("chosen", 0);
    assert_eq!(gone["none"], "a file that the design names has changed");
    page.say(json!({ "say": "choose", "rev": 0, "go": true }));
    let found = page.until(|said| said["say"] == "chosen" && !said["answer"].is_null());
    assert_eq!(found["answer"]["combinations"], 4);
}

/// What a design could begin with is sound, leaves something free, and is what a button adds.
#[test]
fn where_nothing_is_free_a_table_is_offered() {
    let served = Served::new();
    let names = [
        ("hopper-lid", "magnet[slug].size"),
        ("feed-drawer", "contact["),
        ("paddle-wheel", "contact["),
        ("hatch-hinge", "contact["),
        ("cabinet-lid", "contact["),
        ("probe-multiplexer", "coil[bobbin].turns"),
    ];
    for (name, free) in names {
        let file = format!("{name}.toml");
        let text = example(name);
        fs::write(served.path(&file), &text).unwrap();
        let (mut page, _) = Page::with_file(&served, &file);
        page.say(json!({ "say": "choose", "rev": 0, "go": true }));
        let none = page.hear_of("chosen", 0);
        let table = none["beginning"].as_str().expect(name);
        assert!(table.contains(free), "{name}: {table}");
        page.say(json!({ "say": "add", "rev": 0, "table": "choose" }));
        let new = patched(&text, &page.hear_of("patch", 0));
        assert_eq!(
            new,
            format!("{}\n\n{table}{}", text.trim_end(), &text[text.trim_end().len()..])
        );
        let design = parse(&new).unwrap();
        assert!(!design.choose.unwrap().free.is_empty(), "{name}");
    }
    // Faults in the text: it waits until they are mended.
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    page.hear_of("answer", 0);
    page.text(1, "format = 1\n");
    page.say(json!({ "say": "choose", "rev": 1, "go": true }));
    page.hear_of("design", 1);
    page.say(json!({ "say": "choose", "rev": 1, "go": false }));
    assert!(page.hear_of("chosen", 1)["none"].is_string());
    page.say(json!({ "say": "choose", "rev": 1, "go": true }));
    page.text(2, &example("hopper-lid"));
    assert_eq!(page.hear_of("chosen", 1)["none"], "the text has changed");
    page.say(json!({ "say": "choose", "rev": 2, "go": true }));
    assert!(page.hear_of("chosen", 2)["beginning"].is_string());
}

/// A design shown beside is the one that would be taken, and that is the one that would be saved.
#[test]
fn cross_what_is_shown_beside_is_what_is_taken() {
    let (served, text) = served(false);
    let found = chosen(&text);
    let (mut page, _) = Page::with_file(&served, "vent.toml");
    let view = json!({ "say": "view", "plane": "xz", "offset": 0.0,
        "extent": [-30.0, 30.0, -10.0, 50.0], "cells": [60, 60], "contact": 0, "map": true });
    page.say(view);
    page.hear_of("answer", 0);
    for (k, (candidate, saved)) in found.answer.candidates.iter().zip(&found.texts).enumerate() {
        page.say(json!({ "say": "beside", "seq": k, "values": candidate.values }));
        let mine = |said: &Value| said["say"] == "beside" && said["seq"] == k;
        let first = page.until(mine);
        assert_eq!(first["glance"]["contacts"][0]["events"].as_array().unwrap().len(), 2);
        let whole = page.until(mine);
        let options = Options::default();
        let design = parse(saved).unwrap();
        let expected = check(&design, "vent.toml", &options, &|_, _| ()).unwrap().answer;
        assert_eq!(whole["answer"], serde_json::to_value(&expected).unwrap());
        page.say(json!({ "say": "take", "rev": 0, "values": candidate.values }));
        assert_eq!(&patched(&text, &page.hear_of("patch", 0)), saved);
    }
    // Its map comes by itself, and anew with another view.
    page.say(json!({ "say": "beside", "seq": 90, "values": found.answer.candidates[1].values }));
    let frame = page.frame(|head| head["beside"] == 90);
    assert_eq!((&frame.head["across"][2], &frame.head["rev"]), (&json!(30), &json!(0)));
    page.say(json!({ "say": "view", "plane": "yz", "offset": 0.0,
        "extent": [-30.0, 30.0, -10.0, 50.0], "cells": [60, 60], "contact": 0, "map": true }));
    page.frame(|head| head["beside"] == 90 && head["plane"] == "yz");
    // It follows the text, and goes when it is put away.
    page.text(1, &text.replace("9 mm\"]", "8 mm\"]"));
    page.until(|said| said["say"] == "beside" && said["rev"] == 1 && !said["answer"].is_null());
    page.say(json!({ "say": "beside", "seq": 91, "values": null }));
    page.text(2, &text);
    page.hear_of("answer", 2);
    while let Some(heard) = page.next(Duration::from_millis(500)) {
        if let Heard::Said(said) = heard {
            assert_ne!(said["say"], "beside");
        }
    }
    // What cannot be is told.
    let nowhere = json!([{ "path": "magnet[nobody].catalogue", "text": "peg-6" }]);
    page.say(json!({ "say": "beside", "seq": 92, "values": nowhere }));
    let none = page.until(|said| said["say"] == "beside" && said["seq"] == 92);
    assert!(none["glance"].is_null() && none["none"].is_string(), "{none}");
    page.say(json!({ "say": "take", "rev": 2, "values": nowhere }));
    page.until(|said| said["say"] == "fault");
}
