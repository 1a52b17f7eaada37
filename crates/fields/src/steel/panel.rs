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
    /// Two unit vectors in the plane.
    pub axis: [[f64; 3]; 2],
    /// Components along the axes: of each edge's direction and outward normal, and of each corner from
    /// the centre, m.
    axis_along: [[f64; 4]; 2],
    axis_outward: [[f64; 4]; 2],
    axis_corner: [[f64; 4]; 2],
}

/// What the closed forms at one point are made of.
struct Parts {
    /// `ln((r₁ + r₂ + l)/(r₁ + r₂ − l))` of each edge.
    log: [f64; 4],
    /// Distance of each edge's line from the foot of the point in the plane, positive if it lies outward.
    away: [f64; 4],
    /// How far ahead of the point each edge starts, in the edge's own direction.
    start: [f64; 4],
    /// Distances of the corners.
    r: [f64; 4],
    /// Height over the plane.
    height: f64,
    /// Solid angle, positive from the side the normal points to; 0 in the plane.
    angle: f64,
}

/// `r − a`, given r² − a² as well.
#[inline(always)]
fn over(r: f64, a: f64, rho2: f64) -> f64 {
    let (near, far) = (r - a, rho2 / greater(r + a, f64::MIN_POSITIVE));
    if a > 0.0 { far } else { near }
}

#[inline(always)]
fn dot4(a: [f64; 4], b: [f64; 4]) -> f64 {
    (a[0] * b[0] + a[1] * b[1]) + (a[2] * b[2] + a[3] * b[3])
}

#[inline(always)]
pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[inline(always)]
pub(super) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

