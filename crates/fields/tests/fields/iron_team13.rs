//! Steel plates round a coil: the nonlinear benchmark with measured flux densities.

use std::fmt::Write as _;

use reedmace_fields::iron::{BhCurve, IronBody, NonlinearIron, Symmetry, evenly, graded};
use reedmace_fields::{Pose, Racetrack};

const MM: f64 = 1e-3;

/// Joins runs of planes that share their ends.
fn planes(runs: &[Vec<f64>]) -> Vec<f64> {
    let mut all: Vec<f64> = Vec::new();
    for run in runs {
        let skip = usize::from(!all.is_empty());
        all.extend(run.iter().skip(skip).map(|plane| plane * MM));
    }
    all
}

fn steel() -> BhCurve {
    let text = include_str!("../../../materials/data/bh_curves.toml");
    let table: toml::Table = text.parse().unwrap();
    let rows = table["curve"][0]["rows"].as_array().unwrap();
    let row = |row: &toml::Value| [0, 1].map(|i| row[i].as_float().unwrap());
    BhCurve::table(&rows.iter().map(row).collect::<Vec<_>>()).unwrap()
}

/// How finely everything is cut.
struct Cut {
    shared: usize,
    plate: usize,
    across: usize,
    thickness: usize,
    arm: usize,
    upright: usize,
}

fn problem(cut: &Cut) -> NonlinearIron {
    // The channels face the plate over 10 mm of their width only; both are cut alike there.
    let shared = evenly(15.0, 25.0, cut.shared);
    let plate_width = planes(&[
        shared.iter().rev().map(|y| -y).collect(),
        graded(-15.0, 0.0, cut.across, 1.4),
        graded(0.0, 15.0, cut.across, 1.0 / 1.4),
        shared.clone(),
    ]);
    let channel_width = planes(&[
        shared,
        graded(25.0, 45.0, cut.across, 1.4),
        graded(45.0, 65.0, cut.across, 1.0 / 1.4),
    ]);
    let up = planes(&[
        evenly(-63.2, -60.0, cut.thickness),
        graded(-60.0, 0.0, cut.plate, 1.4),
        graded(0.0, 60.0, cut.plate, 1.0 / 1.4),
        evenly(60.0, 63.2, cut.thickness),
    ]);
    let channel_up = planes(&[
        evenly(-63.2, -60.0, cut.thickness),
        graded(-60.0, 0.0, cut.upright, 1.4),
        graded(0.0, 60.0, cut.upright, 1.0 / 1.4),
        evenly(60.0, 63.2, cut.thickness),
    ]);
    let plate =
        IronBody::block(steel(), [planes(&[vec![-1.6, 1.6]]), plate_width, up], Pose::IDENTITY)
            .unwrap();
    let out = planes(&[
        graded(2.1, 62.1, cut.arm, 1.3),
        graded(62.1, 122.1, cut.arm * 2 / 3, 1.0 / 1.25),
        evenly(122.1, 125.3, cut.thickness),
    ]);
    let boxes = vec![
        [[2.1 * MM, 15.0 * MM, 60.0 * MM], [122.1 * MM, 65.0 * MM, 63.2 * MM]],
        [[2.1 * MM, 15.0 * MM, -63.2 * MM], [122.1 * MM, 65.0 * MM, -60.0 * MM]],
        [[122.1 * MM, 15.0 * MM, -63.2 * MM], [125.3 * MM, 65.0 * MM, 63.2 * MM]],
    ];
    let channel = |pose: Pose| {
        IronBody::new(
            steel(),
            [out.clone(), channel_width.clone(), channel_up.clone()],
            boxes.clone(),
            pose,
        )
        .unwrap()
    };
    let turned = Pose::rotation_about([0.0, 0.0, 1.0], std::f64::consts::PI);
    let symmetry = Symmetry::none().flux_across(2).half_turn(2);
    NonlinearIron::new(vec![plate, channel(Pose::IDENTITY), channel(turned)], &symmetry).unwrap()
}

