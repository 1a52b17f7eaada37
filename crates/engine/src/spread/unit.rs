//! One unit: by the model, or on its true drive.

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
#[derive(Debug, Clone, Default)]
pub(crate) struct Walked {
    /// Coordinate where its sweep starts and ends.
    pub range: [f64; 2],
    /// Per contact.
    pub courses: Vec<Course>,
    /// The value of each figure of the design, SI; NaN where there is none.
    pub figures: Vec<f64>,
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
}

impl<'a> Evaluator<'a> {
    pub fn new(workshop: &'a Workshop, model: &'a Model) -> Self {
        let shares = model.shared().map(Shares::of);
        Self { workshop, model, told: Told::default(), shares, scratch: Scratch::default() }
    }

    /// By the model alone; with the least distance of an extreme of a drive from a level, over it.
    /// Contacts told together do to each other what they do in the nominal unit.
    pub fn told(&mut self, values: &[f64]) -> (Walked, f64) {
        self.model.tell(values, &mut self.told);
        let courses = match &self.shares {
            Some(shares) => shares.courses(&self.told.tracks, self.told.range),
            None => self.model.courses(&mut self.told),
        };
        let calls = self.told.tracks.iter().map(Track::closest_call);
        let closest = calls.fold(f64::INFINITY, f64::min);
        let figures = self.workshop.applied_at(values).figures(&courses);
        let walked = Walked { range: self.told.range, courses, figures, whole: false, off: 0.0 };
        (walked, closest)
    }

    /// A unit whose contacts are told together.
    fn together(&mut self, scene: &Scene, values: &[f64]) -> Walked {
        let courses = scene.sampled_courses(&mut self.scratch);
        let figures = self.workshop.applied_at(values).figures(&courses);
        Walked { range: scene.motion.range(), courses, figures, ..Walked::default() }
    }

    /// Every event on the true drive. What events there are the model tells, where it may be trusted;
    /// elsewhere the sweep is sampled.
    ///
    /// # Errors
    /// What the unit's scene refuses.
    pub fn exact(&mut self, values: &[f64]) -> Result<Walked, EngineError> {
        let scene = self.workshop.scene_at(values)?;
        if scene.shared.is_some() {
            return Ok(self.together(&scene, values));
        }
        self.model.tell(values, &mut self.told);
        let mut walked = Walked { range: scene.motion.range(), ..Walked::default() };
        let corners = self.told.corners().to_vec();
        for (reed, track) in self.told.tracks.iter_mut().enumerate() {
            (track.operate, track.release) = (scene.reeds[reed].operate, scene.reeds[reed].release);
            let drives = track.drive.clone();
            let mut line = Guided {
                model: self.model.line(reed, &drives, &corners),
                scene: InScene { scene: &scene, reed, scratch: &mut self.scratch },
                off: 0.0,
                lost: false,
            };
            track.sharpen_peaks(&mut line);
            let course = track.course_on(&mut line, self.model.is_periodic());
            track.each_extreme(|at, call| {
                if call < AWAY {
                    line.look(at);
                }
            });
            let off = line.off / track.operate.min(track.release);
            walked.off = walked.off.max(off);
            let trusted = !line.lost && track.closest_call() > CAUTION * off + LEAST;
            walked.courses.push(if trusted {
                course
            } else {
                walked.whole = true;
                whole(&scene, reed, &mut self.scratch)
            });
        }
        walked.figures = self.workshop.applied_at(values).figures(&walked.courses);
        self.told.forget();
        Ok(walked)
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
