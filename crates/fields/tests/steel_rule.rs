//! Steel under sources that nearly touch it.

use reedmace_fields::steel::{Steel, SteelBody, SteelRule, SteelShape};
use reedmace_fields::{Magnet, MagnetShape, Placed, Pose, Source, Vectors};
use std::fmt::Write as _;

/// A plate of 60 × 40 × 1.5 mm, its lower face at z = 0, finer along a line 3 mm above it.
fn plate(panels: usize) -> Steel {
    let body = SteelBody {
        shape: SteelShape::Cuboid { half_size: [30e-3, 20e-3, 0.75e-3] },
        permeability: 1000.0,
        world_from_body: Pose::translation([0.0, 0.0, 0.75e-3]),
    };
    let near: Vec<[f64; 3]> = (-10..=10).map(|k| [2e-3 * f64::from(k), 0.0, 4.5e-3]).collect();
    Steel::finer_near(&[body], panels, &near).expect("a plate that can exist")
}

/// A block of 10 × 5 × 5 mm magnetised along x, its upper face `gap` under the plate.
fn block(x: f64, gap: f64) -> Placed<Magnet> {
    let shape = MagnetShape::Cuboid { half_size: [5e-3, 2.5e-3, 2.5e-3] };
    Placed {
        source: Magnet::new(shape, [1.2, 0.0, 0.0]).expect("a magnet that can exist"),
        world_from_body: Pose::translation([x, 1e-3, -gap - 2.5e-3]),
    }
}

/// Mean B along x over ten places 3 mm above the plate, T: what is left there of the block's field.
fn left(steel: &Steel, load: &[f64], source: &dyn Source) -> f64 {
    let at = Vectors::from_rows((0..10).map(|k| [1e-3 * f64::from(k), 0.0, 4.5e-3]));
    let mut b = Vectors::zeros(at.len());
    source.add_b(at.points(), b.view_mut());
    steel.charged(steel.solve(load)).add_b(at.points(), b.view_mut());
    b.x.iter().sum::<f64>() / at.len() as f64
}

fn load_by_centres(steel: &Steel, source: &dyn Source) -> Vec<f64> {
    let mut b = Vectors::zeros(steel.len());
    source.add_b(steel.rule().points.points(), b.view_mut());
    steel.rule().load_of(&b)
}

/// In the shadow of a plate that a block nearly touches, against 5000 panels. Looked at in
/// their centres alone, the shadow is lost in error.
#[test]
fn cross_shadow_of_a_plate_that_a_block_nearly_touches() {
    let (it, finer) = (plate(2000), plate(5000));
    let mut table = String::from(
        "## Steel: the shadow of a plate that a magnet nearly touches\n\n\
         Field 3 mm behind a plate 1.5 mm thick, a block close to its other face, at its greatest over 20 \
         places of the block. 2000 panels, the field of the block looked at on pieces of them or in their \
         centres alone, against 5000.\n\n\
         | gap, mm | without the plate, mT | in its shadow, mT | off, mT | off by centres alone, mT |\n\
         |--:|--:|--:|--:|--:|\n",
    );
    let mut worst = 0.0_f64;
    for gap in [0.02, 0.1, 0.5, 2.0, 8.0] {
        let [mut without, mut shadow, mut off, mut by_centres] = [0.0_f64; 4];
        for k in 0..20 {
            let source = block(0.73e-3 * f64::from(k) - 7e-3, 1e-3 * gap);
            let bare = left(&it, &vec![0.0; it.len()], &source);
            let expected = left(&finer, &finer.load(&source), &source);
            without = without.max(bare.abs());
            shadow = shadow.max(expected.abs());
            off = off.max((left(&it, &it.load(&source), &source) - expected).abs());
            let rough = left(&it, &load_by_centres(&it, &source), &source);
            by_centres = by_centres.max((rough - expected).abs());
        }
        let [a, b, c, d] = [without, shadow, off, by_centres].map(|tesla| 1e3 * tesla);
        writeln!(table, "| {gap} | {a:.1} | {b:.2} | {c:.3} | {d:.3} |").unwrap();
        worst = worst.max(off / without);
        assert!(off < 1.01 * by_centres && (gap > 1.0 || off < 0.05 * by_centres), "{table}");
    }
    println!("{table}");
    assert!(worst < 0.006, "{worst}");
    let directory = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/validation");
    std::fs::create_dir_all(directory).unwrap();
    std::fs::write(format!("{directory}/steel-near-plate.md"), table).unwrap();
}

/// A load moves with steel and source, and weights on the field at the points of a rule give what weights
/// on the load do.
#[test]
fn prop_a_rule_on_pieces_moves_and_has_its_adjoint() {
    let (it, source) = (plate(300), block(2e-3, 0.3e-3));
    let (load, rule) = (it.load(&source), it.rule_on(&it.pieces(&source)));
    assert!(rule.points.len() > it.len(), "no panel is in pieces");
    let weights: Vec<f64> = (0..it.len()).map(|i| (0.3 * i as f64).sin()).collect();
    let expected: f64 = weights.iter().zip(&load).map(|(w, h)| w * h).sum();
    let on_field = rule.on_normal_field(&weights);
    let along = |i: usize| {
        let (b, n) = (source.b(rule.points.get(i)), rule.normals.get(i));
        b[0] * n[0] + b[1] * n[1] + b[2] * n[2]
    };
    let sum: f64 = on_field.iter().enumerate().map(|(i, w)| w * along(i)).sum();
    assert!((sum / expected - 1.0).abs() < 1e-10, "{sum} {expected}");
    let pose = Pose::from_z([0.01, -0.02, 0.03], [0.2, -0.5, 0.7]).expect("an axis");
    let moved = Placed { source: source.source, world_from_body: pose * source.world_from_body };
    let most = load.iter().fold(0.0_f64, |most, h| most.max(h.abs()));
    for (a, b) in it.moved(&pose).load(&moved).iter().zip(&load) {
        assert!((a - b).abs() < 1e-9 * most, "{a} {b}");
    }
}

/// Cutting panels into pieces changes nothing where a field's means tell all: a uniform field, and one
/// with a slope, of which the pieces' share is what the panels' slopes expect.
#[test]
fn prop_pieces_leave_smooth_fields_as_they_are() {
    let it = plate(300);
    let pieces = it.pieces(&block(2e-3, 0.3e-3));
    let load_on = |rule: &SteelRule, slope: f64| {
        let field = |p: [f64; 3]| [0.0, 0.0, 1.0 + slope * p[0]];
        let b = Vectors::from_rows((0..rule.points.len()).map(|i| field(rule.points.get(i))));
        rule.load_of(&b)
    };
    for slope in [0.0, 100.0] {
        let (plain, cut) = (load_on(it.rule(), slope), load_on(&it.rule_on(&pieces), slope));
        let most = plain.iter().fold(0.0_f64, |most, h| most.max(h.abs()));
        for (a, b) in plain.iter().zip(&cut) {
            assert!((a - b).abs() < 1e-4 * most, "{slope}: {a} {b}");
        }
    }
}
