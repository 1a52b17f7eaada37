//! A relay: what its coil's voltage does cold and hot.

use crate::answer::{Band, Direction, EventKind, RelayAnswer, RelayRow, WindingAnswer};
use crate::quantity::Quantified;
use crate::realise::{self, Pick};
use crate::sources::rest;
use crate::track::{Course, Found};
use crate::units::tidy;
use crate::winding::{Wrapped, turns_and_resistance};
use crate::worst::Extent;
use reedmace_applied::conductor::Conductor;
use reedmace_applied::heating::hottest_ambient;
use reedmace_applied::inductance::thick_coil;
use reedmace_design::{COLDEST, Design, DriveRange, Lay, Sweep, Wound};
use reedmace_units::Quantity;

/// A relay at definite values, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Driven {
    pub(super) supply: f64,
    /// Resistance of the coil at 20 °C.
    cold: f64,
    thermal_resistance: f64,
    /// Temperature that the enamel of its wire stands for years.
    thermal_class: f64,
    /// Temperature of this unit's surroundings.
    ambient: f64,
    /// Coldest and hottest surroundings there are.
    extremes: [f64; 2],
    /// Current of one unit of the sweep's coordinate.
    pub(super) per_coordinate: f64,
    /// The sweep starts without current.
    from_rest: bool,
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
            thermal_class: coil.thermal_class.is.nominal.si(),
            ambient,
            extremes: [temperature.is.low.si(), temperature.is.high.si()],
            per_coordinate,
            from_rest: realise::motion(design, pick).is_ok_and(|motion| motion.range()[0] == 0.0),
        })
    }

    /// True of a contact that a field other than the coil's operates while no current flows: the current takes it off.
    pub fn is_held(&self, course: &Course) -> bool {
        self.from_rest && course.operated_at_start()
    }

    /// Where a contact first changes on the way there, and where it last changes back: by closing and opening, or by
    /// opening and closing where it is held.
    pub(super) fn changes(&self, course: &Course) -> [Option<f64>; 2] {
        let mut kinds = [EventKind::Operate, EventKind::Release];
        if self.is_held(course) {
            kinds.reverse();
        }
        let on = |k: usize, direction: Direction| {
            let of = move |e: &&Found| e.kind == kinds[k] && e.direction == direction;
            course.events.iter().filter(of)
        };
        let there = on(0, Direction::Forward).next();
        [there, on(1, Direction::Back).next_back()].map(|found| found.map(|event| event.at))
    }

    /// Resistance with the wire as warm as the surroundings, Ω.
    pub(super) fn resistance(&self) -> f64 {
        self.cold * Conductor::COPPER.factor(self.ambient)
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
        let volts = |at: Option<f64>| self.at_20(at.unwrap_or(f64::NAN));
        let (operates, releases): (Vec<f64>, Vec<f64>) =
            courses.iter().map(|course| self.changes(course).map(volts).into()).unzip();
        for (&operate, &release) in operates.iter().zip(&releases) {
            figures.extend([operate, release, operate / self.cold, release / self.cold]);
            figures.extend([operate * factor(hottest), operate * warmed.resistance / self.cold]);
            figures.push(release * factor(coldest));
            let surroundings = hottest_ambient(
                self.supply,
                self.supply,
                operate.abs(),
                self.cold,
                Conductor::COPPER,
                self.thermal_resistance,
            );
            // NaN, of a contact that does not operate, stays that.
            figures.push(surroundings.clamp(COLDEST, self.thermal_class));
        }
        if operates.len() > 1 {
            let [least, most] = extent(&operates);
            figures.push(most - least);
            figures.push(most * warmed.resistance / self.cold);
            figures.push(extent(&releases)[0] * factor(coldest));
        }
        let resistance = self.resistance();
        let rise = rest(self.supply, self.cold, self.thermal_resistance, self.ambient).temperature
            - self.ambient;
        figures.extend([self.supply / resistance, self.supply * self.supply / resistance, rise]);
        figures.push(warmed.temperature);
    }
}

/// How many temperatures are told from the coldest to the hottest surroundings.
const ROWS: usize = 7;

