//! What a study tells once: demands of one line, and events and figures of many things that are alike.

use crate::brief::{MANY, range, table};
use reedmace_engine::answer::{DemandSpread, Distribution, EventSpread, FigureSpread, Verdict};

/// Deviations no further apart than this, over the larger, are those of things that are alike.
const NEAR: f64 = 0.1;

/// Several things of a study: one is told at length, the others stand in a table.
#[derive(Debug, Clone)]
pub struct Group<'a, T> {
    /// `stage 1`, or `stage 1 to stage 16`.
    pub names: String,
    /// The one that is told.
    pub one: &'a T,
    /// All of them, in the order of the study.
    pub all: Vec<&'a T>,
}

impl<T> Group<'_, T> {
    /// True of several.
    pub fn several(&self) -> bool {
        self.all.len() > 1
    }

    /// True where all lie at the place of the one that is told.
    pub fn same_place(&self, of: impl Fn(&T) -> Option<&Distribution>) -> bool {
        let Some(one) = of(self.one) else { return !self.several() };
        let near = |other: &Distribution| (other.mean - one.mean).abs() <= NEAR * one.deviation;
        self.all.iter().all(|other| of(other).is_some_and(near))
    }
}

/// How a demand stands over the units.
pub fn stands(demand: &DemandSpread) -> Verdict {
    match (demand.share.met == demand.share.of, demand.share.met) {
        (true, _) => Verdict::Met,
        (false, 0) => Verdict::Missed,
        (false, _) => Verdict::AtRisk,
    }
}

/// Demands, those of one line that stand alike as one; told is the one that most units miss, of several the one
/// with the least room.
pub fn demands(all: &[DemandSpread]) -> Vec<Group<'_, DemandSpread>> {
    let alike = |a: &DemandSpread, b: &DemandSpread| {
        (a.line, &a.text, stands(a)) == (b.line, &b.text, stands(b))
    };
    let room = |d: &DemandSpread| d.worst_unit.as_ref().and_then(|worst| worst.value);
    let order = |a: &&DemandSpread, b: &&DemandSpread| {
        let [a, b] = [a, b].map(|d| (d.share.met, room(d).unwrap_or(f64::NEG_INFINITY)));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    };
    fn group<'a>(run: &'a [DemandSpread], one: &'a DemandSpread) -> Group<'a, DemandSpread> {
        let last = run.last().filter(|_| run.len() > 1).map(|last| &last.contact);
        Group { names: range(&run[0].contact, last), one, all: run.iter().collect() }
    }
    let told = |run| group(run, run.iter().min_by(order).unwrap_or(&run[0]));
    all.chunk_by(alike).map(told).collect()
}

/// Events; those of many contacts that are alike as one, the first of them told.
pub fn events(all: &[EventSpread]) -> Vec<Group<'_, EventSpread>> {
    let alike = |a: &EventSpread, b: &EventSpread| {
        let of = |e: &EventSpread| (table(&e.contact).to_owned(), e.kind, e.direction, e.lobe);
        of(a) == of(b) && same_spread(a.absent, a.at.as_ref(), b.absent, b.at.as_ref())
    };
    groups(all, alike, |event| &event.contact)
}

/// Figures; those of many contacts that are alike as one, the first of them told.
pub fn figures(all: &[FigureSpread]) -> Vec<Group<'_, FigureSpread>> {
    let alike = |a: &FigureSpread, b: &FigureSpread| {
        (unnumbered(&a.name), &a.unit) == (unnumbered(&b.name), &b.unit)
            && same_spread(a.absent, a.values.as_ref(), b.absent, b.values.as_ref())
    };
    groups(all, alike, |figure| &figure.name)
}

/// `overlap of stage 1 and stage 2` without its numbers.
fn unnumbered(name: &str) -> Vec<&str> {
    name.split(' ').filter(|word| !word.bytes().all(|b| b.is_ascii_digit())).collect()
}

fn same_spread(
    absent: u64,
    of: Option<&Distribution>,
    other_absent: u64,
    other: Option<&Distribution>,
) -> bool {
    let (Some(of), Some(other)) = (of, other) else { return false };
    let apart = (of.deviation - other.deviation).abs();
    (absent, other_absent) == (0, 0) && apart <= NEAR * of.deviation.max(other.deviation)
}

