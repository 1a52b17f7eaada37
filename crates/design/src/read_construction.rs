//! What a contact is made of.

use crate::codes;
use crate::construction::Construction;
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::reader::Reader;
use reedmace_materials::{ContactMetal, ContactMetals};

/// Reads what the contact states of its construction.
pub(crate) fn construction(reader: &Reader<'_>) -> Option<Construction> {
    let resistance = reader.one("contact_resistance");
    let metal = match reader.find("metal") {
        Some(_) => metal(reader).map(Some),
        None => Some(None),
    };
    Some(Construction { metal: metal?, resistance: resistance? })
}

fn metal(reader: &Reader<'_>) -> Option<ContactMetal> {
    let (name, span) = reader.marked_text("metal")?;
    let metals = ContactMetals::builtin();
    let found = metals.find(&name).cloned();
    if found.is_none() {
        let known: Vec<&str> = metals.iter().map(|metal| metal.name.as_str()).collect();
        reader.faults.add(
            Diagnostic::error(codes::UNKNOWN_METAL, format!("the metal \"{name}\" is not known"))
                .at(&span, "not in the table of contact metals")
                .help(suggest(&name, &known, "contact metals")),
        );
    }
    found
}
