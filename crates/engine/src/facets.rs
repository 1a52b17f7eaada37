//! How coarsely the steel is cut where: what is too near to a panel to be told of.
//!
//! The charge that a near source draws out is told to about a panel, and what is left over waves along the
//! surface with the panels for its period. Such a wave dies down as exp(−2π z ∕ h) with the distance z from
//! panels of length h [jackson1999, separation of variables]. Behind a sheet, where source and steel nearly
//! cancel, it is all that would be seen.

use crate::scene::Scene;
use reedmace_fields::{Placed, Pose, Source};

/// A source is told of from this share of a panel's longest edge on, where the wave has died down to 2.3 %.
/// Behind the cabinet panel of `designs/cabinet-lid.toml` it is then at most half the release level.
const SHARP: f64 = 0.6;

/// The panels of a scene's steel.
#[derive(Debug, Clone)]
pub(crate) struct Facets {
    facets: Vec<Facet>,
    /// Farther off than this nothing is in doubt, m.
    reach: f64,
}

/// A panel before the sweep moves it.
#[derive(Debug, Clone)]
struct Facet {
    /// Its middle, then its corners, m.
    places: [[f64; 3]; 5],
    /// How far the corners lie from the middle at most, m.
    half: f64,
    /// From here on it is told of, m.
    reach: f64,
    moves: bool,
}

impl Facets {
    /// Those of a scene at rest; none without steel.
    pub fn of(scene: &Scene) -> Self {
        if scene.steel.is_empty() {
            return Self { facets: Vec::new(), reach: 0.0 };
        }
        let steel = scene.factored(Pose::IDENTITY);
        let world_from_first = scene.steel[0].pose(Pose::IDENTITY);
        let facet = |(panel, corners): (usize, [[f64; 3]; 4])| {
            let corners = corners.map(|corner| world_from_first.apply(corner));
            let middle: [f64; 3] =
                std::array::from_fn(|i| corners.iter().map(|c| c[i]).sum::<f64>() / 4.0);
            let longest = (0..4).map(|k| far(corners[k], corners[(k + 1) % 4])).fold(0.0, f64::max);
            Facet {
                places: [middle, corners[0], corners[1], corners[2], corners[3]],
                half: corners.iter().map(|&c| far(c, middle)).fold(0.0, f64::max),
                reach: SHARP * longest,
                moves: scene.steel[steel.body_of(panel)].moves,
            }
        };
        let facets: Vec<Facet> = steel.corners().into_iter().enumerate().map(facet).collect();
        let reach = facets.iter().map(|f| f.reach).fold(0.0, f64::max);
        Self { facets, reach }
    }

    /// How much farther from the steel than it must, to be told of, what moves against it is put by
    /// `world_from_rest`, m, if its `room` leaves that in doubt; else that room.
    pub fn room(&self, scene: &Scene, world_from_rest: Pose, room: f64) -> f64 {
        if room >= self.reach {
            return room;
        }
        let put = |moves: bool| if moves { world_from_rest } else { Pose::IDENTITY };
        let mut least = room;
        for body in &scene.bodies {
            // In the frame of the steel that does not go with it.
            let facet_from_body = put(!body.moves).inverse() * body.pose(world_from_rest);
            let placed = Placed { source: body.source, world_from_body: facet_from_body };
            let (middle, radius) = (facet_from_body.origin, body.source.bounding_radius());
            for facet in self.facets.iter().filter(|f| f.moves != body.moves) {
                let near = radius + facet.half + facet.reach;
                if far(facet.places[0], middle) >= near {
                    continue;
                }
                let away = facet.places.iter().map(|&place| placed.clearance(place));
                least = least.min(away.fold(f64::INFINITY, f64::min) - facet.reach);
            }
        }
        least
    }
}

fn far(p: [f64; 3], q: [f64; 3]) -> f64 {
    (0..3).map(|i| (p[i] - q[i]).powi(2)).sum::<f64>().sqrt()
}
