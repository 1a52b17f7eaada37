//! Pulses of a contact that something passes: what operate time, bounce, release time and a filter leave
//! of them.

/// How long a contact takes, s, each at least 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Times {
    /// From the drive past operate to the first touch.
    pub operate: f64,
    /// From the first touch to the last time it opens again.
    pub bounce: f64,
    /// From the drive below release to the opening.
    pub release: f64,
}

/// Shares of a turn over which the drive holds a contact closed, and leaves it open: of the shortest
/// pulse and of the shortest pause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Shortest closed stretch over a turn.
    pub closed: f64,
    /// Shortest open stretch over a turn.
    pub open: f64,
}

impl Times {
    /// How long the shortest pulse is closed without bounce, and the shortest pause open, s, at so many
    /// turns per second: `c/n − t_op − t_b + t_re` and `o/n + t_op − t_re`.
    ///
    /// The contact closes `t_op` late and opens `t_re` late; it bounces at the beginning of a pulse only.
    /// Arithmetic of the times of IEC 62246-1 `[iec62246]`.
    pub fn steady(&self, of: Shares, turns: f64) -> [f64; 2] {
        [
            of.closed / turns - self.operate - self.bounce + self.release,
            of.open / turns + self.operate - self.release,
        ]
    }

    /// The fastest wheel, turns/s, of which a filter of so long a window (s, 0 for none) still counts
    /// every pulse: it must be under drive for the operate time, then closed and open longer than the window.
    ///
    /// A filter takes over a state once it has stood for its window.
    pub fn fastest(&self, of: Shares, window: f64) -> f64 {
        // A share of the turn must take longer than this; always true of a time of 0 or less.
        let within = |share: f64, time: f64| if time > 0.0 { share / time } else { f64::INFINITY };
        within(of.closed, self.operate)
            .min(within(of.closed, self.operate + self.bounce - self.release + window))
            .min(within(of.open, self.release - self.operate + window))
    }

    /// Between which windows (s) a filter takes no bounce for a pulse and loses none at so many turns per
    /// second. The upper may lie below the lower: then no window serves.
    pub fn windows(&self, of: Shares, turns: f64) -> [f64; 2] {
        let [closed, open] = self.steady(of, turns);
        [self.bounce, closed.min(open)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Counts by stepping through time: the drive, the contact late by its times and bouncing, the filter.
    fn counted(times: Times, of: Shares, turns: f64, window: f64, pulses: usize) -> usize {
        let step = 1e-6;
        let period = (of.closed + of.open) / turns;
        let closed_for = of.closed / turns;
        let (mut since_change, mut arrived, mut bouncing) = (0.0f64, false, 0.0f64);
        let (mut driven, mut filtered, mut stood, mut last) = (false, false, 0.0f64, false);
        let mut count = 0;
        let steps = ((pulses as f64 * period + 2.0 * (times.release + window)) / step) as usize;
        for k in 0..steps {
            let time = k as f64 * step;
            let now = time < pulses as f64 * period && time % period < closed_for;
            if now != driven {
                (driven, since_change) = (now, 0.0);
            }
            since_change += step;
            if driven && !arrived && since_change > times.operate {
                (arrived, bouncing) = (true, 0.0);
            }
            if !driven && arrived && since_change > times.release {
                arrived = false;
            }
            bouncing += step;
            // Bounces every 100 µs: closed, open, closed, to the end of the bounce.
            let open_again = bouncing < times.bounce && (bouncing / 50e-6) as usize % 2 == 1;
            let closed = arrived && !open_again;
            stood = if closed == last { stood + step } else { step };
            last = closed;
            if closed != filtered && stood > window {
                filtered = closed;
                count += usize::from(closed);
            }
        }
        count
    }

    #[test]
    fn cross_every_pulse_is_counted_below_the_fastest_wheel_and_none_above() {
        let times = Times { operate: 0.5e-3, bounce: 0.4e-3, release: 0.1e-3 };
        for (closed, open, window) in
            [(0.1, 0.15, 0.6e-3), (0.2, 0.05, 0.6e-3), (0.05, 0.2, 1e-3), (0.02, 0.2, 0.5e-3)]
        {
            let of = Shares { closed, open };
            let fastest = times.fastest(of, window);
            assert_eq!(counted(times, of, 0.99 * fastest, window, 20), 20, "{of:?}");
            assert!(counted(times, of, 1.02 * fastest, window, 20) < 20, "{of:?}");
        }
        // A window shorter than a bounce counts bounces.
        let of = Shares { closed: 0.1, open: 0.15 };
        assert!(counted(times, of, 20.0, 30e-6, 20) > 20);
        // Without a filter and without bounce a pulse is lost when the drive leaves before the blade arrives.
        let clean = Times { bounce: 0.0, ..times };
        assert_eq!(counted(clean, of, 0.99 * clean.fastest(of, 0.0), 0.0, 20), 20);
        assert_eq!(counted(clean, of, 1.01 * clean.fastest(of, 0.0), 0.0, 20), 0);
    }

    proptest! {
        #[test]
        fn prop_the_upper_window_is_the_one_whose_fastest_wheel_it_is(
            t in prop::array::uniform3(1e-5..2e-3f64), closed in 0.01..0.4f64, open in 0.01..0.4f64,
        ) {
            let times = Times { operate: t[0], bounce: t[1], release: t[2] };
            let of = Shares { closed, open };
            let turns = 0.5 * times.fastest(of, 0.0).min(1e3);
            let [_, high] = times.windows(of, turns);
            if high > 0.0 {
                let fastest = times.fastest(of, high);
                // The operate time alone may stop a slower wheel.
                prop_assert!(fastest <= turns * (1.0 + 1e-9));
                prop_assert!(fastest >= turns.min(closed / times.operate) * (1.0 - 1e-9));
            }
        }
    }
}
