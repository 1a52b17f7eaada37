//! The key table, the catalogue, the templates and the example designs are sound.

use reedmace_design::keys::{CATALOGUE, DESIGN, TEST_COIL, VALUE};
use reedmace_design::schema::{Key, Kind, Limits, Measure, Measured, Need, Table};
use reedmace_design::{
    Calibration, Catalogue, Design, SourceMark, TEMPLATES, Thing, catalogue, codes, file_reference,
    json_schema, parse, render_text,
};
use reedmace_materials::Grades;
use reedmace_units::{
    AmpereTurns, Angle, Current, FluxDensity, Length, Polarization, Power, Quantity, Ratio,
    Temperature, Toleranced, Voltage,
};
use std::collections::BTreeSet;
use std::path::PathBuf;

fn designs() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../designs")
}

fn load(name: &str) -> std::io::Result<String> {
    std::fs::read_to_string(designs().join(name))
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
        "G0014", "G0015", "G0018", "G0203", "G0206", "G0207", "G0504", "G0505", "Q0104", "Q0106",
        "Q0107", "Q0108", "Q0121",
    ];
    // Needs to know the unit or the turns of another table, or that a name is wanted.
    let beyond = ["demand-in-degrees", "demand-in-mm-on-an-arc", "mixed-ends", "arc-in-mm"];
    let beyond = [&beyond[..], &["swept-current-without-turns"]].concat();
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
    assert!(2 * refused > all, "the schema refuses only {refused} of {all} broken designs");
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

/// Compares with a golden file; `BLESS=1` writes it anew.
fn golden(path: PathBuf, now: &str) {
    if std::env::var_os("BLESS").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, now).unwrap();
    }
    let then = std::fs::read_to_string(&path).unwrap_or_default();
    let name = path.display();
    assert!(now == then, "{name} has changed; look at it, then run with BLESS=1");
}

#[test]
fn prop_trimming_the_leads_keeps_the_length_the_family_was_measured_at() {
    let text = reedmace_design::template("approach")
        .unwrap()
        .replace("family = \"flag\"", "overall_length = \"30 mm\"\nfamily = \"flag\"");
    let (design, _) = parse(&text, &load).unwrap();
    let contact = &design.contacts[0];
    assert_eq!(contact.overall_length.is.nominal, Length::mm(30.0));
    assert_eq!(contact.calibrated_length.is.nominal, Length::mm(55.0));
    assert_eq!(contact.overall_length.path, "contact[reed].overall_length");
    assert_eq!(contact.overall_length.source, None);
}

#[test]
fn prop_a_value_says_where_it_is_from() {
    let text = reedmace_design::template("approach").unwrap().replace(
        "\"5 ± 0.1 mm\"",
        "{ value = \"5 ± 0.1 mm\", source = \"measured\", note = \"ten pieces\", spread = \"uniform\" }",
    );
    let (design, _) = parse(&text, &load).unwrap();
    let reedmace_design::Shape::Cuboid { size } = &design.magnets[0].shape else { panic!() };
    assert_eq!(size[1].source, Some(SourceMark::Measured));
    assert_eq!(size[1].note.as_deref(), Some("ten pieces"));
    assert_eq!(size[1].is.spread, reedmace_units::Spread::Uniform);
    assert_eq!(size[1].path, "magnet[magnet].size[1]");
    assert_eq!(&text[size[1].span.clone()], "\"5 ± 0.1 mm\"");
    let permeability = &design.contacts[0].permeability;
    assert_eq!(permeability.source, Some(SourceMark::Default));
    assert_eq!(permeability.is.nominal.si(), 5000.0);
}

