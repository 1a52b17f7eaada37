//! Life of the contacts, of one unit of the design.

use crate::realise::Pick;
use reedmace_applied::life::mean_time;
use reedmace_design::Design;

/// What a test says, at definite values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LifeAt {
    b10: [f64; 2],
    dangerous: f64,
    per_year: Option<f64>,
}

impl LifeAt {
    /// `None` without a test.
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let life = design.life.as_ref()?;
        let dangerous = pick(&life.dangerous_share);
        let per_year = life.operations_per_year.as_ref().map(|number| pick(number));
        let b10 = life.test.as_ref()?.b10;
        Some(Self { b10: [b10.value, b10.low], dangerous, per_year })
    }

    /// Adds B10, its lower bound and the mean time to a dangerous failure in years, as far as they are told.
    pub fn tell(&self, figures: &mut Vec<f64>) {
        figures.extend(self.b10);
        figures.extend(self.per_year.map(|per_year| mean_time(self.b10d(), per_year).0));
    }

    /// Operations by which a tenth has failed dangerously, on the safe side.
    pub fn b10d(&self) -> f64 {
        self.b10[1] / self.dangerous
    }
}
