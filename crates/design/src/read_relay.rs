//! `[relay]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::model::Coil;
use crate::motion::Sweep;
use crate::naming;
use crate::reader::Reader;
use crate::relay::{Relay, Suppression, Suppressor};
use crate::value::Value;
use reedmace_units::Quantity;

/// Reads the relay of a design whose sweep is sound.
pub(crate) fn relay(
    reader: &Reader<'_>,
    names: &[String],
    coils: &[Option<Coil>],
    sweep: Option<&Sweep>,
) -> Option<Relay> {
    let supply = reader.one("supply");
    let suppression = suppression(reader);
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let named = match reader.find("coil") {
        Some(_) => {
            let known: Vec<&str> = names.iter().map(String::as_str).collect();
            Some(naming::index(reader, "coil", &known)?)
        }
        None => None,
    };
    let sweep = sweep?;
    let swept = sweep.swept_coil();
    if swept.is_none() || named.is_some_and(|named| Some(named) != swept) {
        let place = if swept.is_some() { reader.span_of("coil") } else { reader.header.clone() };
        reader.faults.add(
            Diagnostic::error(
                codes::RELAY_WITHOUT_DRIVE,
                "the sweep does not drive the coil of the relay",
            )
            .at(&place, format!("this design sweeps another thing, of kind {}", sweep.word()))
            .help("state [sweep] with kind = \"voltage\" and the relay's coil"),
        );
        return None;
    }
    let coil = swept?;
    knows_resistance(reader, coils[coil].as_ref()?).then_some(())?;
    Some(Relay {
        coil,
        supply: supply?,
        suppression: suppression?,
        note,
        span: reader.header.clone(),
    })
}

fn suppression(reader: &Reader<'_>) -> Option<Suppression> {
    let word = match reader.find("suppression") {
        Some(_) => reader.word("suppression")?,
        None => Suppressor::Diode.word(),
    };
    let (_, kind) = Suppressor::WORDS.into_iter().find(|(known, _)| *known == word)?;
    let parts = [
        ("suppression_voltage", kind == Suppressor::Zener),
        ("suppression_resistance", matches!(kind, Suppressor::Resistor | Suppressor::Rc)),
        ("suppression_capacitance", kind == Suppressor::Rc),
    ];
    let astray = parts.into_iter().find(|(key, fits)| reader.find(key).is_some() && !fits);
    if let Some((key, _)) = astray {
        reader.faults.add(
            Diagnostic::error(codes::KEY_OUT_OF_PLACE, format!("\"{word}\" has no `{key}`"))
                .at(&reader.span_of(key), "says nothing here")
                .help("take it out, or choose another `suppression`"),
        );
        return None;
    }
    let (voltage, resistance) =
        (stated(reader, "suppression_voltage"), stated(reader, "suppression_resistance"));
    let capacitance = stated(reader, "suppression_capacitance");
    Some(Suppression {
        kind,
        voltage: voltage?,
        resistance: resistance?,
        capacitance: capacitance?,
    })
}

/// A value, if it is there.
fn stated<Q: Quantity>(reader: &Reader<'_>, key: &str) -> Option<Option<Value<Q>>> {
    reader.find(key).map_or(Some(None), |_| reader.one(key).map(Some))
}

/// Reports a coil at a voltage whose current nobody can know.
pub(crate) fn knows_resistance(reader: &Reader<'_>, coil: &Coil) -> bool {
    let (known, turns) = (coil.has_resistance(), coil.turns.is_some());
    if !known || !turns {
        let lacks = if known { "turns" } else { "resistance" };
        let message = format!("the {lacks} of coil \"{}\" is not known", coil.name);
        let code = if known { codes::NEEDS_TURNS } else { codes::NO_RESISTANCE };
        reader.faults.add(
            Diagnostic::error(code, message)
                .at(&coil.span, format!("needs `{lacks}`"))
                .beside(&reader.header, "asks what a voltage does in it")
                .help(
                    "add `turns` and `resistance`, or the `bobbin` and `wire` that it is wound of",
                ),
        );
    }
    known && turns
}
