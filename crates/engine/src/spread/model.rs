//! The drive of every contact along the sweep in any unit, told by polynomials.
//!
//! The drive of each source is its strength (polarization, ampere-turns) times what it makes per
//! strength at its place. Both, and with them the contacts' levels and the ends of the sweep, are
//! expansions over the tolerances; between nodes along the sweep, polynomials tell the drive. What is
//! linear (strengths, levels) is exact so; how good the rest is, the exact units of a study show.

use crate::error::EngineError;
use crate::polynomial::value_and_slope;
use crate::quantity::{Level, Unit};
use crate::realise::Workshop;
use crate::root;
use crate::scene::{Drive, Scene};
use crate::solved::State;
use crate::spread::expansion::{Expansion, Powers, Scaled};
use crate::spread::nodes::{Nodes, Probe};
use crate::track::{Course, Line, Sample, Track, first_places};
use reedmace_contact::Scratch;
use reedmace_fields::AnySource;
use std::cell::RefCell;

/// Drives of any unit of a design.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    expansion: Expansion,
    /// Nodes along the sweep, per contact.
    nodes: Vec<Nodes>,
    layout: Layout,
    periodic: bool,
}

/// Where in the outputs what is.
#[derive(Debug, Clone)]
struct Layout {
    reeds: usize,
    bodies: usize,
    /// Per contact: first output of its drives. A channel for what is steady and one for each body, each
    /// of as many open drives as there are nodes, then as many closed ones.
    drives: Vec<usize>,
}

impl Layout {
    const RANGE: usize = 0;
    fn levels(&self, reed: usize) -> usize {
        2 + 2 * reed
    }
    fn strength(&self, body: usize) -> usize {
        2 + 2 * self.reeds + body
    }
    fn channel(&self, reed: usize, channel: usize, nodes: usize) -> usize {
        self.drives[reed] + channel * 2 * nodes
    }
}

/// One unit as the model tells it, and room for the next.
#[derive(Debug, Clone, Default)]
pub(crate) struct Told {
    /// Coordinate where the sweep starts and ends.
    pub range: [f64; 2],
    /// Per contact the drive at the nodes.
    pub tracks: Vec<Track>,
    powers: Powers,
    outputs: Vec<f64>,
    sums: Vec<f64>,
    /// The drive at the nodes of one contact.
    nodal: Vec<Drive>,
}

/// A contact along the sweep, as the model tells it.
pub(crate) struct ToldLine<'a> {
    nodes: &'a Nodes,
    drives: &'a [Drive],
    range: [f64; 2],
}

impl Model {
    /// Solves what any unit of the design is told from.
    ///
    /// # Errors
    /// What a scene at the limits refuses.
    pub fn new(workshop: &Workshop, nominal: &Scene) -> Result<Self, EngineError> {
        let variables = workshop.variables.len();
        let scene_of = |level: Level| -> Result<Scene, EngineError> {
            let unit: Unit = vec![level; variables];
            workshop.scene(&unit)
        };
        // Nodes serve nominal units and those at either end.
        let ends = [scene_of(Level::LOW)?, scene_of(Level::HIGH)?];
        let scenes: Vec<&Scene> = std::iter::once(nominal).chain(&ends).collect();
        let nodes: Vec<Nodes> = (0..nominal.reeds.len()).map(|k| nodes_of(&scenes, k)).collect();

        let bodies = nominal.bodies.len();
        let mut at = 2 + 2 * nominal.reeds.len() + bodies;
        let mut drives = Vec::new();
        for nodes in &nodes {
            drives.push(at);
            at += 2 * nodes.shares.len() * (1 + bodies);
        }
        let layout = Layout { reeds: nominal.reeds.len(), bodies, drives };
        let groups = groups(&layout, &nodes, nominal);
        let outputs = |values: &[f64]| {
            let scene = workshop.scene_at(values)?;
            Ok(outputs(&scene, &nodes, &layout, at))
        };
        let expansion = Expansion::new(&workshop.variables, &groups, &outputs)?;
        let periodic = nominal.motion.is_periodic();
        Ok(Self { expansion, nodes, layout, periodic })
    }

