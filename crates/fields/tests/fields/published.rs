//! Fields against closed forms on the axis and values printed or computed elsewhere.

use reedmace_fields::{Coil, Loop, Magnet, MagnetShape, Solenoid, Source, gauss_legendre};

const MM: f64 = 1e-3;

#[track_caller]
fn close(got: f64, want: f64, tolerance: f64) {
    let scale = want.abs().max(1e-12);
    assert!((got - want).abs() <= tolerance * scale, "got {got:e}, want {want:e}");
}

fn mm(point: [f64; 3]) -> [f64; 3] {
    point.map(|c| c * MM)
}

/// Field in mT at a point in mm.
fn milli(source: &impl Source, point: [f64; 3]) -> [f64; 3] {
    source.b(mm(point)).map(|c| c * 1e3)
}

fn cylinder(polarization: [f64; 3]) -> Magnet {
    Magnet::new(MagnetShape::Cylinder { radius: 5.0 * MM, half_length: 10.0 * MM }, polarization)
        .unwrap()
}

/// Printed in a public library's own unit tests, 8 digits or more (with the older exact μ0: 5e-10 apart).
#[test]
fn val_loop_axis() {
    let source = Loop::new(1.0, 1000.0).unwrap();
    let printed = [
        0.628_318_530_717_958_6e-3,
        2.221_441_469_079_183_5e-4,
        5.619_851_784_832_581e-5,
        1.986_917_653_159_220_5e-5,
    ];
    for (z, want) in printed.into_iter().enumerate() {
        close(source.b([0.0, 0.0, z as f64])[2], want, 1e-8);
    }
}

/// Computed elsewhere from elliptic integrals and a public library, 9 digits; μT.
#[test]
fn cross_loop_off_axis() {
    let source = Loop::new(0.1, 1.0).unwrap();
    for (r, z, br, bz) in [
        (0.05, 0.0, 0.0, 7.826_465_12),
        (0.05, 0.05, 1.616_890_84, 4.345_848_94),
        (0.08, 0.02, 5.093_846_02, 8.162_790_15),
        (0.15, 0.0, 0.0, -1.789_118_91),
        (0.15, 0.10, 0.800_877_906, 0.176_679_291),
    ] {
        let b = source.b([r, 0.0, z]).map(|c| c * 1e6);
        close(b[0], br, 1e-8);
        close(b[2], bz, 1e-8);
    }
}

/// Computed elsewhere from the closed form on the axis: diameter 10, length 20 mm, 1.2 T; distance from the face.
#[test]
fn cross_cylinder_axis() {
    let magnet = cylinder([0.0, 0.0, 1.2]);
    for (gap, want) in [
        (0.0, 582.0855),
        (1.0, 466.014_05),
        (5.0, 164.084_34),
        (10.0, 55.180_04),
        (20.0, 13.281_226),
        (50.0, 1.452_905_8),
    ] {
        close(milli(&magnet, [0.0, 0.0, 10.0 + gap])[2], want, 1e-6);
    }
}

/// Computed elsewhere with a public library, 8 digits.
#[test]
fn cross_cylinder_off_axis() {
    let magnet = cylinder([0.0, 0.0, 1.2]);
    for (x, z, bx, bz) in [
        (10.0, 0.0, 0.0, -53.993_308),
        (10.0, 10.0, 77.036_504, -13.163_446),
        (5.0, 15.0, 72.947_068, 96.181_715),
        (20.0, 20.0, 10.264_763, 2.180_386_9),
    ] {
        let b = milli(&magnet, [x, 0.0, z]);
        close(b[0], bx, 1e-7);
        close(b[2], bz, 1e-7);
    }
}

/// Computed elsewhere with a public library, good to 6 digits by its own statement: magnetised across, along x.
#[test]
fn cross_cylinder_diametral() {
    let magnet = cylinder([1.2, 0.0, 0.0]);
    for (point, want) in [
        ([15.0, 0.0, 0.0], [64.398_525, 0.0, 0.0]),
        ([0.0, 15.0, 0.0], [-37.728_058, 0.0, 0.0]),
        ([10.0, 5.0, 5.0], [77.009_010, 75.710_165, 30.225_417]),
    ] {
        let b = milli(&magnet, point);
        for i in 0..3 {
            assert!((b[i] - want[i]).abs() < 1e-6 * 37.7, "{b:?} {want:?}");
        }
    }
}

/// Computed elsewhere: block 10 x 6 x 4 mm, 1.2 T through the 4 mm, on its axis and off it.
#[test]
fn cross_block() {
    let shape = MagnetShape::Cuboid { half_size: mm([5.0, 3.0, 2.0]) };
    let magnet = Magnet::new(shape, [0.0, 0.0, 1.2]).unwrap();
    for (gap, want) in
        [(1.0, 314.276_65), (5.0, 83.332_488), (10.0, 22.280_992), (20.0, 4.081_560_3)]
    {
        close(milli(&magnet, [0.0, 0.0, 2.0 + gap])[2], want, 1e-7);
    }
    let b = milli(&magnet, [8.0, 4.0, 6.0]);
    for (got, want) in b.into_iter().zip([25.399_967, 15.228_682, 4.125_030_4]) {
        close(got, want, 1e-6);
    }
}

