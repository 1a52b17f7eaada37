//! What sources make on the panels of steel along the sweep: where it needs be looked at.

use crate::error::EngineError;
use crate::quantity::Level;
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::track::first_places;
use rayon::prelude::*;
use reedmace_contact::Thinning;
use reedmace_fields::Pose;
use reedmace_fields::steel::Pieces;
use std::sync::Arc;

/// Places along the sweep at which the field on the steel is sampled, nominally and with a quantity at a
/// limit.
const MANY: usize = 60;
const FEW: usize = 10;
/// Share of the greatest field on a panel, weighted, below which panels tell nothing new.
const THIN: f64 = 1e-6;

/// Steps of the sweep at which the distance of the sources from the steel is taken, the share of it that
/// is counted on in every unit, and how often a panel is halved at most.
const PASSING: usize = 48;
const MARGIN: f64 = 0.7;
const HALVINGS: usize = 4;

/// The pieces of panels that the sources need along the sweep.
pub(crate) fn pieces(nominal: &Scene) -> Pieces {
    let [from, to] = nominal.motion.range();
    let even = (0..=PASSING).map(|k| from + (to - from) * k as f64 / PASSING as f64);
    let coordinates: Vec<f64> = even.chain(nominal.motion.corners()).collect();
    nominal.pieces(&coordinates, MARGIN, HALVINGS)
}

/// What the sources of units make at the points on these pieces of the steel.
pub(crate) struct Fields {
    pieces: Arc<Pieces>,
    rows: Vec<Vec<f64>>,
}

impl Fields {
    /// Along the sweep, nominally, and with each quantity at its limits at some of the places; `None`
    /// where bodies of steel move against each other.
    pub fn new(
        workshop: &Workshop,
        nominal: &Scene,
        pieces: &Arc<Pieces>,
    ) -> Result<Option<Self>, EngineError> {
        if !nominal.steel_is_one() {
            return Ok(None);
        }
        let rule = nominal.factored(Pose::IDENTITY).rule_on(pieces);
        let places = |reed: usize| first_places(nominal, reed);
        let mut places: Vec<f64> = (0..nominal.reeds.len()).flat_map(places).collect();
        places.sort_by(f64::total_cmp);
        places.dedup();
        let [from, to] = nominal.motion.range();
        let shares: Vec<f64> = places.iter().map(|c| (c - from) / (to - from)).collect();
        let some = |count: usize| {
            let step = shares.len().div_ceil(count);
            shares.iter().copied().step_by(step).chain([1.0]).collect::<Vec<f64>>()
        };
        let mut units = vec![(vec![Level::Nominal; workshop.variables.len()], some(MANY))];
        for v in 0..workshop.variables.len() {
            for level in [Level::LOW, Level::HIGH] {
                let mut unit = vec![Level::Nominal; workshop.variables.len()];
                unit[v] = level;
                units.push((unit, some(FEW)));
            }
        }
        let rows = units.par_iter().map(|(unit, shares)| {
            let scene = workshop.unsettled(unit)?;
            let [from, to] = scene.motion.range();
            let at = |share: &f64| scene.fields_on(&rule, from + share * (to - from));
            Ok(shares.iter().flat_map(at).collect::<Vec<_>>())
        });
        let rows = rows.collect::<Result<Vec<_>, EngineError>>()?.concat();
        Ok(Some(Self { pieces: pieces.clone(), rows }))
    }

    /// The points that tell these fields for a contact.
    pub fn thinning(&self, nominal: &Scene, reed: usize) -> Result<Thinning, EngineError> {
        let pair = nominal.pair(reed, Pose::IDENTITY, &self.pieces)?;
        let weights = match nominal.steel_moves_beside(&nominal.reeds[reed]) {
            // Every panel may come to be the nearest.
            true => &vec![1.0; pair.steel_weights().len()],
            false => pair.steel_weights(),
        };
        Ok(Thinning::new(&self.rows, weights, THIN))
    }
}
