//! The circuit against three-dimensional finite elements: `data/README.md` says what they are.

use crate::reeds::{geometry, number};
use reedmace_contact::{Circuit, Scratch};
use reedmace_fields::{AnySource, Magnet, MagnetShape, Placed, Pose, Solenoid, Uniform};
use reedmace_units::FluxDensity;
use serde_json::Value;
use std::fmt::Write as _;

const SEGMENTS: usize = 130;

fn vector(v: &Value, scale: f64) -> [f64; 3] {
    std::array::from_fn(|i| number(&v[i]) * scale)
}

fn source(s: &Value) -> Placed<AnySource> {
    let mm = |key: &str| number(&s[key]) * 1e-3;
    let origin = || vector(&s["centre"], 1e-3);
    let (source, world_from_body): (AnySource, Pose) = match s["kind"].as_str().unwrap() {
        "uniform" => {
            let mt = |key: &str| s[key].as_f64().unwrap_or(0.0) * 1e-3;
            (Uniform([mt("axial_mT"), mt("y_mT"), mt("z_mT")]).into(), Pose::IDENTITY)
        }
        "coil" => {
            let coil = Solenoid {
                radius: 0.5 * mm("mean_diameter"),
                half_length: 0.5 * mm("length"),
                ampere_turns: number(&s["ampere_turns"]),
            };
            (coil.into(), Pose::from_z(origin(), vector(&s["axis"], 1.0)).unwrap())
        }
        "cuboid" => {
            let shape = MagnetShape::Cuboid { half_size: vector(&s["size"], 0.5e-3) };
            let magnet = Magnet::new(shape, vector(&s["polarization_T"], 1.0)).unwrap();
            (magnet.into(), Pose::translation(origin()))
        }
        "cylinder" => {
            let (radius, half_length) = (0.5 * mm("diameter"), 0.5 * mm("length"));
            let shape = MagnetShape::Cylinder { radius, half_length };
            let magnet = Magnet::new(shape, vector(&s["polarization_T"], 1.0)).unwrap();
            (magnet.into(), Pose::translation(origin()))
        }
        other => panic!("unknown source {other}"),
    };
    Placed { source, world_from_body }
}

/// The groups of `data/README.md`; a case may count in two.
fn groups(case: &str) -> Vec<&'static str> {
    let mut groups = Vec::new();
    if case == "S0" {
        groups.push("S0 uniform axial");
    }
    if case == "S1" {
        groups.push("S1 long coil");
    }
    if case.starts_with("S2") {
        groups.push("S2 short coil, also off the middle");
    }
    if case.starts_with("S3_x0_") {
        groups.push("S3 block approaching");
    }
    if case.starts_with("S3") && case.ends_with("_z15") {
        groups.push("S3 block sliding past");
    }
    if case.starts_with("S4") {
        groups.push("S4 disc across, sliding past");
    }
    if case == "S5y" {
        groups.push("S5 uniform along y");
    }
    if case == "S5z" {
        groups.push("S5 uniform along the gap normal");
    }
    assert!(!groups.is_empty(), "case {case} is in no group");
    groups
}

/// Every case of every geometry: drive ratio within 1 % of the largest response in its group; the
/// uniform transverse cases, small by themselves, within 0.005 of the axial response. Absolute gap
/// flux within 1 %.
#[test]
fn cross_fem() {
    let data: Value = serde_json::from_str(include_str!("../data/reed_fem.json")).unwrap();
    let mut table = String::from(
        "## The contact's circuit against three-dimensional finite elements\n\n\
         Drive over that of a uniform field, `crates/contact/tests/data/reed_fem.json` (NGSolve, \
         fourth order). Error: largest difference of ratios in the group, over the largest ratio in \
         it; for the uniform transverse fields the difference itself.\n\n\
         | geometry | group | cases | largest error | limit |\n|---|---|---|---|---|\n",
    );
    let mut faults = Vec::new();
    let mut seen = 0;
    for (name, g) in data["geometries"].as_object().unwrap() {
        let circuit = Circuit::new(&geometry(g), SEGMENTS).unwrap();
        let mut scratch = Scratch::default();
        let mut results: Vec<(&str, f64, f64)> = Vec::new();
        for case in data["cases"].as_array().unwrap() {
            if case["geometry"] != *name {
                continue;
            }
            seen += 1;
            let id = case["case"].as_str().unwrap();
            let source = source(&case["source"]);
            let drive = circuit.kernel().drive(&source, &mut scratch);
            let ratio = drive / FluxDensity::mt(2.0);
            for group in groups(id) {
                results.push((group, ratio, number(&case["ratio_to_uniform"])));
            }
            if id == "S0" {
                let flux = circuit.kernel().flux(&source, &mut scratch);
                let error = flux / number(&case["gap_flux_Wb"]) - 1.0;
                let row = ("absolute gap flux, uniform axial", 1, error.abs(), 0.01);
                report(&mut table, &mut faults, name, row);
            }
        }
        let mut names: Vec<&str> = results.iter().map(|r| r.0).collect();
        names.dedup();
        names.sort();
        names.dedup();
        for group in names {
            let members: Vec<_> = results.iter().filter(|r| r.0 == group).collect();
            let absolute = group.starts_with("S5");
            let largest = members.iter().map(|m| m.2.abs()).fold(0.0, f64::max);
            let scale = if absolute { 1.0 } else { largest };
            let error = members.iter().map(|m| (m.1 - m.2).abs() / scale).fold(0.0, f64::max);
            let limit = if absolute { 0.005 } else { 0.01 };
            report(&mut table, &mut faults, name, (group, members.len(), error, limit));
        }
    }
    assert_eq!(seen, data["cases"].as_array().unwrap().len(), "a case belongs to no geometry");
    println!("{table}");
    let directory = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/validation");
    std::fs::create_dir_all(directory).unwrap();
    std::fs::write(format!("{directory}/contact-fem.md"), table).unwrap();
    assert!(faults.is_empty(), "{faults:#?}");
}

fn report(
    table: &mut String,
    faults: &mut Vec<String>,
    geometry: &str,
    (group, cases, error, limit): (&str, usize, f64, f64),
) {
    let (error, limit) = (error * 100.0, limit * 100.0);
    let line = format!("| {geometry} | {group} | {cases} | {error:.2} % | {limit:.1} % |");
    writeln!(table, "{line}").unwrap();
    if error.is_nan() || error > limit {
        faults.push(line);
    }
}
