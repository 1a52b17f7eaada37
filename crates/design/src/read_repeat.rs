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
}

impl Number {
    /// The name of this one.
    pub fn name(&self) -> String {
        format!("{} {}", self.of, self.number)
    }

    /// Reads the pitch; its path names all of them, for it is one quantity.
    pub fn read(&self, reader: &Reader<'_>) -> Option<Repeat> {
        let mut pitch = reader.three::<Length>("pitch")?;
        for (axis, value) in pitch.iter_mut().enumerate() {
            value.path = format!("{}[{}].pitch[{axis}]", reader.spec.name, self.of);
            let known =
                Known { span: value.span.clone(), exact: value.is.is_exact(), mixed: false };
            reader.faults.know(&value.path, known);
        }
        Some(Repeat { of: self.of.clone(), number: self.number, count: self.count, pitch })
    }
}

/// Each table as often as it repeats, with paths of their own. `names`: of the tables.
pub(crate) fn repeated<'a>(tables: Vec<Reader<'a>>, names: &[String]) -> Vec<Reader<'a>> {
    let all = tables.into_iter().zip(names).flat_map(|(table, name)| {
        let Some(count) = count(&table) else { return vec![table] };
        let one = |number: u32| {
            let number = Number { of: name.clone(), number, count };
            let mut one = table.clone();
            one.path = format!("{}[{}]", table.spec.name, number.name());
            one.repeat = Some(number);
            one
        };
        (1..=count).map(one).collect()
    });
    all.collect()
}

/// The common name of each group of equal things, with the numbers that they have in the list of all.
pub(crate) fn groups(tables: &[Reader<'_>]) -> Vec<(String, Range<usize>)> {
    let first = |(at, table): (usize, &Reader<'_>)| {
        let one = table.repeat.as_ref().filter(|one| one.number == 1)?;
        Some((one.of.clone(), at..at + one.count as usize))
    };
    tables.iter().enumerate().filter_map(first).collect()
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
