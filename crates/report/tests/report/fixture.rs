//! Two arrangements to lay out: an approach and a slide past. The fields are invented shapes that
//! cross their levels in plausible places; nothing here is a result.

use reedmace_engine::{
    Answer, Drawing, Map, Plane,
    answer::{
        Band, ClosedInterval, ContactAnswer, Conversion, CurvePoint, DemandAnswer, Direction,
        Driver, Event, EventKind, FigureAnswer, MagnetAnswer, MagnetState, ModelNote, Provenance,
        QuantityAnswer, Share, SteelAnswer, SteelBodyAnswer, SteelEvent, Strongest, SweepAnswer,
        TraceRow, Verdict, Warning, WorkingPoint,
    },
    drawing::{ContactOutline, MagnetOutline, PathPoint, SteelOutline, SteelPart},
};
use reedmace_fields::{MagnetShape, Pose};

pub const OPERATE: [f64; 3] = [2.142, 2.411, 2.678];
pub const RELEASE: [f64; 3] = [0.963, 1.231, 1.499];
pub const DATE: &str = "2026-11-25";

pub struct Case {
    pub answer: Answer,
    pub drawing: Drawing,
    pub text: String,
    pub map: Map,
}

/// A magnet comes down on the middle of a contact.
pub fn approach() -> Case {
    let drive = |z: f64| 5_920.0 / (z * z + 36.0).powf(1.5);
    case("Feed hopper lid", "z of slug", [30.0, 5.0], &drive, |t| [0.0, 0.0, t])
}

/// The approach over a panel of steel that goes on far beyond everything else, 3 mm under the contact.
pub fn cabinet() -> Case {
    let mut case = approach();
    let half_size = [150e-3, 100e-3, 0.75e-3];
    let parts = vec![SteelPart::Box { centre: [0.0; 3], half_size }];
    case.drawing.steel.push(still("panel", parts, [0.0, 0.0, -3.75e-3]));
    let event = |kind, with: Option<f64>, without: Option<f64>| SteelEvent {
        contact: "lid".into(),
        kind,
        direction: Direction::Forward,
        with,
        without,
        shift: with.zip(without).map(|(with, without)| with - without),
        unit: "mm".into(),
    };
    case.answer.steel = Some(SteelAnswer {
        events: vec![
            event(EventKind::Operate, Some(10.87), Some(12.34)),
            event(EventKind::Release, Some(13.91), Some(14.28)),
            event(EventKind::Operate, Some(21.05), None),
            event(EventKind::Release, None, Some(23.71)),
        ],
        bodies: vec![SteelBodyAnswer {
            name: "panel".into(),
            alloy: Some("Low-carbon sheet steel".into()),
            permeability: 325.0,
            panels: 1284,
            peak: 0.3117,
            peak_at: 5.0,
            saturation: Some(2.1),
            saturated: Some(14.84),
        }],
        panels: 1284,
        discretisation: 0.34,
    });
    case
}

/// A body of steel that keeps its place.
pub fn still(name: &str, parts: Vec<SteelPart>, origin: [f64; 3]) -> SteelOutline {
    let pose = Pose { origin, ..Pose::IDENTITY };
    SteelOutline {
        name: name.into(),
        parts,
        world_from_body: pose,
        world_from_body_end: pose,
        moves: false,
    }
}

/// A magnet slides past parallel to the contact: a main lobe and two side lobes.
pub fn slide_past() -> Case {
    let drive = |x: f64| {
        let lobe = |middle: f64, width: f64| (-((x - middle) / width).powi(2)).exp();
        6.2 * lobe(0.0, 5.5) - 3.4 * (lobe(-15.0, 4.0) + lobe(15.0, 4.0))
    };
    case("Silo gate <slide> & stop", "x of slug", [-30.0, 30.0], &drive, |t| [t, 0.0, 8.0])
}

