//! The circuit against finite elements and the laws it obeys.

mod fem;
mod laws;
mod neighbours;
mod pull;
mod reeds;
mod saturation;
mod steel;
