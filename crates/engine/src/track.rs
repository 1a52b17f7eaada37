//! The drive along the sweep, and the exact walk of the contact's state through it.

use crate::answer::{Direction, EventKind};
use crate::motion::Motion;
use crate::root;
use crate::scene::{Drive, Scene};
use crate::solved::State;
use reedmace_contact::Scratch;
use std::f64::consts::TAU;

/// The drive of one contact along the sweep, by whatever tells it.
pub(crate) trait Line {
    /// The drive at a coordinate.
    fn drive(&mut self, at: f64) -> Drive;

    /// Where the drive in `state` meets `level` between two samples on either side of it, to within
    /// `tolerance`.
    fn crossing(&mut self, state: State, level: f64, ends: [Sample; 2], tolerance: f64) -> f64 {
        let [a, b] = ends.map(|(at, drive)| (at, drive.of(state) - level));
        root::crossing(&mut |at| self.drive(at).of(state) - level, a, b, tolerance)
    }
}

/// A coordinate and the drive there.
pub(crate) type Sample = (f64, Drive);

/// A contact in its scene.
pub(crate) struct InScene<'a> {
    pub scene: &'a Scene,
    pub reed: usize,
    pub scratch: &'a mut Scratch,
}

impl Line for InScene<'_> {
    fn drive(&mut self, at: f64) -> Drive {
        self.scene.drive(self.reed, at, self.scratch)
    }
}

/// Samples of one contact's drive along the forward pass, close enough that straight lines between
/// them are good to [`NEAR`] of the levels where it matters.
#[derive(Debug, Clone, Default)]
pub(crate) struct Track {
    /// Coordinates in order of the forward pass, SI.
    pub at: Vec<f64>,
    /// Drive at each, T.
    pub drive: Vec<Drive>,
    /// Operate and release level, T.
    pub operate: f64,
    pub release: f64,
    /// The contact opens when it operates.
    pub breaks: bool,
}

/// Error allowed to a straight line between samples, over the level it is near to.
const NEAR: f64 = 5e-3;
/// The same far from both levels, over the drive itself.
const FAR: f64 = 5e-2;
/// A peak this near to its level, over it, gets a sample of its own.
pub(crate) const SHARPEN: f64 = 2.0 * NEAR;
/// Intervals to start from, of a whole path or of each turn; more where what moves passes near.
const FIRST: usize = 40;
/// Times an interval is halved at most.
const DEPTH: usize = 12;
/// Share of the highest peak from which a lobe counts as its equal.
const EQUAL: f64 = 0.99;
/// Events are placed to this share of the path.
const PLACE: f64 = 1e-9;

/// An operate or release in one scene.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Found {
    pub kind: EventKind,
    pub direction: Direction,
    /// Coordinate, SI.
    pub at: f64,
    /// Index of the lobe it belongs to, along the forward pass.
    pub lobe: usize,
}

/// A stretch of the pass on which the drive keeps its sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lobe {
    /// Ends, coordinates in order of the forward pass.
    pub ends: [f64; 2],
    /// Sign of the open drive.
    pub sign: f64,
    /// Where the open drive is greatest, and how great, T (absolute).
    pub at: f64,
    pub peak: f64,
}

/// What one contact does in one scene.
#[derive(Debug, Clone, Default)]
pub(crate) struct Course {
    pub events: Vec<Found>,
    /// Closed intervals in order of their pass.
    pub closed: Vec<(Direction, [f64; 2])>,
    pub lobes: Vec<Lobe>,
    pub closed_at_start: bool,
    /// Operate and release level, T.
    pub levels: [f64; 2],
    /// Of a wheel: every top of the open drive and every dip of the closed one.
    pub extremes: Vec<Extreme>,
    /// Where the sweep starts and ends: open drive over the operate level, closed drive over the release level.
    pub ends: [[f64; 2]; 2],
    /// It opens when it operates.
    pub breaks: bool,
    /// A release that follows its operate at once: the closed contact does not hold where it operates.
    pub chatters: bool,
}

/// Where the size of the drive turns round, and how great it is there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Extreme {
    /// A top of the open drive, over the operate level, or a dip of the closed one, over the release level.
    pub state: State,
    /// Coordinate, SI.
    pub at: f64,
    /// Drive over its level.
    pub over: f64,
}

