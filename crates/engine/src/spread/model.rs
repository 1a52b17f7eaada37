//! The drive of every contact along the sweep in any unit, told by polynomials.
//!
//! The drive of each source is its strength (polarization, ampere-turns) times what it makes per
//! strength at its place. Both, and with them the contacts' levels and the ends of the sweep, are
//! expansions over the tolerances; between nodes along the sweep, polynomials tell the drive. What is
//! linear (strengths, levels) is exact so; how good the rest is, the exact units of a study show.

use crate::error::EngineError;
use crate::polynomial::value_and_slope;
use crate::quantity::{Level, Unit};
use crate::realise::{Reach, Workshop};
use crate::root;
use crate::scene::{Drive, Scene};
use crate::shared::Shared;
use crate::solved::State;
use crate::spread::bends::{Bends, Place};
use crate::spread::expansion::{Expansion, Powers, Scaled};
use crate::spread::nodes::{Nodes, Probe};
use crate::track::{Course, Line, Sample, Track, first_places};
use reedmace_contact::Scratch;
use reedmace_fields::AnySource;
use std::cell::RefCell;
use std::ops::Range;
use std::sync::Arc;

/// Drives of any unit of a design.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    expansion: Expansion,
    /// Nodes along the sweep, per contact.
    nodes: Vec<Nodes>,
    /// Where each of them lies.
    places: Vec<Vec<Place>>,
    layout: Layout,
    bends: Bends,
    /// Per variable: what of a scene it reaches.
    reaches: Vec<Reach>,
    /// Per contact: it opens when it operates.
    breaks: Vec<bool>,
    periodic: bool,
    /// What contacts told together do to each other in the nominal unit.
    shared: Option<Arc<Shared>>,
}

/// Where in the outputs what is: the ends of the sweep with its bends, the strengths of the bodies, then what
/// each contact has for itself.
#[derive(Debug, Clone)]
struct Layout {
    corners: usize,
    bodies: usize,
    /// Per contact and once more: where what it has begins. Its levels, then a channel for what is steady and
    /// one for each body, each of as many open drives as there are nodes, then as many closed ones.
    reeds: Vec<usize>,
}

impl Layout {
    fn levels(&self, reed: usize) -> usize {
        self.reeds[reed]
    }
    fn strength(&self, body: usize) -> usize {
        self.corners + body
    }
    fn channel(&self, reed: usize, channel: usize, nodes: usize) -> usize {
        self.reeds[reed] + 2 + channel * 2 * nodes
    }
    fn of(&self, reed: usize) -> Range<usize> {
        self.reeds[reed]..self.reeds[reed + 1]
    }
    fn len(&self) -> usize {
        self.reeds[self.reeds.len() - 1]
    }
}

/// One unit as the model tells it, and room for the next.
#[derive(Debug, Clone, Default)]
pub(crate) struct Told {
    /// Coordinate where the sweep starts and ends.
    pub range: [f64; 2],
    /// Per contact the drive at the nodes.
    pub tracks: Vec<Track>,
    /// Coordinates of its ends and bends.
    corners: Vec<f64>,
    /// What the contacts of the unit told last do.
    pub courses: Vec<Course>,
    /// How near each of them comes to a level, over it.
    calls: Vec<f64>,
    /// True for those of which that is known.
    known: Vec<bool>,
    /// The values of that unit.
    values: Vec<f64>,
    /// True for contacts that are not as in the unit before.
    changed: Vec<bool>,
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
    bends: &'a Bends,
    corners: &'a [f64],
}

impl Told {
    /// Coordinates of the ends and the bends of the unit's sweep.
    pub fn corners(&self) -> &[f64] {
        &self.corners
    }

    /// Lets nothing of this unit serve the next.
    pub fn forget(&mut self) {
        self.values.clear();
    }
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
        let bends = Bends::of(nominal);
        let nodes: Vec<Nodes> =
            (0..nominal.reeds.len()).map(|k| nodes_of(&scenes, &bends, k)).collect();

