//! Bodies of steel against exact solutions, independent methods and laws.

use std::fmt::Write as _;

use reedmace_fields::steel::{AxisBox, Segment, Steel, SteelBody, SteelError, SteelShape};
use reedmace_fields::{MU_0, Magnet, MagnetShape, Placed, Pose, Source, Uniform, Vectors};

const INFINITE: f64 = f64::INFINITY;

fn body(shape: SteelShape, permeability: f64) -> SteelBody {
    SteelBody { shape, permeability, world_from_body: Pose::IDENTITY }
}

fn steel(shape: SteelShape, permeability: f64, panels: usize) -> Steel {
    Steel::new(&[body(shape, permeability)], panels).unwrap()
}

fn plate() -> SteelShape {
    SteelShape::Cuboid { half_size: [0.02, 0.02, 0.001] }
}

/// A 10 × 10 × 5 mm block of 1.2 T along z, its centre at `z` (m).
fn block(z: f64) -> Placed<Magnet> {
    let shape = MagnetShape::Cuboid { half_size: [0.005, 0.005, 0.0025] };
    let source = Magnet::new(shape, [0.0, 0.0, 1.2]).unwrap();
    Placed { source, world_from_body: Pose::translation([0.0, 0.0, z]) }
}

fn charges(steel: &Steel, source: &dyn Source) -> Vec<f64> {
    steel.solve(&steel.load(source))
}

/// Writes a table where the validation page finds it.
fn publish(name: &str, table: &str) {
    println!("{table}");
    let directory = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/validation");
    std::fs::create_dir_all(directory).unwrap();
    std::fs::write(format!("{directory}/steel-{name}.md"), table).unwrap();
}

/// Dipole moment of a body in a unit field along z, A·m² per A/m: from its field a thousand radii away.
fn polarizability(steel: &Steel, sigma: Vec<f64>) -> f64 {
    let charged = steel.charged(sigma);
    let far = 1000.0 * charged.bounding_radius();
    charged.b([0.0, 0.0, far])[2] * 2.0 * std::f64::consts::PI * far.powi(3) / MU_0
}

/// Sphere in a uniform field: a dipole outside, `4π a³ (μ − 1)/(μ + 2)` (`[jackson1999]` 5.11), and
/// `3μ/(μ + 2)` of the field inside.
#[test]
fn cross_sphere_in_uniform_field() {
    let a = 0.01;
    let mut table = String::from(
        "## Steel: sphere in a uniform field\n\nError of the field 1.5 radii out on the axis, against the \
         exact solution; and of the flux density inside.\n\n| μ | panels | outside | inside |\n|---|---|---|---|\n",
    );
    for mu in [1.5, 10.0, 1000.0, INFINITE] {
        let mut errors = Vec::new();
        for panels in [200, 800] {
            let it = steel(SteelShape::Sphere { radius: a }, mu, panels);
            let sigma = charges(&it, &Uniform([0.0, 0.0, 1e-3]));
            let inside = it.flux_density(&sigma)[0].b;
            let b = it.charged(sigma).b([0.0, 0.0, 1.5 * a])[2];
            let (share, within) = if mu.is_infinite() {
                (1.0, 3.0)
            } else {
                ((mu - 1.0) / (mu + 2.0), 3.0 * mu / (mu + 2.0))
            };
            let outside = b / (2e-3 * share / 1.5_f64.powi(3)) - 1.0;
            let inside = inside / (within * 1e-3) - 1.0;
            let _ = writeln!(table, "| {mu} | {} | {outside:+.1e} | {inside:+.1e} |", it.len());
            errors.push((outside.abs(), inside.abs()));
        }
        // Errors of a polyhedron's shape, falling with its panels' area.
        assert!(errors[1].0 < 6e-3 && errors[1].0 < 0.4 * errors[0].0, "{mu} {errors:?}");
        assert!(errors[1].1 < 2e-2, "{mu} {errors:?}");
    }
    publish("sphere", &table);
}