impl Track {
    /// Samples contact `reed` of `scene`.
    pub fn new(scene: &Scene, reed: usize, scratch: &mut Scratch) -> Self {
        let Some(r) = scene.reeds.get(reed) else { return Self::default() };
        let mut track =
            Self { operate: r.operate, release: r.release, breaks: r.breaks, ..Self::default() };
        let places = first_places(scene, reed);
        let mut line = InScene { scene, reed, scratch };
        let mut a = (places[0], line.drive(places[0]));
        track.push(a);
        for &at in &places[1..] {
            let b = (at, line.drive(at));
            track.refine(&mut line, a, b, 0);
            track.push(b);
            a = b;
        }
        track.sharpen_peaks(&mut line);
        track
    }

    fn push(&mut self, (at, drive): Sample) {
        self.at.push(at);
        self.drive.push(drive);
    }

    /// Adds samples between `a` and `b` until a straight line serves.
    fn refine(&mut self, line: &mut impl Line, a: Sample, b: Sample, depth: usize) {
        if depth == DEPTH {
            return;
        }
        let at = 0.5 * (a.0 + b.0);
        let m = (at, line.drive(at));
        let straight = |a: f64, m: f64, b: f64, level: f64| {
            let error = (m - 0.5 * (a + b)).abs();
            let (lo, hi) = (a.abs().min(b.abs()).min(m.abs()), a.abs().max(b.abs()).max(m.abs()));
            let near = lo < 1.5 * level && hi > 0.5 * level;
            error <= if near { NEAR * level } else { FAR * hi.max(0.1 * level) }
        };
        let good = straight(a.1.open, m.1.open, b.1.open, self.operate)
            && straight(a.1.closed, m.1.closed, b.1.closed, self.release);
        if good {
            self.push(m);
            return;
        }
        self.refine(line, a, m, depth + 1);
        self.push(m);
        self.refine(line, m, b, depth + 1);
    }

    /// Puts a sample on every peak that comes near a level without reaching past it, so that no
    /// lobe is missed by the width of a sample.
    pub fn sharpen_peaks(&mut self, line: &mut impl Line) {
        let mut extra = Vec::new();
        let span = (self.at[self.at.len() - 1] - self.at[0]).abs();
        let near = |v: f64, level: f64| (v - level).abs() < SHARPEN * level;
        for (at, drive) in self.at.windows(3).zip(self.drive.windows(3)) {
            let open = drive[1].open.abs();
            let top = open < self.operate && near(open, self.operate);
            if top && open >= drive[0].open.abs() && open >= drive[2].open.abs() {
                let mut f = |c: f64| line.drive(c).open.abs();
                extra.push(root::peak(&mut f, at[0], at[2], 1e-7 * span));
            }
            let closed = drive[1].closed.abs();
            let dip = closed >= self.release && near(closed, self.release);
            if dip && closed <= drive[0].closed.abs() && closed <= drive[2].closed.abs() {
                let mut f = |c: f64| -line.drive(c).closed.abs();
                extra.push(root::peak(&mut f, at[0], at[2], 1e-7 * span));
            }
        }
        let forward = self.at[self.at.len() - 1] >= self.at[0];
        for at in extra {
            let place = self.at.partition_point(|c| (*c < at) == forward);
            self.at.insert(place, at);
            self.drive.insert(place, line.drive(at));
        }
    }

    /// Shows the coordinates at which the drive decides what events there are, and how far it is from the
    /// level there, over it: tops of the open drive, dips of the closed one, and both ends.
    pub fn each_extreme(&self, mut show: impl FnMut(f64, f64)) {
        let call = |v: f64, level: f64| (v.abs() / level - 1.0).abs();
        for i in [0, self.at.len() - 1] {
            let (open, closed) = (self.drive[i].open, self.drive[i].closed);
            show(self.at[i], call(open, self.operate).min(call(closed, self.release)));
        }
        for (at, drive) in self.at.windows(3).zip(self.drive.windows(3)) {
            let open = drive[1].open.abs();
            if open >= drive[0].open.abs() && open >= drive[2].open.abs() {
                show(at[1], call(open, self.operate));
            }
            let closed = drive[1].closed.abs();
            if closed <= drive[0].closed.abs() && closed <= drive[2].closed.abs() {
                show(at[1], call(closed, self.release));
            }
        }
    }

