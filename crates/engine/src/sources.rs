//! The magnets and coils of a design, to sources at definite values.

use crate::error::EngineError;
use crate::motion::tilt;
use crate::realise::Pick;
use crate::scene::Body;
use crate::winding::{Wrapped, turns_and_resistance};
use reedmace_applied::conductor::Conductor as Metal;
use reedmace_applied::heating::{self, Warm};
use reedmace_contact::TestCoil;
use reedmace_design::{
    Circle, Coil, CoilDrive, Conductor, DriveRange, Magnet, Material, Motor, Section, Shape, Sweep,
    Value, Winding,
};
use reedmace_fields::{
    AnySource, Coil as ThickCoil, Dipole, MU_0, Magnet as MagnetSource, MagnetShape, Pose,
    Solenoid, Wire,
};
use reedmace_units::{Length, Quantity, Temperature};
use std::f64::consts::TAU;

/// A magnet at a temperature, as if at rest.
pub(crate) fn magnet_body(
    m: &Magnet,
    temperature: Temperature,
    pick: &Pick,
) -> Result<Body, EngineError> {
    let half = |v: &Value<Length>| 0.5 * pick(v);
    let shape = match &m.shape {
        Shape::Cuboid { size } => {
            MagnetShape::Cuboid { half_size: [half(&size[0]), half(&size[1]), half(&size[2])] }
        }
        Shape::Cylinder { diameter, length } => {
            MagnetShape::Cylinder { radius: half(diameter), half_length: half(length) }
        }
        Shape::Ring { outer_diameter, inner_diameter, length } => MagnetShape::Ring {
            inner_radius: half(inner_diameter),
            outer_radius: half(outer_diameter),
            half_length: half(length),
        },
        Shape::Sphere { diameter } => MagnetShape::Sphere { radius: half(diameter) },
    };
    let upright = match m.shape {
        Shape::Cuboid { .. } | Shape::Sphere { .. } => Pose::IDENTITY,
        Shape::Cylinder { .. } | Shape::Ring { .. } => {
            Pose::from_z([0.0; 3], m.axis).expect("a checked design has no zero axis")
        }
    };
    let direction = upright.apply_inverse_to_vector(m.direction).map(|d| m.sense() * d);
    let remanence = pick(m.material.remanence());
    let polarization = match &m.material {
        Material::Hard { .. } => direction.map(|d| remanence * d),
        Material::Grade { grade, .. } => {
            let remanence = remanence * grade.remanence_factor(temperature);
            let recoil = grade.recoil_permeability.nominal.si();
            worked_polarization(&shape, direction, remanence, recoil)
        }
    };
    let source = MagnetSource::new(shape, polarization)
        .map_err(|why| EngineError::Magnet { name: m.name.clone(), why })?;
    let tilted = tilt([0, 1, 2].map(|i| pick(&m.rotate[i]))) * upright;
    let rest = Pose { rotation: tilted.rotation, origin: [0, 1, 2].map(|i| pick(&m.at[i])) };
    Ok(Body {
        source: source.into(),
        rest: m.circle.as_ref().map_or(rest, |circle| on_circle(circle, rest, pick)),
        moves: false,
        swept: false,
    })
}

/// What stands at the middle of a circle, put to its place on it.
pub(crate) fn on_circle(circle: &Circle, middle: Pose, pick: &Pick) -> Pose {
    let turn = Pose::rotation_about(circle.axis, circle.turned(pick(&circle.angle)));
    let (radius, height) = (pick(&circle.radius), pick(&circle.height));
    let out = turn.apply(circle.first);
    let put = |i: usize| middle.origin[i] + radius * out[i] + height * circle.axis[i];
    Pose { origin: std::array::from_fn(put), ..turn * middle }
}

/// Polarization of a magnet at work in its own field, body frame, T.
///
/// On its recoil line J = Br + (μrec − 1) μ0 H, and the mean field inside is −N J/μ0, so along each
/// principal axis `J = Br / (1 + (μrec − 1) N)`.
///
/// Source: `[osborn1945]` for the demagnetizing factor; the mean field stands for the field, which for
/// μrec = 1.05 leaves an error below 0.5 % of J.
fn worked_polarization(
    shape: &MagnetShape,
    direction: [f64; 3],
    remanence: f64,
    recoil: f64,
) -> [f64; 3] {
    let factors = shape.demagnetizing_factors();
    std::array::from_fn(|i| remanence * direction[i] / (1.0 + (recoil - 1.0) * factors[i]))
}

