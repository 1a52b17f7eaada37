//! `reedmace choose`: the table, the files, what is said when nothing meets the demands.

use crate::bench::Bench;
use std::path::PathBuf;

const GOLDEN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/choose.txt");

/// The example, with its catalogue, in a folder of our own.
fn vent() -> Bench {
    let designs = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../designs/vent-flap");
    let read = |name: &str| std::fs::read_to_string(designs.join(name)).unwrap();
    let bench = Bench::with("vent.toml", &read("vent-flap.toml"));
    bench.save("store.toml", &read("store.toml"));
    bench
}

/// A contact of two families and a lid that is to open sooner than any of them lets go.
fn small(open: &str) -> String {
    let text =
        crate::bench::met().replace("title", "revision = \"B\"          # after the flood\ntitle");
    text.replace("\"0 mm\", \"0 mm\", \"5 mm\"]", "\"0 mm\", \"0 mm\", \"6 mm\"]")
        + &format!(
            "[[demand]]\ncontact = \"dip\"\nopen = \"{open}\"\n\n[choose.free]\n\
             \"contact[dip].family\" = [\"sedge\", \"flag\"]\n\
             \"magnet[slug].size[0]\" = {{ from = \"4 mm\", to = \"12 mm\", step = \"4 mm\" }}\n"
        )
}

/// Digits that may differ with the processor's instructions are cut off.
fn steady(text: &str) -> String {
    text.lines().map(|line| format!("{}\n", line.trim_end())).collect()
}

#[test]
fn reg_choose_reads_as_the_golden_does() {
    let bench = Bench::with("dip.toml", &small(">= 34 mm"));
    let told = steady(&bench.run(&["choose", "dip.toml"]).out);
    if std::env::var_os("REEDMACE_BLESS").is_some() {
        std::fs::write(GOLDEN, &told).unwrap();
    }
    assert_eq!(told, std::fs::read_to_string(GOLDEN).unwrap());
    assert!(told.lines().all(|line| line.chars().count() <= 80), "{told}");
}

#[test]
fn the_example_finds_a_pair_that_its_own_check_confirms() {
    let bench = vent();
    let words = ["choose", "vent.toml", "--save", "1", "found.toml", "--json"];
    let files = ["--plot", "front.svg", "--plot", "front.csv"];
    let answer = bench.run(&[&words[..], &files].concat()).fine().json();
    let schema = bench.run(&["schema", "choose"]).fine().json();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator.iter_errors(&answer).map(|e| e.to_string()).collect();
    assert_eq!(faults, Vec::<String>::new());
    let best = &answer["candidates"][0];
    // Comments and layout stay; what was chosen stands where the file had its start.
    let (before, after) = (bench.read("vent.toml"), bench.read("found.toml"));
    assert_eq!(before.lines().count(), after.lines().count());
    let changed: Vec<&str> = after.lines().filter(|l| !before.lines().any(|b| b == *l)).collect();
    assert!(changed.len() <= 3, "{changed:?}");
    assert!(after.contains(best["values"][0]["text"].as_str().unwrap()));
    let check = bench.run(&["check", "found.toml", "--no-report", "--json"]).fine().json();
    assert_eq!(check["verdict"], "met");
    let rooms = check["demands"].as_array().unwrap().iter();
    let least = rooms.map(|d| d["margin_worst"].as_f64().unwrap()).fold(f64::INFINITY, f64::min);
    assert_eq!(best["margin"].as_f64().unwrap(), least);
    let svg = bench.read("front.svg");
    assert!(svg.starts_with("<svg") && svg.contains("price") && svg.contains("room, mm"));
    let rows =
        answer["front"].as_array().unwrap().len() + answer["others"].as_array().unwrap().len();
    assert_eq!(bench.read("front.csv").lines().count(), 1 + rows);
}

#[test]
fn where_nothing_holds_the_obstacle_is_named_and_the_nearest_can_be_saved() {
    let bench = Bench::with("dip.toml", &small(">= 14 mm"));
    let run = bench.run(&["choose", "dip.toml", "--save", "nearest", "near.toml"]);
    assert_eq!(run.code, Some(1), "{run:?}");
    for words in ["NONE FOUND", "dip open >= 14 mm", "short", "the nearest", "Wrote near.toml"] {
        assert!(run.out.contains(words), "{words} is missing:\n{}", run.out);
    }
    assert!(bench.read("near.toml").contains("# after the flood"));
    let one = bench.run(&["choose", "dip.toml", "--save", "1", "one.toml"]);
    assert!(one.code == Some(2) && one.err.contains("nearest"), "{one:?}");
    assert!(!bench.path("one.toml").exists());
}

#[test]
fn what_cannot_be_asked_is_refused() {
    let bench = Bench::with("dip.toml", &crate::bench::met());
    let nothing = bench.run(&["choose", "dip.toml"]);
    assert!(nothing.code == Some(2) && nothing.err.contains("[choose]"), "{nothing:?}");
    let which = bench.run(&["choose", "dip.toml", "--save", "best", "x.toml"]);
    assert!(which.code == Some(2) && which.err.contains("no arrangement"), "{which:?}");
    let form = bench.run(&["choose", "dip.toml", "--plot", "x.bmp"]);
    assert!(form.code == Some(2) && form.err.contains(".svg, .png or .csv"), "{form:?}");
    bench.save("bad.toml", &small(">= 34 mm").replace("[dip].family", "[dap].family"));
    let path = bench.run(&["choose", "bad.toml", "--diagnostics", "short"]);
    assert!(path.code == Some(2) && path.err.contains("G0802"), "{path:?}");
}
