//! A level stem: its contacts, what it reads at each level, what faults show, slosh and liquids.

use super::made_by::made_by;
use super::verdict;
use crate::{
    brief, csv, figures,
    number::{number, signed, with_unit},
};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::{
    Drawing,
    answer::{
        Answer, Band, CalibrationAnswer, EventKind, FaultAnswer, LevelAnswer, Model, SloshAnswer,
        StageAnswer, StateAnswer,
    },
};

/// The stem, if the sweep is a level.
pub fn section(answer: &Answer, drawing: &Drawing) -> Markup {
    let Some(level) = &answer.level else { return html! {} };
    html! {
        section class="level" {
            h2 { "The level" }
            (made_by(&answer.models, &[Model::Float, Model::Tank, Model::Ladder, Model::Slosh, Model::Events, Model::WorstCase]))
            (float(level))
            @if let Some(figure) = figures::draw_tank(answer, drawing, "tank") {
                figure { (PreEscaped(figure.inline())) }
            }
            @if brief::has_table(answer) { (stages(level)) }
            (calibration(answer, level))
            @if !level.faults.is_empty() { (faults(level)) }
            @if !level.slosh.is_empty() { (slosh(&level.slosh)) }
            (liquids(level))
        }
    }
}

fn float(level: &LevelAnswer) -> Markup {
    html! {
        p {
            "The float swims " (with_unit(level.draught, "mm")) " deep in " (level.liquid) " of "
            (with_unit(level.density, "kg/m³")) " and comes back with "
            (number(1e3 * level.stiffness, "mN")) " mN for each millimetre it is pushed under. It leaves its \
             lower stop at a level of " (with_unit(level.swims[0], "mm")) " and comes to its upper one at "
            (with_unit(level.swims[1], "mm")) "."
            @if let Some(tank) = &level.tank {
                " The tank reaches from " (with_unit(tank.bottom, "mm")) " to " (with_unit(tank.top, "mm"))
                " and holds " (with_unit(tank.capacity, "L")) "."
            }
        }
    }
}

fn stages(level: &LevelAnswer) -> Markup {
    let judged = level.stages.iter().any(|stage| stage.verdict.is_some());
    let (falling, unit) = (["closes", "opens"], &level.output_unit);
    html! {
        div class="scroll" { table class="dense" {
            caption { "Contacts of the stem in their main lobes, mm of level: nominal, and low to high over the tolerances" }
            thead {
                tr {
                    th scope="col" rowspan="2" { "Contact" }
                    th scope="colgroup" colspan="2" { "As the level rises" }
                    th scope="colgroup" colspan="2" { "As it falls" }
                    th scope="colgroup" colspan="2" { "Differential" }
                    th scope="col" rowspan="2" class="n" { "Overlap with the next" }
                    @if !unit.is_empty() { th scope="col" rowspan="2" class="n" { "Output alone, " (unit) } }
                    @if judged { th scope="col" rowspan="2" { "Verdict" } }
                }
                tr {
                    @for word in ["closes", "opens"].into_iter().chain(falling) { th scope="col" class="n" { (word) } }
                    th scope="col" class="n" { "mm" }
                    th scope="col" class="n" { "ratio, %" }
                }
            }
            tbody { @for stage in &level.stages { (stage_row(stage, unit, judged)) } }
        } }
        p class="note" {
            "Differential: how far apart in level the contact operates and releases, at that end of its lobe \
             where that is least; as a ratio, distance from the magnet to the contact at operate over that at \
             release. Both usages are common. Overlap: the stretch on which the next contact is closed as \
             well, the lesser of both ways; below zero a gap, on which neither is."
        }
    }
}

