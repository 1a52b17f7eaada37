//! The evenly charged rectangle: potential and field.

/// Floor of a squared distance from an edge line, over the squared half diagonal (see `cuboid.rs`).
const EDGE_FLOOR: f64 = 1e-28;

/// A flat rectangle anywhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rectangle {
    /// Centre, m.
    pub centre: [f64; 3],
    /// Unit vectors along the edges and across, right-handed.
    pub axes: [[f64; 3]; 3],
    /// Half of each edge, m.
    pub half: [f64; 2],
}

impl Rectangle {
    pub(crate) fn area(&self) -> f64 {
        4.0 * self.half[0] * self.half[1]
    }

    pub(crate) fn half_diagonal(&self) -> f64 {
        self.half[0].hypot(self.half[1])
    }

    /// The point at `u`, `v` (m) from the centre along the edges.
    pub(crate) fn point(&self, u: f64, v: f64) -> [f64; 3] {
        std::array::from_fn(|i| self.centre[i] + u * self.axes[0][i] + v * self.axes[1][i])
    }

    /// Its image under factors ±1 on the world's axes.
    pub(crate) fn reflected(&self, factors: [f64; 3]) -> Self {
        let times = |v: [f64; 3]| std::array::from_fn(|i| v[i] * factors[i]);
        Self { centre: times(self.centre), axes: self.axes.map(times), half: self.half }
    }

    fn local(&self, point: [f64; 3]) -> [f64; 3] {
        let from = [0, 1, 2].map(|i| point[i] - self.centre[i]);
        self.axes.map(|a| a[0] * from[0] + a[1] * from[1] + a[2] * from[2])
    }

    /// `∫∫ dS/r` at a point (m).
    pub(crate) fn potential(&self, point: [f64; 3]) -> f64 {
        let at = self.local(point);
        let [line_u, line_v, angle] = integrals(self.half, at);
        // Σ u ln(v + r) + v ln(u + r) − z atan(uv/(z r)) over the corners
        line_u + line_v - at[2] * angle
    }

    /// `∫∫ r/r³ dS` at a point (1): 4π ε0 times the field of unit charge density.
    ///
    /// On the rectangle itself the mean of both sides.
    pub(crate) fn field(&self, point: [f64; 3]) -> [f64; 3] {
        let local = rectangle_field(self.half, self.local(point));
        std::array::from_fn(|i| (0..3).map(|k| self.axes[k][i] * local[k]).sum())
    }
}

/// `∫∫ r/r³ dS` of the rectangle |u| ≤ a, |v| ≤ b in the plane z = 0, at `point` (m).
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | a, b | `half` | m | > 0 |
/// | u, v, z | `point`, from the centre | m | any |
pub(crate) fn rectangle_field(half: [f64; 2], [x, y, z]: [f64; 3]) -> [f64; 3] {
    let floor = EDGE_FLOOR * (half[0] * half[0] + half[1] * half[1]);
    let (u, v) = ([x - half[0], x + half[0]], [y - half[1], y + half[1]]);
    let log_v = |i: usize| log_along(v, u[i] * u[i] + z * z + floor);
    let log_u = |i: usize| log_along(u, v[i] * v[i] + z * z + floor);
    [log_v(0) - log_v(1), log_u(0) - log_u(1), solid_angle(u, v, z)]
}

/// The sums of u ln(v + r) and of v ln(u + r) over the corners, and the solid angle.
fn integrals(half: [f64; 2], [x, y, z]: [f64; 3]) -> [f64; 3] {
    let floor = EDGE_FLOOR * (half[0] * half[0] + half[1] * half[1]);
    let (u, v) = ([x - half[0], x + half[0]], [y - half[1], y + half[1]]);
    let across_u = |i: usize| u[i] * log_along(v, u[i] * u[i] + z * z + floor);
    let across_v = |i: usize| v[i] * log_along(u, v[i] * v[i] + z * z + floor);
    [across_u(1) - across_u(0), across_v(1) - across_v(0), solid_angle(u, v, z)]
}

/// `ln (t₁ + r₁)/(t₀ + r₀)` along an edge at the squared distance `rho2` from its line.
fn log_along(t: [f64; 2], rho2: f64) -> f64 {
    let r = t.map(|t| (t * t + rho2).sqrt());
    // On the far side of zero t + r is a difference: rho²/(r − t) is the same without it.
    if t[0] >= 0.0 {
        ((t[1] + r[1]) / (t[0] + r[0])).ln()
    } else if t[1] <= 0.0 {
        ((r[0] - t[0]) / (r[1] - t[1])).ln()
    } else {
        ((t[1] + r[1]) * (r[0] - t[0]) / rho2).ln()
    }
}

/// The solid angle of the rectangle, with the sign of `z`; zero in its own plane.
fn solid_angle(u: [f64; 2], v: [f64; 2], z: f64) -> f64 {
    if z == 0.0 {
        return 0.0;
    }
    let corner = |u: f64, v: f64| (u * v / (z * (u * u + v * v + z * z).sqrt())).atan();
    corner(u[1], v[1]) - corner(u[0], v[1]) - corner(u[1], v[0]) + corner(u[0], v[0])
}
