//! The ring segment against high-precision quadrature, the ring it is part of, and a public library.

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

use crate::table::Table;
use reedmace_fields::{
    FieldError, Magnet, MagnetShape, MultipoleRing, Poles, RingSegment, Source, force,
};

const J: [f64; 3] = [0.3, -0.5, 1.1];

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

fn segment(from: f64, to: f64) -> RingSegment {
    RingSegment::new([0.005, 0.010], 0.003, [from, to], J).unwrap()
}

#[test]
fn cross_mpmath_segment() {
    let text = include_str!("../golden/truth_segment.csv");
    let mut worst: BTreeMap<&str, (f64, usize)> = BTreeMap::new();
    for line in text.lines().skip(1) {
        let (group, numbers) = line.split_once(',').unwrap();
        let v: Vec<f64> = numbers.split(',').map(|c| c.parse().unwrap()).collect();
        let take = |k: usize| [v[k], v[k + 1], v[k + 2]];
        let source = RingSegment::new([v[0], v[1]], v[2], [v[3], v[4]], take(5)).unwrap();
        let (got, want) = (source.b(take(8)), take(11));
        let error = length(minus(got, want)) / length(want);
        if error.is_nan() || error > 1e-12 {
            println!("{error:e} {line}");
        }
        let entry = worst.entry(group).or_insert((0.0, 0));
        *entry = (entry.0.max(error), entry.1 + 1);
    }
    let mut table = Table::new(
        "fields_ring_segment",
        "Field of a ring segment",
        "Against 32-digit quadrature of all six faces' charges at awkward points \
         (`crates/fields/tests/golden/truth_segment.py`). Error: length of the difference over |B|.",
        "points | number",
    );
    assert_eq!(worst.len(), 10);
    for (group, (error, count)) in worst {
        // Beside a flat side 3e-15 J may be more of |B|: in one row |B| is J/800.
        let limit = match group {
            "edge" => 1e-9,
            "side" => 3e-12,
            _ => 1e-12,
        };
        table.row(&format!("{group} | {count}"), error, limit);
    }
    table.finish();
}

/// Three segments make the ring, inside and out, on their common faces too.
#[test]
fn cross_segments_make_the_ring() {
    let shape = MagnetShape::Ring { inner_radius: 0.005, outer_radius: 0.010, half_length: 0.003 };
    let ring = Magnet::new(shape, J).unwrap();
    let cuts = [-2.0, 0.0, 1.3, -2.0 + TAU];
    let parts: Vec<_> = cuts.windows(2).map(|w| segment(w[0], w[1])).collect();
    let volume: f64 = parts.iter().map(RingSegment::volume).sum();
    assert!((volume / shape.volume() - 1.0).abs() < 1e-14);
    for k in 0..400 {
        let t = f64::from(k);
        let (r, phi) = ((0.618 * t).fract() * 0.02, 0.7 * t);
        let z = (0.414 * t).fract() * 0.01 - 0.005;
        for p in [[r * phi.cos(), r * phi.sin(), z], [r, 0.0, z], [0.0, 0.0, z]] {
            if ring.clearance(p) == 0.0 && [0.005, 0.010].contains(&r) {
                continue;
            }
            let sum = parts.iter().map(|s| s.b(p)).fold([0.0; 3], minus).map(|c| -c);
            let want = ring.b(p);
            assert!(
                length(minus(sum, want)) < 1e-12 * length(want).max(0.01),
                "{p:?} {sum:?} {want:?}"
            );
        }
    }
}

