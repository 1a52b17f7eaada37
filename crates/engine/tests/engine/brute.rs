//! Events and verdicts of random designs against a dense grid.

use crate::at_work::{Dice, LEVELS, REED, design_of, places, study};
use crate::naive::{Grid, circuits};
use reedmace_engine::answer::Verdict;
use reedmace_fields::{Magnet, MagnetShape, Pose};

const POINTS: usize = 2_000;
const LEVELS_MT: [f64; 2] = [0.75, 0.38];

/// A random magnet: its text but for its place, and the same for the fields crate.
fn magnet(dice: &mut Dice, name: &str) -> (String, Magnet, Pose) {
    let mm = |v: f64| v * 0.5e-3;
    let [a, b, c] = [0; 3].map(|_| dice.between(2.0, 9.0));
    let (shape, text) = match dice.below(4) {
        0 => (
            MagnetShape::Cuboid { half_size: [mm(a), mm(b), mm(c)] },
            format!("shape = \"cuboid\"\nsize = [\"{a} mm\", \"{b} mm\", \"{c} mm\"]"),
        ),
        1 => (
            MagnetShape::Cylinder { radius: mm(a), half_length: mm(b) },
            format!("shape = \"cylinder\"\ndiameter = \"{a} mm\"\nlength = \"{b} mm\""),
        ),
        2 => (
            MagnetShape::Ring {
                inner_radius: mm(0.5 * a),
                outer_radius: mm(a),
                half_length: mm(b),
            },
            format!(
                "shape = \"ring\"\nouter_diameter = \"{a} mm\"\ninner_diameter = \"{} mm\"\n\
                 length = \"{b} mm\"",
                0.5 * a
            ),
        ),
        _ => (
            MagnetShape::Sphere { radius: mm(a) },
            format!("shape = \"sphere\"\ndiameter = \"{a} mm\""),
        ),
    };
    let direction = [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 1.0]][dice.below(3)];
    let angles: [f64; 3] = std::array::from_fn(|_| dice.between(-40.0, 40.0));
    let remanence = dice.between(0.6, 1.3);
    let size = direction.iter().map(|d: &f64| d * d).sum::<f64>().sqrt();
    let polarization = direction.map(|d| remanence * d / size);
    let text = format!(
        "[[magnet]]\nname = \"{name}\"\n{text}\ndirection = {direction:?}\n\
         remanence = \"{remanence} T\"\nrotate = [\"{} deg\", \"{} deg\", \"{} deg\"]\n",
        angles[0], angles[1], angles[2]
    );
    (text, Magnet::new(shape, polarization).unwrap(), turned(angles))
}

/// About x, then y, then z.
fn turned(degrees: [f64; 3]) -> Pose {
    let about = |i: usize| {
        let axis = std::array::from_fn(|k| if k == i { 1.0 } else { 0.0 });
        Pose::rotation_about(axis, degrees[i].to_radians())
    };
    about(2) * about(1) * about(0)
}

fn put(rest: Pose, place: [f64; 3]) -> Pose {
    Pose::translation(place.map(|v| v * 1e-3)) * rest
}

fn at(key: &str, place: [f64; 3]) -> String {
    format!("{key} = [\"{} mm\", \"{} mm\", \"{} mm\"]\n", place[0], place[1], place[2])
}