#[inline(always)]
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
        let centre: [f64; 3] = std::array::from_fn(|i| {
            (third[0][i] * double_area[0] + third[1][i] * double_area[1]) / double
        });
        let edge: [[f64; 3]; 4] = std::array::from_fn(|k| minus(corner[(k + 1) % 4], corner[k]));
        let size = edge.map(length);
        let along: [[f64; 3]; 4] = std::array::from_fn(|k| {
            if size[k] > 0.0 { edge[k].map(|c| c / size[k]) } else { [0.0; 3] }
        });
        let outward: [[f64; 3]; 4] = std::array::from_fn(|k| cross(along[k], normal));
        let reach = corner.iter().map(|&c| length(minus(c, centre))).fold(0.0, f64::max);
        let area = 0.5 * double;
        let first = (0..4).find(|&k| size[k] > 0.0).map_or([0.0; 3], |k| along[k]);
        let axis = [first, cross(normal, first)];
        let parts = |of: &[[f64; 3]; 4]| axis.map(|axis| of.map(|v| dot(axis, v)));
        Self {
            corner,
            along,
            outward,
            length: size,
            double_area,
            normal,
            area,
            centre,
            reach,
            axis,
            axis_along: parts(&along),
            axis_outward: parts(&outward),
            axis_corner: parts(&corner.map(|c| minus(c, centre))),
        }
    }

    /// What all closed forms at `p` are made of.
    #[inline(always)]
    fn parts(&self, p: [f64; 3]) -> Parts {
        let floor = EDGE_FLOOR * self.reach * self.reach;
        let c = &self.corner;
        let d = [minus(c[0], p), minus(c[1], p), minus(c[2], p), minus(c[3], p)];
        let r = [
            (dot(d[0], d[0]) + floor).sqrt(),
            (dot(d[1], d[1]) + floor).sqrt(),
            (dot(d[2], d[2]) + floor).sqrt(),
            (dot(d[3], d[3]) + floor).sqrt(),
        ];
        let height = -dot(self.normal, d[0]);
        // Written out: loops over the four edges would keep the compiler from taking many points at once.
        let (log0, away0, start0) = self.edge(0, d[0], r[0], r[1], height, floor);
        let (log1, away1, start1) = self.edge(1, d[1], r[1], r[2], height, floor);
        let (log2, away2, start2) = self.edge(2, d[2], r[2], r[3], height, floor);
        let (log3, away3, start3) = self.edge(3, d[3], r[3], r[0], height, floor);
        // Half the solid angles of two triangles as arguments of complex numbers, multiplied; together
        // they are at most half a turn, so one arctangent gives their sum.
        let (d02, r02) = (dot(d[0], d[2]), r[0] * r[2]);
        let c1 = (r02 + d02) * r[1] + dot(d[0], d[1]) * r[2] + dot(d[1], d[2]) * r[0];
        let c2 = (r02 + d02) * r[3] + dot(d[0], d[3]) * r[2] + dot(d[3], d[2]) * r[0];
        let s1 = height.abs() * self.double_area[0];
        let s2 = height.abs() * self.double_area[1];
        let half = atan2(s1 * c2 + s2 * c1, c1 * c2 - s1 * s2);
        let angle = if height == 0.0 { 0.0 } else { (2.0 * half).copysign(height) };
        Parts {
            log: [log0, log1, log2, log3],
            away: [away0, away1, away2, away3],
            start: [start0, start1, start2, start3],
            r,
            height,
            angle,
        }
    }

    /// Logarithm, distance of the line and start of one edge; see [`Parts`].
    #[inline(always)]
    fn edge(
        &self,
        k: usize,
        d: [f64; 3],
        r: f64,
        r_next: f64,
        height: f64,
        floor: f64,
    ) -> (f64, f64, f64) {
        let away = dot(self.outward[k], d);
        let start = dot(self.along[k], d);
        let rho2 = height * height + away * away + floor;
        // Distances to the two ends less their projections ahead of the point: no cancellation.
        let excess = over(r, -start, rho2) + over(r_next, start + self.length[k], rho2);
        let excess = greater(excess, f64::MIN_POSITIVE);
        let twice = 2.0 * self.length[k];
        (ln_ratio(excess + twice, excess, twice), away, start)
    }

    /// Fields at `p` (m) of three charge densities: 1, and the distances from the centre along the two
    /// axes of the panel. A/m per A/m, and per A/m².
    ///
    /// On the panel itself it is the mean of both sides. With unit density,
    /// `4π H = Σ m ln((r₁ + r₂ + l)/(r₁ + r₂ − l)) + n Ω` over the edges, m out of each in the plane, Ω the
    /// solid angle by `[vanoosterom1983]`; the others follow from it by Gauss's theorem in the plane.
    #[inline(always)]
    pub fn fields(&self, p: [f64; 3]) -> [[f64; 3]; 3] {
        let parts = self.parts(p);
        let flat = self.in_plane(parts.log);
        let potential = dot4(parts.away, parts.log) - parts.height * parts.angle;
        let from_centre = minus(p, self.centre);
        [
            self.with_normal(flat, parts.angle),
            self.linear(0, &parts, flat, potential, from_centre),
            self.linear(1, &parts, flat, potential, from_centre),
        ]
    }

    /// Sum of the outward normals of the edges.
    #[inline(always)]
    fn in_plane(&self, weight: [f64; 4]) -> [f64; 3] {
        let [a, b, c, d] = &self.outward;
        let [wa, wb, wc, wd] = weight;
        [
            a[0] * wa + b[0] * wb + c[0] * wc + d[0] * wd,
            a[1] * wa + b[1] * wb + c[1] * wc + d[1] * wd,
            a[2] * wa + b[2] * wb + c[2] * wc + d[2] * wd,
        ]
    }

    /// `(in_plane + n upward)/4π`.
    #[inline(always)]
    fn with_normal(&self, in_plane: [f64; 3], upward: f64) -> [f64; 3] {
        let n = &self.normal;
        [
            (in_plane[0] + n[0] * upward) * (0.25 / PI),
            (in_plane[1] + n[1] * upward) * (0.25 / PI),
            (in_plane[2] + n[2] * upward) * (0.25 / PI),
        ]
    }

    /// Field of a charge that grows along axis `a`.
    #[inline(always)]
    fn linear(
        &self,
        a: usize,
        Parts { log, start, r, height, angle, .. }: &Parts,
        flat: [f64; 3],
        potential: f64,
        from_centre: [f64; 3],
    ) -> [f64; 3] {
        let (axis, along, corner) = (self.axis[a], self.axis_along[a], self.axis_corner[a]);
        let weight = [
            (corner[0] - start[0] * along[0]) * log[0] + along[0] * (r[1] - r[0]),
            (corner[1] - start[1] * along[1]) * log[1] + along[1] * (r[2] - r[1]),
            (corner[2] - start[2] * along[2]) * log[2] + along[2] * (r[3] - r[2]),
            (corner[3] - start[3] * along[3]) * log[3] + along[3] * (r[0] - r[3]),
        ];
        let [x, y, z] = self.in_plane(weight);
        let planar = [x - axis[0] * potential, y - axis[1] * potential, z - axis[2] * potential];
        self.with_normal(planar, dot(axis, from_centre) * angle - height * dot(axis, flat))
    }

    /// Potentials at `p` (m) of the charge densities of [`Panel::fields`]: A per A/m, and per A/m².
    ///
    /// With unit density `4π φ = Σ w ln((r₁ + r₂ + l)/(r₁ + r₂ − l)) − h Ω`, w the distance of each edge's
    /// line from the foot of the point, h its height over the plane.
    #[inline(always)]
    pub fn potentials(&self, p: [f64; 3]) -> [f64; 3] {
        let Parts { log, away, start, r, height, angle } = self.parts(p);
        let whole = dot4(away, log) - height * angle;
        let from_centre = minus(p, self.centre);
        // ∫ R along each edge.
        let edge = |k: usize| {
            let rho2 = height * height + away[k] * away[k];
            let end = start[k] + self.length[k];
            0.5 * (rho2 * log[k] + end * r[(k + 1) % 4] - start[k] * r[k])
        };
        let edge = [edge(0), edge(1), edge(2), edge(3)];
        let linear = |axis: [f64; 3], across: [f64; 4]| {
            (dot(axis, from_centre) * whole + dot4(across, edge)) * (0.25 / PI)
        };
        [
            whole * (0.25 / PI),
            linear(self.axis[0], self.axis_outward[0]),
            linear(self.axis[1], self.axis_outward[1]),
        ]
    }

    /// Share of all directions in which the panel is seen from `p`; negative from behind.
    pub fn solid_angle(&self, p: [f64; 3]) -> f64 {
        self.parts(p).angle * (0.25 / PI)
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

    /// Means over the panel of the products u², uv, v² of distances from the centre along the axes, m².
    pub fn second_moments(&self) -> [f64; 3] {
        // The Gauss rule of 2 × 2 points, exact here.
        let node = 1.0 / 3.0_f64.sqrt();
        let mut moments = [0.0; 3];
        for (u, v) in [(-node, -node), (-node, node), (node, -node), (node, node)] {
            let (at, area) = self.place(u, v);
            let [a, b] = self.axis.map(|axis| dot(axis, minus(at, self.centre)));
            for (moment, product) in moments.iter_mut().zip([a * a, a * b, b * b]) {
                *moment += product * area / self.area;
            }
        }
        moments
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
    fn by_sum(panel: &Panel, p: [f64; 3], density: impl Fn([f64; 3]) -> f64) -> (f64, [f64; 3]) {
        let n = 600;
        let (mut potential, mut field) = (0.0, [0.0; 3]);
        for i in 0..n {
            for j in 0..n {
                let mid = |k: usize| (2.0 * k as f64 + 1.0) / n as f64 - 1.0;
                let (q, area) = panel.place(mid(i), mid(j));
                let d = minus(p, q);
                let r = length(d);
                let w = density(minus(q, panel.centre)) * area * 4.0 / (n * n) as f64 / (4.0 * PI);
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
                let [first, second] = panel.axis;
                let densities: [&dyn Fn([f64; 3]) -> f64; 3] =
                    [&|_| 1.0, &|q| dot(q, first), &|q| dot(q, second)];
                let (fields, potentials) = (panel.fields(p), panel.potentials(p));
                for (k, density) in densities.into_iter().enumerate() {
                    let (potential, field) = by_sum(&panel, p, density);
                    let (at_most, size) = (length(fields[0]), potentials[0]);
                    assert!((potentials[k] - potential).abs() < 1e-5 * size, "{k} {p:?}");
                    for (got, want) in fields[k].iter().zip(field) {
                        assert!((got - want).abs() < 2e-5 * at_most, "{k} {p:?} {got} {want}");
                    }
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
            for (got, unit) in panel.fields(p)[0].iter().zip([0.6, 0.0, 0.8]) {
                assert!((got / want - unit).abs() < tolerance, "{got} {want}");
            }
            assert!((panel.potentials(p)[0] / (want * distance) - 1.0).abs() < tolerance);
        }
    }
}
