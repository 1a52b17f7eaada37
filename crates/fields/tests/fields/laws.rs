//! What every field must obey, whatever its kernel.

use std::f64::consts::PI;

use proptest::prelude::*;
use reedmace_fields::{
    AnySource, Coil, FieldError, Loop, MU_0, Magnet, MagnetShape, Placed, Pose, Solenoid, Source,
    Uniform, Vectors,
};

const J: [f64; 3] = [0.3, -0.5, 1.1];

fn shapes(s: f64) -> [MagnetShape; 6] {
    [
        MagnetShape::Cuboid { half_size: [5.0 * s, 3.0 * s, 2.0 * s] },
        MagnetShape::Cuboid { half_size: [5.0 * s, 3.0 * s, 0.05 * s] },
        MagnetShape::Cylinder { radius: 5.0 * s, half_length: 10.0 * s },
        MagnetShape::Cylinder { radius: 5.0 * s, half_length: 0.1 * s },
        MagnetShape::Ring { inner_radius: 5.0 * s, outer_radius: 10.0 * s, half_length: 3.0 * s },
        MagnetShape::Sphere { radius: 5.0 * s },
    ]
}

fn sources(s: f64) -> Vec<AnySource> {
    let mut all: Vec<AnySource> =
        shapes(s).into_iter().map(|shape| Magnet::new(shape, J).unwrap().into()).collect();
    all.push(Loop::new(5.0 * s, 100.0 * s).unwrap().into());
    all.push(Solenoid::new(5.0 * s, 10.0 * s, 100.0 * s).unwrap().into());
    all.push(Coil::new(3.0 * s, 6.0 * s, 10.0 * s, 100.0 * s).unwrap().into());
    all
}

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

#[track_caller]
fn same(a: [f64; 3], b: [f64; 3], tolerance: f64, what: &str) {
    assert!(length(minus(a, b)) <= tolerance * length(b), "{what}: {a:?} {b:?}");
}

fn points() -> impl Strategy<Value = [f64; 3]> {
    [-20.0..20.0, -20.0..20.0, -20.0..20.0]
}

/// Coordinates that fall on faces, edges, axes, mantles and seams of `sources(1.0)`, or anywhere.
fn degenerate() -> impl Strategy<Value = f64> {
    prop_oneof![
        prop::sample::select(vec![
            0.0, -0.0, 0.05, 0.1, 0.5, 2.0, 3.0, 5.0, 6.0, 10.0, 50.0, 1e-300, 1e-160, 1e-17, 1e-9,
            1e4, 1e9, 1e60
        ]),
        -12.0..12.0
    ]
}

