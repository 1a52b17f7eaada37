//! A level stem in its tank, and what it reads both ways beside it, to one scale of level.

use super::{
    canvas::{Anchor, CHARACTER, Canvas, WIDTH},
    geometry::Vec2,
    labels::{tick_text, ticks},
};
use crate::number::number;
use reedmace_engine::{
    Answer,
    answer::{LevelAnswer, ReadingAnswer, StageAnswer},
    drawing::{Drawing, LevelOutline},
};

const TOP: f64 = 46.0;
const PLOT: f64 = 330.0;
/// Left and right edge of the tank, and of the plot of readings.
const TANK: Vec2 = [64.0, 420.0];
const READ: Vec2 = [500.0, WIDTH - 12.0];
/// Room for the names of contacts right of the stem.
const NAMES: f64 = 70.0;
/// Least distance between two names, page units.
const LINE: f64 = 13.0;

/// Draws the tank with stem, contacts, float and liquid, and beside it level and volume against the reading;
/// `None` but for a level sweep.
pub fn draw(answer: &Answer, drawing: &Drawing, prefix: &str) -> Option<Canvas> {
    let (level, outline) = (answer.level.as_ref()?, drawing.level.as_ref()?);
    let ends = ends(answer, level, drawing);
    let title = if level.tank.is_some() { "The stem in its tank" } else { "The stem" };
    let description = format!(
        "Contacts of {} at their heights, and what is read at each level as it rises and as it falls.",
        answer.title
    );
    let foot = TOP + PLOT;
    let mut canvas = Canvas::new(prefix, title, &description, foot + 44.0);
    canvas.text(title, [0.0, 14.0], Anchor::Start, "f-ink head");
    let y = |mm: f64| foot - (mm - ends[0]) / (ends[1] - ends[0]) * PLOT;
    scale(&mut canvas, ends, &y);
    tank(&mut canvas, level, outline, drawing, &y);
    readings(&mut canvas, level, ends, &y);
    Some(canvas)
}

/// Lowest and highest level on the page, mm.
fn ends(answer: &Answer, level: &LevelAnswer, drawing: &Drawing) -> Vec2 {
    let sweep = [answer.sweep.from, answer.sweep.to];
    let contacts = drawing.contacts.iter().map(|c| 1e3 * c.world_from_contact.origin[2]);
    let tank = level.tank.iter().flat_map(|tank| [tank.bottom, tank.top]);
    let all = sweep.into_iter().chain(contacts).chain(tank);
    let (low, high) = all.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
    let rim = 0.03 * (high - low);
    [low - rim, high + rim]
}

/// Heights in mm left of the tank.
fn scale(canvas: &mut Canvas, ends: Vec2, y: &impl Fn(f64) -> f64) {
    let all = ticks(ends[0], ends[1], 8);
    let step = if all.len() > 1 { all[1] - all[0] } else { 1.0 };
    for tick in &all {
        let at = y(*tick);
        canvas.line([TANK[0] - 18.0, at], [TANK[0] - 12.0, at], "s-ink thin");
        canvas.text(&tick_text(*tick, step), [TANK[0] - 22.0, at + 4.0], Anchor::End, "f-ink");
    }
    canvas.line([TANK[0] - 12.0, TOP], [TANK[0] - 12.0, TOP + PLOT], "s-ink thin");
    canvas.text("level, mm", [0.0, TOP - 12.0], Anchor::Start, "f-ink");
}

