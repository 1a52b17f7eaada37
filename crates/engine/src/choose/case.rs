//! One combination of what is chosen from lists: its design with what lies in ranges still open.

use crate::bench::Bench;
use crate::error::EngineError;
use crate::judge::Standing;
use crate::outcome::{Outcome, standings};
use crate::quantity::{Level, Quantified, Unit};
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::spread::{Evaluator, Model};
use crate::track::{Course, Track};
use crate::{warn, worst};
use reedmace_contact::Scratch;
use reedmace_design::{Demand, DemandKind, Design, Reach, Within};
use reedmace_sampling::{REPLICATES, Sobol};
use std::cell::{Cell, RefCell};

/// A demand that no event comes near counts this many lengths of the sweep, and what is worse than any
/// room more than that.
const NEVER: f64 = 2.0;
const COLLIDES: f64 = 4.0;
/// A magnet this far inside a contact counts one length of the sweep, m.
const DEEP: f64 = 0.01;
/// Units that are sampled between two questions whether to go on.
const STRETCH: u64 = 64;
/// Units that tell the share of those that meet a demand: this many must be expected to miss it.
const MISSING: f64 = 20.0;
const UNITS: [u64; 2] = [2048, 65_536];

/// Asked before each scene is swept whether to go on.
pub(crate) type Heed<'a> = dyn Fn() -> bool + Sync + 'a;

/// A combination.
pub(crate) struct Case<'a> {
    workshop: Workshop,
    /// Each range, and which of the quantities the scene asks for lie in it.
    ranges: Vec<(Within, Vec<usize>)>,
    /// Length of the sweep as the file states it, SI of the coordinate.
    pub span: f64,
    /// Scenes swept so far.
    pub scenes: Cell<u64>,
    heed: &'a Heed<'a>,
}

/// How one scene does: the merit of each demand, SI of the coordinate. Not negative where it is met; the
/// room where there is one. Last that of the room between magnets and contacts: a whole sweep where there is
/// any.
pub(crate) type Merits = Vec<f64>;

/// What units within tolerance do at one place.
pub(crate) struct Weighed {
    /// Least over the units that count.
    pub merits: Merits,
    /// The units that decided, to be kept in mind elsewhere: the values of their variables, SI.
    pub units: Vec<Vec<f64>>,
}

impl<'a> Case<'a> {
    /// `ranges`: the path of each quantity that lies in one.
    pub fn new(
        bench: &Bench,
        design: &Design,
        ranges: &[(&str, Within)],
        heed: &'a Heed<'a>,
    ) -> Result<Self, EngineError> {
        let (workshop, scene) = bench.workshop(design)?;
        let asked: RefCell<Vec<(String, bool)>> = RefCell::default();
        workshop.each_quantity(&|q: &dyn Quantified| {
            use reedmace_design::SourceMark::{Catalogue, Default};
            let stated = !matches!(q.source(), Some(Catalogue | Default));
            asked.borrow_mut().push((q.path().to_owned(), stated));
        })?;
        let asked = asked.into_inner();
        let of = |path: &str| {
            let mine = |(_, (known, stated)): &(usize, &(String, bool))| known == path && *stated;
            asked.iter().enumerate().filter(mine).map(|(k, _)| k).collect()
        };
        let ranges = ranges.iter().map(|(path, within)| (*within, of(path))).collect();
        let [from, to] = scene.motion.range();
        Ok(Self { workshop, ranges, span: (to - from).abs(), scenes: Cell::new(0), heed })
    }

    /// Whether to go on.
    ///
    /// # Errors
    /// [`EngineError::GivenUp`] if not.
    pub fn heed(&self) -> Result<(), EngineError> {
        if (self.heed)() { Ok(()) } else { Err(EngineError::GivenUp) }
    }

    pub fn design(&self) -> &Design {
        &self.workshop.design
    }

    /// How many ranges there are.
    pub fn dimensions(&self) -> usize {
        self.ranges.len()
    }

    /// The values in the ranges at a place of the unit cube, SI.
    pub fn values(&self, place: &[f64]) -> Vec<f64> {
        let value = |((within, _), x): (&(Within, Vec<usize>), &f64)| {
            within.from + x * (within.to - within.from)
        };
        self.ranges.iter().zip(place).map(value).collect()
    }

    /// Where in the unit cube the file's own values are.
    pub fn start(&self) -> Vec<f64> {
        let place = |(w, _): &(Within, Vec<usize>)| (w.start - w.from) / (w.to - w.from);
        self.ranges.iter().map(place).map(|x| x.clamp(0.0, 1.0)).collect()
    }

