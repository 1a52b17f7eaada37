//! Real studies of the example designs: what the fixtures' tidy numbers do not show.

use reedmace_engine::{
    Bench, Map, MapRequest, Options, Plane, Spread, SpreadOptions, Study, answer::SpreadAnswer,
};
use reedmace_report::{
    Sheet, figures, html,
    number::{number, percent, share},
};
use roxmltree::{Document, Node};
use std::fs;

const DATE: &str = "2026-01-31";

/// A design of the examples with its study, on few units: their number changes no drawing.
fn study(name: &str) -> (String, Study, Option<Map>) {
    let path = format!("{}/../../designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(&path).expect("an example design");
    let (design, _) = reedmace_design::parse(&text, &|_| unreachable!()).expect("a good design");
    let options = Options { units: 8, ..Options::default() };
    let study = reedmace_engine::check(&design, name, &options, &|_, _| ()).expect("a study");
    let request =
        MapRequest { plane: Plane::Xz, offset: None, extent: None, cells: [40, 30], contact: 0 };
    let map = reedmace_engine::map(&design, &request, &|_, _| ()).ok();
    (text, study, map)
}

/// Frames of the level texts of a figure, as far as their letters count.
fn text_frames<'a>(tree: &'a Document<'a>) -> Vec<(String, [f64; 4])> {
    let number = |node: &Node<'_, '_>, name| node.attribute(name).and_then(|v| v.parse().ok());
    tree.descendants()
        .filter(|n| n.has_tag_name("text") && n.attribute("transform").is_none())
        .filter_map(|n| {
            let (x, y): (f64, f64) = (number(&n, "x")?, number(&n, "y")?);
            let text = n.text()?.trim().to_string();
            let width = text.chars().count() as f64 * 5.6;
            let left = match n.attribute("text-anchor") {
                Some("middle") => x - width / 2.0,
                Some("end") => x - width,
                _ => x,
            };
            Some((text, [left, y - 8.0, left + width, y]))
        })
        .collect()
}

/// Holds every text of a picture to lie between two places across and on no other; how many there are.
fn readable(of: &str, svg: &str, [left, right]: [f64; 2]) -> usize {
    let tree = Document::parse(svg).expect("well-formed");
    let frames = text_frames(&tree);
    for (i, (text, a)) in frames.iter().enumerate() {
        assert!(a[0] >= left && a[2] <= right, "{of}: `{text}` leaves the sheet");
        for (other, b) in &frames[i + 1..] {
            let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
            assert!(apart, "{of}: `{text}` lies on `{other}`");
        }
    }
    frames.len()
}

#[test]
fn prop_no_text_of_a_real_arrangement_lies_on_another_or_leaves_the_sheet() {
    let others = ["hopper-lid", "feed-drawer", "hatch-hinge", "paddle-wheel", "probe-relay"];
    for name in others.into_iter().chain(["store-door", "hay-flap", "bale-latch"]) {
        let (_, study, _) = study(name);
        let svg = figures::arrangement(&study.answer, &study.drawing);
        assert!(readable(name, &svg, [0.0, 800.0]) > 6, "{name}: a drawing names what it shows");
    }
}

