//! `check`: verdicts as exit codes, the report, standard input, colour.

use crate::bench::{APPROACH, Bench, demanding, met, missed};

#[test]
fn all_demands_met_is_0_and_one_missed_is_1() {
    let bench = Bench::with("dip.toml", &met());
    let outcome = bench.run(&["check", "dip.toml", "--units", "20"]);
    assert_eq!(outcome.code, Some(0), "{outcome:?}");
    assert!(outcome.out.starts_with("[ MET ]  Sheep dip float at Tarn Hollow"), "{outcome:?}");
    bench.save("dip.toml", &missed());
    let outcome = bench.run(&["check", "dip.toml", "--units", "20"]);
    assert_eq!(outcome.code, Some(1), "{outcome:?}");
    assert!(outcome.out.starts_with("[ MISSED ]"), "{outcome:?}");
}

#[test]
fn a_contact_closed_to_the_end_of_the_sweep_is_closed_there() {
    // From 30 mm it operates, and never releases on the way back.
    let near = met().replace("\"50 mm\"]", "\"30 mm\"]");
    let bench = Bench::with("dip.toml", &near);
    let outcome = bench.run(&["check", "dip.toml", "--units", "20"]).fine();
    assert!(outcome.out.starts_with("[ MET ]"), "{outcome:?}");
}

#[test]
fn a_demand_only_some_units_meet_is_1() {
    // `sedge` has a spread of operate values, so the demand can be put inside its band.
    let bench = Bench::with("dip.toml", APPROACH);
    let answer =
        bench.run(&["check", "dip.toml", "--json", "--no-report", "--units", "20"]).fine().json();
    let operate = &answer["contacts"][0]["events"][0]["at"];
    let between =
        |a: &str, b: &str| 0.5 * (operate[a].as_f64().unwrap() + operate[b].as_f64().unwrap());
    let risky = between("low", "value");
    bench.save("dip.toml", &demanding(&format!("closed = \"<= {risky:.3} mm\"")));
    let outcome = bench.run(&["check", "dip.toml", "--no-report", "--units", "20"]);
    assert_eq!(outcome.code, Some(1), "{outcome:?}");
    assert!(outcome.out.starts_with("[ AT RISK ]"), "{outcome:?}");
}

#[test]
fn no_demand_is_0_and_says_so() {
    let outcome =
        Bench::with("dip.toml", APPROACH).run(&["check", "dip.toml", "--units", "20"]).fine();
    assert!(outcome.out.starts_with("[ NO DEMANDS ]"), "{outcome:?}");
}

#[test]
fn every_template_says_what_it_is_and_checks_as_it_says() {
    let listed = Bench::new().run(&["new", "--json"]).fine().json();
    let templates = listed["templates"].as_array().expect("a list");
    assert!(templates.len() >= 9, "{listed}");
    for template in templates {
        let [name, about] = ["name", "about"].map(|key| template[key].as_str().expect("text"));
        assert!(about.len() > 20 && !about.contains('='), "{name}: {about}");
        let template = name;
        let bench = Bench::new();
        bench.run(&["new", template]).fine();
        let file = format!("{template}.toml");
        let outcome = bench.run(&["check", &file, "--units", "20"]);
        // Side lobes are what `slide-past` is there to show, and says so.
        let wanted = if name == "slide-past" { 1 } else { 0 };
        assert_eq!(outcome.code, Some(wanted), "{name}: {outcome:?}");
        assert!(outcome.out.contains("operate"), "{template}: {outcome:?}");
        let report = format!("{template}.report.html");
        assert_eq!(bench.files(), [report.clone(), file]);
        assert!(bench.read(&report).contains("</html>"));
    }
}

#[test]
fn standard_input_is_a_design_like_any_other() {
    let bench = Bench::new();
    let outcome = bench.run_on(&met(), &["check", "-", "--units", "20"]).fine();
    assert!(outcome.out.contains("Report: design.report.html"), "{outcome:?}");
    assert_eq!(bench.files(), ["design.report.html"]);
}

#[test]
fn the_report_goes_where_it_is_told() {
    let bench = Bench::with("dip.toml", &met());
    bench.run(&["check", "dip.toml", "--no-report", "--units", "20"]).fine();
    assert_eq!(bench.files(), ["dip.toml"]);
    bench.run(&["check", "dip.toml", "--report", "for-the-vet.html", "--units", "20"]).fine();
    assert_eq!(bench.files(), ["dip.toml", "for-the-vet.html"]);
    let page = bench.run(&["report", "dip.toml", "-o", "-"]).fine().out;
    assert!(page.contains("Sheep dip float at Tarn Hollow"));
}

#[test]
fn figures_are_written_with_their_data() {
    let bench = Bench::with("dip.toml", &met());
    bench.run(&["report", "dip.toml", "--figures", "figures"]).fine();
    let read = |name: &str| std::fs::read(bench.path("figures").join(name)).unwrap();
    for figure in ["arrangement", "map", "sweep-dip"] {
        assert!(read(&format!("{figure}.svg")).starts_with(b"<svg"));
        assert!(read(&format!("{figure}.png")).starts_with(b"\x89PNG"));
    }
    assert!(read("events.csv").starts_with(b"contact,event,"));
    assert!(String::from_utf8(read("sweep-dip.csv")).unwrap().lines().count() > 10);
}

#[test]
fn colour_comes_only_when_allowed() {
    let bench = Bench::with("dip.toml", &met());
    let words = ["check", "dip.toml", "--no-report", "--units", "20", "--color"];
    let with = |when| bench.run(&[&words[..], &[when]].concat()).fine().out;
    assert!(!with("auto").contains('\u{1b}'), "a pipe gets no colour");
    assert!(!with("never").contains('\u{1b}'));
    assert!(with("always").contains('\u{1b}'));
    let output = bench.command(&words[..5]).env("NO_COLOR", "1").output().unwrap();
    assert!(!output.stdout.contains(&0x1b));
}

#[test]
fn nothing_printed_is_wider_than_eighty_columns() {
    for template in
        ["approach", "slide-past", "hinge", "wheel", "load", "level", "relay", "latch", "target"]
    {
        let bench = Bench::new();
        let design = bench.run(&["new", template, "-o", "-"]).fine().out;
        for line in
            bench.run_on(&design, &["check", "-", "--no-report", "--units", "20"]).out.lines()
        {
            assert!(line.chars().count() <= 80, "{template}: {line}");
        }
    }
}
