//! From text to a checked design.

use crate::catalogue::{Catalogue, View};
use crate::check_steel;
use crate::check_whole::{names, report_twice, whole};
use crate::codes;
use crate::diagnostic::{Diagnostic, Severity, line_column};
use crate::faults::{Faults, suggest};
use crate::files::{Load, text_of};
use crate::keys::{
    CHOOSE, COIL, CONDUCTOR, CONTACT, CORRELATION, DEMAND, DESIGN, DOOR, FLOAT, LADDER, LATCH,
    LIFE, LOAD, MAGNET, MOTOR, RELAY, ROTOR, SLOSH, STEEL, SURROUNDINGS, SWEEP, TANK, TARGET,
};
use crate::model::{Coil, Contact, Design, Magnet, Surroundings};
use crate::motion::{Sweep, Thing};
use crate::reach::Scale;
use crate::read_choose;
use crate::read_circle;
use crate::read_coil;
use crate::read_contact;
use crate::read_correlation;
use crate::read_demand;
use crate::read_door;
use crate::read_latch;
use crate::read_level;
use crate::read_life;
use crate::read_load;
use crate::read_relay;
use crate::read_repeat::{groups, repeated, sides};
use crate::read_rotor;
use crate::read_sources;
use crate::read_steel;
use crate::read_sweep::{self, Names};
use crate::read_target;
use crate::reader::{Entry, Reader, wrong_type};
use crate::schema::Table;
use crate::steel::Steel;
use reedmace_materials::{Alloys, Grades, Wires};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The design format this program reads.
pub const FORMAT: u32 = 1;

/// Reads a design file.
///
/// `load` reads other files named in the design (poses, catalogues), by the name given there.
///
/// # Errors
/// Every fault of the text at once, with the warnings among them, in the order of the text.
pub fn parse(text: &str, load: &Load<'_>) -> Result<(Design, Vec<Diagnostic>), Vec<Diagnostic>> {
    parse_with(text, &Catalogue::builtin(), &Grades::builtin(), load)
}

/// As [`parse`], with the caller's own catalogue and grades.
///
/// # Errors
/// As [`parse`].
pub fn parse_with(
    text: &str,
    catalogue: &Catalogue,
    grades: &Grades,
    load: &Load<'_>,
) -> Result<(Design, Vec<Diagnostic>), Vec<Diagnostic>> {
    let faults = Faults::new(text);
    let root = read_toml(&faults);
    let file = Reader::new(&DESIGN, String::new(), 0..0, root.get_ref(), &faults);
    let design = read(&file, catalogue, grades, load);
    let sound = !faults.any_error();
    let found = faults.into_found();
    match design {
        Some(design) if sound => Ok((design, found)),
        _ => Err(found),
    }
}

/// Parses the text as far as it can be, reporting what is not TOML.
pub(crate) fn read_toml<'a>(faults: &Faults<'a>) -> Spanned<DeTable<'a>> {
    let (root, errors) = DeTable::parse_recoverable(faults.text);
    for error in &errors {
        faults.damaged.set(true);
        let span = error.span().unwrap_or(0..0);
        let (message, help) = plain_words(error.message());
        let fault = Diagnostic::error(codes::NOT_TOML, "the file is not valid TOML here")
            .at(&widened(&span, faults.text), message);
        faults.add(fault.help(help));
    }
    root
}

/// What the parser means, and what to do about it.
fn plain_words(message: &str) -> (&str, &'static str) {
    if message.contains("must be quoted") {
        ("text stands in quotes", "for example gap = \"0.05 mm\"")
    } else if message.contains("duplicate key") {
        (
            "stands twice in this table",
            "keep one; further contacts, magnets, coils and demands each begin with their own [[...]]",
        )
    } else if message.contains("key with no value") {
        ("a key without `=`", "a line reads: key = value")
    } else {
        (
            message,
            "a line reads key = value, text stands in quotes, lists in [ ], tables begin with [name] or [[name]]",
        )
    }
}

/// At least one character, so that there is something to mark.
fn widened(span: &Range<usize>, text: &str) -> Range<usize> {
    if !span.is_empty() {
        return span.clone();
    }
    let start = span.start.min(text.len());
    let next = text[start..].chars().next().filter(|next| *next != '\n').map_or(0, char::len_utf8);
    start..start + next
}