/// Three equal contacts on a stem, as the example of a tank has sixteen.
fn short_stem() -> (String, Study) {
    let path = format!("{}/../../designs/nutrient-tank.toml", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(&path).expect("an example design");
    let text = text.replace("repeat = 16 ", "repeat = 3 ").replace("10 ± 0.05 mm", "10 mm");
    let (design, _) = reedmace_design::parse(&text, &|_| unreachable!()).expect("a good design");
    let options = Options { units: 8, ..Options::default() };
    (text, reedmace_engine::check(&design, "tank", &options, &|_, _| ()).expect("a study"))
}

/// A stem is told in one table: every level with its limits, each contact by one line; at length the first of
/// equal contacts alone, and their demand once.
#[test]
fn prop_a_stem_is_told_in_one_table() {
    let (text, study) = short_stem();
    let page = html(&Sheet {
        answer: &study.answer,
        drawing: &study.drawing,
        design_text: &text,
        map: None,
        spread: None,
        date: DATE,
    });
    let from = page.find("The level</h2>").expect("the section");
    let section = &page[from..page[from..].find("</section>").expect("its end") + from];
    let level = study.answer.level.as_ref().expect("a level");
    assert_eq!(level.stages.len(), 3);
    for stage in &level.stages {
        for band in
            [&stage.closes_rising, &stage.opens_rising, &stage.closes_falling, &stage.opens_falling]
        {
            let band = band.as_ref().expect("each switches");
            for value in [band.value.expect("nominal"), band.low, band.high] {
                assert!(section.contains(&number(value, "mm")), "{value} is missing");
            }
        }
        assert!(section.contains(&stage.contact));
    }
    for row in &level.calibration {
        assert!(section.contains(&number(row.level.value.expect("nominal"), "mm")));
    }
    assert!(page.contains("the first of stage 1 to stage 3"));
    assert!(!page.contains("Contact stage 2") && !page.contains("Drive of stage 2"));
    assert_eq!(page.matches("each; told: the one with the least room").count(), 1);
    let svg = figures::tank(&study.answer, &study.drawing).expect("a tank");
    readable("tank", &svg, [0.0, 800.0]);
}

/// The calibration as a table: as many cells in each row as heads, levels that rise, readings of the chain.
#[test]
fn prop_a_calibration_reads_back() {
    let (_, study) = short_stem();
    let csv = reedmace_report::csv::calibration(&study.answer).expect("a level");
    let rows: Vec<Vec<&str>> = csv.lines().map(|line| line.split(',').collect()).collect();
    assert!(rows.iter().all(|row| row.len() == rows[0].len()), "{csv}");
    assert_eq!(&rows[0][..4], ["level (mm)", "level low (mm)", "level high (mm)", "volume (L)"]);
    let number = |cell: &str| cell.parse::<f64>().unwrap_or_else(|_| panic!("{cell}"));
    let levels: Vec<f64> = rows[1..].iter().map(|row| number(row[0])).collect();
    assert!(levels.windows(2).all(|pair| pair[0] <= pair[1]));
    assert!(
        rows[1..]
            .iter()
            .all(|row| number(row[1]) <= number(row[0]) && number(row[0]) <= number(row[2]))
    );
    let chain = ["220", "267", "314", "open line"];
    for row in &rows[1..] {
        assert!(row[7..].iter().all(|cell| chain.contains(cell)), "{row:?}");
    }
    assert!(chain.iter().all(|one| rows[1..].iter().any(|row| row[7] == *one)), "{csv}");
}

#[test]
fn prop_a_real_chart_gives_the_levels_room() {
    for name in ["hopper-lid", "feed-drawer", "hatch-hinge", "paddle-wheel", "probe-relay"] {
        let (_, study, _) = study(name);
        let svg = figures::sweep_chart(&study.answer, 0).expect("a trace");
        let tree = Document::parse(&svg).expect("well-formed");
        let frames = text_frames(&tree);
        let level = |word: &str| {
            let found = frames.iter().find(|(text, _)| text.starts_with(word));
            found.unwrap_or_else(|| panic!("{name}: no {word} level")).1[3]
        };
        assert!(level("release") - level("operate") >= 14.0, "{name}: levels run together");
    }
}

#[test]
fn prop_the_real_map_shows_no_drive_where_there_is_no_room() {
    let (text, study, map) = study("hopper-lid");
    let map = map.expect("a magnet moves");
    let svg = figures::map(&study.answer, &study.drawing, &map, DATE);
    let tree = Document::parse(&svg).expect("well-formed");
    let part = tree.descendants().find(|n| n.attribute("data-part") == Some("keep-out"));
    let drawn = part.expect("the slug can meet the contact").descendants();
    assert!(drawn.filter(|n| n.attribute("d").is_some_and(|d| !d.is_empty())).count() >= 2);
    let page = html(&Sheet {
        answer: &study.answer,
        drawing: &study.drawing,
        design_text: &text,
        map: Some(&map),
        spread: None,
        date: DATE,
    });
    for word in ["NaN", "inf ", "−0.00 ", ">-0", "1 times", "`"] {
        let body =
            &page[page.find("<body>").expect("a body")..page.find("<ol").expect("a listing")];
        assert!(!body.contains(word), "the page has `{word}`");
    }
}

/// What units of a design do.
fn units(text: &str, units: u64) -> SpreadAnswer {
    let (design, _) = reedmace_design::parse(text, &|_| unreachable!()).expect("a good design");
    let options = SpreadOptions { units, ..SpreadOptions::default() };
    let study = Spread::new(&Bench::default(), &design, options, &|_, _| ()).expect("a study");
    let mut tally = study.tally().expect("room for it");
    study.run(&mut tally, &|_| true).expect("units");
    study.answer(&tally, "hopper-lid.toml").expect("its own tally")
}

#[test]
fn prop_a_study_is_told_with_shares_bands_and_drivers() {
    let (text, study, _) = study("hopper-lid");
    let tight = text.replace("<= 8 mm", "<= 24.5 mm").replace(">= 45 mm", ">= 33 mm");
    for (text, some_miss) in [(text, false), (tight, true)] {
        let spread = units(&text, 8192);
        let page = html(&Sheet {
            answer: &study.answer,
            drawing: &study.drawing,
            design_text: &text,
            map: None,
            spread: Some(&spread),
            date: DATE,
        });
        let from = page.find("Spread over 8\u{a0}192 units").expect("the section");
        let section = &page[from..page[from..].find("</section>").expect("its end") + from];
        let has = |what: &str| assert!(section.contains(what), "{what} is missing: {section}");
        for demand in &spread.demands {
            has(&format!("#line-{}", demand.line));
            has(&share(demand.share.met as f64 / 8192.0));
            has(&share(demand.share.low));
            has(&number(demand.room_worst_case.expect("an event"), "mm"));
        }
        for event in &spread.events {
            let band = &event.worst_case;
            for value in [band.low, band.high, event.at.as_ref().expect("units have it").mean] {
                has(&number(value, "mm"));
            }
            has(&event.drivers[0].path);
            has(&percent(event.drivers[0].total));
        }
        has(&spread.evaluation.said);
        has("99.73 % in");
        assert_eq!(section.contains("What to tighten"), some_miss);
        assert_eq!(section.contains("Too few units"), !some_miss);
        assert!(page.contains("id=\"ref-saltelli2010\""), "sources of the study are listed");

        let figures: Vec<&str> =
            section.split("<svg ").filter(|s| s.contains("\"inset\"")).collect();
        let told = spread.figures.iter().filter(|figure| figure.values.is_some()).count();
        assert_eq!(figures.len(), spread.events.len() + spread.demands.len() + told);
        for figure in figures {
            let end = figure.find("</svg>").expect("its end");
            let svg = format!("<svg {}</svg>", &figure[..end]);
            readable("a study's figure", &svg, [-2.0, 394.0]);
        }
    }
}

#[test]
fn prop_a_load_is_told_with_its_waveforms_and_parts() {
    let (text, study, _) = study("pump-relay");
    let page = html(&Sheet {
        answer: &study.answer,
        drawing: &study.drawing,
        design_text: &text,
        map: None,
        spread: None,
        date: DATE,
    });
    for words in [
        "The load: pump",
        "voltage ≤ switching voltage",
        "opening: voltage across the contact, V",
        "Parts of the protection \"rc\"",
        "mends it",
    ] {
        let words = words.replace('"', "&quot;");
        assert!(page.contains(&words), "{words} is missing");
    }
    let figure = page.split("pump at relay</title>").nth(1).expect("the waveforms");
    let figure = figure.split("</svg>").next().expect("ends");
    // Each of three panels has both curves.
    assert_eq!(figure.matches("<polyline").count(), 6, "{figure}");
    assert!(!figure.contains("NaN"));
}
