//! What a level stem answers: readings both ways, liquids, slosh and faults of the nominal unit.

use crate::answer::{
    Band, CalibrationAnswer, ContactAnswer, DemandAnswer, EventKind, FaultAnswer, FigureAnswer,
    LevelAnswer, LiquidAnswer, ReadingAnswer, SloshAnswer, StageAnswer, StateAnswer, StrapAnswer,
    TankAnswer,
};
use crate::applied::level::{Pass, Stem, Stretch};
use crate::float::Guide;
use crate::motion::Motion;
use crate::outcome::Outcome;
use crate::realise::Workshop;
use crate::units::{millimetres, tidy};
use reedmace_applied::{float::Hull, ladder::Reading};
use reedmace_design::{Design, InLiquid};
use reedmace_materials::Liquids;
use reedmace_units::{Quantity, Temperature};

/// Levels of a strapping table, less one.
const STRAPS: usize = 120;

/// What is told of a design already.
pub(crate) struct Told<'a> {
    pub contacts: &'a [ContactAnswer],
    pub figures: &'a [FigureAnswer],
    pub demands: &'a [DemandAnswer],
}

/// The answer of a design with a level sweep.
pub(crate) fn answer(
    workshop: &Workshop,
    nominal: &Outcome,
    told: &Told<'_>,
) -> Option<LevelAnswer> {
    let design = &*workshop.design;
    let applied = workshop.applied_at(&workshop.nominal_values());
    let stem = applied.level.as_ref()?;
    let float = stem.float.as_ref()?;
    let passes = [true, false].map(|rising| stem.pass(&nominal.courses, rising));
    let tank = stem.tank.as_ref().map(|(tank, bottom)| TankAnswer {
        bottom: millimetres(*bottom),
        top: millimetres(bottom + tank.height()),
        capacity: litres(tank.capacity()),
        strapping: strapping(stem),
    });
    let [rising, falling] =
        passes.each_ref().map(|pass| pass.iter().map(|s| reading(design, stem, &s)).collect());
    Some(LevelAnswer {
        liquid: liquid_name(design),
        density: tidy(float.density),
        draught: millimetres(float.draught),
        stiffness: tidy(1e-3 * float.hull.stiffness(float.draught, float.density)),
        swims: float.held_at().map(millimetres),
        liquids: liquids(design, stem),
        tank,
        slosh: slosh(stem, nominal),
        stages: stages(stem, told),
        calibration: calibration(stem, told, &passes, design),
        output_unit: output_unit(stem).into(),
        resistors: resistors(stem),
        rising,
        falling,
        faults: faults(design, stem, &passes[0]),
    })
}

fn strapping(stem: &Stem) -> Vec<StrapAnswer> {
    let Some((tank, bottom)) = &stem.tank else { return Vec::new() };
    let at = |k: usize| {
        let depth = tank.height() * k as f64 / STRAPS as f64;
        StrapAnswer {
            level: millimetres(bottom + depth),
            volume: litres(tank.volume(depth)),
            half_width: tank.half_width(depth).map(millimetres),
        }
    };
    (0..=STRAPS).map(at).collect()
}

/// Each contact with the band of each end of its main lobe.
fn stages(stem: &Stem, told: &Told<'_>) -> Vec<StageAnswer> {
    let figure = |name: String| {
        told.figures.iter().find(|figure| figure.name == name).map(|figure| figure.value.clone())
    };
    let one = |(k, contact): (usize, &ContactAnswer)| {
        let level = |kind: EventKind, rising: bool| {
            let mine = contact.events.iter().filter(|event| {
                (event.kind, event.direction) == (kind, stem.way(rising))
                    && event.main_lobe
                    && event.at.value.is_some()
            });
            // Of a main lobe that is left and met again the first operate and the last release.
            let mut mine = mine.map(|event| event.at.clone());
            if kind == EventKind::Operate { mine.next() } else { mine.next_back() }
        };
        let [closes, opens] = contact.closes_and_opens();
        let name = &contact.name;
        let next = told.contacts.get(k + 1).map(|next| &next.name);
        let overlap = |way: &str| figure(format!("overlap {way} of {name} and {}", next?));
        let demands = told.demands.iter().filter(|demand| demand.contact == *name);
        StageAnswer {
            contact: name.clone(),
            closes_rising: level(closes, true),
            opens_rising: level(opens, true),
            closes_falling: level(closes, false),
            opens_falling: level(opens, false),
            differential: figure(format!("differential of {name}")),
            differential_ratio: figure(format!("differential ratio of {name}")),
            overlap: ["rising", "falling"].map(overlap),
            output: stem.ladder.as_ref().map(|ladder| shown(stem, ladder.alone(k))),
            verdict: demands.map(|demand| demand.verdict).max(),
        }
    };
    told.contacts.iter().enumerate().map(one).collect()
}

/// A level at which the reading changes, or an end of the sweep.
struct Change {
    level: Band,
    what: Option<(String, EventKind)>,
    rising: bool,
}

