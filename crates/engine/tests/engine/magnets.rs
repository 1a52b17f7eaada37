//! Where magnets of a grade work on their curve, and what they lose, through the design file.

use crate::at_work::{LEVELS, REED, design_of, study};
use crate::table::Table;
use reedmace_engine::answer::{Answer, MagnetAnswer, MagnetState};
use reedmace_fields::{Magnet, MagnetShape, Source};
use reedmace_materials::{DemagnetizationCurve, Grades};
use reedmace_units::{FieldStrength, Quantity, Ratio, Temperature};

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
const MU_0: f64 = 1.256_637_061_27e-6;

/// The contact far from some magnets, and a sweep that moves `moves` from 80 mm to `to` mm along x.
fn answer(magnets: &str, celsius: &str, moves: &str, to: f64) -> Answer {
    let contact = format!("{REED}{LEVELS}at = [\"0 mm\", \"0 mm\", \"300 mm\"]\n");
    let sweep = format!(
        "[sweep]\nkind = \"line\"\nmoves = \"{moves}\"\nfrom = [\"80 mm\", \"0 mm\", \"0 mm\"]\n\
         to = [\"{to} mm\", \"0 mm\", \"0 mm\"]\n[surroundings]\ntemperature = \"{celsius} °C\"\n"
    );
    study(&design_of(&contact, &format!("{magnets}\n{sweep}"))).answer
}

fn magnet(name: &str, shape: &str, grade: &str) -> String {
    format!("[[magnet]]\nname = \"{name}\"\ngrade = \"{grade}\"\n{shape}\n")
}

/// A lone magnet, polarized along its z.
fn lone(shape: &str, grade: &str, celsius: &str) -> MagnetAnswer {
    answer(&magnet("slug", shape, grade), celsius, "slug", 60.0).magnets.swap_remove(0)
}

fn only(magnet: &MagnetAnswer) -> &MagnetState {
    assert_eq!(magnet.states.len(), 1);
    &magnet.states[0]
}

fn sphere(direction: i32) -> String {
    format!("shape = \"sphere\"\ndiameter = \"6 mm\"\ndirection = [{direction}, 0, 0]")
}

fn cuboid(size: [f64; 3]) -> String {
    let [a, b, c] = size;
    format!(
        "shape = \"cuboid\"\nsize = [\"{a} mm\", \"{b} mm\", \"{c} mm\"]\ndirection = [0, 0, 1]"
    )
}

/// Factors of [chen1991] (as quoted in a public collection) for cylinders, length over diameter 1, 2, 5,
/// and of [aharoni1998]'s closed form as evaluated elsewhere for prisms: the permeance coefficient is
/// (1 − N)/N.
#[test]
fn val_load_lines() {
    let mut table = Table::new(
        "magnet-load-lines",
        "Load lines of magnets",
        "Demagnetizing factor from the sampled inside of a magnet, and the permeance coefficient \
         (1 − N)/N of its load line, against published factors: cylinders by length over diameter \
         `[chen1991]`, prisms by height over width `[aharoni1998]`; the latter evaluated elsewhere.",
        "shape",
    );
    let cylinder = |ratio: f64| {
        let length = 4.0 * ratio;
        format!(
            "shape = \"cylinder\"\ndiameter = \"4 mm\"\nlength = \"{length} mm\"\naxis = [0, 0, 1]\n\
             direction = [0, 0, 1]"
        )
    };
    let prism = |ratio: f64| cuboid([4.0, 4.0, 4.0 * ratio]);
    let cases = [
        ("cylinder 1", cylinder(1.0), 0.31158),
        ("cylinder 2", cylinder(2.0), 0.18186),
        ("cylinder 5", cylinder(5.0), 0.07991),
        ("prism 0.5", prism(0.5), 0.495_922),
        ("prism 2", prism(2.0), 0.198_316_2),
        ("prism 5", prism(5.0), 0.088_315_74),
    ];
    for (name, shape, factor) in cases {
        let magnet = lone(&shape, "NdFeB 280/120", "20");
        let off = magnet.demagnetizing_factor - factor;
        table.row(&format!("{name}, factor"), off.abs(), 5e-4);
        let permeance = only(&magnet).permeance_coefficient.unwrap();
        let off = permeance / ((1.0 - factor) / factor) - 1.0;
        table.row(&format!("{name}, permeance, relative"), off.abs(), 5e-3);
    }
    table.finish();
}

