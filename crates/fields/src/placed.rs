//! A source with a place in the world.

use crate::{Points, Pose, Source, VectorsMut};

/// A source with a place in the world: itself a [`Source`], in world coordinates.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed<S> {
    /// The source in its own frame.
    pub source: S,
    /// `world_from_body`.
    pub world_from_body: Pose,
}

/// Points transformed at a time: six arrays of this length live on the stack (3 KiB), which a handful of
/// points must not wait for long to be cleared.
const CHUNK: usize = 64;

impl<S: Source> Source for Placed<S> {
    fn add_b(&self, at: Points<'_>, mut out: VectorsMut<'_>) {
        let mut point = [[0.0; CHUNK]; 3];
        let mut field = [[0.0; CHUNK]; 3];
        let [o0, o1, o2] = self.world_from_body.origin;
        let [[r00, r01, r02], [r10, r11, r12], [r20, r21, r22]] = self.world_from_body.rotation;
        let mut start = 0;
        while start < at.len() {
            let n = CHUNK.min(at.len() - start);
            let chunk = at.range(start, n);
            let [px, py, pz] = &mut point;
            let (px, py, pz) = (&mut px[..n], &mut py[..n], &mut pz[..n]);
            for i in 0..n {
                let (x, y, z) = (chunk.x[i] - o0, chunk.y[i] - o1, chunk.z[i] - o2);
                px[i] = r00 * x + r10 * y + r20 * z;
                py[i] = r01 * x + r11 * y + r21 * z;
                pz[i] = r02 * x + r12 * y + r22 * z;
            }
            let [fx, fy, fz] = &mut field;
            let (fx, fy, fz) = (&mut fx[..n], &mut fy[..n], &mut fz[..n]);
            fx.fill(0.0);
            fy.fill(0.0);
            fz.fill(0.0);
            self.source.add_b(Points { x: px, y: py, z: pz }, VectorsMut { x: fx, y: fy, z: fz });
            let out = out.range(start, n);
            for i in 0..n {
                out.x[i] += r00 * fx[i] + r01 * fy[i] + r02 * fz[i];
                out.y[i] += r10 * fx[i] + r11 * fy[i] + r12 * fz[i];
                out.z[i] += r20 * fx[i] + r21 * fy[i] + r22 * fz[i];
            }
            start += n;
        }
    }

    /// About the world's origin: the source's own radius plus how far out it sits.
    fn bounding_radius(&self) -> f64 {
        let [x, y, z] = self.world_from_body.origin;
        self.source.bounding_radius() + (x * x + y * y + z * z).sqrt()
    }

    fn clearance(&self, point: [f64; 3]) -> f64 {
        self.source.clearance(self.world_from_body.apply_inverse(point))
    }
}
