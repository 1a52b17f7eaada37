//! Blades that close and open with the current of their coil.

use crate::pulls::Pulls;
use diffsol::{NalgebraMat, OdeBuilder, OdeSolverMethod, OdeSolverStopReason};

/// Relative tolerance of a step.
const RELATIVE: f64 = 1e-6;
/// Absolute tolerance, over the way, the natural speed, the current and the voltage of the run.
const ABSOLUTE: f64 = 1e-8;
/// A speed below this share of the first impact's counts as rest: 0.01 % of its energy.
const AT_REST: f64 = 0.01;
/// How far apart faces count that leave each other, over the gap at rest: a touch is a change of sign.
const APART: f64 = 1e-9;
/// Impacts after which a contact is said to chatter.
const MOST: usize = 200;
/// Share of the current scale at which diodes block: what is left dies away within a swing of the blades.
const BLOCKED: f64 = 1e-3;

/// Both blades of a contact as one mass on a spring, in a coil, SI.
///
/// | symbol | field | unit | meaning |
/// |---|---|---|---|
/// | m | `mass` | kg | of one blade's end on its own stiffness, halved: both move |
/// | k | `stiffness` | N/m | of both blades in series |
/// | g | `rest` | m | gap at rest |
/// | x0 | `closed` | m | gap of the closed contact |
/// | Q | `quality` | | sharpness of the free vibration |
/// | e | `restitution` | | speed after an impact over the one before |
/// | N, L0 | `turns`, `henries` | , H | of the coil, the inductance with this gap at rest |
/// | b | `bias` | A | current that does what a steady field does |
/// | κ | `strength` | | pull over that of the table |
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blades<'a> {
    /// m, kg.
    pub mass: f64,
    /// k, N/m.
    pub stiffness: f64,
    /// g, m.
    pub rest: f64,
    /// x0, m.
    pub closed: f64,
    /// Q.
    pub quality: f64,
    /// e.
    pub restitution: f64,
    /// Pull of one ampere-turn over the gap.
    pub pulls: &'a Pulls,
    /// N.
    pub turns: f64,
    /// L0, H.
    pub henries: f64,
    /// b, A.
    pub bias: f64,
    /// κ.
    pub strength: f64,
}

/// What the coil's ends are joined to: `L di/dt = V − R i − v(i) − u`, u the voltage of a capacitor in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// V.
    pub volts: f64,
    /// R with all that is in series, Ω.
    pub ohms: f64,
    /// v against a current that is above zero, and that lets none flow the other way: diodes, V.
    pub against: f64,
    /// Capacitor in series, F; infinite without one.
    pub farads: f64,
}

/// The state at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Since the coil was switched, s.
    pub time: f64,
    /// Gap, m.
    pub gap: f64,
    /// How fast it widens, m/s.
    pub speed: f64,
    /// Current of the coil, A.
    pub current: f64,
    /// Voltage of the capacitor, V.
    pub held: f64,
}

/// A run from a switching on.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The states, at even times where they were asked for.
    pub moments: Vec<Moment>,
    /// When the faces touch, s, and how fast they come, m/s.
    pub touches: Vec<[f64; 2]>,
    /// When they part from rest, s.
    pub parted: Option<f64>,
}

/// A run that the solver gave up.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MotionError {
    /// The solver's own words.
    #[error("the motion of the blades cannot be followed: {0}")]
    Solver(String),
    /// Faces that never come to rest.
    #[error("the contact chatters: {MOST} impacts without coming to rest")]
    Chatters,
}

/// The states of a run so far, and how far apart more of them are told, s.
struct Record {
    moments: Vec<Moment>,
    every: f64,
}

impl Record {
    fn from(start: Moment, every: Option<f64>) -> Self {
        Self { moments: vec![start], every: every.unwrap_or(f64::INFINITY) }
    }
}

/// Why a stretch of a run ended.
enum End {
    Event,
    Over,
}

