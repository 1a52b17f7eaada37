//! Contact families and magnets that a design may name.
//!
//! A catalogue is a TOML file of `[[family]]` and `[[stock]]` tables with the keys of a contact and
//! of a magnet. Everything in the built-in one is invented; a user's own file extends it, and an
//! entry with a name already known replaces it.

use crate::codes;
use crate::diagnostic::{Diagnostic, Severity};
use crate::faults::Faults;
use crate::keys::{CATALOGUE, FAMILY, STOCK};
use crate::read_contact;
use crate::read_design::{read_toml, tables};
use crate::read_sources;
use crate::reader::Reader;
use crate::schema::Table;
use crate::value::Value;
use reedmace_materials::Grades;
use reedmace_units::Ratio;
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// The contact family taken for a conversion where none is named: 14 mm glass, general purpose.
pub const DEFAULT_FAMILY: &str = "sedge";

const CONTACTS: &str = include_str!("../data/contacts.toml");
const MAGNETS: &str = include_str!("../data/magnets.toml");

/// Contact families and magnets that a design may name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Catalogue {
    /// Sound catalogue files; entries of later ones replace those of earlier ones.
    texts: Vec<String>,
}

/// An entry of a catalogue, for lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// What a design calls it.
    pub name: String,
    /// What it is.
    pub note: Option<String>,
}

impl Catalogue {
    /// The catalogue that comes with the program.
    pub fn builtin() -> Self {
        Self { texts: vec![CONTACTS.to_owned(), MAGNETS.to_owned()] }
    }

    /// This catalogue and the entries of `text`.
    ///
    /// # Errors
    /// Every fault of `text`, pointing into it.
    pub fn extended_with(mut self, text: &str, grades: &Grades) -> Result<Self, Vec<Diagnostic>> {
        let faults = check(text, grades);
        if faults.iter().any(|fault| fault.severity == Severity::Error) {
            return Err(faults);
        }
        self.texts.push(text.to_owned());
        Ok(self)
    }

    /// Every contact family.
    pub fn families(&self) -> Vec<Listed> {
        self.listed("family")
    }

    /// Every magnet.
    pub fn magnets(&self) -> Vec<Listed> {
        self.listed("stock")
    }

    /// What a contact family states: each key with its value as TOML.
    pub fn family(&self, name: &str) -> Vec<(String, String)> {
        self.stated("family", name)
    }

    /// What a magnet states: each key with its value as TOML.
    pub fn magnet(&self, name: &str) -> Vec<(String, String)> {
        self.stated("stock", name)
    }

    fn stated(&self, table: &str, name: &str) -> Vec<(String, String)> {
        let of = |text: &String| {
            let (file, _) = DeTable::parse_recoverable(text);
            let files = [file.into_inner()];
            let entries = View::new(&files).entries(table);
            let (_, entry) = entries.into_iter().find(|(known, _)| *known == name)?;
            let pair = |(key, value): (&Spanned<DeString<'_>>, &Spanned<DeValue<'_>>)| {
                (key.get_ref().to_string(), text[value.span()].to_owned())
            };
            Some(entry.iter().map(pair).collect())
        };
        self.texts.iter().rev().find_map(of).unwrap_or_default()
    }

    fn listed(&self, table: &str) -> Vec<Listed> {
        let parsed = self.parsed();
        let text = |entry: &DeTable<'_>, key: &str| {
            entry.get(key).and_then(|value| value.get_ref().as_str()).map(str::to_owned)
        };
        View::new(&parsed)
            .entries(table)
            .into_iter()
            .map(|(name, entry)| Listed { name: name.to_owned(), note: text(entry, "note") })
            .collect()
    }

    /// The files as trees, to be looked into by a [`View`].
    pub(crate) fn parsed(&self) -> Vec<DeTable<'_>> {
        self.texts.iter().map(|text| DeTable::parse_recoverable(text).0.into_inner()).collect()
    }
}

/// The entries of parsed catalogue files.
pub(crate) struct View<'a> {
    files: &'a [DeTable<'a>],
}

impl<'a> View<'a> {
    pub fn new(files: &'a [DeTable<'a>]) -> Self {
        Self { files }
    }

    /// Every entry of `[[table]]`, by name, the last of each name.
    pub fn entries(&self, table: &str) -> Vec<(&'a str, &'a DeTable<'a>)> {
        let mut entries: Vec<(&str, &DeTable<'_>)> = Vec::new();
        for file in self.files {
            let Some(DeValue::Array(list)) = file.get(table).map(|value| value.get_ref()) else {
                continue;
            };
            for entry in list.iter().filter_map(|entry| entry.get_ref().as_table()) {
                let name = entry.get("name").and_then(|name| name.get_ref().as_str());
                let Some(name) = name else { continue };
                match entries.iter_mut().find(|(known, _)| *known == name) {
                    Some(known) => known.1 = entry,
                    None => entries.push((name, entry)),
                }
            }
        }
        entries
    }
}

/// Every fault of a catalogue file.
pub fn check(text: &str, grades: &Grades) -> Vec<Diagnostic> {
    let faults = Faults::new(text);
    let root = read_toml(&faults);
    let file = Reader::new(&CATALOGUE, String::new(), 0..0, root.get_ref(), &faults);
    each(&file, &FAMILY, |reader| {
        // A family has no coils beside it to name: its test coil is a table or "uniform".
        read_contact::body(reader, &[]);
    });
    each(&file, &STOCK, |reader| {
        read_sources::magnet_body(reader, grades);
        let _: Option<Value<Ratio>> = reader.one("price");
    });
    faults.into_found()
}

fn each(file: &Reader<'_>, spec: &'static Table, read: impl Fn(&Reader<'_>)) {
    let mut names: Vec<String> = Vec::new();
    for reader in tables(file, spec) {
        if let Some((name, span)) = reader.marked_text("name") {
            if names.contains(&name) {
                file.faults.add(
                    Diagnostic::error(
                        codes::NAME_TWICE,
                        format!("two entries are named \"{name}\""),
                    )
                    .at(&span, "already taken")
                    .help("give each entry of a file its own name"),
                );
            }
            names.push(name);
        }
        read(&reader);
    }
}
