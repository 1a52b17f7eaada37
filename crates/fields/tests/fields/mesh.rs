//! The triangulated solid against the cuboid, the sphere and the laws.

use crate::table::Table;
use reedmace_fields::{
    FieldError, Magnet, MagnetShape, MeshMagnet, Placed, Pose, Source, TriangleMesh, force,
};

const J: [f64; 3] = [0.3, -0.5, 1.1];

type Triangle = [[f64; 3]; 3];

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

/// A prism along z over a polygon whose corners the first one sees all.
fn prism(outline: &[[f64; 2]], low: f64, high: f64) -> Vec<Triangle> {
    let at = |k: usize, z: f64| [outline[k % outline.len()][0], outline[k % outline.len()][1], z];
    let mut triangles = Vec::new();
    for k in 0..outline.len() {
        if k > 0 && k + 1 < outline.len() {
            triangles.push([at(0, high), at(k, high), at(k + 1, high)]);
            triangles.push([at(0, low), at(k + 1, low), at(k, low)]);
        }
        triangles.push([at(k, low), at(k + 1, low), at(k + 1, high)]);
        triangles.push([at(k, low), at(k + 1, high), at(k, high)]);
    }
    triangles
}

fn block(half: [f64; 3]) -> Vec<Triangle> {
    let [a, b, c] = half;
    prism(&[[-a, -b], [a, -b], [a, b], [-a, b]], -c, c)
}

fn magnet(triangles: Vec<Triangle>) -> MeshMagnet {
    MeshMagnet::new(TriangleMesh::from_triangles(triangles).unwrap(), J).unwrap()
}

fn cuboid(half: [f64; 3], centre: [f64; 3]) -> Placed<Magnet> {
    Placed {
        source: Magnet::new(MagnetShape::Cuboid { half_size: half }, J).unwrap(),
        world_from_body: Pose::translation(centre),
    }
}

/// Points everywhere: near, on faces and the diagonals that cut them, and out to `reach` sizes.
fn points(reach: f64) -> impl Iterator<Item = [f64; 3]> {
    (1..600).map(move |k| {
        let t = f64::from(k);
        let direction =
            [(0.61 * t).fract() - 0.5, (0.37 * t).fract() - 0.5, (0.83 * t).fract() - 0.5];
        let size = reach.powf((0.113 * t).fract()) * 4.0;
        direction.map(|c| c * size)
    })
}

#[test]
fn cross_block_and_l() {
    let mut table = Table::new(
        "fields_mesh",
        "Field of a triangulated solid",
        "A block of 12 triangles against the cuboid, an L of 20 against two cuboids, up to a million sizes away. \
         Error: length of the difference over |B|.",
        "solid | points",
    );
    let half = [1.0, 0.75, 0.5];
    let (mesh, exact) = (magnet(block(half)), cuboid(half, [0.0; 3]));
    let l = magnet(prism(
        &[[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 1.0], [1.0, 3.0], [0.0, 3.0]],
        0.0,
        0.5,
    ));
    let parts =
        [cuboid([1.0, 0.5, 0.25], [1.0, 0.5, 0.25]), cuboid([0.5, 1.0, 0.25], [0.5, 2.0, 0.25])];
    let error = |got: [f64; 3], want: [f64; 3]| length(minus(got, want)) / length(want);
    for (name, reach) in [("near", 1.0), ("to 2,000 sizes", 2e3), ("to 1e6 sizes", 1e6)] {
        let (mut of_block, mut of_l) = (0.0_f64, 0.0_f64);
        // On a corner of the L the field has no value.
        for p in points(reach).filter(|p| *p != [0.0; 3]) {
            of_block = of_block.max(error(mesh.b(p), exact.b(p)));
            let [one, other] = parts.each_ref().map(|part| part.b(p));
            of_l = of_l.max(error(l.b(p), std::array::from_fn(|i| one[i] + other[i])));
        }
        table.row(&format!("block | {name}"), of_block, 1e-12);
        table.row(&format!("L | {name}"), of_l, 1e-12);
    }
    // On faces, on a diagonal that cuts one, and where both cuboids of the L meet.
    let mut on_face = 0.0_f64;
    for p in
        [[1.0, 0.3, 0.1], [0.0, 0.0, 0.5], [0.5, 0.375, 0.5], [0.2, -0.75, 0.0], [0.0, 0.0, 0.0]]
    {
        on_face = on_face.max(error(mesh.b(p), exact.b(p)));
    }
    table.row("block | on faces and diagonals", on_face, 1e-12);
    let p = [0.5, 1.0, 0.1];
    let sum: [f64; 3] = std::array::from_fn(|i| parts[0].b(p)[i] + parts[1].b(p)[i]);
    table.row("L | on the joint inside", error(l.b(p), sum), 1e-12);
    table.finish();
}