fn tank(
    canvas: &mut Canvas,
    level: &LevelAnswer,
    outline: &LevelOutline,
    drawing: &Drawing,
    y: &impl Fn(f64) -> f64,
) {
    let middle = TANK[0] + 0.5 * (TANK[1] - NAMES - TANK[0]);
    let room = 0.5 * (TANK[1] - NAMES - TANK[0]);
    // A tank far wider than high is drawn narrower than it is, and so said; the float keeps the scale of level.
    let widest = outline.tank.iter().map(|[_, half]| *half).fold(0.0, f64::max);
    let true_scale = (y(0.0) - y(1.0)) * 1e3;
    let across = if widest > 0.0 { (room / widest).min(true_scale) } else { true_scale };
    let squeezed = across < 0.99 * true_scale;
    let half_way = outline.middles[outline.middles.len() / 2];
    let surface = y(1e3 * half_way.0);
    if !outline.tank.is_empty() {
        let side = |sign: f64, rows: &mut dyn Iterator<Item = &[f64; 2]>| -> Vec<Vec2> {
            rows.map(|[at, half]| [middle + sign * half * across, y(1e3 * at)]).collect()
        };
        let mut wall = side(-1.0, &mut outline.tank.iter());
        wall.extend(side(1.0, &mut outline.tank.iter().rev()));
        let below = |rows: &mut dyn Iterator<Item = &[f64; 2]>, sign: f64| {
            side(sign, &mut rows.filter(|[at, _]| *at <= half_way.0))
        };
        let mut liquid = below(&mut outline.tank.iter(), -1.0);
        let last = liquid.last().map_or(room, |at| middle - at[0]);
        liquid.extend([[middle - last, surface], [middle + last, surface]]);
        liquid.extend(below(&mut outline.tank.iter().rev(), 1.0));
        canvas.polygon(&liquid, "band");
        canvas.polygon(&wall, "s-ink bold");
    }
    let wide = if outline.tank.is_empty() { room } else { widest * across };
    canvas.line([middle - wide, surface], [middle + wide, surface], "s-drive line");
    stem(canvas, outline, drawing, middle, y);
    let half = [outline.half[0], outline.half[1]].map(|half| half * true_scale);
    let at = [middle, y(1e3 * half_way.1[2])];
    let half_across = half[0].min(0.9 * room);
    if outline.round {
        canvas.circle(at, half_across.min(half[1]), "f-paper s-ink line");
    } else {
        for sign in [-1.0, 1.0] {
            let inner = (outline.bore * true_scale).min(0.8 * half_across);
            let (from, width) = (middle + sign * inner, half_across - inner);
            let left = if sign < 0.0 { from - width } else { from };
            canvas.rectangle([left, at[1] - half[1], width, 2.0 * half[1]], "f-paper s-ink line");
        }
    }
    names(canvas, &level.stages, drawing, middle + wide + 10.0, y);
    if squeezed {
        canvas.text(
            "tank drawn narrower than it is",
            [TANK[0], TOP + PLOT + 20.0],
            Anchor::Start,
            "f-faded",
        );
    }
}

/// The stem with a mark for each contact.
fn stem(
    canvas: &mut Canvas,
    outline: &LevelOutline,
    drawing: &Drawing,
    middle: f64,
    y: &impl Fn(f64) -> f64,
) {
    if let Some(pivot) = outline.pivot {
        canvas.circle([middle, y(1e3 * pivot[2])], 3.0, "s-ink thin");
    }
    let heights: Vec<f64> =
        drawing.contacts.iter().map(|c| y(1e3 * c.world_from_contact.origin[2])).collect();
    if outline.pivot.is_none() {
        // As far as the float comes, and a little beyond the contacts.
        let float = outline
            .middles
            .iter()
            .flat_map(|(_, at)| [-1.0, 1.0].map(|sign| y(1e3 * (at[2] + sign * outline.half[1]))));
        let reach = heights.iter().flat_map(|at| [at - 18.0, at + 18.0]).chain(float);
        let (top, foot) = reach.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
        for x in [-4.0, 4.0] {
            canvas.line([middle + x, top], [middle + x, foot], "s-ink hair");
        }
    }
    for at in heights {
        canvas.line([middle - 3.0, at], [middle + 3.0, at], "s-ink bold");
    }
}

/// Names of the contacts where there is room for them, from the lowest up.
fn names(
    canvas: &mut Canvas,
    stages: &[StageAnswer],
    drawing: &Drawing,
    x: f64,
    y: &impl Fn(f64) -> f64,
) {
    let mut last = f64::MAX;
    for (stage, contact) in stages.iter().zip(&drawing.contacts) {
        let at = y(1e3 * contact.world_from_contact.origin[2]);
        if (last - at).abs() >= LINE {
            canvas.text(&stage.contact, [x, at + 4.0], Anchor::Start, "f-ink");
            last = at;
        }
    }
}

