//! A body of a design put elsewhere: which of the design's own quantities must change, and how.

use crate::error::EngineError;
use crate::motion::tilt;
use crate::realise::{motion, moving};
use crate::sources::on_circle;
use reedmace_design::{Circle, Contact, Design, Position, Repeat, Sweep, Thing, Tilt, Value};
use reedmace_fields::Pose;
use reedmace_units::{Angle, Length, Quantity};
use std::f64::consts::PI;

/// Lengths are put to whole nanometres, so that no binary dust gets into a design.
const PER_METRE: f64 = 1e9;
/// Angles are put to whole millionths of a degree.
const PER_DEGREE: f64 = 1e6;

/// What is to be put elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Movable {
    /// A contact, magnet, coil or body of steel.
    Body(Thing),
    /// Where a line begins.
    From,
    /// Where a line ends.
    To,
    /// The point an arc or a spin turns about.
    Centre,
}

/// A design with something put elsewhere.
#[derive(Debug, Clone)]
pub struct Placed {
    /// The design. Its text is still that of the one before.
    pub design: Design,
    /// Each quantity that changed, as its path and its new text.
    pub changes: Vec<(String, String)>,
}

impl Movable {
    /// By its path: `magnet[slug]`, `sweep.from`.
    pub fn named(design: &Design, path: &str) -> Option<Self> {
        match path {
            "sweep.from" => return Some(Self::From),
            "sweep.to" => return Some(Self::To),
            "sweep.centre" => return Some(Self::Centre),
            _ => (),
        }
        let (table, name) = path.strip_suffix(']')?.split_once('[')?;
        let thing = match table {
            "contact" => design.contacts.iter().position(|c| c.name == name).map(Thing::Contact),
            "magnet" => design.magnets.iter().position(|m| m.name == name).map(Thing::Magnet),
            "coil" => design.coils.iter().position(|c| c.name == name).map(Thing::Coil),
            "steel" => design.steel.iter().position(|s| s.name == name).map(Thing::Steel),
            _ => None,
        };
        thing.map(Self::Body)
    }
}

/// Puts `what` at `at` (m), where it is to be when the sweep starts, and turns it by `turn` (rad) about
/// the world's x, then y, then z through its own origin.
///
/// What moves first on a line or through a table takes its whole path with it. Tolerances and the units
/// they are written in stay as they are.
///
/// # Errors
/// [`EngineError::NoPlace`] when the sweep has no such point, a point is to be turned, or a value with a
/// tolerance in per cent would become zero.
pub fn place(
    design: &Design,
    what: Movable,
    at: [f64; 3],
    turn: [f64; 3],
) -> Result<Placed, EngineError> {
    let mut placed = Placed { design: design.clone(), changes: Vec::new() };
    let Movable::Body(thing) = what else {
        placed.put_point(what, at)?;
        return Ok(placed);
    };
    let moves = moving(&design.sweep);
    let start = if moves.contains(&thing) { at_start(design) } else { Pose::IDENTITY };
    let (position, _) = parts(&mut placed.design, thing);
    let mut was = nominal(position);
    let circle = circle(design, thing);
    if let Some(circle) = circle {
        if turn != [0.0; 3] {
            let why = format!("a magnet of the circle \"{}\" does not turn alone", circle.table);
            return Err(EngineError::NoPlace(why));
        }
        was = on_circle(circle, Pose::translation(was), &|q| q.limits().nominal).origin;
    }
    let repeat = repeat(design, thing);
    if let Thing::Contact(k) = thing {
        was = design.contacts[k].centre();
    }
    if let Some((_, one)) = repeat.filter(|_| turn != [0.0; 3]) {
        let why = format!("a contact of the row \"{}\" does not turn alone", one.of);
        return Err(EngineError::NoPlace(why));
    }
    let was = start.apply(was);
    let by = std::array::from_fn(|i| at[i] - was[i]);
    let leads = moves.first() == Some(&thing);
    let Placed { design: new, changes } = &mut placed;
    match &mut new.sweep {
        Sweep::Line(line) if leads => {
            shift(&mut line.from, by, changes)?;
            shift(&mut line.to, by, changes)?;
        }
        Sweep::Table(table) if leads => {
            for pose in &mut table.poses {
                shift(&mut pose.at, by, changes)?;
            }
        }
        _ => {
            let (position, _) = parts(new, thing);
            shift(position, start.apply_inverse_to_vector(by), changes)?;
            let middle = position.clone();
            // All of a circle have one middle.
            let table = circle.map(|circle| circle.table.as_str());
            let all =
                new.magnets.iter_mut().filter(|m| m.circle.is_some() && table == Some(m.table()));
            all.for_each(|magnet| magnet.at = middle.clone());
        }
    }
    if let Some((contact, one)) = repeat {
        // All of a row have one table, which states where the first is.
        let (own, of) = (format!("contact[{}]", contact.name), format!("contact[{}]", one.of));
        let position = parts(new, thing).0.clone();
        let row =
            new.contacts.iter_mut().filter(|c| c.repeat.as_ref().is_some_and(|r| r.of == one.of));
        for contact in row {
            for (to, from) in contact.at.iter_mut().zip(&position) {
                to.is = from.is.clone();
            }
        }
        changes.iter_mut().for_each(|(path, _)| *path = path.replace(&own, &of));
    }
    if turn != [0.0; 3] {
        let (_, rotate) = parts(new, thing);
        turn_by(rotate, start, turn, changes)?;
    }
    if let Thing::Contact(k) = thing {
        other_side(new, k);
    }
    Ok(placed)
}

