//! The pull of the gap and what the contact adds to a coil: against each other and against other paths.

use crate::reeds::reference;
use reedmace_contact::{Circuit, Geometry, Pull, Scratch, TestCoil};
use reedmace_units::{AmpereTurns, Length, Polarization, Quantity};

const COIL: TestCoil = TestCoil::Thick {
    length: Length::mm(15.0),
    inner_diameter: Length::mm(3.5),
    outer_diameter: Length::mm(8.0),
};

fn at(gap: f64, ampere_turns: f64) -> (Circuit, Pull) {
    let geometry = Geometry { gap: Length::um(gap), ..reference() };
    let circuit = Circuit::new(&geometry, 130).unwrap();
    let pull = circuit.pull(&COIL.carrying(AmpereTurns::at(ampere_turns)));
    (circuit, pull)
}

/// Half of the linkage is coenergy, whose slope against the gap is the pull.
#[test]
fn law_virtual_work() {
    for gap in [8.0, 20.0, 50.0, 80.0] {
        let step = 0.02 * gap;
        let [less, more] = [gap - step, gap + step].map(|gap| at(gap, 1.0).1.linkage);
        let work = 0.5 * (less - more) / (2e-6 * step);
        let share = at(gap, 1.0).1.force / work;
        assert!((share - 1.0).abs() < 0.005, "{gap} µm: {share}");
    }
}

/// The saturated circuit in a weak field, and the kernel, tell the same flux and pull.
#[test]
fn cross_saturated_in_a_weak_field() {
    let (circuit, pull) = at(50.0, 0.1);
    let coil = COIL.carrying(AmpereTurns::at(0.1));
    let saturated = circuit.saturated(Polarization::tesla(1.5), &coil).unwrap();
    // Its pull is that of the faces alone.
    let faces = saturated.force.si();
    assert!((1.04..1.07).contains(&(pull.force / faces)), "{} {faces}", pull.force);
    let flux = circuit.kernel().flux(&coil, &mut Scratch::default());
    assert!((pull.flux / flux - 1.0).abs() < 1e-4);
}

#[test]
fn prop_pull_and_linkage_go_with_the_square() {
    let ([_, one], [_, three]) = ([at(50.0, 1.0).1; 2], [at(50.0, 3.0).1; 2]);
    assert!((three.force / one.force - 9.0).abs() < 1e-9);
    assert!((three.linkage / one.linkage - 9.0).abs() < 1e-9);
    assert!((three.flux / one.flux - 3.0).abs() < 1e-9);
    assert!(one.linkage > 0.0);
}
