//! Symmetry of iron and source about planes and axes through the world's origin.

/// Reflections of the world's axes under which iron and source repeat themselves.
///
/// Only one cell of each set of partners is solved for: with two symmetries a quarter of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Symmetry {
    /// For each member of the group: factors on the coordinates, and on the potential.
    pub(super) images: Vec<([f64; 3], f64)>,
}

impl Symmetry {
    /// None.
    pub const fn none() -> Self {
        Self { images: Vec::new() }
    }

    /// A mirror plane across `axis` (0, 1, 2 for x, y, z) that flux passes at right angles.
    pub fn flux_across(self, axis: usize) -> Self {
        self.with(&[axis], -1.0)
    }

    /// A mirror plane across `axis` that no flux passes.
    pub fn flux_along(self, axis: usize) -> Self {
        self.with(&[axis], 1.0)
    }

    /// Half a turn about `axis` that leaves the flux along it as it is.
    pub fn half_turn(self, axis: usize) -> Self {
        self.with(&[(axis + 1) % 3, (axis + 2) % 3], 1.0)
    }

    fn with(mut self, reversed: &[usize], potential: f64) -> Self {
        let mut factors = [1.0; 3];
        for &axis in reversed {
            factors[axis % 3] = -1.0;
        }
        let mut more = vec![(factors, potential)];
        for (earlier, sign) in &self.images {
            let both = std::array::from_fn(|i| earlier[i] * factors[i]);
            more.push((both, sign * potential));
        }
        for image in more {
            let known = image.0 == [1.0; 3] || self.images.iter().any(|known| known.0 == image.0);
            if !known {
                self.images.push(image);
            }
        }
        self
    }

    /// All members of the group, the identity first.
    pub(super) fn group(&self) -> Vec<([f64; 3], f64)> {
        let mut group = vec![([1.0; 3], 1.0)];
        group.extend_from_slice(&self.images);
        group
    }
}
