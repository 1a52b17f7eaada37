//! Bodies of revolution from afar: their potential in zonal harmonics.
//!
//! `V = Σ M_n P_n(cos θ)/r^(n+1)` over even n, with moments `M_n = ∫ r^n P_n dV` that are polynomials in
//! the sizes. The second derivatives follow term by term. Differences of closed forms lose
//! `(distance/size)³`; this loses nothing.

use std::cell::Cell;
use std::f64::consts::PI;

use crate::Points;
use crate::cylinder::RoundTensor;

/// Distance in bounding radii from which the series is used.
///
/// 14 terms err by 16^-14 = 1e-17 there, and the closed forms have lost no more than two digits.
pub(crate) const FAR: f64 = 4.0;

/// True where the series serves a body of bounding radius `extent`.
pub(crate) fn is_far(extent: f64, rho: f64, z: f64) -> bool {
    rho * rho + z * z > (FAR * extent).powi(2)
}

/// Number of even harmonics kept: n = 0, 2, ... 26.
const TERMS: usize = 14;

/// Moments of a body of revolution about its centre, mirror-symmetric in z.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Zonal {
    /// Bounding radius, m.
    pub extent: f64,
    /// `M_n / (4π extent^(n+3))` for n = 0, 2, 4, ...
    moments: [f64; TERMS],
}

impl Zonal {
    /// `radial(m)` must give `∫ ρ^m w(ρ) 2πρ dρ / R^(m+2)` for even m, with `R = hypot(outer, half_length)`
    /// and w the weight of the radii.
    fn new(extent: f64, half_length: f64, radial: impl Fn(usize) -> f64) -> Self {
        let h = half_length / extent;
        let radial: [f64; TERMS] = std::array::from_fn(|k| radial(2 * k));
        let axial: [f64; TERMS] =
            std::array::from_fn(|k| 2.0 * h.powi(2 * k as i32 + 1) / (2 * k + 1) as f64);
        let moments = std::array::from_fn(|half_n| {
            let n = 2 * half_n;
            // r^n P_n = Σ_k (−1)^k n! / (4^k k!² (n−2k)!) z^(n−2k) ρ^(2k).
            let mut coefficient = 1.0;
            let mut sum = 0.0;
            for k in 0..=half_n {
                sum += coefficient * axial[half_n - k] * radial[k];
                coefficient *= -(((n - 2 * k) * (n.saturating_sub(2 * k + 1))) as f64)
                    / (4 * (k + 1) * (k + 1)) as f64;
            }
            sum / (4.0 * PI)
        });
        Self { extent, moments }
    }

    /// A solid cylinder.
    pub fn cylinder(radius: f64, half_length: f64) -> Self {
        let extent = radius.hypot(half_length);
        let a = radius / extent;
        Self::new(extent, half_length, |m| 2.0 * PI * a.powi(m as i32 + 2) / (m + 2) as f64)
    }

    /// A tube: outer cylinder less inner, the difference of powers multiplied out.
    pub fn ring(inner: f64, outer: f64, half_length: f64) -> Self {
        let extent = outer.hypot(half_length);
        let (a, b) = (inner / extent, outer / extent);
        Self::new(extent, half_length, |m| {
            let n = m as i32 / 2;
            let sum: f64 = (0..=n).map(|i| a.powi(2 * i) * b.powi(2 * (n - i))).sum();
            2.0 * PI * (b - a) * (b + a) * sum / (m + 2) as f64
        })
    }

    /// Solid cylinders of all radii from `inner` to `outer` with weight 1/(outer − inner): a winding.
    pub fn winding(inner: f64, outer: f64, half_length: f64) -> Self {
        let extent = outer.hypot(half_length);
        let (a, b) = (inner / extent, outer / extent);
        Self::new(extent, half_length, |m| {
            let n = m as i32 + 2;
            let sum: f64 = (0..=n).map(|i| a.powi(i) * b.powi(n - i)).sum();
            2.0 * PI * sum / (((m + 2) * (m + 3)) as f64)
        })
    }

    /// What `make` makes if any of the points is far away, and else the cheapest series of this extent:
    /// making the moments takes as long as a field at fifty points. The last one made for the same `sizes`
    /// is kept, so that few points at a time cost little.
    pub fn if_far(
        extent: f64,
        at: Points<'_>,
        sizes: [f64; 3],
        make: impl FnOnce() -> Self,
    ) -> Self {
        thread_local! {
            static LAST: Cell<Option<([f64; 3], Zonal)>> = const { Cell::new(None) };
        }
        // Rather too near: forms square the distance in other ways.
        let far = (FAR * extent).powi(2) * (1.0 - 1e-12);
        let any = (0..at.len()).any(|i| at.x[i].powi(2) + at.y[i].powi(2) + at.z[i].powi(2) > far);
        if !any {
            return Self { extent, moments: [0.0; TERMS] };
        }
        match LAST.get() {
            Some((of, zonal)) if of == sizes => zonal,
            _ => {
                let zonal = make();
                LAST.set(Some((sizes, zonal)));
                zonal
            }
        }
    }

    /// The tensor at a point beyond [`FAR`] times the extent.
    pub fn tensor(&self, rho: f64, z: f64) -> RoundTensor {
        let [axial, cross, transverse] = self.terms(rho, z);
        RoundTensor { axial, cross, transverse, ..RoundTensor::default() }
    }

