//! Panels finer near given places.

use reedmace_fields::Pose;
use reedmace_fields::steel::{Steel, SteelBody, SteelShape};

/// Places near a plate draw its panels to them, and the answer nears that of many even panels.
#[test]
fn prop_finer_near_converges_faster() {
    let body = |_: usize| SteelBody {
        shape: SteelShape::Cuboid { half_size: [50e-3, 50e-3, 1e-3] },
        permeability: 1000.0,
        world_from_body: Pose::IDENTITY,
    };
    let shape = reedmace_fields::MagnetShape::Cuboid { half_size: [2e-3; 3] };
    let magnet = reedmace_fields::Placed {
        source: reedmace_fields::Magnet::new(shape, [0.0, 0.0, 1.2]).expect("a magnet"),
        world_from_body: Pose::translation([0.0, 0.0, 6e-3]),
    };
    let at = [2e-3, 0.0, 3e-3];
    let field = |steel: &Steel| {
        let charged = steel.charged(steel.solve(&steel.load(&magnet)));
        reedmace_fields::Source::b(&charged, at)[2]
    };
    let near = [magnet.world_from_body.origin, at];
    let finest = field(&Steel::finer_near(&[body(0)], 3000, &near).expect("a plate"));
    let even = field(&Steel::new(&[body(0)], 500).expect("a plate"));
    let finer = field(&Steel::finer_near(&[body(0)], 500, &near).expect("a plate"));
    assert!((finer - finest).abs() < 0.5 * (even - finest).abs(), "{even} {finer} {finest}");
}
