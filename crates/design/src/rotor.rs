//! A wheel whose turning is counted.

use crate::basis::{Basis, Model};
use crate::figures::{End, Figure};
use crate::schema::Measure;
use crate::value::Value;
use reedmace_units::{Duration, FlowRate, Ratio, Unit, Volume};
use std::ops::Range;

/// The longest time between false alarms that is told, s: no reading is so well known to be normal.
pub const RAREST: f64 = 1e9 * 3600.0;

/// What pulses are counted over; shown and never read: a demand says the bare number.
const A_TURN: Unit = Unit { symbol: "1/turn", also: &[], factor: 1.0, offset: 0.0 };
const A_LITRE: Unit = Unit { symbol: "pulses/L", also: &[], factor: 1.0, offset: 0.0 };

/// `[rotor]`: the contact of a wheel that spins right round, and what counts its pulses.
#[derive(Debug, Clone, PartialEq)]
pub struct Rotor {
    /// Index of the contact that counts.
    pub contact: usize,
    /// From the drive past operate to the first touch.
    pub operate_time: Value<Duration>,
    /// From the first touch to the last time it opens again.
    pub bounce_time: Value<Duration>,
    /// From the drive below release to the opening.
    pub release_time: Value<Duration>,
    /// How long a state must stand before the counter takes it over, if it filters.
    pub filter: Option<Value<Duration>>,
    /// What a liquid that turns it has to do with its pulses, if one does.
    pub meter: Option<Meter>,
    /// Flow at three places, where stated.
    pub flows: Flows,
    /// Over how long pulses are counted for one reading.
    pub gate: Value<Duration>,
    /// Standard deviation of the flow between readings, over the flow.
    pub unsteady: Value<Ratio>,
    /// Losses of flow at which a service is due, soon and at once, where stated; over the usual flow.
    pub service: [Option<Value<Ratio>>; 2],
    /// How much of the usual flow must come back before such a sign goes out.
    pub hysteresis: Value<Ratio>,
    /// The user's note.
    pub note: Option<String>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// Pulses of a wheel and the volume that turns it.
#[derive(Debug, Clone, PartialEq)]
pub enum Meter {
    /// Pulses per litre.
    PerLitre(Value<Ratio>),
    /// Volume that passes in one turn.
    PerTurn(Value<Volume>),
}

/// Flows that a wheel is to tell, where stated.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Flows {
    /// Least flow that is to be told.
    pub least: Option<Value<FlowRate>>,
    /// Flow when nothing is fouled.
    pub usual: Option<Value<FlowRate>>,
    /// Greatest flow.
    pub greatest: Option<Value<FlowRate>>,
}

impl Rotor {
    /// What is told of it, in the order in which `engine` tells the values.
    pub(crate) fn figures(&self) -> Vec<Figure> {
        let by = |basis| {
            move |name: &str, measure, symbol, about| {
                Figure::new("rotor", name.to_owned(), (measure, symbol), about, basis)
            }
        };
        let turned = by(Basis::EVENTS);
        let timed = by(Basis::new(Model::Wheel, "[iec62246]"));
        let counted = by(Basis::new(Model::Wheel, "arithmetic of pulses and volume"));
        let over = |unit: &'static Unit, figure: Figure| Figure { unit, ..figure };
        let mut figures = vec![
            over(
                &A_TURN,
                turned(
                    "pulses per turn",
                    Measure::Number,
                    "",
                    "How often the contact operates in one turn.",
                ),
            ),
            turned(
                "duty",
                Measure::Number,
                "%",
                "Share of a turn over which the drive holds the contact closed, at rest or turning slowly.",
            ),
            turned(
                "shortest pulse",
                Measure::Angle,
                "deg",
                "Shortest stretch of a turn over which the drive holds it closed.",
            ),
            turned(
                "shortest pause",
                Measure::Angle,
                "deg",
                "Shortest stretch of a turn over which the drive leaves it open.",
            ),
            turned(
                "room against double pulses",
                Measure::Number,
                "%",
                "How far the drive stays from a pulse too many: below operate where it has a top between two pulses, above release where it has a dip within one, over that level; the least of them in a turn. None where it has neither.",
            ),
            timed(
                "fastest wheel",
                Measure::Frequency,
                "rpm",
                "Speed up to which operate time, bounce, release time and the filter, if there is one, swallow no pulse. An even speed is taken, and times that do not depend on the drive: near its peak a contact operates sooner.",
            ),
            timed(
                "least filter window",
                Measure::Duration,
                "ms",
                "A filter must wait longer than the bounce, or it counts bounces.",
            ),
        ];
        if self.meter.is_none() {
            return figures;
        }
        figures.push(over(&A_LITRE, counted("K-factor", Measure::Number, "", "Pulses per litre, taken as the same at every flow: bearing friction and viscosity lower it at small flows, which no number here tells.")));
        figures.push(counted(
            "greatest flow counted",
            Measure::FlowRate,
            "L/min",
            "Flow at which the wheel turns as fast as it may.",
        ));
        if self.flows.least.is_some() {
            figures.push(counted(
                "rate at least flow",
                Measure::Frequency,
                "Hz",
                "Pulses per second.",
            ));
            figures.push(counted(
                "count error at least flow",
                Measure::Number,
                "%",
                "One pulse more or less in the gate time, over those counted.",
            ));
        }
        if self.flows.greatest.is_some() {
            figures.push(counted(
                "rate at greatest flow",
                Measure::Frequency,
                "Hz",
                "Pulses per second.",
            ));
            figures.push(timed("greatest filter window", Measure::Duration, "ms", "A filter must wait shorter than the shortest pulse and pause are steady at the greatest flow, or it loses counts. Below the least window there is none that serves."));
        }
        let signs = self.service.iter().zip(["soon", "now"]).filter(|(loss, _)| loss.is_some());
        for (_, when) in signs {
            figures.push(counted(&format!("service {when} below"), Measure::Frequency, "Hz", "Pulse rate below which the sign comes on: the clean rate at the usual flow less the stated loss."));
            figures.push(counted(&format!("service {when} off above"), Measure::Frequency, "Hz", "Pulse rate above which the sign goes off again: that below which it comes on, and the stated hysteresis of the clean rate at the usual flow."));
            let chance = by(Basis::new(Model::Wheel, "the long run of a chain of two states"));
            let rare = chance(
                &format!("time between false alarms, {when}"),
                Measure::Duration,
                "h",
                "Mean time between false signs where nothing is fouled: readings independent of each other and normal about the usual flow, with its unsteadiness and that of the count. More than 1e9 h is told as that.",
            );
            figures.push(rare.within(vec![End {
                at: RAREST,
                upper: true,
                meaning: "rarer than is reckoned",
            }]));
        }
        figures
    }
}
