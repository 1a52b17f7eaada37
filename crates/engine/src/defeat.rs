//! The defeat question: which outside magnet, how near, could pass for a shut door.
//!
//! The door stands open. An outside magnet is taken as a dipole of its moment, anywhere about a contact and
//! turned any way. Of a contact the drive is then `b + m g·n`: b that of all that is there, g that of a unit
//! dipole along each axis, n its direction, so the most it can do is `|b| + m |g|`. What holds a contact closed
//! while the door opens must keep the sign of the shut door's drive. What was closed so must let go once the magnet
//! is gone: that the drive of the open door alone is beyond what its state needs is a figure of the door.

use crate::answer::{Band, DoorAnswer, DoorContact, FigureAnswer, Outsider, OutsiderAtContact};
use crate::error::EngineError;
use crate::outcome::Outcome;
use crate::realise::Workshop;
use crate::scene::{Drive, Scene};
use crate::sources::magnet_body;
use crate::units::{Shown, millimetres, tidy};
use rayon::prelude::*;
use reedmace_contact::Scratch;
use reedmace_design::Magnet;
use reedmace_fields::{AnySource, MU_0, Magnet as Body, MagnetShape, Placed, Pose, Source};
use reedmace_units::{Quantity, Temperature, format_number};

/// Directions from which a magnet is brought.
const WAYS: usize = 96;
/// Directions that it is turned to.
const TURNS: usize = 200;
/// Furthest and nearest that it is tried, m.
const FAR: f64 = 2.0;
const NEAR: f64 = 2e-3;
/// From one distance to the next; between them the drives are taken as straight, within 0.3 % of them.
const STEP: f64 = 0.96;
/// How often such a step is halved.
const HALVINGS: usize = 8;

/// What a unit dipole does to every contact at one place.
struct AtPlace {
    /// From the middle of the contact it is brought to, m.
    distance: f64,
    /// Per contact, for a unit moment along x, y and z: drives, T per A·m².
    gradient: Vec<[Drive; 3]>,
}

/// Who could pass for the shut door; `None` of a design without one.
pub(crate) fn defeat(
    workshop: &Workshop,
    scene: &Scene,
    nominal: &Outcome,
    figures: &[FigureAnswer],
    shown: &Shown,
) -> Result<Option<DoorAnswer>, EngineError> {
    let design = &workshop.design;
    let Some(door) = &design.door else { return Ok(None) };
    let [from, to] = scene.motion.range();
    let (shut, open) = if door.shut_at_end { (to, from) } else { (from, to) };
    let closed_at = |contact: usize, place: f64| {
        let slack = 1e-9 * (to - from).abs();
        nominal.courses[contact]
            .closed
            .iter()
            .any(|(_, [a, b])| a.min(*b) - slack <= place && place <= a.max(*b) + slack)
    };
    let contacts: Vec<DoorContact> = design
        .contacts
        .iter()
        .enumerate()
        .map(|(k, contact)| {
            let named = format!("open-door room of {}", contact.name);
            let room = figures.iter().find(|figure| figure.name == named);
            let room = room.expect("told of every contact of a door").value.clone();
            let closed_when_open = closed_at(k, open);
            DoorContact {
                name: contact.name.clone(),
                closed_when_shut: closed_at(k, shut),
                closed_when_open,
                comes_back: comes_back(&contact.name, closed_when_open, &room),
                room,
            }
        })
        .collect();
    let mut scratch = Scratch::default();
    let there: Vec<Drive> =
        (0..scene.reeds.len()).map(|k| scene.drive(k, open, &mut scratch)).collect();
    let mut held = |k: usize| scene.drive(k, shut, &mut scratch).closed.signum();
    let held: Vec<f64> = (0..scene.reeds.len()).map(&mut held).collect();
    let rays: Vec<Vec<Vec<AtPlace>>> = (0..scene.reeds.len())
        .map(|k| (0..WAYS).into_par_iter().map(|w| ray(scene, k, open, way(w, WAYS))).collect())
        .collect::<Vec<_>>();
    let temperature = Temperature::from_si(design.surroundings.temperature.is.nominal.si());
    let outsider = |magnet: &Magnet| {
        let body = magnet_body(magnet, temperature, &|q| q.limits().nominal)?;
        let AnySource::Magnet(source) = body.source else { unreachable!("a magnet's source") };
        let polarization = source.polarization.iter().map(|j| j * j).sum::<f64>().sqrt();
        let moment = polarization * source.shape.volume() / MU_0;
        // Nearer than this its middle cannot be, and it is no dipole either.
        let size = source.bounding_radius();
        let farthest = |k: usize, can: &dyn Fn(&AtPlace) -> bool| {
            let reach = rays[k].iter().filter_map(|ray| {
                let near = ray.iter().position(can).filter(|n| ray[*n].distance >= size)?;
                let Some(beyond) = near.checked_sub(1) else { return Some(ray[near].distance) };
                Some(border(&ray[beyond], &ray[near], can))
            });
            reach.reduce(f64::max).map(millimetres)
        };
        let each = contacts.iter().enumerate().map(|(k, contact)| {
            let (reed, there) = (&scene.reeds[k], there[k]);
            let reach = |at: &AtPlace, part: fn(&Drive) -> f64| {
                moment * at.gradient[k].iter().map(|d| part(d).powi(2)).sum::<f64>().sqrt()
            };
            let closes = |at: &AtPlace| there.open.abs() + reach(at, |d| d.open) >= reed.operate;
            let holds = |at: &AtPlace| {
                held[k] * there.closed + reach(at, |d| d.closed) >= reed.release || closes(at)
            };
            let contact = contact.name.clone();
            match contacts[k].closed_when_open {
                false => OutsiderAtContact {
                    contact,
                    changes: farthest(k, &closes),
                    holds: farthest(k, &holds).filter(|_| contacts[k].closed_when_shut),
                },
                true => OutsiderAtContact {
                    contact,
                    changes: farthest(k, &|at| {
                        there.closed.abs() - reach(at, |d| d.closed) < reed.release
                    }),
                    holds: None,
                },
            }
        });
        let passes = |at: &AtPlace| {
            (0..TURNS).map(|t| way(t, TURNS)).any(|turn| {
                contacts.iter().enumerate().all(|(k, contact)| {
                    let reed = &scene.reeds[k];
                    let of = |there: f64, part: fn(&Drive) -> f64| {
                        let turned =
                            (0..3).map(|i| turn[i] * part(&at.gradient[k][i])).sum::<f64>();
                        there + moment * turned
                    };
                    let closes = of(there[k].open, |d| d.open).abs() >= reed.operate;
                    match contact.closed_when_shut {
                        true => {
                            closes || held[k] * of(there[k].closed, |d| d.closed) >= reed.release
                        }
                        false => !closes,
                    }
                })
            })
        };
        let passes = (0..contacts.len())
            .filter(|k| contacts[*k].closed_when_shut != contacts[*k].closed_when_open)
            .filter_map(|k| farthest(k, &passes))
            .reduce(f64::max);
        Ok(Outsider {
            name: magnet.name.clone(),
            moment: tidy(moment),
            contacts: each.collect(),
            passes_for_shut: passes,
        })
    };
    Ok(Some(DoorAnswer {
        shut_at: shown.number(shut),
        open_at: shown.number(open),
        unit: shown.unit.into(),
        outsiders: door.outsiders.iter().map(outsider).collect::<Result<_, EngineError>>()?,
        contacts,
    }))
}

