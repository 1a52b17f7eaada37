//! The command as its users meet it: what it prints, writes and returns.

mod batch;
mod bench;
mod check;
mod choose;
mod doors;
mod faults;
mod netlist;
mod results;
mod spread;
mod watch;