/// The tables of `[[name]]`, each with its path by name or number.
pub(crate) fn tables<'a>(file: &Reader<'a>, spec: &'static Table) -> Vec<Reader<'a>> {
    let Some(node) = file.find(spec.name) else { return Vec::new() };
    let DeValue::Array(list) = node.value else {
        let name = spec.name;
        file.faults.add(
            Diagnostic::error(codes::WRONG_TYPE, format!("`{name}` must be a list of tables"))
                .at(&node.span, format!("this is {}", node.what()))
                .help(format!("begin each with double brackets: [[{name}]]")),
        );
        return Vec::new();
    };
    let mut readers = Vec::new();
    for (index, element) in list.iter().enumerate() {
        let element = node.child(element);
        let Some(table) = element.value.as_table() else {
            let (name, header) = (spec.name, format!("[[{}]]", spec.name));
            file.faults.add(wrong_type(
                &format!("`{name}`"),
                &element,
                "a list of tables",
                &header,
            ));
            continue;
        };
        let name = table.get("name").and_then(|name| name.get_ref().as_str());
        let path = match name {
            Some(name) => format!("{}[{name}]", spec.name),
            None => format!("{}[{index}]", spec.name),
        };
        readers.push(Reader::new(spec, path, element.span, table, file.faults));
    }
    readers
}

/// The table `[name]`.
fn table<'a>(file: &Reader<'a>, spec: &'static Table) -> Option<Reader<'a>> {
    let node = file.node(spec.name)?;
    let Some(table) = node.value.as_table() else {
        let name = spec.name;
        file.faults.add(
            Diagnostic::error(codes::WRONG_TYPE, format!("`{name}` must be one table"))
                .at(&node.span, format!("this is {}", node.what()))
                .help(format!("begin it with single brackets: [{name}]")),
        );
        return None;
    };
    Some(Reader::new(spec, spec.name.to_owned(), node.span, table, file.faults))
}

fn format_version(file: &Reader<'_>) {
    let Some(node) = file.find("format") else {
        if !file.faults.damaged.get() {
            file.faults.add(
                Diagnostic::error(codes::FORMAT_MISSING, "the file does not state its format version")
                    .at(&widened(&(0..0), file.faults.text), "needs `format` at the top")
                    .help(format!("add format = {FORMAT} as the first line, so that later versions can still read the file")),
            );
        }
        return;
    };
    let stated = match node.value {
        DeValue::Integer(digits) => u32::from_str_radix(digits.as_str(), digits.radix()).ok(),
        _ => None,
    };
    if stated != Some(FORMAT) {
        file.faults.add(
            Diagnostic::error(
                codes::FORMAT_UNKNOWN,
                "the format version is not known to this program",
            )
            .at(&node.span, format!("must be {FORMAT}"))
            .help(format!(
                "this program reads format = {FORMAT}; a newer file needs a newer program"
            )),
        );
    }
}

/// The catalogue with the files the design names.
fn extended(
    file: &Reader<'_>,
    catalogue: &Catalogue,
    grades: &Grades,
    load: &Load<'_>,
) -> Catalogue {
    let mut catalogue = catalogue.clone();
    let names = file.find("catalogue").and_then(|_| file.texts("catalogue")).unwrap_or_default();
    for (name, span) in names {
        let Some(text) = text_of(file.faults, &name, &span, load) else { continue };
        match catalogue.clone().extended_with(&text, grades) {
            Ok(longer) => catalogue = longer,
            Err(faults) => {
                let lines: Vec<String> = faults
                    .iter()
                    .filter(|fault| fault.severity == Severity::Error)
                    .map(|fault| {
                        let (line, column) = line_column(&text, fault.start());
                        format!("{name}:{line}:{column}: [{}] {}", fault.code, fault.message)
                    })
                    .collect();
                file.faults.add(
                    Diagnostic::error(
                        codes::CATALOGUE_FAULTY,
                        format!("the catalogue \"{name}\" has faults"),
                    )
                    .at(&span, format!("{} found", lines.len()))
                    .help(lines.join("\n")),
                );
            }
        }
    }
    catalogue
}

