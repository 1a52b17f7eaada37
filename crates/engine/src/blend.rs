//! Kernels of contacts beside steel for any unit, blended from those of a few.
//!
//! A contact's kernels beside steel change smoothly with the places, sizes and permeabilities that they
//! depend on. The contacts are solved in the units of a stencil; polynomials through these solutions
//! serve all other units. Some that are none of the stencil's are solved as well, to see how good that is.

use crate::beside::Kernels;
use crate::error::EngineError;
use crate::fields::Fields;
use crate::passing::{Passing, Stretches, off};
use crate::quantity::{Level, Unit, Variables};
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::stencil::Stencil;
use rayon::prelude::*;
use reedmace_contact::KernelPair;
use std::sync::Arc;

/// Blended kernels serve when they change no drive by more than this share of it or of the operate
/// level, whichever is greater.
const ENOUGH: f64 = 1e-3;
/// Where steel moves past a contact, each unit solved anew would cost a solution for every place: there they
/// serve up to this, which is as good as its panels are asked to be. The answer tells how good.
const ENOUGH_PASSING: f64 = 6e-3;
/// Places along the sweep at which drives are compared; where each is to be solved, fewer.
const PLACES: [usize; 2] = [17, 5];
/// Solved kernels and how to blend them.
#[derive(Debug, Clone)]
pub(crate) struct Blend {
    stencil: Arc<Stencil>,
    contacts: Arc<Vec<Solved>>,
    /// Largest change of drive found against kernels solved for the very unit, over the drive or the
    /// operate level, whichever is greater.
    pub error: f64,
}

/// Kernels of one contact.
#[derive(Debug)]
struct Solved {
    /// The stretches of the sweep where steel moves beside it.
    stretches: Option<Arc<Stretches>>,
    /// At each of their shares, or once for the whole sweep: in each unit of the stencil.
    pairs: Vec<Vec<Arc<KernelPair>>>,
}

impl Workshop {
    /// The same workshop with kernels beside steel from which those of units are blended; as it is
    /// without steel, and where blending is not good enough. With the scene of the nominal unit.
    pub fn blending(&self, nominal: &Scene) -> Result<(Self, Scene), EngineError> {
        let workshop = Self { blend: Blend::new(self, nominal)?, ..self.clone() };
        let scene = workshop.scene(&vec![Level::Nominal; self.variables.len()])?;
        Ok((workshop, scene))
    }

    /// True when every unit has panels of steel to solve: their kernels could not be blended.
    pub fn solves_steel_anew(&self) -> bool {
        self.cut.is_some() && self.blend.is_none()
    }
}

impl Blend {
    /// Solves what the kernels of all units are blended from; `None` without steel, and where blending is
    /// not good enough.
    pub fn new(workshop: &Workshop, nominal: &Scene) -> Result<Option<Self>, EngineError> {
        if nominal.steel.is_empty() {
            return Ok(None);
        }
        let stencil = Stencil::new(workshop, |scene| {
            let [from, to] = scene.motion.range();
            let few = PLACES[1];
            let seen = |k: usize| {
                let at = from + (to - from) * k as f64 / (few - 1) as f64;
                let moved = scene.motion.world_from_rest(at);
                scene.reeds.iter().map(move |reed| {
                    let size = |of: &reedmace_contact::Circuit| *of.geometry();
                    let of = (size(&reed.solved.open), size(&reed.solved.closed));
                    (of, scene.seen_from(reed, moved))
                })
            };
            (0..few).flat_map(seen).collect::<Vec<_>>()
        })?;
        let scenes = stencil.units.iter().map(|unit| workshop.unsettled(unit));
        let scenes = scenes.collect::<Result<Vec<_>, _>>()?;
        let fields = Fields::new(workshop, nominal)?;
        let change = workshop.cut.map_or(0.0, |cut| cut.change);
        let contacts =
            (0..nominal.reeds.len()).map(|reed| Solved::new(&scenes, reed, &fields, change));
        let contacts = contacts.collect::<Result<Vec<_>, _>>()?;
        // Units differ in their count of panels or segments: nothing lies between them.
        if !contacts.iter().flat_map(|c| &c.pairs).all(|pairs| KernelPair::alike(pairs)) {
            return Ok(None);
        }
        let mut blend =
            Self { stencil: Arc::new(stencil), contacts: Arc::new(contacts), error: 0.0 };
        let others = blend.stencil.others(workshop.variables.len());
        let errors = others.par_iter().map(|unit| blend.error_of(workshop, unit));
        let errors = errors.collect::<Result<Vec<f64>, EngineError>>()?;
        blend.error = errors.into_iter().fold(0.0, f64::max);
        let passing = nominal.reeds.iter().any(|reed| nominal.steel_moves_beside(reed));
        let enough = if passing { ENOUGH_PASSING } else { ENOUGH };
        Ok((blend.error <= enough).then_some(blend))
    }

