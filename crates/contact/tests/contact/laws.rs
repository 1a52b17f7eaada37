//! What the circuit and its kernel must obey whatever the contact.

use crate::reeds::reference;
use reedmace_contact::{Along, Calibration, Circuit, Geometry, KernelPair, Scratch, TestCoil};
use reedmace_fields::{AnySource, Magnet, MagnetShape, Placed, Pose, Solenoid, Source, Uniform};
use reedmace_units::{AmpereTurns, FluxDensity, Length, Quantity, Ratio};

fn small() -> Geometry {
    Geometry {
        lead_diameter: Length::mm(0.3),
        overall_length: Length::mm(28.0),
        blade_span: Length::mm(6.0),
        blade_width: Length::mm(0.7),
        blade_thickness: Length::mm(0.12),
        overlap: Length::mm(0.4),
        gap: Length::mm(0.02),
        permeability: Ratio::new(3000.0),
    }
}

fn block(at: [f64; 3], polarization: [f64; 3]) -> Placed<AnySource> {
    let shape = MagnetShape::Cuboid { half_size: [5e-3, 2.5e-3, 2.5e-3] };
    let magnet = Magnet::new(shape, polarization).unwrap();
    Placed { source: magnet.into(), world_from_body: Pose::translation(at) }
}

fn drive(circuit: &Circuit, source: &dyn Source) -> f64 {
    circuit.kernel().drive(source, &mut Scratch::default()).si()
}

fn places() -> impl Iterator<Item = [f64; 3]> {
    let heights = [3.5e-3, 5e-3, 8e-3, 13e-3, 25e-3, 60e-3];
    heights.into_iter().flat_map(|h| {
        [-30e-3, -12e-3, -4e-3, 0.0, 7e-3, 20e-3]
            .into_iter()
            .flat_map(move |x| [[x, 0.0, h], [x, h, 0.0], [x, -0.6 * h, 0.8 * h]])
    })
}

/// Reciprocity: the adjoint's weights give the flux that solving the circuit for the source gives.
#[test]
fn prop_adjoint_equals_direct_solve() {
    for geometry in [reference(), reference().closed(Length::um(5.0)), small()] {
        let circuit = Circuit::new(&geometry, 130).unwrap();
        let rule = circuit.kernel().full_rule();
        for at in places() {
            for polarization in [[1.2, 0.0, 0.0], [0.0, 0.0, 1.2], [0.3, 0.7, -0.5]] {
                let source = block(at, polarization);
                let mut b = reedmace_fields::Vectors::zeros(rule.len());
                source.add_b(rule.at().points(), b.view_mut());
                let (axial, normal) = rule.weights();
                let flux: f64 =
                    (0..rule.len()).map(|i| axial[i] * b.x[i] + normal[i] * b.z[i]).sum();
                let direct = circuit.gap_flux_direct(&source);
                let scale = circuit.kernel().flux_in_uniform(FluxDensity::mt(1.0));
                assert!(
                    (flux - direct).abs() < 1e-9 * (scale + direct.abs()),
                    "{at:?} {flux} {direct}"
                );
            }
        }
    }
}

