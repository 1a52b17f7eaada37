//! `[[coil]]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::model::{Coil, CoilDrive, Section, Winding};
use crate::read_contact;
use crate::read_winding;
use crate::reader::Reader;
use crate::value::{SourceMark, Value};
use reedmace_applied::conductor::REFERENCE_TEMPERATURE;
use reedmace_applied::heating::Surface;
use reedmace_materials::Wires;
use reedmace_units::{Spread, ThermalResistance, Toleranced};

/// Reads one coil.
pub(crate) fn coil(reader: &Reader<'_>, name: String, wires: &Wires) -> Option<Coil> {
    let resistance = match reader.find("resistance") {
        Some(_) => reader.one("resistance").map(Some),
        None => Some(None),
    };
    let stated_turns = reader.one("turns");
    let winding = match reader.find("bobbin") {
        Some(node) => {
            let turns = read_winding::Turns {
                stated: stated_turns.as_ref(),
                resistance: resistance.as_ref().and_then(Option::as_ref),
            };
            read_winding::winding(reader, &node, wires, turns)
        }
        None => {
            read_winding::nothing_of_wire(reader).then(|| read_contact::winding(reader)).flatten()
        }
    };
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let drive = drive(reader);
    let at = reader.three("at");
    let axis = reader.direction("axis");
    let rotate = reader.three("rotate");
    let thermal = match reader.find("thermal_resistance") {
        Some(_) => reader.one("thermal_resistance"),
        None => winding.as_ref().map(|winding| estimated(reader, winding)),
    };
    let thermal_class = reader.one("thermal_class");
    let winding = winding?;
    let turns = match &winding.section {
        Section::Wound(wound) => Some(wound.turns.clone()),
        _ => stated_turns,
    };
    Some(Coil {
        name,
        note,
        winding,
        turns,
        resistance: resistance?,
        thermal_resistance: thermal?,
        thermal_class: thermal_class?,
        drive: drive?,
        at: at?,
        axis: axis?.0,
        rotate: rotate?,
        span: reader.header.clone(),
    })
}

/// Power at which the thermal resistance is estimated, W: it falls slowly with the power.
const POWER: f64 = 0.1;
/// Emissivity of varnish and plastics, from memory.
const EMISSIVITY: f64 = 0.9;

/// The thermal resistance of a coil's outer surface in still air.
fn estimated(reader: &Reader<'_>, winding: &Winding) -> Value<ThermalResistance> {
    let diameter = match &winding.section {
        Section::Thin { mean_diameter } => mean_diameter.si(),
        Section::Thick { outer_diameter, .. } => outer_diameter.si(),
        Section::Wound(wound) => read_winding::outer_diameter(wound, winding.length.si()),
    };
    let surface = Surface { diameter, length: winding.length.si(), emissivity: EMISSIVITY };
    let found = surface.thermal_resistance(POWER, REFERENCE_TEMPERATURE);
    let [low, high] = found.credible.map(ThermalResistance::k_per_w);
    let nominal = ThermalResistance::k_per_w(found.value);
    let value = Value {
        is: Toleranced::within(low, nominal, high, Spread::Normal).expect("in their order"),
        mixture: Vec::new(),
        path: reader.path_of("thermal_resistance"),
        span: reader.header.clone(),
        source: Some(SourceMark::Default),
        note: Some("estimated from the coil's surface in still air at 0.1 W".into()),
    };
    reader.know(&value);
    value
}

/// `None` if faulty; `Some(None)` if the coil states no drive.
fn drive(reader: &Reader<'_>) -> Option<Option<CoilDrive>> {
    let there = |name: &str| reader.find(name).is_some();
    let current = reader.one("current");
    let ampere_turns = reader.one("ampere_turns");
    match (there("current"), there("ampere_turns")) {
        (true, true) => {
            reader.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "the coil's drive is stated twice")
                    .at(&reader.span_of("ampere_turns"), "either this")
                    .beside(&reader.span_of("current"), "or this")
                    .help("keep `current` with `turns`, or `ampere_turns` alone"),
            );
            None
        }
        (true, false) => {
            if !there("turns") && !there("bobbin") && !reader.may_lack() {
                reader.faults.add(
                    Diagnostic::error(
                        codes::NEEDS_TURNS,
                        "a current makes a field only through turns",
                    )
                    .at(&reader.span_of("current"), "needs `turns`")
                    .help("add e.g. turns = 2000, or state `ampere_turns` instead"),
                );
                return None;
            }
            Some(Some(CoilDrive::Current(current?)))
        }
        (false, true) => Some(Some(CoilDrive::AmpereTurns(ampere_turns?))),
        (false, false) => Some(None),
    }
}