        let (corners, bodies) = (bends.shares.len(), nominal.bodies.len());
        let mut reeds = vec![corners + bodies];
        for nodes in &nodes {
            reeds.push(reeds[reeds.len() - 1] + 2 + 2 * nodes.shares.len() * (1 + bodies));
        }
        let layout = Layout { corners, bodies, reeds };
        let groups = groups(&layout, &nodes, nominal);
        let reaches = workshop.reaches.clone();
        let stretch = |reach: &Reach| match reach {
            Reach::Nothing => 0..0,
            Reach::Contact(k) => layout.of(*k),
            Reach::All => 0..layout.len(),
        };
        let reach: Vec<Range<usize>> = reaches.iter().map(stretch).collect();
        let outputs = |values: &[f64], range: Range<usize>| {
            if range.is_empty() {
                return Ok(Vec::new());
            }
            let scene = workshop.scene_at(values)?;
            Ok(outputs(&scene, &nodes, &bends, &layout, range))
        };
        let expansion = Expansion::new(&workshop.variables, &groups, &reach, &outputs)?;
        let periodic = nominal.motion.is_periodic();
        let shared = nominal.shared.clone();
        let breaks = nominal.reeds.iter().map(|reed| reed.breaks).collect();
        let places = |nodes: &Nodes| nodes.shares.iter().map(|s| bends.place(*s)).collect();
        let places = nodes.iter().map(places).collect();
        Ok(Self { expansion, nodes, places, layout, bends, reaches, breaks, periodic, shared })
    }

    /// What contacts told together do to each other in the nominal unit; `None` where they are told singly.
    pub fn shared(&self) -> Option<&Arc<Shared>> {
        self.shared.as_ref()
    }

    /// Tells the unit whose variables have these values, SI. A contact all of whose quantities are as in the
    /// unit told before is not told again.
    pub fn tell(&self, values: &[f64], told: &mut Told) {
        let Told { range, tracks, corners, values: last, powers, outputs, sums, .. } = told;
        let (known, changed) = (&mut told.known, &mut told.changed);
        if last.len() != values.len() {
            outputs.clear();
        }
        let anew = outputs.is_empty();
        outputs.resize(self.expansion.len(), 0.0);
        tracks.resize(self.nodes.len(), Track::default());
        known.resize(self.nodes.len(), false);
        changed.clear();
        changed.resize(self.nodes.len(), anew);
        let differ = (0..self.reaches.len()).filter(|&v| !anew && last[v] != values[v]);
        differ.for_each(|v| match self.reaches[v] {
            Reach::Nothing => (),
            Reach::Contact(reed) => changed[reed] = true,
            Reach::All => changed.fill(true),
        });
        last.clear();
        last.extend_from_slice(values);
        self.expansion.powers(values, powers);
        if changed.contains(&false) {
            for reed in (0..changed.len()).filter(|&reed| changed[reed]) {
                self.expansion.at(powers, self.layout.of(reed), outputs);
            }
        } else {
            self.expansion.at(powers, 0..self.layout.len(), outputs);
        }
        corners.clear();
        corners.extend_from_slice(&outputs[..self.layout.corners]);
        *range = [corners[0], corners[corners.len() - 1]];
        for (reed, (track, nodes)) in tracks.iter_mut().zip(&self.nodes).enumerate() {
            if !changed[reed] {
                continue;
            }
            known[reed] = false;
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
            track.breaks = self.breaks[reed];
            track.at.clear();
            track.at.extend(self.places[reed].iter().map(|place| place.coordinate(corners)));
            track.drive.clear();
            let drive = |k: usize| Drive { open: sums[k], closed: sums[count + k] };
            track.drive.extend((0..count).map(drive));
        }
    }

    /// A contact of a unit told.
    pub fn line<'a>(
        &'a self,
        reed: usize,
        drives: &'a [Drive],
        corners: &'a [f64],
    ) -> ToldLine<'a> {
        ToldLine { nodes: &self.nodes[reed], drives, bends: &self.bends, corners }
    }

    /// What the contacts of a unit do, by the model alone; how near a drive comes to a level, over it.
    pub fn walk(&self, told: &mut Told) -> f64 {
        let Told { tracks, corners, courses, calls, known, nodal, .. } = told;
        courses.resize(tracks.len(), Course::default());
        calls.resize(tracks.len(), f64::INFINITY);
        for (reed, track) in tracks.iter_mut().enumerate() {
            if std::mem::replace(&mut known[reed], true) {
                continue;
            }
            nodal.clone_from(&track.drive);
            let mut line = self.line(reed, nodal, corners);
            track.sharpen_peaks(&mut line);
            track.course_on(&mut line, self.periodic, &mut courses[reed]);
            calls[reed] = track.closest_call();
        }
        calls.iter().copied().fold(f64::INFINITY, f64::min)
    }

    /// True for a wheel that turns on.
    pub fn is_periodic(&self) -> bool {
        self.periodic
    }
}

