//! The key table, the catalogue, the templates and the example designs are sound.

use reedmace_design::keys::{CATALOGUE, DESIGN, TEST_COIL, VALUE};
use reedmace_design::schema::{Key, Kind, Limits, Measure, Measured, Need, Table};
use reedmace_design::{
    Catalogue, Design, SourceMark, TEMPLATES, catalogue, codes, file_reference, json_schema, parse,
    render_text,
};
use reedmace_materials::Grades;
use reedmace_units::{
    Acceleration, AmpereTurns, Angle, Capacitance, Current, Density, Duration, FlowRate,
    FluxDensity, Frequency, Inductance, Length, Mass, Polarization, Power, Pressure, Quantity,
    Ratio, Resistance, Temperature, ThermalResistance, Toleranced, Voltage, Volume,
};
use std::path::PathBuf;

fn designs() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../designs")
}

fn load(name: &str) -> std::io::Result<Vec<u8>> {
    let beside = || std::fs::read(designs().join("vent-flap").join(name));
    std::fs::read(designs().join(name)).or_else(|_| beside())
}

/// Every example design: its file name and text.
fn examples() -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = std::fs::read_dir(designs())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    let vent = std::fs::read_to_string(designs().join("vent-flap/vent-flap.toml")).unwrap();
    found.push(("vent-flap.toml".to_owned(), vent));
    found.sort();
    assert!(found.len() >= 5, "the example designs are missing");
    found
}

fn sound(name: &str, text: &str) -> Design {
    match parse(text, &load) {
        Ok((design, warnings)) => {
            let shown = render_text(&warnings, name, text, false);
            assert!(warnings.is_empty(), "{shown}");
            design
        }
        Err(faults) => panic!("{}", render_text(&faults, name, text, false)),
    }
}

fn every_table(spec: &'static Table, visit: &mut impl FnMut(&'static Table)) {
    visit(spec);
    for key in spec.keys() {
        if let Kind::Table(inner) | Kind::Tables(inner) = key.kind {
            every_table(inner, visit);
        }
    }
}

fn every_key(visit: &mut impl FnMut(&'static Table, &'static Key)) {
    for root in [&DESIGN, &CATALOGUE, &VALUE, &TEST_COIL] {
        every_table(root, &mut |table| table.keys().for_each(|key| visit(table, key)));
    }
}

/// The value in SI of a text of this measure.
fn si(measure: Measure, text: &str) -> f64 {
    fn of<Q: Quantity>(text: &str) -> f64 {
        text.parse::<Toleranced<Q>>().unwrap_or_else(|error| panic!("{text}: {error}")).nominal.si()
    }
    match measure {
        Measure::Length => of::<Length>(text),
        Measure::Angle => of::<Angle>(text),
        Measure::FluxDensity => of::<FluxDensity>(text),
        Measure::Polarization => of::<Polarization>(text),
        Measure::AmpereTurns => of::<AmpereTurns>(text),
        Measure::Current => of::<Current>(text),
        Measure::Voltage => of::<Voltage>(text),
        Measure::Power => of::<Power>(text),
        Measure::Temperature => of::<Temperature>(text),
        Measure::Density => of::<Density>(text),
        Measure::Volume => of::<Volume>(text),
        Measure::FlowRate => of::<FlowRate>(text),
        Measure::Duration => of::<Duration>(text),
        Measure::Frequency => of::<Frequency>(text),
        Measure::Pressure => of::<Pressure>(text),
        Measure::Acceleration => of::<Acceleration>(text),
        Measure::Inductance => of::<Inductance>(text),
        Measure::Capacitance => of::<Capacitance>(text),
        Measure::ThermalResistance => of::<ThermalResistance>(text),
        Measure::Resistance => of::<Resistance>(text),
        Measure::Mass => of::<Mass>(text),
        Measure::Number => of::<Ratio>(text),
    }
}

#[test]
fn prop_every_range_parses_and_holds_its_default_and_example() {
    let mut ranges = 0;
    every_key(&mut |table, key| {
        let (Kind::One(Measured { measure, limits: Limits { low, high } })
        | Kind::Three(Measured { measure, limits: Limits { low, high } })
        | Kind::Either(Measured { measure, limits: Limits { low, high } }, _)) = key.kind
        else {
            return;
        };
        ranges += 1;
        let name = format!("{}.{}", table.name, key.name);
        let (low, high) = (si(measure, low), si(measure, high));
        assert!(low < high, "{name}");
        if let Need::Default(text) = key.need {
            let default = si(measure, text);
            assert!(low <= default && default <= high, "{name}: default {text}");
        }
        if !matches!(key.kind, Kind::Three(_)) {
            let example = si(measure, key.example.trim_matches('"'));
            assert!(low <= example && example <= high, "{name}: example {}", key.example);
        }
    });
    assert!(ranges > 40, "only {ranges} ranges");
}

#[test]
fn prop_every_key_is_explained_by_a_sentence_and_an_example_in_toml() {
    every_key(&mut |table, key| {
        let name = format!("{}.{}", table.name, key.name);
        assert!(key.doc.ends_with('.') && key.doc.len() > 10, "{name}: {}", key.doc);
        if !matches!(key.kind, Kind::Table(_) | Kind::Tables(_)) {
            let line = format!("{} = {}", key.name, key.example);
            assert!(toml::de::DeTable::parse(&line).is_ok(), "{name}: {line}");
        }
    });
}

