//! The uniformly polarized segment of a tube.
//!
//! With T the tensor `∫ n R⃗/R³ dS` over the body's surface, `4π μ0 H = T J`. Its flat sides are
//! [`ChargedPolygon`]s. Its walls are slices at the angle ψ from the field point, closed over the height:
//! with d the distance in the plane and u the height over an end, `D² = d² + u²`,
//!
//! - `∫ dz/R³ = Δ u/(d² D) = Δ [sign(u)/d² − sign(u)/(D (D + |u|))]`,
//! - `∫ z dz/R³ = −Δ 1/D`.
//!
//! `Δ sign(u)/d²` is what an endless wall makes, in closed form over ψ. What remains is smooth but at the
//! rims and is integrated numerically ([`crate::arc`]). The end faces are not needed: Laplace's equation
//! gives their part of T from the others.

use std::f64::consts::{PI, TAU};

use crate::arc::{NODES, Nodes, nearness, panels};
use crate::carrier::{Carrier, Cell, end_face, mantle, parallelogram};
use crate::cylinder::radius;
use crate::dipoles::Dipoles;
use crate::error::{finite, tube};
use crate::math::{fma, sign};
use crate::quadrature::gauss_legendre;
use crate::simd::vectorized;
use crate::{ChargedPolygon, FieldError, MU_0, Points, Source, Vectors, VectorsMut};

/// Floor of D², in units of the outer radius squared; compare [`crate::Magnet`].
const EDGE_FLOOR: f64 = 1e-32;

/// Radii within this factor of ρ have the endless wall's part in closed form.
const NEAR_WALL: f64 = 2.0;

/// Beyond this many radii of the bounding sphere the body is a cloud of dipoles.
const FAR: f64 = 20.0;

/// A uniformly polarized segment of a tube about z, centred on z = 0.
///
/// [`Source::add_b`] gives `B = μ0 H + J` inside and the mean of both sides on a face; on an edge as
/// [`crate::Magnet`].
///
/// Largest error over |B| against 32-digit quadrature, from 1e-9 radii off a face to 5,000 sizes away
/// (`cross_mpmath_segment`): 2e-13; 1e-12 at 1e-6 radii from an edge. Beside a flat side the field of an
/// axial polarization is what parts near J/2 leave over, known to 3e-15 J: 2e-12 of |B| in the tests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingSegment {
    /// Radius of the hole, m.
    pub inner_radius: f64,
    /// Radius of the outside, m.
    pub outer_radius: f64,
    /// Half of the length along z, m.
    pub half_length: f64,
    /// Angle from x at which the segment begins, rad.
    pub from_angle: f64,
    /// Angle at which it ends, more than the first and less than a turn more, rad.
    pub to_angle: f64,
    /// Polarization J, T.
    pub polarization: [f64; 3],
}

impl RingSegment {
    /// A segment by its radii, half length (m), angles (rad) and polarization (T).
    ///
    /// # Errors
    /// A size that is not positive and finite, a hole not smaller than the outside, angles that do not
    /// span more than 0 and less than a full turn, a polarization that is not finite.
    pub fn new(
        radii: [f64; 2],
        half_length: f64,
        angles: [f64; 2],
        polarization: [f64; 3],
    ) -> Result<Self, FieldError> {
        tube(radii[0], radii[1], half_length)?;
        for angle in angles {
            finite("angle", angle)?;
        }
        for component in polarization {
            finite("polarization", component)?;
        }
        let span = angles[1] - angles[0];
        if span <= 0.0 || span >= TAU {
            return Err(FieldError::NotArc { span });
        }
        Ok(Self {
            inner_radius: radii[0],
            outer_radius: radii[1],
            half_length,
            from_angle: angles[0],
            to_angle: angles[1],
            polarization,
        })
    }

    fn span(&self) -> f64 {
        self.to_angle - self.from_angle
    }

    fn middle_angle(&self) -> f64 {
        0.5 * (self.from_angle + self.to_angle)
    }

