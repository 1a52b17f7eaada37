//! The ring with poles round it, of ring segments.

use std::f64::consts::{PI, TAU};

use crate::carrier::{Carrier, Cell};
use crate::error::finite;
use crate::{FieldError, Points, RingSegment, Source, VectorsMut};

/// Which way the poles of a [`MultipoleRing`] point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Poles {
    /// Along the radius of each pole's middle, outward and inward in turn.
    Radial,
    /// Along z, up and down in turn.
    Axial,
}

/// A ring about z of equal segments, polarized the opposite way in turn; the first is a north pole (outward or
/// up) with its middle on the x axis.
#[derive(Debug, Clone, PartialEq)]
pub struct MultipoleRing {
    segments: Vec<RingSegment>,
}

impl MultipoleRing {
    /// A ring of `pole_pairs` pairs by its radii and half length (m), with polarization (T) of each pole.
    ///
    /// # Errors
    /// Sizes as in [`RingSegment::new`], no pole pair, a polarization that is not finite.
    pub fn new(
        radii: [f64; 2],
        half_length: f64,
        pole_pairs: u32,
        poles: Poles,
        polarization: f64,
    ) -> Result<Self, FieldError> {
        finite("polarization", polarization)?;
        if pole_pairs == 0 {
            return Err(FieldError::NoPoles);
        }
        let width = PI / f64::from(pole_pairs);
        let segment = |k: u32| {
            let middle = TAU * f64::from(k) / f64::from(2 * pole_pairs);
            let j = if k.is_multiple_of(2) { polarization } else { -polarization };
            let (sine, cosine) = middle.sin_cos();
            let j = match poles {
                Poles::Radial => [j * cosine, j * sine, 0.0],
                Poles::Axial => [0.0, 0.0, j],
            };
            RingSegment::new(radii, half_length, [middle - 0.5 * width, middle + 0.5 * width], j)
        };
        let segments = (0..2 * pole_pairs).map(segment).collect::<Result<_, _>>()?;
        Ok(Self { segments })
    }

    /// The segments, the first about the x axis.
    pub fn segments(&self) -> &[RingSegment] {
        &self.segments
    }
}

impl Source for MultipoleRing {
    fn add_b(&self, at: Points<'_>, mut out: VectorsMut<'_>) {
        for segment in &self.segments {
            segment.add_b(at, out.range(0, at.len()));
        }
    }
    fn bounding_radius(&self) -> f64 {
        self.segments.first().map_or(0.0, Source::bounding_radius)
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        self.segments.iter().map(|s| s.clearance(point)).fold(f64::INFINITY, f64::min)
    }
}

impl Carrier for MultipoleRing {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        let mut cells = Vec::new();
        for segment in &self.segments {
            cells.extend(segment.cells()?);
        }
        Ok(cells)
    }
    fn reach(&self) -> f64 {
        self.bounding_radius()
    }
}
