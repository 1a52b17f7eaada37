//! Scalar potentials against the fields they belong to, closed forms and each other.

use std::f64::consts::{PI, TAU};

use crate::table::Table;
use reedmace_fields::{
    Dipole, Magnet, MagnetShape, MeshMagnet, MultipoleRing, Placed, Poles, Pose, Potential,
    RingSegment, Source, TriangleMesh, Vectors,
};

const J: [f64; 3] = [0.3, -0.5, 1.1];

fn phi(source: &impl Potential, p: [f64; 3]) -> f64 {
    let (at, mut out) = (Vectors::from_rows([p]), [0.0]);
    source.add_potential(at.points(), &mut out).unwrap();
    out[0]
}

fn magnet(shape: MagnetShape) -> Magnet {
    Magnet::new(shape, J).unwrap()
}

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

const CYLINDER: MagnetShape = MagnetShape::Cylinder { radius: 1.0, half_length: 0.6 };
const RING: MagnetShape =
    MagnetShape::Ring { inner_radius: 0.5, outer_radius: 1.0, half_length: 0.3 };
const BLOCK: MagnetShape = MagnetShape::Cuboid { half_size: [1.0, 0.6, 0.4] };

/// Largest difference between the field outside and the slope of the potential, over |B|.
fn slope_error(source: &(impl Potential + Source)) -> f64 {
    let step = 1e-4;
    let mut worst = 0.0_f64;
    for p in
        [[1.3, 0.4, 0.5], [0.2, -0.3, 1.1], [-1.9, 0.7, -0.2], [0.3, 0.5, -1.8], [0.1, 1.4, 0.0]]
    {
        let slope: [f64; 3] = std::array::from_fn(|k| {
            let moved = |by: f64| std::array::from_fn(|i| p[i] + if i == k { by } else { 0.0 });
            (8.0 * (phi(source, moved(-step)) - phi(source, moved(step)))
                - (phi(source, moved(-2.0 * step)) - phi(source, moved(2.0 * step))))
                / (12.0 * step)
        });
        let b = source.b(p);
        worst = worst.max(length(std::array::from_fn(|i| b[i] - slope[i])) / length(b));
    }
    worst
}

/// The rectangular block as twelve triangles.
fn block_mesh() -> MeshMagnet {
    let at = |n: usize| [[-1.0, 1.0][n & 1], [-0.6, 0.6][n >> 1 & 1], [-0.4, 0.4][n >> 2 & 1]];
    let faces =
        [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    let triangles = faces.iter().flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]]);
    let triangles = triangles.map(|t| t.map(at)).collect();
    MeshMagnet::new(TriangleMesh::from_triangles(triangles).unwrap(), J).unwrap()
}

#[test]
fn cross_potential() {
    let mut table = Table::new(
        "fields_potential",
        "Scalar potential of magnets",
        "Slope: fourth-order differences of the potential against the field, error over |B|. Others: error over J \
         times the size.",
        "case",
    );
    let segment = RingSegment::new([0.5, 1.0], 0.3, [0.4, 2.1], J).unwrap();
    for (name, shape) in [("block", BLOCK), ("cylinder", CYLINDER), ("ring", RING)] {
        table.row(&format!("slope, {name}"), slope_error(&magnet(shape)), 1e-9);
    }
    table.row("slope, sphere", slope_error(&magnet(MagnetShape::Sphere { radius: 0.8 })), 1e-9);
    table.row("slope, dipole", slope_error(&Dipole::new([1.0, 2.0, -3.0]).unwrap()), 1e-9);
    table.row("slope, ring segment", slope_error(&segment), 1e-9);
    table.row("slope, mesh", slope_error(&block_mesh()), 1e-9);
    let poles = MultipoleRing::new([0.5, 1.0], 0.3, 2, Poles::Radial, 1.0).unwrap();
    table.row("slope, multipole ring", slope_error(&poles), 1e-9);

    // On the axis of a cylinder only its ends count: J/2 Δ(√(a² + u²) − |u|).
    let mut axis = 0.0_f64;
    for z in [-3.0, -0.6, -0.2, 0.0, 0.5, 0.6, 0.7, 2.0, 50.0_f64] {
        let end = |u: f64| 1.0 / (u.hypot(1.0) + u.abs());
        let want = 0.5 * J[2] * (end(z - 0.6) - end(z + 0.6));
        axis = axis.max((phi(&magnet(CYLINDER), [0.0, 0.0, z]) - want).abs());
    }
    table.row("cylinder, on its axis", axis, 1e-14);

    let cuts = [-2.0, 0.0, 1.3, -2.0 + TAU];
    let parts: Vec<_> = cuts
        .windows(2)
        .map(|w| RingSegment::new([0.5, 1.0], 0.3, [w[0], w[1]], J).unwrap())
        .collect();
    let (mut of_ring, mut of_mesh) = (0.0_f64, 0.0_f64);
    for k in 0..300 {
        let t = f64::from(k);
        let p = [
            (0.61 * t).fract() * 3.0 - 1.5,
            (0.37 * t).fract() * 3.0 - 1.5,
            (0.83 * t).fract() - 0.5,
        ];
        for p in [p, [p[0], 0.0, 0.3], [0.5, 0.0, p[2]], [0.0, 1.0, 0.3]] {
            let sum: f64 = parts.iter().map(|part| phi(part, p)).sum();
            of_ring = of_ring.max((sum - phi(&magnet(RING), p)).abs());
            of_mesh = of_mesh.max((phi(&block_mesh(), p) - phi(&magnet(BLOCK), p)).abs());
        }
    }
    table.row("three segments against the ring, surfaces and rims too", of_ring, 1e-14);
    table.row("block of triangles against six rectangles", of_mesh, 1e-14);
    table.finish();
}

/// Far away all are their dipoles, and turned they turn.
#[test]
fn cross_potential_far_and_placed() {
    let p = [60.0, -100.0, 140.0];
    for shape in [BLOCK, CYLINDER, RING, MagnetShape::Sphere { radius: 0.8 }] {
        let body = magnet(shape);
        let dipole = phi(&Dipole::new(body.moment()).unwrap(), p);
        assert!((phi(&body, p) / dipole - 1.0).abs() < 1e-4, "{shape:?}");
        let world_from_body =
            Pose { origin: [1.0, 2.0, 3.0], ..Pose::rotation_about(J, 0.25 * PI) };
        let placed = Placed { source: body, world_from_body };
        let near = [1.2, -0.3, 0.7];
        let difference = phi(&placed, world_from_body.apply(near)) - phi(&body, near);
        assert!(difference.abs() < 1e-14, "{shape:?} {difference}");
    }
}