impl Driven {
    /// Voltages over temperature, from those at 20 °C.
    pub fn answer(
        &self,
        design: &Design,
        nominal: &[f64],
        worst: &[Option<Extent>],
    ) -> Option<RelayAnswer> {
        let relay = design.relay.as_ref()?;
        let figures = design.figures();
        let of_all = |what: &str| -> Option<[[f64; 2]; 2]> {
            let each = design.contacts.iter().map(|contact| {
                let name = format!("{what} voltage at 20 °C of {}", contact.name);
                let k = figures.iter().position(|figure| figure.name == name)?;
                Some((nominal[k], worst[k].as_ref().map(|extent| [extent.low, extent.high])?))
            });
            let each = each.collect::<Option<Vec<_>>>()?;
            let (values, limits): (Vec<f64>, Vec<[f64; 2]>) = each.into_iter().unzip();
            Some([extent(&values), [extent(&ends(&limits, 0))[0], extent(&ends(&limits, 1))[1]]])
        };
        let ([operate, operate_limits], [release, release_limits]) =
            (of_all("operate")?, of_all("release")?);
        let [coldest, hottest] = self.extremes;
        let spread = hottest - coldest;
        let count = if spread > 0.0 { ROWS } else { 1 };
        let row = |k: usize| {
            let temperature = coldest + spread * k as f64 / (count - 1).max(1) as f64;
            let factor = Conductor::COPPER.factor(temperature);
            let warm = rest(self.supply, self.cold, self.thermal_resistance, temperature);
            let volts = |value: f64, [low, high]: [f64; 2]| Band {
                value: Some(tidy(value * factor)),
                low: tidy(low * factor),
                high: tidy(high * factor),
                unit: "V".into(),
            };
            RelayRow {
                temperature: tidy(temperature - ZERO_CELSIUS),
                resistance: tidy(self.cold * factor),
                operate: volts(operate[1], operate_limits),
                operate_warmed: tidy(operate[1] * warm.resistance / self.cold),
                release: volts(release[0], release_limits),
                power: tidy(1e3 * warm.power),
                rise: tidy(warm.temperature - temperature),
            }
        };
        let coil = &design.coils[relay.coil];
        let rows: Vec<RelayRow> = (0..count).map(row).collect();
        let supply = &relay.supply.is;
        let told =
            rows.iter().all(|row| row.operate.low.is_finite() && row.release.low.is_finite());
        told.then(|| RelayAnswer {
            coil: coil.name.clone(),
            winding: coil.wound().map(|wound| winding(wound, coil.winding.length.si())),
            supply: Band {
                value: Some(tidy(supply.nominal.si())),
                low: tidy(supply.low.si()),
                high: tidy(supply.high.si()),
                unit: "V".into(),
            },
            rows,
        })
    }
}

/// 0 °C, K.
const ZERO_CELSIUS: f64 = 273.15;

fn ends(limits: &[[f64; 2]], which: usize) -> Vec<f64> {
    limits.iter().map(|pair| pair[which]).collect()
}

/// The nominal winding of this length, m.
fn winding(wound: &Wound, length: f64) -> WindingAnswer {
    let wrapped = Wrapped::of(wound, length, &|q: &dyn Quantified| q.limits().nominal);
    let whole = wrapped.laid().unlimited(wrapped.turns);
    let layers: Vec<f64> = match wound.lay {
        Lay::Random(_) => Vec::new(),
        _ => wrapped.laid().layers(wrapped.turns).map(|(turns, _)| turns).collect(),
    };
    let mm = |metres: f64| tidy(1e3 * metres);
    let height = |outer: f64| 0.5 * (outer - wrapped.bobbin.inner_diameter);
    let pitch = match layers.len() {
        0 => 0.0,
        1 => wrapped.wire.overall,
        n => (height(whole.outer_diameter) - wrapped.wire.overall) / (n - 1) as f64,
    };
    let inductance = thick_coil(
        wrapped.bobbin.inner_diameter,
        wrapped.even.outer_diameter,
        length,
        wrapped.turns,
    );
    WindingAnswer {
        wire: wound.wire.clone(),
        lay: match wound.lay {
            Lay::Random(_) => "random",
            Lay::Layered => "layered",
            Lay::Orthocyclic => "orthocyclic",
        }
        .into(),
        turns: tidy(wrapped.turns),
        layers,
        layer_pitch: mm(pitch),
        wire_overall: mm(wrapped.wire.overall),
        inner_diameter: mm(wrapped.bobbin.inner_diameter),
        outer_diameter: mm(whole.outer_diameter),
        length: mm(length),
        window: mm(wrapped.bobbin.window),
        copper: tidy(100.0 * whole.conductor_share),
        inductance: tidy(1e3 * inductance),
    }
}

/// Least and most of voltages; NaN if some contact has none.
fn extent(volts: &[f64]) -> [f64; 2] {
    let every = volts.iter().all(|volts| volts.is_finite());
    let by = |pick: fn(f64, f64) -> f64| volts.iter().copied().reduce(pick).unwrap_or(f64::NAN);
    if every { [by(f64::min), by(f64::max)] } else { [f64::NAN; 2] }
}
