//! The figures: well-formed, to scale, and the same as a bitmap.

use crate::fixture::{self, DATE};
use reedmace_engine::drawing::{CoilOutline, MagnetOutline, MotorOutline, SteelOutline, SteelPart};
use reedmace_fields::{MagnetShape, Pose};
use reedmace_report::{figures, png};
use roxmltree::{Document, Node};
use std::{fs, path::Path, sync::Arc};

/// Page units in a millimetre of paper: figures are 800 units on 180 mm.
const UNITS_PER_MM: f64 = 800.0 / 180.0;

fn part<'a>(tree: &'a Document<'a>, part: &str) -> Node<'a, 'a> {
    tree.descendants()
        .find(|n| n.attribute("data-part") == Some(part))
        .unwrap_or_else(|| panic!("no {part} in the figure"))
}

/// Left, top, right, bottom of the polygons of a part.
fn bounds(node: Node<'_, '_>) -> [f64; 4] {
    let mut bounds = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    for points in node.descendants().filter_map(|n| n.attribute("points")) {
        for pair in points.split_whitespace() {
            let (x, y) = pair.split_once(',').expect("x,y");
            let (x, y): (f64, f64) = (x.parse().expect("x"), y.parse().expect("y"));
            bounds = [bounds[0].min(x), bounds[1].min(y), bounds[2].max(x), bounds[3].max(y)];
        }
    }
    bounds
}

/// The number before `: 1` in the figure's own words.
fn stated_scale(tree: &Document<'_>) -> f64 {
    let text = tree
        .descendants()
        .filter_map(|n| n.text())
        .find_map(|t| t.strip_prefix("scale "))
        .expect("the figure states its scale");
    let (paper, real) = text.split_once(" : ").expect("a ratio");
    paper.parse::<f64>().expect("a number") / real.parse::<f64>().expect("a number")
}

#[test]
fn prop_the_drawn_gap_between_magnet_and_glass_is_the_scene_s_to_scale() {
    let case = fixture::approach();
    let svg = figures::arrangement(&case.answer, &case.drawing);
    let tree = Document::parse(&svg).expect("well-formed");
    let mm = stated_scale(&tree) * UNITS_PER_MM;
    let (glass, magnet) = (bounds(part(&tree, "glass")), bounds(part(&tree, "magnet")));
    // Magnet at 30 mm, 5 mm high; glass 2.3 mm thick: 26.35 mm between them.
    assert!(((glass[1] - magnet[3]) / mm - 26.35).abs() < 0.01);
    assert!(((magnet[2] - magnet[0]) / mm - 10.0).abs() < 0.01);
    assert!(((glass[2] - glass[0]) / mm - 14.0).abs() < 0.01);
    let ghost = bounds(part(&tree, "ghost"));
    assert!(((ghost[1] - magnet[1]) / mm - 25.0).abs() < 0.01, "the ghost ends at 5 mm");
}

/// Left, top, right, bottom of the paths of a part.
fn path_bounds(node: Node<'_, '_>) -> [f64; 4] {
    let mut bounds = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    for data in node.descendants().filter_map(|n| n.attribute("d")) {
        for pair in data.split(['M', 'L', 'Z']).filter(|pair| !pair.is_empty()) {
            let (x, y) = pair.split_once(' ').expect("x y");
            let (x, y): (f64, f64) = (x.parse().expect("x"), y.parse().expect("y"));
            bounds = [bounds[0].min(x), bounds[1].min(y), bounds[2].max(x), bounds[3].max(y)];
        }
    }
    bounds
}