/// Many that are alike as one group, where the first of them stands; others by themselves.
fn groups<'a, T>(
    all: &'a [T],
    alike: impl Fn(&T, &T) -> bool,
    name: impl Fn(&T) -> &String,
) -> Vec<Group<'a, T>> {
    let mut told: Vec<Group<'a, T>> = Vec::new();
    for one in all {
        match told.iter_mut().find(|group| alike(group.one, one)) {
            Some(group) => group.all.push(one),
            None => told.push(Group { names: String::new(), one, all: vec![one] }),
        }
    }
    let few = |group: Group<'a, T>| match group.all.len() {
        n if n < MANY => group.all.iter().map(|&one| alone(one, name(one))).collect(),
        _ => {
            let last = group.all.last().map(|last| name(last));
            vec![Group { names: range(name(group.one), last), ..group }]
        }
    };
    let mut told: Vec<Group<'a, T>> = told.into_iter().flat_map(few).collect();
    told.sort_by_key(|group| position(all, group.one));
    told
}

fn alone<'a, T>(one: &'a T, name: &str) -> Group<'a, T> {
    Group { names: name.to_owned(), one, all: vec![one] }
}

/// Where a thing of a list stands in it.
fn position<T>(all: &[T], one: &T) -> usize {
    all.iter().position(|other| std::ptr::eq(other, one)).unwrap_or(all.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_engine::answer::{Band, Direction, EventKind, HistogramAt, Share, UnitAt};

    fn at(mean: f64, deviation: f64) -> Distribution {
        let end = |value: f64| UnitAt { unit: 0, value: Some(value) };
        Distribution {
            mean,
            deviation,
            least: end(mean - deviation),
            greatest: end(mean + deviation),
            quantiles: Vec::new(),
            histogram: HistogramAt { low: mean, high: mean, below: 0, above: 0, counts: vec![1] },
        }
    }

    fn event(contact: &str, mean: f64, deviation: f64) -> EventSpread {
        EventSpread {
            contact: contact.into(),
            kind: EventKind::Operate,
            direction: Direction::Forward,
            lobe: 1,
            worst_case: Band { value: None, low: 0.0, high: 1.0, unit: "mm".into() },
            units: 100,
            absent: 0,
            at: Some(at(mean, deviation)),
            drivers: Vec::new(),
        }
    }

    fn demand(contact: &str, met: u64, room: f64) -> DemandSpread {
        DemandSpread {
            contact: contact.into(),
            text: "closures 1".into(),
            line: 7,
            worst_case: Verdict::Met,
            share: Share { met, of: 100, low: 0.9, high: 1.0 },
            too_few: None,
            room: None,
            unit: "closures".into(),
            worst_unit: Some(UnitAt { unit: 3, value: Some(room) }),
            room_worst_case: None,
            drivers: Vec::new(),
            drivers_of_meeting: Vec::new(),
        }
    }

    #[test]
    fn many_alike_are_one_group_and_what_differs_stands_by_itself() {
        let mut all: Vec<EventSpread> =
            (1..=6).map(|k| event(&format!("stage {k}"), f64::from(k), 0.5)).collect();
        all[3] = event("stage 4", 4.0, 0.9);
        all.push(event("lid", 4.0, 0.5));
        let groups = events(&all);
        let names: Vec<&str> = groups.iter().map(|group| group.names.as_str()).collect();
        assert_eq!(names, ["stage 1 to stage 6", "stage 4", "lid"]);
        assert_eq!(groups[0].all.len(), 5);
        assert!(!groups[0].same_place(|event| event.at.as_ref()));
        assert!(groups[1].same_place(|event| event.at.as_ref()));
        all[1].absent = 1;
        all[2].absent = 1;
        assert!(events(&all).iter().all(|group| !group.several()), "three are few");
    }

    #[test]
    fn demands_of_a_line_are_told_by_the_one_that_most_units_miss() {
        let all = [
            demand("a 1", 100, 0.0),
            demand("a 2", 100, 0.0),
            demand("a 3", 98, -1.0),
            demand("a 4", 97, -1.0),
        ];
        let groups = demands(&all);
        let told: Vec<(&str, &str)> =
            groups.iter().map(|group| (group.names.as_str(), group.one.contact.as_str())).collect();
        assert_eq!(told, [("a 1 to a 2", "a 1"), ("a 3 to a 4", "a 4")]);
    }
}
