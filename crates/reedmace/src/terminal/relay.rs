//! A relay's voltages over temperature, and what its coil is wound of.

use super::{
    Ink,
    layout::{Side::Right, table},
    paint,
};
use reedmace_engine::{
    Answer,
    answer::{RelayRow, WindingAnswer},
};
use reedmace_report::number::number;

/// The winding in two lines and a line for each temperature; `None` without a relay.
pub(crate) fn relay(answer: &Answer) -> Option<String> {
    let relay = answer.relay.as_ref()?;
    let mut out = format!(
        "{}\n",
        paint(Ink::Heading, &format!("Relay on {}, volts over temperature", relay.coil))
    );
    if let Some(winding) = &relay.winding {
        out.push_str(&wound(winding));
    }
    let heading =
        ["°C", "operate", "low", "high", "warmed", "release", "low", "high", "mW", "K rise"];
    let rows: Vec<Vec<String>> = std::iter::once(heading.map(String::from).to_vec())
        .chain(relay.rows.iter().map(row))
        .collect();
    for (index, line) in table(&[Right; 10], &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    Some(out)
}

fn wound(winding: &WindingAnswer) -> String {
    let layers = match winding.layers[..] {
        [] => "at random".to_owned(),
        [first, ..] => format!("in {} layers of {}", winding.layers.len(), number(first, "")),
    };
    let mm = |length: f64| number(length, "mm");
    format!(
        "  {} turns of {} {layers},\n  {} to {} mm diameter, {} mm long; {} % copper, {} mH in air\n",
        number(winding.turns, ""),
        winding.wire,
        mm(winding.inner_diameter),
        mm(winding.outer_diameter),
        mm(winding.length),
        number(winding.copper, "%"),
        number(winding.inductance, "mH"),
    )
}

fn row(row: &RelayRow) -> Vec<String> {
    let volts = |v: f64| number(v, "V");
    vec![
        number(row.temperature, "°C"),
        row.operate.value.map_or_else(String::new, volts),
        volts(row.operate.low),
        volts(row.operate.high),
        volts(row.operate_warmed),
        row.release.value.map_or_else(String::new, volts),
        volts(row.release.low),
        volts(row.release.high),
        number(row.power, "mW"),
        number(row.rise, "K"),
    ]
}
