//! How the flux density of soft iron follows the field strength, without hysteresis.

use std::f64::consts::{FRAC_2_PI, PI};

use super::table::Table;
use crate::MU_0;

/// Why a B-H curve cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CurveError {
    /// Fewer than two rows, so there is nothing between them.
    #[error("a B-H table needs at least two rows above zero or at it, not {0}")]
    TooFewRows(usize),
    /// A row does not lie above the one before it in both H and B, or lies below zero.
    #[error("row {0} of the B-H table must lie above the row before it in both H and B")]
    NotRising(usize),
    /// A row with B below μ0 H: less than no iron.
    #[error("row {0} of the B-H table has less flux density than air at the same field strength")]
    BelowAir(usize),
    /// A parameter that is no number or out of its range.
    #[error("{name} must be {range}, not {value}")]
    OutOfRange {
        /// Which parameter.
        name: &'static str,
        /// What it may be.
        range: &'static str,
        /// The value given.
        value: f64,
    },
}

/// A single-valued B-H curve through the origin, odd, rising, with J ≥ 0.
#[derive(Debug, Clone, PartialEq)]
pub struct BhCurve(Shape);

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    Linear { permeability: f64 },
    Arctangent { saturation: f64, initial: f64 },
    Table(Table),
}

impl BhCurve {
    /// A constant relative permeability, at least 1.
    ///
    /// # Errors
    /// [`CurveError::OutOfRange`] below 1 or not finite.
    pub fn linear(permeability: f64) -> Result<Self, CurveError> {
        at_least_one("relative permeability", permeability)?;
        Ok(Self(Shape::Linear { permeability }))
    }

    /// `B = h + Js (2/π) atan(π (μi − 1) h / (2 Js))` with h = μ0 H: two figures of a data sheet.
    ///
    /// | symbol | argument | unit | range |
    /// |---|---|---|---|
    /// | Js | `saturation` | T | > 0 |
    /// | μi | `initial_permeability` | 1 | ≥ 1 |
    ///
    /// The slope at zero is μi, the polarization at infinity Js. Common practice, no source. Real iron has
    /// a bend near zero and a sharper knee.
    ///
    /// # Errors
    /// [`CurveError::OutOfRange`] outside the ranges above.
    pub fn arctangent(saturation: f64, initial_permeability: f64) -> Result<Self, CurveError> {
        if !(saturation > 0.0 && saturation.is_finite()) {
            let (name, range) = ("saturation polarization", "above 0 T");
            return Err(CurveError::OutOfRange { name, range, value: saturation });
        }
        at_least_one("initial permeability", initial_permeability)?;
        Ok(Self(Shape::Arctangent { saturation, initial: initial_permeability }))
    }

    /// Through measured rows `[H in A/m, B in T]`, H as a monotone cubic of B between them.
    ///
    /// The row (0, 0) may be left out. Slopes at the rows are those of `[fritsch1984]`, so the curve rises
    /// wherever the rows do, has a continuous slope and does not overshoot. Beyond the last row the
    /// polarization approaches saturation as J = Js − c/H, which continues value and slope of the last row
    /// and ends with the slope μ0; if the rows end with a slope of μ0 or below it, J stays as it is.
    ///
    /// # Errors
    /// Fewer than two rows, rows that do not rise, a row below μ0 H.
    pub fn table(rows: &[[f64; 2]]) -> Result<Self, CurveError> {
        Table::new(rows).map(|table| Self(Shape::Table(table)))
    }

    /// H (A/m) at the flux density `b` (T).
    pub fn field_strength(&self, b: f64) -> f64 {
        self.reduced_field(b.abs()).0.copysign(b) / MU_0
    }

    /// B (T) at the field strength `field_strength` (A/m): the inverse of [`BhCurve::field_strength`].
    pub fn flux_density(&self, field_strength: f64) -> f64 {
        let h = MU_0 * field_strength.abs();
        let b = match &self.0 {
            Shape::Linear { permeability } => permeability * h,
            Shape::Arctangent { saturation, initial } => arctangent_b(*saturation, *initial, h),
            Shape::Table(table) => table.b(h),
        };
        b.copysign(field_strength)
    }

    /// dB/dH over μ0 at the field strength `field_strength` (A/m).
    pub fn differential_permeability(&self, field_strength: f64) -> f64 {
        1.0 / self.reduced_field(self.flux_density(field_strength.abs())).1
    }

    /// Polarization J = B − μ0 H (T) at the flux density `b` (T).
    pub fn polarization(&self, b: f64) -> f64 {
        b - MU_0 * self.field_strength(b)
    }

    /// True when the permeability does not depend on the field.
    pub(crate) fn is_linear(&self) -> bool {
        matches!(self.0, Shape::Linear { .. })
    }

    /// h = μ0 H (T) and dh/dB at `b ≥ 0` (T).
    pub(crate) fn reduced_field(&self, b: f64) -> (f64, f64) {
        match &self.0 {
            Shape::Linear { permeability } => (b / permeability, 1.0 / permeability),
            Shape::Arctangent { saturation, initial } => {
                let h = arctangent_h(*saturation, *initial, b);
                (h, 1.0 / arctangent_slope(*saturation, *initial, h))
            }
            Shape::Table(table) => table.h(b),
        }
    }

    /// n = h/B and dh/dB at `b ≥ 0` (T).
    pub(crate) fn reluctivities(&self, b: f64) -> (f64, f64) {
        let (h, slope) = self.reduced_field(b);
        (if b > 0.0 { h / b } else { slope }, slope)
    }
}

fn at_least_one(name: &'static str, value: f64) -> Result<(), CurveError> {
    if value >= 1.0 && value.is_finite() {
        Ok(())
    } else {
        Err(CurveError::OutOfRange { name, range: "at least 1", value })
    }
}

fn arctangent_b(saturation: f64, initial: f64, h: f64) -> f64 {
    h + saturation * FRAC_2_PI * (0.5 * PI * (initial - 1.0) * h / saturation).atan()
}

fn arctangent_slope(saturation: f64, initial: f64, h: f64) -> f64 {
    let bend = 0.5 * PI * (initial - 1.0) * h / saturation;
    1.0 + (initial - 1.0) / (1.0 + bend * bend)
}

/// h at `b`: Newton's rule from below, which on a curve that bends down never passes the root.
fn arctangent_h(saturation: f64, initial: f64, b: f64) -> f64 {
    let mut h = (b / initial).max(b - saturation);
    for _ in 0..100 {
        let step =
            (b - arctangent_b(saturation, initial, h)) / arctangent_slope(saturation, initial, h);
        let next = h + step;
        // Steps are positive until rounding takes over.
        if next <= h {
            break;
        }
        h = next;
    }
    h
}
