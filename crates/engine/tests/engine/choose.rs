//! The cheapest arrangement: against looking at everything, and what is said when there is none.

use reedmace_design::{Catalogue, Design, Diagnostic, parse_with};
use reedmace_engine::answer::{Answer, LostKind, Verdict};
use reedmace_engine::{ChooseOptions, Choosing, Options, check, choose};
use reedmace_materials::Grades;
use std::fmt::Write;

/// Cubes of these edges, mm, and two contacts, each with its price.
const EDGES: [f64; 6] = [3.0, 4.0, 5.0, 6.0, 8.0, 11.0];
const FAMILIES: [(&str, &str, f64); 2] = [("fine", "14..16 AT", 2.0), ("wide", "14..24 AT", 1.0)];

fn catalogue(price: impl Fn(f64) -> f64) -> Catalogue {
    let mut text = String::new();
    for (name, operate, price) in FAMILIES {
        write!(
            text,
            "[[family]]\nname = \"{name}\"\nlead_diameter = \"0.5 mm\"\noverall_length = \"55 mm\"\n\
             blade_span = \"11.5 mm\"\nblade_width = \"1.15 mm\"\nblade_thickness = \"0.19 mm\"\n\
             overlap = \"0.8 mm\"\ngap = \"0.035 mm\"\noperate = \"{operate}\"\nrelease = \"7..9 AT\"\n\
             coil = {{ length = \"25 mm\", mean_diameter = \"9 mm\" }}\nprice = {price}\n"
        )
        .unwrap();
    }
    for edge in EDGES {
        write!(
            text,
            "[[stock]]\nname = \"cube-{edge}\"\nshape = \"cuboid\"\n\
             size = [\"{edge} ± 0.1 mm\", \"{edge} ± 0.1 mm\", \"{edge} ± 0.1 mm\"]\n\
             direction = [1, 0, 0]\nremanence = \"1.15 T ± 3 %\"\nprice = {}\n",
            price(edge)
        )
        .unwrap();
    }
    Catalogue::builtin().extended_with(&text, &Grades::builtin()).unwrap()
}

/// A cube comes down on a contact whose height is free.
fn design(closed: &str, open: &str, more: &str) -> String {
    format!(
        r#"format = 1
title = "Seed drill hatch"

[[contact]]
name = "hatch"
family = "fine"                        # stays a comment
at = ["0 mm", "0 mm", "0 ± 0.2 mm"]

[[magnet]]
name = "cube"
catalogue = "cube-5"

[sweep]
kind = "line"
moves = "cube"
from = ["0 ± 0.5 mm", "0 mm", "60 mm"]
to = ["0 ± 0.5 mm", "0 mm", "9 mm"]

[[demand]]
contact = "hatch"
closed = "{closed}"

[[demand]]
contact = "hatch"
open = "{open}"

[choose]
cost = "price"
{more}
[choose.free]
"contact[hatch].family" = ["fine", "wide"]
"magnet[cube].catalogue" = ["cube-3", "cube-4", "cube-5", "cube-6", "cube-8", "cube-11"]
"contact[hatch].at[2]" = {{ from = "-6 mm", to = "2 mm" }}
"#
    )
}

fn parse(text: &str, catalogue: &Catalogue) -> Result<Design, Vec<Diagnostic>> {
    let none = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    Ok(parse_with(text, catalogue, &Grades::builtin(), &none)?.0)
}

fn chosen(text: &str, catalogue: &Catalogue, options: &ChooseOptions) -> Choosing {
    let design = parse(text, catalogue).unwrap();
    choose(&design, "hatch.toml", options, &|text| parse(text, catalogue), &|_| true).unwrap()
}

fn checked(text: &str, catalogue: &Catalogue) -> Answer {
    let options = Options { units: 0, ..Options::default() };
    check(&parse(text, catalogue).unwrap(), "hatch.toml", &options, &|_, _| ()).unwrap().answer
}

/// Least room of both demands in the worst unit.
fn room(answer: &Answer) -> f64 {
    let rooms = answer.demands.iter().map(|d| d.margin_worst.unwrap_or(f64::NEG_INFINITY));
    rooms.fold(f64::INFINITY, f64::min)
}

