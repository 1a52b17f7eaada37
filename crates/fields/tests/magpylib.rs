//! 20,000 random points per shape against a public numerical library (`golden/magpylib_points.py`).

use reedmace_fields::{AnySource, Loop, Magnet, MagnetShape, Source, Vectors};

const J: [f64; 3] = [0.3, -0.5, 1.1];

fn check(shape: &str, source: AnySource, limit: f64) {
    let path = format!("{}/tests/golden/magpylib_{shape}.f64", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let numbers: Vec<f64> =
        bytes.chunks_exact(8).map(|b| f64::from_le_bytes(b.try_into().unwrap())).collect();
    let rows: Vec<&[f64]> = numbers.chunks_exact(6).collect();
    assert_eq!(rows.len(), 20_000);
    let points = Vectors::from_rows(rows.iter().map(|r| [r[0], r[1], r[2]]));
    let mut got = Vectors::zeros(rows.len());
    source.add_b(points.points(), got.view_mut());
    let mut worst = (0.0, 0);
    for (i, row) in rows.iter().enumerate() {
        let b = got.get(i);
        let difference = (0..3).map(|k| (b[k] - row[3 + k]).powi(2)).sum::<f64>().sqrt();
        let size = (0..3).map(|k| row[3 + k].powi(2)).sum::<f64>().sqrt();
        let error = difference / size;
        assert!(error.is_finite());
        if error > worst.0 {
            worst = (error, i);
        }
    }
    println!("{shape}: 20000 points, largest relative difference {:.1e}", worst.0);
    assert!(worst.0 <= limit, "{:e} at {:?}: {:?}", worst.0, rows[worst.1], got.get(worst.1));
}

fn magnet(shape: MagnetShape) -> AnySource {
    Magnet::new(shape, J).unwrap().into()
}

#[test]
fn cross_magpylib_cuboid() {
    check("cuboid", magnet(MagnetShape::Cuboid { half_size: [0.005, 0.003, 0.002] }), 1e-11);
}

#[test]
fn cross_magpylib_cylinder() {
    check("cylinder", magnet(MagnetShape::Cylinder { radius: 0.005, half_length: 0.010 }), 2e-10);
}

#[test]
fn cross_magpylib_ring() {
    let shape = MagnetShape::Ring { inner_radius: 0.005, outer_radius: 0.010, half_length: 0.003 };
    check("ring", magnet(shape), 1e-9);
}

#[test]
fn cross_magpylib_sphere() {
    check("sphere", magnet(MagnetShape::Sphere { radius: 0.005 }), 1e-14);
}

#[test]
fn cross_magpylib_loop() {
    check("loop", Loop::new(0.005, 100.0).unwrap().into(), 1e-13);
}
