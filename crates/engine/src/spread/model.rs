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
use crate::spread::expansion::{Expansion, Powers, UNITS};
use crate::spread::layout::{Layout, groups, outputs};
use crate::spread::nodes::{Nodes, Probe};
use crate::track::{Course, Line, SHARPEN, Sample, Track, first_places};
use reedmace_contact::Scratch;
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
    /// Per variable: what of a scene it reaches.
    reaches: Vec<Reach>,
    /// Per contact: it opens when it operates.
    breaks: Vec<bool>,
    periodic: bool,
    /// What contacts told together do to each other in the nominal unit.
    shared: Option<Arc<Shared>>,
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
    powers: Powers<1>,
    outputs: Vec<f64>,
    /// Outputs of units to be told next.
    ahead: Vec<f64>,
    powers_ahead: Powers<UNITS>,
    /// A track with samples on its peaks.
    sharp: Track,
}

/// A contact along the sweep, as the model tells it.
#[derive(Clone, Copy)]
pub(crate) struct ToldLine<'a> {
    nodes: &'a Nodes,
    /// Coordinate of each node, and the drive there.
    at: &'a [f64],
    drives: &'a [Drive],
}

impl Told {
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

        let layout = Layout::new(bends.shares.len(), &nodes, nominal);
        let groups = groups(&layout, nominal);
        let reaches = workshop.reaches.clone();
        let stretch = |reach: &Reach| match reach {
            Reach::Nothing => 0..0,
            Reach::Contact(k) => layout.reeds[*k].range(),
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
        Ok(Self { expansion, nodes, places, layout, reaches, breaks, periodic, shared })
    }

    /// What contacts told together do to each other in the nominal unit; `None` where they are told singly.
    pub fn shared(&self) -> Option<&Arc<Shared>> {
        self.shared.as_ref()
    }

    /// Tells the unit whose variables have these values, SI. A contact all of whose quantities are as in the
    /// unit told before is not told again.
    pub fn tell(&self, values: &[f64], told: &mut Told) {
        let Told { range, tracks, corners, values: last, powers, outputs, .. } = told;
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
        self.expansion.powers(&[values], powers);
        if changed.contains(&false) {
            for reed in (0..changed.len()).filter(|&reed| changed[reed]) {
                self.expansion.at(powers, self.layout.reeds[reed].range(), outputs);
            }
        } else {
            self.expansion.at(powers, 0..self.layout.len(), outputs);
        }
        let changed = |reed: usize| changed[reed];
        let tracks = tracks.iter_mut().zip(known).enumerate().filter(|(reed, _)| changed(*reed));
        *range = self.tracks(outputs, corners, tracks);
    }

    /// Solves the outputs of at most [`UNITS`] units, to be told one after the other.
    pub fn foresee(&self, units: &[&[f64]], told: &mut Told) {
        let Told { ahead, powers_ahead, .. } = told;
        ahead.resize(UNITS * self.layout.len(), 0.0);
        self.expansion.powers(units, powers_ahead);
        self.expansion.at(powers_ahead, 0..self.layout.len(), ahead);
    }

    /// Tells unit k of those that were foreseen.
    pub fn tell_foreseen(&self, k: usize, told: &mut Told) {
        told.forget();
        let Told { range, tracks, corners, known, ahead, .. } = told;
        tracks.resize(self.layout.reeds.len(), Track::default());
        known.resize(self.layout.reeds.len(), false);
        let outputs = &ahead[k * self.layout.len()..][..self.layout.len()];
        *range = self.tracks(outputs, corners, tracks.iter_mut().zip(known).enumerate());
    }