fn by_size(edge: f64) -> f64 {
    (edge * edge).round() / 100.0
}

/// Every pair at every millimetre, each by a check of its own: the search finds all pairs that hold,
/// none that does not, and for each at least the room of the best of these places.
#[test]
fn cross_all_pairs_and_places_by_hand() {
    let catalogue = catalogue(by_size);
    let text = design("<= 11 mm", ">= 28 mm", "");
    let found = chosen(&text, &catalogue, &ChooseOptions::default());
    let answer = &found.answer;
    assert_eq!(answer.combinations, 12);
    let mut held = 0;
    for (family, _, _) in FAMILIES {
        for edge in EDGES {
            let stock = format!("cube-{edge}");
            let best = (0..=8)
                .map(|k| {
                    let height = -6.0 + f64::from(k);
                    let text = text
                        .replacen("family = \"fine\"", &format!("family = \"{family}\""), 1)
                        .replacen("catalogue = \"cube-5\"", &format!("catalogue = \"{stock}\""), 1)
                        .replacen("\"0 ± 0.2 mm\"", &format!("\"{height} ± 0.2 mm\""), 1);
                    room(&checked(&text, &catalogue))
                })
                .fold(f64::NEG_INFINITY, f64::max);
            let is = |text: &str, k: usize, c: &reedmace_engine::answer::Candidate| {
                c.values[k].text == text
            };
            let candidate = answer.candidates.iter().find(|c| is(family, 0, c) && is(&stock, 1, c));
            let margin = candidate.map_or(f64::NEG_INFINITY, |c| c.margin.unwrap());
            // Nothing is lost by the search but what the last digit of a place is worth.
            assert!(best < 0.0 || margin > best - 0.02, "{family} {stock}: {margin} for {best}");
            held += usize::from(candidate.is_some());
        }
    }
    assert_eq!(held, answer.candidates.len());
    assert!((2..11).contains(&held), "{held} hold: too few or too many to tell");
    let costs: Vec<f64> = answer.candidates.iter().map(|c| c.cost).collect();
    assert!(costs.is_sorted(), "{costs:?}");
    for (candidate, text) in answer.candidates.iter().zip(&found.texts) {
        let again = checked(text, &catalogue);
        assert_eq!(again.verdict, Some(Verdict::Met));
        assert!((room(&again) - candidate.margin.unwrap()).abs() < 1e-9);
        assert!(text.contains("# stays a comment") && text.contains("[choose.free]"));
    }
}

/// A pair that holds is made the cheapest: it comes out first.
#[test]
fn cross_a_planted_optimum_is_found() {
    let text = design("<= 11 mm", ">= 28 mm", "");
    let all = chosen(&text, &catalogue(by_size), &ChooseOptions::default());
    let dearest = all.answer.candidates.last().unwrap();
    let edge: f64 = dearest.values[1].text.trim_start_matches("cube-").parse().unwrap();
    let planted = catalogue(|e| if e == edge { 0.01 } else { 5.0 });
    let found = chosen(&text, &planted, &ChooseOptions { best: 1, ..ChooseOptions::default() });
    let best = &found.answer.candidates[0];
    assert_eq!(best.values[1], dearest.values[1]);
    assert!(best.cost < 2.1, "{}", best.cost);
    // The rest is dearer, and was left alone.
    let dearer = found.answer.lost.iter().find(|l| l.kind == LostKind::Dearer);
    assert!(dearer.is_none_or(|l| l.count <= 10));
}

/// What bounds leave out changes nothing in what is found.
#[test]
fn prop_pruning_never_changes_the_answer() {
    let catalogue = catalogue(by_size);
    for (closed, open) in [("<= 11 mm", ">= 28 mm"), ("<= 12 mm", ">= 34 mm")] {
        let text = design(closed, open, "");
        for best in [1, 3] {
            let with = |prune| ChooseOptions { best, prune, ..ChooseOptions::default() };
            let pruned = chosen(&text, &catalogue, &with(true));
            let whole = chosen(&text, &catalogue, &with(false));
            let told = |c: &Choosing| serde_json::to_string(&c.answer.candidates).unwrap();
            assert_eq!(told(&pruned), told(&whole));
            assert_eq!(pruned.texts, whole.texts);
            assert!(pruned.answer.tried < whole.answer.tried, "nothing was left out");
        }
    }
}

