//! The main job: a checked design to the whole answer.

use crate::answer::*;
use crate::bench::Bench;
use crate::drawing::Drawing;
use crate::error::EngineError;
use crate::levels::levels;
use crate::outcome::Outcome;
use crate::quantity::{Quantified, line_of};
use crate::realise::{Workshop, moving};
use crate::scene::Scene;
use crate::track::{Found, Track};
use crate::units::{Shown, figure_ends, figure_number, millitesla, names, tidy};
use crate::worst::{Extent, Worst};
use crate::{
    band, construction, convert, defeat, draw, level, life, load, models, saturation, share, steel,
    target, timing, verdict, warn, warn_magnets, working_point, worst,
};
use reedmace_contact::Scratch;
use reedmace_design::{Design, Figure, Form, Sweep};
use sha2::{Digest, Sha256};
use std::sync::Mutex;

/// How thoroughly to check.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Units sampled for the share that meets each demand; 0 leaves the shares out. A fifth of them with
    /// steel, and when a contact's own dimensions vary: every unit then has circuits of its own to solve.
    /// A twentieth where the steel is to be solved anew as well.
    pub units: u64,
    /// Seed of the sampled units.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self { units: 1000, seed: 1 }
    }
}

/// A design's answer with all that is needed to print it.
#[derive(Debug, Clone)]
pub struct Study {
    /// What a machine reads.
    pub answer: Answer,
    /// Where everything is, to draw it.
    pub drawing: Drawing,
    /// The design's text.
    pub design_text: String,
    /// What the design was called, usually its file name.
    pub design_name: String,
}

