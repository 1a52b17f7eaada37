//! Resistor ladders: what a chain of resistors tells of which contacts are closed.
//!
//! Contacts stand along the chain at its taps, the first beside its first end. A closed contact joins its tap
//! to the return; where several are closed, all resistors between the outermost of them are bridged.

/// How the chain is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// The resistance from the first end of the chain to the return, Ω.
    Resistance,
    /// The chain lies across a supply and the return is the output: the share of the supply there, counted
    /// from the first end.
    Share,
}

impl Reading {
    /// The words a design may use.
    pub const WORDS: [(&'static str, Self); 2] =
        [("resistance", Self::Resistance), ("share", Self::Share)];
}

/// A chain of resistors with a contact at each tap, Ω.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    /// How it is read.
    pub reading: Reading,
    /// Between the first end and each tap.
    taps: Vec<f64>,
    /// After the last tap: to the return where the resistance is read, infinite where the chain just ends; to
    /// the other end of the supply where a share is.
    pub last: f64,
}

impl Ladder {
    /// A chain with a resistor before the first tap, one between each tap and the next, and one after the last.
    pub fn new(
        reading: Reading,
        first: f64,
        steps: impl IntoIterator<Item = f64>,
        last: f64,
    ) -> Self {
        let mut taps = vec![first];
        for step in steps {
            taps.push(taps[taps.len() - 1] + step);
        }
        Self { reading, taps, last }
    }

    /// What the chain tells with the contacts at these taps closed, in order along it; `None` where none is joined
    /// to the return: an open line.
    pub fn output(&self, closed: &[usize]) -> Option<f64> {
        match closed.first().zip(closed.last()) {
            Some((near, far)) => Some(self.between(*near, *far)),
            None if self.reading == Reading::Resistance => {
                Some(self.whole()).filter(|r| r.is_finite())
            }
            None => None,
        }
    }

    /// What it tells with one contact closed alone.
    pub fn alone(&self, tap: usize) -> f64 {
        self.between(tap, tap)
    }

    /// What it tells with these two closed, whatever is closed between them.
    fn between(&self, near: usize, far: usize) -> f64 {
        let before = self.taps[near];
        match self.reading {
            Reading::Resistance => before,
            Reading::Share => before / (before + (self.whole() - self.taps[far])),
        }
    }

    fn whole(&self) -> f64 {
        self.taps[self.taps.len() - 1] + self.last
    }

    /// The resistors before the first tap and between each tap and the next.
    pub fn resistors(&self) -> impl Iterator<Item = f64> + '_ {
        let steps = self.taps.windows(2).map(|pair| pair[1] - pair[0]);
        std::iter::once(self.taps[0]).chain(steps)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ladder(reading: Reading, last: f64) -> Ladder {
        Ladder::new(reading, 100.0, [10.0, 20.0, 30.0], last)
    }

    /// Resistances by hand: the contact nearest the first end bridges all beyond it.
    #[test]
    fn prop_the_nearest_contact_decides_a_resistance() {
        let chain = ladder(Reading::Resistance, f64::INFINITY);
        assert_eq!(chain.output(&[2]), Some(130.0));
        assert_eq!(chain.output(&[1, 2, 3]), Some(110.0));
        assert_eq!(chain.output(&[]), None);
        assert_eq!(ladder(Reading::Resistance, 40.0).output(&[]), Some(200.0));
        assert_eq!(
            (0..4).map(|k| chain.alone(k)).collect::<Vec<_>>(),
            [100.0, 110.0, 130.0, 160.0]
        );
    }

    /// Shares by nodal analysis: two closed contacts bridge what lies between them, so the chain is shorter.
    #[test]
    fn cross_shares_by_hand() {
        let chain = ladder(Reading::Share, 40.0);
        assert_eq!(chain.output(&[2]), Some(130.0 / 200.0));
        // 110 before, 20 bridged, 30 + 40 after.
        assert_eq!(chain.output(&[1, 2]), Some(110.0 / 180.0));
        assert_eq!(chain.output(&[]), None);
    }

    /// Two neighbours closed at once lie between what each tells alone, and outputs rise along the chain.
    #[test]
    fn prop_two_neighbours_lie_between() {
        let chain = ladder(Reading::Share, 40.0);
        for k in 0..3 {
            let between = chain.output(&[k, k + 1]).expect("joined");
            assert!(chain.alone(k) < between && between < chain.alone(k + 1));
        }
    }
}
