//! Contacts that remember: what holds each of their states while what changes is away.

use crate::answer::{Direction, EventKind, LatchAnswer, LatchAtContact};
use crate::realise::{self, Pick};
use crate::track::{Course, Found};
use crate::units::{Shown, millitesla};
use reedmace_design::{COLDEST, Design, Threshold};
use reedmace_materials::{Grade, REFERENCE_TEMPERATURE};
use reedmace_units::{Quantity, Temperature};

/// A latch at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Remembering {
    /// Coordinate at which what changes is away, and its share of the way from start to end.
    rest: f64,
    share: f64,
    /// Operate and release of each contact in its test coil, where they are stated so.
    turns: Vec<Option<[f64; 2]>>,
    /// Of each contact how its bias changes with temperature.
    bias: Vec<Option<Bias>>,
}

/// How a bias changes with temperature.
#[derive(Debug, Clone, PartialEq)]
struct Bias {
    grade: Grade,
    /// Temperature of this unit, K.
    now: f64,
}

/// What holds a contact at rest, over its levels; both with the sign of the open drive.
#[derive(Debug, Clone, Copy)]
struct Held {
    sign: f64,
    /// Open drive over operate, without its sign.
    open: f64,
    /// Closed drive over release, on the side of the bias.
    closed: f64,
}

impl Remembering {
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let latch = design.latch.as_ref()?;
        let [from, to] = realise::motion(design, pick).ok()?.range();
        let share = match (design.sweep.swept_coil(), latch.rests_at_end) {
            (Some(_), _) => -from / (to - from),
            (None, at_end) => f64::from(u8::from(at_end)),
        };
        let turns =
            design.contacts.iter().map(|contact| match (&contact.operate, &contact.release) {
                (Threshold::AmpereTurns(operate), Threshold::AmpereTurns(release)) => {
                    Some([pick(operate), pick(release)])
                }
                _ => None,
            });
        let turns = turns.collect();
        let now = pick(&design.surroundings.temperature);
        let bias = |k: usize| design.bias_grade(k).map(|grade| Bias { grade: grade.clone(), now });
        let bias = (0..design.contacts.len()).map(bias).collect();
        Some(Self { rest: from + share * (to - from), share, turns, bias })
    }

    /// What holds a contact at rest. Between the ends of a coil's sweep its drive is straight.
    fn held(&self, course: &Course) -> Held {
        let at_rest = |i: usize| {
            let [from, to] = [course.ends[0][i], course.ends[1][i]];
            from + self.share * (to - from)
        };
        let (open, closed) = (at_rest(0), at_rest(1));
        Held { sign: open.signum(), open: open.abs(), closed: open.signum() * closed }
    }

    /// Adds what the design names of each contact, in that order.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for (k, course) in courses.iter().enumerate() {
            let held = self.held(course);
            let [operate, release] = course.levels;
            let place = |found: Option<&Found>| found.map_or(f64::NAN, |found| found.at);
            figures.push(place(last(course, EventKind::Operate, held.sign)));
            figures.push(place(last(course, EventKind::Release, held.sign)));
            figures.push(place(last(course, EventKind::Operate, -held.sign)));
            figures.push(held.open * operate);
            figures.push((held.closed - 1.0) * release);
            figures.push((1.0 - held.open) * operate);
            if let Some([operate, release]) = self.turns[k] {
                figures.push((held.closed - 1.0) * release);
                figures.push((1.0 - held.open) * operate);
            }
            if let Some(bias) = &self.bias[k] {
                figures.push(bias.temperature(1.0 / held.closed));
                figures.push(bias.temperature(1.0 / held.open));
            }
        }
    }

    /// What is told of the nominal unit.
    pub fn answer(&self, design: &Design, courses: &[Course]) -> LatchAnswer {
        let shown = Shown::of(design);
        let one = |(contact, course): (&reedmace_design::Contact, &Course)| {
            let held = self.held(course);
            let [operate, release] = course.levels;
            let place = |kind, sign| last(course, kind, sign).map(|found| shown.number(found.at));
            LatchAtContact {
                contact: contact.name.clone(),
                bias: millitesla(held.sign * held.open * operate),
                bias_closed: millitesla(held.sign * held.closed * release),
                operate: millitesla(operate),
                release: millitesla(release),
                stays_set: held.closed >= 1.0,
                stays_reset: held.open < 1.0,
                set: place(EventKind::Operate, held.sign),
                reset: place(EventKind::Release, held.sign),
                overdriven: place(EventKind::Operate, -held.sign),
            }
        };
        LatchAnswer {
            rest: shown.number(self.rest),
            contacts: design.contacts.iter().zip(courses).map(one).collect(),
        }
    }
}

/// The last event of a kind on the way there and back in a lobe of this sign.
fn last(course: &Course, kind: EventKind, sign: f64) -> Option<&Found> {
    let of = |event: &&Found| {
        let lobe = course.lobes.get(event.lobe);
        event.kind == kind && lobe.is_some_and(|lobe| lobe.sign == sign)
    };
    let on = |direction: Direction| {
        course.events.iter().filter(move |event| event.direction == direction).rfind(of)
    };
    on(Direction::Back).or_else(|| on(Direction::Forward))
}

impl Bias {
    /// Temperature at which the bias is so many times what it is now, K: on the grade's straight law, within
    /// what the grade allows. NaN where temperature changes nothing.
    fn temperature(&self, times: f64) -> f64 {
        let factor = self.grade.remanence_factor(Temperature::from_si(self.now)) * times;
        let drift = self.grade.remanence_drift.nominal.si();
        let most = self.grade.max_temperature.as_ref().map_or(f64::INFINITY, |t| t.nominal.si());
        let at = REFERENCE_TEMPERATURE.si() + (factor - 1.0) / drift;
        if drift == 0.0 { f64::NAN } else { at.min(most).max(COLDEST) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_materials::Grades;

    #[test]
    fn prop_a_bias_is_as_strong_as_asked_where_it_is_said_to_be() {
        let grade = Grades::builtin().find("NdFeB 240/80").expect("a grade").clone();
        for now in [253.15, 293.15, 313.15] {
            let bias = Bias { grade: grade.clone(), now };
            let factor = |t: f64| grade.remanence_factor(Temperature::from_si(t));
            for times in [0.97, 1.0, 1.05] {
                let at = bias.temperature(times);
                assert!((factor(at) / factor(now) - times).abs() < 1e-12, "{now} {times} {at}");
            }
            let most = grade.max_temperature.as_ref().expect("a limit").nominal.si();
            assert_eq!((bias.temperature(0.1), bias.temperature(9.0)), (most, COLDEST));
        }
    }
}