    /// Volume, m³.
    pub fn volume(&self) -> f64 {
        let across =
            (self.outer_radius - self.inner_radius) * (self.outer_radius + self.inner_radius);
        self.span() * across * self.half_length
    }

    /// Magnetic moment `J V / μ0`, A·m².
    pub fn moment(&self) -> [f64; 3] {
        self.polarization.map(|j| j * self.volume() / MU_0)
    }

    /// Corner of the section at an angle: radius and height by sign of z.
    fn corner(&self, angle: f64, rho: f64, z: f64) -> [f64; 3] {
        let (sine, cosine) = angle.sin_cos();
        [rho * cosine, rho * sine, z]
    }

    /// Mean of the middle and the span's bounding sphere: centre on the middle radius, radius, m.
    fn bounding_sphere(&self) -> ([f64; 3], f64) {
        let half = 0.5 * self.span();
        // The circle through the outer corners bounds the sector up to half a turn.
        let out = if half < 0.5 * PI { self.outer_radius * half.cos() } else { 0.0 };
        let centre = self.corner(self.middle_angle(), out, 0.0);
        let in_plane = if half < 0.5 * PI {
            (self.outer_radius * half.sin())
                .max(self.outer_radius - out)
                .max((self.inner_radius - out).abs())
        } else {
            self.outer_radius
        };
        (centre, in_plane.hypot(self.half_length))
    }

    /// The flat sides, areas outward.
    pub(crate) fn sides(&self) -> Option<[ChargedPolygon; 2]> {
        let side = |angle: f64, flip: bool| {
            let h = self.half_length;
            let mut c = [
                self.corner(angle, self.inner_radius, -h),
                self.corner(angle, self.outer_radius, -h),
                self.corner(angle, self.outer_radius, h),
                self.corner(angle, self.inner_radius, h),
            ];
            if flip {
                c.reverse();
            }
            ChargedPolygon::new(&c).ok()
        };
        Some([side(self.from_angle, false)?, side(self.to_angle, true)?])
    }

    /// 1 inside, 0 outside, ½ on a face, ¼ on an edge; the sides by the sign the polygons see.
    #[inline(always)]
    fn share_inside(&self, p: [f64; 3], rho: f64, sides: &[ChargedPolygon; 2]) -> f64 {
        let share = |beyond: f64| 0.5 * (1.0 - sign(beyond));
        let (sine, cosine) = self.middle_angle().sin_cos();
        let side = &sides[usize::from(cosine * p[1] - sine * p[0] >= 0.0)];
        share(rho - self.outer_radius)
            * share(self.inner_radius - rho)
            * share(p[2].abs() - self.half_length)
            * share(side.height(p))
    }

    /// The walls' part of T in the frame of the field point (along ρ, along φ, z).
    #[inline(always)]
    fn walls(&self, rho: f64, phi: f64, z: f64) -> Walls {
        let middle = (self.middle_angle() - phi + PI).rem_euclid(TAU) - PI;
        let (from, to) = (middle - 0.5 * self.span(), middle + 0.5 * self.span());
        let ends = [z + self.half_length, z - self.half_length];
        // 2 between the ends, 1 at the height of one, 0 beyond.
        let endless = sign(ends[0]) - sign(ends[1]);
        let mut walls = Walls::default();
        let mut eta = f64::INFINITY;
        let mut rings = [Wall::default(); 2];
        for (ring, (a, side)) in
            rings.iter_mut().zip([(self.outer_radius, 1.0), (self.inner_radius, -1.0)])
        {
            let near = endless != 0.0 && rho < NEAR_WALL * a && a < NEAR_WALL * rho;
            if near {
                walls.add_endless(a, rho, [from, to], endless * side);
            }
            let endless = if near { 0.0 } else { endless };
            *ring = Wall { a, side, gap: rho - a, endless };
            let height = if endless == 0.0 { ends[0].abs().min(ends[1].abs()) } else { 0.0 };
            eta = eta.min(nearness(ring.gap * ring.gap + height * height, 4.0 * a * rho));
        }
        let floor = EDGE_FLOOR * self.outer_radius * self.outer_radius;
        let mut sums = [[0.0; NODES]; 6];
        panels(
            from,
            to,
            eta,
            #[inline(always)]
            |nodes| {
                for ring in &rings {
                    if ring.endless == 0.0 {
                        ring.add::<false>(nodes, rho, ends, floor, &mut sums);
                    } else {
                        ring.add::<true>(nodes, rho, ends, floor, &mut sums);
                    }
                }
            },
        );
        let total = |k: usize| sums[k].iter().sum::<f64>();
        Walls {
            rho_rho: walls.rho_rho + total(0),
            phi_rho: walls.phi_rho + total(1),
            rho_phi: walls.rho_phi + total(2),
            phi_phi: walls.phi_phi + total(3),
            z_rho: total(4),
            z_phi: total(5),
        }
    }

