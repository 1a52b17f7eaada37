//! What is told of the contacts' life.

use schemars::JsonSchema;
use serde::Serialize;

/// Life by a test, or why there is none to tell.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LifeAnswer {
    /// What a test says; `None` without one.
    pub test: Option<LifeTestAnswer>,
    /// What follows for a machine; `None` where its operations a year are not stated, or nothing to tell it from.
    pub dangerous: Option<DangerousAnswer>,
    /// What to know of it, in sentences.
    pub says: Vec<String>,
}

/// A Weibull distribution fitted to a test, with bounds by the likelihood ratio.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LifeTestAnswer {
    /// Units on test.
    pub units: usize,
    /// Units that failed.
    pub failures: usize,
    /// What they switched, if stated.
    pub load: Option<String>,
    /// Confidence of the bounds, percent.
    pub confidence_percent: f64,
    /// Shape: likeliest, low and high.
    pub shape: [f64; 3],
    /// Operations that 36.8 % outlive.
    pub scale: f64,
    /// Operations by which a tenth has failed: likeliest, low and high.
    pub b10: [f64; 3],
}

/// Mean time to a dangerous failure, from the lower bound of B10 or a stated B10d.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DangerousAnswer {
    /// Operations by which a tenth has failed dangerously.
    pub b10d: f64,
    /// Operations a year, nominal.
    pub operations_per_year: f64,
    /// Mean time to a dangerous failure, years.
    pub mttfd_years: f64,
    /// Time of use within which that holds, years.
    pub t10d_years: f64,
}