/// A prolate spheroid from a mesh: `M = χ H/(1 + N χ)`, N along the axis 0.173564 for 2 : 1
/// (`[osborn1945]`).
#[test]
fn cross_spheroid_mesh() {
    let (bands, around) = (16, 24);
    let at = |i: usize, k: usize| {
        let (s, c) = (std::f64::consts::PI * i as f64 / bands as f64).sin_cos();
        let s = if i.is_multiple_of(bands) { 0.0 } else { s };
        let (sk, ck) = (std::f64::consts::TAU * (k % around) as f64 / around as f64).sin_cos();
        [0.005 * s * ck, 0.005 * s * sk, 0.01 * c]
    };
    let mut triangles = Vec::new();
    for i in 0..bands {
        for k in 0..around {
            let [a, b, c, d] = [at(i, k), at(i + 1, k), at(i + 1, k + 1), at(i, k + 1)];
            if i + 1 < bands {
                triangles.push([a, b, c]);
            }
            if i > 0 {
                triangles.push([a, c, d]);
            }
        }
    }
    let volume: f64 = triangles
        .iter()
        .map(|[a, b, c]| {
            (a[0] * (b[1] * c[2] - b[2] * c[1])
                + a[1] * (b[2] * c[0] - b[0] * c[2])
                + a[2] * (b[0] * c[1] - b[1] * c[0]))
                / 6.0
        })
        .sum();
    let it = steel(SteelShape::Mesh { triangles: triangles.clone() }, 1000.0, 700);
    let n = volume / polarizability(&it, charges(&it, &Uniform([0.0, 0.0, MU_0]))) - 1.0 / 999.0;
    println!("spheroid 2:1 of {} triangles: N {n:.5}, exact 0.173564", it.len());
    // The polyhedron is blunter than the spheroid.
    assert!((n - 0.173564).abs() < 2e-3, "{n}");
    triangles.pop();
    let open = Steel::new(&[body(SteelShape::Mesh { triangles }, 1000.0)], 700);
    assert!(matches!(open, Err(SteelError::NotClosed { .. })));
}

/// A plate under a block: values computed independently by two methods.
#[test]
fn cross_plate_and_block() {
    let wanted = [(3.0e-3, 0.0, 316.2), (-3.0e-3, 0.0, 2.96), (2.5e-3, 0.015, -13.29)];
    let without = [234.73, 53.12, 7.51];
    let block = block(0.008);
    let mut table = String::from(
        "## Steel: plate under a block\n\nA 40 × 40 × 2 mm plate, μ 1000, 7 mm below the middle of a 10 × 10 × 5 mm \
         block of 1.2 T: Bz in mT at (0, 0, 3), in the shadow at (0, 0, -3) and at (15, 0, 2.5) mm. Computed independently by two methods: 316.2, 2.96, -13.29.\n\n\
         | panels | above | shadow | beside |\n|---|---|---|---|\n",
    );
    let mut rows: Vec<[f64; 3]> = Vec::new();
    let mut told = |panels: String, values: [f64; 3]| {
        let [above, shadow, beside] = values;
        let _ = writeln!(table, "| {panels} | {above:.2} | {shadow:.3} | {beside:.3} |");
    };
    for panels in [1000, 2000, 4000] {
        let it = steel(plate(), 1000.0, panels);
        let charged = it.charged(charges(&it, &block));
        let at = |x: f64, z: f64| 1e3 * (charged.b([x, 0.0, z])[2] + block.b([x, 0.0, z])[2]);
        rows.push(wanted.map(|(z, x, _)| at(x, z)));
        told(it.len().to_string(), rows[rows.len() - 1]);
    }
    // Errors fall to a quarter with every doubling, so a third of the last change is what is left.
    let left: [f64; 3] = std::array::from_fn(|k| (rows[2][k] - rows[1][k]) / 3.0);
    told("estimated rest".to_owned(), left);
    publish("plate", &table);
    // The last printed digit of what is wanted beside the estimated rest.
    for k in 0..3 {
        let error = rows[2][k] - wanted[k].2;
        let digit = [0.1, 0.01, 0.01][k];
        assert!(error.abs() < 2.0 * left[k].abs() + digit, "{k} {error} {left:?}");
        assert!(left[k].abs() < 0.005 * without[k], "{left:?}");
    }
}