impl Blades<'_> {
    /// Natural angular frequency, rad/s.
    fn natural(&self) -> f64 {
        (self.stiffness / self.mass).sqrt()
    }

    /// Pull at a gap (m) and current (A) and how it falls with the current's inductance, N and H/m.
    fn pull_and_slope(&self, gap: f64, current: f64) -> [f64; 2] {
        let one = self.pulls.pull(gap) * self.turns * self.turns;
        [self.strength * one * (current + self.bias).powi(2), -2.0 * one]
    }

    /// Pull of the closed or open gap, N.
    pub fn pull(&self, gap: f64, current: f64) -> f64 {
        self.pull_and_slope(gap, current)[0]
    }

    /// Inductance of the coil at a gap (m), H.
    pub fn inductance(&self, gap: f64) -> f64 {
        let gained = self.pulls.gained(gap) - self.pulls.gained(self.rest);
        self.henries + self.turns * self.turns * gained
    }

    /// Switches the open contact's coil onto a feed, and follows it until the faces rest on each other, or until a
    /// time (s) if they do not. `every`: seconds between the states that are told; none tells the ends alone.
    ///
    /// `m x'' = k (g − x) − F(x, i) − (√(k m)/Q) x'`, `F = κ N² f(x) (i + b)²`,
    /// `L(x) i' = V − R i − v(i) − u − (i + b) L'(x) x'`, `L' = −2 N² f(x)`: with κ = 1 what the motion
    /// takes from the coil is the work that the pull does. At the closed gap the speed turns round and falls to e of itself.
    ///
    /// Source: one mode of a clamped beam, `[timoshenko1974]`; energy of a gap, `[senturia2001]`. Solver: `diffsol`, an
    /// embedded pair of order 5(4): the coil is the slower side, so nothing is stiff. Accuracy: times within 1e-4 of an implicit
    /// solver's, `cross_closing_and_opening`.
    ///
    /// # Errors
    /// [`MotionError`] where the solver gives up or the contact chatters.
    pub fn close(&self, feed: Feed, until: f64, every: Option<f64>) -> Result<Run, MotionError> {
        let start = Moment { time: 0.0, gap: self.rest, speed: 0.0, current: 0.0, held: 0.0 };
        let mut record = Record::from(start, every);
        let (mut now, mut touches) = (start, Vec::new());
        while matches!(self.fly(&mut now, feed, until, &mut record)?, End::Event) {
            if self.bounces(&mut now, &mut touches)? {
                continue;
            }
            now.speed = 0.0;
            if every.is_some() {
                self.hold(&mut now, feed, until, &mut record)?;
            }
            break;
        }
        Ok(Run { moments: record.moments, touches, parted: None })
    }

    /// Turns the speed round where the faces touch; false where so little is left of it that they rest.
    fn bounces(&self, now: &mut Moment, touches: &mut Vec<[f64; 2]>) -> Result<bool, MotionError> {
        touches.push([now.time, -now.speed]);
        if touches.len() > MOST {
            return Err(MotionError::Chatters);
        }
        *now = Moment { gap: self.closed, speed: -self.restitution * now.speed, ..*now };
        Ok(now.speed >= AT_REST * touches[0][1])
    }

    /// Leaves the closed contact's coil, that carries a current (A), to a feed; `held`: voltage of its capacitor at the
    /// start, V. Follows it until a time (s).
    ///
    /// # Errors
    /// [`MotionError`] as of [`Self::close`].
    pub fn open(
        &self,
        current: f64,
        held: f64,
        feed: Feed,
        until: f64,
        every: Option<f64>,
    ) -> Result<Run, MotionError> {
        let start = Moment { time: 0.0, gap: self.closed, speed: 0.0, current, held };
        let mut record = Record::from(start, every);
        let (mut now, mut touches, mut parted) = (start, Vec::new(), None);
        if matches!(self.hold(&mut now, feed, until, &mut record)?, End::Event) {
            parted = Some(now.time);
            while matches!(self.fly(&mut now, feed, until, &mut record)?, End::Event) {
                self.bounces(&mut now, &mut touches)?;
            }
        }
        Ok(Run { moments: record.moments, touches, parted })
    }

    /// When the faces part from rest after the coil is left to a feed, s; `None` if they do not until a time (s).
    ///
    /// # Errors
    /// [`MotionError`] as of [`Self::close`].
    pub fn parts(
        &self,
        current: f64,
        held: f64,
        feed: Feed,
        until: f64,
    ) -> Result<Option<f64>, MotionError> {
        let mut now = Moment { time: 0.0, gap: self.closed, speed: 0.0, current, held };
        let mut record = Record::from(now, None);
        let end = self.hold(&mut now, feed, until, &mut record)?;
        Ok(matches!(end, End::Event).then_some(now.time))
    }

    /// Blades free, until the faces touch.
    fn fly(
        &self,
        now: &mut Moment,
        feed: Feed,
        until: f64,
        record: &mut Record,
    ) -> Result<End, MotionError> {
        now.gap = now.gap.max(self.closed + APART * self.rest);
        self.solve(now, feed, until, record, true, |one| one.gap - self.closed)
    }

    /// Faces on each other, until the spring is the stronger.
    fn hold(
        &self,
        now: &mut Moment,
        feed: Feed,
        until: f64,
        record: &mut Record,
    ) -> Result<End, MotionError> {
        let spring = self.stiffness * (self.rest - self.closed);
        let root = |one: &Moment| self.pull(self.closed, one.current) / spring - 1.0;
        if root(now) <= 0.0 {
            return Ok(End::Event);
        }
        self.solve(now, feed, until, record, false, root)
    }

    /// One stretch, in the scales of the run: way, natural time, current and voltage.
    fn solve(
        &self,
        now: &mut Moment,
        feed: Feed,
        until: f64,
        record: &mut Record,
        free: bool,
        root: impl Fn(&Moment) -> f64,
    ) -> Result<End, MotionError> {
        let natural = self.natural();
        let amperes = (feed.volts / feed.ohms).abs().max(now.current.abs()).max(1e-9);
        let volts = amperes * feed.ohms;
        let began = now.time;
        let moment = |y: &[f64], time: f64| Moment {
            time: began + time / natural,
            gap: self.rest * y[0],
            speed: self.rest * natural * y[1],
            current: amperes * y[2],
            held: volts * y[3],
        };
        let slope = |y: &[f64], _: &[f64], time: f64, out: &mut [f64]| {
            let one = moment(y, time);
            let [pull, inductance_slope] = self.pull_and_slope(one.gap, one.current);
            let (mut force, mut speed) = (0.0, 0.0);
            if free {
                let damping = (self.stiffness * self.mass).sqrt() / self.quality;
                speed = one.speed;
                force = self.stiffness * (self.rest - one.gap) - pull - damping * speed;
            }
            let across = feed.volts - feed.ohms * one.current - feed.against - one.held;
            let motional = (one.current + self.bias) * inductance_slope * speed;
            let blocked = feed.against > 0.0 && one.current < BLOCKED * amperes;
            let rise = if blocked {
                -natural * one.current
            } else {
                (across - motional) / self.inductance(one.gap)
            };
            out[0] = speed / (self.rest * natural);
            out[1] = force / (self.mass * self.rest * natural * natural);
            out[2] = rise / (amperes * natural);
            out[3] = one.current / (feed.farads * volts * natural);
        };
        let start = [
            now.gap / self.rest,
            now.speed / (self.rest * natural),
            now.current / amperes,
            now.held / volts,
        ];
        let ends = (until - began) * natural;
        if ends <= 0.0 {
            return Ok(End::Over);
        }
        let failed = |why: diffsol::DiffsolError| MotionError::Solver(why.to_string());
        let problem = OdeBuilder::<NalgebraMat<f64>>::new()
            .rtol(RELATIVE)
            .atol([ABSOLUTE; 4])
            .h0(1e-4)
            .rhs(slope)
            .init(move |_, _, y: &mut [f64]| y.copy_from_slice(&start), 4)
            .root(|y: &[f64], _, time, out: &mut [f64]| out[0] = root(&moment(y, time)), 1)
            .build()
            .map_err(failed)?;
        let mut solver = problem.tsit45().map_err(failed)?;
        solver.set_stop_time(ends).map_err(failed)?;
        let every = record.every * natural;
        let mut next = every;
        loop {
            let reason = solver.step().map_err(failed)?;
            let (end, reached) = match reason {
                OdeSolverStopReason::RootFound(time, _) => (Some(End::Event), time),
                OdeSolverStopReason::TstopReached => (Some(End::Over), ends),
                OdeSolverStopReason::InternalTimestep => (None, solver.state().t),
            };
            let at = |time: f64| {
                let y = solver.interpolate(time).map_err(failed)?;
                Ok(moment(y.batch_as_slice(0), time))
            };
            while next < reached {
                record.moments.push(at(next)?);
                next += every;
            }
            if let Some(end) = end {
                *now = at(reached)?;
                record.moments.push(*now);
                return Ok(end);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pull_in::Snap;
    use crate::turn_off::{Clamp, Inductive};
    use std::f64::consts::TAU;

    /// μ0, CODATA 2022.
    const MU_0: f64 = 1.256_637_061_27e-6;

    /// A gap with a core, exact in the table.
    fn pulls(area: f64, core: f64) -> Pulls {
        let points: Vec<[f64; 2]> = [3e-6, 20e-6, 80e-6]
            .iter()
            .map(|x| [*x, MU_0 * area / (2.0 * (x + core).powi(2))])
            .collect();
        Pulls::new(&points)
    }

    const AREA: f64 = 0.47e-6;
    const CORE: f64 = 20e-6;

    fn blades(pulls: &Pulls) -> Blades<'_> {
        Blades {
            mass: 5.2e-7,
            stiffness: 480.0,
            rest: 25e-6,
            closed: 4e-6,
            quality: 60.0,
            restitution: 0.45,
            pulls,
            turns: 2200.0,
            henries: 0.02,
            bias: 0.0,
            strength: 1.0,
        }
    }

    fn on(volts: f64, ohms: f64) -> Feed {
        Feed { volts, ohms, against: 0.0, farads: f64::INFINITY }
    }

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// Closing and opening of three contacts at three supplies with four ends, by Radau of scipy,
    /// `tests/golden/motion.py`.
    #[test]
    fn cross_closing_and_opening() {
        let contacts = [
            ([5.2e-7, 480.0, 25e-6, 4e-6, 60.0, 2200.0, 0.02, 0.0], pulls(0.47e-6, 20e-6)),
            ([2.0e-6, 300.0, 60e-6, 5e-6, 20.0, 5000.0, 0.1, 0.0], pulls(1.5e-6, 60e-6)),
            ([2.0e-6, 300.0, 60e-6, 5e-6, 200.0, 5000.0, 0.1, 2e-4], pulls(1.5e-6, 30e-6)),
        ];
        let mut closed_with = 0.0;
        let mut supply = 0.0;
        for line in include_str!("../tests/golden/motion.csv").lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let n = |k: usize| cells[k].parse::<f64>().expect("a number");
            let ([mass, stiffness, rest, closed, quality, turns, henries, bias], pulls) =
                &contacts[n(0) as usize];
            let blades = Blades {
                mass: *mass,
                stiffness: *stiffness,
                rest: *rest,
                closed: *closed,
                quality: *quality,
                turns: *turns,
                henries: *henries,
                bias: *bias,
                ..self::blades(pulls)
            };
            let feed = Feed { volts: n(3), ohms: n(4), against: n(5), farads: n(6) };
            if cells[2].is_empty() {
                let run = blades.close(feed, 1.0, None).expect("it closes");
                let [at, speed] = run.touches[0];
                (closed_with, supply) = (feed.volts / feed.ohms, feed.volts);
                close(at, n(7), 1e-4);
                close(speed, n(8), 1e-3);
            } else {
                let held = if feed.farads.is_finite() { -supply } else { 0.0 };
                let parts = blades.parts(closed_with, held, feed, 1.0).expect("it opens");
                close(parts.expect("it parts"), n(7), 1e-4);
            }
        }
    }

    /// Without a current it swings as the clamped beam that its mass and stiffness are of, β1 = 1.875104.
    #[test]
    fn law_free_vibration() {
        let beam = crate::beam::Blade {
            modulus: 155e9,
            density: 8280.0,
            length: 4.375e-3,
            width: 0.85e-3,
            thickness: 0.14e-3,
        };
        let pulls = pulls(AREA, CORE);
        let free = Blades {
            mass: 0.5 * beam.tip_mass(),
            stiffness: 0.5 * beam.stiffness(),
            quality: 1e7,
            turns: 1.0,
            ..blades(&pulls)
        };
        let period = 1.0 / beam.frequency(1);
        let weak = on(1e-3, 1.0);
        let run = free.open(0.0, 0.0, weak, 2.5 * period, Some(period / 400.0)).expect("free");
        // Let go at the closed gap it is back there after a period, and at rest's other side after half of one.
        let far = run.moments.iter().max_by(|a, b| a.gap.total_cmp(&b.gap)).expect("some");
        close(far.gap - free.rest, free.rest - free.closed, 1e-5);
        let crossings: Vec<f64> = run
            .moments
            .windows(2)
            .filter(|pair| pair[0].gap < free.rest && pair[1].gap >= free.rest)
            .map(|pair| {
                let part = (free.rest - pair[0].gap) / (pair[1].gap - pair[0].gap);
                pair[0].time + part * (pair[1].time - pair[0].time)
            })
            .collect();
        let wave = 1.875_104f64.powi(2) / TAU * 0.14e-3 / (4.375e-3f64.powi(2) * 12f64.sqrt())
            * (155e9f64 / 8280.0).sqrt();
        close(1.0 / (crossings[1] - crossings[0]), wave, 1e-5);
    }

    /// A slow supply snaps it at the closed form, `8 k (g + r)³/(27 μ0 A)`, `[senturia2001]` section 7.3: just
    /// below it stays open, just above it closes.
    #[test]
    fn law_pull_in() {
        let pulls = pulls(AREA, CORE);
        let one = Blades { quality: 0.4, ..blades(&pulls) };
        let snap = Snap { stiffness: one.stiffness, gap: one.rest, area: AREA, core: CORE };
        let current = snap.pull_in() / one.turns;
        let ohms = 200.0;
        for (over, closes) in [(0.999, false), (1.001, true)] {
            let run = one.close(on(over * current * ohms, ohms), 0.2, None).expect("followed");
            assert_eq!(!run.touches.is_empty(), closes, "{over}");
        }
    }

    /// Blades that cannot move: the current of L/R, and the clamps' closed forms.
    #[test]
    fn law_current_without_motion() {
        let pulls = pulls(AREA, CORE);
        let stiff = Blades { turns: 1.0, ..blades(&pulls) };
        let (volts, ohms) = (5.0, 200.0);
        let tau = stiff.henries / ohms;
        let run = stiff.close(on(volts, ohms), 3.0 * tau, Some(0.1 * tau)).expect("followed");
        for one in &run.moments {
            let law = volts / ohms * (1.0 - (-one.time / tau).exp());
            assert!((one.current - law).abs() < 2e-6 * volts / ohms, "{one:?}");
        }
        let soft = blades(&pulls);
        let henries = soft.inductance(soft.closed);
        let coil = Inductive { henries, ohms, amperes: 0.025 };
        let lets_go =
            (soft.stiffness * (soft.rest - soft.closed) / soft.pull(soft.closed, 1.0)).sqrt();
        for (clamp, series, against) in [
            (Clamp::Diode { forward: 0.7 }, 0.0, 0.7),
            (Clamp::Zener { forward: 0.7, breakdown: 24.0 }, 0.0, 24.7),
            (Clamp::Resistor { ohms: 1000.0 }, 1000.0, 0.0),
        ] {
            let feed = Feed { volts: 0.0, ohms: ohms + series, against, farads: f64::INFINITY };
            let parts = soft.parts(coil.amperes, 0.0, feed, 0.1).expect("opens");
            close(parts.expect("parts"), coil.decay(clamp, lets_go / coil.amperes), 1e-4);
        }
    }

    /// What the supply gives is in copper, field, spring, speed and damping, until the faces touch.
    #[test]
    fn law_energy() {
        let pulls = pulls(AREA, CORE);
        let one = blades(&pulls);
        let (volts, ohms) = (5.0, 200.0);
        let run = one.close(on(volts, ohms), 2e-4, Some(1e-8)).expect("closes");
        let touch = run.touches[0][0];
        let way: Vec<Moment> = run.moments.iter().copied().filter(|m| m.time <= touch).collect();
        let integral = |of: &dyn Fn(&Moment) -> f64| -> f64 {
            way.windows(2).map(|w| 0.5 * (of(&w[0]) + of(&w[1])) * (w[1].time - w[0].time)).sum()
        };
        let last = way.iter().rev().find(|m| m.speed < 0.0).expect("on its way");
        let damping = (one.mass * one.stiffness).sqrt() / one.quality;
        let given = integral(&|m| volts * m.current);
        let kept = 0.5 * one.inductance(last.gap) * last.current.powi(2)
            + 0.5 * one.stiffness * (one.rest - last.gap).powi(2)
            + 0.5 * one.mass * last.speed.powi(2)
            + integral(&|m| ohms * m.current.powi(2) + damping * m.speed.powi(2));
        close(kept, given, 2e-5);
        // Speed is a small part of it, so its own share is looked at too.
        assert!(0.5 * one.mass * last.speed.powi(2) > 1e-3 * given, "{}", last.speed);
    }

    /// Impacts come sooner after each other and softer, and rest comes later for livelier faces; the flights are
    /// about those of a steady push, `2 e v/a` and on.
    #[test]
    fn prop_bounce() {
        let pulls = pulls(AREA, CORE);
        let bounce = |restitution: f64| {
            let one = Blades { restitution, ..blades(&pulls) };
            let run = one.close(on(5.0, 200.0), 1.0, None).expect("closes");
            let touches = run.touches.clone();
            assert!(touches.windows(2).all(|pair| pair[1][1] < pair[0][1]));
            let (first, last) = (touches[0], touches[touches.len() - 1]);
            let current = run.moments.last().expect("some").current;
            let push = (one.pull(one.closed, current) - one.stiffness * (one.rest - one.closed))
                / one.mass;
            let steady = 2.0 * first[1] / push * restitution / (1.0 - restitution);
            (last[0] - first[0], steady)
        };
        let (soft, by_law) = bounce(0.2);
        let (lively, _) = bounce(0.6);
        assert!(soft > 0.0 && lively > 2.0 * soft, "{soft} {lively}");
        assert!((0.6..1.8).contains(&(soft / by_law)), "{soft} {by_law}");
        // A slow coil's contact closes with little to hold it, and comes to rest all the same.
        for (henries, volts) in [(0.08, 1.0), (0.08, 3.0), (0.12, 2.0)] {
            let one = Blades { henries, restitution: 0.6, ..blades(&pulls) };
            let run = one.close(on(volts, 200.0), 0.1, None).expect("comes to rest");
            assert!((5..30).contains(&run.touches.len()), "{} touches", run.touches.len());
        }
    }
}
