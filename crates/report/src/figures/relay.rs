//! Operate and release voltages of a relay over the temperature of its surroundings.

use super::{
    canvas::{Anchor, Canvas},
    geometry::Vec2,
    plot::{self, Frame, LEFT, TOP},
};
use crate::number::with_unit;
use reedmace_engine::answer::{Band, RelayAnswer, RelayRow};

/// Draws both bands with the supply; `None` where the surroundings have one temperature.
pub fn draw(relay: &RelayAnswer, prefix: &str) -> Option<Canvas> {
    let rows = &relay.rows;
    let (first, last) = (rows.first()?, rows.last()?);
    if first.temperature == last.temperature {
        return None;
    }
    let volts = rows.iter().flat_map(|r| [r.operate.high.abs(), r.operate_warmed.abs()]);
    let top = volts.fold(relay.supply.high.abs(), f64::max);
    let sign = if last.operate.high < 0.0 { -1.0 } else { 1.0 };
    let frame = Frame {
        x: [first.temperature, last.temperature],
        y: if sign < 0.0 { [-1.08 * top, 0.0] } else { [0.0, 1.08 * top] },
    };
    let title = "Voltages over temperature";
    let description = format!(
        "Operate and release voltage of coil {} from {} to {}, with the limits over all tolerances, and the supply.",
        relay.coil,
        with_unit(first.temperature, "°C"),
        with_unit(last.temperature, "°C"),
    );
    let mut canvas = Canvas::new(prefix, title, &description, frame.bottom() + 46.0);
    canvas.text(title, [0.0, 14.0], Anchor::Start, "f-ink head");
    canvas.text("V", [LEFT - 30.0, TOP - 6.0], Anchor::Middle, "f-ink");
    let middle = 0.5 * (LEFT + frame.right());
    canvas.text("°C around the relay", [middle, frame.bottom() + 40.0], Anchor::Middle, "f-ink");
    let supply = &relay.supply;
    let [low, high] = [supply.low, supply.high].map(|v| frame.at_y(v));
    canvas.rectangle([LEFT, high, frame.right() - LEFT, (low - high).max(0.5)], "closes");
    band(&mut canvas, &frame, rows, |row| &row.operate, "s-met");
    band(&mut canvas, &frame, rows, |row| &row.release, "s-drive");
    let warmed: Vec<Vec2> = rows
        .iter()
        .map(|row| [frame.at_x(row.temperature), frame.at_y(row.operate_warmed)])
        .collect();
    canvas.polyline(&warmed, "s-met line dashed");
    canvas.raw(plot::grid(&frame));
    let beside = [
        ("supply", supply.value.unwrap_or(supply.high)),
        ("operate, warmed", last.operate_warmed),
        ("operate", last.operate.value.unwrap_or(last.operate.high)),
        ("release", last.release.value.unwrap_or(last.release.low)),
    ];
    let mut below = f64::NEG_INFINITY;
    for (name, volts) in beside {
        let y = (frame.at_y(volts) + 4.0).max(below + 14.0);
        below = y;
        let text = format!("{name} {}", with_unit(volts, "V"));
        canvas.text(&text, [frame.right() + 8.0, y], Anchor::Start, "f-ink");
    }
    Some(canvas)
}

/// A voltage with its limits.
fn band(
    canvas: &mut Canvas,
    frame: &Frame,
    rows: &[RelayRow],
    of: impl Fn(&RelayRow) -> &Band,
    class: &str,
) {
    let at = |row: &RelayRow, volts: f64| [frame.at_x(row.temperature), frame.at_y(volts)];
    let mut edge: Vec<Vec2> = rows.iter().map(|row| at(row, of(row).low)).collect();
    edge.extend(rows.iter().rev().map(|row| at(row, of(row).high)));
    canvas.polygon(&edge, "band");
    let line: Vec<Vec2> = rows.iter().filter_map(|row| Some(at(row, of(row).value?))).collect();
    canvas.polyline(&line, &format!("{class} bold"));
}
