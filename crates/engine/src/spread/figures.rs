//! What is gathered of every unit: where its events lie, how much room it leaves each demand, and the figures
//! of the design.

use crate::answer::{Direction, EventKind};
use crate::error::EngineError;
use crate::judge::Standing;
use crate::outcome::{Outcome, pair_up, standings};
use crate::realise::Workshop;
use crate::spread::unit::Walked;
use crate::track::{Course, Found};
use crate::worst::Worst;
use reedmace_design::{DemandKind, Figure};
use reedmace_sampling::Summary;
use std::ops::Range;

/// Bins between the worst-case limits of a figure, and as many again around them.
const BINS: usize = 500;

/// The figures of a design.
#[derive(Debug, Clone)]
pub(crate) struct Figures {
    pub events: Vec<EventFigure>,
    pub demands: Vec<DemandFigure>,
    pub design: Vec<DesignFigure>,
    /// Events of the nominal unit, per contact, and which of `events` are the contact's.
    contacts: Vec<(Vec<Found>, Range<usize>)>,
}

/// An event that units may have.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct EventFigure {
    pub contact: usize,
    pub kind: EventKind,
    pub direction: Direction,
    pub lobe: usize,
    /// Its coordinate in the nominal unit, SI; `None` where that one has no such event.
    pub nominal: Option<f64>,
    /// Worst-case limits, SI.
    pub limits: [f64; 2],
}

/// The room of a demand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DemandFigure {
    /// Room of the nominal unit, if there is an event to measure it to, SI.
    pub nominal: Option<f64>,
    /// Ends of the histogram, SI.
    limits: [f64; 2],
}

/// A figure of the design.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DesignFigure {
    pub figure: Figure,
    /// Its value in the nominal unit, SI; `None` where that one has none.
    pub nominal: Option<f64>,
    /// Worst-case limits, SI.
    pub limits: [f64; 2],
}

/// What one unit shows.
#[derive(Debug, Clone, Default)]
pub(crate) struct Shows {
    /// Coordinate of each event figure, SI; NaN where the unit has no such event.
    pub events: Vec<f64>,
    /// How each demand stands.
    pub demands: Vec<Standing>,
    /// Value of each figure of the design, SI; NaN where the unit has none.
    pub figures: Vec<f64>,
    /// It has an event that is none of the figures.
    pub others: bool,
}

impl Figures {
    pub fn new(workshop: &Workshop, nominal: &Outcome, worst: &Worst) -> Self {
        let (mut events, mut contacts) = (Vec::new(), Vec::new());
        for (contact, course) in nominal.courses.iter().enumerate() {
            let first = events.len();
            for (found, band) in course.events.iter().zip(&worst.events[contact]) {
                let limits = [band.low, band.high];
                events.push(EventFigure::new(contact, found, Some(found.at), limits));
            }
            for (found, limits) in &worst.sometimes[contact] {
                events.push(EventFigure::new(contact, found, None, *limits));
            }
            contacts.push((course.events.clone(), first..events.len()));
        }
        let demands = workshop.design.demands.iter().enumerate().map(|(k, demand)| {
            let room = nominal.demands[k].room();
            let limits = match (
                &demand.kind,
                room,
                Standing { met: true, margin: worst.demands[k].0 }.room(),
            ) {
                (DemandKind::Closures(_), _, _) => [-8.5, 0.5],
                (_, Some(here), Some(least)) => [least, here + (here - least)],
                (_, Some(room), None) | (_, None, Some(room)) => [room.min(0.0), room.max(0.0)],
                (_, None, None) => [0.0; 2],
            };
            DemandFigure { nominal: room, limits }
        });
        let design = workshop.design.figures().into_iter().zip(&nominal.figures);
        let design = design.zip(&worst.figures).map(|((figure, value), extent)| DesignFigure {
            figure,
            nominal: Some(*value).filter(|value| !value.is_nan()),
            limits: extent.as_ref().map_or([0.0; 2], |e| [e.low, e.high]),
        });
        Self { events, demands: demands.collect(), design: design.collect(), contacts }
    }

    /// Summaries of all events, of all demands, then of the design's figures, with nothing in them; `span`:
    /// length of the sweep, SI.
    pub fn summaries(&self, span: f64) -> Result<[Vec<Summary>; 3], EngineError> {
        let summary = |limits: [f64; 2], span: f64| {
            let [low, high] = limits;
            // Units of another kind than the worst case knows lie beside its limits.
            let margin = (0.05 * (high - low)).max(1e-6 * span);
            Ok(Summary::new(low - margin, high + margin, BINS)?)
        };
        let events = self.events.iter().map(|e| summary(e.limits, span));
        let demands = self.demands.iter().map(|d| summary(d.limits, span));
        let design = self.design.iter().map(|d| {
            let size = d.limits[0].abs().max(d.limits[1].abs());
            summary(d.limits, if size > 0.0 { size } else { 1.0 })
        });
        Ok([
            events.collect::<Result<_, EngineError>>()?,
            demands.collect::<Result<_, EngineError>>()?,
            design.collect::<Result<_, EngineError>>()?,
        ])
    }

    /// What a unit shows.
    pub fn of(&self, workshop: &Workshop, walked: Walked<'_>, shows: &mut Shows) {
        let Walked { courses, range, figures, .. } = walked;
        shows.demands = standings(&workshop.design, courses, range, figures);
        shows.figures.clear();
        shows.figures.extend_from_slice(figures);
        shows.events.clear();
        shows.others = false;
        for (course, (nominal, mine)) in courses.iter().zip(&self.contacts) {
            if alike(nominal, course) {
                shows.events.extend(course.events.iter().map(|e| e.at));
                shows.events.resize(mine.end, f64::NAN);
                continue;
            }
            let (paired, extra) = pair_up(nominal, &course.events);
            shows.events.extend(paired.iter().map(|at| at.unwrap_or(f64::NAN)));
            shows.events.resize(mine.end, f64::NAN);
            let events = &self.events[mine.clone()];
            for found in extra {
                let known = events.iter().position(|e| e.nominal.is_none() && e.is(&found));
                match known.map(|k| &mut shows.events[mine.start + k]).filter(|at| at.is_nan()) {
                    Some(at) => *at = found.at,
                    None => shows.others = true,
                }
            }
        }
    }
}

impl EventFigure {
    fn new(contact: usize, found: &Found, nominal: Option<f64>, limits: [f64; 2]) -> Self {
        let Found { kind, direction, lobe, .. } = *found;
        Self { contact, kind, direction, lobe, nominal, limits }
    }

    fn is(&self, found: &Found) -> bool {
        (self.kind, self.direction, self.lobe) == (found.kind, found.direction, found.lobe)
    }
}

/// True when a course has the nominal events and no others, so that each is the one it stands for.
fn alike(nominal: &[Found], course: &Course) -> bool {
    let kind = |e: &Found| (e.kind, e.direction);
    nominal.len() == course.events.len()
        && nominal.iter().zip(&course.events).all(|(a, b)| kind(a) == kind(b))
}
