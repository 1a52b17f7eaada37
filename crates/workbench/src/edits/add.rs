//! Adding tables.

use super::{EditError, Node, Splice, comment_above, line_end, line_start, newline, parse};

/// What a new table begins with: sound as it is, clear of what lies along x by the origin. `NAME` and
/// `FIRST_CONTACT` and `FIRST_MAGNET` are filled in.
const BEGINNINGS: [(&str, &[&str]); 7] = [
    ("contact", &["name = NAME", "family = \"sedge\"", "at = [\"0 mm\", \"30 mm\", \"0 mm\"]"]),
    (
        "magnet",
        &[
            "name = NAME",
            "shape = \"cuboid\"",
            "size = [\"10 mm\", \"5 mm\", \"5 mm\"]",
            "grade = \"NdFeB 240/80\"",
            "direction = [1, 0, 0]",
            "at = [\"0 mm\", \"-30 mm\", \"30 mm\"]",
        ],
    ),
    (
        "coil",
        &[
            "name = NAME",
            "length = \"25 mm\"",
            "mean_diameter = \"9.25 mm\"",
            "ampere_turns = \"10 AT\"",
            "at = [\"0 mm\", \"0 mm\", \"0 mm\"]",
        ],
    ),
    (
        "steel",
        &[
            "name = NAME",
            "shape = \"cuboid\"",
            "size = [\"40 mm\", \"20 mm\", \"1.5 mm\"]",
            "alloy = \"low-carbon sheet steel\"",
            "at = [\"0 mm\", \"0 mm\", \"-30 mm\"]",
        ],
    ),
    (
        "sweep",
        &[
            "kind = \"line\"",
            "moves = FIRST_MAGNET",
            "from = [\"0 mm\", \"0 mm\", \"40 mm\"]",
            "to = [\"0 mm\", \"0 mm\", \"6 mm\"]",
        ],
    ),
    ("demand", &["contact = FIRST_CONTACT", "closures = 1"]),
    ("surroundings", &["temperature = \"20 °C\""]),
];

/// Tables of which there is one.
const SINGLE: [&str; 2] = ["sweep", "surroundings"];

/// Adds a table behind the last one of its kind; the first one of a kind comes before the sweep, but
/// demands and surroundings at the end.
///
/// # Errors
/// [`EditError`]: the text is not TOML, there is no such table, or there may be only the one there is.
pub(crate) fn add(text: &str, table: &str) -> Result<Vec<Splice>, EditError> {
    let document = parse(text)?;
    let root = Node::Table(document.as_table());
    let fault = || EditError::NoPlace(table.to_owned());
    let (_, lines) = BEGINNINGS.iter().find(|(known, _)| *known == table).ok_or_else(fault)?;
    let single = SINGLE.contains(&table);
    let at = match root.key(table) {
        Some(Node::Tables(_)) if !single => {
            let last = root.key(table).map_or(0, |tables| {
                tables.elements().into_iter().map(Node::end).max().unwrap_or(0)
            });
            Place::Behind(line_end(text, last))
        }
        Some(_) => return Err(fault()),
        None => match root.key("sweep").and_then(Node::span) {
            Some(sweep) if !single && table != "demand" => {
                Place::Before(comment_above(text, line_start(text, sweep.start)))
            }
            _ => Place::Behind(text.trim_end().len()),
        },
    };
    let header = if single { format!("[{table}]") } else { format!("[[{table}]]") };
    let newline = newline(text);
    let filled = lines.iter().map(|line| {
        line.replace("NAME", &quoted(&free_name(root, table)))
            .replace("FIRST_CONTACT", &quoted(&first(root, "contact")))
            .replace("FIRST_MAGNET", &quoted(&first(root, "magnet")))
    });
    let body = std::iter::once(header).chain(filled).collect::<Vec<_>>().join(newline);
    Ok(vec![match at {
        Place::Behind(end) => Splice::new(end..end, format!("{newline}{newline}{body}")),
        Place::Before(start) => Splice::new(start..start, format!("{body}{newline}{newline}")),
    }])
}

enum Place {
    Behind(usize),
    Before(usize),
}

/// A name that nothing in the design has.
fn free_name(root: Node<'_>, table: &str) -> String {
    let things = ["contact", "magnet", "coil", "steel"].map(|things| root.key(things));
    let all: Vec<Node<'_>> = things.into_iter().flatten().flat_map(Node::elements).collect();
    let taken = |name: &str| all.iter().any(|thing| thing.name() == Some(name));
    let numbered = (2..).map(|k| format!("{table}-{k}"));
    let mut names = std::iter::once(table.to_owned()).chain(numbered);
    names.find(|name| !taken(name)).unwrap_or_default()
}

fn first(root: Node<'_>, table: &str) -> String {
    let tables = root.key(table).map(Node::elements).unwrap_or_default();
    tables.first().and_then(|one| one.name()).unwrap_or(table).to_owned()
}

fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}