    /// How near to its level an extreme of the drive comes, over the level.
    pub fn closest_call(&self) -> f64 {
        let mut least = f64::INFINITY;
        self.each_extreme(|_, call| least = least.min(call));
        least
    }

    /// Tops and dips of a whole turn; each the vertex of the parabola through three samples.
    fn extremes(&self) -> Vec<Extreme> {
        let last = self.at.len() - 1;
        let turn = self.at[last] - self.at[0];
        let mut extremes = Vec::new();
        for (state, level, sign) in
            [(State::Open, self.operate, 1.0), (State::Closed, self.release, -1.0)]
        {
            let value = |k: usize| self.drive[k].of(state).abs();
            for k in 0..last {
                // The first sample is the last of the turn before.
                let (before, back) = if k == 0 { (last - 1, turn) } else { (k - 1, 0.0) };
                let x = [self.at[before] - back, self.at[k], self.at[k + 1]];
                let y = [before, k, k + 1].map(|k| sign * value(k));
                if y[1] >= y[0] && y[1] > y[2] {
                    let (at, y) = vertex(x, y);
                    extremes.push(Extreme { state, at, over: sign * y / level });
                }
            }
        }
        extremes
    }

    /// Lobes of the open drive: stretches of one sign, in order of the forward pass.
    pub fn lobes(&self) -> Vec<Lobe> {
        let mut lobes = Vec::new();
        self.find_lobes(&mut lobes);
        lobes
    }

    /// The same into a list that has been used before.
    fn find_lobes(&self, lobes: &mut Vec<Lobe>) {
        lobes.clear();
        let mut sign = 0.0;
        for (i, (&at, drive)) in self.at.iter().zip(&self.drive).enumerate() {
            let open = drive.open;
            let level = open.abs();
            // A breath of the other sign at the foot of a lobe is no lobe.
            let counts = level > 1e-3 * self.operate;
            if counts && open.signum() != sign {
                sign = open.signum();
                let start =
                    if lobes.is_empty() { self.at[0] } else { self.at[i.saturating_sub(1)] };
                if let Some(last) = lobes.last_mut() {
                    last.ends[1] = start;
                }
                lobes.push(Lobe { ends: [start, at], sign, at, peak: level });
            }
            if let Some(last) = lobes.last_mut() {
                last.ends[1] = at;
                if level > last.peak {
                    (last.at, last.peak) = (at, level);
                }
            }
        }
    }

    /// Walks the state of contact `reed` of `scene` forward and back.
    pub fn course(&self, scene: &Scene, reed: usize, scratch: &mut Scratch) -> Course {
        let mut course = Course::default();
        let mut line = InScene { scene, reed, scratch };
        self.course_on(&mut line, scene.motion.is_periodic(), &mut course);
        course
    }

    /// The same on any line, into a course that has been used before; `periodic`: on a wheel that turns on.
    pub fn course_on(&self, line: &mut impl Line, periodic: bool, course: &mut Course) {
        let over = |drive: &Drive| [drive.open / self.operate, drive.closed / self.release];
        course.events.clear();
        course.closed.clear();
        self.find_lobes(&mut course.lobes);
        course.levels = [self.operate, self.release];
        course.extremes = if periodic { self.extremes() } else { Vec::new() };
        course.ends = [0, self.drive.len() - 1].map(|k| over(&self.drive[k]));
        (course.breaks, course.chatters) = (false, false);
        let mut walk = Walk { track: self, line };
        let mut before = Course::default();
        // A wheel comes to the start from the turn before.
        let mut state = if periodic {
            walk.pass(Held::Open, Direction::Forward, &mut before)
        } else {
            Held::at_rest(self.drive[0].open, self.operate)
        };
        course.closed_at_start = state != Held::Open;
        state = walk.pass(state, Direction::Forward, course);
        if periodic {
            state = walk.pass(state, Direction::Back, &mut before);
        }
        walk.pass(state, Direction::Back, course);
        if self.breaks {
            course.invert([self.at[0], self.at[self.at.len() - 1]]);
        }
    }
}

