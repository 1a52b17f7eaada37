//! What a coil is wound of: bobbin, wire, lay and turns.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::keys::BOBBIN;
use crate::model::{Lay, Section, Winding, Wound};
use crate::reader::{Node, Reader};
use crate::value::{SourceMark, Value};
use reedmace_applied::conductor::{Conductor, awg_diameter};
use reedmace_applied::winding::{Bobbin, Laid, Wire};
use reedmace_materials::{EnamelGrade, EnamelledWire, Wires};
use reedmace_units::{Length, Quantity, Ratio, Resistance, Spread, Toleranced};

/// What tells how many turns there are.
pub(crate) struct Turns<'v> {
    pub stated: Option<&'v Value<Ratio>>,
    pub resistance: Option<&'v Value<Resistance>>,
}

/// Keys that say something of a wound coil alone.
const OF_WIRE: [&str; 5] = ["wire", "wire_diameter", "wire_overall", "lay", "fill"];

/// Reports what a coil without a bobbin says of its wire; true if nothing.
pub(crate) fn nothing_of_wire(reader: &Reader<'_>) -> bool {
    let Some(key) = OF_WIRE.into_iter().find(|key| reader.states(key)) else { return true };
    let message = format!("`{key}` says nothing of a coil without a bobbin");
    reader.faults.add(
        Diagnostic::error(codes::NO_BOBBIN, message)
            .at(&reader.span_of(key), "wound on what?")
            .help(format!("add bobbin = {}", reader.key("bobbin").example)),
    );
    false
}

/// Reads a coil wound on the bobbin of `node`.
pub(crate) fn winding(
    reader: &Reader<'_>,
    node: &Node<'_>,
    wires: &Wires,
    turns: Turns<'_>,
) -> Option<Winding> {
    let bobbin = bobbin(reader, node);
    let section = ["length", "mean_diameter", "inner_diameter", "outer_diameter"];
    let twice = section.into_iter().find(|key| reader.states(key));
    if let Some(key) = twice {
        reader.faults.add(
            Diagnostic::error(codes::KEYS_EXCLUDE, "the coil's section is stated twice")
                .at(&reader.span_of(key), "either this")
                .beside(&node.span, "or this")
                .help(
                    "of a wound coil the outer diameter follows from its wire: keep `bobbin` alone",
                ),
        );
    }
    if reader.find("wire").is_none() {
        reader.report_missing("wire");
    }
    let wire = reader.find("wire").and_then(|_| wire(reader, wires));
    let lay = lay(reader);
    let unknown = turns.stated.is_none() && turns.resistance.is_none();
    if unknown && !reader.states("turns") && !reader.states("resistance") && !reader.may_lack() {
        let what = reader.title();
        reader.faults.add(
            Diagnostic::error(codes::NEEDS_TURNS, format!("{what} does not say how often it is wound"))
                .at(&reader.header, "needs `turns` or `resistance`")
                .help("add e.g. turns = 2400, or resistance = \"500 Ω ± 10 %\", from which the turns follow"),
        );
    }
    let ([inner_diameter, length, window], (called, diameter, overall)) = (bobbin?, wire?);
    let lay = lay?;
    if twice.is_some() || unknown {
        return None;
    }
    if overall.is.high > window.is.low || overall.is.high > length.is.low {
        let narrow = if overall.is.high > window.is.low { &window } else { &length };
        reader.faults.add(
            Diagnostic::error(codes::OVERFULL, "the wire has no room on the bobbin")
                .at(&overall.span, format!("{} over its enamel", overall.is))
                .beside(&narrow.span, "the room for it")
                .help("a thinner wire or a larger bobbin"),
        );
        return None;
    }
    let rooms = [inner_diameter.si(), length.si(), window.si()];
    let laid = laid(rooms, &diameter, &overall, &lay);
    let turns = match turns.stated {
        Some(stated) => stated.clone(),
        None => turns_of(reader, &laid, turns.resistance?),
    };
    let most = laid.most_turns();
    if turns.si() > most {
        reader.faults.add(
            Diagnostic::error(codes::OVERFULL, format!("{} turns do not fit", turns.si()))
                .at(&turns.span, "stand above the window")
                .beside(&window.span, format!("has room for {most}"))
                .help("a thinner wire, another lay, fewer turns or a larger bobbin"),
        );
        return None;
    }
    let wound = Wound { inner_diameter, window, wire: called, diameter, overall, lay, turns };
    Some(Winding { length, section: Section::Wound(Box::new(wound)) })
}