    /// The three parts of [`Zonal::tensor`], without branches.
    #[inline(always)]
    pub fn terms(&self, rho: f64, z: f64) -> [f64; 3] {
        let per_extent = 1.0 / self.extent;
        let (rho, z) = (rho * per_extent, z * per_extent);
        let per_r2 = 1.0 / (rho * rho + z * z);
        let per_r = per_r2.sqrt();
        let (x, sine) = (z * per_r, rho * per_r);
        let mut sum = Sum {
            x,
            power: per_r2 * per_r,
            p: [1.0, x],
            dp: [0.0, 1.0],
            axial: 0.0,
            cross: 0.0,
            transverse: 0.0,
        };
        // Written out: only a loop without another inside becomes vector code.
        macro_rules! terms {
            ($($half_n:literal)*) => { $(sum.add($half_n, self.moments[$half_n], per_r2);)* };
        }
        terms!(0 1 2 3 4 5 6 7 8 9 10 11 12 13);
        let Sum { axial, cross, transverse, .. } = sum;
        [axial, cross * sine, transverse]
    }
}

impl Zonal {
    /// Third derivatives over 4π: `∂zzz`, `∂zzρ`, `∂zρ / ρ` and `∂ρ(∂ρ / ρ)`, 1/m, where [`Zonal::terms`] serves.
    #[inline(always)]
    pub fn slopes(&self, rho: f64, z: f64) -> [f64; 4] {
        let per_extent = 1.0 / self.extent;
        let (rho, z) = (rho * per_extent, z * per_extent);
        let per_r2 = 1.0 / (rho * rho + z * z);
        let per_r = per_r2.sqrt();
        let mut sum = Slopes {
            x: z * per_r,
            power: per_r2 * per_r2,
            p: [1.0, z * per_r],
            dp: [0.0, 1.0],
            ddp: [0.0, 0.0],
            sums: [0.0; 4],
        };
        macro_rules! terms {
            ($($half_n:literal)*) => { $(sum.add($half_n, self.moments[$half_n], per_r2);)* };
        }
        terms!(0 1 2 3 4 5 6 7 8 9 10 11 12 13);
        let (sine, [a, b, c, d]) = (rho * per_r, sum.sums);
        [a * per_extent, b * sine * per_extent, c * per_extent, d * sine * per_extent]
    }
}

/// As [`Sum`], one derivative higher.
struct Slopes {
    x: f64,
    power: f64,
    p: [f64; 2],
    dp: [f64; 2],
    ddp: [f64; 2],
    sums: [f64; 4],
}

impl Slopes {
    #[inline(always)]
    fn add(&mut self, half_n: usize, moment: f64, per_r2: f64) {
        let n = (2 * half_n) as f64;
        let m = moment * self.power;
        let ([p, p_next], [dp, dp_next], [ddp, ddp_next]) = (self.p, self.dp, self.ddp);
        let p2 = (2.0 * n + 3.0) / (n + 2.0) * (self.x * p_next) - (n + 1.0) / (n + 2.0) * p;
        let p3 = (2.0 * n + 5.0) / (n + 3.0) * (self.x * p2) - (n + 2.0) / (n + 3.0) * p_next;
        let (dp2, ddp2) = (dp + (2.0 * n + 3.0) * p_next, ddp + (2.0 * n + 3.0) * dp_next);
        let (dp3, ddp3) = (dp_next + (2.0 * n + 5.0) * p2, ddp_next + (2.0 * n + 5.0) * dp2);
        let two = (n + 1.0) * (n + 2.0);
        self.sums[0] -= m * (two * (n + 3.0)) * p3;
        self.sums[1] -= m * two * dp3;
        self.sums[2] += m * (n + 1.0) * dp2;
        self.sums[3] += m * ddp2;
        (self.p, self.dp, self.ddp) = ([p2, p3], [dp2, dp3], [ddp2, ddp3]);
        self.power *= per_r2;
    }
}

/// A partial sum of the series and the state of its recurrences.
struct Sum {
    /// cos θ.
    x: f64,
    /// `1/r^(n+3)`.
    power: f64,
    /// P_n and P_(n+1).
    p: [f64; 2],
    /// Their derivatives.
    dp: [f64; 2],
    axial: f64,
    cross: f64,
    transverse: f64,
}

impl Sum {
    /// Adds the term of n = 2 `half_n`.
    #[inline(always)]
    fn add(&mut self, half_n: usize, moment: f64, per_r2: f64) {
        let n = (2 * half_n) as f64;
        let m = moment * self.power;
        let ([p, p_next], [dp, dp_next]) = (self.p, self.dp);
        // Two steps of the recurrences up.
        let p2 = (2.0 * n + 3.0) / (n + 2.0) * (self.x * p_next) - (n + 1.0) / (n + 2.0) * p;
        let dp2 = dp + (2.0 * n + 3.0) * p_next;
        self.axial += m * ((n + 1.0) * (n + 2.0)) * p2;
        self.cross += m * (n + 1.0) * dp2;
        self.transverse -= m * dp_next;
        let p3 = (2.0 * n + 5.0) / (n + 3.0) * (self.x * p2) - (n + 2.0) / (n + 3.0) * p_next;
        self.dp = [dp2, dp_next + (2.0 * n + 5.0) * p2];
        self.p = [p2, p3];
        self.power *= per_r2;
    }
}