    /// How many units are solved.
    pub fn units(&self) -> usize {
        self.stencil.units.len()
    }

    /// The kernels of a unit with these values of its variables, whose sweep has this range.
    pub fn kernels(&self, values: &[f64], variables: &Variables, range: [f64; 2]) -> Vec<Kernels> {
        let weights = self.stencil.weights(values, variables);
        self.contacts.iter().map(|contact| contact.kernels(&weights, range)).collect()
    }

    /// How far the drives of a unit are off, over themselves or the operate level.
    fn error_of(&self, workshop: &Workshop, unit: &Unit) -> Result<f64, EngineError> {
        let scene = workshop.unsettled(unit)?;
        let [from, to] = scene.motion.range();
        let kernels =
            self.kernels(&workshop.values(unit), &workshop.variables, scene.motion.range());
        let mut worst = 0.0_f64;
        for (reed, kernels) in kernels.iter().enumerate() {
            let places = PLACES[usize::from(matches!(kernels, Kernels::Passing(_)))];
            for k in 0..places {
                let at = from + (to - from) * k as f64 / (places - 1) as f64;
                let solved = scene.pair(reed, scene.motion.world_from_rest(at))?;
                let error = match kernels {
                    Kernels::Still(pair) => off(&scene, reed, at, pair, &solved),
                    Kernels::Passing(passing) => off(&scene, reed, at, &passing.at(at), &solved),
                    Kernels::Anew => 0.0,
                };
                worst = worst.max(error / scene.reeds[reed].operate);
            }
        }
        Ok(worst)
    }
}

impl Solved {
    /// Contact `reed` in the scenes of the stencil's units, the nominal one first.
    fn new(
        scenes: &[Scene],
        reed: usize,
        fields: &Option<Fields>,
        change: f64,
    ) -> Result<Self, EngineError> {
        let nominal = &scenes[0];
        let thinning = fields.as_ref().map(|f| f.thinning(nominal, reed)).transpose()?;
        let (stretches, shares) = if nominal.steel_moves_beside(&nominal.reeds[reed]) {
            let stretches = Stretches::new(nominal, reed, change)?;
            let shares = stretches.shares.clone();
            (Some(Arc::new(stretches)), shares)
        } else {
            (None, vec![0.0])
        };
        // One unit after another: the shelf keeps the factored steel of few.
        let of_unit = |scene: &Scene| {
            let [from, to] = scene.motion.range();
            let pair = |share: &f64| {
                let at = scene.motion.world_from_rest(from + share * (to - from));
                let pair = scene.pair(reed, at)?;
                Ok(match &thinning {
                    Some(thinning) => Arc::new(pair.thinned(thinning)),
                    None => pair,
                })
            };
            shares.par_iter().map(pair).collect::<Result<Vec<_>, EngineError>>()
        };
        let units: Vec<Vec<Arc<KernelPair>>> = match shares.len() {
            1 => scenes.par_iter().map(of_unit).collect::<Result<_, EngineError>>()?,
            _ => scenes.iter().map(of_unit).collect::<Result<_, EngineError>>()?,
        };
        let at = |k: usize| units.iter().map(|pairs| pairs[k].clone()).collect();
        let pairs = (0..shares.len()).map(at).collect();
        Ok(Self { stretches, pairs })
    }

    fn kernels(&self, weights: &[f64], range: [f64; 2]) -> Kernels {
        let blend = |pairs: &Vec<Arc<KernelPair>>| {
            let parts = weights.iter().zip(pairs).filter(|(w, _)| **w != 0.0);
            let parts: Vec<(f64, &Arc<KernelPair>)> = parts.map(|(w, p)| (*w, p)).collect();
            match parts[..] {
                [(1.0, one)] => one.clone(),
                _ => {
                    let parts: Vec<_> = parts.iter().map(|(w, p)| (*w, &***p)).collect();
                    let blend = KernelPair::blend(&parts);
                    // Along a sweep it is blended once more.
                    Arc::new(if self.stretches.is_some() { blend } else { blend.compressed() })
                }
            }
        };
        match &self.stretches {
            None => Kernels::Still(blend(&self.pairs[0])),
            Some(stretches) => Kernels::Passing(Arc::new(Passing {
                stretches: stretches.clone(),
                pairs: self.pairs.iter().map(blend).collect(),
                range,
            })),
        }
    }
}
