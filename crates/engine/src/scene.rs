//! A design with every quantity at one definite value: what the physics sees.

use crate::error::EngineError;
use crate::motion::Motion;
use crate::solved::{Cut, Shelf, Solved};
use crate::together::Together;
use reedmace_contact::{Along, KernelPair, Scratch};
use reedmace_fields::steel::SteelBody;
use reedmace_fields::{AnySource, Placed, Pose, Source};
use reedmace_units::Quantity;
use std::sync::Arc;

/// Everything at one definite value.
#[derive(Debug, Clone)]
pub(crate) struct Scene {
    pub reeds: Vec<Reed>,
    pub bodies: Vec<Body>,
    pub steel: Vec<SteelPiece>,
    pub motion: Motion,
    /// Where circuits beside steel are kept.
    pub shelf: Arc<Shelf>,
    /// Panels aimed at for all steel together.
    pub panels: usize,
    /// Places in the first body's frame near which they are finer, m.
    pub near: Arc<Vec<[f64; 3]>>,
}

/// A steel body with its place before the sweep moves it.
#[derive(Debug, Clone)]
pub(crate) struct SteelPiece {
    pub body: SteelBody,
    pub moves: bool,
}

/// A contact: its circuits, its levels, its place.
#[derive(Debug, Clone)]
pub(crate) struct Reed {
    /// Circuits of the bare contact.
    pub solved: Arc<Solved>,
    /// Circuits with the steel beside it; `None` where steel moves beside it, so that every pose has
    /// its own. Set by [`Scene::settle`].
    pub mounted: Option<Arc<Solved>>,
    /// Drive of the open contact at which it operates, T.
    pub operate: f64,
    /// Drive of the closed contact at which it releases, T.
    pub release: f64,
    /// Contact frame in the world, before the sweep moves it.
    pub rest: Pose,
    pub moves: bool,
    /// Drive of all that keeps its place beside this contact, open and closed, T; zero where steel
    /// moves beside it.
    pub steady: [f64; 2],
    /// The same of one unit of the swept coil's current, T; zero where the coil moves beside it.
    pub per_unit: [f64; 2],
}

/// A source with its place.
#[derive(Debug, Clone)]
pub(crate) struct Body {
    pub source: AnySource,
    /// Body frame in the world, before the sweep moves it.
    pub rest: Pose,
    pub moves: bool,
    /// True for the coil whose current is the sweep's: `source` then carries one unit of it.
    pub swept: bool,
}

/// Drive of a contact, T.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Drive {
    pub open: f64,
    pub closed: f64,
}

impl Scene {
    /// Solves the contacts beside the steel, and sums up what does not change along the sweep; call
    /// once after all is in place.
    ///
    /// # Errors
    /// [`EngineError::Steel`] when a steel body cannot exist.
    pub fn settle(mut self) -> Result<Self, EngineError> {
        let mut scratch = Scratch::default();
        for k in 0..self.reeds.len() {
            // Also where steel moves: a body that cannot exist is found here and not along the sweep.
            let mounted = self.solve(k, Pose::IDENTITY)?;
            if self.steel.iter().any(|piece| piece.moves != self.reeds[k].moves) {
                self.reeds[k].mounted = None;
                continue;
            }
            let reed = &self.reeds[k];
            let (mut steady, mut per_unit) = ([0.0; 2], [0.0; 2]);
            for body in self.bodies.iter().filter(|b| b.keeps_its_place_beside(reed.moves)) {
                let placed = place(body, reed, Pose::IDENTITY);
                let drives = mounted.pair.drives(&placed, &mut scratch);
                let sum = if body.swept { &mut per_unit } else { &mut steady };
                (0..2).for_each(|i| sum[i] += drives[i].si());
            }
            let reed = &mut self.reeds[k];
            (reed.mounted, reed.steady, reed.per_unit) = (Some(mounted), steady, per_unit);
        }
        Ok(self)
    }

    /// Circuits of contact `reed` beside the steel, with what moves put by `world_from_rest`.
    pub fn circuits(&self, reed: usize, world_from_rest: Pose) -> Arc<Solved> {
        self.reeds[reed].mounted.clone().unwrap_or_else(|| {
            self.solve(reed, world_from_rest).expect("steel that exists at rest exists anywhere")
        })
    }

