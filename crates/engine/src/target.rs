//! What a steel target's thickness, steel, size and direction change, one at a time.

use crate::answer::{TargetAnswer, TargetAtContact, TargetPlace, TargetRow};
use crate::applied::target::{ahead, changes, dot, way};
use crate::error::EngineError;
use crate::motion::Motion;
use crate::outcome::Outcome;
use crate::quantity::Level;
use crate::realise::Workshop;
use crate::root;
use crate::scene::{Drive, Scene};
use crate::solved::State;
use crate::track::{Course, InScene, Line, Sample, Track};
use crate::units::{millimetres, tidy};
use rayon::prelude::*;
use reedmace_contact::Scratch;
use reedmace_design::Value;
use reedmace_fields::steel::SteelShape;
use reedmace_fields::{AnySource, Placed, Source};
use reedmace_units::{Quantity, format_number};

/// Panels of the study's steel at most: what one thing changes needs no finer ones.
const PANELS: usize = 500;
/// Places along the way at which each target's drive is solved, before events are searched between them.
const PLACES: usize = 12;
/// Places along half a contact that the target must not touch.
const ALONG: i32 = 20;
/// Events of the study are placed to this share of the way.
const PLACE: f64 = 2e-4;
/// Thicknesses and sizes over the design's own.
const SCALES: [(f64, &str); 3] = [(0.5, "half"), (1.0, "the design's"), (2.0, "twice")];
/// Relative permeabilities: cold-worked, usual and annealed steel.
const PERMEABILITIES: [f64; 4] = [50.0, 150.0, 500.0, 2000.0];

/// What is told of the target; `None` of a design without one.
pub(crate) fn answer(
    workshop: &Workshop,
    scene: &Scene,
    nominal: &Outcome,
) -> Result<Option<TargetAnswer>, EngineError> {
    let Some(target) = workshop.design.target.as_ref() else { return Ok(None) };
    let applied = workshop.applied_at(&workshop.nominal_values());
    let Some(sensed) = applied.target() else { return Ok(None) };
    let own = Way::of(scene, target.steel);
    let face = target.face.as_ref().map(|face| face.each_ref().map(Value::si));
    let contact = |(k, course): (usize, &Course)| {
        let stated = &workshop.design.contacts[k];
        let place = |at: f64| TargetPlace {
            distance_mm: millimetres(sensed.distance(k, at)),
            moved_mm: millimetres(sensed.gone(at)),
        };
        let [seen, gone] = changes(course);
        TargetAtContact {
            contact: stated.name.clone(),
            from_m: face.unwrap_or_else(|| stated.centre()),
            opens: course.closed_at_start,
            seen: seen.map(place),
            gone: gone.map(place),
        }
    };
    let contacts: Vec<_> = nominal.courses.iter().enumerate().map(contact).collect();
    let from = contacts[0].from_m;
    let mut unsettled = workshop.unsettled(&vec![Level::Nominal; workshop.variables.len()])?;
    unsettled.panels = unsettled.panels.min(PANELS);
    let told = contacts[0].clone();
    let mut study = study(&unsettled, target.steel, &own, from)?;
    shift(&mut study, [told.seen, told.gone].map(|place| place.map(|place| place.distance_mm)));
    Ok(Some(TargetAnswer {
        steel: workshop.design.steel[target.steel].name.clone(),
        direction: own.direction.map(tidy),
        contacts,
        study,
        study_panels: unsettled.panels,
    }))
}

/// The rows of the study, from as many panels as it has; the design's own target is solved once.
fn study(
    scene: &Scene,
    steel: usize,
    own: &Way,
    from: [f64; 3],
) -> Result<Vec<TargetRow>, EngineError> {
    let variants = variants(scene, steel, own);
    let first = variants.iter().position(|variant| variant.own);
    let solved = variants.par_iter().enumerate().map(|(k, variant)| {
        let again = variant.own && Some(k) != first;
        (!again).then(|| variant.row(scene, steel, from)).transpose()
    });
    let solved = solved.collect::<Result<Vec<Option<TargetRow>>, EngineError>>()?;
    let as_designed = first.and_then(|k| solved[k].clone());
    let rows = variants.iter().zip(solved).map(|(variant, row)| {
        let row = row.or_else(|| as_designed.clone()).expect("solved here or where it came first");
        TargetRow { what: variant.what.into(), is: variant.is.clone(), ..row }
    });
    Ok(rows.collect())
}

