//! Contacts in one coil share its flux: what each does depends on which of the others are closed.

use crate::answer::{Direction, EventKind};
use crate::error::EngineError;
use crate::scene::{Scene, place};
use crate::solved::State;
use crate::track::{Course, Found, Held, Track};
use reedmace_contact::{Circuit, Neighbour, Neighbours, Potentials, Scratch};
use reedmace_design::Design;
use reedmace_fields::{AnySource, Placed, Pose, Source};
use reedmace_units::Quantity;
use std::cell::RefCell;
use std::sync::Arc;

/// The most contacts that are told together.
const MOST: usize = 8;

/// True where contacts are told together: several of them, at rest beside each other, driven by a coil. Not
/// beside change-over contacts, whose sides are one body.
pub(crate) fn is_shared(design: &Design) -> bool {
    let sides = design.contacts.iter().any(|contact| contact.change_over.is_some());
    (2..=MOST).contains(&design.contacts.len()) && design.sweep.swept_coil().is_some() && !sides
}

/// What the contacts of a scene do to each other.
#[derive(Debug, Clone)]
pub(crate) struct Shared {
    neighbours: Arc<Neighbours>,
    steady: Potentials,
    /// Of one unit of the sweep's coordinate.
    per_unit: Potentials,
    /// Drive of each contact per gap flux, open and closed, T/Wb.
    per_flux: Vec<[f64; 2]>,
    /// Each contact's drive without the others, open and closed: what is steady, and per unit of the coordinate, T.
    alone: Vec<[[f64; 2]; 2]>,
}

/// Drive of a contact along the sweep: at coordinate 0, and per unit of it, T.
type Straight = [f64; 2];

impl Scene {
    /// Adds to each contact's sums what the others do: to the open one's beside open neighbours, to the closed
    /// one's beside closed ones. Walks of all contacts together keep count of every neighbour.
    ///
    /// # Errors
    /// [`EngineError`] for two contacts in the same place.
    pub fn share(mut self) -> Result<Self, EngineError> {
        let solved: Vec<_> =
            (0..self.reeds.len()).map(|k| self.circuits(k, Pose::IDENTITY)).collect();
        let contact = |k: usize| Neighbour {
            open: &solved[k].open,
            closed: &solved[k].closed,
            world_from_contact: self.reeds[k].rest,
        };
        let contacts: Vec<Neighbour<'_>> = (0..solved.len()).map(contact).collect();
        let cut = (!self.steel.is_empty()).then(|| self.seen_from(&self.reeds[0], Pose::IDENTITY));
        let neighbours = self.shelf.neighbours(&contacts, cut)?;
        let circuits: Vec<&Circuit> = contacts.iter().map(|one| one.open).collect();
        let (mut steady, mut per_unit) = (neighbours.nothing(), neighbours.nothing());
        for body in &self.bodies {
            let seen: Vec<Placed<AnySource>> =
                self.reeds.iter().map(|reed| place(body, reed, Pose::IDENTITY)).collect();
            let seen: Vec<&dyn Source> = seen.iter().map(|one| one as &dyn Source).collect();
            let sum = if body.swept { &mut per_unit } else { &mut steady };
            neighbours.add(&circuits, &seen, sum);
        }
        let drive_of_flux = |k: usize| {
            [State::Open, State::Closed]
                .map(|state| solved[k].circuit(state).kernel().drive_of_flux(1.0).si())
        };
        let per_flux = (0..solved.len()).map(drive_of_flux).collect();
        let alone = self.reeds.iter().map(|reed| [reed.steady, reed.per_unit]).collect();
        let shared = Shared { neighbours, steady, per_unit, per_flux, alone };
        for (i, state) in [State::Open, State::Closed].into_iter().enumerate() {
            let all = vec![state == State::Closed; self.reeds.len()];
            for (reed, [at_zero, slope]) in self.reeds.iter_mut().zip(shared.drives(&all)) {
                (reed.steady[i], reed.per_unit[i]) = (at_zero, slope);
            }
        }
        self.shared = Some(Arc::new(shared));
        Ok(self)
    }

    /// What every contact does on the way there and back; `tracks`: the samples of each.
    pub fn courses(&self, tracks: &[Track], scratch: &mut Scratch) -> Vec<Course> {
        match &self.shared {
            Some(shared) => shared.courses(self, tracks),
            None => {
                let course = |(k, track): (usize, &Track)| track.course(self, k, scratch);
                tracks.iter().enumerate().map(course).collect()
            }
        }
    }

