//! Bodies of steel against exact solutions, laws and independent methods.

use reedmace_fields::steel::{Steel, SteelBody, SteelShape};
use reedmace_fields::{Magnet, MagnetShape, Placed, Pose, Source, Uniform};

fn body(shape: SteelShape, permeability: f64) -> SteelBody {
    SteelBody { shape, permeability, world_from_body: Pose::IDENTITY }
}

#[test]
fn cross_sphere_in_uniform_field() {
    for mu in [1.5, 10.0, 1000.0, f64::INFINITY] {
        for n in [200, 800, 2000] {
            let t = std::time::Instant::now();
            let steel = Steel::new(&[body(SteelShape::Sphere { radius: 0.01 }, mu)], n).unwrap();
            let t = t.elapsed();
            let field = Uniform([0.0, 0.0, 1e-3]);
            let charges = steel.solve(&steel.load(&field));
            let net: f64 = charges.iter().zip(steel.areas()).map(|(c, a)| c * a).sum();
            let b = steel.charged(charges).b([0.0, 0.0, 0.015])[2];
            let factor = if mu.is_infinite() { 1.0 } else { (mu - 1.0) / (mu + 2.0) };
            let want = 2e-3 * factor * (0.01f64 / 0.015).powi(3);
            println!("mu {mu} n {} {t:?} error {:.2e} net {net:.1e}", steel.len(), b / want - 1.0);
        }
    }
}

#[test]
fn cross_plate_and_block() {
    let plate = SteelShape::Cuboid { half_size: [0.02, 0.02, 0.001] };
    let magnet = MagnetShape::Cuboid { half_size: [0.005, 0.005, 0.0025] };
    let block = Placed {
        source: Magnet::new(magnet, [0.0, 0.0, 1.2]).unwrap(),
        world_from_body: Pose::translation([0.0, 0.0, 0.008]),
    };
    for n in [500, 1000, 2000, 4000] {
        let t = std::time::Instant::now();
        let steel = Steel::new(&[body(plate.clone(), 1000.0)], n).unwrap();
        let t = t.elapsed();
        let charged = steel.charged(steel.solve(&steel.load(&block)));
        let at = |p| 1e3 * (charged.b(p)[2] + block.b(p)[2]);
        println!(
            "n {} {t:?} {:.3} {:.4} {:.3}",
            steel.len(),
            at([0.0, 0.0, 0.003]),
            at([0.0, 0.0, -0.003]),
            at([0.015, 0.0, 0.0025])
        );
    }
}
