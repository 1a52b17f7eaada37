//! The uniformly charged flat convex polygon: the panel of steel, the face of any polyhedral magnet.
//!
//! With σ the charge, R the distance to a point of the panel, m the outward normal of an edge in the
//! panel's plane, d the distance of the edge ahead of the field point along m, h the height over the plane,
//!
//! - `∫ dS/R = Σ d L − |h| Ω`,
//! - `−∇ ∫ dS/R = Σ m L + sign(h) Ω n`,
//!
//! `L = 2 artanh(l/(R₀ + R₁))` per edge of length l between corners at distances R₀, R₁ and Ω the solid
//! angle of the panel (`[wilton1984]`). As printed the sums cancel far away. Here, since `Σ m l = 0`, each L
//! is taken less the same multiple of its l, formed so that nothing is lost, and Ω is one
//! arctangent of a product: of the triangles below the edges near the panel, of the triangles between
//! centre and edges away from it (`[vanoosterom1983]`), where each factor is known to the last digit.

use std::f64::consts::PI;

use crate::error::finite;
use crate::math::{artanh_excess, atan2, greater, sign};
use crate::simd::vectorized;
use crate::{FieldError, Points, VectorsMut};

/// Floor of a squared distance from an edge, in units of the radius squared; compare [`crate::Magnet`].
const EDGE_FLOOR: f64 = 1e-32;

/// Corners may lie this far off the plane, and bulge inward by as much, in units of the radius.
const FLAT: f64 = 1e-9;

/// Beyond this many radii from the centre the solid angle is summed about the centre.
const AWAY: f64 = 1.5;

/// Points worked on at a time: what is kept between edges stays in the nearest cache.
pub(crate) const CHUNK: usize = 64;

/// A flat convex polygon with a uniform surface charge of 1.
///
/// In the units of magnetostatics the charge is `J·n` in tesla and the field is `μ0 H`; a charge `M·n` in
/// A/m gives H. On the panel itself the field's normal part is the mean of both sides, 0. On edges and
/// corners, where the field in the plane grows like the logarithm of the distance, stands the finite value
/// 1e-16 radii away, averaged over directions.
///
/// Largest error over the field's length against 50 digits (`cross_mpmath_polygon`): 2e-13 from touching
/// the panel to a million radii, 2e-11 at 1e-6 radii from an edge.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargedPolygon {
    edges: Vec<Edge>,
    /// Unit normal, right-handed about the order of the corners.
    normal: [f64; 3],
    /// Mean of the corners, m.
    centre: [f64; 3],
    /// Distance from the centre to the farthest corner, m.
    radius: f64,
    /// m².
    area: f64,
    /// Floor of a squared distance from an edge, m².
    edge_floor: f64,
}

/// One edge, corners in order, and what does not depend on the field point.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Edge {
    start: [f64; 3],
    end: [f64; 3],
    /// Unit vector from start to end.
    along: [f64; 3],
    /// Unit normal in the plane, outward.
    outward: [f64; 3],
    length: f64,
    /// Distance of the edge's line from the centre.
    from_centre: f64,
    /// Radius squared less the distance of start and end from the centre squared.
    short: [f64; 2],
}

impl ChargedPolygon {
    /// A polygon by its corners in order, m.
    ///
    /// # Errors
    /// Fewer than three corners, a coordinate that is not finite, corners that do not lie in one plane or do
    /// not bound a convex area (both to 1e-9 of the size).
    pub fn new(corners: &[[f64; 3]]) -> Result<Self, FieldError> {
        if corners.len() < 3 {
            return Err(FieldError::NotPolygon { reason: "it has fewer than three corners" });
        }
        for c in corners.iter().flatten() {
            finite("corner", *c)?;
        }
        let count = corners.len() as f64;
        let sum = corners.iter().fold([0.0; 3], |s, c| plus(s, *c));
        let centre = sum.map(|c| c / count);
        let radius = corners.iter().map(|c| length(minus(*c, centre))).fold(0.0, f64::max);
        let sides = || corners.iter().zip(corners.iter().cycle().skip(1));
        let twice =
            sides().map(|(a, b)| cross(minus(*a, centre), minus(*b, centre))).fold([0.0; 3], plus);
        let area = 0.5 * length(twice);
        if area <= FLAT * radius * radius {
            return Err(FieldError::NotPolygon { reason: "it has no area" });
        }
        let normal = twice.map(|c| c / length(twice));
        let mut edges = Vec::with_capacity(corners.len());
        for (start, end) in sides() {
            let (start, end) = (*start, *end);
            let step = minus(end, start);
            let l = length(step);
            if l <= FLAT * radius {
                return Err(FieldError::NotPolygon { reason: "two of its corners are the same" });
            }
            let along = step.map(|c| c / l);
            let outward = cross(along, normal);
            let from_centre = dot(outward, minus(start, centre));
            let short = [start, end].map(|c| {
                let from_centre = length(minus(c, centre));
                (radius - from_centre) * (radius + from_centre)
            });
            edges.push(Edge { start, end, along, outward, length: l, from_centre, short });
        }
        for corner in corners {
            if dot(normal, minus(*corner, centre)).abs() > FLAT * radius {
                return Err(FieldError::NotPolygon {
                    reason: "its corners do not lie in one plane",
                });
            }
            if edges.iter().any(|e| dot(e.outward, minus(*corner, e.start)) > FLAT * radius) {
                return Err(FieldError::NotPolygon { reason: "it is not convex" });
            }
        }
        let edge_floor = EDGE_FLOOR * radius * radius;
        Ok(Self { edges, normal, centre, radius, area, edge_floor })
    }