fn stage_row(stage: &StageAnswer, unit: &str, judged: bool) -> Markup {
    let overlap = stage.overlap.iter().flatten().min_by(|a, b| a.low.total_cmp(&b.low));
    html! {
        tr {
            th scope="row" class="nowrap" { (stage.contact) }
            (band(stage.closes_rising.as_ref()))
            (band(stage.opens_rising.as_ref()))
            (band(stage.closes_falling.as_ref()))
            (band(stage.opens_falling.as_ref()))
            (band(stage.differential.as_ref()))
            (band(stage.differential_ratio.as_ref()))
            (band(overlap))
            @if !unit.is_empty() {
                td class="n" { @if let Some(output) = stage.output { (number(output, unit)) } }
            }
            @if judged { td { @if let Some(said) = stage.verdict { (verdict(said)) } } }
        }
    }
}

/// Nominal, and under it low to high.
fn band(band: Option<&Band>) -> Markup {
    html! {
        td class="n" { @if let Some(band) = band {
            @if let Some(value) = band.value { span class="strong" { (number(value, &band.unit)) } }
            br;
            span class="note" { (number(band.low, &band.unit)) "…" (number(band.high, &band.unit)) }
        } }
    }
}

fn calibration(answer: &Answer, level: &LevelAnswer) -> Markup {
    html! {
        h3 { "Calibration" }
        p {
            "Every level at which the reading changes, either way, and what is read from there up to the next \
             line. " code { "reedmace calibrate" } " writes this table with the worst case of each level."
        }
        // In two columns where the readings are short: from the lowest level down the left one.
        @let wide = level.output_unit.is_empty();
        @let half = if wide { level.calibration.len() } else { level.calibration.len().div_ceil(2) };
        div class=(if wide { "scroll" } else { "pairs" }) {
            @for rows in level.calibration.chunks(half.max(1)) { table class="dense" {
                thead { tr {
                    th scope="col" class="n" { "Level, mm" }
                    @if level.tank.is_some() { th scope="col" class="n" { "L" } }
                    th scope="col" { "Changes" }
                    th scope="col" class="n" { "Rising" @if !wide { ", " (level.output_unit) } }
                    th scope="col" class="n" { "Falling" @if !wide { ", " (level.output_unit) } }
                } }
                tbody { @for row in rows { (calibration_row(level, row)) } }
            } }
        }
        details {
            summary { "The same as CSV" }
            pre tabindex="0" { (csv::calibration(answer).unwrap_or_default()) }
        }
    }
}

fn calibration_row(level: &LevelAnswer, row: &CalibrationAnswer) -> Markup {
    let at = row.level.value.unwrap_or(row.level.low);
    let change = row.kind.map(|kind| match kind {
        EventKind::Operate => "closes",
        EventKind::Release => "opens",
    });
    let way = if row.rising { "↑" } else { "↓" };
    html! {
        tr {
            td class="n strong" { (number(at, "mm")) }
            @if level.tank.is_some() {
                td class="n" { @if let Some(volume) = row.volume { (number(volume, "L")) } }
            }
            td class="nowrap" {
                @match (&row.contact, change) {
                    (Some(contact), Some(change)) => { (way) " " (contact) " " (change) }
                    _ => { "end of the sweep" }
                }
            }
            td class="n" { (state(&row.above_rising, &level.output_unit)) }
            td class="n" { (state(&row.above_falling, &level.output_unit)) }
        }
    }
}

fn state(state: &StateAnswer, unit: &str) -> String {
    match (unit, state.output) {
        ("", _) if state.closed.is_empty() => "none".into(),
        ("", _) => state.closed.join(", "),
        (_, Some(output)) => number(output, unit),
        (_, None) => "open line".into(),
    }
}

