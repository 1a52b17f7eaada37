//! What a design says arrives in the checked design, with its place and where it is from.

use reedmace_design::schema::Measure;
use reedmace_design::{
    Calibration, Cost, Design, Options, Pick, SourceMark, SteelShape, Thing, parse, render_text,
};
use reedmace_units::{Length, Quantity};
use std::collections::BTreeSet;
use std::path::PathBuf;

fn designs() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../designs")
}

fn load(name: &str) -> std::io::Result<Vec<u8>> {
    std::fs::read(designs().join(name))
}

fn example(name: &str) -> String {
    std::fs::read_to_string(designs().join(name)).unwrap()
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
fn prop_a_mixture_is_all_its_parts() {
    let mixture = "{ mixture = [{ value = \"5 ± 0.1 mm\", share = \"70 %\" }, { value = \"4.8..5 mm\", share = 0.3 }], source = \"supplier\" }";
    let text = reedmace_design::template("approach").unwrap().replace("\"5 ± 0.1 mm\"", mixture);
    let (design, warnings) = parse(&text, &load).unwrap();
    assert!(warnings.is_empty());
    let reedmace_design::Shape::Cuboid { size } = &design.magnets[0].shape else { panic!() };
    let size = &size[1];
    let [low, nominal, high] = [4.8, 5.0, 5.1].map(Length::mm);
    assert_eq!((size.is.low, size.is.nominal, size.is.high), (low, nominal, high));
    assert_eq!(size.is.text(), "70 % of 5 ± 0.1 mm, 0.3 of 4.8..5 mm");
    assert_eq!(size.mixture.iter().map(|part| part.share).collect::<Vec<_>>(), [0.7, 0.3]);
    assert_eq!(size.mixture[1].is.spread, reedmace_units::Spread::Uniform);
    assert_eq!(size.mixture[1].is.nominal, Length::mm(4.9));
    assert_eq!(size.source, Some(SourceMark::Supplier));
    assert_eq!(&text[size.span.clone()], mixture);
}

/// Every path that the answer names can be correlated: stated in the design, in a family, in a grade.
#[test]
fn prop_quantities_are_correlated_by_their_paths() {
    let text = reedmace_design::template("approach").unwrap().to_owned()
        + "\n[[correlation]]\nof = [\"contact[reed].operate\", \"contact[reed].release\"]\nrank = 0.8\n\n[[correlation]]\nof = [\"magnet[magnet].remanence\", \"magnet[magnet].size[1]\"]\nrank = \"-50 %\"\n";
    let (design, warnings) = parse(&text, &load).unwrap();
    assert!(warnings.is_empty(), "{}", render_text(&warnings, "", &text, false));
    let [first, second] = &design.correlations[..] else { panic!() };
    assert_eq!(first.of, ["contact[reed].operate", "contact[reed].release"]);
    assert_eq!((first.rank, second.rank), (0.8, -0.5));
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
        Ok(mine.as_bytes().to_vec())
    })
    .unwrap();
    assert_eq!(design.contacts[0].gap.is.nominal, Length::mm(0.04));
    assert_eq!(design.contacts[0].coil, Calibration::Uniform);

    let faulty = mine.replace("0.04 mm", "0.04 mT");
    let faults = parse(&text, &|_| Ok(faulty.clone().into_bytes())).unwrap_err();
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
        let (design, _) = parse(text, &|_| Ok(csv.as_bytes().to_vec()))
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
        let faults = parse(&text, &|_| Ok(csv.as_bytes().to_vec())).unwrap_err();
        assert_eq!(faults[0].code, code, "{csv:?}: {}", faults[0].message);
        assert!(faults[0].message.contains(words), "{csv:?}: {}", faults[0].message);
    }
}

