use super::*;
use proptest::prelude::*;
use toml_edit::Value;

const EXAMPLES: [&str; 6] = [
    include_str!("../../../../designs/cabinet-lid.toml"),
    include_str!("../../../../designs/feed-drawer.toml"),
    include_str!("../../../../designs/hatch-hinge.toml"),
    include_str!("../../../../designs/hopper-lid.toml"),
    include_str!("../../../../designs/paddle-wheel.toml"),
    include_str!("../../../../designs/probe-relay.toml"),
];

/// As the design might be laid out by somebody of other habits.
const ODD: &str = "# head\r\nformat=1 # one\r\ntitle = 'odd µ'\r\n\r\n# the contact\r\n[[contact]]\r\n  \
    name = \"lid\" # its name\r\n  coil.length = \"2 mm\"\r\n  at = [\r\n    \"0 mm\", # x\r\n    \
    { value = \"3 mm\", source = \"guess\" },\r\n    \"1 mm\",\r\n  ]\r\n  operate = { value = \"20 AT\" }\r\n\
    [contact.extra]\r\nq = {}\r\n\r\n# free\r\n\r\n# the sweep\r\n[sweep]\r\nkind = \"line\"";

/// Paths of every value of a text.
fn paths(node: Node<'_>, path: &str, found: &mut Vec<String>) {
    if let Node::Value(value) = node
        && !path.is_empty()
        && !value.is_inline_table()
        && !value.is_array()
    {
        found.push(path.to_owned());
    }
    for (k, one) in node.elements().into_iter().enumerate() {
        let name = one.name().map_or_else(|| k.to_string(), str::to_owned);
        paths(one, &format!("{path}[{name}]"), found);
    }
    let keys: Vec<String> = match node {
        Node::Table(table) => table.iter().map(|(key, _)| key.to_owned()).collect(),
        Node::Value(Value::InlineTable(table)) => table.iter().map(|(k, _)| k.to_owned()).collect(),
        _ => Vec::new(),
    };
    for key in keys {
        let dot = if path.is_empty() { "" } else { "." };
        paths(node.key(&key).unwrap(), &format!("{path}{dot}{key}"), found);
    }
}

fn texts() -> Vec<&'static str> {
    EXAMPLES
        .into_iter()
        .chain(reedmace_design::TEMPLATES.iter().map(|(_, text)| *text))
        .chain([ODD])
        .collect()
}

fn read<'d>(document: &'d Document<&str>, path: &str) -> Option<&'d Value> {
    match Node::Table(document.as_table()).walk(&steps(path)?)? {
        Node::Value(value) => Some(value),
        _ => None,
    }
}

fn one(path: &str, toml: &str) -> [New; 1] {
    [New { path: path.to_owned(), toml: toml.to_owned() }]
}

fn sound(text: &str) -> bool {
    reedmace_design::parse(text, &|_| Err(std::io::ErrorKind::NotFound.into())).is_ok()
}

fn nothing(_: &str) -> Option<String> {
    None
}

