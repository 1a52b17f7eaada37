//! Sums without rounding, so that their order cannot matter.

use serde::{Deserialize, Serialize};

/// Binary digits of one place of a sum.
const PLACE: i32 = 32;
const PLACE_MASK: i64 = (1 << PLACE) - 1;
/// Places that one product can touch: 106 digits, shifted by up to 31.
const TOUCHED: usize = 5;
/// Each addition puts less than 2^33 on a place, which holds 2^63.
const CARRY_AFTER: u32 = 1 << 29;

/// An exact sum of any number of f64 and of products of two f64: every bit is kept until
/// [`value`](Self::value) rounds once. Therefore any order, grouping or shards give the same sum.
///
/// Digits in base 2³² with room for many additions before they carry, as in the superaccumulator of
/// `[neal2015]`; only the places that were touched are stored, 5 to 10 for figures of like size.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(from = "Places", into = "Places")]
pub struct ExactSum {
    /// The sum is that of `digits[k] 2^(32 (lowest + k))`.
    digits: Vec<i64>,
    lowest: i32,
    since_carry: u32,
}

/// A sum written in the one way that there is: sign and digits, the first and last not 0.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
struct Places {
    negative: bool,
    lowest: i32,
    digits: Vec<u32>,
}

impl ExactSum {
    /// Adds a number.
    ///
    /// # Panics
    /// If it is not finite.
    pub fn add(&mut self, x: f64) {
        let (negative, digits, exponent) = parts(x);
        self.add_scaled(negative, digits.into(), exponent);
    }

    /// Adds the exact product of two numbers.
    ///
    /// # Panics
    /// If one is not finite.
    pub fn add_product(&mut self, x: f64, y: f64) {
        let ((one, p, i), (other, q, j)) = (parts(x), parts(y));
        self.add_scaled(one != other, u128::from(p) * u128::from(q), i + j);
    }

    /// Adds another sum.
    pub fn add_sum(&mut self, other: &Self) {
        self.add_places(&other.places(), false);
    }

    /// Takes another sum away.
    pub fn subtract_sum(&mut self, other: &Self) {
        self.add_places(&other.places(), true);
    }

    /// The exact product of two sums.
    #[must_use]
    pub fn times(&self, other: &Self) -> Self {
        let (one, two) = (self.places(), other.places());
        let negative = one.negative != two.negative;
        let mut product = Self::default();
        for (i, p) in (one.lowest..).zip(&one.digits) {
            for (j, q) in (two.lowest..).zip(&two.digits) {
                let digits = u64::from(*p) * u64::from(*q);
                product.add_scaled(negative, digits.into(), PLACE * (i + j));
            }
        }
        product
    }

    /// The exact product with a count.
    #[must_use]
    pub fn times_count(&self, count: u64) -> Self {
        let mut factor = Self::default();
        factor.add_scaled(false, count.into(), 0);
        self.times(&factor)
    }

    /// The f64 nearest to the sum (below 1e-290, one of the two nearest).
    #[must_use]
    pub fn value(&self) -> f64 {
        let Places { negative, lowest, digits } = self.places();
        let (below, top) = digits.split_at(digits.len().saturating_sub(4));
        // At least 97 digits and, in the last, whether anything follows: what decides the rounding.
        let digits = top.iter().rev().fold(0u128, |n, d| n << PLACE | u128::from(*d))
            | u128::from(!below.is_empty());
        let exponent = PLACE * (lowest + below.len() as i32);
        let size = times_power_of_two(digits as f64, exponent);
        if negative { -size } else { size }
    }

    /// Adds `± digits 2^exponent`; the digits are at most 106.
    fn add_scaled(&mut self, negative: bool, digits: u128, exponent: i32) {
        if digits == 0 {
            return;
        }
        let place = exponent.div_euclid(PLACE);
        let shift = exponent.rem_euclid(PLACE);
        let first = self.room(place);
        let low = u128::from(digits as u64) << shift;
        let high = (digits >> 64) << shift;
        let at = |wide: u128, place: i32| (wide >> (PLACE * place)) as i64 & PLACE_MASK;
        let added = [at(low, 0), at(low, 1), at(low, 2) + at(high, 0), at(high, 1), at(high, 2)];
        let sign = if negative { -1 } else { 1 };
        for (digit, added) in self.digits[first..][..TOUCHED].iter_mut().zip(added) {
            *digit += sign * added;
        }
        self.since_carry += 1;
        if self.since_carry == CARRY_AFTER {
            *self = self.places().into();
        }
    }

