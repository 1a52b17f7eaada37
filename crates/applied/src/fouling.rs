//! An indicator of fouling by falling flow: thresholds, hysteresis, false alarms.

use statrs::function::erf::erfc;
use std::f64::consts::SQRT_2;

/// Share of a normal distribution below so many standard deviations from its mean.
pub fn normal_below(deviations: f64) -> f64 {
    0.5 * erfc(-deviations / SQRT_2)
}

/// A level that an indicator comes on below, and goes off above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    /// Rate over the clean one below which it comes on.
    pub on: f64,
    /// Rate over the clean one above which it goes off again.
    pub off: f64,
}

impl Threshold {
    /// For a flow that fouling has taken `loss` of, with a hysteresis, both over the clean flow.
    pub fn of_loss(loss: f64, hysteresis: f64) -> Self {
        Self { on: 1.0 - loss, off: 1.0 - loss + hysteresis }
    }

    /// False alarms per reading where nothing is fouled: how often the indicator comes on, over readings.
    ///
    /// Readings are independent and normal about 1 with a standard `deviation`. With p the chance that
    /// one lies below `on` and q that it lies above `off`, the indicator is a chain of two states and comes
    /// on at `p q/(p + q)` of all readings. Follows from the stationary distribution of such a chain.
    ///
    /// `deviation` > 0.
    pub fn false_alarms(&self, deviation: f64) -> f64 {
        let below = normal_below((self.on - 1.0) / deviation);
        let above = normal_below((1.0 - self.off) / deviation);
        // The smaller over the sum first: neither product nor quotient underflows.
        let (less, more) = (below.min(above), below.max(above));
        if more == 0.0 { 0.0 } else { less * (more / (less + more)) }
    }
}

/// Standard deviation of a reading over its mean: the flow's own unsteadiness and that of the count,
/// which is independent of it.
pub fn reading_deviation(unsteady: f64, counted: f64) -> f64 {
    unsteady.hypot(counted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Beyond three, four and five sigma on one side: 1349.898, 31.67124 and 0.286652 per million.
    #[test]
    fn val_tails_of_the_normal_distribution() {
        for (sigma, ppm) in [(3.0, 1349.898), (4.0, 31.67124), (5.0, 0.286_652)] {
            let is = 1e6 * normal_below(-sigma);
            assert!((is / ppm - 1.0).abs() < 2e-6, "{is}");
        }
    }

    /// Two million readings drawn one after another, from sums of twelve numbers of a linear
    /// congruential generator.
    #[test]
    fn cross_false_alarms_of_drawn_readings() {
        let mut state = 0x9e37_79b9_7f4a_7c15u64;
        let mut uniform = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1u64 << 53) as f64
        };
        // Box and Muller's way from two uniform numbers to a normal one.
        let mut normal =
            || (-2.0 * (1.0 - uniform()).ln()).sqrt() * (std::f64::consts::TAU * uniform()).cos();
        for (loss, hysteresis, deviation) in
            [(0.1, 0.02, 0.05), (0.1, 0.08, 0.06), (0.05, 0.0, 0.05)]
        {
            let threshold = Threshold::of_loss(loss, hysteresis);
            let readings = 2_000_000;
            let (mut on, mut alarms) = (false, 0u32);
            for _ in 0..readings {
                let rate = 1.0 + deviation * normal();
                if !on && rate < threshold.on {
                    (on, alarms) = (true, alarms + 1);
                } else if on && rate > threshold.off {
                    on = false;
                }
            }
            let drawn = f64::from(alarms) / f64::from(readings);
            let told = threshold.false_alarms(deviation);
            let sigma = (told / f64::from(readings)).sqrt();
            assert!((drawn - told).abs() < 4.0 * sigma, "{drawn} {told}");
        }
    }

    proptest! {
        #[test]
        fn prop_more_loss_and_more_hysteresis_alarm_less(
            loss in 0.02..0.5f64, hysteresis in 0.0..0.02f64, deviation in 0.005..0.2f64,
        ) {
            let alarms = |loss, hysteresis| {
                Threshold::of_loss(loss, hysteresis).false_alarms(deviation)
            };
            prop_assert!(alarms(loss + 0.01, hysteresis) <= alarms(loss, hysteresis));
            prop_assert!(alarms(loss, hysteresis + 0.01) <= alarms(loss, hysteresis) * (1.0 + 1e-12));
            prop_assert!(alarms(loss, hysteresis) <= 0.5);
        }
    }
}
