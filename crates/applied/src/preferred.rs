//! Preferred numbers of resistors and capacitors.

/// A series of preferred numbers: so many of them to a decade. `[iec60063]`
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Series {
    /// Six to a decade, usually ± 20 %.
    E6,
    /// Twelve to a decade, usually ± 10 %.
    E12,
    /// Twenty-four to a decade, usually ± 5 %.
    E24,
    /// Forty-eight to a decade, usually ± 2 %.
    E48,
    /// Ninety-six to a decade, usually ± 1 %.
    E96,
}

/// E24 is not the rounded geometric series: the standard keeps older numbers at 27 to 47 and 82.
const E24: [u16; 24] = [
    100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470, 510, 560,
    620, 680, 750, 820, 910,
];

impl Series {
    /// The words a design may use.
    pub const WORDS: [(&'static str, Self); 5] = [
        ("E6", Self::E6),
        ("E12", Self::E12),
        ("E24", Self::E24),
        ("E48", Self::E48),
        ("E96", Self::E96),
    ];

    /// The numbers of one decade, 100 to 999.
    pub fn decade(self) -> Vec<u16> {
        let every = |step: usize| E24.into_iter().step_by(step).collect();
        // From E48 on the series is 10^(k/n) to three digits.
        let rounded = |n: u32| {
            let number = |k: u32| 10f64.powf(2.0 + f64::from(k) / f64::from(n)).round() as u16;
            (0..n).map(number).collect()
        };
        match self {
            Self::E6 => every(4),
            Self::E12 => every(2),
            Self::E24 => every(1),
            Self::E48 => rounded(48),
            Self::E96 => rounded(96),
        }
    }

    /// The preferred number nearest to a positive value, by their difference.
    ///
    /// ```
    /// use reedmace_applied::preferred::Series;
    /// assert_eq!(Series::E24.nearest(4800.0), 4700.0);
    /// assert_eq!(Series::E96.nearest(4800.0), 4750.0);
    /// assert_eq!(Series::E12.nearest(50e3), 47e3);
    /// ```
    pub fn nearest(self, value: f64) -> f64 {
        let off = |number: &f64| (number - value).abs();
        let around = self.around(value);
        around
            .into_iter()
            .min_by(|a, b| off(a).total_cmp(&off(b)))
            .expect("three decades of numbers")
    }

    /// The least preferred number not below a positive value.
    pub fn at_least(self, value: f64) -> f64 {
        let slack = value * (1.0 - 1e-12);
        self.around(value).into_iter().find(|number| *number >= slack).expect("a decade lies above")
    }

    /// The greatest preferred number not above a positive value.
    pub fn at_most(self, value: f64) -> f64 {
        let slack = value * (1.0 + 1e-12);
        let below = self.around(value).into_iter().rev().find(|number| *number <= slack);
        below.expect("a decade lies below")
    }

    /// The numbers of the value's decade and of those on either side, rising.
    fn around(self, value: f64) -> Vec<f64> {
        let decade = value.log10().floor() as i32;
        let decades = (decade - 1..=decade + 1).flat_map(|power| {
            let numbers = self.decade().into_iter();
            // Whole numbers over whole powers of ten: the double nearest to what is printed.
            numbers.map(move |n| match power - 2 {
                up @ 0.. => f64::from(n) * 10f64.powi(up),
                down => f64::from(n) / 10f64.powi(-down),
            })
        });
        decades.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The values of `[iec60063]`, as the Python package eseries 1.2.1 prints them.
    #[test]
    fn val_series() {
        assert_eq!(Series::E6.decade(), [100, 150, 220, 330, 470, 680]);
        let e12 = [100, 120, 150, 180, 220, 270, 330, 390, 470, 560, 680, 820];
        assert_eq!(Series::E12.decade(), e12);
        assert_eq!(Series::E96.decade()[..10], [100, 102, 105, 107, 110, 113, 115, 118, 121, 124]);
        assert_eq!(Series::E48.decade()[..6], [100, 105, 110, 115, 121, 127]);
        assert_eq!(Series::E96.decade()[95], 976);
    }

    #[test]
    fn prop_at_least_and_at_most_enclose_and_keep_what_is_preferred() {
        for (_, series) in Series::WORDS {
            for k in -40..40 {
                let value = 1.37f64.powi(k);
                let (below, above) = (series.at_most(value), series.at_least(value));
                assert!(below <= value && value <= above && above / below < 1.6, "{value}");
                assert_eq!((series.at_most(below), series.at_least(below)), (below, below));
            }
        }
    }
}
