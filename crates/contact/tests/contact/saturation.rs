//! The circuit with saturating iron: against nonlinear finite elements, and its laws.

use crate::reeds::reference;
use reedmace_contact::{Circuit, Geometry, Saturated, SaturationError, Scratch, TestCoil};
use reedmace_fields::{AnySource, Magnet, MagnetShape, Placed, Pose, Source, Uniform};
use reedmace_units::{AmpereTurns, Length, Polarization, Quantity, Ratio};
use std::fmt::Write as _;

const MU_0: f64 = 1.256_637_061_27e-6;
const IRON: Polarization = Polarization::tesla(1.5);
const COIL: TestCoil = TestCoil::Thin { length: Length::mm(25.0), mean_diameter: Length::mm(9.25) };

/// The medium reference contact at this gap, permeability 4000.
fn contact(gap: Length) -> Circuit {
    let geometry = Geometry { gap, permeability: Ratio::new(4000.0), ..reference() };
    Circuit::new(&geometry, 130).unwrap()
}

fn open() -> Circuit {
    contact(Length::um(50.0))
}

fn closed() -> Circuit {
    contact(Length::um(5.0))
}

fn in_coil(circuit: &Circuit, ampere_turns: f64) -> Saturated {
    circuit.saturated(IRON, &COIL.carrying(AmpereTurns::at(ampere_turns))).unwrap()
}

/// A block magnet beside the contact, polarized along it.
fn block(distance: f64) -> Placed<AnySource> {
    let shape = MagnetShape::Cuboid { half_size: [5e-3, 2.5e-3, 2.5e-3] };
    let magnet = Magnet::new(shape, [1.2, 0.0, 0.0]).unwrap();
    Placed { source: magnet.into(), world_from_body: Pose::translation([2e-3, 0.0, distance]) }
}

/// Gap flux over that of linear iron, reference contact open in its test coil, Js = 1.5 T.
///
/// Reference: three-dimensional nonlinear finite elements (NGSolve), error about 0.4 %; limit 0.5 %.
#[test]
fn cross_saturation() {
    let circuit = open();
    let mut table = String::from(
        "## The saturated circuit against three-dimensional nonlinear finite elements\n\n\
         Gap flux over that of linear iron; medium reference contact, open, permeability 4000, \
         Js = 1.5 T, in a coil 25 mm long with a mean diameter of 9.25 mm. The finite elements' own \
         error is about 0.4 %.\n\n\
         | ampere-turns | finite elements | circuit | difference | limit |\n|---|---|---|---|---|\n",
    );
    let mut worst = 0.0_f64;
    for (ampere_turns, elements) in [(15.0, 0.976), (45.0, 0.757), (100.0, 0.423)] {
        let share = in_coil(&circuit, ampere_turns).share_of_linear;
        let difference = share / elements - 1.0;
        worst = worst.max(difference.abs());
        writeln!(
            table,
            "| {ampere_turns} | {elements:.3} | {share:.4} | {:+.2} % | 0.50 % |",
            100.0 * difference
        )
        .unwrap();
    }
    println!("{table}");
    let directory = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/validation");
    std::fs::create_dir_all(directory).unwrap();
    std::fs::write(format!("{directory}/contact-saturation.md"), table).unwrap();
    assert!(worst < 0.005, "{worst}");
}

/// The pull is nearly that of the mean flux density over the overlap, and never less: the mean of a
/// square exceeds the square of the mean.
#[test]
fn prop_pull_is_that_of_a_nearly_even_field() {
    let area = 1.3e-3 * 1e-3;
    for at in [5.0, 30.0, 100.0] {
        let s = in_coil(&open(), at);
        let even = s.gap_flux * s.gap_flux / (2.0 * MU_0 * area);
        assert!((1.0..1.001).contains(&(s.force.si() / even)), "{at}: {}", s.force.si() / even);
    }
}

/// In weak fields the saturated circuit is the linear one: the same share, flux and peak.
#[test]
fn prop_weak_fields_are_linear() {
    for circuit in [open(), closed()] {
        for strength in [1e-3, -1e-3] {
            let source = COIL.carrying(AmpereTurns::at(strength));
            let s = circuit.saturated(IRON, &source).unwrap();
            assert!((s.share_of_linear - 1.0).abs() < 1e-6, "{s:?}");
            // The linear circuit counts μr where charge counts μr − 1: 1/4000 of the iron's share.
            let linear = circuit.kernel().flux(&source, &mut Scratch::default());
            assert!((s.gap_flux / linear - 1.0).abs() < 1.0 / 4000.0, "{} {linear}", s.gap_flux);
            let peak = circuit.blade_flux(&source).peak;
            assert!((s.peak / peak - 1.0).abs() < 2e-3, "{} {}", s.peak.si(), peak.si());
        }
    }
}

