//! Conductors and circles of magnets in a design.

use crate::at_work::{LEVELS, REED, design_of, parse, places, reed, study};
use reedmace_engine::{Movable, place};

const BAR: &str = "[[magnet]]\nname = \"bar\"\nshape = \"cuboid\"\ndirection = [1, 0, 0]\n\
                   size = [\"10 mm\", \"5 mm\", \"5 mm\"]\nremanence = \"1.2 T\"\n";
const APPROACH: &str = "[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
                        from = [\"0 mm\", \"0 mm\", \"60 mm\"]\nto = [\"0 mm\", \"0 mm\", \"8 mm\"]\n";

fn events(rest: &str) -> Vec<f64> {
    let contact = format!("{REED}{LEVELS}");
    let answer = reed(&design_of(&contact, &format!("{BAR}{rest}{APPROACH}")));
    places(&answer).into_iter().map(|event| event.2).collect()
}

/// One metre above, 400 A along y make μ0 I/(2π d) = 0.08 mT against x, as even as makes no difference.
#[test]
fn cross_a_conductor_far_away_is_a_uniform_field() {
    let alone = events("");
    let conductor = "[[conductor]]\nname = \"busbar\"\ncurrent = \"400 A\"\n\
                     at = [\"0 mm\", \"0 mm\", \"1 m\"]\ndirection = [0, 1, 0]\n";
    let beside = events(conductor);
    let even = events("[surroundings]\nfield = [\"-0.08 mT\", \"0 mT\", \"0 mT\"]\n");
    assert_eq!((alone.len(), beside.len(), even.len()), (2, 2, 2));
    for k in 0..2 {
        let shift = even[k] - alone[k];
        assert!(shift.abs() > 0.3, "{shift} mm");
        let off = (beside[k] - even[k]).abs();
        // The field differs by (x/d)² along a contact 55 mm long.
        assert!(off < 1e-3 * shift.abs(), "{off} of {shift} mm");
    }
    // A conductor that ends is weaker: the half of a metre above its middle by sin 45°.
    let short = conductor.replace("direction", "length = \"2 m\"\ndirection");
    let even = events(&format!(
        "[surroundings]\nfield = [\"{} mT\", \"0 mT\", \"0 mT\"]\n",
        -0.08 * std::f64::consts::FRAC_1_SQRT_2
    ));
    let short = events(&short);
    assert!((0..2).all(|k| (short[k] - even[k]).abs() < 2e-3 * (even[k] - alone[k]).abs()));
}

const WHEEL: &str = "[[magnet]]\nname = \"pole\"\nshape = \"cylinder\"\ndiameter = \"5 mm\"\n\
                     length = \"4 mm\"\naxis = [0, 1, 0]\ndirection = [0, 1, 0.3]\nremanence = \"1.1 T\"\n";
const SPIN: &str = "[sweep]\nkind = \"spin\"\nmoves = \"pole\"\n\
                    centre = [\"1 mm\", \"2 mm\", \"3 mm\"]\naxis = [0, 0, 1]\n";

/// Magnets on a circle are the first one turned on, for any axis, magnetised and tilted any way.
#[test]
fn cross_a_circle_is_its_first_magnet_turned_by_the_sweep() {
    let contact = format!(
        "{REED}{LEVELS}at = [\"1 mm\", \"40 mm\", \"3 mm\"]\naxis = [0, 1, 0.2]\nnormal = [1, 0, 0]\n"
    );
    let circle = "at = [\"1 mm\", \"2 mm\", \"3 mm\"]\nrotate = [\"5 deg\", \"0 deg\", \"3 deg\"]\n\
                  circle = { count = 3, only = 2, radius = \"16 mm\", height = \"1.5 mm\", angle = \"4 deg\" }\n";
    let second = reed(&design_of(&contact, &format!("{WHEEL}{circle}{SPIN}")));
    let first = circle.replace("only = 2", "only = 1").replace("4 deg", "0 deg");
    let first = reed(&design_of(&contact, &format!("{WHEEL}{first}{SPIN}")));
    let (a, b) = (places(&first), places(&second));
    assert!(a.len() >= 4 && a.len() == b.len(), "{a:?} {b:?}");
    // A turn later all comes again; the second, 124 deg ahead, meets each event so much earlier.
    for event in &a {
        let on = |b: f64| (event.2 - b - 124.0 + 180.0).rem_euclid(360.0) - 180.0;
        let same = b.iter().any(|b| (b.0, b.1) == (event.0, event.1) && on(b.2).abs() < 1e-3);
        assert!(same, "{event:?} is not among {b:?}");
    }
}

#[test]
fn prop_a_circle_moves_as_a_whole() {
    let circle =
        "at = [\"1 mm\", \"2 mm\", \"3 mm\"]\ncircle = { count = 3, radius = \"16 mm\" }\n";
    let design = parse(&design_of(&format!("{REED}{LEVELS}"), &format!("{WHEEL}{circle}{SPIN}")));
    let what = Movable::named(&design, "magnet[pole 1]").expect("named");
    let placed = place(&design, what, [18e-3, 2e-3, 7e-3], [0.0; 3]).expect("placed");
    let expected = [("magnet[pole].at[0]", "2 mm"), ("magnet[pole].at[2]", "7 mm")];
    let expected = expected.map(|(path, text)| (path.to_owned(), text.to_owned()));
    assert_eq!(placed.changes, expected);
    assert!(placed.design.magnets.iter().all(|m| m.at[2].is.to_string() == "7 mm"));
    assert!(place(&design, what, [18e-3, 2e-3, 7e-3], [0.0, 0.1, 0.0]).is_err());
}

const COIL: &str = "[[coil]]\nname = \"drive\"\nlength = \"25 mm\"\nmean_diameter = \"9 mm\"\n\
                    [sweep]\nkind = \"current\"\ncoil = \"drive\"\nfrom = \"0 AT\"\nto = \"40 AT\"\n";

/// At its reach on the axis of the contact a dipole is a twentieth of operate, all else but the field's bend
/// along the contact aside; three times as strong, ∛3 as far.
#[test]
fn cross_a_motor_at_its_reach_is_a_share_of_operate() {
    let contact = format!("{REED}{LEVELS}");
    let motor = |field: f64, at: f64, direction: &str| {
        format!(
            "[[motor]]\nname = \"pump\"\nfield = \"{field} mT\"\ndistance = \"500 mm\"\n\
             at = [\"{at} mm\", \"0 mm\", \"0 mm\"]\ndirection = {direction}\n{COIL}"
        )
    };
    let answer = |rest: &str| study(&design_of(&contact, rest)).answer;
    let reach = |field: f64| {
        let answer = answer(&motor(field, 5000.0, "[1, 0, 0]"));
        let of = |name: &str| {
            let found = answer.figures.iter().find(|figure| figure.name == name);
            found.expect(name).value.value.expect("a value")
        };
        assert!((of("share of the earth in reed") - 0.045 / 0.75 * 100.0).abs() < 1e-9);
        of("reach of pump to reed")
    };
    let near = reach(0.4);
    assert!((near - 500.0 * (0.4f64 / (0.05 * 0.75)).cbrt()).abs() < 1e-6, "{near}");
    assert!((reach(1.2) / near - 3f64.cbrt()).abs() < 1e-9);
    let drive =
        |direction: &str| answer(&motor(0.4, near, direction)).contacts[0].trace[0].drive_open;
    // The field bends by 6 (x/r)² along the contact, 27.5 mm to each side.
    let [along, across] = ["[1, 0, 0]", "[0, 1, 0]"].map(drive);
    assert!((along / (0.05 * 0.75) - 1.0).abs() < 3e-3, "{along}");
    assert!(across.abs() < 1e-9, "{across}");
    // Beside the contact and along it the field is half of that and the other way.
    let beside = motor(0.4, 0.0, "[1, 0, 0]").replace(
        "at = [\"0 mm\", \"0 mm\", \"0 mm\"]",
        &format!("at = [\"0 mm\", \"{near} mm\", \"0 mm\"]"),
    );
    let beside = answer(&beside).contacts[0].trace[0].drive_open;
    assert!((beside / along + 0.5).abs() < 3e-3, "{beside} {along}");
}
