//! Quantities that go together, and mixtures: against closed forms.

use super::{Spread, SpreadOptions, Tally};
use crate::bench::Bench;
use crate::worst::Worst;
use reedmace_design::Design;
use reedmace_sampling::Sobol;

fn design(change: impl Fn(String) -> String) -> Design {
    let path = format!("{}/../../designs/hopper-lid.toml", env!("CARGO_MANIFEST_DIR"));
    let text = change(std::fs::read_to_string(path).unwrap());
    let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    match reedmace_design::parse(&text, &nothing) {
        Ok((design, _)) => design,
        Err(faults) => {
            panic!("{}", reedmace_design::render_text(&faults, "", &text, false))
        }
    }
}

fn study(design: &Design, units: u64) -> (Spread, Tally) {
    let options = SpreadOptions { units, ..SpreadOptions::default() };
    let study = Spread::new(&Bench::default(), design, options, &|_, _| ()).unwrap();
    let mut tally = study.tally().unwrap();
    study.run(&mut tally, &|_| true).unwrap();
    (study, tally)
}

/// Values of variables over 2¹⁶ units.
fn drawn<const N: usize>(design: &Design, paths: [&str; N]) -> Vec<[f64; N]> {
    let (workshop, _) = Bench::default().workshop(design).unwrap();
    let variables = &workshop.variables;
    let places = paths.map(|path| variables.index_of(path).unwrap());
    let points = Sobol::new(1, variables.len()).unwrap();
    let value = |unit| {
        let mut values = points.point(unit);
        workshop.draw(&mut values);
        places.map(|place| values[place])
    };
    (0..1 << 16).map(value).collect()
}

fn moments(values: impl Iterator<Item = f64> + Clone) -> [f64; 2] {
    let n = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / n;
    [mean, (values.map(|v| (v - mean).powi(2)).sum::<f64>() / n).sqrt()]
}

fn correlated(text: String, of: &str, rank: f64) -> String {
    text + &format!("\n[[correlation]]\nof = [{of}]\nrank = {rank}\n")
}

const BOTH: &str = "\"contact[lid].operate\", \"contact[lid].release\"";

/// Of uniform quantities the correlation of the values is the rank correlation.
#[test]
fn law_values_are_correlated_as_stated() {
    for rank in [0.8, -0.6, 0.0, 1.0] {
        let design = design(|text| correlated(text, BOTH, rank));
        let values = drawn(&design, ["contact[lid].operate", "contact[lid].release"]);
        let [one, other] = [0, 1].map(|k| moments(values.iter().map(|v| v[k])));
        let together = |v: &[f64; 2]| (v[0] - one[0]) * (v[1] - other[0]) / (one[1] * other[1]);
        let found = values.iter().map(together).sum::<f64>() / values.len() as f64;
        assert!((found - rank).abs() < 1e-4, "{rank}: {found}");
        // Each by itself is spread as before.
        for ([mean, deviation], [low, high]) in [(one, [20.0, 25.0]), (other, [9.0, 14.0])] {
            assert!((mean - 0.5 * (low + high)).abs() < 1e-4, "{mean}");
            assert!((deviation - (high - low) / 12f64.sqrt()).abs() < 1e-4, "{deviation}");
        }
    }
}

/// Mean and variance of a mixture are those of its parts, weighed, with what the parts' means scatter; a
/// normal part cut off at three sigma has the variance σ² (1 − 6 φ(3) / (2 Φ(3) − 1)).
#[test]
fn law_mixtures_have_the_moments_of_their_parts() {
    let mixture = "remanence = { mixture = [{ value = \"1.20 ± 0.03 T\", share = 0.7 }, \
                   { value = \"1.22..1.30 T\", share = 0.2 }, { value = \"1.18 T\", share = \"10 %\" }] }";
    let design = design(|text| text.replace("grade = \"NdFeB 240/80\"", mixture));
    let values = drawn(&design, ["magnet[slug].remanence"]);
    let density = (-4.5f64).exp() / std::f64::consts::TAU.sqrt();
    let normal = 0.01 * (1.0 - 6.0 * density / 0.997_300_203_936_740).sqrt();
    let parts = [(0.7, 1.2, normal), (0.2, 1.26, 0.08 / 12f64.sqrt()), (0.1, 1.18, 0.0)];
    let mean: f64 = parts.iter().map(|(share, mean, _)| share * mean).sum();
    let square = |(share, m, d): &(f64, f64, f64)| share * (d * d + (m - mean).powi(2));
    let deviation = parts.iter().map(square).sum::<f64>().sqrt();
    let found = moments(values.iter().map(|v| v[0]));
    assert!((found[0] - mean).abs() < 1e-6 && (found[1] - deviation).abs() < 2e-6, "{found:?}");
    let share = |low: f64, high: f64| {
        let within = values.iter().filter(|v| low <= v[0] && v[0] <= high).count();
        within as f64 / values.len() as f64
    };
    assert!((share(1.179, 1.181) - 0.1 - 0.7 * share_of_normal(-2.1, -1.9)).abs() < 1e-3);
}