/// Cylinders in an axial field: `H/M − 1/χ` with M the mean over the volume and over the middle
/// cross-section, against an axisymmetric surface-charge method computed here; definition of
/// `[chen1991]`.
#[test]
fn cross_rods() {
    let mut table = String::from(
        "## Steel: cylinders in an axial field\n\nDemagnetizing factors of the volume and of the middle \
         section, 2000 panels, against an axisymmetric method.\n\n\
         | length over diameter | χ | volume | error | section | error |\n|---|---|---|---|---|---|\n",
    );
    for (ratio, chi, volume, section) in [
        (0.5, 9.0, 0.424568, 0.386202),
        (1.0, 1.5, 0.289181, 0.231081),
        (1.0, 99.0, 0.260063, 0.227676),
        (1.0, INFINITE, 0.258982, 0.227490),
        (2.0, 999.0, 0.140995, 0.117980),
        (5.0, 99.0, 0.051357, 0.038844),
        (10.0, 9.0, 0.026267, 0.008951),
        (10.0, 999.0, 0.020272, 0.015171),
        (20.0, 99.0, 0.008275, 0.004251),
        (50.0, 999.0, 0.00182, 0.00107),
        (50.0, INFINITE, 0.00168, 0.00120),
    ] {
        let got = factors(ratio, chi);
        let row = [volume, section].iter().zip(got).fold(String::new(), |row, (want, got)| {
            row + &format!(" {want} | {:+.1e} |", got - want)
        });
        let _ = writeln!(table, "| {ratio} | {chi} |{row}");
        for (got, want) in got.into_iter().zip([volume, section]) {
            let error = (got - want).abs();
            assert!(error < 5e-5 && error < 0.02 * want, "{ratio} {chi}: {got} {want}");
        }
    }
    publish("rods", &table);
}

/// The factors of volume and middle section of a cylinder.
fn factors(ratio: f64, chi: f64) -> [f64; 2] {
    let (radius, half_length) = (0.005, 0.005 * ratio);
    let section = std::f64::consts::PI * radius * radius;
    let it = steel(SteelShape::Cylinder { radius, half_length }, 1.0 + chi, 2000);
    let sigma = charges(&it, &Uniform([0.0, 0.0, MU_0]));
    let z = &it.rule().points.z;
    let areas = it.areas();
    let charge = |i: usize| sigma[i] * areas[i];
    // What leaves the upper half came through the middle.
    let through: f64 = (0..it.len()).filter(|&i| z[i] > 1e-9).map(charge).sum();
    let volume = 2.0 * half_length * section;
    let moment = polarizability(&it, sigma.clone());
    [volume / moment - 1.0 / chi, section / through - 1.0 / chi]
}

/// A wide plate of infinite permeability acts as the mirrored magnet.
#[test]
fn cross_mirror() {
    let mut table = String::from(
        "## Steel: plate as a mirror\n\nA block 6 mm over a plate of infinite permeability, 1.5 mm over the plate: \
         Bz of the charges over that of the mirrored block.\n\n| plate side, mm | ratio less one |\n|---|---|\n",
    );
    let source = block(0.007);
    let mut errors = Vec::new();
    let at = [0.0, 0.0, 0.0025];
    for side in [0.02, 0.04, 0.08] {
        let plate = SteelShape::Cuboid { half_size: [0.5 * side, 0.5 * side, 0.001] };
        let it = Steel::finer_near(&[body(plate, INFINITE)], 1500, &[at]).unwrap();
        let got = it.charged(charges(&it, &source)).b(at)[2];
        let error = got / block(-0.005).b(at)[2] - 1.0;
        let _ = writeln!(table, "| {} | {error:+.1e} |", 1e3 * side);
        errors.push(error.abs());
    }
    publish("mirror", &table);
    // What the edge of the plate leaves out falls like its distance to some power.
    assert!(errors.windows(2).all(|e| e[1] < 0.25 * e[0]) && errors[2] < 5e-3, "{errors:?}");
}

#[test]
fn prop_without_permeability_nothing() {
    let it = steel(plate(), 1.0, 200);
    assert!(charges(&it, &block(0.008)).iter().all(|&c| c == 0.0));
}

/// Far steel falls off like the sixth power: the field at the steel and its own at the magnet, both
/// like a dipole's.
#[test]
fn prop_far_steel_fades() {
    let it = steel(SteelShape::Sphere { radius: 0.005 }, 1000.0, 200);
    let change = |distance: f64| {
        let source = block(distance);
        it.charged(charges(&it, &source)).b([0.0, 0.0, distance])[2]
    };
    let ratio = change(0.2) / change(0.4);
    assert!((ratio / 64.0 - 1.0).abs() < 0.02, "{ratio}");
}

