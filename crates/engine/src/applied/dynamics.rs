//! Times of a relay's contacts: what its units share, and what one unit makes of it.

use super::relay::Driven;
use crate::error::EngineError;
use crate::quantity::Quantified;
use crate::realise::{Pick, Workshop, geometries};
use crate::scene::{Scene, place};
use crate::solved::Pulled;
use crate::spring::snap;
use crate::track::Course;
use crate::winding::turns_and_resistance;
use reedmace_applied::beam::Blade;
use reedmace_applied::inductance::thick_coil;
use reedmace_applied::motion::{Blades, Feed, MotionError, Run};
use reedmace_applied::preferred::Series;
use reedmace_design::{Contact, Design, Suppressor, Threshold};
use reedmace_fields::{AnySource, Pose};
use reedmace_units::Quantity;
use std::sync::Arc;

/// Forward voltage of a diode, V: silicon, common practice, no source.
const FORWARD: f64 = 0.7;
/// Sharpness of a blade's vibration. Common practice, no source: 20 to 200.
const QUALITY: f64 = 60.0;
/// Time constants of the coil, and periods of the blades, after which nothing more happens.
const SETTLED: [f64; 2] = [12.0, 20.0];

/// What all units of a relay share: pulls and inductances of the nominal one.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Coupled {
    contacts: Vec<Option<Sprung>>,
    /// Inductance of one turn with all contacts open, and what all closed ones add to it, H.
    per_turn: [f64; 2],
}

/// A contact in the coil of its relay, nominal.
#[derive(Debug, Clone)]
struct Sprung {
    pulled: Arc<Pulled>,
    /// Of both blades in series: as the stated operate value asks for, else of clamped beams, N/m.
    stiffness: f64,
    /// What one closed contact adds to the inductance of one turn, H.
    gained: f64,
    /// Coordinate of the sweep that does what a steady field does.
    bias: f64,
}

impl PartialEq for Sprung {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.pulled, &other.pulled) && self.stiffness == other.stiffness
    }
}

impl Coupled {
    /// `None` of a design without a relay, or without a contact whose alloy is known.
    pub fn of(workshop: &Workshop, scene: &Scene) -> Result<Option<Self>, EngineError> {
        let design = &workshop.design;
        let swept = scene.bodies.iter().find(|body| body.swept);
        let (Some(_), Some(body)) = (&design.relay, swept) else { return Ok(None) };
        if !(0..design.contacts.len()).any(|k| design.is_timed(k)) {
            return Ok(None);
        }
        let source = one_turn(body.source);
        let air = air(source);
        let (mut contacts, mut open, mut closing) = (Vec::new(), air, 0.0);
        for (k, (contact, reed)) in design.contacts.iter().zip(&scene.reeds).enumerate() {
            // The other side of a blade that is counted already.
            if contact.change_over.is_some() {
                contacts.push(None);
                continue;
            }
            let mut seen = place(body, reed, Pose::IDENTITY);
            seen.source = source;
            let closed = contact.closed_gap.is.nominal;
            let nominal = |q: &dyn Quantified| q.limits().nominal;
            let [geometry, _] = geometries(contact, &nominal);
            let named = |why| EngineError::from(why).of(&contact.name);
            let pulled = workshop.shelf.pulls(&geometry, closed, seen).map_err(named)?;
            let gained = pulled.pulls.gained(closed.si());
            open += pulled.linkage;
            closing += gained;
            let snapped = snap(workshop, contact).map_err(named)?;
            let bias = reed.steady[0] / reed.per_unit[0];
            let bias = if bias.is_finite() { bias } else { 0.0 };
            contacts.push(blade(design, k).map(|blade| Sprung {
                stiffness: snapped.map_or(0.5 * blade.stiffness(), |one| one.stiffness),
                pulled,
                gained,
                bias,
            }));
        }
        Ok(Some(Self { contacts, per_turn: [open, closing] }))
    }
}

