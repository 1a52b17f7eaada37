//! What a level stem answers: readings both ways, liquids, slosh and faults of the nominal unit.

use crate::answer::{
    FaultAnswer, LevelAnswer, LiquidAnswer, ReadingAnswer, SloshAnswer, TankAnswer,
};
use crate::applied::level::{Stem, Stretch, main_stretch};
use crate::float::Guide;
use crate::outcome::Outcome;
use crate::realise::Workshop;
use crate::units::{millimetres, tidy};
use reedmace_applied::{ladder::Reading, slosh::hold_time};
use reedmace_design::{Design, InLiquid};
use reedmace_materials::Liquids;
use reedmace_units::{Quantity, Temperature};

/// The answer of a design with a level sweep.
pub(crate) fn answer(workshop: &Workshop, nominal: &Outcome) -> Option<LevelAnswer> {
    let design = &*workshop.design;
    let applied = workshop.applied_at(&workshop.nominal_values());
    let stem = applied.level.as_ref()?;
    let float = stem.float.as_ref()?;
    let passes = [true, false].map(|rising| stem.stretches(&nominal.courses, rising));
    let tank = stem.tank.as_ref().map(|(tank, bottom)| TankAnswer {
        bottom: millimetres(*bottom),
        top: millimetres(bottom + tank.height()),
        capacity: litres(tank.capacity()),
    });
    let [rising, falling] =
        passes.each_ref().map(|pass| pass.iter().map(|s| reading(design, stem, s)).collect());
    Some(LevelAnswer {
        liquid: liquid_name(design),
        density: tidy(float.density),
        draught: millimetres(float.draught),
        stiffness: tidy(1e-3 * float.hull.stiffness(float.draught, float.density)),
        swims: float.held_at().map(millimetres),
        liquids: liquids(design, stem),
        tank,
        slosh: slosh(stem, nominal),
        output_unit: output_unit(stem).into(),
        resistors: resistors(stem),
        rising,
        falling,
        faults: faults(design, stem, &passes[0]),
    })
}

fn litres(cubic_metres: f64) -> f64 {
    tidy(1e3 * cubic_metres)
}

fn liquid_name(design: &Design) -> String {
    match design.level.as_ref().map(|level| &level.float.liquid) {
        Some(InLiquid::Row { name, .. }) => name.clone(),
        Some(InLiquid::Density(density)) => format!("liquid of {}", density.is),
        _ => Liquids::WATER.into(),
    }
}

fn output_unit(stem: &Stem) -> &'static str {
    match stem.ladder.as_ref().map(|ladder| ladder.reading) {
        Some(Reading::Resistance) => "Ω",
        Some(Reading::Share) => "%",
        None => "",
    }
}

/// An output as shown.
fn shown(stem: &Stem, output: f64) -> f64 {
    match stem.ladder.as_ref().map(|ladder| ladder.reading) {
        Some(Reading::Share) => tidy(100.0 * output),
        _ => tidy(output),
    }
}

fn resistors(stem: &Stem) -> Vec<f64> {
    let Some(ladder) = &stem.ladder else { return Vec::new() };
    let all = [ladder.first].into_iter().chain(ladder.steps.iter().copied()).chain([ladder.last]);
    all.filter(|r| r.is_finite()).map(tidy).collect()
}

fn reading(design: &Design, stem: &Stem, stretch: &Stretch) -> ReadingAnswer {
    let [from, to] = stretch.ends;
    let named = design.contacts.iter().zip(&stretch.closed).filter(|(_, closed)| **closed);
    ReadingAnswer {
        from: millimetres(from),
        to: millimetres(to),
        from_volume: stem.volume(from).map(litres),
        to_volume: stem.volume(to).map(litres),
        closed: named.map(|(contact, _)| contact.name.clone()).collect(),
        output: stretch.output.map(|output| shown(stem, output)),
    }
}

