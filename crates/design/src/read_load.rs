//! `[[load]]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::load::{Draw, LoadKind, Protect, Switched};
use crate::naming;
use crate::reader::Reader;
use crate::value::Value;
use reedmace_applied::protect::Kind;
use reedmace_units::Quantity;
use std::f64::consts::TAU;

/// Reads one load. `contacts` are the names of the design's contacts.
pub(crate) fn load(reader: &Reader<'_>, name: String, contacts: &[String]) -> Option<Switched> {
    let unsaid = format!("{} does not say which contact switches it", reader.title());
    let contact = naming::contact(reader, contacts, &unsaid);
    let kind = reader.word("kind");
    if let Some(kind) = kind {
        reader.choose("kind", kind);
    }
    let kind = kind.and_then(|kind| of_kind(reader, kind));
    let supply = reader.one("supply");
    let frequency = stated(reader, "frequency");
    let draw = draw(reader);
    let (inrush, inrush_time) = match &kind {
        Some(LoadKind::Lamp | LoadKind::Motor(_) | LoadKind::Capacitive { .. }) => {
            (stated(reader, "inrush_current"), stated(reader, "inrush_time"))
        }
        _ => (Some(None), Some(None)),
    };
    let (source_resistance, stray) = (reader.one("source_resistance"), reader.one("stray"));
    let rate = reader.one("rate");
    let protect = protect(reader);
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let switched = Switched {
        name,
        contact: contact?,
        kind: kind?,
        supply: supply?,
        frequency: frequency?,
        draw: draw?,
        inrush: inrush?,
        inrush_time: inrush_time?,
        source_resistance: source_resistance?,
        stray: stray?,
        rate: rate?,
        protect: protect?,
        note,
        span: reader.header.clone(),
    };
    possible(reader, &switched).then_some(switched)
}

/// `None` if faulty; `Some(None)` if not stated.
fn stated<Q: Quantity>(reader: &Reader<'_>, key: &str) -> Option<Option<Value<Q>>> {
    match reader.find(key) {
        Some(_) => reader.one(key).map(Some),
        None => Some(None),
    }
}

fn of_kind(reader: &Reader<'_>, kind: &str) -> Option<LoadKind> {
    Some(match kind {
        "lamp" => LoadKind::Lamp,
        "motor" => LoadKind::Motor(stated(reader, "inductance")?),
        "inductive" => LoadKind::Inductive(reader.one("inductance")?),
        "capacitive" => {
            let (capacitance, series) =
                (reader.one("capacitance"), reader.one("series_resistance"));
            LoadKind::Capacitive { capacitance: capacitance?, series: series? }
        }
        "cable" => {
            let (capacitance, impedance) = (reader.one("capacitance"), reader.one("impedance"));
            LoadKind::Cable { capacitance: capacitance?, impedance: impedance? }
        }
        _ => LoadKind::Resistive,
    })
}

fn draw(reader: &Reader<'_>) -> Option<Draw> {
    const KEYS: [&str; 3] = ["resistance", "current", "power"];
    let there: Vec<&str> = KEYS.into_iter().filter(|key| reader.find(key).is_some()).collect();
    match there[..] {
        ["resistance"] => reader.one("resistance").map(Draw::Resistance),
        ["current"] => reader.one("current").map(Draw::Current),
        ["power"] => reader.one("power").map(Draw::Power),
        [] => {
            if !reader.may_lack() {
                let message = format!("{} does not say what it draws", reader.title());
                reader.faults.add(
                    Diagnostic::error(codes::MISSING_KEY, message)
                        .at(&reader.header, "needs `resistance`, `current` or `power`")
                        .help("e.g. current = \"0.4 A ± 10 %\""),
                );
            }
            None
        }
        [first, second, ..] => {
            reader.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "what the load draws is stated twice")
                    .at(&reader.span_of(second), "either this")
                    .beside(&reader.span_of(first), "or this")
                    .help("keep one of `resistance`, `current` and `power`"),
            );
            None
        }
        [_] => unreachable!("one of the keys"),
    }
}

/// `Some(None)` without protection.
fn protect(reader: &Reader<'_>) -> Option<Option<Protect>> {
    let word = match reader.find("protect") {
        Some(_) => Some(reader.word("protect")?),
        None => None,
    };
    let kind = Kind::WORDS.into_iter().find(|(known, _)| Some(*known) == word);
    let kind = kind.map(|(_, kind)| kind);
    let fits = |key: &str| match key {
        "protect_resistance" => {
            matches!(kind, Some(Kind::Rc | Kind::RcAcrossLoad | Kind::Resistor))
        }
        "protect_capacitance" => matches!(kind, Some(Kind::Rc | Kind::RcAcrossLoad)),
        "protect_voltage" => matches!(kind, Some(Kind::Zener | Kind::Varistor)),
        _ => matches!(kind, Some(Kind::Inductor)),
    };
    let keys =
        ["protect_resistance", "protect_capacitance", "protect_voltage", "protect_inductance"];
    let astray = keys.into_iter().find(|key| reader.find(key).is_some() && !fits(key));
    if let Some(key) = astray {
        let what = word.map_or("no protection".to_owned(), |word| format!("\"{word}\""));
        reader.faults.add(
            Diagnostic::error(codes::KEY_OUT_OF_PLACE, format!("{what} has no `{key}`"))
                .at(&reader.span_of(key), "says nothing here")
                .help("take it out, or choose another `protect`"),
        );
        return None;
    }
    let (resistance, capacitance) =
        (stated(reader, "protect_resistance"), stated(reader, "protect_capacitance"));
    let (voltage, inductance) =
        (stated(reader, "protect_voltage"), stated(reader, "protect_inductance"));
    let (resistance, capacitance) = (resistance?, capacitance?);
    let (voltage, inductance) = (voltage?, inductance?);
    let of = |kind| Protect { kind, resistance, capacitance, voltage, inductance };
    Some(kind.map(of))
}

/// Reports a load on alternating voltage whose inductance alone takes less than the load is to draw.
fn possible(reader: &Reader<'_>, load: &Switched) -> bool {
    let inductance = match &load.kind {
        LoadKind::Inductive(inductance) => Some(inductance),
        LoadKind::Motor(inductance) => inductance.as_ref(),
        _ => None,
    };
    let (Some(inductance), Some(frequency)) = (inductance, &load.frequency) else { return true };
    // Of all units: what an inductance lets through at least, without any resistance.
    let most = load.supply.is.low.si() / (TAU * frequency.is.high.si() * inductance.is.high.si());
    let (wanted, span) = match &load.draw {
        Draw::Resistance(_) => return true,
        Draw::Current(current) => (current.is.high.si(), &current.span),
        Draw::Power(power) => (2.0 * power.is.high.si() / load.supply.is.low.si(), &power.span),
    };
    if wanted >= most {
        reader.faults.add(
            Diagnostic::error(codes::LOAD_IMPOSSIBLE, "the load cannot draw so much")
                .at(span, format!("its inductance lets through {:.3} A at most", most))
                .beside(&inductance.span, "this inductance, at the supply's voltage and frequency")
                .help("over all tolerances; state a smaller inductance, or the load's resistance"),
        );
    }
    wanted < most
}