/// Average flux densities measured at 1000 ampere-turns (T), as tabulated in a public solution of
/// `[nakata1992]`: centre plate up its height, upper arm outwards, upright downwards.
const PLATE: [(f64, f64); 7] = [
    (0.0, 1.330),
    (10.0, 1.329),
    (20.0, 1.286),
    (30.0, 1.225),
    (40.0, 1.129),
    (50.0, 0.985),
    (60.0, 0.655),
];
const ARM: [(f64, f64); 11] = [
    (2.1, 0.259),
    (10.0, 0.453),
    (20.0, 0.554),
    (30.0, 0.637),
    (40.0, 0.698),
    (50.0, 0.755),
    (60.0, 0.809),
    (80.0, 0.901),
    (100.0, 0.945),
    (110.0, 0.954),
    (122.1, 0.956),
];
const UPRIGHT: [(f64, f64); 7] = [
    (60.0, 0.960),
    (50.0, 0.965),
    (40.0, 0.970),
    (30.0, 0.974),
    (20.0, 0.981),
    (10.0, 0.984),
    (0.0, 0.985),
];

/// Beside the gap the mean over the plate falls by a third over the last centimetre, so a search coil a few
/// tenths of a millimetre off its place is a few per cent off; there and in the channels the limit is 7 %,
/// within which a public finite-element solution with the same table lies as well (+0.6 % to +6.9 %).
#[test]
fn val_steel_plates_round_a_coil() {
    let coil = Racetrack::new([50.0 * MM; 2], 25.0 * MM, 50.0 * MM, 50.0 * MM, 1000.0).unwrap();
    let coarse = Cut { shared: 2, plate: 8, across: 2, thickness: 2, arm: 8, upright: 4 };
    let fine = Cut { shared: 4, plate: 12, across: 2, thickness: 3, arm: 9, upright: 4 };
    let solutions = [coarse, fine].map(|cut| problem(&cut).solve(&coil).unwrap());
    let [unknowns, steps] = [
        solutions.each_ref().map(|solved| solved.progress.unknowns),
        solutions.each_ref().map(|solved| solved.progress.iterations),
    ];
    let everything = [[-1.0; 3], [1.0; 3]];
    let upper = [[-1.0, -1.0, 60.0 * MM], [1.0; 3]];
    let outer = [[122.1 * MM, -1.0, -1.0], [1.0; 3]];
    let sections = [
        ("centre plate, z", 0, 2, &PLATE[..6], everything, 0.05),
        ("centre plate beside the gap, z", 0, 2, &PLATE[6..], everything, 0.07),
        ("upper arm, x", 1, 0, &ARM[..], upper, 0.07),
        ("upright, z", 1, 2, &UPRIGHT[..], outer, 0.07),
    ];
    let mut table = String::from("## Iron that saturates: steel plates round a coil\n\n");
    writeln!(
        table,
        "Average flux densities at 1000 ampere-turns against those measured on the benchmark of \
         `[nakata1992]`, in T, with the iron cut coarsely ({} unknowns, {} Newton steps) and finely \
         ({} unknowns, {} steps). The error is that of the fine cut.\n\n\
         | section | measured | coarse | fine | error | limit |\n|---|---|---|---|---|---|",
        unknowns[0], steps[0], unknowns[1], steps[1]
    )
    .unwrap();
    let mut faults = Vec::new();
    for (name, body, axis, measured, within, limit) in sections {
        for &(at, want) in measured {
            let [coarse, fine] = solutions.each_ref().map(|solved| {
                let (flux, area) = solved.section(body, axis, at * MM, within).unwrap();
                (flux / area).abs()
            });
            let error = fine / want - 1.0;
            let line = format!(
                "| {name} = {at} mm | {want:.3} | {coarse:.3} | {fine:.3} | {:+.1} % | {:.0} % |",
                100.0 * error,
                100.0 * limit
            );
            writeln!(table, "{line}").unwrap();
            let settled = (coarse / fine - 1.0).abs() < 0.015;
            if error.is_nan() || error.abs() > limit || !settled {
                faults.push(line);
            }
        }
    }
    println!("{table}");
    let directory = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/validation");
    std::fs::create_dir_all(directory).unwrap();
    std::fs::write(format!("{directory}/iron.md"), table).unwrap();
    assert!(faults.is_empty(), "{faults:#?}");
}
