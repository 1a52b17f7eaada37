//! What is said over the wire stays as it is described, or the description changes with it.

use reedmace_workbench::{openapi, wire};
use serde_json::Value;
use std::path::PathBuf;

/// Compares with the golden file; `REEDMACE_BLESS=1` writes it anew.
fn golden(name: &str, value: &Value) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    let text = format!("{value:#}\n");
    if std::env::var_os("REEDMACE_BLESS").is_some() {
        std::fs::write(&path, &text).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap();
    assert!(
        kept == text,
        "{name} differs; `cargo xtask bless` writes it anew, `cargo xtask types` the page's types"
    );
}

#[test]
fn reg_messages() {
    golden("wire.schema.json", &wire::schema());
}

#[test]
fn reg_openapi() {
    golden("openapi.json", &openapi::document());
}

#[test]
fn every_reference_leads_somewhere() {
    fn references<'v>(value: &'v Value, found: &mut Vec<&'v str>) {
        match value {
            Value::Object(map) => {
                found.extend(map.get("$ref").and_then(Value::as_str));
                map.values().for_each(|value| references(value, found));
            }
            Value::Array(list) => list.iter().for_each(|value| references(value, found)),
            _ => (),
        }
    }
    for document in [wire::schema(), openapi::document()] {
        let mut found = Vec::new();
        references(&document, &mut found);
        assert!(!found.is_empty());
        for reference in found {
            let pointer = reference.strip_prefix('#').unwrap();
            assert!(document.pointer(pointer).is_some(), "{reference}");
        }
    }
}
