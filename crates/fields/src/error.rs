//! What can be wrong with a source or a point.

/// Why a source cannot be made, or a field has no value at a point.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FieldError {
    /// A size is zero, negative, infinite or not a number.
    #[error("{name} must be a positive length, not {value} m")]
    NotPositive {
        /// Which size.
        name: &'static str,
        /// The value given, m.
        value: f64,
    },
    /// A value that may have either sign is infinite or not a number.
    #[error("{name} must be a finite number, not {value}")]
    NotFinite {
        /// Which quantity.
        name: &'static str,
        /// The value given, in its SI unit.
        value: f64,
    },
    /// The hole of a ring or coil is not smaller than its outside.
    #[error("inner radius {inner} m must be smaller than outer radius {outer} m")]
    InnerNotBelowOuter {
        /// Inner radius, m.
        inner: f64,
        /// Outer radius, m.
        outer: f64,
    },
    /// Corners do not bound a flat convex area.
    #[error("not a flat convex polygon: {reason}")]
    NotPolygon {
        /// What is wrong.
        reason: &'static str,
    },
    /// An edge of a triangulated solid does not belong to just two triangles that go round it opposite ways.
    #[error(
        "the surface is not closed: the edge from {from:?} m to {to:?} m is not shared by two triangles that agree which side is outside"
    )]
    MeshNotClosed {
        /// One end, m.
        from: [f64; 3],
        /// The other end, m.
        to: [f64; 3],
    },
    /// A triangulated solid encloses no volume, or its triangles face inward.
    #[error(
        "the surface encloses {volume} m³: its triangles must face outward and enclose a volume"
    )]
    MeshInsideOut {
        /// Volume by the triangles' order, m³.
        volume: f64,
    },
    /// A multipole ring without poles.
    #[error("a multipole ring needs at least one pole pair")]
    NoPoles,
    /// Angles do not span an arc.
    #[error("the segment must span more than 0 and less than a full turn, not {span} rad")]
    NotArc {
        /// End less start, rad.
        span: f64,
    },
    /// An integral has not come within its tolerance.
    #[error("not converged: the estimated relative error is still {estimate:e}")]
    NotConverged {
        /// Estimated relative error reached.
        estimate: f64,
    },
    /// The point lies on an edge, where the field grows without limit.
    #[error("the point lies on an edge of the source, where the field has no finite value")]
    OnEdge,
}

/// Refuses a size that is not a positive finite length.
pub(crate) fn positive(name: &'static str, value: f64) -> Result<(), FieldError> {
    if value > 0.0 && value.is_finite() {
        Ok(())
    } else {
        Err(FieldError::NotPositive { name, value })
    }
}

/// Refuses what is not a number.
pub(crate) fn finite(name: &'static str, value: f64) -> Result<(), FieldError> {
    if value.is_finite() { Ok(()) } else { Err(FieldError::NotFinite { name, value }) }
}

/// Refuses a tube whose hole is not smaller than its outside.
pub(crate) fn tube(inner: f64, outer: f64, half_length: f64) -> Result<(), FieldError> {
    positive("inner radius", inner)?;
    positive("outer radius", outer)?;
    positive("half length", half_length)?;
    if inner < outer { Ok(()) } else { Err(FieldError::InnerNotBelowOuter { inner, outer }) }
}
