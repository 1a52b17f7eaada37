//! A table of the file, read by its description: whatever is wrong is reported, never the first only.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::{Faults, listing, nearest};
use crate::read_repeat::Number;
use crate::schema::{Key, Kind, Need, Table};
use crate::value::Value;
use reedmace_units::Quantity;
use std::cell::Cell;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// A value in the file or in a catalogue entry the file names.
#[derive(Clone)]
pub(crate) struct Node<'a> {
    pub value: &'a DeValue<'a>,
    /// Where to point in the design's text.
    pub span: Range<usize>,
    /// The value stands in a catalogue, not in the design's text.
    pub foreign: bool,
}

impl<'a> Node<'a> {
    /// What it is, in messages.
    pub fn what(&self) -> &'static str {
        match self.value {
            DeValue::String(_) => "text",
            DeValue::Integer(_) => "a whole number",
            DeValue::Float(_) => "a number with a fraction",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        }
    }

    /// An element of this value.
    pub fn child(&self, element: &'a toml::Spanned<DeValue<'a>>) -> Self {
        let span = if self.foreign { self.span.clone() } else { element.span() };
        Self { value: element.get_ref(), span, foreign: self.foreign }
    }
}

/// A catalogue entry behind a table.
#[derive(Clone)]
pub(crate) struct Entry<'a> {
    pub table: &'a DeTable<'a>,
    /// The entry's name in the design.
    pub span: Range<usize>,
}

/// One table of the file.
#[derive(Clone)]
pub(crate) struct Reader<'a> {
    pub spec: &'static Table,
    /// `contact[lid]`
    pub path: String,
    /// The table's header, for what is missing from it.
    pub header: Range<usize>,
    pub faults: &'a Faults<'a>,
    lost_entry: bool,
    /// The table itself stands in a catalogue.
    pub foreign: bool,
    /// Which of several equal things it is read for.
    pub repeat: Option<Number>,
    /// It is read for the normally closed side of a change-over contact.
    pub normally_closed: bool,
    chosen: Cell<Option<(&'static str, &'static str)>>,
    table: &'a DeTable<'a>,
    entry: Option<Entry<'a>>,
}

impl<'a> Reader<'a> {
    /// Reads `table` as `spec`; unknown keys are reported at once.
    pub fn new(
        spec: &'static Table,
        path: String,
        header: Range<usize>,
        table: &'a DeTable<'a>,
        faults: &'a Faults<'a>,
    ) -> Self {
        let reader = Self {
            spec,
            path,
            header,
            faults,
            lost_entry: false,
            foreign: false,
            repeat: None,
            normally_closed: false,
            chosen: Cell::new(None),
            table,
            entry: None,
        };
        reader.report_unknown();
        reader
    }

    /// The same table with its quantities under another path.
    pub fn at_path(&self, path: String) -> Self {
        Self {
            spec: self.spec,
            path,
            header: self.header.clone(),
            faults: self.faults,
            lost_entry: self.lost_entry,
            foreign: self.foreign,
            repeat: self.repeat.clone(),
            normally_closed: self.normally_closed,
            chosen: self.chosen.clone(),
            table: self.table,
            entry: self.entry.clone(),
        }
    }

    /// Notes that the table names a catalogue entry which does not exist.
    pub fn lose_entry(&mut self) {
        self.lost_entry = true;
    }

    /// True when what is missing may only be lost: in text that is no TOML, or in a catalogue entry
    /// that does not exist. That is told already.
    pub fn may_lack(&self) -> bool {
        self.lost_entry || self.faults.damaged.get()
    }

    /// Takes what the table lacks from a catalogue entry.
    pub fn behind(&mut self, entry: Entry<'a>) {
        self.entry = Some(entry);
    }

    fn report_unknown(&self) {
        // Keys whose own header was lost end up in the file itself.
        if self.spec.name == "design" && self.faults.damaged.get() {
            return;
        }
        let known: Vec<&str> = self.spec.keys().map(|key| key.name).collect();
        for key in self.table.keys() {
            let name: &str = key.get_ref();
            if known.contains(&name) {
                continue;
            }
            let help = match nearest(name, known.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("known here: {}", known.join(", ")),
            };
            let message = if self.spec.name == "design" {
                format!("a design has no `{name}`")
            } else {
                format!("a {} has no `{name}`", self.spec.name)
            };
            self.faults.add(
                Diagnostic::error(codes::UNKNOWN_KEY, message)
                    .at(&key.span(), "not known here")
                    .help(help),
            );
        }
    }