#[test]
fn prop_every_path_is_told_once() {
    let text = example("hopper-lid.toml");
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
        ("hopper-lid.toml", "line", "z", Measure::Length, (80.0 * millimetre, 5.0 * millimetre)),
        ("feed-drawer.toml", "line", "x", Measure::Length, (-60.0 * millimetre, 60.0 * millimetre)),
        ("hatch-hinge.toml", "arc", "angle", Measure::Angle, (90.0 * degree, 0.0)),
        ("paddle-wheel.toml", "spin", "angle", Measure::Angle, (-45.0 * degree, 315.0 * degree)),
        ("probe-relay.toml", "current", "current", Measure::Current, (0.0, 0.02)),
    ];
    for (name, kind, coordinate, measure, (from, to)) in cases {
        let sweep = sound(name, &example(name)).sweep;
        assert_eq!(sweep.word(), kind, "{name}");
        assert_eq!(sweep.coordinate_word(), coordinate, "{name}");
        assert_eq!(sweep.coordinate_measure(), measure, "{name}");
        let range = sweep.coordinate_range();
        assert!(
            (range.0 - from).abs() < 1e-12 && (range.1 - to).abs() < 1e-12,
            "{name}: {range:?}"
        );
    }
    let oblique = example("hopper-lid.toml").replace(
        "to = [\"0 ± 0.5 mm\", \"0 ± 0.5 mm\", \"5 mm\"]",
        "to = [\"12 mm\", \"0 mm\", \"75 mm\"]",
    );
    let oblique = oblique.replace("<= 8 mm", "10..13 mm").replace(">= 45 mm", "<= 2 mm");
    let sweep = sound("oblique", &oblique).sweep;
    assert_eq!(sweep.coordinate_word(), "travel");
    assert!((sweep.coordinate_range().1 - 13.0 * millimetre).abs() < 1e-12);
}

#[test]
fn prop_a_demand_keeps_its_region_its_words_and_its_place() {
    let text = example("hopper-lid.toml");
    let design = sound("hopper-lid.toml", &text);
    let [shut, lifted] = &design.demands[..] else { panic!("two demands") };
    assert_eq!((shut.text.as_str(), lifted.text.as_str()), ("closed <= 8 mm", "open >= 45 mm"));
    assert_eq!(&text[shut.span.clone()], "\"<= 8 mm\"");
    let reedmace_design::DemandKind::Closed(reach) = shut.kind else { panic!("closed") };
    assert_eq!((reach.low, reach.high), (f64::NEG_INFINITY, 8e-3));
    let reedmace_design::DemandKind::Open(reach) = lifted.kind else { panic!("open") };
    assert_eq!((reach.low, reach.high), (45e-3, f64::INFINITY));
}

#[test]
fn prop_reading_a_design_is_quick_enough_to_do_at_every_keystroke() {
    let text = example("paddle-wheel.toml");
    let start = std::time::Instant::now();
    for _ in 0..20 {
        assert!(parse(&text, &load).is_ok());
    }
    let each = start.elapsed().as_secs_f64() / 20.0;
    println!("reading a design takes {:.2} ms", 1e3 * each);
    assert!(each < 0.1, "{each} s");
}

/// The template with these tables of steel before its sweep.
fn with_steel(tables: &str) -> String {
    let text = reedmace_design::template("approach").unwrap();
    text.replacen("[sweep]", &format!("{tables}\n[sweep]"), 1)
}

