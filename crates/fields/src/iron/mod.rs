//! Nonlinear soft iron: blocks cut into cells, each with the flux through its faces, and a B-H curve.
//!
//! Where iron is thin and highly permeable the polarization of neighbouring cells nearly cancels on their
//! common face, and a method whose unknowns are polarizations lives on the small difference. Here the
//! unknowns are the mean flux densities through the faces (the lowest order of the face elements used for
//! volume integrals by `[levan2015]`), which are continuous from cell to cell by construction. The iron is
//! then a network: cells are nodes with a magnetic potential u, faces are branches. With everything in
//! tesla, h = μ0 H and n = h/B the curve's relative reluctivity, it obeys
//!
//! ```text
//! between cells a and b     u_a − u_b + ∫B0·dl = ½ d_a n_a b + ½ d_b n_b b
//! from cell a to the air    u_a − ψ   + ∫B0·dl = ½ d_a n_a b
//! in every cell             Σ b A outwards = 0
//! ψ on an outer face        (1/4π) Σ σ ∫∫ dS/r, averaged over the face
//! ```
//!
//! ψ is the potential of the magnetic charge of all iron: J·n = (1 − n) b on outer faces, and on inner
//! faces the small jump of (1 − n) b. The source enters only through its line integral from centre to
//! centre, so iron that closes round a current feels all of its ampere-turns. The charge of every body
//! adds up to zero exactly.
//!
//! Newton's rule with the exact tangent and a halved step where a whole one does not help: six to nine
//! steps in every case of the tests, from no field at all.
//!
//! Measured:
//!
//! | case | cells | error | test |
//! |---|---|---|---|
//! | moment of a cube, μr = 10⁶, in a uniform field | 4³, 8³, 12³ | −1.9, −0.4, −0.13 % | `val_cube_of_infinite_permeability` |
//! | moment of prisms, μr = 1.02 | 6³ | below 0.03 % | `cross_weak_prisms_demagnetize_as_uniform_ones` |
//! | steel plates with gaps round a coil, mean B of 25 sections | 1945 unknowns | −1.2 … +6.3 % of measured | `val_steel_plates_round_a_coil` |
//! | the same, from a cut half as fine | 946 unknowns | 1 % apart | |
//!
//! Limits: no hysteresis, no eddy currents, no anisotropy. Cells that face each other across a narrow gap
//! should be cut alike: staggered ones were 4 % off on the plates. In one cell the reluctivity is constant,
//! so where B varies much within it and the iron is saturated, the polarization varies too much.

mod body;
mod curve;
mod error;
mod magnetized;
mod mesh;
mod mutual;
mod network;
mod orbits;
mod rectangle;
mod solve;
mod step;
mod symmetry;
mod table;

pub use body::{IronBody, evenly, graded};
pub use curve::{BhCurve, CurveError};
pub use error::IronError;
pub use magnetized::Magnetized;
pub use solve::{NonlinearIron, Progress};
pub use symmetry::Symmetry;

pub(crate) use rectangle::rectangle_field;