    /// The body as dipoles, for points far away.
    fn dipoles(&self) -> Dipoles {
        let rule = gauss_legendre::<5>();
        let arcs = (self.span() / 0.8).ceil();
        let mut dipoles = Dipoles::default();
        for arc in 0..arcs as usize {
            for (x, wx) in rule {
                let angle = self.from_angle + self.span() * (arc as f64 + 0.5 * (1.0 + x)) / arcs;
                for (y, wy) in rule {
                    let (low, high) = (self.inner_radius, self.outer_radius);
                    let rho = low + 0.5 * (high - low) * (1.0 + y);
                    for (t, wt) in rule {
                        let weight = 0.25 * wx * wy * wt * self.half_length * (high - low);
                        let volume = weight * rho * self.span() / arcs;
                        dipoles.push(self.corner(angle, rho, self.half_length * t), volume);
                    }
                }
            }
        }
        dipoles
    }
}

/// Components of T from the walls: `rho_phi` is the field along ρ of charge `n_φ`.
#[derive(Debug, Clone, Copy, Default)]
struct Walls {
    rho_rho: f64,
    phi_rho: f64,
    rho_phi: f64,
    phi_phi: f64,
    z_rho: f64,
    z_phi: f64,
}

impl Walls {
    /// Adds `factor ∫ n R⃗/d² a dψ` of a wall of radius `a`: as complex numbers `R⃗/d² = 1/(ρ − a e^(−iψ))`,
    /// whose product with `e^(±iψ)` integrates to logarithms.
    fn add_endless(&mut self, a: f64, rho: f64, [from, to]: [f64; 2], factor: f64) {
        let (s1, c1) = from.sin_cos();
        let (s2, c2) = to.sin_cos();
        // ρ − a e^(−iψ), its real part (ρ − a) + 2a sin²(ψ/2) without cancellation.
        let away = |angle: f64, sine: f64| {
            let half = (0.5 * angle).sin();
            [(rho - a) + 2.0 * a * half * half, a * sine]
        };
        let (w1, w2) = (away(from, s1), away(to, s2));
        let log = 0.5 * (squared(w2, a) / squared(w1, a)).ln();
        let span = to - from;
        // The direction of w turns steadily while ρ > a, where its real part is positive; while ρ < a the
        // same holds of −w e^(iψ) = a − ρ e^(iψ). On the wall the mean of both.
        let outside = w2[1].atan2(w2[0]) - w1[1].atan2(w1[0]);
        let inside = {
            let seen = |angle: f64, sine: f64| {
                let half = (0.5 * angle).sin();
                (-rho * sine).atan2((a - rho) + 2.0 * rho * half * half)
            };
            seen(to, s2) - seen(from, s1) - span
        };
        let turn = if rho > a {
            outside
        } else if rho < a {
            inside
        } else {
            0.5 * (outside + inside)
        };
        // ∫ a e^(−iψ)/w dψ and ∫ a e^(iψ)/w dψ.
        let minus = [turn, -log];
        let q = a / rho;
        let plus = [q * (s2 - s1) + q * q * (span + turn), -q * (c2 - c1) - q * q * log];
        self.rho_rho += factor * 0.5 * (plus[0] + minus[0]);
        self.phi_rho += factor * 0.5 * (plus[1] + minus[1]);
        self.rho_phi += factor * 0.5 * (plus[1] - minus[1]);
        self.phi_phi += factor * 0.5 * (minus[0] - plus[0]);
    }
}

