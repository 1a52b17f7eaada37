//! Kernels between kernels: weighted sums of their rules.

use super::{Kernel, KernelPair, Rule, SteelRule, Weights};
use crate::thin::Thinning;
use reedmace_fields::Vectors;
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

    /// How much the normal field at each panel of the steel weighs in the flux of the open contact, Wb/T;
    /// none without steel.
    pub fn panel_weights(&self) -> &[f64] {
        self.open.steel.as_ref().map_or(&[], |rule| &rule.weights)
    }

    /// The same with a rule on fewer panels, for sources like those that `thinning` was made with.
    pub fn thinned(&self, thinning: &Thinning) -> Self {
        let [open, closed] = [&self.open, &self.closed].map(|k| Kernel {
            steel: k.steel.as_ref().map(|rule| rule.thinned(thinning)),
            ..k.clone()
        });
        Self { open, closed, compressed: self.compressed.clone() }
    }

    /// The same with the compressed rules that serve sources farther off.
    pub fn compressed(&self) -> Self {
        Self::new(&self.open, &self.closed)
    }
}

impl SteelRule {
    fn thinned(&self, thinning: &Thinning) -> Self {
        let of = |v: &Vectors| Vectors {
            x: thinning.of(&v.x),
            y: thinning.of(&v.y),
            z: thinning.of(&v.z),
        };
        let weights = thinning.gathered(&self.weights);
        Self { at: of(&self.at), normals: of(&self.normals), weights }
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
