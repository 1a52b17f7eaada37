//! Units by the model and on their true drive, against sweeps sampled whole.

use super::unit::whole;
use super::{Evaluator, Model};
use crate::quantity::Level;
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::share::unit;
use crate::track::Course;
use reedmace_contact::Scratch;
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
    for i in 0..count {
        let values = workshop.values(&unit(1, i, workshop.variables.len()));
        all[0].push(evaluator.told(&values).0.courses);
        let exact = evaluator.exact(&values).unwrap();
        anew += usize::from(exact.whole);
        all[1].push(exact.courses);
        let scene = workshop.scene_at(&values).unwrap();
        let reeds = 0..scene.reeds.len();
        all[2].push(reeds.map(|k| whole(&scene, k, &mut scratch)).collect());
    }
    (all, anew)
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
/// within a hundred thousandth of the path.
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
        assert!(furthest < 1e-5 && others == 0, "{name}: {furthest:e} {others}");
    }
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
