//! What a contact is made of, as far as stated.

use crate::value::Value;
use reedmace_applied::network::ArcLimits;
use reedmace_materials::ContactMetal;
use reedmace_units::Resistance;

/// What a contact is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Construction {
    /// Metal of the faces.
    pub metal: Option<ContactMetal>,
    /// Resistance of the closed contact with its leads.
    pub resistance: Value<Resistance>,
}

impl Construction {
    /// Least voltage and current of an arc between its faces, if its metal is stated and they are known.
    pub fn arc_limits(&self) -> Option<ArcLimits> {
        reedmace_applied::arcs::limits(self.metal.as_ref()?)
    }
}
