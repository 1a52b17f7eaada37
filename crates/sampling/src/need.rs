//! How many units it takes to say something.

use crate::{beta, interval::beta_interval};

/// More units than anybody tries: what cannot be had with as many is not to be had.
const MOST: u64 = 1 << 53;

/// Fewest independent units of which a share near `share` (0 to 1) is known at `confidence` (0 to 1) to
/// within an interval no wider than `width` (0 to 1): that of [`clopper_pearson`](crate::clopper_pearson).
/// None if 2⁵³ units are too few.
///
/// Scrambled points mostly need fewer, seldom many more; what was reached is told by
/// [`Tally::interval`](crate::Tally::interval).
#[must_use]
pub fn units_for_width(share: f64, width: f64, confidence: f64) -> Option<u64> {
    fewest(|units| {
        let interval = beta_interval(share * units as f64, units as f64, confidence);
        interval.high - interval.low <= width
    })
}

/// Fewest independent units that let one claim "at most a share `share` (0 to 1) fails" at `confidence`
/// (0 to 1, one-sided), if no more than `failures` of them fail. A claim of 10 ppm is `1e-5`; without
/// failures, 95 % take about three over the share. None if 2⁵³ units are too few.
#[must_use]
pub fn units_for_claim(share: f64, failures: u64, confidence: f64) -> Option<u64> {
    if !(0.0 < share && share < 1.0) {
        return (share >= 1.0).then_some(1);
    }
    // The chance of so few failures although the claim is wrong, at its limit: the binomial sum.
    let log_odds = (1.0 - share).ln() - share.ln();
    let luck = |units: u64| beta::below((units - failures) as f64, failures as f64 + 1.0, log_odds);
    fewest(|units| units > failures && luck(units) <= 1.0 - confidence)
}

/// The least number that does, if every greater one does too.
fn fewest(does: impl Fn(u64) -> bool) -> Option<u64> {
    let mut high = 1;
    while !does(high) {
        high *= 2;
        if high > MOST {
            return None;
        }
    }
    let mut low = high / 2;
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if does(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}
