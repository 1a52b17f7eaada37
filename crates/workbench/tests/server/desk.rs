//! Editing, saving, and what others do to the files meanwhile.

use crate::{
    page::{Page, patched},
    served::{Served, example},
};
use serde_json::{Value, json};
use std::{fs, thread::sleep, time::Duration};

/// The field of a path in the form of a design message.
fn field<'v>(design: &'v Value, path: &str) -> &'v Value {
    let sections = design["form"].as_array().expect("a form");
    let fields = sections.iter().flat_map(|section| section["fields"].as_array().unwrap());
    let mut found = fields.filter(|field| field["path"] == path);
    found.next().unwrap_or_else(|| panic!("no field {path}"))
}

#[test]
fn a_form_edit_is_a_patch_that_leaves_the_rest() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let design = page.hear_of("design", 0);
    assert_eq!(field(&design, "magnet[slug].size[1]")["text"], "5 ± 0.1 mm");
    // A character that is two units in the editor and four bytes here.
    let text = opened["text"].as_str().unwrap().replacen("lid.", "lid 🐟.", 1);
    page.text(1, &text);
    page.say(
        json!({ "say": "set", "rev": 1, "path": "magnet[slug].size[1]", "value": "6 ± 0.2 mm" }),
    );
    let patch = page.hear_of("patch", 1);
    assert_eq!((&patch["why"], patch["changes"].as_array().unwrap().len()), (&json!("set"), 1));
    let new = patched(&text, &patch);
    assert_eq!(new, text.replace("\"5 ± 0.1 mm\"", "\"6 ± 0.2 mm\""));
    page.text(2, &new);
    let design = page.hear_of("design", 2);
    assert_eq!(field(&design, "magnet[slug].size[1]")["text"], "6 ± 0.2 mm");
    assert_eq!(design["diagnostics"], json!([]));
}

/// Every table that an example states is a section of its own, and what stands in a table within it are fields.
#[test]
fn a_form_has_every_table_of_the_text() {
    let served = Served::new();
    for name in ["probe-multiplexer", "pump-relay", "nutrient-tank", "paddle-wheel", "gate-latch"] {
        let text = example(name);
        fs::write(served.path(&format!("{name}.toml")), &text).unwrap();
        let (mut page, _) = Page::with_file(&served, &format!("{name}.toml"));
        let design = page.hear_of("design", 0);
        let sections = design["form"].as_array().unwrap();
        for line in text.lines().filter(|line| line.starts_with('[')) {
            let table = line.split_whitespace().next().unwrap().trim_matches(['[', ']']);
            let section = sections.iter().find(|section| section["table"] == table);
            assert!(
                section.is_some_and(|s| s["line"].is_number()),
                "{name} has no section {table}"
            );
        }
    }
    let (mut page, opened) = Page::with_file(&served, "probe-multiplexer.toml");
    let design = page.hear_of("design", 0);
    assert_eq!(field(&design, "relay.supply")["text"], "5 V ± 5 %");
    assert_eq!(field(&design, "coil[bobbin].bobbin.window")["text"], "2.2 mm");
    page.say(
        json!({ "say": "set", "rev": 0, "path": "coil[bobbin].bobbin.window", "value": "2.4 mm" }),
    );
    let text = opened["text"].as_str().unwrap();
    let new = patched(text, &page.hear_of("patch", 0));
    assert_eq!(new, text.replace("window = \"2.2 mm\"", "window = \"2.4 mm\""));
}

#[test]
fn what_is_typed_becomes_what_its_key_holds() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let text = opened["text"].as_str().unwrap();
    for (path, typed, raw, expected) in [
        ("contact[lid].permeability", "6000", false, "permeability = 6000\n"),
        ("contact[lid].permeability", "4000..6000", false, "permeability = \"4000..6000\"\n"),
        ("magnet[slug].direction", "0 0 -1", false, "direction = [0, 0, -1]  "),
        ("magnet[slug].direction", "[0, 1, 0]", false, "direction = [0, 1, 0]  "),
        ("sweep.moves", "[\"slug\", \"lid\"]", false, "moves = [\"slug\", \"lid\"]\n"),
        ("title", "12", false, "title = \"12\"\n"),
        ("demand[shut].closed", "<= 9 mm", false, "closed = \"<= 9 mm\"  "),
        ("contact[lid].coil", "uniform", false, "coil = \"uniform\"  "),
        ("contact[lid].coil.length", "30 mm", false, "{ length = \"30 mm\", mean"),
        ("magnet[slug].at[1]", "1 mm", false, "at = [\"0 mm\", \"1 mm\", \"0 mm\"]"),
        ("sweep.coordinate", "z", false, "coordinate = \"z\""),
        ("contact[lid].gap", "{ value = \"0.06 mm\", source = \"guess\" }", true, "gap = { value"),
        ("contact[lid].gap.source", "measured", false, "gap = { value = \"0.05 mm\", source"),
    ] {
        page.say(json!({ "say": "set", "rev": 0, "path": path, "value": typed, "raw": raw }));
        let new = patched(text, &page.hear_of("patch", 0));
        assert!(new.contains(expected), "{path} = {typed}: {new}");
    }
    page.say(json!({ "say": "set", "rev": 0, "path": "revision", "value": null }));
    assert!(!patched(text, &page.hear_of("patch", 0)).contains("revision"));
    // The file is as it was: a patch is an offer.
    assert_eq!(fs::read_to_string(served.path("hopper-lid.toml")).unwrap(), text);
}

