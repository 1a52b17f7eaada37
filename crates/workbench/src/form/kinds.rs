//! What a key holds, found by its path, and what is typed for it as TOML.

use super::text_of;
use crate::edits::{Node, Step, parse, steps};
use reedmace_design::{
    Catalogue,
    keys::{DESIGN, TEST_COIL},
    schema::{Key, Kind, Measure, Need, Table},
};
use toml_edit::Value;

/// Whether a key belongs into a table, by what that states of the key it depends on.
pub(super) fn applies(key: &Key, entry: Option<Node<'_>>, behind: &[(String, String)]) -> bool {
    let Some((on, words)) = key.only else { return true };
    let stated = entry.and_then(|entry| text_of(entry.key(on)?));
    let from_entry =
        || behind.iter().find(|(name, _)| name == on).map(|(_, toml)| super::plain(toml));
    stated.or_else(from_entry).is_some_and(|word| words.contains(&word.as_str()))
}

/// The key at a path, and which element of it is meant.
fn key_at(
    root: Node<'_>,
    way: &[Step],
    catalogue: &Catalogue,
) -> Option<(&'static Key, Option<usize>)> {
    let mut table: &'static Table = &DESIGN;
    let mut node = Some(root);
    let mut behind = Vec::new();
    let mut found: Option<&'static Key> = None;
    let mut element = None;
    for step in way {
        match (step, found.map(|key| key.kind)) {
            (Step::Key(name), kind) => {
                table = match kind {
                    None => table,
                    Some(Kind::Table(inner) | Kind::Tables(inner)) => inner,
                    Some(Kind::TestCoil) => &TEST_COIL,
                    Some(_) => return None,
                };
                let of_name = || table.keys().filter(|key| key.name == name);
                found = of_name().find(|key| applies(key, node, &behind)).or(of_name().next());
                found?;
            }
            (Step::In(_), Some(Kind::Tables(_))) => (),
            (Step::In(k), Some(_)) => element = k.parse().ok(),
            (Step::In(_), None) => return None,
        }
        node = node.and_then(|node| node.step(step));
        if let (Step::In(_), Some(Kind::Tables(inner))) = (step, found.map(|key| key.kind)) {
            let named = inner.entry_key.zip(node).and_then(|(key, node)| text_of(node.key(key)?));
            behind = match (named, inner.name) {
                (Some(name), "contact") => catalogue.family(&name),
                (Some(name), "magnet") => catalogue.magnet(&name),
                _ => Vec::new(),
            };
        }
    }
    Some((found?, element))
}

/// What was typed for a key, as TOML of the kind the key holds.
pub(crate) fn toml_of(text: &str, path: &str, typed: &str, catalogue: &Catalogue) -> String {
    let key = || {
        let document = parse(text).ok()?;
        let root = Node::Table(document.as_table());
        key_at(root, &steps(path)?, catalogue).map(|(key, element)| (key.kind, element))
    };
    let typed = typed.trim();
    let value = typed.parse::<Value>().ok();
    let number = value.as_ref().is_some_and(|v| v.is_integer() || v.is_float());
    let list = value.as_ref().is_some_and(|v| v.is_array() || v.is_inline_table());
    // A quantity that says where it is from, or a mixture.
    let table = value.as_ref().is_some_and(Value::is_inline_table);
    let bare = match key() {
        Some((Kind::Direction, None)) if !list => {
            let parts: Vec<&str> =
                typed.split([' ', ',']).filter(|part| !part.is_empty()).collect();
            let numbers = parts.iter().all(|part| part.parse::<f64>().is_ok());
            if numbers && !parts.is_empty() {
                return format!("[{}]", parts.join(", "));
            }
            false
        }
        Some((Kind::Count(..), _) | (Kind::Direction, Some(_))) => number,
        Some(
            (Kind::One(measured) | Kind::Three(measured), Some(_)) | (Kind::One(measured), None),
        ) => table || number && measured.measure == Measure::Number,
        Some((Kind::Either(..), _)) => table,
        Some((Kind::Text | Kind::Name | Kind::Word(_) | Kind::Region, _)) => false,
        Some(_) => list,
        None => number || list,
    };
    if bare { typed.to_owned() } else { Value::from(typed).to_string() }
}

/// An element, as TOML, of a list that the text does not state: that of the catalogue entry, else the
/// default.
pub(super) fn default_element(key: &Key, behind: &[(String, String)], k: usize) -> Option<String> {
    let entry = behind.iter().find(|(name, _)| name == key.name);
    match (entry, key.need) {
        (Some((_, toml)), _) => inner(toml, k),
        (None, Need::Default(text)) => Some(Value::from(text).to_string()),
        (None, _) => None,
    }
}

/// As [`default_element`], or that of the example, for the element at a path.
pub(crate) fn rest(text: &str, path: &str, catalogue: &Catalogue) -> Option<String> {
    let document = parse(text).ok()?;
    let root = Node::Table(document.as_table());
    let way = steps(path)?;
    let (key, element) = key_at(root, &way, catalogue)?;
    let entry = way.get(..2).and_then(|table| root.walk(table));
    let named = |key: &str| text_of(entry?.key(key)?);
    let behind = match way.first() {
        Some(Step::Key(table)) if table == "contact" => {
            named("family").map(|n| catalogue.family(&n))
        }
        Some(Step::Key(table)) if table == "magnet" => {
            named("catalogue").map(|n| catalogue.magnet(&n))
        }
        _ => None,
    };
    let k = element?;
    default_element(key, &behind.unwrap_or_default(), k).or_else(|| inner(key.example, k))
}

/// An element of a list in TOML.
pub(super) fn inner(toml: &str, k: usize) -> Option<String> {
    let list = toml.parse::<Value>().ok()?;
    Some(list.as_array()?.get(k)?.to_string().trim().to_owned())
}
