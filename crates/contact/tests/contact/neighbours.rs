//! Contacts beside each other.

use crate::reeds::{geometry, number};
use reedmace_contact::{Circuit, Geometry, Neighbour, Neighbours, Scratch, TestCoil};
use reedmace_fields::{Placed, Pose, Source, Uniform};
use reedmace_units::{AmpereTurns, Length, Ratio};

const CONTACT: Geometry = Geometry {
    lead_diameter: Length::mm(0.4),
    overall_length: Length::mm(16.0),
    blade_span: Length::mm(8.2),
    blade_width: Length::mm(0.85),
    blade_thickness: Length::mm(0.14),
    overlap: Length::mm(0.55),
    gap: Length::mm(0.025),
    permeability: Ratio::new(5000.0),
};
const METAL: Length = Length::mm(0.005);
const COIL: TestCoil = TestCoil::Thick {
    length: Length::mm(10.0),
    inner_diameter: Length::mm(8.0),
    outer_diameter: Length::mm(11.0),
};

struct Pair {
    open: Circuit,
    closed: Circuit,
}

impl Pair {
    fn new(geometry: &Geometry) -> Self {
        let closed = Circuit::new(&geometry.closed(METAL), 130).unwrap();
        Self { open: Circuit::new(geometry, 130).unwrap(), closed }
    }
}

/// Gap flux of each of equal contacts at these places in the coil, with these closed, over that of one alone in
/// the same place and state.
fn shares(pair: &Pair, places: &[[f64; 3]], closed: &[bool]) -> Vec<f64> {
    let pose = |at: &[f64; 3]| Pose::translation(at.map(|mm| mm * 1e-3));
    let contacts: Vec<Neighbour<'_>> = places
        .iter()
        .map(|at| Neighbour {
            open: &pair.open,
            closed: &pair.closed,
            world_from_contact: pose(at),
        })
        .collect();
    let source = COIL.carrying(AmpereTurns::at(10.0));
    let seen: Vec<_> = places
        .iter()
        .map(|at| Placed {
            source: source.source,
            world_from_body: pose(at).inverse() * source.world_from_body,
        })
        .collect();
    let neighbours = Neighbours::new(&contacts).unwrap();
    let mut sum = neighbours.nothing();
    let circuits = vec![&pair.open; places.len()];
    let sources: Vec<&dyn Source> = seen.iter().map(|one| one as &dyn Source).collect();
    neighbours.add(&circuits, &sources, &mut sum);
    let added = neighbours.added(closed, &sum);
    let alone = |k: usize| {
        let circuit = if closed[k] { &pair.closed } else { &pair.open };
        circuit.kernel().flux(&seen[k], &mut Scratch::default())
    };
    (0..places.len()).map(|k| 1.0 + added[k] / alone(k)).collect()
}

#[test]
fn prop_far_away_nothing_is_shared_and_near_more_and_more() {
    let pair = Pair::new(&CONTACT);
    let mut before = 1.0;
    for mm in [400.0, 40.0, 12.0, 6.0, 3.0, 2.0] {
        let shares = shares(&pair, &[[0.0, -0.5 * mm, 0.0], [0.0, 0.5 * mm, 0.0]], &[false; 2]);
        assert!((shares[0] - shares[1]).abs() < 1e-9, "{shares:?}");
        assert!(shares[0] < before && shares[0] > 0.5, "{mm}: {shares:?} after {before}");
        before = shares[0];
        println!("{mm} mm apart: {:.4} of the flux of one alone", shares[0]);
    }
    let far = shares(&pair, &[[0.0, -200.0, 0.0], [0.0, 200.0, 0.0]], &[false; 2]);
    assert!((far[0] - 1.0).abs() < 1e-4, "{far:?}");
}

/// A closed neighbour takes more than an open one, and one contact alone loses nothing.
#[test]
fn prop_a_closed_neighbour_takes_more() {
    let pair = Pair::new(&CONTACT);
    let places = [[0.0, -1.0, 0.0], [0.0, 1.0, 0.0]];
    let both = |closed: [bool; 2]| shares(&pair, &places, &closed);
    assert!(both([false, true])[0] < both([false, false])[0] - 0.02);
    assert!(both([true, true])[0] < both([true, false])[0] - 0.02);
    assert!((shares(&pair, &places[..1], &[true])[0] - 1.0).abs() < 1e-12);
}

