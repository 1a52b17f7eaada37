//! What a level stem tells of one unit: make before break, resolution, slosh, output.

use crate::answer::Direction;
use crate::float::Float;
use crate::realise::Pick;
use crate::track::Course;
use reedmace_applied::ladder::Ladder;
use reedmace_applied::slosh::{Disturbance, Shaken, Surface, hold_time};
use reedmace_applied::tank::{End, Tank};
use reedmace_design::{
    Design, LadderDesign, Level, Resistor, Slosh, Sweep, TankDesign, TankEnd, TankShape,
};
use std::ops::Range;

/// A stem with its contacts at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stem {
    /// `None` where it does not swim.
    pub float: Option<Float>,
    /// Its tank, and the height of its lowest place.
    pub tank: Option<(Tank, f64)>,
    /// What shakes the tank at the float; `None` inside where the tank has no such surface.
    slosh: Option<Option<Shaken>>,
    pub ladder: Option<Ladder>,
    /// Least step of its output from a contact to the next.
    least_step: f64,
    /// The forward pass goes up.
    rises: bool,
    /// Lowest and highest level of the sweep.
    pub reach: [f64; 2],
}

/// A stretch of level on which the same contacts are closed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch<'a> {
    /// Levels where it begins and ends, in the order of the pass.
    pub ends: [f64; 2],
    /// Those contacts, in their order.
    pub closed: &'a [usize],
    /// What the ladder tells, if there is one and its line is not open.
    pub output: Option<f64>,
}

/// The stretches of a pass, in its order; ends of the sweep included.
#[derive(Debug, Clone)]
pub(crate) struct Pass {
    parts: Vec<Part>,
    /// Contacts that are closed on each stretch, one after the other.
    closed: Vec<usize>,
}

/// A stretch in a pass.
#[derive(Debug, Clone)]
struct Part {
    ends: [f64; 2],
    /// Where its closed contacts are in the list of the pass.
    closed: Range<usize>,
    output: Option<f64>,
}