/// Makes the design's own rows the answer's distances, and keeps what each other row differs by from them.
fn shift(study: &mut [TargetRow], answer: [Option<f64>; 2]) {
    let Some(own) = study.iter().find(|row| row.own) else { return };
    let by = |told: Option<f64>, coarse: Option<f64>| told.zip(coarse).map_or(0.0, |(a, b)| a - b);
    let by = [by(answer[0], own.seen_mm), by(answer[1], own.gone_mm)];
    for row in study {
        if row.own {
            [row.seen_mm, row.gone_mm] = answer;
            continue;
        }
        row.seen_mm = row.seen_mm.map(|mm| tidy(mm + by[0]));
        row.gone_mm = row.gone_mm.map(|mm| tidy(mm + by[1]));
    }
}

/// The straight way of the target's origin.
#[derive(Debug, Clone, Copy)]
struct Way {
    end: [f64; 3],
    direction: [f64; 3],
    length: f64,
}

impl Way {
    fn of(scene: &Scene, steel: usize) -> Self {
        let rest = scene.steel[steel].body.world_from_body.origin;
        let at = |c: f64| scene.motion.world_from_rest(c).apply(rest);
        let [from, end] = scene.motion.range().map(at);
        let (direction, length) = way(from, end);
        Self { end, direction, length }
    }
}

/// A target that differs in one thing.
struct Variant {
    what: &'static str,
    is: String,
    own: bool,
    shape: SteelShape,
    permeability: f64,
    way: Way,
}

fn variants(scene: &Scene, steel: usize, own: &Way) -> Vec<Variant> {
    let body = &scene.steel[steel].body;
    let stated = |what: &'static str, is: String, own_one: bool| Variant {
        what,
        is,
        own: own_one,
        shape: body.shape.clone(),
        permeability: body.permeability,
        way: *own,
    };
    let mut all = Vec::new();
    if let Some((thin, side)) = thickness(&body.shape) {
        for (by, _) in SCALES {
            let mm = format_number(2e3 * side * by, 3);
            let mut sides = [1.0; 3];
            sides[thin] = by;
            let shape = scaled(&body.shape, sides);
            all.push(Variant { shape, ..stated("thickness", format!("{mm} mm"), by == 1.0) });
        }
    }
    let mut permeabilities = PERMEABILITIES.to_vec();
    permeabilities.push(body.permeability);
    permeabilities.sort_by(f64::total_cmp);
    permeabilities.dedup();
    for permeability in permeabilities {
        let is = format_number(permeability, 3);
        let own = permeability == body.permeability;
        all.push(Variant { permeability, ..stated("permeability", is, own) });
    }
    for (by, word) in SCALES {
        let mut sides = [by; 3];
        if let Some((thin, _)) = thickness(&body.shape) {
            sides[thin] = 1.0;
        }
        let shape = scaled(&body.shape, sides);
        all.push(Variant { shape, ..stated("size", word.into(), by == 1.0) });
    }
    for axis in 0..3 {
        for sense in [1.0, -1.0] {
            let mut direction = [0.0; 3];
            direction[axis] = sense;
            let sign = if sense > 0.0 { '+' } else { '−' };
            let is = format!("{sign}{}", ["x", "y", "z"][axis]);
            let same = dot(direction, own.direction) > 1.0 - 1e-9;
            let way = Way { direction, ..*own };
            all.push(Variant { way, ..stated("approach", is, same) });
        }
    }
    all
}

/// The thinnest side of a block, and half of it.
fn thickness(shape: &SteelShape) -> Option<(usize, f64)> {
    let SteelShape::Cuboid { half_size } = shape else { return None };
    let thin = (0..3).min_by(|&a, &b| half_size[a].total_cmp(&half_size[b]))?;
    Some((thin, half_size[thin]))
}

/// The shape with each of its own sides so many times as large.
fn scaled(shape: &SteelShape, by: [f64; 3]) -> SteelShape {
    let point = |p: [f64; 3]| [0, 1, 2].map(|i| p[i] * by[i]);
    let [across, _, along] = by;
    match shape {
        SteelShape::Cuboid { half_size } => SteelShape::Cuboid { half_size: point(*half_size) },
        SteelShape::Cylinder { radius, half_length } => {
            SteelShape::Cylinder { radius: radius * across, half_length: half_length * along }
        }
        SteelShape::Tube { inner_radius, outer_radius, half_length } => SteelShape::Tube {
            inner_radius: inner_radius * across,
            outer_radius: outer_radius * across,
            half_length: half_length * along,
        },
        SteelShape::Sphere { radius } => SteelShape::Sphere { radius: radius * across },
        SteelShape::Boxes { boxes } => {
            let boxes = boxes.iter().map(|b| reedmace_fields::steel::AxisBox {
                low: point(b.low),
                high: point(b.high),
            });
            SteelShape::Boxes { boxes: boxes.collect() }
        }
        SteelShape::Mesh { triangles } => {
            let triangles = triangles.iter().map(|corners| corners.map(point));
            SteelShape::Mesh { triangles: triangles.collect() }
        }
    }
}

