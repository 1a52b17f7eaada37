//! Many sources as one.

use reedmace_fields::{AnySource, Placed, Points, Source, Vectors, VectorsMut};

/// All that the sweep adds up to at one coordinate, in one frame: each source with its strength.
pub(crate) struct Together(pub Vec<(f64, Placed<AnySource>)>);

impl Source for Together {
    fn add_b(&self, at: Points<'_>, mut out: VectorsMut<'_>) {
        let n = at.x.len();
        for (strength, source) in &self.0 {
            let mut b = Vectors::zeros(n);
            source.add_b(at, b.view_mut());
            for (to, from) in [(&mut out.x, &b.x), (&mut out.y, &b.y), (&mut out.z, &b.z)] {
                to.iter_mut().zip(from).for_each(|(t, f)| *t += strength * f);
            }
        }
    }
    fn bounding_radius(&self) -> f64 {
        self.0.iter().map(|(_, s)| s.bounding_radius()).fold(0.0, f64::max)
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        self.0.iter().map(|(_, s)| s.clearance(point)).fold(f64::INFINITY, f64::min)
    }
}