impl Stem {
    /// The stem of a design with a level sweep, every quantity as `pick` has it.
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let (Some(level), Sweep::Level(sweep)) = (&design.level, &design.sweep) else {
            return None;
        };
        let Level { tank, slosh, ladder, .. } = level;
        let (from, to) = (pick(&sweep.from), pick(&sweep.to));
        let built = tank.as_ref().map(|tank| of_tank(tank, pick));
        let mut stem = Self {
            float: Float::of(design, pick).ok(),
            slosh: slosh.as_ref().map(|slosh| of_slosh(slosh, built.as_ref(), pick)),
            tank: built.zip(tank.as_ref()).map(|(built, tank)| (built, pick(&tank.at))),
            ladder: ladder.as_ref().map(|ladder| of_ladder(ladder, pick)),
            least_step: f64::NAN,
            rises: to > from,
            reach: [from.min(to), from.max(to)],
        };
        stem.least_step = stem.ladder.as_ref().map_or(f64::NAN, least_step);
        Some(stem)
    }

    /// The way of the pass on which the level rises, or falls.
    pub fn way(&self, rising: bool) -> Direction {
        if rising == self.rises { Direction::Forward } else { Direction::Back }
    }

    /// Adds the figures of `Design::figures`.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        let passes = [true, false].map(|rising| self.pass(courses, rising));
        let resolution = |pass| self.longest_alike(pass);
        figures.push(self.float.as_ref().map_or(f64::NAN, |float| float.draught));
        figures.push(passes.iter().map(resolution).fold(f64::NAN, f64::max));
        figures.push(passes.iter().filter_map(Pass::dead_band).fold(f64::NAN, f64::max));
        figures.push(passes.iter().map(Pass::at_once).max().unwrap_or(0) as f64);
        let ways = [true, false].map(|rising| self.way(rising));
        let main = |course: &Course| ways.map(|way| main_stretch(course, way));
        let mut below = None;
        for above in courses.iter().map(main) {
            let pair = below.into_iter().flatten().zip(above);
            figures.extend(pair.map(|(a, b): (Option<[f64; 2]>, _)| {
                let overlap = a.zip(b).map(|(a, b)| a[1].min(b[1]) - a[0].max(b[0]));
                overlap.unwrap_or(f64::NAN)
            }));
            below = Some(above);
        }
        let differential = self.least_differential(courses);
        figures.push(differential.unwrap_or(f64::NAN));
        if let Some(shaken) = &self.slosh {
            let all = differential.map_or(Vec::new(), |d| self.all_waves(shaken, courses, d));
            let most = |of: fn(&Waves) -> f64| all.iter().map(of).fold(f64::NAN, f64::max);
            figures.extend([most(|one| one.swing.amplitude), most(|one| one.hold)]);
        }
        figures.extend(self.ladder.is_some().then_some(self.least_step));
    }

    /// What a pass shows.
    pub fn pass(&self, courses: &[Course], rising: bool) -> Pass {
        let way = self.way(rising);
        let sense = if rising { 1.0 } else { -1.0 };
        let mut changes: Vec<(f64, usize, bool)> = Vec::with_capacity(2 * courses.len());
        for (k, course) in courses.iter().enumerate() {
            for (_, [from, to]) in course.closed.iter().filter(|(direction, _)| *direction == way) {
                changes.extend([(*from, k, true), (*to, k, false)]);
            }
        }
        changes.sort_unstable_by(|a, b| {
            let order = (sense * a.0).total_cmp(&(sense * b.0));
            order.then(b.2.cmp(&a.2)).then(a.1.cmp(&b.1))
        });
        let mut pass = Pass { parts: Vec::with_capacity(changes.len()), closed: Vec::new() };
        // The few that are closed.
        let mut closed = Vec::new();
        for pair in changes.windows(2) {
            let ((at, contact, closes), (next, ..)) = (pair[0], pair[1]);
            match (closes, closed.binary_search(&contact)) {
                (true, Err(place)) => closed.insert(place, contact),
                (false, Ok(place)) => drop(closed.remove(place)),
                _ => (),
            }
            if next != at {
                let from = pass.closed.len();
                pass.closed.extend_from_slice(&closed);
                let output = self.ladder.as_ref().and_then(|ladder| ladder.output(&closed));
                let closed = from..pass.closed.len();
                pass.parts.push(Part { ends: [at, next], closed, output });
            }
        }
        pass
    }

    /// Length of the longest part of a pass that reads alike, without what lies before the first change and
    /// behind the last; NaN of none.
    fn longest_alike(&self, pass: &Pass) -> f64 {
        let alike = |a: Stretch<'_>, b: Stretch<'_>| match self.ladder {
            Some(_) => a.output == b.output,
            None => a.closed == b.closed,
        };
        let (mut longest, mut length) = (f64::NAN, 0.0);
        let mut before = None;
        for stretch in pass.iter() {
            let goes_on = before.is_some_and(|before| alike(before, stretch));
            length = stretch.length() + if goes_on { length } else { 0.0 };
            longest = longest.max(length);
            before = Some(stretch);
        }
        longest
    }

    /// Least distance between the ends of main lobes as the level rises and as it falls.
    pub fn least_differential(&self, courses: &[Course]) -> Option<f64> {
        let all = courses.iter().flat_map(|course| ends(course, self.rises).into_iter().flatten());
        all.map(|[operate, release]| (operate - release).abs()).reduce(f64::min)
    }

    /// The surface where it makes contacts chatter longest. What sets in at once swings it as far at each level, and
    /// slowest where it is shallowest: at the lowest level at which any contact changes.
    fn all_waves(
        &self,
        shaken: &Option<Shaken>,
        courses: &[Course],
        differential: f64,
    ) -> Vec<Waves> {
        if shaken.is_some_and(|shaken| shaken.is_sudden()) {
            let changes = courses.iter().flat_map(|course| &course.events).map(|event| event.at);
            let lowest = changes.reduce(f64::min);
            if let Some(waves) = lowest.and_then(|level| self.waves_at(level, differential)) {
                return vec![waves];
            }
        }
        courses.iter().filter_map(|course| self.waves(course, differential)).collect()
    }

    /// The surface where it makes a contact chatter longest: at the lowest or the highest level at which the
    /// contact changes. `differential`: the least of the stem.
    pub fn waves(&self, course: &Course, differential: f64) -> Option<Waves> {
        let changes = || course.events.iter().map(|event| event.at);
        let ends = [changes().reduce(f64::min)?, changes().reduce(f64::max)?];
        let at = |level: f64| self.waves_at(level, differential);
        ends.into_iter().filter_map(at).reduce(|a, b| if b.hold > a.hold { b } else { a })
    }

    fn waves_at(&self, level: f64, differential: f64) -> Option<Waves> {
        let swing = self.swing(level)?;
        let hold = hold_time(swing.amplitude, differential, swing.period);
        Some(Waves { level, swing, hold })
    }

    /// How the surface swings at a level.
    fn swing(&self, level: f64) -> Option<Swing> {
        let shaken = self.slosh??;
        let (tank, bottom) = self.tank.as_ref()?;
        let [length, depth] = tank.surface(level - bottom)?;
        let round = matches!(tank, Tank::Upright { .. });
        let surface = Surface { round, length, depth };
        let amplitude = surface.amplitude(&shaken);
        let frequencies = [0, 1, 2].map(|mode| surface.excited(mode));
        Some(Swing { amplitude, period: 1.0 / frequencies[0], frequencies })
    }

    /// Volume below a level, if the tank is known.
    pub fn volume(&self, level: f64) -> Option<f64> {
        self.tank.as_ref().map(|(tank, bottom)| tank.volume(level - bottom))
    }
}

/// A swinging surface at the float.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Swing {
    /// Up and down about the level, m.
    pub amplitude: f64,
    /// Of the slowest mode that is excited, s.
    pub period: f64,
    /// The first three that are, Hz.
    pub frequencies: [f64; 3],
}

/// A swinging surface at a level, and how long a reading must last there to count, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Waves {
    pub level: f64,
    pub swing: Swing,
    pub hold: f64,
}

impl Stretch<'_> {
    fn length(&self) -> f64 {
        (self.ends[1] - self.ends[0]).abs()
    }
}