/// Inside a sphere H is −J/3 everywhere [jackson1999], so that mean and worst working point are one, and
/// with J = Br + 0.05 μ0 H the field is −Br/(3 μ0 (1 + 0.05/3)).
#[test]
fn val_sphere_works_at_one_point() {
    let magnet = lone(&sphere(1), "NdFeB 240/80", "20");
    let state = only(&magnet);
    let h = -1.14 / 3.0 / (1.0 + 0.05 / 3.0) / MU_0 / 1e3;
    for point in [state.mean, state.worst] {
        assert!((point.h / h - 1.0).abs() < 1e-11, "{point:?} {h}");
        assert!((point.b + 2.0 * MU_0 * h * 1e3).abs() < 1e-11, "B is 2/3 J: {point:?}");
        assert!((point.knee_margin - 100.0 * (1.0 + h / 720.0)).abs() < 1e-8, "{point:?}");
    }
    assert!((state.permeance_coefficient.unwrap() - 2.0).abs() < 1e-11);
    assert_eq!((state.loss, state.beyond_knee, state.worst_at), (0.0, 0.0, None));
}

/// By hand at 140 °C, 120 K above 20 °C: Br = 1.14 (1 − 0.132) = 0.98952 T, HcJ = 800 (1 − 0.78) = 176 kA/m,
/// knee 0.9 · 176 = 158.4 kA/m, Jk = 0.98952 − 0.05 μ0 158400 = 0.979567 T. The load line J = 3 μ0 H meets
/// J = Jk (176000 − H)/17600 at H = 164.835 kA/m, J = 0.621410 T; 0.05 μ0 H = 0.010357 T comes back, so
/// that 0.631767 T of 0.98952 T are kept: 36.154 % are lost.
#[test]
fn prop_loss_of_a_sphere_is_that_worked_out_by_hand() {
    let answer = answer(&magnet("slug", &sphere(1), "NdFeB 240/80"), "140", "slug", 60.0);
    let state = only(&answer.magnets[0]);
    let near =
        |found: f64, wanted: f64| assert!((found / wanted - 1.0).abs() < 2e-5, "{found} {wanted}");
    near(state.remanence, 0.98952);
    near(state.intrinsic_coercivity, 176.0);
    near(state.worst.h, -164.835);
    near(state.worst.j, 0.621_410);
    near(state.loss, 36.154);
    near(state.beyond_knee, 100.0);
    let warning = answer.warnings.iter().find(|w| w.code == "W0201").expect("a warning");
    assert!(warning.message.contains("about 36 % of its strength"), "{}", warning.message);
}

/// A sphere makes a dipole's field outside, and the mean of such a field over a sphere is its value in
/// the middle: −2/3 J (R/d)³ from an equal one on its axis that repels it. At 8 mm, 2 mm from touching,
/// the points of the inside see it to 2e-5.
#[test]
fn cross_a_repelling_magnet_lowers_the_working_point() {
    let magnets =
        magnet("slug", &sphere(1), "NdFeB 240/80") + &magnet("post", &sphere(-1), "NdFeB 240/80");
    for (distance, within) in [(8.0, 2e-5), (16.0, 1e-8)] {
        let own = 1.14 / (1.0 + 0.05 / 3.0);
        let outside = 2.0 / 3.0 * own * (3.0_f64 / distance).powi(3);
        let h = (outside + 1.14 / 3.0) / (1.0 + 0.05 / 3.0) / MU_0 / 1e3;
        for magnet in answer(&magnets, "20", "slug", distance).magnets {
            let state = only(&magnet);
            let wanted = -outside / MU_0 / 1e3;
            assert!((state.field_from_outside / wanted - 1.0).abs() < within, "{state:?} {wanted}");
            assert!((state.mean.h / -h - 1.0).abs() < within, "{state:?} {h}");
            assert!(state.worst.h < state.mean.h, "the near side sees more: {state:?}");
            assert_eq!(state.worst_at, Some(distance));
        }
    }
}