proptest! {
    #[test]
    fn prop_finite_everywhere(x in degenerate(), y in degenerate(), z in degenerate(), flip in any::<[bool; 3]>()) {
        let p = [x, y, z];
        let p: [f64; 3] = std::array::from_fn(|i| if flip[i] { -p[i] } else { p[i] });
        for source in sources(1.0) {
            let b = source.b(p);
            prop_assert!(b.into_iter().all(f64::is_finite), "{source:?} at {p:?}: {b:?}");
        }
    }

    #[test]
    fn prop_scale_invariance(p in points(), scale in 1e-4..1e3_f64) {
        for (one, other) in sources(1.0).into_iter().zip(sources(scale)) {
            let (b, c) = (one.b(p), other.b(p.map(|q| q * scale)));
            // Scaling rounds the coordinates, which near a face counts by the inverse of the distance.
            // Documented accuracy is 4e-13 for the flat disc, on each side.
            let near = 1e-12 / one.clearance(p).clamp(1e-4, 1.0);
            prop_assume!(one.clearance(p) > 0.0);
            prop_assert!(length(minus(b, c)) <= near * length(b).max(1e-9), "{one:?} {b:?} {c:?}");
        }
    }

    #[test]
    fn prop_linear_in_polarization(p in points(), k in [-2.0..2.0, -2.0..2.0, -2.0..2.0]) {
        for shape in shapes(1.0) {
            let unit = |i: usize| {
                let mut j = [0.0; 3];
                j[i] = k[i];
                Magnet::new(shape, j).unwrap().b(p)
            };
            let whole = Magnet::new(shape, k).unwrap().b(p);
            let parts = [unit(0), unit(1), unit(2)];
            let sum: [f64; 3] = std::array::from_fn(|i| parts[0][i] + parts[1][i] + parts[2][i]);
            let size: f64 = parts.into_iter().map(length).sum();
            // Oblique and along an axis are different forms, of a flat block each good to the documented 4e-13.
            let flat = matches!(shape, MagnetShape::Cuboid { half_size: [.., c] } if c < 0.1);
            let limit = if flat { 8e-13 } else { 1e-13 };
            prop_assert!(length(minus(whole, sum)) <= limit * size, "{shape:?}");
        }
    }

    /// A mirror turns B, a twist vector, the other way: both mirrored magnet and field are compared.
    #[test]
    fn prop_mirror_symmetry(p in points(), axis in 0..3_usize) {
        let mirrored = |v: [f64; 3], sign: f64| {
            let mut v = v.map(|c| c * sign);
            v[axis] = -v[axis];
            v
        };
        for shape in shapes(1.0) {
            // J and B keep the component across the mirror and turn those along it.
            let b = Magnet::new(shape, J).unwrap().b(p);
            let c = Magnet::new(shape, mirrored(J, -1.0).map(|c| -c)).unwrap().b(mirrored(p, 1.0));
            prop_assert!(length(minus(mirrored(b, 1.0), c)) <= 1e-13 * length(b));
        }
    }

    #[test]
    fn prop_poses_compose(a in points(), b in points(), angle in -4.0..4.0, p in points()) {
        prop_assume!(length(a) > 1e-3 && length(b) > 1e-3);
        let world_from_float = Pose { origin: b, ..Pose::rotation_about(a, angle) };
        let float_from_magnet = Pose::rotation_about_line(a, b, 2.0 * angle);
        let world_from_magnet = world_from_float * float_from_magnet;
        let stepwise = world_from_float.apply(float_from_magnet.apply(p));
        prop_assert!(length(minus(world_from_magnet.apply(p), stepwise)) < 1e-12);
        prop_assert!(length(minus(world_from_magnet.apply_inverse(stepwise), p)) < 1e-12);
        prop_assert!(length(minus(world_from_magnet.inverse().apply(stepwise), p)) < 1e-12);
        let z = Pose::from_z([0.0; 3], a).unwrap().body_axis(2);
        prop_assert!((z[0] * a[0] + z[1] * a[1] + z[2] * a[2] - length(a)).abs() < 1e-12 * length(a));
    }

    /// Turning magnet, polarization and point together turns the field with them.
    #[test]
    fn prop_placed_turns_the_field(axis in points(), angle in -4.0..4.0, origin in points(), p in points()) {
        prop_assume!(length(axis) > 1e-3);
        let world_from_body = Pose { origin, ..Pose::rotation_about(axis, angle) };
        for source in sources(1.0) {
            prop_assume!(source.clearance(p) > 0.01);
            let placed = Placed { source, world_from_body };
            let b = world_from_body.apply_to_vector(source.b(p));
            let there = world_from_body.apply(p);
            prop_assert!(length(minus(placed.b(there), b)) <= 1e-11 * length(b));
            prop_assert!((placed.clearance(there) - source.clearance(p)).abs() < 1e-12);
        }
    }
}

/// A batch longer than the stack's chunk gives what single points give, and adds to what is there.
#[test]
fn prop_batch_equals_single() {
    let magnet = sources(1.0)[2];
    let placed =
        Placed { source: magnet, world_from_body: Pose::rotation_about([1.0, 2.0, 3.0], 0.7) };
    let points =
        Vectors::from_rows((0..700).map(|i| [0.05 * f64::from(i), 7.0, -0.01 * f64::from(i)]));
    let mut out = Vectors::from_rows(std::iter::repeat_n([1.0, 2.0, 3.0], 700));
    placed.add_b(points.points(), out.view_mut());
    for i in 0..700 {
        let b = placed.b(points.get(i));
        assert_eq!(out.get(i), [1.0 + b[0], 2.0 + b[1], 3.0 + b[2]]);
    }
}

