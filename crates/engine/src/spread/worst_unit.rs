//! The worst unit of a study, as a design.

use crate::answer::{EventKind, WorstUnit};
use crate::error::EngineError;
use crate::quantity::Quantified;
use crate::realise::Workshop;
use crate::spread::run::Spread;
use crate::spread::tally::Tally;
use reedmace_design::{Coordinate, Design, Sweep};
use reedmace_sampling::Extreme;
use std::cell::{Cell, RefCell};

/// Values this near, over themselves, are the same: the rounding of a number written and read.
const SAME: f64 = 1e-13;

impl Spread {
    /// The unit that stands worst among those of `tally`: the one with the least margin of a demand, of a
    /// demand that some unit misses if there is one; without demands the one with the event furthest from
    /// where the nominal unit has it. None without either.
    pub fn worst_unit(&self, tally: &Tally) -> Option<WorstUnit> {
        let design = &self.workshop.design;
        let missed = |k: &usize| tally.demands[*k].met.met() < tally.demands[*k].met.of();
        let demands = (0..tally.demands.len()).filter_map(|k| Some((k, tally.demands[k].worst?)));
        let worst = demands.min_by(|(a, one), (b, other)| {
            missed(b).cmp(&missed(a)).then(one.value.total_cmp(&other.value))
        });
        if let Some((k, extreme)) = worst {
            let demand = &design.demands[k];
            let contact = design.subject(demand);
            let word = if missed(&k) { "misses" } else { "leaves the least room of" };
            let why = format!("{word} {contact} {}", demand.text);
            return Some(WorstUnit { unit: extreme.unit, why });
        }
        let events =
            self.figures.events.iter().zip(&tally.events).filter_map(|(figure, summary)| {
                let nominal = figure.nominal?;
                let off = |e: &Extreme| (e.value - nominal).abs();
                let furthest = [summary.least()?, summary.greatest()?]
                    .into_iter()
                    .max_by(|a, b| off(a).total_cmp(&off(b)))?;
                Some((figure, furthest, off(&furthest)))
            });
        let (figure, furthest, _) = events.max_by(|a, b| a.2.total_cmp(&b.2))?;
        let contact = &design.contacts[figure.contact].name;
        let event = if figure.kind == EventKind::Operate { "operate" } else { "release" };
        let why = format!("has the {event} of {contact} furthest from the nominal unit's");
        Some(WorstUnit { unit: furthest.unit, why })
    }

    /// What a design must state otherwise to have unit `unit` for all of its units: path and text of every
    /// quantity that has another value in it, or carries a tolerance, and the coordinate of the sweep. Of the study's own design that is
    /// all that varies; none of a design that is the unit.
    ///
    /// # Errors
    /// What a scene of the design refuses.
    pub fn unlike(&self, unit: u64, design: &Design) -> Result<Vec<(String, String)>, EngineError> {
        let values = self.values(unit);
        let wanted = RefCell::new(Vec::new());
        self.workshop.each_quantity(&|q: &dyn Quantified| {
            let mut wanted = wanted.borrow_mut();
            let variable = self.workshop.asked[wanted.len()];
            wanted.push(variable.map_or_else(|| q.limits().nominal, |v| values[v]));
        })?;
        let wanted = wanted.into_inner();
        let (other, _) = Workshop::new(design, self.workshop.shelf.clone(), true)?;
        let (count, unlike) = (Cell::new(0), RefCell::new(Vec::<(String, String)>::new()));
        other.each_quantity(&|q: &dyn Quantified| {
            let Some(value) = wanted.get(count.replace(count.get() + 1)) else { return };
            let (limits, mut unlike) = (q.limits(), unlike.borrow_mut());
            let varies = limits.low != limits.high;
            let off = (limits.nominal - value).abs() > SAME * value.abs();
            if (varies || off) && !unlike.iter().any(|(path, _)| path == q.path()) {
                unlike.push((q.path().to_owned(), q.settled_at(*value)));
            }
        })?;
        let mut unlike = unlike.into_inner();
        unlike.extend(coordinate(&self.workshop.design, design));
        Ok(unlike)
    }
}

/// The coordinate of a line's events, where a design takes another: unless it is stated it follows from
/// which coordinates change, which are more in a unit that runs askew.
fn coordinate(own: &Design, other: &Design) -> Option<(String, String)> {
    let (Sweep::Line(own), Sweep::Line(other)) = (&own.sweep, &other.sweep) else { return None };
    let word = match own.coordinate {
        Coordinate::X => "x",
        Coordinate::Y => "y",
        Coordinate::Z => "z",
        Coordinate::Travel => "travel",
    };
    (own.coordinate != other.coordinate).then(|| ("sweep.coordinate".into(), word.into()))
}
