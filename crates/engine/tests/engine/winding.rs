//! A coil's wire and turns chosen: against every one of them tried.

use reedmace_applied::conductor::Conductor;
use reedmace_applied::winding::{Bobbin, Laid, Lay, Wire};
use reedmace_design::{Catalogue, Design, Diagnostic, parse_with};
use reedmace_engine::answer::LostKind;
use reedmace_engine::{ChooseOptions, Options, check, choose};
use reedmace_materials::Grades;

const TEXT: &str = r#"format = 1
title = "Winding"

[[contact]]
name = "contact"
family = "watermint"
overall_length = "16 mm"

[[coil]]
name = "coil"
bobbin = { inner_diameter = "4 mm", length = "10 mm", window = "1.5 mm" }
wire = "0.08 mm grade 1"
lay = "layered"
turns = 1600
axis = [1, 0, 0]

[sweep]
kind = "voltage"
coil = "coil"
from = "0 V"
to = "6 V"

[relay]
supply = "5 V"

[[demand]]
contact = "contact"
closed = ">= 3 V"

[[demand]]
figure = "coil power"
within = "<= 300 mW"

[surroundings]
temperature = "20 °C"

[choose]
cost = "power"

[choose.free]
"coil[coil].wire" = ["0.05 mm grade 1", "0.063 mm grade 1", "0.08 mm grade 1"]
"coil[coil].turns" = { from = "1200", to = "3000", step = "600" }
"#;

/// Wire and enamel, mm: nominal and the middle of grade 1's limits by `[iec60317-0-1]`, as the table has them.
const WIRES: [(&str, f64, f64); 3] = [
    ("0.05 mm grade 1", 0.05, 0.058),
    ("0.063 mm grade 1", 0.063, 0.0725),
    ("0.08 mm grade 1", 0.08, 0.0905),
];

fn parse(text: &str) -> Result<Design, Vec<Diagnostic>> {
    let none = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    Ok(parse_with(text, &Catalogue::builtin(), &Grades::builtin(), &none)?.0)
}

/// Each wire with each number of turns by a check of its own; power by Ohm's law from the length of wire that
/// the winding takes.
#[test]
fn cross_every_wire_and_turns_by_hand() {
    let design = parse(TEXT).unwrap();
    let found =
        choose(&design, "winding.toml", &ChooseOptions::default(), &parse, &|_| true).unwrap();
    let bobbin = Bobbin { inner_diameter: 4e-3, length: 10e-3, window: 1.5e-3 };
    let mut expected = Vec::new();
    let mut overfull = 0;
    for (called, bare, overall) in WIRES {
        let wire = Wire { bare: bare * 1e-3, overall: overall * 1e-3 };
        let laid = Laid::new(bobbin, wire, Lay::Layered).unwrap();
        for turns in [1200.0, 1800.0, 2400.0, 3000.0] {
            let Ok(winding) = laid.wind(turns) else {
                overfull += 1;
                continue;
            };
            let power = 25.0 / winding.resistance(Conductor::COPPER, 293.15);
            let text = TEXT
                .replace("wire = \"0.08 mm grade 1\"", &format!("wire = \"{called}\""))
                .replace("turns = 1600", &format!("turns = {turns}"));
            let options = Options { units: 0, ..Options::default() };
            let answer = check(&parse(&text).unwrap(), "", &options, &|_, _| ()).unwrap().answer;
            if answer.demands.iter().all(|demand| demand.verdict.word() == "met") {
                expected.push((1e3 * power, called.to_owned(), format!("{turns}")));
            }
        }
    }
    expected.sort_by(|a, b| a.0.total_cmp(&b.0));
    let candidates = &found.answer.candidates;
    let told: Vec<_> =
        candidates.iter().map(|c| (c.values[0].text.clone(), c.values[1].text.clone())).collect();
    let wanted: Vec<_> =
        expected.iter().map(|(_, wire, turns)| (wire.clone(), turns.clone())).collect();
    assert_eq!(told, wanted);
    assert!(told.len() > 1, "too few to tell: {told:?}");
    for (candidate, (power, ..)) in candidates.iter().zip(&expected) {
        assert!((candidate.cost / power - 1.0).abs() < 2e-3, "{} for {power}", candidate.cost);
    }
    let faulty = found.answer.lost.iter().filter(|lost| lost.kind == LostKind::Faulty);
    assert_eq!(faulty.map(|lost| lost.count).sum::<u64>(), overfull);
    assert!(overfull > 0, "each of them fits");
}
