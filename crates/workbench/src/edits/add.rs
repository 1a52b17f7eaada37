//! Adding tables.

use super::{
    EditError, Node, Splice, choice, comment_above, line_end, line_start, newline, parse, spliced,
};

/// What a new table begins with. `NAME`, `ASIDE`, `FIRST_CONTACT` and `FIRST_MAGNET` are filled in.
const BEGINNINGS: [(&str, &[&str]); 19] = [
    ("contact", &["name = NAME", "family = \"sedge\"", "at = [\"0 mm\", ASIDE, \"0 mm\"]"]),
    (
        "magnet",
        &[
            "name = NAME",
            "shape = \"cuboid\"",
            "size = [\"10 mm\", \"5 mm\", \"5 mm\"]",
            "grade = \"NdFeB 240/80\"",
            "direction = [1, 0, 0]",
            "at = [\"0 mm\", ASIDE, \"30 mm\"]",
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
            "at = [\"0 mm\", ASIDE, \"-30 mm\"]",
        ],
    ),
    ("conductor", &["name = NAME", "current = \"0..16 A\"", "at = [\"0 mm\", ASIDE, \"-50 mm\"]"]),
    (
        "motor",
        &[
            "name = NAME",
            "field = \"0.4 mT\"",
            "distance = \"100 mm\"",
            "at = [\"0 mm\", \"300 mm\", \"0 mm\"]",
        ],
    ),
    ("latch", &[]),
    ("relay", &["supply = \"5 V ± 5 %\""]),
    ("rotor", &["contact = FIRST_CONTACT"]),
    ("door", &[]),
    ("target", &[]),
    ("tank", &["shape = \"upright\"", "diameter = \"600 mm\"", "height = \"400 mm\""]),
    ("slosh", &["acceleration = \"0.1 m/s²\"", "off_middle = \"100 mm\""]),
    (
        "ladder",
        &[
            "reading = \"resistance\"",
            "first = \"220 Ω ± 1 %\"",
            "step = \"100 Ω ± 1 %\"",
            "series = \"E24\"",
        ],
    ),
    // Without a test of the user's own it tells no number, and says so.
    ("life", &[]),
    (
        "load",
        &[
            "name = NAME",
            "contact = FIRST_CONTACT",
            "kind = \"resistive\"",
            "supply = \"24 V\"",
            "current = \"0.1 A\"",
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

/// How far aside a new body is put, the nearest first: where it meets nothing that is there.
const ASIDE: [&str; 7] = ["0 mm", "-30 mm", "30 mm", "-60 mm", "-100 mm", "-200 mm", "-500 mm"];

/// Tables of which there is one.
const SINGLE: [&str; 11] = [
    "sweep",
    "latch",
    "relay",
    "rotor",
    "door",
    "target",
    "tank",
    "slosh",
    "ladder",
    "life",
    "surroundings",
];

/// Tables that come behind the sweep.
const BEHIND: [&str; 2] = ["demand", "load"];

/// Adds a table behind the last one of its kind; the first one of a kind comes before the sweep, but
/// tables of which there is one, loads, demands and what may be chosen at the end. A body is put aside as far as it
/// must be for the text to be `sound`.
///
/// # Errors
/// [`EditError`]: the text is not TOML, there is no such table, or there may be only the one there is.
pub(crate) fn add(
    text: &str,
    table: &str,
    sound: &dyn Fn(&str) -> bool,
) -> Result<Vec<Splice>, EditError> {
    let document = parse(text)?;
    let root = Node::Table(document.as_table());
    let fault = || EditError::NoPlace(table.to_owned());
    if table == "choose" {
        let table = choice(text, sound).ok_or_else(fault)?;
        let (end, newline) = (text.trim_end().len(), newline(text));
        return Ok(vec![Splice::new(end..end, format!("{newline}{newline}{table}"))]);
    }
    let (_, lines) = BEGINNINGS.iter().find(|(known, _)| *known == table).ok_or_else(fault)?;
    let place = place(text, root, table).ok_or_else(fault)?;
    let single = SINGLE.contains(&table);
    let header = if single { format!("[{table}]") } else { format!("[[{table}]]") };
    let newline = newline(text);
    let put = |aside: &str| {
        let filled = lines.iter().map(|line| {
            line.replace("NAME", &quoted(&free_name(root, table)))
                .replace("ASIDE", &quoted(aside))
                .replace("FIRST_CONTACT", &quoted(&first(root, "contact")))
                .replace("FIRST_MAGNET", &quoted(&first(root, "magnet")))
        });
        let body = std::iter::once(header.clone()).chain(filled).collect::<Vec<_>>().join(newline);
        vec![match place {
            Place::Behind(end) => Splice::new(end..end, format!("{newline}{newline}{body}")),
            Place::Before(start) => Splice::new(start..start, format!("{body}{newline}{newline}")),
        }]
    };
    if !sound(text) {
        return Ok(put(ASIDE[1]));
    }
    let tried = ASIDE.iter().map(|aside| put(aside)).find(|made| sound(&spliced(text, made)));
    Ok(tried.unwrap_or_else(|| put(ASIDE[1])))
}

/// Where a table goes.
fn place(text: &str, root: Node<'_>, table: &str) -> Option<Place> {
    let single = SINGLE.contains(&table);
    match root.key(table) {
        Some(tables @ Node::Tables(_)) if !single => {
            let last = tables.elements().into_iter().map(Node::end).max()?;
            Some(Place::Behind(line_end(text, last)))
        }
        Some(_) => None,
        None => match root.key("sweep").and_then(Node::span) {
            Some(sweep) if !single && !BEHIND.contains(&table) => {
                Some(Place::Before(comment_above(text, line_start(text, sweep.start))))
            }
            _ => Some(Place::Behind(text.trim_end().len())),
        },
    }
}

#[derive(Clone, Copy)]
enum Place {
    Behind(usize),
    Before(usize),
}

/// A name that nothing in the design has.
fn free_name(root: Node<'_>, table: &str) -> String {
    let things = ["contact", "magnet", "coil", "conductor", "motor", "steel", "load"]
        .map(|things| root.key(things));
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
