//! Fields, forces and steel against published values, other software and the laws they obey.

mod demagnetizing;
mod force;
mod gradient;
mod iron;
mod iron_curve;
mod iron_racetrack;
mod iron_team13;
mod laws;
mod magpylib;
mod mesh;
mod polygon;
mod potential;
mod published;
mod ring_segment;
mod steel;
mod steel_disc;
mod steel_near;
mod steel_prisms;
#[path = "../table/mod.rs"]
mod table;
mod truth;
