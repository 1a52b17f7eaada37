//! `[choose]`: what may be chosen, each at its place in the text.

use crate::catalogue::View;
use crate::choose::{Choose, Cost, Free, Options, Within};
use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::keys::{COSTS, DESIGN, RANGE};
use crate::measured;
use crate::read_winding::{is_wire, wires_like};
use crate::reader::{Node, Reader, wrong_type};
use crate::schema::{Key, Kind, Measured, Table};
use crate::value::Value;
use reedmace_materials::{Grades, Wires};
use reedmace_units::Ratio;
use std::ops::Range;
use toml::de::DeValue;

/// Tables of which something may be chosen.
const TABLES: [&str; 5] = ["contact", "magnet", "coil", "steel", "sweep"];
/// Sizes of a magnet.
const SIZES: [&str; 5] = ["size", "diameter", "outer_diameter", "inner_diameter", "length"];
/// Steps of one range at most.
const STEPS: f64 = 1000.0;
/// Combinations of names and steps at most.
const COMBINATIONS: usize = 1_000_000;
/// A value in a range is rounded to a digit no coarser than this part of it.
const FINE: f64 = 200.0;

/// What there is to choose from.
pub(crate) struct Known<'a> {
    pub families: &'a View<'a>,
    pub grades: &'a Grades,
    pub wires: &'a Wires,
}

/// Reads the table; `file` is the whole design. What is faulty in it is left out.
pub(crate) fn choose(reader: &Reader<'_>, file: &Reader<'_>, known: &Known<'_>) -> Option<Choose> {
    let cost = match reader.find("cost") {
        Some(_) => reader.word("cost"),
        None => Some(COSTS[2]),
    };
    let cost = cost.map(|word| match word {
        "price" => Cost::Price,
        "mass" => Cost::Mass,
        "power" => Cost::Power,
        _ => Cost::Volume,
    });
    if cost == Some(Cost::Power) && file.find("relay").is_none() {
        reader.faults.add(
            Diagnostic::error(codes::COST_OF_NO_RELAY, "there is no relay whose coil takes power")
                .at(&reader.span_of("cost"), "power from what supply?")
                .help("add [relay] with its supply, or choose another cost"),
        );
    }
    let wanted: Option<Value<Ratio>> = reader.find("yield").and_then(|_| reader.one("yield"));
    let node = reader.node("free")?;
    let DeValue::Table(table) = node.value else {
        reader.wrong_type("free", &node, "a table of paths");
        return None;
    };
    let mut free = Vec::new();
    for (path, options) in table {
        let (span, options) = (path.span(), node.child(options));
        free.extend(Reading { reader, file, known, path: path.get_ref(), span }.free(&options));
    }
    free.sort_by_key(|free| free.span.start);
    if table.is_empty() {
        reader.faults.add(
            Diagnostic::error(codes::NOTHING_FREE, "nothing is left to choose")
                .at(&node.span, "is empty")
                .help("name what may be chosen, e.g. \"contact[lid].family\" = \"any\""),
        );
    }
    let cost = cost?;
    if matches!(cost, Cost::Mass | Cost::Volume) {
        free.iter().for_each(|one| size_without_steps(reader, one, cost));
    }
    let counts = free.iter().filter_map(|one| one.options.count());
    let all = counts.fold(1, usize::saturating_mul);
    if all > COMBINATIONS {
        reader.faults.add(
            Diagnostic::error(codes::TOO_MANY_CHOICES, "there is too much to choose from")
                .at(&node.span, format!("{all} combinations"))
                .help(format!(
                    "no more than {COMBINATIONS}: name fewer parts, or take wider steps"
                )),
        );
    }
    let wanted = wanted.map(|share| share.si());
    (!free.is_empty()).then(|| Choose { cost, wanted, free, span: reader.header.clone() })
}