    fn solve(&self, reed: usize, world_from_rest: Pose) -> Result<Arc<Solved>, EngineError> {
        let reed = &self.reeds[reed];
        if self.steel.is_empty() {
            return Ok(reed.solved.clone());
        }
        let (cut, world_from_first) = self.cut(world_from_rest);
        let contact_from_first = reed.pose(world_from_rest).inverse() * world_from_first;
        self.shelf.beside(&reed.solved, cut, contact_from_first)
    }

    /// Kernels of a contact beside which steel moves.
    fn passing(&self, reed: &Reed, world_from_rest: Pose) -> Arc<KernelPair> {
        let (cut, world_from_first) = self.cut(world_from_rest);
        let contact_from_first = reed.pose(world_from_rest).inverse() * world_from_first;
        self.shelf
            .passing(&reed.solved, cut, contact_from_first)
            .expect("steel that exists at rest exists anywhere")
    }

    /// The steel in its first body's frame, and that frame in the world.
    fn cut(&self, world_from_rest: Pose) -> (Cut, Pose) {
        let world_from = |piece: &SteelPiece| piece.pose(world_from_rest);
        // Bodies that keep their places beside each other keep them to the last bit.
        let together = self.steel.iter().all(|piece| piece.moves == self.steel[0].moves);
        let first = &self.steel[0];
        let first_from = |piece: &SteelPiece| match together {
            true => first.body.world_from_body.inverse() * piece.body.world_from_body,
            false => world_from(first).inverse() * world_from(piece),
        };
        let bodies = self.steel.iter().enumerate().map(|(k, piece)| SteelBody {
            world_from_body: if k == 0 { Pose::IDENTITY } else { first_from(piece) },
            ..piece.body.clone()
        });
        let bodies = bodies.collect();
        (Cut { bodies, panels: self.panels, near: self.near.clone() }, world_from(first))
    }

    /// Highest flux density in each body of steel at a coordinate, T, without what the contacts' own
    /// flux adds.
    pub fn steel_flux_density(&self, coordinate: f64) -> Vec<f64> {
        let (cut, world_from_first) = self.cut(self.motion.world_from_rest(coordinate));
        let steel = self.shelf.steel(cut).expect("steel that exists at rest exists anywhere");
        let sources = Together(self.sources_from(world_from_first, coordinate).collect());
        let charges = steel.solve(&steel.load(&sources));
        steel.flux_density(&charges).into_iter().map(|peak| peak.b).collect()
    }

    /// Panels that each body of steel is cut into.
    pub fn steel_panels(&self) -> Vec<usize> {
        let (cut, _) = self.cut(Pose::IDENTITY);
        let steel = self.shelf.steel(cut).expect("steel that exists at rest");
        let mut counts = vec![0; self.steel.len()];
        (0..steel.len()).for_each(|i| counts[steel.body_of(i)] += 1);
        counts
    }

    /// Drive of contact `reed` at a coordinate.
    pub fn drive(&self, reed: usize, coordinate: f64, scratch: &mut Scratch) -> Drive {
        self.drive_in(reed, self.motion.world_from_rest(coordinate), coordinate, scratch)
    }

    /// Drive of contact `reed` with what moves put by `world_from_rest`.
    pub fn drive_in(
        &self,
        reed: usize,
        world_from_rest: Pose,
        coordinate: f64,
        scratch: &mut Scratch,
    ) -> Drive {
        let reed = &self.reeds[reed];
        let passing;
        let pair = match &reed.mounted {
            Some(mounted) => &mounted.pair,
            None => {
                passing = self.passing(reed, world_from_rest);
                &*passing
            }
        };
        let at = |i: usize| reed.steady[i] + coordinate * reed.per_unit[i];
        let (mut open, mut closed) = (at(0), at(1));
        for body in self.bodies.iter().filter(|b| !b.is_steady_for(reed)) {
            let strength = if body.swept { coordinate } else { 1.0 };
            let drives = pair.drives(&place(body, reed, world_from_rest), scratch);
            open += strength * drives[0].si();
            closed += strength * drives[1].si();
        }
        Drive { open, closed }
    }