/// A named axis and normal land where they should.
#[test]
fn prop_pose_from_axis_and_normal() {
    let pose =
        Pose::from_axis_and_normal([1.0, 2.0, 3.0], [0.0, 2.0, 0.0], [0.0, 1.0, 5.0]).unwrap();
    same(pose.body_axis(0), [0.0, 1.0, 0.0], 1e-15, "axis");
    same(pose.body_axis(2), [0.0, 0.0, 1.0], 1e-15, "normal");
    same(pose.body_axis(1), [-1.0, 0.0, 0.0], 1e-15, "third");
    assert!(Pose::from_axis_and_normal([0.0; 3], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0]).is_none());
    assert!(Pose::from_z([0.0; 3], [0.0; 3]).is_none());
}

/// At 10,000 sizes every magnet and coil is its dipole.
#[test]
fn cross_dipole_far_away() {
    let dipole = |m: [f64; 3], p: [f64; 3]| {
        let r = length(p);
        let n = p.map(|c| c / r);
        let along = n[0] * m[0] + n[1] * m[1] + n[2] * m[2];
        let k = MU_0 / (4.0 * PI) / r.powi(3);
        std::array::from_fn(|i| k * (3.0 * along * n[i] - m[i]))
    };
    let p = [3.0e4, -5.0e4, 7.0e4];
    for shape in shapes(1.0) {
        let magnet = Magnet::new(shape, J).unwrap();
        same(magnet.b(p), dipole(magnet.moment(), p), 1e-7, "magnet");
    }
    let loop_moment = [0.0, 0.0, 100.0 * PI * 25.0];
    same(sources(1.0)[6].b(p), dipole(loop_moment, p), 1e-7, "loop");
    same(sources(1.0)[7].b(p), dipole(loop_moment, p), 1e-7, "solenoid");
    // Mean of a² over the winding: (6³ − 3³)/(3·3) = 21.
    same(sources(1.0)[8].b(p), dipole([0.0, 0.0, 100.0 * PI * 21.0], p), 1e-7, "coil");
}

/// No flux leaves a sphere round a whole source, nor one that cuts through nothing.
#[test]
fn prop_gauss() {
    for source in sources(1.0) {
        for (centre, radius) in [([0.0, 0.0, 0.0], 16.0), ([14.0, 3.0, 5.0], 2.0)] {
            let (mut flux, mut total) = (0.0, 0.0);
            // Midpoints in z times equal steps round: uniform area, spectral round, second order in z.
            let (rings, steps) = (400, 64);
            for i in 0..rings {
                let z = -1.0 + 2.0 * (f64::from(i) + 0.5) / f64::from(rings);
                let s = (1.0 - z * z).sqrt();
                for k in 0..steps {
                    let phi = 2.0 * PI * f64::from(k) / f64::from(steps);
                    let n = [s * phi.cos(), s * phi.sin(), z];
                    let b = source.b(std::array::from_fn(|q| centre[q] + radius * n[q]));
                    flux += b[0] * n[0] + b[1] * n[1] + b[2] * n[2];
                    total += length(b);
                }
            }
            assert!(flux.abs() < 2e-5 * total, "{source:?}: {flux:e} of {total:e}");
        }
    }
}

/// ∮B·dl/μ0 round one limb of a coil is its ampere-turns; round nothing, or a magnet's H, it is zero.
#[test]
fn prop_ampere() {
    let circulation = |source: &AnySource, centre: [f64; 3], radius: f64| {
        let steps = 2000;
        let mut sum = 0.0;
        for k in 0..steps {
            let (s, c) = (2.0 * PI * f64::from(k) / f64::from(steps)).sin_cos();
            let b = source.b([centre[0] + radius * c, centre[1], centre[2] + radius * s]);
            // Right-handed about +y is from z to x: dl = (s, 0, -c) turned so that the current counts positive.
            sum += (b[0] * s - b[2] * c) * 2.0 * PI * radius / f64::from(steps);
        }
        sum / MU_0
    };
    for source in &sources(1.0)[6..] {
        // Centre and radius that take in the winding's section at +x but pass no part of it nearby.
        let at = [40.0, 0.0, 0.0];
        let whole = circulation(source, at, 39.0);
        assert!((whole - 100.0).abs() < 1e-9 * 100.0, "{source:?}: {whole}");
        assert!(circulation(source, at, 10.0).abs() < 1e-9);
    }
    for source in &sources(1.0)[..6] {
        let scale = 1.0 / MU_0;
        assert!(circulation(source, [22.0, 0.0, 0.0], 10.0).abs() < 1e-12 * scale);
    }
}