/// On a face the mean of both sides; finite on edges, corners and where squares vanish or overflow.
#[test]
fn prop_faces_and_finite() {
    let s = segment(0.0, 0.5 * PI);
    for (p, n) in [
        ([0.0075, 0.0, 0.001], [0.0, 1.0, 0.0]),
        ([0.004, 0.003, 0.001], [0.8, 0.6, 0.0]),
        ([0.006, 0.008, -0.001], [0.6, 0.8, 0.0]),
        ([0.005, 0.004, 0.003], [0.0, 0.0, 1.0]),
    ] {
        let step = |by: f64| std::array::from_fn(|i| p[i] + by * n[i]);
        let (one, other, on) = (s.b(step(1e-9)), s.b(step(-1e-9)), s.b(p));
        // Half a micrometre of a millimetre away the field has changed by as much.
        assert!(length(minus(one, other)) > 0.1);
        let mean: [f64; 3] = std::array::from_fn(|i| 0.5 * (one[i] + other[i]));
        if (0.0..1.0).contains(&p[1]) && p[1] == 0.0 || p[2] == 0.003 {
            assert!(length(minus(on, mean)) < 1e-5, "{on:?} {mean:?}");
        }
    }
    for x in [0.0, 0.005, -0.005, 0.010, 1e-300, 1e-160, 1e-12, 1.0, 1e9, 1e60] {
        for y in [0.0, 0.005, 0.010, 1e-17, 1e-9, 1e9] {
            for z in [0.0, 0.003, -0.003, 1e-9, 1e9, 1e60] {
                let b = s.b([x, y, z]);
                assert!(b.into_iter().all(f64::is_finite), "{b:?} at {x} {y} {z}");
            }
        }
    }
}

#[test]
fn prop_refuses_what_is_no_arc() {
    for angles in [[1.0, 1.0], [1.0, 0.0], [0.0, TAU]] {
        let refused = RingSegment::new([0.005, 0.01], 0.003, angles, J);
        assert!(matches!(refused, Err(FieldError::NotArc { .. })), "{refused:?}");
    }
}

/// Its surface charge feels what the ring's does, piece by piece.
#[test]
fn cross_forces_add_up() {
    let magnet = Magnet::new(MagnetShape::Sphere { radius: 0.002 }, [0.0, 0.4, 1.0]).unwrap();
    let source = reedmace_fields::Placed {
        source: magnet,
        world_from_body: reedmace_fields::Pose::translation([0.003, 0.002, 0.008]),
    };
    let shape = MagnetShape::Ring { inner_radius: 0.005, outer_radius: 0.010, half_length: 0.003 };
    let whole = force(&source, &Magnet::new(shape, J).unwrap(), 1e-9).unwrap();
    let mut sum = [0.0; 3];
    for w in [-2.0, 0.0, 1.3, -2.0 + TAU].windows(2) {
        let part = force(&source, &segment(w[0], w[1]), 1e-9).unwrap();
        sum = std::array::from_fn(|i| sum[i] + part.force[i]);
    }
    assert!(length(minus(sum, whole.force)) < 1e-7 * length(sum), "{sum:?} {whole:?}");
}

/// Turned by a pole the field of a multipole ring changes sign, turned by a pair it is the same; one axial
/// pair on the axis is no field along z, and round the ring there are as many waves as pairs.
#[test]
fn prop_multipole_ring() {
    for (poles, pairs) in [(Poles::Radial, 1), (Poles::Radial, 4), (Poles::Axial, 3)] {
        let ring = MultipoleRing::new([0.005, 0.010], 0.003, pairs, poles, 1.2).unwrap();
        assert_eq!(ring.segments().len(), 2 * pairs as usize);
        let along = |phi: f64| {
            let (s, c) = phi.sin_cos();
            let b = ring.b([0.012 * c, 0.012 * s, 0.002]);
            [b[0] * c + b[1] * s, b[1] * c - b[0] * s, b[2]]
        };
        let pole = PI / f64::from(pairs);
        for phi in [0.0, 0.1, 0.35, 1.0] {
            let (here, next, same) = (along(phi), along(phi + pole), along(phi + 2.0 * pole));
            assert!(length(minus(here, same)) < 1e-12 * length(here), "{here:?} {same:?}");
            let sum: [f64; 3] = std::array::from_fn(|i| here[i] + next[i]);
            assert!(length(sum) < 1e-12 * length(here), "{here:?} {next:?}");
        }
        assert!(along(0.0)[0] > 0.0, "the first pole is north");
    }
    let none = MultipoleRing::new([0.005, 0.010], 0.003, 0, Poles::Axial, 1.2);
    assert_eq!(none, Err(FieldError::NoPoles));
}
