//! No crate depends on one above or beside it.

use crate::chore::{Done, cargo, output};
use serde_json::Value;

/// Each crate and the crates just below it; what those stand on is allowed too.
const BELOW: &[(&str, &[&str])] = &[
    ("reedmace", &["reedmace-workbench"]),
    ("reedmace-workbench", &["reedmace-report"]),
    ("reedmace-report", &["reedmace-engine"]),
    ("reedmace-engine", &["reedmace-design", "reedmace-contact", "reedmace-sampling"]),
    ("reedmace-applied", &["reedmace-materials"]),
    ("reedmace-contact", &["reedmace-fields", "reedmace-materials"]),
    ("reedmace-design", &["reedmace-applied", "reedmace-sampling"]),
    ("reedmace-fields", &["reedmace-units"]),
    ("reedmace-materials", &["reedmace-units"]),
    ("reedmace-units", &[]),
    ("reedmace-sampling", &[]),
    ("xtask", &[]),
];

/// Read the workspace and fail on the first wrong arrows.
pub fn check() -> Done {
    let text = output(cargo(&["metadata", "--format-version", "1", "--no-deps"]))?;
    let metadata: Value = serde_json::from_str(&text).map_err(|why| why.to_string())?;
    let faults = faults(&metadata);
    if faults.is_empty() {
        eprintln!("layers: every arrow points down");
        return Ok(());
    }
    Err(format!("wrong arrows\n  {}", faults.join("\n  ")))
}

/// Every wrong arrow of a workspace, as `cargo metadata --no-deps` describes it.
fn faults(metadata: &Value) -> Vec<String> {
    let packages = metadata["packages"].as_array().map(Vec::as_slice).unwrap_or_default();
    let ours: Vec<&str> = packages.iter().filter_map(|p| p["name"].as_str()).collect();
    let mut faults = Vec::new();
    for package in packages {
        let name = package["name"].as_str().unwrap_or_default();
        if !BELOW.iter().any(|(above, _)| *above == name) {
            faults.push(format!("{name} has no place in the layers; give it one in xtask"));
            continue;
        }
        let dependencies = package["dependencies"].as_array().map(Vec::as_slice);
        for on in dependencies.unwrap_or_default().iter().filter_map(|d| d["name"].as_str()) {
            if ours.contains(&on) && !stands_on(name, on) {
                faults.push(format!("{name} -> {on}"));
            }
        }
    }
    faults
}

/// True when `on` is anywhere below `name`.
fn stands_on(name: &str, on: &str) -> bool {
    BELOW
        .iter()
        .filter(|(above, _)| *above == name)
        .flat_map(|(_, below)| below.iter())
        .any(|below| *below == on || stands_on(below, on))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn workspace(arrows: &[(&str, &[&str])]) -> Value {
        let packages: Vec<Value> = arrows
            .iter()
            .map(|(name, on)| {
                let on: Vec<Value> = on.iter().map(|on| json!({ "name": on })).collect();
                json!({ "name": name, "dependencies": on })
            })
            .collect();
        json!({ "packages": packages })
    }

    #[test]
    fn an_arrow_past_a_layer_down_is_fine() {
        let fine = workspace(&[
            ("reedmace", &["reedmace-design", "clap"]),
            ("reedmace-design", &["reedmace-units"]),
            ("reedmace-units", &[]),
        ]);
        assert_eq!(faults(&fine), Vec::<String>::new());
    }

    #[test]
    fn an_arrow_up_or_sideways_is_caught() {
        let wrong = workspace(&[
            ("reedmace-units", &["reedmace-fields"]),
            ("reedmace-fields", &["reedmace-materials"]),
            ("reedmace-materials", &[]),
            ("reedmace-design", &["reedmace-contact"]),
            ("reedmace-contact", &[]),
        ]);
        assert_eq!(
            faults(&wrong),
            [
                "reedmace-units -> reedmace-fields",
                "reedmace-fields -> reedmace-materials",
                "reedmace-design -> reedmace-contact",
            ]
        );
    }

    #[test]
    fn a_crate_without_a_place_is_caught() {
        let faults = faults(&workspace(&[("reedmace-attic", &[])]));
        assert_eq!(faults.len(), 1);
        assert!(faults[0].starts_with("reedmace-attic has no place"));
    }

    #[test]
    fn this_repository_has_no_wrong_arrow() {
        check().unwrap();
    }
}
