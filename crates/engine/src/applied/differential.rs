//! How far apart a contact operates and releases.

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
    /// Also as a ratio of distances from what moves, along this line, to the middles of the contacts.
    Approach { motion: Motion, middles: Vec<[f64; 3]> },
}

impl Differentials {
    pub fn of(design: &Design, pick: &Pick) -> Self {
        match design.sweep {
            Sweep::Table(_) | Sweep::Spin(_) => Self::Not,
            Sweep::Arc(_) | Sweep::Level(_) | Sweep::Current(_) | Sweep::Voltage(_) => Self::Along,
            Sweep::Line(_) => Self::Approach {
                motion: realise::motion(design, pick).expect("a line goes somewhere"),
                middles: design.contacts.iter().map(|c| realise::middle(c, pick)).collect(),
            },
        }
    }

    /// Adds the difference and, of an approach, the ratio of each contact.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for (k, course) in courses.iter().enumerate() {
            let pair = only_pair(course);
            match self {
                Self::Not => (),
                Self::Along => figures.push(pair.map_or(f64::NAN, |[a, b]| (a - b).abs())),
                Self::Approach { motion, middles } => {
                    figures.push(pair.map_or(f64::NAN, |[a, b]| (a - b).abs()));
                    let ratio = pair.and_then(|pair| approach(motion, &middles[k], pair));
                    figures.push(ratio.unwrap_or(f64::NAN));
                }
            }
        }
    }
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

/// Distance at operate over distance at release, from what moves to the contact's middle, where it
/// operates nearer than it releases.
fn approach(motion: &Motion, middle: &[f64; 3], pair: [f64; 2]) -> Option<f64> {
    let Motion::Line { anchor, .. } = motion else { return None };
    let [operate, release] = pair.map(|c| {
        let at = motion.world_from_rest(c).apply(*anchor);
        (0..3).map(|i| (at[i] - middle[i]).powi(2)).sum::<f64>().sqrt()
    });
    (operate < release).then(|| operate / release)
}