/// Where the parabola through three points, of which the middle one is the highest, is highest.
fn vertex(x: [f64; 3], y: [f64; 3]) -> (f64, f64) {
    let slope = |i: usize, j: usize| (y[j] - y[i]) / (x[j] - x[i]);
    let bend = (slope(1, 2) - slope(0, 1)) / (x[2] - x[0]);
    if bend >= 0.0 {
        return (x[1], y[1]);
    }
    let at = 0.5 * (x[0] + x[1]) - slope(0, 1) / (2.0 * bend);
    (at, y[1] + (at - x[1]) * (slope(0, 1) + bend * (at - x[0])))
}

/// Coordinates to sample first: so near to each other that nothing passes the contact between two of
/// them by more than its distance from it.
pub(crate) fn first_places(scene: &Scene, reed: usize) -> Vec<f64> {
    let corners = scene.motion.corners();
    let [from, to] = scene.motion.range();
    let turns = if let Motion::Turn { .. } = scene.motion { (to - from).abs() / TAU } else { 0.0 };
    let per_piece = FIRST.div_ceil(corners.len() - 1).max(4);
    let per_piece = per_piece.max((turns * FIRST as f64).ceil() as usize);
    let mut places = vec![corners[0]];
    for pair in corners.windows(2) {
        let at = |k: usize| pair[0] + (pair[1] - pair[0]) * k as f64 / per_piece as f64;
        for k in 1..=per_piece {
            let mut parts = 1;
            let (a, b) = (at(k - 1), at(k));
            let place = |i: usize, parts: usize| a + (b - a) * i as f64 / parts as f64;
            while parts < 1 << DEPTH
                && (0..parts).any(|i| scene.strides(reed, place(i, parts), place(i + 1, parts)))
            {
                parts *= 2;
            }
            places.extend((1..=parts).map(|i| place(i, parts)));
        }
    }
    places
}

/// The state of a contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Held {
    Open,
    /// Closed, held by drive of this sign.
    Closed(f64),
}

impl Held {
    /// Where a contact starts that was open before the field came.
    fn at_rest(open_drive: f64, operate: f64) -> Self {
        if open_drive.abs() >= operate { Self::Closed(open_drive.signum()) } else { Self::Open }
    }
}

/// The state machine: operate where the open drive reaches ±operate, release where the closed drive
/// falls through ±release on the side that holds it.
struct Walk<'a, L> {
    track: &'a Track,
    line: &'a mut L,
}

impl<L: Line> Walk<'_, L> {
    fn pass(&mut self, mut state: Held, direction: Direction, course: &mut Course) -> Held {
        let track = self.track;
        let last = track.at.len() - 1;
        let index = |k: usize| if direction == Direction::Forward { k } else { last - k };
        let sample = |k: usize| (track.at[index(k)], track.drive[index(k)]);
        let stays = |state: Held, drive: &Drive| match state {
            Held::Open => drive.open.abs() < track.operate,
            Held::Closed(sign) => drive.closed * sign >= track.release,
        };
        let mut closed_from = sample(0).0;
        for k in 0..last {
            if stays(state, &track.drive[index(k + 1)]) {
                continue;
            }
            let (mut from, to) = (sample(k), sample(k + 1));
            loop {
                let (kind, at) = match state {
                    Held::Open => {
                        let sign = to.1.open.signum();
                        let at = self.meets(from, to, track.operate * sign, State::Open);
                        (state, closed_from) = (Held::Closed(sign), at);
                        (EventKind::Operate, at)
                    }
                    Held::Closed(sign) => {
                        let at = self.meets(from, to, track.release * sign, State::Closed);
                        course.chatters |= at == closed_from && from.0 == at;
                        course.closed.push((direction, [closed_from, at]));
                        state = Held::Open;
                        (EventKind::Release, at)
                    }
                };
                course.events.push(Found { kind, direction, at, lobe: course.lobe_at(at) });
                if course.chatters || stays(state, &to.1) {
                    break;
                }
                from = (at, self.line.drive(at));
            }
        }
        if state != Held::Open {
            course.closed.push((direction, [closed_from, sample(last).0]));
        }
        state
    }

    /// Where the drive of one state meets `level` between two samples; the first of them if it is
    /// past the level already.
    fn meets(&mut self, from: Sample, to: Sample, level: f64, state: State) -> f64 {
        let [fa, fb] = [from, to].map(|(_, drive)| drive.of(state) - level);
        if fa == 0.0 || (fa > 0.0) == (fb > 0.0) {
            return from.0;
        }
        let span = (self.track.at[self.track.at.len() - 1] - self.track.at[0]).abs();
        self.line.crossing(state, level, [from, to], PLACE * span)
    }
}

