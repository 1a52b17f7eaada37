//! Life of the contacts, of one unit of the design.

use crate::realise::Pick;
use reedmace_applied::mttfd::{b10d, mean_time};
use reedmace_design::Design;

/// What a test or a B10d from elsewhere says, at definite values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LifeAt {
    /// Of the test, if there is one.
    b10: Option<[f64; 2]>,
    /// Operations by which a tenth has failed dangerously, on the safe side.
    b10d: f64,
    per_year: Option<f64>,
}

impl LifeAt {
    /// `None` without either.
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let life = design.life.as_ref()?;
        let per_year = life.operations_per_year.as_ref().map(|number| pick(number));
        let b10 = life.test.as_ref().map(|test| [test.b10.value, test.b10.low]);
        let b10d = match b10 {
            Some([_, low]) => b10d(low, pick(&life.dangerous_share)),
            None => pick(life.b10d.as_ref()?),
        };
        Some(Self { b10, b10d, per_year })
    }

    /// Adds B10, its lower bound and the mean time to a dangerous failure in years, as far as they are told.
    pub fn tell(&self, figures: &mut Vec<f64>) {
        figures.extend(self.b10.into_iter().flatten());
        figures.extend(self.per_year.map(|per_year| mean_time(self.b10d, per_year).0));
    }
}
