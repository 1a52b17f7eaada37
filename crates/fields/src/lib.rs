//! Closed-form magnetostatic fields of magnets and coils.
//!
//! One source on a batch of points in structure-of-arrays form. Everything is SI: metres, tesla,
//! amperes. A source has its own frame; [`Placed`] puts it somewhere in the world.

mod any;
mod arc;
mod batch;
mod carrier;
mod coil;
mod cuboid;
mod cuboid_gradient;
mod cuboid_near;
mod current_loop;
mod cylinder;
mod demagnetizing;
mod dipole;
mod dipoles;
mod elliptic;
mod error;
mod force;
mod forms;
mod gradient;
pub mod iron;
mod magnet;
mod math;
mod mesh;
mod multipole_ring;
mod placed;
mod polygon;
mod pose;
mod potential;
mod quadrature;
mod racetrack;
mod ring_segment;
mod round;
mod round_gradient;
mod simd;
mod solenoid;
mod sphere;
pub mod steel;
#[cfg(test)]
#[path = "../tests/table/mod.rs"]
mod table;
mod winding;
mod wire;
mod zonal;

pub use any::{AnySource, Uniform};
pub use batch::{Points, Source, Vectors, VectorsMut};
pub use carrier::{Carrier, Cell, Element};
pub use coil::Coil;
pub use current_loop::Loop;
pub use demagnetizing::nagaoka;
pub use dipole::Dipole;
pub use error::FieldError;
pub use force::{Wrench, force};
pub use gradient::{Gradient, Gradients, GradientsMut};
pub use magnet::{Magnet, MagnetShape};
pub use mesh::{MeshMagnet, TriangleMesh};
pub use multipole_ring::{MultipoleRing, Poles};
pub use placed::Placed;
pub use polygon::ChargedPolygon;
pub use pose::Pose;
pub use potential::Potential;
pub use quadrature::gauss_legendre;
pub use racetrack::Racetrack;
pub use ring_segment::RingSegment;
pub use simd::vectorized;
pub use solenoid::Solenoid;
pub use wire::Wire;

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
pub const MU_0: f64 = 1.256_637_061_27e-6;
