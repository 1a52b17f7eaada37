//! The page's types of what goes over the wire, written from its JSON Schema.

use crate::chore::{Done, root};
use serde_json::{Map, Value};
use std::{fmt::Write, fs};

const SCHEMA: &str = "crates/workbench/tests/golden/wire.schema.json";
const TYPES: &str = "crates/workbench/page/types/wire.d.ts";

const HEAD: &str = "\
// Written by `cargo xtask types` from crates/workbench/tests/golden/wire.schema.json; not by hand.

/** x, y and z, or low, nominal and high. */
export type Triple = [number, number, number];

/** What the server says under one word. */
export type Said<K extends ToPage[\"say\"]> = Extract<ToPage, { say: K }>;
";

/// Write the types anew.
pub fn write() -> Done {
    let path = root().join(TYPES);
    fs::write(&path, made()?).map_err(|why| format!("{}: {why}", path.display()))
}

/// Say whether they are up to date.
pub fn check() -> Done {
    let path = root().join(TYPES);
    let kept = fs::read_to_string(&path).map_err(|why| format!("{}: {why}", path.display()))?;
    if kept == made()? {
        eprintln!("types: what the page takes messages for is what they are");
        return Ok(());
    }
    Err(format!("{TYPES} is out of date; `cargo xtask types` writes it anew"))
}

fn made() -> Result<String, String> {
    let path = root().join(SCHEMA);
    let text = fs::read_to_string(&path).map_err(|why| format!("{}: {why}", path.display()))?;
    let schema: Value = serde_json::from_str(&text).map_err(|why| why.to_string())?;
    typescript(&schema)
}

/// Every definition of a schema as a type.
fn typescript(schema: &Value) -> Result<String, String> {
    let definitions = schema["$defs"].as_object().ok_or("a schema with $defs")?;
    let mut out = HEAD.to_owned();
    for (name, definition) in definitions {
        out.push('\n');
        out.push_str(&comment(definition, ""));
        let told = match definition["properties"].as_object() {
            Some(_) => format!("export interface {name} {}", object(definition, "")?),
            None => format!("export type {name} = {};", of(definition, "")?).replace("= \n", "=\n"),
        };
        out.push_str(&told);
        out.push('\n');
    }
    Ok(out)
}

/// The type of whatever a schema describes.
fn of(schema: &Value, indent: &str) -> Result<String, String> {
    if let Some(reference) = schema["$ref"].as_str() {
        let name = reference.rsplit('/').next().unwrap_or_default().to_owned();
        // What stands beside a reference belongs to the same object.
        return match schema["properties"].as_object() {
            Some(_) => Ok(format!("{} & {name}", object(schema, indent)?)),
            None => Ok(name),
        };
    }
    if let Some(value) = schema.get("const") {
        return Ok(value.to_string());
    }
    if let Some(words) = schema["enum"].as_array() {
        return Ok(words.iter().map(Value::to_string).collect::<Vec<_>>().join(" | "));
    }
    for several in ["oneOf", "anyOf"] {
        if let Some(all) = schema[several].as_array() {
            return union(all, indent);
        }
    }
    match &schema["type"] {
        Value::String(kind) => one(kind, schema, indent),
        Value::Array(kinds) => {
            let kinds = kinds.iter().filter_map(Value::as_str);
            let all: Result<Vec<String>, String> =
                kinds.map(|kind| one(kind, schema, indent)).collect();
            Ok(all?.join(" | "))
        }
        _ => Err(format!("no type for {schema}")),
    }
}

fn union(all: &[Value], indent: &str) -> Result<String, String> {
    if all.iter().all(|schema| schema.get("properties").is_none()) {
        let kinds: Result<Vec<String>, String> = all.iter().map(|s| of(s, indent)).collect();
        return Ok(kinds?.join(" | "));
    }
    let deeper = format!("{indent}  ");
    let told = |schema: &Value| {
        let kind = of(schema, &format!("{deeper}  "))?;
        Ok(format!("\n{}{deeper}| {kind}", comment(schema, &deeper)))
    };
    all.iter().map(told).collect()
}

fn one(kind: &str, schema: &Value, indent: &str) -> Result<String, String> {
    Ok(match kind {
        "string" | "boolean" | "null" => kind.to_owned(),
        "integer" | "number" => "number".into(),
        "object" => object(schema, indent)?,
        "array" => array(schema, indent)?,
        _ => return Err(format!("no type for {schema}")),
    })
}

fn array(schema: &Value, indent: &str) -> Result<String, String> {
    if let Some(places) = schema["prefixItems"].as_array() {
        let all: Result<Vec<String>, String> = places.iter().map(|s| of(s, indent)).collect();
        return Ok(format!("[{}]", all?.join(", ")));
    }
    let element = of(&schema["items"], indent)?;
    let count = schema["minItems"].as_u64().filter(|n| schema["maxItems"].as_u64() == Some(*n));
    Ok(match count {
        Some(3) if element == "number" => "Triple".into(),
        Some(n) => format!("[{}]", vec![element; n as usize].join(", ")),
        None if element.contains([' ', '|']) => format!("({element})[]"),
        None => format!("{element}[]"),
    })
}

fn object(schema: &Value, indent: &str) -> Result<String, String> {
    let nothing = Map::new();
    let properties = schema["properties"].as_object().unwrap_or(&nothing);
    let required = schema["required"].as_array().map(Vec::as_slice).unwrap_or_default();
    let deeper = format!("{indent}  ");
    let mut out = String::from("{\n");
    for (name, property) in properties {
        let optional = if required.iter().any(|r| r == name) { "" } else { "?" };
        out.push_str(&comment(property, &deeper));
        let _ = writeln!(out, "{deeper}{name}{optional}: {};", of(property, &deeper)?);
    }
    let _ = write!(out, "{indent}}}");
    Ok(out)
}

fn comment(schema: &Value, indent: &str) -> String {
    let words = schema["description"].as_str().map(|words| words.replace('\n', " "));
    words.map_or(String::new(), |words| format!("{indent}/** {words} */\n"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_schema_becomes_types() {
        let schema = json!({ "$defs": {
            "Pose": {
                "type": "object", "description": "Where.", "required": ["at"],
                "properties": {
                    "at": { "type": "array", "items": { "type": "number" }, "minItems": 3, "maxItems": 3 },
                    "name": { "type": ["string", "null"], "description": "What." },
                    "other": { "anyOf": [{ "$ref": "#/$defs/Word" }, { "type": "null" }] },
                },
            },
            "Word": { "enum": ["a", "b"] },
        } });
        let made = typescript(&schema).unwrap();
        let expected = "\n/** Where. */\nexport interface Pose {\n  at: Triple;\n  /** What. */\n  \
            name?: string | null;\n  other?: Word | null;\n}\n\nexport type Word = \"a\" | \"b\";\n";
        assert_eq!(made.strip_prefix(HEAD), Some(expected));
    }

    #[test]
    fn what_has_no_type_is_told() {
        assert!(typescript(&json!({ "$defs": { "X": {} } })).is_err());
    }

    #[test]
    fn the_types_of_the_page_are_up_to_date() {
        check().unwrap();
    }
}