    /// Drives of contact `reed` with what moves put by `world_from_rest`, and then shifted 1, 2, …
    /// times by `step` (world, m): a row of a map. `room` is that of each place, see [`Self::room`];
    /// where there is none the drive says nothing, and a rough one will do.
    ///
    /// Along the contact's axis the row is one convolution, see [`Along`]; else, and beside steel or
    /// near the contact, it is place after place.
    pub fn drives_in_row(
        &self,
        reed: usize,
        world_from_rest: Pose,
        step: [f64; 3],
        room: &[f64],
        scratch: &mut Scratch,
    ) -> Vec<Drive> {
        let places = room.len();
        let shifted = |k: usize| Pose::translation(step.map(|s| s * k as f64)) * world_from_rest;
        let r = &self.reeds[reed];
        let mut drives = vec![Drive { open: r.steady[0], closed: r.steady[1] }; places];
        if let Some((along, points)) = self.row_on_grid(reed, world_from_rest, step) {
            for body in self.bodies.iter().filter(|b| !b.is_steady_for(r)) {
                let row = along.drives(&place(body, r, world_from_rest), points, places);
                for (sum, [open, closed]) in drives.iter_mut().zip(row) {
                    sum.open += open.si();
                    sum.closed += closed.si();
                }
            }
            return drives;
        }
        for (k, drive) in drives.iter_mut().enumerate() {
            if room[k] >= 0.0 {
                *drive = self.drive_in(reed, shifted(k), 1.0, scratch);
                continue;
            }
            for body in self.bodies.iter().filter(|b| !b.is_steady_for(r)) {
                let source = place(body, r, shifted(k));
                let [open, closed] = r.solved.pair.rough_drives(&source, scratch);
                drive.open += open.si();
                drive.closed += closed.si();
            }
        }
        drives
    }

    /// The grid on which a row is a convolution, and how many of its points a step spans.
    fn row_on_grid(
        &self,
        reed: usize,
        world_from_rest: Pose,
        step: [f64; 3],
    ) -> Option<(Along<'_>, i64)> {
        let r = &self.reeds[reed];
        let pair = &r.mounted.as_ref()?.pair;
        let mut in_contact = r.pose(world_from_rest).apply_inverse_to_vector(step);
        if r.moves {
            // The contact is shifted, and the sources stay: seen from it they go the other way.
            in_contact = in_contact.map(|s| -s);
        }
        let [along, across, up] = in_contact;
        let straight = across.hypot(up) <= 1e-9 * along.abs() && along != 0.0;
        if pair.has_steel() || !straight {
            return None;
        }
        let distance = self
            .bodies
            .iter()
            .filter(|b| !b.is_steady_for(r))
            .map(|body| from_axis(&place(body, r, world_from_rest)))
            .fold(f64::INFINITY, f64::min);
        let points =
            (1..=FINEST).find(|p| Along::serves(pair, along.abs() / *p as f64, distance))?;
        let spacing = along.abs() / points as f64;
        Some((Along::new(pair, spacing, distance), points * along.signum() as i64))
    }