#[test]
fn prop_a_long_magnet_alone_at_20_degrees_loses_nothing() {
    let answer =
        answer(&magnet("slug", &cuboid([3.0, 3.0, 9.0]), "NdFeB 240/80"), "20", "slug", 60.0);
    let state = only(&answer.magnets[0]);
    assert_eq!((state.loss, state.beyond_knee), (0.0, 0.0));
    assert!(state.worst.knee_margin > 30.0, "{state:?}");
    assert!(!answer.warnings.iter().any(|w| w.code == "W0201"));
}

/// Common practice, no source: cold is worst for ferrite, whose coercivity rises with temperature, and
/// heat for neodymium.
#[test]
fn prop_ferrite_suffers_in_the_cold_and_neodymium_in_the_heat() {
    for (grade, worst) in [("Hard ferrite 25/14", 0), ("NdFeB 240/80", 1)] {
        let magnet = lone(&cuboid([6.0, 6.0, 4.5]), grade, "-40..100");
        let [cold, hot] = magnet.states.as_slice() else { panic!("two ends") };
        assert_eq!((cold.temperature, hot.temperature), (-40.0, 100.0));
        let margins = [cold.worst.knee_margin, hot.worst.knee_margin];
        let losses = [cold.loss, hot.loss];
        assert!(
            margins[worst] < margins[1 - worst] && losses[worst] > 0.5,
            "{margins:?} {losses:?}"
        );
        assert_eq!(losses[1 - worst], 0.0);
    }
}

/// A magnet's state is linear in both coefficients at both ends.
#[test]
fn prop_remanence_and_coercivity_follow_their_linear_laws() {
    let magnet = lone(&cuboid([3.0, 3.0, 9.0]), "SmCo 160/120", "-20..120");
    assert_eq!((magnet.remanence_drift, magnet.coercivity_drift), (-0.045, -0.3));
    for state in &magnet.states {
        let kelvin = state.temperature - 20.0;
        assert!((state.remanence - 0.93 * (1.0 - 0.00045 * kelvin)).abs() < 1e-11);
        assert!((state.intrinsic_coercivity - 1200.0 * (1.0 - 0.003 * kelvin)).abs() < 1e-8);
        assert_eq!(state.curve.first().unwrap().j, state.remanence);
        assert_eq!(state.curve.last().unwrap().h, -state.intrinsic_coercivity);
        assert!(state.curve.last().unwrap().j.abs() < 1e-12);
    }
}

/// The current of a coil round a magnet that opposes it counts at the end of its sweep.
#[test]
fn prop_a_swept_coil_opposes_at_its_highest_current() {
    let text = |to: &str| {
        let contact = format!("{REED}{LEVELS}at = [\"0 mm\", \"0 mm\", \"300 mm\"]\n");
        let slug = magnet("slug", &cuboid([3.0, 3.0, 9.0]), "NdFeB 240/80");
        let coil = "[[coil]]\nname = \"winding\"\nlength = \"200 mm\"\nmean_diameter = \"8 mm\"\n\
                    axis = [0, 0, 1]\n";
        let sweep = format!(
            "[sweep]\nkind = \"current\"\ncoil = \"winding\"\nfrom = \"0 AT\"\nto = \"{to}\"\n\
             [surroundings]\ntemperature = \"20 °C\"\n"
        );
        design_of(&contact, &format!("{slug}\n{coil}\n{sweep}"))
    };
    // a long winding's field is its ampere-turns over its length: 10000/0.2 m = 50 kA/m
    let against = study(&text("-10000 AT")).answer.magnets.swap_remove(0);
    let along = study(&text("10000 AT")).answer.magnets.swap_remove(0);
    let field = only(&against).field_from_outside;
    assert!((field / -50.0 - 1.0).abs() < 2e-3, "{field}");
    assert_eq!(only(&against).worst_at, Some(-10000.0));
    assert_eq!(only(&along).field_from_outside, 0.0);
    assert_eq!(only(&along).worst_at, Some(0.0));
}