#[test]
fn prop_codes_are_unique_and_sorted() {
    let ids: Vec<&str> = codes::CODES.iter().map(|code| code.id).collect();
    let mut sorted = ids.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(ids, sorted);
    assert_eq!(codes::meaning("G0102"), Some("the overlap is longer than the blade"));
}

#[test]
fn prop_the_built_in_catalogue_is_sound_and_every_entry_makes_a_design() {
    let grades = Grades::builtin();
    for text in [include_str!("../data/contacts.toml"), include_str!("../data/magnets.toml")] {
        let faults = catalogue::check(text, &grades);
        assert!(faults.is_empty(), "{}", render_text(&faults, "catalogue", text, false));
    }
    let builtin = Catalogue::builtin();
    let (families, magnets) = (builtin.families(), builtin.magnets());
    assert!(families.len() >= 6 && magnets.len() >= 10);
    let approach = reedmace_design::template("approach").unwrap();
    let start = approach.find("[[magnet]]").unwrap();
    let end = approach.find("[sweep]").unwrap();
    let mut glass = Vec::new();
    for family in &families {
        for magnet in &magnets {
            let (family, stock) = (&family.name, &magnet.name);
            let block = format!("[[magnet]]\nname = \"magnet\"\ncatalogue = \"{stock}\"\n");
            let text = [&approach[..start], &block, &approach[end..]].concat();
            let text = text.replace("family = \"flag\"", &format!("family = \"{family}\""));
            let design = sound(&format!("{family} and {stock}"), &text);
            assert_eq!(design.contacts[0].family.as_ref(), Some(family));
            let gap = &design.contacts[0].gap;
            assert_eq!(gap.source, Some(SourceMark::Catalogue));
            assert_eq!(&text[gap.span.clone()], format!("\"{family}\""));
            glass.push(design.contacts[0].glass_length.as_ref().unwrap().si());
        }
    }
    let longest = glass.iter().fold(0.0, |a: f64, b| a.max(*b));
    let shortest = glass.iter().fold(1.0, |a: f64, b| a.min(*b));
    assert!(shortest <= 6.5e-3 && longest >= 45e-3, "{shortest} to {longest}");
}

#[test]
fn prop_templates_and_examples_are_sound() {
    for (name, text) in TEMPLATES {
        sound(name, text);
    }
    for (name, text) in examples() {
        sound(&name, &text);
    }
}

#[test]
fn prop_the_json_schema_takes_every_sound_design_and_few_broken_ones() {
    let schema = json_schema();
    let validator = jsonschema::validator_for(&schema).expect("the schema is a schema");
    let as_json = |text: &str| -> Option<serde_json::Value> { toml::from_str(text).ok() };
    let templates = TEMPLATES.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned()));
    for (name, text) in examples().into_iter().chain(templates) {
        let instance = as_json(&text).expect(&name);
        let errors: Vec<String> = validator
            .iter_errors(&instance)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{name}: {errors:#?}");
    }
    // What a schema can see: keys, kinds of value, words and which keys go together. Ranges of
    // quantities, names and what must hold between values are beyond it.
    let visible = [
        "G0001", "G0002", "G0003", "G0004", "G0005", "G0006", "G0007", "G0010", "G0011", "G0013",
        "G0014", "G0015", "G0203", "G0206", "G0207", "G0504", "G0505", "Q0104", "Q0106", "Q0107",
        "Q0108", "Q0121",
    ];
    // Needs to know the unit or the turns of another table, that a name is wanted, or what a word of its own table allows.
    let beyond = ["demand-in-degrees", "demand-in-mm-on-an-arc", "mixed-ends", "arc-in-mm"];
    let beyond = [
        &beyond[..],
        &[
            "swept-current-without-turns",
            "figure-in-wrong-unit",
            "stops-of-an-arm",
            "level-in-degrees",
            "latch-coil-at-an-end",
            "form-that-repeats",
            "suppression-astray",
        ],
    ]
    .concat();
    let (mut refused, mut all) = (0, 0);
    for entry in std::fs::read_dir(designs().join("broken")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(path).unwrap();
        let sees = text
            .lines()
            .filter_map(|line| line.split_once("#!"))
            .any(|(_, codes)| codes.split_whitespace().any(|code| visible.contains(&code)));
        let refuses = !as_json(&text).is_some_and(|value| validator.is_valid(&value));
        assert!(refuses || !sees || beyond.contains(&name.as_str()), "the schema takes {name}");
        all += 1;
        refused += usize::from(refuses);
    }
    println!("the schema refuses {refused} of {all} broken designs");
    assert!(refused >= 65, "the schema refuses only {refused} of {all} broken designs");
}

#[test]
fn reg_json_schema_is_as_it_was() {
    let now = format!("{:#}\n", json_schema());
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    golden(folder.join("design.schema.json"), &now);
}

#[test]
fn reg_the_file_reference_is_as_it_was() {
    golden(designs().join("REFERENCE.md"), &file_reference());
}

/// Compares with a golden file; `cargo xtask bless` writes it anew.
fn golden(path: PathBuf, now: &str) {
    if std::env::var_os("REEDMACE_BLESS").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, now).unwrap();
    }
    let then = std::fs::read_to_string(&path).unwrap_or_default();
    let name = path.display();
    assert!(now == then, "{name} has changed; look at it, then run `cargo xtask bless`");
}
