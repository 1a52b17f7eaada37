//! What machines read: JSON and its schemas, maps, conversions.

use crate::bench::{Bench, met};
use serde_json::Value;

fn valid(schema: &Value, document: &Value) {
    let validator = jsonschema::validator_for(schema).unwrap();
    let faults: Vec<String> = validator.iter_errors(document).map(|e| e.to_string()).collect();
    assert_eq!(faults, Vec::<String>::new());
}

#[test]
fn the_answer_is_what_its_schema_says() {
    let bench = Bench::with("dip.toml", &met());
    let answer = bench.run(&["check", "dip.toml", "--json", "--units", "20"]).fine().json();
    valid(&bench.run(&["schema", "result"]).fine().json(), &answer);
    assert_eq!(answer["contacts"][0]["events"][0]["kind"], "operate");
    assert_eq!(answer["demands"][0]["verdict"], "met");
    assert_eq!(answer["provenance"]["design"], "dip.toml");
    assert!(answer["contacts"][0]["trace"].as_array().unwrap().len() > 10);
}

#[test]
fn an_answer_turned_awry_is_not_what_the_schema_says() {
    let bench = Bench::with("dip.toml", &met());
    let mut answer = bench.run(&["check", "dip.toml", "--json", "--units", "20"]).fine().json();
    answer["demands"][0]["verdict"] = "perhaps".into();
    let schema = bench.run(&["schema", "result"]).fine().json();
    assert!(!jsonschema::validator_for(&schema).unwrap().is_valid(&answer));
}

#[test]
fn the_templates_are_what_the_design_schema_says() {
    let bench = Bench::new();
    let schema = bench.run(&["schema", "design"]).fine().json();
    let names = bench.run(&["new", "--json"]).fine().json();
    for template in names["templates"].as_array().unwrap() {
        let text = bench.run(&["new", template["name"].as_str().unwrap(), "-o", "-"]).fine().out;
        let design: toml::Value = toml::from_str(&text).unwrap();
        valid(&schema, &serde_json::to_value(design).unwrap());
    }
}

#[test]
fn a_calibration_is_a_table_of_a_level_and_of_nothing_else() {
    let bench = Bench::with("dip.toml", &met());
    bench.run(&["new", "level", "-o", "tank.toml"]).fine();
    let told = bench.run(&["calibrate", "tank.toml"]).fine().out;
    assert!(told.contains("Wrote tank.calibration.csv"), "{told}");
    let table = bench.read("tank.calibration.csv");
    assert!(table.starts_with("level (mm),level low (mm),level high (mm),"), "{table}");
    assert!(table.lines().count() > 4, "{table}");
    assert_eq!(bench.run(&["calibrate", "tank.toml", "-o", "-"]).fine().out, table);
    let json = bench.run(&["calibrate", "tank.toml", "--json"]).fine().json();
    assert_eq!(json["calibration"].as_array().unwrap().len() + 1, table.lines().count());
    let refused = bench.run(&["calibrate", "dip.toml"]);
    assert_eq!(refused.code, Some(2));
    assert!(refused.err.contains("only a level sweep has a calibration"), "{}", refused.err);
}

#[test]
fn a_map_comes_in_every_form() {
    let bench = Bench::with("dip.toml", &met());
    let size = ["map", "dip.toml", "--cells", "24x16", "--extent", "-20..20 mm x 2..30 mm"];
    let files = ["-o", "dip.svg", "-o", "dip.png", "-o", "dip.csv"];
    bench.run(&[&size[..], &files[..]].concat()).fine();
    assert!(bench.read("dip.svg").starts_with("<svg"));
    assert!(std::fs::read(bench.path("dip.png")).unwrap().starts_with(b"\x89PNG"));
    assert_eq!(bench.read("dip.csv").lines().count(), 1 + 24 * 16);
    let map = bench.run(&[&size[..], &["--json"]].concat()).fine().json();
    assert_eq!(map["across_mm"].as_array().unwrap().len(), 24);
    assert_eq!(map["drive_open_mT"].as_array().unwrap().len(), 24 * 16);
    let ends = |axis: &str| {
        let list = map[axis].as_array().unwrap();
        [list.first(), list.last()].map(|v| v.unwrap().as_f64().unwrap().round())
    };
    assert_eq!((ends("across_mm"), ends("up_mm")), ([-20.0, 20.0], [2.0, 30.0]));
}

