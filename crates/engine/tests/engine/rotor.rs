//! A wheel whose turning is counted.

use crate::at_work::study;
use reedmace_engine::answer::{Answer, Direction, FigureAnswer};

const WHEEL: &str =
    include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/paddle-wheel.toml"));

fn figure<'a>(answer: &'a Answer, name: &str) -> &'a FigureAnswer {
    answer.figures.iter().find(|f| f.name == name).unwrap_or_else(|| panic!("no {name}"))
}

fn nominal(answer: &Answer, name: &str) -> f64 {
    figure(answer, name).value.value.expect("the nominal wheel has it")
}

/// Every number of the example by hand from its events: closed forms of pulses and counting.
#[test]
fn cross_figures_of_the_paddle_wheel_from_its_events() {
    let answer = study(WHEEL).answer;
    let forward = |d: Direction| d == Direction::Forward;
    let closed: Vec<[f64; 2]> = answer.contacts[0]
        .closed
        .iter()
        .filter(|one| forward(one.direction))
        .map(|one| [one.from, one.to])
        .collect();
    assert_eq!(closed.len(), 4);
    let widths: Vec<f64> = closed.iter().map(|[from, to]| to - from).collect();
    let gaps: Vec<f64> =
        (0..4).map(|k| (closed[(k + 1) % 4][0] - closed[k][1]).rem_euclid(360.0)).collect();
    let least = |all: &[f64]| all.iter().copied().fold(f64::INFINITY, f64::min);
    let near = |name: &str, wanted: f64| {
        let is = nominal(&answer, name);
        assert!((is / wanted - 1.0).abs() < 1e-9, "{name}: {is}, not {wanted}");
    };
    near("pulses per turn", 4.0);
    near("duty", widths.iter().sum::<f64>() / 3.6);
    near("shortest pulse", least(&widths));
    near("shortest pause", least(&gaps));
    // 0.4, 0.2 and 0.06 ms, a filter of 5 ms, 0.8 L a turn, 5 to 120 L/min, a minute to count.
    let (operate, bounce, release, filter) = (0.4e-3, 0.2e-3, 0.06e-3, 5e-3);
    let turns = f64::min(
        least(&widths) / 360.0 / (operate + bounce - release + filter),
        least(&gaps) / 360.0 / (release - operate + filter),
    );
    near("fastest wheel", 60.0 * turns);
    near("least filter window", 1e3 * bounce);
    near("K-factor", 5.0);
    near("greatest flow counted", 0.8 * 60.0 * turns);
    near("rate at least flow", 5.0 * 5.0 / 60.0);
    near("count error at least flow", 100.0 / (5.0 * 5.0));
    near("rate at greatest flow", 5.0 * 120.0 / 60.0);
    let at_greatest = 120.0 / 0.8 / 60.0;
    let pause = least(&gaps) / 360.0 / at_greatest + operate - release;
    let pulse = least(&widths) / 360.0 / at_greatest - operate - bounce + release;
    near("greatest filter window", 1e3 * pause.min(pulse));
    near("service soon below", 0.8 * 5.0);
    near("service now below", 0.6 * 5.0);
    // A hysteresis of 5 % of the clean rate.
    near("service soon off above", 0.85 * 5.0);
    near("service now off above", 0.65 * 5.0);
    assert_eq!(figure(&answer, "K-factor").value.unit, "pulses/L");
    let rotor = answer.rotor.expect("a wheel");
    assert_eq!(rotor.rows.len(), 4);
    assert!((rotor.rows[2].turns - 150.0).abs() < 1e-9);
    // At the fastest wheel nothing is left of a pulse or pause beyond the filter.
    let fastest = &rotor.rows[3];
    let left = fastest.steady_closed.min(fastest.steady_open);
    assert!((left / 5.0 - 1.0).abs() < 1e-9, "{left}");
}

/// The example without tolerances of its own.
fn exact() -> String {
    let text = WHEEL.replace("28 ± 0.3 mm", "28 mm").replace("0 ± 2 deg", "0 deg");
    text.replace("18 ± 0.1 mm", "18 mm").replace("2..25 °C", "20 °C")
}

/// A turn that begins in the middle of a pulse has as many, either way round.
#[test]
fn prop_where_the_turn_begins_and_which_way_it_goes_does_not_matter() {
    let told = |from: &str, to: &str| {
        let text = exact().replace("\"-45 deg\"", "FROM").replace("\"315 deg\"", "TO");
        let answer = study(&text.replace("FROM", from).replace("TO", to)).answer;
        ["pulses per turn", "duty", "shortest pulse", "shortest pause", "fastest wheel"]
            .map(|name| nominal(&answer, name))
    };
    let wanted = told("\"-45 deg\"", "\"315 deg\"");
    for (from, to) in [("\"5 deg\"", "\"365 deg\""), ("\"315 deg\"", "\"-45 deg\"")] {
        for (is, wanted) in told(from, to).into_iter().zip(wanted) {
            assert!((is / wanted - 1.0).abs() < 1e-4, "{is} {wanted}");
        }
    }
}

/// One magnet out of its even place, either way, makes the shortest pause shorter, by as much as it does on
/// a wheel that states it there.
#[test]
fn cross_a_magnet_out_of_place_is_a_wheel_of_its_own() {
    let text =
        exact().replace("poles = \"alternate\"", "poles = \"alternate\", angle = \"0 ± 2 deg\"");
    let pause = figure(&study(&text).answer, "shortest pause").clone();
    let astray = pause.drivers.iter().filter(|d| d.path.ends_with("].circle.angle"));
    let shifts: Vec<(&str, [f64; 2])> =
        astray.map(|d| (d.path.as_str(), [d.at_low, d.at_high])).collect();
    assert_eq!(shifts.len(), 4, "{:?}", pause.drivers);
    let circle =
        "circle = { count = 4, radius = \"18 mm\", first = [0, 1, 0], poles = \"alternate\"";
    let one = |k: usize, angle: &str| {
        format!(
            "[[magnet]]\nname = \"p{k}\"\ncatalogue = \"pebble\"\n{circle}, only = {k}{angle} }}\n"
        )
    };
    let magnets = one(1, ", angle = \"2 deg\"") + &one(2, "") + &one(3, "") + &one(4, "");
    let (before, rest) = text.split_once("[[magnet]]").expect("the magnets");
    let (_, rest) = rest.split_once("[sweep]").expect("the sweep");
    let apart = format!("{before}{magnets}[sweep]{rest}");
    let apart = apart.replace("moves = \"pole\"", "moves = [\"p1\", \"p2\", \"p3\", \"p4\"]");
    let shift = nominal(&study(&apart).answer, "shortest pause") - pause.value.value.unwrap();
    assert!(shift < -0.1, "{shift}");
    let first = shifts.iter().find(|(path, _)| path.contains("pole 1]")).expect("the first pole");
    assert!(first.1.iter().any(|of_one| (of_one - shift).abs() < 1e-6), "{first:?} {shift}");
    // The gap's normal makes the one side of a pole a little unlike the other.
    for (path, both) in &shifts {
        assert!(both.iter().all(|of_one| (of_one / shift - 1.0).abs() < 0.01), "{path}: {both:?}");
    }
}
