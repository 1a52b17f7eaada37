//! How a figure is spread over many units: its histogram over its worst-case band, to one scale.

use super::{
    canvas::{Anchor, CHARACTER, Canvas},
    geometry::Vec2,
};
use crate::ends;
use crate::number::{behind, number, of_difference, percent, unit_label, with_unit};
use reedmace_engine::answer::{
    Band, DemandSpread, Distribution, EventSpread, FigureEnd, FigureSpread,
};

/// Half the width of a sheet: two stand side by side.
const WIDTH: f64 = 392.0;
const LEFT: f64 = 10.0;
const RIGHT: f64 = WIDTH - 10.0;
/// Where the bars end, and where they stand.
const TOP: f64 = 22.0;
const FOOT: f64 = 112.0;
/// Bars from the least to the greatest unit, at most, and the least width of one.
const BARS: usize = 48;
const BAR: f64 = 3.0;
/// Room beside what is shown, as a share of it.
const ROOM: f64 = 0.03;
/// Quantiles between which 99.73 % of all units lie.
pub const MOST: [f64; 2] = [0.001_35, 0.998_65];

/// Where 99.73 % of all units lie.
pub fn most_of(spread: &Distribution) -> Option<[f64; 2]> {
    let value = |share: f64| spread.quantiles.iter().find(|q| q.share == share).map(|q| q.value);
    let [low, high] = MOST.map(value);
    low.zip(high).filter(|(low, high)| low < high).map(|(low, high)| [low, high])
}

/// Page x of values.
struct Scale {
    low: f64,
    high: f64,
}

impl Scale {
    /// A scale that shows all of these.
    fn holding(values: impl Iterator<Item = f64>) -> Option<Self> {
        let (low, high) = values
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        let room = ROOM * (high - low);
        (high > low).then_some(Self { low: low - room, high: high + room })
    }

    fn at(&self, value: f64) -> f64 {
        LEFT + (value - self.low) / (self.high - self.low) * (RIGHT - LEFT)
    }
}

/// Where an event lies; `None` where it lies at one place in every unit.
pub fn event(event: &EventSpread, prefix: &str) -> Option<Canvas> {
    over_band(event.at.as_ref()?, &event.worst_case, &[], prefix)
}

/// The values of a figure; `None` where it has one value in every unit, or none in the nominal one.
pub fn figure(figure: &FigureSpread, prefix: &str) -> Option<Canvas> {
    over_band(figure.values.as_ref()?, figure.worst_case.as_ref()?, &figure.ends, prefix)
}

/// A histogram over its worst-case band. `looked`: where the looking ended.
fn over_band(
    spread: &Distribution,
    band: &Band,
    looked: &[FigureEnd],
    prefix: &str,
) -> Option<Canvas> {
    let unit = &band.unit;
    let told = |value: f64| ends::bounded(looked, value, unit);
    let ends = [spread.least.value?, spread.greatest.value?];
    if ends[0] == ends[1] {
        return None;
    }
    let scale = Scale::holding(ends.into_iter().chain([band.low, band.high]))?;
    let said = format!(
        "Units lie from {} to {}; worst case {} to {}.",
        told(ends[0]) + &behind(unit),
        told(ends[1]) + &behind(unit),
        told(band.low) + &behind(unit),
        told(band.high) + &behind(unit),
    );
    let mut canvas = Canvas::small(prefix, "Histogram", &said, [WIDTH, 204.0]);
    bars(&mut canvas, spread, unit, &scale);
    axis(&mut canvas, unit, &scale);
    most(&mut canvas, spread, &scale, 148.0);
    // The band: its borders as a pair of lines with a soft fill, the nominal unit heavier.
    let (top, height) = (162.0, 18.0);
    let [low, high] = [band.low, band.high].map(|v| scale.at(v));
    canvas.rectangle([low, top, high - low, height], "band");
    for x in [low, high] {
        canvas.line([x, top - 3.0], [x, top + height + 3.0], "s-drive line");
    }
    let mut labels = vec![(low, format!("worst case {}", told(band.low))), (high, told(band.high))];
    if let Some(nominal) = band.value {
        let x = scale.at(nominal);
        canvas.line([x, top - 3.0], [x, top + height + 3.0], "s-ink bold");
        labels.insert(1, (x, format!("nominal {}", told(nominal))));
    }
    row_of_labels(&mut canvas, &labels, top + height + 17.0);
    Some(canvas)
}