    /// Tells the unit whose variables have these values, SI.
    pub fn tell(&self, values: &[f64], told: &mut Told) {
        let Told { range, tracks, powers, outputs, sums, .. } = told;
        outputs.resize(self.expansion.len(), 0.0);
        self.expansion.at(values, powers, outputs);
        *range = [outputs[Layout::RANGE], outputs[Layout::RANGE + 1]];
        tracks.resize(self.nodes.len(), Track::default());
        for (reed, (track, nodes)) in tracks.iter_mut().zip(&self.nodes).enumerate() {
            let count = nodes.shares.len();
            sums.clear();
            let steady = self.layout.channel(reed, 0, count);
            sums.extend_from_slice(&outputs[steady..steady + 2 * count]);
            for body in 0..self.layout.bodies {
                let strength = outputs[self.layout.strength(body)];
                let from = self.layout.channel(reed, 1 + body, count);
                for (sum, drive) in sums.iter_mut().zip(&outputs[from..from + 2 * count]) {
                    *sum += strength * drive;
                }
            }
            let levels = self.layout.levels(reed);
            (track.operate, track.release) = (outputs[levels], outputs[levels + 1]);
            track.at.clear();
            track.at.extend(nodes.shares.iter().map(|s| range[0] + s * (range[1] - range[0])));
            track.drive.clear();
            let drive = |k: usize| Drive { open: sums[k], closed: sums[count + k] };
            track.drive.extend((0..count).map(drive));
        }
    }

    /// A contact of a unit told.
    pub fn line<'a>(&'a self, reed: usize, drives: &'a [Drive], range: [f64; 2]) -> ToldLine<'a> {
        ToldLine { nodes: &self.nodes[reed], drives, range }
    }

    /// What the contacts of a unit do, by the model alone.
    pub fn courses(&self, told: &mut Told) -> Vec<Course> {
        let Told { range, tracks, nodal, .. } = told;
        let course = |(reed, track): (usize, &mut Track)| {
            nodal.clone_from(&track.drive);
            let mut line = self.line(reed, nodal, *range);
            track.sharpen_peaks(&mut line);
            track.course_on(&mut line, self.periodic)
        };
        tracks.iter_mut().enumerate().map(course).collect()
    }

    /// True for a wheel that turns on.
    pub fn is_periodic(&self) -> bool {
        self.periodic
    }
}

/// Nodes along the sweep for contact `reed` in these scenes, the nominal one first.
fn nodes_of(scenes: &[&Scene], reed: usize) -> Nodes {
    let [from, to] = scenes[0].motion.range();
    let share = |c: f64| (c - from) / (to - from);
    let shares = first_places(scenes[0], reed).into_iter().map(share).collect();
    let corners: Vec<f64> = scenes[0].motion.corners().into_iter().map(share).collect();
    let probes: Vec<Probe> = scenes
        .iter()
        .map(|scene| {
            let [from, to] = scene.motion.range();
            let scratch = RefCell::new(Scratch::default());
            let drive =
                move |s: f64| scene.drive(reed, from + s * (to - from), &mut scratch.borrow_mut());
            let levels = [scene.reeds[reed].operate, scene.reeds[reed].release];
            Probe { drive: Box::new(drive), levels }
        })
        .collect();
    Nodes::new(shares, &corners).refined(&probes)
}

/// What outputs belong together.
fn groups(layout: &Layout, nodes: &[Nodes], nominal: &Scene) -> Vec<Scaled> {
    let [from, to] = nominal.motion.range();
    let mut groups = vec![Scaled { range: 0..2, scale: (to - from).abs() }];
    for (k, reed) in nominal.reeds.iter().enumerate() {
        let at = layout.levels(k);
        groups.push(Scaled { range: at..at + 2, scale: reed.release });
    }
    for (k, body) in nominal.bodies.iter().enumerate() {
        let at = layout.strength(k);
        groups.push(Scaled { range: at..at + 1, scale: strength(&body.source).abs() });
    }
    for (k, (reed, nodes)) in nominal.reeds.iter().zip(nodes).enumerate() {
        let count = nodes.shares.len();
        for channel in 0..1 + layout.bodies {
            let at = layout.channel(k, channel, count);
            let strength =
                channel.checked_sub(1).map_or(1.0, |b| strength(&nominal.bodies[b].source));
            groups.push(Scaled { range: at..at + 2 * count, scale: reed.release / strength.abs() });
        }
    }
    groups
}

