//! The charged polygon against 50-digit sums, plain quadrature, and what charges must obey.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use crate::table::Table;
use reedmace_fields::{ChargedPolygon, FieldError, Points, Vectors};

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

fn field(polygon: &ChargedPolygon, p: [f64; 3]) -> [f64; 3] {
    let (at, mut out) = (Vectors::from_rows([p]), Vectors::zeros(1));
    polygon.add_field(at.points(), 4.0 * PI, out.view_mut());
    out.get(0)
}

fn potential(polygon: &ChargedPolygon, p: [f64; 3]) -> f64 {
    let (at, mut out) = (Vectors::from_rows([p]), [0.0]);
    polygon.add_potential(at.points(), 4.0 * PI, &mut out);
    out[0]
}

fn rectangle(a: f64, b: f64) -> ChargedPolygon {
    ChargedPolygon::new(&[[-a, -b, 0.0], [a, -b, 0.0], [a, b, 0.0], [-a, b, 0.0]]).unwrap()
}

#[test]
fn cross_mpmath_polygon() {
    let text = include_str!("../golden/truth_polygon.csv");
    let mut worst: BTreeMap<&str, (f64, f64, usize)> = BTreeMap::new();
    for line in text.lines().skip(1) {
        let mut cells = line.split(',');
        let group = cells.next().unwrap();
        let count: usize = cells.next().unwrap().parse().unwrap();
        let v: Vec<f64> = cells.map(|c| c.parse().unwrap()).collect();
        let at = |k: usize| [v[k], v[k + 1], v[k + 2]];
        let corners: Vec<[f64; 3]> = (0..count).map(|k| at(3 * k)).collect();
        let (point, want) = (at(3 * count), at(3 * count + 3));
        let polygon = ChargedPolygon::new(&corners).unwrap();
        let error = length(minus(field(&polygon, point), want)) / length(want);
        let want_potential = v[3 * count + 6];
        let of_potential = (potential(&polygon, point) / want_potential - 1.0).abs();
        let entry = worst.entry(group).or_insert((0.0, 0.0, 0));
        assert!(error.is_finite() && of_potential.is_finite(), "{line}");
        if error > entry.0 && error > 1e-13 {
            println!("{error:e} {line}");
        }
        *entry = (entry.0.max(error), entry.1.max(of_potential), entry.2 + 1);
    }
    let mut table = Table::new(
        "fields_polygon",
        "Field and potential of a charged polygon",
        "Triangles, rectangles, slivers of 1:100 and hexagons against 50-digit sums at awkward points \
         (`crates/fields/tests/golden/truth_polygon.py`). Error: length of the difference over that of the field; \
         of the potential relative.",
        "points | number | of",
    );
    assert_eq!(worst.len(), 8);
    for (group, (error, of_potential, count)) in worst {
        let limit = if group == "edge" { 1e-9 } else { 1e-12 };
        table.row(&format!("{group} | {count} | field"), error, limit);
        table.row(&format!("{group} | {count} | potential"), of_potential, 1e-12);
    }
    table.finish();
}

/// A grid of point charges, which knows nothing of edges and angles.
#[test]
fn cross_quadrature() {
    let (a, b, n) = (1.0, 0.6, 400);
    let polygon = rectangle(a, b);
    for p in [[0.3, -0.2, 0.9], [1.7, 0.4, 0.5], [-2.0, 3.0, -4.0]] {
        let (mut sum, mut scalar) = ([0.0; 3], 0.0);
        for i in 0..n {
            for k in 0..n {
                let middle = |i: usize, half: f64| half * (2.0 * (i as f64 + 0.5) / n as f64 - 1.0);
                let d = minus(p, [middle(i, a), middle(k, b), 0.0]);
                let share = 4.0 * a * b / (n * n) as f64;
                scalar += share / length(d);
                sum = std::array::from_fn(|q| sum[q] + share * d[q] / length(d).powi(3));
            }
        }
        // Midpoints err by (step/height)²/24.
        assert!(length(minus(field(&polygon, p), sum)) < 2e-5 * length(sum));
        assert!((potential(&polygon, p) / scalar - 1.0).abs() < 2e-5);
    }
}

/// On the face the normal part is the mean of both sides, and just off it half the charge to each side.
#[test]
fn prop_face_and_solid_angle() {
    let polygon = rectangle(2e-3, 1e-3);
    let (x, y) = (0.7e-3, -0.2e-3);
    let [above, on, below] = [1e-15, 0.0, -1e-15].map(|z| field(&polygon, [x, y, z]));
    assert!((above[2] - 2.0 * PI).abs() < 1e-10 && (below[2] + 2.0 * PI).abs() < 1e-10);
    assert_eq!(on[2], 0.0);
    assert!((above[0] - on[0]).abs() < 1e-10 && (above[1] - on[1]).abs() < 1e-10);
    assert_eq!(polygon.solid_angle([x, y, 0.0]), 0.0);
    assert!((polygon.solid_angle([0.0, 0.0, 1e-12]) - 2.0 * PI).abs() < 1e-8);
    // Six faces of a cube fill the sphere.
    let face = ChargedPolygon::new(&[
        [1.0, -1.0, -1.0],
        [1.0, 1.0, -1.0],
        [1.0, 1.0, 1.0],
        [1.0, -1.0, 1.0],
    ]);
    assert!((face.unwrap().solid_angle([0.0; 3]) + 4.0 * PI / 6.0).abs() < 1e-15);
}

