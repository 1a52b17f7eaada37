//! What is gathered of many units, the same size for a thousand of them and for 1e10.

use crate::error::EngineError;
use crate::spread::figures::Shows;
use reedmace_sampling::{Extreme, Summary, Tally as Count};
use serde::{Deserialize, Serialize};
use std::ops::Range;

/// Version of the form in which tallies are kept.
const FORMAT: u32 = 2;

/// What a range of units did. Ranges merge in any order to the same, bit for bit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Tally {
    /// Version of this form.
    pub format: u32,
    /// Which design, how sampled: what may be merged.
    pub of: Subject,
    /// Ranges of units, first and one past the last, in order and apart from each other.
    pub ranges: Vec<[u64; 2]>,
    /// Coordinates of each event, SI.
    pub(crate) events: Vec<Summary>,
    /// Each demand.
    pub(crate) demands: Vec<DemandTally>,
    /// Values of each figure of the design, SI.
    pub(crate) figures: Vec<Summary>,
    /// Units that show an event which the worst case does not know.
    pub(crate) others: u64,
    /// Units whose sweep was sampled whole.
    pub(crate) whole: u64,
    /// Units evaluated exactly although the study is by the model, but for those that prove it.
    pub(crate) exact: u64,
    /// What was compared with exact units.
    pub(crate) proof: Proof,
}

/// Which design, and how its units are sampled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Subject {
    /// Version of the program.
    pub version: String,
    /// SHA-256 of the design's text.
    pub design_sha256: String,
    /// Seed.
    pub seed: u64,
    /// Units of the whole study.
    pub units: u64,
    /// True when every unit's events are found on its true drive.
    pub exact: bool,
}

/// One demand over units.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct DemandTally {
    pub met: Count,
    /// Room left, SI of the coordinate; absent where there is no event to measure it to.
    pub room: Summary,
    /// The unit that misses it by most; one without any event before all others.
    pub worst: Option<Extreme>,
}

/// Units by the model against the same units on their true drive.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Proof {
    pub units: u64,
    /// Units whose events are others by the model.
    pub unlike: u64,
    /// Furthest that an event was off, SI of the coordinate.
    pub furthest: f64,
    /// Blocks of units evaluated exactly because theirs were too far off.
    pub failed: u64,
}

impl Tally {
    /// Of no units.
    pub(crate) fn new(of: Subject, [events, rooms, figures]: [Vec<Summary>; 3]) -> Self {
        let demand = |room| DemandTally { met: Count::default(), room, worst: None };
        let demands = rooms.into_iter().map(demand).collect();
        let (others, whole, exact, proof) = (0, 0, 0, Proof::default());
        Self {
            format: FORMAT,
            of,
            ranges: Vec::new(),
            events,
            demands,
            figures,
            others,
            whole,
            exact,
            proof,
        }
    }

    /// Units taken in.
    pub fn units(&self) -> u64 {
        self.ranges.iter().map(|[from, to]| to - from).sum()
    }

    /// Units taken in of a range.
    pub fn units_in(&self, range: &Range<u64>) -> u64 {
        let both = |r: &[u64; 2]| r[1].min(range.end).saturating_sub(r[0].max(range.start));
        self.ranges.iter().map(both).sum()
    }

    /// Takes in a few units, the first of this number, but for that among the ranges: one figure of all of them
    /// after the other, for its histogram to stay at hand.
    pub(crate) fn put(&mut self, first: u64, units: &[Shows]) {
        let units = || (first..).zip(units);
        for (k, summary) in self.events.iter_mut().enumerate() {
            units().for_each(|(unit, shows)| summary.put(unit, shows.events[k]));
        }
        for (k, demand) in self.demands.iter_mut().enumerate() {
            for (unit, standing) in units().map(|(unit, shows)| (unit, &shows.demands[k])) {
                demand.met.put(unit, standing.met);
                demand.room.put(unit, standing.room().unwrap_or(f64::NAN));
                demand.extend(Extreme { value: standing.margin, unit });
            }
        }
        for (k, summary) in self.figures.iter_mut().enumerate() {
            units().for_each(|(unit, shows)| summary.put(unit, shows.figures[k]));
        }
        self.others += units().filter(|(_, shows)| shows.others).count() as u64;
    }

    /// Takes in another range of the same study.
    ///
    /// # Errors
    /// [`EngineError::Unmergeable`] when it is of another study, or has units that this one has already.
    pub fn merge(&mut self, other: &Self) -> Result<(), EngineError> {
        let refuse = |why: String| Err(EngineError::Unmergeable { why });
        if self.format != other.format {
            return refuse("their formats differ".into());
        }
        if self.of.design_sha256 != other.of.design_sha256 {
            return refuse("they are of different designs".into());
        }
        if self.of.version != other.of.version {
            let (a, b) = (&self.of.version, &other.of.version);
            return refuse(format!("they were made by versions {a} and {b}"));
        }
        if self.of != other.of {
            return refuse("their seeds, modes or counts of units differ".into());
        }
        let mut ranges = self.ranges.clone();
        ranges.extend(&other.ranges);
        ranges.sort_unstable();
        if let Some(pair) = ranges.windows(2).find(|pair| pair[0][1] > pair[1][0]) {
            return refuse(format!("unit {} is in both", pair[1][0]));
        }
        ranges.dedup_by(|next, last| {
            let joined = last[1] == next[0];
            if joined {
                last[1] = next[1];
            }
            joined
        });
        self.add(other)?;
        self.ranges = ranges;
        Ok(())
    }

    /// Takes in what others gathered, but for the ranges.
    pub(crate) fn add(&mut self, other: &Self) -> Result<(), EngineError> {
        for (own, more) in self.events.iter_mut().zip(&other.events) {
            own.merge(more)?;
        }
        for (own, more) in self.demands.iter_mut().zip(&other.demands) {
            own.met.merge(&more.met)?;
            own.room.merge(&more.room)?;
            if let Some(worst) = more.worst {
                own.extend(worst);
            }
        }
        for (own, more) in self.figures.iter_mut().zip(&other.figures) {
            own.merge(more)?;
        }
        self.others += other.others;
        self.whole += other.whole;
        self.exact += other.exact;
        self.proof.units += other.proof.units;
        self.proof.unlike += other.proof.unlike;
        self.proof.furthest = self.proof.furthest.max(other.proof.furthest);
        self.proof.failed += other.proof.failed;
        Ok(())
    }
}

impl DemandTally {
    fn extend(&mut self, found: Extreme) {
        let further = self.worst.is_none_or(|own| {
            found.value < own.value || found.value == own.value && found.unit < own.unit
        });
        if further {
            self.worst = Some(found);
        }
    }
}