/// The drive of the pair against solving both circuits, over the largest response at that distance.
#[test]
fn cross_compression() {
    let mut table = String::from(
        "## Compressed kernels against solving the circuit\n\nLargest difference of drive, open and \
         closed, over the largest drive at the same distance; 10 × 5 × 5 mm magnets along and across, \
         all round two contacts.\n\n\
         | distance of the magnet's middle, mm | points | largest difference | limit |\n|---|---|---|---|\n",
    );
    let mut faults = Vec::new();
    for height in [3.5e-3, 5e-3, 8e-3, 13e-3, 25e-3, 60e-3] {
        let (mut worst, mut points) = (0.0f64, 0);
        for geometry in [reference(), small()] {
            let circuits = [geometry, geometry.closed(Length::um(5.0))]
                .map(|g| Circuit::new(&g, 130).unwrap());
            let pair = KernelPair::new(circuits[0].kernel(), circuits[1].kernel());
            let mut scratch = Scratch::default();
            let mut found = Vec::new();
            for at in places().filter(|p| (p[1].hypot(p[2]) - height).abs() < 1e-9) {
                for polarization in [[1.2, 0.0, 0.0], [0.0, 0.0, 1.2]] {
                    let source = block(at, polarization);
                    let drives = pair.drives(&source, &mut scratch);
                    for (circuit, drive) in circuits.iter().zip(drives) {
                        let flux = circuit.gap_flux_direct(&source);
                        found.push((circuit.kernel().drive_of_flux(flux).si(), drive.si()));
                    }
                }
            }
            let largest = found.iter().map(|f| f.0.abs()).fold(0.0, f64::max);
            worst = found.iter().map(|f| (f.0 - f.1).abs() / largest).fold(worst, f64::max);
            let clearance = height - 2.5e-3;
            let rule = pair.compressed_rules().find(|(c, _)| clearance >= *c);
            let full = 2 * circuits[0].kernel().full_rule().len();
            points = points.max(rule.map_or(full, |(_, r)| r[0].len()));
        }
        let limit = 1e-3;
        let line = format!("| {} | {points} | {worst:.1e} | {limit:.0e} |", height * 1e3);
        table.push_str(&line);
        table.push('\n');
        if worst.is_nan() || worst > limit {
            faults.push(line);
        }
    }
    println!("{table}");
    let directory = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/validation");
    std::fs::create_dir_all(directory).unwrap();
    std::fs::write(format!("{directory}/contact-kernel.md"), table).unwrap();
    assert!(faults.is_empty(), "{faults:#?}");
}

/// A row of places along the contact as one convolution, against each place by itself.
#[test]
fn cross_along() {
    let circuits =
        [reference(), reference().closed(Length::um(5.0))].map(|g| Circuit::new(&g, 130).unwrap());
    let pair = KernelPair::new(circuits[0].kernel(), circuits[1].kernel());
    let mut scratch = Scratch::default();
    for (height, spacing) in [
        (3.7e-3, 0.15e-3),
        (4.4e-3, 0.2e-3),
        (8e-3, 0.4e-3),
        (10e-3, 0.9e-3),
        (13e-3, 0.5e-3),
        (40e-3, 3e-3),
    ] {
        let distance = height - 2.5e-3;
        assert!(Along::serves(&pair, spacing, distance), "{height}");
        let along = Along::new(&pair, spacing, Along::is_far(&pair, distance));
        for polarization in [[1.2, 0.0, 0.0], [0.0, 0.0, 1.2]] {
            for points in [1, -3] {
                let start = -40e-3 * f64::from(points as i32).signum();
                let row = along.drives(&block([start, 2e-3, height], polarization), points, 30);
                let single: Vec<_> = (0..30)
                    .map(|k| {
                        let x = start + f64::from(k * points as i32) * spacing;
                        let source = block([x, 2e-3, height], polarization);
                        // Near by the full rules are the measure: compressed ones err by more.
                        match distance < 5e-3 {
                            true => {
                                circuits.each_ref().map(|c| c.kernel().drive(&source, &mut scratch))
                            }
                            false => pair.drives(&source, &mut scratch),
                        }
                    })
                    .collect();
                let largest = single.iter().map(|d| d[0].si().abs()).fold(0.0, f64::max);
                for (a, b) in row.iter().zip(&single) {
                    let off = (0..2).map(|i| (a[i].si() - b[i].si()).abs()).fold(0.0, f64::max);
                    assert!(
                        off < 5e-5 * largest,
                        "{height} {points}: {a:?} {b:?} {}",
                        off / largest
                    );
                }
            }
        }
    }
}

