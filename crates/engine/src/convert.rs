//! A sensitivity said in another way: another coil, a field, a distance from a magnet.

use crate::answer::{Band, Conversion};
use crate::bench::Bench;
use crate::error::EngineError;
use crate::levels::levels;
use crate::quantity::{Level, Quantified};
use crate::realise::Workshop;
use crate::root;
use crate::scene::Scene;
use crate::solved::{Solved, State};
use crate::units::{millimetres, millitesla, tidy};
use reedmace_contact::{Calibration, Circuit, Scratch, TestCoil};
use reedmace_design::{Design, Threshold};
use reedmace_fields::{AnySource, Magnet, MagnetShape, Placed, Pose};
use reedmace_units::{AmpereTurns, FluxDensity, Length, Quantity, Toleranced, format_number};
use schemars::JsonSchema;
use serde::Serialize;
use std::sync::Arc;

/// A sensitivity as stated: low, nominal, high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sensitivity {
    /// Ampere-turns in a coil.
    AmpereTurns(TestCoil, [AmpereTurns; 3]),
    /// Flux density at an empty coil's centre.
    CoilCentre(TestCoil, [FluxDensity; 3]),
    /// Uniform axial flux density.
    Uniform([FluxDensity; 3]),
}

/// In what to say it.
#[derive(Debug, Clone, PartialEq)]
pub enum Target {
    /// Uniform axial flux density.
    Uniform,
    /// Ampere-turns in a coil.
    AmpereTurns(TestCoil),
    /// Flux density at an empty coil's centre.
    CoilCentre(TestCoil),
    /// Distance from the middle of the contact to the middle of this magnet of the design, beside the
    /// contact and polarized along it.
    Magnet(usize),
}

/// A sensitivity in another arrangement.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Converted {
    /// The arrangement in words.
    pub arrangement: String,
    /// The sensitivity in it.
    pub at: Band,
}

/// Says what makes contact `contact` of `design` operate in other ways.
///
/// The contact is the open one at its nominal dimensions and its calibrated length.
///
/// # Errors
/// [`EngineError::NoConversion`] when a magnet is too weak to produce that drive at any distance, and
/// what [`Circuit::new`] refuses.
pub fn convert(
    design: &Design,
    contact: usize,
    from: &Sensitivity,
    targets: &[Target],
) -> Result<Vec<Converted>, EngineError> {
    let (workshop, scene) = Bench::default().workshop(design)?;
    let solved = calibrated(&workshop, &scene, contact)?;
    let fluxes = fluxes(&solved.open, from);
    targets.iter().map(|target| target.of(&scene, design, &solved.open, fluxes)).collect()
}

impl Target {
    /// As it is written: `uniform`, `AT 25 mm x 9.25 mm`, `mT 25 mm x 9.25 mm` (a coil by its length and mean
    /// diameter), or `magnet NAME`, of `design`.
    ///
    /// # Errors
    /// [`EngineError::NoConversion`] for anything else, and for a magnet that the design has not.
    pub fn read(text: &str, design: &Design) -> Result<Self, EngineError> {
        let (word, rest) = text.trim().split_once(char::is_whitespace).unwrap_or((text.trim(), ""));
        match (word, rest.trim()) {
            ("uniform", "") => Ok(Self::Uniform),
            ("AT", coil) => Ok(Self::AmpereTurns(test_coil(coil)?)),
            ("mT", coil) => Ok(Self::CoilCentre(test_coil(coil)?)),
            ("magnet", name) if !name.is_empty() => {
                let known = design.magnets.iter().position(|m| m.name == name);
                let why = || EngineError::NoConversion(format!("no magnet `{name}`"));
                known.map(Self::Magnet).ok_or_else(why)
            }
            _ => Err(EngineError::NoConversion(format!(
                "`{text}` is no target; write \"uniform\", \"AT 20 mm x 8 mm\", \"mT 20 mm x 8 mm\" \
                 or \"magnet NAME\""
            ))),
        }
    }

    fn of(
        &self,
        scene: &Scene,
        design: &Design,
        circuit: &Circuit,
        fluxes: [f64; 3],
    ) -> Result<Converted, EngineError> {
        Ok(match *self {
            Self::Uniform => uniform(circuit, fluxes),
            Self::AmpereTurns(coil) => ampere_turns(circuit, coil, fluxes),
            Self::CoilCentre(coil) => coil_centre(circuit, coil, fluxes),
            Self::Magnet(k) => {
                let AnySource::Magnet(magnet) = scene.bodies[k].source else {
                    unreachable!("a scene lists its magnets first")
                };
                distance(circuit, &magnet, &design.magnets[k].name, fluxes)?
            }
        })
    }
}

