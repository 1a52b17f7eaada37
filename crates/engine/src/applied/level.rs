//! What a level stem tells of one unit: make before break, resolution, slosh, output.

use crate::answer::Direction;
use crate::float::Float;
use crate::realise::Pick;
use crate::track::Course;
use reedmace_applied::ladder::Ladder;
use reedmace_applied::slosh::{Disturbance, Surface, hold_time};
use reedmace_applied::tank::{End, Tank};
use reedmace_design::{Design, LadderDesign, Level, Slosh, Sweep, TankDesign, TankEnd, TankShape};

/// A stem with its contacts at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stem {
    /// `None` where it does not swim.
    pub float: Option<Float>,
    /// Its tank, and the height of its lowest place.
    pub tank: Option<(Tank, f64)>,
    slosh: Option<(Disturbance, f64)>,
    pub ladder: Option<Ladder>,
    /// The forward pass goes up.
    rises: bool,
    /// Lowest and highest level of the sweep.
    pub reach: [f64; 2],
}

/// A stretch of level on which the same contacts are closed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stretch {
    /// Levels where it begins and ends, in the order of the pass.
    pub ends: [f64; 2],
    /// Per contact.
    pub closed: Vec<bool>,
    /// What the ladder tells, if there is one and its line is not open.
    pub output: Option<f64>,
}

