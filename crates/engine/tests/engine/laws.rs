//! Laws every answer obeys, and the doors beside `check`.

use crate::at_work::{LEVELS, REED, design_of, drives, parse, places, reed};
use reedmace_engine::{
    MapRequest, Options, Plane, Sensitivity, Target, TestCoil, check, convert, map,
};
use reedmace_materials::Grades;
use reedmace_units::{AmpereTurns, FluxDensity, Length, Temperature};

const BAR: &str = "[[magnet]]\nname = \"bar\"\nshape = \"cuboid\"\ndirection = [1, 0, 0.2]\n\
                   size = [\"10 mm\", \"5 mm\", \"5 mm\"]\n";

fn contact() -> String {
    format!("{REED}{LEVELS}")
}

fn bar(extra: &str) -> String {
    format!("{BAR}{extra}\n")
}

#[test]
fn prop_moving_the_contact_instead_gives_the_same_events() {
    let magnet = bar("remanence = \"1.2 T\"");
    let by_magnet = format!(
        "{magnet}[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
         from = [\"-50 mm\", \"1 mm\", \"11 mm\"]\nto = [\"50 mm\", \"1 mm\", \"11 mm\"]\n"
    );
    let by_contact = format!(
        "{magnet}at = [\"0 mm\", \"1 mm\", \"11 mm\"]\n[sweep]\nkind = \"line\"\nmoves = \"reed\"\n\
         from = [\"50 mm\", \"0 mm\", \"0 mm\"]\nto = [\"-50 mm\", \"0 mm\", \"0 mm\"]\n"
    );
    let a = places(&reed(&design_of(&contact(), &by_magnet)));
    let b = places(&reed(&design_of(&contact(), &by_contact)));
    assert!(a.len() >= 4 && a.len() == b.len(), "{a:?} {b:?}");
    for (a, b) in a.iter().zip(&b) {
        assert_eq!((a.0, a.1), (b.0, b.1));
        assert!((a.2 + b.2).abs() < 2e-6, "{a:?} {b:?}");
    }
}

#[test]
fn prop_where_the_whole_design_lies_does_not_matter() {
    let (from, to) = ([-45.0, 2.0, 10.0], [50.0, -3.0, 12.0]);
    let whole = |place: &dyn Fn([f64; 3]) -> [f64; 3], rotate: &str| {
        let at = |p: [f64; 3]| {
            let [x, y, z] = place(p);
            format!("[\"{x} mm\", \"{y} mm\", \"{z} mm\"]")
        };
        let rest = format!(
            "{}{rotate}\n[sweep]\nkind = \"line\"\nmoves = \"bar\"\nfrom = {}\nto = {}\n",
            bar("remanence = \"1.2 T\""),
            at(from),
            at(to)
        );
        let own = format!("{}{rotate}\nat = {}\n", contact(), at([0.0; 3]));
        let answer = reed(&design_of(&own, &rest));
        let drives: Vec<f64> = answer.trace.iter().map(|r| r.drive_open).collect();
        (places(&answer), drives)
    };
    // about x by 90°, then z by 90°: (x, y, z) -> (x, -z, y) -> (z, x, y)
    let turned = |[x, y, z]: [f64; 3]| [z, x, y];
    let here = whole(&|p| p, "");
    let shifted = whole(&|[x, y, z]| [x + 120.0, y - 35.0, z + 7.5], "");
    let rotated = whole(&turned, "rotate = [\"90 deg\", \"0 deg\", \"90 deg\"]");
    assert!(here.0.len() >= 4);
    for other in [shifted, rotated] {
        assert_eq!(other.0.len(), here.0.len());
        for (a, b) in here.0.iter().zip(&other.0) {
            assert_eq!((a.0, a.1), (b.0, b.1));
            assert!((a.2 - b.2).abs() < 2e-6, "{a:?} {b:?}");
        }
        let largest = here.1.iter().fold(0.0f64, |m, d| m.max(d.abs()));
        // the top of a lobe, found to a sample, may fall on another row
        let middle = |d: &[f64]| [d[0], d[d.len() - 1]];
        for (a, b) in middle(&here.1).iter().zip(middle(&other.1)) {
            assert!((a - b).abs() < 1e-9 * largest, "{a} {b}");
        }
    }
}

/// However long the path, or however often the wheel turns: what passes near is seen.
#[test]
fn prop_a_long_path_misses_nothing() {
    let sensitive = contact().replace("0.75 mT", "0.1 mT").replace("0.38 mT", "0.05 mT");
    let small = "[[magnet]]\nname = \"bar\"\nshape = \"sphere\"\ndiameter = \"2 mm\"\n\
                 direction = [1, 0, 0]\nremanence = \"1.2 T\"\n";
    let pass = |reach: f64| {
        let sweep = format!(
            "{small}[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
             from = [\"-{reach} mm\", \"0 mm\", \"3 mm\"]\nto = [\"{reach} mm\", \"0 mm\", \"3 mm\"]\n"
        );
        places(&reed(&design_of(&sensitive, &sweep)))
    };
    let (near, far) = (pass(40.0), pass(3000.0));
    assert!(near.len() >= 4 && near.len() == far.len(), "{near:?} {far:?}");
    for (a, b) in near.iter().zip(&far) {
        assert!((a.0, a.1) == (b.0, b.1) && (a.2 - b.2).abs() < 1e-5, "{a:?} {b:?}");
    }
    let turns = |n: f64| {
        let sweep = format!(
            "{small}at = [\"0 mm\", \"4 mm\", \"0 mm\"]\n[sweep]\nkind = \"arc\"\nmoves = \"bar\"\n\
             centre = [\"0 mm\", \"64 mm\", \"0 mm\"]\naxis = [1, 0, 0]\nfrom = \"-180 deg\"\n\
             to = \"{} deg\"\n",
            360.0 * n - 180.0
        );
        places(&reed(&design_of(&sensitive, &sweep))).len()
    };
    let one = turns(1.0);
    assert!(one > 0 && turns(25.0) == 25 * one, "{one} {}", turns(25.0));
}

#[test]
fn prop_drive_is_linear_in_remanence() {
    let at = [[0.0, 0.0, 12.0], [20.0, 3.0, 9.0]];
    let [one, half] = ["1.2 T", "0.6 T"]
        .map(|j| drives(&contact(), &bar(&format!("remanence = \"{j}\"")), "bar", &at));
    for (one, half) in one.iter().flatten().zip(half.iter().flatten()) {
        assert!((one - 2.0 * half).abs() < 1e-9 * one.abs(), "{one} {half}");
    }
}

/// The grade's own coefficient, and nothing else, takes drive away with heat.
#[test]
fn prop_heat_takes_drive_by_the_grade() {
    let name = "NdFeB 240/80";
    let at = |celsius: f64| {
        let rest = format!(
            "{}[sweep]\nkind = \"line\"\nmoves = \"bar\"\nfrom = [\"0 mm\", \"0 mm\", \"40 mm\"]\n\
             to = [\"0 mm\", \"0 mm\", \"8 mm\"]\n[surroundings]\ntemperature = \"{celsius} °C\"\n",
            bar(&format!("grade = \"{name}\""))
        );
        reed(&design_of(&contact(), &rest)).trace[0].drive_open
    };
    let grades = Grades::builtin();
    let grade = grades.find(name).expect("a row of the table");
    let factor = grade.remanence_factor(Temperature::celsius(80.0));
    assert!((0.85..0.97).contains(&factor), "{factor}");
    assert!((at(80.0) / at(20.0) - factor).abs() < 1e-9, "{factor}");
}

/// The same answer to the last bit with one thread and with two.
#[test]
fn prop_threads_do_not_matter() {
    let text = design_of(
        &contact().replace("0.75 mT", "0.7..0.8 mT"),
        &format!(
            "{}[sweep]\nkind = \"line\"\nmoves = \"bar\"\nfrom = [\"0 ± 1 mm\", \"0 mm\", \"50 mm\"]\n\
             to = [\"0 ± 1 mm\", \"0 mm\", \"8 mm\"]\n[[demand]]\ncontact = \"reed\"\n\
             closed = \"<= 24 mm\"\n",
            bar("remanence = \"1.2 ± 0.05 T\"")
        ),
    );
    let design = parse(&text);
    let with = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let options = Options { units: 60, seed };
        let answer = pool.install(|| check(&design, "t", &options, &|_, _| ()).unwrap().answer);
        serde_json::to_string(&answer).unwrap()
    };
    let one = with(1, 1);
    assert_eq!(one, with(2, 1));
    assert_ne!(one, with(2, 2), "another seed is another sample");
}

#[test]
fn prop_conversions_lead_back() {
    let text = design_of(
        &contact(),
        &format!(
            "{}[sweep]\nkind = \"line\"\nmoves = \"bar\"\nfrom = [\"0 mm\", \"0 mm\", \"50 mm\"]\n\
             to = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
            bar("remanence = \"1.2 T\"").replace("[1, 0, 0.2]", "[1, 0, 0]")
        ),
    );
    let design = parse(&text);
    let short = TestCoil::Thin { length: Length::mm(9.0), mean_diameter: Length::mm(5.5) };
    let thick = TestCoil::Thick {
        length: Length::mm(25.0),
        inner_diameter: Length::mm(5.0),
        outer_diameter: Length::mm(14.0),
    };
    let all = |from: Sensitivity| {
        let targets = [
            Target::AmpereTurns(short),
            Target::AmpereTurns(thick),
            Target::CoilCentre(thick),
            Target::Uniform,
            Target::Magnet(0),
        ];
        let found = convert(&design, 0, &from, &targets).unwrap();
        found.into_iter().map(|c| [c.at.low, c.at.value.unwrap(), c.at.high]).collect::<Vec<_>>()
    };
    let start = [20.0, 22.0, 25.0];
    let first = all(Sensitivity::AmpereTurns(short, start.map(AmpereTurns::at)));
    let others = [
        all(Sensitivity::AmpereTurns(thick, first[1].map(AmpereTurns::at))),
        all(Sensitivity::CoilCentre(thick, first[2].map(FluxDensity::mt))),
        all(Sensitivity::Uniform(first[3].map(FluxDensity::mt))),
    ];
    let near = |a: &[f64; 3], b: &[f64; 3], to: f64| {
        a.iter().zip(b).all(|(a, b)| (a - b).abs() <= to * b.abs())
    };
    assert!(near(&first[0], &start, 1e-11), "{first:?}");
    assert!(first[1][1] > 1.1 * start[1], "a long thick coil needs more: {first:?}");
    for other in &others {
        assert!(other.iter().zip(&first).all(|(a, b)| near(a, b, 1e-6)), "{other:?} {first:?}");
    }
    // The distance, by putting the magnet there, beside the contact along y: as near as the sweep's
    // compressed kernel is to the circuit's own.
    let [near, middle, far] = first[4];
    let magnet = bar("remanence = \"1.2 T\"").replace("[1, 0, 0.2]", "[1, 0, 0]");
    let at = [near, middle, far].map(|y| [0.0, y, 0.0]);
    let found = drives(&contact(), &magnet, "bar", &at);
    for (drive, level) in found.iter().zip([first[3][2], first[3][1], first[3][0]]) {
        assert!((drive[0].abs() / level - 1.0).abs() < 1e-4, "{drive:?} {level}");
    }
}

/// A map holds at each place what a table sweep gives there, as near as the sweep's compressed kernel is
/// to all of the contact's weights, which the map's rows keep; its borders lie on their level.
#[test]
fn prop_map_is_made_of_single_drives() {
    let magnet = bar("remanence = \"1.2 T\"");
    let text = design_of(
        &contact(),
        &format!(
            "{magnet}[sweep]\nkind = \"line\"\nmoves = \"bar\"\nfrom = [\"0 mm\", \"2 mm\", \"50 mm\"]\n\
             to = [\"0 mm\", \"2 mm\", \"8 mm\"]\n"
        ),
    );
    let request = MapRequest {
        plane: Plane::Xz,
        offset: None,
        extent: Some([-30e-3, 30e-3, 8e-3, 38e-3]),
        cells: [121, 61],
        contact: 0,
    };
    let map = map(&parse(&text), &request, &|_, _| ()).unwrap();
    assert_eq!(map.offset_mm, 2.0);
    let picked: Vec<usize> = (0..map.drive_open.len()).step_by(397).collect();
    let place = |k: usize| [map.across_mm[k % 121], 2.0, map.up_mm[k / 121]];
    let places: Vec<_> = picked.iter().map(|k| place(*k)).collect();
    let largest = |drives: &[f64], k: usize| {
        let row = &drives[k / 121 * 121..][..121];
        row.iter().fold(0.0_f64, |m, d| m.max(d.abs()))
    };
    for (&k, [open, closed]) in picked.iter().zip(drives(&contact(), &magnet, "bar", &places)) {
        for (map, single) in [(&map.drive_open, open), (&map.drive_closed, closed)] {
            let error = (map[k] - single).abs() / largest(map, k);
            assert!(error < 1e-4, "{error:e} at {:?}", place(k));
        }
    }
    let level = map.operate[1];
    assert_eq!(level, 0.75);
    let size: Vec<f64> = map.drive_open.iter().map(|d| d.abs()).collect();
    let points: Vec<[f64; 3]> = reedmace_engine::map::borders(&map, &size, level)
        .concat()
        .into_iter()
        .step_by(9)
        .map(|[x, z]| [x, 2.0, z])
        .collect();
    assert!(points.len() > 10);
    for [open, _] in drives(&contact(), &magnet, "bar", &points) {
        assert!((open.abs() / level - 1.0).abs() < 0.01, "{open}");
    }
}
