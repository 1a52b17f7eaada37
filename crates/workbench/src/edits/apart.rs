//! Equal things that one table states, each in a table of its own: magnets on a circle, contacts of a row.

use super::{EditError, New, Node, Splice, parse, set, spliced};
use std::collections::HashMap;

/// What stands for several equal things: the tables, and the key that says which one of them a table states.
const SEVERAL: [(&str, &[&str], &str); 2] =
    [("magnet", &["circle", "count"], "circle.only"), ("contact", &["repeat"], "only")];

/// The text with every magnet of a circle and every contact of a row in a table of its own, and the paths of
/// those by that of the table that stated them: `magnet[pole]` to `magnet[pole 1]` and so on. A text without
/// such tables stays as it is.
///
/// # Errors
/// [`EditError`]: the text is not TOML, or a circle is not one.
pub(crate) fn apart(text: &str) -> Result<(String, HashMap<String, Vec<String>>), EditError> {
    let mut parted = HashMap::new();
    let mut text = text.to_owned();
    while let Some((table, only, name, count, block)) = next(&text)? {
        let own = &text[block.clone()];
        let names: Vec<String> = (1..=count).map(|k| format!("{name} {k}")).collect();
        let one = |(k, as_named): (usize, &String)| {
            let quoted = toml_edit::Value::from(as_named.as_str()).to_string();
            let new = [
                New { path: format!("{table}[{name}].name"), toml: quoted },
                New { path: format!("{table}[{name}].{only}"), toml: (k + 1).to_string() },
            ];
            set(own, &new, &|_| None).map(|splices| spliced(own, &splices))
        };
        let tables: Vec<String> = names.iter().enumerate().map(one).collect::<Result<_, _>>()?;
        let tables = tables.iter().map(|table| table.trim_end()).collect::<Vec<_>>().join("\n\n");
        text = spliced(&text, &[Splice::new(block, tables)]);
        text = all_moved(&text, &name, &names)?;
        let paths = names.iter().map(|name| format!("{table}[{name}]")).collect();
        parted.insert(format!("{table}[{name}]"), paths);
    }
    Ok((text, parted))
}

/// A table that stands for several: its kind, the key that says which, its name, how many, and its bytes.
type Several = (&'static str, &'static str, String, usize, std::ops::Range<usize>);

/// The first table that stands for several.
fn next(text: &str) -> Result<Option<Several>, EditError> {
    let document = parse(text)?;
    let root = Node::Table(document.as_table());
    let of = |(table, count, only): (&'static str, &[&str], &'static str)| {
        let several = |node: &Node<'_>| {
            let within = |keys: &[&str]| keys.iter().try_fold(*node, |node, key| node.key(key));
            let Node::Value(toml_edit::Value::Integer(count)) = within(count)? else { return None };
            let count = usize::try_from(*count.value()).ok().filter(|count| *count > 1)?;
            let span = node.span()?.start..node.end();
            let keys: Vec<&str> = only.split('.').collect();
            within(&keys).is_none().then_some((table, only, node.name()?.to_owned(), count, span))
        };
        let tables = root.key(table).map(Node::elements).unwrap_or_default();
        tables.iter().find_map(several)
    };
    Ok(SEVERAL.into_iter().find_map(of))
}

