//! Every number of a report names its model and source.

use reedmace_engine::{
    Bench, Options, Spread, SpreadOptions, Study,
    answer::{Answer, FigureAnswer, SpreadAnswer},
};
use reedmace_report::{Sheet, html, number::number};
use std::{collections::BTreeSet, fs, path::PathBuf};

/// Sections whose numbers no model makes: the design's own words, and what is said of models and sources.
const MAKE_NONE: [&str; 5] =
    ["Assumptions", "Model accuracy", "Cautions", "References", "Design <code>"];

fn root() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}

/// The texts of all examples by their names.
fn designs() -> impl Iterator<Item = (String, String)> {
    let files = fs::read_dir(root().join("designs")).expect("the examples");
    let files = files.map(|file| file.expect("readable").path());
    files.filter(|path| path.extension().is_some_and(|end| end == "toml")).map(|path| {
        let text = fs::read_to_string(&path).expect("readable");
        (path.file_stem().expect("a name").to_string_lossy().into_owned(), text)
    })
}

fn study(name: &str, text: &str) -> Study {
    let read = |file: &str| fs::read(root().join("designs").join(file));
    let (design, _) =
        reedmace_design::parse(text, &read).unwrap_or_else(|_| panic!("{name} is good"));
    let options = Options { units: 8, ..Options::default() };
    reedmace_engine::check(&design, name, &options, &|_, _| ()).expect("a study")
}

fn page(study: &Study, spread: Option<&SpreadAnswer>) -> String {
    html(&Sheet {
        answer: &study.answer,
        drawing: &study.drawing,
        design_text: &study.design_text,
        map: None,
        spread,
        date: "2026-01-31",
    })
}

/// Keys of the list of sources.
fn listed() -> BTreeSet<String> {
    let list = fs::read_to_string(root().join("REFERENCES.md")).expect("the list");
    let key = |line: &str| Some(line.strip_prefix("- **[")?.split_once("]**")?.0.to_owned());
    list.lines().filter_map(key).collect()
}

/// What stands between two signs in a text.
fn between<'a>(text: &'a str, left: &'a str, right: &'a str) -> impl Iterator<Item = &'a str> {
    text.split(left).skip(1).filter_map(move |piece| Some(piece.split_once(right)?.0))
}

/// Figures whose model is none of the answer's, or that cite what neither it nor the list of sources knows.
fn unfounded(answer: &Answer, listed: &BTreeSet<String>) -> Vec<String> {
    let founded = |figure: &&FigureAnswer| {
        let model = answer.models.iter().find(|note| note.name == figure.model);
        let known = |key: &str| {
            listed.contains(key) && model.is_some_and(|m| m.references.iter().any(|one| one == key))
        };
        model.is_some() && !figure.source.is_empty() && between(&figure.source, "[", "]").all(known)
    };
    let bad = answer.figures.iter().filter(|figure| !founded(figure));
    bad.map(|figure| format!("{}: {}, {}", figure.name, figure.model, figure.source)).collect()
}

/// What a reader reads of it.
fn plain(html: &str) -> String {
    html.split('<').filter_map(|tag| Some(tag.split_once('>')?.1)).collect()
}

/// True where the limits of a figure of a construction stand in the table of that, and in no other.
fn once_with_its_construction(words: &str, figure: &FigureAnswer) -> bool {
    let (before, behind) = words.split_once("Construction of").unwrap_or((words, ""));
    let told = |value: f64| number(value, &figure.value.unit);
    let (low, high) = (told(figure.value.low), told(figure.value.high));
    let limits = if low == high { "no tolerance".into() } else { format!("{low} to {high}") };
    let (what, _) = figure.name.split_once(" of ").unwrap_or_default();
    behind.contains(what) && behind.contains(&limits) && !before.contains(&figure.about[..40])
}

