//! Small electric networks with one contact, over time.
//!
//! Between two events - a clamp begins to conduct, an arc goes out - everything is linear, and a step of any
//! length is exact: `x(t + h) = x∞ + e^(A h) (x(t) − x∞)`, on alternating voltage too, whose sine and cosine are
//! states among the others. Steps are only as short as it takes to see what happens between them.

use crate::linear::{Linear, step_of};
use crate::transient::{Sample, Transient};
use nalgebra::DVector;
use std::collections::HashMap;

/// A place where parts join; 0 is ground.
pub type Node = usize;

/// A capacitor between two nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacitor {
    /// Where it is.
    pub between: [Node; 2],
    /// Capacitance, F.
    pub farads: f64,
}

/// A source, a resistor and an inductor in series: `v0 − v1 + volts = ohms · i + henries · di/dt`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// From and to; the current counts so.
    pub between: [Node; 2],
    /// Voltage that drives the current, V: the peak where sources alternate.
    pub volts: f64,
    /// Resistance, Ω, above 0.
    pub ohms: f64,
    /// Inductance, H; 0 without.
    pub henries: f64,
}

/// What lets current pass one way, above a threshold: `i = (v0 − v1 − threshold)/ohms`, or nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clamp {
    /// From and to.
    pub between: [Node; 2],
    /// Voltage where it begins to conduct, V.
    pub threshold: f64,
    /// Resistance beyond, Ω, above 0.
    pub ohms: f64,
}

/// The least voltage and current that keep an arc burning between two faces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArcLimits {
    /// Voltage, V.
    pub volts: f64,
    /// Current, A.
    pub amperes: f64,
}

/// A network with a contact from one node to ground. Every node needs a capacitor on it: there is one in truth.
#[derive(Debug, Clone, PartialEq)]
pub struct Network {
    /// How many nodes there are besides ground.
    pub nodes: usize,
    /// Its capacitors.
    pub capacitors: Vec<Capacitor>,
    /// Its sources, resistors and inductors.
    pub branches: Vec<Branch>,
    /// Its clamps.
    pub clamps: Vec<Clamp>,
    /// Node on which the contact is.
    pub contact: Node,
    /// Resistance of the closed contact, Ω.
    pub contact_ohms: f64,
    /// Frequency of all sources, Hz, which swing together; `None` of steady ones.
    pub hertz: Option<f64>,
}

/// The contact is closed or open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Contact {
    /// Closed.
    Closed,
    /// Open, insulating with [`GAP_OHMS`].
    Open,
}

/// Insulation of an open contact, Ω: no current of note, but a resting place for every voltage.
pub const GAP_OHMS: f64 = 1e12;
/// Resistance of an arc beside its voltage, Ω; small against loads.
pub(crate) const ARC_OHMS: f64 = 0.05;
/// An arc is lit by so much more than its least current, or it would be lit by the very current it went out at.
const LIGHTS: f64 = 1.01;
/// The first step after an event, s; each rung doubles it.
pub(crate) const FIRST_STEP: f64 = 1e-13;
/// A step is halved where its middle is further off a cubic than this part of what is usual, and doubled where
/// it is nearer than an eighth.
const SEEN: f64 = 1e-4;
/// Events after which a run is given up.
const EVENTS: usize = 20_000;
/// Steps after which it is: some seconds.
const STEPS: usize = 1_000_000;

/// A network cannot be followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NetworkError {
    /// A node without capacitor, or one that nothing ties to ground.
    #[error("a node of the network has no capacitor or no way to ground")]
    Undetermined,
    /// Clamps or arcs change too often.
    #[error("not followed to its end: clamps or arcs changed {EVENTS} times")]
    Chatter,
    /// It swings too often before it is at rest.
    #[error("not followed to its end: it swings on after {STEPS} steps")]
    Swings,
    /// A clamp conducts before the contact moves, on alternating voltage.
    #[error("what is to hold a voltage down conducts at the alternating voltage itself")]
    Conducts,
}

/// What conducts now.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Mode {
    pub(crate) contact: Contact,
    /// Sign of the arc's voltage.
    pub(crate) arc: Option<bool>,
    /// The voltage has passed that of an arc without lighting one, and can no longer: that takes a breakdown.
    pub(crate) passed: bool,
    /// Which clamps conduct.
    pub(crate) clamps: Vec<bool>,
}

impl Mode {
    /// True where the same conducts: a voltage that passes that of an arc where none can be lit is no event.
    fn but_for_passed(&self, other: &Self) -> bool {
        (self.contact, self.arc, &self.clamps) == (other.contact, other.arc, &other.clamps)
    }
}

/// Capacitance of every other place where parts join, F: some centimetres of wire.
pub(crate) const NODE_FARADS: f64 = 2e-12;

