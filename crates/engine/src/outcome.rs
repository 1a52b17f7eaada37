//! What happens in one scene, and how it compares with the nominal one.

use crate::error::EngineError;
use crate::judge::{Standing, judge};
use crate::quantity::Unit;
use crate::realise::{Reach, Workshop};
use crate::scene::Scene;
use crate::track::{Course, Found, Track};
use reedmace_contact::Scratch;
use reedmace_design::Design;

/// What every contact does and how every demand stands in one scene.
#[derive(Debug, Clone)]
pub(crate) struct Outcome {
    pub courses: Vec<Course>,
    /// Highest open drive of each lobe over the operate level, per contact.
    pub peaks: Vec<Vec<f64>>,
    pub demands: Vec<Standing>,
    /// The value of each figure of the design, SI; NaN where there is none.
    pub figures: Vec<f64>,
    /// Contacts that it tells nothing of, nor of what depends on them; none of an outcome that is whole.
    pub untold: Vec<bool>,
}

impl Outcome {
    /// Sweeps the scene of the unit whose variables have these values.
    pub fn of(workshop: &Workshop, scene: &Scene, values: &[f64]) -> Self {
        let mut scratch = Scratch::default();
        let courses = scene.sampled_courses(&mut scratch);
        Self::with(workshop, scene, values, courses)
    }

    /// The same from courses already walked.
    pub fn with(workshop: &Workshop, scene: &Scene, values: &[f64], courses: Vec<Course>) -> Self {
        let mut figures = Vec::new();
        workshop.applied_at(values).figures(&courses, &mut figures);
        let demands = standings(&workshop.design, &courses, scene.motion.range(), &figures);
        let over = |(course, reed): (&Course, &crate::scene::Reed)| {
            course.lobes.iter().map(|l| l.peak / reed.operate).collect()
        };
        let peaks = courses.iter().zip(&scene.reeds).map(over).collect();
        let untold = vec![false; courses.len()];
        Self { courses, peaks, demands, figures, untold }
    }

    /// Sweeps one unit beside another one whose outcome is known whole: contacts that none of the quantities
    /// which differ can reach do there what they do here. Of others only those that are `wanted` are walked.
    pub fn beside(
        workshop: &Workshop,
        unit: &Unit,
        (near, known): (&Unit, &Self),
        wanted: &dyn Fn(usize) -> bool,
    ) -> Result<Self, EngineError> {
        let mut reached = vec![false; known.courses.len()];
        for v in (0..unit.len()).filter(|&v| unit[v] != near[v]) {
            match workshop.reaches[v] {
                Reach::Nothing => (),
                Reach::Contact(contact) => reached[contact] = true,
                Reach::All => reached.fill(true),
            }
        }
        let values = workshop.values(unit);
        let scene = workshop.scene_at(&values)?;
        let mut scratch = Scratch::default();
        if scene.shared.is_some() && reached.contains(&true) {
            return Ok(Self::of(workshop, &scene, &values));
        }
        let mut untold = known.untold.clone();
        let mut courses = known.courses.clone();
        for k in (0..courses.len()).filter(|&k| reached[k] || known.untold[k]) {
            untold[k] = !wanted(k);
            if wanted(k) {
                courses[k] = Track::new(&scene, k, &mut scratch).course(&scene, k, &mut scratch);
            }
        }
        Ok(Self { untold, ..Self::with(workshop, &scene, &values, courses) })
    }

    /// True where it tells of all these contacts; none listed: of all there are.
    pub fn tells(&self, contacts: &[usize]) -> bool {
        match contacts {
            [] => !self.untold.contains(&true),
            _ => contacts.iter().all(|k| !self.untold[*k]),
        }
    }

    /// The same without what it tells nothing of, to be kept.
    pub fn kept(mut self) -> Self {
        for (course, _) in self.courses.iter_mut().zip(&self.untold).filter(|(_, untold)| **untold)
        {
            *course = Course::default();
        }
        self
    }
}

/// How every demand stands on what the contacts do over the sweep's range, and on the figures.
pub(crate) fn standings(
    design: &Design,
    courses: &[Course],
    range: [f64; 2],
    figures: &[f64],
) -> Vec<Standing> {
    design.demands.iter().map(|demand| judge(demand, courses, range, figures)).collect()
}

/// For each of `nominal`'s events the one of `other` that is the same event, and those of `other`
/// that the nominal scene does not have.
///
/// Events of one kind and direction keep their order along the pass; where the counts differ, the
/// pairing with the least total shift wins.
pub(crate) fn pair_up(nominal: &[Found], other: &[Found]) -> (Vec<Option<f64>>, Vec<Found>) {
    let mut paired = vec![None; nominal.len()];
    let mut extra = Vec::new();
    let kinds = |e: &Found| (e.kind as u8, e.direction as u8);
    let mut seen = Vec::new();
    for event in nominal.iter().chain(other) {
        if !seen.contains(&kinds(event)) {
            seen.push(kinds(event));
        }
    }
    for kind in seen {
        let ours: Vec<usize> = (0..nominal.len()).filter(|&i| kinds(&nominal[i]) == kind).collect();
        let theirs: Vec<&Found> = other.iter().filter(|e| kinds(e) == kind).collect();
        let at: Vec<f64> = ours.iter().map(|&i| nominal[i].at).collect();
        let found: Vec<f64> = theirs.iter().map(|e| e.at).collect();
        for (j, partner) in align(&at, &found).into_iter().enumerate() {
            match partner {
                Some(i) => paired[ours[i]] = Some(found[j]),
                None => extra.push(*theirs[j]),
            }
        }
    }
    (paired, extra)
}

/// For each of `b` the index of its partner in `a`: order kept, as many pairs as can be, least total
/// distance.
fn align(a: &[f64], b: &[f64]) -> Vec<Option<usize>> {
    // cost[i][j]: pairs made (negated) and distance, best of the first i of a and j of b
    let mut cost = vec![vec![(0i64, 0.0f64); b.len() + 1]; a.len() + 1];
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let (pairs, far) = cost[i - 1][j - 1];
            let both = (pairs - 1, far + (a[i - 1] - b[j - 1]).abs());
            let best = [both, cost[i - 1][j], cost[i][j - 1]];
            cost[i][j] = best.into_iter().fold(both, |x, y| if y < x { y } else { x });
        }
    }
    let mut partners = vec![None; b.len()];
    let (mut i, mut j) = (a.len(), b.len());
    while i > 0 && j > 0 {
        if cost[i][j] == cost[i - 1][j] {
            i -= 1;
        } else if cost[i][j] == cost[i][j - 1] {
            j -= 1;
        } else {
            (i, j) = (i - 1, j - 1);
            partners[j] = Some(i);
        }
    }
    partners
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_align_keeps_order_and_takes_the_nearest() {
        assert_eq!(align(&[1.0, 5.0], &[1.1, 5.2]), [Some(0), Some(1)]);
        assert_eq!(align(&[1.0, 5.0], &[5.2]), [Some(1)]);
        assert_eq!(align(&[5.0], &[1.0, 5.2, 9.0]), [None, Some(0), None]);
        assert_eq!(align(&[], &[1.0]), [None]);
        // falling coordinates of a back pass
        assert_eq!(align(&[5.0, 1.0], &[5.2, 3.0, 1.1]), [Some(0), None, Some(1)]);
    }
}