/// Takes the catalogue entry a table names, if it names one.
fn entered<'a>(reader: &mut Reader<'a>, view: &View<'a>, table: &str, what: &str) {
    let Some(key) = reader.spec.entry_key else { return };
    if reader.find(key).is_none() {
        return;
    }
    let Some((name, span)) = reader.marked_text(key) else { return };
    let entries = view.entries(table);
    if let Some((_, table)) = entries.iter().find(|(known, _)| *known == name) {
        reader.behind(Entry { table, span });
        return;
    }
    let known: Vec<&str> = entries.iter().map(|(name, _)| *name).collect();
    let code = if table == "family" { codes::UNKNOWN_FAMILY } else { codes::UNKNOWN_MAGNET };
    reader.faults.add(
        Diagnostic::error(code, format!("the catalogue has no {what} \"{name}\""))
            .at(&span, "not in the catalogue")
            .help(suggest(&name, &known, "in the catalogue")),
    );
    reader.lose_entry();
}

fn plain(names: &[(String, Range<usize>)]) -> Vec<String> {
    names.iter().map(|(name, _)| name.clone()).collect()
}

fn read(
    file: &Reader<'_>,
    catalogue: &Catalogue,
    grades: &Grades,
    load: &Load<'_>,
) -> Option<Design> {
    format_version(file);
    let title = file.text("title");
    let revision = file.find("revision").and_then(|_| file.text("revision"));
    let note = file.find("note").and_then(|_| file.text("note"));
    let catalogue = extended(file, catalogue, grades, load);
    let parsed = catalogue.parsed();
    let view = View::new(&parsed);

    let mut contact_tables = tables(file, &CONTACT);
    let mut magnet_tables = tables(file, &MAGNET);
    let coil_tables = tables(file, &COIL);
    let conductor_tables = tables(file, &CONDUCTOR);
    let motor_tables = tables(file, &MOTOR);
    let steel_tables = tables(file, &STEEL);
    let contact_names = names(&contact_tables);
    let magnet_names = names(&magnet_tables);
    let coil_names = names(&coil_tables);
    let conductor_names = names(&conductor_tables);
    let motor_names = names(&motor_tables);
    let steel_names = names(&steel_tables);
    for reader in &mut contact_tables {
        entered(reader, &view, "family", "contact family");
    }
    let contact_tables = sides(repeated(contact_tables, &plain(&contact_names)));
    let contact_names = numbered(&contact_tables, &contact_names);
    // Every magnet built, with the place of its name; one table may state several.
    let built: Vec<_> = magnet_tables
        .iter()
        .zip(&magnet_names)
        .flat_map(|(reader, (name, span))| {
            read_circle::built(reader, name)
                .into_iter()
                .map(move |(_, own)| (name, own, span.clone()))
        })
        .collect();
    let numbered = built.iter().filter(|(name, own, _)| *name != own);
    let numbered: Vec<_> = numbered.map(|(_, own, span)| (own.clone(), span.clone())).collect();
    report_twice(
        file.faults,
        &[
            &contact_names[..],
            &magnet_names,
            &coil_names,
            &conductor_names,
            &motor_names,
            &steel_names,
            &numbered,
        ]
        .concat(),
    );
    for reader in &mut magnet_tables {
        entered(reader, &view, "stock", "magnet");
    }
    let coil_list = plain(&coil_names);
    let contacts: Vec<Option<Contact>> = contact_tables
        .iter()
        .zip(plain(&contact_names))
        .map(|(reader, name)| {
            let again =
                reader.repeat.as_ref().is_some_and(|one| one.number > 1 && one.alone.is_none());
            file.faults.told.set(again || reader.normally_closed);
            let contact = read_contact::contact(reader, name, &coil_list);
            file.faults.told.set(false);
            contact
        })
        .collect();
    let magnets: Vec<Option<Vec<Magnet>>> = magnet_tables
        .iter()
        .zip(plain(&magnet_names))
        .map(|(reader, name)| read_circle::magnets(reader, &name, grades))
        .collect();
    let wires = Wires::builtin();
    let coils: Vec<Option<Coil>> = coil_tables
        .iter()
        .zip(plain(&coil_names))
        .map(|(reader, name)| read_coil::coil(reader, name, &wires))
        .collect();
    let conductors: Vec<_> = conductor_tables
        .iter()
        .zip(plain(&conductor_names))
        .map(|(reader, name)| read_sources::conductor(reader, name))
        .collect();
    let motors: Vec<_> = motor_tables
        .iter()
        .zip(plain(&motor_names))
        .map(|(reader, name)| read_sources::motor(reader, name))
        .collect();
    let alloys = Alloys::builtin();
    let steel: Vec<Option<Steel>> = steel_tables
        .iter()
        .zip(plain(&steel_names))
        .map(|(reader, name)| read_steel::steel(reader, name, &alloys, load))
        .collect();

    let of_tables = built.iter().enumerate().filter(|(_, (name, own, _))| *name != own);
    let of_tables = of_tables.map(|(k, (name, ..))| ((*name).clone(), Thing::Magnet(k))).collect();
    let sides = contact_tables.iter().enumerate().filter(|(_, table)| table.normally_closed);
    let of_sides =
        sides.map(|(k, _)| (contact_names[k - 1].0.clone(), Thing::Contact(k))).collect();
    let things = [
        named(&contact_names, Thing::Contact),
        // What moves a change-over contact moves both of its sides.
        of_sides,
        built.iter().enumerate().map(|(k, (_, own, _))| (own.clone(), Thing::Magnet(k))).collect(),
        of_tables,
        named(&coil_names, Thing::Coil),
        named(&steel_names, Thing::Steel),
    ]
    .concat();
    let sweep_table = table(file, &SWEEP);
    let sweep = sweep_table.as_ref().and_then(|reader| {
        read_sweep::sweep(reader, &Names { things: &things, coils: &coils }, load)
    });
    let level = level(file, sweep_table.as_ref(), sweep.as_ref(), contacts.len());
    let kind = sweep_table.as_ref().and_then(|reader| reader.find("kind"));
    let scale = match &sweep {
        Some(sweep) => Some(Scale::of(sweep)),
        None => kind.and_then(|node| Scale::of_kind(node.value.as_str()?)),
    };
    let contact_list = plain(&contact_names);
    let rotor = file
        .find(ROTOR.name)
        .map(|_| read_rotor::rotor(&table(file, &ROTOR)?, &contact_list, sweep.as_ref()));
    let relay = file
        .find(RELAY.name)
        .map(|_| read_relay::relay(&table(file, &RELAY)?, &coil_list, &coils, sweep.as_ref()));
    let latch =
        file.find(LATCH.name).map(|_| read_latch::latch(&table(file, &LATCH)?, sweep.as_ref()));
    let load_tables = tables(file, &LOAD);
    let load_names = names(&load_tables);
    report_twice(file.faults, &load_names);
    let loads: Vec<_> = load_tables
        .iter()
        .zip(plain(&load_names))
        .map(|(reader, name)| read_load::load(reader, name, &contact_list))
        .collect();
    let life = file.find(LIFE.name).map(|_| read_life::life(&table(file, &LIFE)?, load));
    let surroundings = surroundings(file);
    let correlations = read_correlation::correlations(&tables(file, &CORRELATION));
    let door = file.find(DOOR.name).and_then(|_| table(file, &DOOR)).map(|reader| {
        let known =
            read_door::Known { sweep: sweep.as_ref(), magnets: &magnets, catalogue: &view, grades };
        read_door::door(&reader, &known)
    });
    let target = file
        .find(TARGET.name)
        .and_then(|_| table(file, &TARGET))
        .map(|reader| read_target::target(&reader, sweep.as_ref()));
    let choose = file.find(CHOOSE.name).and_then(|_| table(file, &CHOOSE)).map(|reader| {
        let known = read_choose::Known { families: &view, grades, wires: &wires };
        read_choose::choose(&reader, file, &known)
    });

    let contacts_stated = file.find("contact").and_then(|node| node.value.as_array());
    if !file.states("contact") || contacts_stated.is_some_and(|list| list.is_empty()) {
        file.report_missing("contact");
    }
    let design = || {
        Some(Design {
            format: FORMAT,
            title: title?,
            revision,
            note,
            text: file.faults.text.to_owned(),
            contacts: contacts.into_iter().collect::<Option<_>>()?,
            magnets: magnets.into_iter().collect::<Option<Vec<_>>>()?.concat(),
            coils: coils.into_iter().collect::<Option<_>>()?,
            conductors: conductors.into_iter().collect::<Option<_>>()?,
            motors: motors.into_iter().collect::<Option<_>>()?,
            steel: steel.into_iter().collect::<Option<_>>()?,
            sweep: sweep.clone()?,
            level: level?,
            rotor: match rotor {
                Some(rotor) => Some(rotor?),
                None => None,
            },
            relay: match relay {
                Some(relay) => Some(relay?),
                None => None,
            },
            latch: match latch {
                Some(latch) => Some(latch?),
                None => None,
            },
            loads: loads.into_iter().collect::<Option<_>>()?,
            life: match life {
                Some(life) => Some(life?),
                None => None,
            },
            demands: Vec::new(),
            surroundings: surroundings?,
            correlations: correlations?,
            door: door.flatten(),
            target: target.flatten(),
            choose: choose.flatten(),
        })
    };
    let design = design();
    // What figures there are shows only in a design that is sound otherwise.
    let figures = design.as_ref().map(Design::figures);
    let groups = groups(&contact_tables);
    let known = read_demand::Known {
        contacts: &contact_list,
        groups: &groups,
        sweep: sweep.as_ref(),
        scale: scale.as_ref(),
        figures: figures.as_deref(),
    };
    let demands: Vec<_> =
        tables(file, &DEMAND).iter().map(|reader| read_demand::demands(reader, &known)).collect();
    let demands = demands.into_iter().collect::<Option<Vec<_>>>();
    let design = Design { demands: demands?.concat(), ..design? };
    if !file.faults.damaged.get() {
        whole(file.faults, &design, sweep_table.as_ref()?, &contact_list);
        check_steel::places(file.faults, &design);
    }
    Some(design)
}

