//! Random points against a public numerical library (`golden/magpylib_points.py`): 20,000 per shape, 400 of
//! the ring segment.
//!
//! `cargo xtask magpylib` compares more shapes and sizes live, at 100,000 points each.

use crate::table::Table;
use reedmace_fields::{Loop, Magnet, MagnetShape, RingSegment, Source, Vectors};

const J: [f64; 3] = [0.3, -0.5, 1.1];

/// Relative differences at the points of one shape, rising.
fn differences(shape: &str, source: &dyn Source) -> Vec<f64> {
    let path = format!("{}/tests/golden/magpylib_{shape}.f64", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let numbers: Vec<f64> =
        bytes.chunks_exact(8).map(|b| f64::from_le_bytes(b.try_into().unwrap())).collect();
    let rows: Vec<&[f64]> = numbers.chunks_exact(6).collect();
    let points = Vectors::from_rows(rows.iter().map(|r| [r[0], r[1], r[2]]));
    let mut got = Vectors::zeros(rows.len());
    source.add_b(points.points(), got.view_mut());
    let mut errors: Vec<f64> = (0..rows.len())
        .map(|i| {
            let (b, row) = (got.get(i), rows[i]);
            let difference = (0..3).map(|k| (b[k] - row[3 + k]).powi(2)).sum::<f64>().sqrt();
            let size = (0..3).map(|k| row[3 + k].powi(2)).sum::<f64>().sqrt();
            let error = difference / size;
            assert!(error.is_finite(), "{row:?}: {b:?}");
            error
        })
        .collect();
    errors.sort_by(f64::total_cmp);
    errors
}

fn magnet(shape: MagnetShape) -> Magnet {
    Magnet::new(shape, J).unwrap()
}

#[test]
fn cross_magpylib() {
    let cuboid = magnet(MagnetShape::Cuboid { half_size: [0.005, 0.003, 0.002] });
    let cylinder = magnet(MagnetShape::Cylinder { radius: 0.005, half_length: 0.010 });
    let sphere = magnet(MagnetShape::Sphere { radius: 0.005 });
    let ring =
        magnet(MagnetShape::Ring { inner_radius: 0.005, outer_radius: 0.010, half_length: 0.003 });
    let circle = Loop::new(0.005, 100.0).unwrap();
    let mut table = Table::new(
        "fields_magpylib_stored",
        "Fields against a public library, stored",
        "Random points, half of them within 3 sizes, the others to 10, against values computed with \
         [ortner2020] and kept in the repository (`crates/fields/tests/golden/magpylib_points.py`). Error: \
         length of the difference over |B|; the limits are what the library can do.",
        "shape | points",
    );
    let shapes: [(&str, &dyn Source, f64); 5] = [
        ("cuboid", &cuboid, 1e-11),
        ("cylinder", &cylinder, 2e-10),
        ("ring", &ring, 1e-9),
        ("sphere", &sphere, 1e-14),
        ("loop", &circle, 1e-13),
    ];
    for (shape, source, limit) in shapes {
        let errors = differences(shape, source);
        assert_eq!(errors.len(), 20_000);
        table.row(&format!("{shape} | {}", errors.len()), errors[errors.len() - 1], limit);
    }
    // Its closed form of the segment loses digits by cancellation, far away most of all.
    let angles = [(-30_f64).to_radians(), 75_f64.to_radians()];
    let segment = RingSegment::new([0.005, 0.010], 0.003, angles, J).unwrap();
    let errors = differences("segment", &segment);
    assert_eq!(errors.len(), 400);
    table.row("ring segment, half of them | 400", errors[199], 3e-9);
    table.row("ring segment, nine of ten | 400", errors[359], 3e-8);
    table.row("ring segment | 400", errors[399], 3e-6);
    table.finish();
}