    /// Settles which shape or kind this table is: keys of others are reported, and a key described
    /// more than once is taken as described for this one.
    pub fn choose(&self, chooser: &'static str, chosen: &'static str) {
        self.chosen.set(Some((chooser, chosen)));
        for (key, _) in self.table {
            let name: &str = key.get_ref();
            let described: Vec<&Key> = self.spec.keys().filter(|one| one.name == name).collect();
            let fits = |one: &&Key| one.only.is_none_or(|(_, words)| words.contains(&chosen));
            if described.is_empty() || described.iter().any(fits) {
                continue;
            }
            let owners: Vec<String> = described
                .iter()
                .filter_map(|one| one.only)
                .flat_map(|(_, words)| words)
                .map(|word| format!("\"{word}\""))
                .collect();
            let owners: Vec<&str> = owners.iter().map(String::as_str).collect();
            let message = match chosen.len() {
                1 => format!("a {} of {chooser} {chosen} has no `{name}`", self.spec.name),
                _ => format!("a {chosen} has no `{name}`"),
            };
            self.faults.add(
                Diagnostic::error(codes::KEY_OUT_OF_PLACE, message)
                    .at(&key.span(), format!("only where {chooser} is {}", listing(&owners, "or")))
                    .help(format!("remove it, or choose another {chooser}")),
            );
        }
    }