/// |w|², kept from 0 on an edge.
fn squared(w: [f64; 2], a: f64) -> f64 {
    w[0] * w[0] + w[1] * w[1] + EDGE_FLOOR * a * a
}

/// One wall as a field point sees it.
#[derive(Debug, Clone, Copy, Default)]
struct Wall {
    /// Radius, m.
    a: f64,
    /// +1 where the body is inside, −1 round the hole.
    side: f64,
    /// ρ − a.
    gap: f64,
    /// The endless part, where it is to be integrated with the rest; else 0.
    endless: f64,
}

impl Wall {
    /// Adds the integrands times weights at a panel's nodes, node by node.
    ///
    /// `NUMERIC`: the endless part too.
    #[inline(always)]
    fn add<const NUMERIC: bool>(
        &self,
        n: &Nodes,
        rho: f64,
        ends: [f64; 2],
        floor: f64,
        sums: &mut [[f64; NODES]; 6],
    ) {
        let (h0, h1) = (ends[0].abs(), ends[1].abs());
        let (s0, s1) = (sign(ends[0]), sign(ends[1]));
        let a = self.a;
        for (k, half_sine) in n.half_sine.into_iter().enumerate() {
            let half2 = half_sine * half_sine;
            let (cosine, sine) = (fma(-2.0, half2, 1.0), 2.0 * half_sine * n.half_cosine[k]);
            let d2 = fma(4.0 * a * rho, half2, fma(self.gap, self.gap, floor));
            let (r0, r1) = (fma(h0, h0, d2).sqrt(), fma(h1, h1, d2).sqrt());
            let (below0, below1) = (r0 * (r0 + h0), r1 * (r1 + h1));
            let over = 1.0 / (below0 * below1);
            let (v0, v1) = (over * below1, over * below0);
            let weight = self.side * a * n.weight[k];
            let endless = if NUMERIC { self.endless / d2 } else { 0.0 };
            let across = weight * (endless - fma(s0, v0, -(s1 * v1)));
            let along = weight * fma(v1, r1 + h1, -(v0 * (r0 + h0)));
            let (x, y) = (fma(2.0 * a, half2, self.gap), -a * sine);
            let (to_rho, to_phi) = (across * cosine, across * sine);
            sums[0][k] = fma(to_rho, x, sums[0][k]);
            sums[1][k] = fma(to_rho, y, sums[1][k]);
            sums[2][k] = fma(to_phi, x, sums[2][k]);
            sums[3][k] = fma(to_phi, y, sums[3][k]);
            sums[4][k] = fma(along, cosine, sums[4][k]);
            sums[5][k] = fma(along, sine, sums[5][k]);
        }
    }
}