#[test]
fn a_map_without_a_name_is_named_after_the_design() {
    let bench = Bench::with("dip.toml", &met());
    bench.run(&["map", "dip.toml", "--cells", "8x8"]).fine();
    assert_eq!(bench.files(), ["dip.map.svg", "dip.toml"]);
}

#[test]
fn the_catalogue_lists_what_comes_with_it_and_our_own() {
    let bench = Bench::with(
        "ours.toml",
        "[[stock]]\nname = \"gatepost\"\nshape = \"sphere\"\ndiameter = \"12 mm\"\ndirection = [0, 0, 1]\nremanence = \"1 T\"\n",
    );
    let names = |words: &[&str]| {
        let shelf = bench.run(words).fine().json();
        let magnets = shelf["magnets"].as_array().unwrap().clone();
        magnets.iter().map(|m| m["name"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    let before = names(&["catalogue", "--json"]);
    let after = names(&["catalogue", "--json", "--catalogue", "ours.toml"]);
    assert_eq!(after, [before, vec!["gatepost".into()]].concat());
}

#[test]
fn the_same_seed_gives_the_same_answer() {
    let bench = Bench::with("dip.toml", &met());
    let with = |seed| {
        bench
            .run(&["check", "dip.toml", "--json", "--no-report", "--units", "20", "--seed", seed])
            .out
    };
    assert_eq!(with("7"), with("7"));
    assert!(with("7").contains("\"seed\": 7"));
}

#[test]
fn a_conversion_there_and_back_is_what_it_was() {
    let bench = Bench::new();
    let coil = ["--coil", "25 mm x 9.25 mm"];
    let uniform = bench.run(&[&["convert", "30 AT", "--json"], &coil[..]].concat()).fine().json();
    assert_eq!(uniform["converted"][0]["at"]["unit"], "mT");
    let field = format!("{} mT", uniform["converted"][0]["at"]["value"]);
    let back =
        bench.run(&["convert", &field, "--to", "AT 25 mm x 9.25 mm", "--json"]).fine().json();
    let turns = back["converted"][0]["at"]["value"].as_f64().unwrap();
    assert!((turns - 30.0).abs() < 1e-3, "{turns} AT");
}

#[test]
fn a_conversion_names_its_contact_and_keeps_the_order_asked_for() {
    let bench = Bench::with("dip.toml", &met());
    let from = ["convert", "20..25 AT", "--coil", "25 mm x 9.25 mm"];
    let to = ["--to", "magnet sliver", "--to", "mT 20 mm x 8 mm", "--to", "AT 20 mm x 8 mm"];
    let text = bench.run(&[&from[..], &to[..]].concat()).fine().out;
    assert!(text.starts_with("contact family sedge (--family or --design"), "{text}");
    let units: Vec<_> = text.lines().filter_map(|line| line.split(") ").nth(1)).collect();
    let starts = |line: &str, unit: &str| assert!(line.starts_with(unit), "{text}");
    starts(units[units.len() - 3], "mm");
    starts(units[units.len() - 2], "mT");
    starts(units[units.len() - 1], "AT");
    let text = bench.run(&[&from[..], &["--design", "dip.toml"], &to[..]].concat()).fine().out;
    assert!(text.starts_with("contact dip of dip.toml: 20..25 AT in coil"), "{text}");
    let other = bench.run(&[&from[..], &["--family", "bulrush"], &to[..2]].concat()).fine().out;
    assert!(other.contains("family bulrush"), "{other}");
}

#[test]
fn a_conversion_that_says_nothing_is_refused() {
    let bench = Bench::new();
    let refuses = |words: &[&str], what: &str| {
        let outcome = bench.run(words);
        assert_eq!(outcome.code, Some(2), "{outcome:?}");
        assert!(outcome.err.contains(what), "{outcome:?}");
    };
    refuses(&["convert", "30 AT"], "add --coil");
    refuses(&["convert", "30 kg"], "neither AT nor mT");
    refuses(&["convert", "2 mT", "--to", "furlongs"], "is no target");
    refuses(&["convert", "2 mT", "--to", "magnet tractor"], "there are");
    refuses(&["convert", "2 mT", "--family", "tractor"], "there are");
    refuses(&["convert", "30 AT", "--coil", "25 mm"], "25 mm x 9.25 mm");
}