/// The text with each of `names` moved by the sweep where `name` is.
fn all_moved(text: &str, name: &str, names: &[String]) -> Result<String, EditError> {
    let document = parse(text)?;
    let moves = Node::Table(document.as_table()).key("sweep").and_then(|sweep| sweep.key("moves"));
    let Some(Node::Value(value)) = moves else { return Ok(text.to_owned()) };
    let stated: Vec<&str> = match value {
        toml_edit::Value::Array(list) => list.iter().filter_map(|one| one.as_str()).collect(),
        one => one.as_str().into_iter().collect(),
    };
    if !stated.contains(&name) {
        return Ok(text.to_owned());
    }
    let all: toml_edit::Array = stated
        .into_iter()
        .flat_map(|one| if one == name { names.to_vec() } else { vec![one.to_owned()] })
        .collect();
    let new = [New { path: "sweep.moves".into(), toml: all.to_string() }];
    Ok(spliced(text, &set(text, &new, &|_| None)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WHEEL: &str = include_str!("../../../../designs/paddle-wheel.toml");

    #[test]
    fn prop_apart_is_the_same_wheel() {
        let parse =
            |text: &str| reedmace_design::parse(text, &|_| unreachable!()).expect("sound").0;
        let (text, circles) = apart(WHEEL).expect("apart");
        assert_eq!(
            circles["magnet[pole]"].join(", "),
            "magnet[pole 1], magnet[pole 2], magnet[pole 3], magnet[pole 4]"
        );
        let (whole, each) = (parse(WHEEL), parse(&text));
        assert_eq!(each.sweep.moves(), whole.sweep.moves());
        assert_eq!(each.magnets.len(), 4);
        for (a, b) in whole.magnets.iter().zip(&each.magnets) {
            let (of_a, of_b) = (a.circle.as_ref().unwrap(), b.circle.as_ref().unwrap());
            assert_eq!((&a.name, of_a.number, a.sense()), (&b.name, of_b.number, b.sense()));
            assert_eq!(of_a.radius.path, of_b.radius.path);
        }
        assert!(text.contains("# 5 mm by 5 mm, magnetised along it"));
        let lid = include_str!("../../../../designs/hopper-lid.toml");
        assert_eq!(apart(lid).expect("nothing to do").0, lid);
    }

    /// A row of contacts apart is the same row: places, order, names, and what a demand on all of them is about.
    #[test]
    fn prop_a_settled_row_has_the_values_it_was_given() {
        const TANK: &str = include_str!("../../../../designs/nutrient-tank.toml");
        let parse =
            |text: &str| reedmace_design::parse(text, &|_| unreachable!()).expect("sound").0;
        let values =
            [("contact[stage 7].at[2]", "80.2 mm"), ("contact[stage].pitch[2]", "10.1 mm")];
        let values = values.map(|(path, value)| (path.to_owned(), value.to_owned()));
        let catalogue = reedmace_design::Catalogue::builtin();
        let text = crate::settled(TANK, &values, &catalogue).expect("settled");
        let (whole, apart) = (parse(TANK), parse(&text));
        assert_eq!(apart.contacts.len(), 16);
        for (k, (a, b)) in whole.contacts.iter().zip(&apart.contacts).enumerate() {
            assert_eq!(a.name, b.name);
            let lift = if k == 6 { 0.2e-3 } else { 0.0 };
            let expected = a.centre()[2] + 0.1e-3 * k as f64 + lift;
            assert!((b.centre()[2] - expected).abs() < 1e-12, "{} {expected}", b.centre()[2]);
        }
        assert_eq!(whole.demands.len(), apart.demands.len());
        assert_eq!(whole.demands[3].contact, apart.demands[3].contact);
    }

    #[test]
    fn prop_a_settled_circle_has_the_values_it_was_given() {
        let values = [
            ("magnet[pole 2].circle.radius", "18.05 mm"),
            ("magnet[pole].at[2]", "1 mm"),
            ("magnet[pole 3].remanence", "1.19 T"),
        ];
        let values = values.map(|(path, value)| (path.to_owned(), value.to_owned()));
        let catalogue = reedmace_design::Catalogue::builtin();
        let text = crate::settled(WHEEL, &values, &catalogue).expect("settled");
        let design = reedmace_design::parse(&text, &|_| unreachable!()).expect("sound").0;
        let radius = |k: usize| design.magnets[k].circle.as_ref().unwrap().radius.is.to_string();
        assert_eq!((radius(0).as_str(), radius(1).as_str()), ("18 ± 0.1 mm", "18.05 mm"));
        assert!(design.magnets.iter().all(|m| m.at[2].is.to_string() == "1 mm"));
        assert_eq!(design.magnets[2].material.remanence().is.to_string(), "1.19 T");
    }
}
