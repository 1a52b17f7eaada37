//! What a contact sees after it has moved.

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

    /// Integral of a quantity of the samples over time, by trapezia.
    pub fn integral(&self, of: impl Fn(&Sample) -> f64) -> f64 {
        let each =
            |pair: &[Sample]| 0.5 * (of(&pair[0]) + of(&pair[1])) * (pair[1].time - pair[0].time);
        self.samples.windows(2).map(each).sum()
    }
}
