//! `reedmace spread`: studies, their files, parts of them.

use crate::bench::{Bench, demanding, met};
use serde_json::Value;
use std::{process::Command, time::Duration};

/// Play sideways, so that units differ, and a demand that some of them miss.
fn playing() -> String {
    demanding("closed = \"<= 29 mm\"").replace(
        "from = [\"0 mm\", \"0 mm\", \"50 mm\"]",
        "from = [\"0 ± 3 mm\", \"0 ± 3 mm\", \"50 mm\"]",
    )
}

/// A study without what differs from run to run.
fn study(bench: &Bench, words: &[&str]) -> Value {
    bench.run(&[&["spread"], words, &["--json"]].concat()).json()
}

#[test]
fn the_answer_is_what_its_schema_says() {
    let bench = Bench::with("dip.toml", &playing());
    let answer = study(&bench, &["dip.toml", "--units", "8192"]);
    let schema = bench.run(&["schema", "spread"]).fine().json();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator.iter_errors(&answer).map(|e| e.to_string()).collect();
    assert_eq!(faults, Vec::<String>::new());
    assert_eq!((&answer["units"], &answer["of"]), (&8192.into(), &8192.into()));
    assert_eq!(answer["demands"][0]["share"]["of"], 8192);
    assert!(bench.path("dip.spread.parquet").exists());
}

#[test]
fn parts_of_a_study_merge_to_the_whole() {
    let bench = Bench::with("dip.toml", &playing());
    let size = ["--units", "1e4"];
    let whole = study(&bench, &[&["dip.toml", "--no-file"], &size[..]].concat());
    for (from, name) in [("0", "a.parquet"), ("4096", "b.parquet")] {
        let count = ["--from", from, "-o", name];
        let count = [&count[..], if from == "0" { &["--count", "4096"] } else { &[] }].concat();
        study(&bench, &[&["dip.toml"], &size[..], &count[..]].concat());
    }
    let merged = study(&bench, &["merge", "b.parquet", "a.parquet", "-o", "ab.parquet"]);
    assert_eq!(merged, whole);
    // The merged file is the whole study: nothing is left to do.
    let again = study(&bench, &[&["dip.toml", "-o", "ab.parquet"], &size[..]].concat());
    assert_eq!(again, whole);
    // One part after the other in one file is the whole as well.
    for count in [&["--from", "4096"][..], &["--count", "4096"]] {
        study(&bench, &[&["dip.toml", "-o", "one.parquet"], &size[..], count].concat());
    }
    let one = study(&bench, &["merge", "one.parquet"]);
    assert_eq!(one, whole);
    let twice = bench.run(&["spread", "merge", "a.parquet", "ab.parquet"]);
    assert_eq!(twice.code, Some(2));
    assert!(twice.err.contains("unit 0 is in both"), "{}", twice.err);
}

#[test]
fn a_file_of_another_study_is_left_as_it_is() {
    let bench = Bench::with("dip.toml", &playing());
    study(&bench, &["dip.toml", "--units", "4096", "-o", "kept.parquet"]);
    let kept = std::fs::read(bench.path("kept.parquet")).unwrap();
    let size = ["spread", "dip.toml", "--units", "4096", "-o"];
    let other = bench.run(&[&size[..], &["kept.parquet", "--seed", "2"]].concat());
    assert_eq!(other.code, Some(2));
    assert!(other.err.contains("holds another study"), "{}", other.err);
    assert_eq!(std::fs::read(bench.path("kept.parquet")).unwrap(), kept);
    bench.save("notes.parquet", "not a table");
    let strange = bench.run(&[&size[..], &["notes.parquet"]].concat());
    assert!(strange.code == Some(2) && strange.err.contains("no Parquet file"), "{}", strange.err);
    assert_eq!(bench.read("notes.parquet"), "not a table");
}

#[test]
fn what_cannot_be_sampled_says_why() {
    let bench = Bench::with(
        "dip.toml",
        &met().replace(
            "family = \"sedge\"",
            "family = \"sedge\"\noperate = \"20 AT\"\nrelease = \"10 AT\"",
        ),
    );
    let exact = bench.run(&["spread", "dip.toml"]);
    assert!(exact.code == Some(2) && exact.err.contains("carries a tolerance"), "{}", exact.err);
    let bench = Bench::with("dip.toml", &playing());
    let askew = bench.run(&["spread", "dip.toml", "--from", "100"]);
    assert!(askew.code == Some(2) && askew.err.contains("blocks of 4096"), "{}", askew.err);
}