/// Inner diameter, length and window.
fn bobbin(reader: &Reader<'_>, node: &Node<'_>) -> Option<[Value<Length>; 3]> {
    let Some(keys) = node.value.as_table() else {
        reader.wrong_type("bobbin", node, "a table");
        return None;
    };
    let path = reader.path_of("bobbin");
    let inner = Reader::new(&BOBBIN, path, node.span.clone(), keys, reader.faults);
    let [diameter, length, window] =
        ["inner_diameter", "length", "window"].map(|key| inner.one(key));
    Some([diameter?, length?, window?])
}

fn lay(reader: &Reader<'_>) -> Option<Lay> {
    let word = match reader.find("lay") {
        Some(_) => reader.word("lay")?,
        None => "random",
    };
    reader.choose("lay", word);
    Some(match word {
        "layered" => Lay::Layered,
        "orthocyclic" => Lay::Orthocyclic,
        _ => Lay::Random(reader.one("fill")?),
    })
}

/// The turns of a resistance, a whole number.
fn turns_of(reader: &Reader<'_>, laid: &Laid, resistance: &Value<Resistance>) -> Value<Ratio> {
    let turns = laid.turns_of_resistance(Conductor::COPPER, resistance.si()).round().max(1.0);
    Value {
        is: Toleranced::exact(Ratio::new(turns)),
        mixture: Vec::new(),
        path: reader.path_of("turns"),
        span: resistance.span.clone(),
        source: Some(SourceMark::Default),
        note: Some("as many as the nominal resistance takes".into()),
    }
}

/// What the design calls it, the diameter of its conductor and that over its enamel.
fn wire(reader: &Reader<'_>, wires: &Wires) -> Option<(String, Value<Length>, Value<Length>)> {
    let (called, span) = reader.marked_text("wire")?;
    let known = Designation::read(&called, wires);
    if known.is_none() {
        let sizes: Vec<String> = wires.iter().map(size).collect();
        reader.faults.add(
            Diagnostic::error(codes::UNKNOWN_WIRE, format!("the wire \"{called}\" is not known"))
                .at(&span, "no size of the table of wires")
                .help(format!(
                    "sizes: {}; or a gauge from AWG 24 to AWG 52; each with \"grade 1\" or \"grade 2\" behind it",
                    sizes.join(", ")
                )),
        );
    }
    let given = |key: &str, is: Option<Toleranced<Length>>, note: &str| match reader.find(key) {
        Some(_) => reader.one(key),
        None => is.map(|is| {
            let value = Value {
                is,
                mixture: Vec::new(),
                path: reader.path_of(key),
                span: span.clone(),
                source: Some(SourceMark::Catalogue),
                note: Some(note.to_owned()),
            };
            reader.know(&value);
            value
        }),
    };
    let bare = known.as_ref().map(|known| Toleranced::exact(Length::from_si(known.diameter)));
    let diameter = given("wire_diameter", bare, &format!("of {called}"));
    let limits = known.as_ref().map(Designation::overall);
    let overall = given("wire_overall", limits, &format!("limits of {called}"));
    let (diameter, overall) = (diameter?, overall?);
    if diameter.is.high >= overall.is.low {
        reader.faults.add(
            Diagnostic::error(
                codes::INSIDE_OUT,
                "the conductor must be thinner than the enamelled wire",
            )
            .at(&diameter.span, format!("must be less than {}", overall.is))
            .beside(&overall.span, "over the enamel")
            .help("the enamel of grade 1 adds a tenth or more to a thin conductor"),
        );
        return None;
    }
    known.map(|_| (called, diameter, overall))
}

