//! A design as a form: one section a table, one field a key, from the key table that reads the file.

mod kinds;

pub(crate) use kinds::{rest, toml_of};

use crate::edits::{Node, parse};
use crate::wire::{Field, FieldKind, Section};
use kinds::{applies, default_element, inner};
use reedmace_design::{
    Catalogue, SourceMark,
    keys::{DESIGN, TEST_COIL},
    line_column,
    schema::{Key, Kind, Measured, Need, Table},
};
use reedmace_materials::{Alloys, Grades};
use toml_edit::Value;

/// Tables that are shown though the text does not have them.
const ALWAYS: [&str; 2] = ["sweep", "surroundings"];

const AXES: [&str; 3] = ["x", "y", "z"];

/// The form of a text; `None` where it is no TOML.
pub(crate) fn form(text: &str, catalogue: &Catalogue, grades: &Grades) -> Option<Vec<Section>> {
    let document = parse(text).ok()?;
    let root = Node::Table(document.as_table());
    let maker = Maker { text, root, catalogue, grades };
    let mut sections = vec![maker.section(&DESIGN, Some(root), String::new(), false)];
    for key in DESIGN.keys() {
        match key.kind {
            Kind::Tables(table) => maker.list(table, &mut sections),
            Kind::Table(table)
                if ALWAYS.contains(&table.name) || root.key(table.name).is_some() =>
            {
                maker.single(table, &mut sections);
            }
            _ => (),
        }
    }
    Some(sections)
}

/// What the text says a key is, or what is taken where it says nothing.
pub(crate) fn stated(
    text: &str,
    path: &str,
    catalogue: &Catalogue,
    grades: &Grades,
) -> Option<String> {
    let sections = form(text, catalogue, grades)?;
    let field = sections.into_iter().flat_map(|s| s.fields).find(|field| field.path == path)?;
    field.text.or(field.default)
}

struct Maker<'a> {
    text: &'a str,
    root: Node<'a>,
    catalogue: &'a Catalogue,
    grades: &'a Grades,
}

impl<'a> Maker<'a> {
    fn list(&self, table: &'static Table, sections: &mut Vec<Section>) {
        let entries = self.root.key(table.name).map(Node::elements).unwrap_or_default();
        for (k, entry) in entries.into_iter().enumerate() {
            let name = entry.name().map_or_else(|| k.to_string(), str::to_owned);
            let path = format!("{}[{name}]", table.name);
            sections.push(self.section(table, Some(entry), path, true));
        }
    }

    fn single(&self, table: &'static Table, sections: &mut Vec<Section>) {
        let entry = self.root.key(table.name);
        sections.push(self.section(table, entry, table.name.to_owned(), entry.is_some()));
    }

    fn section(
        &self,
        table: &'static Table,
        entry: Option<Node<'a>>,
        path: String,
        removable: bool,
    ) -> Section {
        let behind = self.behind(table, entry);
        let mut fields = Vec::new();
        for key in table.keys().filter(|key| applies(key, entry, &behind)) {
            let path =
                if path.is_empty() { key.name.into() } else { format!("{path}.{}", key.name) };
            self.fields(
                key,
                entry.and_then(|entry| entry.key(key.name)),
                path,
                &behind,
                &mut fields,
            );
        }
        Section {
            table: table.name,
            name: entry.and_then(Node::name).map(str::to_owned),
            path,
            summary: table.doc,
            removable,
            line: entry.and_then(|entry| self.line(entry)),
            fields,
        }
    }

    /// What the catalogue entry that a table names states in its stead.
    fn behind(&self, table: &Table, entry: Option<Node<'_>>) -> Vec<(String, String)> {
        let named = table.entry_key.zip(entry).and_then(|(key, entry)| text_of(entry.key(key)?));
        match (named, table.name) {
            (Some(name), "contact") => self.catalogue.family(&name),
            (Some(name), "magnet") => self.catalogue.magnet(&name),
            _ => Vec::new(),
        }
    }

    fn fields(
        &self,
        key: &'static Key,
        stated: Option<Node<'a>>,
        path: String,
        behind: &[(String, String)],
        fields: &mut Vec<Field>,
    ) {
        match key.kind {
            Kind::Tables(_) | Kind::Table(_) if key.example.is_empty() => (),
            Kind::Three(measured) => {
                for (k, axis) in AXES.iter().enumerate() {
                    let element = stated.and_then(|list| list.elements().get(k).copied());
                    let path = format!("{path}[{k}]");
                    let mut field = self.field(key, element.or(stated), path, behind);
                    field.key = format!("{} {axis}", key.name);
                    field.default = default_element(key, behind, k).map(|toml| plain(&toml));
                    field.example =
                        inner(key.example, k).map_or(String::new(), |toml| plain(&toml));
                    field.measured(measured);
                    fields.push(field);
                }
            }
            Kind::TestCoil | Kind::Table(_)
                if stated.is_some_and(|node| text_of(node).is_none()) =>
            {
                let inner = if let Kind::Table(inner) = key.kind { inner } else { &TEST_COIL };
                for part in inner.keys() {
                    let path = format!("{path}.{}", part.name);
                    let node = stated.and_then(|whole| whole.key(part.name));
                    let mut field = self.field(part, node, path, &[]);
                    field.key = format!("{} {}", key.name, part.name);
                    fields.push(field);
                }
            }
            _ => fields.push(self.field(key, stated, path, behind)),
        }
    }