#[test]
fn tables_come_and_go() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let mut text = opened["text"].as_str().unwrap().to_owned();
    for (rev, table) in ["magnet", "contact", "coil", "steel", "demand"].iter().enumerate() {
        let rev = rev as u64;
        page.say(json!({ "say": "add", "rev": rev, "table": table }));
        text = patched(&text, &page.hear_of("patch", rev));
        page.text(rev + 1, &text);
        let design = page.hear_of("design", rev + 1);
        assert_eq!(design["diagnostics"], json!([]), "{table}: {text}");
    }
    page.say(json!({ "say": "remove", "rev": 5, "path": "steel[steel]" }));
    let patch = page.hear_of("patch", 5);
    assert!(!patched(&text, &patch).contains("[[steel]]"));
}

#[test]
fn what_was_asked_of_an_older_text_is_not_done() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    page.text(1, opened["text"].as_str().unwrap());
    for asked in [
        json!({ "say": "set", "rev": 0, "path": "title", "value": "x" }),
        json!({ "say": "add", "rev": 0, "table": "magnet" }),
        json!({ "say": "save", "rev": 0 }),
        json!({ "say": "set", "rev": 1, "path": "magnet[nobody].size", "value": "x" }),
        json!({ "say": "remove", "rev": 1, "path": "magnet" }),
        json!({ "say": "add", "rev": 1, "table": "sweep" }),
    ] {
        page.say(asked);
        page.until(|said| said["say"] == "fault");
    }
    page.send("{ no JSON");
    page.until(|said| said["say"] == "fault");
    page.send("{\"say\":\"sing\"}");
    page.until(|said| said["say"] == "fault");
}

#[test]
fn a_save_is_whole_and_keeps_the_files_mode() {
    let served = Served::new();
    let path = served.path("hopper-lid.toml");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    }
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let text = opened["text"].as_str().unwrap().replace("Feed hopper lid", "Lid µ");
    page.text(1, &text);
    page.say(json!({ "say": "save", "rev": 1 }));
    let saved = page.hear("saved");
    assert_eq!((&saved["rev"], &saved["file"]), (&json!(1), &json!("hopper-lid.toml")));
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    }
    let left = fs::read_dir(served.folder.path()).unwrap().count();
    assert_eq!(left, 1, "nothing else is left in the folder");
}

#[test]
fn a_new_design_is_saved_under_a_name_and_answers_by_it() {
    let served = Served::new();
    let mut page = Page::new(&served);
    page.say(json!({ "say": "open", "template": "approach" }));
    let opened = page.hear("opened");
    assert_eq!((&opened["file"], &opened["name"]), (&json!(null), &json!("approach.toml")));
    page.say(json!({ "say": "save", "rev": 0 }));
    page.until(|said| said["say"] == "fault");
    page.say(json!({ "say": "save", "rev": 0, "as": "hopper-lid" }));
    assert_eq!(page.hear("conflict")["text"], example("hopper-lid"));
    page.say(json!({ "say": "save", "rev": 0, "as": "shed-door" }));
    assert_eq!(page.hear("saved")["file"], "shed-door.toml");
    let answer = page.until(|said| {
        said["say"] == "answer" && said["answer"]["provenance"]["design"] == "shed-door.toml"
    });
    assert_eq!(answer["rev"], 0);
    assert_eq!(fs::read_to_string(served.path("shed-door.toml")).unwrap(), opened["text"]);
}

#[test]
fn what_others_save_appears_at_once() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    page.hear_of("design", 0);
    let theirs = opened["text"].as_str().unwrap().replace("80 mm", "70 mm");
    // As many editors do: a new file in the place of the old one.
    fs::write(served.path("new"), &theirs).unwrap();
    fs::rename(served.path("new"), served.path("hopper-lid.toml")).unwrap();
    assert_eq!(page.hear("outside")["text"], theirs);
    page.text(1, &theirs);
    page.hear_of("design", 1);
    // As others do: written in place.
    fs::write(served.path("hopper-lid.toml"), opened["text"].as_str().unwrap()).unwrap();
    assert_eq!(page.hear("outside")["text"], opened["text"]);
    page.text(2, opened["text"].as_str().unwrap());
    fs::remove_file(served.path("hopper-lid.toml")).unwrap();
    assert_eq!(page.hear("outside")["text"], json!(null));
}