/// Fine triangles come to the sphere: a uniform 2/3 J inside.
#[test]
fn cross_sphere() {
    let (rings, steps) = (24, 48);
    let at = |i: usize, k: usize| {
        let (sin_polar, cos_polar) = (std::f64::consts::PI * i as f64 / rings as f64).sin_cos();
        let (s, c) = (std::f64::consts::TAU * (k % steps) as f64 / steps as f64).sin_cos();
        match i {
            0 => [0.0, 0.0, 1.0],
            _ if i == rings => [0.0, 0.0, -1.0],
            _ => [sin_polar * c, sin_polar * s, cos_polar],
        }
    };
    let mut triangles = Vec::new();
    for i in 0..rings {
        for k in 0..steps {
            let [a, b, c, d] = [at(i, k), at(i + 1, k), at(i + 1, k + 1), at(i, k + 1)];
            if i + 1 < rings {
                triangles.push([a, b, c]);
            }
            if i > 0 {
                triangles.push([a, c, d]);
            }
        }
    }
    let sphere = magnet(triangles);
    // An inscribed polyhedron of this many faces is short of the sphere by about (π/rings)²/2.
    for p in [[0.0; 3], [0.3, 0.2, -0.4], [0.0, 0.6, 0.1]] {
        let want = J.map(|j| 2.0 / 3.0 * j);
        assert!(length(minus(sphere.b(p), want)) < 5e-3, "{:?}", sphere.b(p));
    }
    let exact = Magnet::new(MagnetShape::Sphere { radius: 1.0 }, J).unwrap();
    let p = [1.5, -1.0, 2.0];
    let share = sphere.mesh.volume() / exact.shape.volume();
    assert!(length(minus(sphere.b(p), exact.b(p).map(|b| share * b))) < 1e-3 * length(exact.b(p)));
}

#[test]
fn prop_inside_clearance_centroid() {
    let half = [1.0, 0.75, 0.5];
    let moved: Vec<Triangle> =
        block(half).into_iter().map(|t| t.map(|[x, y, z]| [x + 3.0, y - 2.0, z + 5.0])).collect();
    let mesh = TriangleMesh::from_triangles(moved).unwrap();
    assert!((mesh.volume() - 3.0).abs() < 1e-14);
    assert!(length(minus(mesh.centroid(), [3.0, -2.0, 5.0])) < 1e-14);
    // The diagonals of its rectangles are no edges.
    assert_eq!((mesh.faces().len(), mesh.triangles().len()), (6, 12));
    let exact = MagnetShape::Cuboid { half_size: half };
    for p in points(2.0) {
        let there = [p[0] + 3.0, p[1] - 2.0, p[2] + 5.0];
        assert!((mesh.clearance(there) - exact.clearance(p)).abs() < 1e-14, "{p:?}");
        assert_eq!(mesh.share_inside(there) == 1.0, exact.inside(p));
    }
    assert_eq!(mesh.share_inside([4.0, -2.1, 5.2]), 0.5);
}

#[test]
fn cross_force_equals_cuboid() {
    let half = [1.0, 0.75, 0.5];
    let other = cuboid([0.5, 0.5, 1.0], [1.4, 0.2, 2.0]);
    let on_mesh = force(&other, &magnet(block(half)), 1e-8).unwrap();
    let on_cuboid = force(&other, &cuboid(half, [0.0; 3]), 1e-8).unwrap();
    assert!(length(minus(on_mesh.force, on_cuboid.force)) < 1e-7 * length(on_cuboid.force));
    assert!(length(minus(on_mesh.torque, on_cuboid.torque)) < 1e-7 * length(on_cuboid.torque));
}

#[test]
fn prop_refuses_bad_surfaces() {
    let closed = block([1.0, 0.75, 0.5]);
    let refused = |triangles| TriangleMesh::from_triangles(triangles).unwrap_err();
    assert!(matches!(refused(closed[1..].to_vec()), FieldError::MeshNotClosed { .. }));
    let mut one_turned = closed.clone();
    one_turned[3].swap(0, 1);
    assert!(matches!(refused(one_turned), FieldError::MeshNotClosed { .. }));
    let all_turned: Vec<Triangle> = closed.iter().map(|t| [t[1], t[0], t[2]]).collect();
    assert!(matches!(refused(all_turned), FieldError::MeshInsideOut { volume } if volume < 0.0));
    assert!(matches!(refused(Vec::new()), FieldError::MeshInsideOut { .. }));
    let mut nowhere = closed.clone();
    nowhere[0][0][0] = f64::NAN;
    assert!(matches!(refused(nowhere), FieldError::NotFinite { .. }));
    let mut twice = closed.clone();
    twice.extend(closed);
    assert!(matches!(refused(twice), FieldError::MeshNotClosed { .. }));
}
