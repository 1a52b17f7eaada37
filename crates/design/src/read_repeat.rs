//! Contacts that repeat at a pitch: one table, several contacts.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::Known;
use crate::model::Repeat;
use crate::reader::Reader;
use reedmace_units::Length;
use std::ops::Range;

/// Which of several equal things a table is read for.
#[derive(Debug, Clone)]
pub(crate) struct Number {
    /// Their common name.
    pub of: String,
    /// From 1.
    pub number: u32,
    pub count: u32,
    /// Its name where a table states it alone.
    pub alone: Option<String>,
}

impl Number {
    /// The name of this one.
    pub fn name(&self) -> String {
        self.alone.clone().unwrap_or_else(|| format!("{} {}", self.of, self.number))
    }

    /// Reads the pitch; its path names all of them, for it is one quantity, but of one that stands alone.
    pub fn read(&self, reader: &Reader<'_>) -> Option<Repeat> {
        let mut pitch = reader.three::<Length>("pitch")?;
        for (axis, value) in pitch.iter_mut().enumerate().filter(|_| self.alone.is_none()) {
            value.path = format!("{}[{}].pitch[{axis}]", reader.spec.name, self.of);
            let known =
                Known { span: value.span.clone(), exact: value.is.is_exact(), mixed: false };
            reader.faults.know(&value.path, known);
        }
        let (of, alone) = (self.of.clone(), self.alone.is_some());
        Some(Repeat { of, number: self.number, count: self.count, pitch, alone })
    }
}

/// Each table as often as it repeats, with paths of their own. `names`: of the tables.
pub(crate) fn repeated<'a>(tables: Vec<Reader<'a>>, names: &[String]) -> Vec<Reader<'a>> {
    let all = tables.into_iter().zip(names).flat_map(|(table, name)| {
        let Some(count) = count(&table) else { return vec![table] };
        if let Some(number) = only(&table, count) {
            // `stage 7` is one of `stage`.
            let of = name.strip_suffix(&format!(" {number}")).unwrap_or(name).to_owned();
            let one = Number { of, number, count, alone: Some(name.clone()) };
            let mut table = table;
            table.repeat = Some(one);
            return vec![table];
        }
        let one = |number: u32| {
            let number = Number { of: name.clone(), number, count, alone: None };
            let mut one = table.clone();
            one.path = format!("{}[{}]", table.spec.name, number.name());
            one.repeat = Some(number);
            one
        };
        (1..=count).map(one).collect()
    });
    all.collect()
}

/// Each table that states a change-over contact twice: for its normally open side, then the other.
pub(crate) fn sides<'a>(tables: Vec<Reader<'a>>) -> Vec<Reader<'a>> {
    let both = |table: Reader<'a>| {
        let stated = table.find("form").filter(|_| table.spec.name == "contact");
        if stated.is_none_or(|form| form.value.as_str() != Some("C")) {
            return vec![table];
        }
        if table.repeat.is_some() {
            table.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "a change-over contact does not repeat")
                    .at(&table.span_of("form"), "has two sides")
                    .beside(&table.span_of("repeat"), "makes it several")
                    .help("give each a table of its own"),
            );
            return vec![table];
        }
        let mut other = table.clone();
        other.normally_closed = true;
        vec![table, other]
    };
    tables.into_iter().flat_map(both).collect()
}

/// The common name of each group of equal things, with the numbers that they have in the list of all.
pub(crate) fn groups(tables: &[Reader<'_>]) -> Vec<(String, Range<usize>)> {
    let of = |table: &Reader<'_>| Some(table.repeat.as_ref()?.of.clone());
    let mut groups: Vec<(String, Range<usize>)> = Vec::new();
    for (at, table) in tables.iter().enumerate() {
        let Some(name) = of(table) else { continue };
        match groups.last_mut().filter(|(last, range)| *last == name && range.end == at) {
            Some((_, range)) => range.end = at + 1,
            None => groups.push((name, at..at + 1)),
        }
    }
    // One alone under a name of its own is no group.
    let alone = |at: usize| {
        tables[at].repeat.as_ref().is_some_and(|one| one.alone.as_ref() == Some(&one.of))
    };
    groups.retain(|(_, range)| !alone(range.start));
    groups
}

/// Which of so many a table states alone, if it does.
fn only(table: &Reader<'_>, count: u32) -> Option<u32> {
    table.find("only")?;
    let (only, span) = table.count("only")?;
    if only > count {
        table.faults.add(
            Diagnostic::error(codes::OUT_OF_RANGE, "`only` is out of range")
                .at(&span, format!("must be 1 to {count}"))
                .beside(&table.span_of("repeat"), "so many there are"),
        );
    }
    Some(only)
}

/// How often a table repeats, if it says so.
fn count(table: &Reader<'_>) -> Option<u32> {
    let stated = table.find("repeat").and_then(|_| table.count("repeat"));
    if stated.is_none() && table.find("repeat").is_none() && table.find("pitch").is_some() {
        table.faults.add(
            Diagnostic::error(codes::NO_PITCH, "a contact has a pitch and does not repeat")
                .at(&table.span_of("pitch"), "from it to the next, of which there is none")
                .help("add repeat = 40, or take the pitch out"),
        );
    }
    let (count, span) = stated?;
    if count > 1 && table.find("pitch").is_none() && !table.may_lack() {
        table.faults.add(
            Diagnostic::error(codes::NO_PITCH, "a contact repeats at one place")
                .at(&span, "needs `pitch`")
                .help("add pitch = [\"0 mm\", \"0 mm\", \"10 mm\"]: from each of them to the next"),
        );
        return None;
    }
    (count > 1).then_some(count)
}