/// The float in every liquid of the table, at the nominal temperature.
fn liquids(design: &Design, stem: &Stem) -> Vec<LiquidAnswer> {
    let Some(float) = &stem.float else { return Vec::new() };
    let table = Liquids::builtin();
    let temperature = Temperature::from_si(design.surroundings.temperature.si());
    let displaced = float.hull.displaced(float.draught) * float.density;
    let one = |name: &str| {
        let density = table.nominal_density(name, temperature)?.si();
        let draught = float.hull.draught(displaced, density)?;
        Some(LiquidAnswer {
            liquid: name.to_owned(),
            density: tidy(density),
            draught: millimetres(draught),
            shift: millimetres(draught - float.draught),
        })
    };
    table.names().into_iter().filter_map(one).collect()
}

/// The surface at the level at which each contact is in the middle of its main lobe.
fn slosh(stem: &Stem, nominal: &Outcome) -> Vec<SloshAnswer> {
    let differential = stem.least_differential(&nominal.courses).unwrap_or(0.0);
    let at = nominal.courses.iter().filter_map(|course| {
        let up = main_stretch(course, stem.way(true))?;
        let level = 0.5 * (up[0] + up[1]);
        let swing = stem.swing(level)?;
        Some(SloshAnswer {
            level: millimetres(level),
            frequencies: swing.frequencies.map(tidy),
            amplitude: millimetres(swing.amplitude),
            hold: tidy(hold_time(swing.amplitude, differential, swing.period)),
        })
    });
    at.collect()
}

/// What each contact at fault shows as the level rises.
fn faults(design: &Design, stem: &Stem, rising: &[Stretch]) -> Vec<FaultAnswer> {
    let Some(ladder) = &stem.ladder else { return Vec::new() };
    let one = |k: usize, stays_closed: bool| {
        let output = |stretch: &Stretch| {
            let mut closed = stretch.closed.clone();
            closed[k] = stays_closed;
            ladder.output(&closed)
        };
        let outputs = rising.iter().filter_map(output).fold(None, |ends: Option<[f64; 2]>, x| {
            Some(ends.map_or([x, x], |[low, high]| [low.min(x), high.max(x)]))
        });
        let differ: Vec<&Stretch> = rising.iter().filter(|s| output(s) != s.output).collect();
        FaultAnswer {
            contact: design.contacts[k].name.clone(),
            stays_closed,
            outputs: outputs.map(|ends| ends.map(|x| shown(stem, x))),
            shows: differ
                .first()
                .zip(differ.last())
                .map(|(a, b)| [millimetres(a.ends[0]), millimetres(b.ends[1])]),
            open_line: differ.iter().any(|s| output(s).is_none()),
        }
    };
    let contacts = 0..design.contacts.len();
    contacts.flat_map(|k| [one(k, true), one(k, false)]).collect()
}

/// What a level stem is drawn from beside what every design is, m: nominal, world frame.
#[derive(Debug, Clone)]
pub struct LevelOutline {
    /// Half the diameter of the float and half its height.
    pub half: [f64; 2],
    /// True for a ball, or a cylinder seen along its axis.
    pub round: bool,
    /// Pivot of its arm, if it has one.
    pub pivot: Option<[f64; 3]>,
    /// Levels with the middle of the float at each, in the order of the sweep.
    pub middles: Vec<(f64, [f64; 3])>,
}

/// The float along the sweep, to draw it.
pub(crate) fn outline(design: &Design, motion: &crate::motion::Motion) -> Option<LevelOutline> {
    let crate::motion::Motion::Level { range, float } = motion else { return None };
    design.level.as_ref()?;
    let [diameter, round] = match float.hull {
        reedmace_applied::float::Hull::Cylinder { diameter, .. } => [diameter, 0.0],
        reedmace_applied::float::Hull::Ball { diameter, .. }
        | reedmace_applied::float::Hull::Lying { diameter, .. } => [diameter, 1.0],
    };
    let level = |k: usize| range[0] + (range[1] - range[0]) * k as f64 / 100.0;
    Some(LevelOutline {
        half: [0.5 * diameter, 0.5 * float.hull.height()],
        round: round > 0.0,
        pivot: match &float.guide {
            Guide::Stem { .. } => None,
            Guide::Arm { pivot, .. } => Some(*pivot),
        },
        middles: (0..=100).map(|k| (level(k), float.middle(level(k)))).collect(),
    })
}
