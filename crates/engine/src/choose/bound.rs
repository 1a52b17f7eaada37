//! A proof that a field cannot make a contact operate anywhere in the ranges.
//!
//! Outside a magnet of polarization J and volume V its field is that of dipoles in it, and changes by no
//! more than `6 J V / (4π c⁴)` per metre at a distance c from the nearest of it: the third derivatives of
//! 1/r in any directions are at most 6/r⁴. The drive sums field along the contact with known weights, so
//! from the drive at one place follows an upper bound of it at all places near. Where that does not do,
//! ranges and sweep are halved.
//!
//! Source: the bound is our own, from the multipole expansion in `[jackson1999]` chapter 4; halving after
//! `[piyavskii1972]`.

use crate::choose::case::Case;
use crate::error::EngineError;
use crate::levels::levels;
use crate::motion::Motion;
use crate::scene::Scene;
use reedmace_contact::Scratch;
use reedmace_design::DemandKind;
use reedmace_fields::{AnySource, Source};
use reedmace_units::FluxDensity;
use std::f64::consts::PI;
use std::rc::Rc;

/// Stretches of the contact that are bounded as one.
const STRETCHES: usize = 24;
/// Parts of the sweep at first.
const PLACES: usize = 16;
/// Parts that are halved at most for one contact.
const MOST: usize = 1500;
/// A bound this far below operate is below it, whatever the drive's own error.
const BELOW: f64 = 0.998;

/// A contact that cannot operate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Short {
    pub contact: usize,
    /// Highest drive that was met, over operate.
    pub reach: f64,
}

/// A contact that a demand wants closed somewhere and that nothing can close; `None` if there is none or it
/// cannot be shown. `every`: in the unit with the highest operate value, not the nominal one.
pub(crate) fn out_of_reach(
    case: &Case<'_>,
    ranges: &[&str],
    every: bool,
) -> Result<Option<Short>, EngineError> {
    let centre = vec![0.5; case.dimensions()];
    let workshop = case.at(&centre);
    let scene = workshop.scene(&case.nominal())?;
    let sources = |s: &AnySource| matches!(s, AnySource::Magnet(_) | AnySource::Uniform(_));
    let axes: Option<Vec<usize>> = ranges.iter().map(|path| axis_of(path)).collect();
    let known = matches!(scene.motion, Motion::Line { .. })
        && scene.steel.is_empty()
        && scene.bodies.iter().all(|body| sources(&body.source) && !body.swept);
    let Some(axes) = axes.filter(|_| known) else { return Ok(None) };
    let design = case.design();
    let mut wanted: Vec<usize> = Vec::new();
    for demand in &design.demands {
        let closes = matches!(demand.kind, DemandKind::Closed(_) | DemandKind::Closures(1..));
        wanted.extend(demand.contact.filter(|contact| closes && !wanted.contains(contact)));
    }
    for contact in wanted {
        let operate = levels(&workshop, contact)?[if every { 2 } else { 1 }][0];
        let stretches = stretches(&scene, contact);
        let proof = Proof { case, contact, operate, axes: axes.clone(), stretches };
        if let Some(reach) = proof.run()? {
            return Ok(Some(Short { contact, reach }));
        }
    }
    Ok(None)
}

/// The axis along which a path moves something by as much as itself, if it turns nothing.
fn axis_of(path: &str) -> Option<usize> {
    let (thing, key) = path.split_once('.')?;
    let (key, axis) = key.strip_suffix(']')?.split_once('[')?;
    let place = match key {
        "at" => thing.starts_with("contact[") || thing.starts_with("magnet["),
        "from" | "to" => thing == "sweep",
        _ => false,
    };
    axis.parse().ok().filter(|_| place)
}

/// A stretch of the contact: where its middle is along the axis, how far its points lie from there, m, and
/// the sum of their weights, of the drive.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    x: f64,
    radius: f64,
    weight: f64,
}

fn stretches(scene: &Scene, contact: usize) -> Vec<Stretch> {
    let kernel = scene.reeds[contact].solved.open.kernel();
    let (rule, uniform) = (kernel.full_rule(), kernel.flux_in_uniform(FluxDensity::tesla(1.0)));
    let (at, (axial, normal)) = (rule.at(), rule.weights());
    let low = at.x.iter().copied().fold(f64::INFINITY, f64::min);
    let high = at.x.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let width = (high - low) / STRETCHES as f64;
    let mut stretches: Vec<Stretch> = (0..STRETCHES)
        .map(|k| Stretch { x: low + (k as f64 + 0.5) * width, radius: 0.0, weight: 0.0 })
        .collect();
    for i in 0..rule.len() {
        let k = (((at.x[i] - low) / width) as usize).min(STRETCHES - 1);
        let own = &mut stretches[k];
        own.radius = own.radius.max((at.x[i] - own.x).hypot(at.z[i]));
        own.weight += (axial[i].hypot(normal[i]) / uniform).abs();
    }
    stretches
}

struct Proof<'a> {
    case: &'a Case<'a>,
    contact: usize,
    operate: f64,
    /// Which axis of the world each range lies along.
    axes: Vec<usize>,
    stretches: Vec<Stretch>,
}