/// Both sides of every change of form agree.
#[test]
fn prop_seams() {
    let step = 1e-13;
    let extent = |s: &AnySource| s.bounding_radius();
    for source in sources(1.0) {
        for direction in [
            [0.6, 0.0, 0.8],
            [0.36, 0.48, 0.8],
            [0.8, 0.6, 0.0],
            [0.0, 0.0, 1.0],
            [0.28, 0.96, 0.0],
        ] {
            for at in [4.0 * extent(&source), 1.25 * extent(&source)] {
                let b = |k: f64| source.b(direction.map(|c| c * at * k));
                same(b(1.0 - step), b(1.0 + step), 3e-12, "distance");
            }
        }
        for a in [3.0, 5.0, 6.0, 10.0_f64] {
            for ratio in
                [5.05 - (5.05_f64.powi(2) - 1.0).sqrt(), 5.05 + (5.05_f64.powi(2) - 1.0).sqrt()]
            {
                let b = |k: f64| source.b([a * ratio * k, 0.0, 12.0]);
                same(b(1.0 - step), b(1.0 + step), 3e-12, "near the axis");
            }
        }
    }
}

/// On a surface the mean of both sides, and the jump across it is the tangential polarization.
#[test]
fn prop_surface_mean() {
    let spots: [(MagnetShape, [f64; 3], usize); 5] = [
        (shapes(1.0)[0], [5.0, 1.0, -0.5], 0),
        (shapes(1.0)[0], [1.0, 2.0, 2.0], 2),
        (shapes(1.0)[2], [5.0, 0.0, 3.0], 0),
        (shapes(1.0)[2], [2.0, 1.0, 10.0], 2),
        (shapes(1.0)[5], [5.0, 0.0, 0.0], 0),
    ];
    for (shape, at, normal) in spots {
        let magnet = Magnet::new(shape, J).unwrap();
        let step = 1e-9;
        let beside = |sign: f64| {
            let mut p = at;
            p[normal] += sign * step;
            magnet.b(p)
        };
        let (inside, outside, on) = (beside(-1.0), beside(1.0), magnet.b(at));
        for i in 0..3 {
            let jump = if i == normal { 0.0 } else { J[i] };
            assert!(
                (inside[i] - outside[i] - jump).abs() < 1e-7,
                "{shape:?} {inside:?} {outside:?}"
            );
            assert!((0.5 * (inside[i] + outside[i]) - on[i]).abs() < 1e-7, "{shape:?} {on:?}");
        }
    }
}

/// Edges are refused by name and finite in a batch, and faulty sizes never become sources.
#[test]
fn prop_named_errors() {
    let block = Magnet::new(shapes(1.0)[0], J).unwrap();
    assert_eq!(block.try_b([5.0, 3.0, 1.0]), Err(FieldError::OnEdge));
    assert!(block.try_b([5.0, 3.0, 2.5]).is_ok());
    assert!(matches!(block.try_b([f64::NAN, 0.0, 0.0]), Err(FieldError::NotFinite { .. })));
    assert!(length(block.b([5.0, 3.0, 1.0])).is_finite());
    let rod = Magnet::new(shapes(1.0)[2], J).unwrap();
    assert_eq!(rod.try_b([5.0, 0.0, 10.0]), Err(FieldError::OnEdge));
    for radius in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(Loop::new(radius, 1.0), Err(FieldError::NotPositive { .. })));
    }
    assert!(matches!(Coil::new(2.0, 2.0, 1.0, 1.0), Err(FieldError::InnerNotBelowOuter { .. })));
    assert!(matches!(
        Magnet::new(shapes(1.0)[0], [f64::NAN; 3]),
        Err(FieldError::NotFinite { .. })
    ));
}

/// A uniform field is the same everywhere and has no size.
#[test]
fn prop_uniform() {
    let field = Uniform([1.0, 2.0, 3.0]);
    assert_eq!(field.b([1e9, -4.0, 0.0]), [1.0, 2.0, 3.0]);
    assert_eq!(field.clearance([0.0; 3]), f64::INFINITY);
}
