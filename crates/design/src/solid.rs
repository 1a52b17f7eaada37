//! Where the bodies of a design are at their nominal values, as far as it takes to see that two of
//! them cannot be in the same place.

use crate::model::{Circle, Contact, Magnet, Position, Shape, Tilt};
use crate::steel::{Steel, SteelBox, SteelShape};
use crate::value::Value;
use reedmace_units::Length;

/// Boxes nearer than this touch, m.
const TOUCHING: f64 = 1e-6;
/// Points along the thinner of two bodies at which they are compared.
const THROUGH_THINNER: f64 = 3.0;
/// Most points along one side of a body.
const MOST_POINTS: usize = 48;

/// A body in its own frame.
#[derive(Clone)]
pub(crate) enum Form {
    /// Boxes: centre and half sides of each.
    Boxes(Vec<[[f64; 3]; 2]>),
    /// Round about z: half length, outer and inner radius.
    Round { half_length: f64, outer: f64, inner: f64 },
    /// A ball.
    Ball { radius: f64 },
}

/// A body in the world.
pub(crate) struct Solid {
    form: Form,
    /// Columns are the body's axes in the world.
    world_from_body: [[f64; 3]; 3],
    centre: [f64; 3],
}

impl Solid {
    /// The body of a magnet.
    pub fn of_magnet(magnet: &Magnet) -> Self {
        let (form, upright) = match &magnet.shape {
            Shape::Cuboid { size } => (cuboid(size), None),
            Shape::Sphere { diameter } => (Form::Ball { radius: half(diameter) }, None),
            Shape::Cylinder { diameter, length } => {
                (round(length, diameter, None), Some(magnet.axis))
            }
            Shape::Ring { outer_diameter, inner_diameter, length } => {
                (round(length, outer_diameter, Some(inner_diameter)), Some(magnet.axis))
            }
        };
        let solid = Self::new(form, upright, &magnet.rotate, &magnet.at);
        match &magnet.circle {
            Some(circle) => solid.on(circle),
            None => solid,
        }
    }

    /// The same at its place on a circle round where it is.
    fn on(&self, circle: &Circle) -> Self {
        let angle = circle.turned(circle.angle.si());
        let turn = |v: [f64; 3]| turned(v, circle.axis, angle);
        let out = turn(circle.first);
        let (radius, height) = (circle.radius.si(), circle.height.si());
        let centre = |i: usize| self.centre[i] + radius * out[i] + height * circle.axis[i];
        Self {
            form: self.form.clone(),
            world_from_body: self.world_from_body.map(turn),
            centre: std::array::from_fn(centre),
        }
    }

    /// The body of a piece of steel; `None` for a mesh.
    pub fn of_steel(steel: &Steel) -> Option<Self> {
        let (form, upright) = match &steel.shape {
            SteelShape::Cuboid { size } => (cuboid(size), None),
            SteelShape::Sphere { diameter } => (Form::Ball { radius: half(diameter) }, None),
            SteelShape::Cylinder { diameter, length } => {
                (round(length, diameter, None), Some(steel.axis))
            }
            SteelShape::Tube { outer_diameter, inner_diameter, length } => {
                (round(length, outer_diameter, Some(inner_diameter)), Some(steel.axis))
            }
            SteelShape::Boxes { boxes } => (Form::Boxes(boxes.iter().map(extent).collect()), None),
            SteelShape::Mesh { .. } => return None,
        };
        Some(Self::new(form, upright, &steel.rotate, &steel.at))
    }

    /// The leads of a contact from tip to tip, and its glass if known.
    pub fn of_contact(contact: &Contact) -> Vec<Self> {
        let glass = contact.glass_length.as_ref().zip(contact.glass_diameter.as_ref());
        [Some((&contact.overall_length, &contact.lead_diameter)), glass]
            .into_iter()
            .flatten()
            .map(|(length, diameter)| {
                let form = round(length, diameter, None);
                let centre = contact.centre();
                Self { centre, ..Self::new(form, Some(contact.axis), &contact.rotate, &contact.at) }
            })
            .collect()
    }

    fn new(form: Form, upright: Option<[f64; 3]>, rotate: &Tilt, at: &Position) -> Self {
        let axes = upright.map_or([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], about);
        let angles = [0, 1, 2].map(|k| rotate[k].si());
        Self { form, world_from_body: axes.map(|axis| tilted(axis, angles)), centre: si(at) }
    }

    /// True when some point is clearly inside both.
    pub fn meets(&self, other: &Self) -> bool {
        let step = self.thinness().min(other.thinness()) / THROUGH_THINNER;
        self.points(step).any(|point| other.holds(point))
            || other.points(step).any(|point| self.holds(point))
    }

    /// Least extent of its bounding box.
    fn thinness(&self) -> f64 {
        match &self.form {
            Form::Boxes(boxes) => {
                boxes.iter().flat_map(|[_, half]| half).fold(f64::INFINITY, |a, h| a.min(2.0 * h))
            }
            Form::Round { half_length, outer, .. } => 2.0 * half_length.min(*outer),
            Form::Ball { radius } => 2.0 * radius,
        }
    }