#[test]
fn prop_adjoint_equals_direct() {
    let plates = [
        body(plate(), 500.0),
        SteelBody {
            shape: SteelShape::Tube {
                inner_radius: 0.004,
                outer_radius: 0.006,
                half_length: 0.005,
            },
            permeability: INFINITE,
            world_from_body: Pose::translation([0.01, 0.0, -0.02]),
        },
    ];
    let it = Steel::new(&plates, 600).unwrap();
    let source = block(0.008);
    let at = Vectors::from_rows([[0.001, 0.002, -0.004]]);
    let row = it.potential_rows(&at);
    let row: Vec<f64> = (0..it.len()).map(|j| row[(0, j)]).collect();
    let sigma = charges(&it, &source);
    let direct: f64 = row.iter().zip(&sigma).map(|(r, c)| r * c).sum();
    let weights = it.on_field(&it.solve_transpose(&row));
    let adjoint: f64 = (0..it.len())
        .map(|i| {
            let (b, w) = (source.b(it.rule().points.get(i)), weights.get(i));
            b[0] * w[0] + b[1] * w[1] + b[2] * w[2]
        })
        .sum();
    assert!((adjoint / direct - 1.0).abs() < 1e-10, "{direct} {adjoint}");
    // The net charge of each body is zero, and the potential's slope is the field.
    for body in 0..2 {
        let (mut net, mut size) = (0.0, 0.0);
        for i in (0..it.len()).filter(|&i| it.body_of(i) == body) {
            net += sigma[i] * it.areas()[i];
            size += (sigma[i] * it.areas()[i]).abs();
        }
        assert!(net.abs() < 1e-12 * size, "{net} {size}");
    }
    let step = 1e-6;
    let pair = Vectors::from_rows([[0.001, 0.002, -0.004 - step], [0.001, 0.002, -0.004 + step]]);
    let rows = it.potential_rows(&pair);
    let slope: f64 =
        (0..it.len()).map(|j| (rows[(0, j)] - rows[(1, j)]) * sigma[j]).sum::<f64>() / (2.0 * step);
    let field = it.field_rows(&at, &Vectors::from_rows([[0.0, 0.0, 1.0]]));
    let field: f64 = (0..it.len()).map(|j| field[(0, j)] * sigma[j]).sum();
    let b = it.charged(sigma).b(at.get(0))[2];
    assert!(
        (slope / field - 1.0).abs() < 1e-6 && (MU_0 * field / b - 1.0).abs() < 1e-10,
        "{slope} {field} {b}"
    );
}

#[test]
fn prop_moved_with_its_source() {
    let it = steel(plate(), 1000.0, 300);
    let turn = Pose::rotation_about([1.0, 2.0, 3.0], 0.7);
    let pose = Pose { origin: [0.01, -0.02, 0.03], ..turn };
    let moved = it.moved(&pose);
    let source = block(0.008);
    let there = Placed { source: source.source, world_from_body: pose * source.world_from_body };
    let p = [0.003, 0.001, -0.004];
    let here = it.charged(charges(&it, &source)).b(p);
    let got = moved.charged(charges(&moved, &there)).b(pose.apply(p));
    for (a, b) in pose.apply_to_vector(here).iter().zip(got) {
        assert!((a - b).abs() < 1e-9 * here[2].abs(), "{a} {b}");
    }
}

/// Boxes that touch or overlap act as the box they make.
#[test]
fn prop_overlapping_boxes_are_one() {
    let boxes = |cut: f64, over: f64| SteelShape::Boxes {
        boxes: vec![
            AxisBox { low: [-0.02, -0.02, -0.001], high: [cut + over, 0.02, 0.001] },
            AxisBox { low: [cut, -0.02, -0.001], high: [0.02, 0.02, 0.001] },
        ],
    };
    let at = |shape| {
        let it = steel(shape, 1000.0, 1200);
        it.charged(charges(&it, &block(0.008))).b([0.0, 0.0, -0.003])[2]
    };
    let (whole, split) = (at(plate()), at(boxes(0.0, 0.0)));
    assert!((split / whole - 1.0).abs() < 0.03, "{whole} {split}");
    let overlapping = at(boxes(-0.005, 0.01));
    assert!((overlapping / whole - 1.0).abs() < 0.03, "{whole} {overlapping}");
}