impl Placed {
    fn put_point(&mut self, what: Movable, at: [f64; 3]) -> Result<(), EngineError> {
        let point = match (&mut self.design.sweep, what) {
            (Sweep::Line(line), Movable::From) => &mut line.from,
            (Sweep::Line(line), Movable::To) => &mut line.to,
            (Sweep::Arc(turn) | Sweep::Spin(turn), Movable::Centre) => &mut turn.centre,
            _ => return Err(EngineError::NoPlace("this sweep has no such point".into())),
        };
        let was = nominal(point);
        shift(point, std::array::from_fn(|i| at[i] - was[i]), &mut self.changes)
    }
}

/// The rigid motion of what moves, from its place in the design to the start of the sweep.
fn at_start(design: &Design) -> Pose {
    let motion = motion(design, &|value| value.limits().nominal);
    motion.map_or(Pose::IDENTITY, |motion| motion.world_from_rest(motion.range()[0]))
}

fn circle(design: &Design, thing: Thing) -> Option<&Circle> {
    let Thing::Magnet(k) = thing else { return None };
    design.magnets[k].circle.as_ref()
}

/// A contact of a row of equal ones.
fn repeat(design: &Design, thing: Thing) -> Option<(&Contact, &Repeat)> {
    let Thing::Contact(k) = thing else { return None };
    let contact = &design.contacts[k];
    Some((contact, contact.repeat.as_ref().filter(|one| !one.alone)?))
}

/// Puts the other side of a change-over contact where contact `k` is.
fn other_side(design: &mut Design, k: usize) {
    let before = || k.checked_sub(1).filter(|_| design.contacts[k].change_over.is_some());
    if let Some(other) = design.closed_side(k).or_else(before) {
        let (at, rotate) = (design.contacts[k].at.clone(), design.contacts[k].rotate.clone());
        (design.contacts[other].at, design.contacts[other].rotate) = (at, rotate);
    }
}

fn nominal(position: &Position) -> [f64; 3] {
    [0, 1, 2].map(|i| position[i].si())
}