/// Nodes along the sweep for contact `reed` in these scenes, the nominal one first.
fn nodes_of(scenes: &[&Scene], bends: &Bends, reed: usize) -> Nodes {
    let [from, to] = scenes[0].motion.range();
    let share = |c: f64| (c - from) / (to - from);
    let shares = first_places(scenes[0], reed).into_iter().map(share).collect();
    let corners: Vec<f64> = scenes[0].motion.corners().into_iter().map(share).collect();
    let probes: Vec<Probe> = scenes
        .iter()
        .map(|scene| {
            let corners = bends.corners(scene);
            let scratch = RefCell::new(Scratch::default());
            let drive = move |s: f64| {
                scene.drive(reed, bends.coordinate(&corners, s), &mut scratch.borrow_mut())
            };
            let levels = [scene.reeds[reed].operate, scene.reeds[reed].release];
            Probe { drive: Box::new(drive), levels }
        })
        .collect();
    Nodes::new(shares, &corners).thinned(&probes).refined(&probes)
}

/// What outputs belong together, in their order.
fn groups(layout: &Layout, nodes: &[Nodes], nominal: &Scene) -> Vec<Scaled> {
    let [from, to] = nominal.motion.range();
    let mut groups = vec![Scaled { range: 0..layout.corners, scale: (to - from).abs() }];
    let strengths: Vec<f64> = nominal.bodies.iter().map(|b| strength(&b.source)).collect();
    for (k, strength) in strengths.iter().enumerate() {
        let at = layout.strength(k);
        groups.push(Scaled { range: at..at + 1, scale: strength.abs() });
    }
    for (k, (reed, nodes)) in nominal.reeds.iter().zip(nodes).enumerate() {
        let at = layout.levels(k);
        groups.push(Scaled { range: at..at + 2, scale: reed.release });
        let count = nodes.shares.len();
        for channel in 0..1 + layout.bodies {
            let at = layout.channel(k, channel, count);
            let strength = channel.checked_sub(1).map_or(1.0, |body| strengths[body]);
            // Open and closed drives by themselves: each term matters on a stretch of the sweep in either.
            let scale = reed.release / strength.abs();
            groups.push(Scaled { range: at..at + count, scale });
            groups.push(Scaled { range: at + count..at + 2 * count, scale });
        }
    }
    groups
}

/// A stretch of the outputs of a scene: all of them, or those of one contact.
fn outputs(
    scene: &Scene,
    nodes: &[Nodes],
    bends: &Bends,
    layout: &Layout,
    range: Range<usize>,
) -> Vec<f64> {
    let mut out = vec![0.0; range.len()];
    let corners = bends.corners(scene);
    let strengths: Vec<f64> = scene.bodies.iter().map(|b| strength(&b.source)).collect();
    if range.start == 0 {
        out[..layout.corners].copy_from_slice(&corners);
        out[layout.corners..layout.reeds[0]].copy_from_slice(&strengths);
    }
    let mut scratch = Scratch::default();
    for (k, (reed, nodes)) in scene.reeds.iter().zip(nodes).enumerate() {
        let own = layout.of(k);
        if own.start < range.start || own.end > range.end {
            continue;
        }
        let at = layout.levels(k) - range.start;
        out[at..at + 2].copy_from_slice(&[reed.operate, reed.release]);
        let count = nodes.shares.len();
        for (i, share) in nodes.shares.iter().enumerate() {
            let coordinate = bends.coordinate(&corners, *share);
            let mut put = |channel: usize, drive: Drive| {
                let at = layout.channel(k, channel, count) + i - range.start;
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
        AnySource::Dipole(s) => s.moment.iter().map(|m| m * m).sum::<f64>().sqrt(),
        AnySource::Wire(_) | AnySource::Uniform(_) => 1.0,
    };
    if of == 0.0 { 1.0 } else { of }
}

impl ToldLine<'_> {
    fn share(&self, at: f64) -> f64 {
        self.bends.share(self.corners, at)
    }

    /// Length of stretch k in the coordinate.
    fn width(&self, k: usize) -> f64 {
        let end = |place: f64| self.bends.coordinate(self.corners, self.nodes.share(k, place));
        end(1.0) - end(0.0)
    }

    /// Change of the drive in a state with the coordinate.
    pub fn slope(&self, at: f64, state: State) -> f64 {
        let share = self.share(at);
        let k = self.nodes.stretch(share);
        let poly = self.nodes.polynomial(k, self.drives, |d| d.of(state));
        let place = self.nodes.place(k, share);
        let (_, slope) = value_and_slope(&poly, place);
        slope / self.width(k)
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
        let [a, b] =
            ends.map(|(at, drive)| (self.nodes.place(k, self.share(at)), drive.of(state) - level));
        let tolerance = tolerance / self.width(k).abs();
        let place = root::polynomial_crossing(&poly, level, a, b, tolerance);
        self.bends.coordinate(self.corners, self.nodes.share(k, place))
    }
}