    /// The workshop of the design with what lies in ranges at a place of the unit cube.
    pub fn at(&self, place: &[f64]) -> Workshop {
        let mut workshop = self.workshop.clone();
        workshop.moved = vec![0.0; workshop.asked.len()];
        for ((within, asked), value) in self.ranges.iter().zip(self.values(place)) {
            asked.iter().for_each(|k| workshop.moved[*k] = value - within.start);
        }
        workshop
    }

    /// Whether the nominal unit at a place is that of `design`, which states what is there.
    pub fn agrees(
        &self,
        place: &[f64],
        design: &Design,
        bench: &Bench,
    ) -> Result<bool, EngineError> {
        let moved = self.at(place).scene(&self.nominal())?;
        let (_, stated) = bench.workshop(design)?;
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (a.abs() + b.abs()).max(1e-9);
        let same = |(a, b): (&crate::scene::Reed, &crate::scene::Reed)| {
            near(a.operate, b.operate)
                && near(a.release, b.release)
                && (0..3).all(|i| near(a.rest.origin[i], b.rest.origin[i]))
                && (0..2).all(|i| near(a.steady[i], b.steady[i]))
        };
        let (a, b) = (moved.motion.range(), stated.motion.range());
        Ok((0..2).all(|i| near(a[i], b[i])) && moved.reeds.iter().zip(&stated.reeds).all(same))
    }

    /// The nominal unit.
    pub fn nominal(&self) -> Unit {
        vec![Level::Nominal; self.workshop.variables.len()]
    }

    /// The values of its variables, SI.
    pub fn nominal_values(&self) -> Vec<f64> {
        self.workshop.nominal_values()
    }

    /// How the unit whose variables have these values does.
    pub fn merits(&self, workshop: &Workshop, values: &[f64]) -> Result<Merits, EngineError> {
        Ok(self.looked_at(workshop, &workshop.scene_at(values)?, values)?.0)
    }

    fn looked_at(
        &self,
        workshop: &Workshop,
        scene: &Scene,
        values: &[f64],
    ) -> Result<(Merits, Outcome), EngineError> {
        self.heed()?;
        self.scenes.set(self.scenes.get() + 1);
        let mut scratch = Scratch::default();
        let tracks: Vec<Track> =
            (0..scene.reeds.len()).map(|k| Track::new(scene, k, &mut scratch)).collect();
        let courses = scene.courses(&tracks, &mut scratch);
        let outcome = Outcome::with(workshop, scene, values, courses);
        let mut merits = self.of_demands(&outcome.courses, &outcome.demands, scene.motion.range());
        for (k, merit) in merits.iter_mut().enumerate().filter(|(_, m)| **m <= -NEVER * self.span) {
            let Some(contact) = self.design().demands[k].contact else { continue };
            let top = outcome.peaks[contact].iter().copied().fold(0.0, f64::max);
            *merit -= (1.0 - top).max(0.0) * self.span;
        }
        let gaps = tracks.iter().enumerate().map(|(k, track)| {
            let gap = warn::nearest(scene, &self.design().contacts[k], k, track);
            gap.map_or(0.0, |(gap, _)| gap.min(0.0))
        });
        let gap = gaps.fold(0.0, f64::min);
        merits.push(if gap < 0.0 { (gap / DEEP - COLLIDES) * self.span } else { self.span });
        Ok((merits, outcome))
    }

    fn of_demands(&self, courses: &[Course], standings: &[Standing], range: [f64; 2]) -> Merits {
        let merit = |(demand, standing): (&Demand, &Standing)| {
            let (low, high) = (range[0].min(range[1]), range[0].max(range[1]));
            let off = match &demand.kind {
                DemandKind::Closed(reach) | DemandKind::Open(reach) => beside(reach, low, high),
                DemandKind::Closures(_) | DemandKind::Figure(..) => 0.0,
            };
            let chatters = demand.contact.is_some_and(|contact| courses[contact].chatters);
            match (&demand.kind, standing.room()) {
                _ if off > 0.0 => -self.span - off,
                _ if chatters => -NEVER * self.span,
                (DemandKind::Closures(_), _) if standing.met => self.span,
                (DemandKind::Closures(_), _) => standing.margin * self.span,
                // A figure's room counts by what it is allowed, as if that were the whole sweep.
                (DemandKind::Figure(_, reach), Some(room)) => {
                    (room / allowed(reach)).clamp(-1.0, 1.0) * self.span
                }
                (_, Some(room)) => room.clamp(-self.span, self.span),
                (_, None) if standing.met => self.span,
                (_, None) => -NEVER * self.span,
            }
        };
        self.design().demands.iter().zip(standings).map(merit).collect()
    }

