//! One unit: by the model, or on its true drive.

use crate::applied::Applied;
use crate::error::EngineError;
use crate::realise::Workshop;
use crate::scene::{Drive, Scene};
use crate::shared::Shares;
use crate::solved::State;
use crate::spread::model::{Model, Told, ToldLine};
use crate::track::{Course, InScene, Line, Sample, Track};
use reedmace_contact::Scratch;

/// How many times further than the model was off at any place looked at an extreme of the drive must
/// keep from a level, for the model to be trusted that it does not reach it.
pub(crate) const CAUTION: f64 = 5.0;
/// The same that it must keep however well the model was met, over the level.
pub(crate) const LEAST: f64 = 1e-6;
/// An extreme this far from its level, over it, is not looked at.
const AWAY: f64 = 0.5;
/// A slope by the model is good to this share: the error left after a step along it.
const SLOPE: f64 = 1e-2;
/// Steps to an event on the true drive at most.
const STEPS: usize = 6;

/// What one unit does.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Walked<'a> {
    /// Coordinate where its sweep starts and ends.
    pub range: [f64; 2],
    /// Per contact.
    pub courses: &'a [Course],
    /// The value of each figure of the design, SI; NaN where there is none.
    pub figures: &'a [f64],
    /// True where some contact had to be swept without the model's help.
    pub whole: bool,
    /// Furthest that the model's drive was off where it was looked at, over the level.
    pub off: f64,
}

/// Evaluates units one after the other.
pub(crate) struct Evaluator<'a> {
    workshop: &'a Workshop,
    model: &'a Model,
    told: Told,
    shares: Option<Shares>,
    scratch: Scratch,
    /// What the applications ask of the unit last evaluated, and what they are there.
    asked: Vec<f64>,
    applied: Applied,
    /// Of the unit last evaluated; courses only where the model does not keep them.
    courses: Vec<Course>,
    figures: Vec<f64>,
}

impl<'a> Evaluator<'a> {
    pub fn new(workshop: &'a Workshop, model: &'a Model) -> Self {
        let nominal = workshop.nominal_values();
        Self {
            workshop,
            model,
            told: Told::default(),
            shares: model.shared().map(Shares::of),
            scratch: Scratch::default(),
            asked: workshop.asked_by_applications.iter().map(|v| nominal[*v]).collect(),
            applied: workshop.applied_at(&nominal),
            courses: Vec::new(),
            figures: Vec::new(),
        }
    }

    /// By the model alone; with the least distance of an extreme of a drive from a level, over it.
    /// Contacts told together do to each other what they do in the nominal unit.
    pub fn told(&mut self, values: &[f64]) -> (Walked<'_>, f64) {
        self.model.tell(values, &mut self.told);
        self.walked(values)
    }

    /// Lets the model look at some units that are to be told next: as many as it takes together, each its
    /// variables' values.
    pub fn foresee(&mut self, units: &[&[f64]]) {
        self.model.foresee(units, &mut self.told);
    }

    /// As [`Self::told`], of unit k of those foreseen.
    pub fn told_foreseen(&mut self, k: usize, values: &[f64]) -> (Walked<'_>, f64) {
        self.model.tell_foreseen(k, &mut self.told);
        self.walked(values)
    }

    fn walked(&mut self, values: &[f64]) -> (Walked<'_>, f64) {
        self.apply(values);
        let (courses, closest) = match &self.shares {
            Some(shares) => {
                self.courses = shares.courses(&self.told.tracks, self.told.range);
                let calls = self.told.tracks.iter().map(Track::closest_call);
                (&self.courses, calls.fold(f64::INFINITY, f64::min))
            }
            None => {
                let closest = self.model.walk(&mut self.told);
                (&self.told.courses, closest)
            }
        };
        self.applied.figures(courses, &mut self.figures);
        let range = self.told.range;
        (Walked { range, courses, figures: &self.figures, whole: false, off: 0.0 }, closest)
    }