#[test]
fn prop_a_users_catalogue_extends_and_overrides() {
    let mine = "[[family]]\nname = \"flag\"\nlead_diameter = \"0.6 mm\"\noverall_length = \"50 mm\"\n\
        blade_span = \"12 mm\"\nblade_width = \"1.3 mm\"\nblade_thickness = \"0.22 mm\"\n\
        overlap = \"1 mm\"\ngap = \"0.04 mm\"\noperate = \"3 mT\"\nrelease = \"1.5 mT\"\ncoil = \"uniform\"\n";
    let text = reedmace_design::template("approach")
        .unwrap()
        .replace("title =", "catalogue = [\"mine.toml\"]\ntitle =");
    let (design, _) = parse(&text, &|name| {
        assert_eq!(name, "mine.toml");
        Ok(mine.to_owned())
    })
    .unwrap();
    assert_eq!(design.contacts[0].gap.is.nominal, Length::mm(0.04));
    assert_eq!(design.contacts[0].coil, Calibration::Uniform);

    let faulty = mine.replace("0.04 mm", "0.04 mT");
    let faults = parse(&text, &|_| Ok(faulty.clone())).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].code, "G0009");
    assert!(faults[0].help.as_ref().unwrap().contains("mine.toml:9:"), "{:?}", faults[0].help);
}

#[test]
fn prop_poses_from_a_file_are_those_written_inline() {
    let approach = reedmace_design::template("approach").unwrap();
    let start = approach.find("[sweep]").unwrap();
    let head = format!("{}[sweep]\nkind = \"table\"\nmoves = \"magnet\"\n", &approach[..start]);
    let inline = format!(
        "{head}poses = [[\"0 mm\", \"1 mm\", \"-2.5 mm\", \"0 deg\", \"0 deg\", \"90 deg\"],\n\
         [\"0 mm\", \"1 mm\", \"3 mm\", \"0 deg\", \"0 deg\", \"0 deg\"]]\n"
    );
    let file = format!("{head}file = \"poses.csv\"\n");
    let csv = "# bench, Tuesday\nz_mm,y_cm,x_mm,rx_deg,ry_deg,rz_rad\n\n\
               -2.5, 0.1, 0, 0, 0, 1.5707963267948966\n3,0.1,0,0,0,0\n";
    let poses = |text: &str| {
        let (design, _) = parse(text, &|_| Ok(csv.to_owned()))
            .unwrap_or_else(|faults| panic!("{}", render_text(&faults, "t", text, false)));
        let reedmace_design::Sweep::Table(table) = design.sweep else { panic!("not a table") };
        assert_eq!(table.moves, [Thing::Magnet(0)]);
        let numbers = |pose: &reedmace_design::Pose| {
            let at = pose.at.each_ref().map(|value| value.si());
            let turn = pose.rotate.each_ref().map(|value| value.si());
            [at, turn].concat()
        };
        table.poses.iter().map(numbers).collect::<Vec<_>>().concat()
    };
    let (inline, file) = (poses(&inline), poses(&file));
    assert_eq!(inline.len(), 12);
    for (a, b) in inline.iter().zip(&file) {
        assert!((a - b).abs() < 1e-12, "{inline:?} {file:?}");
    }
}

#[test]
fn prop_faults_of_a_pose_file_name_its_line() {
    let approach = reedmace_design::template("approach").unwrap();
    let start = approach.find("[sweep]").unwrap();
    let sweep = "[sweep]\nkind = \"table\"\nmoves = \"magnet\"\nfile = \"poses.csv\"\n";
    let text = format!("{}{sweep}", &approach[..start]);
    let cases = [
        ("", "G0404", "line 1 of \"poses.csv\": the file is empty"),
        ("x,y,z\n", "G0404", "`x` names no unit"),
        ("x_mm,y_mm,z_mT\n", "G0404", "`mT` is no unit for `z`"),
        ("x_mm,y_mm\n1,2\n", "G0404", "`z` is missing"),
        ("x_mm,y_mm,x_mm\n", "G0404", "`x` stands twice"),
        ("x_mm,y_mm,z_mm,rx_deg\n", "G0404", "`ry` is missing"),
        ("x_mm,y_mm,z_mm\n1,2,3\n1,2\n", "G0405", "line 3 of \"poses.csv\": 2 values instead of 3"),
        (
            "x_mm,y_mm,z_mm\n1,2,three\n",
            "G0405",
            "line 2 of \"poses.csv\": `three` is not a number",
        ),
        ("x_mm,y_mm,z_mm\n1,2,1e9\n", "G0405", "out of range"),
        ("x_mm,y_mm,z_mm\n1,2,3\n", "G0403", "at least two poses"),
    ];
    for (csv, code, words) in cases {
        let faults = parse(&text, &|_| Ok(csv.to_owned())).unwrap_err();
        assert_eq!(faults[0].code, code, "{csv:?}: {}", faults[0].message);
        assert!(faults[0].message.contains(words), "{csv:?}: {}", faults[0].message);
    }
}