fn parts(design: &mut Design, thing: Thing) -> (&mut Position, &mut Tilt) {
    match thing {
        Thing::Contact(k) => {
            let contact = &mut design.contacts[k];
            (&mut contact.at, &mut contact.rotate)
        }
        Thing::Magnet(k) => {
            let magnet = &mut design.magnets[k];
            (&mut magnet.at, &mut magnet.rotate)
        }
        Thing::Coil(k) => {
            let coil = &mut design.coils[k];
            (&mut coil.at, &mut coil.rotate)
        }
        Thing::Steel(k) => {
            let steel = &mut design.steel[k];
            (&mut steel.at, &mut steel.rotate)
        }
    }
}

type Changes = Vec<(String, String)>;

fn shift(position: &mut Position, by: [f64; 3], changes: &mut Changes) -> Result<(), EngineError> {
    for (value, by) in position.iter_mut().zip(by) {
        let to = ((value.si() + by) * PER_METRE).round() / PER_METRE;
        put(value, Length::m(to), by.abs() * PER_METRE >= 0.5, changes)?;
    }
    Ok(())
}

/// Turns what is at rest so that it appears turned about the world's axes where the sweep starts.
fn turn_by(
    rotate: &mut Tilt,
    start: Pose,
    turn: [f64; 3],
    changes: &mut Changes,
) -> Result<(), EngineError> {
    let old = [0, 1, 2].map(|i| rotate[i].si());
    let about = Pose { origin: [0.0; 3], ..start };
    let unmoved = about.rotation == Pose::IDENTITY.rotation;
    // About an axis that nothing is turned round after, angles simply add: no other one need change.
    let alone = |i: usize| (0..3).all(|j| j == i || turn[j] == 0.0);
    let last = |i: usize| (i + 1..3).all(|j| old[j] == 0.0);
    let new = match (0..3).find(|&i| unmoved && alone(i) && last(i)) {
        Some(i) => std::array::from_fn(|j| if j == i { old[j] + turn[j] } else { old[j] }),
        None => angles(about.inverse() * tilt(turn) * about * tilt(old)),
    };
    for (value, (new, old)) in rotate.iter_mut().zip(new.into_iter().zip(old)) {
        let degrees = (new.to_degrees() * PER_DEGREE).round() / PER_DEGREE;
        let changed = (new - old).abs().to_degrees() * PER_DEGREE >= 0.5;
        let within = degrees - 360.0 * ((degrees - 180.0) / 360.0).ceil();
        put(value, Angle::deg(within), changed, changes)?;
    }
    Ok(())
}

/// The turns about the world's x, then y, then z that make up a rotation, rad.
fn angles(pose: Pose) -> [f64; 3] {
    let r = pose.rotation;
    let across = f64::hypot(r[0][0], r[1][0]);
    let y = f64::atan2(-r[2][0], across);
    if across < 1e-9 {
        // x and z turn about the same line: all of it is given to x.
        let x = f64::atan2(-r[1][2], r[1][1]);
        return [x, y.signum() * 0.5 * PI, 0.0];
    }
    [f64::atan2(r[2][1], r[2][2]), y, f64::atan2(r[1][0], r[0][0])]
}

