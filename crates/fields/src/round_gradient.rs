//! Gradient of bodies of revolution: third derivatives of the potential.
//!
//! Along z a wall is a sheet of loops, so what differentiates along z is the difference of the loop fields
//! at its two ends. Across the axis one more number is needed, `∂(V_ρ/ρ)/∂ρ = (V_ρρ − V_ρ/ρ)/ρ`, from the
//! second derivatives themselves. Near by the error is absolute, 1e-16 J/a; far away the series keeps digits.

use std::f64::consts::FRAC_1_PI;

use crate::Points;
use crate::current_loop::{loop_field, round_field_gradient};
use crate::elliptic::complete_with_third;
use crate::forms::{BLOCK, Form, Lane, Law, Room, add_law};
use crate::gradient::GradientsMut;
use crate::math::{fma, greater};
use crate::round::{LEAST_KC2, Round, near_wall};
use crate::zonal::{FAR, Zonal};

/// Nearer the axis than this, in outer radii, the number which vanishes there grows in proportion.
const NEXT_TO_AXIS: f64 = 1e-4;

struct GradientLaw<const WALLS: usize, const AXIAL: bool> {
    body: Round<WALLS>,
    zonal: Zonal,
    /// Squared distance from which the series serves, m².
    far: f64,
}

impl<const WALLS: usize> Round<WALLS> {
    /// Adds the gradient of B.
    pub fn add_gradient(self, at: Points<'_>, out: GradientsMut<'_>) {
        let zonal = self.zonal(at);
        let far = (FAR * zonal.extent).powi(2);
        if self.j[0] == 0.0 && self.j[1] == 0.0 {
            add_law(&GradientLaw::<WALLS, true> { body: self, zonal, far }, at, out.slices());
        } else {
            add_law(&GradientLaw::<WALLS, false> { body: self, zonal, far }, at, out.slices());
        }
    }
}

/// K, s K and the third kind for any modulus, one point at a time.
fn any_means(kc: f64, k2: f64, _per_k2: f64, g: f64) -> [f64; 3] {
    let e = complete_with_third(greater(kc, 1e-16), k2, g);
    [e.k, e.k * e.s, e.third]
}

impl<const WALLS: usize, const AXIAL: bool> GradientLaw<WALLS, AXIAL> {
    /// Distance from the axis at which the number that vanishes on it is taken.
    #[inline(always)]
    fn apart(&self, rho: f64) -> f64 {
        greater(rho, NEXT_TO_AXIS * self.body.radii[0])
    }

    /// `sum` and the slopes of a wall's ends.
    #[inline(always)]
    fn plus_slopes(&self, wall: usize, rho: f64, z: f64, sum: [f64; 3]) -> [f64; 3] {
        let factor = if wall == 0 { 1.0 } else { -1.0 };
        let part = wall_slopes(self.body.radii[wall], self.body.half_length, rho, z);
        [0, 1, 2].map(
            #[inline(always)]
            |c| fma(factor, part[c], sum[c]),
        )
    }

    /// From the slopes, and the axial, cross and transverse part of the field at [`Self::apart`].
    #[inline(always)]
    fn finished(
        &self,
        point: [f64; 3],
        rho: f64,
        [a, b, over]: [f64; 3],
        [axial, _, transverse]: [f64; 3],
    ) -> [f64; 6] {
        let apart = self.apart(rho);
        // V_ρρ is what Laplace leaves, inside too, where `axial` has J and Poisson's right side is J as well.
        let across = -(axial + 2.0 * transverse) * (rho / (apart * apart));
        turn::<AXIAL>(self.body.j, point, rho, [a, b, over, across])
    }
}

