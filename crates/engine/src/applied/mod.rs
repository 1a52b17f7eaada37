//! What applications tell of one unit: the numbers behind [`Design::figures`], in the same order.
//!
//! An application is what it needs at definite values, and what it makes of the contacts' courses.

mod differential;
mod door;
pub(crate) mod level;

use crate::realise::Pick;
use crate::track::Course;
use differential::Differentials;
use door::Hinged;
use level::Stem;
use reedmace_design::Design;

/// The applications of a design at definite values.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Applied {
    differentials: Differentials,
    door: Option<Hinged>,
    pub level: Option<Stem>,
}

impl Applied {
    /// With every quantity as `pick` has it.
    pub fn of(design: &Design, pick: &Pick) -> Self {
        Self {
            differentials: Differentials::of(design, pick),
            door: Hinged::of(design, pick),
            level: Stem::of(design, pick),
        }
    }

    /// The value of each figure, SI; NaN where this unit has none. `courses`: what its contacts do.
    pub fn figures(&self, courses: &[Course]) -> Vec<f64> {
        let mut figures = Vec::new();
        self.differentials.tell(courses, &mut figures);
        if let Some(door) = &self.door {
            door.tell(courses, &mut figures);
        }
        if let Some(stem) = &self.level {
            stem.tell(courses, &mut figures);
        }
        figures
    }
}
