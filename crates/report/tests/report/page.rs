//! The report as one page.

use crate::fixture::{self, Case, DATE};
use reedmace_engine::answer::Band;
use reedmace_report::{Sheet, html, number::with_unit};
use std::{fs, path::Path};

fn page(case: &Case) -> String {
    html(&Sheet {
        answer: &case.answer,
        drawing: &case.drawing,
        design_text: &case.text,
        map: Some(&case.map),
        spread: None,
        date: DATE,
    })
}

/// What a reader reads: tags gone, entities resolved.
fn readable(html: &str) -> String {
    let mut text = String::new();
    let mut in_tag = false;
    for c in html.chars() {
        match c {
            '<' => in_tag = true,
            '>' => {
                in_tag = false;
                text.push(' ');
            }
            c if !in_tag => text.push(c),
            _ => {}
        }
    }
    text.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}

#[test]
fn prop_the_page_tells_what_the_steel_does() {
    let html = page(&fixture::cabinet());
    let body = readable(&html[html.find("</style>").expect("a style sheet")..]);
    for words in [
        "What the steel does",
        "it moves them by 1.47\u{a0}mm at most: the operate of lid on the forward pass is at",
        "10.87",
        "12.34",
        "−1.47",
        "−0.37",
        "2 events are there only with it, or only without.",
        "only with the steel",
        "only without the steel",
        "Low-carbon sheet steel",
        "0.312\u{a0}T",
        "14.8\u{a0}%",
        "2.100\u{a0}T",
        "1284 panels",
        "0.3\u{a0}%",
    ] {
        assert!(body.contains(words), "`{words}` is not on the page");
    }
    assert!(!readable(&page(&fixture::approach())).contains("What the steel does"));
}

#[test]
fn prop_every_number_of_the_answer_is_printed() {
    for case in [fixture::approach(), fixture::slide_past(), fixture::hinge()] {
        let html = page(&case);
        let body = readable(&html[html.find("</style>").expect("a style sheet")..]);
        let shows = |what: &str, text: String| {
            assert!(body.contains(&text), "{what}: `{text}` is not on the page");
        };
        let two = |v: f64| format!("{v:.2}").replace('-', "−");
        let four_digits = |v: f64| format!("{v:.3}").replace('-', "−");
        let band = |what: &str, band: &Band, print: &dyn Fn(f64) -> String| {
            for value in [band.value, Some(band.low), Some(band.high)].into_iter().flatten() {
                shows(what, print(value));
            }
        };
        for state in case.answer.magnets.iter().flat_map(|m| &m.states) {
            let one = |v: f64| format!("{v:.1}").replace('-', "−");
            for field in [state.intrinsic_coercivity, state.knee, state.mean.h, state.worst.h] {
                shows("magnet", one(field));
            }
            for percent in [state.worst.knee_margin, state.mean.knee_margin, state.loss] {
                shows("magnet", format!("{}\u{a0}%", one(percent)));
            }
            shows("magnet", four_digits(state.remanence));
        }
        for contact in &case.answer.contacts {
            band("operate", &contact.operate, &four_digits);
            band("release", &contact.release, &four_digits);
            for row in &contact.conversions {
                let one = |v: f64| format!("{v:.1}");
                shows("arrangement", row.arrangement.clone());
                band("conversion", &row.operate, &one);
                band("conversion", &row.release, &one);
            }
            for event in &contact.events {
                band("event", &event.at, &two);
                for driver in &event.drivers {
                    shows("driver", driver.path.clone());
                    shows("driver", two(driver.at_low));
                    shows("driver", two(driver.at_high));
                }
            }
            for stretch in &contact.closed {
                shows("closed", two(stretch.from));
                shows("closed", two(stretch.to));
            }
            let top = contact.strongest.as_ref().expect("in the fixture");
            shows("blade peak", format!("{}\u{a0}T", four_digits(top.peak)));
            shows("force", format!("{}\u{a0}mN", two(top.force)));
        }
        for figure in &case.answer.figures {
            shows("figure", figure.name.clone());
            shows("its value", with_unit(figure.value.value.expect("in the fixture"), "%"));
        }
        for demand in &case.answer.demands {
            shows("demand", demand.text.clone());
            shows("verdict", demand.verdict.word().into());
            shows("margin", two(demand.margin_nominal.expect("in the fixture")));
            shows("margin", two(demand.margin_worst.expect("in the fixture")));
            shows("reason", demand.reason.clone());
            let share = demand.share.as_ref().expect("in the fixture");
            shows("share", format!("{} of {}", share.met, share.of));
        }
        for quantity in &case.answer.quantities {
            // The components of a vector stand in one row under its name.
            let (stem, _) = quantity.path.rsplit_once('[').unwrap_or((&quantity.path, ""));
            let name = if quantity.path.ends_with(']') { stem } else { &quantity.path };
            shows("quantity", name.into());
            shows("quantity", quantity.text.clone());
            shows("note", quantity.note.clone().unwrap_or_default());
        }
        for warning in &case.answer.warnings {
            shows("warning", warning.message.clone());
            shows("warning", warning.help.clone());
        }
        let made = &case.answer.provenance;
        shows("hash", made.design_sha256.clone());
        shows("seed", made.seed.to_string());
        shows("scenes", made.scenes.to_string());
        shows("version", made.version.clone());
        for line in case.text.lines() {
            shows("design text", line.to_string());
        }
        shows("citation", "Cylindrical magnets and ideal solenoids".into());
        shows("unknown key", "not in REFERENCES.md".into());
        shows("caution", "A single contact is no safety function by itself".into());
    }
}