impl<const WALLS: usize, const AXIAL: bool> Law<6> for GradientLaw<WALLS, AXIAL> {
    #[inline(always)]
    fn form(&self, [x, y, z]: [f64; 3]) -> Form {
        let rho2 = x * x + y * y;
        let rho = rho2.sqrt();
        let u = z.abs() - self.body.half_length;
        let mut served = true;
        for a in self.body.radii {
            let (gap, sum) = (a - rho, a + rho);
            served &= AXIAL || gap * gap + u * u > LEAST_KC2 * (sum * sum + u * u);
        }
        if rho2 + z * z > self.far {
            Form::Far
        } else if served {
            Form::Quick
        } else {
            Form::Careful
        }
    }
    #[inline(always)]
    fn quick(&self, point: [f64; 3]) -> [f64; 6] {
        let [x, y, z] = point;
        let rho = (x * x + y * y).sqrt();
        let mut slopes = self.plus_slopes(0, rho, z, [0.0; 3]);
        if WALLS == 2 {
            slopes = self.plus_slopes(1, rho, z, slopes);
        }
        let mut field = [0.0; 3];
        if !AXIAL {
            field = self.body.wall::<false>(0).plus_wall(self.apart(rho), z, field);
            if WALLS == 2 {
                field = self.body.wall::<false>(1).plus_wall(self.apart(rho), z, field);
            }
        }
        self.finished(point, rho, slopes, field)
    }
    #[inline(always)]
    fn quick_block(&self, n: usize, at: &[Lane; 3], out: &mut [Lane; 6], room: &mut Room) {
        assert!(n <= BLOCK, "more than a block");
        let ([rho, apart], rest) = room.split_first_chunk_mut().expect("ROOM is more");
        let (slopes, rest) = rest.split_first_chunk_mut::<3>().expect("ROOM is more");
        let (field, rest) = rest.split_first_chunk_mut::<3>().expect("ROOM is more");
        for k in 0..n {
            rho[k] = (at[0][k] * at[0][k] + at[1][k] * at[1][k]).sqrt();
            apart[k] = self.apart(rho[k]);
            for sum in slopes.iter_mut().chain(&mut *field) {
                sum[k] = 0.0;
            }
        }
        for wall in 0..WALLS {
            for k in 0..n {
                let sum = [slopes[0][k], slopes[1][k], slopes[2][k]];
                let sum = self.plus_slopes(wall, rho[k], at[2][k], sum);
                for c in 0..3 {
                    slopes[c][k] = sum[c];
                }
            }
            if !AXIAL {
                self.body.wall::<false>(wall).add_block(n, apart, &at[2], field, rest);
            }
        }
        for k in 0..n {
            let point = [at[0][k], at[1][k], at[2][k]];
            let slopes = [slopes[0][k], slopes[1][k], slopes[2][k]];
            let field = [field[0][k], field[1][k], field[2][k]];
            let v = self.finished(point, rho[k], slopes, field);
            for c in 0..6 {
                out[c][k] = v[c];
            }
        }
    }
    #[inline(always)]
    fn far(&self, point: [f64; 3]) -> [f64; 6] {
        let [x, y, z] = point;
        let rho = (x * x + y * y).sqrt();
        turn::<AXIAL>(self.body.j, point, rho, self.zonal.slopes(rho, z))
    }
    fn careful(&self, point: [f64; 3]) -> [f64; 6] {
        let [x, y, z] = point;
        let rho = (x * x + y * y).sqrt();
        let (mut slopes, mut field) = ([0.0; 3], [0.0; 3]);
        for (wall, radius) in self.body.radii.into_iter().enumerate() {
            slopes = self.plus_slopes(wall, rho, z, slopes);
            let factor = if wall == 0 { 1.0 } else { -1.0 };
            let half_length = self.body.half_length;
            let part = near_wall::<false>(radius, half_length, self.apart(rho), z, any_means);
            field = [0, 1, 2].map(|c| field[c] + factor * part[c]);
        }
        self.finished(point, rho, slopes, field)
    }
}

/// `∂zzz`, `∂zzρ` and `∂zρ / ρ` over 4π of a wall, 1/m: loop fields of its two ends.
#[inline(always)]
fn wall_slopes(radius: f64, half_length: f64, rho: f64, z: f64) -> [f64; 3] {
    let per_radius = 1.0 / radius;
    let (radial, gap) = (rho * per_radius, (radius - rho) * per_radius);
    let up = (z + half_length) * per_radius;
    let down = (z - half_length) * per_radius;
    let (top, bottom) = (loop_field(radial, gap, up), loop_field(radial, gap, down));
    let scale = FRAC_1_PI * per_radius;
    [
        scale * (top[0] - bottom[0]),
        scale * radial * (top[1] - bottom[1]),
        scale * (top[2] - bottom[2]),
    ]
}

/// The gradient of B for polarization `j` from `∂zzz`, `∂zzρ`, `∂zρ / ρ` and `∂ρ(∂ρ / ρ)`.
#[inline(always)]
fn turn<const AXIAL: bool>(
    j: [f64; 3],
    [x, y, _]: [f64; 3],
    rho: f64,
    [a, b, over, across]: [f64; 4],
) -> [f64; 6] {
    let per_rho = 1.0 / greater(rho, f64::MIN_POSITIVE);
    let (c, s) = if rho > 0.0 { (x * per_rho, y * per_rho) } else { (1.0, 0.0) };
    if AXIAL {
        return round_field_gradient([a * j[2], b * j[2], over * j[2]], c, s);
    }
    let (j_rho, j_phi) = (j[0] * c + j[1] * s, j[1] * c - j[0] * s);
    // In the frame of the point: 1 outwards, 2 round the axis.
    let g11 = -(b + across) * j_rho - (a + over) * j[2];
    let g22 = across * j_rho + over * j[2];
    let g33 = b * j_rho + a * j[2];
    let g12 = across * j_phi;
    let g13 = -(a + over) * j_rho + b * j[2];
    let g23 = over * j_phi;
    [
        c * c * g11 - 2.0 * c * s * g12 + s * s * g22,
        s * s * g11 + 2.0 * c * s * g12 + c * c * g22,
        g33,
        c * s * (g11 - g22) + (c * c - s * s) * g12,
        s * g13 + c * g23,
        c * g13 - s * g23,
    ]
}