/// The same on one thread and on several.
#[test]
fn prop_the_answer_does_not_depend_on_threads() {
    let catalogue = catalogue(by_size);
    let text = design("<= 11 mm", ">= 28 mm", "yield = \"99 %\"");
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let found = pool.install(|| chosen(&text, &catalogue, &ChooseOptions::default()));
        serde_json::to_string(&found.answer).unwrap()
    };
    assert_eq!(on(1), on(3));
}

/// Where nothing holds, the demand in the way is named, and by how much the nearest design misses it is what
/// its own check says.
#[test]
fn cross_the_obstacle_is_that_of_the_nearest_design() {
    let catalogue = catalogue(by_size);
    // No contact lets go within two millimetres of where it closes.
    let text = design("<= 11 mm", ">= 13 mm", "");
    let found = chosen(&text, &catalogue, &ChooseOptions::default());
    assert!(found.answer.candidates.is_empty() && found.texts.is_empty());
    let obstacle = found.answer.obstacle.unwrap();
    let nearest = obstacle.nearest.unwrap();
    let again = checked(&found.nearest.unwrap(), &catalogue);
    let k = obstacle.demand.unwrap();
    assert_eq!(nearest.demands[k].margin_worst, again.demands[k].margin_worst);
    let short = -again.demands[k].margin_worst.unwrap();
    assert!(short > 0.0 && -room(&again) <= short, "{again:?}");
    assert!(obstacle.said.contains(&again.demands[k].text), "{}", obstacle.said);
    // Nothing that was looked at comes nearer.
    assert!(found.answer.others.iter().chain(&found.answer.front).all(|p| p.margin < 0.0));
}

/// A field that reaches nothing: the nearest is shown all the same.
#[test]
fn prop_out_of_reach_still_shows_the_nearest() {
    let catalogue = catalogue(by_size);
    let text = design("<= 50 mm", ">= 55 mm", "").replace("\"9 mm\"]", "\"48 mm\"]");
    let found = chosen(&text, &catalogue, &ChooseOptions::default());
    let reasons = &found.answer.lost;
    assert!(reasons.iter().any(|l| l.kind == LostKind::OutOfReach && l.count > 6), "{reasons:?}");
    let nearest = found.answer.obstacle.unwrap().nearest.unwrap();
    assert_eq!(nearest.values[1].text, "cube-11");
}

/// A yield admits what the worst case refuses, and its share is counted.
#[test]
fn prop_a_yield_asks_less_than_the_worst_case() {
    let catalogue = catalogue(by_size);
    let (closed, open) = ("<= 11 mm", ">= 26 mm");
    let worst = chosen(&design(closed, open, ""), &catalogue, &ChooseOptions::default());
    let text = design(closed, open, "yield = \"95 %\"");
    let share = chosen(&text, &catalogue, &ChooseOptions::default());
    assert!(
        share.answer.found > worst.answer.found,
        "{} {}",
        share.answer.found,
        worst.answer.found
    );
    for candidate in &share.answer.candidates {
        let share = candidate.share.as_ref().unwrap();
        assert!(share.met as f64 >= 0.95 * share.of as f64, "{share:?}");
        assert!(candidate.margin.is_none_or(|m| m >= 0.0), "{candidate:?}");
    }
}

/// Stepped sizes, and the volume of the magnet as what is to be least.
#[test]
fn prop_steps_keep_their_tolerance_and_the_least_volume_wins() {
    let text = design("<= 11 mm", ">= 30 mm", "")
        .replace("cost = \"price\"", "cost = \"volume\"")
        .replace("catalogue = \"cube-5\"", "shape = \"cuboid\"\nsize = [\"6 ± 0.1 mm\", \"5 mm\", \"5 mm\"]\ndirection = [1, 0, 0]\ngrade = \"NdFeB 240/80\"")
        .replace("\"magnet[cube].catalogue\" = [\"cube-3\", \"cube-4\", \"cube-5\", \"cube-6\", \"cube-8\", \"cube-11\"]", "\"magnet[cube].size[0]\" = { from = \"4 mm\", to = \"10 mm\", step = \"2 mm\" }");
    let found = chosen(&text, &catalogue(by_size), &ChooseOptions::default());
    let answer = &found.answer;
    assert_eq!((answer.combinations, answer.cost_unit.as_str()), (8, "mm³"));
    for candidate in &answer.candidates {
        let size = &candidate.values[1].text;
        let edge: f64 = size.trim_end_matches(" ± 0.1 mm").parse().unwrap();
        assert_eq!(candidate.cost, edge * 25.0);
    }
    assert!(answer.candidates.len() > 1, "{:?}", answer.lost);
    assert!(answer.candidates.iter().map(|c| c.cost).is_sorted());
}