#[test]
fn nothing_is_lost_when_both_sides_edit() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let ours = opened["text"].as_str().unwrap().replace("80 mm", "75 mm");
    let theirs = opened["text"].as_str().unwrap().replace("80 mm", "70 mm");
    page.text(1, &ours);
    page.hear_of("design", 1);
    fs::write(served.path("hopper-lid.toml"), &theirs).unwrap();
    assert_eq!(page.hear("conflict")["text"], theirs);
    page.say(json!({ "say": "save", "rev": 1 }));
    assert_eq!(page.hear("conflict")["text"], theirs);
    assert_eq!(fs::read_to_string(served.path("hopper-lid.toml")).unwrap(), theirs);
    page.say(json!({ "say": "save", "rev": 1, "over": true }));
    page.hear("saved");
    assert_eq!(fs::read_to_string(served.path("hopper-lid.toml")).unwrap(), ours);
}

#[test]
fn files_the_design_names_are_watched_too() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let naming = format!("catalogue = [\"ours.toml\"]\n{}", opened["text"].as_str().unwrap());
    page.text(1, &naming);
    let design = page.hear_of("design", 1);
    assert_eq!(design["diagnostics"][0]["severity"], "error");
    fs::write(served.path("ours.toml"), "note = \"ours\"\n").unwrap();
    let design = page.until(|said| said["say"] == "design" && said["diagnostics"] == json!([]));
    assert_eq!(design["rev"], 1);
}

#[test]
fn edits_outlive_the_server_and_the_page() {
    let mut served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let edited = opened["text"].as_str().unwrap().replace("80 mm", "75 mm");
    page.text(1, &edited);
    sleep(Duration::from_millis(1000));
    served.restart();
    let start = served.get("/api/start").json();
    assert_eq!(start["files"][0]["edited"], true, "{start}");
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    assert_eq!(opened["recovered"], true);
    assert_eq!(opened["text"], edited);
    assert_eq!(opened["saved"], example("hopper-lid"));
    // Taken back, they are forgotten.
    page.text(1, &example("hopper-lid"));
    sleep(Duration::from_millis(1000));
    let (_, opened) = Page::with_file(&served, "hopper-lid.toml");
    assert_eq!(opened["recovered"], false);
}

#[test]
fn a_design_without_a_file_is_kept_as_well() {
    let mut served = Served::new();
    let mut page = Page::new(&served);
    page.say(json!({ "say": "open", "example": "feed-drawer" }));
    let opened = page.hear("opened");
    sleep(Duration::from_millis(700));
    assert_eq!(served.get("/api/start").json()["unsaved"], json!([]), "nothing was edited");
    let edited = format!("{}\n# mine\n", opened["text"].as_str().unwrap());
    page.text(1, &edited);
    sleep(Duration::from_millis(1000));
    served.restart();
    let start = served.get("/api/start").json();
    let unsaved = &start["unsaved"][0];
    assert_eq!(unsaved["name"], "feed-drawer.toml", "{start}");
    let mut page = Page::new(&served);
    page.say(json!({ "say": "open", "unsaved": unsaved["key"] }));
    let opened = page.hear("opened");
    assert_eq!((&opened["text"], &opened["recovered"]), (&json!(edited), &json!(true)));
    drop(page);
    let mut page = Page::new(&served);
    page.say(json!({ "say": "forget", "unsaved": unsaved["key"] }));
    sleep(Duration::from_millis(300));
    assert_eq!(served.get("/api/start").json()["unsaved"], json!([]));
}

#[test]
fn the_start_page_lists_what_there_is() {
    let served = Served::new();
    fs::write(served.path("broken.toml"), "format = 1\n").unwrap();
    fs::write(served.path("notes.txt"), "").unwrap();
    let (_page, _) = Page::with_file(&served, "hopper-lid.toml");
    let start = served.get("/api/start").json();
    let files = start["files"].as_array().unwrap();
    assert_eq!(files.len(), 2, "{start}");
    assert_eq!(
        (&files[0]["name"], &files[1]["title"]),
        (&json!("broken.toml"), &json!("Feed hopper lid"))
    );
    assert!(files[0]["problem"].is_string() && files[1]["problem"].is_null());
    assert_eq!(start["recent"], json!(["hopper-lid.toml"]));
    assert_eq!(start["templates"].as_array().unwrap().len(), 9);
    let examples = start["examples"].as_array().unwrap();
    assert!(examples.len() >= 6 && examples.iter().all(|one| one["title"] != one["name"]));
}
