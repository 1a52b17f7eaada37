//! What a contact sees after it has moved.

use crate::network::{Contact, Network};
use crate::spice::WAIT;

/// The contact at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Since the contact moved, s.
    pub time: f64,
    /// Across the contact, V.
    pub voltage: f64,
    /// Through the contact, A: an arc's too.
    pub current: f64,
}

/// What happens at the contact after it has moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Transient {
    /// Samples, closer together where more happens.
    pub samples: Vec<Sample>,
    /// Energy in the contact, J: in its resistance, and in arcs.
    pub energy: f64,
    /// How long arcs burned, s.
    pub arc_time: f64,
    /// Charge that passed the contact in either direction, C.
    pub charge: f64,
}

impl Transient {
    /// Greatest voltage across the contact, V, of either sign.
    pub fn peak_voltage(&self) -> f64 {
        self.samples.iter().fold(0.0, |peak, sample| peak.max(sample.voltage.abs()))
    }

    /// Greatest current through the contact, A, of either sign, from a time (s) on.
    ///
    /// A contact that closes empties its own capacitance within picoseconds, without the inductance of leads that
    /// would hold that peak down: look from behind it, [`crate::network::Network::own_discharge`].
    pub fn peak_current(&self, from: f64) -> f64 {
        let later = self.samples.iter().filter(|sample| sample.time >= from);
        later.fold(0.0, |peak, sample| peak.max(sample.current.abs()))
    }

    /// Root of the mean square of a quantity of the samples from a time (s) on, by trapezia.
    pub fn root_mean_square(&self, from: f64, of: impl Fn(&Sample) -> f64) -> f64 {
        let later: Vec<Sample> = self.samples.iter().copied().filter(|s| s.time >= from).collect();
        let span = later.last().map_or(0.0, |last| last.time - from);
        let run = Self { samples: later, ..self.clone() };
        (run.integral(|s| of(s).powi(2)) / span).sqrt()
    }

    /// What a simulator is asked of the contact once it has moved to `to`, in the language of [`crate::spice`], and
    /// what this run answers: the greatest voltage or current, with its sign, and the root of its mean square.
    /// `network`, `until`: what was run, without arcs, and for how long, s.
    pub fn asked(&self, network: &Network, to: Contact, until: f64) -> Vec<(String, f64)> {
        // Behind the switch's edge, and the picoseconds in which a closing contact empties what lies across it.
        let own = if to == Contact::Closed { network.own_discharge() } else { 0.0 };
        let behind = own + 2e-6 * until;
        let from = WAIT * until + behind;
        let (what, of): (String, fn(&Sample) -> f64) = match to {
            Contact::Open => (format!("V(n{})", network.contact), |s| s.voltage),
            Contact::Closed => ("I(Vcontact)".into(), |s| s.current),
        };
        let later = self.samples.iter().filter(|s| s.time >= behind);
        let (first, peak) = (self.at(behind, of), later.map(of).fold(f64::MIN, f64::max));
        // What only falls is greatest at once, where a simulator need not have a point of its own.
        let greatest = if first > peak {
            (format!("FIND {what} AT={from:e}"), first)
        } else {
            (format!("MAX {what} FROM={from:e}"), peak)
        };
        vec![greatest, (format!("RMS {what} FROM={from:e}"), self.root_mean_square(behind, of))]
    }

    /// A quantity of the samples at a time between the first and the last, straight from one to the next.
    fn at(&self, time: f64, of: impl Fn(&Sample) -> f64) -> f64 {
        let after =
            self.samples.partition_point(|s| s.time < time).clamp(1, self.samples.len() - 1);
        let [a, b] = [&self.samples[after - 1], &self.samples[after]];
        if b.time == a.time {
            return of(b);
        }
        of(a) + (of(b) - of(a)) * (time - a.time) / (b.time - a.time)
    }

    /// Integral of a quantity of the samples over time, by trapezia.
    pub fn integral(&self, of: impl Fn(&Sample) -> f64) -> f64 {
        let each =
            |pair: &[Sample]| 0.5 * (of(&pair[0]) + of(&pair[1])) * (pair[1].time - pair[0].time);
        self.samples.windows(2).map(each).sum()
    }
}