/// What cannot be chosen is refused in words.
#[test]
fn prop_a_design_without_choice_or_demand_is_refused() {
    let catalogue = catalogue(by_size);
    let refused = |text: &str| {
        let design = parse(text, &catalogue).unwrap();
        let remake = |text: &str| parse(text, &catalogue);
        choose(&design, "x", &ChooseOptions::default(), &remake, &|_| true).unwrap_err().to_string()
    };
    let text = design("<= 11 mm", ">= 28 mm", "");
    let (head, _) = text.split_once("[choose]").unwrap();
    assert!(refused(head).contains("nothing to choose"));
    let (head, rest) = text.split_once("[[demand]]").unwrap();
    let (_, choice) = rest.split_once("[choose]").unwrap();
    assert!(refused(&format!("{head}[choose]{choice}")).contains("demands nothing"));
}

/// Stopped at once, it says so, and tells what it has.
#[test]
fn prop_a_stop_is_told() {
    let catalogue = catalogue(by_size);
    let design = parse(&design("<= 11 mm", ">= 28 mm", ""), &catalogue).unwrap();
    let remake = |text: &str| parse(text, &catalogue);
    let found = choose(&design, "x", &ChooseOptions::default(), &remake, &|_| false).unwrap();
    assert!(found.answer.interrupted && found.answer.tried == 0);
    assert!(found.answer.obstacle.unwrap().said.contains("stopped"));
}

/// Stopped midway, it tells what was tried to its end, and nothing else; what stands of it is counted up.
#[test]
fn prop_a_stop_midway_tells_what_was_tried() {
    let catalogue = catalogue(by_size);
    let design = parse(&design("<= 11 mm", ">= 28 mm", ""), &catalogue).unwrap();
    let remake = |text: &str| parse(text, &catalogue);
    let whole = choose(&design, "x", &ChooseOptions::default(), &remake, &|_| true).unwrap().answer;
    let asked = std::sync::atomic::AtomicU64::new(0);
    let go_on = |at: reedmace_engine::ChooseProgress| {
        asked.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
        at.found < 1
    };
    let part = choose(&design, "x", &ChooseOptions::default(), &remake, &go_on).unwrap().answer;
    assert!(part.interrupted && part.tried > 0 && part.tried < whole.tried, "{}", part.tried);
    assert!(asked.into_inner() > part.tried, "asked before each scene");
    assert!(!part.candidates.is_empty());
    for one in &part.candidates {
        let same = whole.candidates.iter().find(|w| w.values == one.values).expect("tried as well");
        assert_eq!((one.cost, one.margin), (same.cost, same.margin));
    }
}

/// A point of the plot says which of the best it is, or why it is none of them.
#[test]
fn prop_every_point_is_a_candidate_or_says_why_not() {
    let catalogue = catalogue(by_size);
    let options = ChooseOptions { best: 2, prune: false, ..ChooseOptions::default() };
    let answer = chosen(&design("<= 11 mm", ">= 28 mm", ""), &catalogue, &options).answer;
    assert_eq!(answer.own_cost, Some(2.25));
    let points: Vec<_> = answer.front.iter().chain(&answer.others).collect();
    let of = |k| points.iter().filter(|p| p.candidate == Some(k)).count();
    assert_eq!((answer.candidates.len(), of(0), of(1)), (2, 1, 1));
    for point in points {
        match point.candidate {
            Some(k) => assert!(point.values == answer.candidates[k].values && point.why.is_none()),
            None => {
                let why = point.why.as_deref().expect("a reason");
                assert_eq!(point.met, why.starts_with("it meets all"), "{why}");
            }
        }
    }
}
