//! Plane and space vectors, views and silhouettes.

use reedmace_fields::Pose;

/// A point or direction on the page.
pub type Vec2 = [f64; 2];
/// A point or direction in space.
pub type Vec3 = [f64; 3];

/// `a + b`.
pub fn add(a: Vec2, b: Vec2) -> Vec2 {
    [a[0] + b[0], a[1] + b[1]]
}

/// `a - b`.
pub fn sub(a: Vec2, b: Vec2) -> Vec2 {
    [a[0] - b[0], a[1] - b[1]]
}

/// `a` times a number.
pub fn scaled(a: Vec2, by: f64) -> Vec2 {
    [a[0] * by, a[1] * by]
}

/// `distance` from `a` along `direction` (a unit vector).
pub fn along(a: Vec2, direction: Vec2, distance: f64) -> Vec2 {
    add(a, scaled(direction, distance))
}

/// Length.
pub fn length(a: Vec2) -> f64 {
    a[0].hypot(a[1])
}

/// Unit vector; to the right for no direction at all.
pub fn unit(a: Vec2) -> Vec2 {
    let l = length(a);
    if l < 1e-12 { [1.0, 0.0] } else { scaled(a, 1.0 / l) }
}

/// To the right-hand side of `a` on a page with y down.
pub fn normal(a: Vec2) -> Vec2 {
    [-a[1], a[0]]
}

/// Scalar product in space.
pub fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// A direction of a body, in the world.
pub fn turn(pose: &Pose, v: Vec3) -> Vec3 {
    pose.rotation.map(|row| dot(row, v))
}

/// A point of a body, in the world.
pub fn place(pose: &Pose, p: Vec3) -> Vec3 {
    let turned = turn(pose, p);
    std::array::from_fn(|i| turned[i] + pose.origin[i])
}

/// One of the body's axes, in the world.
pub fn body_axis(pose: &Pose, axis: usize) -> Vec3 {
    pose.rotation.map(|row| row[axis])
}

/// An orthographic view: where a point of space comes to lie on the page.
#[derive(Debug, Clone, Copy)]
pub struct View {
    /// World direction that runs to the right on the page.
    pub right: Vec3,
    /// World direction that runs up the page.
    pub up: Vec3,
    /// World direction towards the viewer.
    pub toward: Vec3,
    /// Page units per metre.
    pub scale: f64,
    /// Where the world's origin lies on the page.
    pub origin: Vec2,
}

const X: Vec3 = [1.0, 0.0, 0.0];
const Y: Vec3 = [0.0, 1.0, 0.0];
const Z: Vec3 = [0.0, 0.0, 1.0];

impl View {
    /// From the front: x to the right, z up.
    pub fn front() -> Self {
        Self { right: X, up: Z, toward: [0.0, -1.0, 0.0], scale: 1.0, origin: [0.0; 2] }
    }

    /// From above: x to the right, y up.
    pub fn above() -> Self {
        Self { right: X, up: Y, toward: Z, scale: 1.0, origin: [0.0; 2] }
    }

    /// From the right-hand end: y to the right, z up.
    pub fn side() -> Self {
        Self { right: Y, up: Z, toward: X, scale: 1.0, origin: [0.0; 2] }
    }

    /// A point of space on the page.
    pub fn project(&self, p: Vec3) -> Vec2 {
        add(self.origin, scaled(self.direction(p), self.scale))
    }

    /// A direction of space on the page, foreshortened, not scaled.
    pub fn direction(&self, v: Vec3) -> Vec2 {
        [dot(v, self.right), -dot(v, self.up)]
    }

    /// True for a direction that comes towards the viewer.
    pub fn comes(&self, v: Vec3) -> bool {
        dot(v, self.toward) > 0.0
    }
}

/// Left, top, right, bottom of what has been seen so far.
#[derive(Debug, Clone, Copy)]
pub struct Extent {
    /// Lowest x and y.
    pub low: Vec2,
    /// Highest x and y.
    pub high: Vec2,
}

impl Extent {
    /// Nothing yet.
    pub const EMPTY: Self = Self { low: [f64::INFINITY; 2], high: [f64::NEG_INFINITY; 2] };

    /// Grow to hold points.
    pub fn hold(&mut self, points: &[Vec2]) {
        for point in points {
            self.low = [self.low[0].min(point[0]), self.low[1].min(point[1])];
            self.high = [self.high[0].max(point[0]), self.high[1].max(point[1])];
        }
    }

    /// Width and height, zero when empty.
    pub fn size(&self) -> Vec2 {
        [0, 1].map(|axis| (self.high[axis] - self.low[axis]).max(0.0))
    }

    /// The middle; the origin when empty.
    pub fn middle(&self) -> Vec2 {
        if self.low[0] > self.high[0] {
            return [0.0; 2];
        }
        scaled(add(self.low, self.high), 0.5)
    }
}

/// The convex outline of points, counter-clockwise in the plane's own axes.
pub fn hull(points: &[Vec2]) -> Vec<Vec2> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let cross =
        |o: Vec2, a: Vec2, b: Vec2| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let half = |points: &mut dyn Iterator<Item = &Vec2>| {
        let mut chain: Vec<Vec2> = Vec::new();
        for &point in points {
            while chain.len() > 1
                && cross(chain[chain.len() - 2], chain[chain.len() - 1], point) <= 0.0
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut outline = half(&mut sorted.iter());
    outline.extend(half(&mut sorted.iter().rev()));
    outline
}

/// A circle in space, as points: about `axis` (0, 1 or 2) of a body, `offset` along it.
pub fn ring(pose: &Pose, axis: usize, offset: f64, radius: f64) -> Vec<Vec3> {
    (0..72)
        .map(|i| {
            let angle = f64::from(i) / 72.0 * std::f64::consts::TAU;
            let mut local = [0.0; 3];
            local[axis] = offset;
            local[(axis + 1) % 3] = radius * angle.cos();
            local[(axis + 2) % 3] = radius * angle.sin();
            place(pose, local)
        })
        .collect()
}