    /// Room between what moves against contact `reed` and the contact, with the radius it has at each
    /// `[x, radius]` along its axis, by rising x, and the steel, put by `world_from_rest`, m; below zero where they
    /// would meet.
    pub fn room(&self, reed: usize, world_from_rest: Pose, outline: &[[f64; 2]]) -> f64 {
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

    /// Every source as contact `reed` sees it at a coordinate, with its strength.
    pub fn sources_at(
        &self,
        reed: usize,
        coordinate: f64,
    ) -> impl Iterator<Item = (f64, Placed<AnySource>)> {
        let world_from_contact = self.reeds[reed].pose(self.motion.world_from_rest(coordinate));
        self.sources_from(world_from_contact, coordinate)
    }

    /// Every source as seen from a frame at a coordinate, with its strength.
    fn sources_from(
        &self,
        world_from_frame: Pose,
        coordinate: f64,
    ) -> impl Iterator<Item = (f64, Placed<AnySource>)> {
        let moved = self.motion.world_from_rest(coordinate);
        let frame_from_world = world_from_frame.inverse();
        self.bodies.iter().map(move |body| {
            let strength = if body.swept { coordinate } else { 1.0 };
            let world_from_body = frame_from_world * body.pose(moved);
            (strength, Placed { source: body.source, world_from_body })
        })
    }
}

/// Points of a row's grid to a step at most; nearer the contact every place is computed by itself.
const FINEST: i64 = 4;

/// Room between a source and a contact of this outline, m. The clearance cannot change faster than x,
/// so what lies too far off to be nearer than the nearest so far is passed over.
fn beside(source: &Placed<AnySource>, outline: &[[f64; 2]]) -> f64 {
    // The contact's axis in the source's frame.
    let origin = source.world_from_body.apply_inverse([0.0; 3]);
    let axis = source.world_from_body.apply_inverse_to_vector([1.0, 0.0, 0.0]);
    let on_axis = |x: f64| std::array::from_fn(|i| origin[i] + x * axis[i]);
    let room = |[x, r]: [f64; 2]| source.source.clearance(on_axis(x)) - r;
    let thickest = outline.iter().map(|o| o[1]).fold(0.0, f64::max);
    let middle = source.world_from_body.origin[0];
    let facing = outline.partition_point(|o| o[0] < middle).min(outline.len() - 1);
    let mut least = room(outline[facing]);
    let mut next = f64::NEG_INFINITY;
    for &[x, r] in outline {
        if x >= next {
            let here = room([x, r]);
            least = least.min(here);
            next = x + (here + r - thickest - least).max(0.0);
        }
    }
    least
}

/// A lower bound of the distance from a source to the contact's axis, m.
fn from_axis(source: &Placed<AnySource>) -> f64 {
    let (middle, radius) = (source.world_from_body.origin[0], source.source.bounding_radius());
    let spacing = 2.0 * radius / PLACES as f64;
    let nearest = (0..=PLACES)
        .map(|k| source.clearance([middle - radius + k as f64 * spacing, 0.0, 0.0]))
        .fold(f64::INFINITY, f64::min);
    (nearest * nearest - 0.25 * spacing * spacing).max(0.0).sqrt()
}

/// Places along a contact at which the distance of what passes it is taken.
const PLACES: usize = 16;
/// Distances below this count as this, m: what passes that near touches.
const TOUCHING: f64 = 0.5e-3;

impl Scene {
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

impl SteelPiece {
    /// Body frame in the world with what moves put by `world_from_rest`.
    pub fn pose(&self, world_from_rest: Pose) -> Pose {
        let rest = self.body.world_from_body;
        if self.moves { world_from_rest * rest } else { rest }
    }
}

impl Reed {
    /// Contact frame in the world with what moves put by `world_from_rest`.
    pub fn pose(&self, world_from_rest: Pose) -> Pose {
        if self.moves { world_from_rest * self.rest } else { self.rest }
    }
}

impl Body {
    /// Body frame in the world with what moves put by `world_from_rest`.
    pub fn pose(&self, world_from_rest: Pose) -> Pose {
        if self.moves { world_from_rest * self.rest } else { self.rest }
    }
    /// True when the sweep changes nothing between it and something that `moves` or not. A field from
    /// elsewhere is the same everywhere, but turns in the frame of what moves.
    pub fn keeps_its_place_beside(&self, moves: bool) -> bool {
        let everywhere = matches!(self.source, AnySource::Uniform(_));
        self.moves == moves && !(everywhere && moves)
    }

    /// True when its drive on this contact is in the contact's steady sums.
    fn is_steady_for(&self, reed: &Reed) -> bool {
        reed.mounted.is_some() && self.keeps_its_place_beside(reed.moves)
    }
}

/// The source in the contact's frame.
fn place(body: &Body, reed: &Reed, world_from_rest: Pose) -> Placed<AnySource> {
    let contact_from_world = reed.pose(world_from_rest).inverse();
    Placed { source: body.source, world_from_body: contact_from_world * body.pose(world_from_rest) }
}