/// A coil by its length and mean diameter, as `25 mm x 9.25 mm`.
///
/// # Errors
/// [`EngineError::NoConversion`] when it is written otherwise.
pub fn test_coil(text: &str) -> Result<TestCoil, EngineError> {
    let fault = |why: String| EngineError::NoConversion(why);
    let (long, wide) = text.split_once(['x', '×']).ok_or_else(|| {
        fault("write a coil as its length and mean diameter, such as \"25 mm x 9.25 mm\"".into())
    })?;
    let part = |text: &str| {
        let length: Toleranced<Length> =
            text.trim().parse().map_err(|why| fault(format!("{why}")))?;
        match (1e-4..=10.0).contains(&length.nominal.si()) {
            true => Ok(length.nominal),
            false => {
                Err(fault(format!("a coil's size is between 0.1 mm and 10 m, not {}", text.trim())))
            }
        }
    };
    Ok(TestCoil::Thin { length: part(long)?, mean_diameter: part(wide)? })
}

/// Operate and release of contact `contact` of `design` in another arrangement: as measured and, where its
/// leads are trimmed, as mounted.
///
/// # Errors
/// As [`convert()`].
pub(crate) fn said_in(
    bench: &Bench,
    design: &Design,
    contact: usize,
    target: &Target,
) -> Result<Vec<Conversion>, EngineError> {
    let (workshop, scene) = bench.workshop(design)?;
    let levels = levels(&workshop, contact)?;
    let conditions = conditions(&workshop, &scene, contact, &levels)?;
    let way = |circuit: &Circuit, fluxes| target.of(&scene, design, circuit, fluxes);
    conditions.iter().map(|condition| condition.say(&way)).collect()
}

/// A contact as it was measured or as it is mounted, and the gap flux of its operate and release, Wb.
struct Condition {
    solved: Arc<Solved>,
    fluxes: [[f64; 3]; 2],
    leads: &'static str,
}

/// Says gap fluxes (low, nominal, high; Wb) of a circuit in some arrangement.
type Way<'a> = dyn Fn(&Circuit, [f64; 3]) -> Result<Converted, EngineError> + 'a;

impl Condition {
    fn say(&self, way: &Way<'_>) -> Result<Conversion, EngineError> {
        let [operate, release] = self.fluxes;
        let (operate, release) =
            (way(&self.solved.open, operate)?, way(&self.solved.closed, release)?);
        let arrangement = format!("{}{}", operate.arrangement, self.leads);
        Ok(Conversion { arrangement, operate: operate.at, release: release.at })
    }
}

/// Operate and release of a contact in every way its design gives a meaning to; `levels` are its
/// lowest, nominal and highest operate and release drive, T.
pub(crate) fn of_contact(
    workshop: &Workshop,
    scene: &Scene,
    contact: usize,
    levels: &[[f64; 2]; 3],
) -> Result<Vec<Conversion>, EngineError> {
    let stated = &workshop.design.contacts[contact];
    let nominal = |q: &dyn Quantified| q.limits().nominal;
    let coil = match workshop.stated(&stated.coil, &stated.operate, &nominal) {
        Calibration::AmpereTurns(coil, _) | Calibration::CoilCentre(coil, _) => Some(coil),
        Calibration::Uniform(_) => None,
    };
    let mut ways = Vec::new();
    for condition in conditions(workshop, scene, contact, levels)? {
        if let Some(coil) = coil {
            ways.push(condition.say(&|circuit, flux| Ok(ampere_turns(circuit, coil, flux)))?);
            ways.push(condition.say(&|circuit, flux| Ok(coil_centre(circuit, coil, flux)))?);
        }
        ways.push(condition.say(&|circuit, flux| Ok(uniform(circuit, flux)))?);
    }
    Ok(ways)
}

