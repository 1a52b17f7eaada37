//! A body far away: its volume as a cloud of dipoles.

use std::f64::consts::PI;

use crate::Vectors;

/// Places, m, and volumes, m³: nodes and weights of a cubature over a body.
#[derive(Debug, Clone, Default)]
pub(crate) struct Dipoles {
    at: Vectors,
    volume: Vec<f64>,
}

impl Dipoles {
    pub fn push(&mut self, at: [f64; 3], volume: f64) {
        self.at.x.push(at[0]);
        self.at.y.push(at[1]);
        self.at.z.push(at[2]);
        self.volume.push(volume);
    }

    /// `μ0 H` of the body with polarization `j` (T) at a point outside.
    #[inline(always)]
    pub fn field(&self, j: [f64; 3], p: [f64; 3]) -> [f64; 3] {
        const LANES: usize = 8;
        let mut sums = [[0.0; LANES]; 3];
        let n = self.volume.len();
        let (x, y, z, v) = (&self.at.x[..n], &self.at.y[..n], &self.at.z[..n], &self.volume[..n]);
        let mut start = 0;
        while start < n {
            let count = LANES.min(n - start);
            for (k, i) in (start..start + count).enumerate() {
                let d = [p[0] - x[i], p[1] - y[i], p[2] - z[i]];
                let over2 = 1.0 / (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
                let weight = v[i] * over2 * over2.sqrt();
                let along = 3.0 * over2 * (d[0] * j[0] + d[1] * j[1] + d[2] * j[2]);
                sums[0][k] += weight * (along * d[0] - j[0]);
                sums[1][k] += weight * (along * d[1] - j[1]);
                sums[2][k] += weight * (along * d[2] - j[2]);
            }
            start += count;
        }
        sums.map(|lanes| lanes.iter().sum::<f64>() / (4.0 * PI))
    }
}