/// Whether a contact comes back to what it shows with the door open, with the room that has.
fn comes_back(name: &str, closed: bool, room: &Band) -> String {
    let [once, back, stays] = match closed {
        false => ["closed", "lets go", "stays closed"],
        true => ["opened", "closes again", "stays open"],
    };
    let nominal = room.value.unwrap_or(room.low);
    let share = |percent: f64| format_number(percent.abs(), 2);
    let once = format!("`{name}`, once {once} by a magnet near the open door,");
    if nominal < 0.0 {
        format!("{once} {stays} when that is gone, by {} % of its level", share(nominal))
    } else if room.low < 0.0 {
        format!(
            "in some units {once} {stays} when that is gone, by up to {} % of its level",
            share(room.low)
        )
    } else {
        format!(
            "{once} {back} when that is gone, in every unit, with {} % of its level to spare",
            share(room.low)
        )
    }
}

/// Places on the way to contact `k`'s middle, from far to near, with the sweep at a coordinate.
fn ray(scene: &Scene, k: usize, coordinate: f64, way: [f64; 3]) -> Vec<AtPlace> {
    let mut scratch = Scratch::default();
    let world_from_rest = scene.motion.world_from_rest(coordinate);
    let middle = scene.reeds[k].pose(world_from_rest).origin;
    let mut distance = FAR;
    let mut places = Vec::new();
    while distance >= NEAR {
        let at: [f64; 3] = std::array::from_fn(|i| middle[i] + distance * way[i]);
        let gradient = (0..scene.reeds.len()).map(|reed| {
            [0, 1, 2].map(|axis| {
                let placed =
                    Placed { source: unit_dipole(axis), world_from_body: Pose::translation(at) };
                scene.drive_of(reed, world_from_rest, coordinate, placed, &mut scratch)
            })
        });
        places.push(AtPlace { distance, gradient: gradient.collect() });
        distance *= STEP;
    }
    places
}

/// How far off it just can, between a place beyond and one within.
fn border(beyond: &AtPlace, within: &AtPlace, can: &dyn Fn(&AtPlace) -> bool) -> f64 {
    let between = |t: f64| {
        let part = |a: f64, b: f64| a + t * (b - a);
        let drive = |(a, b): (&Drive, &Drive)| Drive {
            open: part(a.open, b.open),
            closed: part(a.closed, b.closed),
        };
        let gradients = beyond.gradient.iter().zip(&within.gradient);
        AtPlace {
            distance: part(beyond.distance, within.distance),
            gradient: gradients.map(|(a, b)| [0, 1, 2].map(|i| drive((&a[i], &b[i])))).collect(),
        }
    };
    let [mut out, mut into] = [0.0, 1.0];
    for _ in 0..HALVINGS {
        let middle = 0.5 * (out + into);
        if can(&between(middle)) { into = middle } else { out = middle }
    }
    between(into).distance
}

/// A sphere of one A·m² along an axis: a dipole outside itself.
fn unit_dipole(axis: usize) -> AnySource {
    let radius = 1e-4;
    let shape = MagnetShape::Sphere { radius };
    let mut polarization = [0.0; 3];
    polarization[axis] = MU_0 / shape.volume();
    Body::new(shape, polarization).expect("a sphere").into()
}

/// The k-th of n directions spread evenly over the sphere, on a spiral of golden angles.
fn way(k: usize, n: usize) -> [f64; 3] {
    let z = 1.0 - (2 * k + 1) as f64 / n as f64;
    let (sin, cos) = (std::f64::consts::PI * (5f64.sqrt() - 1.0) * k as f64).sin_cos();
    let r = (1.0 - z * z).sqrt();
    [r * cos, r * sin, z]
}