/// How much room a demand has, from where it is missed; `None` where all units have the same.
pub fn room(demand: &DemandSpread, prefix: &str) -> Option<Canvas> {
    let spread = demand.room.as_ref()?;
    let unit = &demand.unit;
    let ends = [spread.least.value?, spread.greatest.value?];
    if ends[0] == ends[1] {
        return None;
    }
    let corner = demand.room_worst_case.filter(|_| unit != "closures");
    let scale = Scale::holding(ends.into_iter().chain(corner).chain([0.0]))?;
    let said = format!(
        "Room of the units from {} to {}; below 0 the demand is missed.",
        with_unit(ends[0], unit),
        with_unit(ends[1], unit)
    );
    let mut canvas = Canvas::small(prefix, "Histogram", &said, [WIDTH, 192.0]);
    let zero = scale.at(0.0);
    if zero > LEFT + 1.0 {
        canvas.rectangle_filled([LEFT, TOP, zero - LEFT, FOOT - TOP], "section");
    }
    bars(&mut canvas, spread, unit, &scale);
    canvas.line([zero, TOP], [zero, FOOT], "s-ink bold");
    axis(&mut canvas, unit, &scale);
    let mut left = LEFT;
    if let Some(corner) = corner {
        let x = scale.at(corner);
        canvas.line([x, TOP], [x, FOOT], "s-drive thin dashed");
        canvas.line([x, FOOT + 20.0], [x, 171.0], "s-drive thin dashed");
        let text = format!("worst corner of the tolerances {}", number(corner, unit));
        row_of_labels(&mut canvas, &[(x, text)], 184.0);
        left = if corner < 0.0 { x } else { left };
    }
    if zero - left > 8.0 * CHARACTER {
        canvas.text("missed", [left + 6.0, TOP + 11.0], Anchor::Start, "f-ink halo");
    }
    most(&mut canvas, spread, &scale, 148.0);
    Some(canvas)
}

/// Counts as bars: areas tell shares.
fn bars(canvas: &mut Canvas, spread: &Distribution, unit: &str, scale: &Scale) {
    let h = &spread.histogram;
    let width = (h.high - h.low) / h.counts.len() as f64;
    let ends = [spread.least.value, spread.greatest.value].map(|v| v.unwrap_or(spread.mean));
    let shown = ((ends[1] - ends[0]) / width).ceil() as usize;
    let thin = (BAR / (scale.at(width) - scale.at(0.0))).ceil() as usize;
    let together = if unit == "closures" { 1 } else { shown.div_ceil(BARS).max(thin).max(1) };
    let counts: Vec<u64> = h.counts.chunks(together).map(|bins| bins.iter().sum()).collect();
    let tallest = counts.iter().copied().max().unwrap_or(0).max(1);
    let broad = width * together as f64;
    for (k, count) in counts.iter().enumerate().filter(|(_, count)| **count > 0) {
        let [from, to] = [k, k + 1].map(|k| scale.at(h.low + k as f64 * broad).clamp(LEFT, RIGHT));
        // A bar of few units is still seen.
        let height = (*count as f64 / tallest as f64 * (FOOT - TOP)).max(0.7);
        let breadth = to - from - (0.1 * (to - from)).min(0.5);
        canvas.rectangle([from, FOOT - height, breadth, height], "f-drive");
    }
    let all: u64 = counts.iter().sum::<u64>() + h.below + h.above;
    let text = format!(
        "tallest bar: {} of the units in {}",
        percent(tallest as f64 / all.max(1) as f64),
        finely(broad, of_difference(unit))
    );
    canvas.text(&text, [RIGHT, TOP - 8.0], Anchor::End, "f-faded");
}

