//! What a test of contacts says of their life.

use crate::basis::{Basis, Model};
use crate::figures::Figure;
use crate::schema::Measure;
use crate::value::Value;
use reedmace_applied::life::{Bounded, Fit};
use reedmace_units::Ratio;
use std::ops::Range;

/// `[life]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// The test, if there is one.
    pub test: Option<LifeTest>,
    /// Operations by which a tenth has failed dangerously, of a maker or a standard, where there is no test.
    pub b10d: Option<Value<Ratio>>,
    /// What the contacts switched in it.
    pub load: Option<String>,
    /// Confidence of bounds.
    pub confidence: Value<Ratio>,
    /// How often a contact operates in a year, if stated.
    pub operations_per_year: Option<Value<Ratio>>,
    /// Share of failures that are dangerous.
    pub dangerous_share: Value<Ratio>,
    /// The user's note.
    pub note: Option<String>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// A test with what is fitted to it.
#[derive(Debug, Clone, PartialEq)]
pub struct LifeTest {
    /// Units on test.
    pub units: usize,
    /// The fit.
    pub fit: Fit,
    /// Its shape, with bounds.
    pub shape: Bounded,
    /// Operations by which a tenth has failed, with bounds.
    pub b10: Bounded,
}

impl Life {
    /// What is told of it, in the order in which `engine` tells the values.
    pub(crate) fn figures(&self) -> Vec<Figure> {
        let told = |name: &str, about, source| {
            let basis = Basis::new(Model::Life, source);
            Figure::new("life", name.to_owned(), (Measure::Number, ""), about, basis)
        };
        let mut figures = Vec::new();
        if self.test.is_some() {
            let b10 = "Operations by which a tenth of the units has failed, by the likeliest Weibull distribution of \
                       the test.";
            let low = "Lower bound of B10, by the likelihood ratio, at the stated confidence of both bounds.";
            figures.push(told("B10", b10, "[meeker1998]"));
            figures.push(told("B10 at least", low, "[meeker1998]"));
        }
        if self.operations_per_year.is_some() && (self.test.is_some() || self.b10d.is_some()) {
            let from = if self.test.is_some() {
                "Mean time to a dangerous failure, B10d/(0.1 n_op), from the lower bound of B10 over the share of \
                 failures that are dangerous."
            } else {
                "Mean time to a dangerous failure, B10d/(0.1 n_op), from the B10d that is stated."
            };
            figures.push(told("MTTFd in years", from, "[iso13849-1]"));
        }
        figures
    }
}