impl Source for RingSegment {
    fn add_b(&self, at: Points<'_>, mut out: VectorsMut<'_>) {
        let Some(sides) = self.sides() else { return };
        let (centre, extent) = self.bounding_sphere();
        let far = |p: [f64; 3]| {
            (0..3).map(|i| (p[i] - centre[i]).powi(2)).sum::<f64>() > (FAR * extent).powi(2)
        };
        let dipoles = std::cell::LazyCell::new(|| self.dipoles());
        // The sides' field for a charge of 1: what they add to H along J, and to T's trace.
        let mut of_side = [Vectors::zeros(at.len()), Vectors::zeros(at.len())];
        for (side, field) in sides.iter().zip(&mut of_side) {
            side.add_field(at, 1.0, field.view_mut());
        }
        let j = self.polarization;
        vectorized(
            #[inline(always)]
            || {
                for i in 0..at.len() {
                    let p = at.get(i);
                    if far(p) {
                        out.add(i, dipoles.field(j, p));
                        continue;
                    }
                    let rho = radius(p);
                    let phi = p[1].atan2(p[0]);
                    let (c, s) = if rho > 0.0 { (p[0] / rho, p[1] / rho) } else { (1.0, 0.0) };
                    let (j_rho, j_phi) = (j[0] * c + j[1] * s, j[1] * c - j[0] * s);
                    let w = self.walls(rho, phi, p[2]);
                    let b_rho = w.rho_rho * j_rho + w.rho_phi * j_phi + w.z_rho * j[2];
                    let b_phi = w.phi_rho * j_rho + w.phi_phi * j_phi + w.z_phi * j[2];
                    let b_z = w.z_rho * j_rho + w.z_phi * j_phi - (w.rho_rho + w.phi_phi) * j[2];
                    let b = [b_rho * c - b_phi * s, b_rho * s + b_phi * c, b_z];
                    let mut b = b.map(|component| component / (4.0 * PI));
                    for (side, field) in sides.iter().zip(&of_side) {
                        let (n, g) = (side.normal(), field.get(i));
                        let charge = n[0] * j[0] + n[1] * j[1];
                        b[0] += charge * g[0] + j[2] * n[0] * g[2];
                        b[1] += charge * g[1] + j[2] * n[1] * g[2];
                        b[2] += charge * g[2] - j[2] * (n[0] * g[0] + n[1] * g[1]);
                    }
                    // The trace of T is −4π inside, which the end faces bring along z: B_z has it already.
                    let within = self.share_inside(p, rho, &sides);
                    out.add(i, [b[0] + within * j[0], b[1] + within * j[1], b[2]]);
                }
            },
        );
    }

    fn bounding_radius(&self) -> f64 {
        self.outer_radius.hypot(self.half_length)
    }

    fn clearance(&self, point: [f64; 3]) -> f64 {
        let rho = radius(point);
        let above = (point[2].abs() - self.half_length).max(0.0);
        let angle = (point[1].atan2(point[0]) - self.middle_angle() + PI).rem_euclid(TAU) - PI;
        let beyond = angle.abs() - 0.5 * self.span();
        if beyond <= 0.0 {
            let across = (rho - self.outer_radius).max(self.inner_radius - rho).max(0.0);
            return across.hypot(above);
        }
        // To the nearer side: along its radius, and across it.
        let along = (rho * beyond.cos()).clamp(self.inner_radius, self.outer_radius);
        let (dx, dy) = (rho * beyond.cos() - along, rho * beyond.sin());
        dx.hypot(dy).hypot(above)
    }
}

impl Carrier for RingSegment {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        let j = self.polarization;
        let (h, radii) = (self.half_length, [self.inner_radius, self.outer_radius]);
        let mut cells = Vec::new();
        let arcs = (self.span() / (0.5 * PI)).ceil();
        for k in 0..arcs as usize {
            let width = self.span() / arcs;
            let arc = (self.from_angle + k as f64 * width, width);
            cells.extend([h, -h].map(|z| end_face(j, radii, z, arc)));
            cells.push(mantle(j, self.outer_radius, h, arc, 1.0));
            cells.push(mantle(j, self.inner_radius, h, arc, -1.0));
        }
        for (angle, flip) in [(self.from_angle, false), (self.to_angle, true)] {
            let (sine, cosine) = angle.sin_cos();
            let wall = self.outer_radius - self.inner_radius;
            let (a, b) = ([wall * cosine, wall * sine, 0.0], [0.0, 0.0, 2.0 * h]);
            let corner = self.corner(angle, self.inner_radius, -h);
            let [a, b] = if flip { [b, a] } else { [a, b] };
            cells.push(parallelogram(j, corner, a, b));
        }
        Ok(cells)
    }
    fn reach(&self) -> f64 {
        self.bounding_radius()
    }
}
