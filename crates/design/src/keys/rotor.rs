//! `[rotor]`: a wheel whose turning is counted.

use super::{NOTE, either, measured};
use crate::schema::{Choice, Key, Kind, Measure, Table};

const SPAN: Kind = Kind::One(measured(Measure::Duration, "0 s", "10 s"));
const FLOW: Kind = Kind::One(measured(Measure::FlowRate, "0.001 L/h", "10000 m³/h"));
const SHARE: Kind = Kind::One(measured(Measure::Number, "0 %", "100 %"));

/// The K-factor of a wheel that a liquid turns, at most once.
const METER: Choice = Choice {
    only: None,
    of: &[
        either(&[], &["k_factor", "turn_volume"]),
        either(&["k_factor"], &["turn_volume"]),
        either(&["turn_volume"], &["k_factor"]),
    ],
};

/// `[rotor]`
pub const ROTOR: Table = Table {
    name: "rotor",
    doc: "A wheel whose turning is counted by a contact: pulses, speed limits, filter, flow. It needs a spin of a whole turn.",
    entry_key: None,
    choices: &[METER],
    keys: &[&[
        Key::optional(
            "contact",
            Kind::Text,
            "\"counter\"",
            "The contact that counts; the only one if absent.",
        ),
        Key::optional(
            "operate_time",
            SPAN,
            "\"0.2..0.6 ms\"",
            "From the drive past operate to the first touch, without bounce.",
        )
        .or("0.5 ms"),
        Key::optional(
            "bounce_time",
            SPAN,
            "\"0..0.4 ms\"",
            "From the first touch to the last time it opens again.",
        )
        .or("0.3 ms"),
        Key::optional(
            "release_time",
            SPAN,
            "\"0.02..0.1 ms\"",
            "From the drive below release to the opening.",
        )
        .or("0.1 ms"),
        Key::optional(
            "filter",
            SPAN,
            "\"2 ± 0.2 ms\"",
            "How long a state must stand before the counter takes it over.",
        ),
        Key::optional(
            "k_factor",
            Kind::One(measured(Measure::Number, "0.000001", "1000000000")),
            "\"450 ± 9\"",
            "Pulses per litre.",
        ),
        Key::optional(
            "turn_volume",
            Kind::One(measured(Measure::Volume, "0.001 mL", "100 m³")),
            "\"12 ± 0.3 mL\"",
            "What passes in one turn of the wheel, in place of a K-factor.",
        ),
        Key::optional("least_flow", FLOW, "\"2 L/min\"", "Least flow that is to be told."),
        Key::optional("usual_flow", FLOW, "\"12 L/min\"", "Flow when nothing is fouled."),
        Key::optional("greatest_flow", FLOW, "\"30 L/min\"", "Greatest flow."),
        Key::optional(
            "gate",
            Kind::One(measured(Measure::Duration, "1 ms", "24 h")),
            "\"1 s\"",
            "Over how long pulses are counted for one reading.",
        )
        .or("1 s"),
        Key::optional(
            "unsteady",
            SHARE,
            "\"3 %\"",
            "Standard deviation of the flow from reading to reading, over the flow.",
        )
        .or("2 %"),
        Key::optional(
            "service_soon",
            SHARE,
            "\"20 %\"",
            "Loss of flow by fouling at which a service is due soon.",
        ),
        Key::optional(
            "service_now",
            SHARE,
            "\"40 %\"",
            "Loss of flow by fouling at which a service is due at once.",
        ),
        Key::optional(
            "hysteresis",
            SHARE,
            "\"5 %\"",
            "How much of the usual flow must come back before such a sign goes out.",
        )
        .or("5 %"),
        NOTE,
    ]],
};