/// Finite on corners, on edges, on their lines, at distances where squares vanish or overflow.
#[test]
fn prop_finite_everywhere() {
    let triangle =
        ChargedPolygon::new(&[[5.0, 0.0, 0.0], [0.0, 5.0, 0.0], [0.0, 0.0, 5.0]]).unwrap();
    let values = [0.0, 2.0, 3.0, 5.0, -5.0, 1e-300, 1e-160, 1e-17, 1e4, 1e9, 1e60];
    for polygon in [rectangle(5.0, 3.0), rectangle(5.0, 0.05), triangle] {
        for x in values {
            for y in values {
                for z in values {
                    let h = field(&polygon, [x, y, z]);
                    let v = potential(&polygon, [x, y, z]);
                    assert!(h.into_iter().all(f64::is_finite), "{h:?} at {x} {y} {z}");
                    assert!(v.is_finite() && v > 0.0, "{v} at {x} {y} {z} {polygon:?}");
                }
            }
        }
    }
}

/// The field is minus the slope of the potential.
#[test]
fn prop_slope_of_potential() {
    let hexagon: Vec<[f64; 3]> =
        (0..6).map(|k| (f64::from(k) * PI / 3.0).sin_cos()).map(|(s, c)| [c, s, 0.3 * c]).collect();
    let polygon = ChargedPolygon::new(&hexagon).unwrap();
    for p in [[0.2, 0.1, 0.5], [1.4, -0.3, 0.2], [0.1, -3.0, 0.0]] {
        let step = 1e-4;
        let slope: [f64; 3] = std::array::from_fn(|k| {
            let moved = |by: f64| std::array::from_fn(|i| p[i] + if i == k { by } else { 0.0 });
            (potential(&polygon, moved(-step)) - potential(&polygon, moved(step))) / (2.0 * step)
        });
        let h = field(&polygon, p);
        assert!(length(minus(h, slope)) < 1e-7 * length(h), "{h:?} {slope:?}");
    }
}

/// Cut in two, the halves add up to the whole; a batch is its points one by one, to the last bit.
#[test]
fn prop_additive_and_batch() {
    let whole = rectangle(2.0, 1.0);
    let half = |from: f64, to: f64| {
        ChargedPolygon::new(&[[from, -1.0, 0.0], [to, -1.0, 0.0], [to, 1.0, 0.0], [from, 1.0, 0.0]])
            .unwrap()
    };
    let halves = [half(-2.0, 0.3), half(0.3, 2.0)];
    let points = Vectors::from_rows((0..200).map(|i| {
        let t = f64::from(i);
        [(0.37 * t).fract() * 6.0 - 3.0, (0.61 * t).fract() * 4.0 - 2.0, 0.02 * t - 1.99]
    }));
    let (mut all, mut potentials) = (Vectors::zeros(200), vec![0.0; 200]);
    whole.add_field(points.points(), 4.0 * PI, all.view_mut());
    whole.add_potential(points.points(), 4.0 * PI, &mut potentials);
    for (i, got) in potentials.into_iter().enumerate() {
        let p = points.get(i);
        assert_eq!(all.get(i), field(&whole, p));
        assert_eq!(got, potential(&whole, p));
        let parts = halves.each_ref().map(|h| field(h, p));
        let sum: [f64; 3] = std::array::from_fn(|k| parts[0][k] + parts[1][k]);
        assert!(length(minus(sum, all.get(i))) < 1e-13 * length(sum), "{p:?}");
    }
}

#[test]
fn prop_refuses_what_is_no_polygon() {
    let refused = |corners: &[[f64; 3]]| ChargedPolygon::new(corners).unwrap_err();
    let reason = |e| match e {
        FieldError::NotPolygon { reason } => reason,
        other => panic!("{other}"),
    };
    let (o, x, y) = ([0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]);
    assert!(reason(refused(&[o, x])).contains("fewer"));
    assert!(reason(refused(&[o, x, [2.0, 0.0, 0.0]])).contains("no area"));
    assert!(reason(refused(&[o, x, [1.0, 1.0, 0.1], y])).contains("plane"));
    assert!(reason(refused(&[o, x, [0.2, 0.2, 0.0], y])).contains("convex"));
    assert!(reason(refused(&[o, o, x, y])).contains("same"));
    assert!(matches!(refused(&[o, x, [f64::NAN, 0.0, 0.0]]), FieldError::NotFinite { .. }));
    let turned = ChargedPolygon::new(&[o, y, x]).unwrap();
    assert_eq!((turned.normal(), turned.area()), ([0.0, 0.0, -1.0], 0.5));
    let none = Points { x: &[], y: &[], z: &[] };
    turned.add_potential(none, 1.0, &mut []);
}
