//! A flat panel with charge of unit density: its field and its potential in closed form.

use std::f64::consts::PI;

use crate::math::{atan2, greater, ln_ratio};

/// Floor of a squared distance from an edge line, in units of the panel's reach squared.
///
/// On an edge the field grows like the logarithm of the distance; there the value at 1e-12 reaches
/// from it stands.
const EDGE_FLOOR: f64 = 1e-24;

/// A convex flat quadrilateral, or a triangle whose last corner is its first one again.
#[derive(Debug, Clone, Copy)]
pub(super) struct Panel {
    /// Corners, counterclockwise seen from the side the normal points to, m.
    pub corner: [[f64; 3]; 4],
    /// Unit vector along the edge that starts at each corner; zero where two corners are one.
    along: [[f64; 3]; 4],
    /// Unit vector in the plane out of each edge.
    outward: [[f64; 3]; 4],
    /// Length of each edge, m.
    length: [f64; 4],
    /// Twice the areas of corners 0 1 2 and 0 2 3, m².
    double_area: [f64; 2],
    /// Unit normal, out of the body.
    pub normal: [f64; 3],
    /// Area, m².
    pub area: f64,
    /// Centre of area, m.
    pub centre: [f64; 3],
    /// Largest distance of a corner from the centre, m.
    pub reach: f64,
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

impl Panel {
    /// The panel with these corners; their order fixes the normal.
    pub fn new(corner: [[f64; 3]; 4]) -> Self {
        let half =
            [1, 2].map(|i| cross(minus(corner[i], corner[0]), minus(corner[i + 1], corner[0])));
        let total: [f64; 3] = std::array::from_fn(|i| half[0][i] + half[1][i]);
        let double = length(total);
        let normal = total.map(|c| c / double);
        let double_area = half.map(|h| dot(h, normal));
        let third = [0, 1].map(|t| {
            let parts: [f64; 3] =
                std::array::from_fn(|i| (corner[0][i] + corner[t + 1][i] + corner[t + 2][i]) / 3.0);
            parts
        });
        let centre = std::array::from_fn(|i| {
            (third[0][i] * double_area[0] + third[1][i] * double_area[1]) / double
        });
        let edge: [[f64; 3]; 4] = std::array::from_fn(|k| minus(corner[(k + 1) % 4], corner[k]));
        let size = edge.map(length);
        let along = std::array::from_fn(|k| {
            if size[k] > 0.0 { edge[k].map(|c| c / size[k]) } else { [0.0; 3] }
        });
        let outward = std::array::from_fn(|k| cross(along[k], normal));
        let reach = corner.iter().map(|&c| length(minus(c, centre))).fold(0.0, f64::max);
        let area = 0.5 * double;
        Self { corner, along, outward, length: size, double_area, normal, area, centre, reach }
    }

    /// `ln((r₁ + r₂ + l)/(r₁ + r₂ − l))` of each edge, the signed distance of its line from the foot of
    /// the point, and the height times the solid angle's parts.
    #[inline(always)]
    fn parts(&self, p: [f64; 3]) -> ([f64; 4], [f64; 4], f64, f64) {
        let floor = EDGE_FLOOR * self.reach * self.reach;
        let d = [0, 1, 2, 3].map(|k| minus(self.corner[k], p));
        let r = d.map(|d| (dot(d, d) + floor).sqrt());
        let height = -dot(self.normal, d[0]);
        let (mut log, mut away) = ([0.0; 4], [0.0; 4]);
        for k in 0..4 {
            let next = (k + 1) % 4;
            away[k] = dot(self.outward[k], d[k]);
            let rho2 = height * height + away[k] * away[k] + floor;
            // Distances to the two ends less their projections ahead of the point: no cancellation.
            let start = dot(self.along[k], d[k]);
            let ahead = [-start, start + self.length[k]];
            let over = |r: f64, a: f64| {
                let (near, far) = (r - a, rho2 / greater(r + a, f64::MIN_POSITIVE));
                if a > 0.0 { far } else { near }
            };
            let excess = greater(over(r[k], ahead[0]) + over(r[next], ahead[1]), f64::MIN_POSITIVE);
            let twice = 2.0 * self.length[k];
            log[k] = ln_ratio(excess + twice, excess, twice);
        }
        // Half the solid angles of two triangles as arguments of complex numbers, multiplied; together
        // they are at most half a turn, so one arctangent gives their sum.
        let part = |i: usize, j: usize| {
            r[0] * r[i] * r[j]
                + dot(d[0], d[i]) * r[j]
                + dot(d[i], d[j]) * r[0]
                + dot(d[j], d[0]) * r[i]
        };
        let (c1, c2) = (part(1, 2), part(2, 3));
        let s1 = height.abs() * self.double_area[0];
        let s2 = height.abs() * self.double_area[1];
        let half = atan2(s1 * c2 + s2 * c1, c1 * c2 - s1 * s2);
        let angle = if height == 0.0 { 0.0 } else { (2.0 * half).copysign(height) };
        (log, away, height, angle)
    }

    /// Field of unit charge density at `p` (m): A/m per A/m. Next to the panel its normal component jumps
    /// by one; on it, it is the mean, zero.
    ///
    /// `4π H = Σ m ln((r₁ + r₂ + l)/(r₁ + r₂ − l)) + n Ω` over the edges, m out of each in the plane, Ω the
    /// solid angle by `[vanoosterom1983]`.
    #[inline(always)]
    pub fn field(&self, p: [f64; 3]) -> [f64; 3] {
        let (log, _, _, angle) = self.parts(p);
        let m = &self.outward;
        let component = |i: usize| {
            (m[0][i] * log[0]
                + m[1][i] * log[1]
                + m[2][i] * log[2]
                + m[3][i] * log[3]
                + self.normal[i] * angle)
                * (0.25 / PI)
        };
        [component(0), component(1), component(2)]
    }