impl Network {
    /// Time in which a closing contact empties what lies right across it, and what the nodes next to it have of
    /// themselves, s.
    pub fn own_discharge(&self) -> f64 {
        let to_ground = |node: Node| {
            let here = |c: &&Capacitor| c.between.contains(&node) && c.between.contains(&0);
            self.capacitors.iter().filter(here).map(|c| c.farads).sum::<f64>()
        };
        let plain = || self.branches.iter().filter(|branch| branch.henries == 0.0);
        let siemens = |node: Node| {
            let at = plain().filter(|branch| branch.between.contains(&node));
            at.map(|branch| branch.ohms.recip()).sum::<f64>()
        };
        let beside = plain().filter(|branch| branch.between.contains(&self.contact));
        let next = beside.flat_map(|branch| branch.between).filter_map(|node| {
            let farads = to_ground(node);
            let other = node != 0 && node != self.contact;
            (other && farads <= NODE_FARADS).then(|| farads / siemens(node))
        });
        let own = self.contact_ohms * to_ground(self.contact);
        20.0 * next.fold(own, f64::max)
    }

    /// What happens in `until` seconds after the contact, long at rest before, has moved to `to`: on alternating
    /// voltage at the worst moment, see [`Self::angle`].
    ///
    /// With `arc` an opened contact is bridged by an arc of that voltage if at least that current would flow when
    /// the voltage is reached, and while it does; without, it opens at once and for good. Neither knows how wide
    /// the gap is yet: the voltage may rise beyond what a narrow gap holds, and no breakdown follows.
    ///
    /// # Errors
    /// [`NetworkError`] if the network is not one that can be followed.
    pub fn transient(
        &self,
        to: Contact,
        arc: Option<ArcLimits>,
        until: f64,
    ) -> Result<Transient, NetworkError> {
        let from = if to == Contact::Open { Contact::Closed } else { Contact::Open };
        let mut x = self.undisturbed(from, 0.0)?;
        let start = x.clone();
        let mut known: HashMap<Mode, Linear> = HashMap::new();
        let quiet = Mode { contact: to, arc: None, passed: false, clamps: Vec::new() };
        let mut mode = self.mode(&x, to, &quiet, arc);
        let mut out = Transient { samples: Vec::new(), energy: 0.0, arc_time: 0.0, charge: 0.0 };
        let (mut time, mut rung, mut events) = (0.0, 1, 0);
        out.samples.push(self.sample(0.0, &x, &mode, arc));
        while time < until {
            if !known.contains_key(&mode) {
                known.insert(mode.clone(), self.linear(&mode, arc)?);
            }
            let linear = known.get_mut(&mode).ok_or(NetworkError::Undetermined)?;
            // A step and its middle.
            let (mut h, mut middle, mut end) = loop {
                let h = step_of(rung);
                let middle = linear.rung(&x, rung - 1);
                let end = linear.rung(&middle, rung - 1);
                let off = self.off_cubic(linear, [&x, &middle, &end], &start, h);
                if off > SEEN && rung > 1 {
                    rung -= 1;
                    continue;
                }
                if off < SEEN / 8.0 && step_of(rung + 1) < until / 64.0 {
                    rung += 1;
                }
                break (h, middle, end);
            };
            if time + h > until {
                h = until - time;
                middle = linear.after(&x, 0.5 * h);
                end = linear.after(&x, h);
            }
            let next = self.mode(&end, to, &mode, arc);
            let mut changed = None;
            let quiet = next != mode
                && next.but_for_passed(&mode)
                && self.is_dark(arc, [&x, &middle, &end]);
            if next != mode && !quiet {
                // Halve to the event; go on from just behind it.
                let (mut before, mut behind) = (0.0, h);
                while behind - before > FIRST_STEP.max(1e-9 * time) {
                    let at = 0.5 * (before + behind);
                    if self.mode(&linear.after(&x, at), to, &mode, arc) == mode {
                        before = at
                    } else {
                        behind = at
                    }
                }
                h = behind;
                middle = linear.after(&x, 0.5 * h);
                end = linear.after(&x, h);
                changed = Some(self.mode(&end, to, &mode, arc));
                events += 1;
                if events > EVENTS {
                    return Err(NetworkError::Chatter);
                }
            }
            let [a, b, c] = [(0.0, &x), (0.5 * h, &middle), (h, &end)]
                .map(|(dt, state)| self.sample(time + dt, state, &mode, arc));
            let simpson = |f: &dyn Fn(&Sample) -> f64| h / 6.0 * (f(&a) + 4.0 * f(&b) + f(&c));
            if to == Contact::Closed || mode.arc.is_some() {
                out.energy += simpson(&|s| s.voltage * s.current);
                out.charge += simpson(&|s| s.current.abs());
            }
            if mode.arc.is_some() {
                out.arc_time += h;
            }
            out.samples.extend([b, c]);
            if out.samples.len() > 2 * STEPS {
                return Err(NetworkError::Swings);
            }
            if quiet {
                mode.passed = next.passed;
            }
            (x, time) = (end, time + h);
            if let Some(next) = changed {
                (mode, rung) = (next, 1);
                out.samples.push(self.sample(time, &x, &mode, arc));
            }
        }
        Ok(out)
    }

    fn voltage(&self, x: &DVector<f64>, node: Node) -> f64 {
        if node == 0 { 0.0 } else { x[node - 1] }
    }