    /// The description of one of this table's keys.
    pub fn key(&self, name: &str) -> &'static Key {
        let fits = |key: &&Key| match (key.only, self.chosen.get()) {
            (Some((by, words)), Some((chooser, chosen))) if by == chooser => {
                words.contains(&chosen)
            }
            _ => true,
        };
        let of_name = || self.spec.keys().filter(|key| key.name == name);
        of_name()
            .find(fits)
            .or_else(|| of_name().next())
            .unwrap_or_else(|| panic!("{} describes no {name}", self.spec.name))
    }

    /// The value of a key, in the file or behind it; nothing is reported.
    pub fn find(&self, name: &str) -> Option<Node<'a>> {
        if let Some(value) = self.table.get(name) {
            if self.foreign {
                let (value, span) = (value.get_ref(), self.header.clone());
                return Some(Node { value, span, foreign: true });
            }
            let (span, value) = (value.span(), value.get_ref());
            // What was lost to a syntax error reads as an empty text of no length.
            return (!span.is_empty()).then_some(Node { value, span, foreign: false });
        }
        self.find_behind(name)
    }

    /// The value of a key in the catalogue entry behind the table.
    fn find_behind(&self, name: &str) -> Option<Node<'a>> {
        let entry = self.entry.as_ref()?;
        let value = entry.table.get(name)?.get_ref();
        Some(Node { value, span: entry.span.clone(), foreign: true })
    }

    /// A quantity of the catalogue entry behind the table, whatever the table itself says.
    pub fn behind_one<Q: Quantity>(&self, name: &str) -> Option<Value<Q>> {
        let Kind::One(measured) = self.key(name).kind else { panic!("{name} is not a quantity") };
        let node = self.find_behind(name)?;
        self.quantity(name, &node, self.path_of(name), measured)
    }

    /// The bytes of a key's value; of the header when it is absent or no name is given.
    pub fn span_of_or_header(&self, name: &str) -> Range<usize> {
        if name.is_empty() { self.header.clone() } else { self.span_of(name) }
    }

    /// True when the file itself holds the key.
    pub fn states(&self, name: &str) -> bool {
        self.table.contains_key(name)
    }

    /// The bytes of a key's value, or of the header when it is absent.
    pub fn span_of(&self, name: &str) -> Range<usize> {
        self.find(name).map_or(self.header.clone(), |node| node.span)
    }

    /// The value of a key; a required one that is absent is reported.
    pub fn node(&self, name: &str) -> Option<Node<'a>> {
        let found = self.find(name);
        if found.is_none() && self.key(name).need == Need::Required && !self.states(name) {
            self.report_missing(name);
        }
        found
    }

    /// Reports that a key is absent.
    pub fn report_missing(&self, name: &str) {
        if self.may_lack() || self.is_mistyped(name) {
            return;
        }
        let key = self.key(name);
        let example = match key.kind {
            Kind::Table(_) => format!("a table [{name}]"),
            Kind::Tables(_) if key.example.is_empty() => format!("a table [[{name}]]"),
            _ => format!("e.g. {name} = {}", key.example),
        };
        let what = self.title();
        self.faults.add(
            Diagnostic::error(codes::MISSING_KEY, format!("{what} has no `{name}`"))
                .at(&self.header, format!("needs `{name}`"))
                .help(format!("add {example} ({})", lower_first(key.doc))),
        );
    }

    /// True when an unknown key of the table was probably meant to be this one; that is told already.
    fn is_mistyped(&self, name: &str) -> bool {
        let known: Vec<&str> = self.spec.keys().map(|key| key.name).collect();
        self.table.keys().any(|key| {
            let written: &str = key.get_ref();
            !known.contains(&written) && nearest(written, known.iter().copied()) == Some(name)
        })
    }

    /// `contact "lid"`, `the sweep`
    pub fn title(&self) -> String {
        match self.path.split_once('[') {
            Some((table, rest)) => match rest.split_once(']') {
                Some((name, "")) => format!("{table} \"{name}\""),
                _ => self.path.clone(),
            },
            None if self.path.is_empty() => "the design".to_owned(),
            None => format!("the {}", self.path),
        }
    }

    /// The path of a key: `contact[lid].gap`.
    pub fn path_of(&self, name: &str) -> String {
        if self.path.is_empty() { name.to_owned() } else { format!("{}.{name}", self.path) }
    }

    /// Reports a value of the wrong kind; says what is wanted, and what would do.
    pub fn wrong_type(&self, name: &str, node: &Node<'_>, wanted: &str) {
        let key = self.key(name);
        self.faults.add(wrong_type(&format!("`{name}`"), node, wanted, key.example));
    }

    /// Free text.
    pub fn text(&self, name: &str) -> Option<String> {
        self.marked_text(name).map(|(text, _)| text)
    }

    /// Free text and its place.
    pub fn marked_text(&self, name: &str) -> Option<(String, Range<usize>)> {
        let node = self.node(name)?;
        match node.value {
            DeValue::String(text) => Some((text.to_string(), node.span)),
            _ => {
                self.wrong_type(name, &node, "text");
                None
            }
        }
    }

    /// One of the words the key allows.
    pub fn word(&self, name: &str) -> Option<&'static str> {
        let Kind::Word(words) = self.key(name).kind else {
            panic!("{name} is not described as a word")
        };
        let (text, span) = self.marked_text(name)?;
        let found = words.iter().copied().find(|word| *word == text);
        if found.is_none() {
            let choice = listing(words, "or");
            let mut fault =
                Diagnostic::error(codes::UNKNOWN_WORD, format!("`{text}` is no {name}"))
                    .at(&span, format!("must be {choice}"));
            if let Some(near) = nearest(&text, words.iter().copied()) {
                fault = fault.help(format!("did you mean `{near}`?"));
            }
            self.faults.add(fault);
        }
        found
    }

    /// A whole number in the key's range, and its place.
    pub fn count(&self, name: &str) -> Option<(u32, Range<usize>)> {
        let Kind::Count(low, high) = self.key(name).kind else {
            panic!("{name} is not described as a count")
        };
        let node = self.node(name)?;
        let DeValue::Integer(digits) = node.value else {
            self.wrong_type(name, &node, "a whole number");
            return None;
        };
        let number = u32::from_str_radix(digits.as_str(), digits.radix())
            .ok()
            .filter(|number| (low..=high).contains(number));
        if number.is_none() {
            let message = format!("`{name}` is out of range");
            self.faults.add(
                Diagnostic::error(codes::OUT_OF_RANGE, message)
                    .at(&node.span, format!("must be {low} to {high}")),
            );
        }
        number.map(|number| (number, node.span))
    }

    /// A text, or a list of texts, each with its place.
    pub fn texts(&self, name: &str) -> Option<Vec<(String, Range<usize>)>> {
        let node = self.node(name)?;
        let elements = match node.value {
            DeValue::Array(elements) => elements.iter().map(|one| node.child(one)).collect(),
            _ => vec![node],
        };
        let mut texts = Vec::new();
        for element in elements {
            match element.value {
                DeValue::String(text) => texts.push((text.to_string(), element.span)),
                _ => self.wrong_type(name, &element, "a name, or a list of names"),
            }
        }
        Some(texts)
    }
}

pub(crate) fn wrong_type(what: &str, node: &Node<'_>, wanted: &str, example: &str) -> Diagnostic {
    let found = node.what();
    let fault = Diagnostic::error(codes::WRONG_TYPE, format!("{what} must be {wanted}"))
        .at(&node.span, format!("this is {found}"));
    if example.is_empty() { fault } else { fault.help(format!("for example {example}")) }
}

/// A sentence of the key table inside another sentence.
pub(crate) fn lower_first(sentence: &str) -> String {
    let mut letters = sentence.trim_end_matches('.').chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
