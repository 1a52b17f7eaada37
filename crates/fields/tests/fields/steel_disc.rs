//! A disc of steel between a magnet and the point, against finite elements (`golden/fem_disc.py`).

use crate::table::Table;
use reedmace_fields::steel::{Steel, SteelBody, SteelShape};
use reedmace_fields::{Magnet, MagnetShape, Placed, Pose, Source};

/// A point: radius and height, m; B there, T.
struct Place {
    at: [f64; 2],
    b: [f64; 2],
}

/// The steel, the magnet, and the points beside them.
struct Case {
    name: String,
    disc: SteelBody,
    magnet: Placed<Magnet>,
    places: Vec<Place>,
}

fn cases() -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    for line in include_str!("../golden/fem_disc.csv").lines().skip(1) {
        let (name, numbers) = line.split_once(',').unwrap();
        let v: Vec<f64> = numbers.split(',').map(|c| c.parse().unwrap()).collect();
        let [radius, half_thickness, permeability, a, h, middle, j, r, z, br, bz] = v[..] else {
            panic!("{line}");
        };
        if cases.last().is_none_or(|case| case.name != name) {
            let shape = MagnetShape::Cylinder { radius: a, half_length: h };
            cases.push(Case {
                name: name.to_owned(),
                disc: SteelBody {
                    shape: SteelShape::Cylinder { radius, half_length: half_thickness },
                    permeability,
                    world_from_body: Pose::IDENTITY,
                },
                magnet: Placed {
                    source: Magnet::new(shape, [0.0, 0.0, j]).unwrap(),
                    world_from_body: Pose::translation([0.0, 0.0, middle]),
                },
                places: Vec::new(),
            });
        }
        let place = Place { at: [r, z], b: [br, bz] };
        cases.last_mut().unwrap().places.push(place);
    }
    cases
}

impl Case {
    /// Largest errors above the disc, in its shadow and beside it: over |B| of the magnet alone, and over |B|.
    fn errors(&self, steel: &Steel) -> [[f64; 2]; 3] {
        let charged = steel.charged(steel.solve(&steel.load(&self.magnet)));
        let SteelShape::Cylinder { radius, .. } = self.disc.shape else { unreachable!() };
        let mut worst = [[0.0_f64; 2]; 3];
        for place in &self.places {
            let [r, z] = place.at;
            let (ours, alone) = (charged.b([r, 0.0, z]), self.magnet.b([r, 0.0, z]));
            let difference = [0, 2].map(|i| ours[i] + alone[i]);
            let error = (difference[0] - place.b[0]).hypot(difference[1] - place.b[1]);
            let size = place.b[0].hypot(place.b[1]);
            let region = if r >= radius { 2 } else { usize::from(z < 0.0) };
            let scales = [alone[0].hypot(alone[2]), size];
            for (worst, scale) in worst[region].iter_mut().zip(scales) {
                *worst = worst.max(error / scale);
                assert!(error.is_finite());
            }
        }
        worst
    }
}

/// The thinner and the more permeable the disc, the less is left in its shadow and the larger a share of it the
/// panels' error is; it falls as their area.
#[test]
fn cross_disc_by_finite_elements() {
    let mut table = Table::new(
        "steel_disc",
        "Steel: a disc between the magnet and the point",
        "Magnet 10 mm across and 5 mm high over a disc on its axis: a plate, 40 × 2 mm, μ 1000; a foil, \
         40 × 0.5 mm, μ 200; a block, 16 × 8 mm, μ 50. Largest error of B at three to five points of each \
         region, over |B| of the magnet alone and, in the shadow, over what is left of it; against \
         axisymmetric finite elements (`crates/fields/tests/golden/fem_disc.py`), which on two meshes agree \
         to 1e-3 of |B|.",
        "disc | points | panels | error over",
    );
    let limits =
        [[[2e-2, 2e-3], [5e-1, 2e-2]], [[2e-1, 1e-2], [1.0, 1e-1]], [[5e-3, 1e-3], [5e-3, 1e-3]]];
    for (case, [of_alone, of_b]) in cases().iter().zip(limits) {
        let steel = |panels| Steel::new(std::slice::from_ref(&case.disc), panels).unwrap();
        let cuts = [1000, 4000].map(steel);
        let errors = [0, 1].map(|k| case.errors(&cuts[k]));
        for (region, told) in ["above", "shadow", "beside"].into_iter().enumerate() {
            for k in 0..2 {
                let row = format!("{} | {told} | {}", case.name, cuts[k].len());
                table.row(&format!("{row} | the magnet's B"), errors[k][region][0], of_alone[k]);
                if told == "shadow" {
                    table.row(&format!("{row} | B"), errors[k][region][1], of_b[k]);
                }
            }
            let [coarse, fine] = [0, 1].map(|k| errors[k][region][0]);
            assert!(fine < 0.35 * coarse, "{} {told}: {coarse:e} {fine:e}", case.name);
        }
    }
    table.finish();
}
