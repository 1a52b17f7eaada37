//! How near conductors and motors must stand to matter, and whether the earth does.

use crate::realise::Pick;
use crate::track::Course;
use reedmace_design::Design;
use reedmace_fields::MU_0;
use std::f64::consts::TAU;

/// What is near by at definite values, SI.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Neighbours {
    /// Currents of the conductors.
    currents: Vec<f64>,
    /// Of each motor its flux density on the axis times the cube of the distance.
    motors: Vec<f64>,
    /// The earth's flux density, where it is told of.
    earth: Option<f64>,
    /// Share of the operate level from which a field from outside matters.
    matters: f64,
}

impl Neighbours {
    pub fn of(design: &Design, pick: &Pick) -> Self {
        let near = &design.surroundings;
        let motor =
            |motor: &reedmace_design::Motor| pick(&motor.field) * pick(&motor.distance).powi(3);
        Self {
            currents: design.conductors.iter().map(|one| pick(&one.current)).collect(),
            motors: design.motors.iter().map(motor).collect(),
            earth: design.tells_of_the_earth().then(|| pick(&near.earth)),
            matters: pick(&near.matters),
        }
    }

    /// Adds for each conductor and contact the distance at which `μ0 I / 2πr` is that share of what operates
    /// it, for each motor the one at which its field on the axis is, which falls with the cube, m; then the
    /// earth's field over what operates. All are taken as even over the contact and along it, so that the flux
    /// density is the drive. `[jackson1999]` sections 5.2 and 5.6
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        let level = |course: &Course| self.matters * course.levels[0];
        for current in &self.currents {
            let reach = |course: &Course| MU_0 * current.abs() / (TAU * level(course));
            figures.extend(courses.iter().map(reach));
        }
        for strength in &self.motors {
            figures.extend(courses.iter().map(|course| (strength / level(course)).cbrt()));
        }
        if let Some(earth) = self.earth {
            figures.extend(courses.iter().map(|course| earth / course.levels[0]));
        }
    }
}