    /// The same with samples taken first.
    pub fn sampled_courses(&self, scratch: &mut Scratch) -> Vec<Course> {
        let tracks: Vec<Track> =
            (0..self.reeds.len()).map(|k| Track::new(self, k, scratch)).collect();
        self.courses(&tracks, scratch)
    }
}

impl Shared {
    /// Drive of every contact in its own state, with these closed.
    fn drives(&self, closed: &[bool]) -> Vec<Straight> {
        let added = [&self.steady, &self.per_unit].map(|of| self.neighbours.added(closed, of));
        let drive = |k: usize| {
            let state = usize::from(closed[k]);
            [0, 1].map(|i| self.alone[k][i][state] + added[i][k] * self.per_flux[k][state])
        };
        (0..closed.len()).map(drive).collect()
    }

    fn courses(&self, scene: &Scene, tracks: &[Track]) -> Vec<Course> {
        Together::walk(tracks, scene.motion.range(), &|closed| self.drives(closed))
    }
}

/// What neighbours do in one unit, taken for others too: the drive of each contact beside these closed ones, over
/// its drive beside open neighbours (an open one) or closed ones (a closed one).
#[derive(Debug, Clone)]
pub(crate) struct Shares {
    nominal: Arc<Shared>,
    known: RefCell<Vec<(Vec<bool>, Vec<f64>)>>,
}

impl Shares {
    pub fn of(nominal: &Arc<Shared>) -> Self {
        Self { nominal: nominal.clone(), known: RefCell::default() }
    }

    fn beside(&self, closed: &[bool]) -> Vec<f64> {
        let found = |known: &Vec<(Vec<bool>, Vec<f64>)>| {
            known.iter().find(|(one, _)| one == closed).map(|(_, shares)| shares.clone())
        };
        if let Some(shares) = found(&self.known.borrow()) {
            return shares;
        }
        let slopes = |closed: &[bool]| -> Vec<f64> {
            self.nominal.drives(closed).into_iter().map(|[_, slope]| slope).collect()
        };
        let alike = [false, true].map(|state| slopes(&vec![state; closed.len()]));
        let shares: Vec<f64> = slopes(closed)
            .into_iter()
            .enumerate()
            .map(|(k, slope)| slope / alike[usize::from(closed[k])][k])
            .collect();
        self.known.borrow_mut().push((closed.to_vec(), shares.clone()));
        shares
    }

    /// Courses of a unit whose drives beside neighbours in one state are known along its `tracks`.
    pub fn courses(&self, tracks: &[Track], range: [f64; 2]) -> Vec<Course> {
        let straight = |track: &Track, state: State| {
            let last = track.at.len() - 1;
            let [a, b] = [0, last].map(|i| (track.at[i], track.drive[i].of(state)));
            let slope = (b.1 - a.1) / (b.0 - a.0);
            [a.1 - slope * a.0, slope]
        };
        let alike: Vec<[Straight; 2]> = tracks
            .iter()
            .map(|track| [State::Open, State::Closed].map(|state| straight(track, state)))
            .collect();
        let drives = |closed: &[bool]| {
            let shares = self.beside(closed);
            let drive = |k: usize| alike[k][usize::from(closed[k])].map(|part| part * shares[k]);
            (0..closed.len()).map(drive).collect()
        };
        Together::walk(tracks, range, &drives)
    }
}

/// The state of all contacts on their way.
struct Together<'a> {
    /// Drive of every contact in its own state with these closed.
    of: &'a dyn Fn(&[bool]) -> Vec<Straight>,
    /// Operate and release of each contact, T.
    levels: Vec<[f64; 2]>,
    /// Drives in the states met so far.
    known: Vec<(Vec<bool>, Vec<Straight>)>,
    held: Vec<Held>,
    closed_from: Vec<f64>,
    courses: Vec<Course>,
}

/// Changes no further apart than this share of the path are at one place.
const EQUAL: f64 = 1e-9;
/// How often a contact may change at one place; one that would go on does not hold there.
const CHANGES: usize = 2;