/// Every level at which the nominal stem changes on either pass, with both ends of the sweep.
fn calibration(
    stem: &Stem,
    told: &Told<'_>,
    passes: &[Pass; 2],
    design: &Design,
) -> Vec<CalibrationAnswer> {
    let mut levels: Vec<Change> = Vec::new();
    for contact in told.contacts {
        for event in contact.events.iter().filter(|event| event.at.value.is_some()) {
            levels.push(Change {
                level: event.at.clone(),
                what: Some((contact.name.clone(), event.kind)),
                rising: event.direction == stem.way(true),
            });
        }
    }
    let end = |at: f64| {
        let at = millimetres(at);
        let level = Band { value: Some(at), low: at, high: at, unit: "mm".into() };
        Change { level, what: None, rising: true }
    };
    levels.extend(stem.reach.map(end));
    let at = |change: &Change| change.level.value.expect("kept only with one");
    levels.sort_by(|a, b| at(a).total_cmp(&at(b)));
    let row = |k: usize| {
        let Change { level: band, what, rising } = &levels[k];
        let level = 1e-3 * at(&levels[k]);
        let next = levels.get(k + 1).map_or(level, |next| 1e-3 * at(next));
        let [above_rising, above_falling] =
            passes.each_ref().map(|pass| state(design, stem, pass, 0.5 * (level + next)));
        CalibrationAnswer {
            level: band.clone(),
            volume: stem.volume(level).map(litres),
            contact: what.as_ref().map(|(contact, _)| contact.clone()),
            kind: what.as_ref().map(|(_, kind)| *kind),
            rising: *rising,
            above_rising,
            above_falling,
        }
    };
    (0..levels.len()).map(row).collect()
}

/// What a pass shows at a level.
fn state(design: &Design, stem: &Stem, pass: &Pass, level: f64) -> StateAnswer {
    let within = |s: &Stretch<'_>| (level - s.ends[0]) * (level - s.ends[1]) <= 0.0;
    let Some(stretch) = pass.iter().find(within) else {
        let output = stem.ladder.as_ref().and_then(|ladder| ladder.output(&[]));
        return StateAnswer {
            closed: Vec::new(),
            output: output.map(|output| shown(stem, output)),
        };
    };
    let reading = reading(design, stem, &stretch);
    StateAnswer { closed: reading.closed, output: reading.output }
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
    ladder.resistors().chain([ladder.last]).filter(|r| r.is_finite()).map(tidy).collect()
}

fn reading(design: &Design, stem: &Stem, stretch: &Stretch<'_>) -> ReadingAnswer {
    let [from, to] = stretch.ends;
    ReadingAnswer {
        from: millimetres(from),
        to: millimetres(to),
        from_volume: stem.volume(from).map(litres),
        to_volume: stem.volume(to).map(litres),
        closed: stretch.closed.iter().map(|k| design.contacts[*k].name.clone()).collect(),
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

/// The surface where each contact changes, at the level that asks for the longest hold.
fn slosh(stem: &Stem, nominal: &Outcome) -> Vec<SloshAnswer> {
    let Some(differential) = stem.least_differential(&nominal.courses) else { return Vec::new() };
    let waves = nominal.courses.iter().filter_map(|course| stem.waves(course, differential));
    let told = waves.map(|waves| SloshAnswer {
        level: millimetres(waves.level),
        frequencies: waves.swing.frequencies.map(tidy),
        amplitude: millimetres(waves.swing.amplitude),
        hold: tidy(waves.hold),
    });
    told.collect()
}

/// What each contact at fault shows as the level rises.
fn faults(design: &Design, stem: &Stem, rising: &Pass) -> Vec<FaultAnswer> {
    let Some(ladder) = &stem.ladder else { return Vec::new() };
    let one = |k: usize, stays_closed: bool| {
        let output = |stretch: &Stretch<'_>| {
            let of = |contact: &usize| {
                if *contact == k { stays_closed } else { stretch.closed.contains(contact) }
            };
            let closed: Vec<usize> = (0..design.contacts.len()).filter(of).collect();
            ladder.output(&closed)
        };
        let outputs =
            rising.iter().filter_map(|s| output(&s)).fold(None, |ends: Option<[f64; 2]>, x| {
                Some(ends.map_or([x, x], |[low, high]| [low.min(x), high.max(x)]))
            });
        let differ: Vec<Stretch<'_>> = rising.iter().filter(|s| output(s) != s.output).collect();
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
    /// Half the diameter of its bore, where a stem goes through.
    pub bore: f64,
    /// The tank from its lowest place up: level and half the width there.
    pub tank: Vec<[f64; 2]>,
    /// Pivot of its arm, if it has one.
    pub pivot: Option<[f64; 3]>,
    /// Levels with the middle of the float at each, in the order of the sweep.
    pub middles: Vec<(f64, [f64; 3])>,
}

/// The float along the sweep, to draw it.
pub(crate) fn outline(design: &Design, motion: &Motion) -> Option<LevelOutline> {
    let Motion::Level { range, float } = motion else { return None };
    let (diameter, bore, round) = match float.hull {
        Hull::Cylinder { diameter, bore, .. } => (diameter, bore, false),
        Hull::Ball { diameter, bore } => (diameter, bore, true),
        Hull::Lying { diameter, .. } => (diameter, 0.0, true),
    };
    let tank = Stem::of(design, &|quantity| quantity.limits().nominal).and_then(|stem| stem.tank);
    let tank = tank.iter().flat_map(|(tank, bottom)| {
        let at = move |k: usize| {
            let depth = tank.height() * k as f64 / STRAPS as f64;
            tank.half_width(depth).map(|half| [bottom + depth, half])
        };
        (0..=STRAPS).filter_map(at)
    });
    let level = |k: usize| range[0] + (range[1] - range[0]) * k as f64 / 100.0;
    Some(LevelOutline {
        half: [0.5 * diameter, 0.5 * float.hull.height()],
        round,
        bore: 0.5 * bore,
        tank: tank.collect(),
        pivot: match &float.guide {
            Guide::Stem { .. } => None,
            Guide::Arm { pivot, .. } => Some(*pivot),
        },
        middles: (0..=100).map(|k| (level(k), float.middle(level(k)))).collect(),
    })
}
