//! Formulas of the trades that use reed contacts: numbers in, numbers out, one subject per file.
//!
//! Nothing here knows a contact, a design or a tolerance; `engine` brings these together with what the
//! contacts do, and `design` asks for the words a file may use.

pub mod arcs;
pub mod beam;
pub mod conductor;
pub mod float;
pub mod flow;
pub mod fouling;
pub mod heating;
pub mod holm;
pub mod inductance;
pub mod inrush;
pub mod ladder;
pub mod life;
mod linear;
pub mod load_circuit;
pub mod motion;
pub mod mttfd;
pub mod network;
pub mod paschen;
pub mod preferred;
pub mod protect;
pub mod pull_in;
pub mod pulls;
pub mod pulses;
mod quadrature;
pub mod seal;
pub mod slosh;
pub mod spice;
mod steady;
pub mod suppressor;
pub mod tank;
pub mod transient;
pub mod turn_off;
pub mod winding;
