//! An answer as the terminal may meet it: three verdicts, a side lobe, an event of some units only.

use reedmace_engine::Answer;
use reedmace_engine::answer::*;

fn band(value: Option<f64>, low: f64, high: f64, unit: &str) -> Band {
    Band { value, low, high, unit: unit.into() }
}

fn event(kind: EventKind, direction: Direction, lobe: usize, at: (f64, f64, f64)) -> Event {
    Event {
        kind,
        direction,
        at: band(Some(at.0), at.1, at.2, "mm"),
        lobe,
        main_lobe: lobe == 2,
        in_every_unit: lobe == 2,
        monotone: true,
        drivers: vec![],
    }
}

fn demand(text: &str, verdict: Verdict, margin: [f64; 2], met: u64, reason: &str) -> DemandAnswer {
    DemandAnswer {
        contact: "gate".into(),
        text: text.into(),
        verdict,
        margin_nominal: Some(margin[0]),
        margin_worst: Some(margin[1]),
        margin_nominal_bound: None,
        margin_worst_bound: None,
        unit: "mm".into(),
        share: Some(Share { met, of: 4096, low: 0.978, high: 0.9991 }),
        reason: reason.into(),
        line: 40,
    }
}

/// A drive with a high lobe in the middle and a low one on either side.
fn trace() -> Vec<TraceRow> {
    (0..=120)
        .map(|step| {
            let x = -30.0 + 0.5 * f64::from(step);
            let u = (x / 8.0) * (x / 8.0);
            let drive = 9.0 * (1.0 - u) / (1.0 + u).powf(2.5);
            TraceRow {
                coordinate: x,
                drive_open: drive,
                drive_closed: drive,
                drive_open_low: 0.9 * drive,
                drive_open_high: 1.1 * drive,
            }
        })
        .collect()
}

fn gate() -> ContactAnswer {
    use Direction::{Back, Forward};
    use EventKind::{Operate, Release};
    let coil = "coil 25 mm long, 9.25 mm mean diameter";
    ContactAnswer {
        name: "gate".into(),
        family: Some("rush-14".into()),
        form: "A".into(),
        like: None,
        operate: band(Some(2.2512), 2.0011, 2.5013, "mT"),
        release: band(Some(1.15), 0.9, 1.4, "mT"),
        conversions: vec![Conversion {
            arrangement: coil.into(),
            operate: band(Some(22.5), 20.0, 25.0, "AT"),
            release: band(Some(11.5), 9.0, 14.0, "AT"),
        }],
        events: vec![
            event(Operate, Forward, 2, (-5.41, -5.77, -5.02)),
            event(Release, Forward, 2, (6.22, 5.9, 6.6)),
            event(Operate, Back, 2, (5.41, 5.02, 5.77)),
            event(Release, Back, 2, (-6.22, -6.6, -5.9)),
            Event {
                at: band(None, -14.2, -11.9, "mm"),
                ..event(Operate, Back, 1, (0.0, 0.0, 0.0))
            },
        ],
        closed: vec![
            ClosedInterval { direction: Forward, from: -5.41, to: 6.22 },
            ClosedInterval { direction: Back, from: 5.41, to: -6.22 },
        ],
        closed_at_start: false,
        trace: trace(),
        strongest: Some(Strongest {
            at: 0.0,
            unit: "mm".into(),
            overdrive: 2.31,
            force: 38.6,
            peak: 1.418,
            peak_at: 6.2,
            taken: 37.8,
        }),
    }
}

