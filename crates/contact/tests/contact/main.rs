//! The circuit against finite elements and the laws it obeys.

mod fem;
mod laws;
mod neighbours;
mod saturation;
mod steel;
