//! Table sweeps against three-dimensional finite elements, from design text to trace.

use crate::at_work::{LEVELS, REED, design_of, drives, reed};
use serde_json::Value;
use std::collections::BTreeMap;

fn number(v: &Value) -> f64 {
    v.as_f64().expect("a number")
}

fn three(v: &Value) -> [f64; 3] {
    std::array::from_fn(|i| number(&v[i]))
}

/// The drives of cases that share a source, open and closed, mT.
fn computed(contact: &str, source: &Value, places: &[[f64; 3]]) -> Vec<[f64; 2]> {
    let magnet = |shape: String| {
        let j = three(&source["polarization_T"]);
        let remanence = j.iter().map(|v| v * v).sum::<f64>().sqrt();
        let direction = j.map(|v| v / remanence);
        format!(
            "[[magnet]]\nname = \"source\"\n{shape}\ndirection = {direction:?}\n\
             remanence = \"{remanence} T\"\n"
        )
    };
    match source["kind"].as_str().unwrap() {
        "uniform" => {
            let mt = |key: &str| source[key].as_f64().unwrap_or(0.0);
            let rest = format!(
                "[[coil]]\nname = \"idle\"\nlength = \"9 mm\"\nmean_diameter = \"6 mm\"\n\
                 turns = 1\n[sweep]\nkind = \"current\"\ncoil = \"idle\"\nfrom = \"0 AT\"\n\
                 to = \"1 AT\"\n[surroundings]\nfield = [\"{} mT\", \"{} mT\", \"{} mT\"]\n",
                mt("axial_mT"),
                mt("y_mT"),
                mt("z_mT")
            );
            let trace = reed(&design_of(contact, &rest)).trace;
            vec![[trace[0].drive_open, trace[0].drive_closed]]
        }
        "coil" => {
            let coil = format!(
                "[[coil]]\nname = \"source\"\nlength = \"{} mm\"\nmean_diameter = \"{} mm\"\n\
                 ampere_turns = \"{} AT\"\naxis = {:?}\n",
                number(&source["length"]),
                number(&source["mean_diameter"]),
                number(&source["ampere_turns"]),
                three(&source["axis"])
            );
            drives(contact, &coil, "source", places)
        }
        "cuboid" => {
            let [a, b, c] = three(&source["size"]);
            let shape = format!("shape = \"cuboid\"\nsize = [\"{a} mm\", \"{b} mm\", \"{c} mm\"]");
            drives(contact, &magnet(shape), "source", places)
        }
        "cylinder" => {
            let (d, l) = (number(&source["diameter"]), number(&source["length"]));
            let axis = three(&source["axis"]);
            let shape = format!(
                "shape = \"cylinder\"\ndiameter = \"{d} mm\"\nlength = \"{l} mm\"\naxis = {axis:?}"
            );
            drives(contact, &magnet(shape), "source", places)
        }
        other => panic!("unknown source {other}"),
    }
}

/// Every case of every geometry through the design file: drive over that of 2 mT within 1 % of the
/// largest response to its source; the uniform transverse fields, small by themselves, within 1 % of
/// the axial response. The closed geometry also as the closed state of the open one.
#[test]
fn cross_fem_table() {
    let data: Value =
        serde_json::from_str(include_str!("../../../contact/tests/data/reed_fem.json")).unwrap();
    let mut seen = 0;
    for (name, geometry) in data["geometries"].as_object().unwrap() {
        let changed = |key: &str, text: &str| {
            assert!(REED.contains(text), "{text}");
            number(&geometry[key])
        };
        let (gap, mu) = (changed("gap", "\"0.05 mm\""), changed("permeability", "5000"));
        let own = REED.replace("0.05 mm", &format!("{gap} mm")).replace("5000", &format!("{mu}"));
        for (key, text) in [("overall_length", "\"55 mm\""), ("blade_thickness", "\"0.22 mm\"")] {
            assert_eq!(format!("\"{} mm\"", changed(key, text)), text);
        }
        // which state of which contact, and which of the two drives
        let mut contacts = vec![(format!("{own}closed_gap = \"0.004 mm\"\n{LEVELS}"), 0)];
        if gap == 0.005 {
            contacts.push((format!("{REED}closed_gap = \"{gap} mm\"\n{LEVELS}"), 1));
        }
        let mut groups: BTreeMap<String, Vec<&Value>> = BTreeMap::new();
        for case in data["cases"].as_array().unwrap().iter().filter(|c| c["geometry"] == *name) {
            let mut source = case["source"].clone();
            source.as_object_mut().unwrap().remove("centre");
            groups.entry(source.to_string()).or_default().push(case);
            seen += 1;
        }
        for cases in groups.values() {
            let source = &cases[0]["source"];
            let place = |c: &&Value| three(&c["source"]["centre"]);
            let places: Vec<_> = match source["kind"].as_str() {
                Some("uniform") => vec![],
                _ => cases.iter().map(place).collect(),
            };
            let wanted: Vec<f64> = cases.iter().map(|c| number(&c["ratio_to_uniform"])).collect();
            let uniform = source["kind"] == "uniform";
            let largest =
                wanted.iter().fold(if uniform { 1.0 } else { 0.0 }, |m: f64, r| m.max(r.abs()));
            for (contact, state) in &contacts {
                let found = computed(contact, source, &places);
                assert_eq!(found.len(), cases.len());
                for ((case, wanted), found) in cases.iter().zip(&wanted).zip(&found) {
                    let error = (found[*state] / 2.0 - wanted) / largest;
                    assert!(error.abs() < 0.01, "{name} {} {state}: {error}", case["case"]);
                }
            }
        }
    }
    assert_eq!(seen, data["cases"].as_array().unwrap().len(), "a case belongs to no geometry");
}
