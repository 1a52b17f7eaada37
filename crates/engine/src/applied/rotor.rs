//! A wheel whose turning is counted.

use crate::answer::{Direction, DoubleAnswer, EventKind, RotorAnswer, RotorRow};
use crate::realise::Pick;
use crate::solved::State;
use crate::track::{Course, Extreme};
use crate::units::tidy;
use reedmace_applied::flow;
use reedmace_applied::fouling::{Threshold, reading_deviation};
use reedmace_applied::pulses::{Shares, Times};
use reedmace_design::{Design, Meter, RAREST};
use std::f64::consts::TAU;

/// One litre, m³.
const LITRE: f64 = 1e-3;

/// What counts a wheel, at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Counter {
    contact: usize,
    times: Times,
    filter: Option<f64>,
    meter: Option<Metered>,
    /// Least, usual and greatest flow.
    flows: [Option<f64>; 3],
    gate: f64,
    unsteady: f64,
    service: [Option<f64>; 2],
    hysteresis: f64,
}

/// The volume of a turn, or pulses of a volume.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Metered {
    KFactor(f64),
    TurnVolume(f64),
}

/// One turn of the nominal contact.
struct Turn {
    /// How often it operates.
    pulses: f64,
    /// Closed stretches: where each begins and how far on it ends, rad.
    closed: Vec<[f64; 2]>,
    /// Open stretches between them, rad.
    open: Vec<f64>,
    /// Where a pulse too many is nearest, if the drive has a top between pulses or a dip within one.
    nearest: Option<Near>,
}

/// A top of the drive between two pulses, or a dip within one.
#[derive(Debug, Clone, Copy)]
struct Near {
    within: bool,
    /// Angle, rad.
    at: f64,
    /// How far the drive stays on its side of the level, over the level.
    room: f64,
}

impl Counter {
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let rotor = design.rotor.as_ref()?;
        let flows = [&rotor.flows.least, &rotor.flows.usual, &rotor.flows.greatest];
        Some(Self {
            contact: rotor.contact,
            times: Times {
                operate: pick(&rotor.operate_time),
                bounce: pick(&rotor.bounce_time),
                release: pick(&rotor.release_time),
            },
            filter: rotor.filter.as_ref().map(|filter| pick(filter)),
            meter: rotor.meter.as_ref().map(|meter| match meter {
                Meter::PerLitre(number) => Metered::KFactor(pick(number) / LITRE),
                Meter::PerTurn(volume) => Metered::TurnVolume(pick(volume)),
            }),
            flows: flows.map(|flow| flow.as_ref().map(|flow| pick(flow))),
            gate: pick(&rotor.gate),
            unsteady: pick(&rotor.unsteady),
            service: [0, 1].map(|k| rotor.service[k].as_ref().map(|loss| pick(loss))),
            hysteresis: pick(&rotor.hysteresis),
        })
    }

    /// Adds what the design names of a rotor, in that order.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        let turn = Turn::of(&courses[self.contact]);
        let shares = turn.shares();
        let or_nan = |value: Option<f64>| value.unwrap_or(f64::NAN);
        let of = |share: fn(&Shares) -> f64| or_nan(shares.as_ref().map(share));
        let fastest = shares.map(|shares| self.fastest(shares));
        figures.push(turn.pulses);
        figures.push(turn.closed.iter().map(|[_, width]| width).sum::<f64>() / TAU);
        figures.extend([of(|s| TAU * s.closed), of(|s| TAU * s.open)]);
        figures.push(or_nan(turn.nearest.map(|near| near.room)));
        figures.extend([or_nan(fastest), self.times.bounce]);
        if self.meter.is_none() {
            return;
        }
        let k_factor = shares.and_then(|_| self.k_factor(turn.pulses));
        figures.push(or_nan(k_factor) * LITRE);
        let counted = |turns: f64| Some(flow::flow(k_factor?, turns * turn.pulses));
        figures.push(or_nan(fastest.and_then(counted)));
        let rate = |flow: f64| or_nan(k_factor.map(|k| flow::pulse_rate(k, flow)));
        let [least, usual, greatest] = self.flows;
        if let Some(least) = least {
            figures.extend([rate(least), flow::gate_error(rate(least), self.gate)]);
        }
        if let Some(greatest) = greatest {
            let turns = rate(greatest) / turn.pulses;
            let window = shares.map(|shares| self.times.windows(shares, turns)[1]);
            figures.extend([rate(greatest), or_nan(window)]);
        }
        for loss in self.service.into_iter().flatten() {
            let clean = usual.map_or(f64::NAN, rate);
            let threshold = Threshold::of_loss(loss, self.hysteresis);
            let counted = flow::mean_count_deviation() / (clean * self.gate);
            let alarms = threshold.false_alarms(reading_deviation(self.unsteady, counted));
            let [on, off] = [threshold.on, threshold.off].map(|share| share * clean);
            figures.extend([on, off, (self.gate / alarms).min(RAREST)]);
        }
    }

    fn fastest(&self, shares: Shares) -> f64 {
        self.times.fastest(shares, self.filter.unwrap_or(0.0))
    }

    fn k_factor(&self, pulses: f64) -> Option<f64> {
        self.meter.map(|meter| match meter {
            Metered::KFactor(k) => k,
            Metered::TurnVolume(volume) => flow::k_factor(pulses, volume),
        })
    }

    /// One turn and what is left of its pulses at each speed; `name`: of the contact. None of a contact
    /// that gives no pulses.
    pub fn answer(&self, courses: &[Course], name: &str) -> Option<RotorAnswer> {
        let turn = Turn::of(&courses[self.contact]);
        let shares = turn.shares()?;
        let k_factor = self.k_factor(turn.pulses);
        let row = |at: &str, turns: f64| {
            let rate = turns * turn.pulses;
            let steady = self.times.steady(shares, turns);
            let ms = |s: f64| tidy(s * 1e3);
            RotorRow {
                at: at.into(),
                flow: k_factor.map(|k| tidy(flow::flow(k, rate) / LITRE * 60.0)),
                turns: tidy(turns * 60.0),
                rate: tidy(rate),
                pulse: ms(shares.closed / turns),
                pause: ms(shares.open / turns),
                steady_closed: ms(steady[0]),
                steady_open: ms(steady[1]),
                count_error: tidy(100.0 * flow::gate_error(rate, self.gate)),
            }
        };
        let names = ["least flow", "usual flow", "greatest flow"];
        let mut rows: Vec<RotorRow> = Vec::new();
        for (flow, name) in self.flows.iter().zip(names) {
            if let (Some(flow), Some(k)) = (flow, k_factor) {
                rows.push(row(name, flow::pulse_rate(k, *flow) / turn.pulses));
            }
        }
        let fastest = self.fastest(shares);
        if fastest.is_finite() {
            rows.push(row("fastest wheel", fastest));
        }
        let degrees =
            |[from, width]: &[f64; 2]| [tidy(from.to_degrees()), tidy((from + width).to_degrees())];
        Some(RotorAnswer {
            contact: name.into(),
            closed: turn.closed.iter().map(degrees).collect(),
            pulses: turn.pulses as usize,
            double: turn.nearest.map(|near| DoubleAnswer {
                within: near.within,
                at: tidy(near.at.to_degrees()),
                room: tidy(100.0 * near.room),
            }),
            filter: self.filter.map(|filter| tidy(filter * 1e3)),
            rows,
        })
    }
}

