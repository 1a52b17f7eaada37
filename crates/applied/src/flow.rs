//! Pulses of a flow meter: K-factor, counting, linearity.

/// Pulses per time of a meter. `f = K Q`
///
/// | symbol | argument | unit | range |
/// |---|---|---|---|
/// | K | `k_factor` | 1/m³ | > 0 |
/// | Q | `flow` | m³/s | any |
///
/// The definition of the K-factor, pulses per volume passed; common practice, no source.
///
/// ```
/// use reedmace_applied::flow::pulse_rate;
/// let (per_litre, litres_per_minute) = (450.0 * 1e3, 10.0 * 1e-3 / 60.0);
/// assert!((pulse_rate(per_litre, litres_per_minute) - 75.0).abs() < 1e-12);
/// ```
pub fn pulse_rate(k_factor: f64, flow: f64) -> f64 {
    k_factor * flow
}

/// The flow (m³/s) at which a meter of `k_factor` (1/m³) gives `rate` pulses per second.
pub fn flow(k_factor: f64, rate: f64) -> f64 {
    rate / k_factor
}

/// The volume (m³) that so many pulses stand for. `V = N/K`
pub fn volume(k_factor: f64, pulses: f64) -> f64 {
    pulses / k_factor
}

/// K-factor (1/m³) of a wheel that gives `pulses` per turn and lets `volume` (m³) through in it.
pub fn k_factor(pulses: f64, volume: f64) -> f64 {
    pulses / volume
}

/// What an indication must be multiplied by: true over indicated volume.
///
/// The usual word of turbine metering; from memory.
pub fn meter_factor(true_volume: f64, indicated_volume: f64) -> f64 {
    true_volume / indicated_volume
}

/// Linearity of a meter over a range of flows: half the spread of its K-factor over the middle of it,
/// `(K_max − K_min)/(K_max + K_min)`.
///
/// The usual definition of turbine metering; from memory.
pub fn linearity(greatest_k_factor: f64, least_k_factor: f64) -> f64 {
    (greatest_k_factor - least_k_factor) / (greatest_k_factor + least_k_factor)
}

/// Greatest error of a rate counted over a gate, over the rate: one pulse more or less, `1/(f T)`.
///
/// `rate` in Hz, `gate` in s, both > 0. In a gate that opens at any time lie the whole part of f T pulses
/// or one more, so no count is off by a whole pulse; a law of arithmetic.
pub fn gate_error(rate: f64, gate: f64) -> f64 {
    1.0 / (rate * gate)
}

/// The lowest rate (Hz) that a gate (s) tells to within `share` of it.
pub fn slowest_rate(gate: f64, share: f64) -> f64 {
    1.0 / (gate * share)
}

/// One standard deviation of a count over a gate, in pulses: √(p (1 − p)) with p the fraction of f T, for
/// a gate that opens at any time.
///
/// Such a count is the whole part of f T, or with probability p one more.
pub fn count_deviation(rate: f64, gate: f64) -> f64 {
    let p = (rate * gate).fract();
    (p * (1.0 - p)).sqrt()
}

/// The same for a rate that is not known to a pulse over the gate: 1/√6, the root of the mean of p (1 − p).
pub fn mean_count_deviation() -> f64 {
    (1.0f64 / 6.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LITRE: f64 = 1e-3;
    const PER_MINUTE: f64 = LITRE / 60.0;

    /// 450 pulses per litre at 10 L/min are 75 Hz; 900 pulses are 2 L.
    #[test]
    fn val_k_factor_by_definition() {
        let k = 450.0 / LITRE;
        assert!((pulse_rate(k, 10.0 * PER_MINUTE) - 75.0).abs() < 1e-12);
        assert!((volume(k, 900.0) - 2.0 * LITRE).abs() < 1e-18);
        assert!((k_factor(9.0, 0.02 * LITRE) - k).abs() < 1e-9);
        assert!((meter_factor(10.0, 9.8) - 1.020_408_163_265_306).abs() < 1e-15);
        assert!((linearity(453.0, 447.0) - 1.0 / 150.0).abs() < 1e-15);
    }

    /// Gates laid over a train of pulses at a thousand places: counts, their spread and worst error.
    #[test]
    fn cross_counts_in_gates_laid_anywhere() {
        for (rate, gate) in [(3.3, 1.0), (12.75, 1.0), (0.4, 5.0), (7.0, 0.25)] {
            let count = |opens: f64| {
                let before = |time: f64| (time * rate).ceil();
                before(opens + gate) - before(opens)
            };
            let opened = 100_000;
            let counts: Vec<f64> = (0..opened)
                .map(|k| count((f64::from(k) + 0.5) / f64::from(opened) / rate))
                .collect();
            let mean = counts.iter().sum::<f64>() / f64::from(opened);
            let square = counts.iter().map(|c| (c - mean).powi(2)).sum::<f64>() / f64::from(opened);
            assert!((mean - rate * gate).abs() < 1e-4, "{mean}");
            assert!((square.sqrt() - count_deviation(rate, gate)).abs() < 1e-4);
            let worst = counts.iter().map(|c| (c / gate / rate - 1.0).abs()).fold(0.0, f64::max);
            assert!(worst <= gate_error(rate, gate), "{worst}");
        }
    }

    #[test]
    fn law_the_mean_deviation_is_that_over_all_rates() {
        let all =
            (0..1000).map(|k| count_deviation(3.0 + (f64::from(k) + 0.5) / 1000.0, 1.0).powi(2));
        assert!((all.sum::<f64>() / 1000.0 - mean_count_deviation().powi(2)).abs() < 1e-6);
    }

    proptest! {
        #[test]
        fn prop_flow_and_rate_are_each_others_way_back(k in 1e3..1e7f64, q in 1e-7..1e-1f64) {
            prop_assert!((flow(k, pulse_rate(k, q)) / q - 1.0).abs() < 1e-14);
            let rate = pulse_rate(k, q);
            let gate = 10.0;
            prop_assert!((gate_error(slowest_rate(gate, 0.01), gate) - 0.01).abs() < 1e-15);
            prop_assert!(gate_error(rate, gate) > gate_error(2.0 * rate, gate));
        }
    }
}