/// A magnet on a leaf swings down on a contact: an arc, in degrees, turning as it goes; a second
/// contact stands across the first.
pub fn hinge() -> Case {
    let drive = |angle: f64| -5.4 * (-(angle / 22.0).powi(2)).exp();
    let about = |angle: f64| {
        let (sin, cos) = angle.to_radians().sin_cos();
        [40.0 * cos - 40.0, 0.0, 40.0 * sin + 9.0]
    };
    let mut case = case("Tarn Hollow wicket", "angle of leaf", [80.0, 0.0], &drive, about);
    case.answer.sweep.kind = "arc".into();
    case.answer.sweep.unit = "deg".into();
    let mut second = case.answer.contacts[0].clone();
    second.name = "alarm".into();
    for contact in [&mut case.answer.contacts[0], &mut second] {
        for event in &mut contact.events {
            event.at.unit = "deg".into();
        }
    }
    case.answer.contacts.push(second);
    let mut across = case.drawing.contacts[0].clone();
    across.name = "alarm".into();
    across.world_from_contact = Pose {
        rotation: [[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]],
        origin: [22e-3, 0.0, 0.0],
    };
    case.drawing.contacts.push(across);
    let (sin, cos) = 80.0_f64.to_radians().sin_cos();
    case.drawing.magnets[0].world_from_body.rotation =
        [[cos, 0.0, -sin], [0.0, 1.0, 0.0], [sin, 0.0, cos]];
    case
}

fn case(
    title: &str,
    coordinate: &str,
    [from, to]: [f64; 2],
    drive: &dyn Fn(f64) -> f64,
    place: impl Fn(f64) -> [f64; 3],
) -> Case {
    let text = design_text(title);
    let trace: Vec<TraceRow> = (0..=300)
        .map(|i| {
            let x = from + (to - from) * f64::from(i) / 300.0;
            let d = drive(x);
            TraceRow {
                coordinate: x,
                drive_open: d,
                drive_closed: 1.31 * d,
                drive_open_low: d - 0.09 * d.abs(),
                drive_open_high: d + 0.08 * d.abs(),
            }
        })
        .collect();
    let events = events(&trace);
    let closed = closed(&events, from, to);
    let contact = ContactAnswer {
        name: "lid".into(),
        family: Some("Reedling 14".into()),
        form: "A".into(),
        like: None,
        operate: band(OPERATE, "mT"),
        release: band(RELEASE, "mT"),
        conversions: vec![Conversion {
            arrangement: "coil 25 mm long, 9.25 mm mean diameter".into(),
            operate: band([20.0, 22.5, 25.0], "AT"),
            release: band([9.0, 11.5, 14.0], "AT"),
        }],
        events,
        closed,
        closed_at_start: false,
        trace,
        strongest: Some(Strongest {
            at: to,
            unit: "mm".into(),
            overdrive: 2.318,
            force: 28.19,
            peak: 1.236,
            peak_at: -6.2,
            taken: 20.26,
        }),
    };
    Case {
        answer: answer(title, coordinate, [from, to], contact, &text),
        drawing: drawing(&place, from, to),
        text,
        map: map(),
    }
}

fn band([low, value, high]: [f64; 3], unit: &str) -> Band {
    Band { value: Some(value), low, high, unit: unit.into() }
}

/// Crossings of the trace, forward and back, by a plain scan.
fn events(trace: &[TraceRow]) -> Vec<Event> {
    let mut events = Vec::new();
    for direction in [Direction::Forward, Direction::Back] {
        let rows: Vec<&TraceRow> = match direction {
            Direction::Forward => trace.iter().collect(),
            Direction::Back => trace.iter().rev().collect(),
        };
        let mut is_closed = rows[0].drive_open.abs() >= OPERATE[1];
        let mut lobe = 1;
        for pair in rows.windows(2) {
            let magnitude = |row: &TraceRow| {
                if is_closed { row.drive_closed.abs() } else { row.drive_open.abs() }
            };
            let (before, after) = (magnitude(pair[0]), magnitude(pair[1]));
            let level = if is_closed { RELEASE[1] } else { OPERATE[1] };
            let crosses = if is_closed { after < level } else { after >= level };
            if !crosses {
                continue;
            }
            let t = (level - before) / (after - before);
            let at = pair[0].coordinate + t * (pair[1].coordinate - pair[0].coordinate);
            events.push(Event {
                kind: if is_closed { EventKind::Release } else { EventKind::Operate },
                direction,
                at: band([at - 0.62, at, at + 0.55], "mm"),
                lobe,
                main_lobe: pair[0].drive_open > 0.0,
                in_every_unit: pair[0].drive_open > 0.0,
                monotone: true,
                drivers: drivers(),
            });
            if is_closed {
                lobe += 1;
            }
            is_closed = !is_closed;
        }
    }
    events
}