/// A part of the ranges and of the sweep, both from 0 to 1.
struct Part {
    middle: Vec<f64>,
    half: Vec<f64>,
    along: f64,
    half_along: f64,
    /// The scene in its middle.
    scene: Rc<Scene>,
    /// Drive in its middle, over operate.
    met: f64,
    /// An upper bound anywhere in it.
    bound: f64,
}

impl Proof<'_> {
    /// The highest drive met, over operate, if no part of the ranges can make the contact operate.
    fn run(&self) -> Result<Option<f64>, EngineError> {
        let n = self.case.dimensions();
        let scene = Rc::new(self.case.at(&vec![0.5; n]).scene(&self.case.nominal())?);
        let half_along = 0.5 / PLACES as f64;
        let first = (0..PLACES).map(|k| {
            let along = (2 * k + 1) as f64 * half_along;
            let (middle, half) = (vec![0.5; n], vec![0.5; n]);
            self.bounded(Part {
                middle,
                half,
                along,
                half_along,
                scene: scene.clone(),
                met: 0.0,
                bound: 0.0,
            })
        });
        let mut open: Vec<Part> = first.collect();
        let (mut reach, mut drives) = (0.0_f64, 0);
        loop {
            for part in &open {
                reach = reach.max(part.met);
            }
            open.retain(|part| part.bound >= BELOW);
            drives += open.len();
            self.case.heed()?;
            if reach >= BELOW || drives > MOST {
                return Ok(None);
            }
            if open.is_empty() {
                return Ok(Some(reach));
            }
            let mut next = Vec::with_capacity(2 * open.len());
            for part in open {
                next.extend(self.halves(part)?);
            }
            open = next;
        }
    }

    /// With the drive in its middle, and what it may be elsewhere in the part.
    fn bounded(&self, part: Part) -> Part {
        let Motion::Line { from, to, .. } = &part.scene.motion else {
            return Part { bound: f64::INFINITY, ..part };
        };
        // Along each axis of the world, in the ranges and along the sweep.
        let mut by = [0, 1, 2].map(|i| part.half_along * (to[i] - from[i]).abs());
        for (width, axis) in self.widths(&part.half).into_iter().zip(&self.axes) {
            by[*axis] += width;
        }
        let by = by.iter().map(|b| b * b).sum::<f64>().sqrt();
        let [start, end] = part.scene.motion.range();
        let at = start + (end - start) * part.along;
        let drive = part.scene.drive(self.contact, at, &mut Scratch::default()).open.abs();
        let change = self.change(&part.scene, at, by);
        Part { met: drive / self.operate, bound: (drive + change) / self.operate, ..part }
    }

    /// How much the drive may change when each source is put up to `by` metres elsewhere, T. On the way the
    /// distance falls by what is gone, so that the change is the integral of the bound along it.
    fn change(&self, scene: &Scene, at: f64, by: f64) -> f64 {
        let mut sum = 0.0;
        for (_, placed) in scene.sources_at(self.contact, at) {
            let AnySource::Magnet(magnet) = &placed.source else { continue };
            let size = magnet.polarization.iter().map(|j| j * j).sum::<f64>().sqrt();
            let moment = size * magnet.shape.volume();
            for stretch in &self.stretches {
                let clear = placed.clearance([stretch.x, 0.0, 0.0]) - stretch.radius;
                if clear <= by {
                    return f64::INFINITY;
                }
                let grown = (clear - by).powi(-3) - clear.powi(-3);
                sum += stretch.weight * 2.0 * moment / (4.0 * PI) * grown;
            }
        }
        sum
    }

    /// Half widths in the ranges, m.
    fn widths(&self, half: &[f64]) -> Vec<f64> {
        let ends = [0.0, 1.0].map(|x| self.case.values(&vec![x; half.len()]));
        (0..half.len()).map(|i| half[i] * (ends[1][i] - ends[0][i])).collect()
    }

    /// A part halved where it is widest.
    fn halves(&self, part: Part) -> Result<[Part; 2], EngineError> {
        let widths = self.widths(&part.half);
        let widest = (0..widths.len()).max_by(|a, b| widths[*a].total_cmp(&widths[*b]));
        let Motion::Line { from, to, .. } = &part.scene.motion else {
            unreachable!("only straight sweeps are bounded")
        };
        let way = (0..3).map(|i| (to[i] - from[i]).powi(2)).sum::<f64>().sqrt();
        let along = part.half_along * way;
        let split = widest.filter(|i| widths[*i] > along);
        let half = |side: f64| {
            let (mut middle, mut half) = (part.middle.clone(), part.half.clone());
            let (mut along, mut half_along, mut scene) =
                (part.along, part.half_along, part.scene.clone());
            match split {
                Some(i) => {
                    half[i] *= 0.5;
                    middle[i] += side * half[i];
                    scene = Rc::new(self.case.at(&middle).scene(&self.case.nominal())?);
                }
                None => {
                    half_along *= 0.5;
                    along += side * half_along;
                }
            }
            let part = Part { middle, half, along, half_along, scene, met: 0.0, bound: 0.0 };
            Ok::<_, EngineError>(self.bounded(part))
        };
        Ok([half(-1.0)?, half(1.0)?])
    }
}