/// What a contact's operate and release stand for: with the leads it was measured with and, if they are
/// others, as mounted.
fn conditions(
    workshop: &Workshop,
    scene: &Scene,
    contact: usize,
    levels: &[[f64; 2]; 3],
) -> Result<Vec<Condition>, EngineError> {
    let reed = &scene.reeds[contact];
    let stated = &workshop.design.contacts[contact];
    // What was stated, whatever the contact's own dimensions do to the drive it stands for.
    let measured = calibrated(workshop, scene, contact)?;
    let stated_flux = |threshold, state| {
        SIDES.map(|level| {
            let pick = |q: &dyn Quantified| match level {
                _ if q.path() != threshold_path(threshold) => q.limits().nominal,
                level => level.of(&q.limits()),
            };
            measured.gap_flux(workshop.stated(&stated.coil, threshold, &pick), state)
        })
    };
    let as_stated =
        [stated_flux(&stated.operate, State::Open), stated_flux(&stated.release, State::Closed)];
    let mounted = |circuit: &Circuit, i: usize| {
        levels.map(|l| circuit.kernel().flux_in_uniform(FluxDensity::from_si(l[i])))
    };
    let as_mounted = [mounted(&reed.solved.open, 0), mounted(&reed.solved.closed, 1)];
    if stated.change_over.is_some() {
        let solved = reed.solved.clone();
        return Ok(vec![Condition { solved, fluxes: as_mounted, leads: "" }]);
    }
    if stated.calibrated_length.si() == stated.overall_length.si() {
        return Ok(vec![Condition { solved: measured, fluxes: as_stated, leads: "" }]);
    }
    Ok(vec![
        Condition { solved: measured, fluxes: as_stated, leads: ", leads as measured" },
        Condition { solved: reed.solved.clone(), fluxes: as_mounted, leads: ", leads as mounted" },
    ])
}

/// Where a stated sensitivity is taken: low, nominal, high.
const SIDES: [Level; 3] = [Level::LOW, Level::Nominal, Level::HIGH];

fn threshold_path(threshold: &Threshold) -> &str {
    match threshold {
        Threshold::AmpereTurns(v) => v.path(),
        Threshold::FluxDensity(v) => v.path(),
    }
}

/// The circuits of a contact at the length at which it was measured, nominal otherwise.
fn calibrated(
    workshop: &Workshop,
    scene: &Scene,
    contact: usize,
) -> Result<Arc<Solved>, EngineError> {
    let stated = &workshop.design.contacts[contact];
    let mut geometry = *scene.reeds[contact].solved.open.geometry();
    geometry.overall_length = Length::from_si(stated.calibrated_length.si());
    Ok(workshop.shelf.get(&geometry, Length::from_si(stated.closed_gap.si()))?)
}

/// Gap flux that a stated sensitivity stands for, Wb.
fn fluxes(circuit: &Circuit, from: &Sensitivity) -> [f64; 3] {
    let mut scratch = Scratch::default();
    let mut flux = |stated: Calibration| stated.gap_flux(circuit.kernel(), &mut scratch);
    match *from {
        Sensitivity::AmpereTurns(coil, v) => v.map(|v| flux(Calibration::AmpereTurns(coil, v))),
        Sensitivity::CoilCentre(coil, v) => v.map(|v| flux(Calibration::CoilCentre(coil, v))),
        Sensitivity::Uniform(v) => v.map(|v| flux(Calibration::Uniform(v))),
    }
}

fn uniform(circuit: &Circuit, fluxes: [f64; 3]) -> Converted {
    let levels = fluxes.map(|f| circuit.kernel().drive_of_flux(f));
    field("uniform axial field".into(), levels)
}

fn field(arrangement: String, levels: [FluxDensity; 3]) -> Converted {
    Converted { arrangement, at: band(levels.map(|b| millitesla(b.si())), "mT") }
}

fn ampere_turns(circuit: &Circuit, coil: TestCoil, fluxes: [f64; 3]) -> Converted {
    let mut scratch = Scratch::default();
    let at = fluxes.map(|f| circuit.kernel().ampere_turns_for(f, coil, &mut scratch));
    Converted { arrangement: describe(coil), at: band(at.map(|v| tidy(v.si())), "AT") }
}

fn coil_centre(circuit: &Circuit, coil: TestCoil, fluxes: [f64; 3]) -> Converted {
    let mut scratch = Scratch::default();
    let at = fluxes.map(|f| circuit.kernel().ampere_turns_for(f, coil, &mut scratch));
    field(format!("centre of {}", describe(coil)), at.map(|v| coil.centre_field(v)))
}