fn drivers() -> Vec<Driver> {
    let driver = |path: &str, at_low, at_high| Driver { path: path.into(), at_low, at_high };
    vec![
        driver("contact[lid].operate", 0.413, -0.377),
        driver("magnet[slug].remanence", -0.131, 0.128),
        driver("surroundings.temperature", 0.118, -0.111),
        driver("magnet[slug].size[1]", -0.057, 0.056),
        driver("contact[lid].coil.mean_diameter", 0.012, -0.013),
    ]
}

fn closed(events: &[Event], from: f64, to: f64) -> Vec<ClosedInterval> {
    let mut stretches = Vec::new();
    for (direction, end) in [(Direction::Forward, to), (Direction::Back, from)] {
        let mut since = if direction == Direction::Back
            && events.iter().filter(|e| e.direction == Direction::Forward).count() % 2 == 1
        {
            Some(to)
        } else {
            None
        };
        for event in events.iter().filter(|e| e.direction == direction) {
            let at = event.at.value.expect("the fixture's events have nominal values");
            match event.kind {
                EventKind::Operate => since = Some(at),
                EventKind::Release => {
                    let from = since.take().expect("closed before it opens");
                    stretches.push(ClosedInterval { direction, from, to: at });
                }
            }
        }
        if let Some(from) = since {
            stretches.push(ClosedInterval { direction, from, to: end });
        }
    }
    stretches
}

/// A magnet that is sound in the cold and loses in the heat.
fn magnet() -> MagnetAnswer {
    let state =
        |temperature: f64, [br, knee, hcj]: [f64; 3], [mean, worst]: [[f64; 3]; 2]| MagnetState {
            temperature,
            curve: vec![
                CurvePoint { h: 0.0, j: br },
                CurvePoint { h: -knee, j: 0.97 * br },
                CurvePoint { h: -hcj, j: 0.0 },
            ],
            remanence: br,
            intrinsic_coercivity: hcj,
            knee,
            field_from_outside: -24.1,
            permeance_coefficient: Some(1.734),
            mean: WorkingPoint {
                h: mean[0],
                b: mean[1],
                j: mean[2],
                knee_margin: 100.0 + mean[0] / knee * 100.0,
            },
            worst: WorkingPoint {
                h: worst[0],
                b: worst[1],
                j: worst[2],
                knee_margin: 100.0 + worst[0] / knee * 100.0,
            },
            worst_at: Some(5.25),
            beyond_knee: if worst[0] < -knee { 17.3 } else { 0.0 },
            loss: if worst[0] < -knee { 2.64 } else { 0.0 },
        };
    MagnetAnswer {
        name: "slug".into(),
        grade: "NdFeB 240/80".into(),
        remanence_drift: -0.11,
        coercivity_drift: -0.65,
        recoil_permeability: 1.05,
        demagnetizing_factor: 0.312,
        states: vec![
            state(-20.0, [1.19, 889.2, 988.0], [[-300.2, 0.79, 1.17], [-410.7, 0.65, 1.16]]),
            state(105.5, [1.03, 321.0, 356.0], [[-262.1, 0.69, 1.02], [-331.4, 0.31, 0.73]]),
        ],
        critical: 1,
    }
}