/// Share of a normal part between so many of its sigmas.
fn share_of_normal(low: f64, high: f64) -> f64 {
    let points = 2000;
    let step = (high - low) / f64::from(points);
    let density = |x: f64| (-0.5 * x * x).exp() / std::f64::consts::TAU.sqrt() / 0.9973;
    (0..points).map(|k| density(low + (f64::from(k) + 0.5) * step) * step).sum()
}

/// Where the travel to an event is the start of the path less the contact's height, its variance is
/// a² + b² − 2 ρ a b; the two together account for all of it.
#[test]
fn law_a_linear_stack_has_the_variance_of_correlated_terms() {
    for rank in [0.0, 0.7, -0.7] {
        let design = design(|text| {
            let (text, _) = text.split_once("[[demand]]").unwrap();
            let text = text
                .replace("20..25 AT", "22 AT")
                .replace("9..14 AT", "12 AT")
                .replace("5 ± 0.1 mm", "5 mm")
                .replace(
                    "\"0 ± 0.5 mm\", \"0 ± 0.5 mm\", \"80 mm\"",
                    "\"0 mm\", \"0 mm\", \"79.5..80.5 mm\"",
                )
                .replace("0 ± 0.5 mm", "0 mm")
                .replace(
                    "at = [\"0 mm\", \"0 mm\", \"0 mm\"]",
                    "at = [\"0 mm\", \"0 mm\", \"-0.2..0.2 mm\"]",
                )
                .replace("kind = \"line\"", "kind = \"line\"\ncoordinate = \"travel\"");
            let text = text + "\n[surroundings]\ntemperature = \"20 °C\"\n";
            correlated(text, "\"sweep.from[2]\", \"contact[lid].at[2]\"", rank)
                .replace("NdFeB 240/80", "NdFeB 240/80\"\nremanence = \"1.2 T")
        });
        let (study, tally) = study(&design, 40_000);
        let (a, b) = (1e-3 / 12f64.sqrt(), 0.4e-3 / 12f64.sqrt());
        let wanted = (a * a + b * b - 2.0 * rank * a * b).sqrt();
        for event in &tally.events {
            let found = event.moments().deviation().unwrap();
            assert!((found / wanted - 1.0).abs() < 1e-3, "{rank}: {found:e} {wanted:e}");
        }
        let answer = study.answer(&tally, "").unwrap();
        let drivers = &answer.events[0].drivers;
        if rank == 0.0 {
            // A rank correlation of nothing is stated, and they are one driver all the same.
            assert_eq!(drivers.len(), 1, "{drivers:?}");
        }
        assert_eq!(drivers[0].path, "contact[lid].at[2] + sweep.from[2]");
        assert!(drivers[0].note.as_ref().unwrap().starts_with("correlated"), "{drivers:?}");
        assert!((drivers[0].first - 1.0).abs() < 1e-2 && (drivers[0].total - 1.0).abs() < 1e-2);
    }
}

/// Least and greatest place of every event, least room of every demand.
fn limits(worst: &Worst) -> Vec<[f64; 2]> {
    let events = worst.events.iter().flatten().map(|band| [band.low, band.high]);
    events.chain(worst.demands.iter().map(|(room, _)| [*room; 2])).collect()
}

#[test]
fn law_the_worst_case_knows_no_correlations_and_all_of_a_mixture() {
    let worst = |change: &dyn Fn(String) -> String| limits(&study(&design(change), 100).0.worst);
    let plain = worst(&|text| text);
    assert_eq!(worst(&|text| correlated(text, BOTH, 0.9)), plain);
    let put = |remanence: &'static str| {
        move |text: String| text.replace("grade = \"NdFeB 240/80\"", remanence)
    };
    let mixture = "remanence = { mixture = [{ value = \"1.20 ± 0.02 T\", share = 0.7 }, \
                   { value = \"1.24 ± 0.03 T\", share = 0.3 }] }";
    assert_eq!(worst(&put(mixture)), worst(&put("remanence = \"1.20 +0.07 -0.02 T\"")));
}

/// Where limits overlap no unit releases above its operate, and the others are as they were.
#[test]
fn law_no_unit_releases_above_its_operate() {
    let overlapping = |text: String| text.replace("9..14 AT", "12..22 AT");
    let paths = ["contact[lid].operate", "contact[lid].release"];
    let values = drawn(&design(overlapping), paths);
    let at = values.iter().filter(|v| v[0] == v[1]).count() as f64 / values.len() as f64;
    assert!(values.iter().all(|v| v[1] <= v[0]));
    // Operate uniform in 20..25, release in 12..22: above in 2²/2 of 50 units of area.
    assert!((at - 0.04).abs() < 1e-3, "{at}");
    let (_, tally) = study(&design(overlapping), 20_000);
    assert_eq!(tally.units(), 20_000);
    assert!(tally.events.iter().all(|event| event.count() > 0));
    // One make: what operates high releases high, and none is above.
    let together = drawn(&design(|text| correlated(overlapping(text), BOTH, 1.0)), paths);
    assert!(together.iter().all(|v| v[1] < v[0]));
}