/// Whether a coil can be wound of what is called so.
pub(crate) fn is_wire(called: &str, wires: &Wires) -> bool {
    Designation::read(called, wires).is_some()
}

/// Every wire of the table with the enamel of this one, as a design calls it.
pub(crate) fn wires_like(called: &str, wires: &Wires) -> Vec<String> {
    let grade = EnamelGrade::WORDS.into_iter().find(|(word, _)| called.trim().ends_with(word));
    let (word, _) = grade.unwrap_or(EnamelGrade::WORDS[0]);
    wires.iter().map(|row| format!("{} {word}", size(row))).collect()
}

/// Nominal diameter as a design states it.
fn size(row: &EnamelledWire) -> String {
    format!("{} mm", (row.diameter.nominal.si() * 1e6).round() / 1e3)
}

/// A wire of the table, or one between two of its rows.
struct Designation {
    diameter: f64,
    overall: [f64; 2],
}

impl Designation {
    /// `0.05 mm grade 1`, `AWG 44`. The enamel of a gauge is that of the sizes beside it, by proportion.
    fn read(text: &str, wires: &Wires) -> Option<Self> {
        let grades = EnamelGrade::WORDS.into_iter();
        let (size, grade) = grades
            .filter_map(|(word, grade)| Some((text.trim().strip_suffix(word)?, grade)))
            .next()
            .unwrap_or((text, EnamelGrade::One));
        let limits = |row: &EnamelledWire| {
            let overall = row.overall(grade);
            [overall.low.si(), overall.high.si()]
        };
        if let Some(gauge) = size.trim().strip_prefix("AWG") {
            let gauge: u8 = gauge.trim().parse().ok()?;
            let diameter = awg_diameter(f64::from(gauge));
            let rows: Vec<_> = wires.iter().collect();
            let size = |row: &EnamelledWire| row.diameter.nominal.si();
            let pair =
                rows.windows(2).find(|pair| (size(pair[0])..=size(pair[1])).contains(&diameter))?;
            let part = (diameter - size(pair[0])) / (size(pair[1]) - size(pair[0]));
            let ends = [limits(pair[0]), limits(pair[1])];
            let overall = [0, 1].map(|i| ends[0][i] + part * (ends[1][i] - ends[0][i]));
            return Some(Self { diameter, overall });
        }
        let stated: Toleranced<Length> = size.trim().parse().ok()?;
        let row = stated.is_exact().then(|| wires.find(stated.nominal))??;
        Some(Self { diameter: row.diameter.nominal.si(), overall: limits(row) })
    }

    fn overall(&self) -> Toleranced<Length> {
        let [low, high] = self.overall;
        let [low, nominal, high] = [low, 0.5 * (low + high), high].map(Length::from_si);
        Toleranced::within(low, nominal, high, Spread::Uniform).expect("in their order")
    }
}

/// Nominal outer diameter of a winding of this length, m.
pub(crate) fn outer_diameter(wound: &Wound, length: f64) -> f64 {
    let rooms = [wound.inner_diameter.si(), length, wound.window.si()];
    laid(rooms, &wound.diameter, &wound.overall, &wound.lay).even(wound.turns.si()).outer_diameter
}

/// The nominal wire on a bobbin of this inner diameter, length and window, m.
fn laid(
    [inner_diameter, length, window]: [f64; 3],
    diameter: &Value<Length>,
    overall: &Value<Length>,
    lay: &Lay,
) -> Laid {
    let wire = Wire { bare: diameter.si(), overall: overall.si() };
    let bobbin = Bobbin { inner_diameter, length, window };
    Laid::new(bobbin, wire, lay.laying(|fill| fill.si())).expect("a turn has room")
}
