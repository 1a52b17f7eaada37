//! The reed contact as a magnetic circuit, and its reciprocity kernel.
//!
//! A reed contact is not a point sensor: its blades and leads collect flux along their whole
//! length. [`Circuit`] cuts them into segments that exchange flux through the air, the iron and the
//! gap; one adjoint solve turns that into a [`Kernel`], a set of weights along the contact with
//! which the flux that *any* field drives through the gap is a weighted sum of field values.
//!
//! Frame: x along the contact from the left (lower) blade to the right (upper) one, z along the gap
//! normal, the origin in the middle of the gap.

mod air;
mod along;
mod beside;
mod branch;
mod calibration;
mod circuit;
mod curve;
mod cut;
mod gauss;
mod geometry;
mod kernel;
mod neighbours;
mod pull;
mod saturation;
mod section;
mod thin;

pub use along::Along;
pub use beside::Beside;
pub use calibration::{Calibration, TestCoil};
pub use circuit::{BladeFlux, Circuit, CircuitError};
pub use geometry::{Geometry, GeometryError};
pub use kernel::{Kernel, KernelPair, Rule, Scratch};
pub use neighbours::{Neighbour, Neighbours, Potentials};
pub use pull::Pull;
pub use saturation::{Saturated, SaturationError};
pub use thin::Thinning;