    /// Potential of unit charge density at `p` (m): A per A/m.
    ///
    /// `4π φ = Σ w ln((r₁ + r₂ + l)/(r₁ + r₂ − l)) − h Ω`, w the distance of each edge's line from the foot
    /// of the point, h its height over the plane.
    #[inline(always)]
    pub fn potential(&self, p: [f64; 3]) -> f64 {
        let (log, away, height, angle) = self.parts(p);
        let edges = away[0] * log[0] + away[1] * log[1] + away[2] * log[2] + away[3] * log[3];
        (edges - height * angle) * (0.25 / PI)
    }

    /// Share of all directions in which the panel is seen from `p`; negative from behind.
    pub fn solid_angle(&self, p: [f64; 3]) -> f64 {
        self.parts(p).3 * (0.25 / PI)
    }

    /// The panel's place at `u`, `v` in [-1, 1] and the area there per du dv: bilinear in its corners.
    pub fn place(&self, u: f64, v: f64) -> ([f64; 3], f64) {
        let [a, b, c, d] = self.corner;
        let share = [
            0.25 * (1.0 - u) * (1.0 - v),
            0.25 * (1.0 + u) * (1.0 - v),
            0.25 * (1.0 + u) * (1.0 + v),
            0.25 * (1.0 - u) * (1.0 + v),
        ];
        let at = std::array::from_fn(|i| {
            share[0] * a[i] + share[1] * b[i] + share[2] * c[i] + share[3] * d[i]
        });
        let by_u =
            std::array::from_fn(|i| 0.25 * ((1.0 - v) * (b[i] - a[i]) + (1.0 + v) * (c[i] - d[i])));
        let by_v =
            std::array::from_fn(|i| 0.25 * ((1.0 - u) * (d[i] - a[i]) + (1.0 + u) * (c[i] - b[i])));
        (at, dot(cross(by_u, by_v), self.normal))
    }

    /// Distance of a point from the panel, m.
    pub fn distance(&self, p: [f64; 3]) -> f64 {
        let d = self.corner.map(|c| minus(c, p));
        let inside = (0..4).all(|k| dot(self.outward[k], d[k]) >= 0.0);
        if inside {
            return dot(self.normal, d[0]).abs();
        }
        (0..4)
            .map(|k| {
                let ahead = (-dot(self.along[k], d[k])).clamp(0.0, self.length[k]);
                length(std::array::from_fn(|i| d[k][i] + ahead * self.along[k][i]))
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// Whether another panel lies in this one's plane, to rounding.
    pub fn coplanar(&self, other: &Self) -> bool {
        let tolerance = 1e-9 * (self.reach + other.reach);
        other.corner.iter().all(|&c| dot(self.normal, minus(c, self.centre)).abs() < tolerance)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Unit charge on a panel by a fine midpoint rule.
    fn by_sum(panel: &Panel, p: [f64; 3]) -> (f64, [f64; 3]) {
        let n = 600;
        let (mut potential, mut field) = (0.0, [0.0; 3]);
        for i in 0..n {
            for j in 0..n {
                let mid = |k: usize| (2.0 * k as f64 + 1.0) / n as f64 - 1.0;
                let (q, area) = panel.place(mid(i), mid(j));
                let d = minus(p, q);
                let r = length(d);
                let w = area * 4.0 / (n * n) as f64 / (4.0 * PI);
                potential += w / r;
                for k in 0..3 {
                    field[k] += w * d[k] / r.powi(3);
                }
            }
        }
        (potential, field)
    }

    #[test]
    fn cross_panel_against_sum() {
        let quad = [[0.0, 0.0, 0.1], [1.0, 0.1, 0.1], [0.7, 0.9, 0.1], [0.2, 0.8, 0.1]];
        let triangle = [[0.1, 0.0, 0.0], [0.3, 0.9, 0.5], [-0.6, 0.2, 0.4], [0.1, 0.0, 0.0]];
        for corner in [quad, triangle] {
            let panel = Panel::new(corner);
            let over = |h: f64| std::array::from_fn(|i| panel.centre[i] + h * panel.normal[i]);
            for p in [[1.5, -0.4, 0.3], over(0.2), over(-0.2), [0.3, 0.2, -4.0], [-1.0, 0.5, 0.1]] {
                let (potential, field) = by_sum(&panel, p);
                let scale = length(field);
                assert!((panel.potential(p) - potential).abs() < 1e-5 * potential);
                for (got, want) in panel.field(p).iter().zip(field) {
                    assert!((got - want).abs() < 2e-5 * scale, "{p:?} {got} {want}");
                }
            }
            // Half of all directions on either side.
            assert!((panel.solid_angle(over(1e-7)) - 0.5).abs() < 1e-6);
            assert!((panel.solid_angle(over(-1e-7)) + 0.5).abs() < 1e-6);
        }
    }

    #[test]
    fn prop_far_panel_is_a_point() {
        let panel = Panel::new([[0.0; 3], [1.0, 0.0, 0.0], [1.0, 1.0, 0.0], [0.0, 1.0, 0.0]]);
        for distance in [1e2_f64, 1e4] {
            let p = [0.5 + 0.6 * distance, 0.5, 0.8 * distance];
            let want = 0.25 / (PI * distance * distance);
            let tolerance = 10.0 / (distance * distance) + 1e-10;
            for (got, unit) in panel.field(p).iter().zip([0.6, 0.0, 0.8]) {
                assert!((got / want - unit).abs() < tolerance, "{got} {want}");
            }
            assert!((panel.potential(p) / (want * distance) - 1.0).abs() < tolerance);
        }
    }
}
