//! A second, plain way from magnets and a path to events and verdicts: a dense grid, the contact's
//! circuits asked directly, and a state machine of four lines.

use reedmace_contact::{Circuit, Geometry, Scratch};
use reedmace_engine::answer::{Direction, EventKind};
use reedmace_fields::{AnySource, Magnet, Placed, Pose};
use reedmace_units::{Length, Quantity, Ratio};

/// The reference contact, open and with 5 µm left.
pub fn circuits() -> [Circuit; 2] {
    let geometry = |gap: f64| Geometry {
        lead_diameter: Length::mm(0.55),
        overall_length: Length::mm(55.0),
        blade_span: Length::mm(12.0),
        blade_width: Length::mm(1.3),
        blade_thickness: Length::mm(0.22),
        overlap: Length::mm(1.0),
        gap: Length::mm(gap),
        permeability: Ratio::new(5000.0),
    };
    [0.05, 0.005].map(|gap| Circuit::new(&geometry(gap), 130).unwrap())
}

/// A pass forward and back on a grid: drive and state at every point.
pub struct Grid {
    pub at: Vec<f64>,
    pub closed: [Vec<bool>; 2],
    /// Kind, direction, place and how far off the place may be.
    pub events: Vec<(EventKind, Direction, f64, f64)>,
}

/// What the engine's compressed kernels may differ by from the circuit's own, over the level: the limit
/// the contact crate holds them to.
const COMPRESSION: f64 = 1e-3;

impl Grid {
    /// Walks `magnets` along `world_from_rest` over `points` points from `range[0]` to `range[1]`.
    pub fn walk(
        circuits: &[Circuit; 2],
        magnets: &[(Magnet, Pose)],
        fixed: &[(Magnet, Pose)],
        range: [f64; 2],
        points: usize,
        [operate, release]: [f64; 2],
        world_from_rest: impl Fn(f64) -> Pose,
    ) -> Self {
        let mut scratch = Scratch::default();
        let at: Vec<f64> = (0..=points)
            .map(|k| range[0] + (range[1] - range[0]) * k as f64 / points as f64)
            .collect();
        let mut drive = |circuit: &Circuit, c: f64| {
            let moved = world_from_rest(c);
            let moving = magnets.iter().map(|(m, rest)| (m, moved * *rest));
            let all = moving.chain(fixed.iter().map(|(m, rest)| (m, *rest)));
            all.map(|(m, world_from_body)| {
                let placed = Placed { source: AnySource::from(*m), world_from_body };
                1e3 * circuit.kernel().drive(&placed, &mut scratch).si()
            })
            .sum::<f64>()
        };
        let drives: Vec<[f64; 2]> =
            at.iter().map(|&c| [drive(&circuits[0], c), drive(&circuits[1], c)]).collect();
        let mut held = if drives[0][0].abs() >= operate { drives[0][0].signum() } else { 0.0 };
        let mut events = Vec::new();
        let step = (at[1] - at[0]).abs();
        let mut pass = |order: &mut dyn Iterator<Item = usize>, direction| {
            let mut closed = vec![false; at.len()];
            let mut last = 0;
            for k in order {
                let [open, shut] = drives[k];
                let off = |state: usize, level: f64| {
                    let slope = (drives[k][state] - drives[last][state]).abs();
                    step * (1.0 + COMPRESSION * level / slope)
                };
                if held != 0.0 && shut * held < release {
                    held = 0.0;
                    events.push((EventKind::Release, direction, at[k], off(1, release)));
                }
                if held == 0.0 && open.abs() >= operate {
                    held = open.signum();
                    events.push((EventKind::Operate, direction, at[k], off(0, operate)));
                }
                closed[k] = held != 0.0;
                last = k;
            }
            closed
        };
        let forward = pass(&mut (0..=points), Direction::Forward);
        let back = pass(&mut (0..=points).rev(), Direction::Back);
        Self { at, closed: [forward, back], events }
    }

    pub fn step(&self) -> f64 {
        (self.at[1] - self.at[0]).abs()
    }

    /// How far `region` can grow either way and still be `wanted` all over on both passes; negative
    /// when it must shrink. `None` when that has no end within the sweep.
    pub fn room(&self, region: [f64; 2], wanted: bool) -> Option<f64> {
        let wrong = |k: usize| self.closed.iter().any(|pass| pass[k] != wanted);
        let outside = |c: f64| (region[0] - c).max(c - region[1]);
        let places = (0..self.at.len()).filter(|&k| wrong(k));
        places.map(|k| outside(self.at[k])).min_by(f64::total_cmp)
    }
}