impl Stem {
    /// The stem of a design with a level sweep, every quantity as `pick` has it.
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let (Some(level), Sweep::Level(sweep)) = (&design.level, &design.sweep) else {
            return None;
        };
        let Level { tank, slosh, ladder, .. } = level;
        let (from, to) = (pick(&sweep.from), pick(&sweep.to));
        Some(Self {
            float: Float::of(design, pick).ok(),
            tank: tank.as_ref().map(|tank| (of_tank(tank, pick), pick(&tank.at))),
            slosh: slosh.as_ref().map(|slosh| of_slosh(slosh, pick)),
            ladder: ladder.as_ref().map(|ladder| of_ladder(ladder, pick)),
            rises: to > from,
            reach: [from.min(to), from.max(to)],
        })
    }

    /// The way of the pass on which the level rises, or falls.
    pub fn way(&self, rising: bool) -> Direction {
        if rising == self.rises { Direction::Forward } else { Direction::Back }
    }

    /// Adds the figures of `Design::figures`.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        let passes = [true, false].map(|rising| self.stretches(courses, rising));
        let changes = passes.each_ref().map(|pass| inner(pass, |a, b| self.reads_alike(a, b)));
        let dead = |pass: &Vec<Stretch>| {
            let first = pass.iter().position(|s| s.closed.contains(&true))?;
            let last = pass.iter().rposition(|s| s.closed.contains(&true))?;
            let open = pass[first..=last].iter().filter(|s| !s.closed.contains(&true));
            Some(open.map(Stretch::length).fold(0.0, f64::max))
        };
        let at_once = |pass: &Vec<Stretch>| {
            let counts = pass.iter().map(|s| s.closed.iter().filter(|closed| **closed).count());
            counts.max().unwrap_or(0)
        };
        figures.push(self.float.as_ref().map_or(f64::NAN, |float| float.draught));
        figures.push(longest(&changes));
        figures.push(passes.iter().filter_map(dead).fold(f64::NAN, f64::max));
        figures.push(passes.iter().map(at_once).max().unwrap_or(0) as f64);
        for pair in courses.windows(2) {
            for rising in [true, false] {
                let way = self.way(rising);
                let [a, b] = [0, 1].map(|k| main_stretch(&pair[k], way));
                let overlap = a.zip(b).map(|(a, b)| a[1].min(b[1]) - a[0].max(b[0]));
                figures.push(overlap.unwrap_or(f64::NAN));
            }
        }
        let differential = self.least_differential(courses);
        figures.push(differential.unwrap_or(f64::NAN));
        if let Some(slosh) = self.swing(0.5 * (self.reach[0] + self.reach[1])) {
            let hold = differential.map(|d| hold_time(slosh.amplitude, d, slosh.period));
            figures.extend([slosh.amplitude, hold.unwrap_or(f64::NAN)]);
        } else if self.slosh.is_some() {
            figures.extend([f64::NAN; 2]);
        }
        if let Some(ladder) = &self.ladder {
            let outputs: Vec<f64> = (0..courses.len()).map(|k| ladder.alone(k)).collect();
            let way = outputs.last().zip(outputs.first()).map_or(1.0, |(b, a)| (b - a).signum());
            let steps = outputs.windows(2).map(|pair| way * (pair[1] - pair[0]));
            let least = steps.fold(f64::INFINITY, f64::min);
            figures.push(if least.is_finite() { least } else { f64::NAN });
        }
    }

    /// The stretches of a pass, in its order; ends of the sweep included.
    pub fn stretches(&self, courses: &[Course], rising: bool) -> Vec<Stretch> {
        let way = self.way(rising);
        let sense = if rising { 1.0 } else { -1.0 };
        let mut changes: Vec<(f64, usize, bool)> = Vec::new();
        let mut closed = vec![false; courses.len()];
        for (k, course) in courses.iter().enumerate() {
            for (_, [from, to]) in course.closed.iter().filter(|(direction, _)| *direction == way) {
                changes.extend([(*from, k, true), (*to, k, false)]);
            }
        }
        changes.sort_by(|a, b| (sense * a.0).total_cmp(&(sense * b.0)).then(b.2.cmp(&a.2)));
        let mut stretches = Vec::new();
        for pair in changes.windows(2) {
            let ((at, contact, closes), (next, ..)) = (pair[0], pair[1]);
            closed[contact] = closes;
            if next != at {
                let output = self.ladder.as_ref().and_then(|ladder| ladder.output(&closed));
                stretches.push(Stretch { ends: [at, next], closed: closed.clone(), output });
            }
        }
        stretches
    }

    fn reads_alike(&self, a: &Stretch, b: &Stretch) -> bool {
        if self.ladder.is_some() { a.output == b.output } else { a.closed == b.closed }
    }

    /// Least distance between the ends of main lobes as the level rises and as it falls.
    pub fn least_differential(&self, courses: &[Course]) -> Option<f64> {
        let all = courses.iter().flat_map(|course| ends(course, self.rises));
        all.map(|[operate, release]| (operate - release).abs()).reduce(f64::min)
    }

    /// How the surface swings at a level.
    pub fn swing(&self, level: f64) -> Option<Swing> {
        let (disturbance, off) = self.slosh?;
        let (tank, bottom) = self.tank.as_ref()?;
        let [length, depth] = tank.surface(level - bottom)?;
        let round = matches!(tank, Tank::Upright { .. });
        let surface = Surface { round, length, depth };
        let amplitude = surface.amplitude(disturbance, (2.0 * off / length).min(1.0));
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

impl Stretch {
    fn length(&self) -> f64 {
        (self.ends[1] - self.ends[0]).abs()
    }
}

/// The stretches of a pass with those that read alike joined, without what lies before the first change and
/// behind the last.
fn inner(pass: &[Stretch], alike: impl Fn(&Stretch, &Stretch) -> bool) -> Vec<f64> {
    let mut lengths: Vec<f64> = Vec::new();
    for (k, stretch) in pass.iter().enumerate() {
        match lengths.last_mut().filter(|_| k > 0 && alike(&pass[k - 1], stretch)) {
            Some(length) => *length += stretch.length(),
            None => lengths.push(stretch.length()),
        }
    }
    lengths
}

fn longest(passes: &[Vec<f64>]) -> f64 {
    passes.iter().flatten().copied().fold(f64::NAN, f64::max)
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
pub(crate) fn ends(course: &Course, rises: bool) -> impl Iterator<Item = [f64; 2]> {
    let way = |up: bool| if up == rises { Direction::Forward } else { Direction::Back };
    let both = [true, false].map(|up| main_stretch(course, way(up)));
    let real = |at: f64| course.events.iter().any(|e| e.at == at);
    let pairs = match both {
        // It closes on the way up and opens on the way down at the lower end, the other way round above.
        [Some(up), Some(down)] => vec![[up[0], down[0]], [down[1], up[1]]],
        _ => Vec::new(),
    };
    pairs.into_iter().filter(move |pair| pair.iter().all(|at| real(*at)))
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

fn of_slosh(slosh: &Slosh, pick: &Pick) -> (Disturbance, f64) {
    let acceleration = pick(&slosh.acceleration);
    let disturbance = match &slosh.frequency {
        None => Disturbance::Sudden { acceleration },
        Some(frequency) => Disturbance::Swinging {
            acceleration,
            frequency: pick(frequency),
            damping: pick(&slosh.damping),
        },
    };
    (disturbance, pick(&slosh.off_middle))
}

/// Resistances put to preferred numbers keep their tolerance: what a unit is off nominal in share.
fn of_ladder(ladder: &LadderDesign, pick: &Pick) -> Ladder {
    let put = |value: &reedmace_design::Value<reedmace_units::Resistance>| {
        let (is, nominal) = (pick(value), value.si());
        match ladder.series.filter(|_| nominal > 0.0) {
            Some(series) => series.nearest(nominal) * (is / nominal),
            None => is,
        }
    };
    Ladder {
        reading: ladder.reading,
        first: put(&ladder.first),
        steps: ladder.steps.iter().map(put).collect(),
        last: ladder.last.as_ref().map_or(f64::INFINITY, put),
    }
}
