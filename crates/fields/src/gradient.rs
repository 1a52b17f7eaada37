//! The gradient of B: nine numbers of which symmetry leaves six and the trace five.

use crate::{Placed, Points, Pose, Source, Vectors};

/// A batch of symmetric 3 × 3 tensors to be added to: `∂B_i/∂x_k`, T/m.
#[derive(Debug)]
pub struct GradientsMut<'a> {
    /// `∂B_x/∂x`.
    pub xx: &'a mut [f64],
    /// `∂B_y/∂y`.
    pub yy: &'a mut [f64],
    /// `∂B_z/∂z`, minus the other two.
    pub zz: &'a mut [f64],
    /// `∂B_x/∂y = ∂B_y/∂x`.
    pub xy: &'a mut [f64],
    /// `∂B_y/∂z = ∂B_z/∂y`.
    pub yz: &'a mut [f64],
    /// `∂B_z/∂x = ∂B_x/∂z`.
    pub zx: &'a mut [f64],
}

impl<'a> GradientsMut<'a> {
    /// The six slices, `xx yy zz xy yz zx`.
    pub(crate) fn slices(self) -> [&'a mut [f64]; 6] {
        [self.xx, self.yy, self.zz, self.xy, self.yz, self.zx]
    }
    fn from_slices([xx, yy, zz, xy, yz, zx]: [&'a mut [f64]; 6]) -> Self {
        Self { xx, yy, zz, xy, yz, zx }
    }
}

/// An owned batch of symmetric tensors, T/m; see [`GradientsMut`].
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Gradients {
    /// `xx yy zz xy yz zx`.
    parts: [Vec<f64>; 6],
}

impl Gradients {
    /// `n` zero tensors.
    pub fn zeros(n: usize) -> Self {
        Self { parts: std::array::from_fn(|_| vec![0.0; n]) }
    }
    /// The `i`-th tensor, rows B_x, B_y, B_z.
    pub fn get(&self, i: usize) -> [[f64; 3]; 3] {
        let [xx, yy, zz, xy, yz, zx] = self.parts.each_ref().map(|part| part[i]);
        [[xx, xy, zx], [xy, yy, yz], [zx, yz, zz]]
    }
    /// As tensors to add to.
    pub fn view_mut(&mut self) -> GradientsMut<'_> {
        GradientsMut::from_slices(self.parts.each_mut().map(Vec::as_mut_slice))
    }
}

/// A source whose gradient is known in closed form.
pub trait Gradient: Source {
    /// Adds `∂B_i/∂x_k` (T/m) at each point (m) to `out`.
    ///
    /// On a surface or a current, where B jumps, any finite value stands.
    fn add_gradient(&self, at: Points<'_>, out: GradientsMut<'_>);

    /// The gradient at one point, rows B_x, B_y, B_z, T/m.
    fn gradient(&self, [x, y, z]: [f64; 3]) -> [[f64; 3]; 3] {
        let mut one = Gradients::zeros(1);
        self.add_gradient(Points { x: &[x], y: &[y], z: &[z] }, one.view_mut());
        one.get(0)
    }
}

impl<S: Gradient> Gradient for Placed<S> {
    fn add_gradient(&self, at: Points<'_>, out: GradientsMut<'_>) {
        let pose = self.world_from_body;
        let there = Vectors::from_rows((0..at.len()).map(|i| pose.apply_inverse(at.get(i))));
        let mut body = Gradients::zeros(at.len());
        self.source.add_gradient(there.points(), body.view_mut());
        for i in 0..at.len() {
            let [[xx, xy, zx], [_, yy, yz], [_, _, zz]] = turned(&pose, body.get(i));
            out.xx[i] += xx;
            out.yy[i] += yy;
            out.zz[i] += zz;
            out.xy[i] += xy;
            out.yz[i] += yz;
            out.zx[i] += zx;
        }
    }
}

/// `R g Rᵀ`.
fn turned(pose: &Pose, g: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let r = pose.rotation;
    let rg: [[f64; 3]; 3] =
        std::array::from_fn(|i| std::array::from_fn(|k| (0..3).map(|n| r[i][n] * g[n][k]).sum()));
    std::array::from_fn(|i| std::array::from_fn(|k| (0..3).map(|n| rg[i][n] * r[k][n]).sum()))
}