/// What is read, to the right, against the level: rising as a full line, falling as a dashed one.
fn readings(canvas: &mut Canvas, level: &LevelAnswer, ends: Vec2, y: &impl Fn(f64) -> f64) {
    let (foot, width) = (TOP + PLOT, READ[1] - READ[0]);
    // Without a ladder: how many contacts are closed up to the uppermost that is.
    let unit = level.output_unit.as_str();
    let value = |reading: &ReadingAnswer| match unit {
        "" => level
            .stages
            .iter()
            .rposition(|stage| reading.closed.contains(&stage.contact))
            .map(|k| k as f64 + 1.0),
        _ => reading.output,
    };
    let all = level.rising.iter().chain(&level.falling).filter_map(&value);
    let (low, high) = all.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
    if high <= low {
        return;
    }
    let rim = 0.06 * (high - low);
    let x = |v: f64| READ[0] + (v - low + rim) / (high - low + 2.0 * rim) * width;
    let across = ticks(low, high, 6);
    let step = if across.len() > 1 { across[1] - across[0] } else { 1.0 };
    for tick in &across {
        canvas.line([x(*tick), TOP], [x(*tick), foot], "s-hairline hair");
        canvas.text(&tick_text(*tick, step), [x(*tick), foot + 16.0], Anchor::Middle, "f-ink");
    }
    volumes(canvas, level, ends, y);
    for (pass, class) in [(&level.rising, "s-drive bold"), (&level.falling, "s-ink line dashed")] {
        let mut line: Vec<Vec2> = Vec::new();
        for reading in pass {
            match value(reading) {
                Some(value) => line.extend([reading.from, reading.to].map(|at| [x(value), y(at)])),
                None => canvas.polyline(&std::mem::take(&mut line), class),
            }
        }
        if line.len() > 1 {
            canvas.polyline(&line, class);
        }
    }
    canvas.rectangle([READ[0], TOP, width, PLOT], "s-ink thin");
    let what =
        if unit.is_empty() { "uppermost contact closed".into() } else { format!("output, {unit}") };
    canvas.text(&what, [READ[0] + 0.5 * width, foot + 36.0], Anchor::Middle, "f-ink");
    let mut at = READ[0];
    for (class, words) in [("s-drive bold", "level rising"), ("s-ink line dashed", "level falling")]
    {
        canvas.line([at, 26.0], [at + 28.0, 26.0], class);
        canvas.text(words, [at + 34.0, 30.0], Anchor::Start, "f-ink");
        at += 52.0 + words.chars().count() as f64 * CHARACTER;
    }
}

/// Levels of round volumes across the plot.
fn volumes(canvas: &mut Canvas, level: &LevelAnswer, ends: Vec2, y: &impl Fn(f64) -> f64) {
    let Some(tank) = &level.tank else { return };
    let inside: Vec<_> =
        tank.strapping.iter().filter(|row| (ends[0]..=ends[1]).contains(&row.level)).collect();
    let (Some(first), Some(last)) = (inside.first(), inside.last()) else { return };
    for volume in ticks(first.volume, last.volume, 8) {
        let above = inside.partition_point(|row| row.volume < volume);
        let (Some(a), Some(b)) = (above.checked_sub(1).map(|k| inside[k]), inside.get(above))
        else {
            continue;
        };
        let share = (volume - a.volume) / (b.volume - a.volume);
        let at = y(a.level + share * (b.level - a.level));
        canvas.line([READ[0], at], [READ[1], at], "s-hairline hair");
        let text = number(volume, "L");
        canvas.text(&text, [READ[0] - 6.0, at + 4.0], Anchor::End, "f-faded");
    }
    canvas.text("volume, L", [READ[0] - 6.0, TOP - 2.0], Anchor::End, "f-faded");
}
