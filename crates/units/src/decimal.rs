//! Decimal numbers as written, so that `8 + 0.3` is 8.3 and not its neighbour.

/// `mantissa × 10^exponent`, exact.
///
/// Arithmetic is exact while the mantissa fits and falls back to the nearest double where it does
/// not, so no operation can fail. Magnitudes are kept within 1e±60 at the door, which keeps every
/// product of a number and a unit finite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Decimal {
    mantissa: i128,
    exponent: i32,
}

/// Why digits are not a [`Decimal`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DecimalError {
    /// More digits than are held exactly.
    TooLong,
    /// Outside 1e±60.
    OutOfRange,
}

const MAX_DIGITS: usize = 30;
const MAX_MAGNITUDE: i64 = 60;

impl Decimal {
    /// The number zero.
    pub const ZERO: Self = Self { mantissa: 0, exponent: 0 };

    /// From digits before and after the point and a power of ten.
    pub fn from_digits(whole: &str, fraction: &str, power: i64) -> Result<Self, DecimalError> {
        let digits = format!("{whole}{fraction}");
        let digits = digits.trim_start_matches('0');
        if digits.is_empty() {
            return Ok(Self::ZERO);
        }
        if digits.len() > MAX_DIGITS {
            return Err(DecimalError::TooLong);
        }
        let exponent = power.saturating_sub(fraction.len() as i64);
        let magnitude = exponent.saturating_add(digits.len() as i64);
        if magnitude.abs() > MAX_MAGNITUDE {
            return Err(DecimalError::OutOfRange);
        }
        let mantissa = digits.parse().map_err(|_| DecimalError::TooLong)?;
        Ok(Self { mantissa, exponent: exponent as i32 })
    }

    /// The shortest decimal that reads back as the given finite double.
    pub fn from_f64(value: f64) -> Self {
        let text = format!("{value:e}");
        let (digits, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        let mantissa = format!("{whole}{fraction}").parse().unwrap_or(0);
        let exponent = exponent.parse().unwrap_or(0) - fraction.len() as i32;
        Self { mantissa, exponent }
    }

    /// The nearest double.
    pub fn to_f64(self) -> f64 {
        // The standard library's reader is correctly rounded; this is its input.
        format!("{}e{}", self.mantissa, self.exponent).parse().unwrap_or(f64::NAN)
    }

    pub fn is_zero(self) -> bool {
        self.mantissa == 0
    }

    pub fn negated(self) -> Self {
        Self { mantissa: -self.mantissa, ..self }
    }

    pub fn magnitude(self) -> Self {
        Self { mantissa: self.mantissa.abs(), ..self }
    }

    /// This many hundredths.
    pub fn percent(self) -> Self {
        Self { exponent: self.exponent - 2, ..self }
    }

    pub fn half(self) -> Self {
        match self.mantissa.checked_mul(5) {
            Some(mantissa) => Self { mantissa, exponent: self.exponent - 1 },
            None => Self::from_f64(self.to_f64() / 2.0),
        }
    }

    pub fn plus(self, other: Self) -> Self {
        self.aligned_sum(other).unwrap_or_else(|| Self::from_f64(self.to_f64() + other.to_f64()))
    }

    pub fn minus(self, other: Self) -> Self {
        self.plus(other.negated())
    }

    pub fn times(self, other: Self) -> Self {
        match self.mantissa.checked_mul(other.mantissa) {
            Some(mantissa) => Self { mantissa, exponent: self.exponent + other.exponent },
            None => Self::from_f64(self.to_f64() * other.to_f64()),
        }
    }

    /// The quotient by a divisor other than zero: exact if it ends within a dozen more digits.
    pub fn over(self, divisor: Self) -> Self {
        for extra in 0..12 {
            let Some(widened) = self.mantissa.checked_mul(10_i128.pow(extra)) else { break };
            if widened % divisor.mantissa == 0 {
                return Self {
                    mantissa: widened / divisor.mantissa,
                    exponent: self.exponent - divisor.exponent - extra as i32,
                };
            }
        }
        Self::from_f64(self.to_f64() / divisor.to_f64())
    }

    fn aligned_sum(self, other: Self) -> Option<Self> {
        if self.is_zero() {
            return Some(other);
        }
        if other.is_zero() {
            return Some(self);
        }
        let exponent = self.exponent.min(other.exponent);
        let widen = |d: Self| {
            let shift = u32::try_from(d.exponent - exponent).ok()?;
            d.mantissa.checked_mul(10_i128.checked_pow(shift)?)
        };
        let mantissa = widen(self)?.checked_add(widen(other)?)?;
        Some(Self { mantissa, exponent })
    }
}