fn put<Q: Quantity>(
    value: &mut Value<Q>,
    to: Q,
    changed: bool,
    changes: &mut Changes,
) -> Result<(), EngineError> {
    if !changed {
        return Ok(());
    }
    value.is = value.is.moved_to(to).ok_or_else(|| {
        let (path, text) = (&value.path, value.is.text());
        EngineError::NoPlace(format!("{path}, which is {text}, cannot be written there"))
    })?;
    changes.push((value.path.clone(), value.is.text().to_owned()));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::Bench;

    const LID: &str =
        include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/hopper-lid.toml"));
    const HINGE: &str =
        include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/hatch-hinge.toml"));

    fn parse(text: &str) -> Design {
        reedmace_design::parse(text, &|_| unreachable!()).expect("a design").0
    }

    /// Where a body is when the sweep starts.
    fn pose(design: &Design, magnet: usize) -> Pose {
        let (_, scene) = Bench::default().workshop(design).expect("a scene");
        let start = scene.motion.world_from_rest(scene.motion.range()[0]);
        scene.bodies[magnet].pose(start)
    }

    fn close(a: Pose, b: Pose) -> bool {
        let (a_all, b_all) = (a.rotation.as_flattened(), b.rotation.as_flattened());
        let near = |(x, y): (&f64, &f64)| (x - y).abs() < 2e-8;
        a_all.iter().zip(b_all).all(near) && a.origin.iter().zip(&b.origin).all(near)
    }

    #[test]
    fn prop_a_body_is_where_it_was_put_and_turned_as_asked() {
        let text =
            HINGE.replace("[sweep]", "rotate = [\"10 deg\", \"20 deg\", \"-30 ± 1 deg\"]\n[sweep]");
        for design in [parse(LID), parse(HINGE), parse(&text)] {
            let before = pose(&design, 0);
            let at = [0.013, -0.002, 0.071];
            for turn in [[0.0; 3], [0.3, 0.0, 0.0], [0.0, -1.2, 0.0], [0.2, 0.4, 2.9]] {
                let what = Movable::Body(Thing::Magnet(0));
                let placed = place(&design, what, at, turn).expect("placed");
                let expected =
                    Pose { origin: at, ..tilt(turn) * Pose { origin: [0.0; 3], ..before } };
                let is = pose(&placed.design, 0);
                assert!(close(is, expected), "{turn:?}: {is:?} is not {expected:?}");
            }
        }
    }

    #[test]
    fn prop_what_moves_first_on_a_line_takes_its_path_along() {
        let design = parse(LID);
        let what = Movable::named(&design, "magnet[slug]").expect("named");
        let placed = place(&design, what, [0.0, 1e-3, 78.5e-3], [0.0; 3]).expect("placed");
        let expected = [
            ("sweep.from[1]", "1 ± 0.5 mm"),
            ("sweep.from[2]", "78.5 mm"),
            ("sweep.to[1]", "1 ± 0.5 mm"),
            ("sweep.to[2]", "3.5 mm"),
        ];
        let told = |(path, text): &(String, String)| (path.clone(), text.clone());
        let expected = expected.map(|(path, text)| (path.to_owned(), text.to_owned()));
        assert_eq!(placed.changes.iter().map(told).collect::<Vec<_>>(), expected);
    }

    /// A contact of a row goes where it is put and takes the row along; the text states the first of them.
    #[test]
    fn prop_a_contact_of_a_row_takes_the_row_along() {
        const TANK: &str =
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/nutrient-tank.toml"));
        let design = parse(TANK);
        let what = Movable::named(&design, "contact[stage 7]").expect("named");
        let at = [0.002, 0.0, 0.143];
        let placed = place(&design, what, at, [0.0; 3]).expect("placed");
        let told: Vec<_> = placed.changes.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        assert_eq!(
            told,
            [("contact[stage].at[0]", "2 mm"), ("contact[stage].at[2]", "83 ± 0.3 mm")]
        );
        let centres: Vec<_> = placed.design.contacts.iter().map(Contact::centre).collect();
        assert!((0..3).all(|i| (centres[6][i] - at[i]).abs() < 1e-12), "{:?}", centres[6]);
        assert!((centres[0][2] - 0.083).abs() < 1e-12 && (centres[15][0] - 0.002).abs() < 1e-12);
        assert!(place(&design, what, at, [0.1, 0.0, 0.0]).is_err());
    }

    #[test]
    fn prop_a_turn_about_one_axis_changes_one_angle() {
        let design = parse(LID);
        let what = Movable::Body(Thing::Magnet(0));
        let still = pose(&design, 0).origin;
        let placed = place(&design, what, still, [0.0, 5f64.to_radians(), 0.0]).expect("placed");
        assert_eq!(placed.changes, [("magnet[slug].rotate[1]".to_owned(), "5 deg".to_owned())]);
    }
}
