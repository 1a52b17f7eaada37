//! Where a source is: a rotation and an origin.

use std::ops::Mul;

/// `world = rotation · body + origin`; rows of `rotation` are world axes.
///
/// Name a pose by both its ends, `world_from_body`, so that products read off:
/// `world_from_magnet = world_from_float * float_from_magnet`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Rotation matrix, `rotation[row][column]`, orthonormal, determinant +1.
    pub rotation: [[f64; 3]; 3],
    /// The body frame's origin in the world, m.
    pub origin: [f64; 3],
}

impl Pose {
    /// Body frame and world are the same.
    pub const IDENTITY: Self =
        Self { rotation: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], origin: [0.0; 3] };

    /// No rotation, origin at `origin` (m).
    pub fn translation(origin: [f64; 3]) -> Self {
        Self { origin, ..Self::IDENTITY }
    }

    /// A turn of `angle` radians, right-handed about `axis` through the world's origin.
    ///
    /// `axis` need not have unit length; a zero axis turns nothing. Rodrigues' formula.
    pub fn rotation_about(axis: [f64; 3], angle: f64) -> Self {
        let Some([x, y, z]) = unit(axis) else { return Self::IDENTITY };
        let (s, c) = angle.sin_cos();
        // 1 − cos without cancellation for small angles.
        let t = 2.0 * (0.5 * angle).sin().powi(2);
        let rotation = [
            [t * x * x + c, t * x * y - s * z, t * x * z + s * y],
            [t * x * y + s * z, t * y * y + c, t * y * z - s * x],
            [t * x * z - s * y, t * y * z + s * x, t * z * z + c],
        ];
        Self { rotation, origin: [0.0; 3] }
    }

    /// A turn of `angle` radians about the line through `point` (m) along `axis`.
    pub fn rotation_about_line(point: [f64; 3], axis: [f64; 3], angle: f64) -> Self {
        let turn = Self::rotation_about(axis, angle);
        let moved = turn.apply_to_vector(point);
        Self { origin: [point[0] - moved[0], point[1] - moved[1], point[2] - moved[2]], ..turn }
    }

    /// The body's z axis along `axis` and its x axis as near to `normal` as that allows.
    ///
    /// `None` when `axis` is zero or `normal` is parallel to it.
    pub fn from_z_and_x(origin: [f64; 3], axis: [f64; 3], normal: [f64; 3]) -> Option<Self> {
        let z = unit(axis)?;
        let n = unit(normal)?;
        let along = dot(n, z);
        let x = [n[0] - along * z[0], n[1] - along * z[1], n[2] - along * z[2]];
        if dot(x, x) < 1e-20 {
            return None;
        }
        let x = unit(x)?;
        Some(Self::from_body_axes(origin, x, cross(z, x), z))
    }

    /// The body's x axis along `axis` and its z axis as near to `normal` as that allows.
    ///
    /// `None` when `axis` is zero or `normal` is parallel to it.
    pub fn from_axis_and_normal(
        origin: [f64; 3],
        axis: [f64; 3],
        normal: [f64; 3],
    ) -> Option<Self> {
        let x = unit(axis)?;
        let turned = Self::from_z_and_x(origin, axis, normal)?;
        // Cycle (z, x, y) into (x, z, -y): the same two directions under the other names.
        let z = turned.body_axis(0);
        Some(Self::from_body_axes(origin, x, cross(z, x), z))
    }

    /// The body's z axis along `axis`, turned about it in some definite way.
    ///
    /// For bodies round about z. `None` when `axis` is zero.
    pub fn from_z(origin: [f64; 3], axis: [f64; 3]) -> Option<Self> {
        let [x, y, z] = unit(axis)?;
        // The world axis least along `axis` serves as the reference for x.
        let smallest = x.abs().min(y.abs()).min(z.abs());
        let reference = if x.abs() == smallest {
            [1.0, 0.0, 0.0]
        } else if y.abs() == smallest {
            [0.0, 1.0, 0.0]
        } else {
            [0.0, 0.0, 1.0]
        };
        Self::from_z_and_x(origin, axis, reference)
    }

    /// From the body's three unit axes, given in the world.
    fn from_body_axes(origin: [f64; 3], x: [f64; 3], y: [f64; 3], z: [f64; 3]) -> Self {
        let rotation = std::array::from_fn(|row| [x[row], y[row], z[row]]);
        Self { rotation, origin }
    }

    /// The body's axis 0, 1 or 2 (x, y, z) as a unit vector in the world.
    pub fn body_axis(&self, index: usize) -> [f64; 3] {
        std::array::from_fn(|row| self.rotation[row][index])
    }

    /// A point of the body, in the world (m).
    pub fn apply(&self, point_in_body: [f64; 3]) -> [f64; 3] {
        let turned = self.apply_to_vector(point_in_body);
        std::array::from_fn(|i| turned[i] + self.origin[i])
    }

    /// A direction or field of the body, in the world.
    pub fn apply_to_vector(&self, vector_in_body: [f64; 3]) -> [f64; 3] {
        std::array::from_fn(|row| dot(self.rotation[row], vector_in_body))
    }

    /// A world point, in the body (m): the inverse of [`Pose::apply`].
    pub fn apply_inverse(&self, point_in_world: [f64; 3]) -> [f64; 3] {
        self.apply_inverse_to_vector(std::array::from_fn(|i| point_in_world[i] - self.origin[i]))
    }

    /// A world direction or field, in the body.
    pub fn apply_inverse_to_vector(&self, vector_in_world: [f64; 3]) -> [f64; 3] {
        std::array::from_fn(|column| dot(self.body_axis(column), vector_in_world))
    }

    /// `body_from_world` of a `world_from_body`.
    pub fn inverse(&self) -> Self {
        let rotation = std::array::from_fn(|row| self.body_axis(row));
        let turned = self.apply_inverse_to_vector(self.origin);
        Self { rotation, origin: turned.map(|c| -c) }
    }

    /// `a_from_b.then_from(b_from_c)` is `a_from_c`; also written `a_from_b * b_from_c`.
    pub fn then_from(&self, b_from_c: Self) -> Self {
        let columns: [[f64; 3]; 3] =
            std::array::from_fn(|i| self.apply_to_vector(b_from_c.body_axis(i)));
        Self::from_body_axes(self.apply(b_from_c.origin), columns[0], columns[1], columns[2])
    }
}

impl Mul for Pose {
    type Output = Self;
    /// `a_from_c = a_from_b * b_from_c`.
    fn mul(self, b_from_c: Self) -> Self {
        self.then_from(b_from_c)
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(v: [f64; 3]) -> Option<[f64; 3]> {
    let largest = v[0].abs().max(v[1].abs()).max(v[2].abs());
    if largest == 0.0 || !largest.is_finite() {
        return None;
    }
    let v = v.map(|c| c / largest);
    let length = dot(v, v).sqrt();
    Some(v.map(|c| c / length))
}