/// A path: its text, its range, the motion at a coordinate, the unit of its demands.
type Path = (String, [f64; 2], Box<dyn Fn(f64) -> Pose>, &'static str);

fn path(dice: &mut Dice, kind: usize, rest: [f64; 3]) -> Path {
    let shift =
        move |to: [f64; 3]| Pose::translation(std::array::from_fn(|i| (to[i] - rest[i]) * 1e-3));
    let mut place =
        |x: f64| [x + dice.between(-5.0, 5.0), dice.between(-6.0, 6.0), dice.between(9.0, 18.0)];
    match kind {
        0 => {
            let (from, to) = (place(-45.0), place(45.0));
            let text = format!(
                "kind = \"line\"\ncoordinate = \"x\"\n{}{}",
                at("from", from),
                at("to", to)
            );
            let go = move |c: f64| {
                let t = (c - from[0]) / (to[0] - from[0]);
                shift(std::array::from_fn(|i| from[i] + t * (to[i] - from[i])))
            };
            (text, [from[0], to[0]], Box::new(go), "mm")
        }
        1 => {
            let centre =
                [dice.between(-4.0, 4.0), dice.between(-25.0, -15.0), dice.between(-3.0, 3.0)];
            let axis = [0.3, 0.1, 1.0];
            let text = format!(
                "kind = \"arc\"\naxis = {axis:?}\nfrom = \"-150 deg\"\nto = \"120 deg\"\n{}",
                at("centre", centre)
            );
            let go = move |c: f64| {
                Pose::rotation_about_line(centre.map(|v| v * 1e-3), axis, c.to_radians())
            };
            (text, [-150.0, 120.0], Box::new(go), "deg")
        }
        _ => {
            let poses: Vec<[f64; 3]> = [-40.0, -10.0, 10.0, 5.0, 40.0].map(&mut place).to_vec();
            let tilts: Vec<[f64; 3]> =
                poses.iter().map(|_| std::array::from_fn(|_| dice.between(-60.0, 60.0))).collect();
            let row = |(p, t): (&[f64; 3], &[f64; 3])| {
                format!(
                    "[\"{} mm\", \"{} mm\", \"{} mm\", \"{} deg\", \"{} deg\", \"{} deg\"]",
                    p[0], p[1], p[2], t[0], t[1], t[2]
                )
            };
            let rows: Vec<String> = poses.iter().zip(&tilts).map(row).collect();
            let text = format!("kind = \"table\"\nposes = [{}]\n", rows.join(", "));
            let go = move |c: f64| {
                let k = ((c - 1.0) as usize).min(poses.len() - 2);
                let t = c - 1.0 - k as f64;
                let mix = |v: &[[f64; 3]]| -> [f64; 3] {
                    std::array::from_fn(|i| v[k][i] + t * (v[k + 1][i] - v[k][i]))
                };
                Pose::translation(mix(&poses).map(|v| v * 1e-3))
                    * turned(mix(&tilts))
                    * Pose::translation(rest.map(|v| -v * 1e-3))
            };
            (text, [1.0, 5.0], Box::new(go), "")
        }
    }
}

/// Random magnets on random paths, some beside a fixed magnet: the same events as the grid, within
/// its step and what compression of the kernel costs; the same verdict and room of a random demand, within two steps.
#[test]
fn cross_events_and_demands_on_a_dense_grid() {
    let circuits = circuits();
    let (mut with_events, mut verdicts) = (0, [0; 2]);
    for seed in 0..20 {
        let mut dice = Dice(seed + 1);
        let (text, body, attitude) = magnet(&mut dice, "mover");
        let (kind, beside) = (seed as usize % 3, seed % 5 == 4);
        // A line and a table place what they move: it has no place of its own there.
        let rest = if kind == 1 { [dice.between(-3.0, 3.0), 4.0, 12.0] } else { [0.0; 3] };
        let (sweep, range, go, unit) = path(&mut dice, kind, rest);
        let place = if kind == 1 { at("at", rest) } else { String::new() };
        let mut sources = format!("{text}{place}");
        let mut fixed = Vec::new();
        if beside {
            let (text, bias, attitude) = magnet(&mut dice, "bias");
            let place = [4.0, -22.0, 3.0];
            sources += &format!("{text}{}", at("at", place));
            fixed.push((bias, put(attitude, place)));
        }
        let grid = Grid::walk(
            &circuits,
            &[(body, put(attitude, rest))],
            &fixed,
            range,
            POINTS,
            LEVELS_MT,
            go,
        );
        let (lo, hi) = (range[0].min(range[1]), range[0].max(range[1]));
        let mut region = [dice.between(lo, hi), dice.between(lo, hi)];
        region.sort_by(f64::total_cmp);
        region[1] = region[0] + 0.2 * (region[1] - region[0]);
        let wanted = seed % 2 == 0;
        let word = if wanted { "closed" } else { "open" };
        let demand = format!(
            "[[demand]]\ncontact = \"reed\"\n{word} = \"{}..{} {unit}\"\n",
            region[0], region[1]
        );
        let demand = demand.replace(" \"\n", "\"\n");
        let text = design_of(
            &format!("{REED}{LEVELS}"),
            &format!("{sources}[sweep]\nmoves = \"mover\"\n{sweep}{demand}"),
        );
        let answer = study(&text).answer;
        let found = places(&answer.contacts[0]);
        let (ours, theirs): (Vec<_>, Vec<_>) = (
            found.iter().map(|e| (e.0, e.1)).collect(),
            grid.events.iter().map(|e| (e.0, e.1)).collect(),
        );
        assert_eq!(
            ours, theirs,
            "seed {seed}
{text}
{found:?}
{:?}",
            grid.events
        );
        for (a, b) in found.iter().zip(&grid.events) {
            assert!((a.2 - b.2).abs() <= b.3 * 1.0001, "seed {seed}: {a:?} {b:?}");
        }
        with_events += usize::from(!found.is_empty());
        let room = grid.room(region, wanted);
        let met = room.is_none_or(|r| r > 0.0);
        let answer = &answer.demands[0];
        verdicts[usize::from(met)] += 1;
        assert_eq!(answer.verdict == Verdict::Met, met, "seed {seed}: {answer:?} {room:?}");
        if let (Some(a), Some(b), true) = (answer.margin_nominal, room, met) {
            assert!((a - b).abs() <= 2.0 * grid.step(), "seed {seed}: {a} {b}");
        }
    }
    assert!(with_events >= 14 && verdicts.iter().all(|n| *n >= 4), "{with_events} {verdicts:?}");
}
