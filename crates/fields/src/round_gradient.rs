//! Gradient of bodies of revolution: third derivatives of the potential.
//!
//! Along z a wall is a sheet of loops, so what differentiates along z is the difference of the loop fields
//! at its two ends. Across the axis one more number is needed, `∂(V_ρ/ρ)/∂ρ = (V_ρρ − V_ρ/ρ)/ρ`, from the
//! second derivatives themselves. Near by the error is absolute, 1e-16 J/a; far away the series keeps digits.

use std::f64::consts::FRAC_1_PI;

use crate::Points;
use crate::current_loop::{loop_field, round_field_gradient};
use crate::elliptic::{complete_with_third, five_means};
use crate::forms::{Form, Law, add_law};
use crate::gradient::GradientsMut;
use crate::math::greater;
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
    #[inline(always)]
    fn near(
        &self,
        point: [f64; 3],
        means: impl Fn(f64, f64, f64, f64) -> [f64; 3] + Copy,
    ) -> [f64; 6] {
        let [x, y, z] = point;
        let (h, radii) = (self.body.half_length, self.body.radii);
        let rho = (x * x + y * y).sqrt();
        let [mut a, mut b, mut over] = wall_slopes(radii[0], h, rho, z);
        if WALLS == 2 {
            let inner = wall_slopes(radii[1], h, rho, z);
            a -= inner[0];
            b -= inner[1];
            over -= inner[2];
        }
        let mut across = 0.0;
        if !AXIAL {
            let apart = greater(rho, NEXT_TO_AXIS * radii[0]);
            let [mut axial, _, mut transverse] = near_wall::<false>(radii[0], h, apart, z, means);
            if WALLS == 2 {
                let inner = near_wall::<false>(radii[1], h, apart, z, means);
                axial -= inner[0];
                transverse -= inner[2];
            }
            // V_ρρ is what Laplace leaves, inside too, where `axial` has J and Poisson's right side is J as well.
            across = -(axial + 2.0 * transverse) * (rho / (apart * apart));
        }
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
        self.near(point, five_means)
    }
    #[inline(always)]
    fn far(&self, point: [f64; 3]) -> [f64; 6] {
        let [x, y, z] = point;
        let rho = (x * x + y * y).sqrt();
        turn::<AXIAL>(self.body.j, point, rho, self.zonal.slopes(rho, z))
    }
    fn careful(&self, point: [f64; 3]) -> [f64; 6] {
        self.near(point, any_means)
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