/// What a magnet costs must be known before its place is looked for.
fn size_without_steps(reader: &Reader<'_>, free: &Free, cost: Cost) {
    let of_size = free.path.starts_with("magnet[")
        && free.path.split_once("].").is_some_and(|(_, key)| {
            SIZES.contains(&key.split_once('[').map_or(key, |(key, _)| key))
        });
    if of_size && matches!(free.options, Options::Within(_)) {
        let message = format!("`{}` needs steps", free.path);
        reader.faults.add(
            Diagnostic::error(codes::SIZE_NEEDS_STEP, message)
                .at(&free.span, format!("the {} follows from it", cost.word()))
                .help("add e.g. step = \"0.5 mm\": what a choice costs must be known beforehand"),
        );
    }
}

/// One path and where it leads.
struct Reading<'a, 'r> {
    reader: &'r Reader<'a>,
    file: &'r Reader<'a>,
    known: &'r Known<'r>,
    path: &'r str,
    span: Range<usize>,
}

/// A key of the design, the element of it that is meant, and what it holds.
struct Led<'a> {
    table: &'static Table,
    key: &'static Key,
    element: Option<usize>,
    node: Option<Node<'a>>,
    within: Node<'a>,
}

impl Led<'_> {
    /// What the design states of the one wire that it has now.
    fn stated_beside(&self) -> Option<&'static str> {
        let wire = (self.table.name, self.key.name) == ("coil", "wire");
        let stated = self.within.value.as_table().filter(|_| wire)?;
        ["wire_diameter", "wire_overall"].into_iter().find(|key| stated.contains_key(*key))
    }
}