/// A charged segment far away acts as a charge at its middle; beside it, its field is that of many
/// charges in a row.
#[test]
fn cross_segment_load() {
    let it = steel(plate(), 1000.0, 300);
    let segment = Segment { from: [-0.003, 0.001, 0.004], to: [0.004, 0.002, 0.006] };
    let load = it.loads_of_segments(&[segment]);
    for i in (0..it.len()).step_by(17) {
        // Mean over the panel by 20 × 20 points of the field of 400 charges.
        let [a, b, c, d] = it.corners()[i];
        let n = it.rule().normals.get(i);
        let mut mean = 0.0;
        for u in 0..20 {
            for v in 0..20 {
                let (u, v) = ((f64::from(u) + 0.5) / 20.0, (f64::from(v) + 0.5) / 20.0);
                let p: [f64; 3] = std::array::from_fn(|k| {
                    (1.0 - v) * ((1.0 - u) * a[k] + u * b[k]) + v * ((1.0 - u) * d[k] + u * c[k])
                });
                for s in 0..400 {
                    let s = (f64::from(s) + 0.5) / 400.0;
                    let r: [f64; 3] = std::array::from_fn(|k| {
                        p[k] - segment.from[k] - s * (segment.to[k] - segment.from[k])
                    });
                    let size = (r[0] * r[0] + r[1] * r[1] + r[2] * r[2]).sqrt();
                    let along = r[0] * n[0] + r[1] * n[1] + r[2] * n[2];
                    mean += along / (4.0 * std::f64::consts::PI * size.powi(3)) / 160_000.0;
                }
            }
        }
        let strong = 1.0 / (4.0 * std::f64::consts::PI * 0.02_f64.powi(2));
        assert!(
            (load[(i, 0)] - mean).abs() < 2e-3 * mean.abs() + 1e-4 * strong,
            "{i} {} {mean}",
            load[(i, 0)]
        );
    }
}

#[test]
fn prop_same_bits_for_any_threads() {
    let solve = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let it = steel(SteelShape::Cylinder { radius: 0.01, half_length: 0.002 }, 200.0, 300);
            charges(&it, &block(0.008))
        })
    };
    assert_eq!(solve(1), solve(3));
}

#[test]
fn prop_refuses() {
    let new = |bodies: &[SteelBody], panels| Steel::new(bodies, panels).unwrap_err();
    assert_eq!(new(&[body(plate(), 0.5)], 100), SteelError::Permeability { value: 0.5 });
    assert_eq!(new(&[body(plate(), 10.0)], 9000), SteelError::TooManyPanels { wanted: 9000 });
    assert_eq!(new(&[body(SteelShape::Boxes { boxes: vec![] }, 10.0)], 100), SteelError::Empty);
    let sphere = body(SteelShape::Sphere { radius: 0.005 }, 10.0);
    assert_eq!(
        new(&[body(plate(), 10.0), sphere], 200),
        SteelError::Overlap { first: 0, second: 1 }
    );
    let touching =
        SteelBody { world_from_body: Pose::translation([0.0, 0.0, 0.002]), ..body(plate(), 10.0) };
    assert_eq!(
        new(&[body(plate(), 10.0), touching], 200),
        SteelError::Overlap { first: 0, second: 1 }
    );
    assert!(matches!(
        new(&[body(SteelShape::Sphere { radius: -1.0 }, 10.0)], 100),
        SteelError::Size(_)
    ));
}

/// New permeabilities on the same panels are what cutting the bodies anew gives.
#[test]
fn prop_with_permeabilities_is_a_new_body() {
    let body = |permeability| SteelBody {
        shape: SteelShape::Cuboid { half_size: [10e-3, 8e-3, 1e-3] },
        permeability,
        world_from_body: Pose::translation([1e-3, 0.0, -5e-3]),
    };
    let [soft, other] = [1000.0, 150.0].map(|mu| Steel::new(&[body(mu)], 300).expect("a plate"));
    let changed = soft.with_permeabilities(&[body(150.0)]).expect("the same plate");
    let load: Vec<f64> = (0..soft.len()).map(|i| (i as f64).sin()).collect();
    assert_eq!(changed.solve(&load), other.solve(&load));
    assert_ne!(changed.solve(&load), soft.solve(&load));
    assert_eq!(
        soft.with_permeabilities(&[body(0.5)]).err(),
        Some(SteelError::Permeability { value: 0.5 })
    );
}
