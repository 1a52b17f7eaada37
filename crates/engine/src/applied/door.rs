//! The gap at the opening edge of a door on a hinge.

use crate::answer::{Direction, EventKind};
use crate::realise::{self, Pick};
use crate::track::Course;
use reedmace_design::Design;

/// A door on a hinge at definite values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hinged {
    /// Angle at which it is shut, rad.
    shut: f64,
    /// From the hinge to the opening edge, m.
    edge: f64,
    /// The pass on which it shuts.
    shutting: Direction,
}

impl Hinged {
    /// `None` of a design without a door, or without its edge.
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let door = design.door.as_ref()?;
        let edge = pick(door.edge.as_ref()?);
        let [from, to] = realise::motion(design, pick).ok()?.range();
        Some(match door.shut_at_end {
            true => Self { shut: to, edge, shutting: Direction::Forward },
            false => Self { shut: from, edge, shutting: Direction::Back },
        })
    }

    /// Adds for each contact the gap where it first operates as the door shuts, and where it last releases
    /// as the door opens, m.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for course in courses {
            let widest = |kind: EventKind, shutting: bool| {
                let events = course.events.iter().filter(|event| {
                    event.kind == kind && (event.direction == self.shutting) == shutting
                });
                let opened = events.map(|event| (event.at - self.shut).abs());
                opened.reduce(f64::max).map_or(f64::NAN, |angle| self.gap(angle))
            };
            figures.push(widest(EventKind::Operate, true));
            figures.push(widest(EventKind::Release, false));
        }
    }

    /// The chord that the edge has gone over from where it rests.
    fn gap(&self, angle: f64) -> f64 {
        2.0 * self.edge * (0.5 * angle).sin().abs()
    }
}