proptest! {
    /// Whatever is put into any value of any design: it is there, and every other byte is as it was.
    #[test]
    fn prop_a_set_value_is_there_and_all_else_is_as_it_was(
        which in any::<prop::sample::Index>(),
        text in any::<prop::sample::Index>(),
        value in "[ -~µ±°\n\"'\\\\]{0,24}",
    ) {
        let all = texts();
        let text = text.get(&all);
        let mut found = Vec::new();
        let document = parse(text).unwrap();
        paths(Node::Table(document.as_table()), "", &mut found);
        let path = which.get(&found);
        let before = read(&document, path).unwrap().span().unwrap();
        let toml = Value::from(value.as_str()).to_string();
        let splices = set(text, &one(path, &toml), &nothing).unwrap();
        prop_assert_eq!(splices.len(), 1);
        prop_assert_eq!(&splices[0].span, &before);
        let new = spliced(text, &splices);
        let again = parse(&new).unwrap();
        prop_assert_eq!(&new[..before.start], &text[..before.start]);
        prop_assert!(new.ends_with(&text[before.end..]));
        if path.ends_with("name") && path.contains('[') {
            return Ok(());
        }
        prop_assert_eq!(read(&again, path).and_then(Value::as_str), Some(value.as_str()), "{}", path);
    }

    /// A key that was not there stands in a line of its own, and taking it out again leaves no trace.
    #[test]
    fn prop_a_new_key_is_one_line_more_and_can_be_taken_out(
        text in any::<prop::sample::Index>(),
        table in any::<prop::sample::Index>(),
        value in "[ -~µ]{0,12}",
    ) {
        let all = texts();
        let text = text.get(&all);
        let document = parse(text).unwrap();
        let root = Node::Table(document.as_table());
        let mut tables = vec![String::new()];
        for (key, _) in document.as_table() {
            match root.key(key) {
                Some(Node::Table(_)) => tables.push(format!("{key}.")),
                Some(node @ Node::Tables(_)) => {
                    for (k, one) in node.elements().into_iter().enumerate() {
                        let name = one.name().map_or_else(|| k.to_string(), str::to_owned);
                        tables.push(format!("{key}[{name}]."));
                    }
                }
                _ => (),
            }
        }
        let path = format!("{}quite_new", table.get(&tables));
        let toml = Value::from(value.as_str()).to_string();
        let new = spliced(text, &set(text, &one(&path, &toml), &nothing).unwrap());
        let again = parse(&new).unwrap();
        prop_assert_eq!(read(&again, &path).and_then(Value::as_str), Some(value.as_str()));
        prop_assert_eq!(new.lines().count(), text.lines().count() + 1);
        let back = spliced(&new, &remove(&new, &path).unwrap());
        prop_assert_eq!(back, *text);
    }
}

#[test]
fn prop_any_table_can_be_added_to_any_design_and_it_stays_sound() {
    for text in texts().into_iter().filter(|text| *text != ODD) {
        for table in ["contact", "magnet", "coil", "conductor", "motor", "steel", "demand"] {
            let new = spliced(text, &add(text, table, &sound).unwrap());
            assert!(sound(&new), "{table}: {new}");
            let back = parse(&new).unwrap();
            let count = |d: &Document<&str>| {
                Node::Table(d.as_table()).key(table).map_or(0, |node| node.elements().len())
            };
            assert_eq!(count(&back), count(&parse(text).unwrap()) + 1, "{table}\n{new}");
        }
    }
}

#[test]
fn prop_an_added_table_can_be_removed_again_without_a_trace() {
    let hopper = EXAMPLES[3];
    for (table, path) in [
        ("contact", "contact[contact]"),
        ("magnet", "magnet[magnet]"),
        ("steel", "steel[steel]"),
        ("motor", "motor[motor]"),
    ] {
        let new = spliced(hopper, &add(hopper, table, &sound).unwrap());
        assert_eq!(spliced(&new, &remove(&new, path).unwrap()), hopper, "{path}");
    }
}

#[test]
fn prop_a_latch_is_added_once_to_a_contact_that_a_magnet_holds() {
    let hatch = include_str!("../../../../designs/pond-hatch.toml");
    let latched = spliced(hatch, &add(hatch, "latch", &sound).unwrap());
    assert!(sound(&latched) && latched.ends_with("\n\n[latch]\n"), "{latched}");
    assert!(add(&latched, "latch", &sound).is_err());
}

#[test]
fn prop_what_a_sweep_is_for_is_added_once_and_is_complete() {
    let wheel = include_str!("../../../../designs/paddle-wheel.toml");
    let tank = include_str!("../../../../designs/nutrient-tank.toml");
    let gate = include_str!("../../../../designs/gate-latch.toml");
    let store = include_str!("../../../../designs/store-door.toml");
    for (text, table) in [
        (wheel, "rotor"),
        (tank, "tank"),
        (tank, "slosh"),
        (tank, "ladder"),
        (gate, "target"),
        (store, "door"),
    ] {
        assert!(add(text, table, &sound).is_err(), "a second {table}");
        let mut bare = spliced(text, &remove(text, table).unwrap());
        // What sloshes is in a tank, and demands of a table's figures go with it.
        if table == "tank" {
            bare = spliced(&bare, &remove(&bare, "slosh").unwrap());
        }
        let bare = match bare.split_once("\n[[demand]]") {
            Some((before, _)) => before.to_owned(),
            None => bare,
        };
        assert!(sound(&bare), "{bare}");
        let new = spliced(&bare, &add(&bare, table, &sound).unwrap());
        assert!(sound(&new) && new.contains(&format!("\n\n[{table}]\n")), "{new}");
    }
    for text in EXAMPLES {
        let new = spliced(text, &add(text, "life", &sound).unwrap());
        assert!(sound(&new) && new.ends_with("\n\n[life]\n"), "{new}");
    }
}

