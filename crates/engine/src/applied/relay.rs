//! A relay: what its coil's voltage does cold and hot.

use crate::answer::{Direction, EventKind};
use crate::realise::Pick;
use crate::sources::rest;
use crate::track::Course;
use crate::winding::turns_and_resistance;
use reedmace_applied::conductor::Conductor;
use reedmace_applied::heating::hottest_ambient;
use reedmace_design::{Design, DriveRange, Sweep};
use reedmace_units::Quantity;

/// A relay at definite values, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Driven {
    supply: f64,
    /// Resistance of the coil at 20 °C.
    cold: f64,
    thermal_resistance: f64,
    /// Temperature of this unit's surroundings.
    ambient: f64,
    /// Coldest and hottest surroundings there are.
    extremes: [f64; 2],
    /// Current of one unit of the sweep's coordinate.
    per_coordinate: f64,
}

impl Driven {
    pub fn of(design: &Design, pick: &Pick) -> Option<Self> {
        let relay = design.relay.as_ref()?;
        let coil = &design.coils[relay.coil];
        let temperature = &design.surroundings.temperature;
        let (turns, cold) = turns_and_resistance(coil, pick);
        let ambient = pick(temperature);
        let thermal_resistance = pick(&coil.thermal_resistance);
        let per_coordinate = match &design.sweep {
            Sweep::Voltage(sweep) => {
                let before = pick(&sweep.warmed_by);
                1.0 / rest(before, cold, thermal_resistance, ambient).resistance
            }
            Sweep::Current(sweep) => match sweep.range {
                DriveRange::Current { .. } => 1.0,
                DriveRange::AmpereTurns { .. } => 1.0 / turns,
            },
            _ => unreachable!("a checked relay has its coil swept"),
        };
        Some(Self {
            supply: pick(&relay.supply),
            cold,
            thermal_resistance,
            ambient,
            extremes: [temperature.is.low.si(), temperature.is.high.si()],
            per_coordinate,
        })
    }

    /// Voltage at a coordinate of the sweep with the wire at 20 °C, V.
    fn at_20(&self, coordinate: f64) -> f64 {
        coordinate * self.per_coordinate * self.cold
    }

    /// Adds what the design names of a relay, in that order.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        let factor = |temperature: f64| Conductor::COPPER.factor(temperature);
        let [coldest, hottest] = self.extremes;
        let warmed = rest(self.supply, self.cold, self.thermal_resistance, hottest);
        let each = |of: fn(&Course) -> Option<f64>| -> Vec<f64> {
            courses.iter().map(|course| self.at_20(of(course).unwrap_or(f64::NAN))).collect()
        };
        let (operates, releases) = (each(operate), each(release));
        for (&operate, &release) in operates.iter().zip(&releases) {
            figures.extend([operate, release]);
            figures.extend([operate * factor(hottest), operate * warmed.resistance / self.cold]);
            figures.push(release * factor(coldest));
            figures.push(hottest_ambient(
                self.supply,
                self.supply,
                operate.abs(),
                self.cold,
                Conductor::COPPER,
                self.thermal_resistance,
            ));
        }
        if operates.len() > 1 {
            let [least, most] = extent(&operates);
            figures.push(most - least);
            figures.push(most * warmed.resistance / self.cold);
            figures.push(extent(&releases)[0] * factor(coldest));
        }
        let resistance = self.cold * factor(self.ambient);
        let rise = rest(self.supply, self.cold, self.thermal_resistance, self.ambient).temperature
            - self.ambient;
        figures.extend([self.supply / resistance, self.supply * self.supply / resistance, rise]);
    }
}

/// Least and most of voltages; NaN if some contact has none.
fn extent(volts: &[f64]) -> [f64; 2] {
    let every = volts.iter().all(|volts| volts.is_finite());
    let by = |pick: fn(f64, f64) -> f64| volts.iter().copied().reduce(pick).unwrap_or(f64::NAN);
    if every { [by(f64::min), by(f64::max)] } else { [f64::NAN; 2] }
}

/// Where a contact first operates on the way there.
fn operate(course: &Course) -> Option<f64> {
    let found = |e: &&crate::track::Found| {
        e.kind == EventKind::Operate && e.direction == Direction::Forward
    };
    course.events.iter().find(found).map(|event| event.at)
}

/// Where it last releases on the way back.
fn release(course: &Course) -> Option<f64> {
    let found =
        |e: &&crate::track::Found| e.kind == EventKind::Release && e.direction == Direction::Back;
    course.events.iter().rfind(found).map(|event| event.at)
}
