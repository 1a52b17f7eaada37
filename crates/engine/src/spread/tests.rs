//! Units by the model and on their true drive, against sweeps sampled whole.

use super::unit::whole;
use super::{BLOCK, Evaluator, Model, Spread, SpreadOptions, Tally};
use crate::bench::Bench;
use crate::error::EngineError;
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::track::Course;
use reedmace_contact::Scratch;
use reedmace_sampling::Sobol;
use std::sync::Arc;

fn workshop(name: &str, change: impl Fn(String) -> String) -> (Workshop, Scene) {
    let path = format!("{}/../../designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = change(std::fs::read_to_string(path).unwrap());
    let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let (design, _) = reedmace_design::parse(&text, &nothing).unwrap();
    let (workshop, scene) = Workshop::new(&design, Arc::default(), false).unwrap();
    workshop.blending(&scene).unwrap()
}

/// Courses of units 0..count: by the model, on the true drive, and sampled whole; how many of the second
/// had to be sampled whole.
fn courses((workshop, nominal): &(Workshop, Scene), count: u64) -> ([Vec<Vec<Course>>; 3], usize) {
    let model = Model::new(workshop, nominal).unwrap();
    let mut evaluator = Evaluator::new(workshop, &model);
    let mut scratch = Scratch::default();
    let (mut all, mut anew) = ([const { Vec::new() }; 3], 0);
    let points = Sobol::new(1, workshop.variables.len()).unwrap();
    for i in 0..count {
        let mut values = points.point(i);
        workshop.draw(&mut values);
        all[0].push(evaluator.told(&values).0.courses.to_vec());
        let exact = evaluator.exact(&values).unwrap();
        anew += usize::from(exact.whole);
        all[1].push(exact.courses.to_vec());
        let scene = workshop.scene_at(&values).unwrap();
        let reeds = 0..scene.reeds.len();
        all[2].push(reeds.map(|k| whole(&scene, k, &mut scratch)).collect());
    }
    (all, anew)
}

/// Units that the model takes together are those that it takes one by one, also where fewer are left than it takes.
#[test]
fn prop_units_foreseen_are_those_told_alone() {
    let (workshop, nominal) = workshop("nutrient-tank", |text| text);
    let model = Model::new(&workshop, &nominal).unwrap();
    let points = Sobol::new(1, workshop.variables.len()).unwrap();
    let units = (0..5).map(|i| {
        let mut values = points.point(i);
        workshop.draw(&mut values);
        values
    });
    let units: Vec<Vec<f64>> = units.collect();
    let together: Vec<&[f64]> = units.iter().map(Vec::as_slice).collect();
    let (mut one, mut all) = (Evaluator::new(&workshop, &model), Evaluator::new(&workshop, &model));
    all.foresee(&together);
    for (k, values) in units.iter().enumerate() {
        let (alone, call) = one.told(values);
        let (foreseen, as_near) = all.told_foreseen(k, values);
        let events =
            |courses: &[Course]| courses.iter().map(|c| c.events.clone()).collect::<Vec<_>>();
        assert_eq!(events(foreseen.courses), events(alone.courses), "unit {k}");
        assert_eq!((foreseen.range, as_near), (alone.range, call), "unit {k}");
        assert!(events(alone.courses).iter().all(|events| !events.is_empty()));
    }
}

/// Furthest that an event is from where it should be, over the path, and units that have other events.
fn apart(found: &[Vec<Course>], wanted: &[Vec<Course>], nominal: &Scene) -> (f64, usize) {
    let [from, to] = nominal.motion.range();
    let (mut furthest, mut others) = (0.0_f64, 0);
    for (found, wanted) in found.iter().flatten().zip(wanted.iter().flatten()) {
        let kinds = |c: &Course| -> Vec<_> {
            c.events.iter().map(|e| (e.kind, e.direction, e.lobe)).collect()
        };
        if kinds(found) != kinds(wanted) {
            others += 1;
            continue;
        }
        for (a, b) in found.events.iter().zip(&wanted.events) {
            furthest = furthest.max((a.at - b.at).abs() / (to - from).abs());
        }
    }
    (furthest, others)
}

/// On the true drive events lie where sampling puts them, to the rounding of both searches; by the model
/// within a twenty-thousandth of the path.
#[test]
fn cross_units_are_those_sampled_whole() {
    for (name, count) in [
        ("hopper-lid", 200),
        ("hatch-hinge", 200),
        ("feed-drawer", 30),
        ("paddle-wheel", 50),
        ("probe-relay", 30),
    ] {
        let made = workshop(name, |text| text);
        let ([told, exact, whole], anew) = courses(&made, count);
        assert!(whole.iter().flatten().all(|c| !c.events.is_empty()), "{name}");
        let (furthest, others) = apart(&exact, &whole, &made.1);
        assert!(
            furthest < 2.1e-9 && others == 0 && anew == 0,
            "{name}: {furthest:e} {others} {anew}"
        );
        let (furthest, others) = apart(&told, &whole, &made.1);
        assert!(furthest < 5e-5 && others == 0, "{name}: {furthest:e} {others}");
    }
}

/// Tolerances so wide that units differ by more than half in their drive: where nodes were left out for the nominal
/// unit's sake, none has an event that is missed.
#[test]
fn cross_wide_tolerances_lose_no_event() {
    let wide = |text: String| {
        let of = [
            ("± 0.5 mm", "± 8 mm"),
            ("\"10 mm\", \"5 ± 0.1 mm\", \"5 mm\"", "\"10 ± 4 mm\", \"5 ± 2 mm\", \"5 ± 2 mm\""),
            ("\"80 mm\"]", "\"200 mm\"]"),
        ];
        of.into_iter().fold(text, |text, (piece, with)| {
            assert!(text.contains(piece));
            text.replace(piece, with)
        })
    };
    let made = workshop("hopper-lid", wide);
    let ([_, exact, whole], _) = courses(&made, 400);
    let (furthest, others) = apart(&exact, &whole, &made.1);
    assert!(furthest < 2.1e-9 && others == 0, "{furthest:e} {others}");
    let at = |c: &Course| c.events.first().map_or(0.0, |e| e.at);
    let ends =
        whole.iter().flatten().map(at).fold([f64::MAX, 0.0_f64], |[a, b], x| [a.min(x), b.max(x)]);
    assert!(ends[1] > 1.5 * ends[0], "{ends:?}");
}

/// A sweep on which nothing happens and of which nothing is told can be studied all the same.
#[test]
fn prop_a_design_without_events_and_figures_is_studied() {
    let still = "format = 1\ntitle = \"far off\"\n\
        [[contact]]\nname = \"lid\"\nfamily = \"sedge\"\nat = [\"0 mm\", \"0 ± 1 mm\", \"0 mm\"]\n\
        [[magnet]]\nname = \"slug\"\nshape = \"cuboid\"\nsize = [\"5 mm\", \"5 mm\", \"5 mm\"]\n\
        remanence = \"0.2 T\"\ndirection = [1, 0, 0]\nat = [\"0 mm\", \"0 mm\", \"300 mm\"]\n\
        [sweep]\nkind = \"table\"\nmoves = \"slug\"\n\
        poses = [[\"0 mm\", \"0 mm\", \"300 mm\"], [\"0 mm\", \"0 mm\", \"310 mm\"]]\n";
    let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let (design, _) = reedmace_design::parse(still, &nothing).unwrap();
    let options = SpreadOptions { units: 100, ..SpreadOptions::default() };
    let study = Spread::new(&Bench::default(), &design, options, &|_, _| ()).unwrap();
    let tally = run(&study);
    study.find(&tally, &|| ()).unwrap();
    assert_eq!((tally.units(), tally.others), (100, 0));
    assert!(study.figures.events.is_empty() && study.figures.design.is_empty());
}

/// Contacts in one coil: by the model, which takes from the nominal unit what neighbours do, against their walk
/// on true drives.
#[test]
fn cross_contacts_in_one_coil_are_told_together() {
    let made = workshop("probe-multiplexer", |text| text);
    let ([told, exact, _], _) = courses(&made, 100);
    assert!(exact.iter().flatten().all(|c| c.events.len() == 2));
    let (furthest, others) = apart(&told, &exact, &made.1);
    assert!(furthest < 2e-4 && others == 0, "{furthest:e} {others}");
}

/// A lid that stops where only some units have closed: whichever comes so near that the model cannot say
/// is sampled whole.
#[test]
fn cross_events_that_only_some_units_have() {
    let (_, deep) = workshop("hopper-lid", |text| text);
    let closes = whole(&deep, 0, &mut Scratch::default()).events[0].at * 1e3;
    let shallow = |text: String| {
        let (design, _) = text.split_once("[[demand]]").unwrap();
        let (before, end) = design.split_once("to = [").unwrap();
        assert!(end.contains("\"5 mm\"]"));
        let end = end.replace("\"5 mm\"]", &format!("\"{closes} mm\"]"));
        format!("{before}to = [{end}")
    };
    let made = workshop("hopper-lid", shallow);
    let ([_, exact, swept], anew) = courses(&made, 400);
    let closing = swept.iter().flatten().filter(|c| !c.events.is_empty()).count();
    assert!((40..360).contains(&closing), "{closing}");
    let (furthest, others) = apart(&exact, &swept, &made.1);
    assert!(furthest < 2.1e-9 && others == 0, "{furthest:e} {others}");
    assert!(anew < 20, "{anew}");
}

/// The hopper lid with a demand that some units miss.
fn spread(options: SpreadOptions) -> Spread {
    spread_of("hopper-lid", ["\"<= 8 mm\"", "\"<= 24.5 mm\""], options)
}

/// An example with one piece of its text replaced.
fn spread_of(name: &str, [piece, with]: [&str; 2], options: SpreadOptions) -> Spread {
    let path = format!("{}/../../designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.contains(piece));
    let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let (design, _) = reedmace_design::parse(&text.replace(piece, with), &nothing).unwrap();
    Spread::new(&Bench::default(), &design, options, &|_, _| ()).unwrap()
}

fn whole_study(options: SpreadOptions) -> Tally {
    run(&spread(options))
}

fn run(study: &Spread) -> Tally {
    let mut tally = study.tally().unwrap();
    study.run(&mut tally, &|_| true).unwrap();
    tally
}

/// A stem that has no dead band in any unit stands at the limit of a demand for none: that is no reason to find
/// every unit on its true drive.
#[test]
fn prop_a_figure_that_stays_at_its_limit_is_told_by_the_model() {
    let options = SpreadOptions { units: 512, ..SpreadOptions::default() };
    let study = spread_of("nutrient-tank", ["repeat = 16 ", "repeat = 3 "], options.clone());
    let tally = run(&study);
    assert!(tally.exact < options.units / 8, "{} of {} exactly", tally.exact, options.units);
    assert!(tally.proof.units > 0 && tally.proof.unlike == 0);
}

#[test]
fn prop_shards_and_threads_give_the_same_bits() {
    let options = SpreadOptions { units: 5 * BLOCK + 100, ..SpreadOptions::default() };
    let wanted = whole_study(options.clone());
    assert_eq!(wanted.ranges, [[0, options.units]]);
    assert_eq!(wanted.units(), options.units);

    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    assert!(one.install(|| whole_study(options.clone())) == wanted);

    let shard = |range: std::ops::Range<u64>| {
        let tally = whole_study(SpreadOptions { range: Some(range), ..options.clone() });
        let text = serde_json::to_string(&tally).unwrap();
        serde_json::from_str::<Tally>(&text).unwrap()
    };
    let shards =
        [shard(3 * BLOCK..options.units), shard(0..2 * BLOCK), shard(2 * BLOCK..3 * BLOCK)];
    let mut merged = shards[0].clone();
    merged.merge(&shards[1]).unwrap();
    assert_eq!(merged.ranges, [[0, 2 * BLOCK], [3 * BLOCK, options.units]]);
    assert!(merged.clone().merge(&shards[1]).is_err());
    merged.merge(&shards[2]).unwrap();
    assert!(merged == wanted, "not the same bits");

    // Cut short and taken up again.
    let study = spread(options);
    let mut tally = study.tally().unwrap();
    one.install(|| study.run(&mut tally, &|done| done < BLOCK)).unwrap();
    assert!(tally.units() < wanted.units());
    study.run(&mut tally, &|_| true).unwrap();
    assert!(tally == wanted, "not the same bits");
}

/// Units near a decision are exact ones, so counts by the model are those of exact units.
#[test]
fn prop_the_model_counts_as_exact_units_do() {
    let options = SpreadOptions { units: 20_000, ..SpreadOptions::default() };
    let exact = whole_study(SpreadOptions { exact: true, ..options.clone() });
    let told = whole_study(options);
    assert!(told.proof.units >= 1000 && told.proof.unlike == 0 && told.proof.failed == 0);
    assert!(told.proof.furthest < 3e-6, "{}", told.proof.furthest);
    for (told, exact) in told.demands.iter().zip(&exact.demands) {
        assert_eq!(told.met, exact.met);
        assert_eq!(told.worst.unwrap().unit, exact.worst.unwrap().unit);
    }
    let missed = told.demands[0].met.of() - told.demands[0].met.met();
    assert!((500..10_000).contains(&missed), "{missed}");
    for (told, exact) in told.events.iter().zip(&exact.events) {
        let apart = told.moments().mean().unwrap() - exact.moments().mean().unwrap();
        assert!(apart.abs() < 1e-7, "{apart:e}");
        assert_eq!((told.count(), told.absent()), (20_000, 0));
    }
}

#[test]
fn prop_the_answer_names_drivers_and_what_to_tighten() {
    let study = spread(SpreadOptions { units: 20_000, ..SpreadOptions::default() });
    let mut tally = study.tally().unwrap();
    study.run(&mut tally, &|_| true).unwrap();
    let answer = study.answer(&tally, "hopper-lid.toml").unwrap();
    let operate = &answer.events[0];
    let at = operate.at.as_ref().unwrap();
    assert!(operate.worst_case.low <= at.least.value.unwrap(), "{operate:?}");
    assert!(operate.worst_case.high >= at.greatest.value.unwrap(), "{operate:?}");
    assert!(at.quantiles.windows(2).all(|q| q[0].value < q[1].value));
    // An operate value from 20 to 25 AT outweighs all else.
    assert_eq!(operate.drivers[0].path, "contact[lid].operate");
    assert!(operate.drivers[0].first > 0.8 && operate.drivers[0].line == 19, "{operate:?}");
    let sum: f64 = operate.drivers.iter().map(|d| d.first).sum();
    assert!((0.97..1.03).contains(&sum), "{sum}");
    assert_eq!(answer.tighter[0].path, "contact[lid].operate");
    assert!(answer.tighter[0].gain > 3.0 * answer.tighter[0].gain_error, "{:?}", answer.tighter);
    assert!(answer.demands[0].share.low < answer.demands[0].share.high);
    assert!(answer.demands[1].too_few.as_ref().is_some_and(|s| s.contains("ppm")));
}

#[test]
fn prop_ranges_that_are_no_blocks_are_refused() {
    let path = format!("{}/../../designs/hopper-lid.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let (design, _) = reedmace_design::parse(&text, &nothing).unwrap();
    for range in [0..100, 5..BLOCK, BLOCK..BLOCK, 0..3 * BLOCK] {
        let options = SpreadOptions { units: 2 * BLOCK, range: Some(range), ..Default::default() };
        let made = Spread::new(&Bench::default(), &design, options, &|_, _| ());
        assert!(matches!(made, Err(EngineError::Range { .. })));
    }
}