    /// Makes the applications those of a unit, if they are not.
    fn apply(&mut self, values: &[f64]) {
        let asked = || self.workshop.asked_by_applications.iter().map(|v| values[*v]);
        if asked().ne(self.asked.iter().copied()) {
            self.applied = self.workshop.applied_at(values);
            self.asked.clear();
            self.asked.extend(asked());
        }
    }

    /// Every event on the true drive. What events there are the model tells, where it may be trusted;
    /// elsewhere the sweep is sampled.
    ///
    /// # Errors
    /// What the unit's scene refuses.
    pub fn exact(&mut self, values: &[f64]) -> Result<Walked<'_>, EngineError> {
        let scene = self.workshop.scene_at(values)?;
        let (whole, off) = match scene.shared {
            Some(_) => {
                self.courses = scene.sampled_courses(&mut self.scratch);
                (false, 0.0)
            }
            None => self.guided(&scene, values),
        };
        self.apply(values);
        self.applied.figures(&self.courses, &mut self.figures);
        let range = scene.motion.range();
        Ok(Walked { range, courses: &self.courses, figures: &self.figures, whole, off })
    }

    /// Walks every contact with the model to guide it; whether some had to be swept without its help, and
    /// furthest that it was off, over the level.
    fn guided(&mut self, scene: &Scene, values: &[f64]) -> (bool, f64) {
        self.model.tell(values, &mut self.told);
        let (mut any_whole, mut furthest) = (false, 0.0_f64);
        self.courses.resize(self.told.tracks.len(), Course::default());
        for (reed, course) in self.courses.iter_mut().enumerate() {
            let track = &mut self.told.tracks[reed];
            (track.operate, track.release) = (scene.reeds[reed].operate, scene.reeds[reed].release);
            let nodal = track.clone();
            let mut line = Guided {
                model: self.model.line(reed, &nodal),
                scene: InScene { scene, reed, scratch: &mut self.scratch },
                off: 0.0,
                lost: false,
            };
            track.sharpen_peaks(&mut line);
            track.course_on(&mut line, self.model.is_periodic(), course);
            track.each_extreme(|at, call| {
                if call < AWAY {
                    line.look(at);
                }
            });
            let off = line.off / track.operate.min(track.release);
            furthest = furthest.max(off);
            if line.lost || track.closest_call() <= CAUTION * off + LEAST {
                any_whole = true;
                *course = whole(scene, reed, &mut self.scratch);
            }
        }
        self.told.forget();
        (any_whole, furthest)
    }
}

/// A contact's course on samples of its true drive.
pub(crate) fn whole(scene: &Scene, reed: usize, scratch: &mut Scratch) -> Course {
    Track::new(scene, reed, scratch).course(scene, reed, scratch)
}

/// The true drive, found by way of the model.
struct Guided<'a> {
    model: ToldLine<'a>,
    scene: InScene<'a>,
    /// Furthest that the model was off so far, T.
    off: f64,
    /// The model did not lead to an event.
    lost: bool,
}

impl Guided<'_> {
    /// Compares at a coordinate; the true drive.
    fn look(&mut self, at: f64) -> Drive {
        let (told, exact) = (self.model.drive(at), self.scene.drive(at));
        let off = (told.open - exact.open).abs().max((told.closed - exact.closed).abs());
        self.off = self.off.max(off);
        exact
    }
}

impl Line for Guided<'_> {
    fn drive(&mut self, at: f64) -> Drive {
        self.model.drive(at)
    }

    fn crossing(&mut self, state: State, level: f64, ends: [Sample; 2], tolerance: f64) -> f64 {
        let mut at = self.model.crossing(state, level, ends, tolerance);
        let mut slope = self.model.slope(at, state);
        let mut error = self.look(at).of(state) - level;
        let reach = (ends[1].0 - ends[0].0).abs();
        for _ in 0..STEPS {
            let step = -error / slope;
            if step.is_nan() || step.abs() >= reach {
                break;
            }
            at += step;
            if SLOPE * step.abs() <= tolerance {
                return at;
            }
            let before = error;
            error = self.scene.drive(at).of(state) - level;
            if error == 0.0 {
                return at;
            }
            slope = (error - before) / step;
        }
        self.lost = true;
        at
    }
}
