//! How far off a contact and its own magnet see steel that comes along a line.

use crate::answer::Direction;
use crate::realise::{self, Pick};
use crate::steel;
use crate::track::Course;
use reedmace_design::Design;
use reedmace_fields::Pose;
use reedmace_fields::steel::SteelShape;

/// A steel target on its way, at definite values.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sensed {
    /// Where the sweep starts and ends.
    range: [f64; 2],
    /// Way of the target over that, m.
    length: f64,
    /// How far its leading face is from where distances are told from, where the sweep starts, of each
    /// contact, m.
    start: Vec<f64>,
}

impl Sensed {
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let target = design.target.as_ref()?;
        let motion = realise::motion(design, pick).expect("a line goes somewhere");
        let piece = steel::piece(&design.steel[target.steel], pick);
        let rest = piece.body.world_from_body;
        let face = target.face.as_ref().map(|face| [0, 1, 2].map(|i| pick(&face[i])));
        let range = motion.range();
        let [from, to] = range.map(|c| motion.world_from_rest(c).apply(rest.origin));
        let (direction, length) = way(from, to);
        let leading = dot(from, direction) + ahead(&piece.body.shape, &rest, direction);
        let start = design.contacts.iter().map(|contact| {
            let seen_from = face.unwrap_or_else(|| realise::middle(contact, pick));
            dot(seen_from, direction) - leading
        });
        Some(Self { range, length, start: start.collect() })
    }

    /// How far the leading face is from where distances are told from at a coordinate, m.
    pub fn distance(&self, contact: usize, coordinate: f64) -> f64 {
        self.start[contact] - self.gone(coordinate)
    }

    /// How far the target has come since the start, m.
    pub fn gone(&self, coordinate: f64) -> f64 {
        let [from, to] = self.range;
        self.length * (coordinate - from) / (to - from)
    }

    /// Adds for each contact the distances at which it changes as the target comes, and changes back as it
    /// goes, m, and the room of its state at both ends of the sweep.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for (contact, course) in courses.iter().enumerate() {
            let [seen, gone] = changes(course);
            let distance = |at: Option<f64>| at.map_or(f64::NAN, |at| self.distance(contact, at));
            figures.extend([distance(seen), distance(gone)]);
            figures.extend([0, 1].map(|end| room(course, end)));
        }
    }
}

/// Coordinates of the first event of the forward pass and the last of the pass back.
pub(crate) fn changes(course: &Course) -> [Option<f64>; 2] {
    let of = |direction: Direction| {
        course.events.iter().filter(move |event| event.direction == direction).map(|e| e.at)
    };
    [of(Direction::Forward).next(), of(Direction::Back).next_back()]
}

/// How far the drive at the start or the end (0 or 1) of the sweep lies beyond what the contact's state there
/// needs: of one that has operated above operate, of another one below release.
pub(crate) fn room(course: &Course, end: usize) -> f64 {
    let [over_operate, over_release] = course.ends[end];
    let operated = if end == 0 { course.operated_at_start() } else { course.operated_at_end() };
    if operated { over_operate.abs() - 1.0 } else { 1.0 - over_release.abs() }
}

/// Direction and length of a straight way.
pub(crate) fn way(from: [f64; 3], to: [f64; 3]) -> ([f64; 3], f64) {
    let along = [0, 1, 2].map(|i| to[i] - from[i]);
    let length = dot(along, along).sqrt();
    (along.map(|v| v / length), length)
}

/// How far a body of steel reaches from its origin in a direction of the world, m.
pub(crate) fn ahead(shape: &SteelShape, world_from_body: &Pose, direction: [f64; 3]) -> f64 {
    let r = &world_from_body.rotation;
    let d: [f64; 3] = std::array::from_fn(|k| (0..3).map(|i| r[i][k] * direction[i]).sum::<f64>());
    let round =
        |radius: f64, half_length: f64| radius * d[0].hypot(d[1]) + half_length * d[2].abs();
    match shape {
        SteelShape::Cuboid { half_size } => (0..3).map(|k| half_size[k] * d[k].abs()).sum(),
        SteelShape::Cylinder { radius, half_length } => round(*radius, *half_length),
        SteelShape::Tube { outer_radius, half_length, .. } => round(*outer_radius, *half_length),
        SteelShape::Sphere { radius } => *radius,
        SteelShape::Boxes { boxes } => {
            let far = |k: usize, low: f64, high: f64| (low * d[k]).max(high * d[k]);
            let reach = boxes.iter().map(|b| (0..3).map(|k| far(k, b.low[k], b.high[k])).sum());
            reach.fold(f64::NEG_INFINITY, f64::max)
        }
        SteelShape::Mesh { triangles } => {
            triangles.iter().flatten().map(|p| dot(*p, d)).fold(f64::NEG_INFINITY, f64::max)
        }
    }
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}