/// Ampere-turns of a coil; for the swept one those of one unit of the coordinate. `None` for a coil
/// without current. `ambient`: temperature of everything but a warm wire, K.
pub(crate) fn coil_strength(
    coil: &Coil,
    sweep: Option<&Sweep>,
    ambient: f64,
    pick: &Pick,
) -> Option<f64> {
    let turns = || coil.turns.as_ref().map_or(1.0, |t| pick(t));
    match sweep {
        Some(Sweep::Voltage(s)) => {
            let (turns, cold) = turns_and_resistance(coil, pick);
            let off = s.warmed_by.is.is_exact() && s.warmed_by.si() == 0.0;
            let before = if off { 0.0 } else { pick(&s.warmed_by) };
            let thermal = if off { 0.0 } else { pick(&coil.thermal_resistance) };
            Some(turns / rest(before, cold, thermal, ambient).resistance)
        }
        Some(Sweep::Current(s)) => {
            let in_amperes = matches!(s.range, DriveRange::Current { .. });
            Some(if in_amperes { turns() } else { 1.0 })
        }
        _ => match coil.drive.as_ref()? {
            CoilDrive::AmpereTurns(v) => Some(pick(v)),
            CoilDrive::Current(v) => Some(turns() * pick(v)),
        },
    }
}

/// A coil in these surroundings (K), warmed through by a voltage (V): 0 for one that was off.
pub(crate) fn rest(voltage: f64, cold: f64, thermal_resistance: f64, ambient: f64) -> Warm {
    let drive = heating::Drive::Voltage(voltage);
    heating::rest(drive, cold, Metal::COPPER, thermal_resistance, ambient)
        .expect("a coil at a voltage never runs away")
}

/// A coil that carries so many ampere-turns, as if at rest.
pub(crate) fn coil_body(coil: &Coil, ampere_turns: f64, pick: &Pick) -> Body {
    let half = |v: &Value<Length>| 0.5 * pick(v);
    let half_length = half(&coil.winding.length);
    let source: AnySource = match &coil.winding.section {
        Section::Thin { mean_diameter } => {
            Solenoid { radius: half(mean_diameter), half_length, ampere_turns }.into()
        }
        Section::Thick { inner_diameter, outer_diameter } => ThickCoil {
            inner_radius: half(inner_diameter),
            outer_radius: half(outer_diameter),
            half_length,
            ampere_turns,
        }
        .into(),
        Section::Wound(wound) => {
            let wrapped = Wrapped::of(wound, 2.0 * half_length, pick);
            ThickCoil {
                inner_radius: 0.5 * wrapped.bobbin.inner_diameter,
                outer_radius: 0.5 * wrapped.even.outer_diameter,
                half_length,
                ampere_turns,
            }
            .into()
        }
    };
    let along = Pose::from_z([0.0; 3], coil.axis).expect("a checked design has no zero axis");
    let tilted = tilt([0, 1, 2].map(|i| pick(&coil.rotate[i]))) * along;
    let rest = Pose { rotation: tilted.rotation, origin: [0, 1, 2].map(|i| pick(&coil.at[i])) };
    Body { source, rest, moves: false, swept: false }
}

/// Half of a conductor without a stated length, m: ten metres beside it the rest would add 5e-7 of its
/// field.
const LONG: f64 = 1e4;

/// A conductor.
pub(crate) fn conductor_body(conductor: &Conductor, pick: &Pick) -> Body {
    let current = pick(&conductor.current);
    let origin = [0, 1, 2].map(|i| pick(&conductor.at[i]));
    let radius = 0.5 * pick(&conductor.diameter);
    let half_length = conductor.length.as_ref().map_or(LONG, |length| 0.5 * pick(length));
    let rest = Pose::from_z(origin, conductor.direction).expect("a direction has a length");
    let source = Wire { radius, half_length, current }.into();
    Body { source, rest, moves: false, swept: false }
}

/// A motor: the dipole whose field is stated on its axis, where `B = μ0 m / 2πr³`. `[jackson1999]` 5.56
pub(crate) fn motor_body(motor: &Motor, pick: &Pick) -> Body {
    let moment = TAU * pick(&motor.field) * pick(&motor.distance).powi(3) / MU_0;
    let origin = [0, 1, 2].map(|i| pick(&motor.at[i]));
    let source = Dipole { moment: motor.direction.map(|d| moment * d) }.into();
    let rest = Pose { origin, ..Pose::IDENTITY };
    Body { source, rest, moves: false, swept: false }
}

/// The coil that operate and release were measured in.
pub(crate) fn test_coil(winding: &Winding, pick: &Pick) -> TestCoil {
    let mm = |v: &Value<Length>| Length::from_si(pick(v));
    let length = mm(&winding.length);
    match &winding.section {
        Section::Thin { mean_diameter } => {
            TestCoil::Thin { length, mean_diameter: mm(mean_diameter) }
        }
        Section::Thick { inner_diameter, outer_diameter } => TestCoil::Thick {
            length,
            inner_diameter: mm(inner_diameter),
            outer_diameter: mm(outer_diameter),
        },
        Section::Wound(wound) => {
            let wrapped = Wrapped::of(wound, length.si(), pick);
            TestCoil::Thick {
                length,
                inner_diameter: Length::from_si(wrapped.bobbin.inner_diameter),
                outer_diameter: Length::from_si(wrapped.even.outer_diameter),
            }
        }
    }
}
