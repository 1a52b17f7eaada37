//! How near things come: the room between them, and whether the sweep strides past.

use crate::scene::{Scene, SteelPiece, place};
use reedmace_fields::{AnySource, MagnetShape, Placed, Pose, Source};
use reedmace_units::Quantity;
use std::ops::Range;

/// Places along a contact at which the distance of what passes it is taken.
const PLACES: usize = 16;
/// Distances below this count as this, m: what passes that near touches.
const TOUCHING: f64 = 0.5e-3;

/// How thick a contact is along its axis.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Outline {
    /// `[x, radius]` by rising x, m.
    places: Vec<[f64; 2]>,
    /// Stretches of one radius.
    stretches: Vec<Range<usize>>,
    /// The greatest radius, m.
    thickest: f64,
}

impl Outline {
    /// By `[x, radius]`, m.
    pub fn new(mut places: Vec<[f64; 2]>) -> Self {
        places.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let mut stretches: Vec<Range<usize>> = Vec::new();
        for (k, place) in places.iter().enumerate() {
            match stretches.last_mut() {
                Some(last) if places[last.start][1] == place[1] => last.end = k + 1,
                _ => stretches.push(k..k + 1),
            }
        }
        let thickest = places.iter().map(|place| place[1]).fold(0.0, f64::max);
        Self { places, stretches, thickest }
    }
}

impl Scene {
    /// Room between what moves against contact `reed` and the contact with its outline, and the steel, put
    /// by `world_from_rest`, m; below zero where they would meet.
    pub fn room(&self, reed: usize, world_from_rest: Pose, outline: &Outline) -> f64 {
        let reed = &self.reeds[reed];
        let passing = self.bodies.iter().filter(|b| !b.keeps_its_place_beside(reed.moves));
        let of_contact = passing.map(|body| beside(&place(body, reed, world_from_rest), outline));
        let of_steel = self.steel.iter().flat_map(|piece| {
            let world_from_steel = piece.pose(world_from_rest);
            self.bodies.iter().filter(|b| b.moves != piece.moves).map(move |body| {
                let world_from_body = body.pose(world_from_rest);
                let middle = world_from_steel.apply_inverse(world_from_body.origin);
                let nearest = world_from_steel.apply(piece.body.shape.nearest(middle));
                match (Placed { source: body.source, world_from_body }).clearance(nearest) {
                    // A clearance is zero inside, however deep.
                    0.0 => -TOUCHING,
                    room => room,
                }
            })
        });
        of_contact.chain(of_steel).fold(f64::INFINITY, f64::min)
    }

    /// True when a source or a body of steel passes contact `reed` between two coordinates by more than
    /// its distance from it: a lobe could lie between.
    pub fn strides(&self, reed: usize, from: f64, to: f64) -> bool {
        let half = 0.5 * self.reeds[reed].solved.open.geometry().overall_length.si();
        let places = (0..=PLACES).map(|k| half * (2.0 * k as f64 / PLACES as f64 - 1.0));
        let places: Vec<[f64; 3]> = places.map(|x| [x, 0.0, 0.0]).collect();
        let far =
            |p: [f64; 3], q: [f64; 3]| (0..3).map(|i| (p[i] - q[i]).powi(2)).sum::<f64>().sqrt();
        let strides = |from: Pose, to: Pose, clearance: &dyn Fn(Pose, [f64; 3]) -> f64| {
            let way = far(from.origin, to.origin);
            way > TOUCHING && {
                let away = places.iter().map(|&x| clearance(from, x).min(clearance(to, x)));
                way > away.fold(f64::INFINITY, f64::min).max(TOUCHING)
            }
        };
        let mut sources = self.sources_at(reed, from).zip(self.sources_at(reed, to));
        let contact_from_world =
            |c: f64| self.reeds[reed].pose(self.motion.world_from_rest(c)).inverse();
        let pose = |piece: &SteelPiece, c: f64| {
            contact_from_world(c) * piece.pose(self.motion.world_from_rest(c))
        };
        sources.any(|((_, a), (_, b))| {
            strides(a.world_from_body, b.world_from_body, &|contact_from_body, x| {
                Placed { source: a.source, world_from_body: contact_from_body }.clearance(x)
            })
        }) || self.steel.iter().any(|piece| {
            strides(pose(piece, from), pose(piece, to), &|contact_from_body, x| {
                let x = contact_from_body.apply_inverse(x);
                far(piece.body.shape.nearest(x), x)
            })
        })
    }
}

/// Room between a source and a contact of this outline, m.
fn beside(source: &Placed<AnySource>, outline: &Outline) -> f64 {
    // The contact's axis in the source's frame.
    let origin = source.world_from_body.apply_inverse([0.0; 3]);
    let axis = source.world_from_body.apply_inverse_to_vector([1.0, 0.0, 0.0]);
    let on_axis = |x: f64| std::array::from_fn(|i| origin[i] + x * axis[i]);
    let room = |k: usize| {
        let [x, radius] = outline.places[k];
        source.source.clearance(on_axis(x)) - radius
    };
    let middle = source.world_from_body.origin[0];
    let facing = outline.places.partition_point(|place| place[0] < middle);
    if is_convex(&source.source) {
        let stretches = outline.stretches.iter();
        return stretches.map(|s| foot(s, facing, room)).fold(f64::INFINITY, f64::min);
    }
    // The clearance cannot change faster than x: what lies too far off to be nearer than the nearest so
    // far is passed over.
    let mut least = room(facing.min(outline.places.len() - 1));
    let mut next = f64::NEG_INFINITY;
    for (k, &[x, radius]) in outline.places.iter().enumerate() {
        if x >= next {
            let here = room(k);
            least = least.min(here);
            next = x + (here + radius - outline.thickest - least).max(0.0);
        }
    }
    least
}

/// True for a body without hollows: along a line, the distance from it falls and then rises.
fn is_convex(source: &AnySource) -> bool {
    match source {
        AnySource::Magnet(magnet) => !matches!(magnet.shape, MagnetShape::Ring { .. }),
        _ => false,
    }
}

/// The least of what falls and then rises along a stretch, sought downhill from a place near it.
fn foot(stretch: &Range<usize>, near: usize, room: impl Fn(usize) -> f64) -> f64 {
    let mut at = near.clamp(stretch.start, stretch.end - 1);
    let mut least = room(at);
    let mut down = |next: &dyn Fn(usize) -> Option<usize>| {
        while let Some(k) = next(at) {
            let here = room(k);
            if here >= least {
                break;
            }
            (at, least) = (k, here);
        }
    };
    down(&|k| (k + 1 < stretch.end).then(|| k + 1));
    down(&|k| (k > stretch.start).then(|| k - 1));
    least
}