    /// The same polygon as part of a body of size `size` (m): polygons that share an edge must agree on what
    /// stands for the limit there, so that it cancels between faces of one plane.
    pub(crate) fn of_size(self, size: f64) -> Self {
        Self { edge_floor: EDGE_FLOOR * size * size, ..self }
    }

    /// Unit normal, right-handed about the order of the corners.
    pub fn normal(&self) -> [f64; 3] {
        self.normal
    }
    /// m².
    pub fn area(&self) -> f64 {
        self.area
    }
    /// Mean of the corners, m.
    pub fn centre(&self) -> [f64; 3] {
        self.centre
    }
    /// Distance from [`ChargedPolygon::centre`] to the farthest corner, m.
    pub fn radius(&self) -> f64 {
        self.radius
    }

    /// Height of a point over the plane, along the normal, by the very sum that decides the field's side.
    #[inline(always)]
    pub(crate) fn height(&self, point: [f64; 3]) -> f64 {
        dot(self.normal, minus(point, self.edges[0].start))
    }

    /// Adds the field `charge/4π ∫ R⃗/R³ dS` at each point: μ0 H in T for a charge in T.
    ///
    /// # Panics
    /// When the slices do not all have one length.
    pub fn add_field(&self, at: Points<'_>, charge: f64, mut out: VectorsMut<'_>) {
        assert!([at.y.len(), at.z.len(), out.x.len(), out.y.len(), out.z.len()] == [at.len(); 5]);
        let mut start = 0;
        while start < at.len() {
            let n = CHUNK.min(at.len() - start);
            let out = out.range(start, n);
            self.add_field_and_angle(at.range(start, n), charge, out, &mut [0.0; CHUNK]);
            start += n;
        }
    }

    /// As [`ChargedPolygon::add_field`] for at most [`CHUNK`] points, and adds the solid angles.
    pub(crate) fn add_field_and_angle(
        &self,
        at: Points<'_>,
        charge: f64,
        out: VectorsMut<'_>,
        angles: &mut [f64; CHUNK],
    ) {
        let (n, scale) = (at.len(), charge / (4.0 * PI));
        let chunk = self.sums(at);
        vectorized(
            #[inline(always)]
            || {
                let (ox, oy, oz) = (&mut out.x[..n], &mut out.y[..n], &mut out.z[..n]);
                for i in 0..n {
                    let angle = chunk.solid_angle(i, AWAY * self.radius);
                    let angle = angle * sign(chunk.height[i]);
                    angles[i] += angle;
                    ox[i] += scale * (chunk.in_plane[0][i] + self.normal[0] * angle);
                    oy[i] += scale * (chunk.in_plane[1][i] + self.normal[1] * angle);
                    oz[i] += scale * (chunk.in_plane[2][i] + self.normal[2] * angle);
                }
            },
        );
    }