/// Loss of a cuboid of `CELLS` cells each way, each with a polarization of its own: the balance of all
/// cells on the curve, one cell after another until nothing moves.
fn loss_of_cells(size: [f64; 3], curve: &DemagnetizationCurve) -> f64 {
    const CELLS: usize = 8;
    let step = size.map(|s| s / CELLS as f64);
    let shape = MagnetShape::Cuboid { half_size: step.map(|s| 0.5 * s) };
    let cell = Magnet::new(shape, [0.0, 0.0, 1.0]).unwrap();
    let at = |i: usize| [i / CELLS / CELLS, i / CELLS % CELLS, i % CELLS];
    let factor = |i: usize| {
        let own = f64::from(u8::from(i == 0));
        own - cell.b(std::array::from_fn(|c| step[c] * at(i)[c] as f64))[2]
    };
    let factors: Vec<f64> = (0..CELLS.pow(3)).map(factor).collect();
    let between = |i: usize, k: usize| {
        let [x, y, z] = std::array::from_fn(|c| at(i)[c].abs_diff(at(k)[c]));
        factors[(x * CELLS + y) * CELLS + z]
    };
    let count = CELLS.pow(3);
    let mut j = vec![curve.remanence().si(); count];
    let mut h = vec![FieldStrength::from_si(0.0); count];
    for _ in 0..2000 {
        let mut moved = 0.0_f64;
        for i in 0..count {
            let others: f64 = (0..count).filter(|k| *k != i).map(|k| between(i, k) * j[k]).sum();
            h[i] = curve.load(Ratio::from_si(factors[0]), FieldStrength::from_si(others / MU_0));
            let new = curve.polarization(h[i]).si();
            moved = moved.max((new - j[i]).abs());
            j[i] = new;
        }
        if moved < 1e-6 {
            return 1.0 - h.iter().map(|h| curve.kept(*h).si()).sum::<f64>() / count as f64;
        }
    }
    panic!("the cells do not settle");
}

#[test]
fn cross_loss_against_cells() {
    let mut table = Table::new(
        "magnet-loss",
        "Loss of magnets beyond the knee",
        "Share of the polarization lost for good by blocks of NdFeB 240/80, width and height in mm, against \
         512 cells with a polarization each that balance on the same curve: the estimate takes every \
         point as if the whole magnet had its polarization. Error in parts of J; the loss by the \
         cells beside it.",
        "block | cells lose",
    );
    let grades = Grades::builtin();
    let grade = grades.find("NdFeB 240/80").unwrap();
    for (width, height) in [(5.0, 2.0), (5.0, 5.0), (3.0, 9.0)] {
        for celsius in [60, 80, 100, 120, 130] {
            let size = [width, width, height];
            let magnet = lone(&cuboid(size), "NdFeB 240/80", &celsius.to_string());
            let cells = loss_of_cells(size, &grade.curve(Temperature::celsius(f64::from(celsius))));
            let what = format!("{width} × {height}, {celsius} °C | {cells:.3}");
            table.row(&what, (only(&magnet).loss / 100.0 - cells).abs(), 3e-2);
        }
    }
    table.finish();
}