/// The heads of sections that bear numbers and name no model.
fn nameless(page: &str) -> Vec<String> {
    let named = |section: &&str| {
        let text = plain(section);
        let head = between(section, "<h2>", "</h2>").next().unwrap_or_default();
        let numbers = text.contains(|c: char| c.is_ascii_digit()) || section.contains("<figure>");
        !numbers
            || MAKE_NONE.iter().any(|known| head.starts_with(known))
            || between(section, "class=\"", "\"").any(|class| class.split(' ').any(|c| c == "made"))
    };
    let body = &page[page.find("</style>").expect("a style sheet")..];
    let sections =
        body.split("<section").skip(1).map(|one| one.split("</section>").next().unwrap_or(one));
    let sections = sections.filter(|section| !named(section));
    sections
        .map(|section| between(section, "<h2>", "</h2>").next().unwrap_or("a figure").to_owned())
        .collect()
}

/// Links within the page that lead nowhere.
fn astray(page: &str) -> Vec<&str> {
    let anchors: BTreeSet<&str> = between(page, " id=\"", "\"").collect();
    between(page, "href=\"#", "\"").filter(|to| !anchors.contains(to)).collect()
}

#[test]
fn prop_every_number_names_its_model_and_source() {
    let listed = listed();
    let mut models = BTreeSet::new();
    for (name, text) in designs() {
        let study = study(&name, &text);
        models.extend(study.answer.figures.iter().map(|figure| figure.model.clone()));
        assert_eq!(unfounded(&study.answer, &listed), Vec::<String>::new(), "{name}");
        let page = page(&study, None);
        assert_eq!(nameless(&page), Vec::<String>::new(), "{name}");
        assert_eq!(astray(&page), Vec::<&str>::new(), "{name}");
        let words = plain(&page);
        assert!(!words.contains("not followed to its end"), "{name}");
        for figure in &study.answer.figures {
            let said = words.contains(&figure.source) && words.contains(&figure.model);
            assert!(said, "{name}: {} of {}, {}", figure.name, figure.model, figure.source);
            if figure.group == "construction" {
                assert!(once_with_its_construction(&words, figure), "{name}: {}", figure.name);
            }
        }
    }
    // All that tell figures but the tank, which has none: no model goes unlooked at.
    assert_eq!(models.len(), 16, "{models:?}");
}

/// What the test above looks for is found where it is; a study of many units names its models too.
#[test]
fn prop_what_names_no_model_is_found() {
    let text = fs::read_to_string(root().join("designs/hopper-lid.toml")).expect("an example");
    let mut study = study("hopper-lid", &text);
    let (design, _) = reedmace_design::parse(&text, &|_| unreachable!()).expect("a good design");
    let options = SpreadOptions { units: 4096, ..SpreadOptions::default() };
    let spread = Spread::new(&Bench::default(), &design, options, &|_, _| ()).expect("a study");
    let mut tally = spread.tally().expect("room for it");
    spread.run(&mut tally, &|_| true).expect("units");
    let spread = spread.answer(&tally, "hopper-lid.toml").expect("its own tally");
    let page = page(&study, Some(&spread));
    assert_eq!((nameless(&page), astray(&page)), (vec![], vec![]));
    let heads = ["Answers and verdicts", "Magnets at temperature", "Tolerances and", "Spread over"];
    let found = nameless(&page.replace("note made", "note"));
    for head in heads {
        assert!(found.iter().any(|one| one.starts_with(head)), "{head}: {found:?}");
    }
    assert!(!astray(&page.replace(" id=\"ref-", " id=\"")).is_empty());
    assert!(!astray(&page.replace(" id=\"model-", " id=\"")).is_empty());
    let listed = listed();
    let bad = [
        ("Slosh", "[iec62246]"),
        ("Events", "[nowhere]"),
        ("Events", "[jackson1999]"),
        ("Events", ""),
    ];
    for (model, source) in bad {
        let figure = &mut study.answer.figures[0];
        (figure.model, figure.source) = (model.into(), source.into());
        assert_eq!(unfounded(&study.answer, &listed).len(), 1, "{model} {source}");
    }
}