/// Distances at which `magnet` beside the contact, polarized along it, drives these fluxes.
fn distance(
    circuit: &Circuit,
    magnet: &Magnet,
    name: &str,
    fluxes: [f64; 3],
) -> Result<Converted, EngineError> {
    let along_x = turn_to_x(magnet.polarization);
    let nearest = half_width(&magnet.shape, along_x) + 0.5 * circuit.geometry().blade_width.si();
    const FARTHEST: f64 = 1.0;
    let mut scratch = Scratch::default();
    let mut flux_at = |y: f64| {
        let pose = Pose { origin: [0.0, y, 0.0], ..along_x };
        let placed = Placed { source: AnySource::from(*magnet), world_from_body: pose };
        circuit.kernel().flux(&placed, &mut scratch).abs()
    };
    let strongest = flux_at(nearest);
    let mut at = [0.0; 3];
    for (place, flux) in at.iter_mut().zip(fluxes) {
        let flux = flux.abs();
        if flux >= strongest {
            let share = format_number(100.0 * strongest / flux, 3);
            return Err(EngineError::NoConversion(format!(
                "magnet `{name}` is too weak: touching the contact it reaches {share} % of that drive"
            )));
        }
        let mut f = |y: f64| flux_at(y) - flux;
        let (near, far) = (f(nearest), f(FARTHEST));
        *place = root::crossing(&mut f, (nearest, near), (FARTHEST, far), 1e-9);
    }
    // More drive is a smaller distance: put the band in rising order.
    at.sort_by(f64::total_cmp);
    let arrangement = format!("magnet {name} beside the contact, middle to middle");
    Ok(Converted { arrangement, at: band(at.map(millimetres), "mm") })
}

/// The least rotation that lays `direction` along x.
fn turn_to_x(direction: [f64; 3]) -> Pose {
    let size = direction.iter().map(|d| d * d).sum::<f64>().sqrt();
    let [x, y, z] = direction.map(|d| d / size);
    let (axis, sine) = ([0.0, z, -y], y.hypot(z));
    if sine == 0.0 {
        let half_turn = if x < 0.0 { std::f64::consts::PI } else { 0.0 };
        return Pose::rotation_about([0.0, 0.0, 1.0], half_turn);
    }
    Pose::rotation_about(axis, sine.atan2(x))
}

/// How far a magnet in this attitude reaches along y from its middle, m.
fn half_width(shape: &MagnetShape, world_from_body: Pose) -> f64 {
    let [x, y, z] = world_from_body.apply_inverse_to_vector([0.0, 1.0, 0.0]);
    match *shape {
        MagnetShape::Cuboid { half_size: [a, b, c] } => {
            (a * x).abs() + (b * y).abs() + (c * z).abs()
        }
        MagnetShape::Cylinder { radius, half_length }
        | MagnetShape::Ring { outer_radius: radius, half_length, .. } => {
            radius * x.hypot(y) + half_length * z.abs()
        }
        MagnetShape::Sphere { radius } => radius,
    }
}

fn band([low, nominal, high]: [f64; 3], unit: &str) -> Band {
    Band { value: Some(nominal), low, high, unit: unit.into() }
}

/// A coil in words.
fn describe(coil: TestCoil) -> String {
    let mm = |l: Length| format_number(millimetres(l.si()), 4);
    match coil {
        TestCoil::Thin { length, mean_diameter } => {
            format!("coil {} mm long, {} mm mean diameter", mm(length), mm(mean_diameter))
        }
        TestCoil::Thick { length, inner_diameter, outer_diameter } => format!(
            "coil {} mm long, {} to {} mm diameter",
            mm(length),
            mm(inner_diameter),
            mm(outer_diameter)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_turn_to_x() {
        for d in [[1.0, 0.0, 0.0], [-2.0, 0.0, 0.0], [0.0, 0.0, 3.0], [1.0, -2.0, 0.5]] {
            let size = d.iter().map(|v: &f64| v * v).sum::<f64>().sqrt();
            let [x, y, z] = turn_to_x(d).apply_to_vector(d);
            assert!((x - size).abs() < 1e-14 && y.abs() < 1e-14 && z.abs() < 1e-14, "{d:?}");
        }
    }

    #[test]
    fn prop_half_width_is_the_support_along_y() {
        let block = MagnetShape::Cuboid { half_size: [5.0, 2.0, 3.0] };
        let disc = MagnetShape::Cylinder { radius: 4.0, half_length: 1.0 };
        let quarter = std::f64::consts::FRAC_PI_2;
        let about = |axis, turn| Pose::rotation_about(axis, turn);
        for (shape, pose, reach) in [
            (block, Pose::IDENTITY, 2.0),
            (block, about([0.0, 0.0, 1.0], quarter), 5.0),
            (block, about([1.0, 0.0, 0.0], quarter), 3.0),
            (disc, Pose::IDENTITY, 4.0),
            (disc, about([1.0, 0.0, 0.0], quarter), 1.0),
            (disc, about([1.0, 0.0, 0.0], 0.5 * quarter), 5.0 * 0.5f64.sqrt()),
        ] {
            assert!((half_width(&shape, pose) - reach).abs() < 1e-12, "{shape:?} {reach}");
        }
    }
}
