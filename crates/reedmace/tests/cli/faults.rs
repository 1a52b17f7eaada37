//! What goes wrong: faulty designs, missing files, and what is left standing.

use crate::bench::{Bench, faulty, met};

#[test]
fn a_faulty_design_is_2_and_its_own_text_is_marked() {
    let bench = Bench::with("dip.toml", &faulty());
    let outcome = bench.run(&["check", "dip.toml"]);
    assert_eq!(outcome.code, Some(2));
    assert_eq!(outcome.out, "");
    assert!(outcome.err.contains("--> dip.toml:11:"), "{}", outcome.err);
    assert!(outcome.err.contains("\"10 mT\""), "{}", outcome.err);
    assert!(outcome.err.contains(" ^^ "), "{}", outcome.err);
}

#[test]
fn short_diagnostics_are_a_line_each() {
    let bench = Bench::with("dip.toml", &faulty());
    let err = bench.run(&["check", "dip.toml", "--diagnostics", "short"]).err;
    assert_eq!(err.lines().count(), 1, "{err}");
    assert!(err.starts_with("dip.toml:11:13: error["), "{err}");
}

#[test]
fn json_diagnostics_name_line_and_column() {
    let bench = Bench::new();
    let err = bench.run_on(&faulty(), &["check", "-", "--diagnostics", "json"]).err;
    let list: serde_json::Value = serde_json::from_str(&err).unwrap();
    assert_eq!(list[0]["line"], 11);
    assert_eq!(list[0]["file"], "<stdin>");
    assert_eq!(list[0]["severity"], "error");
}

#[test]
fn with_json_the_faults_come_on_standard_output_too() {
    let bench = Bench::with("dip.toml", &faulty());
    let outcome = bench.run(&["check", "dip.toml", "--json"]);
    assert_eq!(outcome.code, Some(2));
    assert_eq!(outcome.json()["diagnostics"][0]["line"], 11);
    let outcome = bench.run(&["check", "none.toml", "--json"]);
    assert_eq!(outcome.code, Some(3));
    assert!(outcome.json()["error"].as_str().unwrap().contains("none.toml"));
}

#[test]
fn every_command_that_reads_a_design_tells_its_faults() {
    let bench = Bench::with("dip.toml", &faulty());
    for command in ["check", "map", "report"] {
        assert_eq!(bench.run(&[command, "dip.toml"]).code, Some(2), "{command}");
    }
    assert_eq!(bench.files(), ["dip.toml"], "and writes nothing");
}

#[test]
fn a_file_that_cannot_be_read_or_written_is_3() {
    let bench = Bench::with("dip.toml", &met());
    let outcome = bench.run(&["check", "none.toml"]);
    assert_eq!(outcome.code, Some(3));
    assert!(outcome.err.starts_with("error: none.toml: "), "{}", outcome.err);
    let outcome =
        bench.run(&["check", "dip.toml", "--report", "no/such/folder/dip.html", "--units", "20"]);
    assert_eq!(outcome.code, Some(3));
    assert!(outcome.err.contains("no/such/folder/dip.html"), "{}", outcome.err);
}

#[test]
fn the_old_report_stands_when_the_run_fails() {
    let bench = Bench::with("dip.toml", &faulty());
    bench.save("dip.report.html", "the last good one");
    assert_eq!(bench.run(&["check", "dip.toml"]).code, Some(2));
    assert_eq!(bench.read("dip.report.html"), "the last good one");
    assert_eq!(bench.files(), ["dip.report.html", "dip.toml"], "no half-written file is left");
    bench.save("dip.toml", &met());
    bench.run(&["check", "dip.toml", "--units", "20"]).fine();
    assert_ne!(bench.read("dip.report.html"), "the last good one");
}

#[test]
fn what_makes_no_sense_is_2_and_says_what_would() {
    let bench = Bench::with("dip.toml", &met());
    let says = |words: &[&str], what: &str| {
        let outcome = bench.run(words);
        assert_eq!(outcome.code, Some(2), "{outcome:?}");
        assert!(outcome.err.contains(what), "{outcome:?}");
    };
    says(&["new", "tractor"], "approach, slide-past, hinge, wheel");
    says(&["map", "dip.toml", "-o", "dip.bmp"], ".svg, .png or .csv");
    says(&["map", "dip.toml", "--contact", "ram"], "there are dip");
    says(&["map", "dip.toml", "--cells", "1x2"], "200x120");
    says(&["map", "dip.toml", "--extent", "5 mm x 6 mm"], "-20..20 mm");
    says(&["check", "-", "--watch"], "standard input cannot be watched");
}

#[test]
fn a_reader_who_leaves_early_is_no_fault() {
    let bench = Bench::new();
    let mut child = bench.start(&["check", "-", "--no-report", "--units", "20"]);
    drop(child.stdout.take());
    std::io::Write::write_all(&mut child.stdin.take().unwrap(), met().as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    assert_eq!(output.status.code(), Some(0));
}
