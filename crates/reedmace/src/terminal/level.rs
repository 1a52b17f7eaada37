//! The contacts of a level stem in one table, and what the stem reads.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        cut, table, whole, wrap,
    },
    paint,
};
use reedmace_engine::{
    Answer,
    answer::{Band, LevelAnswer, StageAnswer},
};
use reedmace_report::{
    brief,
    number::{number, with_unit},
};

const SIDES: [Side; 8] = [Left, Right, Right, Right, Right, Right, Right, Left];

/// A line for each contact; `None` but for several contacts on a level stem.
pub(crate) fn stages(answer: &Answer) -> Option<String> {
    let level = answer.level.as_ref().filter(|_| brief::has_table(answer))?;
    let over = ["contact", "closes at", "", "opens at", "", "diff.", "over-", ""];
    let under = ["", "rising", "low..high", "falling", "low..high", "", "lap", ""];
    let mut rows = [over, under].map(|row| row.map(String::from).to_vec()).to_vec();
    rows.extend(level.stages.iter().map(stage));
    let mut out = format!("{}\n", paint(Ink::Heading, "Contacts of the stem"));
    for (index, line) in table(&SIDES, &rows).iter().enumerate() {
        let line = if index < 2 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    let ratios = level.stages.iter().filter_map(|stage| stage.differential_ratio.as_ref()?.value);
    let ratio = ratios.reduce(f64::max).map(|ratio| {
        format!("; as a ratio of distances at most {}", whole(&with_unit(ratio, "%")))
    });
    let text = format!(
        "levels, differential and overlap in mm, with the worst case of levels and of the overlap: with the next \
         contact, the least of both ways, below zero a gap; the differential is that of the nearer end{}",
        ratio.unwrap_or_default()
    );
    out += &wrap("  ", &text);
    Some(out)
}

fn stage(stage: &StageAnswer) -> Vec<String> {
    let nominal = |band: &Option<Band>| {
        let value = band.as_ref().and_then(|band| band.value.map(|value| (value, &band.unit)));
        value.map_or_else(|| "–".into(), |(value, unit)| number(value, unit))
    };
    let limits = |band: &Option<Band>| {
        let Some(band) = band else { return String::new() };
        format!("{}..{}", number(band.low, &band.unit), number(band.high, &band.unit))
    };
    let overlap = stage.overlap.iter().flatten().map(|band| band.low).reduce(f64::min);
    vec![
        cut(&stage.contact, 10),
        nominal(&stage.closes_rising),
        limits(&stage.closes_rising),
        nominal(&stage.opens_falling),
        limits(&stage.opens_falling),
        nominal(&stage.differential),
        overlap.map_or_else(String::new, |overlap| number(overlap, "mm")),
        stage.verdict.map_or_else(String::new, |verdict| verdict.word().into()),
    ]
}

/// The float, what the stem reads, the slosh and what faults show; `None` but for a level sweep.
pub(crate) fn level(answer: &Answer) -> Option<String> {
    let level = answer.level.as_ref()?;
    let mut out = format!("{}\n", paint(Ink::Heading, "Level"));
    let [leaves, comes] = level.swims.map(|level| whole(&with_unit(level, "mm")));
    let mut say = |text: String| out += &wrap("  ", &text);
    say(format!(
        "in {} of {} the float swims {} deep, from a level of {leaves} to {comes}",
        level.liquid,
        whole(&with_unit(level.density, "kg/m³")),
        whole(&with_unit(level.draught, "mm")),
    ));
    if let Some(tank) = &level.tank {
        say(format!(
            "tank from {} to {}, {} in all",
            whole(&with_unit(tank.bottom, "mm")),
            whole(&with_unit(tank.top, "mm")),
            whole(&with_unit(tank.capacity, "L")),
        ));
    }
    if let Some(text) = outputs(level) {
        say(text);
    }
    let swing = level.slosh.iter().max_by(|a, b| a.hold.total_cmp(&b.hold));
    if let Some(swing) = swing {
        say(format!(
            "slosh: {} up and down, {}; a reading must last {} to count, at the level of {} most",
            whole(&with_unit(swing.amplitude, "mm")),
            whole(&with_unit(swing.frequencies[0], "Hz")),
            whole(&with_unit(swing.hold, "s")),
            whole(&with_unit(swing.level, "mm")),
        ));
    }
    if !level.faults.is_empty() {
        let hidden: Vec<String> = level
            .hidden_faults()
            .map(|fault| {
                let fails = if fault.stays_closed { "stays closed" } else { "never closes" };
                format!("{} that {fails}", fault.contact)
            })
            .collect();
        let which =
            if hidden.is_empty() { String::new() } else { format!(" ({})", hidden.join(", ")) };
        let hidden = hidden.len();
        let open = level.faults.iter().filter(|fault| fault.open_line).count();
        say(format!(
            "of {} single faults, a contact that never closes or stays closed, {hidden} {} nowhere at the \
             output{which} and {open} {} its line; the report and --json tell each",
            level.faults.len(),
            if hidden == 1 { "shows" } else { "show" },
            if open == 1 { "opens" } else { "open" },
        ));
    }
    Some(out)
}

/// Outputs from the lowest contact to the highest, and what they are for.
fn outputs(level: &LevelAnswer) -> Option<String> {
    let first = level.stages.first()?.output?;
    let last = level.stages.last()?.output?;
    Some(format!(
        "output {} at the lowest contact to {} at the highest; `reedmace calibrate` writes every step",
        whole(&with_unit(first, &level.output_unit)),
        whole(&with_unit(last, &level.output_unit)),
    ))
}
