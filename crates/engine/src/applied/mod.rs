//! What applications tell of one unit: the numbers behind [`Design::figures`], in the same order.
//!
//! An application is what it needs at definite values, and what it makes of the contacts' courses.

mod change_over;
mod coil;
pub(crate) mod construction;
mod differential;
mod door;
pub(crate) mod dynamics;
mod latch;
pub(crate) mod level;
mod life;
pub(crate) mod load;
mod relay;
mod rotor;
mod surroundings;
pub(crate) mod target;

use crate::answer::{LatchAnswer, RelayAnswer, RotorAnswer};
use crate::realise::Pick;
use crate::track::Course;
use crate::worst::Extent;
use change_over::ChangeOvers;
use coil::Coils;
use construction::Made;
use differential::Differentials;
use door::Door;
use dynamics::{Coupled, Timed};
use latch::Remembering;
use level::Stem;
use life::LifeAt;
use load::LoadAt;
use reedmace_design::Design;
use relay::Driven;
use rotor::Counter;
use std::sync::Arc;
use surroundings::Neighbours;
use target::Sensed;

/// The applications of a design at definite values.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Applied {
    differentials: Differentials,
    change_overs: ChangeOvers,
    coils: Coils,
    made: Vec<Made>,
    door: Option<Door>,
    target: Option<Sensed>,
    pub level: Option<Stem>,
    counter: Option<Counter>,
    neighbours: Neighbours,
    latch: Option<Remembering>,
    pub relay: Option<Driven>,
    timed: Option<Timed>,
    life: Option<LifeAt>,
    pub loads: Vec<LoadAt>,
}

impl Applied {
    /// With every quantity as `pick` has it.
    ///
    /// `coupled`: what the units of a relay share, once it is known.
    pub fn of(design: &Design, coupled: Option<&Arc<Coupled>>, pick: &Pick) -> Self {
        Self {
            differentials: Differentials::of(design, pick),
            change_overs: ChangeOvers::of(design, pick),
            coils: Coils::of(design, pick),
            made: Made::of(design, pick),
            door: Door::of(design, pick),
            target: Sensed::of(design, pick),
            counter: Counter::of(design, pick),
            level: Stem::of(design, pick),
            neighbours: Neighbours::of(design, pick),
            latch: Remembering::of(design, pick),
            relay: Driven::of(design, pick),
            timed: Timed::of(design, coupled, pick),
            life: LifeAt::of(design, pick),
            loads: LoadAt::of(design, pick),
        }
    }

    /// Makes `figures` the value of each figure, SI; NaN where this unit has none. `courses`: what its contacts
    /// do.
    pub fn figures(&self, courses: &[Course], figures: &mut Vec<f64>) {
        figures.clear();
        self.differentials.tell(courses, figures);
        self.change_overs.tell(courses, figures);
        self.coils.tell(figures);
        self.made.iter().for_each(|made| made.tell(figures));
        if let Some(door) = &self.door {
            door.tell(courses, figures);
        }
        if let Some(target) = &self.target {
            target.tell(courses, figures);
        }
        if let Some(stem) = &self.level {
            stem.tell(courses, figures);
        }
        self.counter.iter().for_each(|counter| counter.tell(courses, figures));
        self.neighbours.tell(courses, figures);
        self.latch.iter().for_each(|latch| latch.tell(courses, figures));
        self.relay.iter().for_each(|relay| relay.tell(courses, figures));
        self.timed.iter().for_each(|timed| timed.tell(courses, figures));
        self.life.iter().for_each(|life| life.tell(figures));
        self.loads.iter().for_each(|load| load.tell(figures));
    }

    /// What is told of the relay of the nominal unit; `nominal` and `worst`: the values and the extents of the
    /// design's figures.
    pub fn relay(
        &self,
        design: &Design,
        nominal: &[f64],
        worst: &[Option<Extent>],
    ) -> Option<RelayAnswer> {
        self.relay.as_ref()?.answer(design, nominal, worst)
    }

    /// What is told of the latch of the nominal unit, if the design states one.
    pub fn latch(&self, design: &Design, courses: &[Course]) -> Option<LatchAnswer> {
        Some(self.latch.as_ref()?.answer(design, courses))
    }

    /// The contacts of the relay that move, if it has some whose motion is told.
    pub fn timed(&self) -> Option<&Timed> {
        self.timed.as_ref()
    }

    /// The steel target, if the design has one.
    pub fn target(&self) -> Option<&Sensed> {
        self.target.as_ref()
    }

    /// What is told of the wheel of the nominal unit, if its turning is counted.
    pub fn rotor(&self, design: &Design, courses: &[Course]) -> Option<RotorAnswer> {
        let name = &design.contacts[design.rotor.as_ref()?.contact].name;
        self.counter.as_ref()?.answer(courses, name)
    }
}