impl<'a> Reading<'a, '_> {
    fn free(&self, options: &Node<'a>) -> Option<Free> {
        let Some(led) = self.led() else {
            self.not_free(
                "leads nowhere",
                "paths read contact[lid].family, magnet[slug].size[0] or sweep.to[2]",
            );
            return None;
        };
        let (kind, element) = (led.key.kind, led.element);
        let quantity = match kind {
            Kind::One(measured) if element.is_none() => Some([measured; 2]),
            Kind::Three(measured) if element.is_some_and(|k| k < 3) => Some([measured; 2]),
            Kind::Either(one, other) if element.is_none() => Some([one, other]),
            _ => None,
        };
        let named = match (led.table.name, led.key.name) {
            ("contact", "family") => Some("family"),
            ("magnet", "catalogue") => Some("stock"),
            ("magnet", "grade") => Some("grade"),
            ("coil", "wire") => Some("wire"),
            _ => None,
        };
        if quantity.is_none() && (named.is_none() || element.is_some()) {
            let what = match kind {
                Kind::Three(_) => "three quantities: say which, [0], [1] or [2]",
                _ => "is no quantity, family, magnet of the catalogue, grade or wire",
            };
            let help = "quantities may be chosen, and `family`, `catalogue`, `grade` and `wire`";
            self.not_free(what, help);
            return None;
        }
        if let Some(key) = led.stated_beside() {
            let what = format!("`{key}` is that of one wire alone");
            self.not_free(&what, &format!("leave `{key}` out: it follows from the wire"));
            return None;
        }
        let Some((stated, place)) = led.node.as_ref().and_then(stated) else {
            self.reader.faults.add(
                Diagnostic::error(
                    codes::NOT_STATED,
                    format!("the design does not state `{}`", self.path),
                )
                .at(&self.span, "has no starting value")
                .help(format!(
                    "write it where it belongs, e.g. {} = {}; the search begins there",
                    led.key.name, led.key.example
                )),
            );
            return None;
        };
        let options = match (named, quantity) {
            (Some(list), _) => Options::Named(self.names(list, led.key, &stated, options)?),
            (_, Some(measures)) => self.range(&measures, &stated, options)?,
            (None, None) => return None,
        };
        Some(Free { path: self.path.to_owned(), span: self.span.clone(), options, place, stated })
    }

    /// Where the path leads.
    fn led(&self) -> Option<Led<'a>> {
        let (head, tail) = self.path.split_once('.')?;
        let ((table, name), (key, element)) = (indexed(head)?, indexed(tail)?);
        let table = TABLES.into_iter().find(|known| *known == table)?;
        let element = element.map(str::parse::<usize>).transpose().ok()?;
        let within = self.file.find(table)?;
        let (spec, within) = match (DESIGN.key(table)?.kind, name) {
            (Kind::Tables(spec), Some(name)) => {
                let DeValue::Array(list) = within.value else { return None };
                let named = |one: &Node<'a>| {
                    let stated = one.value.as_table().and_then(|table| table.get("name"));
                    stated.and_then(|stated| stated.get_ref().as_str()) == Some(name)
                };
                (spec, list.iter().map(|one| within.child(one)).find(named)?)
            }
            (Kind::Table(spec), None) => (spec, within),
            _ => return None,
        };
        let stated = within.value.as_table()?;
        let fits = |one: &&Key| {
            one.only.is_none_or(|(by, words)| {
                let word = stated.get(by).and_then(|word| word.get_ref().as_str());
                word.is_none_or(|word| words.contains(&word))
            })
        };
        let key = spec.keys().filter(|one| one.name == key).find(fits)?;
        let node = stated.get(key.name).map(|value| within.child(value));
        let node = match (element, node) {
            (Some(k), Some(list)) => {
                let elements = list.value.as_array();
                elements.and_then(|all| all.get(k)).map(|one| list.child(one))
            }
            (_, node) => node,
        };
        Some(Led { table: spec, key, element, node, within })
    }

    fn not_free(&self, what: &str, help: &str) {
        let message = format!("`{}` cannot be chosen", self.path);
        self.reader
            .faults
            .add(Diagnostic::error(codes::NOT_FREE, message).at(&self.span, what).help(help));
    }

    /// `"any"`, or a list of names.
    fn names(
        &self,
        list: &str,
        key: &Key,
        stated: &str,
        options: &Node<'a>,
    ) -> Option<Vec<String>> {
        let wires = wires_like(stated, self.known.wires);
        let known: Vec<&str> = match list {
            "grade" => self.known.grades.iter().map(|g| g.designation.as_str()).collect(),
            "wire" => wires.iter().map(String::as_str).collect(),
            _ => self.known.families.entries(list).into_iter().map(|(name, _)| name).collect(),
        };
        let elements: Vec<Node<'a>> = match options.value {
            DeValue::String(word) if *word == *"any" => {
                return Some(known.into_iter().map(str::to_owned).collect());
            }
            DeValue::Array(elements) if !elements.is_empty() => {
                elements.iter().map(|one| options.child(one)).collect()
            }
            _ => {
                let wanted = "\"any\" or a list of names";
                let example = format!("\"any\" or [{}]", key.example);
                self.reader.faults.add(wrong_type(
                    &format!("`{}`", self.path),
                    options,
                    wanted,
                    &example,
                ));
                return None;
            }
        };
        let code = match list {
            "family" => codes::UNKNOWN_FAMILY,
            "stock" => codes::UNKNOWN_MAGNET,
            "wire" => codes::UNKNOWN_WIRE,
            _ => codes::UNKNOWN_GRADE,
        };
        let exists = |name: &str| match list {
            "wire" => is_wire(name, self.known.wires),
            _ => known.contains(&name),
        };
        let mut names = Vec::new();
        for element in elements {
            match element.value {
                DeValue::String(name) if exists(name) => names.push(name.to_string()),
                DeValue::String(name) => self.reader.faults.add(
                    Diagnostic::error(code, format!("there is no {} \"{name}\"", key.name))
                        .at(&element.span, "not known")
                        .help(suggest(name, &known, "to choose from")),
                ),
                _ => {
                    let what = format!("an element of `{}`", self.path);
                    self.reader.faults.add(wrong_type(&what, &element, "a name", key.example));
                }
            }
        }
        let mut known = Vec::new();
        names.retain(|name| {
            !known.contains(name) && {
                known.push(name.clone());
                true
            }
        });
        (!names.is_empty()).then_some(names)
    }

    /// `{ from = ..., to = ..., step = ... }`
    fn range(&self, measures: &[Measured; 2], stated: &str, options: &Node<'a>) -> Option<Options> {
        let DeValue::Table(table) = options.value else {
            let wanted = "a range";
            let example = "{ from = \"8 mm\", to = \"14 mm\", step = \"1 mm\" }";
            self.reader.faults.add(wrong_type(
                &format!("`{}`", self.path),
                options,
                wanted,
                example,
            ));
            return None;
        };
        let faults = self.reader.faults;
        let path = format!("the range of `{}`", self.path);
        let range = Reader::new(&RANGE, path, options.span.clone(), table, faults);
        let reads = |one: &&Measured| measured::limits_of(one.measure, stated).is_ok();
        let measured = *measures.iter().find(reads)?;
        let measure = measured.measure;
        let (from, to) = (self.end(&range, "from", measured), self.end(&range, "to", measured));
        let step = range.find("step").map(|_| self.end(&range, "step", measured));
        let (from, to) = (from?, to?);
        let fault = |key: &str, what: &str| {
            faults.add(
                Diagnostic::error(codes::NO_RANGE, "this is no range to choose from")
                    .at(&range.span_of(key), what)
                    .help("for example { from = \"8 mm\", to = \"14 mm\", step = \"1 mm\" }"),
            );
            None
        };
        if to <= from {
            return fault("to", "must be more than `from`");
        }
        let limits = measured::ends(measured);
        for (key, end) in [("from", from), ("to", to)] {
            if end < limits[0] || end > limits[1] {
                let must = format!("must be {} to {}", measured.limits.low, measured.limits.high);
                let message = format!("`{key}` is out of range");
                faults.add(
                    Diagnostic::error(codes::OUT_OF_RANGE, message).at(&range.span_of(key), must),
                );
                return None;
            }
        }
        let Some(step) = step else {
            let text = range.text("from")?;
            let unit = measured::unit_of(measure, &text);
            let decade = ((to - from) / unit.factor / FINE).log10().floor();
            let digit = unit.factor * 10f64.powf(decade);
            let start = measured::limits_of(measure, stated).ok()?[0];
            return Some(Options::Within(Within { from, to, start, digit, measure }));
        };
        let step = step?;
        let count = (to - from) / step;
        if !(step > 0.0 && count >= 1.0 - 1e-9) {
            return fault("step", "must be positive and fit between `from` and `to`");
        }
        if count > STEPS {
            return fault("step", "makes more than a thousand steps");
        }
        let values = (0..=(count + 1e-9) as usize).map(|k| from + k as f64 * step);
        let written: Option<Vec<String>> =
            values.map(|si| measured::moved(measure, stated, si)).collect();
        written.map(Options::Stepped)
    }

    /// An exact quantity.
    fn end(&self, range: &Reader<'a>, key: &str, measured: Measured) -> Option<f64> {
        let node = range.node(key)?;
        let (text, span) = range.marked_text(key)?;
        match measured::limits_of(measured.measure, &text) {
            Ok([nominal, low, high]) if low == high => Some(nominal),
            Ok(_) => {
                range.faults.add(
                    Diagnostic::error(codes::NO_RANGE, "this is no range to choose from")
                        .at(&span, "carries a tolerance")
                        .help("the tolerance goes with the value that the design states"),
                );
                None
            }
            Err(error) => {
                range.faults.add(range.in_text(&error, &node, &text));
                None
            }
        }
    }
}

/// `size[0]`: a word, and what stands in brackets behind it.
fn indexed(text: &str) -> Option<(&str, Option<&str>)> {
    match text.split_once('[') {
        None => Some((text, None)),
        Some((word, rest)) => Some((word, Some(rest.strip_suffix(']')?))),
    }
}

/// What a node states, without quotes, and its bytes; `None` if the file itself states nothing there.
fn stated(node: &Node<'_>) -> Option<(String, Range<usize>)> {
    match node.value {
        DeValue::String(text) => Some((text.to_string(), node.span.clone())),
        DeValue::Integer(digits) => Some((digits.as_str().to_owned(), node.span.clone())),
        DeValue::Float(digits) => Some((digits.as_str().to_owned(), node.span.clone())),
        DeValue::Table(table) => stated(&node.child(table.get("value")?)),
        _ => None,
    }
}
