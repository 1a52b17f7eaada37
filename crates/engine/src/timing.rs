//! How a relay's contacts close and open: the nominal unit over time, and what suppression costs.

use crate::answer::{MotionSeries, MovingContact, SuppressionRow, TimingAnswer};
use crate::applied::dynamics::{Ends, Timed, Ways, eddy_time};
use crate::error::EngineError;
use crate::track::Course;
use crate::units::tidy;
use reedmace_applied::motion::{Blades, Moment, MotionError, Run};
use reedmace_design::{Contact, Design, Suppressor};
use reedmace_units::{Quantity, format_number};

/// States told of a motion.
const STATES: f64 = 400.0;
/// Natural periods told after a contact has parted.
const PERIODS: f64 = 6.0;

/// `None` of a design whose contacts' motion is not told, or none of whose contacts operates.
pub(crate) fn answer(
    design: &Design,
    timed: Option<&Timed>,
    courses: &[Course],
) -> Result<Option<TimingAnswer>, EngineError> {
    let Some(timed) = timed else { return Ok(None) };
    let mut contacts = Vec::new();
    let mut ways_of_all = Vec::new();
    for (k, contact) in design.contacts.iter().enumerate() {
        let Some(ways) = timed.ways(k, &courses[k]) else { continue };
        let named = |why| EngineError::Motion { name: contact.name.clone(), why };
        contacts.extend(one(contact, timed, &ways).map_err(named)?);
        ways_of_all.push(ways);
    }
    if contacts.is_empty() {
        return Ok(None);
    }
    let [open, closed] = timed.inductances().map(|henries| tidy(1e3 * henries));
    let suppressions = Suppressor::WORDS
        .into_iter()
        .map(|(_, kind)| row(timed, &ways_of_all, kind))
        .collect::<Result<Vec<_>, MotionError>>()
        .map_err(|why| EngineError::Motion { name: contacts[0].contact.clone(), why })?;
    let findings = findings(&contacts, &suppressions);
    let (open_inductance, closed_inductance) = (open, closed);
    Ok(Some(TimingAnswer { open_inductance, closed_inductance, contacts, suppressions, findings }))
}