    /// Adds the potential `charge/4π ∫ dS/R` at each point: T·m for a charge in T.
    ///
    /// # Panics
    /// When the slices do not all have one length.
    pub fn add_potential(&self, at: Points<'_>, charge: f64, out: &mut [f64]) {
        assert!([at.y.len(), at.z.len(), out.len()] == [at.len(); 3]);
        let scale = charge / (4.0 * PI);
        let mut start = 0;
        while start < at.len() {
            let n = CHUNK.min(at.len() - start);
            let at = at.range(start, n);
            let chunk = self.sums(at);
            let out = &mut out[start..start + n];
            vectorized(
                #[inline(always)]
                || {
                    let (px, py, pz) = (&at.x[..n], &at.y[..n], &at.z[..n]);
                    for i in 0..n {
                        let angle = chunk.solid_angle(i, AWAY * self.radius);
                        let g = [chunk.in_plane[0][i], chunk.in_plane[1][i], chunk.in_plane[2][i]];
                        let r = minus([px[i], py[i], pz[i]], self.centre);
                        let flat = chunk.potential[i] - dot(r, g);
                        out[i] += scale * (flat - chunk.height[i].abs() * angle);
                    }
                },
            );
            start += n;
        }
    }

    /// Solid angle under which the polygon is seen from a point: positive where the normal points to,
    /// ±2π just off its face, 0 in its plane.
    pub fn solid_angle(&self, point: [f64; 3]) -> f64 {
        let [x, y, z] = point;
        let chunk = self.sums(Points { x: &[x], y: &[y], z: &[z] });
        chunk.solid_angle(0, AWAY * self.radius) * sign(chunk.height[0])
    }

    /// The sums over the edges, for at most [`CHUNK`] points.
    fn sums(&self, at: Points<'_>) -> Chunk {
        let n = at.len();
        let mut c = Chunk::new();
        let [first, ..] = self.edges[..] else { return c };
        vectorized(
            #[inline(always)]
            || {
                let (px, py, pz) = (&at.x[..n], &at.y[..n], &at.z[..n]);
                let (centre, floor) = (self.centre, self.edge_floor);
                for i in 0..n {
                    let p = [px[i], py[i], pz[i]];
                    let r = minus(p, centre);
                    let r2 = dot(r, r);
                    c.height[i] = self.height(p);
                    c.from_centre[i] = r2.sqrt();
                    c.common[i] = (r2 + self.radius * self.radius).sqrt();
                    c.scale[i] = 1.0 / (c.common[i] * c.common[i] * c.common[i]);
                    let corner = Corner::new(p, first.start, centre, floor);
                    (c.distance[i], c.along[i]) = (corner.distance, corner.along);
                }
                for edge in &self.edges {
                    let edge = *edge;
                    for i in 0..n {
                        let p = [px[i], py[i], pz[i]];
                        let point = Seen {
                            height: c.height[i].abs(),
                            from_centre: c.from_centre[i],
                            common: c.common[i],
                            scale: c.scale[i],
                        };
                        let start = Corner { distance: c.distance[i], along: c.along[i] };
                        let end = Corner::new(p, edge.end, centre, floor);
                        (c.distance[i], c.along[i]) = (end.distance, end.along);
                        let s = edge.sums(p, point, [start, end], floor);
                        c.in_plane[0][i] += edge.outward[0] * s.in_plane;
                        c.in_plane[1][i] += edge.outward[1] * s.in_plane;
                        c.in_plane[2][i] += edge.outward[2] * s.in_plane;
                        c.potential[i] += edge.from_centre * s.log;
                        let (re, im) = (c.near[0][i], c.near[1][i]);
                        c.near[0][i] = re * s.near[0] - im * s.near[1];
                        c.near[1][i] = re * s.near[1] + im * s.near[0];
                        let (re, im) = (c.away[0][i], c.away[1][i]);
                        c.away[0][i] = re * s.away[0] - im * s.away[1];
                        c.away[1][i] = re * s.away[1] + im * s.away[0];
                    }
                }
            },
        );
        c
    }
}

/// What the edges add up to at each of some points.
struct Chunk {
    /// Over the plane, along the normal.
    height: [f64; CHUNK],
    from_centre: [f64; CHUNK],
    /// Distance of a rim of the panel's radius about the centre, across the line of sight.
    common: [f64; CHUNK],
    /// 1/common³.
    scale: [f64; CHUNK],
    /// [`Corner`] at which the next edge starts.
    distance: [f64; CHUNK],
    along: [f64; CHUNK],
    /// `Σ m L`.
    in_plane: [[f64; CHUNK]; 3],
    /// `Σ L` times the edge's distance from the centre.
    potential: [f64; CHUNK],
    /// Cosine and sine, times a positive number, of half the solid angle; good near the panel.
    near: [[f64; CHUNK]; 2],
    /// The same, good away from it.
    away: [[f64; CHUNK]; 2],
}