/// A neighbour closed at its ports does what one does whose equations were set up with its gap closed.
#[test]
fn prop_ports_tell_what_a_solve_tells() {
    let pair = Pair::new(&CONTACT);
    let source = COIL.carrying(AmpereTurns::at(10.0));
    let seen = [-1.0, 1.0].map(|mm: f64| Placed {
        source: source.source,
        world_from_body: Pose::translation([0.0, -mm * 1e-3, 0.0]) * source.world_from_body,
    });
    let added = |open: &Circuit, closed: [bool; 2]| {
        let contacts = [(&pair.open, -1.0), (open, 1.0)].map(|(open, mm)| Neighbour {
            open,
            closed: &pair.closed,
            world_from_contact: Pose::translation([0.0, mm * 1e-3, 0.0]),
        });
        let neighbours = Neighbours::new(&contacts).unwrap();
        let mut sum = neighbours.nothing();
        let seen = seen.each_ref().map(|one| one as &dyn Source);
        neighbours.add(&contacts.map(|one| one.open), &seen, &mut sum);
        neighbours.added(&closed, &sum)[0]
    };
    for state in [false, true] {
        let (ports, solved) =
            (added(&pair.open, [state, true]), added(&pair.closed, [state, false]));
        assert!((ports / solved - 1.0).abs() < 0.01, "{ports:e} and {solved:e}");
        // An open neighbour's is another number altogether.
        assert!((added(&pair.open, [state, false]) / solved - 1.0).abs() > 0.05);
    }
}

/// What a neighbour takes, open and closed, against three-dimensional finite elements: `data/README.md`.
#[test]
fn cross_fem_pair() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/pair_fem.json");
    let rows: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(file).unwrap()).unwrap();
    for row in rows.as_array().unwrap() {
        let geometry = geometry(&row["geometry"]);
        let closed_gap = Length::mm(number(&row["geometry"]["closed_gap"]));
        let closed = Circuit::new(&geometry.closed(closed_gap), 130).unwrap();
        let pair = Pair { open: Circuit::new(&geometry, 130).unwrap(), closed };
        let half = 0.5e-3 * number(&row["apart_mm"]);
        let at = |side: f64| match row["axis"].as_str().unwrap() {
            "y" => Pose::translation([0.0, side * half, 0.0]),
            _ => Pose::translation([0.0, 0.0, side * half]),
        };
        let contacts = [-1.0, 1.0].map(|side| Neighbour {
            open: &pair.open,
            closed: &pair.closed,
            world_from_contact: at(side),
        });
        let neighbours = Neighbours::new(&contacts).unwrap();
        let field = Uniform([1e-3, 0.0, 0.0]);
        let mut sum = neighbours.nothing();
        neighbours.add(&[&pair.open; 2], &[&field, &field], &mut sum);
        let cases = row["cases"].as_array().unwrap();
        let found = |a: &str, b: Option<&str>| {
            let case = cases.iter().find(|c| c["a"] == a && c["b"].as_str() == b);
            number(&case.unwrap()["gap_flux_Wb"])
        };
        for case in cases.iter().filter(|case| case["b"].is_string()) {
            let (a, b) = (case["a"].as_str().unwrap(), case["b"].as_str().unwrap());
            let states = [a, b].map(|state| state == "closed");
            let circuit = if states[0] { &pair.closed } else { &pair.open };
            let alone = circuit.kernel().flux(&field, &mut Scratch::default());
            let share = 1.0 + neighbours.added(&states, &sum)[0] / alone;
            let wanted = found(a, Some(b)) / found(a, None);
            println!("{a} beside {b}: {share:.4} of its flux alone, finite elements {wanted:.4}");
            assert!((share - wanted).abs() < 0.01, "{a} beside {b}: {share} and {wanted}");
        }
    }
}