/// A magnet with room before its knee.
pub(crate) fn magnet() -> MagnetAnswer {
    let point = WorkingPoint { h: -310.0, b: 0.72, j: 1.11, knee_margin: 42.5 };
    let curve = [(0.0, 1.14), (-540.0, 1.1), (-600.0, 0.0)].map(|(h, j)| CurvePoint { h, j });
    MagnetAnswer {
        name: "slug".into(),
        grade: "NdFeB 240/80".into(),
        remanence_drift: -0.11,
        coercivity_drift: -0.65,
        recoil_permeability: 1.05,
        demagnetizing_factor: 0.2,
        states: vec![MagnetState {
            temperature: 58.5,
            curve: curve.to_vec(),
            remanence: 1.14,
            intrinsic_coercivity: 600.0,
            knee: 540.0,
            field_from_outside: 0.0,
            permeance_coefficient: Some(1.9),
            mean: point,
            worst: point,
            worst_at: None,
            beyond_knee: 0.0,
            loss: 0.0,
        }],
        critical: 0,
    }
}

/// The whole answer.
pub(crate) fn answer() -> Answer {
    Answer {
        format: 1,
        title: "Sluice gate at Tarn Hollow".into(),
        verdict: Some(Verdict::Missed),
        sweep: SweepAnswer {
            kind: "line".into(),
            coordinate: "x of slug".into(),
            unit: "mm".into(),
            from: -30.0,
            to: 30.0,
            moves: vec!["slug".into()],
        },
        contacts: vec![gate()],
        magnets: vec![magnet()],
        demands: vec![
            demand("closed -4..4 mm", Verdict::Met, [1.41, 1.02], 4096, "closed there in every unit"),
            demand(
                "open >= 6.5 mm",
                Verdict::AtRisk,
                [0.28, -0.1],
                4028,
                "the nominal unit is open there, but the last unit to release does so at 6.60 mm",
            ),
            demand(
                "once per pass",
                Verdict::Missed,
                [-1.0, -2.0],
                0,
                "the contact closes in 2 lobes on the way past",
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
            code: "W0301".into(),
            message: "side lobes reach 84 % of the operate value of `gate`, so that a sensitive unit closes three times on the way past".into(),
            help: "move the magnet nearer the middle of its travel, or choose a less sensitive contact".into(),
        }],
        quantities: vec![],
        models: vec![ModelNote {
            name: "Contact".into(),
            how: "a magnetic circuit".into(),
            accuracy: "within 1 % of the largest response against finite elements".into(),
            references: vec![],
        }],
        provenance: Provenance {
            version: "0.1.0".into(),
            design: "sluice.toml".into(),
            design_sha256: "00".repeat(32),
            seed: 1,
            references: vec![],
            scenes: 1024,
        },
    }
}

/// The same with a panel of steel under the contact.
pub(crate) fn with_steel() -> Answer {
    use Direction::Forward;
    use EventKind::{Operate, Release};
    let event = |kind, with: Option<f64>, without: Option<f64>| SteelEvent {
        contact: "gate".into(),
        kind,
        direction: Forward,
        with,
        without,
        shift: with.zip(without).map(|(with, without)| with - without),
        unit: "mm".into(),
    };
    let steel = SteelAnswer {
        events: vec![
            event(Operate, Some(-5.41), Some(-4.65)),
            event(Release, Some(6.22), Some(6.22)),
            event(Operate, Some(11.9), None),
            event(Release, None, Some(13.1)),
        ],
        bodies: vec![SteelBodyAnswer {
            name: "panel".into(),
            alloy: Some("Low-carbon sheet steel".into()),
            permeability: 325.0,
            panels: 642,
            peak: 0.311,
            peak_at: 0.0,
            saturation: Some(2.1),
            saturated: Some(14.81),
        }],
        panels: 642,
        discretisation: 0.042,
    };
    Answer { steel: Some(steel), ..answer() }
}

/// A differential, as a ratio.
fn figures() -> Vec<FigureAnswer> {
    vec![FigureAnswer {
        group: "contact".into(),
        name: "differential ratio of gate".into(),
        about: "Distance at operate over distance at release.".into(),
        model: "Contact".into(),
        source: "[iec62246]".into(),
        contacts: Vec::new(),
        value: band(Some(76.13), 71.2, 80.9, "%"),
        ends: Vec::new(),
        in_every_unit: true,
        monotone: true,
        drivers: Vec::new(),
    }]
}