    fn field(
        &self,
        key: &'static Key,
        stated: Option<Node<'a>>,
        path: String,
        behind: &[(String, String)],
    ) -> Field {
        let shown = stated.map(|node| text_of(node).unwrap_or_else(|| self.source_of(node)));
        let beside = |name: &str| stated.and_then(|node| text_of(node.key(name)?));
        let from_entry = behind.iter().find(|(name, _)| name == key.name).map(|(_, toml)| toml);
        let default = match (from_entry, key.need) {
            (Some(toml), _) => Some(plain(toml)),
            (None, Need::Default(text)) if matches!(key.kind, Kind::Direction) => {
                Some(format!("[{}]", text.replace(' ', ", ")))
            }
            (None, Need::Default(text)) => Some(text.to_owned()),
            (None, _) => None,
        };
        let choices = self.choices(key);
        let mut field = Field {
            path,
            key: key.name.to_owned(),
            text: shown,
            kind: kind(key),
            required: key.need == Need::Required && default.is_none(),
            choices: (!choices.is_empty()).then_some(choices),
            default,
            unit: None,
            limits: None,
            meaning: key.doc,
            example: plain(key.example),
            source: beside("source").filter(|word| SourceMark::WORDS.contains(&word.as_str())),
            note: beside("note"),
            line: stated.and_then(|node| self.line(node)),
        };
        if let Kind::One(measured) | Kind::Either(measured, _) = key.kind {
            field.measured(measured);
        }
        field
    }

    /// What a key may hold, where there is a list of it.
    fn choices(&self, key: &Key) -> Vec<String> {
        let listed = |all: Vec<reedmace_design::catalogue::Listed>| {
            all.into_iter().map(|entry| entry.name).collect()
        };
        let named = |table: &str| {
            let all = self.root.key(table).map(Node::elements).unwrap_or_default();
            all.iter().filter_map(|one| one.name()).map(str::to_owned).collect::<Vec<_>>()
        };
        match (key.kind, key.name) {
            (Kind::Word(words), _) => words.iter().map(|word| (*word).to_owned()).collect(),
            (Kind::Text, "family") => listed(self.catalogue.families()),
            (Kind::Text, "catalogue") => listed(self.catalogue.magnets()),
            (Kind::Text, "grade") => self.grades.iter().map(|g| g.designation.clone()).collect(),
            (Kind::Text, "alloy") => Alloys::builtin().iter().map(|a| a.name.clone()).collect(),
            (Kind::Text, "contact") => named("contact"),
            (Kind::Text, "coil") => named("coil"),
            (Kind::TestCoil, _) => std::iter::once("uniform".into()).chain(named("coil")).collect(),
            (Kind::Names, _) => ["contact", "magnet", "coil", "steel"].map(named).concat(),
            _ => Vec::new(),
        }
    }

    fn line(&self, node: Node<'_>) -> Option<usize> {
        node.span().filter(|span| !span.is_empty()).map(|span| line_column(self.text, span.start).0)
    }

    /// The text of a value as it stands in the file.
    fn source_of(&self, node: Node<'_>) -> String {
        node.span().map_or(String::new(), |span| self.text[span].to_owned())
    }
}

impl Field {
    fn measured(&mut self, measured: Measured) {
        let unit = measured.measure.units()[0].symbol;
        self.unit = (!unit.is_empty()).then_some(unit);
        self.limits = Some([measured.limits.low, measured.limits.high]);
    }
}

fn kind(key: &Key) -> FieldKind {
    match key.kind {
        Kind::Word(_) => FieldKind::Choice,
        Kind::Count(..) => FieldKind::Number,
        Kind::One(_) | Kind::Either(..) | Kind::Three(_) => FieldKind::Quantity,
        Kind::Text | Kind::Name | Kind::Region | Kind::TestCoil | Kind::Names => FieldKind::Text,
        Kind::Files
        | Kind::Quantities
        | Kind::Numbers
        | Kind::Direction
        | Kind::Poses
        | Kind::Strapping
        | Kind::Free
        | Kind::Table(_)
        | Kind::Tables(_) => FieldKind::List,
    }
}

/// What a value says in plain words: text without quotes, numbers as they are, the quantity of a table
/// that says where it is from; `None` for lists and other tables.
fn text_of(node: Node<'_>) -> Option<String> {
    let Node::Value(value) = node else { return None };
    match value {
        Value::String(text) => Some(text.value().clone()),
        Value::InlineTable(table) => text_of(Node::Value(table.get("value")?)),
        Value::Array(_) => None,
        other => Some(other.to_string().trim().to_owned()),
    }
}

/// A piece of TOML in plain words.
fn plain(toml: &str) -> String {
    let value = toml.parse::<Value>();
    value.ok().and_then(|value| text_of(Node::Value(&value))).unwrap_or_else(|| toml.to_owned())
}
