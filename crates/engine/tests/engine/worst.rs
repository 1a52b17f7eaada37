//! The worst case against every corner and many inner units, each checked as a design of its own.

use crate::at_work::{Dice, LEVELS, REED, design_of, places, study};
use reedmace_engine::answer::Answer;

/// A quantity of the design: nominal, low, high, unit.
type Quantity = (f64, f64, f64, &'static str);

/// A design as a text whose `{0}`, `{1}` ... stand for its toleranced quantities.
struct Toleranced {
    text: String,
    quantities: Vec<Quantity>,
}

impl Toleranced {
    fn with(&self, value: impl Fn(usize, Quantity) -> String) -> Answer {
        let mut text = self.text.clone();
        for (k, q) in self.quantities.iter().enumerate() {
            text = text.replace(&format!("{{{k}}}"), &value(k, *q));
        }
        study(&text).answer
    }

    fn band(&self) -> Answer {
        self.with(|_, (n, lo, hi, unit)| format!("{n} +{} -{} {unit}", hi - n, n - lo))
    }

    /// Each quantity at this share of the way from its low to its high limit.
    fn unit(&self, share: impl Fn(usize) -> f64) -> Answer {
        self.with(|k, (_, lo, hi, unit)| format!("{} {unit}", lo + share(k) * (hi - lo)))
    }
}

/// No corner and no inner unit leaves any event's band or a demand's worst room, and some corner
/// reaches each end. `inside` allows for ends that lie at nominal, between the corners.
fn proves(design: &Toleranced, inside: bool) {
    let band = design.band();
    let n = design.quantities.len();
    let mut units: Vec<Answer> = (0..1 << n)
        .map(|corner: usize| design.unit(|k| if corner >> k & 1 == 1 { 1.0 } else { 0.0 }))
        .collect();
    let mut dice = Dice(5);
    for _ in 0..16 {
        let shares: Vec<f64> = (0..n).map(|_| dice.between(0.0, 1.0)).collect();
        units.push(design.unit(|k| shares[k]));
    }
    let contact = &band.contacts[0];
    assert!(contact.events.iter().all(|e| e.in_every_unit));
    let range = (band.sweep.to - band.sweep.from).abs();
    for (e, event) in contact.events.iter().enumerate() {
        let mut seen = [f64::INFINITY, f64::NEG_INFINITY];
        for unit in &units {
            let found = places(&unit.contacts[0]);
            assert_eq!(found.len(), contact.events.len());
            assert_eq!((found[e].0, found[e].1), (event.kind, event.direction));
            seen = [seen[0].min(found[e].2), seen[1].max(found[e].2)];
        }
        let slack = 1e-6 * range;
        assert!(seen[0] >= event.at.low - slack, "{seen:?} {event:?}");
        assert!(seen[1] <= event.at.high + slack, "{seen:?} {event:?}");
        let reached = [seen[0] - event.at.low, event.at.high - seen[1]];
        let allowed = if inside { 0.02 * (event.at.high - event.at.low) } else { slack };
        assert!(reached.iter().all(|r| *r <= allowed), "{seen:?} {event:?}");
    }
    for (d, demand) in band.demands.iter().enumerate() {
        let rooms = units.iter().filter_map(|u| u.demands[d].margin_nominal);
        let least = rooms.fold(f64::INFINITY, f64::min);
        let worst = demand.margin_worst.expect("a room");
        let slack = if inside { 0.02 * range } else { 1e-6 * range };
        assert!(worst <= least + 1e-6 * range && worst >= least - slack, "{worst} {least}");
    }
}

const MAGNET: &str = "[[magnet]]\nname = \"m\"\nshape = \"cuboid\"\ndirection = [1, 0, 0]\n";

#[test]
fn cross_worst_case_of_an_approach() {
    let rest = format!(
        "{MAGNET}size = [\"{{0}}\", \"{{1}}\", \"5 mm\"]\nremanence = \"{{2}}\"\n\
         [sweep]\nkind = \"line\"\nmoves = \"m\"\ncoordinate = \"z\"\n\
         from = [\"{{3}}\", \"6 mm\", \"60 mm\"]\nto = [\"{{3}}\", \"6 mm\", \"5 mm\"]\n\
         [[demand]]\ncontact = \"reed\"\nclosed = \"<= 10 mm\"\n\
         [[demand]]\ncontact = \"reed\"\nopen = \">= 50 mm\"\n"
    );
    let contact = format!("{REED}coil = \"uniform\"\noperate = \"{{4}}\"\nrelease = \"{{5}}\"\n");
    let design = Toleranced {
        text: design_of(&contact, &rest.replace("to = [\"{3}\"", "to = [\"3 mm\"")),
        quantities: vec![
            (10.0, 9.8, 10.1, "mm"),
            (5.0, 4.9, 5.1, "mm"),
            (1.2, 1.15, 1.25, "T"),
            (3.0, 2.0, 4.0, "mm"),
            (0.75, 0.67, 0.84, "mT"),
            (0.38, 0.3, 0.47, "mT"),
        ],
    };
    proves(&design, false);
}

/// Side play about zero turns events round at nominal: the ends lie between the corners.
#[test]
fn cross_worst_case_of_a_slide_with_play() {
    let rest = format!(
        "{MAGNET}size = [\"10 mm\", \"5 mm\", \"5 mm\"]\nremanence = \"{{0}}\"\n\
         rotate = [\"0 deg\", \"{{1}}\", \"0 deg\"]\n\
         [sweep]\nkind = \"line\"\nmoves = \"m\"\ncoordinate = \"x\"\n\
         from = [\"-60 mm\", \"{{2}}\", \"{{3}}\"]\nto = [\"60 mm\", \"{{2}}\", \"11 mm\"]\n"
    )
    .replace("to = [\"60 mm\", \"{2}\"", "to = [\"60 mm\", \"0 mm\"");
    let contact = format!("{REED}{LEVELS}").replace("0.05 mm", "{4}");
    let design = Toleranced {
        text: design_of(&contact, &rest),
        quantities: vec![
            (1.2, 1.15, 1.25, "T"),
            (0.0, -2.0, 2.0, "deg"),
            (0.0, -1.0, 1.0, "mm"),
            (11.0, 10.6, 11.4, "mm"),
            (0.05, 0.048, 0.052, "mm"),
        ],
    };
    proves(&design, true);
}