fn faults(level: &LevelAnswer) -> Markup {
    let find = |contact: &str, closed: bool| {
        level.faults.iter().find(|fault| fault.contact == contact && fault.stays_closed == closed)
    };
    let rises = level.stages.windows(2).all(|pair| pair[0].output < pair[1].output);
    let falls = level.stages.windows(2).all(|pair| pair[0].output > pair[1].output);
    html! {
        h3 { "The output, and what a contact at fault shows" }
        p {
            @if level.stages.len() > 1 {
                @if rises { "From contact to contact the output rises throughout. " }
                @else if falls { "From contact to contact the output falls throughout. " }
                @else { span class="flag" { "From contact to contact the output turns back." } " " }
            }
            "Resistors in order, Ω: "
            @for (k, resistor) in level.resistors.iter().enumerate() {
                @if k > 0 { ", " }
                (number(*resistor, "Ω"))
            }
            "."
        }
        div class="scroll" { table class="dense" {
            caption { "A single contact at fault, the level rising: the outputs there are, in " (level.output_unit)
                ", and the levels between which they differ from a sound stem's, in mm" }
            thead {
                tr {
                    th scope="col" rowspan="2" { "Contact" }
                    th scope="colgroup" colspan="2" { "Never closes" }
                    th scope="colgroup" colspan="2" { "Stays closed" }
                }
                tr { @for _ in 0..2 {
                    th scope="col" class="n" { "outputs" }
                    th scope="col" class="n" { "shows at" }
                } }
            }
            tbody { @for stage in &level.stages { tr {
                th scope="row" class="nowrap" { (stage.contact) }
                @for closed in [false, true] { (fault(level, find(&stage.contact, closed))) }
            } } }
        } }
    }
}

fn fault(level: &LevelAnswer, fault: Option<&FaultAnswer>) -> Markup {
    let unit = &level.output_unit;
    html! {
        td class="n" {
            @if let Some([low, high]) = fault.and_then(|fault| fault.outputs) {
                (number(low, unit)) "…" (number(high, unit))
            }
            @if fault.is_some_and(|fault| fault.open_line) { " " span class="flag" { "open line" } }
        }
        td class="n" {
            @match fault.and_then(|fault| fault.shows) {
                Some([from, to]) => { (number(from, "mm")) "…" (number(to, "mm")) }
                None => { span class="flag" { "nowhere" } }
            }
        }
    }
}

/// Levels at which the slosh is told.
const SLOSHES: usize = 5;

fn slosh(all: &[SloshAnswer]) -> Markup {
    // Alike from one contact to the next: some of them, with both ends.
    let last = all.len() - 1;
    let count = all.len().min(SLOSHES);
    let some = (0..count).map(|k| &all[if count > 1 { k * last / (count - 1) } else { 0 }]);
    html! {
        h3 { "Slosh" }
        div class="scroll" { table class="dense" {
            caption { "The surface at the float, and how long a reading must last to count" }
            thead { tr { @for head in ["level, mm", "waves, Hz", "up and down, mm", "hold, s"] {
                th scope="col" class="n" { (head) }
            } } }
            tbody { @for one in some { tr {
                td class="n" { (number(one.level, "mm")) }
                td class="n" { @for (k, frequency) in one.frequencies.iter().enumerate() {
                    @if k > 0 { ", " }
                    (number(*frequency, "Hz"))
                } }
                td class="n" { (number(one.amplitude, "mm")) }
                td class="n strong" { (number(one.hold, "s")) }
            } } }
        } }
        p class="note" {
            "A swing that is smaller than half the differential changes nothing once the contact has operated: \
             the larger the differential, the shorter the hold, down to none (common practice, no source). \
             Linear waves of the surface at rest."
        }
    }
}

fn liquids(level: &LevelAnswer) -> Markup {
    html! {
        @if !level.liquids.is_empty() {
            h3 { "In other liquids" }
            div class="scroll" { table class="dense" {
                caption { "The same float at the temperature of the design; every switching level shifts with its draught" }
                thead { tr { @for head in ["Liquid", "kg/m³", "draught, mm", "shift, mm"] {
                    th scope="col" class=[(head != "Liquid").then_some("n")] { (head) }
                } } }
                tbody { @for one in &level.liquids { tr {
                    th scope="row" { (one.liquid) }
                    td class="n" { (number(one.density, "kg/m³")) }
                    td class="n" { (number(one.draught, "mm")) }
                    td class="n" { (signed(one.shift, "mm")) }
                } } }
            } }
        }
    }
}