impl<'a> Together<'a> {
    /// The courses of contacts whose levels and lobes are those of `tracks`, there and back.
    fn walk(
        tracks: &[Track],
        [from, to]: [f64; 2],
        of: &'a dyn Fn(&[bool]) -> Vec<Straight>,
    ) -> Vec<Course> {
        let courses =
            tracks.iter().map(|track| Course { lobes: track.lobes(), ..Course::default() });
        let mut walk = Self {
            of,
            levels: tracks.iter().map(|track| [track.operate, track.release]).collect(),
            known: Vec::new(),
            held: vec![Held::Open; tracks.len()],
            closed_from: vec![from; tracks.len()],
            courses: courses.collect(),
        };
        walk.settle(from);
        for (course, held) in walk.courses.iter_mut().zip(&walk.held) {
            course.closed_at_start = *held != Held::Open;
        }
        walk.pass(Direction::Forward, [from, to]);
        walk.pass(Direction::Back, [to, from]);
        for (course, _) in walk.courses.iter_mut().zip(tracks).filter(|(_, track)| track.breaks) {
            course.invert([from, to]);
        }
        walk.courses
    }

    fn drives(&mut self) -> Vec<Straight> {
        let closed: Vec<bool> = self.held.iter().map(|held| *held != Held::Open).collect();
        if let Some((_, drives)) = self.known.iter().find(|(known, _)| *known == closed) {
            return drives.clone();
        }
        let drives = (self.of)(&closed);
        self.known.push((closed, drives.clone()));
        drives
    }

    /// The state of contact `k` after its next change and where that is, from `at` on to `to`.
    fn next(&self, k: usize, [at_zero, slope]: Straight, at: f64, to: f64) -> Option<(f64, Held)> {
        let [operate, release] = self.levels[k];
        let drive = at_zero + slope * at;
        let ahead = |level: f64| {
            let there = (level - at_zero) / slope;
            // Past it already, or met on the way.
            ((there - at) * (to - at) > 0.0 && (there - to) * (to - at) <= 0.0).then_some(there)
        };
        match self.held[k] {
            Held::Open if drive.abs() >= operate => Some((at, Held::Closed(drive.signum()))),
            Held::Open => {
                let sign = (slope * (to - at)).signum();
                ahead(sign * operate).map(|there| (there, Held::Closed(sign)))
            }
            Held::Closed(sign) if drive * sign < release => Some((at, Held::Open)),
            Held::Closed(sign) if slope * (to - at) * sign < 0.0 => {
                ahead(sign * release).map(|there| (there, Held::Open))
            }
            Held::Closed(_) => None,
        }
    }

    /// Closes what is closed where it all begins, without an event.
    fn settle(&mut self, at: f64) {
        for _ in 0..self.held.len() {
            let drives = self.drives();
            let over = |k: &usize| {
                let drive = drives[*k][0] + drives[*k][1] * at;
                (self.held[*k] == Held::Open).then(|| drive.abs() / self.levels[*k][0])
            };
            let first = (0..self.held.len())
                .filter_map(|k| Some((k, over(&k)?)))
                .max_by(|a, b| a.1.total_cmp(&b.1));
            let Some((k, _)) = first.filter(|(_, share)| *share >= 1.0) else { return };
            self.held[k] = Held::Closed((drives[k][0] + drives[k][1] * at).signum());
        }
    }

    fn pass(&mut self, direction: Direction, [from, to]: [f64; 2]) {
        self.closed_from.fill(from);
        let mut at = from;
        let mut changes = vec![0; self.held.len()];
        loop {
            let drives = self.drives();
            let ahead: Vec<(usize, f64, Held)> = (0..drives.len())
                .filter(|&k| changes[k] < CHANGES)
                .filter_map(|k| {
                    self.next(k, drives[k], at, to).map(|(there, held)| (k, there, held))
                })
                .collect();
            let far = |there: f64| (there - at).abs();
            let least = ahead.iter().map(|one| far(one.1)).fold(f64::INFINITY, f64::min);
            // Of equals the first named is first, whatever the last digits.
            let next = ahead.iter().find(|one| far(one.1) <= least + EQUAL * (to - from).abs());
            let Some(&(k, there, held)) = next else { break };
            if there != at {
                changes.fill(0);
            }
            changes[k] += 1;
            at = there;
            let course = &mut self.courses[k];
            let kind = match held {
                Held::Open => {
                    course.chatters |= at == self.closed_from[k] && at != from;
                    course.closed.push((direction, [self.closed_from[k], at]));
                    EventKind::Release
                }
                Held::Closed(_) => {
                    self.closed_from[k] = at;
                    EventKind::Operate
                }
            };
            let lobe = course.lobe_at(at);
            course.events.push(Found { kind, direction, at, lobe });
            self.held[k] = held;
        }
        for (k, course) in self.courses.iter_mut().enumerate() {
            if self.held[k] != Held::Open {
                course.closed.push((direction, [self.closed_from[k], to]));
            }
        }
    }
}