/// One motor within reach is drawn at its place, one far off is pointed at, each in the view it stands beside the
/// contact in.
#[test]
fn prop_a_motor_near_by_is_drawn_and_one_far_off_is_pointed_at() {
    let texts = |origin: [f64; 3]| {
        let mut case = fixture::approach();
        let pose = Pose::from_z(origin, [1.0, 0.0, 0.0]).expect("a direction");
        case.drawing.motors.push(MotorOutline { name: "winch".into(), world_from_body: pose });
        let svg = figures::arrangement(&case.answer, &case.drawing);
        let tree = Document::parse(&svg).expect("well-formed");
        let told = |n: Node<'_, '_>| n.text().map(str::to_owned);
        tree.descendants()
            .filter(|n| n.has_tag_name("text"))
            .filter_map(told)
            .filter(|text| text.contains("winch"))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        texts([0.0, 0.0, 12e-3]),
        ["winch"],
        "above the contact, seen in the elevation alone"
    );
    assert_eq!(texts([0.0, 0.6, 0.0]), ["winch, 600\u{a0}mm off"], "behind it, seen in the plan");
    assert_eq!(texts([0.6, 0.0, 0.0]).len(), 2, "beside it, seen in both");
}

#[test]
fn prop_a_panel_is_drawn_to_scale_and_broken_off_beyond_the_rest() {
    let case = fixture::cabinet();
    let svg = figures::arrangement(&case.answer, &case.drawing);
    let tree = Document::parse(&svg).expect("well-formed");
    let mm = stated_scale(&tree) * UNITS_PER_MM;
    let steel = part(&tree, "steel");
    let (panel, glass) = (path_bounds(steel), bounds(part(&tree, "glass")));
    assert!(((panel[3] - panel[1]) / mm - 1.5).abs() < 0.01);
    // 3 mm from the contact's axis, less half of the glass.
    assert!(((panel[1] - glass[3]) / mm - 1.85).abs() < 0.01);
    let breaks = steel.descendants().filter(|n| n.has_tag_name("polyline")).count();
    assert_eq!(breaks, 2, "cut off at the left and at the right");
    let mut names = tree.descendants().filter_map(|n| n.text()).filter(|text| *text == "panel");
    assert!(names.next().is_some(), "it is named");
    let sizes = "panel: 300 mm × 200 mm × 1.5 mm, Low-carbon sheet steel";
    assert!(tree.descendants().any(|n| n.text() == Some(sizes)), "and its sizes are told");
    // A panel that is no longer than everything else is drawn whole, and no smaller than the rest asks.
    let mut small = fixture::cabinet();
    let half_size = [20e-3, 10e-3, 0.75e-3];
    small.drawing.steel[0].parts = vec![SteelPart::Box { centre: [0.0; 3], half_size }];
    let svg = figures::arrangement(&small.answer, &small.drawing);
    let tree = Document::parse(&svg).expect("well-formed");
    let breaks = part(&tree, "steel").descendants().filter(|n| n.has_tag_name("polyline")).count();
    assert_eq!(breaks, 0);
}

#[test]
fn prop_no_two_clipping_frames_share_a_name() {
    let case = fixture::cabinet();
    let svg = figures::arrangement(&case.answer, &case.drawing);
    let tree = Document::parse(&svg).expect("well-formed");
    let mut ids: Vec<&str> = tree.descendants().filter_map(|n| n.attribute("id")).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
}

#[test]
fn prop_a_turned_cuboid_shows_its_diagonal_and_a_turned_cylinder_its_rim() {
    let mut case = fixture::approach();
    let half = std::f64::consts::FRAC_1_SQRT_2;
    // 45° about y.
    let turned = [[half, 0.0, half], [0.0, 1.0, 0.0], [-half, 0.0, half]];
    let magnet = &mut case.drawing.magnets[0];
    magnet.world_from_body.rotation = turned;
    for (shape, width) in [
        (MagnetShape::Cuboid { half_size: [5e-3, 2.5e-3, 2.5e-3] }, 15.0 * half),
        // A disc of radius 5 and half length 1 seen from the front: 10·cos 45° + 2·sin 45°.
        (MagnetShape::Cylinder { radius: 5e-3, half_length: 1e-3 }, 12.0 * half),
        (MagnetShape::Sphere { radius: 4e-3 }, 8.0),
    ] {
        case.drawing.magnets[0].shape = shape;
        let svg = figures::arrangement(&case.answer, &case.drawing);
        let tree = Document::parse(&svg).expect("well-formed");
        let mm = stated_scale(&tree) * UNITS_PER_MM;
        let drawn = bounds(part(&tree, "magnet"));
        assert!(((drawn[2] - drawn[0]) / mm - width).abs() < 0.02, "{shape:?}");
    }
}