#[test]
fn it_reads_in_eighty_columns_and_tells_by_its_exit_code() {
    let bench = Bench::with("dip.toml", &playing());
    let told = bench.run(&["spread", "dip.toml", "--units", "8192"]);
    assert_eq!(told.code, Some(1), "{}", told.err);
    for words in ["SOME UNITS MISS", "miss it", "worst unit", "line ", "What to tighten"] {
        assert!(told.out.contains(words), "{words} is missing:\n{}", told.out);
    }
    assert!(told.out.lines().all(|l| l.chars().count() <= 80), "{}", told.out);
    // Neither are long names of what goes together, nor a mixture's text, too wide.
    let mixture = "remanence = { mixture = [{ value = \"1.20 ± 0.02 T\", share = 0.7 }, { value = \"1.24 ± 0.03 T\", share = 0.3 }] }";
    let together = "\n[[correlation]]\nof = [\"contact[dip].operate\", \"contact[dip].release\"]\nrank = 0.8\n";
    let design = playing().replace("remanence = \"1.2 T\"", mixture) + together;
    let told = Bench::with("dip.toml", &design).run(&["spread", "dip.toml", "--units", "8192"]);
    assert!(told.out.contains("contact[dip].operate + contact[d…"), "{}", told.out);
    assert!(told.out.lines().all(|l| l.chars().count() <= 80), "{}", told.out);
    let bench = Bench::with("dip.toml", &playing().replace("<= 29", "<= 6"));
    let all = bench.run(&["spread", "dip.toml", "--units", "8192"]).fine();
    assert!(all.out.contains("ALL UNITS MEET"), "{}", all.out);
}

#[cfg(unix)]
#[test]
fn an_interrupted_study_goes_on_where_it_stopped() {
    let bench = Bench::with("dip.toml", &playing());
    let words = ["spread", "dip.toml", "--units", "3e5", "-o", "dip.parquet"];
    // Before the first unit there is nothing to keep; later there is.
    let mut moment = Duration::from_millis(50);
    while !bench.path("dip.parquet").exists() {
        let child = bench.start(&words);
        std::thread::sleep(moment);
        let id = child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
        let ended = child.wait_with_output().unwrap();
        // No code: the signal came before the program listened.
        assert!(matches!(ended.status.code(), Some(130) | None), "after {moment:?}: {ended:?}");
        moment = moment.mul_f64(1.4);
    }
    let kept = study(&bench, &["merge", "dip.parquet"])["units"].as_u64().unwrap();
    assert!(kept > 0 && kept < 300_000, "{kept}");
    let told = bench.run(&words);
    assert_eq!(told.code, Some(1), "{}", told.err);
    assert!(told.out.contains("of them from the file"), "{}", told.out);
    let whole = study(&bench, &["dip.toml", "--units", "3e5", "--no-file"]);
    assert_eq!(study(&bench, &["merge", "--whole", "dip.parquet"]), whole);
}

#[test]
fn a_part_is_done_whatever_its_units_do() {
    let bench = Bench::with("dip.toml", &playing());
    let words = ["spread", "dip.toml", "--units", "1e4", "--json"];
    let part = bench.run(&[&words[..], &["--part", "1/2", "-o", "b.parquet"]].concat()).fine();
    assert_eq!(part.json()["units"], 10_000 - 4096);
    let gap = bench.run(&["spread", "merge", "b.parquet", "--whole"]);
    assert!(gap.code == Some(2) && gap.err.contains("missing are 0..4096"), "{}", gap.err);
    let none = bench.run(&[&words[..], &["--part", "2/2"]].concat());
    assert!(none.code == Some(2) && none.err.contains("0/2 to 1/2"), "{}", none.err);
}

