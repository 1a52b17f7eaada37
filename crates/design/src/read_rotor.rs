//! `[rotor]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::motion::Sweep;
use crate::naming;
use crate::reader::Reader;
use crate::rotor::{Flows, Meter, Rotor};
use crate::value::Value;
use reedmace_units::{FlowRate, Quantity};
use std::f64::consts::TAU;

/// Reads the rotor. `contacts` are the names of the design's contacts.
pub(crate) fn rotor(
    reader: &Reader<'_>,
    contacts: &[String],
    sweep: Option<&Sweep>,
) -> Option<Rotor> {
    let contact = naming::contact(reader, contacts, "the rotor does not say which contact counts");
    let (operate_time, bounce_time) = (reader.one("operate_time"), reader.one("bounce_time"));
    let (release_time, gate) = (reader.one("release_time"), reader.one("gate"));
    let (unsteady, hysteresis) = (reader.one("unsteady"), reader.one("hysteresis"));
    let filter = stated(reader, "filter");
    let meter = meter(reader);
    let flows = flows(reader);
    let service = [stated(reader, "service_soon"), stated(reader, "service_now")];
    let note = reader.find("note").and_then(|_| reader.text("note"));
    turns(reader, sweep?).then_some(())?;
    let (meter, flows) = (meter?, flows?);
    needs_flow(reader, meter.is_some(), &flows).then_some(())?;
    let [soon, now] = service;
    Some(Rotor {
        contact: contact?,
        operate_time: operate_time?,
        bounce_time: bounce_time?,
        release_time: release_time?,
        filter: filter?,
        meter,
        flows,
        gate: gate?,
        unsteady: unsteady?,
        service: [soon?, now?],
        hysteresis: hysteresis?,
        note,
        span: reader.header.clone(),
    })
}

/// `None` if faulty; `Some(None)` if not stated.
fn stated<Q: Quantity>(reader: &Reader<'_>, key: &str) -> Option<Option<Value<Q>>> {
    match reader.find(key) {
        Some(_) => reader.one(key).map(Some),
        None => Some(None),
    }
}

fn meter(reader: &Reader<'_>) -> Option<Option<Meter>> {
    let (per_litre, per_turn) = (stated(reader, "k_factor")?, stated(reader, "turn_volume")?);
    match (per_litre, per_turn) {
        (Some(_), Some(per_turn)) => {
            reader.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "the K-factor is stated twice")
                    .at(&per_turn.span, "either this")
                    .beside(&reader.span_of("k_factor"), "or this")
                    .help("keep `k_factor` or `turn_volume`; each follows from the other and the pulses of a turn"),
            );
            None
        }
        (per_litre, per_turn) => {
            Some(per_litre.map(Meter::PerLitre).or(per_turn.map(Meter::PerTurn)))
        }
    }
}

const FLOWS: [&str; 3] = ["least_flow", "usual_flow", "greatest_flow"];

/// The three flows, in their order.
fn flows(reader: &Reader<'_>) -> Option<Flows> {
    let read = FLOWS.map(|key| stated::<FlowRate>(reader, key));
    let [least, usual, greatest] = read;
    let flows = [least?, usual?, greatest?];
    let known: Vec<&Value<FlowRate>> = flows.iter().flatten().collect();
    for pair in known.windows(2) {
        if pair[0].is.high.si() > pair[1].is.low.si() {
            reader.faults.add(
                Diagnostic::error(codes::FLOWS_OUT_OF_ORDER, "the flows are not in their order")
                    .at(&pair[1].span, "must be more than the other")
                    .beside(&pair[0].span, "the smaller one")
                    .help(
                        "least, usual and greatest flow rise in this order, with their tolerances",
                    ),
            );
            return None;
        }
    }
    let [least, usual, greatest] = flows;
    Some(Flows { least, usual, greatest })
}

/// Reports a sweep that is no spin of a whole turn.
fn turns(reader: &Reader<'_>, sweep: &Sweep) -> bool {
    let (from, to) = sweep.coordinate_range();
    let whole = matches!(sweep, Sweep::Spin(_)) && ((to - from).abs() - TAU).abs() < 1e-9;
    if !whole {
        reader.faults.add(
            Diagnostic::error(codes::ROTOR_WITHOUT_TURN, "a rotor turns right round")
                .at(&reader.header, "this design's sweep is no spin of a whole turn")
                .help("state [sweep] with kind = \"spin\" and leave `from` and `to` 360 deg apart"),
        );
    }
    whole
}

/// Reports what is stated of a flow where pulses have nothing to do with one.
fn needs_flow(reader: &Reader<'_>, metered: bool, flows: &Flows) -> bool {
    let flow = FLOWS.into_iter().find(|key| reader.find(key).is_some());
    let sign = ["service_soon", "service_now"].into_iter().find(|key| reader.find(key).is_some());
    let (key, what, help) = match (flow, sign) {
        (Some(key), _) if !metered => {
            (key, "`k_factor` or `turn_volume`", "e.g. turn_volume = \"12 mL\"")
        }
        (_, Some(key)) if flows.usual.is_none() || !metered => {
            (key, "`usual_flow`", "e.g. usual_flow = \"12 L/min\" and turn_volume = \"12 mL\"")
        }
        _ => return true,
    };
    reader.faults.add(
        Diagnostic::error(codes::FLOW_UNKNOWN, format!("`{key}` says nothing without {what}"))
            .at(&reader.span_of(key), format!("needs {what}"))
            .help(help),
    );
    false
}
