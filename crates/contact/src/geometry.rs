//! What a contact is made of, as the circuit sees it.

use reedmace_units::{Length, Quantity, Ratio};

/// Dimensions and permeability of a reed contact with two like blades.
///
/// The left blade lies below the gap and ends at `x = +overlap/2`; the right one is its image under
/// (x, z) → (−x, −z). Each round lead is coaxial with its blade's centre line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geometry {
    /// Diameter of the round leads.
    pub lead_diameter: Length,
    /// Lead tip to lead tip.
    pub overall_length: Length,
    /// Between the two round-to-flat transitions.
    pub blade_span: Length,
    /// Width of the flat blades.
    pub blade_width: Length,
    /// Thickness of the flat blades.
    pub blade_thickness: Length,
    /// Length over which the blades overlap.
    pub overlap: Length,
    /// Distance between the iron of the two blades.
    pub gap: Length,
    /// Relative permeability of blades and leads.
    pub permeability: Ratio,
}

/// A geometry that no contact can have.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GeometryError {
    /// A dimension is zero, negative or not a number.
    #[error("{what} must be greater than zero")]
    NotPositive {
        /// Which.
        what: &'static str,
    },
    /// The overlap does not fit on the blades.
    #[error("the overlap must be shorter than the blade span")]
    OverlapTooLong,
    /// The blades do not fit between the lead tips.
    #[error("the blade span must not exceed the overall length")]
    BladesTooLong,
}

impl Geometry {
    /// Checks that the geometry can exist.
    ///
    /// # Errors
    /// [`GeometryError`] names the first dimension that cannot be.
    pub fn check(&self) -> Result<(), GeometryError> {
        let positive = [
            ("lead diameter", self.lead_diameter.si()),
            ("overall length", self.overall_length.si()),
            ("blade span", self.blade_span.si()),
            ("blade width", self.blade_width.si()),
            ("blade thickness", self.blade_thickness.si()),
            ("overlap", self.overlap.si()),
            ("gap", self.gap.si()),
            ("permeability", self.permeability.si()),
        ];
        if let Some((what, _)) = positive.into_iter().find(|(_, v)| !(*v > 0.0 && v.is_finite())) {
            return Err(GeometryError::NotPositive { what });
        }
        if self.overlap >= self.blade_span {
            return Err(GeometryError::OverlapTooLong);
        }
        if self.blade_span > self.overall_length {
            return Err(GeometryError::BladesTooLong);
        }
        Ok(())
    }

    /// The same contact closed: the iron of the blades is `metal` apart, the total thickness of the
    /// contact metals on both blades.
    pub fn closed(self, metal: Length) -> Self {
        Self { gap: metal, ..self }
    }
}
