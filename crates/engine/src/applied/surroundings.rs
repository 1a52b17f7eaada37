//! How near a conductor must stand to matter.

use crate::realise::Pick;
use crate::track::Course;
use reedmace_design::Design;
use reedmace_fields::MU_0;
use std::f64::consts::TAU;

/// Share of the operate level from which a field from outside matters (common practice, no source).
const MATTERS: f64 = 0.05;

/// The currents near by at definite values, A.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Currents(Vec<f64>);

impl Currents {
    pub fn of(design: &Design, pick: &Pick) -> Self {
        Self(design.conductors.iter().map(|conductor| pick(&conductor.current)).collect())
    }

    /// Adds for each conductor and contact the distance at which `μ0 I / 2πr` is that share of what operates
    /// it, m: taken as even over the contact and along it, so that the flux density is the drive.
    /// `[jackson1999]` section 5.2
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for current in &self.0 {
            let reach = |course: &Course| MU_0 * current.abs() / (TAU * MATTERS * course.levels[0]);
            figures.extend(courses.iter().map(reach));
        }
    }
}
