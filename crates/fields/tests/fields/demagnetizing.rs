//! Demagnetizing factors and Nagaoka's coefficient.

use reedmace_fields::{Magnet, MagnetShape, Source, nagaoka};

#[track_caller]
fn close(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "got {got}, want {want}");
}

fn cuboid(a: f64, b: f64, c: f64) -> [f64; 3] {
    MagnetShape::Cuboid { half_size: [a, b, c] }.demagnetizing_factors()
}

fn ring(inner_radius: f64, outer_radius: f64, half_length: f64) -> MagnetShape {
    MagnetShape::Ring { inner_radius, outer_radius, half_length }
}

/// Nagaoka's table of 1909 as quoted in a public library's test, diameter over length 0 to 10 by 0.5.
/// Its fifth and sixth digits are off from 4 on, hence the tolerance.
#[test]
fn val_nagaoka_1909() {
    let table = [
        0.818136, 0.688423, 0.595045, 0.52551, 0.471865, 0.429199, 0.394401, 0.365438, 0.340898,
        0.319825, 0.301502, 0.285406, 0.271144, 0.258407, 0.246982, 0.236581, 0.227147, 0.218528,
        0.210617, 0.203315,
    ];
    for (i, want) in table.into_iter().enumerate() {
        close(nagaoka(0.5 * (i + 1) as f64), want, 5e-5);
    }
    close(nagaoka(0.25), 0.901649, 5e-5);
    close(nagaoka(0.0), 1.0, 1e-15);
}

/// The same coefficient computed elsewhere to more digits.
#[test]
fn cross_nagaoka() {
    for (ratio, want) in [
        (0.25, 0.901_649_33),
        (1.0, 0.688_422_61),
        (5.0, 0.319_825_47),
        (10.0, 0.203_323_52),
        (0.5, 0.818_135_75),
        (2.0, 0.525_510_02),
        (3.0, 0.429_198_62),
        (4.0, 0.365_431_9),
    ] {
        close(nagaoka(ratio), want, 1e-7);
    }
}

/// [chen1991] as quoted in a public collection, length over diameter 1, 2, 5.
#[test]
fn val_cylinder_chen_1991() {
    for (ratio, want) in [(1.0, 0.31158), (2.0, 0.18186), (5.0, 0.07991)] {
        let shape = MagnetShape::Cylinder { radius: 1.0, half_length: ratio };
        close(shape.demagnetizing_factors()[2], want, 5e-6);
    }
}

/// Computed elsewhere from the inductance identity, length over diameter.
#[test]
fn cross_cylinder() {
    for (ratio, want) in [
        (0.1, 0.796676),
        (0.2, 0.680175),
        (0.5, 0.474490),
        (1.0, 0.311577),
        (2.0, 0.181864),
        (5.0, 0.0799073),
        (10.0, 0.0411929),
        (20.0, 0.0209083),
        (50.0, 0.00843827),
        (100.0, 0.00423163),
    ] {
        let shape = MagnetShape::Cylinder { radius: 1.0, half_length: ratio };
        close(shape.demagnetizing_factors()[2], want, 1e-6);
    }
}

/// A disc 10,000 times wider than thick demagnetizes itself wholly.
#[test]
fn cross_thin_disc() {
    let shape = MagnetShape::Cylinder { radius: 1.0, half_length: 1e-4 };
    close(shape.demagnetizing_factors()[2], 1.0, 1e-3);
}

/// Computed elsewhere from the closed form of Aharoni 1998; the cube follows from symmetry.
#[test]
fn cross_prism() {
    for (c, want) in
        [(2.0, 0.1983162), (5.0, 0.08831574), (10.0, 0.04573119), (0.5, 0.495922), (0.1, 0.8050776)]
    {
        close(cuboid(1.0, 1.0, c)[2], want, 1e-6);
    }
    for (size, want) in [
        ([1.0, 2.0, 3.0], [0.5387903, 0.2783917, 0.182818]),
        ([2.0, 1.0, 10.0], [0.3266231, 0.6115267, 0.06185018]),
        ([1.0, 0.2, 10.0], [0.1923595, 0.7897029, 0.0179376]),
    ] {
        let [a, b, c] = size;
        for (got, want) in cuboid(a, b, c).into_iter().zip(want) {
            close(got, want, 1e-6);
        }
    }
    close(cuboid(1.0, 1.0, 1.0)[2], 1.0 / 3.0, 1e-15);
}

/// The mean field over the body, from its own kernel on a grid, gives the same factor.
#[test]
fn cross_mean_field_of_kernel() {
    let shapes = [
        ring(2.0, 5.0, 1.5),
        MagnetShape::Cylinder { radius: 2.0, half_length: 3.0 },
        MagnetShape::Cuboid { half_size: [1.0, 2.0, 3.0] },
    ];
    for shape in shapes {
        let magnet = Magnet::new(shape, [0.0, 0.0, 1.0]).unwrap();
        let n = 60;
        let r = 5.0;
        let (mut sum, mut count) = (0.0, 0.0);
        for i in 0..n {
            for j in 0..n {
                for k in 0..n {
                    let at = |q: usize, size: f64| size * (2.0 * (q as f64 + 0.5) / n as f64 - 1.0);
                    let p = [at(i, r), at(j, r), at(k, 3.0)];
                    if shape.inside(p) {
                        sum += 1.0 - magnet.b(p)[2];
                        count += 1.0;
                    }
                }
            }
        }
        // A grid this coarse leaves about half a percent at the curved walls.
        close(sum / count, shape.demagnetizing_factors()[2], 0.01);
    }
}

/// A ring with a pinhole is a cylinder; a thin-walled long one is a long plate.
#[test]
fn prop_ring_limits() {
    let solid = MagnetShape::Cylinder { radius: 1.0, half_length: 0.7 }.demagnetizing_factors()[2];
    close(ring(1e-6, 1.0, 0.7).demagnetizing_factors()[2], solid, 1e-10);
    let thin = ring(0.999, 1.0, 0.7).demagnetizing_factors()[2];
    let plate = cuboid(1e4, 0.0005, 0.7)[2];
    close(thin, plate, 1e-4);
}

/// Traces are 1 and every factor lies between 0 and 1.
#[test]
fn prop_trace() {
    for size in [[1.0, 1.0, 0.01], [4.0, 2.0, 0.25], [10.0, 10.0, 1.0], [1.0, 2.0, 300.0]] {
        let [a, b, c] = size;
        let n = cuboid(a, b, c);
        assert!(n.into_iter().all(|f| f > 0.0 && f < 1.0), "{n:?}");
        // Not normalised to 1: the three closed forms agree on it.
        close(n.into_iter().sum(), 1.0, 1e-10);
    }
}