#[test]
fn prop_steel_of_an_alloy_takes_its_permeability_and_saturation_unless_stated() {
    let panel = "[[steel]]\nname = \"panel\"\nshape = \"cuboid\"\n\
                 size = [\"80 mm\", \"40 mm\", \"1.5 ± 0.1 mm\"]\n\
                 alloy = \"Low-carbon  SHEET steel\"\nat = [\"0 mm\", \"0 mm\", \"-9 mm\"]\n";
    let design = sound("panel", &with_steel(panel));
    let steel = &design.steel[0];
    assert_eq!(steel.alloy.as_deref(), Some("Low-carbon sheet steel"));
    assert_eq!(steel.permeability.source, Some(SourceMark::Catalogue));
    assert_eq!(steel.permeability.is.to_string(), "150..500");
    assert_eq!(steel.permeability.path, "steel[panel].permeability");
    assert_eq!(steel.saturation.as_ref().unwrap().is.to_string(), "2.05..2.15 T");
    let SteelShape::Cuboid { size } = &steel.shape else { panic!("{:?}", steel.shape) };
    assert_eq!(size[2].path, "steel[panel].size[2]");
    assert_eq!(size[2].is.to_string(), "1.5 ± 0.1 mm");

    let stated = with_steel(&format!("{panel}permeability = 900\nsaturation = \"1.8 T\"\n"));
    let steel = &sound("stated", &stated).steel[0];
    assert_eq!((steel.permeability.si(), steel.permeability.source), (900.0, None));
    assert_eq!(steel.saturation.as_ref().unwrap().si(), 1.8);

    let bare = panel.replace("alloy = \"Low-carbon  SHEET steel\"", "permeability = \"300..1000\"");
    let steel = &sound("bare", &with_steel(&bare)).steel[0];
    assert_eq!((&steel.alloy, &steel.saturation), (&None, &None));
}

#[test]
fn prop_a_file_of_triangles_reads_the_same_as_text_and_as_bytes() {
    // A tetrahedron, counterclockwise from outside.
    let corners: [[f32; 3]; 4] = [[0.0; 3], [10.0, 0.0, 0.0], [0.0, 8.0, 0.0], [0.0, 0.0, 6.5]];
    let faces = [[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]].map(|face| face.map(|k| corners[k]));
    let mut text = String::from("solid lid\n");
    let mut bytes = vec![b' '; 80];
    bytes.extend(4_u32.to_le_bytes());
    for face in faces {
        text += "facet normal 0 0 0\nouter loop\n";
        bytes.extend([0; 12]);
        for [x, y, z] in face {
            text += &format!("vertex {x} {y} {z}\n");
            [x, y, z].iter().for_each(|part| bytes.extend(part.to_le_bytes()));
        }
        text += "endloop\nendfacet\n";
        bytes.extend([0; 2]);
    }
    text += "endsolid lid\n";
    let table = |unit: &str| {
        with_steel(&format!(
            "[[steel]]\nname = \"lid\"\nshape = \"mesh\"\nfile = \"lid.stl\"\nunit = \"{unit}\"\n\
             permeability = 500\nat = [\"0 mm\", \"0 mm\", \"-20 mm\"]\n"
        ))
    };
    for (unit, scale) in [("mm", 1e-3), ("in", 25.4e-3), ("m", 1.0)] {
        let read = |content: &[u8]| {
            let (design, _) = parse(&table(unit), &|_| Ok(content.to_vec())).unwrap();
            let SteelShape::Mesh { triangles, .. } = &design.steel[0].shape else { panic!() };
            triangles.clone()
        };
        let (of_text, of_bytes) = (read(text.as_bytes()), read(&bytes));
        assert_eq!(of_text, of_bytes, "{unit}");
        assert_eq!(of_text.len(), 4);
        assert_eq!(of_text[2][2], [0.0, 0.0, 6.5 * scale]);
    }
    // Cut short, too few, or no number: refused with the file's name.
    for content in [&bytes[..200], &b"solid empty\nendsolid empty\n"[..]] {
        let faults = parse(&table("mm"), &|_| Ok(content.to_vec())).unwrap_err();
        assert_eq!(faults.iter().map(|fault| fault.code).collect::<Vec<_>>(), ["G0603"]);
    }
}

