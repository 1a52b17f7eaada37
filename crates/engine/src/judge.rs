//! Whether one scene meets a demand, and with how much room.

use crate::answer::Direction;
use crate::track::Course;
use reedmace_design::{Demand, DemandKind, Reach};

/// How a demand stands in one scene.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Standing {
    pub met: bool,
    /// Room left, SI of the coordinate or the figure; negative when missed; infinite where there is no event to
    /// measure to. For a count of closures, minus the difference.
    pub margin: f64,
}

/// Judges `demand` on what the contacts do over the sweep's `range`, and on the design's figures.
pub(crate) fn judge(
    demand: &Demand,
    courses: &[Course],
    range: [f64; 2],
    figures: &[f64],
) -> Standing {
    let course = || &courses[demand.contact.expect("a demand of events is about a contact")];
    match &demand.kind {
        DemandKind::Closed(reach) => closed(limits(reach), course(), range),
        DemandKind::Open(reach) => open(limits(reach), course(), range),
        DemandKind::Closures(wanted) => {
            let found = course().closures(Direction::Forward);
            let margin = 0.0 - (found as f64 - f64::from(*wanted)).abs();
            Standing { met: margin == 0.0, margin }
        }
        DemandKind::Figure(k, reach) => inside(limits(reach), figures[*k]),
    }
}

/// A figure in the region: the room is the distance to its nearer end. One that is not told misses it.
fn inside(region: [f64; 2], figure: f64) -> Standing {
    if figure.is_nan() {
        return Standing { met: false, margin: f64::NEG_INFINITY };
    }
    let margin = (figure - region[0]).min(region[1] - figure);
    Standing { met: margin >= 0.0, margin }
}

/// Closed everywhere in the region on both passes: the room is what the region could grow by.
fn closed(region: [f64; 2], course: &Course, range: [f64; 2]) -> Standing {
    let of_pass = |direction: Direction| {
        let room = |[from, to]: [f64; 2]| (region[0] - from).min(to - region[1]);
        intervals(course, direction, range).map(room).fold(f64::NEG_INFINITY, f64::max)
    };
    let margin = of_pass(Direction::Forward).min(of_pass(Direction::Back));
    Standing { met: margin >= 0.0, margin }
}

/// Open everywhere in the region on both passes: the room is the distance to the nearest closed
/// place.
fn open(region: [f64; 2], course: &Course, range: [f64; 2]) -> Standing {
    let distance = |[from, to]: [f64; 2]| (from - region[1]).max(region[0] - to);
    let margin = [Direction::Forward, Direction::Back]
        .into_iter()
        .flat_map(|direction| intervals(course, direction, range))
        .map(distance)
        .fold(f64::INFINITY, f64::min);
    Standing { met: margin > 0.0, margin }
}

/// Closed intervals of a pass, lower end first. An end of the sweep is no event: beyond it the
/// interval goes on as far as anyone asks.
fn intervals(
    course: &Course,
    direction: Direction,
    range: [f64; 2],
) -> impl Iterator<Item = [f64; 2]> {
    let (lo, hi) = (range[0].min(range[1]), range[0].max(range[1]));
    // The ends of a pass are computed, and may miss the stated ones by a rounding.
    let slack = 1e-9 * (hi - lo);
    let (lo, hi) = (lo + slack, hi - slack);
    let of_pass = course.closed.iter().filter(move |(d, _)| *d == direction);
    of_pass.map(move |(_, [a, b])| {
        let (from, to) = (a.min(*b), a.max(*b));
        [if from <= lo { f64::MIN / 4.0 } else { from }, if to >= hi { f64::MAX / 4.0 } else { to }]
    })
}

/// Lower and upper end of a demand's region, SI; very large where it has no end.
fn limits(reach: &Reach) -> [f64; 2] {
    [reach.low.max(f64::MIN / 8.0), reach.high.min(f64::MAX / 8.0)]
}

impl Standing {
    /// The room, where there is an event to measure it to.
    pub fn room(&self) -> Option<f64> {
        (self.margin.abs() < f64::MAX / 1e3).then_some(self.margin)
    }
}