impl Pass {
    /// Its stretches in order.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = Stretch<'_>> + ExactSizeIterator {
        self.parts.iter().map(|part| Stretch {
            ends: part.ends,
            closed: &self.closed[part.closed.clone()],
            output: part.output,
        })
    }

    /// Longest stretch between two with closed contacts on which none is; `None` where none ever is.
    fn dead_band(&self) -> Option<f64> {
        let first = self.iter().position(|s| !s.closed.is_empty())?;
        let last = self.iter().rposition(|s| !s.closed.is_empty())?;
        let between = self.iter().take(last).skip(first).filter(|s| s.closed.is_empty());
        Some(between.map(|s| s.length()).fold(0.0, f64::max))
    }

    /// Contacts closed at once, at most.
    fn at_once(&self) -> usize {
        self.iter().map(|s| s.closed.len()).max().unwrap_or(0)
    }
}

/// The closed stretch of a pass around the top of the main lobe, lower end first.
pub(crate) fn main_stretch(course: &Course, way: Direction) -> Option<[f64; 2]> {
    let top = course.lobes[course.main_lobe()?].at;
    let mine = course.closed.iter().filter(|(direction, _)| *direction == way);
    let sorted = mine.map(|(_, [a, b])| [a.min(*b), a.max(*b)]);
    sorted.into_iter().find(|[low, high]| (*low..=*high).contains(&top))
}

/// Levels at which a contact operates and releases at the lower and at the upper end of its main lobe, where
/// it does; `rises`: the forward pass goes up.
pub(crate) fn ends(course: &Course, rises: bool) -> [Option<[f64; 2]>; 2] {
    let way = |up: bool| if up == rises { Direction::Forward } else { Direction::Back };
    let both = [true, false].map(|up| main_stretch(course, way(up)));
    let real = |at: f64| course.events.iter().any(|e| e.at == at);
    let [Some(up), Some(down)] = both else { return [None; 2] };
    // It closes on the way up and opens on the way down at the lower end, the other way round above.
    [[up[0], down[0]], [down[1], up[1]]]
        .map(|pair| Some(pair).filter(|p| p.iter().all(|at| real(*at))))
}

fn of_tank(tank: &TankDesign, pick: &Pick) -> Tank {
    let end = |end: &TankEnd| match end {
        TankEnd::Flat => End::Flat,
        TankEnd::Conical(depth) => End::Conical { depth: pick(depth) },
        TankEnd::Ellipsoidal(depth) => End::Ellipsoidal { depth: pick(depth) },
        TankEnd::Spherical(depth) => End::Spherical { depth: pick(depth) },
        TankEnd::Guppy(depth) => End::Guppy { depth: pick(depth) },
        TankEnd::Torispherical { dish, knuckle } => {
            End::Torispherical { dish: pick(dish), knuckle: pick(knuckle) }
        }
    };
    match &tank.shape {
        TankShape::Upright { diameter, height, ends } => Tank::Upright {
            diameter: pick(diameter),
            height: pick(height),
            bottom: end(&ends[0]),
            top: end(&ends[1]),
        },
        TankShape::Horizontal { diameter, length, ends } => {
            Tank::Horizontal { diameter: pick(diameter), length: pick(length), ends: end(ends) }
        }
        TankShape::Box { length, width, height } => {
            Tank::Box { floor: [pick(length), pick(width)], height: pick(height) }
        }
        TankShape::Strapped { rows } => {
            Tank::Strapped(rows.iter().map(|(level, volume)| [pick(level), pick(volume)]).collect())
        }
    }
}

/// `None` of a tank without a surface of known length.
fn of_slosh(slosh: &Slosh, tank: Option<&Tank>, pick: &Pick) -> Option<Shaken> {
    let tank = tank?;
    let acceleration = pick(&slosh.acceleration);
    let disturbance = match &slosh.frequency {
        None => Disturbance::Sudden { acceleration },
        Some(frequency) => Disturbance::Swinging {
            acceleration,
            frequency: pick(frequency),
            damping: pick(&slosh.damping),
        },
    };
    let place = (2.0 * pick(&slosh.off_middle) / tank.span()?).min(1.0);
    Some(Shaken::new(disturbance, matches!(tank, Tank::Upright { .. }), place))
}

fn of_ladder(ladder: &LadderDesign, pick: &Pick) -> Ladder {
    let put = |resistor: &Resistor| resistor.put * pick(&resistor.stated);
    let (first, steps) = (put(&ladder.first), ladder.steps.iter().map(put));
    Ladder::new(ladder.reading, first, steps, ladder.last.as_ref().map_or(f64::INFINITY, put))
}

/// Least step of the output from a contact to the next, all of them in the sense of the whole; NaN where there
/// are none.
fn least_step(ladder: &Ladder) -> f64 {
    let last = ladder.resistors().count() - 1;
    let way = (ladder.alone(last) - ladder.alone(0)).signum();
    let steps = (0..last).map(|k| way * (ladder.alone(k + 1) - ladder.alone(k)));
    steps.fold(f64::NAN, f64::min)
}
