//! Prisms of steel in a uniform field: their demagnetizing factors.
//!
//! `N = H/M − 1/χ`, M the mean over the volume or over the middle section (`[chen1991]`). As χ vanishes the
//! polarization becomes uniform and the factors those of `[aharoni1998]`.

use std::f64::consts::PI;

use crate::table::Table;
use reedmace_fields::iron::{BhCurve, IronBody, NonlinearIron, Symmetry, graded};
use reedmace_fields::steel::{Steel, SteelBody, SteelShape};
use reedmace_fields::{MU_0, Magnet, MagnetShape, Pose, Source, Uniform, gauss_legendre};

/// Here the factors are within 3e-6 of those for a susceptibility of nothing.
const WEAK: f64 = 1e-4;

fn steel(half_size: [f64; 3], chi: f64) -> Steel {
    let (shape, permeability) = (SteelShape::Cuboid { half_size }, 1.0 + chi);
    let body = [SteelBody { shape, permeability, world_from_body: Pose::IDENTITY }];
    // Cut in the middle, where the flux is counted.
    let cut = |it: &Steel| it.rule().points.z.iter().all(|z| z.abs() > 1e-6 * half_size[2]);
    let cuts = (1800..2050).step_by(50).rev().map(|panels| Steel::new(&body, panels).unwrap());
    cuts.into_iter().find(cut).expect("a number of panels that are even along z")
}

/// Dipole moment over the volume of a body in a unit field along z.
///
/// Its field on the axis is that of the moment and of terms that fall with squares of the distance; nearer
/// than a hundred radii the charges have lost no digits yet.
fn polarizability(charged: &dyn Source, volume: f64) -> f64 {
    let mut moments: Vec<f64> = [5.0, 10.0, 20.0, 40.0]
        .map(|radii| {
            let z = radii * charged.bounding_radius();
            charged.b([0.0, 0.0, z])[2] * 2.0 * PI * z.powi(3) / MU_0
        })
        .to_vec();
    let mut share = 1.0;
    while moments.len() > 1 {
        share *= 4.0;
        moments = moments.windows(2).map(|m| m[1] + (m[1] - m[0]) / (share - 1.0)).collect();
    }
    moments[0] / volume
}

/// Factors of the volume and of the middle section of a prism along z, half sizes in m.
fn factors(half_size: [f64; 3], chi: f64) -> [f64; 2] {
    let it = steel(half_size, chi);
    let sigma = it.solve(&it.load(&Uniform([0.0, 0.0, MU_0])));
    let (z, areas) = (&it.rule().points.z, it.areas());
    // What leaves the upper half came through the middle.
    let upper = (0..it.len()).filter(|&i| z[i] > 0.0);
    let through: f64 = upper.map(|i| sigma[i] * areas[i]).sum();
    let section = 4.0 * half_size[0] * half_size[1];
    let volume = 2.0 * half_size[2] * section;
    let mean = polarizability(&it.charged(sigma), volume);
    [1.0 / mean - 1.0 / chi, section / through - 1.0 / chi]
}

/// Factor of the middle section of a uniformly polarized prism, from its closed-form field.
fn uniform_section(half_size: [f64; 3]) -> f64 {
    let magnet = Magnet::new(MagnetShape::Cuboid { half_size }, [0.0, 0.0, 1.0]).unwrap();
    let rule = gauss_legendre::<40>();
    // A quarter of the section, the nodes crowded where the field is steep: at the edges.
    let mut mean = 0.0;
    for (u, wu) in &rule {
        for (v, wv) in &rule {
            let at = |t: f64| (0.25 * PI * (t + 1.0)).sin();
            let slope = |t: f64| 0.25 * PI * (0.25 * PI * (t + 1.0)).cos();
            let p = [half_size[0] * at(*u), half_size[1] * at(*v), 0.0];
            mean += wu * slope(*u) * wv * slope(*v) * magnet.b(p)[2];
        }
    }
    1.0 - mean
}

const MM: f64 = 1e-3;

