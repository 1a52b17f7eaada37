//! The proof that a field cannot reach a contact, against looking.

use super::bound::out_of_reach;
use super::case::Case;
use crate::bench::Bench;
use reedmace_contact::Scratch;
use reedmace_design::{Design, Options, Within};
use reedmace_sampling::Sobol;

/// A magnet of this edge that passes a contact whose place lies in two ranges.
fn passing(edge: f64) -> Design {
    let text = format!(
        r#"format = 1
title = "test"
[[contact]]
name = "lid"
family = "flag"
at = ["0 mm", "0 mm", "0 mm"]
[[magnet]]
name = "slug"
shape = "cuboid"
size = ["{edge} mm", "{edge} mm", "{edge} mm"]
remanence = "1.2 T"
direction = [1, 0, 0]
[sweep]
kind = "line"
moves = "slug"
from = ["-40 mm", "0 mm", "20 mm"]
to = ["40 mm", "0 mm", "20 mm"]
[[demand]]
contact = "lid"
closures = 1
[choose.free]
"contact[lid].at[0]" = {{ from = "-10 mm", to = "10 mm" }}
"contact[lid].at[2]" = {{ from = "-4 mm", to = "6 mm" }}
"#
    );
    let none = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    reedmace_design::parse(&text, &none).expect("a sound design").0
}

fn ranges(design: &Design) -> Vec<(&str, Within)> {
    let range = |free: &reedmace_design::Free| match free.options {
        Options::Within(within) => within,
        _ => panic!("all are ranges"),
    };
    let choose = design.choose.as_ref().expect("something is free");
    choose.free.iter().map(|free| (free.path.as_str(), range(free))).collect()
}

/// Wherever the proof says that a contact stays open, no place looked at comes to its operate value; a field
/// far too weak is always proven, one that reaches never.
#[test]
fn prop_what_is_proven_out_of_reach_is() {
    let mut proven = 0;
    for edge in [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0] {
        let design = passing(edge);
        let ranges = ranges(&design);
        let case = Case::new(&Bench::default(), &design, &ranges, &|| true).unwrap();
        let paths: Vec<&str> = ranges.iter().map(|(path, _)| *path).collect();
        let short = out_of_reach(&case, &paths, false).unwrap();
        let points = Sobol::new(3, 2).unwrap();
        let mut scratch = Scratch::default();
        let mut highest = 0.0_f64;
        // The near side is where the drive is highest: its corners are looked at as well.
        let corners = [[0.5, 1.0], [0.0, 1.0], [1.0, 1.0]].map(|at| at.to_vec());
        for place in (0..60).map(|k| points.point(k)).chain(corners) {
            let scene = case.at(&place).scene(&case.nominal()).unwrap();
            let [from, to] = scene.motion.range();
            for k in 0..=80 {
                let at = from + (to - from) * f64::from(k) / 80.0;
                let drive = scene.drive(0, at, &mut scratch).open.abs();
                highest = highest.max(drive / scene.reeds[0].operate);
            }
        }
        if let Some(short) = short {
            proven += 1;
            assert!(highest < 1.0, "edge {edge}: {highest}");
            assert!(short.reach <= highest + 0.02 && short.reach < 1.0, "{short:?} {highest}");
        } else {
            assert!(highest > 0.1, "edge {edge}: {highest} is far from 1, and not proven");
        }
    }
    assert!((3..8).contains(&proven), "{proven}");
}

/// The ranges move what they name, and nothing else: the scene at a place is that of the text which says so.
#[test]
fn prop_a_place_in_ranges_is_the_design_that_states_it() {
    let design = passing(6.0);
    let ranges = ranges(&design);
    let case = Case::new(&Bench::default(), &design, &ranges, &|| true).unwrap();
    let choose = design.choose.as_ref().unwrap();
    let place = vec![0.25, 0.9];
    let picks: Vec<_> = case.values(&place).into_iter().map(reedmace_design::Pick::At).collect();
    let text = choose.chosen(&design.text, &picks).unwrap();
    assert!(text.contains("at = [\"-5 mm\", \"0 mm\", \"5 mm\"]"), "{text}");
    let none = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let stated = reedmace_design::parse(&text, &none).unwrap().0;
    assert!(case.agrees(&place, &stated, &Bench::default()).unwrap());
    assert!(!case.agrees(&[0.25, 0.8], &stated, &Bench::default()).unwrap());
}
