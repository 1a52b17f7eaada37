//! The nominal scene as whoever draws it wants it.

use crate::drawing::{
    CoilOutline, ConductorOutline, ContactOutline, Drawing, MagnetOutline, MotorOutline, PathPoint,
    SteelOutline, SteelPart, TurnOutline,
};
use crate::motion::Motion;
use crate::realise::{anchor, moving};
use crate::scene::Scene;
use crate::units::Shown;
use reedmace_design::{Conductor, Design, Motor, SteelShape, Thing, Value};
use reedmace_fields::{AnySource, Pose};
use reedmace_units::Length;

/// Pieces of an arc's path.
const ARC: usize = 180;

pub(crate) fn drawing(design: &Design, scene: &Scene, shown: &Shown) -> Drawing {
    let [from, to] = scene.motion.range();
    let (start, end) = (scene.motion.world_from_rest(from), scene.motion.world_from_rest(to));
    let contacts = design.contacts.iter().zip(&scene.reeds).map(|(c, reed)| ContactOutline {
        name: c.name.clone(),
        world_from_contact: reed.pose(start),
        lead_diameter: c.lead_diameter.si(),
        overall_length: c.overall_length.si(),
        blade_span: c.blade_span.si(),
        blade_width: c.blade_width.si(),
        blade_thickness: c.blade_thickness.si(),
        overlap: c.overlap.si(),
        gap: c.gap.si(),
        glass: c
            .glass_length
            .as_ref()
            .zip(c.glass_diameter.as_ref())
            .map(|(l, d)| [l.si(), d.si()]),
        moves: reed.moves,
    });
    let mut bodies = scene.bodies.iter();
    let mut magnets = Vec::new();
    for (magnet, body) in design.magnets.iter().zip(bodies.by_ref()) {
        let AnySource::Magnet(source) = &body.source else {
            unreachable!("a scene lists its magnets first")
        };
        let size = source.polarization.iter().map(|j| j * j).sum::<f64>().sqrt();
        magnets.push(MagnetOutline {
            name: magnet.name.clone(),
            shape: source.shape,
            world_from_body: body.pose(start),
            world_from_body_end: body.pose(end),
            direction: source.polarization.map(|j| if size > 0.0 { j / size } else { 0.0 }),
            moves: body.moves,
        });
    }
    let live = design
        .coils
        .iter()
        .enumerate()
        .filter(|(k, c)| c.drive.is_some() || design.sweep.swept_coil() == Some(*k));
    let coils = live.zip(bodies).map(|((_, coil), body)| {
        let [inner_diameter, outer_diameter] = match body.source {
            AnySource::Solenoid(coil) => [2.0 * coil.radius; 2],
            AnySource::Coil(coil) => [2.0 * coil.inner_radius, 2.0 * coil.outer_radius],
            _ => unreachable!("a scene lists its coils after its magnets"),
        };
        CoilOutline {
            name: coil.name.clone(),
            world_from_body: body.pose(start),
            length: coil.winding.length.si(),
            inner_diameter,
            outer_diameter,
            moves: body.moves,
        }
    });
    let moved = moving(&design.sweep);
    let steel = design.steel.iter().enumerate().map(|(k, steel)| {
        let moves = moved.contains(&Thing::Steel(k));
        let rest = scene.steel[k].body.world_from_body;
        let at = |world_from_rest: Pose| if moves { world_from_rest * rest } else { rest };
        SteelOutline {
            name: steel.name.clone(),
            parts: parts(&steel.shape),
            world_from_body: at(start),
            world_from_body_end: at(end),
            moves,
        }
    });
    Drawing {
        contacts: contacts.collect(),
        magnets,
        coils: coils.collect(),
        conductors: design.conductors.iter().map(conductor).collect(),
        motors: design.motors.iter().map(motor).collect(),
        steel: steel.collect(),
        path: path(design, scene, shown),
        level: crate::level::outline(design, &scene.motion),
        turn: turn(design, scene),
    }
}

/// What an arc or a spin turns.
fn turn(design: &Design, scene: &Scene) -> Option<TurnOutline> {
    let Motion::Turn { centre, axis, range, .. } = &scene.motion else { return None };
    let moves = moving(&design.sweep);
    let start = scene.motion.world_from_rest(range[0]);
    // Of what stands on a circle the place of each, not the middle of all.
    let middles = moves.iter().map(|thing| match thing {
        Thing::Magnet(k) => scene.bodies[*k].pose(start).origin,
        _ => start.apply(anchor(design, &[*thing], &|quantity| quantity.limits().nominal)),
    });
    let arm = |at: [f64; 3]| {
        let from = sub(at, *centre);
        let along = dot(from, *axis);
        let out: [f64; 3] = std::array::from_fn(|i| from[i] - along * axis[i]);
        (dot(out, out).sqrt(), along, out)
    };
    let arms: Vec<_> = middles.map(arm).collect();
    let (first, along, out) = *arms.first()?;
    let edge = design.door.as_ref().and_then(|door| door.edge.as_ref()).map(|edge| edge.si());
    let furthest = arms.iter().map(|(reach, ..)| *reach).fold(0.0, f64::max);
    (first > 0.0).then(|| TurnOutline {
        centre: std::array::from_fn(|i| centre[i] + along * axis[i]),
        axis: *axis,
        out: out.map(|v| v / first),
        reach: edge.unwrap_or(furthest),
        wheel: matches!(design.sweep, reedmace_design::Sweep::Spin(_)),
    })
}

fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

fn conductor(conductor: &Conductor) -> ConductorOutline {
    let origin = [0, 1, 2].map(|i| conductor.at[i].si());
    ConductorOutline {
        name: conductor.name.clone(),
        world_from_body: Pose::from_z(origin, conductor.direction)
            .expect("a direction has a length"),
        diameter: conductor.diameter.si(),
        length: conductor.length.as_ref().map(Value::si),
    }
}

fn motor(motor: &Motor) -> MotorOutline {
    let origin = [0, 1, 2].map(|i| motor.at[i].si());
    MotorOutline {
        name: motor.name.clone(),
        world_from_body: Pose::from_z(origin, motor.direction).expect("a direction has a length"),
    }
}

fn parts(shape: &SteelShape) -> Vec<SteelPart> {
    let half = |v: &Value<Length>| 0.5 * v.si();
    let halves = |size: &[Value<Length>; 3]| [0, 1, 2].map(|i| half(&size[i]));
    match shape {
        SteelShape::Cuboid { size } => {
            vec![SteelPart::Box { centre: [0.0; 3], half_size: halves(size) }]
        }
        SteelShape::Cylinder { diameter, length } => vec![SteelPart::Round {
            outer_radius: half(diameter),
            inner_radius: 0.0,
            half_length: half(length),
        }],
        SteelShape::Tube { outer_diameter, inner_diameter, length } => vec![SteelPart::Round {
            outer_radius: half(outer_diameter),
            inner_radius: half(inner_diameter),
            half_length: half(length),
        }],
        SteelShape::Sphere { diameter } => vec![SteelPart::Sphere { radius: half(diameter) }],
        SteelShape::Boxes { boxes } => boxes
            .iter()
            .map(|one| SteelPart::Box {
                centre: [0, 1, 2].map(|i| one.at[i].si()),
                half_size: halves(&one.size),
            })
            .collect(),
        SteelShape::Mesh { triangles, .. } => {
            vec![SteelPart::Mesh { triangles: triangles.clone() }]
        }
    }
}

/// The frame, before the sweep moves it, of what moves first.
pub(crate) fn leader(design: &Design, scene: &Scene) -> Option<Pose> {
    Some(match *moving(&design.sweep).first()? {
        Thing::Contact(k) => scene.reeds[k].rest,
        Thing::Magnet(k) => scene.bodies[k].rest,
        Thing::Coil(k) => Pose::translation([0, 1, 2].map(|i| design.coils[k].at[i].si())),
        Thing::Steel(k) => scene.steel[k].body.world_from_body,
    })
}

fn path(design: &Design, scene: &Scene, shown: &Shown) -> Vec<PathPoint> {
    let Some(rest) = leader(design, scene) else { return Vec::new() };
    let rest_from_start = scene.motion.world_from_rest(scene.motion.range()[0]).inverse();
    let at = |c: f64| {
        let world_from_rest = scene.motion.world_from_rest(c);
        let turns = !matches!(scene.motion, Motion::Line { .. });
        PathPoint {
            coordinate: shown.number(c),
            at: world_from_rest.apply(rest.origin),
            turned: turns.then(|| (world_from_rest * rest_from_start).rotation),
        }
    };
    if let Motion::Table { .. } = scene.motion {
        return scene.motion.corners().into_iter().map(at).collect();
    }
    let [from, to] = scene.motion.range();
    let steps = if let Motion::Line { .. } = scene.motion { 1 } else { ARC };
    (0..=steps).map(|k| at(from + (to - from) * k as f64 / steps as f64)).collect()
}

#[cfg(test)]
mod tests {
    use crate::bench::Bench;

    #[test]
    fn prop_the_path_carries_what_moves_from_start_to_end() {
        let hinge =
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/hatch-hinge.toml"));
        let (design, _) = reedmace_design::parse(hinge, &|_| unreachable!()).expect("a design");
        let drawing = Bench::default().glance(&design).expect("a glance").drawing;
        let magnet = &drawing.magnets[0];
        let end = drawing.path.last().expect("a path");
        let turned = end.turned.expect("a hinge turns");
        let rest = magnet.world_from_body.rotation;
        let expected = magnet.world_from_body_end;
        for (row, turn) in turned.iter().enumerate() {
            for column in 0..3 {
                let carried: f64 = turn.iter().zip(rest).map(|(t, r)| t * r[column]).sum();
                let wanted = expected.rotation[row][column];
                assert!((carried - wanted).abs() < 1e-12, "{carried}, not {wanted}");
            }
            assert!((end.at[row] - expected.origin[row]).abs() < 1e-12);
        }
    }
}