/// The other way round, the same flux the other way; the pull does not change.
#[test]
fn prop_odd_in_the_source() {
    for circuit in [open(), closed()] {
        let (there, back) = (in_coil(&circuit, 60.0), in_coil(&circuit, -60.0));
        assert!((there.gap_flux + back.gap_flux).abs() < 1e-7 * there.gap_flux);
        assert!((there.force / back.force - 1.0).abs() < 1e-6);
        assert!((there.peak / back.peak - 1.0).abs() < 1e-6);
    }
}

/// More ampere-turns give more flux and pull, ever less of the linear flux, and never a polarization
/// above saturation: B stays below Js + μ0 H, H at most all ampere-turns over a diameter of the lead.
#[test]
fn prop_rises_and_saturates() {
    for circuit in [open(), closed()] {
        let mut last = in_coil(&circuit, 1.0);
        for at in [3.0, 10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 640.0, 1280.0, 2560.0, 5120.0] {
            let s = in_coil(&circuit, at);
            assert!(s.gap_flux > last.gap_flux && s.force > last.force, "{at}");
            assert!(s.share_of_linear < last.share_of_linear, "{at}");
            assert!(s.peak.si() < 1.5 + MU_0 * at / 0.55e-3, "{at}: {s:?}");
            last = s;
        }
    }
}

/// Iron that never saturates is linear iron, under a magnet too.
#[test]
fn prop_boundless_saturation_is_linear() {
    let circuit = closed();
    let source = block(8e-3);
    let s = circuit.saturated(Polarization::tesla(1e6), &source).unwrap();
    assert!((s.share_of_linear - 1.0).abs() < 1e-6, "{s:?}");
    let linear = circuit.gap_flux_direct(&source);
    assert!((s.gap_flux / linear - 1.0).abs() < 1.0 / 4000.0, "{} {linear}", s.gap_flux);
}

/// It converges from weak coils to magnets that touch, open and closed, in few steps.
#[test]
fn prop_converges() {
    for circuit in [open(), closed()] {
        let coils = [1.0, 100.0, 1e3, 1e4].map(|at| COIL.carrying(AmpereTurns::at(at)));
        let magnets = [3e-3, 5e-3, 10e-3, 30e-3, 1.0].map(block);
        for source in coils.into_iter().chain(magnets) {
            let s = circuit.saturated(IRON, &source).unwrap();
            println!("{} steps to {} T", s.iterations, s.peak.si());
            assert!(s.residual <= 1e-9 && s.iterations <= 40, "{s:?}");
            assert!(s.gap_flux.is_finite() && s.force.si() > 0.0);
        }
    }
}

/// Finer segments change nothing that matters.
#[test]
fn prop_segments_converge() {
    let coarse = open();
    let fine = Circuit::new(coarse.geometry(), 400).unwrap();
    for at in [30.0, 100.0] {
        let (a, b) = (in_coil(&coarse, at), in_coil(&fine, at));
        let change = (a.share_of_linear / b.share_of_linear - 1.0).abs();
        assert!(change < 2e-3, "{at}: {change}");
    }
}

/// No field, no flux; and what is not a field or not iron is refused by name.
#[test]
fn prop_refusals() {
    struct Broken;
    impl Source for Broken {
        fn add_b(&self, _: reedmace_fields::Points<'_>, out: reedmace_fields::VectorsMut<'_>) {
            out.x.fill(f64::NAN);
        }
        fn bounding_radius(&self) -> f64 {
            1.0
        }
        fn clearance(&self, _: [f64; 3]) -> f64 {
            1.0
        }
    }
    let circuit = open();
    let nothing = circuit.saturated(IRON, &Uniform([0.0; 3])).unwrap();
    assert_eq!((nothing.gap_flux, nothing.force.si(), nothing.share_of_linear), (0.0, 0.0, 1.0));
    assert_eq!(circuit.saturated(IRON, &Broken), Err(SaturationError::FieldNotFinite));
    for js in [0.0, -1.0, f64::NAN] {
        let told = circuit.saturated(Polarization::tesla(js), &block(0.01));
        assert_eq!(told, Err(SaturationError::NotMagnetic));
    }
}