#[test]
fn prop_the_page_fetches_nothing_and_runs_nothing() {
    let html = page(&fixture::slide_past());
    for word in ["<script", "src=\"http", "href=\"http", "url(http", "@import", "//cdn", "<iframe"]
    {
        assert!(!html.contains(word), "the page has `{word}`");
    }
    // The one address in it is the name of the SVG language.
    let addresses = html.matches("http").count();
    assert_eq!(addresses, html.matches("xmlns=\"http://www.w3.org/2000/svg\"").count());
}

#[test]
fn prop_the_page_nests_well_and_its_ids_are_unique_and_its_links_arrive() {
    for case in [fixture::approach(), fixture::slide_past(), fixture::hinge()] {
        let html = page(&case);
        let body =
            &html[html.find("<body>").expect("a body")..html.rfind("</html>").expect("an end")];
        let xml = body.replace("<br>", "<br/>");
        let tree = roxmltree::Document::parse(&xml).unwrap_or_else(|e| panic!("{e}"));
        let mut ids: Vec<&str> = tree.descendants().filter_map(|n| n.attribute("id")).collect();
        ids.sort_unstable();
        let count = ids.len();
        ids.dedup();
        assert_eq!(ids.len(), count, "an id is given twice");
        for link in tree.descendants().filter_map(|n| n.attribute("href")) {
            let target = link.strip_prefix('#').expect("links stay on the page");
            assert!(ids.binary_search(&target).is_ok(), "{link} leads nowhere");
        }
        for node in tree.descendants() {
            for (_, id) in node.attribute("fill").iter().filter_map(|f| f.split_once("url(#")) {
                assert!(ids.binary_search(&id.trim_end_matches(')')).is_ok(), "no pattern {id}");
            }
        }
    }
}

#[test]
fn prop_an_answer_without_events_and_demands_still_makes_a_page() {
    let mut case = fixture::approach();
    case.answer.verdict = None;
    case.answer.demands.clear();
    case.answer.warnings.clear();
    case.answer.contacts[0].events.clear();
    case.answer.contacts[0].closed.clear();
    case.answer.contacts[0].trace.clear();
    case.drawing.path.clear();
    case.drawing.magnets.clear();
    let text = readable(&page(&case));
    assert!(text.contains("no demands"));
    assert!(text.contains("the drive never crosses its levels"));
    assert!(!text.contains("NaN") && !text.contains("inf "));
}

#[test]
fn prop_the_pages_are_written_for_the_eye() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    for (name, case) in [
        ("approach", fixture::approach()),
        ("slide-past", fixture::slide_past()),
        ("hinge", fixture::hinge()),
        ("cabinet", fixture::cabinet()),
    ] {
        let file = folder.join(format!("{name}.report.html"));
        fs::write(&file, page(&case)).expect("the target folder can be written");
        assert!(fs::metadata(&file).expect("just written").len() < 1_000_000);
    }
}
