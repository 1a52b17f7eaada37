//! The table `[choose]` that a design could begin with.

use super::{Node, Splice, newline, parse, spliced};
use toml_edit::Value;

/// Sizes of a magnet that may be chosen in steps, the one first that matters most.
const SIZES: [(&str, Option<usize>); 4] =
    [("size", Some(1)), ("length", None), ("diameter", None), ("outer_diameter", None)];
/// A size from, to and by which part of what is stated.
const STEPS: [f64; 3] = [0.8, 1.2, 0.1];
/// How far from where it is a contact may be put, mm.
const AROUND: f64 = 4.0;

/// A table that leaves a part, a size and a place free, as far as this text states them; `None` where it
/// states nothing that may be chosen. Each line of it is one with which the text is `sound`.
pub(crate) fn choice(text: &str, sound: &dyn Fn(&str) -> bool) -> Option<String> {
    let document = parse(text).ok()?;
    let root = Node::Table(document.as_table());
    if root.key("choose").is_some() {
        return None;
    }
    let newline = newline(text);
    let head = [
        "[choose]",
        match root.key("relay") {
            Some(_) => "cost = \"power\"   # of the relay's coil; or \"price\" of the contacts",
            None => "cost = \"volume\"   # of the magnets; or \"mass\", or \"price\"",
        },
        "",
        "[choose.free]",
    ];
    let table = |free: &[String]| {
        let lines = head.iter().map(ToString::to_string).chain(free.iter().cloned());
        lines.collect::<Vec<_>>().join(newline)
    };
    let end = text.trim_end().len();
    let stands = |free: &[String]| {
        let splice = Splice::new(end..end, format!("{newline}{newline}{}", table(free)));
        sound(&spliced(text, &[splice]))
    };
    let mut free: Vec<String> = Vec::new();
    for line in lines(root) {
        free.push(line);
        if !stands(&free) {
            free.pop();
        }
    }
    (!free.is_empty()).then(|| table(&free))
}

/// What might be left free: a line for each.
fn lines(root: Node<'_>) -> Vec<String> {
    let first =
        |table: &str| root.key(table).map(Node::elements).unwrap_or_default().into_iter().next();
    let mut lines = Vec::new();
    if let Some((contact, name)) = first("contact").and_then(|one| Some((one, one.name()?))) {
        if contact.key("family").is_some() {
            lines.push(format!("{} = \"any\"", path("contact", name, "family")));
        }
        let height = contact.key("at").and_then(|at| quantity(at.elements().get(2).copied()?));
        if let Some((at, _)) = height.filter(|(_, unit)| unit == "mm") {
            let range = [at - AROUND, at + AROUND].map(|v| format!("{} mm", tidy(v)));
            let path = path("contact", name, "at[2]");
            lines.push(format!("{path} = {{ from = \"{}\", to = \"{}\" }}", range[0], range[1]));
        }
    }
    if let Some((magnet, name)) = first("magnet").and_then(|one| Some((one, one.name()?))) {
        if magnet.key("catalogue").is_some() {
            lines.push(format!("{} = \"any\"", path("magnet", name, "catalogue")));
        }
        let size = |(key, element): (&str, Option<usize>)| {
            let stated = magnet.key(key)?;
            let (node, key) = match element {
                Some(k) => (stated.elements().get(k).copied()?, format!("{key}[{k}]")),
                None => (stated, key.to_owned()),
            };
            let (size, unit) = quantity(node)?;
            let [from, to, step] = STEPS.map(|part| format!("{} {unit}", tidy(part * size)));
            let path = path("magnet", name, &key);
            Some(format!("{path} = {{ from = \"{from}\", to = \"{to}\", step = \"{step}\" }}"))
        };
        lines.extend(SIZES.into_iter().find_map(size));
    }
    let wound = |coil: &Node<'_>| coil.key("wire").is_some();
    if let Some((coil, name)) = first("coil").filter(wound).and_then(|one| Some((one, one.name()?)))
    {
        lines.push(format!("{} = \"any\"", path("coil", name, "wire")));
        let number = |node: Node<'_>| {
            let Node::Value(value) = node else { return None };
            value.as_integer().map(|whole| whole as f64).or(value.as_float())
        };
        if let Some(turns) = coil.key("turns").and_then(number) {
            let [from, to, step] = STEPS.map(|part| (part * turns).round().max(1.0));
            let path = path("coil", name, "turns");
            lines.push(format!(
                "{path} = {{ from = \"{from}\", to = \"{to}\", step = \"{step}\" }}"
            ));
        }
    }
    lines
}

/// A path as a key of TOML.
fn path(table: &str, name: &str, key: &str) -> String {
    Value::from(format!("{table}[{name}].{key}")).to_string()
}

/// Number and unit of a quantity, whatever its tolerance: of `8 ± 0.3 mm` 8 and mm.
fn quantity(node: Node<'_>) -> Option<(f64, String)> {
    let Node::Value(value) = node else { return None };
    let value = value.as_inline_table().and_then(|table| table.get("value")).unwrap_or(value);
    let text = value.as_str()?;
    let mut words = text.split_whitespace();
    let number = words.next()?.parse().ok()?;
    Some((number, words.next_back()?.to_owned()))
}

/// Without the digits that only the machine adds.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