#[test]
fn prop_segments_converge() {
    let (usual, fine) =
        (Circuit::new(&reference(), 130).unwrap(), Circuit::new(&reference(), 400).unwrap());
    for at in [[0.0, 0.0, 10e-3], [0.0, 0.0, 25e-3], [15e-3, 0.0, 15e-3]] {
        let source = block(at, [1.2, 0.0, 0.0]);
        let (a, b) = (drive(&usual, &source), drive(&fine, &source));
        let largest = drive(&fine, &block([0.0, 0.0, at[2]], [1.2, 0.0, 0.0])).abs();
        assert!((a - b).abs() < 1e-3 * largest, "{at:?}: {a} {b}");
    }
}

/// Magnetostatics has no length of its own: everything twice as large, drive the same.
#[test]
fn prop_scale_invariance() {
    let g = reference();
    let k = 2.0;
    let large = Geometry {
        lead_diameter: g.lead_diameter * k,
        overall_length: g.overall_length * k,
        blade_span: g.blade_span * k,
        blade_width: g.blade_width * k,
        blade_thickness: g.blade_thickness * k,
        overlap: g.overlap * k,
        gap: g.gap * k,
        permeability: g.permeability,
    };
    // the same number of segments whatever the size
    let (a, b) = (Circuit::new(&g, 130).unwrap(), Circuit::new(&large, 130).unwrap());
    for at in [[0.0, 2e-3, 9e-3], [12e-3, 0.0, 12e-3]] {
        let shape = |h: f64| MagnetShape::Cuboid { half_size: [5e-3 * h, 2.5e-3 * h, 2.5e-3 * h] };
        let source = |h: f64| Placed {
            source: AnySource::from(Magnet::new(shape(h), [1.2, 0.0, 0.4]).unwrap()),
            world_from_body: Pose::translation(at.map(|c| c * h)),
        };
        let (x, y) = (drive(&a, &source(1.0)), drive(&b, &source(k)));
        assert!((x / y - 1.0).abs() < 1e-9, "{x} {y}");
    }
}

#[test]
fn prop_symmetry() {
    let circuit = Circuit::new(&reference(), 130).unwrap();
    // The contact is its own image under a half turn about y; an axial field keeps its sign.
    for at in places() {
        let axial = drive(&circuit, &block(at, [1.2, 0.0, 0.0]));
        let turned = drive(&circuit, &block([-at[0], at[1], -at[2]], [-1.2, 0.0, 0.0]));
        assert!((axial + turned).abs() < 1e-9 * (1e-3 + axial.abs()), "{at:?} {axial} {turned}");
        let mirrored = drive(&circuit, &block([at[0], -at[1], at[2]], [1.2, 0.0, 0.0]));
        assert!((axial - mirrored).abs() < 1e-9 * (1e-3 + axial.abs()));
    }
    let across = Uniform([0.0, 2e-3, 0.0]);
    assert!(drive(&circuit, &across).abs() < 1e-15);
}

#[test]
fn prop_linear_in_remanence() {
    let circuit = Circuit::new(&reference(), 130).unwrap();
    let at = [3e-3, 1e-3, 9e-3];
    let (one, two) = (
        drive(&circuit, &block(at, [0.6, 0.1, 0.2])),
        drive(&circuit, &block(at, [1.2, 0.2, 0.4])),
    );
    assert!((two / one - 2.0).abs() < 1e-12);
}

/// A uniform axial field is its own drive.
#[test]
fn prop_drive_of_uniform_field() {
    for geometry in [reference(), small()] {
        let circuit = Circuit::new(&geometry, 130).unwrap();
        assert!((drive(&circuit, &Uniform([1.7e-3, 0.0, 0.0])) - 1.7e-3).abs() < 1e-15);
    }
}

