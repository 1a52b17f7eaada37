//! What of a scene the model tells: the outputs that its expansions are of, and where each of them is.

use crate::scene::{Drive, Scene};
use crate::spread::bends::Bends;
use crate::spread::expansion::Scaled;
use crate::spread::nodes::Nodes;
use reedmace_contact::Scratch;
use reedmace_fields::AnySource;
use std::ops::Range;

/// Where in the outputs what is: the ends of the sweep with its bends, the strengths of the bodies, then what
/// each contact has for itself.
#[derive(Debug, Clone)]
pub(crate) struct Layout {
    pub corners: usize,
    bodies: usize,
    pub reeds: Vec<Own>,
}

/// What a contact has: its levels, then of each channel as many open drives as there are nodes, then as many
/// closed ones.
#[derive(Debug, Clone)]
pub(crate) struct Own {
    pub from: usize,
    pub nodes: usize,
    /// One for what is steady, `None`, if something is; one for each body that is not, times its strength.
    pub channels: Vec<Option<usize>>,
}

impl Layout {
    pub fn new(corners: usize, nodes: &[Nodes], nominal: &Scene) -> Self {
        let bodies = &nominal.bodies;
        let mut from = corners + bodies.len();
        let reeds = nominal.reeds.iter().zip(nodes).map(|(reed, nodes)| {
            let steady = bodies.iter().any(|body| body.is_steady_for(reed)).then_some(None);
            let passing = (0..bodies.len()).filter(|k| !bodies[*k].is_steady_for(reed)).map(Some);
            let channels = steady.into_iter().chain(passing).collect();
            let own = Own { from, nodes: nodes.shares.len(), channels };
            from = own.range().end;
            own
        });
        let reeds = reeds.collect();
        Self { corners, bodies: bodies.len(), reeds }
    }

    pub fn strength(&self, body: usize) -> usize {
        self.corners + body
    }

    pub fn len(&self) -> usize {
        self.reeds.last().map_or(self.corners + self.bodies, |own| own.range().end)
    }
}

impl Own {
    pub fn range(&self) -> Range<usize> {
        self.from..self.channel(self.channels.len())
    }

    /// Where channel k begins.
    pub fn channel(&self, k: usize) -> usize {
        self.from + 2 + k * 2 * self.nodes
    }
}

/// What outputs belong together, in their order.
pub(crate) fn groups(layout: &Layout, nominal: &Scene) -> Vec<Scaled> {
    let [from, to] = nominal.motion.range();
    let mut groups = vec![Scaled { range: 0..layout.corners, scale: (to - from).abs() }];
    let strengths: Vec<f64> = nominal.bodies.iter().map(|b| strength(&b.source)).collect();
    for (k, strength) in strengths.iter().enumerate() {
        let at = layout.strength(k);
        groups.push(Scaled { range: at..at + 1, scale: strength.abs() });
    }
    for (reed, own) in nominal.reeds.iter().zip(&layout.reeds) {
        groups.push(Scaled { range: own.from..own.from + 2, scale: reed.release });
        for (k, channel) in own.channels.iter().enumerate() {
            let (at, count) = (own.channel(k), own.nodes);
            let strength = channel.map_or(1.0, |body| strengths[body]);
            // Open and closed drives by themselves: each term matters on a stretch of the sweep in either.
            let scale = reed.release / strength.abs();
            groups.push(Scaled { range: at..at + count, scale });
            groups.push(Scaled { range: at + count..at + 2 * count, scale });
        }
    }
    groups
}

/// A stretch of the outputs of a scene: all of them, or those of one contact.
pub(crate) fn outputs(
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
        out[layout.corners..layout.strength(layout.bodies)].copy_from_slice(&strengths);
    }
    let mut scratch = Scratch::default();
    for (k, (own, nodes)) in layout.reeds.iter().zip(nodes).enumerate() {
        let stretch = own.range();
        if stretch.start < range.start || stretch.end > range.end {
            continue;
        }
        let reed = &scene.reeds[k];
        let at = own.from - range.start;
        out[at..at + 2].copy_from_slice(&[reed.operate, reed.release]);
        for (i, share) in nodes.shares.iter().enumerate() {
            let coordinate = bends.coordinate(&corners, *share);
            let mut put = |of: Option<usize>, drive: Drive| {
                if let Some(channel) = own.channels.iter().position(|channel| *channel == of) {
                    let at = own.channel(channel) + i - range.start;
                    (out[at], out[at + own.nodes]) = (drive.open, drive.closed);
                }
            };
            put(None, reed.steady_drive(coordinate));
            let moved = scene.motion.world_from_rest(coordinate);
            scene.each_drive(k, moved, coordinate, &mut scratch, &mut |body, drive| {
                let s = strengths[body];
                put(Some(body), Drive { open: drive.open / s, closed: drive.closed / s });
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