impl Turn {
    /// The forward pass of a course right round.
    fn of(course: &Course) -> Self {
        let forward = |direction: Direction| direction == Direction::Forward;
        let operates = course.events.iter().filter(|e| e.kind == EventKind::Operate);
        let pulses = operates.filter(|e| forward(e.direction)).count() as f64;
        let passes = course.closed.iter().filter(|(direction, _)| forward(*direction));
        // Where each begins, counted upwards whichever way the wheel turns, and how far on it ends.
        let upwards = |(_, [a, b]): &(Direction, [f64; 2])| [a.min(*b), (b - a).abs()];
        let mut closed: Vec<[f64; 2]> = passes.map(upwards).collect();
        closed.sort_by(|a, b| a[0].total_cmp(&b[0]));
        // A pulse that lasts over the seam of the turn is one.
        if course.closed_at_start && closed.len() > 1 {
            let lowest = closed.remove(0);
            closed.last_mut().expect("more than one")[1] += lowest[1];
        }
        let gap = |k: usize| {
            let ([from, width], [next, _]) = (closed[k], closed[(k + 1) % closed.len()]);
            let on = (next - from).rem_euclid(TAU);
            // Of a single one the next is itself, a turn later.
            (if closed.len() == 1 { TAU } else { on }) - width
        };
        let open = (0..closed.len()).map(gap).collect();
        let holds =
            |at: f64| closed.iter().any(|[from, width]| (at - from).rem_euclid(TAU) < *width);
        let near = |extreme: &Extreme| {
            let within = extreme.state == State::Closed;
            let room = if within { extreme.over - 1.0 } else { 1.0 - extreme.over };
            (holds(extreme.at) == within).then_some(Near { within, at: extreme.at, room })
        };
        let nearest = course.extremes.iter().filter_map(near);
        let nearest = nearest.min_by(|a, b| a.room.total_cmp(&b.room));
        Self { pulses, closed, open, nearest }
    }

    /// Of the shortest pulse and pause; none where there are no pulses.
    fn shares(&self) -> Option<Shares> {
        let least = |all: &mut dyn Iterator<Item = f64>| all.fold(f64::INFINITY, f64::min) / TAU;
        let closed = least(&mut self.closed.iter().map(|[_, width]| *width));
        let open = least(&mut self.open.iter().copied());
        (self.pulses > 0.0 && open > 0.0).then_some(Shares { closed, open })
    }
}
