//! The steel of a design: to bodies at definite values, and what they do to the answer.

use crate::answer::{Direction, EventKind, SteelAnswer, SteelBodyAnswer, SteelEvent, Warning};
use crate::error::EngineError;
use crate::motion::tilt;
use crate::outcome::pair_up;
use crate::quantity::Quantified;
use crate::realise::Workshop;
use crate::scene::{Scene, SteelPiece};
use crate::track::{Course, Track};
use crate::units::{Shown, tidy};
use reedmace_contact::Scratch;
use reedmace_design::{Steel, SteelShape, Value};
use reedmace_fields::Pose;
use reedmace_fields::steel::{AxisBox, SteelBody, SteelShape as Shape};
use reedmace_units::{Length, Quantity, format_number};

/// Share of saturation above which the linear bodies are no longer trusted.
const SATURATION_SHARE: f64 = 0.8;
/// Places along the sweep at which the flux density is looked at.
const PLACES: usize = 9;

/// A body of steel at the values `pick` chooses.
pub(crate) fn piece(steel: &Steel, pick: &dyn Fn(&dyn Quantified) -> f64) -> SteelPiece {
    let half = |v: &Value<Length>| 0.5 * pick(v);
    let halves = |size: &[Value<Length>; 3]| [0, 1, 2].map(|i| half(&size[i]));
    let shape = match &steel.shape {
        SteelShape::Cuboid { size } => Shape::Cuboid { half_size: halves(size) },
        SteelShape::Cylinder { diameter, length } => {
            Shape::Cylinder { radius: half(diameter), half_length: half(length) }
        }
        SteelShape::Tube { outer_diameter, inner_diameter, length } => Shape::Tube {
            inner_radius: half(inner_diameter),
            outer_radius: half(outer_diameter),
            half_length: half(length),
        },
        SteelShape::Sphere { diameter } => Shape::Sphere { radius: half(diameter) },
        SteelShape::Boxes { boxes } => {
            let boxes = boxes.iter().map(|one| {
                let (half, at) = (halves(&one.size), [0, 1, 2].map(|i| pick(&one.at[i])));
                let end = |sense: f64| [0, 1, 2].map(|i| at[i] + sense * half[i]);
                AxisBox { low: end(-1.0), high: end(1.0) }
            });
            Shape::Boxes { boxes: boxes.collect() }
        }
        SteelShape::Mesh { triangles, .. } => Shape::Mesh { triangles: triangles.to_vec() },
    };
    let upright = match steel.shape {
        SteelShape::Cylinder { .. } | SteelShape::Tube { .. } => {
            Pose::from_z([0.0; 3], steel.axis).expect("a checked design has no zero axis")
        }
        _ => Pose::IDENTITY,
    };
    let turned = tilt([0, 1, 2].map(|i| pick(&steel.rotate[i]))) * upright;
    let world_from_body =
        Pose { rotation: turned.rotation, origin: [0, 1, 2].map(|i| pick(&steel.at[i])) };
    let permeability = pick(&steel.permeability);
    SteelPiece { body: SteelBody { shape, permeability, world_from_body }, moves: false }
}

/// What the steel does in the nominal scene; `None` without steel.
pub(crate) fn answer(
    workshop: &Workshop,
    scene: &Scene,
    tracks: &[Track],
    courses: &[Course],
    shown: &Shown,
) -> Result<Option<(SteelAnswer, Vec<Warning>)>, EngineError> {
    let Some(panels) = workshop.cut else { return Ok(None) };
    let bare = Scene { steel: Vec::new(), ..scene.clone() }.settle()?;
    let mut events = Vec::new();
    let all_without = bare.sampled_courses(&mut Scratch::default());
    for (k, contact) in workshop.design.contacts.iter().enumerate() {
        let without = &all_without[k];
        let (partners, only_without) = pair_up(&courses[k].events, &without.events);
        let event = |kind: EventKind,
                     direction: Direction,
                     with: Option<f64>,
                     without: Option<f64>| SteelEvent {
            contact: contact.name.clone(),
            kind,
            direction,
            with: with.map(|at| shown.number(at)),
            without: without.map(|at| shown.number(at)),
            shift: with.zip(without).map(|(with, without)| shown.number(with - without)),
            unit: shown.unit.into(),
        };
        let both = courses[k].events.iter().zip(partners);
        events.extend(both.map(|(e, other)| event(e.kind, e.direction, Some(e.at), other)));
        events.extend(only_without.iter().map(|e| event(e.kind, e.direction, None, Some(e.at))));
    }
    let peaks = peaks(scene, tracks);
    let mut bodies = Vec::new();
    let mut warnings = Vec::new();
    for (k, steel) in workshop.design.steel.iter().enumerate() {
        let (peak, peak_at) = peaks.bodies[k];
        let saturation = steel.saturation.as_ref().map(|s| s.is.nominal.si());
        let saturated = saturation.map(|s| peak / s);
        if let (Some(share), Some(saturation)) = (saturated, saturation)
            && share > SATURATION_SHARE
        {
            warnings.push(Warning {
                code: "W0301".into(),
                message: format!(
                    "steel `{}` would carry {} T at {}; it saturates at about {} T",
                    steel.name,
                    format_number(peak, 2),
                    shown.place(peak_at),
                    format_number(saturation, 2)
                ),
                help: "the steel is taken as linear: near saturation it carries less and shields less \
                       than computed; make it thicker, or keep the magnet farther from it"
                    .into(),
            });
        }
        bodies.push(SteelBodyAnswer {
            name: steel.name.clone(),
            alloy: steel.alloy.clone(),
            permeability: tidy(steel.permeability.is.nominal.si()),
            panels: peaks.panels[k],
            peak: tidy(peak),
            peak_at: shown.number(peak_at),
            saturation,
            saturated: saturated.map(|s| tidy(100.0 * s)),
        });
    }
    if !panels.enough {
        warnings.push(Warning {
            code: "W0302".into(),
            message: format!(
                "the steel is cut into {} panels; half as many change the drive by up to {} %",
                peaks.panels.iter().sum::<usize>(),
                format_number(100.0 * panels.change, 2)
            ),
            help: "compare the events near the steel with a measurement; simpler or smaller bodies are \
                   cut finer"
                .into(),
        });
    }
    let answer = SteelAnswer {
        events,
        panels: peaks.panels.iter().sum(),
        bodies,
        discretisation: tidy(100.0 * panels.change),
    };
    Ok(Some((answer, warnings)))
}

/// Highest flux density in each body along the sweep, T, and the coordinate of it; its panels.
struct Peaks {
    bodies: Vec<(f64, f64)>,
    panels: Vec<usize>,
}

fn peaks(scene: &Scene, tracks: &[Track]) -> Peaks {
    let [from, to] = scene.motion.range();
    let even = (0..PLACES).map(|k| from + (to - from) * k as f64 / (PLACES - 1) as f64);
    let tops = tracks.iter().flat_map(Track::lobes).map(|lobe| lobe.at);
    let places: Vec<f64> = even.chain(tops).collect();
    let found = scene.steel_flux_densities(&places);
    let bodies = (0..scene.steel.len())
        .map(|k| {
            let at = found.iter().zip(&places).map(|(b, &c)| (b[k], c));
            at.max_by(|a, b| a.0.total_cmp(&b.0)).expect("places along the sweep")
        })
        .collect();
    Peaks { bodies, panels: scene.steel_panels() }
}
