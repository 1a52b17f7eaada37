//! How far apart a contact operates and releases.

use super::level::ends;
use crate::answer::EventKind;
use crate::motion::Motion;
use crate::realise::{self, Pick};
use crate::track::Course;
use reedmace_design::{Design, Sweep};

/// What tells the differentials of all contacts.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) enum Differentials {
    /// None are told.
    #[default]
    Not,
    /// As a difference alone.
    Along,
    /// Also as a ratio of distances from what moves, its `at` point, to the middles of the contacts.
    Approach { motion: Motion, at: [f64; 3], middles: Vec<[f64; 3]> },
}

impl Differentials {
    pub fn of(design: &Design, pick: &Pick) -> Self {
        match design.sweep {
            Sweep::Table(_) | Sweep::Spin(_) => Self::Not,
            Sweep::Arc(_) | Sweep::Current(_) | Sweep::Voltage(_) => Self::Along,
            Sweep::Line(_) | Sweep::Level(_) => match realise::motion(design, pick) {
                Ok(motion) => Self::Approach {
                    motion,
                    at: realise::anchor(design, realise::moving(&design.sweep), pick),
                    middles: design.contacts.iter().map(|c| realise::middle(c, pick)).collect(),
                },
                // A float that sinks.
                Err(_) => Self::Along,
            },
        }
    }

    /// Adds the difference and, of an approach, the ratio of each contact.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for (k, course) in courses.iter().enumerate() {
            match self {
                Self::Not => (),
                Self::Along => figures.push(difference(only_pair(course))),
                Self::Approach { motion, at, middles } => {
                    let pair = match motion {
                        Motion::Level { range, .. } => nearest_pair(course, range[1] > range[0]),
                        _ => only_pair(course),
                    };
                    let distances = pair.map(|pair| {
                        pair.map(|c| {
                            let at = motion.world_from_rest(c).apply(*at);
                            (0..3).map(|i| (at[i] - middles[k][i]).powi(2)).sum::<f64>().sqrt()
                        })
                    });
                    let nearer = distances.filter(|[operate, release]| operate < release);
                    figures.push(difference(pair));
                    figures.push(nearer.map_or(f64::NAN, |[operate, release]| operate / release));
                }
            }
        }
    }
}

fn difference(pair: Option<[f64; 2]>) -> f64 {
    pair.map_or(f64::NAN, |[operate, release]| (operate - release).abs())
}

/// Operate and release of the main lobe, where it has one of each over both passes.
fn only_pair(course: &Course) -> Option<[f64; 2]> {
    let main = course.main_lobe();
    let only = |kind: EventKind| {
        let mut events = course.events.iter().filter(|e| Some(e.lobe) == main && e.kind == kind);
        events.next().filter(|_| events.next().is_none()).map(|e| e.at)
    };
    Some([only(EventKind::Operate)?, only(EventKind::Release)?])
}

/// Operate and release at that end of the main lobe at which they are nearest to each other.
fn nearest_pair(course: &Course, rises: bool) -> Option<[f64; 2]> {
    let size = |[a, b]: &[f64; 2]| (a - b).abs();
    ends(course, rises).into_iter().flatten().min_by(|a, b| size(a).total_cmp(&size(b)))
}