    pub(crate) fn across(&self, x: &DVector<f64>, [from, to]: [Node; 2]) -> f64 {
        self.voltage(x, from) - self.voltage(x, to)
    }

    /// Current that flows to the contact's node while it is held at a voltage; its capacitors take none then.
    fn inflow(&self, x: &DVector<f64>, held: f64) -> f64 {
        let mut at = x.clone();
        at[self.contact - 1] = held;
        let mut current = self.nodes;
        // Sources that alternate stand at their cosine, the state behind all others.
        let now = if self.hertz.is_some() { x[self.states()] } else { 1.0 };
        let mut sum = 0.0;
        for branch in &self.branches {
            let through = if branch.henries > 0.0 {
                current += 1;
                x[current - 1]
            } else {
                (self.across(&at, branch.between) + now * branch.volts) / branch.ohms
            };
            sum += through * self.towards_contact(branch.between);
        }
        for clamp in &self.clamps {
            let through = (self.across(&at, clamp.between) - clamp.threshold) / clamp.ohms;
            sum += through.max(0.0) * self.towards_contact(clamp.between);
        }
        sum
    }

    /// True where no arc is lit, by far: at none of these states half of its least current would flow in it.
    fn is_dark(&self, arc: Option<ArcLimits>, states: [&DVector<f64>; 3]) -> bool {
        let most = |limits: ArcLimits, x: &DVector<f64>| {
            [-limits.volts, limits.volts]
                .map(|held| self.inflow(x, held).abs())
                .into_iter()
                .fold(0.0, f64::max)
        };
        arc.is_none_or(|limits| states.iter().all(|x| most(limits, x) < 0.5 * limits.amperes))
    }

    fn towards_contact(&self, [from, to]: [Node; 2]) -> f64 {
        f64::from(u8::from(to == self.contact)) - f64::from(u8::from(from == self.contact))
    }

    /// What conducts at a state.
    pub(crate) fn mode(
        &self,
        x: &DVector<f64>,
        contact: Contact,
        before: &Mode,
        arc: Option<ArcLimits>,
    ) -> Mode {
        let clamps = self.clamps.iter().map(|c| self.across(x, c.between) > c.threshold).collect();
        let mut next = Mode { contact, arc: None, passed: false, clamps };
        let Some(limits) = arc.filter(|_| contact == Contact::Open) else { return next };
        if let Some(positive) = before.arc {
            let through = self.arc_current(x, positive, limits) * sign(positive);
            next.arc = (through >= limits.amperes).then_some(positive);
            return next;
        }
        let voltage = self.voltage(x, self.contact);
        if voltage.abs() >= limits.volts {
            let positive = voltage > 0.0;
            let through = self.inflow(x, sign(positive) * limits.volts) * sign(positive);
            let lit = !before.passed && through >= LIGHTS * limits.amperes;
            (next.arc, next.passed) = (lit.then_some(positive), !lit);
        }
        next
    }

    fn arc_current(&self, x: &DVector<f64>, positive: bool, limits: ArcLimits) -> f64 {
        // Just behind its ignition the arc takes what flows in, not yet what its resistance says.
        let said = (self.voltage(x, self.contact) - sign(positive) * limits.volts) / ARC_OHMS;
        let flows = self.inflow(x, sign(positive) * limits.volts);
        if positive { said.max(flows) } else { said.min(flows) }
    }

    fn sample(&self, time: f64, x: &DVector<f64>, mode: &Mode, arc: Option<ArcLimits>) -> Sample {
        let voltage = self.voltage(x, self.contact);
        let current = match (mode.contact, mode.arc, arc) {
            (Contact::Closed, ..) => voltage / self.contact_ohms,
            (_, Some(positive), Some(limits)) => {
                (voltage - sign(positive) * limits.volts) / ARC_OHMS
            }
            _ => voltage / GAP_OHMS,
        };
        Sample { time, voltage, current }
    }

    /// How far the middle of a step is off the cubic through its ends, over what is usual of each.
    fn off_cubic(
        &self,
        linear: &Linear,
        [x, middle, end]: [&DVector<f64>; 3],
        start: &DVector<f64>,
        h: f64,
    ) -> f64 {
        let cubic = (x + end) * 0.5 + (linear.slope(x) - linear.slope(end)) * (h / 8.0);
        let off = (middle - cubic).abs();
        let usual = |x: &DVector<f64>, from: usize, to: usize| {
            x.rows(from, to - from).iter().fold(0.0f64, |most, v| most.max(v.abs()))
        };
        let (n, all) = (self.nodes, self.states());
        let size = |from, to| usual(x, from, to).max(usual(start, from, to)).max(1e-9);
        let volts = usual(&off, 0, n) / size(0, n).max(self.emf());
        if all > n { volts.max(usual(&off, n, all) / size(n, all)) } else { volts }
    }

    fn emf(&self) -> f64 {
        self.branches.iter().fold(0.0, |most, branch| most.max(branch.volts.abs()))
    }
}

pub(crate) fn sign(positive: bool) -> f64 {
    if positive { 1.0 } else { -1.0 }
}