    /// What the worst corners of the tolerances do.
    pub fn worst(&self, workshop: &Workshop) -> Result<Weighed, EngineError> {
        let scene = workshop.scene(&self.nominal())?;
        let (mut merits, outcome) = self.looked_at(workshop, &scene, &workshop.nominal_values())?;
        if workshop.variables.len() == 0 {
            return Ok(Weighed { merits, units: Vec::new() });
        }
        let (blended, _) = workshop.blending(&scene)?;
        let units = worst::units_of_demands(&blended, &outcome)?;
        let units: Vec<Vec<f64>> = units.iter().map(|unit| blended.values(unit)).collect();
        for unit in &units {
            lower(&mut merits, &self.merits(&blended, unit)?);
        }
        Ok(Weighed { merits, units })
    }

    /// What the least of the share `wanted` of all units does: each demand by itself, and last of all the
    /// merit of the unit whose least room of all demands it is.
    pub fn share(
        &self,
        workshop: &Workshop,
        wanted: f64,
        seed: u64,
    ) -> Result<Weighed, EngineError> {
        let scene = workshop.scene(&self.nominal())?;
        let (mut merits, _) = self.looked_at(workshop, &scene, &workshop.nominal_values())?;
        let n = workshop.variables.len();
        if n == 0 {
            return Ok(Weighed { merits, units: Vec::new() });
        }
        let (blended, scene) = workshop.blending(&scene)?;
        let model = Model::new(&blended, &scene)?;
        let points = Sobol::replicated(seed, n, REPLICATES)?;
        let count = units_for(wanted);
        let mut evaluator = Evaluator::new(&blended, &model);
        let demands = self.design().demands.len();
        // Per demand, and last of all together: each unit's merit, and its number.
        let mut rooms: Vec<Vec<(f64, u64)>> = vec![Vec::new(); demands + 1];
        for unit in 0..count {
            if unit % STRETCH == 0 {
                self.heed()?;
            }
            let mut values = points.point(unit);
            blended.draw(&mut values);
            let (walked, _) = evaluator.told(&values);
            let standings = standings(self.design(), walked.courses, walked.range, walked.figures);
            let of = self.of_demands(walked.courses, &standings, walked.range);
            for (list, merit) in rooms.iter_mut().zip(&of) {
                list.push((*merit, unit));
            }
            rooms[demands].push((of.iter().copied().fold(f64::INFINITY, f64::min), unit));
        }
        let mut units = Vec::new();
        let rank = rank_of(wanted, count);
        for (d, list) in rooms.iter_mut().enumerate() {
            let by_room = |a: &(f64, u64), b: &(f64, u64)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
            let (_, (merit, unit), _) = list.select_nth_unstable_by(rank, by_room);
            let mut values = points.point(*unit);
            blended.draw(&mut values);
            units.push(values);
            if d < demands {
                merits[d] = merits[d].min(*merit);
            }
            if d == demands {
                merits.push(*merit);
            }
        }
        Ok(Weighed { merits, units })
    }
}

/// Units to tell whether a share `wanted` meets the demands.
pub(crate) fn units_for(wanted: f64) -> u64 {
    let enough = (MISSING / (1.0 - wanted).max(f64::EPSILON)).ceil();
    (enough as u64).clamp(UNITS[0], UNITS[1])
}

/// Which of `count` units, from the least room up, still may miss where a share `wanted` must not.
pub(crate) fn rank_of(wanted: f64, count: u64) -> usize {
    // A whole number of units may come out a rounding too low.
    let missing = (1.0 - wanted) * count as f64 + 1e-6;
    (missing as usize).min(count as usize - 1)
}

/// The least of both, each by itself.
pub(crate) fn lower(merits: &mut Merits, others: &Merits) {
    merits.iter_mut().zip(others).for_each(|(m, o)| *m = m.min(*o));
}

/// How far a region lies beside the sweep.
fn beside(reach: &Reach, low: f64, high: f64) -> f64 {
    let slack = 1e-9 * (high - low);
    (reach.low - high - slack).max(low - slack - reach.high)
}

/// The length of a figure's region or, where it is open, its end.
fn allowed(reach: &Reach) -> f64 {
    let ends = [reach.high - reach.low, reach.low.abs(), reach.high.abs()];
    ends.into_iter().find(|end| end.is_finite() && *end > 0.0).unwrap_or(1.0)
}
