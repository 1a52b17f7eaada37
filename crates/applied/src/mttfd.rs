//! Mean time to a dangerous failure, from the operations by which a tenth has failed.

/// What to know of [`mean_time_to_dangerous_failure`].
pub const MTTFD_CAUTIONS: &str = "B10d counts dangerous failures only; where none were told apart it is taken as \
    twice B10. The formula holds up to T10d, after a tenth of the mean time: parts are to be replaced by then. A \
    channel counts for at most 100 years, 2500 in category 4. It says nothing of systematic failures or of common \
    causes, and the load of the test must be the load of use.";

/// How often and how long a machine works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Use {
    /// Days a year.
    pub days_per_year: f64,
    /// Hours a day.
    pub hours_per_day: f64,
    /// Time from an operation to the next, s.
    pub cycle: f64,
}

impl Use {
    /// Operations a year.
    pub fn operations_per_year(self) -> f64 {
        self.days_per_year * self.hours_per_day * 3600.0 / self.cycle
    }
}

/// Mean time to a dangerous failure, and the time of use within which that holds, both in years.
///
/// `MTTFd = B10d / (0.1 n_op)`, `T10d = B10d / n_op`. Source: `[iso13849-1]` annex C.4; read [`MTTFD_CAUTIONS`].
pub fn mean_time_to_dangerous_failure(b10d: f64, duty: Use) -> (f64, f64) {
    mean_time(b10d, duty.operations_per_year())
}

/// The same from operations a year.
pub fn mean_time(b10d: f64, per_year: f64) -> (f64, f64) {
    let t10d = b10d / per_year;
    (10.0 * t10d, t10d)
}

/// Years that a channel counts for at most below category 4, whatever its mean time. Source: `[iso13849-1]`.
pub const CHANNEL: f64 = 100.0;

/// Operations by which a tenth has failed dangerously, of those by which a tenth has failed.
///
/// `B10d = B10 / share`: twice B10 where half of the failures are dangerous. Source: `[iso13849-1]` annex C.
pub fn b10d(b10: f64, dangerous_share: f64) -> f64 {
    b10 / dangerous_share
}

/// A kind of part with a typical B10d.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typical {
    /// The part, and what it switches.
    pub part: &'static str,
    /// B10d, operations.
    pub b10d: f64,
}

/// Typical values of the standard for contacts: of parts that are built by good practice and used so, and measured on
/// none of them. Source: `[iso13849-1]` table C.1, edition of 2006.
pub const TYPICAL: [Typical; 5] = [
    Typical { part: "relays at small load", b10d: 20e6 },
    Typical { part: "relays at greatest load", b10d: 400e3 },
    Typical { part: "proximity switches at small load", b10d: 20e6 },
    Typical { part: "proximity switches at greatest load", b10d: 400e3 },
    Typical { part: "contactors at nominal load", b10d: 2e6 },
];

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// The example of `[iso13849-1]` annex C.4.3: 60 million operations, 220 days of 16 hours, one in 5 s: 2.53 million
    /// a year, 23.7 years, 237 years.
    #[test]
    fn val_iso_13849_example() {
        let duty = Use { days_per_year: 220.0, hours_per_day: 16.0, cycle: 5.0 };
        close(duty.operations_per_year(), 2.53e6, 2e-3);
        let (mean, t10d) = mean_time_to_dangerous_failure(60e6, duty);
        close(mean, 237.0, 2e-3);
        close(t10d, 23.7, 2e-3);
    }

    /// Table C.1 of `[iso13849-1]`, edition of 2006; B10d is twice B10.
    #[test]
    fn val_iso_13849_typical() {
        let of = |part: &str| TYPICAL.iter().find(|one| one.part == part).expect(part).b10d;
        assert_eq!(of("relays at small load"), 20_000_000.0);
        assert_eq!(of("relays at greatest load"), 400_000.0);
        assert_eq!(of("proximity switches at small load"), 20_000_000.0);
        assert_eq!(of("proximity switches at greatest load"), 400_000.0);
        assert_eq!(of("contactors at nominal load"), 2_000_000.0);
    }

    /// A worked example by `[iso13849-1]`: B10 of 10 million is B10d of 20 million, 1 577 880 operations a year, 126.75
    /// years, five digits printed; a channel counts for 100 of them.
    #[test]
    fn val_twice_b10() {
        let twice = b10d(10e6, 0.5);
        assert_eq!(twice, 20e6);
        let (mean, t10d) = mean_time(twice, 1_577_880.0);
        close(mean, 126.75, 5e-5);
        close(t10d, 12.675, 5e-5);
        assert_eq!(mean.min(CHANNEL), 100.0);
    }
}