/// A coil far longer than the contact makes a uniform field in it: B = μ0 NI/l.
#[test]
fn cross_long_coil_is_a_uniform_field() {
    let circuit = Circuit::new(&reference(), 130).unwrap();
    let coil = Placed {
        source: AnySource::from(Solenoid { radius: 5e-3, half_length: 1.0, ampere_turns: 2000.0 }),
        world_from_body: Pose::from_z([0.0; 3], [1.0, 0.0, 0.0]).unwrap(),
    };
    let field = reedmace_fields::MU_0 * 2000.0 / 2.0;
    assert!((drive(&circuit, &coil) / field - 1.0).abs() < 5e-5);
}

#[test]
fn prop_calibrations_agree() {
    let circuit = Circuit::new(&reference(), 130).unwrap();
    let mut scratch = Scratch::default();
    let coil = TestCoil::Thin { length: Length::mm(25.0), mean_diameter: Length::mm(9.25) };
    let at = AmpereTurns::at(22.5);
    let flux = Calibration::AmpereTurns(coil, at).gap_flux(circuit.kernel(), &mut scratch);
    let centre = Calibration::CoilCentre(coil, coil.centre_field(at));
    assert!((centre.gap_flux(circuit.kernel(), &mut scratch) / flux - 1.0).abs() < 1e-12);
    let uniform = Calibration::Uniform(circuit.kernel().drive_of_flux(flux));
    assert!((uniform.gap_flux(circuit.kernel(), &mut scratch) / flux - 1.0).abs() < 1e-12);
    let back = circuit.kernel().ampere_turns_for(flux, coil, &mut scratch);
    assert!((back / at - 1.0).abs() < 1e-12);
}

/// Fact of the trade (common practice, no source): cutting the leads raises the ampere-turns a
/// contact needs, since they gather less flux.
#[test]
fn prop_trimmed_leads_need_more_ampere_turns() {
    let coil = TestCoil::Thin { length: Length::mm(25.0), mean_diameter: Length::mm(9.25) };
    let mut scratch = Scratch::default();
    let full = Circuit::new(&reference(), 130).unwrap();
    let flux =
        Calibration::AmpereTurns(coil, AmpereTurns::at(20.0)).gap_flux(full.kernel(), &mut scratch);
    let mut last = 20.0;
    for length in [45.0, 35.0, 25.0, 18.0, 14.0] {
        let trimmed = Geometry { overall_length: Length::mm(length), ..reference() };
        let trimmed = Circuit::new(&trimmed, 130).unwrap();
        let needed = trimmed.kernel().ampere_turns_for(flux, coil, &mut scratch).si();
        assert!(needed > last, "{length} mm: {needed} AT after {last}");
        last = needed;
    }
    assert!(last > 26.0, "{last}");
}

/// Facts of the trade (common practice, no source): a magnet along the contact that slides past it
/// gives a main lobe and two side lobes of the other sign; turned by 90° in the middle it gives a
/// null (to the little that the blades' offset leaves).
#[test]
fn prop_lobes_and_null() {
    let circuit = Circuit::new(&reference(), 130).unwrap();
    let along = |x: f64| drive(&circuit, &block([x, 10e-3, 0.0], [1.2, 0.0, 0.0]));
    let signs: Vec<f64> = (-80..=80).map(|k| along(k as f64 * 1e-3).signum()).collect();
    let changes = signs.windows(2).filter(|p| p[0] != p[1]).count();
    assert_eq!(changes, 2, "a main lobe between two side lobes");
    let across = drive(&circuit, &block([0.0, 10e-3, 0.0], [0.0, 1.2, 0.0]));
    assert!(across.abs() < 1e-6 * along(0.0).abs(), "{across}");
}

#[test]
fn prop_impossible_geometry_is_refused() {
    for broken in [
        Geometry { gap: Length::mm(0.0), ..reference() },
        Geometry { overlap: Length::mm(13.0), ..reference() },
        Geometry { blade_span: Length::mm(60.0), ..reference() },
        Geometry { permeability: Ratio::new(f64::NAN), ..reference() },
    ] {
        assert!(Circuit::new(&broken, 130).is_err(), "{broken:?}");
    }
}