/// The coil's source with one ampere-turn in it.
fn one_turn(source: AnySource) -> AnySource {
    match source {
        AnySource::Coil(coil) => {
            AnySource::Coil(reedmace_fields::Coil { ampere_turns: 1.0, ..coil })
        }
        AnySource::Solenoid(coil) => {
            AnySource::Solenoid(reedmace_fields::Solenoid { ampere_turns: 1.0, ..coil })
        }
        other => other,
    }
}

/// Inductance of one turn of it in air, H.
fn air(source: AnySource) -> f64 {
    match source {
        AnySource::Coil(c) => {
            thick_coil(2.0 * c.inner_radius, 2.0 * c.outer_radius, 2.0 * c.half_length, 1.0)
        }
        // A sheet: one as thin as a thousandth of its radius differs by as much.
        AnySource::Solenoid(c) => {
            let [inner, outer] = [0.9995, 1.0005].map(|share| 2.0 * share * c.radius);
            thick_coil(inner, outer, 2.0 * c.half_length, 1.0)
        }
        _ => f64::NAN,
    }
}

/// One nominal blade of contact `k`, if its times are told.
fn blade(design: &Design, k: usize) -> Option<Blade> {
    let contact = &design.contacts[k];
    let alloy = contact.construction.alloy.as_ref().filter(|_| design.is_timed(k))?;
    Some(Blade {
        modulus: alloy.elastic_modulus.nominal.si(),
        density: alloy.density.nominal.si(),
        length: 0.5 * (contact.blade_span.si() + contact.overlap.si()),
        width: contact.blade_width.si(),
        thickness: contact.blade_thickness.si(),
    })
}

/// The parts that take the coil's current over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ends {
    pub kind: Suppressor,
    /// Breakdown of the Zener diode, V.
    pub volts: f64,
    /// In series with the coil, Ω.
    pub ohms: f64,
    /// F.
    pub farads: f64,
}

impl Ends {
    /// The coil's feed once the supply is off; `coil`: its own resistance, Ω.
    fn feed(self, coil: f64) -> Option<Feed> {
        let feed = |ohms, against, farads| Some(Feed { volts: 0.0, ohms, against, farads });
        match self.kind {
            Suppressor::None => None,
            Suppressor::Diode => feed(coil, FORWARD, f64::INFINITY),
            Suppressor::Zener => feed(coil, FORWARD + self.volts, f64::INFINITY),
            Suppressor::Resistor => feed(coil + self.ohms, 0.0, f64::INFINITY),
            Suppressor::Rc => feed(coil + self.ohms, 0.0, self.farads),
        }
    }

    /// Voltage that its capacitor holds against the current as the supply goes, V.
    fn held(self, supply: f64) -> f64 {
        if self.kind == Suppressor::Rc { -supply } else { 0.0 }
    }

    /// Greatest voltage across the switch that opens, V; infinite without any.
    pub fn peak(self, supply: f64, current: f64) -> f64 {
        supply
            + match self.kind {
                Suppressor::None => f64::INFINITY,
                Suppressor::Diode => FORWARD,
                Suppressor::Zener => FORWARD + self.volts,
                Suppressor::Resistor => self.ohms * current,
                // The capacitor's swing comes on top and is followed over time.
                Suppressor::Rc => self.ohms * current,
            }
    }

    /// Power that it takes while the coil is on, W.
    pub fn standing(self, supply: f64) -> f64 {
        if self.kind == Suppressor::Resistor { supply * supply / self.ohms } else { 0.0 }
    }
}

/// The contacts of a relay that move, at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Timed {
    coupled: Arc<Coupled>,
    driven: Driven,
    turns: f64,
    contacts: Vec<Option<At>>,
    pub ends: Ends,
}

/// One contact at definite values.
#[derive(Debug, Clone, Copy, PartialEq)]
struct At {
    mass: f64,
    rest: f64,
    closed: f64,
    restitution: f64,
    /// Its operate value over the nominal one.
    operate: f64,
}

/// A contact's motion laid out: blades on their way in and out, and what they do there.
pub(crate) struct Ways<'a> {
    pub closing: Blades<'a>,
    pub opening: Blades<'a>,
    pub on: Feed,
}