#[test]
fn prop_every_figure_is_well_formed_and_names_no_colour_by_variable() {
    for case in [fixture::approach(), fixture::slide_past(), fixture::hinge()] {
        let chart = figures::sweep_chart(&case.answer, 0).expect("a trace");
        for svg in [
            figures::arrangement(&case.answer, &case.drawing),
            chart,
            figures::map(&case.answer, &case.drawing, &case.map, DATE),
        ] {
            let tree = Document::parse(&svg).unwrap_or_else(|e| panic!("{e}"));
            assert!(!svg.contains("var("), "a file of its own needs its own colours");
            assert!(!svg.contains("NaN"));
            assert!(tree.root_element().attribute("viewBox").is_some());
        }
    }
    assert!(figures::sweep_chart(&fixture::approach().answer, 1).is_none());
}

#[test]
fn prop_the_chart_marks_each_event_on_its_level_and_in_its_lane() {
    let case = fixture::slide_past();
    let events = case.answer.contacts[0].events.len();
    assert_eq!(events, 12, "three lobes, both ways");
    let svg = figures::sweep_chart(&case.answer, 0).expect("a trace");
    let tree = Document::parse(&svg).expect("well-formed");
    let triangles = |class: &str| {
        tree.descendants()
            .filter(|n| n.attribute("class") == Some(class))
            .filter(|n| n.attribute("points").is_some_and(|p| p.split_whitespace().count() == 3))
            .count()
    };
    assert_eq!(triangles("f-ink s-ink line"), events, "6 operates, twice");
    assert_eq!(triangles("f-paper s-ink line"), events, "6 releases, twice");
}

#[test]
fn prop_the_map_closes_where_the_grid_does() {
    let case = fixture::approach();
    let svg = figures::map(&case.answer, &case.drawing, &case.map, DATE);
    let tree = Document::parse(&svg).expect("well-formed");
    let path =
        part(&tree, "closes").descendants().find_map(|n| n.attribute("d")).expect("a region");
    // Even-odd area of the region against the share of grid cells above the level.
    let mut area = 0.0;
    for ring in path.split('Z').filter(|ring| !ring.is_empty()) {
        let points: Vec<[f64; 2]> = ring
            .split(['M', 'L'])
            .filter(|p| !p.is_empty())
            .map(|p| {
                let (x, y) = p.split_once(' ').expect("x y");
                [x.parse().expect("x"), y.parse().expect("y")]
            })
            .collect();
        let doubled: f64 = (0..points.len())
            .map(|i| {
                let (a, b) = (points[i], points[(i + 1) % points.len()]);
                a[0] * b[1] - b[0] * a[1]
            })
            .sum();
        area += doubled.abs() / 2.0;
    }
    let units_per_mm = (800.0 - 60.0 - 196.0) / 60.0;
    let drawn = area / (units_per_mm * units_per_mm);
    let counted = case.map.drive_open.iter().filter(|d| d.abs() >= fixture::OPERATE[1]).count();
    let counted = counted as f64 * 0.25;
    assert!((drawn / counted - 1.0).abs() < 0.03, "drawn {drawn:.1} mm², counted {counted:.1} mm²");
}

#[test]
fn prop_a_bitmap_has_the_size_asked_for_and_ink_on_it() {
    let case = fixture::approach();
    let svg = figures::arrangement(&case.answer, &case.drawing);
    let bitmap = png(&svg, 2.0).expect("a bitmap");
    assert_eq!(&bitmap[1..4], b"PNG");
    let width = u32::from_be_bytes(bitmap[16..20].try_into().expect("four bytes"));
    // The figure and 4 mm of paper round it.
    assert_eq!(width, (188.0_f32 / 25.4 * 96.0 * 2.0).ceil() as u32);
    assert!(png("<svg", 1.0).is_err());
    assert!(png(&svg, 0.0).is_err());
}