impl Course {
    /// Makes it that of a contact which is open where this one is closed; `[from, to]`: the ends of the sweep.
    pub fn invert(&mut self, [from, to]: [f64; 2]) {
        let held = std::mem::take(&mut self.closed);
        for (direction, [start, end]) in
            [(Direction::Forward, [from, to]), (Direction::Back, [to, from])]
        {
            let mut since = start;
            for (_, [operate, release]) in held.iter().filter(|(way, _)| *way == direction) {
                if *operate != since {
                    self.closed.push((direction, [since, *operate]));
                }
                since = *release;
            }
            if since != end {
                self.closed.push((direction, [since, end]));
            }
        }
        self.closed_at_start = !self.closed_at_start;
        self.breaks = true;
    }

    /// True where it has operated already as the sweep starts.
    pub fn operated_at_start(&self) -> bool {
        self.closed_at_start != self.breaks
    }

    /// True where it has operated as the sweep ends.
    pub fn operated_at_end(&self) -> bool {
        let forward = self.events.iter().filter(|event| event.direction == Direction::Forward);
        self.operated_at_start() != (forward.count() % 2 == 1)
    }

    pub fn lobe_at(&self, at: f64) -> usize {
        let inside = |l: &Lobe| (at - l.ends[0]) * (at - l.ends[1]) <= 0.0;
        let distance = |l: &Lobe| (at - l.ends[0]).abs().min((at - l.ends[1]).abs());
        self.lobes.iter().position(inside).unwrap_or_else(|| {
            let nearest =
                |a: &(usize, &Lobe), b: &(usize, &Lobe)| distance(a.1).total_cmp(&distance(b.1));
            self.lobes.iter().enumerate().min_by(nearest).map_or(0, |(k, _)| k)
        })
    }

    /// The lobe with the highest drive.
    pub fn main_lobe(&self) -> Option<usize> {
        let by_peak = |a: &(usize, &Lobe), b: &(usize, &Lobe)| a.1.peak.total_cmp(&b.1.peak);
        self.lobes.iter().enumerate().max_by(by_peak).map(|(k, _)| k)
    }

    /// True for the lobe with the highest drive and for its equals, as the magnets of a wheel make them.
    pub fn is_main(&self, lobe: usize) -> bool {
        let highest = self.lobes.iter().map(|l| l.peak).fold(0.0, f64::max);
        self.lobes.get(lobe).is_some_and(|l| l.peak > EQUAL * highest)
    }

    /// True where it comes back to the start closed that began there open.
    pub fn comes_back_changed(&self) -> bool {
        let operates = |e: &Found| if e.kind == EventKind::Operate { 1 } else { -1 };
        self.events.iter().map(operates).sum::<i32>() == 1
    }

    /// How often it operates in one pass.
    pub fn operations(&self, direction: Direction) -> usize {
        self.count(EventKind::Operate, direction)
    }

    /// How often it closes in one pass.
    pub fn closures(&self, direction: Direction) -> usize {
        let closes = if self.breaks { EventKind::Release } else { EventKind::Operate };
        self.count(closes, direction)
    }

    fn count(&self, kind: EventKind, direction: Direction) -> usize {
        self.events.iter().filter(|e| e.kind == kind && e.direction == direction).count()
    }
}

#[cfg(test)]
mod tests {
    use super::vertex;

    #[test]
    fn prop_a_parabola_has_its_own_vertex() {
        let f = |x: f64| 3.0 - 0.7 * (x - 0.2).powi(2);
        for x in [[-1.0, 0.1, 2.0], [0.0, 0.2, 0.5], [-3.0, 0.3, 0.9]] {
            let (at, y) = vertex(x, x.map(f));
            assert!((at - 0.2).abs() < 1e-12 && (y - 3.0).abs() < 1e-12, "{at} {y}");
        }
    }
}