impl Variant {
    fn row(&self, nominal: &Scene, steel: usize, from: [f64; 3]) -> Result<TargetRow, EngineError> {
        let mut row = TargetRow {
            what: self.what.into(),
            is: self.is.clone(),
            own: self.own,
            seen_mm: None,
            gone_mm: None,
            why: None,
        };
        let mut scene = nominal.clone();
        let body = &mut scene.steel[steel].body;
        body.shape = self.shape.clone();
        body.permeability = self.permeability;
        let rest = body.world_from_body;
        let start = [0, 1, 2].map(|i| self.way.end[i] - self.way.length * self.way.direction[i]);
        scene.motion = Motion::Line {
            anchor: rest.origin,
            from: start,
            to: self.way.end,
            range: [0.0, self.way.length],
        };
        if let Some(what) = self.meets(&scene, steel) {
            row.why = Some(format!("meets {what}"));
            return Ok(row);
        }
        let leading =
            dot(start, self.way.direction) + ahead(&self.shape, &rest, self.way.direction);
        let distance = dot(from, self.way.direction) - leading;
        let scene = scene.settle()?;
        let course = course(&scene);
        let [seen, gone] = changes(&course);
        let told = |at: Option<f64>| at.map(|at| millimetres(distance - at));
        (row.seen_mm, row.gone_mm) = (told(seen), told(gone));
        row.why = match (seen, gone) {
            (Some(_), Some(_)) => None,
            (None, _) if course.closed_at_start => Some("not detected, stays closed".into()),
            (None, _) => Some("not detected, stays open".into()),
            (Some(_), None) => Some("does not return".into()),
        };
        Ok(row)
    }

    /// What the target would run into.
    fn meets(&self, scene: &Scene, steel: usize) -> Option<&'static str> {
        let piece = &scene.steel[steel];
        for k in 0..=4 * PLACES {
            let at = self.way.length * k as f64 / (4 * PLACES) as f64;
            let world_from_steel = piece.pose(scene.motion.world_from_rest(at));
            let nearest = |p: [f64; 3]| {
                world_from_steel.apply(self.shape.nearest(world_from_steel.apply_inverse(p)))
            };
            for reed in scene.reeds.iter().filter(|reed| !reed.moves) {
                let geometry = reed.solved.open.geometry();
                let half = 0.5 * geometry.overall_length.si();
                let thick = 0.5 * geometry.blade_width.si();
                let met = (-ALONG..=ALONG).any(|i| {
                    let p = reed.rest.apply([half * f64::from(i) / f64::from(ALONG), 0.0, 0.0]);
                    way(p, nearest(p)).1 < thick
                });
                if met {
                    return Some("the contact");
                }
            }
            for body in scene.bodies.iter().filter(|body| !body.moves) {
                let source = Placed { source: body.source, world_from_body: body.rest };
                let solid = !matches!(body.source, AnySource::Uniform(_));
                if solid && source.clearance(nearest(body.rest.origin)) == 0.0 {
                    return Some("a magnet or coil");
                }
            }
        }
        None
    }
}

/// What the first contact does, from few places.
fn course(scene: &Scene) -> Course {
    let reed = &scene.reeds[0];
    let mut scratch = Scratch::default();
    let mut line = Few(InScene { scene, reed: 0, scratch: &mut scratch });
    let [from, to] = scene.motion.range();
    let at: Vec<f64> =
        (0..=PLACES).map(|k| from + (to - from) * k as f64 / PLACES as f64).collect();
    let drive = at.iter().map(|at| line.drive(*at)).collect();
    let (operate, release, breaks) = (reed.operate, reed.release, reed.breaks);
    let track = Track { at, drive, operate, release, breaks };
    let mut course = Course::default();
    track.course_on(&mut line, false, &mut course);
    course
}

/// A contact whose events are wanted only so exactly.
struct Few<'a>(InScene<'a>);

impl Line for Few<'_> {
    fn drive(&mut self, at: f64) -> Drive {
        self.0.drive(at)
    }

    fn crossing(&mut self, state: State, level: f64, ends: [Sample; 2], _: f64) -> f64 {
        let [a, b] = ends.map(|(at, drive)| (at, drive.of(state) - level));
        let [from, to] = self.0.scene.motion.range();
        let tolerance = PLACE * (to - from).abs();
        root::crossing(&mut |at| self.drive(at).of(state) - level, a, b, tolerance)
    }
}