fn named(names: &[(String, Range<usize>)], thing: impl Fn(usize) -> Thing) -> Vec<(String, Thing)> {
    names.iter().enumerate().map(|(index, (name, _))| (name.clone(), thing(index))).collect()
}

/// The tables of a level sweep; `Some(None)` for another sweep, `None` if they are faulty.
fn level(
    file: &Reader<'_>,
    sweep_table: Option<&Reader<'_>>,
    sweep: Option<&Sweep>,
    contacts: usize,
) -> Option<Option<crate::level::Level>> {
    let [float, tank, slosh, ladder] = [&FLOAT, &TANK, &SLOSH, &LADDER]
        .map(|spec| file.find(spec.name).and_then(|_| table(file, spec)));
    let tables = read_level::Tables {
        float: float.as_ref(),
        tank: tank.as_ref(),
        slosh: slosh.as_ref(),
        ladder: ladder.as_ref(),
    };
    let sweep_table = sweep_table?;
    let kind = sweep_table.find("kind").and_then(|node| node.value.as_str());
    if kind == Some("level") {
        return tables.read(sweep_table, contacts).map(Some);
    }
    if sweep.is_some() {
        tables.report_idle(sweep_table);
    }
    Some(None)
}

/// Name of the normally closed side of a change-over contact.
fn normally_closed(name: &str) -> String {
    format!("{name} NC")
}