fn answer(
    title: &str,
    coordinate: &str,
    [from, to]: [f64; 2],
    contact: ContactAnswer,
    text: &str,
) -> Answer {
    Answer {
        format: 1,
        title: title.into(),
        verdict: Some(Verdict::AtRisk),
        sweep: SweepAnswer {
            kind: "line".into(),
            coordinate: coordinate.into(),
            unit: "mm".into(),
            from,
            to,
            moves: vec!["slug".into()],
        },
        contacts: vec![contact],
        magnets: vec![magnet()],
        demands: vec![
            demand(
                "closed <= 8 mm",
                Verdict::Met,
                [4.02, 3.11],
                8192,
                "Closed from 12.02 mm down, in every unit.",
                text,
            ),
            demand(
                "open >= 15 mm",
                Verdict::AtRisk,
                [0.71, -0.23],
                7706,
                "The least sensitive release lies at 15.23 mm.",
                text,
            ),
            demand(
                "open >= 13 mm",
                Verdict::Missed,
                [-1.29, -2.23],
                12,
                "The nominal unit releases at 14.29 mm.",
                text,
            ),
        ],
        figures: figures(),
        door: None,
        level: None,
        rotor: None,
        relay: None,
        timing: None,
        construction: Vec::new(),
        latch: None,
        life: None,
        loads: Vec::new(),
        target: None,
        steel: None,
        warnings: vec![Warning {
            code: "W0107".into(),
            message: "side lobes close the contact in some units".into(),
            help: "Shorten the sweep, or keep the magnet from going past the leads.".into(),
        }],
        quantities: quantities(text),
        models: vec![ModelNote {
            name: "Contact".into(),
            how: "reed circuit with ring-charge air kernel".into(),
            accuracy: "within 1 % of the largest response on the reference geometry".into(),
            references: vec!["iec62246".into()],
        }],
        provenance: Provenance {
            version: "0.1.0".into(),
            design: "hopper-lid.toml".into(),
            design_sha256: "9f2c4b1a77d05e3c8b6a1f0e2d4c5b6a7988776655443322110ffeeddccbbaa0"
                .into(),
            seed: 20_261_125,
            references: vec!["derby2010".into(), "nowhere1999".into()],
            scenes: 4_177,
        },
    }
}

fn demand(
    text: &str,
    verdict: Verdict,
    margins: [f64; 2],
    met: u64,
    reason: &str,
    design: &str,
) -> DemandAnswer {
    DemandAnswer {
        contact: "lid".into(),
        text: text.into(),
        verdict,
        margin_nominal: Some(margins[0]),
        margin_worst: Some(margins[1]),
        margin_nominal_bound: None,
        margin_worst_bound: None,
        unit: "mm".into(),
        share: Some(Share {
            met,
            of: 8192,
            low: met as f64 / 8192.0 * 0.99,
            high: (met as f64 / 8190.0).min(1.0),
        }),
        reason: reason.into(),
        line: line_of(design, "[[demand]]"),
    }
}

fn line_of(text: &str, part: &str) -> usize {
    text.lines().position(|line| line.contains(part)).map_or(0, |i| i + 1)
}

fn quantities(text: &str) -> Vec<QuantityAnswer> {
    [
        ("contact[lid].overall_length", "55 mm", None, None, "overall_length"),
        (
            "contact[lid].gap",
            "0.05 mm",
            Some("guess"),
            Some("not measured yet; the lot's sheet is on its way"),
            "gap =",
        ),
        ("contact[lid].operate", "20..25 AT", Some("supplier"), None, "operate"),
        ("contact[lid].release", "9..14 AT", Some("supplier"), None, "release"),
        ("magnet[slug].size[0]", "10 mm", None, None, "size"),
        (
            "magnet[slug].size[1]",
            "5 ± 0.1 mm",
            Some("measured"),
            Some("calliper, 12 pieces"),
            "size",
        ),
        ("magnet[slug].size[2]", "5 mm", None, None, "size"),
        ("magnet[slug].remanence", "1.2 T ± 3 %", Some("standard"), None, "remanence"),
        ("surroundings.temperature", "-20..70 °C", None, None, "temperature"),
        ("contact[lid].permeability", "5000", None, None, "no such line"),
    ]
    .map(|(path, own, source, note, part)| QuantityAnswer {
        path: path.into(),
        text: own.into(),
        source: source.map(str::to_string),
        note: note.map(str::to_string),
        toleranced: own.contains('±') || own.contains(".."),
        line: line_of(text, part),
    })
    .to_vec()
}