#[test]
fn a_removed_table_takes_its_comment_and_nothing_else_along() {
    let new = spliced(ODD, &remove(ODD, "contact[lid]").unwrap());
    let expected = "# head\r\nformat=1 # one\r\ntitle = 'odd µ'\r\n\r\n# free\r\n\r\n# the sweep\r\n[sweep]\r\nkind = \"line\"";
    assert_eq!(new, expected);
}

#[test]
fn a_quantity_may_say_where_it_is_from_and_change_without_losing_that() {
    let text = "[[magnet]]\nname = \"a\"\nlength = \"4 mm\" # turned\n";
    let sourced = spliced(
        text,
        &set(text, &one("magnet[a].length.source", "\"measured\""), &nothing).unwrap(),
    );
    assert_eq!(
        sourced,
        "[[magnet]]\nname = \"a\"\nlength = { value = \"4 mm\", source = \"measured\" } # turned\n"
    );
    let set_again = set(&sourced, &one("magnet[a].length", "\"5 mm\""), &nothing).unwrap();
    assert!(
        spliced(&sourced, &set_again)
            .contains("{ value = \"5 mm\", source = \"measured\" } # turned")
    );
    let bare = remove(&sourced, "magnet[a].length.source").unwrap();
    assert!(spliced(&sourced, &bare).contains("length = { value = \"4 mm\" } # turned"));
}

#[test]
fn elements_of_a_list_that_is_not_there_make_the_list_once() {
    let text = "[[magnet]]\nname = \"a\"\n";
    let new = [("magnet[a].at[2]", "\"9 mm\""), ("magnet[a].at[0]", "\"1 mm\"")]
        .map(|(path, toml)| New { path: path.into(), toml: toml.into() });
    let rest = |path: &str| (path == "magnet[a].at[1]").then(|| "\"0 mm\"".to_owned());
    let made = spliced(text, &set(text, &new, &rest).unwrap());
    assert_eq!(made, "[[magnet]]\nname = \"a\"\nat = [\"1 mm\", \"0 mm\", \"9 mm\"]\n");
}

#[test]
fn keys_find_their_place_in_tables_of_every_form() {
    let cases = [
        (
            "a[x].coil.turns",
            "[[a]]\nname = \"x\"\ncoil = { length = \"2 mm\" }\n",
            "coil = { length = \"2 mm\", turns = 1 }",
        ),
        ("a[x].coil.turns", "[[a]]\nname = \"x\"\ncoil = {}\n", "coil = { turns = 1 }"),
        ("a[x].coil.turns", "[[a]]\nname = \"x\"\ncoil = \"uniform\"\n", "coil = { turns = 1 }"),
        ("a[x].coil.turns", "[[a]]\nname = \"x\"\n", "name = \"x\"\ncoil = { turns = 1 }\n"),
        (
            "a[x].coil.turns",
            "[[a]]\nname = \"x\"\ncoil.length = 2\n",
            "coil.length = 2\ncoil.turns = 1\n",
        ),
        ("b.turns", "a = 1", "a = 1\n\n[b]\nturns = 1\n"),
        ("b.turns", "[b]\n[c]\n", "[b]\nturns = 1\n[c]\n"),
        ("turns", "[b]\n", "turns = 1\n[b]\n"),
    ];
    for (path, text, expected) in cases {
        let new = spliced(text, &set(text, &one(path, "1"), &nothing).unwrap());
        assert!(new.contains(expected), "{path} in {text}: {new}");
    }
}

#[test]
fn what_cannot_be_changed_is_refused() {
    let text = "a = [1]\n[t]\n";
    for path in ["t", "a[1]", "x[y].z", "a b", "", "t."] {
        assert!(set(text, &one(path, "1"), &nothing).is_err(), "{path}");
    }
    assert!(matches!(set("a = ", &one("a", "1"), &nothing), Err(EditError::NotToml(_))));
    assert!(matches!(set("a = 1", &one("a", "no value"), &nothing), Err(EditError::NoValue(_))));
    assert!(matches!(remove("a = 1", "b"), Err(EditError::NoPlace(_))));
}