/// The worst unit, written as a design, has its events where the study says, to the last digit, and misses
/// what the study says it misses.
#[test]
fn the_worst_unit_is_a_design_that_checks_the_same() {
    let design = playing()
        .replace("remanence = \"1.2 T\"", "grade = \"NdFeB 240/80\"   # as delivered\nrotate = [\"0 deg\", \"0 ± 0.1 rad\", \"0 deg\"]")
        .replace("\"5 mm\", \"5 mm\"]\n", "{ mixture = [{ value = \"5 ± 0.1 mm\", share = 0.6 }, { value = \"4.8..4.9 mm\", share = \"40 %\" }] }, { value = \"5 ± 0.05 mm\", source = \"measured\" }]\n")
        + "\n# one make\n[[correlation]]\nof = [\"contact[dip].operate\", \"contact[dip].release\"]\nrank = 0.8\n";
    let bench = Bench::with("dip.toml", &design);
    let answer =
        study(&bench, &["dip.toml", "--units", "8192", "--worst", "worst.toml", "--exact"]);
    let text = bench.read("worst.toml");
    let worst = &answer["demands"][0]["worst_unit"];
    assert!(
        text.starts_with(&format!(
            "# Unit {} of dip.toml, seed 1: misses dip closed",
            worst["unit"]
        )),
        "{text}"
    );
    assert!(text.contains("# as delivered") && text.contains("source = \"measured\""), "{text}");
    let settled = |word: &str| text.contains(word);
    assert!(
        !settled("±") && !settled("..") && !settled("mixture") && !settled("correlation"),
        "{text}"
    );
    assert!(settled("operate = ") && settled("remanence = ") && settled(" rad\""), "{text}");

    let check = bench.run(&["check", "worst.toml", "--json", "--no-report"]).json();
    let room = check["demands"][0]["margin_nominal"].as_f64().unwrap();
    let wanted = worst["value"].as_f64().unwrap();
    assert!((room - wanted).abs() < 1e-6, "{room} {wanted}");
    assert!(check["quantities"].as_array().unwrap().iter().all(|q| q["toleranced"] == false));
    let exact = bench.run(&["spread", "worst.toml"]);
    assert!(exact.code == Some(2) && exact.err.contains("carries a tolerance"), "{}", exact.err);

    // The same from the study's file, and by the model; nobody misses the other demand.
    study(&bench, &["merge", "dip.spread.parquet", "--worst", "merged.toml"]);
    assert_eq!(bench.read("merged.toml"), text);
    study(&bench, &["dip.toml", "--units", "8192", "--no-file", "--worst", "told.toml"]);
    assert_eq!(bench.read("told.toml"), text);
}

/// Without demands the worst unit is the one whose event is furthest off.
#[test]
fn without_demands_the_furthest_event_is_the_worst() {
    let design = playing();
    let bench = Bench::with("dip.toml", design.split_once("[[demand]]").unwrap().0);
    let answer =
        study(&bench, &["dip.toml", "--units", "8192", "--worst", "worst.toml", "--exact"]);
    let text = bench.read("worst.toml");
    assert!(text.lines().next().unwrap().contains("of dip furthest from the nominal"), "{text}");
    let check = bench.run(&["check", "worst.toml", "--json", "--no-report"]).json();
    let mut furthest = (0.0, 0.0, 0.0);
    for (k, event) in answer["events"].as_array().unwrap().iter().enumerate() {
        for end in ["least", "greatest"] {
            let at = event["at"][end]["value"].as_f64().unwrap();
            let off = (at - event["worst_case"]["value"].as_f64().unwrap()).abs();
            if off > furthest.0 {
                let found = check["contacts"][0]["events"][k]["at"]["value"].as_f64();
                furthest = (off, at, found.unwrap_or(f64::NAN));
            }
        }
    }
    assert!((furthest.1 - furthest.2).abs() < 1e-6, "{furthest:?}");
}

#[test]
fn the_report_tells_a_study() {
    let bench = Bench::with("dip.toml", &playing());
    study(&bench, &["dip.toml", "--units", "8192", "-o", "dip.parquet"]);
    bench.run(&["report", "dip.toml", "--units", "8192", "-o", "a.html"]).fine();
    bench.run(&["report", "dip.toml", "--study", "dip.parquet", "-o", "b.html"]).fine();
    let page = bench.read("a.html");
    assert!(page.contains("Spread over 8\u{a0}192 units"));
    assert_eq!(page, bench.read("b.html"));
    bench.save("dip.toml", &playing().replace("<= 29", "<= 28"));
    let other = bench.run(&["report", "dip.toml", "--study", "dip.parquet"]);
    assert!(other.code == Some(2) && other.err.contains("of another design"), "{}", other.err);
}
