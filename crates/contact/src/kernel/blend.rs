//! Kernels between kernels: weighted sums of their rules.

use super::{Kernel, KernelPair, Rule, SteelRule, Weights};
use crate::thin::Thinning;
use reedmace_fields::Vectors;
use reedmace_fields::steel::Pieces;
use std::sync::Arc;

impl KernelPair {
    /// True when the rules of all have as many points: kernels of one contact beside the same steel, at
    /// neighbouring places or with slightly different dimensions.
    pub fn alike(pairs: &[Arc<Self>]) -> bool {
        let points = |pair: &Self| {
            [&pair.open, &pair.closed].map(|k| {
                let steel = k.steel.as_ref().map(|s| s.at.len());
                (k.full.len(), k.axial.x.len(), k.normal.x.len(), steel)
            })
        };
        pairs.windows(2).all(|two| points(&two[0]) == points(&two[1]))
    }

    /// The weighted sum of [alike](Self::alike) kernels. Weights that add up to one blend between them,
    /// places and weights of the rules alike.
    ///
    /// Without compressed rules; see [`KernelPair::compressed`].
    ///
    /// # Panics
    /// Without parts.
    pub fn blend(parts: &[(f64, &Self)]) -> Self {
        let of = |state: fn(&Self) -> &Kernel| {
            Kernel::blend(&parts.iter().map(|(w, p)| (*w, state(p))).collect::<Vec<_>>())
        };
        Self { open: of(|p| &p.open), closed: of(|p| &p.closed), compressed: Vec::new() }
    }

    /// How much the normal field at each point on the steel weighs in the flux of the open contact, Wb/T;
    /// none without steel.
    pub fn steel_weights(&self) -> &[f64] {
        self.open.steel.as_ref().map_or(&[], |rule| &rule.weights)
    }

    /// The same with the points on the steel fixed: on these pieces of its panels, for sources that come
    /// no nearer than they were made for.
    ///
    /// # Panics
    /// When they are fixed already.
    pub fn on_pieces(&self, pieces: &Pieces) -> Self {
        self.with_steel_rules(|rule| rule.on_pieces(pieces))
    }

    /// The same with fewer points on the steel, for sources like those that `thinning` was made with.
    pub fn thinned(&self, thinning: &Thinning) -> Self {
        self.with_steel_rules(|rule| rule.thinned(thinning))
    }

    fn with_steel_rules(&self, made: impl Fn(&SteelRule) -> SteelRule) -> Self {
        let [open, closed] = [&self.open, &self.closed]
            .map(|k| Kernel { steel: k.steel.as_ref().map(&made), ..k.clone() });
        Self { open, closed, compressed: self.compressed.clone() }
    }

    /// The same with the compressed rules that serve sources farther off.
    pub fn compressed(&self) -> Self {
        Self::new(&self.open, &self.closed)
    }
}

impl Kernel {
    /// Weights per drive: the blend's uniform flux is one. It keeps no steps, which only circuits need.
    fn blend(parts: &[(f64, &Self)]) -> Self {
        let places = |of: &dyn Fn(&Self) -> &Vec<f64>| sum(parts.iter().map(|(w, k)| (*w, of(k))));
        let weights = |of: &dyn Fn(&Self) -> &Vec<f64>| {
            sum(parts.iter().map(|(w, k)| (w / k.uniform, of(k))))
        };
        let on_axis = |of: fn(&Self) -> &Weights| Weights {
            x: places(&|k| &of(k).x),
            w: weights(&|k| &of(k).w),
        };
        let steel = |of: &dyn Fn(&Self) -> &SteelRule| SteelRule {
            at: vectors(|c| places(&|k| c(&of(k).at))),
            normals: vectors(|c| places(&|k| c(&of(k).normals))),
            weights: weights(&|k| &of(k).weights),
            closer: None,
        };
        Self {
            full: Rule {
                at: vectors(|c| places(&|k| c(&k.full.at))),
                axial: weights(&|k| &k.full.axial),
                normal: weights(&|k| &k.full.normal),
            },
            axial: on_axis(|k| &k.axial),
            normal: on_axis(|k| &k.normal),
            steps: Vec::new(),
            line: [0, 1].map(|i| parts.iter().map(|(w, k)| w * k.line[i]).sum()),
            uniform: 1.0,
            steel: parts[0].1.steel.is_some().then(|| {
                steel(&|k| k.steel.as_ref().expect("alike kernels all have steel if one has"))
            }),
        }
    }
}

fn sum<'a>(mut parts: impl Iterator<Item = (f64, &'a Vec<f64>)>) -> Vec<f64> {
    let (weight, first) = parts.next().expect("a blend has parts");
    let mut sum: Vec<f64> = first.iter().map(|v| weight * v).collect();
    for (weight, values) in parts {
        sum.iter_mut().zip(values).for_each(|(sum, v)| *sum += weight * v);
    }
    sum
}

/// All three components, each from what picks it out of vectors.
fn vectors(component: impl Fn(&dyn Fn(&Vectors) -> &Vec<f64>) -> Vec<f64>) -> Vectors {
    Vectors {
        x: component(&|v: &Vectors| &v.x),
        y: component(&|v: &Vectors| &v.y),
        z: component(&|v: &Vectors| &v.z),
    }
}
