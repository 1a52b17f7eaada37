//! Paths of a design: `magnet[slug].size[1]`, to what stands there in the text.

use std::ops::Range;
use toml_edit::{Item, Table, Value};

/// One step of a path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Step {
    /// `.key`, or a key at the beginning.
    Key(String),
    /// `[slug]` or `[1]`: a table by its name, or anything by its number from 0.
    In(String),
}

/// The steps of a path; `None` if it is none.
pub(crate) fn steps(path: &str) -> Option<Vec<Step>> {
    let mut steps = Vec::new();
    let mut rest = path;
    while !rest.is_empty() {
        if let Some(inner) = rest.strip_prefix('[') {
            let (name, after) = inner.split_once(']')?;
            steps.push(Step::In(name.to_owned()));
            rest = after;
        } else {
            let key = if steps.is_empty() { rest } else { rest.strip_prefix('.')? };
            let end = key.find(['.', '[']).unwrap_or(key.len());
            let (key, after) = key.split_at(end);
            let plain = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
            if key.is_empty() || !key.chars().all(plain) {
                return None;
            }
            steps.push(Step::Key(key.to_owned()));
            rest = after;
        }
    }
    (!steps.is_empty()).then_some(steps)
}

/// Something in the text.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Node<'d> {
    /// A table of its own, or a dotted one.
    Table(&'d Table),
    /// A list of tables of their own.
    Tables(&'d toml_edit::ArrayOfTables),
    /// A value: text, number, list, inline table.
    Value(&'d Value),
}

impl<'d> Node<'d> {
    pub fn of(item: &'d Item) -> Option<Self> {
        match item {
            Item::Table(table) => Some(Self::Table(table)),
            Item::ArrayOfTables(tables) => Some(Self::Tables(tables)),
            Item::Value(value) => Some(Self::Value(value)),
            Item::None => None,
        }
    }

    /// One step further.
    pub fn step(self, step: &Step) -> Option<Node<'d>> {
        match step {
            Step::Key(key) => self.key(key),
            Step::In(name) => {
                let all = self.elements();
                let named = all.iter().copied().find(|one| one.name() == Some(name));
                let numbered = || all.get(name.parse::<usize>().ok()?).copied();
                named.or_else(|| numbered().filter(|one| one.name().is_none()))
            }
        }
    }

    /// As far as the steps lead.
    pub fn walk(self, steps: &[Step]) -> Option<Node<'d>> {
        steps.iter().try_fold(self, |node, step| node.step(step))
    }

    pub fn key(self, key: &str) -> Option<Node<'d>> {
        match self {
            Self::Table(table) => Node::of(table.get(key)?),
            Self::Value(value) => value.as_inline_table()?.get(key).map(Node::Value),
            Self::Tables(_) => None,
        }
    }

    /// The elements of a list, be they tables of their own or values.
    pub fn elements(self) -> Vec<Node<'d>> {
        match self {
            Self::Tables(tables) => tables.iter().map(Node::Table).collect(),
            Self::Value(Value::Array(list)) => list.iter().map(Node::Value).collect(),
            _ => Vec::new(),
        }
    }

    /// The `name` of a table.
    pub fn name(self) -> Option<&'d str> {
        match self.key("name")? {
            Self::Value(Value::String(name)) => Some(name.value()),
            _ => None,
        }
    }

    /// Bytes of a value, or of a table's header.
    pub fn span(self) -> Option<Range<usize>> {
        match self {
            Self::Table(table) => table.span(),
            Self::Tables(tables) => tables.span(),
            Self::Value(value) => value.span(),
        }
    }

    /// Where the last byte of it is, tables within it included.
    pub fn end(self) -> usize {
        let own = self.span().map_or(0, |span| span.end);
        match self {
            Self::Table(table) => {
                let within = table.iter().filter_map(|(_, item)| Node::of(item));
                within.map(Node::end).fold(own, usize::max)
            }
            _ => own,
        }
    }
}