/// Names of tables that repeat, those of each with its number, and of the sides of change-over contacts.
fn numbered(
    tables: &[Reader<'_>],
    names: &[(String, Range<usize>)],
) -> Vec<(String, Range<usize>)> {
    let mut stated = names.iter();
    let mut name = names.first();
    let named = tables.iter().map(|table| {
        let another =
            table.repeat.as_ref().is_none_or(|one| one.number == 1 || one.alone.is_some());
        if another && !table.normally_closed {
            name = stated.next();
        }
        let (plain, span) = name.expect("each table has a name");
        if table.normally_closed {
            return (normally_closed(plain), span.clone());
        }
        (table.repeat.as_ref().map_or(plain.clone(), |one| one.name()), span.clone())
    });
    named.collect()
}

fn surroundings(file: &Reader<'_>) -> Option<Surroundings> {
    let nothing = DeTable::new();
    let reader = if file.find("surroundings").is_some() {
        table(file, &SURROUNDINGS)?
    } else {
        let path = SURROUNDINGS.name.to_owned();
        return surroundings_of(&Reader::new(&SURROUNDINGS, path, 0..0, &nothing, file.faults));
    };
    surroundings_of(&reader)
}

fn surroundings_of(reader: &Reader<'_>) -> Option<Surroundings> {
    let temperature = reader.one("temperature");
    let field = reader.three("field");
    let (earth, matters) = (reader.one("earth"), reader.one("matters"));
    Some(Surroundings {
        temperature: temperature?,
        field: field?,
        earth: earth?,
        matters: matters?,
    })
}