    /// Where `place` is among the digits, after making room for what can be added there.
    fn room(&mut self, place: i32) -> usize {
        if self.digits.is_empty() {
            self.lowest = place;
        }
        if place < self.lowest {
            let more = (self.lowest - place) as usize;
            self.digits.splice(0..0, std::iter::repeat_n(0, more));
            self.lowest = place;
        }
        let first = (place - self.lowest) as usize;
        if first + TOUCHED > self.digits.len() {
            self.digits.resize(first + TOUCHED, 0);
        }
        first
    }

    fn add_places(&mut self, places: &Places, take_away: bool) {
        for (place, digit) in (places.lowest..).zip(&places.digits) {
            self.add_scaled(places.negative != take_away, u128::from(*digit), PLACE * place);
        }
    }

    fn places(&self) -> Places {
        let (carry, digits) = carried(self.digits.iter().copied());
        let negative = carry < 0;
        let (carry, mut digits) =
            if negative { carried(self.digits.iter().map(|d| -d)) } else { (carry, digits) };
        digits.push(carry as u32);
        while digits.last() == Some(&0) {
            digits.pop();
        }
        let zeros = digits.iter().take_while(|d| **d == 0).count();
        digits.drain(..zeros);
        let lowest = if digits.is_empty() { 0 } else { self.lowest + zeros as i32 };
        Places { negative, lowest, digits }
    }
}

/// Digits of 32 bits, from the lowest, and what is left above them: it has the sign of the whole.
fn carried(digits: impl Iterator<Item = i64>) -> (i64, Vec<u32>) {
    let mut carry = 0;
    let digits = digits
        .map(|digit| {
            let whole = digit + carry;
            carry = whole >> PLACE;
            (whole & PLACE_MASK) as u32
        })
        .collect();
    (carry, digits)
}

/// `x 2^exponent`, in steps that f64 can hold.
fn times_power_of_two(x: f64, exponent: i32) -> f64 {
    let power = |exponent: i32| f64::from_bits(((1023 + exponent) as u64) << 52);
    let step = exponent.clamp(-1000, 1000);
    let x = x * power(step);
    if step == exponent { x } else { times_power_of_two(x, exponent - step) }
}

/// Sign, whole number and power of two of an f64.
fn parts(x: f64) -> (bool, u64, i32) {
    assert!(x.is_finite(), "only finite numbers can be summed");
    let bits = x.to_bits();
    let exponent = (bits >> 52 & 0x7ff) as i32;
    let fraction = bits & ((1 << 52) - 1);
    let (digits, exponent) =
        if exponent == 0 { (fraction, -1074) } else { (fraction | 1 << 52, exponent - 1075) };
    (x.is_sign_negative(), digits, exponent)
}

impl From<Places> for ExactSum {
    fn from(places: Places) -> Self {
        let mut sum = Self::default();
        sum.add_places(&places, false);
        sum
    }
}

impl From<ExactSum> for Places {
    fn from(sum: ExactSum) -> Self {
        sum.places()
    }
}

/// Equal as numbers.
impl PartialEq for ExactSum {
    fn eq(&self, other: &Self) -> bool {
        self.places() == other.places()
    }
}

impl Eq for ExactSum {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_carrying_changes_nothing() {
        let mut sum = ExactSum::default();
        for x in [1e300, -1e-300, 0.1, -7.0, 3e10] {
            sum.add(x);
        }
        let mut carried: ExactSum = sum.places().into();
        assert_eq!(carried, sum);
        carried.since_carry = CARRY_AFTER - 1;
        carried.add(0.5);
        assert!(carried.since_carry < 100, "it has carried");
        sum.add(0.5);
        assert_eq!(carried, sum);
    }
}
