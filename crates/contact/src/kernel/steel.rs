//! What the field of sources on steel beside a contact adds to its flux.

use super::Scratch;
use crate::thin::Thinning;
use reedmace_fields::steel::{self, Pieces, Steel};
use reedmace_fields::{Source, Vectors};
use std::sync::Arc;

/// A rule on the panels of steel beside the contact: Φ = Σ weight · normal · B over its points, Wb.
#[derive(Debug, Clone)]
pub(crate) struct SteelRule {
    pub at: Vectors,
    pub normals: Vectors,
    /// Wb/T.
    pub weights: Vec<f64>,
    /// What looks closer where a source comes near; `None` when the points are fixed.
    pub closer: Option<Closer>,
}

/// The steel, and the weight of each panel on the load there, Wb per A/m.
#[derive(Debug, Clone)]
pub(crate) struct Closer {
    steel: Arc<Steel>,
    per_panel: Vec<f64>,
}

impl SteelRule {
    /// From the weight of each panel on the load there, Wb per A/m.
    pub fn new(steel: Arc<Steel>, per_panel: Vec<f64>) -> Self {
        let fixed = Self::on(steel.rule(), &per_panel);
        Self { closer: Some(Closer { steel, per_panel }), ..fixed }
    }

    fn on(rule: &steel::SteelRule, per_panel: &[f64]) -> Self {
        Self {
            at: rule.points.clone(),
            normals: rule.normals.clone(),
            weights: rule.on_normal_field(per_panel),
            closer: None,
        }
    }

    /// The same with points fixed on these pieces of the panels.
    ///
    /// # Panics
    /// When they are fixed already.
    pub fn on_pieces(&self, pieces: &Pieces) -> Self {
        let Closer { steel, per_panel } = self.closer.as_ref().expect("points not yet fixed");
        Self::on(&steel.rule_on(pieces), per_panel)
    }

    /// The same on fewer points, fixed.
    pub fn thinned(&self, thinning: &Thinning) -> Self {
        let of = |v: &Vectors| Vectors {
            x: thinning.of(&v.x),
            y: thinning.of(&v.y),
            z: thinning.of(&v.z),
        };
        Self {
            at: of(&self.at),
            normals: of(&self.normals),
            weights: thinning.gathered(&self.weights),
            closer: None,
        }
    }

    /// Fluxes that `source` drives through the steel by rules on the same points, Wb.
    pub fn fluxes<const N: usize>(
        rules: [&Self; N],
        source: &dyn Source,
        scratch: &mut Scratch,
    ) -> [f64; N] {
        if let Some(Closer { steel, .. }) = &rules[0].closer {
            let pieces = steel.pieces(source);
            if !pieces.is_empty() {
                let rule = steel.rule_on(&pieces);
                let b = scratch.field(source, &rule.points);
                return rules.map(|it| {
                    let closer = it.closer.as_ref().expect("all rules are on the same points");
                    sum(&rule.on_normal_field(&closer.per_panel), &rule.normals, b)
                });
            }
        }
        let b = scratch.field(source, &rules[0].at);
        rules.map(|it| sum(&it.weights, &it.normals, b))
    }
}

fn sum(weights: &[f64], n: &Vectors, b: &Vectors) -> f64 {
    let along = |i: usize| n.x[i] * b.x[i] + n.y[i] * b.y[i] + n.z[i] * b.z[i];
    weights.iter().enumerate().map(|(i, w)| w * along(i)).sum()
}
