//! What sources make on the panels of steel along the sweep: which of the panels need be looked at.

use crate::error::EngineError;
use crate::quantity::Level;
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::track::first_places;
use rayon::prelude::*;
use reedmace_contact::Thinning;
use reedmace_fields::Pose;

/// Places along the sweep at which the field on the steel is sampled, nominally and with a quantity at a
/// limit.
const MANY: usize = 60;
const FEW: usize = 10;
/// Share of the greatest field on a panel, weighted, below which panels tell nothing new.
const THIN: f64 = 1e-6;

/// What the sources of units make on the panels of the steel.
pub(crate) struct Fields(Vec<Vec<f64>>);

impl Fields {
    /// Along the sweep, nominally, and with each quantity at its limits at some of the places; `None`
    /// where bodies of steel move against each other.
    pub fn new(workshop: &Workshop, nominal: &Scene) -> Result<Option<Self>, EngineError> {
        if !nominal.steel_is_one() {
            return Ok(None);
        }
        let steel = nominal.factored(Pose::IDENTITY);
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
            let at = |share: &f64| scene.fields_on(&steel, from + share * (to - from));
            Ok(shares.iter().flat_map(at).collect::<Vec<_>>())
        });
        Ok(Some(Self(rows.collect::<Result<Vec<_>, EngineError>>()?.concat())))
    }

    /// The panels that tell these fields for a contact.
    pub fn thinning(&self, nominal: &Scene, reed: usize) -> Result<Thinning, EngineError> {
        let moves = nominal.steel_moves_beside(&nominal.reeds[reed]);
        let weights = match moves {
            // Every panel may come to be the nearest.
            true => nominal.factored(Pose::IDENTITY).areas(),
            false => nominal.pair(reed, Pose::IDENTITY)?.panel_weights().to_vec(),
        };
        Ok(Thinning::new(&self.0, &weights, THIN))
    }
}
