//! The JSON Schema of a design file, from the same key table that reads it.

use crate::keys::{DESIGN, VALUE};
use crate::schema::{Key, Kind, Measure, Measured, Need, Table};
use serde_json::{Map, Value, json};

/// The JSON Schema (draft 2020-12) of a design file, for TOML editors.
///
/// It knows keys, words, numbers and units; it cannot know ranges of quantities (they are in the
/// descriptions) nor what must hold between keys.
pub fn json_schema() -> Value {
    let mut schema = table(&DESIGN);
    let root = schema.as_object_mut().expect("a table is an object");
    root.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    root.insert("title".into(), json!("Reedmace design"));
    root.insert("$defs".into(), json!({ "sourced": sourced() }));
    schema
}

/// `{ value = ..., source = ..., note = ..., spread = ... }`
fn sourced() -> Value {
    let mut schema = table(&VALUE);
    schema["properties"]["value"] = json!({
        "type": ["string", "number"],
        "description": "The quantity, with its unit and tolerance.",
    });
    schema
}

fn table(spec: &Table) -> Value {
    let mut properties = Map::new();
    for described in spec.keys() {
        if properties.contains_key(described.name) {
            continue;
        }
        let variants: Vec<&Key> = spec.keys().filter(|key| key.name == described.name).collect();
        let schema = match variants[..] {
            [only] => key(only),
            _ => json!({ "anyOf": variants.iter().map(|one| key(one)).collect::<Vec<_>>() }),
        };
        properties.insert(described.name.into(), schema);
    }
    let mut schema = json!({
        "type": "object",
        "description": spec.doc,
        "properties": properties,
        "additionalProperties": false,
    });
    let always: Vec<&str> = required(spec, |key| key.only.is_none());
    // What a catalogue entry may supply is only needed where none is named.
    let (own, supplied): (Vec<&str>, Vec<&str>) = match spec.entry_key {
        Some(_) => always.into_iter().partition(|name| *name == "name"),
        None => (always, Vec::new()),
    };
    schema["required"] = json!(own);
    let mut rules = Vec::new();
    if let Some(entry) = spec.entry_key {
        rules.push(json!({
            "if": { "not": { "required": [entry] } },
            "then": { "required": supplied },
        }));
    }
    rules.extend(choices(spec));
    if !rules.is_empty() {
        schema["allOf"] = json!(rules);
    }
    schema
}

fn required(spec: &Table, which: impl Fn(&Key) -> bool) -> Vec<&'static str> {
    spec.keys().filter(|key| key.need == Need::Required && which(key)).map(|key| key.name).collect()
}

/// For each word of each choosing key: what is needed with it, and what does not belong to it.
fn choices(spec: &Table) -> Vec<Value> {
    let mut rules = Vec::new();
    for chooser in spec.keys() {
        let Kind::Word(words) = chooser.kind else { continue };
        for word in words {
            let with = |key: &Key| {
                key.only.is_some_and(|(by, words)| by == chooser.name && words.contains(word))
            };
            let depends = |key: &&Key| key.only.is_some_and(|(by, _)| by == chooser.name);
            let mut barred = Map::new();
            for key in spec.keys().filter(depends) {
                if !spec
                    .keys()
                    .any(|other| other.name == key.name && (other.only.is_none() || with(other)))
                {
                    barred.insert(key.name.into(), json!(false));
                }
            }
            let needed = if spec.entry_key.is_some() { Vec::new() } else { required(spec, with) };
            if needed.is_empty() && barred.is_empty() {
                continue;
            }
            rules.push(json!({
                "if": {
                    "properties": { chooser.name: { "const": word } },
                    "required": [chooser.name],
                },
                "then": { "required": needed, "properties": barred },
            }));
        }
    }
    rules
}

fn key(key: &Key) -> Value {
    let mut schema = kind(key.kind);
    let mut words = vec![key.doc.to_owned()];
    if let Some(range) = range(key.kind) {
        words.push(range);
    }
    if let Some((by, which)) = key.only {
        words.push(format!("Only where {by} is {}.", crate::faults::listing(which, "or")));
    }
    if let Need::Default(text) = key.need {
        words.push(format!("Default {text}."));
    }
    if !key.example.is_empty() {
        words.push(format!("Example: {} = {}", key.name, key.example));
    }
    schema["description"] = json!(words.join(" "));
    schema
}

fn range(kind: Kind) -> Option<String> {
    let one = |measured: Measured| format!("{} to {}", measured.limits.low, measured.limits.high);
    match kind {
        Kind::One(measured) | Kind::Three(measured) => Some(format!("Range {}.", one(measured))),
        Kind::Either(first, second) => Some(format!("Range {}, or {}.", one(first), one(second))),
        _ => None,
    }
}

fn kind(kind: Kind) -> Value {
    let text = json!({ "type": "string" });
    let names = json!({ "type": "array", "items": text, "minItems": 1 });
    match kind {
        Kind::Text => text,
        Kind::Files => json!({ "anyOf": [text, names] }),
        Kind::Names => json!({ "anyOf": [text, names] }),
        Kind::Word(words) => json!({ "enum": words }),
        Kind::Count(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Kind::One(measured) => quantity(&[measured.measure]),
        Kind::Either(first, second) => quantity(&[first.measure, second.measure]),
        Kind::Three(measured) => json!({
            "type": "array",
            "items": quantity(&[measured.measure]),
            "minItems": 3,
            "maxItems": 3,
        }),
        Kind::Direction => json!({
            "type": "array",
            "items": { "type": "number" },
            "minItems": 3,
            "maxItems": 3,
        }),
        Kind::TestCoil => json!({ "anyOf": [text, table(&crate::keys::TEST_COIL)] }),
        Kind::Region => json!({ "type": "string", "pattern": "(<|>|≤|≥|\\.\\.)" }),
        Kind::Poses => json!({
            "type": "array",
            "minItems": 2,
            "items": {
                "type": "array",
                "items": quantity(&[Measure::Length, Measure::Angle]),
                "minItems": 3,
                "maxItems": 6,
            },
        }),
        Kind::Table(spec) => table(spec),
        Kind::Tables(spec) => json!({ "type": "array", "items": table(spec) }),
    }
}

/// Text that ends in one of the measures' units, the same with its source, or a bare pure number.
fn quantity(measures: &[Measure]) -> Value {
    let units = measures.iter().flat_map(|measure| measure.units());
    let mut symbols: Vec<&str> =
        units.flat_map(|unit| unit.also.iter().copied().chain([unit.symbol])).collect();
    symbols.sort_by_key(|symbol| std::cmp::Reverse(symbol.len()));
    let pure = symbols.iter().any(|symbol| symbol.is_empty());
    symbols.retain(|symbol| !symbol.is_empty());
    let pattern = if pure { "[0-9]".to_owned() } else { format!("[0-9].*({})", symbols.join("|")) };
    let mut forms =
        vec![json!({ "type": "string", "pattern": pattern }), json!({ "$ref": "#/$defs/sourced" })];
    if pure {
        forms.push(json!({ "type": "number" }));
    }
    json!({ "anyOf": forms })
}