    /// Points inside it about `step` apart, none on its surface, in the world.
    fn points(&self, step: f64) -> impl Iterator<Item = [f64; 3]> {
        let boxes = match &self.form {
            Form::Boxes(boxes) => boxes.clone(),
            Form::Round { half_length, outer, .. } => {
                vec![[[0.0; 3], [*outer, *outer, *half_length]]]
            }
            Form::Ball { radius } => vec![[[0.0; 3], [*radius; 3]]],
        };
        let count = move |half: f64| ((2.0 * half / step).ceil() as usize).clamp(3, MOST_POINTS);
        let grid = boxes.into_iter().flat_map(move |[centre, half]| {
            let counts = half.map(count);
            let along = move |axis: usize, k: usize| {
                let share = (2 * k + 1) as f64 / counts[axis] as f64 - 1.0;
                centre[axis] + half[axis] * share
            };
            (0..counts[0] * counts[1] * counts[2]).map(move |index| {
                let (i, rest) = (index % counts[0], index / counts[0]);
                [along(0, i), along(1, rest % counts[1]), along(2, rest / counts[1])]
            })
        });
        grid.filter(|point| self.holds_own(*point)).map(|point| self.in_world(point))
    }

    fn holds(&self, point: [f64; 3]) -> bool {
        let from = [0, 1, 2].map(|k| point[k] - self.centre[k]);
        self.holds_own(self.world_from_body.map(|axis| dot(axis, from)))
    }

    fn holds_own(&self, [x, y, z]: [f64; 3]) -> bool {
        match &self.form {
            Form::Boxes(boxes) => boxes.iter().any(|[centre, half]| {
                [x, y, z].iter().zip(centre).zip(half).all(|((p, c), h)| (p - c).abs() < *h)
            }),
            Form::Round { half_length, outer, inner } => {
                let radius = x.hypot(y);
                z.abs() < *half_length && radius < *outer && radius >= *inner
            }
            Form::Ball { radius } => dot([x, y, z], [x, y, z]) < radius * radius,
        }
    }

    fn in_world(&self, point: [f64; 3]) -> [f64; 3] {
        let part =
            |k: usize| (0..3).map(|axis| self.world_from_body[axis][k] * point[axis]).sum::<f64>();
        [0, 1, 2].map(|k| self.centre[k] + part(k))
    }
}

/// The first box that neither touches nor overlaps, even by way of others, the first one; at nominal.
pub(crate) fn boxes_hang_together(boxes: &[SteelBox]) -> Option<usize> {
    let extents: Vec<[[f64; 3]; 2]> = boxes.iter().map(extent).collect();
    let touch = |[a, half_a]: &[[f64; 3]; 2], [b, half_b]: &[[f64; 3]; 2]| {
        (0..3).all(|k| (a[k] - b[k]).abs() <= half_a[k] + half_b[k] + TOUCHING)
    };
    let mut reached = vec![false; extents.len()];
    let mut open = vec![0];
    while let Some(one) = open.pop() {
        if !std::mem::replace(&mut reached[one], true) {
            open.extend((0..extents.len()).filter(|&k| touch(&extents[one], &extents[k])));
        }
    }
    reached.iter().position(|reached| !reached)
}

fn extent(one: &SteelBox) -> [[f64; 3]; 2] {
    [si(&one.at), [0, 1, 2].map(|k| half(&one.size[k]))]
}

fn cuboid(size: &[Value<Length>; 3]) -> Form {
    Form::Boxes(vec![[[0.0; 3], [0, 1, 2].map(|k| half(&size[k]))]])
}

fn round(length: &Value<Length>, outer: &Value<Length>, inner: Option<&Value<Length>>) -> Form {
    Form::Round { half_length: half(length), outer: half(outer), inner: inner.map_or(0.0, half) }
}

fn half(length: &Value<Length>) -> f64 {
    0.5 * length.si()
}

fn si(position: &Position) -> [f64; 3] {
    [0, 1, 2].map(|k| position[k].si())
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Axes of a frame whose z is `axis`; which way x points does not matter to what is round.
fn about(axis: [f64; 3]) -> [[f64; 3]; 3] {
    let least = (0..3).fold(0, |a, b| if axis[b].abs() < axis[a].abs() { b } else { a });
    let mut other = [0.0; 3];
    other[least] = 1.0;
    let x = cross(other, axis);
    let length = dot(x, x).sqrt();
    let x = x.map(|part| part / length);
    [x, cross(axis, x), axis]
}

/// Turned about an axis through the origin, a unit vector.
fn turned(vector: [f64; 3], axis: [f64; 3], angle: f64) -> [f64; 3] {
    let (sin, cos) = angle.sin_cos();
    let (along, across) = (dot(vector, axis), cross(axis, vector));
    std::array::from_fn(|i| cos * vector[i] + sin * across[i] + (1.0 - cos) * along * axis[i])
}

/// Turned about the world's x, then y, then z.
fn tilted(mut vector: [f64; 3], angles: [f64; 3]) -> [f64; 3] {
    for (axis, angle) in angles.into_iter().enumerate() {
        let (sin, cos) = angle.sin_cos();
        let (j, k) = ((axis + 1) % 3, (axis + 2) % 3);
        (vector[j], vector[k]) =
            (cos * vector[j] - sin * vector[k], sin * vector[j] + cos * vector[k]);
    }
    vector
}
