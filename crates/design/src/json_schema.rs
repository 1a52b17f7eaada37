//! The JSON Schema of a design file, from the same key table that reads it.

use crate::keys::{DESIGN, VALUE};
use crate::schema::{Choice, Key, Kind, Measure, Measured, Need, Table};
use reedmace_units::{Quantity, Ratio};
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
    let value = json!({
        "type": ["string", "number"],
        "description": "The quantity, with its unit and tolerance.",
    });
    schema["properties"]["mixture"]["items"]["properties"]["value"] = value.clone();
    schema["properties"]["value"] = value;
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
    rules.extend(words(spec));
    rules.extend(spec.choices.iter().map(choice));
    if !rules.is_empty() {
        schema["allOf"] = json!(rules);
    }
    schema
}

fn required(spec: &Table, which: impl Fn(&Key) -> bool) -> Vec<&'static str> {
    spec.keys().filter(|key| key.need == Need::Required && which(key)).map(|key| key.name).collect()
}

/// One alternative must hold.
fn choice(choice: &Choice) -> Value {
    let alternatives: Vec<Value> = choice
        .of
        .iter()
        .map(|one| {
            let barred: Map<String, Value> =
                one.without.iter().map(|key| ((*key).to_owned(), json!(false))).collect();
            json!({ "required": one.with, "properties": barred })
        })
        .collect();
    let alternatives = json!({ "anyOf": alternatives });
    match choice.only {
        None => alternatives,
        Some((key, word)) => json!({
            "if": { "properties": { key: { "const": word } }, "required": [key] },
            "then": alternatives,
        }),
    }
}

/// For each word of each choosing key: what is needed with it, and what does not belong to it.
fn words(spec: &Table) -> Vec<Value> {
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
    if let (Kind::Tables(_), Need::Required) = (key.kind, key.need) {
        schema["minItems"] = json!(1);
    }
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
        Kind::Name => {
            json!({ "type": "string", "pattern": "^[^\\[\\].]*[^\\[\\].\\s][^\\[\\].]*$" })
        }
        Kind::Files => json!({ "anyOf": [text, names] }),
        Kind::Names => json!({ "anyOf": [text, names] }),
        Kind::Quantities => json!({ "type": "array", "items": text, "minItems": 2 }),
        Kind::Word(words) => json!({ "enum": words }),
        Kind::Count(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Kind::One(Measured { measure: Measure::Number, limits }) => {
            let (low, high) = limits.ends::<Ratio>();
            let mut schema = quantity(&[Measure::Number]);
            schema["minimum"] = json!(low.si());
            schema["maximum"] = json!(high.si());
            schema
        }
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
            "contains": { "not": { "const": 0 } },
            "items": { "type": "number" },
            "minItems": 3,
            "maxItems": 3,
        }),
        Kind::TestCoil => json!({ "anyOf": [text, table(&crate::keys::TEST_COIL)] }),
        Kind::Numbers => json!({ "type": "array", "items": { "type": "number" } }),
        Kind::Region => json!({ "type": "string", "pattern": "(<|>|≤|≥|\\.\\.)" }),
        Kind::Poses => json!({
            "type": "array",
            "minItems": 2,
            "items": { "anyOf": [pose(3), pose(6)] },
        }),
        Kind::Strapping => json!({
            "type": "array",
            "minItems": 2,
            "items": {
                "type": "array",
                "prefixItems": [quantity(&[Measure::Length]), quantity(&[Measure::Volume])],
                "items": false,
                "minItems": 2,
            },
        }),
        Kind::Free => json!({
            "type": "object",
            "minProperties": 1,
            "propertyNames": { "pattern": "^[a-z]+(\\[[^\\[\\]]+\\])?\\.[a-z_]+(\\[[0-2]\\])?$" },
            "additionalProperties": {
                "anyOf": [{ "const": "any" }, names, table(&crate::keys::RANGE)],
            },
        }),
        Kind::Table(spec) => table(spec),
        Kind::Tables(spec) => json!({ "type": "array", "items": table(spec) }),
    }
}

/// A pose of so many values.
fn pose(values: usize) -> Value {
    json!({
        "type": "array",
        "items": quantity(&[Measure::Length, Measure::Angle]),
        "minItems": values,
        "maxItems": values,
    })
}

/// Text of numbers and units with one of the measures' units in it, the same with its source, or a
/// bare pure number. Laxer than the reader: an editor must not refuse what the reader takes.
fn quantity(measures: &[Measure]) -> Value {
    let units = measures.iter().flat_map(|measure| measure.units());
    let mut symbols: Vec<&str> =
        units.flat_map(|unit| unit.also.iter().copied().chain([unit.symbol])).collect();
    symbols.sort_by_key(|symbol| std::cmp::Reverse(symbol.len()));
    let pure = symbols.iter().any(|symbol| symbol.is_empty());
    symbols.retain(|symbol| !symbol.is_empty());
    let unit = format!("(?:{})(?![A-Za-zµμΩ])", symbols.join("|"));
    let other = "[-0-9eE.+−–±/% ]";
    let pattern = if pure {
        format!("^{other}*[0-9]{other}*$")
    } else {
        format!("^{other}*[0-9](?:{other}|{unit})*{unit}(?:{other}|{unit})*$")
    };
    let mut forms =
        vec![json!({ "type": "string", "pattern": pattern }), json!({ "$ref": "#/$defs/sourced" })];
    if pure {
        forms.push(json!({ "type": "number" }));
    }
    json!({ "anyOf": forms })
}