impl Timed {
    /// With every quantity as `pick` has it. `coupled` is not known while a design's quantities are counted.
    pub fn of(design: &Design, coupled: Option<&Arc<Coupled>>, pick: &Pick) -> Option<Self> {
        let relay = design.relay.as_ref()?;
        let mut contacts = Vec::new();
        for (k, contact) in design.contacts.iter().enumerate() {
            contacts.push(blade(design, k).map(|blade| At {
                mass: 0.5 * blade.tip_mass(),
                rest: pick(&contact.gap),
                closed: pick(&contact.closed_gap),
                restitution: pick(&contact.construction.restitution),
                operate: match &contact.operate {
                    Threshold::AmpereTurns(v) => pick(v) / v.si(),
                    Threshold::FluxDensity(v) => pick(v) / v.si(),
                },
            }));
        }
        if contacts.iter().all(Option::is_none) {
            return None;
        }
        let (turns, cold) = turns_and_resistance(&design.coils[relay.coil], pick);
        let driven = Driven::of(design, pick)?;
        let parts = &relay.suppression;
        let stated = [
            parts.voltage.as_ref().map(|v| pick(v)),
            parts.resistance.as_ref().map(|v| pick(v)),
            parts.capacitance.as_ref().map(|v| pick(v)),
        ];
        let coupled = coupled?.clone();
        let henries = turns * turns * coupled.per_turn.iter().sum::<f64>();
        let ends = ends(parts.kind, driven.supply, cold, henries, stated);
        Some(Self { coupled, driven, turns, contacts, ends })
    }

    /// Inductance of the coil with all contacts open, and with all closed, H.
    pub fn inductances(&self) -> [f64; 2] {
        let [open, gained] = self.coupled.per_turn;
        [open, open + gained].map(|one| one * self.turns * self.turns)
    }

    /// Current that the supply drives through the coil as it is switched on, and is left with, A.
    pub fn current(&self) -> f64 {
        self.driven.supply.abs() / self.driven.resistance()
    }

    /// Supply, V.
    pub fn supply(&self) -> f64 {
        self.driven.supply.abs()
    }

    /// Parts of a kind that are sized as if none were stated, or as stated where it is the design's own.
    pub fn sized(&self, kind: Suppressor) -> Ends {
        if kind == self.ends.kind {
            return self.ends;
        }
        let cold = self.driven.resistance();
        ends(kind, self.driven.supply, cold, self.inductances()[1], [None; 3])
    }

