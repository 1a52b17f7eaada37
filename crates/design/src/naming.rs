//! A contact or a coil that a table names by the key of that word.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::reader::Reader;
use std::ops::Range;

/// A name that no `thing` of the design has.
pub(crate) fn unknown(
    name: &str,
    span: &Range<usize>,
    thing: &'static str,
    known: &[&str],
) -> Diagnostic {
    Diagnostic::error(codes::UNKNOWN_NAME, format!("there is no {thing} \"{name}\""))
        .at(span, format!("not the name of a [[{thing}]]"))
        .help(suggest(name, known, &format!("{thing}s of this design")))
}

/// The index of the `thing` that a table names, which it must.
pub(crate) fn index(reader: &Reader<'_>, thing: &'static str, known: &[&str]) -> Option<usize> {
    let (name, span) = reader.marked_text(thing)?;
    let found = known.iter().position(|one| *one == name);
    if found.is_none() {
        reader.faults.add(unknown(&name, &span, thing, known));
    }
    found
}

/// The index of the contact that a table names; unsaid, of the only one. `unsaid`: what is wrong if there
/// are more.
pub(crate) fn contact(reader: &Reader<'_>, contacts: &[String], unsaid: &str) -> Option<usize> {
    let known: Vec<&str> = contacts.iter().map(String::as_str).collect();
    if reader.find("contact").is_some() {
        return index(reader, "contact", &known);
    }
    if contacts.len() == 1 {
        return Some(0);
    }
    reader.faults.add(
        Diagnostic::error(codes::MISSING_KEY, unsaid)
            .at(&reader.header, "needs `contact`")
            .help(suggest("", &known, "contacts of this design")),
    );
    None
}
