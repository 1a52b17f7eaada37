//! Scrambled Sobol points: unit `i` of a seed, anywhere and on any machine the same.

use crate::{Directions, SamplingError, scramble::Scramble};

/// Points of the open unit cube that fill it more evenly than chance, each uniform by itself: Sobol points
/// `[joe2008]` under nested uniform scrambling `[owen1995]`, with one scramble or several independent ones.
///
/// Unit `i` is a pure function of seed, number of scrambles and `i`, in integer arithmetic: the same bits
/// from any block, thread, shard or machine. With R scrambles, unit `i` is point `i / R` of scramble
/// `i % R`; so any stretch of units has nearly the same number of each, and what differs between them tells
/// how far off the whole may be ([`Tally`](crate::Tally)).
///
/// Each scramble alone: of any 2^m of its points that begin at a multiple of 2^m, every dyadic interval of
/// length 2^−m along any one coordinate holds exactly one, and boxes hold their share as far as the
/// direction numbers provide.
///
/// ```
/// let points = reedmace_sampling::Sobol::new(7, 3)?;
/// let mut block = [0.0; 4 * 3];
/// points.fill(1 << 40, &mut block);
/// assert_eq!(points.point((1 << 40) + 2), block[6..9]);
/// assert!(block.iter().all(|u| 0.0 < *u && *u < 1.0));
/// # Ok::<(), reedmace_sampling::SamplingError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Sobol {
    directions: Directions,
    /// One per coordinate, scramble after scramble.
    scrambles: Vec<Scramble>,
}

impl Sobol {
    /// Points of one scramble.
    ///
    /// # Errors
    /// If there are no dimensions or more than [`MOST_DIMENSIONS`](crate::MOST_DIMENSIONS).
    pub fn new(seed: u64, dimensions: usize) -> Result<Self, SamplingError> {
        Self::replicated(seed, dimensions, 1)
    }

    /// Points of `scrambles` independent scrambles in turn. The first is that of [`Sobol::new`].
    ///
    /// # Errors
    /// If there are no dimensions or more than [`MOST_DIMENSIONS`](crate::MOST_DIMENSIONS), or no scramble.
    pub fn replicated(
        seed: u64,
        dimensions: usize,
        scrambles: usize,
    ) -> Result<Self, SamplingError> {
        if scrambles == 0 {
            return Err(SamplingError::NoScramble);
        }
        let directions = Directions::new(dimensions)?;
        let scrambles = (0..scrambles as u64)
            .flat_map(|s| (0..dimensions as u64).map(move |d| Scramble::new(seed, s, d)))
            .collect();
        Ok(Self { directions, scrambles })
    }

    /// Coordinates of a point.
    #[must_use]
    pub fn dimensions(&self) -> usize {
        self.directions.dimensions()
    }

    /// Number of scrambles that take turns.
    #[must_use]
    pub fn scrambles(&self) -> usize {
        self.scrambles.len() / self.dimensions()
    }

    /// Unit `unit`, each coordinate in (0, 1).
    #[must_use]
    pub fn point(&self, unit: u64) -> Vec<f64> {
        let mut point = vec![0.0; self.dimensions()];
        self.fill(unit, &mut point);
        point
    }

    /// Units `first`, `first + 1`, … one after the other, as many as `points` has room for; each
    /// coordinate in (0, 1), an odd multiple of 2⁻⁵³.
    ///
    /// # Panics
    /// If the length of `points` is no multiple of the dimensions.
    pub fn fill(&self, first: u64, points: &mut [f64]) {
        let dimensions = self.dimensions();
        assert!(points.len().is_multiple_of(dimensions), "room for whole points only");
        let scrambles = self.scrambles() as u64;
        let mut index = first / scrambles;
        let mut scramble = (first % scrambles) as usize;
        let mut mirrored = self.directions.mirrored(index);
        for point in points.chunks_exact_mut(dimensions) {
            if scramble as u64 == scrambles {
                scramble = 0;
                index = index.wrapping_add(1);
                self.directions.step(&mut mirrored, index);
            }
            let own = &self.scrambles[scramble * dimensions..][..dimensions];
            for ((coordinate, digits), own) in point.iter_mut().zip(&mirrored).zip(own) {
                *coordinate = fraction(own.apply(*digits));
            }
            scramble += 1;
        }
    }
}

/// The middle of the cell of width 2⁻⁵² that mirrored digits lie in.
#[inline]
fn fraction(mirrored: u64) -> f64 {
    const CELL: f64 = 1.0 / (1u64 << 52) as f64;
    ((mirrored.reverse_bits() >> 12) as f64 + 0.5) * CELL
}