/// Computed elsewhere: ring 20/10 x 6 mm, 1.2 T, on its axis. The sign changes.
#[test]
fn cross_ring_axis() {
    let shape = MagnetShape::Ring {
        inner_radius: 5.0 * MM,
        outer_radius: 10.0 * MM,
        half_length: 3.0 * MM,
    };
    let magnet = Magnet::new(shape, [0.0, 0.0, 1.2]).unwrap();
    for (gap, want) in
        [(1.0, -86.195_226), (5.0, 53.680_069), (10.0, 48.503_241), (20.0, 16.232_681)]
    {
        close(milli(&magnet, [0.0, 0.0, 3.0 + gap])[2], want, 1e-7);
    }
}

/// Closed form: 2/3 J (R/z)³ on the axis.
#[test]
fn cross_sphere_axis() {
    let magnet = Magnet::new(MagnetShape::Sphere { radius: 5.0 * MM }, [0.0, 0.0, 1.2]).unwrap();
    close(milli(&magnet, [0.0, 0.0, 20.0])[2], 12.5, 1e-15);
    close(milli(&magnet, [1.0, 2.0, 3.0])[2], 800.0, 1e-15);
}

/// Computed elsewhere from the closed form on the axis, winding radii 3 and 6, length 20 mm, 100 A.
#[test]
fn cross_thick_coil_axis() {
    let coil = Coil::new(3.0 * MM, 6.0 * MM, 10.0 * MM, 100.0).unwrap();
    for (z, want) in
        [(0.0, 5.720_878_99), (5.0, 5.346_906_21), (10.0, 3.062_632_44), (15.0, 0.749_014_637)]
    {
        close(milli(&coil, [0.0, 0.0, z])[2], want, 1e-8);
    }
}

/// Computed elsewhere from the closed form on the axis, radius 5, length 20 mm, 100 A.
#[test]
fn cross_solenoid_axis() {
    let coil = Solenoid::new(5.0 * MM, 10.0 * MM, 100.0).unwrap();
    for (z, want) in [(0.0, 5.619_851_78), (10.0, 3.047_792_55), (20.0, 0.288_922_012)] {
        close(milli(&coil, [0.0, 0.0, z])[2], want, 1e-8);
    }
}

/// Closed form (4/5)^(3/2) μ0 I/R midway between two loops a radius apart.
#[test]
fn cross_helmholtz() {
    let one = Loop::new(0.1, 1.0).unwrap().b([0.0, 0.0, 0.05])[2];
    close(2.0 * one * 1e6, 8.991_762_86, 1e-8);
    close(2.0 * one, 0.8_f64.powf(1.5) * reedmace_fields::MU_0 / 0.1, 1e-15);
}

/// Flux of one loop through another on its axis, nH, by Maxwell's form in elliptic integrals computed elsewhere; the
/// first is a worked example of `[grover1946]`, 0.24879 μH, from memory.
#[test]
fn cross_mutual_inductance_of_loops() {
    let cases = [
        ([0.25, 0.20, 0.10], 248.787_359),
        ([0.25, 0.25, 0.20], 167.085_784),
        ([0.1, 0.1, 0.1], 49.407_846),
        ([0.02, 0.01, 0.005], 9.593_294),
    ];
    for ([a, b, apart], want) in cases {
        let source = Loop::new(a, 1.0).unwrap();
        let ring = |(x, w): (f64, f64)| {
            let r = 0.5 * b * (1.0 + x);
            std::f64::consts::PI * b * w * r * source.b([r, 0.0, apart])[2]
        };
        close(1e9 * gauss_legendre::<40>().into_iter().map(ring).sum::<f64>(), want, 1e-7);
    }
}

/// Moment 1.5 A m² is 300 μT at 0.1 m; the exact field, computed elsewhere from the closed form, 304.912 μT.
#[test]
fn cross_cylinder_far() {
    let magnet = cylinder([0.0, 0.0, 1.2]);
    close(magnet.moment()[2], 1.5, 1e-8);
    close(magnet.b([0.0, 0.0, 0.1])[2] * 1e6, 304.912, 2e-6);
}

/// At the face of a very long cylinder half the polarization is left.
#[test]
fn cross_semi_infinite_face() {
    let shape = MagnetShape::Cylinder { radius: 1.0, half_length: 500.0 };
    let magnet = Magnet::new(shape, [0.0, 0.0, 1.2]).unwrap();
    close(magnet.b([0.0, 0.0, 500.0])[2], 0.6, 1e-6);
}