/// Finds every operate and release of a design with its band, and judges its demands.
///
/// `progress` is told how many scenes of about how many are done, from any thread.
///
/// # Errors
/// [`EngineError`] when a corner of the tolerances makes a contact or magnet that cannot exist.
pub fn check(
    design: &Design,
    design_name: &str,
    options: &Options,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Study, EngineError> {
    Bench::default().check(design, design_name, options, progress)
}

/// [`check`] with what a bench has kept.
pub(crate) fn on_bench(
    bench: &Bench,
    design: &Design,
    design_name: &str,
    options: &Options,
    progress: &(dyn Fn(u64, u64) + Sync),
) -> Result<Study, EngineError> {
    let (workshop, scene) = bench.workshop(design)?;
    let (workshop, scene) = workshop.blending(&scene)?;
    let mut scratch = Scratch::default();
    let tracks: Vec<Track> =
        (0..scene.reeds.len()).map(|k| Track::new(&scene, k, &mut scratch)).collect();
    let courses = scene.courses(&tracks, &mut scratch);
    let nominal = Outcome::with(&workshop, &scene, &workshop.nominal_values(), courses);
    let worst = worst::search(&workshop, &nominal, progress)?;
    let sampled = workshop.variables.len() > 0 && !design.demands.is_empty();
    let units = match sampled {
        false => 0,
        true if workshop.solves_steel_anew() => options.units.div_ceil(20),
        true if workshop.contacts_vary() || !scene.steel.is_empty() => options.units.div_ceil(5),
        true => options.units,
    };
    let shares = if units > 0 {
        Some(share::shares(&workshop, &scene, units, options.seed, progress)?)
    } else {
        None
    };

    let shown = Shown::of(design);
    let magnets = working_point::of_magnets(&workshop, &shown)?;
    let mut warnings = warn_magnets::of_magnets(&workshop, &scene, &magnets, &shown);
    let mut contacts = Vec::new();
    for (k, track) in tracks.iter().enumerate() {
        let (contact, more) =
            contact_answer(&workshop, &scene, track, &nominal, &worst, k, &shown)?;
        contacts.push(contact);
        // What is so of both sides of a change-over is told of its normally open one.
        let side = design.contacts[k].change_over.is_some();
        warnings.extend(
            more.into_iter().filter(|one| !side || !warn::OF_A_BODY.contains(&one.code.as_str())),
        );
    }
    let steel = steel::answer(&workshop, &scene, &tracks, &nominal.courses, &shown)?;
    let (steel, of_steel) = steel.map_or((None, Vec::new()), |(s, w)| (Some(s), w));
    warnings.extend(of_steel);
    let figures = figures(&workshop, &nominal, &worst);
    warnings.extend(warn::of_wire(design, &figures));
    let door = defeat::defeat(&workshop, &scene, &nominal, &figures, &shown)?;
    warnings.extend(door.iter().flat_map(warn::of_open_door));
    let applied = workshop.applied_at(&workshop.nominal_values());
    let rotor = applied.rotor(design, &nominal.courses);
    let relay = applied.relay(design, &nominal.figures, &worst.figures);
    let latch = applied.latch(design, &nominal.courses);
    let timing = timing::answer(design, applied.timed(), &nominal.courses)?;
    warnings.extend(warn::of_times(design, &applied, &nominal.courses));
    let loads = load::answers(design, &figures)?;
    let target = target::answer(&workshop, &scene, &nominal)?;
    let construction = construction::answers(&workshop, &contacts)?;
    let demands = verdict::answers(design, &nominal, &worst, shares.as_deref(), &shown);
    let told = level::Told { contacts: &contacts, figures: &figures, demands: &demands };
    let level = level::answer(&workshop, &nominal, &told);
    warnings.extend(level.iter().flat_map(warn::of_faults));
    let models = models::notes(&workshop, units);
    let mut references: Vec<String> = models.iter().flat_map(|m| m.references.clone()).collect();
    let sources = figures.iter().map(|figure| &figure.source);
    let sources = sources.chain(construction.iter().flat_map(|c| &c.rows).map(|row| &row.source));
    let sources = sources.chain(loads.iter().flat_map(|load| &load.rules).map(|rule| &rule.source));
    references.extend(sources.flat_map(|source| models::keys(source)));
    references.sort();
    references.dedup();
    let answer = Answer {
        format: 1,
        title: design.title.clone(),
        verdict: demands.iter().map(|d| d.verdict).max(),
        sweep: sweep_answer(design, &scene, &shown),
        contacts,
        magnets,
        demands,
        figures,
        door,
        level,
        rotor,
        relay,
        timing,
        construction,
        latch,
        life: life::answer(design),
        loads,
        target,
        steel,
        warnings,
        quantities: quantities(&workshop)?,
        models,
        provenance: Provenance {
            version: env!("CARGO_PKG_VERSION").into(),
            design: design_name.into(),
            design_sha256: hex(&Sha256::digest(design.text.as_bytes())),
            seed: options.seed,
            references,
            scenes: worst.scenes + units,
        },
    };
    Ok(Study {
        answer,
        drawing: draw::drawing(design, &scene, &shown),
        design_text: design.text.clone(),
        design_name: design_name.into(),
    })
}

/// The form of a contact, in the trade's letters.
fn form(design: &Design, k: usize) -> &'static str {
    let contact = &design.contacts[k];
    match (contact.form, &contact.change_over) {
        (_, Some(_)) => "C, normally closed",
        (Form::Break, None) => "B",
        (Form::Make, None) if design.closed_side(k).is_some() => "C",
        (Form::Make, None) => "A",
    }
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

fn sweep_answer(design: &Design, scene: &Scene, shown: &Shown) -> SweepAnswer {
    let kind = match design.sweep {
        Sweep::Line(_) => "line",
        Sweep::Arc(_) => "arc",
        Sweep::Spin(_) => "spin",
        Sweep::Table(_) => "table",
        Sweep::Level(_) => "level",
        Sweep::Current(_) => "current",
        Sweep::Voltage(_) => "voltage",
    };
    let [from, to] = scene.motion.range();
    SweepAnswer {
        kind: kind.into(),
        coordinate: shown.name.clone(),
        unit: shown.unit.into(),
        from: shown.number(from),
        to: shown.number(to),
        moves: names(design, moving(&design.sweep)),
    }
}

fn contact_answer(
    workshop: &Workshop,
    scene: &Scene,
    track: &Track,
    nominal: &Outcome,
    worst: &Worst,
    k: usize,
    shown: &Shown,
) -> Result<(ContactAnswer, Vec<Warning>), EngineError> {
    let design = &workshop.design.contacts[k];
    let course = &nominal.courses[k];
    let events: Vec<Event> = course
        .events
        .iter()
        .zip(&worst.events[k])
        .map(|(found, band)| event(workshop, found, band, course.is_main(found.lobe), shown))
        .chain(worst.sometimes[k].iter().map(|(found, [low, high])| Event {
            at: Band {
                value: None,
                low: shown.number(*low),
                high: shown.number(*high),
                unit: shown.unit.into(),
            },
            kind: found.kind,
            direction: found.direction,
            lobe: found.lobe + 1,
            main_lobe: course.is_main(found.lobe),
            in_every_unit: false,
            monotone: true,
            drivers: Vec::new(),
        }))
        .collect();
    let levels = levels(workshop, k)?;
    let band = |i: usize| Band {
        value: Some(millitesla(levels[1][i])),
        low: millitesla(levels[0][i]),
        high: millitesla(levels[2][i]),
        unit: "mT".into(),
    };
    let strongest = saturation::strongest(workshop, scene, track, k, shown);
    let told = strongest.as_ref().map(Option::as_ref).map_err(|why| *why);
    let warnings = warn::of_contact(workshop, scene, nominal, track, &events, told, k);
    let closed = course.closed.iter().map(|(direction, [from, to])| ClosedInterval {
        direction: *direction,
        from: shown.number(*from),
        to: shown.number(*to),
    });
    let answer = ContactAnswer {
        name: design.name.clone(),
        family: design.family.clone(),
        form: form(&workshop.design, k).into(),
        like: workshop.design.like(k).map(|first| first.name.clone()),
        operate: band(0),
        release: band(1),
        conversions: convert::of_contact(workshop, scene, k, &levels)?,
        closed: closed.collect(),
        closed_at_start: course.closed_at_start,
        trace: band::trace(workshop, scene, track, k, shown)?,
        strongest: strongest.unwrap_or(None),
        events,
    };
    Ok((answer, warnings))
}

fn event(
    workshop: &Workshop,
    found: &Found,
    band: &Extent,
    main_lobe: bool,
    shown: &Shown,
) -> Event {
    Event {
        kind: found.kind,
        direction: found.direction,
        at: Band {
            value: Some(shown.number(found.at)),
            low: shown.number(band.low),
            high: shown.number(band.high),
            unit: shown.unit.into(),
        },
        lobe: found.lobe + 1,
        main_lobe,
        in_every_unit: band.in_every_unit,
        monotone: band.monotone,
        drivers: drivers(workshop, band, &|si| shown.number(si)),
    }
}

/// What moves an event or a figure most; `number`: a shift in SI as shown.
fn drivers(workshop: &Workshop, extent: &Extent, number: &dyn Fn(f64) -> f64) -> Vec<Driver> {
    let mut drivers: Vec<Driver> = workshop
        .variables
        .iter()
        .zip(&extent.shifts)
        .map(|(variable, [low, high])| Driver {
            path: variable.path.clone(),
            at_low: number(*low),
            at_high: number(*high),
        })
        .collect();
    let size = |d: &Driver| d.at_low.abs().max(d.at_high.abs());
    drivers.sort_by(|a, b| size(b).total_cmp(&size(a)));
    let largest = drivers.first().map_or(0.0, size);
    drivers.retain(|d| size(d) > 1e-3 * largest);
    drivers
}

/// The figures that the nominal unit has.
fn figures(workshop: &Workshop, nominal: &Outcome, worst: &Worst) -> Vec<FigureAnswer> {
    let told = workshop.design.figures().into_iter().zip(&nominal.figures).zip(&worst.figures);
    let answer = |((figure, value), extent): ((Figure, &f64), &Option<Extent>)| {
        let extent = extent.as_ref()?;
        let number = |si: f64| figure_number(&figure, si);
        Some(FigureAnswer {
            value: Band {
                value: Some(number(*value)),
                low: number(extent.low),
                high: number(extent.high),
                unit: figure.unit.symbol.into(),
            },
            ends: figure_ends(&figure),
            in_every_unit: extent.in_every_unit,
            monotone: extent.monotone,
            drivers: drivers(workshop, extent, &|si| tidy(si / figure.unit.factor)),
            group: figure.group.into(),
            name: figure.name,
            about: figure.about.into(),
            model: figure.basis.model.name().into(),
            source: figure.basis.source.into(),
            contacts: figure
                .contacts
                .iter()
                .map(|k| workshop.design.contacts[*k].name.clone())
                .collect(),
        })
    };
    told.filter_map(answer).collect()
}

fn quantities(workshop: &Workshop) -> Result<Vec<QuantityAnswer>, EngineError> {
    let design = &workshop.design;
    let found: Mutex<Vec<(usize, QuantityAnswer)>> = Mutex::default();
    workshop.each_quantity(&|q: &dyn Quantified| {
        let mut found = found.lock().expect("no panic while visiting");
        // What several equal contacts have is stated once.
        let path = q.path();
        let repeats = design.contacts.iter().filter_map(|c| Some((c, c.repeat.as_ref()?)));
        let repeats = repeats.filter(|(_, one)| !one.alone);
        let own = |name: &str| path.strip_prefix("contact[")?.strip_prefix(name)?.strip_prefix(']');
        let one = repeats.into_iter().find_map(|(c, one)| Some((one, own(&c.name)?)));
        if one.is_some_and(|(one, _)| one.number > 1) {
            return;
        }
        let path = one.map_or(path.to_owned(), |(one, key)| format!("contact[{}]{key}", one.of));
        if found.iter().any(|(_, known)| known.path == path) {
            return;
        }
        let limits = q.limits();
        let stated = !matches!(
            q.source(),
            Some(reedmace_design::SourceMark::Catalogue | reedmace_design::SourceMark::Default)
        );
        let answer = QuantityAnswer {
            path,
            text: q.text().into(),
            source: q.source().map(|s| s.word().into()),
            note: q.note().map(Into::into),
            toleranced: limits.low != limits.high,
            line: if stated { line_of(design, q.start()) } else { 0 },
        };
        found.push((q.start(), answer));
    })?;
    let mut found = found.into_inner().expect("no panic while visiting");
    found.sort_by_key(|(start, _)| *start);
    Ok(found.into_iter().map(|(_, answer)| answer).collect())
}