fn drawing(place: &impl Fn(f64) -> [f64; 3], from: f64, to: f64) -> Drawing {
    let at = |t: f64| place(t).map(|mm| mm * 1e-3);
    let pose = |t: f64| Pose { origin: at(t), ..Pose::IDENTITY };
    Drawing {
        contacts: vec![ContactOutline {
            name: "lid".into(),
            world_from_contact: Pose::IDENTITY,
            lead_diameter: 0.55e-3,
            overall_length: 55e-3,
            blade_span: 12e-3,
            blade_width: 1.3e-3,
            blade_thickness: 0.22e-3,
            overlap: 1e-3,
            gap: 0.05e-3,
            glass: Some([14e-3, 2.3e-3]),
            moves: false,
        }],
        magnets: vec![MagnetOutline {
            name: "slug".into(),
            shape: MagnetShape::Cuboid { half_size: [5e-3, 2.5e-3, 2.5e-3] },
            world_from_body: pose(from),
            world_from_body_end: pose(to),
            direction: [1.0, 0.0, 0.0],
            moves: true,
        }],
        conductors: Vec::new(),
        motors: Vec::new(),
        coils: Vec::new(),
        steel: Vec::new(),
        level: None,
        turn: None,
        path: (0..=40)
            .map(|i| {
                let coordinate = from + (to - from) * f64::from(i) / 40.0;
                PathPoint { coordinate, at: at(coordinate), turned: None }
            })
            .collect(),
    }
}

fn map() -> Map {
    let across: Vec<f64> = (0..=120).map(|i| f64::from(i) * 0.5 - 30.0).collect();
    let up: Vec<f64> = (0..=68).map(|i| f64::from(i) * 0.5).collect();
    let drive: Vec<f64> = up
        .iter()
        .flat_map(|z| {
            across.iter().map(move |x| {
                let r2 = x * x + z * z + 4.0;
                2_600.0 * (2.0 * z * z + 8.0 - x * x) / r2.powf(2.5) * 2.4
            })
        })
        .collect();
    // A slug 10 mm long and 5 mm high over a glass of 2.3 mm.
    let room = up
        .iter()
        .flat_map(|z| {
            across.iter().map(move |x| {
                let [dx, dz] = [(x.abs() - 12.0).max(0.0), (z - 2.5).max(0.0)];
                dx.hypot(dz) - 1.15
            })
        })
        .collect();
    Map {
        plane: Plane::Xz,
        offset_mm: 0.0,
        moves: "slug".into(),
        contact: "lid".into(),
        across_mm: across,
        up_mm: up,
        drive_closed: drive.iter().map(|d| 1.31 * d).collect(),
        drive_open: drive,
        room,
        operate: OPERATE,
        release: RELEASE,
    }
}

fn design_text(title: &str) -> String {
    format!(
        r#"format = 1
title = "{title}"

[[contact]]
name = "lid"
lead_diameter = "0.55 mm"
overall_length = "55 mm"        # lead tip to lead tip, as mounted
blade_span = "12 mm"            # between the two round-to-flat transitions
gap = {{ value = "0.05 mm", source = "guess", note = "not measured yet; the lot's sheet is on its way" }}
operate = "20..25 AT"
release = "9..14 AT"

[[magnet]]
name = "slug"
shape = "cuboid"
size = ["10 mm", "5 ± 0.1 mm", "5 mm"]
remanence = "1.2 T ± 3 %"

[[demand]]
contact = "lid"
closed = "<= 8 mm"

[surroundings]
temperature = "-20..70 °C"
"#
    )
}

/// A differential, as a ratio.
fn figures() -> Vec<FigureAnswer> {
    vec![FigureAnswer {
        group: "contact".into(),
        name: "differential ratio of lid".into(),
        about: "Distance at operate over distance at release.".into(),
        model: "Contact".into(),
        source: "[iec62246]".into(),
        contacts: Vec::new(),
        value: band([71.2, 76.13, 80.9], "%"),
        ends: Vec::new(),
        in_every_unit: true,
        monotone: true,
        drivers: Vec::new(),
    }]
}
