//! `[door]`.

use crate::catalogue::View;
use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::door::Door;
use crate::faults::{Faults, suggest};
use crate::keys::MAGNET;
use crate::model::Magnet;
use crate::motion::Sweep;
use crate::read_sources;
use crate::reader::{Entry, Reader};
use reedmace_materials::Grades;
use toml::de::DeTable;

/// What a door may name.
pub(crate) struct Known<'k> {
    pub sweep: Option<&'k Sweep>,
    /// Those of each table.
    pub magnets: &'k [Option<Vec<Magnet>>],
    pub catalogue: &'k View<'k>,
    pub grades: &'k Grades,
}

/// Reads the door.
pub(crate) fn door(reader: &Reader<'_>, known: &Known<'_>) -> Option<Door> {
    let shut = match reader.find("shut") {
        Some(_) => reader.word("shut"),
        None => Some("to"),
    };
    let edge = match reader.find("edge") {
        Some(_) => Some(reader.one("edge")?),
        None => None,
    };
    let sweep = known.sweep?;
    if !matches!(sweep, Sweep::Line(_) | Sweep::Arc(_)) {
        reader.faults.add(
            Diagnostic::error(codes::NO_DOOR, "a door runs along a line or turns on an arc")
                .at(&reader.header, format!("this is a {} sweep", sweep.word()))
                .help("leave [door] out, or state the path of the door"),
        );
        return None;
    }
    if edge.is_some() && !matches!(sweep, Sweep::Arc(_)) {
        reader.faults.add(
            Diagnostic::error(codes::EDGE_WITHOUT_HINGE, "only a door on an arc has a hinge")
                .at(&reader.span_of("edge"), "measured from a hinge")
                .help("leave `edge` out: along a line the coordinate itself tells the gap"),
        );
        return None;
    }
    Some(Door { shut_at_end: shut? == "to", edge, outsiders: outsiders(reader, known)? })
}

fn outsiders(reader: &Reader<'_>, known: &Known<'_>) -> Option<Vec<Magnet>> {
    let stock = known.catalogue.entries("stock");
    let of_stock = |name: &str| {
        let (_, table) = stock.iter().find(|(entry, _)| *entry == name)?;
        // Its faults, if it had any, were told where the catalogue was read.
        let faults = Faults::new("");
        let nothing = DeTable::new();
        let mut reader = Reader::new(&MAGNET, format!("outsider[{name}]"), 0..0, &nothing, &faults);
        reader.behind(Entry { table, span: 0..0 });
        read_sources::magnet(&reader, name.to_owned(), known.grades)
    };
    if reader.find("outsiders").is_none() {
        return stock.iter().map(|(name, _)| of_stock(name)).collect();
    }
    let own =
        |name: &str| known.magnets.iter().flatten().flatten().find(|magnet| magnet.name == name);
    let mut found = Vec::new();
    let mut good = true;
    for (name, span) in reader.texts("outsiders")? {
        if let Some(magnet) = own(&name).cloned().or_else(|| of_stock(&name)) {
            found.push(magnet);
            continue;
        }
        good = false;
        let names: Vec<&str> = known
            .magnets
            .iter()
            .flatten()
            .flatten()
            .map(|magnet| magnet.name.as_str())
            .chain(stock.iter().map(|(name, _)| *name))
            .collect();
        reader.faults.add(
            Diagnostic::error(codes::UNKNOWN_NAME, format!("there is no magnet \"{name}\""))
                .at(&span, "neither a magnet of this design nor of the catalogue")
                .help(suggest(&name, &names, "magnets of design and catalogue")),
        );
    }
    good.then_some(found)
}