/// A width with as many digits as tell it.
fn finely(width: f64, unit: &str) -> String {
    let decimals = (1.0 - width.abs().log10().floor()).clamp(0.0, 6.0) as usize;
    let space = if unit == "deg" || unit.is_empty() { "" } else { "\u{a0}" };
    format!("{width:.decimals$}{space}{}", unit_label(unit))
}

fn axis(canvas: &mut Canvas, unit: &str, scale: &Scale) {
    canvas.line([LEFT, FOOT], [RIGHT, FOOT], "s-ink thin");
    let step = step(scale.high - scale.low);
    let decimals = (-step.log10().floor()).max(0.0) as usize;
    let first = (scale.low / step).ceil() as i64;
    let last = (scale.high / step).floor() as i64;
    for k in first..=last {
        let value = k as f64 * step;
        let x = scale.at(value);
        canvas.line([x, FOOT], [x, FOOT + 4.0], "s-ink thin");
        let mut text = format!("{value:.decimals$}").replace('-', "−");
        if k == last {
            text.push_str(&with_unit(0.0, unit).replace(&number(0.0, unit), ""));
        }
        let half = text.chars().count() as f64 * CHARACTER / 2.0;
        canvas.text(
            &text,
            [x.clamp(half, RIGHT + 4.0 - half), FOOT + 16.0],
            Anchor::Middle,
            "f-ink",
        );
    }
}

/// The step of five ticks or so: 1, 2 or 5 times a power of ten.
fn step(length: f64) -> f64 {
    let power = 10f64.powf((length / 6.0).log10().floor());
    let step = [1.0, 2.0, 5.0].into_iter().find(|s| s * power >= length / 6.0);
    step.unwrap_or(10.0) * power
}

/// A dimension line from the quantiles between which nearly all units lie.
fn most(canvas: &mut Canvas, spread: &Distribution, scale: &Scale, y: f64) {
    let Some(most) = most_of(spread) else { return };
    let text = "99.73 %";
    let ends: [Vec2; 2] = most.map(|v| [scale.at(v), y]);
    let feet = ends.map(|[x, _]| [x, FOOT + 18.0]);
    let (span, length) = (ends[1][0] - ends[0][0], text.chars().count() as f64 * CHARACTER);
    if span > length + 4.0 {
        canvas.dimension_line(feet, ends, text);
        return;
    }
    canvas.dimension_line(feet, ends, "");
    // Beside the arrows, where there is more room.
    let [left, right] = [ends[0][0] - 20.0, ends[1][0] + 20.0];
    let (x, anchor) =
        if WIDTH - right > left { (right, Anchor::Start) } else { (left, Anchor::End) };
    canvas.text(text, [x, y + 4.0], anchor, "f-ink halo");
}

/// Labels under their places, moved apart where they would touch; one that finds no room is left out.
fn row_of_labels(canvas: &mut Canvas, labels: &[(f64, String)], y: f64) {
    let mut taken: Vec<[f64; 2]> = Vec::new();
    // The outer ones first: what lies between can be read from the scale.
    let order = [0, labels.len() - 1].into_iter().chain(1..labels.len().saturating_sub(1));
    let mut done = Vec::new();
    for k in order {
        if done.contains(&k) {
            continue;
        }
        done.push(k);
        let (x, text) = &labels[k];
        let half = text.chars().count() as f64 * CHARACTER / 2.0;
        let middle = x.clamp(half, WIDTH - half);
        let frame = [middle - half - 5.0, middle + half + 5.0];
        if taken.iter().all(|t| frame[1] <= t[0] || t[1] <= frame[0]) {
            canvas.text(text, [middle, y], Anchor::Middle, "f-ink halo");
            taken.push(frame);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_ticks_are_few_and_round() {
        for length in [0.003, 0.05, 1.0, 4.95, 9.7, 33.0, 1234.0] {
            let step = step(length);
            let ticks = length / step;
            assert!((2.4..=6.0).contains(&ticks), "{length}: {step}");
            let leading = step / 10f64.powf(step.log10().floor());
            assert!([1.0, 2.0, 5.0].iter().any(|s| (leading - s).abs() < 1e-9), "{step}");
        }
    }
}