/// The outputs of a scene.
fn outputs(scene: &Scene, nodes: &[Nodes], layout: &Layout, len: usize) -> Vec<f64> {
    let mut out = vec![0.0; len];
    let [from, to] = scene.motion.range();
    out[..2].copy_from_slice(&[from, to]);
    let strengths: Vec<f64> = scene.bodies.iter().map(|b| strength(&b.source)).collect();
    for (k, strength) in strengths.iter().enumerate() {
        out[layout.strength(k)] = *strength;
    }
    let mut scratch = Scratch::default();
    for (k, (reed, nodes)) in scene.reeds.iter().zip(nodes).enumerate() {
        let at = layout.levels(k);
        out[at..at + 2].copy_from_slice(&[reed.operate, reed.release]);
        let count = nodes.shares.len();
        for (i, share) in nodes.shares.iter().enumerate() {
            let coordinate = from + share * (to - from);
            let mut put = |channel: usize, drive: Drive| {
                let at = layout.channel(k, channel, count) + i;
                (out[at], out[at + count]) = (drive.open, drive.closed);
            };
            put(0, reed.steady_drive(coordinate));
            let moved = scene.motion.world_from_rest(coordinate);
            scene.each_drive(k, moved, coordinate, &mut scratch, &mut |body, drive| {
                let s = strengths[body];
                put(1 + body, Drive { open: drive.open / s, closed: drive.closed / s });
            });
        }
    }
    out
}

/// What a source's field is proportional to; 1 where there is no such thing.
fn strength(source: &AnySource) -> f64 {
    let of = match source {
        AnySource::Magnet(m) => m.polarization.iter().map(|j| j * j).sum::<f64>().sqrt(),
        AnySource::Loop(s) => s.current,
        AnySource::Solenoid(s) => s.ampere_turns,
        AnySource::Coil(s) => s.ampere_turns,
        AnySource::Wire(_) | AnySource::Uniform(_) => 1.0,
    };
    if of == 0.0 { 1.0 } else { of }
}

impl ToldLine<'_> {
    fn share(&self, at: f64) -> f64 {
        (at - self.range[0]) / (self.range[1] - self.range[0])
    }

    /// Change of the drive in a state with the coordinate.
    pub fn slope(&self, at: f64, state: State) -> f64 {
        let share = self.share(at);
        let k = self.nodes.stretch(share);
        let poly = self.nodes.polynomial(k, self.drives, |d| d.of(state));
        let place = self.nodes.place(k, share);
        let (_, slope) = value_and_slope(&poly, place);
        let width = self.nodes.share(k, 1.0) - self.nodes.share(k, 0.0);
        slope / (width * (self.range[1] - self.range[0]))
    }
}

impl Line for ToldLine<'_> {
    fn drive(&mut self, at: f64) -> Drive {
        let share = self.share(at);
        let k = self.nodes.stretch(share);
        self.nodes.drive_in(k, self.nodes.place(k, share), self.drives)
    }

    fn crossing(&mut self, state: State, level: f64, ends: [Sample; 2], tolerance: f64) -> f64 {
        let k = self.nodes.stretch(self.share(0.5 * (ends[0].0 + ends[1].0)));
        let poly = self.nodes.polynomial(k, self.drives, |d| d.of(state));
        let length = self.range[1] - self.range[0];
        let width = (self.nodes.share(k, 1.0) - self.nodes.share(k, 0.0)) * length;
        let [a, b] =
            ends.map(|(at, drive)| (self.nodes.place(k, self.share(at)), drive.of(state) - level));
        let tolerance = tolerance / width.abs();
        let place = root::polynomial_crossing(&poly, level, a, b, tolerance);
        self.range[0] + self.nodes.share(k, place) * length
    }
}