    /// Makes these tracks, each with whether its course is known, what the outputs of a unit say; the ends of its
    /// sweep.
    fn tracks<'a>(
        &self,
        outputs: &[f64],
        corners: &mut Vec<f64>,
        tracks: impl Iterator<Item = (usize, (&'a mut Track, &'a mut bool))>,
    ) -> [f64; 2] {
        corners.clear();
        corners.extend_from_slice(&outputs[..self.layout.corners]);
        for (reed, (track, known)) in tracks {
            let own = &self.layout.reeds[reed];
            *known = false;
            (track.operate, track.release) = (outputs[own.from], outputs[own.from + 1]);
            track.breaks = self.breaks[reed];
            track.at.clear();
            track.at.extend(self.places[reed].iter().map(|place| place.coordinate(corners)));
            track.drive.clear();
            track.drive.resize(own.nodes, Drive { open: 0.0, closed: 0.0 });
            for (k, channel) in own.channels.iter().enumerate() {
                let strength = channel.map_or(1.0, |body| outputs[self.layout.strength(body)]);
                let both = &outputs[own.channel(k)..own.channel(k + 1)];
                let (open, closed) = both.split_at(own.nodes);
                for ((sum, open), closed) in track.drive.iter_mut().zip(open).zip(closed) {
                    sum.open += strength * open;
                    sum.closed += strength * closed;
                }
            }
        }
        [corners[0], corners[corners.len() - 1]]
    }

    /// A contact of a unit told, by its track before peaks are put into it.
    pub fn line<'a>(&'a self, reed: usize, track: &'a Track) -> ToldLine<'a> {
        ToldLine { nodes: &self.nodes[reed], at: &track.at, drives: &track.drive }
    }

    /// What the contacts of a unit do, by the model alone; how near a drive comes to a level, over it.
    pub fn walk(&self, told: &mut Told) -> f64 {
        let Told { tracks, courses, calls, known, sharp, .. } = told;
        courses.resize(tracks.len(), Course::default());
        calls.resize(tracks.len(), f64::INFINITY);
        for (reed, track) in tracks.iter().enumerate() {
            if std::mem::replace(&mut known[reed], true) {
                continue;
            }
            let mut line = self.line(reed, track);
            calls[reed] = track.closest_call();
            if calls[reed] < SHARPEN {
                sharp.clone_from(track);
                sharp.sharpen_peaks(&mut line);
                calls[reed] = sharp.closest_call();
                sharp.course_on(&mut line, self.periodic, &mut courses[reed]);
            } else {
                track.course_on(&mut line, self.periodic, &mut courses[reed]);
            }
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

impl ToldLine<'_> {
    /// The stretch that a coordinate lies in.
    fn stretch(&self, at: f64) -> usize {
        let forward = self.at[self.at.len() - 1] >= self.at[0];
        let after = self.at.partition_point(|node| if forward { *node <= at } else { *node >= at });
        after.clamp(1, self.at.len() - 1) - 1
    }

    /// Length of stretch k in the coordinate.
    fn width(&self, k: usize) -> f64 {
        self.at[k + 1] - self.at[k]
    }

    /// A coordinate as a place between the ends of stretch k.
    fn place(&self, k: usize, at: f64) -> f64 {
        (at - self.at[k]) / self.width(k)
    }

    /// Change of the drive in a state with the coordinate.
    pub fn slope(&self, at: f64, state: State) -> f64 {
        let k = self.stretch(at);
        let poly = self.nodes.polynomial(k, self.drives, |d| d.of(state));
        value_and_slope(&poly, self.place(k, at)).1 / self.width(k)
    }
}

impl Line for ToldLine<'_> {
    fn drive(&mut self, at: f64) -> Drive {
        let k = self.stretch(at);
        self.nodes.drive_in(k, self.place(k, at), self.drives)
    }

    fn crossing(&mut self, state: State, level: f64, ends: [Sample; 2], tolerance: f64) -> f64 {
        let k = self.stretch(0.5 * (ends[0].0 + ends[1].0));
        let poly = self.nodes.polynomial(k, self.drives, |d| d.of(state));
        let [a, b] = ends.map(|(at, drive)| (self.place(k, at), drive.of(state) - level));
        let tolerance = tolerance / self.width(k).abs();
        self.at[k] + self.width(k) * root::polynomial_crossing(&poly, level, a, b, tolerance)
    }
}
