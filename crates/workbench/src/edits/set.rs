//! Giving keys a value.

use super::{EditError, Node, Splice, Step, line_end, line_start, newline, parse, steps};
use toml_edit::Value;

/// A key and the TOML it is to hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct New {
    /// The key, as `magnet[slug].size[1]`.
    pub path: String,
    /// Its value.
    pub toml: String,
}

/// Keys of a table that stands for one quantity and says where it is from.
const BESIDE_VALUE: [&str; 3] = ["source", "note", "spread"];

/// Gives keys their values. Of a list that is not there yet, `rest` tells the elements which are not
/// among `new`, as TOML.
///
/// # Errors
/// [`EditError`]: the text is not TOML, a value is not, or there is no table to put a key into.
pub(crate) fn set(
    text: &str,
    new: &[New],
    rest: &dyn Fn(&str) -> Option<String>,
) -> Result<Vec<Splice>, EditError> {
    let document = parse(text)?;
    let root = Node::Table(document.as_table());
    let mut splices: Vec<Splice> = Vec::new();
    let mut lists: Vec<String> = Vec::new();
    for one in new {
        one.toml.parse::<Value>().map_err(|_| EditError::NoValue(one.toml.clone()))?;
        let fault = || EditError::NoPlace(one.path.clone());
        let way = steps(&one.path).ok_or_else(fault)?;
        if let Some(found) = root.walk(&way) {
            splices.push(replace(found, &one.toml).ok_or_else(fault)?);
            continue;
        }
        let (last, parent) = way.split_last().ok_or_else(fault)?;
        match last {
            Step::Key(key) => {
                splices.push(insert(text, root, parent, key, &one.toml).ok_or_else(fault)?)
            }
            // An element of a list that is not there: the list is made, once for all its elements.
            Step::In(_) => {
                let list = one.path.rsplit_once('[').map_or("", |(list, _)| list);
                if lists.iter().any(|made| made == list) {
                    continue;
                }
                let Some((Step::Key(key), above)) = parent.split_last() else {
                    return Err(fault());
                };
                let element = |k: usize| {
                    let path = format!("{list}[{k}]");
                    let given = new.iter().find(|one| one.path == path);
                    given.map(|one| one.toml.clone()).or_else(|| rest(&path))
                };
                let [x, y, z] = [0, 1, 2].map(element);
                let (x, y, z) = x.zip(y).zip(z).map(|((x, y), z)| (x, y, z)).ok_or_else(fault)?;
                let made = insert(text, root, above, key, &format!("[{x}, {y}, {z}]"));
                splices.push(made.ok_or_else(fault)?);
                lists.push(list.to_owned());
            }
        }
    }
    splices.sort_by_key(|splice| (splice.span.start, splice.span.end));
    Ok(splices)
}

/// A value in the place of another. Where that is a table which says where a quantity is from, the
/// quantity in it.
fn replace(found: Node<'_>, toml: &str) -> Option<Splice> {
    let Node::Value(value) = found else { return None };
    let quantity = value.as_inline_table().and_then(|table| table.get("value"));
    let quantity = quantity.filter(|_| !toml.starts_with('{'));
    Some(Splice::new(quantity.unwrap_or(value).span()?, toml))
}

/// A key that is not there yet.
fn insert(text: &str, root: Node<'_>, parent: &[Step], key: &str, toml: &str) -> Option<Splice> {
    let pair = format!("{key} = {toml}");
    match root.walk(parent) {
        Some(Node::Table(table)) if table.is_dotted() => {
            let (Step::Key(own), above) = parent.split_last()? else { return None };
            insert(text, root, above, &format!("{own}.{key}"), toml)
        }
        Some(node @ Node::Table(_)) => Some(into_table(text, node, &pair)),
        Some(Node::Value(Value::InlineTable(table))) => {
            let last = table.iter().filter_map(|(_, value)| Some(value.span()?.end)).max();
            Some(match last {
                Some(end) => Splice::new(end..end, format!(", {pair}")),
                None => Splice::new(table.span()?, format!("{{ {pair} }}")),
            })
        }
        // A quantity that is to say where it is from.
        Some(Node::Value(value)) if BESIDE_VALUE.contains(&key) && !value.is_array() => {
            let span = value.span()?;
            let quantity = &text[span.clone()];
            Some(Splice::new(span, format!("{{ value = {quantity}, {pair} }}")))
        }
        // A word in the place of which there are now details.
        Some(Node::Value(value)) if value.is_str() => {
            Some(Splice::new(value.span()?, format!("{{ {pair} }}")))
        }
        Some(_) => None,
        None => match parent.split_last()? {
            (Step::Key(table), []) => {
                let newline = newline(text);
                let gap = if text.is_empty() || text.ends_with('\n') { "" } else { newline };
                let table = format!("{gap}{newline}[{table}]{newline}{pair}{newline}");
                Some(Splice::new(text.len()..text.len(), table))
            }
            (Step::Key(table), above) => {
                root.walk(above)?;
                insert(text, root, above, table, &format!("{{ {pair} }}"))
            }
            (Step::In(_), _) => None,
        },
    }
}

/// A line after the last one of a table's own.
fn into_table(text: &str, table: Node<'_>, pair: &str) -> Splice {
    let newline = newline(text);
    let last = own_end(table);
    let Some(last) = last.or_else(|| table.span().map(|span| span.end).filter(|end| *end > 0))
    else {
        return Splice::new(0..0, format!("{pair}{newline}"));
    };
    let line = line_start(text, own_start(table).unwrap_or(last));
    let indent: String = text[line..].chars().take_while(|c| *c == ' ' || *c == '\t').collect();
    let end = line_end(text, last);
    Splice::new(end..end, format!("{newline}{indent}{pair}"))
}

/// Where the last value of a table ends that stands in its own lines.
fn own_end(table: Node<'_>) -> Option<usize> {
    own(table).filter_map(|value| Some(value.span()?.end)).max()
}

/// Where the last such value begins.
fn own_start(table: Node<'_>) -> Option<usize> {
    own(table).filter_map(|value| Some(value.span()?.start)).max()
}

fn own(table: Node<'_>) -> Box<dyn Iterator<Item = Node<'_>> + '_> {
    let Node::Table(table) = table else { return Box::new(std::iter::empty()) };
    let nodes = table.iter().filter_map(|(_, item)| Node::of(item));
    Box::new(nodes.flat_map(|node| match node {
        Node::Value(_) => Box::new(std::iter::once(node)) as Box<dyn Iterator<Item = Node<'_>>>,
        Node::Table(inner) if inner.is_dotted() => own(node),
        _ => Box::new(std::iter::empty()),
    }))
}