#[test]
fn prop_the_figures_are_written_for_the_eye() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    for (name, mut case) in [
        ("approach", fixture::approach()),
        ("slide-past", fixture::slide_past()),
        ("hinge", fixture::hinge()),
        ("cabinet", fixture::cabinet()),
    ] {
        let map = figures::map(&case.answer, &case.drawing, &case.map, DATE);
        if name == "hinge" {
            case.drawing.steel.extend(steel_shapes());
        }
        if name != "cabinet" {
            case.drawing.magnets.extend(other_shapes());
        }
        case.drawing.coils.push(CoilOutline {
            name: "bias".into(),
            world_from_body: Pose {
                rotation: [[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]],
                origin: [0.0; 3],
            },
            length: 10e-3,
            inner_diameter: 4e-3,
            outer_diameter: 7e-3,
            moves: false,
        });
        let figures = [
            ("arrangement", figures::arrangement(&case.answer, &case.drawing)),
            ("sweep", figures::sweep_chart(&case.answer, 0).expect("a trace")),
            ("map", map),
        ];
        for (figure, svg) in figures {
            let bitmap = png(&svg, 1.5).expect("a bitmap");
            fs::write(folder.join(format!("{name}-{figure}.svg")), svg).expect("can be written");
            fs::write(folder.join(format!("{name}-{figure}.png")), bitmap).expect("can be written");
        }
    }
}

/// One of each shape of steel; the last one moves.
fn steel_shapes() -> Vec<SteelOutline> {
    let bracket = vec![
        SteelPart::Box { centre: [0.0; 3], half_size: [10e-3, 6e-3, 1e-3] },
        SteelPart::Box { centre: [9e-3, 0.0, 8e-3], half_size: [1e-3, 6e-3, 9e-3] },
    ];
    let round = |outer_radius, inner_radius, half_length| {
        vec![SteelPart::Round { outer_radius, inner_radius, half_length }]
    };
    let corners = [[6e-3, 0.0, 0.0], [-6e-3, 5e-3, 0.0], [-6e-3, -5e-3, 0.0], [0.0, 0.0, 9e-3]];
    let triangle = |a: usize, b: usize, c: usize| [corners[a], corners[b], corners[c]];
    let triangles =
        vec![triangle(0, 2, 1), triangle(0, 1, 3), triangle(1, 2, 3), triangle(2, 0, 3)];
    let mut lying = fixture::still("conduit", round(4e-3, 3e-3, 12e-3), [-40e-3, -8e-3, 8e-3]);
    lying.world_from_body.rotation = [[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]];
    let mut vane = fixture::still("vane", bracket.clone(), [30e-3, -25e-3, 20e-3]);
    vane.world_from_body_end.origin[2] = 4e-3;
    vane.moves = true;
    vec![
        fixture::still("bracket", bracket, [0.0, -14e-3, -14e-3]),
        lying,
        fixture::still("washer", round(6e-3, 3e-3, 1e-3), [-24e-3, -20e-3, -10e-3]),
        fixture::still("ball", vec![SteelPart::Sphere { radius: 4e-3 }], [-44e-3, 14e-3, -8e-3]),
        fixture::still(
            "foot",
            vec![SteelPart::Mesh { triangles: Arc::new(triangles) }],
            [24e-3, -20e-3, -12e-3],
        ),
        vane,
    ]
}

/// One of each shape, polarized along and across the views.
fn other_shapes() -> Vec<MagnetOutline> {
    let magnet = |name: &str, shape, x: f64, direction| {
        let pose = Pose { origin: [x, 12e-3, -9e-3], ..Pose::IDENTITY };
        MagnetOutline {
            name: name.into(),
            shape,
            world_from_body: pose,
            world_from_body_end: pose,
            direction,
            moves: false,
        }
    };
    vec![
        magnet(
            "rod",
            MagnetShape::Cylinder { radius: 3e-3, half_length: 3e-3 },
            -22e-3,
            [0.0, 0.0, 1.0],
        ),
        magnet(
            "ring",
            MagnetShape::Ring { inner_radius: 2e-3, outer_radius: 5e-3, half_length: 2e-3 },
            0.0,
            [0.0, 0.0, -1.0],
        ),
        magnet("ball", MagnetShape::Sphere { radius: 3e-3 }, 22e-3, [0.0, 1.0, 0.0]),
    ]
}