#[test]
fn prop_only_what_is_clearly_in_one_place_is_refused() {
    let body = |rest: &str| {
        with_steel(&format!("[[steel]]\nname = \"body\"\npermeability = 500\n{rest}\n"))
    };
    let codes = |text: &str| -> Vec<&'static str> {
        match parse(text, &load) {
            Ok(_) => Vec::new(),
            Err(faults) => faults.iter().map(|fault| fault.code).collect(),
        }
    };
    let apart = [
        // A tube round the contact, and a panel that touches the glass of 2.3 mm.
        "shape = \"tube\"\nouter_diameter = \"10 mm\"\ninner_diameter = \"8 mm\"\nlength = \"40 mm\"\naxis = [1, 0, 0]",
        "shape = \"cuboid\"\nsize = [\"80 mm\", \"40 mm\", \"2 mm\"]\nat = [\"0 mm\", \"0 mm\", \"-2.15 mm\"]",
        // A panel on edge in the plane of the contact, turned out of its way by a right angle.
        "shape = \"cuboid\"\nsize = [\"2 mm\", \"40 mm\", \"10 mm\"]\nat = [\"0 mm\", \"0 mm\", \"-8 mm\"]\nrotate = [\"0 deg\", \"90 deg\", \"0 deg\"]",
    ];
    for rest in apart {
        assert_eq!(codes(&body(rest)), Vec::<&str>::new(), "{rest}");
    }
    let meeting = [
        // The same tube too narrow for the glass, on end, and the panel half a millimetre higher.
        "shape = \"tube\"\nouter_diameter = \"10 mm\"\ninner_diameter = \"2 mm\"\nlength = \"40 mm\"\naxis = [1, 0, 0]",
        "shape = \"tube\"\nouter_diameter = \"10 mm\"\ninner_diameter = \"8 mm\"\nlength = \"40 mm\"\naxis = [0, 0, 1]",
        "shape = \"cuboid\"\nsize = [\"80 mm\", \"40 mm\", \"2 mm\"]\nat = [\"0 mm\", \"0 mm\", \"-1.65 mm\"]",
        "shape = \"cuboid\"\nsize = [\"2 mm\", \"40 mm\", \"18 mm\"]\nat = [\"0 mm\", \"0 mm\", \"-8 mm\"]",
        "shape = \"disc\"\ndiameter = \"30 mm\"\nlength = \"1 mm\"\naxis = [1, 0, 0]\nat = [\"12 mm\", \"0 mm\", \"0 mm\"]",
        "shape = \"sphere\"\ndiameter = \"9 mm\"\nat = [\"20 mm\", \"0 mm\", \"3 mm\"]",
    ];
    for rest in meeting {
        assert_eq!(codes(&body(rest)), ["G0606"], "{rest}");
    }
}

#[test]
fn prop_steel_moves_along_the_sweep() {
    let vane = with_steel(
        "[[steel]]\nname = \"vane\"\nshape = \"boxes\"\npermeability = 500\n\
         boxes = [{ size = [\"20 mm\", \"10 mm\", \"1 mm\"] }, { size = [\"1 mm\", \"10 mm\", \"9 mm\"], at = [\"10 mm\", \"0 mm\", \"4 mm\"] }]\n",
    );
    let text = vane.replace("moves = \"magnet\"", "moves = \"vane\"");
    assert_ne!(text, vane, "the template moves its magnet");
    let text = text.replacen("[[steel]]", "at = [\"0 mm\", \"0 mm\", \"-20 mm\"]\n\n[[steel]]", 1);
    let design = sound("vane", &text);
    assert_eq!(design.sweep.moves(), [Thing::Steel(0)]);
    let SteelShape::Boxes { boxes } = &design.steel[0].shape else { panic!() };
    assert_eq!(boxes[1].at[2].path, "steel[vane].boxes[1].at[2]");
    assert_eq!(boxes[1].at[2].si(), 4e-3);
    assert!(!boxes[0].at[0].is_stated());
}

