//! The engine through its only door: designs as text in, answers out.

mod at_work;
mod bench;
mod brute;
mod choose;
mod door;
mod examples;
mod fem;
mod forms;
mod latch;
mod laws;
mod level;
mod load;
mod magnets;
mod naive;
mod relay;
mod rotor;
mod steel;
mod surroundings;
#[path = "../../../fields/tests/table/mod.rs"]
mod table;
mod target;
mod trade;
mod winding;
mod worst;