/// What a kind of suppression does to all contacts.
fn row(timed: &Timed, all: &[Ways<'_>], kind: Suppressor) -> Result<SuppressionRow, MotionError> {
    let ends = timed.sized(kind);
    let mut release = 0.0f64;
    for ways in all {
        release = release.max(timed.parts(ways, ends)?.unwrap_or(f64::NAN));
    }
    let peak = peak(timed, &all[0], ends)?;
    Ok(SuppressionRow {
        kind: kind.word().into(),
        parts: parts(ends),
        stated: kind == timed.ends.kind,
        release: tidy(1e3 * release),
        peak: peak.is_finite().then(|| tidy(peak)),
        standing: tidy(1e3 * ends.standing(timed.supply())),
    })
}

/// Greatest voltage across the switch, V.
fn peak(timed: &Timed, ways: &Ways<'_>, ends: Ends) -> Result<f64, MotionError> {
    let until = timed.until(ways);
    let swung = |run: Run| {
        let volts = run.moments.iter().map(|m| timed.supply() + ends.ohms * m.current + m.held);
        volts.fold(timed.supply(), f64::max)
    };
    match ends.kind {
        Suppressor::Rc => timed.opens(ways, ends, until, until / STATES).map(swung),
        _ => Ok(ends.peak(timed.supply(), timed.current())),
    }
}

fn parts(ends: Ends) -> String {
    let number = |value: f64, unit: &str| format!("{} {unit}", format_number(value, 3));
    match ends.kind {
        Suppressor::None => "the switch alone".into(),
        Suppressor::Diode => "across the coil".into(),
        Suppressor::Zener => format!("{} and a diode", number(ends.volts, "V")),
        Suppressor::Resistor => number(ends.ohms, "Ω"),
        Suppressor::Rc => {
            format!("{} and {}", number(ends.ohms, "Ω"), number(1e6 * ends.farads, "µF"))
        }
    }
}

/// `None` of a contact that does not close on the supply.
fn one(
    contact: &Contact,
    timed: &Timed,
    ways: &Ways<'_>,
) -> Result<Option<MovingContact>, MotionError> {
    let run = timed.closes(ways)?;
    let Some(&[operate, impact]) = run.touches.first() else { return Ok(None) };
    let restitution = &contact.construction.restitution.is;
    let bounce = |restitution: f64| -> Result<f64, MotionError> {
        let closing = Blades { restitution, ..ways.closing };
        let run = timed.closes(&Ways { closing, ..*ways })?;
        let last = run.touches.last().map_or(f64::NAN, |touch| touch[0]);
        Ok(tidy(1e3 * (last - operate)))
    };
    let bounce = [
        bounce(restitution.low.si())?,
        bounce(restitution.nominal.si())?,
        bounce(restitution.high.si())?,
    ];
    let rest = run.touches.last().map_or(operate, |touch| touch[0]);
    // Until some time after the last touch, and after the blades have swung.
    let until = 1.25 * rest;
    let closing = ways.closing.close(ways.on, until, Some(until / STATES))?;
    let parted = timed.parts(ways, timed.ends)?.unwrap_or(f64::NAN);
    let frequency = (ways.closing.stiffness / ways.closing.mass).sqrt() / std::f64::consts::TAU;
    let after = parted + PERIODS / frequency;
    let opening = timed.opens(ways, timed.ends, after, after / STATES)?;
    Ok(Some(MovingContact {
        contact: contact.name.clone(),
        operate: tidy(1e3 * operate),
        bounce,
        impact: tidy(impact),
        release: tidy(1e3 * parted),
        frequency: tidy(frequency),
        eddy: tidy(1e3 * eddy_time(contact).unwrap_or(f64::NAN)),
        closing: series(&ways.closing, &closing),
        opening: series(&ways.opening, &opening),
    }))
}

fn series(blades: &Blades<'_>, run: &Run) -> MotionSeries {
    let of = |per: f64, of: &dyn Fn(&Moment) -> f64| {
        run.moments.iter().map(|moment| tidy(per * of(moment))).collect()
    };
    let touches = run.touches.iter().map(|touch| touch[0]);
    MotionSeries {
        time: of(1e3, &|m| m.time),
        gap: of(1e6, &|m| m.gap),
        current: of(1e3, &|m| m.current),
        force: of(1e3, &|m| blades.pull(m.gap, m.current)),
        changes: run.parted.into_iter().chain(touches).map(|time| tidy(1e3 * time)).collect(),
    }
}

fn findings(contacts: &[MovingContact], suppressions: &[SuppressionRow]) -> Vec<String> {
    let ms = |value: f64| format!("{} ms", format_number(value, 3));
    let latest = |of: fn(&MovingContact) -> f64| contacts.iter().map(of).fold(0.0, f64::max);
    let settled = latest(|one| one.operate + one.bounce[2]);
    let mut findings = vec![format!(
        "The last contact touches {} after the supply is switched on and rests by {} at the liveliest restitution.",
        ms(latest(|one| one.operate)),
        ms(settled)
    )];
    let row = |kind: &str| suppressions.iter().find(|row| row.kind == kind);
    if let (Some(diode), Some(zener)) = (row("diode"), row("zener")) {
        findings.push(format!(
            "Released through a diode the last contact parts after {}, through the Zener diode after {}: the higher the \
             voltage the switch may see, the sooner.",
            ms(diode.release),
            ms(zener.release)
        ));
    }
    let eddy = latest(|one| one.eddy);
    let fastest = contacts.iter().map(|one| one.operate).fold(f64::INFINITY, f64::min);
    findings.push(format!(
        "Eddy currents hold the flux in a blade back by about {}, {} % of the operate time; they are not in these times.",
        ms(eddy),
        format_number(100.0 * eddy / fastest, 2)
    ));
    findings
}