#[test]
fn prop_every_path_is_told_once() {
    let text = load("hopper-lid.toml").unwrap();
    let design = sound("hopper-lid.toml", &text);
    let contact = &design.contacts[0];
    let paths: BTreeSet<&str> = [
        &contact.lead_diameter,
        &contact.overall_length,
        &contact.calibrated_length,
        &contact.blade_span,
        &contact.blade_width,
        &contact.blade_thickness,
        &contact.overlap,
        &contact.gap,
        &contact.closed_gap,
    ]
    .into_iter()
    .chain(&contact.at)
    .map(|value| value.path.as_str())
    .collect();
    assert_eq!(paths.len(), 12, "{paths:?}");
}

#[test]
fn prop_a_sweep_tells_its_coordinate() {
    let millimetre = 1e-3;
    let degree = std::f64::consts::PI / 180.0;
    let cases = [
        ("hopper-lid.toml", "line", "z", Measure::Length, (40.0 * millimetre, 5.0 * millimetre)),
        ("feed-drawer.toml", "line", "x", Measure::Length, (-60.0 * millimetre, 60.0 * millimetre)),
        ("hatch-hinge.toml", "arc", "angle", Measure::Angle, (90.0 * degree, 0.0)),
        ("paddle-wheel.toml", "spin", "angle", Measure::Angle, (-45.0 * degree, 315.0 * degree)),
        ("probe-relay.toml", "current", "current", Measure::Current, (0.0, 0.02)),
    ];
    for (name, kind, coordinate, measure, (from, to)) in cases {
        let sweep = sound(name, &load(name).unwrap()).sweep;
        assert_eq!(sweep.word(), kind, "{name}");
        assert_eq!(sweep.coordinate_word(), coordinate, "{name}");
        assert_eq!(sweep.coordinate_measure(), measure, "{name}");
        let range = sweep.coordinate_range();
        assert!(
            (range.0 - from).abs() < 1e-12 && (range.1 - to).abs() < 1e-12,
            "{name}: {range:?}"
        );
    }
    let oblique = load("hopper-lid.toml").unwrap().replace(
        "to = [\"0 ± 0.5 mm\", \"0 ± 0.5 mm\", \"5 mm\"]",
        "to = [\"12 mm\", \"0 mm\", \"35 mm\"]",
    );
    let oblique = oblique.replace("<= 8 mm", "10..13 mm").replace(">= 30 mm", "<= 2 mm");
    let sweep = sound("oblique", &oblique).sweep;
    assert_eq!(sweep.coordinate_word(), "travel");
    assert!((sweep.coordinate_range().1 - 13.0 * millimetre).abs() < 1e-12);
}

#[test]
fn prop_a_demand_keeps_its_region_its_words_and_its_place() {
    let text = load("hopper-lid.toml").unwrap();
    let design = sound("hopper-lid.toml", &text);
    let [shut, lifted] = &design.demands[..] else { panic!("two demands") };
    assert_eq!((shut.text.as_str(), lifted.text.as_str()), ("closed <= 8 mm", "open >= 30 mm"));
    assert_eq!(&text[shut.span.clone()], "\"<= 8 mm\"");
    let reedmace_design::DemandKind::Closed(reach) = shut.kind else { panic!("closed") };
    assert_eq!(reach.interval(), (f64::NEG_INFINITY, 8e-3));
    let reedmace_design::DemandKind::Open(reach) = lifted.kind else { panic!("open") };
    assert_eq!(reach.interval(), (30e-3, f64::INFINITY));
}

#[test]
fn prop_reading_a_design_is_quick_enough_to_do_at_every_keystroke() {
    let text = load("paddle-wheel.toml").unwrap();
    let start = std::time::Instant::now();
    for _ in 0..20 {
        assert!(parse(&text, &load).is_ok());
    }
    let each = start.elapsed().as_secs_f64() / 20.0;
    println!("reading a design takes {:.2} ms", 1e3 * each);
    assert!(each < 0.1, "{each} s");
}
