//! What a contact is made of.

use crate::codes::{self, Code};
use crate::construction::{Construction, Fill};
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::reader::Reader;
use reedmace_materials::{Alloys, ContactMetals, Glasses};

/// Reads what the contact states of its construction.
pub(crate) fn construction(reader: &Reader<'_>) -> Option<Construction> {
    let (resistance, pressure) = (reader.one("contact_resistance"), reader.one("gas_pressure"));
    let restitution = reader.one("restitution");
    let metals = ContactMetals::builtin();
    let names: Vec<&str> = metals.iter().map(|metal| metal.name.as_str()).collect();
    let metal = row(reader, "metal", "contact metals", codes::UNKNOWN_METAL, &names, |name| {
        metals.find(name).cloned()
    });
    let alloys = Alloys::builtin();
    let names: Vec<&str> = alloys.iter().map(|alloy| alloy.name.as_str()).collect();
    let alloy = row(reader, "alloy", "alloys", codes::UNKNOWN_ALLOY, &names, |name| {
        alloys.find(name).cloned()
    });
    let glasses = Glasses::builtin();
    let names: Vec<&str> = glasses.iter().map(|glass| glass.name.as_str()).collect();
    let glass = row(reader, "glass", "glasses", codes::UNKNOWN_GLASS, &names, |name| {
        glasses.find(name).cloned()
    });
    let gas = match reader.find("gas") {
        Some(_) => reader.word("gas").map(Some),
        None => Some(None),
    };
    let fill =
        |word| Fill::WORDS.into_iter().find(|(known, _)| *known == word).map(|(_, fill)| fill);
    Some(Construction {
        metal: metal?,
        resistance: resistance?,
        alloy: alloy?,
        glass: glass?,
        gas: gas?.and_then(fill),
        pressure: pressure?,
        restitution: restitution?,
    })
}

/// A row of a table of materials by its name; `Some(None)` if the key is absent.
fn row<R>(
    reader: &Reader<'_>,
    key: &str,
    table: &str,
    code: Code,
    names: &[&str],
    find: impl Fn(&str) -> Option<R>,
) -> Option<Option<R>> {
    if reader.find(key).is_none() {
        return Some(None);
    }
    let (name, span) = reader.marked_text(key)?;
    let found = find(&name);
    if found.is_none() {
        reader.faults.add(
            Diagnostic::error(code, format!("the {key} \"{name}\" is not known"))
                .at(&span, format!("not in the table of {table}"))
                .help(suggest(&name, names, table)),
        );
    }
    found.map(Some)
}