    /// How contact `k` moves, if it is open without current, and operates and releases on `course`.
    ///
    /// The spring goes with the square of this unit's operate value; pull and current that close or open it are
    /// brought together by one factor on the pull, which holds for what neighbours, steel and saturation do as well.
    pub fn ways(&self, k: usize, course: &Course) -> Option<Ways<'_>> {
        let (at, sprung) = (self.contacts[k]?, self.coupled.contacts[k].as_ref()?);
        if self.driven.is_held(course) {
            return None;
        }
        let [Some(operates), Some(releases)] = self.driven.changes(course) else { return None };
        let bias = sprung.bias * self.driven.per_coordinate * operates.signum();
        let amperes = |coordinate: f64| (coordinate * self.driven.per_coordinate).abs() + bias;
        let pulls = &sprung.pulled.pulls;
        let stiffness = sprung.stiffness * at.operate * at.operate;
        let (pull_in, _) = pulls.pull_in(stiffness, at.rest, at.closed);
        let lets_go = pulls.balance(stiffness, at.rest, at.closed);
        let [open, gained] = self.coupled.per_turn;
        let square = self.turns * self.turns;
        let strength = |turns: f64, current: f64| (turns / (current * self.turns)).powi(2);
        let closing = Blades {
            mass: at.mass,
            stiffness,
            rest: at.rest,
            closed: at.closed,
            quality: QUALITY,
            restitution: at.restitution,
            pulls,
            turns: self.turns,
            henries: square * open,
            bias,
            strength: strength(pull_in, amperes(operates)),
        };
        let opening = Blades {
            henries: square * (open + gained - sprung.gained),
            strength: strength(lets_go, amperes(releases)),
            ..closing
        };
        let on = Feed {
            volts: self.supply(),
            ohms: self.driven.resistance(),
            against: 0.0,
            farads: f64::INFINITY,
        };
        let told = closing.strength.is_finite() && opening.strength.is_finite();
        told.then_some(Ways { closing, opening, on })
    }

    /// When nothing more happens after a switching, s.
    pub fn until(&self, ways: &Ways<'_>) -> f64 {
        let period = std::f64::consts::TAU * (ways.closing.mass / ways.closing.stiffness).sqrt();
        SETTLED[0] * self.inductances()[1] / self.driven.resistance() + SETTLED[1] * period
    }

    /// Closing, or why it cannot be followed.
    pub fn closes(&self, ways: &Ways<'_>) -> Result<Run, MotionError> {
        ways.closing.close(ways.on, self.until(ways), None)
    }

    /// When the faces part with these ends, s; 0 without any.
    pub fn parts(&self, ways: &Ways<'_>, ends: Ends) -> Result<Option<f64>, MotionError> {
        let Some(feed) = ends.feed(self.driven.resistance()) else { return Ok(Some(0.0)) };
        // A capacitor with a resistor is slow where both are large.
        let slow = if feed.farads.is_finite() { feed.ohms * feed.farads } else { 0.0 };
        let until = self.until(ways) + SETTLED[0] * slow;
        ways.opening.parts(self.current(), ends.held(self.supply()), feed, until)
    }

    /// Opening with these ends; without any the current is gone at once.
    pub fn opens(
        &self,
        ways: &Ways<'_>,
        ends: Ends,
        until: f64,
        every: f64,
    ) -> Result<Run, MotionError> {
        let gone = Feed { volts: 0.0, ohms: 1.0, against: 0.0, farads: f64::INFINITY };
        let (current, feed) = match ends.feed(self.driven.resistance()) {
            Some(feed) => (self.current(), feed),
            None => (0.0, gone),
        };
        ways.opening.open(current, ends.held(self.supply()), feed, until, Some(every))
    }

    /// Adds operate, bounce and release time of each contact, in the order of the design.
    pub fn tell(&self, courses: &[Course], figures: &mut Vec<f64>) {
        for (k, course) in courses.iter().enumerate() {
            if self.contacts[k].is_none() {
                continue;
            }
            let times = self.ways(k, course).map(|ways| {
                let run = self.closes(&ways).ok();
                let touches = run.as_ref().map_or(&[][..], |run| &run.touches);
                let first = touches.first().map_or(f64::NAN, |touch| touch[0]);
                let last = touches.last().map_or(f64::NAN, |touch| touch[0]);
                let closes = first.is_finite();
                let parts = self.parts(&ways, self.ends).ok().flatten().filter(|_| closes);
                [first, last - first, parts.unwrap_or(f64::NAN)]
            });
            figures.extend(times.unwrap_or([f64::NAN; 3]));
        }
    }
}

/// Parts of a kind: stated, or sized from the coil. Common practice, no source.
fn ends(
    kind: Suppressor,
    supply: f64,
    coil: f64,
    henries: f64,
    [volts, ohms, farads]: [Option<f64>; 3],
) -> Ends {
    let rc = kind == Suppressor::Rc;
    let asked = if rc { coil } else { 5.0 * coil };
    let ohms = ohms.unwrap_or_else(|| Series::E12.nearest(asked));
    Ends {
        kind,
        volts: volts.unwrap_or_else(|| Series::E24.at_least(2.0 * supply.abs())),
        ohms,
        farads: farads.unwrap_or_else(|| Series::E6.at_least(henries / (coil * coil))),
    }
}

/// Nominal values of what is told of a contact besides its times.
pub(crate) fn eddy_time(contact: &Contact) -> Option<f64> {
    let alloy = contact.construction.alloy.as_ref()?;
    let nominal = |q: &dyn Quantified| q.limits().nominal;
    let thickness = nominal(&contact.blade_thickness);
    let permeability = 1.256_637_061_27e-6 * nominal(&contact.permeability);
    Some(
        permeability * thickness * thickness
            / (alloy.resistivity.nominal.si() * std::f64::consts::PI.powi(2)),
    )
}
