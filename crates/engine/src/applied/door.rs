//! A door: the gap at its opening edge, and whether its contacts come back to what they show while it is open.

use crate::answer::{Direction, EventKind};
use crate::applied::target::room;
use crate::realise::{self, Pick};
use crate::track::Course;
use reedmace_design::Design;

/// A door at definite values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Door {
    /// The pass on which it shuts.
    shutting: Direction,
    hinge: Option<Hinge>,
}

/// What it turns about.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Hinge {
    /// Angle at which it is shut, rad.
    shut: f64,
    /// From the hinge to the opening edge, m.
    edge: f64,
}

impl Door {
    /// `None` of a design without a door.
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let door = design.door.as_ref()?;
        let hinge = door.edge.as_ref().and_then(|edge| {
            let edge = pick(edge);
            let [from, to] = realise::motion(design, pick).ok()?.range();
            Some(Hinge { shut: if door.shut_at_end { to } else { from }, edge })
        });
        let shutting = if door.shut_at_end { Direction::Forward } else { Direction::Back };
        Some(Self { shutting, hinge })
    }

    /// Adds for each contact the gap where it first operates as the door shuts, and where it last releases
    /// as the door opens, m, of a door whose edge is known; then the room of its state with the door open.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for course in courses {
            if let Some(hinge) = &self.hinge {
                let widest = |kind: EventKind, shutting: bool| {
                    let events = course.events.iter().filter(|event| {
                        event.kind == kind && (event.direction == self.shutting) == shutting
                    });
                    let opened = events.map(|event| (event.at - hinge.shut).abs());
                    opened.reduce(f64::max).map_or(f64::NAN, |angle| hinge.gap(angle))
                };
                figures.push(widest(EventKind::Operate, true));
                figures.push(widest(EventKind::Release, false));
            }
            let opens_at_start = self.shutting == Direction::Forward;
            figures.push(room(course, if opens_at_start { 0 } else { 1 }));
        }
    }
}

impl Hinge {
    /// The chord that the edge has gone over from where it rests.
    fn gap(&self, angle: f64) -> f64 {
        2.0 * self.edge * (0.5 * angle).sin().abs()
    }
}