/// What may be chosen is read with its place, and a choice changes nothing else of the text.
#[test]
fn prop_a_choice_leaves_the_rest_of_the_text() {
    let text = example("hopper-lid.toml")
        + "\n[choose]\ncost = \"mass\"\nyield = \"99.5 %\"\n[choose.free]\n\
           \"magnet[slug].size[1]\" = { from = \"4 mm\", to = \"6 mm\", step = \"0.5 mm\" }\n\
           \"magnet[slug].grade\" = [\"NdFeB 200/190\", \"NdFeB 240/80\"]\n\
           \"contact[lid].at[2]\" = { from = \"-3 mm\", to = \"1 mm\" }\n\
           \"sweep.from[0]\" = { from = \"-10 mm\", to = \"10 mm\" }\n";
    let choose = sound("hopper-lid.toml", &text).choose.unwrap();
    assert_eq!((choose.cost, choose.wanted), (Cost::Mass, Some(0.995)));
    let Options::Stepped(sizes) = &choose.free[0].options else { panic!("no steps") };
    assert_eq!(sizes.len(), 5);
    assert_eq!((&*sizes[0], &*sizes[4]), ("4 ± 0.1 mm", "6 ± 0.1 mm"));
    let Options::Within(height) = choose.free[2].options else { panic!("no range") };
    assert_eq!((height.from, height.to, height.start), (-3e-3, 1e-3, 0.0));
    let picks = [Pick::Nth(1), Pick::Nth(0), Pick::At(-1.234e-3), Pick::At(2.5e-3)];
    let chosen = choose.chosen(&text, &picks).unwrap();
    let (mut changed, mut lines) = (Vec::new(), 0);
    for (old, new) in text.lines().zip(chosen.lines()) {
        lines += 1;
        if old != new {
            changed.push(new);
        }
    }
    assert_eq!(lines, text.lines().count());
    let expected = [
        "at = [\"0 mm\", \"0 mm\", \"-1.23 mm\"]",
        "size = [\"10 mm\", \"4.5 ± 0.1 mm\", \"5 mm\"]",
        "grade = \"NdFeB 200/190\"",
        "from = [\"2.5 ± 0.5 mm\", \"0 ± 0.5 mm\", \"80 mm\"]",
    ];
    assert_eq!(changed, expected);
    sound("hopper-lid.toml", &chosen);
    assert!(choose.chosen(&text, &[Pick::Nth(9); 4]).is_none());
}

/// `any` is everything of the catalogue, a price may stand in design and catalogue, and the design's is
/// taken.
#[test]
fn prop_any_is_all_there_is_and_prices_are_read() {
    let text = example("hopper-lid.toml").replace("[[magnet]]\n", "[[magnet]]\nprice = 0.4\n")
        + "\n[choose.free]\n\"magnet[slug].grade\" = \"any\"\n";
    let design = sound("hopper-lid.toml", &text);
    assert_eq!(design.magnets[0].price.as_ref().map(|p| p.si()), Some(0.4));
    let choose = design.choose.unwrap();
    assert_eq!(choose.cost, Cost::Volume);
    assert!(choose.free[0].options.count().unwrap() > 15);
}

#[test]
fn prop_a_circle_is_so_many_magnets_each_with_quantities_of_its_own_round_one_middle() {
    let design = sound("wheel", &example("paddle-wheel.toml"));
    let names: Vec<&str> = design.magnets.iter().map(|m| m.name.as_str()).collect();
    assert_eq!(names, ["pole 1", "pole 2", "pole 3", "pole 4"]);
    assert_eq!(design.sweep.moves().len(), 4);
    for (k, magnet) in design.magnets.iter().enumerate() {
        let circle = magnet.circle.as_ref().unwrap();
        assert_eq!((circle.number as usize, circle.count, magnet.table()), (k, 4, "pole"));
        assert_eq!(circle.radius.path, format!("magnet[pole {}].circle.radius", k + 1));
        assert_eq!(circle.radius.is.text(), "18 ± 0.1 mm");
        assert_eq!(magnet.at[0].path, "magnet[pole].at[0]");
        assert_eq!(magnet.sense(), if k % 2 == 0 { 1.0 } else { -1.0 });
    }
    let third = example("paddle-wheel.toml").replace("count = 4,", "count = 4, only = 3,");
    let design = sound("third", &third);
    assert_eq!((design.magnets.len(), design.magnets[0].name.as_str()), (1, "pole"));
    assert_eq!(design.magnets[0].circle.as_ref().unwrap().number, 2);
}