/// Volume factors evaluated elsewhere from the closed form of Aharoni 1998, whose digits are given; the
/// section's from our own field of a uniformly polarized cuboid.
#[test]
fn cross_weak_prisms() {
    let mut table = Table::new(
        "steel_prisms_weak",
        "Steel: prisms of low permeability in a field along z",
        "Demagnetizing factors of the volume, against the closed form [aharoni1998] evaluated elsewhere, and \
         of the middle section, against the closed-form field of a uniformly polarized cuboid. χ = 1e-4, 2000 \
         panels or a few less.",
        "edges x : y : z | volume | section | of",
    );
    for (size, volume) in [
        ([1.0, 1.0, 0.1], 0.805_077_6),
        ([1.0, 1.0, 0.5], 0.495_922),
        ([1.0, 1.0, 1.0], 1.0 / 3.0),
        ([1.0, 1.0, 2.0], 0.198_316_2),
        ([1.0, 1.0, 5.0], 0.088_315_74),
        ([1.0, 1.0, 10.0], 0.045_731_19),
        ([2.0, 3.0, 1.0], 0.538_790_3),
        ([1.0, 3.0, 2.0], 0.278_391_7),
        ([1.0, 2.0, 3.0], 0.182_818),
        ([1.0, 10.0, 2.0], 0.326_623_1),
        ([2.0, 10.0, 1.0], 0.611_526_7),
        ([2.0, 1.0, 10.0], 0.061_850_18),
        ([0.2, 10.0, 1.0], 0.192_359_5),
        ([1.0, 10.0, 0.2], 0.789_702_9),
        ([1.0, 0.2, 10.0], 0.017_937_6),
    ] {
        let half_size = size.map(|c| c * MM);
        let section = uniform_section(half_size);
        let got = factors(half_size, WEAK);
        let [x, y, z] = size;
        let row = format!("{x} : {y} : {z} | {volume:.6} | {section:.6}");
        table.row(&format!("{row} | volume"), (got[0] - volume).abs(), 5e-4);
        table.row(&format!("{row} | section"), (got[1] - section).abs(), 1e-5);
    }
    table.finish();
}

/// By volume cells of iron, finer towards faces: 12 along each edge, 20 along one five times as long as others.
fn factor_by_cells(half_size: [f64; 3], chi: f64) -> f64 {
    let least = half_size.into_iter().fold(f64::INFINITY, f64::min);
    let planes = half_size.map(|half| {
        let (cells, ratio) = if half < 4.0 * least { (6, 1.5) } else { (10, 1.35) };
        let mut planes = graded(-half, 0.0, cells, ratio);
        planes.extend_from_slice(&graded(0.0, half, cells, 1.0 / ratio)[1..]);
        planes
    });
    let curve = BhCurve::linear(1.0 + chi).unwrap();
    let body = IronBody::block(curve, planes, Pose::IDENTITY).unwrap();
    let along_z = Symmetry::none().flux_along(0).flux_along(1).flux_across(2);
    let iron = NonlinearIron::new(vec![body], &along_z).unwrap();
    let solved = iron.solve(&Uniform([0.0, 0.0, MU_0])).unwrap();
    let volume = 8.0 * half_size[0] * half_size[1] * half_size[2];
    1.0 / polarizability(&solved, volume) - 1.0 / chi
}

/// Charges on the surface against fluxes through volume cells, two methods with little in common; and the
/// cube of infinite permeability, whose moment is 3.6442 volumes (`[sihvola2004]`, from memory, unverified).
#[test]
fn cross_permeable_prisms() {
    let mut table = Table::new(
        "steel_prisms_permeable",
        "Steel: permeable prisms in a field along z",
        "Demagnetizing factor of the volume by charges on the surface, 2000 panels or a few less, against \
         fluxes through volume cells, 12 along each edge, 20 along long ones, which are themselves 0.1 % \
         off on a cube; the cube of infinite permeability against [sihvola2004], from memory. Error: of \
         the moment, relative.",
        "edges x : y : z | χ | charges | other",
    );
    let cube = factors([MM; 3], f64::INFINITY)[0];
    let known: f64 = 1.0 / 3.6442;
    let row = format!("1 : 1 : 1 | inf | {cube:.6} | {known:.6}");
    table.row(&row, (known / cube - 1.0).abs(), 1e-3);
    for (size, chi) in [
        ([1.0, 1.0, 1.0], 9.0),
        ([1.0, 1.0, 1.0], 999.0),
        ([1.0, 1.0, 5.0], 9.0),
        ([1.0, 1.0, 5.0], 99.0),
        ([1.0, 1.0, 0.2], 99.0),
        ([1.0, 0.2, 10.0], 99.0),
    ] {
        let half_size = size.map(|c| c * MM);
        let (charges, cells) = (factors(half_size, chi)[0], factor_by_cells(half_size, chi));
        let [x, y, z] = size;
        let row = format!("{x} : {y} : {z} | {chi} | {charges:.6} | {cells:.6}");
        let error = (cells + 1.0 / chi) / (charges + 1.0 / chi) - 1.0;
        table.row(&row, error.abs(), 5e-3);
    }
    table.finish();
}
