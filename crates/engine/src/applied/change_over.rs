//! How long both sides of a change-over contact are open as its blade goes over.

use crate::answer::{Direction, EventKind};
use crate::realise::{self, Pick};
use crate::track::{Course, Found};
use reedmace_design::{Design, Sweep};

/// The change-over contacts of a design.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct ChangeOvers {
    /// The normally closed sides; each comes just after the other one.
    closed: Vec<usize>,
    /// 1 where the coordinate rises on the way there, else -1.
    sense: f64,
}

impl ChangeOvers {
    pub fn of(design: &Design, pick: &Pick) -> Self {
        let has = |k: &usize| design.contacts[*k].change_over.is_some();
        let closed: Vec<usize> = (0..design.contacts.len()).filter(has).collect();
        let apart = matches!(design.sweep, Sweep::Table(_) | Sweep::Spin(_));
        match realise::motion(design, pick) {
            Ok(motion) if !closed.is_empty() && !apart => {
                let [from, to] = motion.range();
                Self { closed, sense: (to - from).signum() }
            }
            _ => Self::default(),
        }
    }

    /// Adds for each the least stretch on which both are open as it operates, and as it releases, SI.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for &k in &self.closed {
            let (open, closed) = (&courses[k - 1], &courses[k]);
            figures.push(self.least(closed, open, EventKind::Operate));
            figures.push(self.least(open, closed, EventKind::Release));
        }
    }

    /// The least way from an event of the side that opens to that of the side that closes, on one pass.
    fn least(&self, opens: &Course, closes: &Course, kind: EventKind) -> f64 {
        let gap = |event: &Found| {
            let way = if event.direction == Direction::Forward { self.sense } else { -self.sense };
            let partner = opens
                .events
                .iter()
                .filter(|other| other.kind == kind && other.direction == event.direction)
                .map(|other| way * (event.at - other.at))
                .min_by(|a, b| a.abs().total_cmp(&b.abs()))?;
            Some(partner)
        };
        let gaps = closes.events.iter().filter(|event| event.kind == kind).filter_map(gap);
        gaps.reduce(f64::min).unwrap_or(f64::NAN)
    }
}