impl Chunk {
    fn new() -> Self {
        let (zero, one) = ([0.0; CHUNK], [1.0; CHUNK]);
        Self {
            height: zero,
            from_centre: zero,
            common: zero,
            scale: zero,
            distance: zero,
            along: zero,
            in_plane: [zero; 3],
            potential: zero,
            near: [one, zero],
            away: [one, zero],
        }
    }

    /// The solid angle without its sign.
    #[inline(always)]
    fn solid_angle(&self, i: usize, away: f64) -> f64 {
        let away = self.from_centre[i] > away;
        let cosine = if away { self.away[0][i] } else { self.near[0][i] };
        let sine = if away { self.away[1][i] } else { self.near[1][i] };
        // Half the solid angle lies between 0 and π; rounding must not carry it across.
        2.0 * atan2(greater(sine, 0.0), cosine)
    }
}

/// One point as the whole panel sees it, see [`Chunk`].
#[derive(Clone, Copy)]
struct Seen {
    height: f64,
    from_centre: f64,
    common: f64,
    scale: f64,
}

/// One corner as the point sees it.
#[derive(Clone, Copy)]
struct Corner {
    distance: f64,
    /// Product of the vectors from the centre to the corner and to the point.
    along: f64,
}

impl Corner {
    #[inline(always)]
    fn new(p: [f64; 3], corner: [f64; 3], centre: [f64; 3], floor: f64) -> Self {
        let d = minus(p, corner);
        let along = dot(minus(corner, centre), minus(p, centre));
        Self { distance: (dot(d, d) + floor).sqrt(), along }
    }
}

/// What one edge adds.
struct EdgeSums {
    /// L less a multiple of the length common to all edges.
    in_plane: f64,
    /// L.
    log: f64,
    near: [f64; 2],
    away: [f64; 2],
}

impl Edge {
    #[inline(always)]
    fn sums(&self, p: [f64; 3], seen: Seen, ends: [Corner; 2], floor: f64) -> EdgeSums {
        let Seen { height: h, from_centre, common, scale } = seen;
        let (from_start, from_end) = (minus(p, self.start), minus(p, self.end));
        let l = self.length;
        let (r0, r1) = (ends[0].distance, ends[1].distance);
        let s = r0 + r1;
        // The foot of the point on the edge's line: how far after the start, how far before the end.
        let (after, before) = (dot(self.along, from_start), -dot(self.along, from_end));
        let ahead = -dot(self.outward, from_start);
        let rho2 = ahead * ahead + h * h + floor;

        // The common multiple belongs to an edge whose ends are both at the distance `common`;
        // common² less an end's distance² is known without cancellation.
        let short = [0, 1].map(|k| self.short[k] + 2.0 * ends[k].along);
        let (sum0, sum1) = (common + r0, common + r1);
        let sums = sum0 * sum1;
        let over = l / (sums * s * common);
        let (q, less) = (over * sums * common, over * (short[0] * sum1 + short[1] * sum0));

        // (s + l)/(s − l), the denominator multiplied out on whichever side of the ends the foot lies.
        // Far away rounding may put it past neither end.
        let past_start = after > 0.0;
        let past_end = (before > 0.0) | !past_start;
        let above = (if past_start { r0 + after } else { 1.0 })
            * (if past_end { r1 + before } else { 1.0 });
        let below = (if past_start { 1.0 } else { r0 - after })
            * (if past_end { 1.0 } else { r1 - before })
            * (if past_start & past_end { rho2 } else { 1.0 });
        let excess = artanh_excess(q, above, below);

        // Triangle below the edge: tan(Ω/2) = d l/(R₀R₁ + c + |h| s), c the product of the corners' vectors.
        let c = rho2 - after * before;
        let product = r0 * r1;
        let (w, rest) = if c < 0.0 { (product - c, rho2 * l * l) } else { (1.0, product + c) };
        // Triangle from the centre to the edge.
        let r2 = from_centre * from_centre;
        let [c0, c1] = ends.map(|end| r2 - end.along);
        EdgeSums {
            in_plane: excess + less,
            log: excess + 2.0 * q,
            near: [rest + h * s * w, ahead * l * w],
            away: [
                scale * (from_centre * (product + c) + c0 * r1 + c1 * r0),
                scale * (h * self.from_centre * l),
            ],
        }
    }
}

#[inline(always)]
fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[inline(always)]
fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn plus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn length(v: [f64; 3]) -> f64 {
    dot(v, v).sqrt()
}
